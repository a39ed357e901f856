#!/usr/bin/env python3
"""The map of bench_krige.c by scikit-learn's Gaussian process: time, memory and agreement.

bench_krige --csv FOLDER, then krige_peer.py FOLDER. An even trend of unknown mean is not in that
library: a constant kernel of 10 mm is added for it, which agrees to about (noise/10 mm)².
"""
import resource
import sys
import time

import numpy as np
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import ConstantKernel, Matern

READINGS = np.loadtxt(sys.argv[1] + "/readings.csv", delimiter=",")
POINTS = np.loadtxt(sys.argv[1] + "/points.csv", delimiter=",")
kernel = ConstantKernel(0.4**2) * Matern(length_scale=60, nu=1.5) + ConstantKernel(10.0**2)
model = GaussianProcessRegressor(kernel, alpha=0.02**2 + 0.1**2, optimizer=None)
model.fit(READINGS[:, :3], READINGS[:, 3])
least = np.inf
for _ in range(5):
    began = time.perf_counter()
    mean, sd = model.predict(POINTS[:, :3], return_std=True)
    least = min(least, time.perf_counter() - began)
memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(f"scikit-learn    {1e3 * least:7.1f} ms  {len(POINTS)} points, {memory:.0f} MB; means differ by "
      f"{np.abs(mean - POINTS[:, 3]).max():.1e}, sd by {np.abs(sd - POINTS[:, 4]).max():.1e} mm")
