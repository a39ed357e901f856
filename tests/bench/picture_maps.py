#!/usr/bin/python3
"""Two maps as the picture's peers take them, made from the program's own export; not timed.

    picture_maps.py FOLDER FORGED.csv SHEET.csv

Writes FOLDER/forged.xyz and sheet.xyz (across, up, mm; NaN off the metal; a blank line after each
row, as gnuplot wants) and FOLDER/maps.npz for matplotlib. picture_gmt makes its own grids of them."""
import sys

import numpy as np


def main():
    folder = sys.argv[1]
    keep = {}
    for name, path in zip(("forged", "sheet"), sys.argv[2:]):
        table = np.genfromtxt(path, delimiter=",", skip_header=1)[:, [0, 1, 5]]
        across, up = np.unique(table[:, 0]), np.unique(table[:, 1])
        field = np.full((len(up), len(across)), np.nan)
        field[np.searchsorted(up, table[:, 1]), np.searchsorted(across, table[:, 0])] = table[:, 2]
        keep.update({name: field, "across": across, "up": up})
        with open(f"{folder}/{name}.xyz", "w", encoding="ascii") as out:
            for u, row in zip(up, field):
                out.writelines(f"{a:.6f} {u:.6f} {t:.6f}\n" for a, t in zip(across, row))
                out.write("\n")
    np.savez(f"{folder}/maps.npz", **keep)


if __name__ == "__main__":
    main()
