#!/usr/bin/python3
"""Recompute the reference figures of internal/nuisance with SciPy.

    /usr/bin/python3 scripts/oracle_alarms.py           compare with internal/nuisance/testdata
    /usr/bin/python3 scripts/oracle_alarms.py --write   write internal/nuisance/testdata/compare.json anew

Every figure that differs by more than its tolerance is named and the exit status is 1; otherwise the last
line is "N checks agree". Garwood's intervals come from scipy.stats.chi2, Poisson tails from
scipy.stats.poisson, the comparison of two rates from scipy.stats.binomtest (Clopper-Pearson) and binom.
"""
import json
import math
import pathlib
import sys

from scipy import stats

CASES = pathlib.Path(__file__).resolve().parent.parent / "internal" / "nuisance" / "testdata"
PAIRS = [(9, 200, 3, 180), (6, 100, 1, 150), (5, 1, 0, 1), (6, 1, 0, 1), (0, 40, 4, 40), (1, 0.4, 0, 0.6),
         (12, 240, 2, 240), (3, 2.5, 3, 2.5), (40, 500, 22, 505), (0, 10, 1, 3)]


def garwood(k, level):
    tail = (1 - level) / 2
    low = stats.chi2.ppf(tail, 2 * k) / 2 if k else 0.0
    return low, stats.chi2.ppf(1 - tail, 2 * k + 2) / 2


def compare(x1, t1, x2, t2):
    """Ratio of the rates, its exact 95 % interval, and twice the smaller tail."""
    n, share = x1 + x2, t1 / (t1 + t2)
    ci = stats.binomtest(x1, n).proportion_ci(0.95, method="exact")
    odds = lambda p: p / (1 - p) * t2 / t1 if p < 1 else math.inf
    p = min(1, 2 * min(stats.binom.cdf(x1, n, share), stats.binom.sf(x1 - 1, n, share)))
    return {"x": [x1, x2], "T": [t1, t2], "low": odds(ci.low), "high": odds(ci.high) if ci.high < 1 else None, "p": p}


def close(a, b):
    return abs(a - b) <= 1e-9 * max(1, abs(a))


def main():
    if sys.argv[1:] == ["--write"]:
        (CASES / "compare.json").write_text(json.dumps([compare(*p) for p in PAIRS], indent=1) + "\n")
        return
    checks, wrong = 0, 0

    def check(name, have, want):
        nonlocal checks, wrong
        checks += 1
        if (have is None) != (want is None) or have is not None and not close(have, want):
            wrong += 1
            print(f"{name}: kept {have}, SciPy {want}")

    kept = json.loads((CASES / "poisson.json").read_text())
    for row in kept["table"]:
        for level in (90, 95, 99):
            low, high = garwood(row["k"], level / 100)
            check(f"k={row['k']} low {level}", row[f"lo{level}"], low)
            check(f"k={row['k']} high {level}", row[f"hi{level}"], high)
    for case in kept["rate_cases"]:
        mean = case["detector_years"] * case["threshold_rate"]
        check(f"{case['events']} at least", case["p_at_least_k"], stats.poisson.sf(case["events"] - 1, mean))
        check(f"{case['events']} at most", case["p_at_most_k"], stats.poisson.cdf(case["events"], mean))
    for case in json.loads((CASES / "compare.json").read_text()):
        again = compare(case["x"][0], case["T"][0], case["x"][1], case["T"][1])
        for key in ("low", "high", "p"):
            check(f"{case['x']} in {case['T']} {key}", case[key], again[key])
    if wrong:
        sys.exit(1)
    print(f"{checks} checks agree")


main()
