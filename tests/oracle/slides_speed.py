"""The slide of slides.py for 100,000 samples at once, in numpy: the peer of a benchmark.

What: prints one JSON line, {"p50", "p95", "p99" (m), "samples", "step" (m), "seconds", "least_seconds",
"processor_seconds"}: lengths of the slides of one aircraft on one profile of 60 stations and 3 zones, sampled over
friction, speed and slope, and the time from the drawn parameters to the three lengths: median and least of five
runs by the clock, and the median of the processor's time (the one to trust on a busy machine). One thread; neither
starting Python nor drawing the samples is counted.

How: v^2 is marched along the chainage by the midpoint rule in steps that divide the stations, so that all
samples meet every jump of the ground together, at the end of a step. Kinks in the time (t = tau) and in the
load (N = 0) fall inside steps. Samples are taken in blocks, and those at rest are left out.
Stopping is found by v^2 falling in a straight line over the last step. The step is the largest of those
tried (`--check`) that keeps every length within 1 cm of the one marched by 0.1 m, which itself is within
0.1 mm of solve_ivp's on the samples compared.

Not here: no check of the input, no slide that never stops (refused), and no end of the room.

slides_speed.json, all that another program needs to do the same:
  samples, aircraft and air (as in slides.jsonl), stations [[from, along, across, k, zone], ...] and their formulas
  sequence: sample i (from 0), parameter j: x = frac((i + 1) * alpha[j]), all in double precision, where alpha[j] is
    phi^-(j + 1), phi the root of phi^6 = phi + 1 near 1.13 (additive recurrence in five dimensions)
  parameters [[name, low, width], ...] in the order of j: value = low + width * x
    friction_0 to friction_2 by zone; v0 m/s; slope_shift, added to the slope along of every station
  p50, p95, p99, least, greatest: lengths in metres marched by `fine_step` (what the benchmark prints is of `step`); a
    quantile p is read at the place p (n - 1) of the n sorted lengths, counted from 0, in between in a straight line
  accuracy: of every length of the benchmark, m; fine_accuracy: of those marched by fine_step, on the samples of `exact`
  exact [[i, length], ...]: samples solved by slides.py's solve_ivp, rounded to 1e-9 m

Versions that wrote slides_speed.json: Python 3.11.7, numpy 2.4.6, scipy 1.17.1.
Run: python3 tests/oracle/slides_speed.py            the benchmark
     python3 tests/oracle/slides_speed.py --check    steps tried against solve_ivp, lengths and times; writes nothing
     python3 tests/oracle/slides_speed.py --write    writes slides_speed.json beside this script
"""
import json
import math
import os
import platform
import statistics
import sys
import time

import numpy as np

HERE = os.path.dirname(os.path.abspath(__file__))
G = 9.80665         # m/s2
SAMPLES = 100_000
BLOCK = 16_000      # samples at a time; of 1,000 to 100,000 tried, 8,000 to 32,000 took the least processor time
STEP = 1.25         # m
FINE = 0.1          # m
LIMIT = 10_000.0    # m
ACCURACY = 0.01     # m, of every length with STEP
FINE_ACCURACY = 1e-4   # m, with FINE
COMPARED = range(0, SAMPLES, 997)   # samples solved by solve_ivp too

AIRCRAFT = {"mass": 620.0, "wing_area": 14.0, "cl": 0.5, "cd": 0.11, "thrust": 120.0, "rho": 1.2,
            "headwind": 2.0, "tau": 1.5, "carried": 2.5, "touchdown": 0.0}
FORMULAS = {"from": "5 j", "along": "0.001 ((7 j) mod 41 - 20)", "across": "0.001 ((11 j) mod 31 - 15)",
            "k": "0.0005 ((13 j) mod 17 - 8)", "zone": "floor(j / 4) mod 3"}
STATIONS = [[5.0 * j, 0.001 * ((7 * j) % 41 - 20), 0.001 * ((11 * j) % 31 - 15), 0.0005 * ((13 * j) % 17 - 8), j // 4 % 3]
            for j in range(60)]
# Powers -1 to -5 of 1.1347241384015194, the root of x^6 = x + 1.
ALPHA = [0.8812714616335696, 0.7766393890897683, 0.6844301295853427, 0.6031687406857283, 0.5315553977157914]
PARAMETERS = [["friction_0", 0.28, 0.22], ["friction_1", 0.20, 0.25], ["friction_2", 0.15, 0.25],
              ["v0", 18.0, 8.0], ["slope_shift", -0.015, 0.03]]


def drawn():
    """The parameters, a row each."""
    at = np.arange(1, SAMPLES + 1, dtype=float)[None, :] * np.array(ALPHA)[:, None]
    at -= np.floor(at)
    return np.array([low for _, low, _ in PARAMETERS])[:, None] + np.array([width for _, _, width in PARAMETERS])[:, None] * at


# ---------------------------------------------------------------- marching
def slid(block, step):
    """Lengths of the slides of one block of samples."""
    a = AIRCRAFT
    air = a["rho"] * a["wing_area"] / (2 * a["mass"])
    keels, drag, push, wind, tau = air * a["cl"], air * a["cd"], a["thrust"] / a["mass"], a["headwind"], a["tau"]
    friction, v0, shift = block[:3], block[3], block[4]
    u0 = v0 + wind
    more = np.maximum(0.0, np.where(u0 > 0, G / np.maximum(u0, 1e-300) ** 2, 0.0) - keels)
    out = np.full(len(v0), np.nan)
    who = np.arange(len(v0))
    e, t = v0 * v0, np.zeros(len(v0))
    steps, station, settling = 0, -1, tau > 0
    ground = None

    def slope(e, v, t):
        """Change of v^2 by the metre."""
        u = v + wind
        lift = keels + more * np.maximum(0.0, 1 - t / tau) if settling else keels
        q = u * np.abs(u)
        n = np.maximum(0.0, weight + k * e - lift * np.maximum(q, 0.0))
        return -2.0 * (mu * n + drag * q + along)
    while len(who):
        x = steps * step
        if x >= LIMIT:
            raise ValueError(f"{len(who)} slides never stop")
        # Looked up at the middle of the step, where rounding cannot put it into the station before.
        here, carried = min(int((x + step / 2) // 5.0), len(STATIONS) - 1), x + step / 2 < a["carried"]
        if (here, carried) != ground:
            ground = (here, carried)
            _, bare, across, k, zone = STATIONS[here]
            if here != station:
                station = here
                sl = bare + shift
                weight, along = G / np.sqrt(1 + sl * sl + across * across), G * sl / np.sqrt(1 + sl * sl) - push
            mu = 0.0 if carried else friction[zone]
        if settling:
            settling = t.min() < tau
        v = np.sqrt(e)
        half = np.maximum(0.0, e + step / 2 * slope(e, v, t))
        middle = np.sqrt(half)
        if settling:
            later = t + step / 2 / v
            new = e + step * slope(half, middle, later)
            t = t + step / np.maximum(middle, 1e-9)
        else:
            new = e + step * slope(half, middle, t)
        rest = new <= 0
        if rest.any():
            out[who[rest]] = x + step * e[rest] / (e[rest] - new[rest])
            go = ~rest
            who, e, new, t, more, shift, weight, along = (z[go] for z in (who, e, new, t, more, shift, weight, along))
            friction = friction[:, go]
            mu = 0.0 if carried else friction[zone]
        e = new
        steps += 1
    return out


def lengths(parameters, step=STEP):
    return np.concatenate([slid(parameters[:, i:i + BLOCK], step) for i in range(0, parameters.shape[1], BLOCK)])


def timed(parameters, step=STEP, runs=5):
    """(p50, p95, p99), lengths, and of each run the seconds by the clock and by the processor."""
    clock, processor = [], []
    for _ in range(runs):
        start, worked = time.perf_counter(), time.process_time()
        all_lengths = lengths(parameters, step)
        quantiles = np.quantile(all_lengths, [0.5, 0.95, 0.99])
        clock.append(time.perf_counter() - start)
        processor.append(time.process_time() - worked)
    return quantiles, all_lengths, (clock, processor)


# ---------------------------------------------------------------- against solve_ivp
def solved(parameters):
    """[(sample, length)] by slides.py, which shares nothing with the marching but the numbers above."""
    import slides
    out = []
    for i in COMPARED:
        *friction, v0, shift = (float(p) for p in parameters[:, i])
        stations = [[s, along + shift, across, k, zone] for s, along, across, k, zone in STATIONS]
        case = {"name": f"sample {i}", **AIRCRAFT, "stations": stations, "friction": friction, "v0": v0, "room": None}
        outcome = slides.integrate(case)[0]
        assert outcome["outcome"] == "stops", i
        out.append((i, outcome["distance"]))
    return out


def worst(exact, got):
    return max(abs(got[i] - length) for i, length in exact)


def check():
    root = 1.1347241384015194
    assert abs(root**6 - root - 1) < 1e-14 and all(abs(a - root ** -(j + 1)) < 1e-15 for j, a in enumerate(ALPHA))
    parameters = drawn()
    exact = solved(parameters)
    fine = lengths(parameters, FINE)
    for step in (2.5, STEP, 0.5, 0.25, FINE):
        quantiles, got, (_, processor) = timed(parameters, step, 3)
        print(f"step {step:5} m: worst of {len(exact)} solved {worst(exact, got) * 1000:7.3f} mm, of all against {FINE} m "
              f"{np.abs(got - fine).max() * 1000:7.3f} mm, lengths {quantiles.round(4)}, processor {statistics.median(processor):.2f} s")
    return 0 if accurate(exact, fine, lengths(parameters)) else 1


def accurate(exact, fine, coarse):
    return worst(exact, fine) <= FINE_ACCURACY and np.abs(coarse - fine).max() + FINE_ACCURACY <= ACCURACY


def write():
    import scipy
    parameters = drawn()
    got = lengths(parameters, FINE)
    exact = solved(parameters)
    assert accurate(exact, got, lengths(parameters))
    p50, p95, p99 = (round(float(q), 6) for q in np.quantile(got, [0.5, 0.95, 0.99]))
    answer = {"wrote": "tests/oracle/slides_speed.py", "python": platform.python_version(), "numpy": np.__version__,
              "scipy": scipy.__version__, "samples": SAMPLES, **AIRCRAFT, "formulas": FORMULAS,
              "sequence": "x = frac((i + 1) * alpha[j])", "alpha": ALPHA, "parameters": PARAMETERS,
              "quantile": "at p (n - 1) of the sorted lengths, in between in a straight line",
              "p50": p50, "p95": p95, "p99": p99, "least": round(float(got.min()), 6), "greatest": round(float(got.max()), 6),
              "step": STEP, "accuracy": ACCURACY, "fine_step": FINE, "fine_accuracy": FINE_ACCURACY,
              "stations": [[round(x, 6) for x in st] for st in STATIONS], "exact": [[i, round(d, 9)] for i, d in exact]}
    with open(os.path.join(HERE, "slides_speed.json"), "w", encoding="ascii") as file:
        file.write(json.dumps(answer, separators=(",", ":")).replace(',"', ',\n"') + "\n")


def main():
    if "--check" in sys.argv:
        sys.exit(check())
    if "--write" in sys.argv:
        return write()
    (p50, p95, p99), _, (clock, processor) = timed(drawn())
    print(json.dumps({"p50": round(float(p50), 6), "p95": round(float(p95), 6), "p99": round(float(p99), 6),
                      "samples": SAMPLES, "step": STEP, "seconds": round(statistics.median(clock), 4),
                      "least_seconds": round(min(clock), 4), "processor_seconds": round(statistics.median(processor), 4)}))


if __name__ == "__main__":
    main()
