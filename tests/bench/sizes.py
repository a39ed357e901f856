"""Cost against size: ours alone at a few sizes, the slope of log time against log nodes, and memory a
node. 1 is the least slope a job that looks at every node can have; more on one size than on the next
is the caches, so read the slope over all of them.
"""
import json

from measure import Row, Side, least_squares, program, slope
from rows import COMPARE, PROFILE, TAPERWRIGHT, krige_ms, prepare


class Job:
    """`command` and `nodes` take a size; `nodes` takes the last run too, for those that print theirs."""

    def __init__(self, name, sizes, command, ms=lambda run, size: run.wall_ms,
                 nodes=lambda run, size: size * size):
        self.name, self.sizes, self.command, self.ms, self.nodes = name, sizes, command, ms, nodes

    def row(self, size, keep):
        """`keep` gets the run, to ask it for its nodes afterwards."""
        def ms(run):
            keep[size] = run
            return self.ms(run, size)
        return Row(f"size: {self.name}, {size}", Side("ours", self.command(size), ms))


def grid_nodes(_, cells):
    columns, rows = json.loads(prepare(TAPERWRIGHT, "weigh", "--quick", "--json", "--grid", str(cells),
                                       PROFILE))["grid"]
    return columns * rows


JOBS = (
    Job("solid rule, 1 thread", (256, 512, 1024, 2048),
        lambda n: program("bench_solid", str(n)), lambda r, n: float(r.line("solid", "1")[2])),
    Job("distance, one march", (128, 256, 512, 1024), lambda n: program("bench_distance", str(n)),
        lambda r, n: float(r.lines[0][3]), lambda r, n: (n + 1) ** 2),
    Job("blank, as formed", (1300, 5000, 20000, 80000), lambda n: program("bench_blank", str(n)),
        lambda r, n: float(r.lines[0][3]), lambda r, n: int(r.lines[0][2])),
    Job("readings, 200 of them, 1 thread", (64, 128, 256, 512),
        lambda n: program("bench_krige", "--points", str(n)), lambda r, n: krige_ms(r, "1")),
    Job("compare, three grids, no picture, whole process", (128, 256, 512, 1024),
        lambda n: COMPARE + ["--grid", str(n)], nodes=grid_nodes),
)


def wanted(job, words):
    return not words or any(word in f"size: {job.name}" for word in words)


def run(job, measure_row):
    """@return name, nodes, medians in ms, slope, bytes a node; measure_row(Row) gives a list of Taken."""
    keep, times, peaks = {}, [], []
    for size in job.sizes:
        taken = measure_row(job.row(size, keep))[0]
        times.append(taken.ms)
        peaks.append(taken.peak_mb * 2**20)
    nodes = [job.nodes(keep[size], size) for size in job.sizes]
    return job.name, nodes, times, slope(nodes, times), least_squares(nodes, peaks)
