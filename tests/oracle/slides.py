"""Slides along a line: an independent oracle and the answers it stores in slides.jsonl.

What: writes 50 invented slides and where each ends to slides.jsonl, which a test only reads. Nothing
here is shared with the code under test.

The equation (chainage s, ground speed v, headwind w, airspeed u = v + w, t since touchdown at s0, u0 = u there):

    N/m  = max(0, G cos a + k v^2 - l(t) u^2 [u > 0 only])           G = 9.80665 m/s2
    dv/dt = -( mu(s) N/m + d u|u| + G sin a - T/m ),   ds/dt = v
    cos a = 1/sqrt(1 + along^2 + cross^2),   sin a = along/sqrt(1 + along^2), uphill positive
    d = rho S CD/(2 m),   lk = rho S CL/(2 m),   lt = G/u0^2 (0 where u0 <= 0)
    l(t) = lk + max(0, lt - lk) max(0, 1 - t/tau)                    tau = 0: l = lk at once
    mu(s) = 0 while s < s0 + carried, else the friction of the station's zone

A station holds from its `from` to the next one's, the first also before it, the last for ever. The equation
is Newton's second law along the slope with Coulomb friction, as agreed for this program; no outside source.

How: scipy's solve_ivp (DOP853, rtol 1e-12, atol 1e-12, steps of at most 0.05 s so that an event is found to
the same accuracy) is stopped and begun anew wherever the right-hand side is not smooth: at station
boundaries, at the end of `carried`, at t = tau, at u = 0 and at N = 0. Between these neither `max` nor
`u > 0` is evaluated: which branch holds is a state that only an event changes.

Ends: "stops" at v = 0; "runs_off" at the end of the room; "never" past 10,000 m.

slides.jsonl: the first line says what wrote it; each other line is one slide:
  name, family
  mass kg, wing_area m2, cl, cd, thrust N, rho kg/m3, headwind m/s (against the slide positive), tau s, carried m
  stations [[from m, slope along (uphill positive), slope across, k 1/m (hollow positive), zone from 0], ...]
  friction [by zone], touchdown m (chainage), v0 m/s (ground speed), room m from touchdown or null
  outcome "stops" | "runs_off" | "never"
  distance m from touchdown (of a stop, else null), speed m/s (at the room's end, else null), seconds (null: never)
  on_the_way [[m from touchdown, ground speed there m/s], three of them]
  unloaded [[from, to] m from touchdown over which N = 0], smooth: true where there is none
Answers are rounded to 1e-9. The self-test prints how far other ways of integrating differ.

Versions that wrote slides.jsonl: Python 3.11.7, numpy 2.4.6, scipy 1.17.1.
Seeds: slide number i (0 to 49) uses numpy.random.default_rng([21, i]); some are written out and draw nothing.
Run: python3 tests/oracle/slides.py               writes slides.jsonl beside this script (some 10 s)
     python3 tests/oracle/slides.py --self-test   closed forms, smaller steps, plain marching (some minutes); writes nothing
"""
import json
import math
import multiprocessing
import os
import platform
import sys

import numpy as np
import scipy
from scipy.integrate import solve_ivp

HERE = os.path.dirname(os.path.abspath(__file__))
SEED = 21
G = 9.80665           # m/s2
LIMIT = 10_000.0      # m from touchdown: a longer slide never stops
ACCURACY = 1e-12      # rtol and atol
LARGEST_STEP = 0.05   # s
LONG = 1e5            # s, more than any slide lasts
HAIR = 1e-12          # m/s2: a load nearer to zero than this, at touchdown on the level, is rounding


# ---------------------------------------------------------------- model
class Law:
    """Forces per mass of one slide."""

    def __init__(self, case):
        air = case["rho"] * case["wing_area"] / (2 * case["mass"])
        self.case = case
        self.wind = case["headwind"]
        self.keels, self.drag = air * case["cl"], air * case["cd"]
        u0 = case["v0"] + self.wind
        self.more = max(0.0, (G / u0**2 if u0 > 0 else 0.0) - self.keels)
        self.push = case["thrust"] / case["mass"]

    def lift(self, t):
        tau = self.case["tau"]
        return self.keels + (self.more * (1 - t / tau) if t < tau else 0.0)

    def ground(self, x):
        """(friction, G cos a, G sin a - T/m, curvature) at x metres from touchdown."""
        at = self.case["touchdown"] + x
        held = [st for st in self.case["stations"] if st[0] <= at] or self.case["stations"][:1]
        _, along, across, k, zone = held[-1]
        mu = 0.0 if x < self.case["carried"] else self.case["friction"][zone]
        return mu, G / math.sqrt(1 + along**2 + across**2), G * along / math.sqrt(1 + along**2) - self.push, k


def event(function, direction):
    function.terminal, function.direction = True, direction
    return function


def integrate(case, on_the_way=(), largest_step=LARGEST_STEP, method="DOP853"):
    """Outcome, where, how fast, when; speeds on the way; stretches without load."""
    law = Law(case)
    wind, tau = law.wind, case["tau"]
    end = LIMIT if case["room"] is None else min(case["room"], LIMIT)
    marks = {st[0] - case["touchdown"] for st in case["stations"][1:]} | {case["carried"], end} | set(on_the_way)
    marks = sorted(x for x in marks if 0 < x <= end)
    t, x, v = 0.0, 0.0, case["v0"]
    airborne = v + wind > 0
    passed, unloaded = [], []
    for mark in marks:
        mu, weight, along, k = law.ground((x + mark) / 2)

        def load(t, v):
            return weight + k * v * v - (law.lift(t) * (v + wind) ** 2 if airborne else 0.0)
        contact = load(t, v) > -HAIR
        if unloaded and unloaded[-1][1] is None and contact:
            unloaded[-1][1] = x
        if not contact and not (unloaded and unloaded[-1][1] is None):
            unloaded.append([x, None])
        while x < mark:
            def rates(t, y):
                u = y[1] + wind
                return [y[1], -((mu * load(t, y[1]) if contact else 0.0) + law.drag * u * abs(u) + along)]
            events = [event(lambda t, y: y[1], -1),
                      event(lambda t, y: y[0] - mark, 1),
                      event(lambda t, y: load(t, y[1]), -1 if contact else 1)]
            if wind < 0:
                events.append(event(lambda t, y: y[1] + wind, -1 if airborne else 1))
            horizon = tau if t < tau else LONG
            r = solve_ivp(rates, (t, horizon), [x, v], method, events=events, rtol=ACCURACY, atol=ACCURACY, max_step=largest_step)
            assert r.success, (case["name"], r.message)
            loads = [load(a, b) for a, b in zip(r.t, r.y[1])]
            assert min(loads) > -1e-9 if contact else max(loads) < 1e-9, (case["name"], contact, min(loads), max(loads))
            t, (x, v) = float(r.t[-1]), map(float, r.y[:, -1])
            if r.status == 0:
                assert horizon == tau, case["name"]
                t = tau
                continue
            met = [bool(len(e)) for e in r.t_events]
            if met[0]:
                if unloaded and unloaded[-1][1] is None:
                    unloaded[-1][1] = x
                return {"outcome": "stops", "distance": x, "speed": None, "seconds": t}, passed, unloaded
            if met[1]:
                x = mark
            elif met[2]:
                contact = not contact
                if contact:
                    unloaded[-1][1] = x
                else:
                    unloaded.append([x, None])
            else:
                airborne = not airborne
        if mark in on_the_way:
            passed.append([mark, v])
    if unloaded and unloaded[-1][1] is None:
        unloaded[-1][1] = x
    if case["room"] is None:
        return {"outcome": "never", "distance": None, "speed": None, "seconds": None}, passed, unloaded
    return {"outcome": "runs_off", "distance": None, "speed": v, "seconds": t}, passed, unloaded


def length(case, outcome):
    """Length of the slide as far as it was followed."""
    return {"stops": outcome["distance"], "runs_off": case["room"], "never": LIMIT}[outcome["outcome"]]


def places(case):
    """Where to ask for the speed on the way, to whole millimetres."""
    outcome, _, _ = integrate(case)
    share = (0.01, 0.1, 0.5) if outcome["outcome"] == "never" else (0.2, 0.55, 0.9)
    return [round(p * length(case, outcome), 3) for p in share]


def answered(case):
    outcome, passed, unloaded = integrate(case, places(case))
    tidy = lambda x: round(x, 9) if isinstance(x, float) else x
    out = {**case, **{key: tidy(value) for key, value in outcome.items()}}
    out["on_the_way"] = [[tidy(x), tidy(v)] for x, v in passed]
    out["unloaded"] = [[tidy(a), tidy(b)] for a, b in unloaded]
    out["smooth"] = not unloaded
    return out


# ---------------------------------------------------------------- invented slides
LEVEL = [[0, 0, 0, 0, 0]]
STILL = {"thrust": 0, "rho": 1.225, "headwind": 0, "tau": 0, "carried": 0, "stations": LEVEL, "touchdown": 0, "room": None}


def reference():
    """Slides whose length a closed form gives; the numbers are rows of the project's references, 15a."""
    light = {**STILL, "mass": 600, "wing_area": 14, "cl": 0.6, "cd": 0.1, "friction": [0.4], "v0": 20}
    slope = lambda along: [[0, along, 0, 0, 0]]
    yield {**light}, 57.0241261
    yield {**light, "stations": slope(0.02)}, 54.0044160
    yield {**light, "stations": slope(-0.02)}, 60.4320473
    yield {**STILL, "mass": 1043, "wing_area": 16.2, "cl": 0.4, "cd": 0.12, "rho": 1.1116, "friction": [0.35], "v0": 24}, 85.1476689
    yield {**light, "stations": slope(-0.01), "friction": [0.25]}, 90.6011178
    # B = 1.25 x 16 CD/(2 x 500) = 0.02 CD.
    plain = {**STILL, "mass": 500, "wing_area": 16, "rho": 1.25, "cl": 0, "cd": 0.1, "friction": [0.4]}
    yield {**plain, "headwind": 3, "v0": 17}, 33.179709364
    # The last digits of this row are 67 in 15a; quadrature and the closed form (ln and atan before u = 0,
    # atanh and ln after it) both give 61.915757873.
    yield {**plain, "headwind": -3, "v0": 23}, 61.915757867
    yield {**plain, "headwind": 5, "v0": 17, "cd": 0.075, "friction": [0.3]}, 43.056952201
    yield {**plain, "cd": 0, "friction": [0.2, 0.4], "stations": [[0, 0, 0, 0, 0], [30, 0, 0, 0, 1]], "v0": 18}, 56.298506626


def some(g, low, high, digits):
    return round(float(g.uniform(low, high)), digits)


def drawn(g, **over):
    """An invented aircraft and touchdown on level ground; `over` replaces what is drawn."""
    return {
        "mass": some(g, 450, 1100, 1), "wing_area": some(g, 11, 17, 2), "cl": some(g, 0, 0.8, 3), "cd": some(g, 0.06, 0.18, 3),
        "thrust": some(g, 0, 300, 1), "rho": some(g, 0.95, 1.28, 4), "headwind": some(g, -4, 6, 2), "tau": some(g, 0.2, 2, 2),
        "carried": some(g, 1, 15, 2), "stations": LEVEL, "friction": [some(g, 0.2, 0.5, 3)], "touchdown": some(g, 0, 40, 2),
        "v0": some(g, 16, 25, 2), "room": None, **over}


def profile(g, count, reach, slope=0.03, cross=0.03, k=0.0, zones=1):
    """Stations over a reach, unevenly spaced, each with its own slopes and curvature."""
    at = np.sort(g.choice(np.arange(1, round(reach * 100)), count - 1, replace=False)) / 100
    out = []
    for start in [0.0, *at]:
        out.append([float(start), some(g, -slope, slope, 4), some(g, -cross, cross, 4) if cross else 0.0,
                    some(g, -k, k, 5) if k else 0.0, int(g.integers(zones))])
    return out


def frictions(g, count, low=0.15, high=0.5):
    return [some(g, low, high, 3) for _ in range(count)]


def constant(g, i):
    slopes = [[0, some(g, -0.05, 0.05, 4), some(g, -0.06, 0.06, 4), 0, 0]]
    return drawn(g, **[
        {"tau": 0, "carried": 0, "thrust": 0},
        {"tau": 0, "carried": 0, "stations": slopes, "cl": -0.1},
        {"tau": 0, "headwind": 0, "stations": slopes, "touchdown": -12.5},
        {"carried": 0, "headwind": 0},
    ][i])


def patches(g, i):
    count, zones = [(2, 2), (3, 3), (5, 2), (8, 4), (8, 3), (12, 4), (6, 3), (4, 2)][i]
    stations = profile(g, count, 80, zones=zones)
    case = drawn(g, stations=stations, friction=frictions(g, zones, 0.08), carried=0 if i % 2 else some(g, 1, 8, 2))
    case["tau"] = 0 if i < 5 else case["tau"]
    # Touchdown on a boundary, before the first station, and past the last.
    case["touchdown"] = {2: stations[1][0], 3: -7.25, 7: stations[-1][0] + 3}.get(i, case["touchdown"])
    return case


def rolling(g, i):
    count = [10, 15, 20, 30, 40, 60, 60, 60][i]
    k = [0.003, 0.008, 0.02, 0.02, 0.01, 0, 0.005, 0.02][i]
    stations = profile(g, count, 160, slope=[0.02, 0.06][i % 2], k=k, zones=3)
    plain = {"tau": 0, "carried": 0} if i in (0, 3, 5) else {}
    return drawn(g, stations=stations, friction=frictions(g, 3, 0.12), v0=some(g, 16, 21, 2), **plain)


def wind(g, i):
    return drawn(g, stations=profile(g, 4, 60, zones=2), friction=frictions(g, 2, 0.25), **[
        {"headwind": 9.5, "tau": 0},
        {"headwind": -8.0, "tau": 0, "carried": 0},
        {"headwind": -11.0, "tau": 1.0},
        {"headwind": -20.0, "v0": 14.0, "tau": 1.5},   # the air never flows from ahead
        {"headwind": -16.0, "v0": 17.0, "tau": 0},
    ][i])


def settling(g, i):
    hollow = [[0, 0.01, 0.01, 0.015, 0], [25.0, -0.01, 0.02, 0.01, 0], [45.0, 0.02, 0, 0.003, 0]]
    return drawn(g, **[
        {"tau": 0.5, "carried": 15.0, "headwind": 0},
        {"tau": 2.0, "carried": 0, "stations": hollow},
        {"tau": 1.2, "carried": 8.0, "stations": hollow, "thrust": 300},
        {"tau": 2.0, "carried": 15.0, "stations": profile(g, 12, 80, k=0.01)},
        {"tau": 0.8, "cl": 1.2, "cd": 0.12, "mass": 450, "wing_area": 15, "v0": 27.0, "headwind": 2.0},  # lift above weight
        {"tau": 2.0, "carried": 0, "v0": 6.0, "headwind": 0},   # stops while the lift still settles
    ][i])


def runs_off(g, i):
    stations = profile(g, 20, 120, k=0.005, zones=2)
    case = drawn(g, stations=stations, friction=frictions(g, 2, 0.15, 0.35), touchdown=some(g, 0, 20, 2), **[
        {"room": 25.0, "tau": 0},
        {"room": 40.0, "headwind": -5.0},
        {"room": 10.0, "carried": 14.0},                # ends where nothing is credited yet
        {"room": 0.0, "tau": 0, "carried": 0},          # replaced below: the end of a station
        {"room": 400.0},                                # more than it needs
    ][i])
    if i == 3:
        case["touchdown"] = 5.0
        case["room"] = round([st[0] for st in stations if st[0] > 25][0] - 5.0, 2)
    return case


def never(g, i):
    return drawn(g, **[
        {"thrust": 300, "mass": 450, "cl": 0.3, "stations": [[0, 0, 0, 0, 0], [40, -0.06, 0.01, 0, 0]], "friction": [0.05], "headwind": 0},
        {"stations": [[0, -0.12, 0, 0, 0], [90, -0.11, 0.02, 0, 1]], "friction": [0.08, 0.06], "cl": 0.2, "headwind": -8.0, "tau": 0},
    ][i])


def crest(g, i):
    return drawn(g, **[
        # Skipped from one boundary to the next; unloaded from the start until slow enough; faster and faster until unloaded.
        {"stations": [[0, 0.02, 0, 0.001, 0], [20, 0, 0, -0.02, 0], [32, -0.03, 0, 0, 0]], "touchdown": 5.0,
         "cl": 0.7, "tau": 0, "carried": 0, "v0": 26.0, "headwind": 3.0, "friction": [0.3]},
        {"stations": [[0, 0.05, 0.01, -0.015, 0]], "cl": 0.3, "tau": 0.6, "carried": 0, "v0": 28.0, "headwind": 0.0, "friction": [0.35]},
        {"stations": [[0, -0.15, 0, -0.02, 0], [70, 0.01, 0, 0, 1]], "touchdown": 0.0, "cl": 0.1, "cd": 0.06, "tau": 0, "carried": 0,
         "v0": 18.0, "headwind": 0.0, "friction": [0.05, 0.3], "thrust": 200},
    ][i])


FAMILIES = [(constant, 4), (patches, 8), (rolling, 8), (wind, 5), (settling, 6), (runs_off, 5), (never, 2), (crest, 3)]


def cases():
    out = [("reference", case) for case, _ in reference()]
    for family, count in FAMILIES:
        out += [(family.__name__, family(np.random.default_rng([SEED, len(out) + i]), i)) for i in range(count)]
    return [{"name": f"{family}-{i:02}", "family": family, **case} for i, (family, case) in enumerate(out)]


# ---------------------------------------------------------------- self-test
def against_references():
    """Slides with a closed form; what 15a prints has 7 or 9 digits after the point."""
    worst = 0.0
    for case, printed in reference():
        case = {"name": "reference", **case}
        got = integrate(case)[0]["distance"]
        worst = max(worst, abs(got - printed))
        print(f"references 15a: {printed:14.9f}  here {got:14.9f}  difference {got - printed:10.1e}")
    return worst


def by_hand(case):
    """Length of a constant slide in still air without settling, from the closed form, while N > 0."""
    law = Law(case)
    mu, weight, along, _ = law.ground(0.0)
    a, b = mu * weight + along, law.drag - mu * law.keels
    return math.log1p(b * case["v0"] ** 2 / a) / (2 * b)


def marched(case, step=2e-5):
    """The equation as it is written, by classic Runge-Kutta in equal steps of time across all jumps.

    A jump D of the deceleration met inside a step leaves an error of up to D x step in the speed, so this
    is of first order only: at 20 m/s, 3 m/s2 and D = 3 m/s2 some 0.4 mm of length a jump at 2e-5 s.
    """
    law = Law(case)
    end = case["room"] if case["room"] is not None else LIMIT
    lift = lambda t: law.keels + law.more * (max(0.0, 1 - t / case["tau"]) if case["tau"] > 0 else 0.0)
    firsts, grounds = [st[0] - case["touchdown"] for st in case["stations"][1:]], {}

    def slowing(t, x, v):
        key = (sum(f <= x for f in firsts), x < case["carried"])
        if key not in grounds:
            grounds[key] = law.ground(x)
        mu, weight, along, k = grounds[key]
        u = v + law.wind
        n = max(0.0, weight + k * v * v - (lift(t) * u * u if u > 0 else 0.0))
        return -(mu * n + law.drag * u * abs(u) + along)
    t, x, v, h = 0.0, 0.0, case["v0"], step
    while True:
        a = slowing(t, x, v)
        b = slowing(t + h / 2, x + h / 2 * v, v + h / 2 * a)
        c = slowing(t + h / 2, x + h / 2 * (v + h / 2 * a), v + h / 2 * b)
        e = slowing(t + h, x + h * (v + h / 2 * b), v + h * c)
        nx, nv = x + h * (v + h / 6 * (a + b + c)), v + h / 6 * (a + 2 * b + 2 * c + e)
        if nx >= end:
            return {"runs_off": v + (end - x) / (nx - x) * (nv - v)}
        if nv <= 0:
            return {"stops": x + v * v / (v - nv) * h / 2}
        t, x, v = t + h, nx, nv


def self_test():
    fails = 0

    def expect(what, worst, allowed):
        nonlocal fails
        ok = worst <= allowed
        fails += not ok
        print("ok  " if ok else "FAIL", what, f"{worst:.1e} (allowed {allowed:.0e})")
    # Half a unit of the seventh digit, which most of the rows are printed to.
    expect("rows of the references, m", against_references(), 5.1e-8)
    all_cases = cases()
    still = [c for c in all_cases if len(c["stations"]) == 1 and c["headwind"] == c["tau"] == c["carried"] == 0]
    assert len(still) >= 5
    expect("closed form, m", max(abs(integrate(c)[0]["distance"] - by_hand(c)) for c in still), 1e-9)
    finer, other, plain = 0.0, 0.0, 0.0
    ending = [c for c in all_cases if c["family"] != "never"]
    with multiprocessing.Pool(2) as pool:
        marches = pool.map(marched, ending, chunksize=1)
    for case, result in zip(ending, marches):
        outcome, speeds, _ = integrate(case, places(case))
        kind = outcome["outcome"]
        value = outcome["distance" if kind == "stops" else "speed"]
        for attempt in ("finer", "other"):
            again, others, _ = (integrate(case, places(case), 0.02) if attempt == "finer"
                                else integrate(case, places(case), 0.01, "RK45"))
            assert again["outcome"] == kind, case["name"]
            gap = max([abs(again["distance" if kind == "stops" else "speed"] - value)]
                      + [abs(p[1] - q[1]) for p, q in zip(speeds, others)])
            finer, other = (max(finer, gap), other) if attempt == "finer" else (finer, max(other, gap))
        assert list(result) == [kind], case["name"]
        gap = abs(result[kind] - value)
        plain = max(plain, gap)
    expect("steps of at most 0.02 s, m or m/s", finer, 1e-9)
    expect("RK45 with steps of at most 0.01 s, m or m/s", other, 1e-8)
    expect("plain marching of the equation by 0.02 ms, m or m/s", plain, 1e-3)
    print("failures:", fails)
    return fails


# ---------------------------------------------------------------- main
def main():
    if "--self-test" in sys.argv:
        sys.exit(1 if self_test() else 0)
    head = {"wrote": "tests/oracle/slides.py", "method": "scipy solve_ivp DOP853, rtol 1e-12, atol 1e-12, max_step 0.05 s",
            "seed": SEED, "python": platform.python_version(), "numpy": np.__version__, "scipy": scipy.__version__,
            "rounded": 1e-9, "limit": LIMIT, "slides": sum(n for _, n in FAMILIES) + len(list(reference()))}
    lines = [answered(case) for case in cases()]
    with open(os.path.join(HERE, "slides.jsonl"), "w", encoding="ascii") as file:
        for line in [head, *lines]:
            file.write(json.dumps(line, separators=(",", ":")) + "\n")
    for line in lines:
        end = line["distance"] if line["distance"] is not None else line["speed"]
        print(f"{line['name']:14} {line['outcome']:8} {end if end is not None else '':>14} stations {len(line['stations']):2} smooth {line['smooth']!s:5} unloaded {line['unloaded']}")
    against_references()


if __name__ == "__main__":
    main()
