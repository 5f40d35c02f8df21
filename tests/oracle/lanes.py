"""Longest clear lane on a field: an independent oracle and the answers it stores in lanes.jsonl.

What: writes 300 invented fields, and for sampled headings the longest clear lane, to lanes.jsonl,
which a test only reads. Nothing here is shared with the code under test.

How: for a heading everything is turned so that a lane runs along s (chainage) at a constant o
(offset of the centre line). Every thing is cut into convex pieces (points, segments, triangles)
grown by r = radius + 2.45 sigma + 0.001. A piece and a band [b1, b2] of the aircraft block, on the
line o, the chainages of the piece's points whose offset lies in [o + b1, o + b2]. Since the piece is
a hull of equal discs, that span has a closed form (`spans`): no buffer polygon is in it, so the
stored lengths are lengths of lanes that are really there, to rounding.
  Which lines to look at comes from shapely: the blocked set of the plane is the union of Minkowski
sums (hull of two shifted copies of each piece). Between two convex blockers the gap is a convex
function of o, so its least upper bound lies at an extreme or a reflex corner of that union. All these
are tried 1e-4 m to either side, besides a grid of 0.5 m. With half-width steps or bridging the grid is
finer (0.25 m, 0.05 m) and the best lines are refined, and near ends are all ends of blocked spans of
every step less the step's start (the length falls with slope one between these).
  A stored length is thus a lower bound of the least upper bound at that heading and, but for the
1e-4 m of standing beside a corner, equal to it; for steps and bridging it is to be taken as a lower
bound that is nearly always equal within some millimetres.

Error of buffers: arcs are quad_segs = 32, that is 128 chords a circle, inside the circle by at most
r (1 - cos(pi / 128)) = 3.0e-4 r: 1.5 mm for r = 5 m. It only moves the candidate lines of reflex
corners (extremes in o are exact, the discs have corners there), and never a span.
  Every lane stored is also checked against shapely's own buffers of the shapes in field coordinates
(`certify`): no band's strip meets a buffer from inside, and the lane lengthened by 5 cm at
either end meets a buffer from outside.

Bridging is read as: the spans on one line of one sunk hazard (all its pieces, both tracks) that overlap
or touch are one span; separate spans stay separate. `by_heading_hull` of bridged fields has the answers
for the other reading, one span from the first to the last.

best_usable is the greatest min(far - 15, hard - 30) - near - 10 over all clear lanes of the sampled
headings in both directions, negative if even the best is; null if there is no lane or the field has several steps.

Headings: degrees clockwise from north; over half a turn (a lane is the same both ways), over the whole turn
for fields with several half-width steps.

Versions that wrote lanes.jsonl: Python 3.11.7, shapely 2.2.0, GEOS 3.14.1, numpy 2.4.6.
Seeds: field number i (0 to 299) uses numpy.random.default_rng([20, i]).
Run: python3 tests/oracle/lanes.py               writes lanes.jsonl beside this script
     python3 tests/oracle/lanes.py --self-test   hand-made cases and brute force, writes nothing
     python3 tests/oracle/lanes.py --solve       one field as JSON from standard input, its answer and the time taken
"""
import json
import math
import multiprocessing
import os
import sys
import time

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon

HERE = os.path.dirname(os.path.abspath(__file__))
ALONG = 4096.0   # row pitch, greater than any range of chainage: keeps lines apart in one sorted array
BESIDE = 1e-4    # metres beside a corner
TINY = 1e-7      # metres: spans nearer than this touch
QUAD = 32
PARTS = [(1.075, 0, 1.125, 0), (0.8, 0.12, 1.075, 0), (1.125, 0, 1.4, 0.12), (0, 0.5, 0.8, 0.5), (0.6, 2.0, 5.0, 2.2)]
TRACKS = [(-1.125, -1.075), (1.075, 1.125)]
KEEL = [(-1.125, 1.125)]


# ---------------------------------------------------------------- model
def join(intervals):
    out = []
    for a, b in sorted(intervals):
        if out and a <= out[-1][1]:
            out[-1] = (out[-1][0], max(b, out[-1][1]))
        else:
            out.append((a, b))
    return out


def below(top):
    """Offsets where the underside is at or below `top`."""
    out = []
    for y0, h0, y1, h1 in PARTS:
        if max(h0, h1) <= top:
            part = (y0, y1)
        elif min(h0, h1) > top:
            continue
        else:
            y = y0 + (top - h0) / (h1 - h0) * (y1 - y0)
            part = (y0, y) if h0 < h1 else (y, y1)
        out += [part, (-part[1], -part[0])]
    return join(out)


def things(field):
    """(corners, closed area?, growth, bands, sunk?, hard?) of edges and hazards."""
    out = []
    rings = [(field["outer"], field["edges"])] + list(zip(field["islands"], field["island_edges"]))
    for ring, kinds in rings:
        for i, (kind, h) in enumerate(kinds):
            bands = list(KEEL)
            if h > 0:
                bands += below(h + 0.05 + 1.645 * field["share"] * h)
            pts = [ring[i], ring[(i + 1) % len(ring)]]
            out.append((pts, False, 2.45 * field["sigma"] + 0.001, join(bands), False, kind == "fence"))
    for z in field["hazards"]:
        kind = z["relief"][0]
        if kind == "raised":
            bands = below(z["relief"][1] + 0.05 + 1.645 * z["height_sigma"])
        else:
            bands = TRACKS if kind == "sunk" else [(-5.0, 5.0)]
        grow = z["radius"] + 2.45 * z["sigma"] + 0.001
        out.append((z["at"], z["shape"] == "area", grow, bands, kind == "sunk", True))
    return out


def convex(pts, area):
    if area:
        cut = shapely.constrained_delaunay_triangles(Polygon(pts))
        return [list(t.exterior.coords)[:3] for t in cut.geoms]
    return [[p] for p in pts] if len(pts) == 1 else [list(q) for q in zip(pts[:-1], pts[1:])]


class Solver:
    def __init__(self, field):
        self.field = field
        self.centre = np.mean(np.array(field["outer"]), axis=0)
        self.steps = [s[0] for s in field["half_width"]]
        self.widths = [s[1] for s in field["half_width"]]
        move = lambda ring: [tuple(np.array(p) - self.centre) for p in ring]
        self.outer = Polygon(move(field["outer"]))
        self.holes = [Polygon(move(r)) for r in field["islands"]]
        for p in [self.outer] + self.holes:
            shapely.prepare(p)
        self.things = [(move(t[0]),) + t[1:] for t in things(field)]
        tri, grow, bands, owner = [], [], [], []
        for k, (pts, area, g, bb, _, _) in enumerate(self.things):
            for piece in convex(pts, area):
                for b in bb:
                    tri.append([piece[0], piece[min(1, len(piece) - 1)], piece[-1]])
                    grow.append(g), bands.append(b), owner.append(k)
        self.tri, self.grow, self.band = np.array(tri), np.array(grow), np.array(bands)
        self.owner = np.array(owner)
        self.sunk = np.array([t[4] for t in self.things])[self.owner]
        self.hard = np.array([t[5] for t in self.things])[self.owner]
        self.bridged = field["bridged"]
        self.hull_reading = False

    def turn(self, heading):
        a = math.radians(heading)
        self.u, self.v = np.array([math.sin(a), math.cos(a)]), np.array([math.cos(a), -math.sin(a)])
        self.S, self.O = self.tri @ self.u, self.tri @ self.v
        r = self.outer.exterior.coords[:]
        o = np.array(r) @ self.v
        self.reach = (o.min(), o.max())

    def inside(self, s, o):
        x, y = (np.outer(s, self.u) + np.outer(o, self.v)).T
        ok = shapely.contains_xy(self.outer, x, y)
        for h in self.holes:
            ok &= ~shapely.contains_xy(h, x, y)
        return ok


# ---------------------------------------------------------------- spans on lines, closed form
def capsule_far(s1, o1, s2, o2, r, l, u):
    """Greatest s of the hull of two discs over the offsets [l, u] (which it reaches)."""
    swap = o1 > o2
    s1, s2 = np.where(swap, s2, s1), np.where(swap, s1, s2)
    o1, o2 = np.where(swap, o2, o1), np.where(swap, o1, o2)
    t = np.clip(np.where(s1 >= s2, o1, o2), l, u)
    t = np.clip(t, o1 - r, o2 + r)
    ds, do = s2 - s1, o2 - o1
    L = np.hypot(ds, do)
    L1 = np.where(L > 0, L, 1.0)
    ta, tb = o1 - r * ds / L1, o2 - r * ds / L1
    arc1 = s1 + np.sqrt(np.maximum(r * r - (t - o1) ** 2, 0))
    arc2 = s2 + np.sqrt(np.maximum(r * r - (t - o2) ** 2, 0))
    w = np.where(tb > ta, (t - ta) / np.where(tb > ta, tb - ta, 1.0), 0.0)
    flat = s1 + r * do / L1 + w * ds
    far = np.where(t <= ta, arc1, np.where(t >= tb, arc2, flat))
    return np.where(L > 0, far, arc1)


def spans(sv, lines, width, pick=None):
    """Blocked spans (row, lo, hi, piece) on the sorted `lines` for a half-width."""
    idx = np.arange(len(sv.grow)) if pick is None else np.flatnonzero(pick)
    b1, b2 = sv.band[idx, 0] - width, sv.band[idx, 1] + width
    r = sv.grow[idx]
    first = np.searchsorted(lines, sv.O[idx].min(axis=1) - r - b2, "right")
    last = np.searchsorted(lines, sv.O[idx].max(axis=1) + r - b1, "left")
    n = np.maximum(last - first, 0)
    p = np.repeat(np.arange(len(idx)), n)
    row = np.arange(n.sum()) - np.repeat(np.cumsum(n) - n, n) + first[p]
    l, u, r = lines[row] + b1[p], lines[row] + b2[p], r[p]
    S, O = sv.S[idx[p]], sv.O[idx[p]]
    lo, hi = np.full(len(p), np.inf), np.full(len(p), -np.inf)
    # The extremes of a grown triangle over a strip lie on its rim, that is on its three grown sides.
    for i, j in ((0, 1), (1, 2), (2, 0)):
        met = (np.minimum(O[:, i], O[:, j]) - r < u) & (np.maximum(O[:, i], O[:, j]) + r > l)
        a = (O[:, i], S[:, j], O[:, j], r, l, u)
        hi = np.maximum(hi, np.where(met, capsule_far(S[:, i], *a), -np.inf))
        a = (O[:, i], -S[:, j], O[:, j], r, l, u)
        lo = np.minimum(lo, np.where(met, -capsule_far(-S[:, i], *a), np.inf))
    keep = hi > lo
    row, lo, hi, piece = row[keep], lo[keep], hi[keep], idx[p[keep]]
    if sv.bridged > 0:
        keep = ~bridgeable(sv, row, lo, hi, piece)
        row, lo, hi, piece = row[keep], lo[keep], hi[keep], piece[keep]
    return row, lo, hi, piece


def bridgeable(sv, row, lo, hi, piece):
    out = np.zeros(len(row), bool)
    sunk = np.flatnonzero(sv.sunk[piece])
    if len(sunk) == 0:
        return out
    group = row[sunk] * len(sv.things) + sv.owner[piece[sunk]]
    group = np.unique(group, return_inverse=True)[1]
    order = np.lexsort((lo[sunk], group))
    sunk, group = sunk[order], group[order]
    base = group * ALONG
    top = np.maximum.accumulate(hi[sunk] + base)
    new = np.ones(len(sunk), bool)
    if sv.hull_reading:
        new[1:] = group[1:] != group[:-1]
    else:
        new[1:] = (lo[sunk] + base)[1:] > top[:-1]
    run = np.cumsum(new) - 1
    start = np.flatnonzero(new)
    end = np.append(start[1:], len(sunk)) - 1
    length = top[end] - (lo[sunk] + base)[start]
    out[sunk] = length[run] <= sv.bridged
    return out


class Blocked:
    """All blocked spans of a set of lines in one sorted array, line after line."""

    def __init__(self, found):
        row, lo, hi, piece = found
        order = np.lexsort((lo, row))
        self.row, self.lo, self.piece = row[order], lo[order], piece[order]
        self.key = self.lo + self.row * ALONG
        self.top = np.maximum.accumulate(hi[order] + self.row * ALONG)

    def gaps(self):
        """(row, near, far) of every gap between two blocked spans."""
        i = np.flatnonzero((self.row[1:] == self.row[:-1]) & (self.key[1:] - self.top[:-1] > TINY))
        return self.row[i], self.top[i] - self.row[i] * ALONG, self.lo[i + 1]

    def first(self, row, x):
        """First blocked chainage at or after x (x itself where blocked, infinity where none)."""
        k = np.searchsorted(self.key, x + TINY + row * ALONG, "right")
        before = np.maximum(k - 1, 0)
        stuck = (k > 0) & (self.row[before] == row) & (self.top[before] > x + TINY + row * ALONG)
        after = np.minimum(k, len(self.key) - 1)
        nxt = np.where((k < len(self.key)) & (self.row[after] == row), self.lo[after], np.inf)
        return np.where(stuck, x, nxt)


# ---------------------------------------------------------------- lines worth looking at
CIRCLE = np.array([(math.cos(a), math.sin(a)) for a in np.arange(4 * QUAD) * (math.pi / 2 / QUAD)])


def sums(sv, width, pick=None):
    """Blocked set in the plane (s, o): Minkowski sums of the pieces with the reflected bands."""
    idx = np.arange(len(sv.grow)) if pick is None else np.flatnonzero(pick)
    n = len(idx)
    base = np.stack([sv.S[idx], sv.O[idx]], axis=2)[:, None, :, :]                 # n,1,3,2
    shift = np.zeros((n, 2, 1, 2))
    shift[:, 0, 0, 1], shift[:, 1, 0, 1] = width - sv.band[idx, 0], -width - sv.band[idx, 1]
    centres = (base + shift).reshape(n, 6, 2)
    # A disc's corner can only be one of the hull's if its centre is nearly the foremost in that direction
    # (within half a corner's turn); the others are left out for speed, as are discs that occur twice.
    ahead = centres @ CIRCLE.T
    size = np.linalg.norm(np.ptp(centres, axis=1), axis=1)
    keep = ahead >= ahead.max(axis=1, keepdims=True) - math.pi / len(CIRCLE) * 1.01 * size[:, None, None]
    alike = (centres[:, :, None, :] == centres[:, None, :, :]).all(axis=3)
    keep &= ~np.tril(alike, -1).any(axis=2)[:, :, None]
    piece, disc, corner = np.nonzero(keep)
    points = centres[piece, disc] + sv.grow[idx][piece, None] * CIRCLE[corner]
    return shapely.convex_hull(shapely.multipoints(points, indices=piece))


def corners_of(union):
    """Offsets of the union's extremes and reflex corners."""
    out = []
    for poly in shapely.get_parts(union):
        if poly.geom_type != "Polygon":
            continue
        poly = shapely.geometry.polygon.orient(poly)
        for ring in [poly.exterior] + list(poly.interiors):
            p = shapely.get_coordinates(ring)[:-1]
            before, after = p - np.roll(p, 1, axis=0), np.roll(p, -1, axis=0) - p
            reflex = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0] < 0
            out.append(p[reflex | (before[:, 1] * after[:, 1] <= 0), 1])
    return np.concatenate(out) if out else np.zeros(0)


def candidates(sv, step):
    unions, o = [], []
    for w in sv.widths:
        unions.append(shapely.union_all(sums(sv, w)))
        o.append(corners_of(unions[-1]))
    if len(unions) > 1:
        moved = [shapely.transform(g, lambda c, d=d: c - (d, 0)) for g, d in zip(unions, sv.steps)]
        o.append(corners_of(shapely.union_all(moved)))
    elif not sv.hard.all():
        o.append(corners_of(shapely.union_all(sums(sv, sv.widths[0], sv.hard))))
    if sv.bridged > 0:
        alone = sums(sv, sv.widths[0], sv.sunk)
        o.append(shapely.bounds(alone)[:, [1, 3]].ravel())
        o.append(corners_of(shapely.union_all(sums(sv, sv.widths[0], ~sv.sunk))))
    o = np.unique(np.round(np.concatenate(o), 6))
    lines = [np.arange(sv.reach[0] + step / 2, sv.reach[1], step)]
    lines += [o + d for d in (-2e-3, -BESIDE, BESIDE, 2e-3)]
    lines = np.unique(np.concatenate(lines))
    return lines[(lines > sv.reach[0]) & (lines < sv.reach[1])], unions


# ---------------------------------------------------------------- lanes
def lanes_on(sv, lines):
    """(length, near, far, o) longest first, not yet checked to be inside, and the blocked spans."""
    blocked = [Blocked(spans(sv, lines, w)) for w in sv.widths]
    if len(blocked) == 1:
        row, near, far = blocked[0].gaps()
    else:
        starts = []
        for b, d in zip(blocked, sv.steps):
            r, n, _ = b.gaps()
            starts.append((r, n - d))
        row, near = (np.concatenate(q) for q in zip(*starts))
        far = np.min([b.first(row, near + d) for b, d in zip(blocked, sv.steps)], axis=0)
        ok = (far - near > TINY) & np.isfinite(far)
        row, near, far = row[ok], near[ok], far[ok]
    order = np.argsort(near - far, kind="stable")
    return row[order], near[order], far[order], blocked


def longest(sv, lines, many=1):
    """The longest lanes (one a line) as (length, near, far, o)."""
    row, near, far, _ = lanes_on(sv, lines)
    best, seen = [], set()
    for i in range(0, len(row), 64):
        k = slice(i, i + 64)
        ok = sv.inside((near[k] + far[k]) / 2, lines[row[k]])
        for j in np.flatnonzero(ok) + i:
            if row[j] not in seen:
                seen.add(row[j])
                best.append((far[j] - near[j], near[j], far[j], lines[row[j]]))
                if len(best) == many:
                    return best
    return best


def usable(sv, lines, floor, many=1):
    """Best usable values over `floor`, as (usable, near, far, o, reversed)."""
    row, near, far, blocked = lanes_on(sv, lines)
    hard = sv.hard[blocked[0].piece]
    hrow, hkey = blocked[0].row[hard], blocked[0].key[hard]
    back_row, _, back_hi, _ = spans(sv, lines, sv.widths[0], sv.hard)
    order = np.lexsort((-back_hi, back_row))
    brow, bkey = back_row[order], (-back_hi + back_row * ALONG)[order]
    out = []
    keep = far - near - 25 > floor
    row, near, far = row[keep], near[keep], far[keep]
    ok = sv.inside((near + far) / 2, lines[row]) if len(row) else np.zeros(0, bool)
    row, near, far = row[ok], near[ok], far[ok]
    for rows, keys, n, f, rev in ((hrow, hkey, near, far, False), (brow, bkey, -far, -near, True)):
        if len(row) == 0:
            continue
        h = np.full(len(row), np.inf)
        if len(keys):
            k = np.searchsorted(keys, f - TINY + row * ALONG)
            at = np.minimum(k, len(keys) - 1)
            there = (k < len(keys)) & (rows[at] == row)
            h = np.where(there, keys[at] - row * ALONG, np.inf)
        value = np.minimum(f - 15, h - 30) - n - 10
        for i in np.argsort(-value)[:many]:
            out.append((value[i], near[i], far[i], lines[row[i]], rev))
    return sorted([q for q in out if q[0] > floor], key=lambda q: -q[0])[:many]


def around(sv, offsets, half, count):
    offsets = np.array(offsets)
    lines = np.unique((offsets[:, None] + np.linspace(-half, half, count)).ravel())
    return lines[(lines > sv.reach[0]) & (lines < sv.reach[1])]


def refine(sv, search, found, half):
    """Ever finer lines around the best found."""
    for _ in range(3):
        if not found:
            break
        found = max(found, search(around(sv, [q[3] for q in found[:8]], half, 61)), key=lambda f: f[0][0] if f else -1e9)
        half /= 25
    return found


def ring_strips(sv, best, band, extra=0.0):
    """Strips of the plane that a band of the aircraft sweeps along the lane, one a half-width step."""
    _, near, far, o = best
    near, far = near - extra, far + extra
    out = []
    for k, (d, w) in enumerate(zip(sv.steps, sv.widths)):
        a = near + d if k else near
        b = min(far, near + sv.steps[k + 1]) if k + 1 < len(sv.steps) else far
        if b - a > 1e-5:
            l, u = o + band[0] - w + 1e-6, o + band[1] + w - 1e-6
            c = [(a + 1e-6, l), (b - 1e-6, l), (b - 1e-6, u), (a + 1e-6, u)]
            out.append(Polygon([s * sv.u + q * sv.v for s, q in c]))
    return out


def certify(sv, best):
    """Checks a lane against shapely's own buffers of the shapes, from inside and from outside."""
    def meets(lane, factor, extra):
        for pts, area, grow, bands, sunk, _ in sv.things:
            if sunk and sv.bridged > 0:
                continue
            shape = Polygon(pts) if area else (LineString(pts) if len(pts) > 1 else Point(pts[0]))
            fat = shape.buffer(grow * factor, quad_segs=QUAD)
            if any(fat.intersects(q) for b in bands for q in ring_strips(sv, lane, b, extra)):
                return True
        return False
    if meets(best, 1 - 1e-9, 0.0):
        return "blocked"
    if sv.bridged > 0 or len(sv.steps) > 1:
        return ""
    length, near, far, o = best
    outside = 1 / math.cos(math.pi / (4 * QUAD))
    for lane in ((0, near - 0.05, far, o), (0, near, far + 0.05, o)):
        if not meets(lane, outside, 0.0):
            return "not as long as it could be"
    return ""


def solve(field, headings, note=None):
    sv = Solver(field)
    note = {} if note is None else note
    special = len(sv.steps) > 1 or sv.bridged > 0
    step = 0.25 if len(sv.steps) > 1 else (0.05 if sv.bridged > 0 else 0.5)
    by, hull, best, best_use, todo = [], [], (0.0, None), -1e9, []
    for heading in headings:
        sv.turn(heading)
        lines, unions = candidates(sv, step)
        found = longest(sv, lines, 8 if special else 1)
        if special:
            found = refine(sv, lambda q: longest(sv, q, 8), found, step)
        elif note.get("check_polygons", True):
            polygon_check(sv, unions[0], found, note)
        length = found[0][0] if found else 0.0
        if found:
            bad = certify(sv, found[0]) if len(sv.things) < 500 else ""
            if bad:
                note.setdefault("bad", []).append((field["name"], heading, bad, found[0]))
        by.append([heading, round(float(length), 6)])
        if length > best[0]:
            best = (length, heading)
        if len(sv.steps) == 1:
            use = usable(sv, lines, -1e8, 8)
            if use:
                todo.append((use[0][0], heading, use))
        if sv.bridged > 0:
            sv.hull_reading = True
            found = refine(sv, lambda q: longest(sv, q, 8), longest(sv, lines, 8), step)
            hull.append([heading, round(float(found[0][0]), 6) if found else 0.0])
            sv.hull_reading = False
    for value, heading, use in sorted(todo, key=lambda t: -t[0])[:5]:
        sv.turn(heading)
        use = refine(sv, lambda q: usable(sv, q, -1e8, 8), use, 0.5)
        best_use = max(best_use, use[0][0])
    out = dict(field)
    out["best_length"] = round(float(best[0]), 6)
    out["best_heading"] = best[1]
    out["by_heading"] = by
    if sv.bridged > 0:
        out["by_heading_hull"] = hull
    out["best_usable"] = round(float(best_use), 6) if best_use > -1e8 else None
    return out


def polygon_check(sv, union, found, note):
    """Longest chord of the free polygons on the best line against the closed form."""
    if not found:
        return
    length, near, far, o = found[0]
    mid = (near + far) / 2
    chord = LineString([(near - 50, o), (far + 50, o)]).difference(union)
    own = [c for c in shapely.get_parts(chord) if c.bounds[0] <= mid <= c.bounds[2]]
    diff = abs(own[0].length - length) if own else 1e9
    if diff > note.get("polygon_worst", (0,))[0]:
        note["polygon_worst"] = (diff, sv.field["name"], length)
    if diff > 0.1:
        note["polygon_over"] = note.get("polygon_over", 0) + 1


# ---------------------------------------------------------------- fields
def cm(p):
    return [[round(float(x), 2), round(float(y), 2)] for x, y in p]


def rectangle(g):
    w, h = g.uniform(150, 420), g.uniform(30, 190)
    return [(0, 0), (w, 0), (w, h), (0, h)]


def quad(g):
    w, h = g.uniform(150, 420), g.uniform(40, 190)
    k = lambda: g.uniform(0, 0.25)
    return [(w * k(), h * k()), (w * (1 - k()), h * k()), (w * (1 - k()), h * (1 - k())), (w * k(), h * (1 - k()))]


def spin(pts, g):
    a = g.uniform(0, 2 * math.pi)
    c, s = math.cos(a), math.sin(a)
    return [(c * x - s * y, s * x + c * y) for x, y in pts]


def blob(g, centre, size):
    n = int(g.integers(3, 9))
    a = np.sort((np.arange(n) + g.uniform(0, 0.8, n)) * 2 * math.pi / n)
    r = size * g.uniform(0.4, 1.0, n)
    return [(centre[0] + q * math.cos(t), centre[1] + q * math.sin(t)) for q, t in zip(r, a)]


def anywhere(g, ring, out=0.0):
    poly = Polygon(ring)
    x0, y0, x1, y1 = poly.bounds
    while True:
        p = (g.uniform(x0 - out, x1 + out), g.uniform(y0 - out, y1 + out))
        if out > 0 or poly.contains(Point(p)):
            return p


def relief(g, only=None):
    kind = only or g.choice(["raised", "sunk", "not_measured"], p=[0.6, 0.25, 0.15])
    if kind != "raised":
        return [str(kind)]
    low, high = [(0.05, 0.4), (0.35, 0.6), (0.6, 1.8), (1.7, 3.0)][int(g.integers(0, 4))]
    return ["raised", round(float(g.uniform(low, high)), 2)]


def hazard(g, at, shape=None, only=None, big=1.0):
    shape = shape or str(g.choice(["point", "line", "area"], p=[0.5, 0.25, 0.25]))
    z = {"shape": shape, "at": cm([at]), "radius": 0.0}
    if shape == "point":
        z["radius"] = round(float(g.choice([0, 0.1, 0.3, 0.8, 2.5]) * g.uniform(0.5, 1.5)), 2)
    elif shape == "line":
        a, p, pts = g.uniform(0, 2 * math.pi), np.array(at), [at]
        for _ in range(int(g.integers(1, 5))):
            a += g.uniform(-0.9, 0.9)
            p = p + g.uniform(2, 25) * big * np.array([math.cos(a), math.sin(a)])
            pts.append(tuple(p))
        z["at"], z["radius"] = cm(pts), round(float(g.uniform(0, 0.8)), 2)
    else:
        z["at"] = cm(blob(g, at, g.uniform(1, 15) * big))
    z["sigma"] = float(g.choice([0, 0.02, 0.1, 0.3, 1.0], p=[0.2, 0.2, 0.3, 0.2, 0.1]))
    z["height_sigma"] = float(g.choice([0, 0.02, 0.1]))
    z["relief"] = relief(g, only)
    if shape == "area" and not Polygon(z["at"]).is_valid:
        return hazard(g, at, shape, only, big)
    return z


def fences(g, n, share):
    """Edge kinds, `share` of them fences."""
    return [["fence", round(float(g.choice([0.4, 0.9, 1.2, 1.9, 2.3])), 2)] if g.uniform() < share else ["open", 0] for _ in range(n)]


def comb(g):
    n, w, gap, h, base = int(g.integers(2, 5)), g.uniform(20, 40), g.uniform(8, 30), g.uniform(60, 150), g.uniform(15, 50)
    pts, x = [(0, 0)], 0.0
    total = n * w + (n - 1) * gap
    pts.append((total, 0))
    for i in range(n):
        x = total - i * (w + gap)
        pts += [(x, base + h), (x - w, base + h)]
        if i < n - 1:
            pts += [(x - w, base), (x - w - gap, base)]
    return pts


def star(g):
    n = int(g.integers(5, 9))
    return [(q * math.cos(t), q * math.sin(t)) for t, q in
            ((math.pi * i / n, (g.uniform(120, 200) if i % 2 == 0 else g.uniform(40, 90))) for i in range(2 * n))]


def concave(g, i):
    if i % 4 == 0:
        w, h, t, q = g.uniform(150, 350), g.uniform(100, 190), g.uniform(20, 60), g.uniform(20, 60)
        return [(0, 0), (w, 0), (w, t), (q, t), (q, h), (0, h)]
    if i % 4 == 1:
        w, h, t = g.uniform(150, 350), g.uniform(100, 190), g.uniform(15, 45)
        return [(0, 0), (w, 0), (w, h), (w - t, h), (w - t, t), (t, t), (t, h), (0, h)]
    return comb(g) if i % 4 == 2 else star(g)


def sliver(g, i):
    if i % 4 == 0:
        w = g.uniform(1.5, 2.24)                      # too narrow for the keels
        return [(0, 0), (g.uniform(200, 400), 0), (300, w), (0, w)]
    if i % 4 == 1:
        w = g.uniform(8, 12)
        L = g.uniform(250, 600)
        return [(0, 0), (L, g.uniform(-2, 2)), (L, w), (0, w)]
    if i % 4 == 2:
        return [(0, 0), (g.uniform(150, 400), g.uniform(-40, 40)), (g.uniform(50, 300), g.uniform(60, 150))]
    return [(0, 0), (g.uniform(250, 450), g.uniform(0, 8)), (g.uniform(100, 200), g.uniform(9, 20))]


FAMILIES = [("plain", 165), ("islands", 15), ("concave", 16), ("sliver", 14), ("edges", 12), ("covered", 5),
            ("thousands", 5), ("fences", 14), ("half_width", 14), ("steps", 20), ("bridged", 20)]


def build(i):
    g = np.random.default_rng([20, i])
    number, family = i, None
    for name, count in FAMILIES:
        if number < count:
            family = name
            break
        number -= count
    ring = rectangle(g) if g.uniform() < 0.5 else quad(g)
    upright = g.uniform() < 0.4
    if family == "concave":
        ring = concave(g, number)
    if family == "sliver":
        ring = sliver(g, number)
    if family == "covered":
        ring = [(0, 0), (g.uniform(40, 90), 0), (60, g.uniform(30, 60)), (0, 40)]
    if not upright:
        ring = spin(ring, g)
    if Polygon(ring).exterior.is_ccw == (g.uniform() < 0.3):     # both turning senses occur
        ring = ring[::-1]
    if g.uniform() < 0.15:
        ring = [(x + 1e4, y - 2e4) for x, y in ring]
    ring = cm(ring)
    f = {"name": f"{family}-{number:03d}", "family": family, "outer": ring, "islands": [], "edges": None, "island_edges": [],
         "sigma": 0, "share": 0, "half_width": [[0, 0]], "bridged": 0, "hazards": []}
    n = len(ring)
    f["edges"] = fences(g, n, float(g.choice([0, 0.3, 1.0])))
    if family in ("fences", "edges") or g.uniform() < 0.2:
        f["sigma"] = round(float(g.choice([0.05, 0.2, 0.5, 1.0])), 2)
        f["edges"] = fences(g, n, 0.7)
        f["share"] = float(g.choice([0, 0.3]))
    if family == "half_width":
        f["half_width"] = [[0, [0.5, 1, 3][number % 3]]]
    elif family == "bridged":
        f["bridged"], f["half_width"] = 0.4, [[0, number % 2]]
    elif family == "steps":
        f["half_width"] = [[[0, 1], [40, 2], [120, 4]], [[0, 0], [30, 0.5], [60, 1], [150, 2.5]], [[0, 0.5], [100, 3]],
                           [[0, 1], [25.5, 1.2], [51, 1.6], [76.5, 2.2], [102, 3]]][number % 4]
    elif g.uniform() < 0.15:
        f["half_width"] = [[0, 1]]
    count = int(min(40, 5 + g.exponential(9)))
    if family == "sliver":
        count = int(g.integers(0, 5))
    if family in ("steps", "islands", "concave"):
        count = int(g.integers(0, 14))
    if family == "thousands":
        count = [1000, 1000, 1200, 1500, 2600][number]
    for _ in range(count):
        if family == "thousands":
            f["hazards"].append({"shape": "point", "at": cm([anywhere(g, ring)]), "radius": round(float(g.uniform(0.05, 0.3)), 2),
                                 "sigma": 0.02, "height_sigma": 0, "relief": relief(g, str(g.choice(["raised", "sunk"])))})
        elif family == "bridged":
            wide = g.uniform() < 0.3
            z = hazard(g, anywhere(g, ring), str(g.choice(["line", "point", "area"], p=[0.6, 0.2, 0.2])),
                       "sunk" if g.uniform() < 0.8 else None, 1.5 if not wide else 0.4)
            if z["relief"][0] == "sunk":
                z["sigma"] = float(g.choice([0, 0.01, 0.02]))
                if z["shape"] != "area":
                    z["radius"] = round(float(g.uniform(0.03, 0.22)), 2)
                elif g.uniform() < 0.7:                # a narrow ditch as an area
                    (x, y), a, q, t = z["at"][0], g.uniform(0, 6.28), g.uniform(10, 60), g.uniform(0.1, 0.35)
                    c, s = math.cos(a), math.sin(a)
                    z["at"] = cm([(x, y), (x + q * c, y + q * s), (x + q * c - t * s, y + q * s + t * c), (x - t * s, y + t * c)])
            f["hazards"].append(z)
        elif family == "edges":
            f["hazards"].append(hazard(g, anywhere(g, ring, 15.0)))
        else:
            f["hazards"].append(hazard(g, anywhere(g, ring)))
    if family == "edges":
        for k in range(n):                             # on corners, on edges, along edges, twice the same
            p, q = np.array(ring[k]), np.array(ring[(k + 1) % n])
            f["hazards"].append(hazard(g, tuple(p + (q - p) * g.uniform(0, 1)), "point"))
        f["hazards"].append(hazard(g, ring[0], "point"))
        z = hazard(g, ring[1], "line")
        z["at"] = [ring[1], ring[2]]
        f["hazards"].append(z)
        f["hazards"] += [f["hazards"][0], f["hazards"][-1]]
    if family == "covered":
        p = Polygon(ring)
        x0, y0, x1, y1 = p.bounds
        f["hazards"] = [{"shape": "point", "at": cm([(x + g.uniform(-0.1, 0.1), y)]), "radius": 2.5, "sigma": 0.05, "height_sigma": 0, "relief": ["raised", 0.6]}
                        for y in np.arange(y0, y1 + 3, 3) for x in np.arange(x0, x1 + 3, 3) if p.buffer(4).contains(Point(x, y))]
        if number == 1:
            f["hazards"] = [{"shape": "area", "at": ring, "radius": 0, "sigma": 0, "height_sigma": 0, "relief": ["not_measured"]}]
        if number == 2:
            f["half_width"] = [[0, 3]]
    if family == "islands":
        placed = []
        for _ in range(40):
            b = cm(blob(g, anywhere(g, ring), g.uniform(2, 20)))
            p = Polygon(b)
            if p.is_valid and Polygon(ring).buffer(-1).contains(p) and all(q.distance(p) > 0.5 for q in placed) and len(placed) < 1 + number % 5:
                placed.append(p)
                f["islands"].append(b if g.uniform() < 0.5 else b[::-1])
                f["island_edges"].append(fences(g, len(b), 0.5))
    assert Polygon(ring).is_valid, f["name"]
    return f


def headings_for(f):
    steps = len(f["half_width"]) > 1
    if f["family"] == "thousands":
        base = [10.0, 40, 75, 100, 133, 160]
    else:
        base = [float(h) for h in range(0, 180, 6 if f["family"] == "covered" else 3)]
    ring = f["outer"]
    n = len(ring)
    way = lambda i, j: math.degrees(math.atan2(ring[j][0] - ring[i][0], ring[j][1] - ring[i][1])) % 180
    pairs = sorted(((i, j) for i in range(n) for j in range(i)), key=lambda p: -math.dist(ring[p[0]], ring[p[1]]))
    special = []
    if f["family"] not in ("thousands", "covered"):
        sides = [p for p in pairs if (p[0] - p[1]) in (1, n - 1)][:2]
        across = [p for p in pairs if p not in sides][:2]
        for i, j in sides + across:
            special += [way(i, j) + d for d in (-2, -1, 0, 1, 2)]
            if f["family"] == "sliver":
                special += [way(i, j) + d for d in (-0.5, -0.2, 0.2, 0.5)]
    both = base + special
    if steps:
        both += [h + 180 for h in both]
    return sorted({round(h % (360 if steps else 180), 6) for h in both})


# ---------------------------------------------------------------- self-test
def plain(**over):
    f = {"name": "t", "family": "t", "outer": [[0, 0], [100, 0], [100, 300], [0, 300]], "islands": [], "edges": [["open", 0]] * 4, "island_edges": [],
         "sigma": 0, "share": 0, "half_width": [[0, 0]], "bridged": 0, "hazards": []}
    f.update(over)
    return f


def rock(x, y, r=0.5, kind=("raised", 0.3), **over):
    z = {"shape": "point", "at": [[x, y]], "radius": r, "sigma": 0, "height_sigma": 0, "relief": list(kind)}
    z.update(over)
    return z


def self_test():
    fails = 0

    def expect(what, got, want, tolerance=1e-6):
        nonlocal fails
        ok = (got is None and want is None) or (got is not None and want is not None and abs(got - want) <= tolerance)
        fails += not ok
        print("ok  " if ok else "FAIL", what, got, want)

    def run(heading, **over):
        note = {}
        r = solve(plain(**over), [heading], note)
        assert not note.get("bad"), note
        return r
    expect("underside at 0.06", below(0.06)[1][0], 1.075 - 0.275 / 2)
    expect("underside at 2.1 reaches half the wing", below(2.1)[0][1], 2.8)
    expect("empty field along", run(0.0)["best_length"], 300 - 0.002)
    expect("empty field across", run(90.0)["best_length"], 100 - 0.002)
    expect("corner error grows the edges", run(0.0, sigma=0.2)["best_length"], 300 - 2 * (0.49 + 0.001))
    expect("usable, open ends", run(0.0)["best_usable"], 300 - 0.002 - 25)
    expect("usable, fences", run(0.0, edges=[["fence", 1]] * 4)["best_usable"], 300 - 0.002 - 40)
    far_fence = [["open", 0], ["open", 0], ["fence", 1], ["open", 0]]
    expect("usable, slide away from the fence", run(0.0, edges=far_fence)["best_usable"], 300 - 0.002 - 25)
    wall = {"shape": "line", "at": [[-50, 308], [150, 308]], "radius": 0, "sigma": 0, "height_sigma": 0, "relief": ["raised", 1]}
    wall2 = dict(wall, at=[[-50, -10], [150, -10]])
    expect("usable, walls 8 and 10 m beyond open ends", run(0.0, hazards=[wall, wall2])["best_usable"], (299.999 + 9.999 - 30) - 0 - 10)
    # Narrow: keels 2.25 wide with growth 0.001 a side.
    slot = [[0, 0], [2.253, 0], [2.253, 300], [0, 300]]
    expect("just wide enough", run(0.0, outer=slot)["best_length"], 300 - 0.002)
    expect("just too narrow", run(0.0, outer=[[0, 0], [2.251, 0], [2.251, 300], [0, 300]])["best_length"], 0)
    # In a lane 4 m wide a rock in the middle cannot be passed: centre between 1.126 and 2.874.
    tight = [[0, 0], [4, 0], [4, 300], [0, 300]]
    # Raised 0.3: bands 0.8 to 1.4 either side, and the rock reaches 0.501 from its centre: clear at o = 2.
    expect("rock under the spreader", run(0.0, outer=tight, hazards=[rock(2, 100)])["best_length"], 300 - 0.002)
    # Raised 0.5 meets the spreader too, band -1.4 to 1.4; the rock's centre is at most 0.874 from the centre line and so in the band.
    expect("rock splits the lane", run(0.0, outer=tight, hazards=[rock(2, 100, kind=("raised", 0.5))])["best_length"], 300 - 100 - 0.001 - 0.501)
    # Sunk of radius 0.2 at x = 2: clear of the tracks at o = 2.
    expect("hole between the tracks", run(0.0, outer=tight, hazards=[rock(2, 100, 0.2, ("sunk",))])["best_length"], 300 - 0.002)
    # Not measured: band of 5 to either side, so the easternmost lane (o = 2.874) reaches west to -2.126.
    unseen = ("not_measured",)
    expect("not measured, in reach", run(0.0, outer=tight, hazards=[rock(0, 100, 0.5, unseen)])["best_length"], 200 - 0.001 - 0.501)
    expect("not measured, rim in reach", run(0.0, outer=tight, hazards=[rock(-2.5, 100, 0.5, unseen)])["best_length"],
           200 - 0.001 - math.sqrt(0.501 ** 2 - 0.374 ** 2), 1e-3)
    expect("not measured, out of reach", run(0.0, outer=tight, hazards=[rock(-2.5, 100, 0.37, unseen)])["best_length"], 300 - 0.002)
    # A ditch across the whole field, 0.2 wide: bridged by 0.4 and not by 0.1; an area likewise; slanting, tracks apart.
    ditch = {"shape": "line", "at": [[-5, 100], [105, 100]], "radius": 0.1, "sigma": 0, "height_sigma": 0, "relief": ["sunk"]}
    expect("ditch", run(0.0, hazards=[ditch])["best_length"], 200 - 0.001 - 0.101)
    expect("ditch bridged", run(0.0, hazards=[ditch], bridged=0.4)["best_length"], 300 - 0.002)
    expect("ditch too wide", run(0.0, hazards=[ditch], bridged=0.2)["best_length"], 200 - 0.001 - 0.101)
    wide = {"shape": "area", "at": [[-5, 100], [105, 100], [105, 100.39], [-5, 100.39]], "radius": 0, "sigma": 0, "height_sigma": 0, "relief": ["sunk"]}
    expect("area ditch bridged", run(0.0, hazards=[wide], bridged=0.4)["best_length"], 300 - 0.002)
    expect("two touching ditches are two hazards", run(0.0, hazards=[ditch, dict(ditch, at=[[-5, 100.2], [105, 100.2]])], bridged=0.21)["best_length"], 300 - 0.002)
    slant = dict(ditch, at=[[-10, 90], [110, 210]], radius=0.05)
    # At 45 degrees one track's span is 2 * 0.051 * sqrt 2 + 0.05 = 0.194, the tracks' spans 2.2 apart.
    r = run(0.0, hazards=[slant], bridged=0.2)
    expect("slanting ditch bridged", r["best_length"], 300 - 0.002)
    assert r["by_heading_hull"][0][1] < 299, r
    # Half-width 1 in a slot of 4.3: keel 4.25 wide.
    expect("half-width fits", run(0.0, outer=[[0, 0], [4.3, 0], [4.3, 300], [0, 300]], half_width=[[0, 1]])["best_length"], 300 - 0.002)
    expect("half-width does not fit", run(0.0, outer=[[0, 0], [4.2, 0], [4.2, 300], [0, 300]], half_width=[[0, 1]])["best_length"], 0)
    expect("steps: stops where it would be too wide", run(0.0, outer=[[0, 0], [4.3, 0], [4.3, 300], [0, 300]], half_width=[[0, 1], [40, 2], [120, 4]])["best_length"], 40)
    # Narrow for the first 60 m of the field (4.3 m), then wide: northbound, step at 40 must begin at 60 or later.
    step = [[0, 0], [4.3, 0], [4.3, 60], [30, 60], [30, 300], [-20, 300], [-20, 60], [0, 60]]
    more = {"outer": step, "edges": [["open", 0]] * 8, "half_width": [[0, 1], [40, 2]]}
    # The shoulders at 60 m are edges grown by 1 mm: wide enough after 60.001.
    expect("steps: near end held back", run(0.0, **more)["best_length"], 300 - 0.001 - (60.001 - 40), 1e-5)
    # Southbound, the wide part first: any lane ends at the shoulders in the wide step, or in the slot when it begins late.
    expect("steps: southbound", run(180.0, **more)["best_length"], 300 - 60.002, 1e-5)
    island = [[[20, 140], [80, 140], [80, 160], [20, 160]]]
    r = solve(plain(islands=island, island_edges=[[["open", 0]] * 4]), [0.0, 90.0])
    expect("island passed at its side", r["by_heading"][0][1], 300 - 0.002)
    over = [[[-0.0 + 1, 140], [99, 140], [99, 160], [1, 160]]]
    expect("island across", run(0.0, islands=over, island_edges=[[["open", 0]] * 4])["best_length"], 140 - 0.002)
    diagonal = math.degrees(math.atan2(100, 300))
    # The field's diagonal, less where the keel width, grown, meets the long or the short side.
    D, c, s = math.hypot(100, 300), 300 / math.hypot(100, 300), 100 / math.hypot(100, 300)
    want = D - 2 * max((1.125 * c + 0.001) / s, (1.125 * s + 0.001) / c)
    expect("diagonal", run(diagonal)["best_length"], want, 1e-3)
    fails += brute_force()
    print("failures:", fails)
    return fails


def brute_force():
    """Dense lines through the free polygons of shapely, and random near ends for steps: none longer than stored."""
    fails = 0
    worst = 0.0
    for i in list(range(0, 60, 3)) + list(range(165, 212, 4)) + list(range(232, 250, 5)):
        f = build(i)
        g = np.random.default_rng([7, i])
        heading = float(g.choice(headings_for(f)))
        got = solve(f, [heading])["best_length"]
        sv = Solver(f)
        sv.turn(heading)
        turned = lambda p: shapely.transform(p, lambda c: np.stack([c @ sv.u, c @ sv.v], axis=1))
        free = turned(sv.outer).difference(shapely.union_all([turned(h) for h in sv.holes])).difference(shapely.union_all(sums(sv, sv.widths[0])))
        o = np.arange(sv.reach[0], sv.reach[1], 0.02) + g.uniform(0, 0.02)
        chords = shapely.intersection(free, shapely.linestrings([[(-1500, q), (1500, q)] for q in o]))
        most = max((shapely.length(c) for c in shapely.get_parts(chords)), default=0.0)
        worst = max(worst, most - got)
        if most > got + 0.02 or most < got - 1.5:
            print("dense lines:", f["name"], heading, "dense", most, "stored", got)
        fails += most > got + 0.02
    print("greatest excess of a dense line over the stored length:", worst)
    worst = -1e9
    for i in range(260, 280, 2):
        f = build(i)
        g = np.random.default_rng([8, i])
        heading = float(g.choice(headings_for(f)))
        got = solve(f, [heading])["best_length"]
        sv = Solver(f)
        sv.turn(heading)
        most = 0.0
        for o in g.uniform(*sv.reach, 60):
            lines = np.array([o])
            per = []
            for w in sv.widths:
                _, lo, hi, _ = spans(sv, lines, w)
                per.append(list(zip(lo, hi)))
            ends = sorted(e for p in per for q in p for e in q)
            if not ends:
                continue
            for near in np.arange(ends[0], ends[-1], 0.25):
                far = near
                for k, d in enumerate(sv.steps):
                    stop = sv.steps[k + 1] + near if k + 1 < len(sv.steps) else 1e9
                    hit = [max(lo, near + d) for lo, hi in per[k] if hi > near + d and lo < stop]
                    far = min(hit) if hit else stop
                    if hit:
                        break
                if far - near > most and sv.inside(np.array([(far + near) / 2]), lines)[0]:
                    most = far - near
        worst = max(worst, most - got)
        print("steps:", f["name"], heading, "random", round(most, 3), "stored", got)
        fails += most > got + 1e-3
    print("greatest excess of a random near end over the stored length:", worst)
    return fails


# ---------------------------------------------------------------- main
def work(i):
    start = time.time()
    f = build(i)
    note = {}
    out = solve(f, headings_for(f), note)
    note["time"] = time.time() - start
    return out, note


def tidy(v):
    if isinstance(v, float) and v == int(v):
        return int(v)
    if isinstance(v, list):
        return [tidy(w) for w in v]
    return {k: tidy(w) for k, w in v.items()} if isinstance(v, dict) else v


def main():
    if "--self-test" in sys.argv:
        sys.exit(1 if self_test() else 0)
    if "--solve" in sys.argv:
        field = json.load(sys.stdin)
        headings = headings_for(field)
        start = time.time()
        out = solve(field, headings, {"check_polygons": False})
        answer = {"best_length": out["best_length"], "headings": len(headings), "seconds": round(time.time() - start, 3)}
        print(json.dumps(answer))
        return
    total = sum(n for _, n in FAMILIES)
    with multiprocessing.Pool(2) as pool:
        results = pool.map(work, range(total), chunksize=2)
    with open(os.path.join(HERE, "lanes.jsonl"), "w", encoding="ascii") as file:
        for out, _ in results:
            file.write(json.dumps(tidy(out), separators=(",", ":")) + "\n")
    bad = [b for _, n in results for b in n.get("bad", [])]
    print("lanes that the buffers contradict:", len(bad), bad[:10])
    print("worst difference of free polygons:", sorted((n["polygon_worst"] for _, n in results if "polygon_worst" in n), reverse=True)[:5],
          "over 0.1 m:", sum(n.get("polygon_over", 0) for _, n in results))
    for name, count in FAMILIES:
        some = [(o, n) for o, n in results if o["family"] == name]
        best = sorted(o["best_length"] for o, _ in some)
        print(f"{name:10} {count:4} best {best[0]:8.2f} {best[len(best) // 2]:8.2f} {best[-1]:8.2f}  no lane {sum(b == 0 for b in best):2}"
              f"  hazards {min(len(o['hazards']) for o, _ in some)}-{max(len(o['hazards']) for o, _ in some)}  seconds {sum(n['time'] for _, n in some):.0f}")


if __name__ == "__main__":
    main()
