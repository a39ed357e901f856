#!/usr/bin/python3
"""The as-formed layout of bench_blank.c by a first-order method: scipy's L-BFGS over numpy arrays.

    blank_scipy.py NODES

A 60 deg cap of a ball of 150 mm in rings of triangles; the work of bench_blank.c's layout, for each
triangle (4/3)(e1^2 + e1 e2 + e2^2) times its metal, e the principal log strains from blank to plate, is
made least from a start where the blank is as wide as the tape. Prints
    blank-scipy formed NODES MS ITERATIONS RIM_MM
It stops when the work falls by less than 1e-9 of itself; RIM is the mean radius of the rim.
"""
import sys
import time

import numpy as np
from scipy.optimize import minimize

RADIUS, REACH = 150.0, np.pi / 3


def mesh_of(wanted):
    """Angles and bearings of rings of 6k nodes about the crown, and the triangles between them."""
    rings = max(2, round((np.sqrt(12 * wanted - 3) - 3) / 6))
    angle, bearing, first = [0.0], [0.0], [0]
    for k in range(1, rings + 1):
        first.append(len(angle))
        angle += [REACH * k / rings] * (6 * k)
        bearing += list(2 * np.pi * np.arange(6 * k) / (6 * k))
    triangles = []
    for k in range(1, rings + 1):
        outer, inner = 6 * k, max(6 * (k - 1), 1)
        for side in range(6):
            for i in range(k):
                o, o1 = side * k + i, (side * k + i + 1) % outer
                n = (side * (k - 1) + i) % inner
                triangles.append((first[k] + o, first[k] + o1, first[k - 1] + n))
                if i < k - 1:
                    triangles.append((first[k - 1] + n, first[k] + o1,
                                      first[k - 1] + (n + 1) % inner))
    return np.array(angle), np.array(bearing), np.array(triangles), first[rings]


def work(flat, triangles, inverse, area, count):
    """Work and its gradient: with J = U diag(s) V' of plate to blank, e = -ln s and metal s1 s2 A."""
    at = flat.reshape(count, 2)
    edges = np.stack([at[triangles[:, 1]] - at[triangles[:, 0]],
                      at[triangles[:, 2]] - at[triangles[:, 0]]], axis=2)
    jacobian = edges @ inverse
    left, s, right = np.linalg.svd(jacobian)
    if (np.linalg.det(jacobian) <= 0).any():  # a flipped triangle is no layout
        return 1e30, np.zeros_like(flat)
    e = -np.log(s)
    metal = area * s[:, 0] * s[:, 1]
    each = 4 / 3 * (e[:, 0] ** 2 + e[:, 0] * e[:, 1] + e[:, 1] ** 2)
    slope = metal[:, None] / s * (each[:, None] - 4 / 3 * (2 * e + e[:, ::-1]))
    force = (left * slope[:, None, :]) @ right @ np.swapaxes(inverse, 1, 2)
    gradient = np.zeros((count, 2))
    for axis in range(2):
        for corner, push in ((1, force[:, axis, 0]), (2, force[:, axis, 1]),
                             (0, -force[:, axis, 0] - force[:, axis, 1])):
            gradient[:, axis] += np.bincount(triangles[:, corner], push, count)
    return (metal * each).sum(), gradient.ravel()


def main():
    angle, bearing, triangles, rim = mesh_of(int(sys.argv[1]))
    began = time.perf_counter()
    ball = RADIUS * np.stack([np.sin(angle) * np.cos(bearing), np.sin(angle) * np.sin(bearing),
                              np.cos(angle)], axis=1)
    p, q = (ball[triangles[:, k]] - ball[triangles[:, 0]] for k in (1, 2))
    length = np.linalg.norm(p, axis=1)
    along = (p * q).sum(axis=1) / length
    high = np.sqrt((q * q).sum(axis=1) - along ** 2)
    inverse = np.zeros((len(triangles), 2, 2))  # of [[length, along], [0, high]]
    inverse[:, 0, 0], inverse[:, 0, 1], inverse[:, 1, 1] = 1 / length, -along / (length * high), 1 / high
    start = RADIUS * angle[:, None] * np.stack([np.cos(bearing), np.sin(bearing)], axis=1)
    found = minimize(work, start.ravel(), (triangles, inverse, length * high / 2, len(angle)), jac=True,
                     method="L-BFGS-B", options={"maxiter": 20000, "maxfun": 40000, "ftol": 1e-9,
                                                 "gtol": 1e-8, "maxcor": 20})
    took = 1e3 * (time.perf_counter() - began)
    radius = np.hypot(*(found.x.reshape(-1, 2) - found.x.reshape(-1, 2)[0])[rim:].T).mean()
    print(f"blank-scipy formed {len(angle)} {took:.0f} {found.nit} {radius:.4f}")


if __name__ == "__main__":
    main()
