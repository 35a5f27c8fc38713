"""The program that marks the plate: ends of bends and centres, by a marker that is not the torch."""

import math

from shapely import LineString, Point
from shapely.affinity import affine_transform

from .path import line_of
from .program import Runner, words_by_line, words_of

# Numbers of the program have four decimals in mm, those of the summary six.
PLACE_MM = 1e-3


def check_marks(tally, name, path, summary, parts, shop):
    """Every end of a bend and every centre that is drilled has its mark, on the part, and the torch is never lit."""
    text = path.read_text(encoding="utf-8")
    program = Runner(shop.marker, shop.absolute_centres).run(text)
    tally.check(f"{name}: every word is read and means one thing", not program.faults, "; ".join(program.faults[:3]))
    tally.check(f"{name}: comes to an end with the marker off", program.ended and not program.lit_at_end)
    torch_on = words_of(shop.torch[0])
    lit = [number for number, words in words_by_line(text)[0] if torch_on <= set(words)]
    tally.check(f"{name}: never lights the torch", not lit, f"lines {lit[:5]}")
    rapids = [move.line for move in program.moves if move.lit and move.rapid]
    tally.check(f"{name}: no rapid move with the marker down", not rapids, f"lines {rapids[:5]}")
    zero = summary["cut"]["zero_mm"]
    strokes = []
    for run in program.runs:
        if not run.pieces:
            tally.check(f"{name}: every mark is a line", False)
            return
        line = line_of(run.pieces)
        strokes.append(LineString([(x + zero[0], y + zero[1]) for x, y in line.coords]))
    ends, centres = wanted(summary)
    marks = summary["cut"]["marks"]
    told = (marks["bend_ends"], marks["centres"])
    tally.check(f"{name}: marks as many as the summary says", told == (len(ends), len(centres)), f"{told}")
    # A tick ends at the end of its bend and lies along it; a cross is two strokes whose middles are the centre.
    for what, at, toward in ends:
        ticks = [stroke for stroke in strokes if along(stroke, at, toward)]
        tally.check(f"{name}: {what} has its tick", len(ticks) == 1, f"{len(ticks)}")
    for what, at in centres:
        middles = [stroke.interpolate(0.5, normalized=True).distance(Point(at)) for stroke in strokes]
        crossing = sum(off <= PLACE_MM for off in middles)
        tally.check(f"{name}: the centre of {what} has its cross", crossing == 2, f"{crossing} strokes")
    spare = len(strokes) - len(ends) - 2 * len(centres)
    tally.check(f"{name}: nothing else is marked", spare == 0, f"{spare} strokes")
    off = [stroke for stroke in strokes if not any(on_plate(stroke, part) for part in parts)]
    tally.check(f"{name}: every mark is on a part", not off, f"{len(off)} are not")


def on_plate(stroke, part):
    return part.region.buffer(PLACE_MM, join_style="mitre").covers(stroke)


def along(stroke, at, toward):
    """Whether a tick ends at `at` and lies on the bend."""
    places = [Point(place) for place in (stroke.coords[0], stroke.coords[-1])]
    bend = LineString([at, toward])
    return any(place.distance(Point(at)) <= PLACE_MM for place in places) and all(
        place.distance(bend) <= PLACE_MM for place in places
    )


def wanted(summary):
    """The ends of bends, each with the other end, and the centres that are drilled without being cut, on the table."""
    ends, centres = [], []
    part = summary["blank"]["parts"][0]
    holes = {hole["name"]: (hole["x_mm"], hole["y_mm"]) for hole in part["holes"]}
    for placed in summary["cut"]["placed"]:
        turn = math.radians(placed["turn_deg"])
        frame = [math.cos(turn), -math.sin(turn), math.sin(turn), math.cos(turn), *placed["at_mm"]]

        def on_table(place):
            point = affine_transform(Point(place), frame)
            return (point.x, point.y)

        for bend in part["bends"]:
            a, b = on_table(bend["from_mm"]), on_table(bend["to_mm"])
            ends += [(f"{placed['name']}: {bend['name']}, end {end}", *pair) for end, pair in enumerate([(a, b), (b, a)])]
        for hole in summary["cut"]["holes"]:
            if hole["part"] == placed["name"] and hole["way"] == "drill":
                centres.append((f"{placed['name']}: {hole['name']}", on_table(holes[hole["name"]])))
    return ends, centres
