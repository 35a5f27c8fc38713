"""The parts: what an outsider would write into the three files, and what must come out."""

import random
from math import asin, atan2, cos, hypot, pi, radians, sin, sqrt

import numpy as np

from plate import Bend, Plate, din_neutral_share, rounded, strip_neutral_share

IN = 25.4
DENSITY = {"5052-H32": 2680.0}

CARE = """gusset = 1
title = "For the check"
units = "mm"
[care]
purpose = "Holds a board."
weight = false
held = false
control = "no"
feels = true
release = true
"""


def listed(names):
    return "[" + ", ".join(f'"{name}"' for name in names) + "]"


class Case:
    """One job folder and what must come out of it."""

    def __init__(self, name, design, fit="", shop="", expect=None, plate=None, holes=None, skip=()):
        self.name, self.design, self.fit, self.shop = name, design, fit, shop
        self.expect = expect or {}
        if plate is not None:
            self._of_plate(plate, holes or {}, skip)

    def _of_plate(self, plate, holes, skip):
        e = self.expect
        area, size = plate.blank()
        lost = e.pop("lost_mm2", 0.0) + sum(pi * dia * dia / 4 for _, _, dia in holes.values())
        if "area" not in skip:
            e["area_mm2"] = area - lost
            if "density" in e:
                e["mass_kg"] = (area - lost) * plate.thickness * e["density"] * 1e-9
        e.pop("density", None)
        if "bounds" not in skip:
            e["bounds_mm"] = list(size)
        e["bends"] = {
            b.name: {
                "bent_deg": b.bent * 180 / pi,
                "between_legs_deg": 180 - b.bent * 180 / pi,
                "radius_mm": b.radius,
                "allowance_mm": plate.allowance(b),
                "deduction_mm": plate.deduction(b),
                "way": b.way,
                "k": b.share,
            }
            for b in plate.bends
        }
        e["holes"] = {n: list(plate.on_blank(p, at)) for n, (p, at, _) in holes.items()}
        e["folded"] = {n: (list(plate.in_space(p, at)), list(plate.axis(p))) for n, (p, at, _) in holes.items()}


def strip(
    name,
    legs,
    bends,
    width=40.0,
    t=3.0,
    stock="5052-H32 3 mm",
    lines="marked face",
    r=5.0,
    k=None,
    card=0.0,
    still=0,
    unit=1.0,
    shop="",
    form="bent",
    expect=None,
    line_text=False,
    hole_pairs=False,
):
    """A strip of legs along x (in `unit` mm), with one hole in each; bends as (degrees, way)."""
    u = unit
    word = "in" if u == IN else "mm"
    xs = [0.0]
    for leg in legs:
        xs.append(xs[-1] + leg)
    pts, bottom, top = {}, [], []
    for i, x in enumerate(xs):
        pts[f"A{i}"], pts[f"B{i}"] = (x, 0.0), (x, width)
        bottom.append(f"A{i}")
        top.append(f"B{i}")
    # Off the middle both ways, so that a part turned over or end for end shows.
    where = {f"h{i}": (xs[i] + 0.55 * legs[i], 0.45 * width) for i in range(len(legs))}
    text = [f'gusset = 1\ntitle = "{name}"\nunits = "{word}"\n']
    if card:
        text.append(f'[card]\nthickness = "{card!r} mm"\n')
    text.append(f'[plate]\nstock = "{stock}"\nlines_on = "{lines}"\nradius = "{r!r} mm"\nstill = "p{still}"\n[points]')
    text += [f'{n} = ["{x!r}", "{y!r}"]' for n, (x, y) in pts.items()]
    if not hole_pairs:
        text += [f'H{n[1:]} = ["{x!r}", "{y!r}"]' for n, (x, y) in where.items()]
    text.append(f"[outline]\nthrough = {listed(bottom + top[::-1])}\n[panels]")
    hole_point = "h" if hole_pairs else "H"
    text += [f'p{i} = "{hole_point}{i}"' for i in range(len(legs))]
    for i, (deg, way) in enumerate(bends):
        line = f'"A{i + 1}-B{i + 1}"' if line_text else f'["A{i + 1}", "B{i + 1}"]'
        said = f'bent = "{deg!r} deg"' if form == "bent" else f'between_legs = "{180 - deg!r} deg"'
        text.append(f'[bends.b{i + 1}]\nline = {line}\n{said}\nway = "{way}"')
    dia = 0.2 * min(legs + [width]) * u
    for n, (x, y) in where.items():
        at = f'["{x!r}", "{y!r}"]' if hole_pairs else f'"H{n[1:]}"'
        text.append(f'[holes.{n}]\nat = {at}\ndia = "{dia!r} mm"')
    share = din_neutral_share(r, t) if k is None else k
    scale = lambda p: (p[0] * u, p[1] * u)
    panels = {
        f"p{i}": [scale(p) for p in ((xs[i], 0), (xs[i + 1], 0), (xs[i + 1], width), (xs[i], width))]
        for i in range(len(legs))
    }
    tree = []
    for i in range(still, len(bends)):
        tree.append((i, f"p{i}", f"p{i + 1}"))
    for i in range(still - 1, -1, -1):
        tree.append((i, f"p{i + 1}", f"p{i}"))
    made = [
        Bend(f"b{i + 1}", scale(pts[f"A{i + 1}"]), scale(pts[f"B{i + 1}"]), radians(bends[i][0]), bends[i][1], r, share, f, m)
        for i, f, m in tree
    ]
    plate = Plate(t, lines, panels, made, f"p{still}", card)
    holes = {n: (f"p{n[1:]}", scale(p), dia) for n, p in where.items()}
    return Case(name, "\n".join(text) + "\n", shop=shop, plate=plate, holes=holes, expect=expect or {})


def sheet(name, pts, outline, panels, bends, holes, t=3.0, stock="5052-H32 3 mm", lines="marked face", r=5.0, k=None,
          extra="", points_extra="", skip=(), expect=None, still=None, shop="", fit="", windows=""):
    """Any card: panels {name: (corners, a hole in it)}, bends (name, a, b, deg, way, fixed, moving), holes
    {name: (panel, x, y, dia)}."""
    text = [f'gusset = 1\ntitle = "{name}"\nunits = "mm"\n[plate]\nstock = "{stock}"\nlines_on = "{lines}"\nradius = "{r!r}"']
    still = still or next(iter(panels))
    text.append(f'still = "{still}"\n[points]')
    text += [f'{n} = ["{x!r}", "{y!r}"]' for n, (x, y) in pts.items()]
    text += [f'q_{n} = ["{x!r}", "{y!r}"]' for n, (_, x, y, _) in holes.items()]
    text.append(points_extra)
    text.append(f"[outline]\nthrough = {listed(outline)}\n{extra}\n[panels]")
    text += [f'{n} = "q_{hole}"' for n, (_, hole) in panels.items()]
    for b, a, c, deg, way, _, _ in bends:
        text.append(f'[bends.{b}]\nline = ["{a}", "{c}"]\nbent = "{deg!r} deg"\nway = "{way}"')
    for n, (_, _, _, dia) in holes.items():
        text.append(f'[holes.{n}]\nat = "q_{n}"\ndia = "{dia!r}"')
    text.append(windows)
    share = din_neutral_share(r, t) if k is None else k
    made = [Bend(b, pts[a], pts[c], radians(deg), way, r, share, f, m) for b, a, c, deg, way, f, m in bends]
    plate = Plate(t, lines, {n: [pts[c] for c in corners] for n, (corners, _) in panels.items()}, made, still)
    at = {n: (p, (x, y), dia) for n, (p, x, y, dia) in holes.items()}
    return Case(name, "\n".join(text) + "\n", fit=fit, shop=shop, plate=plate, holes=at, skip=skip, expect=expect or {})


def box(name, flanges, relief_skip=("area",), way="up", lines="marked face", deg=90.0):
    """A base of 80 x 60 with flanges of 25 mm on two or four sides."""
    w, d, f = 80.0, 60.0, 25.0
    pts = {"A": (0.0, 0.0), "B": (w, 0.0), "C": (w, d), "D": (0.0, d)}
    pts |= {"S1": (0.0, -f), "S2": (w, -f), "E1": (w + f, 0.0), "E2": (w + f, d)}
    pts |= {"N1": (w, d + f), "N2": (0.0, d + f), "W1": (-f, d), "W2": (-f, 0.0)}
    outline, panels, bends = [], {"base": (["A", "B", "C", "D"], "hb")}, []
    holes = {"hb": ("base", 30.0, 25.0, 8.0)}
    centre = {"s": (35.0, -15.0), "e": (w + 15.0, 25.0), "n": (45.0, d + 15.0), "w": (-15.0, 35.0)}
    for corner, side, a, b, p, q in (("A", "s", "A", "B", "S1", "S2"), ("B", "e", "B", "C", "E1", "E2"),
                                     ("C", "n", "C", "D", "N1", "N2"), ("D", "w", "D", "A", "W1", "W2")):
        outline.append(corner)
        if side in flanges:
            outline += [p, q]
            panels[side] = ([a, p, q, b], f"h{side}")
            bends.append((f"b{side}", a, b, deg, way, "base", side))
            holes[f"h{side}"] = (side, *centre[side], 6.0)
    used = {n: p for n, p in pts.items() if n in outline}
    return sheet(name, used, outline, panels, bends, holes, lines=lines, skip=relief_skip)


RULE_OF_0078 = 0.0078 / 0.01743


def neutral_row(k, t, r, metal="5052-H32"):
    return f'gusset = 1\nunits = "mm"\n[[neutral]]\nmetal = "{metal}"\nthickness = "{t!r}"\nradius = "{r!r}"\nk = {k!r}\n'


def folds():
    up, down = "up", "down"
    yield strip("flat", [80.0], [])
    yield strip("angle", [60.0, 45.0], [(90.0, up)], expect={"density": DENSITY["5052-H32"]})
    for lines in ("marked face", "middle", "far face"):
        for way in (up, down):
            for deg in (30.0, 60.0, 90.0, 120.0, 135.0):
                yield strip(f"angle {deg:.0f} {way}, {lines}", [70.0, 65.0], [(deg, way)], lines=lines)
    yield strip("channel", [40.0, 60.0, 45.0], [(90.0, up), (90.0, up)])
    yield strip("channel, web still", [40.0, 60.0, 45.0], [(90.0, up), (90.0, up)], still=1, lines="far face")
    yield strip("zed", [40.0, 50.0, 45.0], [(90.0, up), (90.0, down)])
    yield strip("hat, crown still", [30.0, 40.0, 55.0, 40.0, 30.0],
                [(90.0, down), (90.0, up), (90.0, up), (90.0, down)], still=2, lines="middle")
    yield strip("joggle of 45 deg", [70.0, 30.0, 80.0], [(45.0, down), (45.0, up)], lines="far face")
    yield strip("between legs 135", [60.0, 50.0], [(45.0, up)], form="between")
    yield strip("crease as text, holes by coordinates", [60.0, 50.0], [(75.0, down)], line_text=True, hole_pairs=True)
    yield strip("card of 0.5 mm", [60.0, 50.0, 40.0], [(90.0, up), (60.0, down)], card=0.5)
    yield strip("card of 3 mm", [60.0, 50.0, 40.0], [(90.0, up), (60.0, down)], card=3.0, t=4.0, stock="5052-H32 4 mm",
                lines="far face", r=6.0)
    u = IN
    flat = sum((0.740, 0.420, 1.050, 1.000)) - 3 * (2 * (0.032 + 0.050) - pi / 2 * (0.032 + RULE_OF_0078 * 0.050))
    assert abs(flat - 2.973) < 0.0015, "check value A004"
    part = strip("workbook part A004", [0.740, 0.420, 1.050, 1.000], [(90.0, up)] * 3, width=1.0, unit=u, t=0.05 * u,
                 stock="5052-H32 0.050 in", r=0.032 * u, lines="far face", k=RULE_OF_0078,
                 shop=neutral_row(RULE_OF_0078, 0.05 * u, 0.032 * u))
    assert abs(part.expect["bounds_mm"][0] - flat * u) < 1e-9, "the strip's length is the workbook's"
    yield part
    part = strip("channel A005 to A009", [1.0, 2.0, 1.0], [(90.0, up)] * 2, width=1.0, unit=u, t=0.04 * u,
                 stock="5052-H32 0.040 in", r=0.16 * u, lines="far face", k=RULE_OF_0078,
                 shop=neutral_row(RULE_OF_0078, 0.04 * u, 0.16 * u))
    assert abs(part.expect["bounds_mm"][0] / u - 3.758) < 0.003, "check value A009"
    yield part
    yield strip("thickness by caliper", [60.0, 50.0], [(90.0, up)], t=3.08, lines="far face",
                shop='gusset = 1\n[[stock]]\nplate = "5052-H32 3 mm"\nsize = ["1000 mm", "2000 mm"]\nmeasured = "3.08 mm"\n')
    k = 0.37
    legs = 80.0 + 75.0
    blank = legs - (2 * (6.0 + 3.0) - pi / 2 * (6.0 + k * 3.0))
    # The legs alone would say 0.37; DIN 6935 expects 0.40, and counts too.
    k = strip_neutral_share(blank, [80.0, 75.0], 3.0, pi / 2, 6.0)
    assert 0.37 < k < din_neutral_share(6.0, 3.0)
    yield strip("K from a strip", [60.0, 50.0], [(100.0, up)], r=6.0, k=k,
                shop='gusset = 1\nunits = "mm"\n[[strips]]\nplate = "5052-H32 3 mm"\nthickness = "3"\nradius = "6"\n'
                     f'bent = "90 deg"\nflat = "{blank!r}"\nlegs = ["80", "75"]\n')
    yield strip("strip before table", [60.0, 50.0], [(100.0, up)], r=6.0, k=k,
                shop=neutral_row(0.45, 3.0, 6.0)
                     + '[[strips]]\nplate = "5052-H32 3 mm"\nthickness = "3"\nradius = "6"\n'
                     f'bent = "90 deg"\nflat = "{blank!r}"\nlegs = ["80", "75"]\n')
    yield strip("small radius, DIN k", [60.0, 50.0], [(90.0, up)], r=1.5)
    yield strip("large radius, DIN k = 1", [60.0, 70.0], [(90.0, up)], r=18.0)
    yield strip("gauge stock", [60.0, 50.0], [(90.0, up)], stock="304 16 ga", t=1.587, r=3.0)  # check value E046
    yield strip("inch drawing, metric plate", [3.0, 2.0], [(90.0, down)], width=1.5, unit=IN, r=5.0)


def sheets():
    up, down = "up", "down"
    yield box("two flanges facing", "sn", relief_skip=())
    for lines in ("marked face", "far face"):
        yield box(f"two flanges at a corner, {lines}", "se", lines=lines)
        yield box(f"four flanges, {lines}", "senw", lines=lines)
    yield box("four flanges down", "senw", way=down)

    pts = {"A": (0.0, 0.0), "B": (120.0, 0.0), "C": (120.0, 60.0), "D": (0.0, 60.0), "E": (50.0, 0.0), "F": (70.0, 60.0)}
    holes = {"h0": ("base", 25.0, 20.0, 8.0), "h1": ("leg", 100.0, 35.0, 8.0)}
    yield sheet("oblique crease", pts, ["A", "E", "B", "C", "F", "D"],
                {"base": (["A", "E", "F", "D"], "h0"), "leg": (["E", "B", "C", "F"], "h1")},
                [("b1", "E", "F", 70.0, up, "base", "leg")], holes)
    pts = {"A": (0.0, 0.0), "B": (200.0, 0.0), "C": (200.0, 70.0), "D": (0.0, 70.0), "E": (60.0, 0.0), "F": (75.0, 70.0),
           "G": (140.0, 0.0), "H": (125.0, 70.0)}
    holes = {"h0": ("base", 25.0, 20.0, 8.0), "h1": ("mid", 100.0, 30.0, 8.0), "h2": ("leg", 170.0, 45.0, 8.0)}
    panels = {"base": (["A", "E", "F", "D"], "h0"), "mid": (["E", "G", "H", "F"], "h1"), "leg": (["G", "B", "C", "H"], "h2")}
    bends = [("b1", "E", "F", 40.0, up, "base", "mid"), ("b2", "G", "H", 55.0, down, "mid", "leg")]
    for lines in ("marked face", "middle", "far face"):
        yield sheet(f"compound angle by two oblique creases, {lines}", pts, ["A", "E", "G", "B", "C", "H", "F", "D"], panels,
                    bends, holes, lines=lines)
    yield sheet("last panel still", pts, ["A", "E", "G", "B", "C", "H", "F", "D"], panels,
                [("b2", "G", "H", 55.0, down, "leg", "mid"), ("b1", "E", "F", 40.0, up, "mid", "base")], holes, still="leg")

    # A tab inside an edge: the base stands out on both sides of it, so both ends of the bend are freed.
    pts = {"A": (0.0, 0.0), "P": (30.0, 0.0), "P1": (30.0, -30.0), "Q1": (70.0, -30.0), "Q": (70.0, 0.0), "B": (100.0, 0.0),
           "C": (100.0, 50.0), "D": (0.0, 50.0)}
    holes = {"h0": ("base", 45.0, 35.0, 8.0), "h1": ("tab", 52.0, -20.0, 6.0)}
    yield sheet("tab inside an edge", pts, ["A", "P", "P1", "Q1", "Q", "B", "C", "D"],
                {"base": (["A", "B", "C", "D"], "h0"), "tab": (["P", "P1", "Q1", "Q"], "h1")},
                [("b1", "P", "Q", 90.0, up, "base", "tab")], holes, skip=("area", "bounds"))

    # A window across a bend: the bend is in two lengths.
    pts = {"A": (0.0, 0.0), "B": (120.0, 0.0), "C": (120.0, 80.0), "D": (0.0, 80.0), "E": (60.0, 0.0), "F": (60.0, 80.0)}
    holes = {"h0": ("base", 25.0, 20.0, 8.0), "h1": ("leg", 100.0, 55.0, 8.0)}
    window = 'W1 = ["45", "30"]\nW2 = ["75", "30"]\nW3 = ["75", "50"]\nW4 = ["45", "50"]'
    case = sheet("window across a bend", pts, ["A", "E", "B", "C", "F", "D"],
                 {"base": (["A", "E", "F", "D"], "h0"), "leg": (["E", "B", "C", "F"], "h1")},
                 [("b1", "E", "F", 90.0, up, "base", "leg")], holes, points_extra=window,
                 windows='[windows.w1]\ninside = ["W1", "W2", "W3", "W4"]')
    # The window loses what the bend loses: 20 mm wide, 30 mm on the card less what the bend shortens.
    shorter = 120.0 - case.expect["bounds_mm"][0]
    case.expect["area_mm2"] -= 20.0 * (30.0 - shorter)
    yield case

    corners = 'corners = { B = "round 10 mm", C = "chamfer 8 mm", D = "notch 6 mm" }'
    yield sheet("corners round, chamfered and notched", {n: pts[n] for n in "ABCD"}, ["A", "B", "C", "D"],
                {"base": (["A", "B", "C", "D"], "h0")}, [], {"h0": ("base", 25.0, 20.0, 8.0)}, extra=corners,
                expect={"lost_mm2": rounded(10.0) + 32.0 + pi * 36.0 / 4.0})
    # A half round of 40 mm on the right edge, and a flat arc of radius 100 on the left, bowed out.
    segment = lambda r, chord: r * r * (2 * a - sin(2 * a)) / 2 if (a := asin(chord / 2 / r)) else 0.0
    sag = 100.0 - sqrt(100.0**2 - 40.0**2)
    yield sheet("arcs in the outline", {n: pts[n] for n in "ABCD"}, ["A", "B", "C", "D"],
                {"base": (["A", "B", "C", "D"], "h0")}, [], {"h0": ("base", 25.0, 20.0, 8.0)},
                points_extra='V = ["160", "40"]',
                extra='arcs = { "B-C" = { via = "V" }, "D-A" = { radius = "100 mm", bows = "right" } }',
                expect={"lost_mm2": -pi * 800.0 - segment(100.0, 80.0), "outline_length_mm":
                        240.0 + pi * 40.0 + 200.0 * asin(0.4),
                        "wide_mm": 160.0 + sag}, skip=("bounds",))


MARKOUT = """gusset = 1
title = "mark-out"
units = "mm"
[plate]
stock = "5052-H32 3 mm"
[points]
A = ["0", "0"]
B = ["120", "0"]
C = { swing = [["A", "100"], ["B", "80"]], side = "left" }
D = { from = "A", toward = "C", along = "50", off = "12" }
E = { from = "B", reach = "60", angle = "110 deg" }
F = { from = "A", reach = "45", angle = "-25 deg", of = "A-C" }
G = { where = ["A-E", "B-C"] }
H = { foot = "C", on = "A-B" }
I = { middle = ["A", "C"] }
J = { mirror = "D", over = "A-C" }
K = { tangent = "A", round = "E", radius = "15", side = "left" }
L = { at = ["20", "30"], exact = true }
M = { from = "B", toward = "A", along = "1-1/8 in", off = "-3/4 in" }
[outline]
through = ["A", "B", "C"]
"""


def markout():
    x = (100**2 - 80**2 + 120**2) / 240
    c = (x, sqrt(100**2 - x * x))
    ux, uy = c[0] / 100, c[1] / 100
    d = (50 * ux - 12 * uy, 50 * uy + 12 * ux)
    e = (120 + 60 * cos(radians(110)), 60 * sin(radians(110)))
    base = atan2(c[1], c[0])
    f = (45 * cos(base - radians(25)), 45 * sin(base - radians(25)))
    # A + s e = B + u (c - B)
    s, _ = np.linalg.solve(np.array([[e[0], 120 - c[0]], [e[1], -c[1]]]), np.array([120.0, 0.0]))
    far = hypot(*e)
    reach = sqrt(far * far - 225)
    lean = atan2(e[1], e[0]) + asin(15 / far)
    points = {
        "C": c, "D": d, "E": e, "F": f, "G": (s * e[0], s * e[1]), "H": (c[0], 0.0), "I": (c[0] / 2, c[1] / 2),
        "J": (50 * ux + 12 * uy, 50 * uy - 12 * ux), "K": (reach * cos(lean), reach * sin(lean)), "L": (20.0, 30.0),
        "M": (120 - 1.125 * IN, 0.75 * IN),
    }
    yield Case("points by every construction", MARKOUT, expect={"points": points})

    # One distance read twice: by coordinates 100 and by a caliper 100.3; the weights are the instruments' own.
    yield Case(
        "one length, two instruments",
        MARKOUT.split("[points]")[0]
        + '[survey]\nwith = "first"\n[points]\nA = { at = ["0", "0"], exact = true }\nB = ["100", "0"]\nC = { at = ["50", "60"], exact = true }\n'
        + '[[readings]]\nbetween = ["A", "B"]\nread = "100.3"\nwith = "second"\n[outline]\nthrough = ["A", "B", "C"]\n',
        shop='gusset = 1\n[instruments.first]\nsd = "0.4 mm"\n[instruments.second]\nsd = "0.2 mm"\n',
        expect={"points": {"B": (100.0 + 0.3 * (1 / 0.04) / (1 / 0.04 + 1 / 0.16), 0.0)},
                "sd": {"B": sqrt(1 / (1 / 0.04 + 1 / 0.16))}},
    )
    # Readings of every kind that agree change nothing.
    yield Case(
        "readings of every kind that agree",
        MARKOUT.split("[outline]")[0]
        + 'O = ["-10", "0"]\nN = ["-10", "80"]\n'
        + f'[[readings]]\nbetween = ["D", "E"]\nread = "{hypot(d[0] - e[0], d[1] - e[1])!r}"\n'
        + f'[[readings]]\ncorner = ["B", "A", "C"]\nread = "{base * 180 / pi!r} deg"\n'
        + f'[[readings]]\noff = "D"\nline = "A-C"\nread = "12"\n'
        + f'[[readings]]\nlines = ["A-B", "B-E"]\nread = "110 deg"\n'
        + f'[[readings]]\nedges = ["hd", "hl"]\nacross = "near"\nread = "{hypot(d[0] - 20, d[1] - 30) - 7!r}"\n'
        + f'[[readings]]\nedges = ["hd", "hl"]\nacross = "far"\nread = "{hypot(d[0] - 20, d[1] - 30) + 7!r}"\n'
        + '[outline]\nthrough = ["O", "B", "C", "N"]\n[holes.hd]\nat = "D"\ndia = "6"\n[holes.hl]\nat = "L"\ndia = "8"\n',
        expect={"points": points},
    )


def openings():
    """Areas of openings, and the sizes that hardware gives."""
    base = ('gusset = 1\ntitle = "openings"\nunits = "mm"\n[plate]\nstock = "5052-H32 3 mm"\n[points]\nA = ["0", "0"]\n'
            'B = ["200", "0"]\nC = ["200", "100"]\nD = ["0", "100"]\n')
    square = {n: p for n, p in (("P", (20.0, 20.0)), ("Q", (80.0, 20.0)), ("R", (80.0, 70.0)), ("S", (20.0, 70.0)))}
    points = "".join(f'{n} = ["{x!r}", "{y!r}"]\n' for n, (x, y) in square.items()) + 'U = ["120", "30"]\nV = ["150", "30"]\n'
    through = '[outline]\nthrough = ["A", "B", "C", "D"]\n'
    window = '[windows.w]\ninside = ["P", "Q", "R", "S"]\n'
    whole = 200.0 * 100.0
    yield Case("window", base + points + through + window, expect={"area_mm2": whole - 3000.0})
    yield Case("window moved in, corners round", base + points + through + window + 'inset = "5"\ncorners = "6"\n',
               expect={"area_mm2": whole - (50.0 * 40.0 - 4 * rounded(6.0))})
    yield Case("slot", base + points + through + '[slots.s]\nfrom = "U"\nto = "V"\nwidth = "10"\n',
               expect={"area_mm2": whole - (300.0 + pi * 25.0)})
    yield Case("panel moved in", base + 'M = ["100", "50"]\n' + through + '[panels]\nall = "M"\n[windows.w]\npanel = "all"\ninset = "1/2 in"\ncorners = "10 mm"\n',
               expect={"area_mm2": whole - ((200 - IN) * (100 - IN) - 4 * rounded(10.0))})
    # ISO 273 (fine, medium, coarse) and a tap drill: diameter less pitch.
    sizes = {"a": ("M6", "close", 6.4), "b": ("M6", "normal", 6.6), "c": ("M8", "loose", 10.0), "d": ("M5", "normal", 5.5),
             "e": ("M6", "tapped", 5.0), "f": ("M10", "normal", 11.0)}
    text = "".join(f'[holes.{n}]\nat = ["{20 + 25 * i}", "50"]\nfor = "{screw}"\nclearance = "{how}"\n'
                   for i, (n, (screw, how, _)) in enumerate(sizes.items()))
    yield Case("holes for hardware", base + through + text, expect={
        "dias": {n: dia for n, (_, _, dia) in sizes.items()},
        "area_mm2": 20000.0 - sum(pi * dia * dia / 4 for _, _, dia in sizes.values())})


def lipped():
    """A flange with a lip on it, and a side flange: a tree that branches."""
    pts = {"A": (0.0, 0.0), "B": (90.0, 0.0), "C": (90.0, 60.0), "D": (0.0, 60.0), "E": (90.0, -40.0), "F": (0.0, -40.0),
           "G": (90.0, -65.0), "H": (0.0, -65.0), "I": (-35.0, 0.0), "J": (-35.0, 60.0)}
    panels = {"base": (["A", "B", "C", "D"], "h0"), "front": (["A", "F", "E", "B"], "h1"), "lip": (["F", "H", "G", "E"], "h2"),
              "side": (["A", "D", "J", "I"], "h3")}
    holes = {"h0": ("base", 40.0, 35.0, 8.0), "h1": ("front", 50.0, -22.0, 6.0), "h2": ("lip", 30.0, -54.0, 6.0),
             "h3": ("side", -20.0, 33.0, 6.0)}
    for lines in ("marked face", "middle", "far face"):
        yield sheet(f"front, lip and side, {lines}", pts, ["A", "F", "H", "G", "E", "B", "C", "D", "J", "I"], panels,
                    [("b1", "A", "B", 80.0, "up", "base", "front"), ("b2", "F", "E", 100.0, "down", "front", "lip"),
                     ("b3", "A", "D", 60.0, "up", "base", "side")], holes, lines=lines, r=4.0, skip=("area",))


def reliefs():
    """Reliefs of a stated size at both ends of a tab."""
    for width, past in ((4.0, 6.0), (8.0, 2.0)):
        pts = {"A": (0.0, 0.0), "P": (30.0, 0.0), "P1": (30.0, -30.0), "Q1": (70.0, -30.0), "Q": (70.0, 0.0), "B": (100.0, 0.0),
               "C": (100.0, 50.0), "D": (0.0, 50.0)}
        holes = {"h0": ("base", 45.0, 35.0, 8.0), "h1": ("tab", 52.0, -20.0, 6.0)}
        case = sheet(f"tab with reliefs {width:.0f} wide, {past:.0f} past the bend", pts,
                     ["A", "P", "P1", "Q1", "Q", "B", "C", "D"],
                     {"base": (["A", "B", "C", "D"], "h0"), "tab": (["P", "P1", "Q1", "Q"], "h1")},
                     [("b1", "P", "Q", 90.0, "up", "base", "tab")], holes, skip=("area",))
        case.design = case.design.replace('way = "up"', f'way = "up"\nrelief = {{ width = "{width!r}", past = "{past!r}" }}')
        share = din_neutral_share(5.0, 3.0)
        back, roll = 5.0, pi / 2 * (5.0 + 3.0 * share)
        # The base keeps its edge beside the tab; the bend begins `back` inside it; the slot runs from the edge to
        # `past` beyond the tangent line, beside the tab, with a round end or a square one.
        tab = 40.0 * (30.0 - back)
        area = 100 * 50 - 40 * back + 40 * roll + tab - pi * (8.0**2 + 6.0**2) / 4
        case.expect["area_with_slots"] = (area, width, back + past)
        case.expect["bounds_mm"] = [100.0, 50.0 - back + roll + 30.0 - back]
        yield case


def at_random(count=40, seed=20):
    """Strips with slanted creases, angles, ways, faces, radii, cards and still panels by lot; the seed is kept."""
    lot = random.Random(seed)
    for number in range(count):
        folds = lot.randint(1, 6)
        t = lot.choice([2.0, 3.0, 4.0])
        r = lot.choice([1.0, 1.5, 2.0]) * t
        lines = lot.choice(["marked face", "middle", "far face"])
        x, width = 0.0, 40.0
        pts, cuts, bottom, top = {"A0": (0.0, 0.0), "B0": (0.0, width)}, [], ["A0"], ["B0"]
        for i in range(1, folds + 2):
            x += lot.uniform(70.0, 110.0)
            slant = lot.uniform(-8.0, 8.0) if i <= folds else 0.0
            pts[f"A{i}"], pts[f"B{i}"] = (round(x - slant, 3), 0.0), (round(x + slant, 3), width)
            bottom.append(f"A{i}")
            top.append(f"B{i}")
            if i <= folds:
                cuts.append((i, round(lot.uniform(10.0, 125.0), 2), lot.choice(["up", "down"])))
        panels, holes = {}, {}
        for i in range(folds + 1):
            corners = [f"A{i}", f"A{i + 1}", f"B{i + 1}", f"B{i}"]
            panels[f"p{i}"] = (corners, f"h{i}")
            middle = [sum(pts[c][axis] for c in corners) / 4 for axis in (0, 1)]
            holes[f"h{i}"] = (f"p{i}", round(middle[0] + 3.0, 3), round(middle[1] - 4.0, 3), 6.0)
        still = lot.randint(0, folds)
        bends = [(f"b{i}", f"A{i}", f"B{i}", deg, way, f"p{i - 1}", f"p{i}") for i, deg, way in cuts if i > still]
        bends += [(f"b{i}", f"A{i}", f"B{i}", deg, way, f"p{i}", f"p{i - 1}") for i, deg, way in cuts[::-1] if i <= still]
        yield sheet(f"by lot {number}", pts, bottom + top[::-1], panels, bends, holes, t=t, stock=f"5052-H32 {t:g} mm",
                    lines=lines, r=r, still=f"p{still}")
