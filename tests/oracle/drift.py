"""Slides that drift and swing: an independent oracle and the answers it stores in drift.jsonl.

What: writes 32 invented slides and where each comes to rest. Nothing here is shared with the code under test, and
the equations are written another way: vectors in a frame of the field, in which the lane has a heading of its own;
two keels with a force each, whose moments are cross products about the centre of gravity.

Bodies (all per the aircraft, SI): position P, velocity V, unit vectors n (nose) and e (to its right), wind vector W
(where the air goes), A = V - W, u = A.n, b = A.e, q = rho/2.

    load     N = max(0, m (G cos a + k (V.lane)^2 - l(t) u^2 [u > 0 only])),  cos a = 1/sqrt(1 + along^2 + cross^2)
    keels    each N/2, at P + x n +- (w/2) e; force -mu (1 +- f) (N/2) V/|V| (right +, left -): friction opposes the motion
             of the centre of gravity; what turning adds to a keel's own motion is not counted
    air      (T - q S CD u|u|) n  -  q As cs |A| b e;   moment q |A| (Kf b - Df r), b > 0 turning the nose right
    gravity  -m G along/sqrt(1 + along^2) lane  -  m G cross/sqrt(1 + cross^2) right of the lane
    lift     l(t) = lk + max(0, G/u0^2 - lk) max(0, 1 - t/tau), lk = q S CL/m, u0 = v0 + headwind
    m dV/dt = sum of forces, m k^2 dr/dt = sum of moments; mu = 0 while along the lane less than `carried` was slid

Newton's and Euler's laws with Coulomb friction, as agreed for this program; no outside source.

How: scipy's solve_ivp (DOP853, rtol 1e-10, atol 1e-12, steps of at most 0.02 s), begun anew at station boundaries,
at the end of `carried` and at t = tau. It ends where the speed has fallen to 0.1 mm/s: rest is nearer than 1e-8 m.
Kinks of N at 0 and of u at 0 are left to step control.

drift.jsonl: the first line says what wrote it; each other line is one slide:
  name; mass kg, wing_area m2, cl, cd, thrust N, rho kg/m3, headwind m/s, tau s, carried m
  stations [[from m, slope along (uphill positive), slope across (rising to the right positive), k 1/m, zone], ...]
  friction [by zone], touchdown m, v0 m/s
  keel_spacing m, ahead m (contact ahead of the centre of gravity), gyration m, side_area m2, side_slope 1/rad
  fin_volume m3, fin_damping m4; course rad, nose rad, crosswind m/s (from the right positive), uneven (share)
  answers: slid m, right m, heading rad (nose right of lane), seconds; halfway [slid m, right m, heading rad, at seconds/2]
Answers are rounded to 1e-9.

Versions that wrote drift.jsonl: its first line. Seeds: slide i uses numpy.random.default_rng([33, i]).
Run: python3 tests/oracle/drift.py               writes drift.jsonl beside this script (under a minute)
     python3 tests/oracle/drift.py --self-test   closed forms and a second method; writes nothing
"""
import json
import math
import os
import platform
import sys

import numpy as np
import scipy
from scipy.integrate import solve_ivp

HERE = os.path.dirname(os.path.abspath(__file__))
SEED = 33
G = 9.80665
SLOW = 1e-4            # m/s, taken as rest
LANE = math.radians(37.0)   # heading of every lane in the field frame (east, north)


def heading_vector(angle):
    """Unit vector (east, north) of a heading clockwise from north."""
    return np.array([math.sin(angle), math.cos(angle)])


def turned_right(vector):
    return np.array([vector[1], -vector[0]])


def right_handed_moment(arm, force):
    """Moment that turns clockwise seen from above, arm and force in (east, north)."""
    return -(arm[0] * force[1] - arm[1] * force[0])


class Slide:
    def __init__(self, case):
        self.c = case
        self.lane = heading_vector(LANE)
        self.right = turned_right(self.lane)
        # The wind comes from ahead and from the right.
        self.wind = -case["headwind"] * self.lane - case["crosswind"] * self.right
        self.q = case["rho"] / 2
        u0 = case["v0"] + case["headwind"]
        self.keels = self.q * case["wing_area"] * case["cl"] / case["mass"]
        self.more = max(0.0, (G / u0**2 if u0 > 0 else 0.0) - self.keels)

    def lift(self, t):
        tau = self.c["tau"]
        return self.keels + (self.more * (1 - t / tau) if t < tau else 0.0)

    def station(self, slid):
        at = self.c["touchdown"] + slid
        held = [s for s in self.c["stations"] if s[0] <= at] or self.c["stations"][:1]
        return held[-1]

    def rates(self, station, mu):
        c, m = self.c, self.c["mass"]
        _, along, cross, k, _ = station
        gravity = -m * G * (along / math.sqrt(1 + along**2) * self.lane + cross / math.sqrt(1 + cross**2) * self.right)
        weight = G / math.sqrt(1 + along**2 + cross**2)

        def of(t, y):
            v, heading, r = y[2:4], y[4], y[5]
            n = heading_vector(heading)
            e = turned_right(n)
            air = v - self.wind
            u, b, fast = air @ n, air @ e, np.linalg.norm(air)
            load = m * max(0.0, weight + k * (v @ self.lane) ** 2 - (self.lift(t) * u * u if u > 0 else 0.0))
            speed = np.linalg.norm(v)
            force, moment = gravity.copy(), 0.0
            for side in (1, -1):
                arm = c["ahead"] * n + side * c["keel_spacing"] / 2 * e
                keel = -mu * (1 + side * c["uneven"]) * load / 2 * v / speed
                force = force + keel
                moment += right_handed_moment(arm, keel)
            force = force + (c["thrust"] - self.q * c["wing_area"] * c["cd"] * u * abs(u)) * n
            force = force - self.q * c["side_area"] * c["side_slope"] * fast * b * e
            moment += self.q * fast * (c["fin_volume"] * b - c["fin_damping"] * r)
            return [*v, *(force / m), r, moment / (m * c["gyration"] ** 2)]
        return of


def event(function, direction):
    function.terminal, function.direction = True, direction
    return function


def integrate(case, method="DOP853", largest_step=0.02, rtol=1e-10, watch=None):
    slide = Slide(case)
    y = np.array([0.0, 0.0, *(case["v0"] * heading_vector(LANE + case["course"])), LANE + case["course"] + case["nose"], 0.0])
    marks = {s[0] - case["touchdown"] for s in case["stations"][1:]} | {case["carried"]}
    marks = sorted(x for x in marks if x > 0) + [math.inf]
    t, slid, halfway = 0.0, 0.0, None
    for mark in marks:
        middle = (slid + mark) / 2 if mark < math.inf else slid + 1
        station = slide.station(middle)
        mu = 0.0 if middle < case["carried"] else case["friction"][station[4]]
        while slid < mark:
            events = [event(lambda t, y: np.linalg.norm(y[2:4]) - SLOW, -1)]
            if mark < math.inf:
                events.append(event(lambda t, y: y[:2] @ slide.lane - mark, 1))
            horizon = case["tau"] if t < case["tau"] else t + 1000.0
            horizon = min(horizon, watch) if watch and t < watch else horizon
            r = solve_ivp(slide.rates(station, mu), (t, horizon), y, method, events=events, rtol=rtol, atol=1e-12, max_step=largest_step)
            assert r.success, (case["name"], r.message)
            t, y = float(r.t[-1]), r.y[:, -1]
            slid = float(y[:2] @ slide.lane)
            if watch and t == watch:
                halfway = [slid, float(y[:2] @ slide.right), float(y[4] - LANE)]
            if len(r.t_events[0]):
                return {"slid": slid, "right": float(y[:2] @ slide.right), "heading": float(y[4] - LANE), "seconds": t}, halfway
            if len(events) > 1 and len(r.t_events[1]):
                slid = mark
    raise AssertionError(case["name"])


def answered(case):
    whole, _ = integrate(case)
    watch = round(whole["seconds"] / 2, 3)
    again, halfway = integrate(case, watch=watch)
    out = {**case, **{k: round(v, 9) for k, v in again.items()}}
    out["halfway"] = [round(v, 9) for v in halfway] + [watch]
    return out


LEVEL = [[0, 0, 0, 0, 0]]
PLAIN = {"mass": 600, "wing_area": 14, "cl": 0, "cd": 0, "thrust": 0, "rho": 1.225, "headwind": 0, "tau": 0, "carried": 0,
         "stations": LEVEL, "friction": [0.4], "touchdown": 0, "v0": 20, "keel_spacing": 2.0, "ahead": 0, "gyration": 2.4,
         "side_area": 0, "side_slope": 0, "fin_volume": 0, "fin_damping": 0, "course": 0, "nose": 0, "crosswind": 0, "uneven": 0}


def some(g, low, high, digits):
    return round(float(g.uniform(low, high)), digits)


def drawn(g, i):
    count = [1, 3, 8, 20][i % 4]
    froms = [0.0, *np.sort(g.choice(np.arange(100, 7000), count - 1, replace=False)) / 100]
    stations = [[float(f), some(g, -0.02, 0.03, 4), some(g, -0.03, 0.03, 4), some(g, -0.002, 0.002, 5), int(g.integers(3))] for f in froms]
    loose = i % 5 == 4   # the nose swings far round
    return {
        "mass": some(g, 450, 1000, 1), "wing_area": some(g, 11, 17, 2), "cl": some(g, 0, 0.6, 3), "cd": some(g, 0.06, 0.16, 3),
        "thrust": some(g, 0, 200, 1), "rho": some(g, 1.0, 1.28, 4), "headwind": some(g, -2, 6, 2), "tau": some(g, 0, 2, 2) if i % 3 else 0,
        "carried": some(g, 0, 12, 2) if i % 2 else 0, "stations": stations, "friction": [some(g, 0.2, 0.5, 3) for _ in range(3)],
        "touchdown": some(g, -5, 20, 2), "v0": some(g, 14, 24, 2),
        "keel_spacing": some(g, 1.6, 2.6, 2), "ahead": some(g, -0.3, 0.7, 3), "gyration": some(g, 1.8, 3.0, 2),
        "side_area": some(g, 6, 14, 2), "side_slope": some(g, 0.3, 1.5, 2),
        "fin_volume": 0 if loose else some(g, 2, 25, 2), "fin_damping": 0 if loose else some(g, 5, 100, 1),
        "course": some(g, -0.05, 0.05, 4), "nose": some(g, -0.06, 0.06, 4), "crosswind": some(g, -6, 6, 2),
        "uneven": some(g, -0.25, 0.25, 3) if loose else some(g, -0.08, 0.08, 3)}


def cases():
    out = [{**PLAIN, "stations": [[0, 0, 0.02, 0, 0]]},
           {**PLAIN, "side_area": 10, "side_slope": 1.0, "crosswind": 5},
           {**PLAIN, "uneven": 0.05},
           {**PLAIN, "course": 0.0349, "ahead": 0.5}]
    out += [drawn(np.random.default_rng([SEED, i]), i) for i in range(28)]
    return [{"name": f"drift-{i:02}", **case} for i, case in enumerate(out)]


def self_test():
    """A straight slide is v^2/(2 mu G); uneven friction alone turns by mu G w f/(2 k^2) t^2/2; a second method agrees."""
    straight, _ = integrate({"name": "straight", **PLAIN})
    worst = [abs(straight["slid"] - 400 / (2 * 0.4 * G))]
    uneven, _ = integrate({"name": "uneven", **PLAIN, "uneven": 0.05})
    time = 20 / (0.4 * G)
    # The friction on the keels stays opposite to the motion, which stays straight; the lever is w/2 f V.n.
    small = 0.4 * G * 1.0 * 0.05 / 2.4**2 * time**2 / 2
    print("uneven", uneven["heading"], "for small angles", small)
    for case in cases():
        one, _ = integrate(case)
        two, _ = integrate(case, "RK45", 0.01, 1e-11)
        worst.append(max(abs(one[k] - two[k]) for k in ("slid", "right", "heading")))
    print("worst", max(worst), "allowed 1e-7")
    return max(worst) > 1e-7


def main():
    if "--self-test" in sys.argv:
        sys.exit(self_test())
    lines = [answered(case) for case in cases()]
    head = {"wrote": "tests/oracle/drift.py", "method": "scipy solve_ivp DOP853, rtol 1e-10, atol 1e-12, max_step 0.02 s", "seed": SEED,
            "python": platform.python_version(), "numpy": np.__version__, "scipy": scipy.__version__, "rounded": 1e-9, "slides": len(lines)}
    with open(os.path.join(HERE, "drift.jsonl"), "w", encoding="ascii") as file:
        for line in [head, *lines]:
            file.write(json.dumps(line, separators=(",", ":")) + "\n")
    for line in lines:
        print(line["name"], *(f"{line[k]:10.4f}" for k in ("slid", "right", "heading", "seconds")), len(line["stations"]))


if __name__ == "__main__":
    main()
