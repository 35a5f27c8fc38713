"""Writes every part as a job folder, has gusset check it, and compares.

    python python/oracle/run.py PATH/TO/gusset [--keep DIR] [--only WORD]

Prints one row for each part and every number that differs; leaves with 1 when any does.
"""

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path

import parts
import placed

# The summary is written to 1e-6 mm; half of the last digit may be lost in it, and as much again in what is written
# into the files.
EXACT_MM = 1e-6
# A search that stops by itself and one that does not agree to this share of what is allowed.
SEARCH_SHARE = 2e-3


class Sheet:
    """What one part was found to be against what it should be."""

    def __init__(self):
        self.compared, self.wrong, self.worst = 0, [], 0.0

    def same(self, what, got, want, within=EXACT_MM):
        gots, wants = (got, want) if isinstance(want, (list, tuple)) else ([got], [want])
        if len(gots) != len(wants):
            self.wrong.append(f"{what}: {got} has not the length of {want}")
            return
        for is_, should in zip(gots, wants):
            self.compared += 1
            if isinstance(should, str):
                if is_ != should:
                    self.wrong.append(f"{what}: gusset {is_}, here {should}")
                continue
            away = abs(is_ - should) if is_ is not None else float("inf")
            self.worst = max(self.worst, away)
            if away > within:
                self.wrong.append(f"{what}: gusset {got}, here {want}")
                return


def write(folder, case):
    folder.mkdir(parents=True)
    (folder / "design.toml").write_text(case.design)
    if case.fit:
        (folder / "fits").mkdir()
        (folder / "fits" / "own.toml").write_text(case.fit)
    if case.shop:
        (folder / "shop.toml").write_text(case.shop)


def compare(case, summary):
    sheet, want = Sheet(), case.expect
    by_name = lambda rows: {row["name"]: row for row in rows}
    if "points" in want:
        points = by_name(summary["survey"]["points"])
        for name, at in want["points"].items():
            sheet.same(f"point {name}", [points[name]["x_mm"], points[name]["y_mm"]], list(at))
        for name, sd in want.get("sd", {}).items():
            sheet.same(f"sd of x of {name}", points[name]["sd_x_mm"], sd)
    if "blank" in summary:
        blank = summary["blank"]["parts"][0]
        for key, within in (("area_mm2", 2e-6), ("mass_kg", 1e-6), ("outline_length_mm", 2e-6)):
            if key in want:
                sheet.same(key, blank[key], want[key], within)
        if "area_with_slots" in want:
            area, width, deep = want["area_with_slots"]
            sheet.same("area_mm2", blank["area_mm2"], area - 2 * width * deep, 2e-6)
        if "bounds_mm" in want:
            sheet.same("blank size", blank["bounds_mm"], want["bounds_mm"])
        if "wide_mm" in want:
            sheet.same("blank width", blank["bounds_mm"][0], want["wide_mm"])
        holes = by_name(blank["holes"])
        for name, at in want.get("holes", {}).items():
            sheet.same(f"hole {name} on the blank", [holes[name]["x_mm"], holes[name]["y_mm"]], at)
        for name, dia in want.get("dias", {}).items():
            sheet.same(f"hole {name}", holes[name]["dia_mm"], dia)
        bends = by_name(blank["bends"])
        for name, row in want.get("bends", {}).items():
            for key, value in row.items():
                sheet.same(f"bend {name} {key}", bends[name][key], value)
    if "folded" in want:
        holes = by_name(summary["folded"]["holes"])
        for name, (at, axis) in want["folded"].items():
            sheet.same(f"hole {name} folded", holes[name]["at_mm"], at)
            sheet.same(f"axis of {name}", holes[name]["axis"], axis)
    if "seams" in want:
        seams = by_name(summary["folded"]["seams"])
        for name, (gaps, twist) in want["seams"].items():
            sheet.same(f"seam {name} gap", seams[name]["gap_mm"], gaps)
            sheet.same(f"seam {name} twist", seams[name]["twist_deg"], twist)
    if "mounts" in want:
        mounts = by_name(summary["fit"]["mounts"])
        for name, row in want["mounts"].items():
            for key, (value, within) in row.items():
                sheet.same(f"mount {name} {key}", mounts[name][key], value, within)
    if "worst_ratio" in want:
        rows = summary["fit"]["mounts"]
        worst = max(max(r["offset_mm"] / r["allowed_mm"], abs(r["gap_mm"]) / want["gap"], r["tilt_deg"] / want["tilt"]) for r in rows)
        sheet.same("largest ratio", worst, want["worst_ratio"], SEARCH_SHARE * max(1.0, want["worst_ratio"]))
    if "keep_outs" in want:
        rows = by_name(summary["fit"]["keep_outs"])
        for name, value in want["keep_outs"].items():
            sheet.same(f"keep-out {name}", rows[name]["clearance_mm"], value, 2e-6)
    if "support" in want:
        for key, (value, within) in want["support"].items():
            sheet.same(f"support {key}", summary["fit"]["support"][key], value, within)
    if "measures" in want:
        rows = by_name(summary["measures"])
        for name, (value, within) in want["measures"].items():
            sheet.same(f"measure {name}", rows[name]["value"], value, within)
    if "verdict" in want:
        sheet.same("fit", summary["verdicts"]["fit"]["answer"], want["verdict"])
    for code in want.get("codes", []):
        sheet.compared += 1
        if code not in {f["code"] for f in summary["findings"]}:
            sheet.wrong.append(f"no finding {code}")
    return sheet


def main():
    said = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    said.add_argument("gusset")
    said.add_argument("--keep", help="write the job folders here and leave them")
    said.add_argument("--only", help="parts whose name has this in it")
    said = said.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        root = Path(said.keep or temporary)
        failed = count = numbers = 0
        for source in (parts.folds, parts.sheets, parts.openings, parts.lipped, parts.reliefs, parts.markout, parts.at_random, placed.cases):
            for case in source():
                if said.only and said.only not in case.name:
                    continue
                count += 1
                folder = root / f"{count:03} {case.name}".replace(" ", "-").replace(",", "")
                write(folder, case)
                run = subprocess.run([said.gusset, "check", str(folder), "--json"], capture_output=True, text=True)
                try:
                    sheet = compare(case, json.loads(run.stdout))
                except (ValueError, KeyError) as error:
                    sheet = Sheet()
                    sheet.wrong = [f"left with {run.returncode}; {type(error).__name__} {error}"]
                    sheet.wrong += (run.stderr or run.stdout).splitlines()[:12]
                numbers += sheet.compared
                failed += bool(sheet.wrong)
                word = "differs" if sheet.wrong else "same"
                print(f"{word:8} {sheet.compared:4} numbers, worst {sheet.worst:8.1e}  {case.name}")
                for line in sheet.wrong:
                    print(f"           {line}")
    print(f"{numbers} numbers of {count} parts compared")
    print(f"{count - failed} passed, {failed} failed")
    return 1 if failed or not count else 0


if __name__ == "__main__":
    sys.exit(main())
