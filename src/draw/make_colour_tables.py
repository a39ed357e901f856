#!/usr/bin/env python3
"""Writes src/draw/colour_tables.c: the colour scales as tables of sRGB, laid out in CIELAB.

    src/draw/make_colour_tables.py           write the table
    src/draw/make_colour_tables.py --check   fail when the table is not what this program writes

A scale is a path through L*, C*, h, straight between stops. It is cut into steps of one length by
CIEDE2000, so that equal steps of thickness look equally large; L* falls all along a path, so that a
grey print keeps the order. Both hold at once because lightness has no pace of its own: it goes
slower where hue and chroma change much. The two halves of the difference are equally long: the
chroma of the copper half is scaled until they are. Stops lie inside sRGB (checked), nothing is
clipped. Of the 27 triples of bytes about a colour the nearest is taken that is darker than the entry
before, L* counting more, so that rounding does not break the order.

Sources: CIELAB, CIE 15:2004; sRGB, IEC 61966-2-1 with its D65 white; CIEDE2000 as in Sharma, Wu &
Dalal, Color Res. Appl. 30(1), 2005. Hues: those of steel as it is tempered, straw, brown, purple,
blue (common knowledge of the trade). No library beyond Python's own.
"""

import os
import sys
from itertools import product
from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt

STEPS = 512
FINE = 4096  # pieces in which a path's length is summed

# L*, C*, h in degrees.
THICKNESS = ((96, 20, 98), (82, 50, 84), (64, 56, 58), (49, 44, 18), (37, 38, -30), (24, 40, -70))
THINNER = ((94, 0, 200), (84, 17, 203), (60, 29, 210), (38, 23.5, 225))
THICKER = ((94, 0, 60), (84, 22, 59), (58, 46, 55), (38, 56, 46))
SPREAD = ((96, 3, 150), (65, 16, 160), (34, 22, 175))

WHITE = (0.95047, 1.0, 1.08883)  # D65
TO_XYZ = ((0.4124564, 0.3575761, 0.1804375),
          (0.2126729, 0.7151522, 0.0721750),
          (0.0193339, 0.1191920, 0.9503041))
FROM_XYZ = ((3.2404542, -1.5371385, -0.4985314),
            (-0.9692660, 1.8760108, 0.0415560),
            (0.0556434, -0.2040259, 1.0572252))


def times(matrix, v):
    return [sum(m * x for m, x in zip(row, v)) for row in matrix]


def linear_of_lab(lab):
    def back(f):
        return f ** 3 if f > 6 / 29 else 3 * (6 / 29) ** 2 * (f - 4 / 29)

    fy = (lab[0] + 16) / 116
    f = (fy + lab[1] / 500, fy, fy - lab[2] / 200)
    return times(FROM_XYZ, [w * back(v) for w, v in zip(WHITE, f)])


def lab_of_bytes(rgb):
    def linear(c):
        return c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4

    def f(t):
        return t ** (1 / 3) if t > 216 / 24389 else (24389 / 27 * t + 16) / 116

    x, y, z = [f(v / w) for v, w in zip(times(TO_XYZ, [linear(c / 255) for c in rgb]), WHITE)]
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def ciede2000(p, q):
    """CIEDE2000 of two Lab colours, all weights 1; names as in the paper."""
    c_mean = (hypot(p[1], p[2]) + hypot(q[1], q[2])) / 2
    g = 0.5 * (1 - sqrt(c_mean ** 7 / (c_mean ** 7 + 25 ** 7)))
    (a1, b1), (a2, b2) = ((v[1] * (1 + g), v[2]) for v in (p, q))
    c1, c2 = hypot(a1, b1), hypot(a2, b2)
    h1, h2 = degrees(atan2(b1, a1)) % 360, degrees(atan2(b2, a2)) % 360
    if c1 * c2 == 0:
        dh, h = 0, h1 * (c1 > 0) + h2 * (c2 > 0)
    else:
        dh = (h2 - h1 + 180) % 360 - 180
        h = (h1 + dh / 2) % 360
    dl, dc = q[0] - p[0], c2 - c1
    dhh = 2 * sqrt(c1 * c2) * sin(radians(dh / 2))
    l, c = (p[0] + q[0]) / 2, (c1 + c2) / 2
    t = (1 - 0.17 * cos(radians(h - 30)) + 0.24 * cos(radians(2 * h)) +
         0.32 * cos(radians(3 * h + 6)) - 0.20 * cos(radians(4 * h - 63)))
    s_l = 1 + 0.015 * (l - 50) ** 2 / sqrt(20 + (l - 50) ** 2)
    s_c, s_h = 1 + 0.045 * c, 1 + 0.015 * c * t
    turn = 60 * exp(-((h - 275) / 25) ** 2)
    r_t = -sin(radians(turn)) * 2 * sqrt(c ** 7 / (c ** 7 + 25 ** 7))
    dl, dc, dhh = dl / s_l, dc / s_c, dhh / s_h
    return sqrt(dl * dl + dc * dc + dhh * dhh + r_t * dc * dhh)


def at(stops, place):
    """Lab at a place 0 … 1 along a path, by lightness."""
    lightness = stops[0][0] + place * (stops[-1][0] - stops[0][0])
    k = 0
    while k + 2 < len(stops) and lightness < stops[k + 1][0]:
        k += 1
    f = (lightness - stops[k][0]) / (stops[k + 1][0] - stops[k][0])
    chroma, hue = (stops[k][d] + f * (stops[k + 1][d] - stops[k][d]) for d in (1, 2))
    return lightness, chroma * cos(radians(hue)), chroma * sin(radians(hue))


def lengths(stops, pieces):
    """Length of a path from its beginning to each of its places."""
    colours = [at(stops, k / pieces) for k in range(pieces + 1)]
    sums = [0.0]
    for p, q in zip(colours, colours[1:]):
        sums.append(sums[-1] + ciede2000(p, q))
    return sums


def even(stops, steps):
    """steps + 1 colours of a path, equally far from each other."""
    sums = lengths(stops, FINE)
    out, k = [], 0
    for n in range(steps + 1):
        wanted = sums[-1] * n / steps
        while k < FINE - 1 and sums[k + 1] < wanted:
            k += 1
        out.append(at(stops, (k + (wanted - sums[k]) / (sums[k + 1] - sums[k])) / FINE))
    return out


def as_long_as(stops, other):
    """Stops with the chroma scaled so that both paths have one length."""
    wanted = lengths(other, FINE)[-1]
    low, high = 0.5, 1.5
    for _ in range(30):
        factor = (low + high) / 2
        scaled = tuple((l, c * factor, h) for l, c, h in stops)
        if lengths(scaled, 512)[-1] < wanted:
            low = factor
        else:
            high = factor
    return scaled


def to_bytes(lab, darker_than):
    linear = linear_of_lab(lab)
    if min(linear) < -1e-9 or max(linear) > 1 + 1e-9:
        sys.exit("make_colour_tables: L*a*b* %.1f %.1f %.1f lies outside sRGB" % lab)
    near = [int(255 * (12.92 * v if v <= 0.0031308 else 1.055 * max(v, 0) ** (1 / 2.4) - 0.055) + 0.5)
            for v in linear]

    def miss(rgb):
        here = lab_of_bytes(rgb)
        dl, da, db = (p - q for p, q in zip(here, lab))
        return here[0] >= darker_than, 12 * dl * dl + da * da + db * db

    about = [[c for c in (v - 1, v, v + 1) if 0 <= c <= 255] for v in near]
    return min(product(*about), key=miss)


def falling(colours):
    """Bytes of colours, each a little darker than the one before."""
    out, before = [], 101
    for lab in colours:
        out.append(to_bytes(lab, before))
        before = lab_of_bytes(out[-1])[0] - 0.005
    return out


def table(name, comment, colours):
    words = ["0x%02X%02X%02X," % rgb for rgb in colours]
    rows = [" ".join(words[k:k + 8]) for k in range(0, len(words), 8)]
    return "/* %s */\nconst uint32_t %s[TW_COLOUR_STEPS + 1] = {\n    %s\n};\n" % (
        comment, name, "\n    ".join(rows))


def text():
    thinner = falling(even(THINNER, STEPS // 2))
    thicker = falling(even(as_long_as(THICKER, THINNER), STEPS // 2))
    return "\n".join((
        "/*\n"
        " * colour_tables.c: written by src/draw/make_colour_tables.py, which says how; do not edit.\n"
        " * sRGB, 0xRRGGBB: steps of equal CIEDE2000 along paths through CIELAB, L* falling.\n"
        " */\n"
        "/* clang-format off */\n"
        "#include \"colour_tables.h\"\n",
        table("tw_colours_thickness", "Thin, pale straw, to thick, deep blue.",
              falling(even(THICKNESS, STEPS))),
        table("tw_colours_difference", "Forged thinner, teal, over neutral to forged thicker, copper.",
              thinner[:0:-1] + thicker),
        table("tw_colours_spread", "Sure, pale, to unsure, dark, near grey.",
              falling(even(SPREAD, STEPS)))))


def main():
    path = os.path.join(os.path.dirname(os.path.abspath(__file__)), "colour_tables.c")
    if sys.argv[1:] == ["--check"]:
        with open(path, encoding="ascii") as stored:
            if stored.read() != text():
                sys.exit("src/draw/colour_tables.c is not what make_colour_tables.py writes: "
                         "run it and commit the table")
    elif sys.argv[1:]:
        sys.exit(__doc__)
    else:
        with open(path, "w", encoding="ascii", newline="\n") as out:
            out.write(text())


if __name__ == "__main__":
    main()
