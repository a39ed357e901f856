#!/usr/bin/python3
"""The whole job of `taperwright compare --grid 512 profiles/breastplate.yaml -o x.png` with numpy,
scipy and matplotlib, as a careful user of these would write it: whole arrays at a time, compiled
routines for everything that loops over nodes.

    compare_peer.py [-o FILE.png] [--grid CELLS] [--neighbours 8|16]

The plate's numbers stand below instead of in a profile, so nothing is spent on reading one. Three
grids (CELLS, a half, a quarter) give the numerical error by Richardson's rule. Distances run
along the edges of the grid (Dijkstra), lengths being chords in space: with 8 neighbours up to 8 %
too long, with 16 up to 3 %, on a square grid (derived: 1/cos(22.5 deg), 1/cos(13.3 deg)).
Prints the masses, so that one sees that it does the same job.
"""
import argparse
import time

import matplotlib
matplotlib.use("Agg")
import matplotlib.pyplot as plt
import numpy as np
from matplotlib.path import Path
from scipy.interpolate import PchipInterpolator
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra
from scipy.spatial import cKDTree

# profiles/breastplate.yaml: an invented workshop order, mm throughout
DENSITY = 7.85e-3  # g/mm3, mild steel
#           ruler width centre sides tape
STATIONS = [(0, 276, 84, 0, None), (70, 318, 118, 0, None), (150, 352, 136, 0, 468),
            (240, 356, 134, 0, 464), (320, 332, 116, 12, None), (400, 280, 84, 30, None)]
KEEL_STANDS, KEEL_WIDTH = 7.0, 70.0
WAIST = [(-166, 20), (-80, 8), (0, 6), (80, 8), (166, 20)]
SIDE = [(166, 20), (199, 80), (222, 170), (220, 235)]
ARM = [(220, 235), (163, 280), (132, 350), (120, 414)]
NECK = [(120, 414), (62, 392), (0, 384), (-62, 392), (-120, 414)]
HOLES = [(108, 396), (-108, 396), (205, 110), (-205, 110)]
HOLE_RADIUS = 2.5
#         name     at         across up thickness
STRIKES = [("chest", (0, 285), 80, 52, 2.2), ("belly", (0, 130), 55, 50, 1.6)]
#       thickness hold
EDGES = {"waist": (1.1, 6), "side": (0.9, 0), "arm": (1.0, 6), "neck": (1.2, 6)}
OWN_SHEET = 1.6256  # 16 swg
FRACTIONS = 600     # of a section, centre to side


# ---- form ------------------------------------------------------------------------------------

def conic(half, rise, bend, t):
    """Half of a section from crown (t = 0) to side (t = 1), level at the crown."""
    q = 1 / (1 + bend * t * t)
    return half * (1 + bend) * t * q, rise * (1 - t * t) * q


def run(*axes):
    """Length along a polyline, 0 at its first point; along the last axis."""
    steps = np.sqrt(sum(np.diff(a, axis=-1) ** 2 for a in axes))
    return np.concatenate([np.zeros_like(axes[0][..., :1]), np.cumsum(steps, axis=-1)], axis=-1)


def section(width, centre, sides, tape):
    """x, z of one side cut at equal fractions of its arc, keel added."""
    half, rise = width / 2, centre - sides
    t = np.linspace(0, 1, 4001)
    bend = min((rise / half) ** 2, 1)  # the circle through sides and centre
    if tape:
        low, high = -0.999, 1.0
        for _ in range(60):
            bend = (low + high) / 2
            low, high = (bend, high) if 2 * run(*conic(half, rise, bend, t))[-1] < tape else (low, bend)
    x, z = conic(half, rise, bend, t)
    z = z + sides + KEEL_STANDS * np.clip(1 - x / (KEEL_WIDTH / 2), 0, None) ** 2
    s = run(x, z)
    even = np.linspace(0, s[-1], FRACTIONS + 1)
    return np.interp(even, s, x), np.interp(even, s, z)


class Loft:
    def __init__(self):
        ruler = np.array([s[0] for s in STATIONS], float)
        sides = np.array([section(*s[1:]) for s in STATIONS])  # station, x or z, fraction
        self.spline = PchipInterpolator(ruler, sides, axis=0)
        self.ruler = np.linspace(0, ruler[-1], 4001)
        self.up = run(self.ruler, self.spline(self.ruler)[:, 1, 0])

    def rows(self, up):
        """y, and the section at each row: tape from the centre, x, z; one step past the side."""
        y = np.interp(up, self.up, self.ruler)
        x, z = np.moveaxis(self.spline(y), 1, 0)
        x, z = (np.concatenate([v, v[:, -1:] + 500 * (v[:, -1:] - v[:, -2:-1])], axis=1)
                for v in (x, z))
        return y, run(x, z), x, z

    def face(self, across, up):
        """Points [row, column, xyz] of a grid of tape coordinates."""
        y, tape, x, z = self.rows(up)
        out = np.empty((len(up), len(across), 3))
        reach, sign = np.abs(across), np.sign(across)
        for j in range(len(up)):
            out[j, :, 0] = sign * np.interp(reach, tape[j], x[j])
            out[j, :, 2] = np.interp(reach, tape[j], z[j])
        out[:, :, 1] = y[:, None]
        return out

    def points(self, at):
        """Space of scattered tape points: the rows of a line's points are all different."""
        y, tape, x, z = self.rows(at[:, 1])
        reach, sign = np.abs(at[:, 0]), np.sign(at[:, 0])
        return np.array([(s * np.interp(r, t, a), b, np.interp(r, t, c))
                         for s, r, t, a, b, c in zip(sign, reach, tape, x, y, z)])


# ---- outline ---------------------------------------------------------------------------------

def smooth(points, step=0.5):
    """Open centripetal Catmull-Rom through the points, about `step` apart."""
    p = np.array(points, float)
    p = np.vstack([2 * p[0] - p[1], p, 2 * p[-1] - p[-2]])
    k = np.concatenate([[0], np.cumsum(np.sqrt(np.hypot(*np.diff(p, axis=0).T)))])
    parts = []
    for i in range(1, len(p) - 2):
        count = int(np.hypot(*(p[i + 1] - p[i])) / step) + 2
        t = np.linspace(k[i], k[i + 1], count, endpoint=i == len(p) - 3)[:, None]
        a = [((k[n + 1] - t) * p[n] + (t - k[n]) * p[n + 1]) / (k[n + 1] - k[n])
             for n in (i - 1, i, i + 1)]
        b = [((k[n + 2] - t) * a[m] + (t - k[n]) * a[m + 1]) / (k[n + 2] - k[n])
             for m, n in ((0, i - 1), (1, i))]
        parts.append(((k[i + 1] - t) * b[0] + (t - k[i]) * b[1]) / (k[i + 1] - k[i]))
    return np.vstack(parts)


def outline():
    """Each edge's lines, and the border once round."""
    waist, side, arm, neck = (smooth(e) for e in (WAIST, SIDE, ARM, NECK))
    left_side, left_arm = side[::-1] * (-1, 1), arm[::-1] * (-1, 1)
    lines = {"waist": [waist], "side": [side, left_side], "arm": [arm, left_arm], "neck": [neck]}
    return lines, np.vstack([waist, side, arm, neck, left_arm, left_side])


def level(border, across, up):
    """Signed tape distance from outline and holes, negative in metal."""
    a, u = np.meshgrid(across, up)
    at = np.column_stack([a.ravel(), u.ravel()])
    inside = Path(border).contains_points(at)
    off = cKDTree(border).query(at)[0]  # points are 0.5 mm apart
    out = np.where(inside, -off, off)
    for hole in HOLES:
        out = np.maximum(out, HOLE_RADIUS - np.hypot(at[:, 0] - hole[0], at[:, 1] - hole[1]))
    return out.reshape(a.shape)


# ---- distance --------------------------------------------------------------------------------

STEPS = {8: [(1, 0), (0, 1), (1, 1), (1, -1)],
         16: [(1, 0), (0, 1), (1, 1), (1, -1), (2, 1), (1, 2), (2, -1), (1, -2)]}


def distances(face, inside, seeds, neighbours):
    """Least way over metal from each seed: a list of (nodes, their own distance)."""
    rows, columns, _ = face.shape
    number = np.full((rows, columns), -1)
    number[inside] = np.arange(inside.sum())
    count = int(inside.sum())
    tails, heads, lengths = [], [], []
    for i, j in STEPS[neighbours]:
        low, high = max(j, 0), rows + min(j, 0)
        here = (slice(low - j, high - j), slice(0, columns - i))
        there = (slice(low, high), slice(i, columns))
        both = inside[here] & inside[there]
        tails.append(number[here][both])
        heads.append(number[there][both])
        lengths.append(np.linalg.norm(face[there][both] - face[here][both], axis=1))
    a, b, length = map(np.concatenate, (tails, heads, lengths))
    # one more node for each seed, with one-way edges to where it starts; 0 would mean "no edge"
    starts = [(number.ravel()[nodes], np.maximum(own, 1e-9)) for nodes, own in seeds]
    from_seed = np.concatenate([np.full(len(n), count + k) for k, (n, _) in enumerate(starts)])
    graph = csr_matrix(
        (np.concatenate([length, length] + [own for _, own in starts]),
         (np.concatenate([a, b, from_seed]), np.concatenate([b, a] + [n for n, _ in starts]))),
        shape=(count + len(seeds), count + len(seeds)))
    found = dijkstra(graph, directed=True, indices=count + np.arange(len(seeds)))
    out = np.full((len(seeds), rows, columns), np.inf)
    out[:, inside] = found[:, :count]
    return out


def cell_mean(v):
    return (v[..., :-1, :-1] + v[..., 1:, :-1] + v[..., :-1, 1:] + v[..., 1:, 1:]) / 4


# ---- one grid --------------------------------------------------------------------------------

class Grid:
    def __init__(self, loft, lines, border, cells, neighbours):
        low, high = border.min(axis=0), border.max(axis=0)
        self.step = step = (high - low).max() / cells
        shape = np.rint((high - low) / step).astype(int)
        self.across = np.linspace(low[0], high[0], shape[0] + 1)
        self.up = np.linspace(low[1], high[1], shape[1] + 1)
        da, du = self.across[1] - self.across[0], self.up[1] - self.up[0]
        self.level = level(border, self.across, self.up)
        self.face = loft.face(self.across, self.up)
        self.measure(da, du)
        touched = self.cover > 0
        self.inside = inside = self.level < 0
        for part in ((slice(None, -1), slice(None, -1)), (slice(1, None), slice(None, -1)),
                     (slice(None, -1), slice(1, None)), (slice(1, None), slice(1, None))):
            inside[part] |= touched
        d = distances(self.face, inside, self.seeds(loft, lines), neighbours)
        self.cell_t = blend(cell_mean(d))
        self.node_t = np.where(self.level < 0, blend(d), np.nan)

    def measure(self, da, du):
        """Areas, normals and curvatures at the cells, all by central differences."""
        r_u, r_a = np.gradient(self.face, du, da, axis=(0, 1))
        n = np.cross(r_a, r_u)
        n /= np.linalg.norm(n, axis=2, keepdims=True)
        n_u, n_a = np.gradient(n, du, da, axis=(0, 1))
        dot = lambda p, q: np.einsum("ijk,ijk->ij", p, q)
        E, F, G = dot(r_a, r_a), dot(r_a, r_u), dot(r_u, r_u)
        # n points outward, so that a ball's own curvature 1/R is n_a . r_a / E
        L, M, N = dot(n_a, r_a), dot(n_a, r_u), dot(n_u, r_u)
        det = E * G - F * F
        self.mean = cell_mean((E * N - 2 * F * M + G * L) / (2 * det))
        self.gauss = cell_mean((L * N - M * M) / det)
        self.cover = np.clip(0.5 - cell_mean(self.level) / self.step, 0, 1)
        self.area = cell_mean(np.sqrt(det)) * da * du * self.cover
        self.centre = cell_mean(np.moveaxis(self.face, 2, 0))
        normal = cell_mean(np.moveaxis(n, 2, 0))
        self.normal = normal / np.linalg.norm(normal, axis=0)

    def seeds(self, loft, lines):
        a, u = np.meshgrid(self.across, self.up)
        near, nodes = 1.5 * self.step, np.flatnonzero(self.inside)
        space = self.face.reshape(-1, 3)[nodes]
        out = []
        for _, at, half_a, half_u, _ in STRIKES:
            x, y = (a - at[0]) / half_a, (u - at[1]) / half_u
            q = np.hypot(x, y)
            slope = np.hypot(x / half_a, y / half_u) / np.maximum(q, 1e-9)
            off = ((q - 1) / np.maximum(slope, 1e-9)).ravel()
            start = np.flatnonzero((off < near) & self.inside.ravel())
            out.append((start, np.maximum(off[start], 0)))
        for edge in EDGES:
            border = loft.points(np.vstack(lines[edge]))
            own = cKDTree(border).query(space, distance_upper_bound=near)[0]
            start = np.isfinite(own)
            out.append((nodes[start], own[start]))
        return out

    def weigh(self, t):
        """Outside face: metal from s = -t to 0 along the normal."""
        t = np.broadcast_to(t, self.area.shape)
        bend, twist = self.mean * t, self.gauss * t * t
        m0 = self.area * t * (1 - bend + twist / 3)
        m1 = self.area * t * t * (-1 / 2 + 2 * bend / 3 - twist / 4)
        volume = m0.sum()
        first = np.einsum("kij,ij->k", self.centre, m0) + np.einsum("kij,ij->k", self.normal, m1)
        return volume * DENSITY, first / volume


# ---- thickness -------------------------------------------------------------------------------

def blend(d):
    """Forged taper from the distances of every strike zone and edge, straight law."""
    strike, edge = d[:len(STRIKES)], d[len(STRIKES):]
    hold = np.array([h for _, h in EDGES.values()], float)[:, None, None]
    edge = np.maximum(edge - hold, 0)
    t_s = average(strike, [s[4] for s in STRIKES])
    t_e = average(edge, [t for t, _ in EDGES.values()])
    d_s, d_e = strike.min(axis=0), edge.min(axis=0)
    with np.errstate(invalid="ignore", divide="ignore"):
        t = t_e + (t_s - t_e) * np.where(d_s == 0, 1, d_e / (d_s + d_e))
    return np.where(np.isfinite(t), t, 0)


def average(d, thickness):
    """Weighted by 1/d^2; where a distance is 0, the thickest of those there."""
    thickness = np.array(thickness)[:, None, None]
    on = d < 1e-6
    with np.errstate(invalid="ignore", divide="ignore"):
        weight = 1 / (d * d)
        mean = (weight * thickness).sum(axis=0) / weight.sum(axis=0)
    return np.where(on.any(axis=0), np.where(on, thickness, 0).max(axis=0), mean)


def same_mass(grid, mass):
    """Even sheet of this mass: a cubic in its thickness."""
    area, mean, gauss = (np.sum(grid.area * v) for v in (1, grid.mean, grid.gauss))
    t = mass / DENSITY / area
    for _ in range(20):
        t -= ((area - mean * t + gauss * t * t / 3) * t - mass / DENSITY) / \
             (area - 2 * mean * t + gauss * t * t)
    return t


# ---- picture ---------------------------------------------------------------------------------

def draw(grid, border, masses, path):
    forged, sheet = grid.node_t, np.where(grid.level < 0, OWN_SHEET, np.nan)
    extent = (grid.across[0], grid.across[-1], grid.up[0], grid.up[-1])
    figure, axes = plt.subplots(1, 3, figsize=(16, 12.18), dpi=100)
    panels = [("As forged", forged, "magma_r", 0.8, 2.2, np.arange(1.0, 2.3, 0.2)),
              ("As even sheet", sheet, "magma_r", 0.8, 2.2, None),
              ("Difference", forged - sheet, "RdBu_r", -0.75, 0.75, np.arange(-0.5, 0.6, 0.25))]
    angle = np.linspace(0, 2 * np.pi, 128)
    for axis, (title, field, colours, low, high, steps), text in zip(axes, panels, masses):
        image = axis.imshow(field, origin="lower", extent=extent, cmap=colours, vmin=low, vmax=high,
                            interpolation="bilinear")
        if steps is not None:
            drawn = axis.contour(grid.across, grid.up, field, steps, colors="k", linewidths=0.8)
            axis.clabel(drawn, fontsize=9)
        axis.plot(*np.vstack([border, border[:1]]).T, "k-", linewidth=2)
        for name, at, half_a, half_u, t in STRIKES:
            axis.plot(at[0] + half_a * np.cos(angle), at[1] + half_u * np.sin(angle), "k--")
            if axis is axes[0]:
                axis.text(*at, f"{name}\n{t:.2f} mm", ha="center", va="center", weight="bold")
        for hole in HOLES:
            axis.add_patch(plt.Circle(hole, HOLE_RADIUS, fc="w", ec="k"))
        axis.set_title(title, weight="bold")
        axis.set_xlabel(text)
        figure.colorbar(image, ax=axis, orientation="horizontal", pad=0.12)
    figure.suptitle("breastplate: forged taper against even sheet", weight="bold", fontsize=20)
    figure.savefig(path)
    plt.close(figure)


def numerical_error(coarse, middle, fine):
    near, far = abs(fine - middle), abs(middle - coarse)
    order = np.log2(far / near) if near > 0 and far > 0 else np.nan
    return near / (2 ** order - 1) if 1.5 <= order <= 3.5 else 1.25 * max(near, far)


def main():
    words = argparse.ArgumentParser(description="the same job as taperwright compare")
    words.add_argument("-o", "--output")
    words.add_argument("--grid", type=int, default=512)
    words.add_argument("--neighbours", type=int, choices=(8, 16), default=8)
    words.add_argument("--times", action="store_true", help="print where the time goes")
    args = words.parse_args()
    began = time.perf_counter()
    loft, (lines, border) = Loft(), outline()
    masses, took = [], [time.perf_counter() - began]
    for cells in (args.grid // 4, args.grid // 2, args.grid):
        grid = Grid(loft, lines, border, cells, args.neighbours)
        masses.append(grid.weigh(grid.cell_t)[0])
        took.append(time.perf_counter() - began)
    mass, balance = grid.weigh(grid.cell_t)
    print(f"forged {mass:.1f} g, +/- {numerical_error(*masses):.1f} g between grids; "
          f"face {grid.area.sum():.0f} mm2, balance {balance[1]:.1f} along, {balance[2]:.1f} up")
    for name, t in (("strike thickness", 2.2), ("same mass", same_mass(grid, mass)),
                    ("own stock", OWN_SHEET)):
        sheet, centre = grid.weigh(t)
        thinner = grid.area > 0
        saved = (grid.area * (t - grid.cell_t))[thinner & (grid.cell_t < t)].sum() * DENSITY
        print(f"{name} {t:.4f} mm: {sheet:.1f} g, {sheet - mass:+.1f} g, about {saved:.0f} g left "
              f"off; forged lies {balance[2] - centre[2]:.1f} mm farther out")
    if args.output:
        own = grid.weigh(OWN_SHEET)[0]
        draw(grid, border, (f"{mass / 1000:.2f} kg", f"{own / 1000:.2f} kg", f"{mass - own:.0f} g"),
             args.output)
    took.append(time.perf_counter() - began)
    if args.times:
        print("seconds: " + ", ".join(f"{name} {b - a:.2f}" for name, a, b in zip(
            ("form", "quarter grid", "half grid", "grid", "picture"), [0] + took, took)))


if __name__ == "__main__":
    main()
