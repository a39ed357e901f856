"""The rows of tests/bench/run: who is run for each, and where the time that counts is printed.

A row is `Row(name, ours, peer, peer ..., limit=(...), ready=...)`. A new one is one more function here
that yields Rows, named in JOBS at the end. Each is given a folder for files of its own, which `ready`
makes, untimed, when the row is run.
"""
import os
import subprocess

import cgal
from measure import BUILD, CAP, HERE, ROOT, Row, Side, peer, program

PROFILE = os.path.join(ROOT, "profiles", "breastplate.yaml")
TAPERWRIGHT = os.path.join(BUILD, "taperwright")
COMPARE = [TAPERWRIGHT, "compare", PROFILE, "--quick"]


def prepare(*command, into=None):
    """@return what it printed, or the path of a file that has it."""
    done = subprocess.run(command, check=True, capture_output=True, text=True, cwd=ROOT).stdout
    if into:
        with open(into, "w", encoding="utf-8") as out:
            out.write(done)
    return into or done


def say_threads(threads):
    return f"{threads} thread{'s' * (threads != '1')}"


# ---- what the machine alone takes ----------------------------------------------------------

def limit_rows(folder):
    """Rows that others name as their limit."""
    gigabytes = lambda *words: lambda r: f"{r.line(*words)[3]} GB/s"
    for threads in ("1", "2"):
        for name, what in (("triad", "triad"), ("read", "ten arrays of 1023 x 1023 read once")):
            yield Row(f"memory, {what}, {say_threads(threads)}",
                      Side("ours", program("bench_memory"),
                           lambda r, k=(name, threads): float(r.line(*k)[2]),
                           gigabytes(name, threads)))
    yield Row("start: process alone", Side("ours", program("bench_start")))
    yield Row("start: process, a font found and one line set",
              Side("ours", program("bench_start", "layout")))
    yield png_row(folder)


def png_row(folder):
    return Row("PNG encoding alone of that picture",
               Side("ours", program("bench_png", PROFILE, "1600", f"{folder}/pixels.ppm"),
                    lambda r: float(r.line("png")[3])),
               Side("Pillow", peer("png_pillow.py", f"{folder}/pixels.ppm"),
                    lambda r: float(r.line("png-pillow")[3])))


START = "start: process, a font found and one line set"
READ = "memory, ten arrays of 1023 x 1023 read once, "
PICTURE_LIMIT = (START, "PNG encoding alone of that picture")


# ---- rows ----------------------------------------------------------------------------------

def compare_rows(folder):
    to_file = ["-o", f"{folder}/ours.png"]
    theirs = peer("compare_peer.py", "-o", f"{folder}/peer.png")
    grams = lambda r: f"{r.lines[0][1]} g forged"
    weight = lambda r: " ".join(r.lines[0][2:4]) + " forged"
    cpu = lambda r: r.cpu_ms
    name = "compare, 512 cells, picture 1600 wide, whole process"
    same = COMPARE + to_file + ["--grid", "512"]  # the peer knows no sheet as formed
    yield Row(name, Side("ours", same, note=weight), Side("numpy, matplotlib", theirs, note=grams),
              limit=PICTURE_LIMIT)
    yield Row(name + ": processor time", Side("ours", same, cpu, weight),
              Side("numpy, matplotlib", theirs + ["--neighbours", "16"], cpu, grams))
    yield Row(name + ", 1 thread", Side("ours", same + ["--threads", "1"], note=weight))
    yield Row("compare, its own grid, picture 1600 wide, whole process",
              Side("ours", [TAPERWRIGHT, "compare", PROFILE] + to_file, note=weight))


def picture_rows(folder):
    small = ["--grid", "64"]  # what is left is the picture, and the start of either program
    weight = lambda r: " ".join(r.lines[0][2:4]) + " forged"
    grams = lambda r: f"{r.lines[0][1]} g forged"
    gmt = os.path.join(HERE, "picture_gmt")
    given = "two maps given"

    def ready():
        exported = [f"{folder}/{name}.csv" for name in ("forged", "sheet")]
        for name, path in zip(("forged", "sheet"), exported):
            prepare(TAPERWRIGHT, "export", PROFILE, *small, "--map", name, "-o", path)
        prepare(*peer("picture_maps.py", folder, *exported))
        prepare(gmt, "grids", folder)

    yield Row("picture: compare, 64 cells, 1600 wide, whole process",
              Side("ours", COMPARE + small + ["-o", f"{folder}/ours.png"], note=weight),
              Side("compare, matplotlib", peer("compare_peer.py", "-o", f"{folder}/peer.png", *small),
                   note=grams),
              Side(f"matplotlib, {given}", peer("picture_matplotlib.py", folder)),
              Side(f"gnuplot, {given}", ["gnuplot", "-e", f"folder='{folder}'",
                                         os.path.join(HERE, "picture.gnuplot")]),
              Side(f"GMT, {given}", [gmt, "draw", folder]), limit=PICTURE_LIMIT, ready=ready)


def solid_rows(folder):
    mesh = f"{folder}/solid.mesh"
    ours = {}

    def ready():
        cgal.build("solid_cgal")
        prepare(*program("bench_solid", "1024", mesh))
        words = prepare(*program("bench_solid")).split()
        ours.update(volume=float(words[4]), height=float(words[5]))

    def agreement(run):
        _, triangles, setup, _, volume, height = run.lines[0]
        return (f"volume {float(volume) / ours['volume'] - 1:+.1e} of ours, centroid "
                f"{float(height) - ours['height']:+.1e} mm off; {triangles} triangles, set-up {setup} ms")

    for threads in ("1", "2"):
        grams = lambda k: lambda r: f"{float(r.line(*k)[-1 if len(k) == 1 else 3]):.4f} g"
        sides = [Side("ours", program("bench_solid"), lambda r, n=threads: float(r.line("solid", n)[2]),
                      grams(("solid", threads)))]
        for way, what in (("whole", "numpy, whole arrays"), ("blocks", "numpy, in blocks")):
            sides.append(Side(what, peer("solid_numpy.py"),
                              lambda r, n=way: float(r.line(f"solid-{n}")[1]),
                              grams((f"solid-{way}",))))
        sides.append(Side("CGAL, volume, centroid", [cgal.path("solid_cgal"), mesh],
                          lambda r: float(r.lines[0][3]), agreement))
        yield Row(f"solid rule, 1024 nodes a side, {say_threads(threads)}", *sides,
                  limit=(READ + say_threads(threads),), ready=ready)


def distance_rows(folder):
    note = lambda n: lambda r: "rms {4} mm, worst {5}; set-up {2} ms".format(*r.line("distance", n))
    march = lambda n: lambda r: float(r.line("distance", n)[3])
    mesh = f"{folder}/hemisphere.mesh"

    def ready():
        cgal.build("distance_cgal")
        prepare(*program("bench_distance", "--mesh", mesh, "256"))

    for cells in ("256", "512", "1024"):
        sides = [Side("ours", program("bench_distance", cells), march(cells), note(cells))]
        for near in ("8", "16"):
            sides.append(Side(f"Dijkstra, {near} neighbours",
                              peer("distance_scipy.py", cells, near), lambda r: float(r.lines[0][4]),
                              lambda r: "rms {5} mm, worst {6}; set-up {3} ms".format(*r.lines[0])))
        if cells == "256":  # at 512 its set-up alone takes a minute
            sides.append(Side("CGAL, heat method", [cgal.path("distance_cgal"), mesh, "intrinsic"],
                              lambda r: float(r.line("distance-cgal", "disc")[4]),
                              lambda r: "rms {5} mm, worst {6}; set-up {3} ms".format(
                                  *r.line("distance-cgal", "disc"))))
        yield Row(f"distance, hemisphere, {cells} cells a side", *sides,
                  ready=ready if cells == "256" else lambda: None)
    for cells in ("256", "512", "1024"):
        yield Row(f"distance, flat square, {cells} cells a side",
                  Side("ours", program("bench_distance", "--flat", cells), march(cells), note(cells)),
                  Side("scikit-fmm", peer("distance_fmm.py", cells), lambda r: float(r.lines[0][2]),
                       lambda r: "rms {3} mm, worst {4}".format(*r.lines[0])))


def krige_rows(folder):
    # ours writes the readings and points that the peer reads, so it runs first
    for threads in ("1", "2"):
        yield Row("readings, mean and spread of 256 x 256 points from 200 readings, "
                  + say_threads(threads),
                  Side("ours", program("bench_krige", "--csv", folder),
                       lambda r, n=threads: krige_ms(r, n)),
                  Side("scikit-learn", peer("krige_peer.py", folder), lambda r: float(r.lines[0][1])))


def krige_ms(run, threads):
    return next(float(line[2]) for line in run.lines
                if line[:2] == ["map,", "fixed"] and line[-2] == threads)


def plan_rows(_):
    # ours: distances marched anew, then the map, weighed and judged on two grids
    both = lambda r, n: float(r.line("plan", "262656", n)[3]) + float(r.line("plan", "262656", n)[5])
    theirs = lambda r: float(r.lines[0][2]) + float(r.lines[0][3])
    note = lambda k: lambda r: "{} g, worst {} mm".format(*r.lines[k][-2:])
    for k, threads in enumerate(("1", "2")):
        yield Row(f"plan, least graded map, 512 x 512 nodes, distances and all, {say_threads(threads)}",
                  Side("ours", program("bench_plan"), lambda r, n=threads: both(r, n), note(2 * k)),
                  Side("Dijkstra, numpy", peer("plan_scipy.py", "512"), theirs, note(0)))
    yield Row("plan, one further map and its mass, 512 x 512 nodes",
              Side("ours", program("bench_plan"), lambda r: float(r.line("plan", "262656", "1")[7])),
              Side("numpy", peer("plan_scipy.py", "512"), lambda r: float(r.lines[0][4])))


def blank_rows(folder):
    note = lambda r: "{1} steps, rim {2} mm, {0} nodes".format(r.lines[0][2], r.lines[0][4],
                                                               r.lines[0][-1])
    for nodes in ("5000", "20000"):
        mesh = f"{folder}/cap-{nodes}.txt"

        def ready(nodes=nodes, mesh=mesh):
            cgal.build("flatten_cgal")
            with open(f"{folder}/cap.yaml", "w", encoding="utf-8") as out:
                out.write(CAP)
            prepare(*program("flat_mesh", f"{folder}/cap.yaml", nodes), into=mesh)

        yield Row(f"blank, as formed, {nodes} nodes",
                  Side("ours", program("bench_blank", nodes), lambda r: float(r.lines[0][3]), note),
                  Side("L-BFGS, numpy", peer("blank_scipy.py", nodes),
                       lambda r: float(r.lines[0][3]), note),
                  Side("CGAL, as rigid as possible", [cgal.path("flatten_cgal"), "--time", mesh],
                       lambda r: float(r.lines[0][2]),
                       lambda r: f"rim {r.lines[0][3]} mm, {r.lines[0][1]} nodes"),
                  ready=ready)


# In the order in which they are run.
def batch_rows(folder):
    grid, plates = "32", 2000
    few = 200  # the peer is slow: a tenth of the plates, and ten times its time
    vary = f"thickness.sheet=1.000 mm..{1 + (plates - 1) / 1000:.3f} mm/0.001 mm"
    ours = [TAPERWRIGHT, "batch", PROFILE, "--grid", grid, "--vary", vary]
    yield Row(f"batch, {plates} plates of {grid} cells, 2 threads",
              Side("ours", ours + ["--threads", "2"], note=lambda r: f"{len(r.lines) - 1} rows"),
              Side(f"numpy, 2 processes, {few} plates times {plates // few}",
                   peer("batch_peer.py", grid, str(few)), lambda r: r.wall_ms * plates / few,
                   lambda r: f"{len(r.lines)} rows"))


JOBS = (compare_rows, picture_rows, solid_rows, limit_rows, distance_rows, krige_rows, plan_rows,
        blank_rows, batch_rows)
