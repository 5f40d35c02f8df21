"""Heights between levels by linear interpolation on a Delaunay triangulation: answers stored in surface.jsonl.

What: 24 invented sets of levels strewn at random over 300 m by 200 m (so that no four lie on a circle and
the triangulation is the only one), turned and moved; at 20 points each the height by
scipy.interpolate.LinearNDInterpolator, and at 6 points outside the hull its answer "none". Nothing here
is shared with the code under test.

Queries inside lie in the middle four fifths of the set, that is not in slivers along the rim, which the
code under test counts as not measured. Points outside lie beyond the circle about all levels.

Heights are of the order of 400 m; both sides work in double precision: 1e-9 m is far above rounding.

Versions that wrote surface.jsonl: Python 3.11.7, scipy 1.17.1, numpy 2.4.6.
Seeds: set number i (0 to 23) uses numpy.random.default_rng([31, i]).
Run: python3 tests/oracle/surface.py     writes surface.jsonl beside this script

A row: levels (east, north, height; m), inside (east, north, height; m), outside (east, north; m).
"""
import json
import os

import numpy as np
from scipy.interpolate import LinearNDInterpolator

HERE = os.path.dirname(os.path.abspath(__file__))
SETS = 24
INSIDE = 20
OUTSIDE = 6
SIZE = np.array([300.0, 200.0])


def one(i):
    rng = np.random.default_rng([31, i])
    count = int(rng.integers(12, 160))
    turn = rng.uniform(0.0, 2.0 * np.pi)
    by = rng.uniform(-2000.0, 2000.0, 2)
    rotation = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])

    def placed(unit):
        # Digits enough to tell places apart, few enough to be stored exactly as they are used.
        return np.round((unit - 0.5) * SIZE @ rotation.T + by, 4)

    places = placed(rng.random((count, 2)))
    heights = np.round(400.0 + 0.02 * places[:, 0] + rng.normal(0.0, 1.0, count), 4)
    surface = LinearNDInterpolator(places, heights)
    inside = []
    while len(inside) < INSIDE:
        at = placed(0.1 + 0.8 * rng.random(2))
        height = float(surface(at[0], at[1]))
        if np.isfinite(height):
            inside.append([float(at[0]), float(at[1]), height])
    radius = float(np.linalg.norm(SIZE))
    angles = rng.uniform(0.0, 2.0 * np.pi, OUTSIDE)
    outside = [np.round(by + radius * np.array([np.cos(a), np.sin(a)]), 4).tolist() for a in angles]
    assert all(np.isnan(surface(e, n)) for e, n in outside)
    levels = np.column_stack([places, heights]).tolist()
    return {"levels": levels, "inside": inside, "outside": outside}


def main():
    with open(os.path.join(HERE, "surface.jsonl"), "w", encoding="utf-8") as file:
        for i in range(SETS):
            file.write(json.dumps(one(i), separators=(",", ":")) + "\n")


if __name__ == "__main__":
    main()
