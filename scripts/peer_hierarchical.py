"""A peer of the judge: a hierarchical model of every site by a general library, MixedLM of statsmodels.

Reads sites as lines of JSON and writes a line of JSON for each: the level of each point's present run at its beginning,
its drift a year, and their variances and covariance. See cmd/judgescore/hierarchical.go for what is made of them.

What was read in run r, t years after its beginning, is modelled as

    level of its type + drift of its type * t + drift of its area * t + level of the run + drift of the run * t + noise

with the four last terms normal around nothing, and their variances estimated by restricted maximum likelihood from
all runs of the site (Laird and Ware 1982). Where the library finds no such estimate, or there is one area alone, the
term of the area is left out; where it finds none even then, nothing is said of any point of the site.
"""

import json
import sys
import warnings

import numpy as np
from statsmodels.regression.mixed_linear_model import MixedLM, VCSpec

warnings.simplefilter("ignore")


def design(kind, t, types):
    """The columns of the fixed terms: level and drift of the type."""
    x = np.zeros((len(t), 2 * types))
    x[np.arange(len(t)), 2 * kind] = 1
    x[np.arange(len(t)), 2 * kind + 1] = t
    return x


def with_areas(y, x, t, run, area):
    """Variances of area drift, run level, run drift, their covariance (nought here) and noise, and the fixed terms."""
    mats = [[], []]
    names = [[], []]
    for a in np.unique(area):
        own = area == a
        runs, at = np.unique(run[own], return_inverse=True)
        z = np.zeros((own.sum(), len(runs)))
        z[np.arange(own.sum()), at] = 1
        mats[0].append(z)
        mats[1].append(z * t[own][:, None])
        names[0].append([f"l{r}" for r in runs])
        names[1].append([f"d{r}" for r in runs])
    order = np.concatenate([np.flatnonzero(area == a) for a in np.unique(area)])
    spec = VCSpec(["level", "drift"], names, mats)
    model = MixedLM(y[order], x[order], area[order], exog_re=t[order][:, None], exog_vc=spec)
    fit = model.fit(reml=True, method="lbfgs", maxiter=60)
    level, drift = fit.vcomp
    return fit.fe_params, fit.cov_params()[: x.shape[1], : x.shape[1]], fit.cov_re[0, 0], np.diag([level, drift]), fit.scale


def without_areas(y, x, t, run):
    """The same without a term for areas; level and drift of a run may go together."""
    model = MixedLM(y, x, run, exog_re=np.column_stack([np.ones_like(t), t]))
    fit = model.fit(reml=True, method="lbfgs", maxiter=60)
    return fit.fe_params, fit.cov_params()[: x.shape[1], : x.shape[1]], 0.0, np.asarray(fit.cov_re), fit.scale


def estimates(y, x, t, run, area):
    """The first of the two models that gives finite numbers."""
    tries = [lambda: without_areas(y, x, t, run)]
    if len(np.unique(area)) > 1:
        tries.insert(0, lambda: with_areas(y, x, t, run, area))
    for model in tries:
        try:
            found = model()
        except (np.linalg.LinAlgError, ValueError):
            continue
        if np.isfinite(found[0]).all() and np.isfinite(found[3]).all() and np.isfinite(found[4]) and found[4] > 0:
            return found
    return None


def believe(rows, points, found, types):
    """Level and drift of each point's last run, given all that was read in its area."""
    fixed, _, of_area, of_run, noise = found
    y, kind, t, run, area = rows
    said = {}
    for a in {p["area"] for p in points}:
        own = area == a
        here = [p for p in points if p["area"] == a]
        runs = sorted(set(run[own]) | {p["run"] for p in here})
        place = {r: 1 + 2 * i for i, r in enumerate(runs)}
        prior = np.zeros((1 + 2 * len(runs),) * 2)
        prior[0, 0] = max(of_area, 0)
        for at in place.values():
            prior[at : at + 2, at : at + 2] = of_run
        z = np.zeros((own.sum(), len(prior)))
        z[:, 0] = t[own]
        for i, r in enumerate(run[own]):
            z[i, place[r]], z[i, place[r] + 1] = 1, t[own][i]
        gain = prior @ z.T @ np.linalg.inv(z @ prior @ z.T + noise * np.eye(len(z)))
        mean = gain @ (y[own] - design(kind[own], t[own], types) @ fixed)
        left = prior - gain @ z @ prior
        for p in here:
            at = place[p["run"]]
            pick = np.zeros((2, len(prior)))
            pick[0, at] = pick[1, at + 1] = pick[1, 0] = 1
            level, drift = pick @ mean + fixed[2 * p["type"] : 2 * p["type"] + 2]
            v = pick @ left @ pick.T
            said[p["id"]] = [level, drift, v[0, 0], v[0, 1], v[1, 1]]
    return said


def judge(site):
    """What is said of each point of a site, in its order; null: nothing."""
    points = site["points"]
    y, kind, t, run, area = [], [], [], [], []
    runs = 0
    for i, p in enumerate(points):
        p["id"] = i
        for r in p["runs"]:
            p["run"] = runs
            runs += 1
            y += r["y"]
            t += r["t"]
            run += [p["run"]] * len(r["y"])
            kind += [p["type"]] * len(r["y"])
            area += [p["area"]] * len(r["y"])
    rows = [np.array(y, float), np.array(kind, int), np.array(t, float), np.array(run, int), np.array(area, int)]
    types = 1 + max((p["type"] for p in points), default=0)
    x = design(rows[1], rows[2], types)
    seen = (x != 0).any(axis=0)
    found = estimates(rows[0], x[:, seen], rows[2], rows[3], rows[4]) if len(y) > 2 * seen.sum() else None
    if found is None:
        return [None] * len(points)
    fixed = np.full(len(seen), np.nan)
    fixed[seen] = found[0]
    said = believe(rows, points, (fixed, *found[1:]), types)
    return [said[i] if np.isfinite(said[i]).all() else None for i in range(len(points))]


for line in sys.stdin:
    print(json.dumps(judge(json.loads(line))), flush=True)
