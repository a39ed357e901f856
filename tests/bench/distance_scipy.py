#!/usr/bin/python3
"""Distance over the hemisphere of bench_distance.c by scipy's Dijkstra along the grid's edges.

    distance_scipy.py CELLS NEIGHBOURS

Radius 150 mm, from a disc 12 deg wide, 35 deg off the crown; edges are great-circle arcs between
nodes, to the 8 or 16 nearest. Prints
    distance-scipy CELLS NEIGHBOURS SETUP_MS MARCH_MS RMS_MM WORST_MM
SETUP builds the graph, MARCH is dijkstra() alone; one run, medians are taken over processes.
"""
import sys
import time

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra

RADIUS, OFF_CROWN, HALF_WIDTH = 150.0, np.radians(35), np.radians(6)
STEPS = {8: [(1, 0), (0, 1), (1, 1), (1, -1)],
         16: [(1, 0), (0, 1), (1, 1), (1, -1), (2, 1), (1, 2), (2, -1), (1, -2)]}


def nodes_of(cells):
    """Unit vectors [row, column, xyz] of a grid of tape coordinates about the crown; in metal."""
    rim = RADIUS * np.pi / 2
    line = np.linspace(-rim, rim, cells + 1)
    a, u = np.meshgrid(line, line)
    tape = np.hypot(a, u)
    share = np.sinc(tape / RADIUS / np.pi) / RADIUS  # sin(angle)/tape
    return np.stack([a * share, u * share, np.cos(tape / RADIUS)], axis=2), tape < rim, line[1] - line[0]


def graph_of(unit, inside, starts, own, steps):
    rows, columns = inside.shape
    number = np.full(inside.shape, -1)
    number[inside] = np.arange(inside.sum())
    source = int(inside.sum())
    tails, heads, lengths = [], [], []
    for i, j in steps:
        low, high = max(j, 0), rows + min(j, 0)
        here = (slice(low - j, high - j), slice(0, columns - i))
        there = (slice(low, high), slice(i, columns))
        both = inside[here] & inside[there]
        chord = np.linalg.norm(unit[there][both] - unit[here][both], axis=1)
        tails.append(number[here][both])
        heads.append(number[there][both])
        lengths.append(2 * RADIUS * np.arcsin(chord / 2))
    a, b, length = map(np.concatenate, (tails, heads, lengths))
    start = number[starts]
    return csr_matrix((np.concatenate([length, length, own]),
                       (np.concatenate([a, b, np.full(len(start), source)]),
                        np.concatenate([b, a, start]))), shape=(source + 1, source + 1)), source


def main():
    cells, neighbours = int(sys.argv[1]), int(sys.argv[2])
    unit, inside, step = nodes_of(cells)
    centre = np.array([np.sin(OFF_CROWN), 0, np.cos(OFF_CROWN)])
    angle = np.arctan2(np.linalg.norm(np.cross(unit, centre), axis=2), unit @ centre)
    truth = np.maximum(RADIUS * (angle - HALF_WIDTH), 0)
    starts = inside & (truth < 1.5 * step)
    began = time.perf_counter()
    graph, source = graph_of(unit, inside, starts, np.maximum(truth[starts], 1e-9),
                             STEPS[neighbours])
    built = time.perf_counter()
    found = dijkstra(graph, directed=True, indices=source)[:-1]
    done = time.perf_counter()
    off = found - truth[inside]
    print(f"distance-scipy {cells} {neighbours} {1e3 * (built - began):.3f} "
          f"{1e3 * (done - built):.3f} {np.sqrt(np.mean(off * off)):.5f} {np.abs(off).max():.5f}")


if __name__ == "__main__":
    main()
