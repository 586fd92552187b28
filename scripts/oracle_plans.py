#!/usr/bin/python3
"""The fewest devices of a loop that must change their number, by HiGHS through SciPy, for internal/address.

Standard input holds a JSON list of loops, each a list of devices: {"now": the number it stands at or 0, "width": how many
numbers it takes, "may": the first numbers that it can have, "range": which set of numbers}. The answer on standard output is
{"moves": [...], "milliseconds": [...]}: the least count of devices with a number that get another one, when each gets one and
no number is taken twice (a binary variable for each device and number), and the time that each loop took to solve.

    SOOTLINE_ORACLE=1 go test -run TestMovesAgainstHiGHS ./internal/address
"""
import json
import sys
import time

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array


def fewest(devices):
    cost, rows, columns = [], [], []
    row = {}  # of a device, or of a number of a range
    for i, device in enumerate(devices):
        for n in device["may"]:
            column = len(cost)
            cost.append(1 if device["now"] and n != device["now"] else 0)
            taken = [("number", device["range"], n + k) for k in range(device["width"])]
            for key in [("device", i)] + taken:
                rows.append(row.setdefault(key, len(row)))
                columns.append(column)
    matrix = csr_array((np.ones(len(rows)), (rows, columns)), shape=(len(row), len(cost)))
    least = np.array([1 if key[0] == "device" else 0 for key in row])
    result = milp(cost, constraints=LinearConstraint(matrix, least, np.ones(len(row))), integrality=np.ones(len(cost)),
                  bounds=Bounds(0, 1))
    return round(result.fun) if result.success else -1


def main():
    moves, spent = [], []
    for devices in json.load(sys.stdin):
        start = time.perf_counter()
        moves.append(fewest(devices))
        spent.append(1000 * (time.perf_counter() - start))
    json.dump({"moves": moves, "milliseconds": spent}, sys.stdout)


if __name__ == "__main__":
    main()
