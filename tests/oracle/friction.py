"""Friction of the next slide by numerical integration: an independent oracle, its answers in friction.jsonl.

What: for each case the posterior density of the strip's mean (the logarithm of the coefficient) is
tabulated on a grid as prior density times the likelihood of every observation, normalised by the
trapezium rule; the density of the next slide is that convolved, on the same grid, with the normal scatter
from day to day or from place to place. Percentiles come from the cumulative sums, linear between grid
points. No conjugate formula is used.

Cases: `recoveries` are (coefficient, own spread of its logarithm), all come to rest; `between_days` is what
is asked for, 0.20 at least, and the sample standard deviation of three or more logarithms where it is larger.
`tests` are (median, own spread, scatter) of loaded drag tests; an observation's spread is both in quadrature,
the next slide's scatter the largest of the tests. `stopped` are slides that something stopped: those that lower
the median are taken as observations, found by trying every subset and taking the one with the lowest posterior
median; the spread stays that without them, and so only the median of the posterior is stored.
`censored_p50` is for reading only: the median of the mean with the exact likelihood of a slide that something
stopped, the chance that the coefficient was below what it shows.

The prior is normal on the logarithm with the wider of its two spreads.

Grid: 40,001 points over 9 standard deviations of the widest density; doubling it changes no stored percentile
by more than 6e-8.

Versions that wrote friction.jsonl: Python 3.11.7, numpy 2.4.6, scipy 1.17.1.
Run: python3 tests/oracle/friction.py    writes friction.jsonl beside this script
"""
import itertools
import json
import math
import os

import numpy as np
from scipy import signal, stats

HERE = os.path.dirname(os.path.abspath(__file__))
POINTS = 40_001
LEAST_BETWEEN_DAYS = 0.20

DRY_SHORT = (0.38, 0.28, 0.50)
DRY_LONG = (0.40, 0.26, 0.55)
WET = (0.26, 0.15, 0.40)
FROZEN = (0.15, 0.07, 0.28)

CASES = [
    dict(name="one that agrees", prior=DRY_SHORT, recoveries=[(0.38, 0.10)], between_days=0.20),
    dict(name="one lower", prior=DRY_SHORT, recoveries=[(0.27, 0.12)], between_days=0.20),
    dict(name="one far lower, exact", prior=DRY_SHORT, recoveries=[(0.18, 0.0)], between_days=0.20),
    dict(name="two that differ", prior=DRY_LONG, recoveries=[(0.30, 0.08), (0.45, 0.15)], between_days=0.20),
    dict(name="three close together", prior=WET, recoveries=[(0.24, 0.1), (0.25, 0.1), (0.26, 0.1)], between_days=0.20),
    dict(name="three that differ much", prior=WET, recoveries=[(0.15, 0.1), (0.30, 0.1), (0.42, 0.2)], between_days=0.20),
    dict(name="days said to differ more", prior=FROZEN, recoveries=[(0.12, 0.2), (0.10, 0.1)], between_days=0.35),
    dict(name="eight, higher than believed", prior=DRY_SHORT, between_days=0.20,
         recoveries=[(0.38, .1), (0.42, .1), (0.35, .1), (0.41, .1), (0.44, .1), (0.37, .1), (0.40, .1), (0.36, .1)]),
    dict(name="one stopped, lower", prior=DRY_SHORT, recoveries=[], stopped=[(0.25, 0.10)], between_days=0.20),
    dict(name="one stopped, higher", prior=DRY_SHORT, recoveries=[], stopped=[(0.60, 0.10)], between_days=0.20),
    dict(name="two at rest, three stopped", prior=DRY_SHORT, recoveries=[(0.35, 0.1), (0.33, 0.1)],
         stopped=[(0.34, 0.05), (0.22, 0.15), (0.30, 0.1)], between_days=0.20),
    dict(name="a loaded test", prior=DRY_SHORT, tests=[(0.33, 0.06, 0.10)]),
    dict(name="a loaded test of another day", prior=WET, tests=[(0.30, 0.06, 0.2236067977499790)]),
    dict(name="two loaded tests", prior=DRY_LONG, tests=[(0.45, 0.06, 0.10), (0.36, 0.08, 0.2236067977499790)]),
]


def grid(prior, scatter):
    median, p05, p95 = prior
    z = stats.norm.ppf(0.95)
    spread = max(math.log(median / p05), math.log(p95 / median)) / z
    reach = 9.0 * math.hypot(spread, scatter) + 1.0
    x = np.linspace(math.log(median) - reach, math.log(median) + reach, POINTS)
    return x, stats.norm.logpdf(x, math.log(median), spread)


def normalised(x, logs):
    density = np.exp(logs - logs.max())
    return density / np.trapezoid(density, x)


def percentiles(x, density, wanted):
    steps = 0.5 * (density[1:] + density[:-1]) * np.diff(x)
    share = np.concatenate([[0.0], np.cumsum(steps)])
    return [float(math.exp(np.interp(p, share / share[-1], x))) for p in wanted]


def posterior(x, logs, observations):
    for value, spread in observations:
        logs = logs + stats.norm.logpdf(math.log(value), x, spread)
    return normalised(x, logs)


def predictive(x, density, scatter):
    step = x[1] - x[0]
    around = np.arange(-(len(x) // 2), len(x) // 2 + 1) * step
    return signal.fftconvolve(density, stats.norm.pdf(around, 0.0, scatter), mode="same") * step


def solve(case):
    tests = case.get("tests", [])
    recoveries, stopped = case.get("recoveries", []), case.get("stopped", [])
    if tests:
        scatter = max(s for _, _, s in tests)
        seen = [(m, math.hypot(own, s)) for m, own, s in tests]
    else:
        scatter = max(case["between_days"], LEAST_BETWEEN_DAYS)
        if len(recoveries) >= 3:
            scatter = max(scatter, float(np.std([math.log(c) for c, _ in recoveries], ddof=1)))
        seen = [(c, math.hypot(own, scatter)) for c, own in recoveries]
    x, logs = grid(case["prior"], scatter)
    mean = posterior(x, logs, seen)
    out = dict(case, scatter=scatter)
    if seen:
        out["p05"], out["p50"], out["p95"] = percentiles(x, predictive(x, mean, scatter), [0.05, 0.5, 0.95])
    out["mean_p05"], out["mean_p50"], out["mean_p95"] = percentiles(x, mean, [0.05, 0.5, 0.95])
    if stopped:
        hits = [(c, math.hypot(own, scatter)) for c, own in stopped]
        subsets = itertools.chain.from_iterable(itertools.combinations(hits, n) for n in range(len(hits) + 1))
        out["lowered_p50"] = min(percentiles(x, posterior(x, logs, seen + list(s)), [0.5])[0] for s in subsets)
        exact = np.log(mean + 1e-300) + sum(stats.norm.logcdf((math.log(c) - x) / s) for c, s in hits)
        out["censored_p50"] = percentiles(x, normalised(x, exact), [0.5])[0]
    return out


def main():
    with open(os.path.join(HERE, "friction.jsonl"), "w", encoding="utf-8") as out:
        for case in CASES:
            out.write(json.dumps(solve(case)) + "\n")


if __name__ == "__main__":
    main()
