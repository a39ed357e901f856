#!/usr/bin/python3
"""Mass, centroid and inertia of a plate, summed again from its exported cells.

    sum_cells.py CELLS.csv DENSITY FACE

DENSITY in g/mm3, FACE the face that was measured: outside, middle or inside. Prints JSON with 17
significant digits: mass_g, volume_mm3, face_area_mm2, mean_thickness_mm, centroid_mm,
inertia_g_mm2 (about the centroid, products with minus sign).

Shares no code with the program; written from these formulas. Metal stands on the face from s0 to s1
along the outward normal n: outside -t..0, middle -t/2..t/2, inside 0..t. With H and K the mean and
Gauss curvature (H > 0 where the face bulges outward), the offset face at s is 1 + 2Hs + Ks^2 times
as large, so a cell of area A at r has

    volume  A * integral of (1 + 2Hs + Ks^2) ds
    first   A * integral of (r + s n)(1 + 2Hs + Ks^2) ds
    second  A * integral of (r + s n)(r + s n)^T (1 + 2Hs + Ks^2) ds

taken here by three-point Gauss quadrature in s, which is exact to degree 5 (these have 4). A crease
of length L and turn b adds the kite between the ends of its two sides and their bisector e: its
area tan(b/2)(s1^2 - s0^2), its centroid and its spread along e from the kite's two triangles; the
spread to both sides is left out.
"""
import csv
import json
import math
import sys

import numpy as np

NUMBERS = {
    "x": "x [mm]", "y": "y [mm]", "z": "z [mm]",
    "nx": "normal_x", "ny": "normal_y", "nz": "normal_z", "t": "thickness [mm]",
    "H": "mean_curvature [1/mm]", "K": "gauss_curvature [1/mm2]", "area": "area [mm2]",
    "length": "length [mm]", "turn": "turn [rad]",
}


def read(path):
    """Columns of the cell rows and of the crease rows, as arrays by short name."""
    with open(path, newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    tables = {}
    for kind in ("cell", "crease"):
        chosen = [row for row in rows if row["kind"] == kind]
        tables[kind] = {
            name: np.array([float(row[column] or "nan") for row in chosen])
            for name, column in NUMBERS.items()
        }
    return tables["cell"], tables["crease"]


def points(table):
    return (np.stack([table["x"], table["y"], table["z"]], axis=1),
            np.stack([table["nx"], table["ny"], table["nz"]], axis=1))


def cell_parts(cell, low, high):
    """Volumes at three points through each cell's thickness, and where those points are."""
    place, weight = np.polynomial.legendre.leggauss(3)
    r, n = points(cell)
    volumes, at = [], []
    for p, w in zip(place, weight):
        s = cell["t"] * (low + (high - low) * (p + 1) / 2)
        stretch = 1 + 2 * cell["H"] * s + cell["K"] * s * s
        volumes.append(cell["area"] * stretch * cell["t"] * (high - low) * w / 2)
        at.append(r + s[:, None] * n)
    return np.concatenate(volumes), np.concatenate(at)


def crease_moments(crease, low, high):
    """Moments 0, 1, 2 of each piece's kites along the bisector, about the crease."""
    moment = np.zeros((3, len(crease["t"])))
    half = crease["turn"] / 2
    for end, sign in ((high, 1.0), (low, -1.0)):
        s = crease["t"] * end
        side, tip = s * np.cos(half), s / np.cos(half)  # corners along the bisector; third is 0
        area = sign * s * s * np.tan(half) * crease["length"]
        moment[0] += area
        moment[1] += area * (side + tip) / 3
        moment[2] += area * (side * side + side * tip + tip * tip) / 6
    return moment


def total(values):
    return np.array([math.fsum(column) for column in np.atleast_2d(values.T)])


def weigh(path, density, face):
    low, high = {"outside": (-1.0, 0.0), "middle": (-0.5, 0.5), "inside": (0.0, 1.0)}[face]
    cell, crease = read(path)
    volumes, at = cell_parts(cell, low, high)
    r, e = points(crease)
    m0, m1, m2 = crease_moments(crease, low, high)

    volume = math.fsum(volumes) + math.fsum(m0)
    first = total(volumes[:, None] * at)
    if len(m0):
        first = first + total(m0[:, None] * r + m1[:, None] * e)
    centre = first / volume

    second = np.zeros((3, 3))
    from_centre, r = at - centre, r - centre
    for i in range(3):
        for j in range(3):
            second[i, j] = math.fsum(volumes * from_centre[:, i] * from_centre[:, j]) + math.fsum(
                m0 * r[:, i] * r[:, j] + m1 * (r[:, i] * e[:, j] + e[:, i] * r[:, j])
                + m2 * e[:, i] * e[:, j])
    inertia = density * (np.trace(second) * np.eye(3) - second)
    area = math.fsum(cell["area"])
    return {
        "mass_g": volume * density,
        "volume_mm3": volume,
        "face_area_mm2": area,
        "mean_thickness_mm": math.fsum(cell["area"] * cell["t"]) / area,
        "centroid_mm": centre.tolist(),
        "inertia_g_mm2": inertia.tolist(),
    }


def main():
    if len(sys.argv) != 4 or sys.argv[3] not in ("outside", "middle", "inside"):
        sys.exit("use: sum_cells.py CELLS.csv DENSITY outside|middle|inside")
    json.dump(weigh(sys.argv[1], float(sys.argv[2]), sys.argv[3]), sys.stdout, indent=1)
    print()


if __name__ == "__main__":
    main()
