"""What a torch follows: straight pieces and arcs, their length, and the metal that a kerf takes along them."""

import math

import numpy
from shapely import LineString, Point, Polygon
from shapely.ops import unary_union

# Arcs are cut into chords that stand off them by no more than this.
CHORD_MM = 2e-5


class Piece:
    """A straight piece, or an arc when it has a centre. An arc whose radii differ goes evenly from one to the other."""

    def __init__(self, start, end, centre=None, left=True):
        self.start = numpy.array(start, float)
        self.end = numpy.array(end, float)
        self.centre = None if centre is None else numpy.array(centre, float)
        self.left = left

    @staticmethod
    def of_bulge(start, end, bulge):
        """A piece of a polyline: a bulge is the tangent of a quarter of the turn, left when positive."""
        if bulge == 0:
            return Piece(start, end)
        start, end = numpy.array(start, float), numpy.array(end, float)
        chord = end - start
        # The centre stands square to the middle of the chord.
        aside = numpy.array([-chord[1], chord[0]]) * (1 - bulge * bulge) / (4 * bulge)
        return Piece(start, end, (start + end) / 2 + aside, bulge > 0)

    @property
    def radii(self):
        """Distance from the centre, at the start and at the end."""
        return math.dist(self.start, self.centre), math.dist(self.end, self.centre)

    @property
    def turn(self):
        """Signed, in radians; a whole turn when start and end are the same."""
        (ax, ay), (bx, by) = self.start - self.centre, self.end - self.centre
        turn = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
        if self.left:
            return turn if turn > 1e-12 else turn + 2 * math.pi
        return turn if turn < -1e-12 else turn - 2 * math.pi

    @property
    def length(self):
        if self.centre is None:
            return math.dist(self.start, self.end)
        return abs(self.turn) * sum(self.radii) / 2

    def places(self, share):
        """Places along the piece, for an array of shares from 0 to 1."""
        share = share[:, None]
        if self.centre is None:
            return self.start + share * (self.end - self.start)
        first, last = self.radii
        arm = self.start - self.centre
        turns = math.atan2(arm[1], arm[0]) + self.turn * share
        radii = first + (last - first) * share
        return self.centre + radii * numpy.hstack([numpy.cos(turns), numpy.sin(turns)])

    def shares(self, radius):
        """Shares at which the piece is cut into chords, fine enough at this radius."""
        if self.centre is None:
            return numpy.array([0.0, 1.0])
        chords = math.ceil(abs(self.turn) / math.sqrt(8 * CHORD_MM / max(radius, 10 * CHORD_MM)))
        return numpy.linspace(0, 1, max(4, chords) + 1)

    def points(self):
        return self.places(self.shares(1.0 if self.centre is None else max(self.radii)))

    def swept(self, half):
        """What a disc of this radius takes on its way, without the discs at both ends."""
        if self.centre is not None and min(self.radii) <= half + 10 * CHORD_MM:
            points = self.points()
            return [swept for a, b in zip(points, points[1:]) for swept in Piece(a, b).swept(half) + [disc(b, half)]]
        if self.centre is None:
            if self.length == 0:
                return []
            along = (self.end - self.start) / self.length
            aside = half * numpy.array([-along[1], along[0]])
            return [Polygon([self.start + aside, self.end + aside, self.end - aside, self.start - aside])]
        # A ring's sector turns no further than a quarter, so that it never meets itself.
        shares = self.shares(max(self.radii) + half)
        parts = math.ceil(abs(self.turn) / (math.pi / 2))
        found = []
        for chords in numpy.array_split(numpy.arange(len(shares) - 1), parts):
            places = self.places(shares[chords[0] : chords[-1] + 2])
            arms = places - self.centre
            out = half * arms / numpy.linalg.norm(arms, axis=1)[:, None]
            found.append(Polygon(numpy.vstack([places + out, (places - out)[::-1]])))
        return found


def disc(centre, radius):
    """A round piece, its chords no further in than CHORD_MM."""
    quarter = max(4, math.ceil(math.pi / 2 / math.sqrt(8 * CHORD_MM / radius)))
    return Point(centre).buffer(radius, quad_segs=quarter)


def line_of(pieces):
    """The middle of the kerf as one line."""
    points = [pieces[0].points()] + [piece.points()[1:] for piece in pieces[1:]]
    return LineString(numpy.vstack(points))


def length_of(pieces):
    return sum(piece.length for piece in pieces)


def kerf_of(pieces, width):
    """The metal that a cut of this width takes along joined pieces."""
    half = width / 2
    ends = [disc(pieces[0].start, half)] + [disc(piece.end, half) for piece in pieces]
    return unary_union(ends + [part for piece in pieces for part in piece.swept(half)])
