#!/usr/bin/python3
"""Solve networks of loops and radial circuits with SciPy: JSON networks on stdin, voltages on stdout.

    /usr/bin/python3 scripts/oracle_scipy.py

In and out are those of `scripts/oracle_circuit.py --live`. Every node of both cores is an unknown of one sparse system:
Kirchhoff's law of currents, solved by SuperLU. Constant powers are solved by Newton's method, from the volts of the
supply; where it comes to no end the answer to that network is null.
"""
import json
import sys
import time

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import splu

STEPS, SETTLED = 200, 1e-12


def solve(net):
    """The potential of every node, by name; None where Newton's method comes to no end."""
    fixed = net["fixed"]
    elements = [(e["from"], e["to"], e["kind"], e["value"]) for e in net["loads"]] + [(e["from"], e["to"], "R", e["value"]) for e in net["r"]]
    names = sorted({n for a, b, _, _ in elements for n in (a, b)} - fixed.keys() - {"0"})
    at = {name: i for i, name in enumerate(names)}
    minus = {b for a, b, _, _ in elements[: len(net["loads"])]}
    top = max(fixed.values())
    x = np.array([0.0 if n in minus else top for n in names])

    def volts(node):
        return x[at[node]] if node in at else fixed.get(node, 0.0)

    powers = any(kind == "P" for _, _, kind, _ in elements)
    for _ in range(STEPS):
        rows, columns, values = [], [], []
        right = np.zeros(len(names))

        def stamp(node, a, b, g, current, sign):
            """What flows away from a node to the other: g (va - vb) + current, all at the node that is unknown."""
            if node not in at:
                return
            right[at[node]] -= sign * current
            for other, s in ((a, sign), (b, -sign)):
                if other in at:
                    rows.append(at[node])
                    columns.append(at[other])
                    values.append(s * g)
                else:
                    right[at[node]] -= s * g * fixed.get(other, 0.0)

        for a, b, kind, value in elements:
            if kind == "R":
                g, current = 1 / value, 0.0
            elif kind == "I":
                g, current = 0.0, value
            else:  # the tangent of value / v
                v = volts(a) - volts(b)
                if v <= 0:
                    return None
                g, current = -value / v**2, 2 * value / v
            stamp(a, a, b, g, current, 1)
            stamp(b, a, b, g, current, -1)
        matrix = sparse.csc_matrix((values, (rows, columns)), shape=(len(names), len(names)))
        new = splu(matrix).solve(right)
        moved = np.max(np.abs(new - x)) if len(names) else 0.0
        x = new
        if not powers or moved < SETTLED * top:
            return {**fixed, **{n: float(x[i]) for n, i in at.items()}}
    return None


def main():
    nets = json.load(sys.stdin)
    start = time.monotonic()
    answers = [solve(net) for net in nets]
    seconds = time.monotonic() - start
    json.dump({"seconds": seconds, "volts": [a and [a[n] for n in net["ask"]] for a, net in zip(answers, nets)]}, sys.stdout)
    return 0


if __name__ == "__main__":
    sys.exit(main())
