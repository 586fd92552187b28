"""Time a straightforward SciPy script over the steps of a judgement, on series like those that cmd/bench judges.

For each of N series of M visits: a line by medians; wild visits set aside; least squares through the rest; the noise
weighed with that of the type; Mann-Kendall; a parabola; a line through the last six visits; when and with which chance
both lines meet the limits (Fieller); the best step on top of a line; visits far from their neighbours; what lines leave
of the two waves of a year. Then over all: the noise of the type, the season and the slopes of each area, peers by median
and MAD. No sentences are written, and nothing is asked. Prints seconds per series: the best of three passes.
"""

import sys
import time

import numpy as np
from scipy import stats

n, m = int(sys.argv[1]), int(sys.argv[2])
rng = np.random.default_rng(1)
days = 91.0 * np.arange(m)
t = days / 365.25
series = [np.floor(24 + 0.2 * np.arange(m) + rng.integers(0, 8, m) - 3.5) for _ in range(n)]
POOLED, PRIOR, LIMITS, NEXT = 1.04, 4.0, ((18.0, -1), (36.0, 1)), t[-1] + 0.5


def line(x, y):
    """A line by medians, wild values set aside, least squares through the rest, noise weighed with the type's."""
    sen = stats.theilslopes(y, x, 0.9)
    level = np.median(y - sen[0] * x)
    rest = np.abs(y - level - sen[0] * x)
    keep = rest <= 3.5 * max(POOLED, 1.4826 * np.median(rest))
    fit = stats.linregress(x[keep], y[keep])
    sse = np.sum((y[keep] - fit.intercept - fit.slope * x[keep]) ** 2)
    df = keep.sum() - 2
    if sse > POOLED**2 * stats.chi2.ppf(0.9, df):
        sd, free = np.sqrt(sse / df), df
    else:
        sd, free = np.sqrt((PRIOR * POOLED**2 + sse) / (PRIOR + df)), PRIOR + df
    mean = x[keep].mean()
    return fit, sd, free, mean, np.sum((x[keep] - mean) ** 2), keep


def leaves(fit, sd, free, mean, sxx, count):
    """Chance of being beyond each limit at the next visit, and Fieller's interval of the day."""
    quantile = stats.t.ppf(0.95, free)
    found = []
    for limit, side in LIMITS:
        value = fit.intercept + fit.slope * NEXT
        se = sd * np.sqrt(1 / count + (NEXT - mean) ** 2 / sxx)
        chance = stats.t.cdf(side * (value - limit) / se, free)
        gap = limit - fit.intercept - fit.slope * mean
        g = (quantile * sd) ** 2
        roots = np.roots([fit.slope**2 - g / sxx, -2 * fit.slope * gap, gap**2 - g / count])
        found.append((chance, roots))
    return found


def step(y):
    """The step on top of a line that explains most."""
    best, at = 0.0, -1
    base = np.column_stack([np.ones(m), t])
    whole = np.linalg.lstsq(base, y, rcond=None)[1]
    for k in range(2, m - 1):
        gain = whole - np.linalg.lstsq(np.column_stack([base, np.arange(m) >= k]), y, rcond=None)[1]
        if gain.size and gain[0] > best:
            best, at = gain[0], k
    return best, at


def judge(all_series):
    wave = np.column_stack([np.cos(2 * np.pi * t), np.sin(2 * np.pi * t)])
    base = np.column_stack([np.ones(m), t])
    flat = wave - base @ np.linalg.lstsq(base, wave, rcond=None)[0]
    slopes, variances, levels, rests = [], [], [], []
    for y in all_series:
        fit, sd, free, mean, sxx, keep = line(t, y)
        stats.kendalltau(t, y)
        np.polyfit(t[keep], y[keep], 2)
        leaves(fit, sd, free, mean, sxx, keep.sum())
        recent = line(t[-6:], y[-6:])
        leaves(*recent[:5], recent[5].sum())
        step(y)
        off = np.abs(y[1:-1] - (y[:-2] + y[2:]) / 2) > 5 * POOLED * np.sqrt(1.5)
        off.any()
        rests.append(y - base @ np.linalg.lstsq(base, y, rcond=None)[0])
        slopes.append(fit.slope)
        variances.append(sd**2 / sxx)
        levels.append(y[-1])
    np.linalg.lstsq(flat, np.mean(rests, axis=0), rcond=None)
    slopes, weights, levels = np.array(slopes), 1 / np.array(variances), np.array(levels)
    centre = np.sum(weights * slopes) / weights.sum()
    np.sum(weights * (slopes - centre) ** 2)
    stats.median_abs_deviation(levels)


best = 1e9
for _ in range(3):
    start = time.perf_counter()
    judge(series)
    best = min(best, time.perf_counter() - start)
print(best / n)
