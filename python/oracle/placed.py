"""Parts on their mounts: offsets, keep-outs, support, measures that are found, the other hand, seams, mass."""

from math import cos, radians, sin, sqrt

import numpy as np

import seat
from parts import CARE, Case, strip
from plate import Bend, Plate, din_neutral_share

GAP, TILT = 0.5, 1.0
# Everything is met; no instrument is named, so the numbers count as drawn.
MET = "yes"


def flat(name, holes, fit, extra="", expect=None, width=100.0, depth=60.0):
    """A plate of 3 mm with holes {name: (x, y, dia)}."""
    text = [f'gusset = 1\ntitle = "{name}"\nunits = "mm"\n[plate]\nstock = "5052-H32 3 mm"\n[points]']
    text.append(f'A = ["0", "0"]\nB = ["{width!r}", "0"]\nC = ["{width!r}", "{depth!r}"]\nD = ["0", "{depth!r}"]')
    text.append('[outline]\nthrough = ["A", "B", "C", "D"]')
    text += [f'[holes.{n}]\nat = ["{x!r}", "{y!r}"]\ndia = "{dia!r}"' for n, (x, y, dia) in holes.items()]
    return Case(name, "\n".join(text) + f"\n{extra}\n", fit=CARE + fit, expect=expect)


def mount(name, hole, at, axis="z", kind="tapped hole", bolt="M6", more=""):
    where = "[" + ", ".join(f'"{float(v)!r}"' for v in at) + "]" if not isinstance(at, str) else f'"{at}"'
    direction = f'"{axis}"' if isinstance(axis, str) else "[" + ", ".join(repr(float(v)) for v in axis) + "]"
    key = f'hole = "{hole}"' if isinstance(hole, str) else f'holes = ["{hole[0]}", "{hole[1]}"]'
    return (f'[mounts.{name}]\nkind = "{kind}"\n{key}\nat = {where}\naxis = {direction}\nfor = "{bolt}"\n'
            f'gap = "{GAP!r} mm"\ntilt = "{TILT!r} deg"\n{more}\n')


def searched(holes, mounts, thickness=3.0, turn=None, shift=None):
    """The least worst ratio by search; holes {name: (place, out of the marked face)}, mounts [(hole, at, axis, allowed)]."""
    rows = []
    for hole, at, axis, allowed in mounts:
        place, out = (np.array(v, float) for v in holes[hole])
        axis = np.array(axis, float) / np.linalg.norm(axis)
        facing = (turn if turn is not None else np.eye(3)) @ out
        # The face that looks against the mount's axis is the one that rests on the seat.
        if facing @ axis > 0.0:
            place, out = place - thickness * out, -out
        rows.append({"hole": place, "out": out, "at": np.array(at, float), "axis": axis, "allowed": allowed,
                     "gap": GAP, "tilt": TILT})
    turn = np.eye(3) if turn is None else turn
    shift = np.zeros(3) if shift is None else np.array(shift, float)
    return seat.best(rows, turn, shift)[0]


# Three holes that go on only one way round.
THREE = {"a": (10.0, 10.0, 6.6), "b": (90.0, 12.0, 6.6), "c": (30.0, 50.0, 6.6)}


def three_mounts(x=0.0, y=0.0):
    return "".join(mount(n, n, (px + x, py + y, 0.0)) for n, (px, py, _) in THREE.items())


def mounts():
    two = {"a": (10.0, 30.0, 6.6), "b": (80.4, 30.0, 6.6)}
    near = 1e-5
    yield flat("two tapped holes 0.4 mm too near", two, mount("a", "a", (0, 0, 0)) + mount("b", "b", (70, 0, 0)),
               expect={"mounts": {n: {"offset_mm": (0.2, near), "allowed_mm": (0.3, 1e-6), "gap_mm": (0.0, near),
                                      "tilt_deg": (0.0, 1e-4)} for n in "ab"}, "verdict": MET})
    yield flat("two tapped holes 0.8 mm too near", two, mount("a", "a", (0, 0, 0)) + mount("b", "b", (69.6, 0, 0)),
               expect={"mounts": {n: {"offset_mm": (0.4, near), "allowed_mm": (0.3, 1e-6)} for n in "ab"}, "verdict": "no"})
    yield flat("through holes add their own play", two,
               mount("a", "a", (0, 0, 0)) + mount("b", "b", (70, 0, 0), kind="through hole", more='dia = "6.4"'),
               # 0.4 mm shared as 0.3 to 0.5.
               expect={"mounts": {"a": {"offset_mm": (0.15, near), "allowed_mm": (0.3, 1e-6)},
                                  "b": {"offset_mm": (0.25, near), "allowed_mm": (0.5, 1e-6)}}})
    shared = 3.0 * 0.3 / (0.3 + 0.8 + 6.5)
    yield flat("a slot takes up 3 mm", {"a": (10.0, 30.0, 6.6), "b": (80.0, 30.0, 6.6)},
               mount("a", "a", (0, 0, 0))
               + mount("b", "b", (67, 0, 0), kind="slot", more='width = "7"\nlength = "20"\nalong = "x"'),
               expect={"mounts": {"a": {"offset_mm": (shared, 1e-4)}, "b": {"offset_mm": (3.0 - shared, 1e-4)}}, "verdict": MET})
    yield slotted()
    yield flat("a clamp", {"a": (10.0, 30.0, 6.6), "b": (60.3, 30.0, 6.6)},
               mount("c", ("a", "b"), (25, 0, 0), kind="clamp", more='apart = "50"\nalong = "x"'),
               expect={"worst_ratio": 0.5, "gap": GAP, "tilt": TILT})
    for name, at in (("three holes, one off", {"a": (0, 0), "b": (80.5, 2.3), "c": (20.2, 39.6)}),
                     ("three holes, all off", {"a": (-0.3, 0.4), "b": (80.1, 2.0), "c": (19.4, 40.5)})):
        places = {n: (x, y, 0.0) for n, (x, y) in at.items()}
        best = searched({n: ((x, y, 0.0), (0, 0, 1)) for n, (x, y, _) in THREE.items()},
                        [(n, p, (0, 0, 1), 0.3) for n, p in places.items()], shift=(-10, -10, 3))
        yield flat(name, THREE, "".join(mount(n, n, p) for n, p in places.items()),
                   expect={"worst_ratio": best, "gap": GAP, "tilt": TILT})
    four = {"a": (10.0, 10.0, 9.0), "b": (90.0, 10.0, 9.0), "c": (90.0, 50.0, 7.0), "d": (20.0, 50.0, 6.4)}
    at = {"a": (0.2, -0.3, 0.1), "b": (80.4, 0.5, -0.1), "c": (79.8, 40.3, 0.15), "d": (10.1, 39.8, 0.0)}
    best = searched({n: ((x, y, 0.0), (0, 0, 1)) for n, (x, y, _) in four.items()},
                    [(n, p, (0, 0, 1), (four[n][2] - 6.0) / 2) for n, p in at.items()], shift=(-10, -10, 3))
    yield flat("four holes of three sizes on an uneven seat", four, "".join(mount(n, n, p) for n, p in at.items()),
               expect={"worst_ratio": best, "gap": GAP, "tilt": TILT})


def slotted():
    case = flat("a slot of the part takes up 3 mm", {"a": (10.0, 30.0, 6.6)},
                mount("a", "a", (0, 0, 0)) + mount("b", "s", (67, 0, 0)),
                extra='[slots.s]\nfrom = "P"\nto = "Q"\nwidth = "6.6"',
                expect={})
    case.design = case.design.replace("[outline]", 'P = ["75", "30"]\nQ = ["85", "30"]\n[outline]')
    # The slot's middle is 70 from the hole; free run 5 and play 0.3 on one side, play 0.3 on the other.
    one = 3.0 * 0.3 / (0.3 + 5.3)
    case.expect = {"mounts": {"a": {"offset_mm": (one, 1e-4)}, "b": {"offset_mm": (3.0 - one, 1e-4)}}, "verdict": MET}
    return case


def angle_plate(legs, deg, lines="marked face", way="up", t=3.0, r=5.0, width=40.0):
    pts = [(0.0, 0.0), (legs[0], 0.0), (legs[0] + legs[1], 0.0)]
    panels = {f"p{i}": [(pts[i][0], 0), (pts[i + 1][0], 0), (pts[i + 1][0], width), (pts[i][0], width)] for i in (0, 1)}
    bend = Bend("b1", (legs[0], 0.0), (legs[0], width), radians(deg), way, r, din_neutral_share(r, t), "p0", "p1")
    return Plate(t, lines, panels, [bend], "p0")


def angles():
    # Three holes, two in one leg; the upright leg came 0.6 mm short of its mount.
    for name, wrong in (("angle, upright hole 0.6 mm off", (0.0, 0.0, 0.6)), ("angle, mount stands 0.3 mm back", (0.3, 0.2, 0.0))):
        case = strip(name, [60.0, 50.0], [(90.0, "up")])
        plate = angle_plate([60.0, 50.0], 90.0)
        extra = {"e": (12.0, 8.0), "f": (15.0, 33.0)}
        where = {n: ("p0", p) for n, p in extra.items()} | {"h1": ("p1", (60.0 + 0.55 * 50.0, 18.0))}
        case.design += "".join(f'[holes.{n}]\nat = ["{x!r}", "{y!r}"]\ndia = "6.6"\n' for n, (x, y) in extra.items())
        dia = 0.2 * 40.0
        solid = {n: (plate.in_space(p, at), plate.axis(p)) for n, (p, at) in where.items()}
        rows, text = [], ""
        for n, (place, out) in solid.items():
            # Seats under the far face: the axis comes out of the seat toward the plate.
            at = place - 3.0 * out + (np.array(wrong) if n == "h1" else 0.0)
            rows.append((n, at, out, ((dia if n == "h1" else 6.6) - 6.0) / 2))
            text += mount(n, n, at, axis=np.round(out, 12))
        best = searched(solid, rows)
        case.fit = CARE + text
        for key in ("folded", "area_mm2", "bounds_mm", "holes", "bends"):
            case.expect.pop(key, None)
        case.expect |= {"worst_ratio": best, "gap": GAP, "tilt": TILT}
        yield case

    # Solved measures: where the upright hole is, and the angle of the bend.
    design = """gusset = 1
title = "found"
units = "mm"
[measures]
rise = { solve = true, between = ["20 mm", "60 mm"], ask = "How high?" }
bent = { solve = true, between = ["40 deg", "120 deg"] }
[plate]
stock = "5052-H32 3 mm"
radius = "5"
still = "base"
[points]
A = ["0", "0"]
B = ["60 + rise + 20", "0"]
C = ["60 + rise + 20", "40"]
D = ["0", "40"]
E = ["60", "0"]
F = ["60", "40"]
H0 = ["12", "8"]
H1 = ["15", "33"]
H2 = ["60 + rise", "18"]
[outline]
through = ["A", "E", "B", "C", "F", "D"]
[panels]
base = "H0"
[bends.b1]
line = "E-F"
bent = "bent"
way = "up"
[holes.h0]
at = "H0"
dia = "6.6"
[holes.h1]
at = "H1"
dia = "6.6"
[holes.h2]
at = "H2"
dia = "6.6"
"""
    plate = angle_plate([60.0, 80.0], 77.0)
    text = ""
    for n, p, at in (("h0", "p0", (12.0, 8.0)), ("h1", "p0", (15.0, 33.0)), ("h2", "p1", (60.0 + 41.0, 18.0))):
        out = plate.axis(p)
        text += mount(n, n, plate.in_space(p, at) - 3.0 * out, axis=out)
    yield Case("rise and angle found from the mounts", design, fit=CARE + text,
               expect={"measures": {"rise": (41.0, 2e-3), "bent": (77.0, 2e-3)}, "verdict": MET})


def rooms():
    # Mounted on its far face with the marked face up, the plate fills x -10..90, y -10..50, z 0..3.
    keep_outs = """[keep_outs.box]
box = ["10", "10", "10"]
at = ["40", "10", "20"]
[keep_outs.rod]
cylinder = "5"
from = ["40", "10", "-10"]
to = ["40", "10", "-30"]
[keep_outs.arm]
capsule = "5"
from = ["110", "10", "1.5"]
to = ["150", "10", "1.5"]
[keep_outs.floor]
beyond = ["0", "0", "-8"]
toward = "-z"
[keep_outs.edge]
box = ["10", "10", "10"]
at = ["98", "60", "1.5"]
clear = "2 mm"
"""
    yield flat("keep-outs of every kind", THREE, three_mounts(-10, -10) + keep_outs,
               expect={"keep_outs": {"box": 12.0, "rod": 10.0, "arm": 15.0, "floor": 8.0, "edge": sqrt(9 + 25)}, "verdict": MET})
    yield flat("a keep-out entered", THREE, three_mounts(-10, -10) + '[keep_outs.in]\nbeyond = ["0", "0", "1"]\ntoward = "-z"\n',
               expect={"keep_outs": {"in": -1.0}, "verdict": "no"})

    holes = THREE | {"p1": (40.0, 30.0, 6.6), "p2": (80.0, 30.0, 6.6)}
    text = three_mounts(-10, -10) + ('[support]\nholes = ["p1", "p2"]\nat = ["50.6", "20", "2.2"]\ntoe = "1.5 deg"\n'
                                     'apart = "40.25"\nfor = "M6"\nallowed = "3 mm"\nallowed_turn = "2 deg"\n')
    yield flat("support off and turned", holes, text,
               expect={"support": {"offset_mm": (1.0, 1e-5), "turn_deg": (1.5, 1e-4), "spacing_error_mm": (-0.25, 1e-6)}})
    pitch, toe, roll = radians(25.0), radians(12.0), radians(4.0)
    rz = np.array([[cos(toe), -sin(toe), 0], [sin(toe), cos(toe), 0], [0, 0, 1]])
    ry = np.array([[cos(pitch), 0, -sin(pitch)], [0, 1, 0], [sin(pitch), 0, cos(pitch)]])
    rx = np.array([[1, 0, 0], [0, cos(roll), -sin(roll)], [0, sin(roll), cos(roll)]])
    turned = np.degrees(np.arccos((np.trace(rz @ ry @ rx) - 1) / 2))
    text = three_mounts(-10, -10) + ('[support]\nholes = ["p1", "p2"]\nat = ["50", "20", "3"]\npitch = "25 deg"\n'
                                     'toe = "12 deg"\nroll = "4 deg"\n')
    yield flat("support pitched, toed in and rolled", holes, text,
               expect={"support": {"offset_mm": (0.0, 1e-5), "turn_deg": (float(turned), 1e-4)}, "verdict": "no"})

    # A place known by four distances.
    known = {"A": (0, 0, 0), "B": (100, 0, 0), "C": (0, 100, 0), "D": (0, 0, 100)}
    at = np.array([80.0, 2.0, 0.0])
    text = '[places]\n' + "".join(f'{n} = ["{p[0]}", "{p[1]}", "{p[2]}"]\n' for n, p in known.items())
    text += 'M = { rough = ["75", "5", "3"] }\n'
    text += "".join(f'[[place_readings]]\nbetween = ["{n}", "M"]\nread = "{float(np.linalg.norm(at - p))!r}"\n' for n, p in known.items())
    text += mount("a", "a", (0, 0, 0)) + mount("b", "b", "M") + mount("c", "c", (20, 40, 0))
    yield flat("a place found by distances", THREE, text,
               expect={"mounts": {n: {"offset_mm": (0.0, 1e-5), "gap_mm": (0.0, 1e-5)} for n in "abc"}, "verdict": MET})

    mass = 100 * 60 * 3 * 2680e-9
    for name, limit, verdict in (("mass within its limit", 1.05 * mass, MET), ("mass over its limit", 0.9 * mass, "no")):
        yield flat(name, THREE, three_mounts() + f'[limits]\nmass = "{limit!r} kg"\n', expect={"verdict": verdict})


def other_hand():
    case = strip("other hand", [60.0, 50.0, 40.0], [(90.0, "up"), (60.0, "down")])
    same = strip("", [60.0, 50.0, 40.0], [(90.0, "down"), (60.0, "up")], lines="far face")
    case.expect = same.expect
    case.fit = CARE.replace("[care]", 'hand = "left"\n[care]')
    yield case


def loops():
    for name, last, gap in (("tube closed by a seam", 30.0, 0.0), ("tube with a gap of 1 mm", 29.0, 1.0)):
        case = strip(name, [50.0, 30.0, 50.0, last], [(90.0, "up")] * 3, lines="far face", r=3.0)
        case.design += '[seams.s]\nedges = ["A0-B0", "A4-B4"]\ngap = "0.5 mm"\n'
        case.expect |= {"seams": {"s": ([gap, gap], 0.0)}}
        yield case


def cases():
    for source in (mounts, angles, rooms, other_hand, loops):
        yield from source()
