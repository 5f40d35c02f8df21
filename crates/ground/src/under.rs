//! What lies under a lane: the chainages at which the keels can be on an area.

use crate::extent::Span;
use crate::{Lane, Obstructions, Shape};
use measure::{CIRCLE_95, Interval, Metres};

/// Chainages, from the near end, at which either keel may touch a shape, the aircraft being anywhere
/// within its sideways allowance at its widest; `None` if neither can between the ends of the lane.
pub fn chainages_under(
    obstructions: &Obstructions,
    lane: &Lane,
    shape: &Shape,
    position_sigma: Metres,
) -> Option<Interval<Metres>> {
    let (line, near) = lane.centreline();
    let along = Span::new(near, near + lane.length.to_m());
    let band = obstructions.profile().keel_width().grown(obstructions.allowance().half_width.widest().to_m());
    shape
        .grown(CIRCLE_95 * position_sigma.to_m(), |p| line.line_from_field(p))
        .filter_map(|piece| piece.within(band))
        .filter(|covered| covered.meets(along))
        .map(|covered| {
            let from = covered.low.max(along.low) - near;
            let to = covered.high.min(along.high) - near;
            Interval::spanning(Metres::m(from), Metres::m(to))
        })
        .reduce(Interval::hull)
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
        chainages_under(&all, &lane, &shape, Metres::m(sigma)).map(|i| (i.low().to_m(), i.high().to_m()))
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
    fn an_area_badly_known_is_met_over_a_longer_way() {
        let (from, to) = under(0.0, -5.0, 2.0).expect("met");
        assert!((from - (50.0 - 4.9)).abs() < 1e-9 && (to - (70.0 + 4.9)).abs() < 1e-9);
    }
}
