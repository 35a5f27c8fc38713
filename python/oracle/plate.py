"""What a folded plate measures, worked out from the plate itself.

Every place is found by walking through the metal: along a flat to the tangent line, round the bend on a circle about the
bend's own axis, and on along the next flat. The blank is the same walk with the circle rolled out at the neutral line.

Lengths are mm, angles radians. Card axes: x across, y up, z out of the marked face; z = 0 is the face that the card's
lines are on.
"""

from dataclasses import dataclass, field
from math import cos, log10, pi, radians, sin, tan

import numpy as np


def din_neutral_share(radius, thickness):
    """K by DIN 6935: half of 0.65 + 0.5 log10(r/s), and half of 1 above r/s = 5."""
    ratio = radius / thickness
    if ratio > 5.0:
        return 0.5
    return max(0.65 + 0.5 * log10(ratio), 0.0) / 2.0


def strip_neutral_share(flat, legs, thickness, bent, gauged):
    """K of a test strip with a gauge on its radius: the K and radius that legs, gauge and DIN 6935 together leave most likely.

    Lengths in mm, angles in rad. A caliper is sure to 0.03 mm, a leg squared over by eye to 0.1 mm more, a gauge to 0.15 mm, a bevel to
    half a degree, K by DIN 6935 to 0.05: one standard deviation each, common practice, no source.
    """
    caliper, feel, gauge, bevel, by_din = 0.03, 0.1, 0.15, radians(0.5), 0.05
    setback, read = 2.0 * tan(bent / 2.0), sum(legs) - flat
    # read = setback (r + s) - bent (r + K s): with e = read less that of gauge and DIN, slopes along r and K, and a doubt of its own.
    r0, k0 = gauged, din_neutral_share(gauged, thickness)
    e = read - setback * (r0 + thickness) + bent * (r0 + k0 * thickness)
    along_r, along_k = setback - bent, -bent * thickness
    r, k = r0, k0
    for _ in range(50):
        by_angle = (r + thickness) / cos(bent / 2.0) ** 2 - (r + k * thickness)
        own = (len(legs) * (caliper**2 + feel**2) + caliper**2 + (by_angle * bevel) ** 2
               + ((setback - bent * k) * caliper) ** 2)
        # Each of the two gives way by its share of what is left over.
        whole = own + (along_r * gauge) ** 2 + (along_k * by_din) ** 2
        r, k = r0 + along_r * gauge**2 * e / whole, k0 + along_k * by_din**2 * e / whole
    return k


def off_inside(lines_on, way, thickness):
    """How far the face that the lines are on lies from the inside of a bend."""
    if lines_on == "middle":
        return thickness / 2.0
    inside = "marked face" if way == "up" else "far face"
    return 0.0 if lines_on == inside else thickness


@dataclass
class Bend:
    name: str
    a: tuple
    b: tuple
    bent: float
    way: str
    radius: float
    share: float
    fixed: str
    moving: str


@dataclass
class Plate:
    """Panels as polygons of card points, the bends between them (each after the bend that moves its fixed panel), and
    the panel that stays still."""

    thickness: float
    lines_on: str
    panels: dict
    bends: list
    still: str
    card: float = 0.0
    blank_of: dict = field(default_factory=dict)
    space_of: dict = field(default_factory=dict)

    def __post_init__(self):
        flat = np.eye(2), np.zeros(2)
        self.blank_of[self.still] = flat
        self.space_of[self.still] = np.eye(3), np.zeros(3)
        for bend in self.bends:
            self._hang(bend)

    def allowance(self, bend):
        return bend.bent * (bend.radius + bend.share * self.thickness)

    def deduction(self, bend):
        return 2.0 * (bend.radius + self.thickness) * tan(bend.bent / 2.0) - self.allowance(bend)

    def cut_back(self, bend):
        """From the crease to a tangent line. The card folds sharp, its neutral line in its middle."""
        face = off_inside(self.lines_on, bend.way, self.thickness)
        card_face = off_inside(self.lines_on, bend.way, self.card)
        growth = card_face * tan(bend.bent / 2.0) - bend.bent * self.card / 4.0
        return (bend.radius + face) * tan(bend.bent / 2.0) - growth

    def _frame(self, bend):
        """A point of the crease, along it, and across it toward the moving panel."""
        a, b = np.array(bend.a, float), np.array(bend.b, float)
        along = (b - a) / np.linalg.norm(b - a)
        across = np.array([-along[1], along[0]])
        middle = np.mean(np.array(self.panels[bend.moving], float), axis=0)
        if (middle - a) @ across < 0.0:
            across = -across
        return a, along, across

    def _hang(self, bend):
        at, along, across = self._frame(bend)
        back = self.cut_back(bend)
        turn, shift = self.blank_of[bend.fixed]
        self.blank_of[bend.moving] = turn, shift + across * (self.allowance(bend) - 2.0 * back)

        up = 1.0 if bend.way == "up" else -1.0
        arc = bend.radius + off_inside(self.lines_on, bend.way, self.thickness)
        e, n, z = np.append(along, 0.0), np.append(across, 0.0), np.array([0.0, 0.0, 1.0])
        beyond = cos(bend.bent) * n + up * sin(bend.bent) * z
        out = np.cross(e, beyond) if np.cross(e, n) @ z > 0.0 else -np.cross(e, beyond)
        start = np.append(at, 0.0) - back * n
        end = start + arc * sin(bend.bent) * n + up * arc * (1.0 - cos(bend.bent)) * z
        # The moving panel begins at `back` beyond the crease on the card, and at `end` in space.
        turned = np.outer(beyond, n) + np.outer(e, e) + np.outer(out, z)
        local = end - turned @ (np.append(at, 0.0) + back * n)
        rotation, place = self.space_of[bend.fixed]
        self.space_of[bend.moving] = rotation @ turned, rotation @ local + place

    def on_blank(self, panel, point):
        turn, shift = self.blank_of[panel]
        return turn @ np.array(point, float) + shift

    def in_space(self, panel, point, z=0.0):
        rotation, place = self.space_of[panel]
        return rotation @ np.append(np.array(point, float), z) + place

    def axis(self, panel):
        return self.space_of[panel][0][:, 2]

    def flats(self):
        """The panels between their tangent lines, on the blank."""
        out = {}
        for name, polygon in self.panels.items():
            polygon = [np.array(p, float) for p in polygon]
            for bend in self.bends:
                if name in (bend.fixed, bend.moving):
                    at, _, across = self._frame(bend)
                    away = across if name == bend.moving else -across
                    polygon = cut(polygon, at + away * self.cut_back(bend), away)
            out[name] = [self.on_blank(name, p) for p in polygon]
        return out

    def strips(self, flats):
        """The bends on the blank: between the ends of both tangent lines."""
        out = {}
        for bend in self.bends:
            at, along, across = self._frame(bend)
            back = self.cut_back(bend)
            ends = []
            for name, side in ((bend.fixed, -1.0), (bend.moving, 1.0)):
                on_line = self.on_blank(name, at + side * back * across)
                run = [p for p in flats[name] if abs((p - on_line) @ across) < 1e-9]
                run.sort(key=lambda p: p @ along)
                ends.append((run[0], run[-1]))
            out[bend.name] = [ends[0][0], ends[0][1], ends[1][1], ends[1][0]]
        return out

    def blank(self):
        """Area and overall size, before holes, corners and reliefs."""
        flats = self.flats()
        pieces = list(flats.values()) + list(self.strips(flats).values())
        every = np.array([p for piece in pieces for p in piece])
        size = every.max(axis=0) - every.min(axis=0)
        return sum(area(piece) for piece in pieces), size


def area(polygon):
    p = np.array(polygon)
    q = np.roll(p, -1, axis=0)
    return abs(float(np.sum(p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]))) / 2.0


def cut(polygon, at, keep):
    """The part of a polygon that lies on the `keep` side of a line (convex across that line)."""
    out = []
    for p, q in zip(polygon, polygon[1:] + polygon[:1]):
        dp, dq = (p - at) @ keep, (q - at) @ keep
        if dp >= -1e-12:
            out.append(p)
        if (dp > 1e-12 and dq < -1e-12) or (dp < -1e-12 and dq > 1e-12):
            out.append(p + (q - p) * dp / (dp - dq))
    return out


def rounded(radius, corner=pi / 2.0):
    """What rounding a convex corner takes away."""
    return radius * radius * (1.0 / tan(corner / 2.0) - (pi - corner) / 2.0)
