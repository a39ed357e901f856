#!/usr/bin/env python3
"""Read a thickness picture with nothing but zlib and the PNG standard, and hold it against the CSV grid.

    read_png.py MAP.png GRID.csv

W3C Recommendation "Portable Network Graphics (PNG) Specification (Second Edition)": signature, chunks with
CRC-32, deflate, filters 0 to 4. Exit code 0 when every level times the step that the file itself names is
within half a step of the thickness of the same node, and the same nodes have none.
"""
import csv
import struct
import sys
import zlib


def chunks(data):
    assert data[:8] == b"\x89PNG\r\n\x1a\n", "signature"
    at = 8
    while at < len(data):
        length, kind = struct.unpack(">I4s", data[at:at + 8])
        body = data[at + 8:at + 8 + length]
        crc, = struct.unpack(">I", data[at + 8 + length:at + 12 + length])
        assert zlib.crc32(kind + body) == crc, kind
        yield kind, body
        at += 12 + length


def paeth(a, b, c):
    p = a + b - c
    return min((abs(p - a), 0, a), (abs(p - b), 1, b), (abs(p - c), 2, c))[2]


def rows(raw, width, height):
    stride, above = 2 * width, bytearray(2 * width)
    for row in range(height):
        kind, line = raw[row * (stride + 1)], bytearray(raw[row * (stride + 1) + 1:][:stride])
        for k in range(stride):
            left, over = (line[k - 2], above[k - 2]) if k >= 2 else (0, 0)
            add = (0, left, above[k], (left + above[k]) // 2, paeth(left, above[k], over))[kind]
            line[k] = (line[k] + add) & 255
        yield struct.unpack(f">{width}H", line)
        above = line


def main(picture, table):
    texts, packed = {}, b""
    for kind, body in chunks(open(picture, "rb").read()):
        if kind == b"IHDR":
            width, height, depth, colour, _, _, interlace = struct.unpack(">IIBBBBB", body)
            assert (depth, colour, interlace) == (16, 0, 0), (depth, colour, interlace)
        elif kind == b"tEXt":
            keyword, text = body.split(b"\0", 1)
            texts[keyword.decode("latin-1")] = text.decode("latin-1")
        elif kind == b"IDAT":
            packed += body
    levels = [level for row in rows(zlib.decompress(packed), width, height) for level in row]
    say = {key: float(texts[f"taperwright-{key}-mm"]) for key in ("left", "top", "offset")}
    step = float(texts["taperwright-mm-per-level"])
    pixel = float(texts["taperwright-mm-per-pixel"]), float(texts["taperwright-mm-per-pixel-up"])
    assert texts["taperwright-quantity"] == "thickness" and texts["taperwright-unit"] == "mm"
    nodes = list(csv.DictReader(open(table)))
    assert len(nodes) == len(levels) == width * height, (len(nodes), len(levels))
    worst = 0
    for n, (node, level) in enumerate(zip(nodes, levels)):
        across = say["left"] + (n % width + 0.5) * pixel[0]
        up = say["top"] - (n // width + 0.5) * pixel[1]
        assert abs(across - float(node["across_mm"])) < 1e-9, (n, across, node)
        assert abs(up - float(node["up_mm"])) < 1e-9, (n, up, node)
        assert (level == 0) == (node["thickness_mm"] == ""), (n, level, node)
        if level:
            value = say["offset"] + level * step
            worst = max(worst, abs(value - float(node["thickness_mm"])) / step)
    assert worst <= 0.5 + 1e-6, worst
    print(f"{width} by {height} nodes, {sum(level > 0 for level in levels)} with metal, "
          f"at most {worst:.3f} of a step off")


main(*sys.argv[1:])
