"""The part solved by OpenSees: triangular shells with drilling, linear, one load.

    opensees.py PART ELEMENT SYSTEM

ELEMENT is ShellDKGT (thin plate, discrete Kirchhoff) or ASDShellT3 (with transverse shear); SYSTEM is UmfPack, SparseGEN or
SparseSYM. Prints key=value lines. Seconds run from lists in memory to movements (`seconds_moves`) and further to reactions and
the stress resultants of every triangle (`seconds`).
"""

import ctypes
import importlib.util
import pathlib
import sys
import time

import part as parts


def load_blas() -> str:
    """The package links to BLAS by a name that it does not find itself: the system's if there is one (the faster it is the
    better for the package), else the copy that the package brings along."""
    try:
        ctypes.CDLL("libblas.so.3", mode=ctypes.RTLD_GLOBAL)
        return "system"
    except OSError:
        pass
    spec = importlib.util.find_spec("openseespylinux")
    if spec is None or not spec.submodule_search_locations:
        raise SystemExit("openseespylinux is not installed")
    folder = pathlib.Path(next(iter(spec.submodule_search_locations))) / "lib"
    for name in ["libquadmath.so.0", "libgfortran.so.4", "libblas.so.3"]:
        ctypes.CDLL(str(folder / name), mode=ctypes.RTLD_GLOBAL)
    return "bundled"


def main() -> None:
    path, element, system = sys.argv[1:4]
    blas = load_blas()
    import openseespy.opensees as ops

    part = parts.read(path)
    worked = time.process_time()
    started = time.perf_counter()
    ops.wipe()
    ops.model("basic", "-ndm", 3, "-ndf", 6)
    for tag, (x, y, z) in enumerate(part.nodes, 1):
        ops.node(tag, x, y, z)
    for node in part.fixed:
        ops.fix(node + 1, 1, 1, 1, 1, 1, 1)
    ops.section("ElasticMembranePlateSection", 1, part.elastic_mpa, part.poisson, part.thickness_mm, 0.0)
    for tag, (a, b, c) in enumerate(part.triangles, 1):
        ops.element(element, tag, a + 1, b + 1, c + 1, 1)
    ops.timeSeries("Linear", 1)
    ops.pattern("Plain", 1, 1)
    for node, x, y, z in part.loads:
        ops.load(node + 1, x, y, z, 0.0, 0.0, 0.0)
    ops.constraints("Plain")
    # The envelope solver needs a narrow band; the others order the matrix themselves.
    ops.numberer("RCM" if system == "SparseSYM" else "AMD")
    ops.system(system)
    ops.integrator("LoadControl", 1.0)
    ops.algorithm("Linear")
    ops.analysis("Static")
    if ops.analyze(1) != 0:
        raise SystemExit("the analysis failed")
    moves = [ops.nodeDisp(tag) for tag in range(1, len(part.nodes) + 1)]
    moved = time.perf_counter()
    ops.reactions()
    largest = 0.0
    for tag in range(1, len(part.triangles) + 1):
        resultants = ops.eleResponse(tag, "stresses")
        largest = max(largest, abs(resultants[3]))
    done = time.perf_counter()
    worked = time.process_time() - worked
    tip = moves[part.watch]
    reaction = sum(ops.nodeReaction(node + 1)[0] for node in part.fixed)
    print(f"blas={blas}")
    print(f"unknowns={6 * len(part.nodes)}")
    print(f"seconds_moves={moved - started:.4f}")
    print(f"seconds={done - started:.4f}")
    print(f"processor_seconds={worked:.4f}")
    print(f"peak_mb={parts.peak_mb():.1f}")
    print(f"tip_x_mm={tip[0]:.8g}")
    print(f"tip_y_mm={tip[1]:.8g}")
    print(f"tip_z_mm={tip[2]:.8g}")
    print(f"reaction_x_n={reaction:.8g}")
    print(f"largest_moment_n={largest:.6g}")


main()
