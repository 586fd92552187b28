#!/usr/bin/python3
"""Choose and order rounds again, with SciPy's milp (HiGHS).

    /usr/bin/python3 scripts/oracle_visit.py           solve the published cases of internal/visit/testdata
    /usr/bin/python3 scripts/oracle_visit.py --live    JSON cases on stdin, the optima on stdout

Without --live every optimum that differs from the published one is named and the exit status is 1.

Live, stdin holds [case, ...]; a case is {"minutes": m, "lots": [{"setup": s, "items": [[minutes, worth], ...]}, ...]},
answered by the largest worth, or {"ways": [[...], ...]}, answered by the length of the shortest closed tour.
"""
import json
import math
import pathlib
import sys

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

DATA = pathlib.Path(__file__).resolve().parent.parent / "internal" / "visit" / "testdata"


def pick(minutes, lots):
    """The set-up knapsack as a mixed-integer program: y pays a set-up, x <= y takes an item."""
    worth, time, rows = [], [], []
    n = len(lots) + sum(len(lot["items"]) for lot in lots)
    for lot in lots:
        worth.append(0.0)
        time.append(lot["setup"])
    at = len(lots)
    for y, lot in enumerate(lots):
        for item in lot["items"]:
            worth.append(item[1])
            time.append(item[0])
            row = np.zeros(n)
            row[at], row[y] = 1, -1
            rows.append(row)
            at += 1
    limits = [LinearConstraint(np.array([time]), -np.inf, minutes)]
    if rows:
        limits.append(LinearConstraint(np.array(rows), -np.inf, 0))
    # HiGHS stops at a relative gap of 1e-4 unless told otherwise; then it would be no oracle.
    answer = milp(-np.array(worth), constraints=limits, integrality=np.ones(n), bounds=Bounds(0, 1), options={"mip_rel_gap": 0})
    return -answer.fun


def tour(ways):
    """A shortest closed tour: two edges at each place, and cuts against part tours as they turn up."""
    n = len(ways)
    edges = [(i, j) for i in range(n) for j in range(i)]
    degree = np.zeros((n, len(edges)))
    for e, (i, j) in enumerate(edges):
        degree[i, e] = degree[j, e] = 1
    limits = [LinearConstraint(degree, 2, 2)]
    cost = np.array([ways[i][j] for i, j in edges])
    while True:
        answer = milp(cost, constraints=limits, integrality=np.ones(len(edges)), bounds=Bounds(0, 1), options={"mip_rel_gap": 0})
        chosen = [e for e, x in zip(edges, answer.x) if x > 0.5]
        part = {0}
        while any((i in part) != (j in part) for i, j in chosen):
            for i, j in chosen:
                if (i in part) != (j in part):
                    part |= {i, j}
        if len(part) == n:
            return answer.fun
        inside = np.array([[float(i in part and j in part) for i, j in edges]])
        limits.append(LinearConstraint(inside, -np.inf, len(part) - 1))


def solve(case):
    return tour(case["ways"]) if "ways" in case else pick(case["minutes"], case["lots"])


def geo(a, b):
    """TSPLIB's GEO distance."""
    def radians(x):
        degrees = math.trunc(x)
        return 3.141592 * (degrees + 5 * (x - degrees) / 3) / 180
    q1 = math.cos(radians(a[1]) - radians(b[1]))
    q2 = math.cos(radians(a[0]) - radians(b[0]))
    q3 = math.cos(radians(a[0]) + radians(b[0]))
    return int(6378.388 * math.acos(0.5 * ((1 + q1) * q2 - (1 - q1) * q3)) + 1)


def published():
    """The published cases, each with its optimum."""
    for case in json.loads((DATA / "knapsack.json").read_text()):
        items = [[w, p] for w, p in zip(case["weights"], case["profits"])]
        yield case["name"], {"minutes": case["capacity"], "lots": [{"setup": 0, "items": items}]}, case["optimum"]
    for name, optimum in (("burma14", 3323), ("ulysses16", 6859)):
        at = [[float(x) for x in line.split()[1:]] for line in (DATA / f"{name}.tsp").read_text().splitlines()]
        yield name, {"ways": [[geo(a, b) if a != b else 0 for b in at] for a in at]}, optimum


def main():
    if "--live" in sys.argv[1:]:
        json.dump([solve(case) for case in json.load(sys.stdin)], sys.stdout)
        return 0
    differ = agree = 0
    for name, case, optimum in published():
        got = solve(case)
        if abs(got - optimum) > 1e-6:
            print(f"{name}: solved {got}, published {optimum}")
            differ += 1
        else:
            agree += 1
    print(f"{agree} checks agree")
    return int(differ > 0)


if __name__ == "__main__":
    sys.exit(main())
