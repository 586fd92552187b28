#!/usr/bin/python3
"""Solve the reference circuits of internal/circuit again, with ngspice where it is installed, else with NumPy.

    /usr/bin/python3 scripts/oracle_circuit.py           compare with internal/circuit/testdata
    /usr/bin/python3 scripts/oracle_circuit.py --numpy   the same, without ngspice
    /usr/bin/python3 scripts/oracle_circuit.py --live    JSON networks on stdin, ngspice's voltages on stdout

Without --live every figure that differs by more than 1e-6 V or 1e-9 A (or half a unit of its ninth digit) is named
with its case and the exit status is 1; otherwise the last line is "N checks agree".

Live, stdin holds [{"fixed": {node: volts}, "r": [element], "loads": [element], "ask": [node]}, ...] with elements
{"from", "to", "kind": "R", "I" or "P", "value"}; all go to one ngspice process. The answer is
{"seconds": time of that process, "volts": [[...], ...]} in the order asked.
"""
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import time

import numpy as np

DATA = pathlib.Path(__file__).resolve().parent.parent / "internal" / "circuit" / "testdata"
OPTIONS = ".options reltol=1e-10 abstol=1e-16 vntol=1e-13 itl1=500 gmin=1e-18"
# Beyond the limit of constant power a simulator lands on a state that no supply can hold.
BEYOND = {"F-eb-1.01"}
PRINTED = re.compile(r"^(v\(\w+\)|i\(\w+\)|v\(\w+,\w+\))\s*=\s*([-+0-9.eE]+)", re.M)


def ngspice(deck):
    """Run a deck in batch mode and return what it printed."""
    run = subprocess.run(["ngspice", "-b", str(deck)], capture_output=True, text=True, check=False)
    return run.stdout + run.stderr


class Checks:
    """Counts agreements and names differences."""

    def __init__(self):
        self.agree, self.differ = 0, 0

    def near(self, name, got, want, tol):
        ok = got is not None and abs(got - want) <= tol
        self.agree += ok
        self.differ += not ok
        if not ok:
            print(f"{name}: solved {got!r}, stored {want!r}, tolerance {tol:g}")


def amp_tolerance(amps):
    """Currents are stored with nine digits."""
    return max(1e-9, 5e-9 * abs(amps))


def dense(plus, minus, kinds, values, vs, opened, lost):
    """Both cores of a loop as one full matrix; Newton's method. Returns volts by device and the end currents."""
    n = len(kinds)
    live = [k for k in range(1, n + 1) if k not in lost]
    index = {k: i for i, k in enumerate(live)}
    m = len(live)
    base, right = np.zeros((2 * m, 2 * m)), np.zeros(2 * m)
    for core, (ohms, volts) in enumerate(((plus, vs), (minus, 0.0))):
        for k in range(n + 1):
            ends = [k, k + 1]
            if k in opened or any(e in lost for e in ends):
                continue
            g = 1 / ohms[k]
            rows = [core * m + index[e] if e in index else None for e in ends]
            for here, there in (rows, rows[::-1]):
                if here is None:
                    continue
                base[here, here] += g
                if there is None:
                    right[here] += g * volts
                else:
                    base[here, there] -= g
    v = np.full(m, vs)
    for _ in range(100):
        a, b = base.copy(), right.copy()
        for k, i in index.items():
            value = values[k - 1]
            slope, fixed = {"I": (0.0, value), "R": (1 / value, 0.0), "P": (-value / v[i] ** 2, 2 * value / v[i])}[kinds[k - 1]]
            for here, there, sign in ((i, m + i, 1), (m + i, i, -1)):
                a[here, here] += slope
                a[here, there] -= slope
                b[here] -= sign * fixed
        x = np.linalg.solve(a, b)
        new = x[:m] - x[m:]
        done = np.max(np.abs(new - v)) < 1e-11
        v = new
        if done:
            break
    first = 0.0 if 0 in opened or 1 in lost else (vs - x[index[1]]) / plus[0]
    last = 0.0 if n in opened or n in lost else (vs - x[index[n]]) / plus[n]
    return {k: v[i] for k, i in index.items()}, first, last


def cores(case, lumped):
    """Ohms of each core of every segment, sources included; shared alike when lumped, else extras in the plus core."""
    n = len(case["load_kind"])
    extra = [case["iso_ohm"] if k in case["iso_after_device"] else 0.0 for k in range(n + 1)]
    extra[0] += case["rs_out"]
    extra[n] += case["rs_in"]
    share = 0.5 if lumped else 1.0
    half = [c / 2 for c in case["cable_ohm"]]
    return [h + share * e for h, e in zip(half, extra)], [h + (1 - share) * e for h, e in zip(half, extra)]


def solve_numpy(case, lumped):
    plus, minus = cores(case, lumped)
    return dense(plus, minus, case["load_kind"], case["load_val"], case["vs"], set(case["open_segments"]), set(case["lost_devices"]))


def solve_ngspice(name, lumped):
    printed = dict(PRINTED.findall(ngspice(DATA / "netlists" / f"{name}.cir").replace(" = ", "=")))
    pattern = r"v\(n(\d+)\)" if lumped else r"v\(p(\d+),m\d+\)"
    volts = {int(m.group(1)): float(x) for key, x in printed.items() if (m := re.fullmatch(pattern, key))}
    return volts, -float(printed.get("i(vout)", "nan")), -float(printed.get("i(vin)", "nan"))


def read(path):
    with open(path, encoding="utf-8") as f:
        return json.load(f)


def compare(checks, name, solved, volts, out, back):
    got, first, last = solved
    for k, want in volts.items():
        checks.near(f"{name} volts at device {k}", got.get(k), want, 1e-6)
    checks.near(f"{name} current from OUT", first, out, amp_tolerance(out))
    checks.near(f"{name} current from IN", last, back, amp_tolerance(back))


def check_all(use_ngspice):
    checks = Checks()
    cases = {p.stem: read(p) for p in sorted((DATA / "loopcases").glob("*-*.json"))}
    for name, case in cases.items():
        if name in BEYOND:
            continue
        result = case["result"]
        volts = {k + 1: v for k, v in enumerate(result["v"]) if v is not None}
        solved = solve_ngspice(name, True) if use_ngspice else solve_numpy(case, True)
        compare(checks, name, solved, volts, result["i_out"], result["i_in"])
    for name, result in read(DATA / "loopcases" / "twowire.json").items():
        volts = dict(enumerate(result["v"], 1))
        solved = solve_ngspice(name + "-twowire", False) if use_ngspice else solve_numpy(cases[name], False)
        compare(checks, name + " two cores", solved, volts, result["i_out_plus"], result["i_in_plus"])
    print(f"{checks.agree} checks agree" + (f", {checks.differ} differ" if checks.differ else ""))
    return 1 if checks.differ or not checks.agree else 0


def netlist(net):
    """A network as a deck. Nodes keep their names; the fixed ones hang on a source each."""
    top = max(net["fixed"].values())
    lines = ["* network"] + [f"V{name} {name} 0 DC {volts:.17g}" for name, volts in net["fixed"].items()]
    lines += [f"Rc{i} {e['from']} {e['to']} {e['value']:.17g}" for i, e in enumerate(net["r"])]
    nodes = set()
    for i, e in enumerate(net["loads"]):
        a, b, value = e["from"], e["to"], e["value"]
        nodes.add(a)
        lines.append({
            "I": f"I{i} {a} {b} DC {value:.17g}",
            "R": f"Rl{i} {a} {b} {value:.17g}",
            "P": f"B{i} {a} {b} I={value:.17g}/max(v({a},{b}),2)",
        }[e["kind"]])
    lines.append(".nodeset " + " ".join(f"v({n})={top:g}" for n in sorted(nodes)))
    return "\n".join(lines + [OPTIONS, ".end"]) + "\n"


def live():
    nets = json.load(sys.stdin)
    with tempfile.TemporaryDirectory() as folder:
        control = ["* batch", "V1 x 0 1", "R1 x 0 1", ".control", "set numdgt=15"]
        for i, net in enumerate(nets):
            path = pathlib.Path(folder) / f"n{i}.cir"
            path.write_text(netlist(net), encoding="utf-8")
            control += [f"source {path}", "op", f"echo network {i}"] + [f"print v({n})" for n in net["ask"]] + ["destroy all", "remcirc"]
        deck = pathlib.Path(folder) / "batch.cir"
        deck.write_text("\n".join(control + ["quit", ".endc", ".end"]) + "\n", encoding="utf-8")
        start = time.monotonic()
        text = ngspice(deck)
        seconds = time.monotonic() - start
    parts = re.split(r"^network (\d+)\s*$", text, flags=re.M)[1:]
    volts = {int(number): dict(PRINTED.findall(body)) for number, body in zip(parts[::2], parts[1::2])}
    answers = []
    for i, net in enumerate(nets):
        have = volts.get(i, {})
        missing = [n for n in net["ask"] if f"v({n})" not in have]
        if missing:
            sys.exit(f"network {i}: ngspice printed no voltage of {missing[0]}\n{text[-2000:]}")
        answers.append([float(have[f"v({n})"]) for n in net["ask"]])
    json.dump({"seconds": seconds, "volts": answers}, sys.stdout)
    return 0


def main():
    if sys.argv[1:] == ["--live"]:
        return live()
    return check_all(sys.argv[1:] != ["--numpy"] and shutil.which("ngspice") is not None)


if __name__ == "__main__":
    sys.exit(main())
