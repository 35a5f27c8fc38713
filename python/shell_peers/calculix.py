"""The part solved by CalculiX: six-node shells (S6) on the same triangles, their middle nodes halfway along the straight edges.

    calculix.py PART WORK_FOLDER

Needs the program `ccx` (Debian: calculix-ccx). Prints key=value lines; seconds and memory are those of the program itself.
"""

import pathlib
import resource
import shutil
import subprocess
import sys
import time

import part as parts


def middles(part: parts.Part) -> tuple[dict[tuple[int, int], int], list[tuple[float, float, float]]]:
    """A node halfway along each edge, numbered after the corners in the order in which the edges are met."""
    found: dict[tuple[int, int], int] = {}
    places = list(part.nodes)
    for triangle in part.triangles:
        for k in range(3):
            a, b = sorted((triangle[k], triangle[(k + 1) % 3]))
            if (a, b) not in found:
                found[a, b] = len(places)
                places.append(tuple((p + q) / 2 for p, q in zip(part.nodes[a], part.nodes[b])))
    return found, places


def deck(part: parts.Part) -> str:
    """The input file."""
    edges, places = middles(part)
    fixed = set(part.fixed)
    # The middle of an edge is built in when both its ends are.
    held = sorted(fixed | {middle for (a, b), middle in edges.items() if a in fixed and b in fixed})
    lines = ["*NODE,NSET=ALL"]
    lines += [f"{i},{x!r},{y!r},{z!r}" for i, (x, y, z) in enumerate(places, 1)]
    lines.append("*ELEMENT,TYPE=S6,ELSET=PLATE")
    for i, (a, b, c) in enumerate(part.triangles, 1):
        ab, bc, ca = (edges[min(p, q), max(p, q)] for p, q in ((a, b), (b, c), (c, a)))
        lines.append(",".join(str(n) for n in [i, *(n + 1 for n in (a, b, c, ab, bc, ca))]))
    lines += ["*MATERIAL,NAME=PLATE", "*ELASTIC", f"{part.elastic_mpa!r},{part.poisson!r}"]
    lines += ["*SHELL SECTION,ELSET=PLATE,MATERIAL=PLATE", f"{part.thickness_mm!r}"]
    lines.append("*BOUNDARY")
    lines += [f"{node + 1},1,6" for node in held]
    lines += ["*NSET,NSET=TIP", f"{part.watch + 1}", "*STEP", "*STATIC", "*CLOAD"]
    for node, *force in part.loads:
        lines += [f"{node + 1},{axis},{value!r}" for axis, value in enumerate(force, 1) if value]
    lines += ["*NODE PRINT,NSET=TIP", "U", "*EL PRINT,ELSET=PLATE", "S", "*END STEP", ""]
    return "\n".join(lines)


def tip(text: str, node: int) -> list[float]:
    """The movement of the node in the listing."""
    for line in text.splitlines():
        words = line.split()
        if len(words) == 4 and words[0] == str(node):
            return [float(word) for word in words[1:]]
    raise SystemExit("the listing has no movement of the tip")


def main() -> None:
    program = shutil.which("ccx")
    if program is None:
        raise SystemExit("ccx is not installed (Debian: apt-get install calculix-ccx)")
    part = parts.read(sys.argv[1])
    folder = pathlib.Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "part.inp").write_text(deck(part))
    started = time.perf_counter()
    run = subprocess.run([program, "part"], cwd=folder, capture_output=True, text=True, check=False)
    seconds = time.perf_counter() - started
    if run.returncode != 0:
        raise SystemExit(run.stdout[-2000:] + run.stderr[-2000:])
    moves = tip((folder / "part.dat").read_text(), part.watch + 1)
    print(f"unknowns={6 * len(part.nodes)}")
    print(f"seconds={seconds:.4f}")
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    print(f"processor_seconds={used.ru_utime + used.ru_stime:.4f}")
    print(f"peak_mb={used.ru_maxrss * 1024 / 1e6:.1f}")
    for axis, value in zip("xyz", moves):
        print(f"tip_{axis}_mm={value:.8g}")


main()
