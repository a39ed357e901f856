#!/usr/bin/python3
"""The least graded map of bench_plan.c with numpy and scipy: Dijkstra along the edges of the grid for
the distances, then whole arrays.

    plan_scipy.py NODES

A 60 deg cap of a ball of 150 mm on NODES x NODES tape coordinates, 8 neighbours a node, edges are
great-circle arcs. Prints
    plan-scipy NODES DISTANCES_MS MAP_MS TRIAL_MS MASS_G WORST_MM
DISTANCES builds the graph and runs dijkstra() from two zones and the rim; MAP makes the map and weighs
it (the same rule for the volume of a cell, on whole arrays, no cut cells); TRIAL is one more. WORST is
against distances in closed form.
"""
import sys
import time

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra

RADIUS, GRADE, LEAST, DENSITY = 150.0, 1 / 60, 1.0, 7.85e-3
ZONES = [((-40.0, 30.0), 25.0, 2.4), ((50.0, -20.0), 20.0, 2.0)]
EDGE = 1.4


def unit_of(a, u):
    tape = np.hypot(a, u)
    share = np.sinc(tape / RADIUS / np.pi) / RADIUS
    return np.stack([a * share, u * share, np.cos(tape / RADIUS)], axis=-1)


def graph_of(unit, inside):
    rows, columns = inside.shape
    number = np.full(inside.shape, -1)
    number[inside] = np.arange(inside.sum())
    tails, heads, lengths = [], [], []
    for i, j in ((1, 0), (0, 1), (1, 1), (1, -1)):
        low, high = max(j, 0), rows + min(j, 0)
        here = (slice(low - j, high - j), slice(0, columns - i))
        there = (slice(low, high), slice(i, columns))
        both = inside[here] & inside[there]
        chord = np.linalg.norm(unit[there][both] - unit[here][both], axis=1)
        tails.append(number[here][both])
        heads.append(number[there][both])
        lengths.append(2 * RADIUS * np.arcsin(chord / 2))
    return np.concatenate(tails), np.concatenate(heads), np.concatenate(lengths)


def distance(edges, count, starts, own):
    """From a source beside the grid: its own distance to each node that it touches."""
    a, b, length = edges
    near = np.full(len(starts), count)
    graph = csr_matrix((np.concatenate([length, length, own]),
                        (np.concatenate([a, b, near]), np.concatenate([b, a, starts]))),
                       shape=(count + 1, count + 1))
    return dijkstra(graph, directed=True, indices=count)[:-1]


def mass_of(distances, asked, area):
    t = np.full(len(area), LEAST)
    for d, r in zip(distances, asked):
        np.maximum(t, r - GRADE * d, out=t)
    volume = area * (t - t * t / RADIUS + t * t * t / (3 * RADIUS * RADIUS))
    return t, DENSITY * volume.sum()


def main():
    nodes = int(sys.argv[1])
    rim = RADIUS * np.pi / 3
    line = np.linspace(-rim, rim, nodes)
    step = line[1] - line[0]
    a, u = np.meshgrid(line, line)
    tape = np.hypot(a, u)
    inside = tape < rim
    unit = unit_of(a, u)
    exact = [np.maximum(RADIUS * np.arccos(np.clip(unit[inside] @ unit_of(*map(np.float64, at)), -1, 1))
                        - radius, 0) for at, radius, _ in ZONES]
    exact.append((rim - tape)[inside])
    area = step * step * np.sinc(tape[inside] / RADIUS / np.pi)
    asked = [zone[2] for zone in ZONES] + [EDGE]
    began = time.perf_counter()
    edges = graph_of(unit, inside)
    found = []
    for truth in exact:
        starts = np.flatnonzero(truth < 1.5 * step)
        found.append(distance(edges, int(inside.sum()), starts, np.maximum(truth[starts], 1e-9)))
    marched = time.perf_counter()
    t, mass = mass_of(found, asked, area)
    done = time.perf_counter()
    for k in range(10):
        mass_of(found, [r - 0.01 * k for r in asked], area)
    trials = time.perf_counter()
    truth, _ = mass_of(exact, asked, area)
    print(f"plan-scipy {nodes} {1e3 * (marched - began):.3f} {1e3 * (done - marched):.3f} "
          f"{100 * (trials - done):.3f} {mass:.3f} {np.abs(t - truth).max():.5f}")


if __name__ == "__main__":
    main()
