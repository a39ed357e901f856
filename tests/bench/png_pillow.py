#!/usr/bin/python3
"""Pillow (zlib level 6, as bench_png.c) encoding the picture that bench_png kept.

    png_pillow.py PIXELS.ppm

Prints "png-pillow WIDTH HEIGHT MS" with the median time.
"""
import io
import statistics
import sys
import time

from PIL import Image


def main():
    image = Image.open(sys.argv[1])
    image.load()
    took = []
    for _ in range(9):
        start = time.perf_counter()
        image.save(io.BytesIO(), "PNG", compress_level=6)
        took.append(1e3 * (time.perf_counter() - start))
    print(f"png-pillow {image.width} {image.height} {statistics.median(took):.3f}")


if __name__ == "__main__":
    main()
