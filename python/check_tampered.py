"""Shows that the checks of the cut set can fail: spoils copies of a set, one thing at a time, and expects each to be refused.

    python check_tampered.py CUT_DIR... [--comb COMB_DIR...]

Each is as `check_outputs.py` takes it. A CUT_DIR holds a set of one part with a hole and an outside that are cut, with arcs; its
program is in mm with M3 and M5, heights, arc centres from the start of the arc and a parking place; and it holds cut-marks.nc,
which marks ends of bends and then centres with M64 P2 and M65 P2. A COMB_DIR holds the comb of a kerf test, in mm with M3 and M5.
One line is printed for each thing that was spoilt, and the count at the end; the exit code is 1 when one was not refused.
"""

import json
import math
import re
import shutil
import sys
import tempfile
from copy import deepcopy
from pathlib import Path

from tally import Tally

# Places of RS-274 words in a line.
NUMBER = r"([-+]?\d*\.?\d+)"


class Text:
    """A program as lines, to be spoilt. Cuts are told apart by the word that lights the torch."""

    def __init__(self, path):
        self.path = path
        self.lines = path.read_text(encoding="utf-8").splitlines()

    def write(self):
        self.path.write_text("\n".join(self.lines) + "\n", encoding="utf-8")

    def find(self, pattern, start=0):
        return next(i for i in range(start, len(self.lines)) if re.match(pattern, self.lines[i]))

    def spans(self):
        """For each cut the lines from the rapid move to its pierce up to the word that puts the torch out."""
        spans = []
        for i, line in enumerate(self.lines):
            if line == "M3":
                come = max(j for j in range(i) if re.match(r"G0 [XY]", self.lines[j]))
                spans.append((come, self.find("M5", i)))
        return spans

    def place(self, line):
        return [float(re.search(letter + NUMBER, self.lines[line])[1]) for letter in "XY"]

    def add(self, place, letter, by):
        def added(word):
            return f"{letter}{float(word[1]) + by:.4f}"

        self.lines[place] = re.sub(letter + NUMBER, added, self.lines[place], count=1)


def program(change):
    """Spoils cut.nc by what `change` does to its text."""

    def spoil(folder, summary):
        text = Text(folder / "cut.nc")
        change(text, summary["cut"])
        text.write()

    return spoil


def centre_moved(text, cut):
    text.add(text.find(r"G[23]\b", text.spans()[-1][0]), "I", 0.1)


def arc_turned_round(text, cut):
    # The outside is followed clockwise: the long way round one of its arcs leads through the part.
    place = text.find(r"G2\b", text.spans()[-1][0])
    text.lines[place] = "G3" + text.lines[place][2:]


def torch_left_on(text, cut):
    del text.lines[text.spans()[0][1]]


def torch_left_on_at_the_end(text, cut):
    start = text.spans()[-1][1]
    text.lines = [line for i, line in enumerate(text.lines) if i < start or line != "M5"]


def end_left_out(text, cut):
    text.lines = text.lines[: text.find(r"M(2|30)$")]


def pierce_in_part(text, cut):
    # The outside is pierced as far beyond the end of its lead as before it, and two kerfs more.
    come, _ = text.spans()[-1]
    here, there = text.place(come), text.place(text.find(r"G[123] X", come + 1))
    beyond = [b + (b - a) + math.copysign(2 * cut["kerf_mm"], b - a) for a, b in zip(here, there)]
    text.lines[come] = f"G0 X{beyond[0]:.4f} Y{beyond[1]:.4f}"


def pierce_aside(text, cut):
    text.add(text.spans()[0][0], "X", 0.02)


def cut_moved(text, cut):
    # The first cut, whole, with its pierce: arcs stay arcs.
    come, off = text.spans()[0]
    for place in range(come, off):
        if re.match(r"G[0123] X", text.lines[place]):
            text.add(place, "X", 0.05)


def cut_left_out(text, cut):
    come, off = text.spans()[0]
    del text.lines[come : off + 1]


def cuts_out_of_order(text, cut):
    (first, first_off), *_, (last, last_off) = text.spans()
    outside = text.lines[last : last_off + 1]
    text.lines[last : last_off + 1] = []
    text.lines[first:first] = [*outside, "G0 Z20.0000"]


def off_the_sheet(text, cut):
    park = max(i for i, line in enumerate(text.lines) if re.match(r"G0 X", line))
    text.lines[park] = "G0 X-40.0000 Y0.0000"


def counted_from_the_last(text, cut):
    text.lines[text.find("G17")] += " G91"


def inches_for_mm(text, cut):
    place = text.find("G17")
    text.lines[place] = text.lines[place].replace("G21", "G20")


def line_bent_in(text, cut):
    # The longest straight line of the outside is bent by 0.3 mm in its middle, to the right: it is followed clockwise.
    come, off = text.spans()[-1]
    moves = [i for i in range(come, off) if re.match(r"G[0123] X", text.lines[i])]
    straight = [(text.place(a), text.place(b), b) for a, b in zip(moves, moves[1:]) if text.lines[b].startswith("G1")]
    (ax, ay), (bx, by), place = max(straight, key=lambda line: math.dist(line[0], line[1]))
    aside = 0.3 / math.dist((ax, ay), (bx, by))
    x, y = (ax + bx) / 2 + aside * (by - ay), (ay + by) / 2 - aside * (bx - ax)
    text.lines.insert(place, f"G1 X{x:.4f} Y{y:.4f}")


def dry_run_lit(folder, summary):
    text = Text(folder / "cut-dry-run.nc")
    text.lines.insert(text.find(r"G[123] X"), "M3")
    text.write()


def dry_run_cuts_swapped(folder, summary):
    text = Text(folder / "cut-dry-run.nc")
    comments = [i for i, line in enumerate(text.lines) if re.match(r"\( Cut \d+: ", line)]
    end = text.find(r"\( To the parking|M5", comments[-1])
    blocks = [text.lines[a:b] for a, b in zip(comments, [*comments[1:], end])]
    blocks[0], blocks[-1] = blocks[-1], blocks[0]
    text.lines[comments[0] : end] = [line for block in blocks for line in block]
    text.write()


def marks(change):
    """Spoils cut-marks.nc by what `change` does to its text."""

    def spoil(folder, summary):
        text = Text(folder / "cut-marks.nc")
        change(text, summary["cut"]["marks"])
        text.write()

    return spoil


def blocks(text):
    """For each mark the lines from the rapid move to its start up to the rise after it."""
    ons = [i for i, line in enumerate(text.lines) if line == "M64 P2"]
    return [(max(j for j in range(on) if re.match(r"G0 X", text.lines[j])), text.find(r"G0 Z", on)) for on in ons]


def mark_shifted(text, block, x, y):
    come, rise = block
    for place in range(come, rise):
        if re.match(r"G[01] X", text.lines[place]):
            text.add(place, "X", x)
            text.add(place, "Y", y)


def mark_moved(text, marks):
    text.add(text.find(r"G1 X"), "X", 0.05)


def cross_moved(text, marks):
    # Both strokes of one centre.
    centre = text.find(r"\( Mark the centre of ")
    for block in [block for block in blocks(text) if block[0] > centre][:2]:
        mark_shifted(text, block, 0.05, 0.0)


def mark_unlit(text, marks):
    del text.lines[text.find(r"M64 P2")]


def mark_left_out(text, marks):
    come, rise = blocks(text)[0]
    del text.lines[come : rise + 1]
    marks["bend_ends"] -= 1


def mark_spare(text, marks):
    come, rise = blocks(text)[0]
    spare = text.lines[come : rise + 1]
    text.lines[rise + 1 : rise + 1] = spare
    mark_shifted(text, (rise + 1, rise + 1 + len(spare)), 3.0, 0.0)


def mark_off_the_part(text, marks):
    mark_shifted(text, blocks(text)[0], 0.0, -4.0)


def marks_end_left_out(text, marks):
    text.lines = text.lines[: text.find(r"M(2|30)$")]


def torch_for_marker(text, marks):
    on = text.find(r"M64 P2")
    text.lines[on] = "M3"


def marker_left_down(text, marks):
    off = text.find(r"M65 P2", text.find(r"M64 P2"))
    del text.lines[off]


def track(change):
    """Spoils cut-tracks.dxf by what `change` does to its tracks."""

    def spoil(folder, summary):
        import ezdxf

        sheet = ezdxf.readfile(folder / "cut-tracks.dxf")
        change(sheet, list(sheet.modelspace()))
        sheet.saveas(folder / "cut-tracks.dxf")

    return spoil


def track_moved(sheet, tracks):
    tracks[0].translate(0.05, 0, 0)


def track_corner_moved(sheet, tracks):
    corners = tracks[-1].get_points("xyb")
    middle = len(corners) // 2
    x, y, bulge = corners[middle]
    corners[middle] = (x + 0.1, y + 0.1, bulge)
    tracks[-1].set_points(corners, format="xyb")


def track_left_out(sheet, tracks):
    sheet.modelspace().delete_entity(tracks[0])


def tracks_swapped(sheet, tracks):
    tracks[0].dxf.layer, tracks[-1].dxf.layer = tracks[-1].dxf.layer, tracks[0].dxf.layer


def comb(change):
    """Spoils kerf-test.nc by what `change` does to its text."""

    def spoil(folder, told):
        text = Text(folder / "kerf-test.nc")
        change(text)
        text.write()

    return spoil


def slot_moved(text):
    come, off = text.spans()[1]
    for place in range(come, off):
        if re.match(r"G[01] X", text.lines[place]):
            text.add(place, "X", 0.05)


def slot_left_out(text):
    come, off = text.spans()[1]
    del text.lines[come : off + 1]


# What is spoilt, how, and words of a check that must refuse it.
SPOILT = [
    ("an arc's centre moved by 0.1 mm", program(centre_moved), "cut.nc: arcs are as far from their centre"),
    ("an arc turned the other way", program(arc_turned_round), "no kerf in the part"),
    ("the torch left on between two cuts", program(torch_left_on), "cut.nc: no rapid move with the torch lit"),
    ("the torch left on at the end", program(torch_left_on_at_the_end), "cut.nc: comes to an end with the torch off"),
    ("the end left out", program(end_left_out), "cut.nc: comes to an end with the torch off"),
    ("a pierce moved into the part", program(pierce_in_part), "cut.nc: no pierce within half a kerf of a part"),
    ("a pierce moved by 0.02 mm", program(pierce_aside), "cut.nc: pierces are those of the summary"),
    ("a whole cut moved by 0.05 mm", program(cut_moved), "no kerf in the part"),
    ("a cut left out", program(cut_left_out), "cut.nc: lit as often as the summary says"),
    ("the outside cut first", program(cuts_out_of_order), "its openings are cut before its outside"),
    ("a travel off the sheet", program(off_the_sheet), "cut.nc: all moves stay on the"),
    ("places counted from the last", program(counted_from_the_last), "cut.nc: every word is read"),
    ("inches for mm", program(inches_for_mm), "cut.nc: length of the cuts"),
    ("a line of the outside bent into the part", program(line_bent_in), "no kerf in the part"),
    ("a torch lit in the dry run", dry_run_lit, "cut-dry-run.nc: never lights the torch"),
    ("two cuts swapped in the dry run", dry_run_cuts_swapped, "cut-dry-run.nc: pierces are those of the summary"),
    ("a mark moved by 0.05 mm", marks(mark_moved), "has its tick"),
    ("a centre's cross moved by 0.05 mm", marks(cross_moved), "has its cross"),
    ("a mark run with the marker up", marks(mark_unlit), "has its tick"),
    ("a mark left out, and of its count", marks(mark_left_out), "cut-marks.nc: marks as many as the summary says"),
    ("a mark more", marks(mark_spare), "cut-marks.nc: nothing else is marked"),
    ("a mark off the part", marks(mark_off_the_part), "cut-marks.nc: every mark is on a part"),
    ("the end of the marks left out", marks(marks_end_left_out), "cut-marks.nc: comes to an end with the marker off"),
    ("the torch lit for the marker", marks(torch_for_marker), "cut-marks.nc: never lights the torch"),
    ("the marker left down", marks(marker_left_down), "cut-marks.nc: no rapid move with the marker down"),
    ("a track moved by 0.05 mm", track(track_moved), "cut-tracks.dxf: pierces are those of the summary"),
    ("a corner of a track moved", track(track_corner_moved), "cut-tracks.dxf: every track is as long"),
    ("a track left out", track(track_left_out), "cut-tracks.dxf: one track for each cut"),
    ("two tracks swapped", track(tracks_swapped), "cut-tracks.dxf: one track for each cut"),
]


SPOILT_COMBS = [
    ("a slot moved by 0.05 mm", comb(slot_moved), "the teeth are the pitch less it"),
    ("a slot left out", comb(slot_left_out), "slots first, then the outside"),
]


def check_refused(tally, check, folder, told_in, spoilt_how):
    """`check` takes a tally, a folder and what its file `told_in` says, which may be spoilt too."""
    told = json.loads((folder / told_in).read_text(encoding="utf-8"))
    whole = Tally(quiet=True)
    check(whole, folder, told)
    tally.check(f"{folder.name}: passes as it was written", not whole.faults, "; ".join(whole.faults))
    for what, spoil, words in spoilt_how:
        with tempfile.TemporaryDirectory() as work:
            copy = Path(work) / folder.name
            shutil.copytree(folder, copy)
            told_otherwise = deepcopy(told)
            spoil(copy, told_otherwise)
            spoilt = Tally(quiet=True)
            check(spoilt, copy, told_otherwise)
        refused = any(words in fault for fault in spoilt.faults)
        tally.check(f"{folder.name}: {what} is refused", refused, f"{len(spoilt.faults)} checks fail")


def main(arguments):
    cut = arguments.index("--comb") if "--comb" in arguments else len(arguments)
    sets, combs = ([Path(folder) for folder in folders] for folders in (arguments[:cut], arguments[cut + 1 :]))
    if not (sets or combs):
        print(__doc__, file=sys.stderr)
        return 2
    tally = Tally()
    cut_set = tally.library("cut_set.check", "spoilt cut sets are refused")
    if cut_set:
        for folder in sets:
            check_refused(tally, cut_set.check_cut_set, folder, "summary.json", SPOILT)
    comb_of = tally.library("cut_set.comb", "spoilt combs are refused")
    if comb_of:

        def check(tally, folder, told):
            comb_of.check_comb(tally, f"{folder.name}/kerf-test.nc", folder / "kerf-test.nc", told)

        for folder in combs:
            check_refused(tally, check, folder, "kerf-test.json", SPOILT_COMBS)
    return tally.finish()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
