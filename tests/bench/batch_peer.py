#!/usr/bin/python3
"""The same job as `taperwright batch --vary thickness.sheet=…`: a line for each plate, on two processes.

    batch_peer.py CELLS PLATES

Each plate is modelled anew by compare_peer.py's own arrays: three grids, distances, forged and sheet.
"""
import multiprocessing
import os
import sys

os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")  # processes share the processors
import compare_peer as plate  # noqa: E402


def row(task):
    cells, sheet = task
    loft, (lines, border) = plate.Loft(), plate.outline()
    masses = []
    for n in (cells // 4, cells // 2, cells):
        grid = plate.Grid(loft, lines, border, n, 8)
        masses.append(grid.weigh(grid.cell_t)[0])
    even, centre = grid.weigh(sheet)
    return "%.3f,%.6f,%.6f,%.6f,%.3f" % (sheet, masses[-1], even, plate.numerical_error(*masses), centre[2])


def main():
    cells, plates = int(sys.argv[1]), int(sys.argv[2])
    tasks = [(cells, 1 + k / 1000) for k in range(plates)]
    with multiprocessing.Pool(2) as pool:
        for line in pool.imap(row, tasks, chunksize=4):
            print(line)


if __name__ == "__main__":
    main()
