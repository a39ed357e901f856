#!/usr/bin/env python3
"""Universal kriging by numpy's dense solvers, held against what krige_figures printed.

Mean, variance and likelihood by generalised least squares with the whole covariance matrix; leaving
one out by really doing so. Every figure must agree within 1e-8. Skips (77) without numpy.
"""
import subprocess
import sys

try:
    import numpy as np
except ImportError:
    print("numpy was not found: skipped")
    sys.exit(77)

TOLERANCE = 1e-8


def covariance(a, b, scale, amplitude):
    s = np.sqrt(3) * np.linalg.norm(a[:, None, :] - b[None, :, :], axis=2) / scale
    return amplitude**2 * (1 + s) * np.exp(-s)


def krige(c, keep):
    """Functions for mean and full covariance at points from the readings kept, and the likelihood."""
    p, scale, amplitude, surface = c["case"][:4]
    at, y, f = c["at"][keep], c["value"][keep], c["basis"][keep]
    k = covariance(at, at, scale, amplitude) + np.diag(c["noise"][keep] ** 2 + surface**2)
    ki_f, ki_y = np.linalg.solve(k, f), np.linalg.solve(k, y)
    information = f.T @ ki_f
    beta = np.linalg.solve(information, f.T @ ki_y)
    rest = y - f @ beta

    def at_points(points, basis):
        kx = covariance(at, points, scale, amplitude)
        mean = basis @ beta + kx.T @ np.linalg.solve(k, rest)
        u = basis.T - ki_f.T @ kx
        cov = (covariance(points, points, scale, amplitude) - kx.T @ np.linalg.solve(k, kx)
               + u.T @ np.linalg.solve(information, u))
        return mean, cov

    likelihood = -0.5 * ((len(y) - p) * np.log(2 * np.pi) + np.linalg.slogdet(k)[1]
                         + np.linalg.slogdet(information)[1] - np.linalg.slogdet(f.T @ f)[1]
                         + rest @ np.linalg.solve(k, rest))
    return at_points, likelihood


def worst_of(c):
    n = len(c["value"])
    at_points, likelihood = krige(c, np.arange(n))
    mean, cov = at_points(c["node"], c["node_basis"])
    off = {
        "mean": np.abs(mean - c["mean"]).max(),
        "variance": np.abs(np.diag(cov) - c["sd"] ** 2).max(),
        "sum": abs(c["weight"] @ mean - c["sum"][0]),
        "variance of the sum": abs(c["weight"] @ cov @ c["weight"] - c["sum"][1] ** 2),
        "likelihood": abs(likelihood - c["case"][4]),
    }
    error, variance = np.empty(n), np.empty(n)
    for i in range(n):
        left, _ = krige(c, np.delete(np.arange(n), i))
        m, v = left(c["at"][i : i + 1], c["basis"][i : i + 1])
        error[i] = c["value"][i] - m[0]
        variance[i] = v[0, 0] + c["noise"][i] ** 2 + c["case"][3] ** 2
    off["left out"] = np.abs(error - c["error"]).max()
    off["variance left out"] = np.abs(variance - c["error_sd"] ** 2).max()
    return off


def cases(text):
    c = {}
    for line in text.splitlines():
        name, *numbers = line.split()
        if name == "end":
            p = int(c["case"][0])
            for key, columns in (("at", 3), ("node", 3), ("basis", p), ("node_basis", p)):
                c[key] = c[key].reshape(-1, columns)
            yield c
            c = {}
        else:
            c[name] = np.array(numbers, dtype=float)


def main():
    output = subprocess.run([sys.argv[1]], check=True, capture_output=True, text=True).stdout
    count, wrong = 0, 0
    for c in cases(output):
        count += 1
        for name, off in worst_of(c).items():
            good = off <= TOLERANCE
            wrong += not good
            print(f"case {count}: {name} differs by {off:.2e}{'' if good else '  TOO MUCH'}")
    return 0 if count >= 4 and not wrong else 1


sys.exit(main())
