"""The set for the cutting table against the summary: tracks, program and dry run."""

import math
import re

import drawing
from shapely import Point, Polygon, box, prepare
from shapely.ops import unary_union

from .ground import parts_on_table
from .marks import check_marks
from .path import Piece, disc, kerf_of, length_of, line_of
from .program import Runner
from .shop import shop_of

# What the program must keep: see the checks.
RADII_MM = 0.002
PIERCE_MM = 0.01
HOLE_MM = 0.02
SHARE = 1e-3
# Numbers of the program have four decimals in mm: no kerf reaches further into the part than their rounding.
INTO_PART_MM = 0.001
# The drawing has full precision; the summary has six decimals.
TRACK_MM = 2e-6
# A place on the border of the table or of the sheet counts as on it, within the rounding.
BORDER_MM = 1e-3


def check_cut_set(tally, folder, summary):
    """All files of the set in a folder; a file that is missing has failed."""
    shop = shop_of(summary)
    told = f"{folder.name}: the shop of the job is there"
    tally.check(told, shop is not None, summary["job"]["design"])
    if shop is None:
        return
    if shop.shifted_by_machine:
        tally.not_run(f"{folder.name}: the cut set", "the machine shifts the path itself, which is not read here")
        return
    parts = parts_on_table(folder / "blank.dxf", summary)
    for file, check in [
        ("cut-tracks.dxf", check_tracks),
        ("cut.nc", check_program),
        ("cut-dry-run.nc", check_dry_run),
    ]:
        name = f"{folder.name}/{file}"
        try:
            check(tally, name, folder / file, summary["cut"], parts, shop)
        except Exception as fault:  # What makes a library give up has failed; the other files are still read.
            tally.check(f"{name}: can be read", False, repr(fault))
    marks = folder / "cut-marks.nc"
    said = summary["cut"].get("marks", {})
    # A program that was found wrong is withheld, and the summary says so.
    has, wants = marks.is_file(), said.get("bend_ends") is not None and not said.get("wrong")
    tally.check(f"{folder.name}: a program that marks is there when the summary has one", has == wants)
    if has and wants:
        name = f"{folder.name}/cut-marks.nc"
        try:
            check_marks(tally, name, marks, summary, parts, shop)
        except Exception as fault:  # As above.
            tally.check(f"{name}: can be read", False, repr(fault))


def check_tracks(tally, name, path, cut, parts, shop):
    sheet = drawing.read(path)
    told = drawing.told_by_audit(sheet)
    tally.check(f"{name}: the audit finds no error and mends nothing", not told, told)
    to_mm = drawing.mm_per_unit(sheet)
    entities = list(sheet.modelspace())
    others = [entity.dxftype() for entity in entities if not drawing.is_polyline(entity)]
    tally.check(f"{name}: holds nothing but polylines", not others, ", ".join(others))
    tracks = [entity for entity in entities if drawing.is_polyline(entity)]
    open_ones = sum(not drawing.is_closed(track) for track in tracks)
    tally.check(f"{name}: every track has two ends", open_ones == len(tracks), f"{open_ones} of {len(tracks)}")
    layers = [track.dxf.layer for track in tracks]
    # A layer's name takes 31 characters.
    wanted = [f"CUT_{row['number']:03}_{re.sub('[^A-Z0-9]', '_', row['name'].upper())}"[:31] for row in cut["order"]]
    tally.check(f"{name}: one track for each cut, named and drawn in its order", layers == wanted, f"{len(layers)}")
    runs = []
    for track in tracks:
        corners = drawing.corners_of(track, to_mm)
        runs.append([Piece.of_bulge(a, b, bulge) for (a, bulge), (b, _) in zip(corners, corners[1:])])
    if len(runs) != len(cut["order"]):
        return
    zero = cut["zero_mm"]
    starts = [run[0].start - zero for run in runs]
    check_pierces(tally, name, starts, cut, 2 * TRACK_MM)
    off = max(abs(length_of(run) - row["length_mm"]) for run, row in zip(runs, cut["order"]))
    tally.check(f"{name}: every track is as long as the summary has it", off <= 1e-5, f"off {off:.2g} mm")
    check_metal(tally, name, runs, cut, parts)


def check_program(tally, name, path, cut, parts, shop):
    program = Runner(shop.torch, shop.absolute_centres).run(path.read_text(encoding="utf-8"))
    check_words(tally, name, program)
    rapids = [move.line for move in program.moves if move.lit and move.rapid]
    tally.check(f"{name}: no rapid move with the torch lit", not rapids, lines(rapids))
    unlit = [move.line for move in program.moves if not (move.lit or move.rapid)]
    tally.check(f"{name}: no cutting move with the torch off", not unlit, lines(unlit))
    check_moves(tally, name, program, cut, shop)
    zero = cut["zero_mm"]
    check_pierces(tally, name, [run.pierce for run in program.runs], cut, PIERCE_MM)
    tally.check(f"{name}: lit as often as the summary says", len(program.runs) == cut["pierces"], f"{len(program.runs)}")
    runs = [[moved(piece, zero) for piece in run.pieces] for run in program.runs]
    empty = sum(not run for run in runs)
    tally.check(f"{name}: every pierce is followed by a cut", not empty, f"{empty} are not")
    runs = [run for run in runs if run]
    total = sum(length_of(run) for run in runs)
    tally.near(f"{name}: length of the cuts in mm", total, cut["cut_length_mm"], SHARE * cut["cut_length_mm"])
    pierces = [Point(run.pierce[0] + zero[0], run.pierce[1] + zero[1]) for run in program.runs]
    in_part = [part.name for part in parts for pierce in pierces if part.region.distance(pierce) < cut["kerf_mm"] / 2]
    tally.check(f"{name}: no pierce within half a kerf of a part", not in_part, ", ".join(in_part))
    if runs:
        check_metal(tally, name, runs, cut, parts)


def check_dry_run(tally, name, path, cut, parts, shop):
    program = Runner(shop.torch, shop.absolute_centres).run(path.read_text(encoding="utf-8"))
    check_words(tally, name, program)
    tally.check(f"{name}: never lights the torch", not program.runs, f"{len(program.runs)} times")
    check_moves(tally, name, program, cut, shop)
    # A cut is traced from where the rapid moves end.
    starts = []
    rapid = True
    for move in program.moves:
        if move.piece.length == 0:
            continue
        if rapid and not move.rapid:
            starts.append(move.piece.start)
        rapid = move.rapid
    check_pierces(tally, name, starts, cut, PIERCE_MM)
    traced = sum(move.piece.length for move in program.moves if not move.rapid)
    tally.near(f"{name}: length traced in mm", traced, cut["cut_length_mm"], SHARE * cut["cut_length_mm"])
    lowest = [move.line for move in program.moves if not move.rapid and move.piece.length and dips(move, program)]
    tally.check(f"{name}: every cut is traced at the height of travel", not lowest, lines(lowest))


def dips(move, program):
    """Whether a move goes lower than the program's first height."""
    first = next((other.to_z for other in program.moves if other.to_z is not None), None)
    return None not in (first, move.to_z, move.from_z) and min(move.from_z, move.to_z) < first


def check_words(tally, name, program):
    tally.check(f"{name}: every word is read and means one thing", not program.faults, "; ".join(program.faults[:3]))
    tally.check(f"{name}: comes to an end with the torch off", program.ended and not program.lit_at_end)
    arcs = [move for move in program.moves if move.piece.centre is not None]
    off = max((abs(a - b) for a, b in (move.piece.radii for move in arcs)), default=0.0)
    says = f"{len(arcs)} arcs, off {off:.2g} mm"
    tally.check(f"{name}: arcs are as far from their centre at both ends", off <= RADII_MM, says)


def check_moves(tally, name, program, cut, shop):
    """All moves stay on the table, or on the sheet when the shop does not say how large its table is, and off the clamps."""
    low, size = shop.sheet_at, cut["sheet"]["size_mm"]
    if shop.table:
        low, size = (0.0, 0.0), shop.table
    ground = box(*low, low[0] + size[0], low[1] + size[1]).buffer(BORDER_MM, join_style="mitre")
    prepare(ground)
    paths = [(move.line, line_of([moved(move.piece, cut["zero_mm"])])) for move in program.moves]
    off = [line for line, path in paths if not ground.covers(path)]
    tally.check(f"{name}: all moves stay on the {'table' if shop.table else 'sheet'}", not off, lines(off))
    if shop.clamps:
        clamps = unary_union([box(*clamp) for clamp in shop.clamps])
        met = [line for line, path in paths if path.intersects(clamps)]
        tally.check(f"{name}: no move over a clamp", not met, lines(met))


def check_pierces(tally, name, found, cut, allowed):
    wanted = [row["pierce_mm"] for row in cut["order"]]
    told = f"{name}: pierces are those of the summary, in its order"
    if len(found) != len(wanted):
        tally.check(told, False, f"{len(found)} pierces, {len(wanted)} in the summary")
        return
    off = max((math.dist(a, b) for a, b in zip(found, wanted)), default=0.0)
    tally.check(told, off <= allowed, f"off {off:.2g} mm")


def check_metal(tally, name, runs, cut, parts):
    """Sweeps the kerf, and looks at what is left of each part."""
    kerf = cut["kerf_mm"]
    middles = [line_of(run) for run in runs]
    swept = unary_union([kerf_of(run, kerf) for run in runs])
    whole = box(*swept.bounds).union(unary_union([part.region for part in parts])).envelope.buffer(10 * kerf + 10)
    for part in parts:
        label = f"{name}: {part.name}"
        deepest = max(kerf / 2 - part.region.distance(middle) for middle in middles)
        tally.check(f"{label}: no kerf in the part", deepest <= INTO_PART_MM, f"{deepest:.2g} mm")
        # Tabs are cut by hand, which frees the part along its edge.
        tabs = [disc((x, y), width / 2 + kerf).difference(part.region) for x, y, width in part.tabs]
        left = whole.difference(swept.union(unary_union(tabs)) if tabs else swept)
        # Rounding lets a kerf touch the very edge, so the part is found by a place well within it.
        inner = part.region.buffer(-min(kerf, 0.5)).representative_point()
        pieces = list(left.geoms) if hasattr(left, "geoms") else [left]
        piece = next((piece for piece in pieces if piece.covers(inner)), None)
        if piece is None:
            tally.check(f"{label}: is left by the cut", False)
            continue
        tally.check(f"{label}: comes free of the sheet", not piece.touches(whole.exterior))
        area = part.region.area
        tally.near(f"{label}: area left in mm2", piece.area, area, SHARE * area)
        other = piece.symmetric_difference(part.region).area
        tally.check(f"{label}: shape left", other <= SHARE * area, f"{other / area:.2g} of its area is otherwise")
        # A kerf cannot get into a corner sharper than itself: what it can leave is the part closed by its disc.
        closed = part.region.buffer(kerf / 2, quad_segs=64).buffer(HOLE_MM - kerf / 2, quad_segs=64)
        proud = piece.difference(closed).area
        tally.check(f"{label}: no edge stands out by more than {HOLE_MM} mm", proud == 0, f"{proud:.2g} mm2 does")
        for hole in part.holes:
            check_hole(tally, label, piece, hole)
        inside = Polygon(part.region.exterior)
        openings = [i for i, run in enumerate(runs) if inside.contains(Point(run[0].start))]
        outsides = [
            i for i, middle in enumerate(middles) if i not in openings and inside.distance(middle) <= kerf / 2 + HOLE_MM
        ]
        early = [i + 1 for i in openings if outsides and i > outsides[0]]
        tally.check(f"{label}: its openings are cut before its outside", not early, lines(early))


def check_hole(tally, label, piece, hole):
    rings = [ring for ring in piece.interiors if Polygon(ring).contains(Point(hole.centre))]
    if hole.cut_to_mm is None:
        tally.check(f"{label}: hole {hole.name} is left to the drill", not rings)
        return
    told = f"{label}: hole {hole.name} is cut where and as wide as the summary has it"
    if not rings:
        tally.check(told, False, "no hole there")
        return
    away = [math.dist(place, hole.centre) for place in rings[0].coords]
    centre = Polygon(rings[0]).centroid
    off = max(abs(distance - hole.cut_to_mm / 2) for distance in away)
    aside = math.dist((centre.x, centre.y), hole.centre)
    wide = 2 * math.sqrt(Polygon(rings[0]).area / math.pi)
    holds = off <= HOLE_MM and aside <= HOLE_MM and abs(wide - hole.cut_to_mm) <= HOLE_MM
    says = f"{wide:.4f} mm, wanted {hole.cut_to_mm:.4f}; centre off {aside:.2g}; edge off {off:.2g} at most"
    tally.check(told, holds, says)


def moved(piece, by):
    centre = None if piece.centre is None else piece.centre + by
    return Piece(piece.start + by, piece.end + by, centre, piece.left)


def lines(numbers):
    """Some of the numbers, for a person to look them up."""
    return ", ".join(str(number) for number in numbers[:5]) + (" ..." if len(numbers) > 5 else "")
