"""What the cut should leave: the parts on the sheet, from the bare blank and where the summary places it."""

import math
from dataclasses import dataclass

import drawing
from shapely import Point, Polygon
from shapely.affinity import affine_transform
from shapely.ops import unary_union

from .path import Piece, disc, line_of

# A circle of the drawing belongs to the hole of the summary that is so near, in mm.
SAME_PLACE_MM = 1e-3


@dataclass
class Hole:
    """A round hole as it lies on the table, and the diameter it is cut to; None when it is only drilled."""

    name: str
    centre: tuple
    cut_to_mm: float | None


@dataclass
class Part:
    """A part on the table: the metal that the cut leaves of it, and its round holes."""

    name: str
    region: Polygon
    holes: list
    tabs: list


def closed_region(corners):
    places = [place for place, _ in corners]
    pieces = [Piece.of_bulge(a, b, bulge) for (a, bulge), b in zip(corners, places[1:] + places[:1])]
    # The last place is the first again, but for rounding.
    return Polygon(line_of([piece for piece in pieces if piece.length > 0]).coords[:-1])


def blank_of(path):
    """The outline with its openings that are not round, and the circles as x, y and diameter; in the blank's own frame."""
    sheet = drawing.read(path)
    to_mm = drawing.mm_per_unit(sheet)
    loops, circles = [], []
    for entity in sheet.modelspace():
        if drawing.is_polyline(entity):
            loops.append(closed_region(drawing.corners_of(entity, to_mm)))
        elif entity.dxftype() == "CIRCLE":
            centre = entity.dxf.center
            circles.append((centre.x * to_mm, centre.y * to_mm, 2 * entity.dxf.radius * to_mm))
    loops.sort(key=lambda loop: loop.area)
    plate = loops.pop()
    return without(plate, loops), circles


def without(region, openings):
    return region.difference(unary_union(openings)) if openings else region


def parts_on_table(path, summary):
    """Every part that is placed. A hole without a row in the summary is taken to be cut as it is drawn."""
    blank, circles = blank_of(path)
    named = {hole["name"]: hole for hole in summary["blank"]["parts"][0]["holes"]}
    parts = []
    for placed in summary["cut"]["placed"]:
        turn = math.radians(placed["turn_deg"])
        cos, sin = math.cos(turn), math.sin(turn)
        frame = [cos, -sin, sin, cos, *placed["at_mm"]]
        ways = {hole["name"]: hole for hole in summary["cut"]["holes"] if hole["part"] == placed["name"]}
        holes, openings = [], []
        for x, y, dia in circles:
            name = next((n for n, h in named.items() if math.dist((h["x_mm"], h["y_mm"]), (x, y)) < SAME_PLACE_MM), "")
            way = ways.get(name, {"way": "cut"})
            cut_to = {"cut": dia, "cut and drill": way.get("cut_to_mm"), "drill": None}[way["way"]]
            centre = affine_transform(Point(x, y), frame)
            holes.append(Hole(name, (centre.x, centre.y), cut_to))
            if cut_to is not None:
                openings.append(disc((centre.x, centre.y), cut_to / 2))
        region = without(affine_transform(blank, frame), openings)
        parts.append(Part(placed["name"], region, holes, placed["tabs_mm"]))
    return parts
