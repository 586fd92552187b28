"""Likelihood and smoothed levels of 200 invented series by the Kalman smoother of statsmodels.

    oracle_smooth.py PATH          compare with the results kept there, and fail where they differ
    oracle_smooth.py --draw SEED   print series drawn from the seed, with their results, as lines of JSON

The model: a level that begins at a known mean with a known variance and moves by a constant drift, itself known up to
a variance, and by normal increments whose variance grows with time (Durbin and Koopman 2012, ch. 3 and 4). A value that
is null was not read. Days are uneven, with gaps of years; drifts, increments and noises from none to wide.
"""

import json
import sys

import numpy as np
from statsmodels.tsa.statespace.kalman_smoother import KalmanSmoother

SERIES = 200


def draw(rng):
    """One series with the model that it is drawn from, or one near it."""
    n = int(rng.integers(1, 31))
    steps = rng.choice([0.02, 0.08, 0.25, 0.5, 1.6], n) * rng.uniform(0.6, 1.4, n)
    if rng.random() < 0.1:
        steps[rng.integers(0, n)] = 0.0  # twice on one day
    t = np.cumsum(steps)
    level, drift = rng.normal(0, 30), rng.choice([0.0, 0.3, -2.0, 9.0])
    variances = {
        "level_variance": float(rng.choice([0.01, 1.0, 400.0])),
        "drift_variance": float(rng.choice([0.0, 0.04, 25.0])),
        "noise": float(rng.choice([1 / 12, 1.0, 9.0])),
        "step": float(rng.choice([0.0, 0.05, 4.0])),
    }
    moves = rng.normal(drift * np.diff(t), np.sqrt(variances["step"] * np.diff(t))) if n > 1 else []
    levels = level + np.concatenate([[0.0], np.cumsum(moves)]) + rng.normal(0, np.sqrt(variances["level_variance"]))
    y = np.round(rng.normal(levels, np.sqrt(variances["noise"])), 1)
    y = [None if rng.random() < 0.08 else float(x) for x in y]
    return {"t": [float(x) for x in t], "y": y, "level": float(level), "drift": float(drift + rng.normal(0, 0.2)), **variances}


def smooth(s):
    """Log-likelihood, and mean and variance of the level at each time given all values."""
    y = np.array([np.nan if x is None else x for x in s["y"]], float)
    n = len(y)
    kalman = KalmanSmoother(k_endog=1, k_states=2, k_posdef=2)
    kalman.bind(y[:, None])
    kalman["design"] = np.array([[1.0, 0.0]])
    kalman["obs_cov"] = np.array([[s["noise"]]])
    kalman["selection"] = np.eye(2)
    gaps = np.append(np.diff(s["t"]), 0.0)
    transition, moves = np.zeros((2, 2, n)), np.zeros((2, 2, n))
    transition[0, 0] = transition[1, 1] = 1.0
    transition[0, 1], moves[0, 0] = gaps, s["step"] * gaps
    kalman["transition"], kalman["state_cov"] = transition, moves
    kalman.initialize_known(np.array([s["level"], s["drift"]]), np.diag([s["level_variance"], s["drift_variance"]]))
    out = kalman.smooth()
    return {
        "log_likelihood": float(out.llf_obs.sum()),
        "mean": out.smoothed_state[0].tolist(),
        "variance": out.smoothed_state_cov[0, 0].tolist(),
    }


def compare(path):
    worst, count = 0.0, 0
    for line in open(path):
        kept = json.loads(line)
        for name, found in smooth(kept).items():
            a, b = np.atleast_1d(kept[name]), np.atleast_1d(found)
            worst = max(worst, float(np.max(np.abs(a - b) / np.maximum(1.0, np.abs(b)))))
        count += 1
    print(f"{count} series: results kept and found differ by at most {worst:.1e}")
    if count != SERIES or not worst < 1e-9:
        sys.exit("oracle_smooth: the results that are kept are not those of statsmodels")


if sys.argv[1] == "--draw":
    rng = np.random.default_rng(int(sys.argv[2]))
    for _ in range(SERIES):
        series = draw(rng)
        print(json.dumps({**series, **smooth(series)}))
else:
    compare(sys.argv[1])
