//! What lies under a lane: the chainages at which the keels can be on an area.

use crate::extent::Span;
use crate::{Lane, Level, Obstructions, Shape};
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

/// Share of a lane, 0 to 1, over whose chainages the levels reach; nothing where all of them lie
/// farther than `beside` to one side.
pub fn levels_along(levels: &[Level], lane: &Lane, beside: Metres) -> f64 {
    let (line, near) = lane.centreline();
    let mut reach: Option<(Span, Span)> = None;
    for level in levels {
        let (s, o) = line.line_from_field(level.at);
        let at = (Span::new(s - near, s - near), Span::new(o, o));
        reach = Some(reach.map_or(at, |(along, across)| (along.with(at.0), across.with(at.1))));
    }
    let Some((along, across)) = reach else { return 0.0 };
    if !across.meets(Span::new(-beside.to_m(), beside.to_m())) {
        return 0.0;
    }
    let length = lane.length.to_m();
    let covered = along.high.min(length) - along.low.max(0.0);
    (covered / length.max(f64::MIN_POSITIVE)).clamp(0.0, 1.0)
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
    fn levels_count_for_the_part_of_the_lane_that_they_reach_over() {
        let lane =
            Lane { near: Point { x: 0.0, y: 0.0 }, heading: TrueHeading::deg(0.0), length: Metres::m(200.0) };
        let level = |x: f64, y: f64| Level { at: Point { x, y }, height: Metres::ZERO, sigma: Metres::ZERO };
        let share = |levels: &[Level]| levels_along(levels, &lane, Metres::m(40.0));
        assert!((share(&[level(-10.0, 50.0), level(10.0, 150.0)]) - 0.5).abs() < 1e-12);
        assert!((share(&[level(-10.0, -50.0), level(10.0, 250.0)]) - 1.0).abs() < 1e-12);
        assert!(share(&[level(50.0, 0.0), level(90.0, 200.0)]) < 1e-12, "all far to one side");
        assert!(share(&[level(0.0, 2000.0), level(0.0, 2100.0)]) < 1e-12, "all beyond the end");
        assert!(share(&[]) < 1e-12);
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
