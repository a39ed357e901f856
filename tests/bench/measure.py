"""How a row of tests/bench/run is measured: commands run in turn, medians, raw times, tables."""
import csv
import math
import os
import statistics
import subprocess
import sys
import tempfile
import time

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
BUILD = os.path.join(ROOT, "build", "bench")

# A 60 deg cap of a ball of 150 mm, that of bench_blank.c.
CAP = """plate: cap
material: mild steel
face: middle
ruler: mm
form: {bowl: {across: 129.904 mm, depth: 75 mm}}
thickness: {sheet: 1 mm}
"""


def program(name, *words):
    """One of ours, built from this folder."""
    return [os.path.join(BUILD, "tests", "bench", name), *words]


def peer(name, *words):
    """A Python program of this folder."""
    return ["/usr/bin/python3", os.path.join(HERE, name), *words]


class Run:
    """A command run once: what it printed, how long it took, processor time, peak memory."""

    def __init__(self, command):
        with tempfile.NamedTemporaryFile("r") as used:
            start = time.perf_counter()
            done = subprocess.run(["/usr/bin/time", "-f", "%U %S %M", "-o", used.name] + command,
                                  capture_output=True, text=True, cwd=ROOT)
            self.wall_ms = 1e3 * (time.perf_counter() - start)
            if done.returncode:
                sys.exit(f"{' '.join(command)} failed:\n{done.stdout}{done.stderr}")
            user, system, peak = used.read().split()[-3:]
        self.cpu_ms = 1e3 * (float(user) + float(system))
        self.peak_mb = int(peak) / 1024
        self.lines = [line.split() for line in done.stdout.splitlines() if line]

    def line(self, *words):
        return next(line for line in self.lines if tuple(line[:len(words)]) == words)


class Side:
    """Who is run, and how; where the milliseconds that count and the note are found in a run."""

    def __init__(self, who, command, ms=lambda run: run.wall_ms, note=lambda run: ""):
        self.who, self.command, self.ms, self.note = who, command, ms, note


class Row:
    """One row: ours first, then any number of peers. `limit` names rows whose times of ours added up
    are what the machine alone takes for it; `ready` is called once before the first run."""

    def __init__(self, name, *sides, limit=(), ready=lambda: None):
        self.name, self.sides, self.limit, self.ready = name, sides, limit, ready


class Taken:
    """The turns of one side: medians and extremes."""

    def __init__(self, who):
        self.who, self.times, self.peaks, self.notes = who, [], [], []

    def add(self, ms, run, note):
        self.times.append(ms)
        self.peaks.append(run.peak_mb)
        self.notes.append((ms, note))

    @property
    def ms(self):
        return statistics.median(self.times)

    @property
    def peak_mb(self):
        return max(self.peaks)

    @property
    def note(self):
        """Of the median run."""
        return sorted(self.notes)[len(self.notes) // 2][1]


class Records:
    """Every raw time, written as it comes, so that a run broken off leaves what it had."""

    def __init__(self, path):
        self.file = open(path, "w", newline="", encoding="utf-8")
        self.rows = csv.writer(self.file)
        self.rows.writerow(["row", "who", "turn", "ms", "wall_ms", "cpu_ms", "peak_mb"])

    def add(self, row, who, turn, ms, run):
        self.rows.writerow([row, who, turn, f"{ms:.4f}", f"{run.wall_ms:.3f}", f"{run.cpu_ms:.0f}",
                            f"{run.peak_mb:.1f}"])
        self.file.flush()


def measure(row, turns, records):
    """Every side once to warm up (turn 0), then all in turn."""
    taken = [Taken(side.who) for side in row.sides]
    row.ready()
    for turn in range(turns + 1):
        for side, into in zip(row.sides, taken):
            run = Run(side.command)
            ms = side.ms(run)
            records.add(row.name, side.who, turn, ms, run)
            if turn > 0:
                into.add(ms, run, side.note(run))
    return taken


def slope(sizes, values):
    """Of log value against log size, by least squares: 1 where twice the size takes twice as much."""
    x, y = [math.log(s) for s in sizes], [math.log(v) for v in values]
    return least_squares(x, y)


def least_squares(x, y):
    middle, level = statistics.fmean(x), statistics.fmean(y)
    return (sum((a - middle) * (b - level) for a, b in zip(x, y)) /
            sum((a - middle) ** 2 for a in x))


# ---- what is printed -----------------------------------------------------------------------

def figure(value):
    """Three figures, as far as a median of a few runs can bear."""
    if value >= 100:
        return f"{value:,.0f}"
    return f"{value:.1f}" if value >= 10 else f"{value:.2f}"


def show(row, taken):
    print(f"\n{row.name}")
    for one in taken:
        print(f"  {one.who:24} {one.ms:9.2f} ms ({min(one.times):.2f} to {max(one.times):.2f})"
              f"  {one.peak_mb:6.0f} MB  {one.note}")
    for one in taken[1:]:
        print(f"  {one.who}: {one.ms / taken[0].ms:.1f} times our time, "
              f"{one.peak_mb / taken[0].peak_mb:.1f} times our memory")
    sys.stdout.flush()


def markdown(results):
    """The table of the README: one line per peer, ours beside it."""
    lines = ["| row | ours ms | peer | peer ms | ratio | memory MB, ours : peer | machine alone ms |",
             "|---|---:|---|---:|---:|---:|---:|"]
    for row, taken, limit_ms in results:
        ours, limit = taken[0], figure(limit_ms) if limit_ms else ""
        if len(taken) == 1:
            lines.append(f"| {row.name} | {figure(ours.ms)} | | | | {ours.peak_mb:.0f} | {limit} |")
        for k, one in enumerate(taken[1:]):
            lines.append(f"| {row.name if k == 0 else '…'} | {figure(ours.ms)} | {one.who} | "
                         f"{figure(one.ms)} | {figure(one.ms / ours.ms)} | "
                         f"{ours.peak_mb:.0f} : {one.peak_mb:.0f} | {limit} |")
    return "\n".join(lines)


def markdown_sizes(results):
    lines = ["| job | nodes | ms | slope, log ms to log nodes | bytes a node |",
             "|---|---|---|---:|---:|"]
    for name, nodes, times, power, each in results:
        lines.append(f"| {name} | {', '.join(f'{n:,}' for n in nodes)} | "
                     f"{', '.join(map(figure, times))} | {power:.2f} | {each:.0f} |")
    return "\n".join(lines)
