//! How far a grown convex shape reaches within a band.
//!
//! The one geometric primitive of this crate: a convex polygon of a few corners, grown by a radius
//! (so that it is a disc, a capsule or a rounded triangle), cut by a band of one coordinate; the
//! answer is the interval of the other coordinate that the cut shape covers. Asked along the lane it
//! gives blocked chainages, asked across it gives blocked offsets.
//!
//! Why it is exact: the grown shape is convex, so the cut is convex and its extent an interval whose
//! ends lie on the boundary. The boundary is made of arcs about the corners and of edges moved out by
//! the radius; every disc and every moved edge lies wholly inside the grown shape, so the union of
//! their cut extents has the same ends.

use std::ops::RangeInclusive;

/// An interval of one coordinate, in metres; both ends belong to it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Span {
    pub(crate) low: f64,
    pub(crate) high: f64,
}

impl Span {
    pub(crate) const fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// Whether two spans meet. This is where touching is decided: it counts as meeting.
    pub(crate) fn meets(self, other: Self) -> bool {
        self.low <= other.high && other.low <= self.high
    }

    pub(crate) fn grown(self, by: f64) -> Self {
        Self { low: self.low - by, high: self.high + by }
    }

    pub(crate) fn shifted(self, by: f64) -> Self {
        Self { low: self.low + by, high: self.high + by }
    }

    pub(crate) fn with(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    fn holds(self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }
}

/// Sorts spans and joins those that meet.
pub(crate) fn joined(mut spans: Vec<Span>) -> Vec<Span> {
    spans.sort_by(|a, b| a.low.total_cmp(&b.low));
    let mut out: Vec<Span> = Vec::with_capacity(spans.len());
    for span in spans {
        match out.last_mut() {
            Some(last) if span.low <= last.high => last.high = last.high.max(span.high),
            _ => out.push(span),
        }
    }
    out
}

/// A position in a rotated frame: (the coordinate asked for, the coordinate of the band).
pub(crate) type Turned = (f64, f64);

/// A convex shape of at most three corners, grown by a radius, in a rotated frame.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Grown {
    corners: [Turned; 3],
    count: usize,
    radius: f64,
}

impl Grown {
    /// From one to three corners; further ones are not taken.
    pub(crate) fn new(corners: impl IntoIterator<Item = Turned>, radius: f64) -> Self {
        let mut out = Self { corners: [(0.0, 0.0); 3], count: 0, radius };
        for (slot, corner) in out.corners.iter_mut().zip(corners) {
            *slot = corner;
            out.count += 1;
        }
        out
    }

    fn corners(&self) -> &[Turned] {
        &self.corners[..self.count]
    }

    /// The same shape with the two coordinates changing places.
    pub(crate) fn transposed(self) -> Self {
        Self { corners: self.corners.map(|(a, b)| (b, a)), ..self }
    }

    /// Whole reach in the band's coordinate.
    pub(crate) fn reach(&self) -> Span {
        let mut out = Span::new(f64::INFINITY, f64::NEG_INFINITY);
        for &(_, y) in self.corners() {
            out.low = out.low.min(y - self.radius);
            out.high = out.high.max(y + self.radius);
        }
        out
    }

    /// How far its sides run along for one metre across, at most; infinite for a side along the band.
    pub(crate) fn lean(&self) -> f64 {
        self.sides().map(|(a, b)| ((b.0 - a.0) / (b.1 - a.1)).abs()).fold(1.0, f64::max)
    }

    /// Interval covered within the band, if the shape meets it.
    pub(crate) fn within(&self, band: Span) -> Option<Span> {
        let mut found = Reached(None);
        for &(x, y) in self.corners() {
            let away = (band.low - y).max(y - band.high).max(0.0);
            if away <= self.radius {
                let half = ((self.radius - away) * (self.radius + away)).sqrt();
                found.widen(x - half..=x + half);
            }
        }
        for (a, b) in self.sides() {
            self.widen_by_sides(a, b, band, &mut found);
        }
        found.0
    }

    /// Sides between its corners: two corners have one, three have three.
    pub(crate) fn sides(&self) -> impl Iterator<Item = (Turned, Turned)> {
        let sides = if self.count == 3 { 3 } else { self.count.saturating_sub(1) };
        (0..sides).map(|i| (self.corners[i], self.corners[(i + 1) % self.count]))
    }

    fn widen_by_sides(&self, a: Turned, b: Turned, band: Span, found: &mut Reached) {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        // Fields are kilometres at most, so squares neither overflow nor vanish.
        let length = (dx * dx + dy * dy).sqrt();
        if length == 0.0 {
            return;
        }
        let (nx, ny) = (-dy / length * self.radius, dx / length * self.radius);
        for sign in [1.0, -1.0] {
            let p = (a.0 + sign * nx, a.1 + sign * ny);
            let q = (b.0 + sign * nx, b.1 + sign * ny);
            if let Some((u, v)) = cut(p, q, band) {
                found.widen(u.min(v)..=u.max(v));
            }
        }
    }
}

struct Reached(Option<Span>);

impl Reached {
    fn widen(&mut self, by: RangeInclusive<f64>) {
        let (low, high) = by.into_inner();
        self.0 = Some(match self.0 {
            None => Span::new(low, high),
            Some(s) => Span::new(s.low.min(low), s.high.max(high)),
        });
    }
}

/// First coordinates of the two ends of the part of segment `pq` that lies in the band.
pub(crate) fn cut(p: Turned, q: Turned, band: Span) -> Option<(f64, f64)> {
    if !Span::new(p.1.min(q.1), p.1.max(q.1)).meets(band) {
        return None;
    }
    let at = |level: f64| {
        // Reached only where the segment crosses the level, so the divisor is not zero.
        let t = ((level - p.1) / (q.1 - p.1)).clamp(0.0, 1.0);
        p.0 + t * (q.0 - p.0)
    };
    let end = |point: Turned| {
        if band.holds(point.1) {
            point.0
        } else if point.1 < band.low {
            at(band.low)
        } else {
            at(band.high)
        }
    };
    Some((end(p), end(q)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[track_caller]
    fn check(corners: &[Turned], radius: f64, band: (f64, f64), expected: Option<(f64, f64)>) {
        let got = Grown::new(corners.iter().copied(), radius).within(Span::new(band.0, band.1));
        match (got, expected) {
            (None, None) => {}
            (Some(g), Some(e)) => {
                assert!((g.low - e.0).abs() < 1e-12 && (g.high - e.1).abs() < 1e-12, "{g:?}");
            }
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_disc_beside_the_band_reaches_as_far_as_its_chord() {
        check(&[(10.0, 4.0)], 5.0, (-1.0, 1.0), Some((6.0, 14.0)));
        check(&[(10.0, 0.5)], 5.0, (-1.0, 1.0), Some((5.0, 15.0)));
    }

    #[test]
    fn a_disc_that_touches_the_band_meets_it_and_one_beyond_does_not() {
        check(&[(10.0, 6.0)], 5.0, (-1.0, 1.0), Some((10.0, 10.0)));
        check(&[(10.0, 6.000_001)], 5.0, (-1.0, 1.0), None);
    }

    #[test]
    fn a_thin_line_across_the_band_is_cut_by_it() {
        check(&[(0.0, -10.0), (20.0, 10.0)], 0.0, (-1.0, 1.0), Some((9.0, 11.0)));
        check(&[(3.0, 0.0), (8.0, 0.0)], 0.0, (-1.0, 1.0), Some((3.0, 8.0)));
    }

    #[test]
    fn a_triangle_around_the_band_covers_what_lies_between_its_sides() {
        check(&[(0.0, -10.0), (0.0, 10.0), (20.0, 0.0)], 0.0, (-1.0, 1.0), Some((0.0, 20.0)));
    }

    #[test]
    fn spans_that_touch_are_joined() {
        let got = joined(vec![Span::new(5.0, 6.0), Span::new(0.0, 2.0), Span::new(2.0, 3.0)]);
        assert_eq!(got, [Span::new(0.0, 3.0), Span::new(5.0, 6.0)]);
    }

    fn turned() -> impl Strategy<Value = Turned> {
        (-20.0..20.0_f64, -20.0..20.0_f64)
    }

    proptest! {
        // Any point of the grown shape that lies in the band lies in the answer: the shape is
        // sampled as corner mixtures plus a step of at most the radius.
        #[test]
        fn every_point_of_the_shape_in_the_band_is_covered(
            c in prop::collection::vec(turned(), 1..4), r in 0.0..6.0_f64, below in 0.0..5.0_f64,
            above in 0.0..5.0_f64, mix in prop::array::uniform3(0.001..1.0_f64), dir in 0.0..6.3_f64, step in 0.0..1.0_f64,
        ) {
            let total: f64 = mix.iter().take(c.len()).sum();
            let mut p = (0.0, 0.0);
            for (corner, m) in c.iter().zip(mix) {
                p.0 += corner.0 * m / total;
                p.1 += corner.1 * m / total;
            }
            let p = (p.0 + step * r * dir.cos(), p.1 + step * r * dir.sin());
            let band = Span::new(p.1 - below, p.1 + above);
            let got = Grown::new(c.iter().copied(), r).within(band);
            let got = got.expect("the shape meets the band");
            prop_assert!(got.low - 1e-9 <= p.0 && p.0 <= got.high + 1e-9, "{p:?} {got:?}");
        }

        #[test]
        fn a_larger_radius_never_covers_less(
            c in prop::collection::vec(turned(), 1..4), r in 0.0..6.0_f64, more in 0.0..3.0_f64,
            low in -15.0..15.0_f64, width in 0.0..10.0_f64,
        ) {
            let band = Span::new(low, low + width);
            if let Some(a) = Grown::new(c.iter().copied(), r).within(band) {
                let b = Grown::new(c.iter().copied(), r + more).within(band).expect("still meets");
                prop_assert!(b.low <= a.low + 1e-9 && b.high >= a.high - 1e-9);
            }
        }
    }
}
