"""The best worst case of a part on its mounts, by search.

The offset of a hole is taken along the mean of the bolt's line and the plate's normal, so that a plate does not seem to
fit better for leaning: two holes stay as far from two bolts however it leans.

A mount is (place, axis out of the seat, hole's place in the part, hole's axis in the part, plate's thickness on the
other side, allowed offset, gap and tilt). The search is an evolution strategy with covariance adaptation; it knows only
the worst ratio at a pose.
"""

import numpy as np


def turn(v):
    angle = np.linalg.norm(v)
    if angle < 1e-300:
        return np.eye(3)
    x, y, z = v / angle
    k = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.eye(3) + np.sin(angle) * k + (1 - np.cos(angle)) * k @ k


def ratios(mounts, rotation, shift):
    """For every mount: offset, gap and tilt, each over what is allowed, and the offset itself."""
    out = []
    for m in mounts:
        at = rotation @ m["hole"] + shift - m["at"]
        out_of_face = rotation @ m["out"]
        gap = float(at @ m["axis"])
        mean = m["axis"] - out_of_face
        offset = float(np.linalg.norm(at - mean * gap / (m["axis"] @ mean)))
        tilt = float(np.degrees(np.arccos(np.clip(-out_of_face @ m["axis"], -1, 1))))
        out.append((offset / m["allowed"], abs(gap) / m["gap"], tilt / m["tilt"], offset))
    return out


def best(mounts, rotation, shift, seed=1, rounds=400):
    """The least worst ratio near a pose, and the offsets there."""
    rng = np.random.default_rng(seed)
    pivot = np.mean([m["hole"] for m in mounts], axis=0)
    reach = max(np.linalg.norm(m["hole"] - pivot) for m in mounts) + 1e-9

    def pose(v):
        r = turn(v[3:] / reach) @ rotation
        return r, v[:3] + rotation @ pivot + shift - r @ pivot

    def worst(v):
        return max(max(row[:3]) for row in ratios(mounts, *pose(v)))

    n, lam = 6, 24
    mu = lam // 2
    w = np.log(mu + 0.5) - np.log(np.arange(1, mu + 1))
    w /= w.sum()
    mueff = 1 / (w**2).sum()
    cc, cs = 4 / (n + 4), (mueff + 2) / (n + mueff + 5)
    c1 = 2 / ((n + 1.3) ** 2 + mueff)
    cmu = min(1 - c1, 2 * (mueff - 2 + 1 / mueff) / ((n + 2) ** 2 + mueff))
    damp = 1 + cs + 2 * max(0, np.sqrt((mueff - 1) / (n + 1)) - 1)
    chi = np.sqrt(n) * (1 - 1 / (4 * n) + 1 / (21 * n * n))
    found = (worst(np.zeros(6)), np.zeros(6))
    for _ in range(2):
        mean, sigma, C = found[1].copy(), 0.3, np.eye(n)
        ps, pc = np.zeros(n), np.zeros(n)
        for step in range(rounds):
            d2, B = np.linalg.eigh(C)
            D = np.sqrt(np.maximum(d2, 1e-30))
            y = (rng.standard_normal((lam, n)) * D) @ B.T
            x = mean + sigma * y
            f = np.array([worst(v) for v in x])
            order = np.argsort(f)
            if f[order[0]] < found[0]:
                found = (f[order[0]], x[order[0]].copy())
            yw = w @ y[order[:mu]]
            mean = mean + sigma * yw
            ps = (1 - cs) * ps + np.sqrt(cs * (2 - cs) * mueff) * (B @ ((B.T @ yw) / D))
            on = np.linalg.norm(ps) / np.sqrt(1 - (1 - cs) ** (2 * step + 2)) < (1.4 + 2 / (n + 1)) * chi
            pc = (1 - cc) * pc + on * np.sqrt(cc * (2 - cc) * mueff) * yw
            C = (1 - c1 - cmu) * C + c1 * np.outer(pc, pc) + cmu * (y[order[:mu]].T * w) @ y[order[:mu]]
            sigma *= np.exp((cs / damp) * (np.linalg.norm(ps) / chi - 1))
            if sigma * D.max() < 1e-7:
                break
    return found[0], [row[3] for row in ratios(mounts, *pose(found[1]))]
