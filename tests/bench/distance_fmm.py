#!/usr/bin/python3
"""Distance over the flat square of `bench_distance --flat` by scikit-fmm's fast marching.

    distance_fmm.py CELLS

That library knows square cells of one metric, so a flat plate is all it can be asked for. It is given
the true level of the disc at every node and seeds itself; it marches inside the disc too, a hundredth
of the nodes. Prints
    distance-fmm CELLS MARCH_MS RMS_MM WORST_MM
with the median time; inside the disc both distances count as 0, border nodes as nothing, as for ours.
"""
import statistics
import sys
import time

import numpy as np
import skfmm

RADIUS, OFF_CROWN, HALF_WIDTH = 150.0, np.radians(35), np.radians(6)


def main():
    cells = int(sys.argv[1])
    half = RADIUS * np.pi / 2
    line = np.linspace(-half, half, cells + 1)
    across, up = np.meshgrid(line, line)
    truth = np.hypot(across - RADIUS * OFF_CROWN, up) - RADIUS * HALF_WIDTH
    took = []
    for _ in range(7):
        start = time.perf_counter()
        found = skfmm.distance(truth, dx=float(line[1] - line[0]), order=2)
        took.append(1e3 * (time.perf_counter() - start))
    off = (np.maximum(found, 0) - np.maximum(truth, 0))[1:-1, 1:-1]
    print(f"distance-fmm {cells} {statistics.median(took):.3f} {np.sqrt(np.mean(off * off)):.5f} "
          f"{np.abs(off).max():.5f}")


if __name__ == "__main__":
    main()
