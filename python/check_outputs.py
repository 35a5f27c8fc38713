"""Reads what `gusset make` wrote with independent libraries and compares it with the job's summary.

    python check_outputs.py OUT_DIR... [--cut CUT_DIR...] [--comb COMB_DIR...]

Each OUT_DIR holds summary.json, blank.dxf, template.pdf, folded.stl and folded.step, and the set for the cutting table when
the summary says that its program was written: cut-tracks.dxf, cut.nc and cut-dry-run.nc. Each CUT_DIR holds what `gusset cut`
wrote, with what its `--json` printed as summary.json; each COMB_DIR the same of `gusset strip kerf`, as kerf-test.json. One line
is printed for each check, and the count at the end; the exit code is 1 when a check fails. A check whose library cannot be loaded is
`not run`, and with CI=true that counts as failed.
"""

import json
import math
import struct
import sys
from collections import Counter
from pathlib import Path

from drawing import corners_of, is_closed, is_polyline, mm_per_unit, told_by_audit
from tally import Tally

# The drawing is written in full precision; the summary prints areas to 1e-4 mm2 and lengths to 1e-6 mm.
AREA_SHARE = 1e-6
PLACE_MM = 2e-6
# Arcs are flattened this finely before areas are taken.
FLATTEN_MM = 1e-6
# The solid is exact but for splined helices (1e-8 mm); the mesh stands off its arcs by its chord error.
SOLID_SHARE = 1e-6
MESH_SHARE = 2e-3
MESH_PLACE_MM = 0.1
# Probes stand this far either side of a hole's wall.
PROBE_MM = 0.02
# Paper sizes in points: 72 to the inch, 25.4 mm to the inch.
POINTS_PER_MM = 72 / 25.4
PAGE_POINTS = 0.1
PAPERS_MM = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "Letter": (215.9, 279.4),
    "Legal": (215.9, 355.6),
    "Tabloid": (279.4, 431.8),
}


def is_slot(hole):
    """Slots stand among the holes, at their middle, with their width for a diameter."""
    return hole.get("for", "").startswith("slot")


def flattened(ezdxf, polyline):
    """Corners of a polyline with its arcs cut into chords within FLATTEN_MM (in the drawing's unit)."""
    corners = corners_of(polyline)
    points = []
    for (start, bulge), (end, _) in zip(corners, corners[1:] + corners[:1]):
        points.append(start)
        if bulge:
            centre = ezdxf.math.bulge_center(start, end, bulge)
            radius = ezdxf.math.bulge_radius(start, end, bulge)
            sweep = 4 * math.atan(bulge)
            first = math.atan2(start[1] - centre.y, start[0] - centre.x)
            steps = max(1, math.ceil(abs(sweep) / (2 * math.sqrt(2 * FLATTEN_MM / radius))))
            for i in range(1, steps):
                turn = first + sweep * i / steps
                points.append((centre.x + radius * math.cos(turn), centre.y + radius * math.sin(turn)))
    return points


def check_drawing(tally, name, path, part):
    ezdxf = tally.library("ezdxf", f"{name}: read by a DXF library")
    geometry = tally.library("shapely.geometry", f"{name}: area by a geometry library")
    if not (ezdxf and geometry):
        return
    drawing = ezdxf.readfile(path)
    told = told_by_audit(drawing)
    tally.check(f"{name}: the audit finds no error and mends nothing", not told, told)
    if drawing.dxfversion >= "AC1015":
        tally.check(f"{name}: states a unit", drawing.units in (1, 4), f"$INSUNITS {drawing.units}")
    to_mm = mm_per_unit(drawing)

    outlines, holes = [], []
    for entity in drawing.modelspace():
        if is_polyline(entity):
            tally.check(f"{name}: an outline on {entity.dxf.layer} is closed", is_closed(entity))
            outline = geometry.Polygon([(x * to_mm, y * to_mm) for x, y in flattened(ezdxf, entity)])
            tally.check(f"{name}: an outline on {entity.dxf.layer} does not cross itself", outline.is_valid)
            outlines.append(outline)
        elif entity.dxftype() == "CIRCLE":
            centre = entity.dxf.center
            holes.append((centre.x * to_mm, centre.y * to_mm, 2 * entity.dxf.radius * to_mm))
    if not outlines:
        tally.check(f"{name}: has an outline", False)
        return
    outlines.sort(key=lambda outline: outline.area)
    plate = outlines.pop()
    inside = all(plate.contains(opening) for opening in outlines) and all(
        plate.contains(geometry.Point(x, y).buffer(dia / 2)) for x, y, dia in holes
    )
    tally.check(f"{name}: every opening lies within the plate", inside)
    round_mm2 = sum(math.pi * dia**2 / 4 for _, _, dia in holes)
    area = plate.area - sum(opening.area for opening in outlines) - round_mm2
    tally.near(f"{name}: area in mm2", area, part["area_mm2"], AREA_SHARE * part["area_mm2"])
    # The summary gives width and height of the plate laid out to be cut, which may be turned from the drawing.
    low_x, low_y, high_x, high_y = plate.bounds
    found = sorted((high_x - low_x, high_y - low_y))
    for word, size, wanted in zip(("short", "long"), found, sorted(part["bounds_mm"])):
        tally.near(f"{name}: {word} side in mm", size, wanted, 1e-4)
    for hole in part["holes"]:
        if is_slot(hole):
            middle = geometry.Point(hole["x_mm"], hole["y_mm"])
            off = min((opening.centroid.distance(middle) for opening in outlines), default=math.inf)
            tally.check(f"{name}: slot {hole['name']} is where the summary has it", off <= PLACE_MM, f"off {off:.2g} mm")
            continue
        wanted = (hole["x_mm"], hole["y_mm"], hole["dia_mm"])
        off = min((max(abs(a - b) for a, b in zip(found, wanted)) for found in holes), default=math.inf)
        tally.check(f"{name}: hole {hole['name']} is where the summary has it", off <= PLACE_MM, f"off {off:.2g} mm")


def check_template(tally, name, path):
    pypdf = tally.library("pypdf", f"{name}: page sizes")
    if not pypdf:
        return
    pages = pypdf.PdfReader(path).pages
    tally.check(f"{name}: has pages", len(pages) > 0, f"{len(pages)}")
    sizes = {(round(float(page.mediabox.width), 2), round(float(page.mediabox.height), 2)) for page in pages}
    known = {
        paper: tuple(sorted(side * POINTS_PER_MM for side in sides)) for paper, sides in PAPERS_MM.items()
    }
    for size in sorted(sizes):
        matches = [
            paper
            for paper, sides in known.items()
            if all(abs(a - b) <= PAGE_POINTS for a, b in zip(sorted(size), sides))
        ]
        tally.check(f"{name}: a page of {size[0]} x {size[1]} points is a paper size", bool(matches), ", ".join(matches))
    scaled = [page.get("/UserUnit", 1) for page in pages if page.get("/UserUnit", 1) != 1]
    tally.check(f"{name}: no page changes the length of a point", not scaled)


def read_stl(path):
    data = Path(path).read_bytes()
    (count,) = struct.unpack_from("<I", data, 80)
    if len(data) != 84 + 50 * count:
        return None
    numbers = (struct.unpack_from("<12f", data, 84 + 50 * i) for i in range(count))
    return [[row[3:6], row[6:9], row[9:12]] for row in numbers]


def check_mesh(tally, name, path, folded):
    triangles = read_stl(path)
    tally.check(f"{name}: holds as many triangles as it says", triangles is not None)
    if not triangles:
        return
    edges, volume = Counter(), 0.0
    for a, b, c in triangles:
        for start, end in ((a, b), (b, c), (c, a)):
            edges[(start, end)] += 1
        cross = (b[1] * c[2] - b[2] * c[1], b[2] * c[0] - b[0] * c[2], b[0] * c[1] - b[1] * c[0])
        volume += sum(x * y for x, y in zip(a, cross)) / 6
    open_edges = sum(1 for (start, end), times in edges.items() if edges[(end, start)] != times)
    tally.check(f"{name}: is closed", open_edges == 0, f"{open_edges} open edges of {len(edges)}")
    wanted = folded["volume_mm3"]
    tally.near(f"{name}: volume in mm3", volume, wanted, MESH_SHARE * wanted)
    for axis in range(3):
        values = [corner[axis] for triangle in triangles for corner in triangle]
        span = max(values) - min(values)
        if "bounds_mm" in folded:
            tally.near(f"{name}: length along {'xyz'[axis]} in mm", span, folded["bounds_mm"][axis], MESH_PLACE_MM)


def square_to(axis):
    """Two unit vectors square to an axis and to each other."""
    helper = (1.0, 0.0, 0.0) if abs(axis[0]) < 0.9 else (0.0, 1.0, 0.0)

    def cross(a, b):
        return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])

    first = cross(axis, helper)
    length = math.hypot(*first)
    first = tuple(value / length for value in first)
    return first, cross(axis, first)


def check_solid(tally, name, path, folded, part):
    gmsh = tally.library("gmsh", f"{name}: read by a CAD kernel")
    if not gmsh:
        return
    gmsh.initialize()
    gmsh.option.setNumber("General.Terminal", 0)
    # Lengths as the file states them, turned into mm.
    gmsh.option.setString("Geometry.OCCTargetUnit", "MM")
    try:
        gmsh.logger.start()
        gmsh.model.occ.importShapes(str(path))
        gmsh.model.occ.synchronize()
        told = [line for line in gmsh.logger.get() if line.startswith(("Warning", "Error"))]
        gmsh.logger.stop()
        tally.check(f"{name}: reads without a warning", not told, "; ".join(told))
        solids = gmsh.model.getEntities(3)
        tally.check(f"{name}: is one solid", len(solids) == 1, f"{len(solids)}")
        if len(solids) != 1:
            return
        faces = gmsh.model.getEntities(2)
        around = gmsh.model.getBoundary(solids, oriented=False)
        tally.check(f"{name}: every face bounds the solid", len(faces) == len(around), f"{len(around)} of {len(faces)}")
        uses = Counter(
            abs(edge) for face in faces for _, edge in gmsh.model.getBoundary([face], combined=False, oriented=False)
        )
        not_two = sum(1 for times in uses.values() if times != 2)
        tally.check(f"{name}: every edge lies between two faces", not_two == 0, f"{not_two} of {len(uses)} do not")
        kinds = Counter(gmsh.model.getType(2, face) for _, face in faces)
        says = ", ".join(f"{count} {kind}" for kind, count in sorted(kinds.items()))
        known = kinds["Plane"] + kinds["Cylinder"] + kinds["BSpline surface"]
        tally.check(f"{name}: faces are planes, cylinders and ruled splines", known == len(faces), says)
        wanted = folded["volume_mm3"]
        tally.near(f"{name}: volume in mm3", gmsh.model.occ.getMass(3, solids[0][1]), wanted, SOLID_SHARE * wanted)
        check_holes_in_solid(tally, name, gmsh, solids[0][1], folded, part)
    finally:
        gmsh.finalize()


def check_holes_in_solid(tally, name, gmsh, solid, folded, part):
    """Probes just within and just outside each hole's wall, half way through the plate."""
    diameters = {hole["name"]: hole["dia_mm"] for hole in part["holes"] if not is_slot(hole)}
    half = part["thickness_mm"] / 2
    for hole in folded["holes"]:
        if hole["name"] not in diameters:
            continue
        across = square_to(hole["axis"])
        turns = [2 * math.pi * i / 12 for i in range(12)]

        def probes(radius, depth):
            for turn in turns:
                yield [
                    at + depth * z + radius * (math.cos(turn) * x + math.sin(turn) * y)
                    for at, z, x, y in zip(hole["at_mm"], hole["axis"], *across)
                ]

        def inside(radius, depth):
            return [gmsh.model.isInside(3, solid, probe) > 0 for probe in probes(radius, depth)]

        radius = diameters[hole["name"]] / 2
        # The summary's place is on the face of the card's lines, or half way: metal is to one side of it, or both.
        holds = any(
            all(inside(radius + PROBE_MM, depth)) and not any(inside(radius - PROBE_MM, depth))
            for depth in (0.98 * half, -0.98 * half, 0.0)
        )
        tally.check(f"{name}: hole {hole['name']} goes through the solid where the summary has it", holds)


def check_cut(tally, folder, summary):
    """The set for the cutting table, by modules that need their libraries."""
    written = (summary.get("cut") or {}).get("program", False)
    files = ("cut-tracks.dxf", "cut.nc", "cut-dry-run.nc")
    there = [file for file in files if (folder / file).is_file()]
    if not written:
        tally.check(f"{folder.name}: no program stands where the summary has none", "cut.nc" not in there)
        return
    tally.check(f"{folder.name}: the cut set is there", len(there) == len(files), ", ".join(there))
    cut_set = tally.library("cut_set.check", f"{folder.name}: the cut set read by independent libraries")
    if cut_set:
        cut_set.check_cut_set(tally, folder, summary)


def check_folder(tally, folder, cut_only):
    try:
        summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
        part = summary["blank"]["parts"][0]
        folded = summary["folded"]
    except (OSError, ValueError, KeyError, IndexError) as fault:
        tally.check(f"{folder.name}: has a summary with a blank and a folded part", False, repr(fault))
        return
    files = [
        ("blank.dxf", lambda name, path: check_drawing(tally, name, path, part)),
        ("template.pdf", lambda name, path: check_template(tally, name, path)),
        ("folded.stl", lambda name, path: check_mesh(tally, name, path, folded)),
        ("folded.step", lambda name, path: check_solid(tally, name, path, folded, part)),
    ]
    for file, check in files[:1] if cut_only else files:
        name, path = f"{folder.name}/{file}", folder / file
        if not path.is_file():
            tally.check(f"{name}: is there", False)
            continue
        try:
            check(name, path)
        except Exception as fault:  # A file that makes a library give up has failed; the other files are still read.
            tally.check(f"{name}: can be read", False, repr(fault))
    try:
        check_cut(tally, folder, summary)
    except Exception as fault:
        tally.check(f"{folder.name}: the cut set can be read", False, repr(fault))


def check_comb(tally, folder):
    """The comb of a kerf test, with what was told of it."""
    comb = tally.library("cut_set.comb", f"{folder.name}: the comb of the kerf test read by independent libraries")
    if not comb:
        return
    name = f"{folder.name}/kerf-test.nc"
    try:
        told = json.loads((folder / "kerf-test.json").read_text(encoding="utf-8"))
        comb.check_comb(tally, name, folder / "kerf-test.nc", told)
    except Exception as fault:  # What makes a library give up has failed.
        tally.check(f"{name}: can be read", False, repr(fault))


def folders_by_kind(arguments):
    """Folders of `gusset make`, and those after --cut and after --comb."""
    kinds = {"made": [], "--cut": [], "--comb": []}
    kind = "made"
    for argument in arguments:
        if argument in kinds:
            kind = argument
        else:
            kinds[kind].append(Path(argument))
    return kinds.values()


def main(arguments):
    made, cut, combs = folders_by_kind(arguments)
    if not (made or cut or combs):
        print(__doc__, file=sys.stderr)
        return 2
    tally = Tally()
    for folder in made:
        check_folder(tally, folder, cut_only=False)
    for folder in cut:
        check_folder(tally, folder, cut_only=True)
    for folder in combs:
        check_comb(tally, folder)
    return tally.finish()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
