//! What lies under a lane: the chainages at which the keels can be on an area.

use crate::extent::Span;
use crate::{HalfWidth, Lane, Obstructions, Shape, Step};
use measure::{CIRCLE_95, Interval, Metres};

/// Chainages, from the near end, at which either keel may touch a shape, the aircraft's middle being anywhere
/// within the half-width there; `None` if neither can between the ends of the lane.
pub fn chainages_under(
    obstructions: &Obstructions,
    lane: &Lane,
    shape: &Shape,
    position_sigma: Metres,
    half_width: &HalfWidth,
) -> Option<Interval<Metres>> {
    let (line, near) = lane.centreline();
    let (frame, far) = (line.frame(), near + lane.length.to_m());
    let keels = obstructions.profile().keel_width();
    let under = |step: &Step| {
        let along = Span::new(near + step.from.to_m(), far);
        let band = keels.grown(step.half_width.to_m());
        let pieces = shape.grown(CIRCLE_95 * position_sigma.to_m(), |p| frame.line_from_field(p));
        let covered = pieces.filter_map(|piece| piece.within(band));
        let between = covered.filter(|covered| along.low <= along.high && covered.meets(along));
        let spans = between.map(|covered| {
            let from = covered.low.max(along.low) - near;
            let to = covered.high.min(along.high) - near;
            Interval::spanning(Metres::m(from), Metres::m(to))
        });
        spans.reduce(Interval::hull)
    };
    half_width.steps().iter().filter_map(under).reduce(Interval::hull)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::tests::ring;
    use crate::profile::tests::small;
    use crate::{Outline, Point};
    use measure::TrueHeading;

    fn under(half_width: f64, east: f64, sigma: f64) -> Option<(f64, f64)> {
        let outer = ring(&[(-50.0, 0.0), (50.0, 0.0), (50.0, 300.0), (-50.0, 300.0)]);
        let outline = Outline::new(outer, vec![]).expect("valid");
        let allowance = crate::obstruction::tests::allowance(half_width, 0.0);
        let all = Obstructions::new(&outline, &[], &small(0.0), &allowance);
        let lane = Lane {
            near: Point { x: 0.0, y: 50.0 },
            heading: TrueHeading::deg(0.0),
            length: Metres::m(200.0),
        };
        let p = |x: f64, y: f64| Point { x: east + x, y };
        let square = [p(0.0, 100.0), p(10.0, 100.0), p(10.0, 120.0), p(0.0, 120.0)];
        let shape = Shape::area(&square).expect("simple");
        let half_width = &all.allowance().half_width;
        chainages_under(&all, &lane, &shape, Metres::m(sigma), half_width)
            .map(|i| (i.low().to_m(), i.high().to_m()))
    }

    #[test]
    fn an_area_across_the_lane_is_met_over_its_length() {
        assert_eq!(under(0.0, -5.0, 0.0), Some((50.0, 70.0)));
    }

    #[test]
    fn an_area_beside_the_keels_is_met_only_with_the_allowance() {
        assert_eq!(under(0.0, 3.0, 0.0), None);
        assert_eq!(under(2.0, 3.0, 0.0), Some((50.0, 70.0)));
    }

    #[test]
    fn an_area_beside_the_lane_is_met_from_where_the_band_has_widened() {
        let outer = ring(&[(-50.0, 0.0), (50.0, 0.0), (50.0, 300.0), (-50.0, 300.0)]);
        let allowance = crate::obstruction::tests::allowance(0.0, 0.0);
        let all =
            Obstructions::new(&Outline::new(outer, vec![]).expect("valid"), &[], &small(0.0), &allowance);
        let lane =
            Lane { near: Point { x: 0.0, y: 0.0 }, heading: TrueHeading::deg(0.0), length: Metres::m(200.0) };
        let corners = [(5.0, 20.0), (15.0, 20.0), (15.0, 180.0), (5.0, 180.0)].map(|(x, y)| Point { x, y });
        let shape = Shape::area(&corners).expect("simple");
        let widens = Step { from: Metres::m(90.0), half_width: Metres::m(6.0) };
        let half_width = HalfWidth::stepped(Metres::ZERO, &[widens]);
        let met = chainages_under(&all, &lane, &shape, Metres::ZERO, &half_width).expect("met");
        assert_eq!((met.low(), met.high()), (Metres::m(90.0), Metres::m(180.0)));
    }

    #[test]
    fn an_area_badly_known_is_met_over_a_longer_way() {
        let (from, to) = under(0.0, -5.0, 2.0).expect("met");
        assert!((from - (50.0 - 4.9)).abs() < 1e-9 && (to - (70.0 + 4.9)).abs() < 1e-9);
    }
}
