"""Approaches broken off, flown step by step by SciPy: an independent oracle, its answers in abandon.jsonl.

What: the aircraft is a point with airspeed u, vertical speed and heading. Straight ahead the phases follow each other
by events, none of their lengths worked out beforehand: on the path for the reaction time; vertical acceleration G x pull
until level; level while u du/dt = G k R until u is the climb's airspeed; vertical acceleration again until it climbs at
R; then the climb. Heights over places come from the dense output, inverted for distance by brentq. The latest place for
a height over a place is the root, by brentq, of that height as a function of the place of the decision. In the turn the
heading changes by G tan bank / u; places are integrals of velocity through the air plus wind.

Lengths m, speeds m/s, angles degrees, times s. Wind: head positive against the approach, cross positive from the right.
`turn` holds (seconds since the climb was established, past the touchdown point, right of it, height).

Versions that wrote abandon.jsonl: Python 3.11.7, numpy 2.4.6, scipy 1.17.1.
Run: python3 tests/oracle/abandon.py    writes abandon.jsonl beside this script
"""
import json
import math
import os

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

HERE = os.path.dirname(os.path.abspath(__file__))
G = 9.80665
TIGHT = dict(rtol=1e-11, atol=1e-11, dense_output=True)


def straight(c):
    """Pieces (t0, t1, solution) of s, h, vz, u since the decision, and the moment when the climb is established."""
    path = math.tan(math.radians(c["glide"]))
    pull = G * c["pull_up"]
    goal = max(c["climb_airspeed"], c["airspeed"])
    head = c["head"]

    def on_path(t, y):
        return [y[3] - head, -(y[3] - head) * path, 0.0, 0.0]

    def pulled(t, y):
        return [y[3] - head, y[2], pull, 0.0]

    def gaining(t, y):
        return [y[3] - head, 0.0, 0.0, G * c["gaining_share"] * c["rate"] / y[3]]

    def climbing(t, y):
        return [y[3] - head, y[2], 0.0, 0.0]

    def until(of):
        of.terminal = True
        return of

    phases = [
        (on_path, until(lambda t, y: t - c["reaction"])),
        (pulled, until(lambda t, y: y[2])),
        (gaining, until(lambda t, y: y[3] - goal)),
        (pulled, until(lambda t, y: y[2] - c["rate"])),
    ]
    t, y, pieces = 0.0, [0.0, 0.0, 0.0, c["airspeed"]], []
    for i, (rates, end) in enumerate(phases):
        if i == 1:
            y[2] = -(y[3] - head) * path
        if i == 2:
            y[2] = 0.0
        if abs(end(t, y)) < 1e-12:
            continue
        solved = solve_ivp(rates, (t, t + 600.0), y, events=end, max_step=0.5, **TIGHT)
        t1, y = float(solved.t_events[0][0]), list(solved.y_events[0][0])
        pieces.append((t, t1, solved.sol))
        t = t1
    y[2] = c["rate"]
    solved = solve_ivp(climbing, (t, t + 200.0), y, max_step=5.0, **TIGHT)
    pieces.append((t, t + 200.0, solved.sol))
    return pieces, t, y


def fall(c, pieces, since):
    """Height at a distance since the decision, the decision being 0."""
    if since <= 0.0:
        return -since * math.tan(math.radians(c["glide"]))
    for t0, t1, sol in pieces:
        if sol(t1)[0] >= since:
            t = brentq(lambda t: sol(t)[0] - since, t0, t1, xtol=1e-13, rtol=1e-14)
            return float(sol(t)[1])
    raise ValueError("too far")


def height(c, pieces, before, past):
    return before * math.tan(math.radians(c["glide"])) + fall(c, pieces, before + past)


def turn(c, y, before):
    """Places in the turn and after it, from where the climb is established."""
    u, head, cross = y[3], c["head"], c["cross"]
    p0 = math.asin(cross / u)
    sign = 1.0 if c["to"] == "right" else -1.0
    across = G * math.tan(math.radians(c["bank"]))
    roll, angle = 0.5 * c["roll"], math.radians(c["angle"])
    arc = angle * u / across

    def rates(t, z):
        turning = sign * across / u if roll < t < roll + arc else 0.0
        # Until the bank is on no height is counted: the turn may have begun at once.
        rate = c["rate"] if t >= roll + arc else c["turn_rate"] if t >= roll else 2.0 * min(c["turn_rate"], 0.0)
        return [u * math.cos(z[2]) - head, u * math.sin(z[2]) - cross, turning, rate]

    z = [y[0] - before, 0.0, p0, before * math.tan(math.radians(c["glide"])) + y[1]]
    after = math.hypot(u * math.cos(p0 + sign * angle) - head, u * math.sin(p0 + sign * angle) - cross)
    moments = [0.0, roll, roll + 0.3 * arc, roll + 0.7 * arc, roll + arc, roll + arc + c["beyond"] / after]
    out = []
    for a, b in zip([0.0] + moments, moments):
        if b > a:
            inside = 1e-12
            z = list(solve_ivp(lambda t, z: rates(min(max(t, a + inside), b - inside), z), (a, b), z, **TIGHT).y[:, -1])
        out.append([b, z[0], z[1], z[3]])
    return out


def case(rng, i):
    airspeed = float(rng.uniform(17.0, 26.0))
    head = float(rng.uniform(-4.0, 7.0))
    c = dict(
        glide=float(rng.uniform(1.5, 5.0)), airspeed=airspeed, head=head, cross=float(rng.uniform(-5.0, 5.0)),
        rate=float(rng.uniform(0.8, 4.0)), climb_airspeed=float(rng.uniform(20.0, 30.0)),
        reaction=float(rng.choice([4.0, 2.5])), pull_up=float(rng.choice([0.1, 0.2])),
        gaining_share=float(rng.choice([0.7, 1.0])), bank=float(rng.choice([15.0, 25.0])), roll=2.0,
        to="left" if i % 2 else "right", angle=float(rng.choice([90.0, 45.0])), beyond=float(rng.uniform(50.0, 300.0)),
        before=float(rng.uniform(150.0, 500.0)),
    )
    c["turn_rate"] = c["rate"] - float(rng.uniform(0.0, 0.6))
    pieces, settled, y = straight(c)
    places = [-c["before"], -c["before"] + 60.0, -50.0, 0.0, 120.0, 300.0, 700.0]
    places = [p for p in places if p >= -c["before"]]
    c["heights"] = [[p, height(c, pieces, c["before"], p)] for p in places]
    t0, t1, sol = pieces[1]
    c["lowest"] = [float(sol(t1)[0]) - c["before"],
                   c["before"] * math.tan(math.radians(c["glide"])) + float(sol(t1)[1])]
    c["settled"] = [settled, y[0]]
    latest = []
    for past, needed in [(-150.0, 14.0), (100.0, 8.0), (400.0, 20.0), (900.0, 35.0)]:
        over = lambda before: height(c, pieces, before, past) - needed
        if over(1e-9) < 0.0:
            latest.append([past, needed, brentq(over, 1e-9, 2000.0, xtol=1e-11)])
    c["latest"] = latest
    c["turn"] = turn(c, y, c["before"])
    return c


def main():
    rng = np.random.default_rng(20261126)
    with open(os.path.join(HERE, "abandon.jsonl"), "w") as out:
        for i in range(24):
            out.write(json.dumps(case(rng, i)) + "\n")


if __name__ == "__main__":
    main()
