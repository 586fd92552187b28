#!/usr/bin/python3
"""Recompute the reference figures of internal/robust with SciPy.

    /usr/bin/python3 scripts/oracle_stats.py          compare with internal/robust/testdata
    /usr/bin/python3 scripts/oracle_stats.py --live   JSON series on stdin, SciPy's figures on stdout

Without arguments every figure that differs by more than its tolerance is named and the exit status is 1;
otherwise the last line is "N checks agree". Live, stdin holds [{"t": [...], "y": [...]}, ...]; the answer
is a list in the same order.

Slopes, intercepts, tau and p come from scipy.stats, medians and quantiles from scipy.stats.mstats. SciPy
has no S, no interpolated Sen interval and no continuity correction: S and its variance are read back from
SciPy's tau-b and asymptotic p, and the two others built on them by their formulas.
"""
import json
import math
import pathlib
import sys
import warnings

import numpy as np
from scipy import stats
from scipy.stats import mstats

CASES = pathlib.Path(__file__).resolve().parent.parent / "internal" / "robust" / "testdata"


def tie_pairs(x):
    """Number of pairs of equal values."""
    return sum(int(c) * (int(c) - 1) // 2 for c in np.unique(x, return_counts=True)[1])


def all_slopes(t, y):
    """Slopes of all pairs with different times, ascending."""
    i, j = np.triu_indices(len(t), 1)
    dt = t[j] - t[i]
    return np.sort((y[j] - y[i])[dt != 0] / dt[dt != 0])


def kendall(t, y):
    """S, its variance and p-values; None where SciPy cannot tell."""
    n = len(t)
    pairs = n * (n - 1) // 2
    untied_t, untied_y = pairs - tie_pairs(t), pairs - tie_pairs(y)
    out = {"S": 0, "varS": None, "p_normal": None, "p_exact": None}
    if untied_t == 0 or untied_y == 0:
        return out
    tau, p = stats.kendalltau(t, y, method="asymptotic")
    s = tau * math.sqrt(untied_t * untied_y)
    out["S"] = round(s)
    if abs(s - out["S"]) > 1e-6:
        sys.exit(f"S = {s} is not whole")
    # Away from p = 0 or 1 the variance behind SciPy's p can be read back from it.
    if out["S"] != 0 and 1e-250 < p < 0.999:
        out["varS"] = (out["S"] / stats.norm.isf(p / 2)) ** 2
        z = (abs(out["S"]) - 1) / math.sqrt(out["varS"])
        out["p_normal"] = 2 * stats.norm.sf(z)
    if untied_t == pairs and untied_y == pairs and n <= 170:
        out["p_exact"] = stats.kendalltau(t, y, method="exact")[1]
    return out


def recompute(t, y):
    """All figures for one series."""
    t, y = np.array(t, float), np.array(y, float)
    slope, separate, _, _ = stats.theilslopes(y, t, 0.9, method="separate")
    joint = stats.theilslopes(y, t, 0.9, method="joint")[1]
    return {"slope": slope, "separate": separate, "joint": joint, **kendall(t, y)}


def interpolated(slopes, var_s, conf):
    """Sen's interval by Gilbert's ranks, or None when they lie beyond the ends."""
    n, half = len(slopes), stats.norm.ppf(0.5 + conf / 2) * math.sqrt(var_s)
    ranks = [(n - half) / 2, (n + half) / 2 + 1]
    if ranks[0] < 1 or ranks[1] > n:
        return None
    return list(np.interp(ranks, np.arange(1, n + 1), slopes))


class Checks:
    """Counts agreements and names differences."""

    def __init__(self):
        self.agree, self.differ = 0, 0

    def near(self, name, got, want, tol):
        if want is None or got is None:
            ok = want is None and got is None
        else:
            ok = abs(got - want) <= tol * max(abs(want), 1e-300)
        self.agree += ok
        self.differ += not ok
        if not ok:
            print(f"{name}: SciPy {got!r}, stored {want!r}, tolerance {tol:g}")


def read(name):
    with open(CASES / name, encoding="utf-8") as f:
        return json.load(f)


def finite_interval(stored):
    """A stored interval as two numbers, or None."""
    ends = [stored["lo"], stored["hi"]]
    return None if any(isinstance(e, str) for e in ends) else ends


def check_interval(checks, name, t, y, var_s, stored, conf):
    got = interpolated(all_slopes(np.array(t, float), np.array(y, float)), var_s, conf)
    want = finite_interval(stored)
    if got is None or want is None:
        checks.near(name + " (none)", got and got[0], want and want[0], 0)
        return
    for side, g, w in zip(("low", "high"), got, want):
        checks.near(f"{name} {side}", g, w, 1e-9)


def check_kendall(checks, name, got, stored):
    checks.near(name + " S", got["S"], stored["S"], 0)
    if got["varS"] is not None:
        checks.near(name + " var S", got["varS"], stored["varS_num"] / stored["varS_den"], 1e-9)
        checks.near(name + " p normal", got["p_normal"], stored["p_normal_cc"], 1e-7)
    if got["p_exact"] is not None and stored.get("exact_p_two_sided") is not None:
        checks.near(name + " p exact", got["p_exact"], stored["exact_p_two_sided"], 1e-9)


def check_invented(checks):
    kendalls = {c["name"]: c["expected"] for c in read("mann_kendall.json")["cases"]}
    for case in read("theil_sen.json")["cases"]:
        name, want = case["name"], case["expected"]
        t, y = case["input"]["days"], case["input"]["y"]
        got = recompute(t, y)
        checks.near(name + " slope", got["slope"], want["scipy_separate_90"]["slope_per_day"], 1e-12)
        checks.near(name + " separate", got["separate"], want["scipy_separate_90"]["intercept"], 1e-12)
        checks.near(name + " joint", got["joint"], want["scipy_joint_90"]["intercept"], 1e-12)
        mk = kendalls[name]
        check_kendall(checks, name, got, mk)
        for conf in (90, 95):
            stored = want.get(f"gilbert_interpolated_{conf}")
            if stored:
                var_s = mk["varS_num"] / mk["varS_den"]
                check_interval(checks, f"{name} {conf} %", t, y, var_s, stored, conf / 100)


def check_published(checks):
    for case in read("theil_sen_mk_published.json"):
        name, want = case["name"], case["computed"]
        t, y = case["input"]["t"], case["input"]["y"]
        if len(t) == 2:  # first and last of consecutive years
            t = list(range(t[0], t[1] + 1))
        got = recompute(t, y)
        checks.near(name + " slope", got["slope"], want["slope"], 1e-12)
        checks.near(name + " separate + 1", got["separate"] + 1, want["intercept_separate"] + 1, 1e-12)
        checks.near(name + " joint + 1", got["joint"] + 1, want["intercept_joint"] + 1, 1e-12)
        check_kendall(checks, name, got, want["mk"])
        for conf in (90, 95):
            var_s = want["mk"]["varS_num"] / want["mk"]["varS_den"]
            stored = want[f"gilbert_interpolated_{conf}"]
            check_interval(checks, f"{name} {conf} %", t, y, var_s, stored, conf / 100)
    for case in read("mann_kendall_published.json"):
        got = kendall(np.array(case["input"]["t"], float), np.array(case["input"]["y"], float))
        check_kendall(checks, case["name"], got, case["computed"])


def check_null_table(checks):
    """P(S >= s) without ties, from SciPy's exact p of an ordering that has this S."""
    for n, row in read("mann_kendall_exact_null_noties.json")["table"].items():
        n = int(n)
        for s, want in row.items():
            discordant = (n * (n - 1) // 2 - int(s)) // 2
            order = []
            for m in range(n):  # insert each value so that it makes as many inversions as are still owed
                back = min(m, discordant)
                discordant -= back
                order.insert(m - back, m)
            p = stats.kendalltau(range(n), order, method="exact")[1]
            checks.near(f"null n={n} S={s}", p, min(1, 2 * want), 1e-9)


def check_quantiles(checks):
    """Hyndman & Fan's plotting positions: type 6 (0, 0), type 7 (1, 1), type 8 (1/3, 1/3)."""
    places = {"type6": (0, 0), "type7": (1, 1), "type8": (1 / 3, 1 / 3)}
    for name, case in read("quantiles.json")["cases"].items():
        if len(case["x"]) < 2:
            continue  # mstats.mquantiles wants two values
        for kind, (a, b) in places.items():
            got = mstats.mquantiles(case["x"], case["probs"], a, b)
            for p, g, w in zip(case["probs"], got, case["types"][kind]):
                checks.near(f"quantiles {name} {kind} at {p}", float(g), w, 1e-13)


def check_scales(checks):
    for name, case in read("robust_scale.json")["sets"].items():
        x = np.array(case["x"], float)
        i, j = np.triu_indices(len(x))
        checks.near(name + " median", float(np.median(x)), case["median"], 1e-13)
        checks.near(name + " MAD", stats.median_abs_deviation(x), case["mad_raw"], 1e-12)
        checks.near(name + " Hodges-Lehmann", float(np.median((x[i] + x[j]) / 2)), case["hodges_lehmann"], 1e-13)


def compare():
    checks = Checks()
    check_invented(checks)
    check_published(checks)
    check_null_table(checks)
    check_quantiles(checks)
    check_scales(checks)
    if checks.differ:
        print(f"{checks.differ} of {checks.agree + checks.differ} checks differ")
        return 1
    print(f"{checks.agree} checks agree")
    return 0


def main():
    warnings.simplefilter("ignore")  # SciPy warns of constant series, which are wanted here
    if sys.argv[1:] == ["--live"]:
        json.dump([recompute(c["t"], c["y"]) for c in json.load(sys.stdin)], sys.stdout)
        return 0
    if sys.argv[1:]:
        print(__doc__, file=sys.stderr)
        return 2
    return compare()


if __name__ == "__main__":
    sys.exit(main())
