"""The peers of this folder that use CGAL: each NAME.cpp is a program of its own, compiled here when
it is newer than its program."""
import os
import subprocess

from measure import BUILD, HERE

HEADERS = ["mesh_cgal.h"]


def missing():
    """What to install, or nothing."""
    if os.path.exists("/usr/include/CGAL/Surface_mesh.h") and os.path.exists("/usr/include/eigen3/Eigen"):
        return ""
    return "CGAL is not installed (Debian: libcgal-dev libeigen3-dev)"


def age(path):
    return os.path.getmtime(path) if os.path.exists(path) else 0


def path(name):
    return os.path.join(BUILD, name)


def build(name):
    """@return the program's path."""
    target = path(name)
    source = os.path.join(HERE, name + ".cpp")
    if age(target) < max(age(source), *(age(os.path.join(HERE, h)) for h in HEADERS)):
        subprocess.run(["g++", "-O3", "-DNDEBUG", "-std=c++17", "-DCGAL_EIGEN3_ENABLED",
                        "-I/usr/include/eigen3", source, "-o", target, "-lgmp", "-lmpfr"],
                       check=True)
    return target
