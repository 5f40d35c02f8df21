//! What every line of a box meets of a convex piece: see `bound` for the proof.

use super::bound::{Offsets, ROUNDING, Turn};
use crate::extent::{Grown, Span, Turned};

/// Most that a window is widened, as a multiple of the shift that it is widened for.
const MOST_LEAN: f64 = 20.0;

/// Whether some line of a box may meet a piece in a band, within a window of `s''`.
pub(super) fn may_meet(piece: &Grown, band: Span, (b, turn): (Offsets, &Turn), window: Span) -> bool {
    let (across, along) = (piece.reach(), piece.transposed().reach());
    let far = along.low.abs().max(along.high.abs());
    let aside = across.low.abs().max(across.high.abs());
    let rounding = ROUNDING * (far + aside + 1.0);
    let slack = b.dy + far * turn.sin + aside * turn.versine + rounding;
    let room = (aside + b.y0.abs()) * turn.sin + far * turn.versine + rounding;
    across.grown(slack).meets(band.shifted(b.y0)) && along.grown(room).meets(window)
}

/// What every line of a box meets of a piece.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Met {
    /// Where its span begins at the latest and ends at the earliest; `low` may lie beyond `high`.
    pub(super) span: Span,
    /// The span is at least as long as this.
    pub(super) length: f64,
}

impl Met {
    /// What one line meets.
    pub(super) fn exactly(span: Span) -> Self {
        Self { span, length: span.high - span.low }
    }
}

/// What every line of a box meets of a piece in a band, where it is known that every one does.
pub(super) fn surely_met(piece: &Grown, band: Span, b: Offsets, turn: &Turn) -> Option<Met> {
    let crossed = || crossed(piece, band, b, turn).map(|span| Met { span, length: 0.0 });
    within_strip(piece, band, b, turn).or_else(crossed)
}

fn within_strip(piece: &Grown, band: Span, b: Offsets, turn: &Turn) -> Option<Met> {
    let middle = piece.within(band.shifted(b.y0))?;
    let slack = |s: f64| b.dy + s.abs() * turn.sin;
    let farthest = slack(middle.low.abs().max(middle.high.abs()));
    let window = middle.grown(farthest * piece.lean().min(MOST_LEAN));
    let (q, w) = (f64::midpoint(window.low, window.high), (window.high - window.low) / 2.0);
    let aside = band.low.abs().max(band.high.abs());
    let slack = slack(q);
    let narrower = w * turn.sin + (b.y0.abs() + slack + aside) * turn.versine;
    let strip = band.grown(-narrower);
    if strip.low > strip.high {
        return None;
    }
    let met = |by: f64| {
        let span = piece.within(strip.shifted(b.y0 + by))?;
        let span = Span::new(span.low.max(window.low), span.high.min(window.high));
        (span.low <= span.high).then_some(span)
    };
    let (one, other) = (met(-slack)?, met(slack)?);
    let far = q.abs() + w;
    let room = (slack + narrower + aside) * turn.sin + far * turn.versine + ROUNDING * (far + aside + 1.0);
    let shorter = (one.high - one.low).min(other.high - other.low);
    let askew = (band.high - band.low) * turn.sin + shorter * turn.versine;
    let span = Span::new(one.low.max(other.low) + room, one.high.min(other.high) - room);
    Some(Met { span, length: shorter - askew - ROUNDING * (far + aside + 1.0) })
}

/// What every line of a box crosses the sides of a piece at, by the line in its band that is nearest to the
/// middle: it has entered by the first of them and not left before the last.
fn crossed(piece: &Grown, band: Span, b: Offsets, turn: &Turn) -> Option<Span> {
    let aside = 0.0_f64.max(band.low).min(band.high);
    let line = Offsets { y0: b.y0 + aside, ..b };
    let sides = piece.sides().filter_map(|(p, q)| side_crossed(p, q, line, turn, aside.abs()));
    sides.reduce(|a, b| Span::new(a.low.min(b.low), a.high.max(b.high)))
}

/// Where every line crosses a side: at `low` at the latest, at `high` at the earliest.
fn side_crossed(p: Turned, q: Turned, b: Offsets, turn: &Turn, aside: f64) -> Option<Span> {
    let longest = p.0.abs().max(q.0.abs());
    // 1 / cos - 1 = sin tan / (1 + cos), no more than sin tan.
    let spread = b.dy + (b.y0.abs() + b.dy) * turn.sin * turn.tan;
    let mut span: Option<Span> = None;
    let mut sign = 0.0;
    for (slope, shift) in [(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0)] {
        let (slope, y) = (slope * turn.tan, b.y0 + shift * spread);
        let off = |(s, o): Turned| o - y - slope * s;
        let (from, to) = (off(p), off(q));
        let opposite = (from < 0.0 && to > 0.0) || (from > 0.0 && to < 0.0);
        if !opposite || sign * from < 0.0 {
            return None;
        }
        sign = from;
        let at = p.0 + (q.0 - p.0) * from / (from - to);
        span = Some(span.map_or(Span::new(at, at), |s| Span::new(s.low.max(at), s.high.min(at))));
    }
    let off = aside + b.dy + longest * turn.sin + (b.y0.abs() + spread + longest * turn.tan) * turn.versine;
    let room = off * turn.sin + longest * turn.versine + ROUNDING * (longest + 1.0);
    span.map(|s| Span::new(s.low + room, s.high - room))
}
