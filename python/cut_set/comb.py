"""The comb of the kerf test: its teeth are the pitch less the kerf, whatever the kerf."""

from shapely import LineString, box
from shapely.ops import unary_union

from .path import kerf_of
from .program import Runner

TEETH = 3
# Four decimals in mm, at both sides of a tooth.
WIDTH_MM = 1e-3
# A kerf as much wider than the one the comb is set out for as a guess from a table may be out; no round number, so that no other
# length of the comb comes to the same.
WIDER = 1.37


def check_comb(tally, name, path, told):
    """Sweeps kerfs of two widths, and measures the teeth across, half way down, as a caliper does."""
    program = Runner(("M3", "M5"), False).run(path.read_text(encoding="utf-8"))
    tally.check(f"{name}: every word is read and means one thing", not program.faults, "; ".join(program.faults[:3]))
    wide, high = told["plate_mm"]
    plate = box(0, 0, wide, high)
    off_plate = [run for run in program.runs if not all(plate.covers(LineString(piece.points())) for piece in run.pieces)]
    tally.check(f"{name}: all cuts lie on the piece of plate", not off_plate, f"{len(off_plate)} do not")
    slots = program.runs[:-1]
    tally.check(f"{name}: slots first, then the outside", len(slots) == TEETH + 1, f"{len(slots)} slots")
    if len(slots) != TEETH + 1:
        return
    # Slots go up, from below the lower edge: half a kerf over the outline's own lowest side, which its first piece only leads to.
    tops = [max(piece.end[1] for piece in run.pieces) for run in slots]
    lower = min(piece.end[1] for piece in program.runs[-1].pieces) + told["guess_mm"] / 2
    begun = [min(piece.start[1] for piece in run.pieces) for run in slots]
    tally.check(f"{name}: every slot comes in over the lower edge", max(begun) < lower < min(tops), f"edge at {lower:.4f} mm")
    middle = (lower + min(tops)) / 2
    for kerf in (told["guess_mm"], WIDER * told["guess_mm"]):
        swept = unary_union([kerf_of(run.pieces, kerf) for run in slots])
        left = LineString([(0, middle), (wide, middle)]).difference(swept)
        teeth = [piece.length for piece in list(left.geoms)[1:-1]]
        off = max((abs(tooth - (told["pitch_mm"] - kerf)) for tooth in teeth), default=1.0)
        says = f"{len(teeth)} teeth, off {off:.2g} mm"
        tally.check(f"{name}: with a kerf of {kerf:.2f} mm the teeth are the pitch less it", len(teeth) == TEETH and off <= WIDTH_MM, says)
