"""Time SciPy's theilslopes and kendalltau per series, on series like those that cmd/bench judges.

Prints seconds per series: the best of three passes over N series of M readings.
"""

import sys
import time

import numpy as np
from scipy import stats

n, m = int(sys.argv[1]), int(sys.argv[2])
rng = np.random.default_rng(1)
days = 91.0 * np.arange(m)
series = [np.floor(24 + 0.2 * np.arange(m) + rng.integers(0, 8, m) - 3.5) for _ in range(n)]
best = 1e9
for _ in range(3):
    start = time.perf_counter()
    for y in series:
        stats.theilslopes(y, days, 0.9)
        stats.kendalltau(days, y)
    best = min(best, time.perf_counter() - start)
print(best / n)
