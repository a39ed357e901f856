#!/usr/bin/python3
"""The sums of bench_solid.c with numpy: same ball, same grid, same rule, best of several runs.

    solid_numpy.py [NODES]

Whole arrays at a time, as one would write it; einsum for the moments, which takes no temporaries.
Prints "solid-numpy 1024 nodes 70.1 ms" and the mass.
"""
import sys
import time

import numpy as np


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


def weigh(r, n, area, mean, gauss, t, density):
    """Outside face: from s = -t to 0."""
    bulk, bend, twist = area * t, mean * t, gauss * t * t  # powers by ** take several times as long
    m0 = bulk * (1 - bend + twist / 3)
    m1 = bulk * t * (-1 / 2 + 2 * bend / 3 - twist / 4)
    m2 = bulk * t * t * (1 / 3 - bend / 2 + twist / 5)
    volume = m0.sum()
    first = r @ m0 + n @ m1
    cross = np.einsum("ik,jk,k->ij", r, n, m1)
    second = (np.einsum("ik,jk,k->ij", r, r, m0) + cross + cross.T
              + np.einsum("ik,jk,k->ij", n, n, m2))
    central = second - np.outer(first, first) / volume
    inertia = density * (np.trace(central) * np.eye(3) - central)
    return volume * density, first / volume, inertia, area.sum(), bulk.sum()


def main():
    nodes = int(sys.argv[1]) if len(sys.argv) > 1 else 1024
    plate = ball(nodes)
    best = float("inf")
    for _ in range(7):
        start = time.perf_counter()
        mass = weigh(*plate, 7.85e-3)[0]
        best = min(best, time.perf_counter() - start)
    print(f"solid-numpy {nodes} nodes {best * 1e3:.1f} ms, {mass:.17g} g")


if __name__ == "__main__":
    main()
