"""What the shop says of its cutter, read from shop.toml by Python's own reader."""

import re
import tomllib
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, '"': 25.4}


@dataclass
class Shop:
    """The table and the words of the program; lengths in mm, places from the table's lower left corner."""

    torch: tuple
    marker: tuple | None
    absolute_centres: bool
    shifted_by_machine: bool
    sheet_at: tuple
    table: tuple | None
    clamps: list


def length(said, unit):
    """Such as `24`, `"3 mm"`, `"1-1/2 in"`."""
    word = re.fullmatch(r"\s*(-?)([\d./ -]*?\d\.?)\s*([a-z\"]*)\s*", str(said))
    if not word:
        raise ValueError(f"no length: {said!r}")
    value = sum(float(Fraction(part)) for part in re.split(r"[ -]+", word[2]) if part)
    return (-value if word[1] else value) * MM[word[3] or unit]


def shop_of(summary):
    """The shop of the job that the summary names, or None when there is none."""
    path = Path(summary["job"]["design"]).parent / "shop.toml"
    if not path.is_file():
        return None
    said = tomllib.loads(path.read_text(encoding="utf-8"))
    unit = said.get("units", "mm")
    cutter = said.get("cutter", {})
    program = cutter.get("program", {})
    table = cutter.get("table", {})

    def place(pair):
        return tuple(length(side, unit) for side in pair)

    return Shop(
        torch=tuple(program.get("torch", ("M3", "M5"))),
        marker=tuple(cutter["marks"]["words"]) if "words" in cutter.get("marks", {}) else None,
        absolute_centres=program.get("centres", "from start") == "absolute",
        shifted_by_machine=program.get("kerf_by", "path") != "path",
        sheet_at=place(table.get("sheet_at", (0, 0))),
        table=place(table["size"]) if "size" in table else None,
        clamps=[place(clamp["from"]) + place(clamp["to"]) for clamp in table.get("clamps", [])],
    )
