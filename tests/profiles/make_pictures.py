"""Pictures of 16-bit grey as any program could write them, with a profile beside each, for tests.

    make_pictures.py NAME ...    NAME.yaml, and the NAME.png that it names
"""
import math
import struct
import sys
import zlib

SIDE, A, DEPTH = 128, 60, 20  # pixels of 1 mm; rim radius and depth of a cap of a ball [mm]
RADIUS = (A * A + DEPTH * DEPTH) / (2 * DEPTH)
BOWL = "{bowl: {across: 60 mm, depth: 20 mm}}"
SCALE = "mm per pixel: 1 mm, mm per level: 0.001 mm"


def png(name, level, texts=(), depth=16):
    def chunk(kind, body):
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    rows = b"".join(b"\0" + b"".join(struct.pack(">H", level(math.hypot(i - 63.5, j - 63.5)))[-depth // 8:]
                                     for i in range(SIDE)) for j in range(SIDE))
    data = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", SIDE, SIDE, depth, 0, 0, 0, 0))
    data += b"".join(chunk(b"tEXt", f"taperwright-{key}\0{text}".encode()) for key, text in texts)
    data += chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
    with open(name + ".png", "wb") as file:
        file.write(data[:len(data) // 2] if name == "cut" else data)


def dome(r):  # level 1 is the bench
    return 1 + round((math.sqrt(RADIUS * RADIUS - r * r) - RADIUS + DEPTH) / 0.001) if r <= A else 0


def heights(name, keys):
    return "{heights: {file: %s.png, %s}}" % (name, keys), "{sheet: 1.5 mm}"


def image(name, keys):
    return BOWL, "{sheet: 1 mm, image: {file: %s.png%s}}" % (name, keys)


for name in sys.argv[1:]:
    if name in ("dome", "eight", "cut", "bare"):
        png(name, lambda r: dome(r) // (256 if name == "eight" else 1), depth=8 if name == "eight" else 16)
        form, thickness = heights(name, "mm per pixel: 1 mm" if name == "bare" else
                                  SCALE + ", offset: -0.001 mm, origin: [64 mm, 64 mm, 20 mm]")
    elif name == "told":
        png(name, lambda r: 1500, (("mm-per-level", "0.001"), ("mm-per-pixel", "1"), ("left-mm", "-64"),
                                   ("top-mm", "64")))
        form, thickness = image(name, "")
    else:  # 2 mm in the middle, 0.01 mm less each mm outward
        png(name, lambda r: 2000 - round(10 * r))
        left = -20 if name == "beside" else -64
        form, thickness = image(name, f", {SCALE}, left: {left} mm, top: 64 mm, uncertainty: 0.02 mm")
    with open(name + ".yaml", "w") as file:
        file.write(f"plate: {name}\nmaterial: mild steel\nform: {form}\nthickness: {thickness}\n")
