//! What every lane of a box meets: the bound, and its proof.
//!
//! # Boxes
//! A *line* has a heading `t` and an offset `y` to the right of the pivot. A *box* is all lines with
//! `t0 - dt <= t <= t0 + dt` and `y0 - dy <= y <= y0 + dy`. Positions are turned once, into the frame of
//! `t0`: a point has chainage `s` along `t0` and offset `o` across. For the line turned by `a = t - t0`
//! the same point has
//!
//! ```text
//! s' = s cos a + o sin a,          o' = o cos a - s sin a - y          (o' counted from the line)
//! ```
//!
//! so with `d(s, o) = (y - y0) + s sin a + o (1 - cos a)` we have exactly `o' = o - y0 - d(s, o)`: the
//! line's band of offsets `[b, c]` lies, at a point, at `y0 + d + [b, c]`. For all lines of the box
//! `|d| <= dy + |s| sin dt + |o| (1 - cos dt)`. Lengths along a line are differences of `s'`; we count
//! instead with `s'' = s' - y0 sin a`, which differs by a constant of the line:
//!
//! ```text
//! s'' - s = (o - y0) sin a - s (1 - cos a),   |s'' - s| <= |o - y0| sin dt + |s| (1 - cos dt)      (1)
//! ```
//!
//! # What is claimed of a thing
//! A `Cut` for a thing, a band and a box: every line of the box meets the thing within the band, and the
//! span of `s''` over which it does begins at `low` at the latest and ends at `high` at the earliest.
//! Hence a lane on any line of the box ends by `low` or begins from `high` on, which is what
//! `gap::widest` counts with; so its answer is an upper bound for every lane of the box. Things that not
//! every line meets give no cut: leaving one out never lowers the bound.
//!
//! # Ends
//! A lane lies within the outline, so within its convex hull. Points of the hull on lines of the box have
//! `|o - y0| <= a = dy + far (sin dt + 1 - cos dt)`, with `far` the farthest of its corners along or across;
//! the least and greatest `s` of the hull within that swath, moved by (1), end every lane, and a box whose
//! swath misses the hull has no lane. Without these two cuts nothing would be said of a lane that ends at an
//! edge which not every line of the box meets.
//!
//! # Windows
//! All lanes of a box that are worth more than some floor lie within the hull `[n, f]` of those of its gaps
//! that are worth more. (A gap ends at the latest where a lane ends that begins in it: with a half-width that
//! grows that is the later the later it begins, up to where the next cut is passed.) In chainages of a line itself, `s' = s'' + y0 sin a`, that is within
//! `[n - |y0| sin dt, f + |y0| sin dt]`, which the parts of the box inherit as two more cuts: what satisfies
//! them not is worth no more than the floor, so the greater of the floor and the widest gap is still a bound.
//! Things that no line of the box meets within that window, as `s''` within
//! `[n - 2 |y0| sin dt, f + 2 |y0| sin dt]`, cut no lane there, so the parts need not look at them; they are
//! left out of the list that the parts inherit (`Near`). What can end a lane's usable length
//! from beyond its far end, a hard thing within the margin kept from it, is kept.
//!
//! # Discs
//! A disc of radius `r` about `(s, o)` stays a disc in every frame. It meets a line's band if its middle
//! lies within `r` of the band; its middle is off the band of the line `y0, t0` by
//! `m = max(y0 + b - o, o - y0 - c)` (negative inside), and off that of any line of the box by at most
//! `m + S`, `S = dy + |s| sin dt + |o| (1 - cos dt)`. If `m + S <= r`, every line meets it, over at least
//! the half chord `h = sqrt(r^2 - max(m + S, 0)^2)` to either side of its middle's `s''`. With (1):
//! `low = s - h + R`, `high = s + h - R`, `R = |o - y0| sin dt + |s| (1 - cos dt)`.
//!
//! # Convex pieces
//! Let `P` be a convex piece and `W = [q - w, q + w]` any window of chainage. For points of `P` with `s`
//! in `W` and `|o| <= A`, `d` differs from `D = (y - y0) + q sin a` by at most
//! `e = w sin dt + A (1 - cos dt)`, and `|D| <= S = dy + |q| sin dt`. So the straight strip
//! `o - y0 - D` in `[b + e, c - e]` lies, within `W`, inside the line's band; take
//! `A = |y0| + S + max(|b|, |c|)`, which holds in that strip. Let `F(D)` be the greatest `s` of `P` within
//! `W` and the strip. As `P` and `W` are convex, `F` is concave in `D` where it is defined, and it is
//! defined on an interval; so if it is defined at `D = -S` and `D = S`, it is for all lines of the box,
//! and is at least the lesser of its values there. The same upside down for the least `s`. So
//! `high = min(F(-S), F(S)) - R`, `low = max(G(-S), G(S)) + R`, where by (1), as `o - y0 = d + o'` with
//! `|d| <= S + e` and `|o'| <= max(|b|, |c|)`, `R = (S + e + max(|b|, |c|)) sin dt + (|q| + w)(1 - cos dt)`.
//! The window is ours to choose: what the piece covers in the band at 0, and as much more as its sides
//! lean over a shift of `S`.
//!
//! # Sides crossed
//! Where the strip is too narrow for `2 e` (long pieces, wide boxes), a side from `A` to `B` may still be
//! crossed by every line. Where the line `o = Y + m s` (`m = tan a`, `Y = y / cos a`) crosses the
//! side, the share of the way from `A` is `(Y - o_A + m s_A) / (o_B - o_A - m (s_B - s_A))`; `A` and `B` lie on
//! opposite sides of it for all `(m, Y)` of a rectangle if they do at its corners, being half planes in
//! `(m, Y)`, and then the share, a quotient of linear functions in each variable with a denominator that
//! keeps its sign, is monotone in each, so the extreme crossings are at corners too. The piece is met no later
//! than at the first and left no earlier than at the last of the sides that are crossed by all. The same holds
//! of the line beside each, at `o' = p` for a `p` of the band, which is a line of offset `y + p`; so
//! `o - y0 = d + p`.
//!
//! # Openings bridged
//! A line meets a bridged depression only where the joined span is longer than the opening. The span that
//! a line has of one convex piece is long enough if that of its strip is: `F - G` is concave in `D`, so
//! never less than the lesser of its values at `-S` and `S`, and the two points that it lies between differ
//! by no more than `c - b` in `o`; so their `s'` differ by at least `(F - G) cos dt - (c - b) sin dt`, wherever
//! they are. Cuts of several pieces or bands that are the right way round and overlap are joined, as the
//! spans that hold them are, and stand when together they are longer than the opening.
//!
//! # Rounding
//! Sines are taken larger and cuts opened by a part in 10^12 of all lengths in play, some thousand times
//! what rounding loses.

use super::blockers::turned;
use crate::Point;
use crate::extent::{Span, cut};

/// Room for rounding, as a share of the lengths in play.
pub(super) const ROUNDING: f64 = 1e-12;

/// All chainages.
pub(super) const EVERYWHERE: Span = Span::new(f64::NEG_INFINITY, f64::INFINITY);

/// Lines whose headings differ by at most this.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turn {
    pub(super) sin_t0: f64,
    pub(super) cos_t0: f64,
    /// Sine of the greatest turn away.
    pub(super) sin: f64,
    /// One less its cosine.
    pub(super) versine: f64,
    /// Its tangent.
    pub(super) tan: f64,
}

impl Turn {
    pub(super) fn new(t0: f64, dt: f64) -> Self {
        let half = libm::sin(dt / 2.0);
        let more = 1.0 + ROUNDING;
        Self {
            sin_t0: libm::sin(t0),
            cos_t0: libm::cos(t0),
            sin: libm::sin(dt) * more,
            versine: 2.0 * half * half * more,
            tan: libm::tan(dt) * more,
        }
    }

    /// One heading alone.
    pub(super) fn to(t: f64) -> Self {
        Self::new(t, 0.0)
    }

    /// The middle heading alone.
    pub(super) fn still(&self) -> Self {
        Self { sin: 0.0, versine: 0.0, tan: 0.0, ..*self }
    }
}

/// Offsets of the lines of one box, all of one turn.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Offsets {
    pub(super) y0: f64,
    pub(super) dy: f64,
}

/// Ends of every lane of a box, counted as `s''`; `None` where no line of it crosses the hull.
pub(super) fn ends(hull: &[Point], turn: &Turn, b: Offsets) -> Option<Span> {
    let corner = |p: &Point| turned(*p, turn.sin_t0, turn.cos_t0);
    let far = hull.iter().map(corner).map(|(s, o)| s.abs().max(o.abs())).fold(0.0, f64::max);
    let aside = b.dy + far * (turn.sin + turn.versine) + ROUNDING * far;
    let swath = Span::new(b.y0 - aside, b.y0 + aside);
    let sides = hull.windows(2).filter_map(|side| cut(corner(&side[0]), corner(&side[1]), swath));
    let reach = sides.map(|(u, v)| Span::new(u.min(v), u.max(v))).reduce(Span::with)?;
    Some(reach.grown(aside * turn.sin + far * turn.versine + ROUNDING * far))
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::{ConvexHull, MultiPoint};
    use proptest::prelude::*;

    const T0: f64 = 0.7;

    proptest! {
        // Chainages of the ends are those of a hull that holds the line's own.
        #[test]
        fn no_line_of_a_box_leaves_the_hull_beyond_its_ends(
            corners in prop::collection::vec((-200.0..200.0_f64, -200.0..200.0_f64), 3..8), y0 in -200.0..200.0_f64,
            dt in 0.0..0.14_f64, dy in 0.0..15.0_f64, a in -1.0..=1.0_f64, b in -1.0..=1.0_f64,
        ) {
            let hull: Vec<Point> = MultiPoint::from_iter(corners).convex_hull().exterior().0.clone();
            let own = ends(&hull, &Turn::new(T0 + a * dt, 0.0), Offsets { y0: y0 + b * dy, dy: 0.0 });
            let all = ends(&hull, &Turn::new(T0, dt), Offsets { y0, dy });
            if let Some(own) = own {
                let own = own.shifted(-y0 * (a * dt).sin());
                let all = all.expect("a line of the box crosses the hull");
                prop_assert!(all.low <= own.low + 1e-9 && own.high <= all.high + 1e-9, "{own:?} {all:?}");
            }
        }
    }
}
