"""The part that every solver is given: a text file of nodes, triangles, what is fixed, loads and the node to watch.

    elastic_mpa poisson thickness_mm
    nodes N         then N lines  x y z            (mm)
    triangles N     then N lines  a b c            (from 0, counter-clockwise seen from the upper face)
    fixed N         then N lines  node             (all six unknowns)
    loads N         then N lines  node fx fy fz    (N)
    watch node

Written by `cargo run -p shell --example l_bracket`.
"""

from dataclasses import dataclass


@dataclass
class Part:
    elastic_mpa: float
    poisson: float
    thickness_mm: float
    nodes: list[tuple[float, float, float]]
    triangles: list[tuple[int, int, int]]
    fixed: list[int]
    loads: list[tuple[int, float, float, float]]
    watch: int


def read(path: str) -> Part:
    with open(path) as file:
        lines = iter(file.read().splitlines())
    elastic, poisson, thickness = (float(word) for word in next(lines).split())

    def table(name: str) -> list[list[str]]:
        heading, count = next(lines).split()
        if heading != name:
            raise SystemExit(f"{path}: expected {name}, found {heading}")
        return [next(lines).split() for _ in range(int(count))]

    nodes = [(float(x), float(y), float(z)) for x, y, z in table("nodes")]
    triangles = [(int(a), int(b), int(c)) for a, b, c in table("triangles")]
    fixed = [int(row[0]) for row in table("fixed")]
    loads = [(int(n), float(x), float(y), float(z)) for n, x, y, z in table("loads")]
    return Part(elastic, poisson, thickness, nodes, triangles, fixed, loads, int(next(lines).split()[1]))


def peak_mb() -> float:
    """The most memory this process ever held, MB, as the kernel counts it."""
    with open("/proc/self/status") as file:
        for line in file:
            if line.startswith("VmHWM:"):
                return int(line.split()[1]) * 1024 / 1e6
    return float("nan")
