//! A thing as seen from a lane: at which chainages, before the lane, beside it or beyond it, the thing lies within
//! some distance of the centre line.
//!
//! Invariants: chainages count from the near end of the lane and are negative before it; a thing that touches the
//! band lies in it.
//!
//! Not here: what is high enough to matter (crate `slide`), what the keels touch (`under`).

use crate::extent::{Grown, Span};
use crate::{Lane, Point, Shape};
use measure::{Interval, Metres};

/// A thing's convex pieces, grown by its size and accuracy, in the frame of one lane.
#[derive(Clone, Debug)]
pub struct Abeam {
    pieces: Vec<Grown>,
}

impl Abeam {
    /// A shape grown by a distance, which is not negative.
    pub fn new(lane: &Lane, shape: &Shape, growth: Metres) -> Self {
        let (line, near) = lane.centreline();
        let frame = line.frame();
        let turned = |p: Point| {
            let (chainage, offset) = frame.line_from_field(p);
            (chainage - near, offset)
        };
        Self { pieces: shape.grown(growth.to_m(), turned).collect() }
    }

    /// Chainages at which it lies within a distance of the centre line, piece by piece.
    pub fn within(&self, half_width: Metres) -> impl Iterator<Item = Interval<Metres>> + '_ {
        let half = half_width.to_m();
        let band = (half >= 0.0).then(|| Span::new(-half, half));
        let spans = band.into_iter().flat_map(|band| self.pieces.iter().filter_map(move |p| p.within(band)));
        spans.map(|s| Interval::spanning(Metres::m(s.low), Metres::m(s.high)))
    }

    /// Chainages over which it reaches, wherever it lies.
    pub fn chainages(&self) -> Interval<Metres> {
        hull(self.pieces.iter().map(|p| p.transposed().reach()))
    }

    /// Offsets over which it reaches, positive to the right.
    pub fn offsets(&self) -> Interval<Metres> {
        hull(self.pieces.iter().map(Grown::reach))
    }

    /// Distance from the centre line to its nearest point; nothing where it lies across the line.
    pub fn distance(&self) -> Metres {
        let of_piece = |p: &Grown| {
            let Span { low, high } = p.reach();
            low.max(-high).max(0.0)
        };
        Metres::m(self.pieces.iter().map(of_piece).fold(f64::INFINITY, f64::min))
    }
}

fn hull(spans: impl Iterator<Item = Span>) -> Interval<Metres> {
    let all = spans.reduce(Span::with).unwrap_or(Span::new(0.0, 0.0));
    Interval::spanning(Metres::m(all.low), Metres::m(all.high))
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::TrueHeading;

    /// A lane that heads east from (100, 50).
    fn lane() -> Lane {
        Lane { near: Point { x: 100.0, y: 50.0 }, heading: TrueHeading::deg(90.0), length: Metres::m(200.0) }
    }

    #[track_caller]
    fn check(shape: &Shape, growth: f64, half_width: f64, expected: &[(f64, f64)]) {
        let abeam = Abeam::new(&lane(), shape, Metres::m(growth));
        let got: Vec<(f64, f64)> =
            abeam.within(Metres::m(half_width)).map(|i| (i.low().to_m(), i.high().to_m())).collect();
        assert_eq!(got.len(), expected.len(), "{got:?}");
        for (g, e) in got.iter().zip(expected) {
            assert!((g.0 - e.0).abs() < 1e-9 && (g.1 - e.1).abs() < 1e-9, "{got:?}");
        }
    }

    #[test]
    fn a_crown_before_the_lane_has_chainages_below_zero() {
        let crown = Shape::disc(Point { x: 40.0, y: 50.0 }).expect("finite");
        check(&crown, 4.0, 0.0, &[(-64.0, -56.0)]);
    }

    #[test]
    fn a_crown_beside_the_lane_is_met_only_by_a_band_as_wide() {
        let crown = Shape::disc(Point { x: 160.0, y: 30.0 }).expect("finite");
        check(&crown, 5.0, 14.9, &[]);
        // A metre into the crown: 3 m either side of abeam.
        check(&crown, 5.0, 16.0, &[(57.0, 63.0)]);
    }

    #[test]
    fn each_stretch_of_a_bent_row_counts_by_itself() {
        let corners = [(80.0, 70.0), (80.0, 30.0), (120.0, 30.0)].map(|(x, y)| Point { x, y });
        check(&Shape::line(&corners).expect("a line"), 0.0, 10.0, &[(-20.0, -20.0)]);
    }

    #[test]
    fn distance_is_that_of_the_nearest_point_and_offsets_are_positive_to_the_right() {
        let crown = Shape::disc(Point { x: 160.0, y: 30.0 }).expect("finite");
        let abeam = Abeam::new(&lane(), &crown, Metres::m(5.0));
        assert!((abeam.distance().to_m() - 15.0).abs() < 1e-9);
        assert!((abeam.offsets().low().to_m() - 15.0).abs() < 1e-9);
        assert!((abeam.chainages().high().to_m() - 65.0).abs() < 1e-9);
    }
}
