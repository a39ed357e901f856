#!/usr/bin/python3
"""The sums of bench_solid.c with numpy: same ball, same grid, same rule.

    solid_numpy.py [NODES]

Twice: whole arrays at a time, as one would write it; and in blocks that fit a core's cache, which
is what one would do on finding that slow. Prints "solid-whole MS GRAMS" and "solid-blocks MS GRAMS"
with median times.
"""
import statistics
import sys
import time

import numpy as np

BLOCK = 8192


def ball(nodes, radius=400.0):
    columns = nodes - 1
    step = 400.0 / columns
    line = -200 + (np.arange(columns) + 0.5) * step
    a, u = (v.ravel() for v in np.meshgrid(line, line))
    tape = np.hypot(a, u) + 1e-12
    angle = tape / radius
    n = np.stack([np.sin(angle) * a / tape, np.sin(angle) * u / tape, np.cos(angle)])
    area = step * step * np.sin(angle) / angle
    mean = np.full_like(area, 1 / radius)
    return radius * n, n, area, mean, mean * mean, 1.2 + 0.8 * n[2]


def moments(area, mean, gauss, t):
    """Area x m0, m1, m2 of each cell, outside face: metal from s = -t to 0."""
    bulk, bend, twist = area * t, mean * t, gauss * t * t  # powers by ** take several times as long
    return (bulk * (1 - bend + twist / 3), bulk * t * (-1 / 2 + 2 * bend / 3 - twist / 4),
            bulk * t * t * (1 / 3 - bend / 2 + twist / 5), bulk)


def finish(volume, first, second, area, bulk, density):
    central = second - np.outer(first, first) / volume
    inertia = density * (np.trace(central) * np.eye(3) - central)
    return volume * density, first / volume, inertia, area, bulk / area


def weigh_whole(plate, density):
    """einsum for the moments, which takes no temporaries."""
    r, n, area = plate[:3]
    m0, m1, m2, bulk = moments(*plate[2:])
    first = r @ m0 + n @ m1
    cross = np.einsum("ik,jk,k->ij", r, n, m1)
    second = (np.einsum("ik,jk,k->ij", r, r, m0) + cross + cross.T
              + np.einsum("ik,jk,k->ij", n, n, m2))
    return finish(m0.sum(), first, second, area.sum(), bulk.sum(), density)


def weigh_blocks(plate, density):
    """Products of matrices (BLAS) for the moments; temporaries stay in the cache."""
    volume, first, second, whole, bulk = 0, np.zeros(3), np.zeros((3, 3)), 0, 0
    for k in range(0, plate[2].size, BLOCK):
        r, n, *rest = (v[..., k:k + BLOCK] for v in plate)
        m0, m1, m2, flat = moments(*rest)
        p, q = m0 * r + m1 * n, m1 * r + m2 * n
        volume += m0.sum()
        first += p.sum(axis=1)
        second += p @ r.T + q @ n.T
        whole += rest[0].sum()
        bulk += flat.sum()
    return finish(volume, first, second, whole, bulk, density)


def main():
    plate = ball(int(sys.argv[1]) if len(sys.argv) > 1 else 1024)
    for name, weigh in (("whole", weigh_whole), ("blocks", weigh_blocks)):
        took = []
        for _ in range(9):
            start = time.perf_counter()
            mass = weigh(plate, 7.85e-3)[0]
            took.append(1e3 * (time.perf_counter() - start))
        print(f"solid-{name} {statistics.median(took):.3f} {mass:.17g}")


if __name__ == "__main__":
    main()
