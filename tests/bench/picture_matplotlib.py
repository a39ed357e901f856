#!/usr/bin/python3
"""The two maps of picture_maps.py on one scale, contours in the first, a colour bar, 1600 pixels wide.

    picture_matplotlib.py FOLDER
"""
import sys

import matplotlib
matplotlib.use("Agg")
import matplotlib.pyplot as plt
import numpy as np


def main():
    maps = np.load(f"{sys.argv[1]}/maps.npz")
    across, up = maps["across"], maps["up"]
    figure, axes = plt.subplots(1, 2, figsize=(16, 9.2), dpi=100)
    for axis, name, title in zip(axes, ("forged", "sheet"), ("As forged", "As even sheet")):
        image = axis.imshow(maps[name], origin="lower", extent=(across[0], across[-1], up[0], up[-1]),
                            cmap="magma_r", vmin=0.8, vmax=2.2)
        axis.set_title(title)
    lines = axes[0].contour(across, up, maps["forged"], np.arange(1.0, 2.3, 0.2), colors="k")
    axes[0].clabel(lines, fontsize=9)
    figure.colorbar(image, ax=axes, label="mm")
    figure.savefig(f"{sys.argv[1]}/matplotlib.png")


if __name__ == "__main__":
    main()
