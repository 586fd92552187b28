#!/usr/bin/python3
"""Least costs of assignments, by SciPy, for internal/address.

Standard input holds a JSON list of tables of whole numbers, each with at least as many columns as rows.
The answer on standard output is {"costs": [...], "microseconds": ...}: the least cost of each table by
scipy.optimize.linear_sum_assignment, and the mean time that one call took.

    SOOTLINE_ORACLE=1 go test -run TestAgainstSciPy ./internal/address
"""
import json
import sys
import time

import numpy as np
from scipy.optimize import linear_sum_assignment


def main():
    tables = [np.array(table) for table in json.load(sys.stdin)]
    start = time.perf_counter()
    chosen = [linear_sum_assignment(table) for table in tables]
    spent = time.perf_counter() - start
    costs = [int(table[rows, columns].sum()) for table, (rows, columns) in zip(tables, chosen)]
    json.dump({"costs": costs, "microseconds": 1e6 * spent / max(len(tables), 1)}, sys.stdout)


if __name__ == "__main__":
    main()
