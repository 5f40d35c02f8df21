//! Clear stretches of one line: worked numbers, and a law against every near end on a grid.

use super::*;
use crate::obstruction::tests::allowance;
use crate::outline::tests::ring;
use crate::profile::tests::small;
use crate::{
    Allowance, Corner, EdgeKind, HalfWidth, Hazard, HazardKind, Margins, Outline, Point, Presence, Relief,
    Ring, Shape, Step,
};
use measure::{Depth, Height, TrueHeading};
use proptest::prelude::*;

fn field() -> Ring {
    ring(&[(-50.0, 0.0), (50.0, 0.0), (50.0, 300.0), (-50.0, 300.0)])
}

fn hazard(x: f64, y: f64, radius: f64, relief: Relief) -> Hazard {
    Hazard {
        id: "r1".to_owned(),
        kind: HazardKind::Rock,
        shape: Shape::disc(Point { x, y }).expect("finite"),
        radius: Metres::m(radius),
        relief,
        position_sigma: Metres::ZERO,
        height_sigma: Metres::ZERO,
        presence: Presence::Present,
    }
}

fn lengths(outer: Ring, hazards: &[Hazard], half_width: f64, east: f64) -> Vec<f64> {
    let outline = Outline::new(outer, vec![]).expect("valid");
    let all = Obstructions::new(&outline, hazards, &small(0.0), &allowance(half_width, 0.05));
    let line = Centreline::through(Point { x: east, y: 0.0 }, TrueHeading::deg(0.0));
    clear_stretches(&all, line).iter().map(|s| s.lane.length.to_m()).collect()
}

#[track_caller]
fn check(got: &[f64], expected: &[f64]) {
    assert_eq!(got.len(), expected.len(), "{got:?}");
    for (g, e) in got.iter().zip(expected) {
        assert!((g - e).abs() < 1e-9, "{got:?}");
    }
}

#[test]
fn an_empty_field_is_clear_from_edge_to_edge() {
    check(&lengths(field(), &[], 0.0, 0.0), &[300.0 - 0.002]);
}

#[test]
fn a_rock_on_the_keel_track_splits_the_line() {
    let rock = hazard(1.1, 100.0, 0.5, Relief::Raised(Height::m(0.2)));
    check(&lengths(field(), &[rock], 0.0, 0.0), &[99.5 - 0.002, 199.5 - 0.002]);
}

#[test]
fn a_rock_between_the_floats_below_the_spreader_does_not_block() {
    let rock = hazard(0.0, 100.0, 0.3, Relief::Raised(Height::m(0.2)));
    check(&lengths(field(), &[rock], 0.0, 0.0), &[300.0 - 0.002]);
}

#[test]
fn a_rock_as_high_as_the_spreader_less_the_margin_blocks() {
    let rock = hazard(0.0, 100.0, 0.3, Relief::Raised(Height::m(0.45)));
    check(&lengths(field(), &[rock], 0.0, 0.0), &[99.7 - 0.002, 199.7 - 0.002]);
}

#[test]
fn a_hole_blocks_under_the_keels_only() {
    let hole = |x| hazard(x, 100.0, 0.2, Relief::Sunk(Some(Depth::m(0.3))));
    check(&lengths(field(), &[hole(0.0)], 0.0, 0.0), &[300.0 - 0.002]);
    check(&lengths(field(), &[hole(1.1)], 0.0, 0.0), &[99.8 - 0.002, 199.8 - 0.002]);
}

#[test]
fn a_rock_nobody_measured_blocks_under_the_wing_too() {
    check(
        &lengths(field(), &[hazard(4.5, 100.0, 0.0, Relief::NotMeasured)], 0.0, 0.0),
        &[100.0 - 0.002, 200.0 - 0.002],
    );
}

#[test]
fn the_sideways_allowance_widens_what_a_rock_blocks() {
    // Outer float bottom reaches 0.1 m height at 1.333 m; a rock top 0.05 + 0.05 m at 3.9 m east.
    let rock = hazard(3.9, 100.0, 0.0, Relief::Raised(Height::m(0.05)));
    check(&lengths(field(), std::slice::from_ref(&rock), 2.0, 0.0), &[300.0 - 0.002]);
    check(&lengths(field(), &[rock], 3.0, 0.0), &[100.0 - 0.002, 200.0 - 0.002]);
}

#[test]
fn a_wing_may_hang_over_a_low_fence_but_not_over_a_high_one() {
    let fenced = |height: f64| Ring { edges: vec![EdgeKind::Fence(Height::m(height)); 4], ..field() };
    check(&lengths(fenced(1.2), &[], 0.0, 47.0), &[300.0 - 0.002]);
    check(&lengths(fenced(2.1), &[], 0.0, 47.0), &[]);
}

#[test]
fn a_fence_whose_height_was_guessed_counts_as_higher() {
    // 1.6 m and margin pass under the wing at 2 m; a third of it unsure, one-sided, does not.
    let guessed =
        |height_share: f64| Ring { edges: vec![EdgeKind::Fence(Height::m(1.6)); 4], height_share, ..field() };
    check(&lengths(guessed(0.0), &[], 0.0, 47.0), &[300.0 - 0.002]);
    check(&lengths(guessed(0.3), &[], 0.0, 47.0), &[]);
}

#[test]
fn a_hazard_nobody_measured_blocks_wherever_a_high_one_does() {
    let outline = Outline::new(field(), vec![]).expect("valid");
    let clear = |relief: Relief, east: f64| {
        let all = Obstructions::new(
            &outline,
            &[hazard(east, 100.0, 0.0, relief)],
            &small(3.0),
            &allowance(0.0, 0.05),
        );
        let line = Centreline::through(Point { x: 0.0, y: 0.0 }, TrueHeading::deg(0.0));
        clear_stretches(&all, line).len()
    };
    // The tip is 5 m out, and 5.09 m at full bank.
    for east in [4.9, 5.0, 5.05, 5.08, 5.2] {
        assert!(clear(Relief::NotMeasured, east) >= clear(Relief::Raised(Height::m(3.0)), east), "{east}");
    }
    assert_eq!(clear(Relief::NotMeasured, 5.05), 2);
}

#[test]
fn keels_may_not_leave_the_outline() {
    check(&lengths(field(), &[], 0.0, 49.5), &[]);
    check(&lengths(field(), &[], 0.0, 60.0), &[]);
}

#[test]
fn a_corner_known_to_a_metre_costs_its_circle() {
    let mut outer = field();
    for c in &mut outer.corners {
        *c = Corner { sigma: Metres::m(1.0), ..*c };
    }
    check(&lengths(outer, &[], 0.0, 0.0), &[300.0 - 4.9 - 0.002]);
}

#[test]
fn the_distance_to_the_first_hard_thing_beyond_an_open_end_is_known() {
    let rock = hazard(1.1, 100.0, 0.5, Relief::Raised(Height::m(0.2)));
    let outline = Outline::new(field(), vec![]).expect("valid");
    let all = Obstructions::new(&outline, &[rock], &small(0.0), &allowance(0.0, 0.05));
    let line = |deg| Centreline::through(Point { x: 0.0, y: 0.0 }, TrueHeading::deg(deg));
    let found = clear_stretches(&all, line(0.0));
    assert_eq!(found[0].hard_beyond, Some(Metres::ZERO));
    assert_eq!(found[1].hard_beyond, None);
    let back = clear_stretches(&all, line(180.0));
    assert_eq!(back[0].hard_beyond, Some(Metres::ZERO));
}

#[test]
fn keels_bridge_a_hole_no_longer_than_what_they_bridge() {
    let hole = hazard(1.1, 100.0, 0.2, Relief::Sunk(Some(Depth::m(0.3))));
    let outline = Outline::new(field(), vec![]).expect("valid");
    let bridging = |opening: f64| {
        let allowance = Allowance { bridged_opening: Metres::m(opening), ..allowance(0.0, 0.05) };
        let all = Obstructions::new(&outline, std::slice::from_ref(&hole), &small(0.0), &allowance);
        let line = Centreline::through(Point { x: 0.0, y: 0.0 }, TrueHeading::deg(0.0));
        clear_stretches(&all, line).len()
    };
    // Its opening is 0.4 m, and two hairs.
    assert_eq!(bridging(0.39), 2);
    assert_eq!(bridging(0.41), 1);
}

/// With rocks this far east and north, and a half-width of 2 m that is 3 m from a distance on: the
/// narrower band passes a rock 3.9 m east of the line, the wider one does not.
fn widening_from(from: f64, rocks: &[(f64, f64)], heading: f64) -> Vec<Stretch> {
    let rock = |&(x, y): &(f64, f64)| hazard(x, y, 0.0, Relief::Raised(Height::m(0.05)));
    let rocks: Vec<Hazard> = rocks.iter().map(rock).collect();
    let outline = Outline::new(field(), vec![]).expect("valid");
    let later = [Step { from: Metres::m(from), half_width: Metres::m(3.0) }];
    let half_width = HalfWidth::stepped(Metres::m(2.0), &later);
    let allowance = Allowance { half_width, ..allowance(0.0, 0.05) };
    let all = Obstructions::new(&outline, &rocks, &small(0.0), &allowance);
    let line = Centreline::through(Point { x: 0.0, y: 0.0 }, TrueHeading::deg(heading));
    clear_stretches(&all, line)
}

/// Near ends and lengths with a rock 3.9 m east at 150 m, and a half-width of 3 m from 60 m on.
fn widening(heading: f64) -> Vec<(f64, f64)> {
    let stretches = widening_from(60.0, &[(3.9, 150.0)], heading);
    stretches.iter().map(|s| (s.lane.near.y, s.lane.length.to_m())).collect()
}

#[test]
fn a_lane_that_has_grown_too_wide_for_a_rock_begins_within_60_m_of_it_or_ends_before_it() {
    // At 2 m to either side the rock is clear, at 3 m it is not: see the test on the allowance.
    let got = widening(0.0);
    check(&got.iter().map(|g| g.0).collect::<Vec<_>>(), &[0.001, 90.002]);
    check(&got.iter().map(|g| g.1).collect::<Vec<_>>(), &[149.998, 209.997]);
}

#[test]
fn a_lane_within_another_is_kept_where_it_has_not_grown_wide_enough_for_what_stands_beyond() {
    // The field ends at 300 m, the rock stands at 310 m, and the growth comes 305 m from the near end: a
    // lane that begins past 310 - 305 m passes the rock while it is narrow still.
    let got = widening_from(305.0, &[(3.9, 310.0)], 0.0);
    check(&got.iter().map(|s| s.lane.near.y).collect::<Vec<_>>(), &[0.001, 5.002]);
    check(&got.iter().map(|s| s.lane.length.to_m()).collect::<Vec<_>>(), &[299.998, 294.997]);
    assert!((got[0].hard_beyond.expect("the rock") - Metres::m(10.0)).abs() < Metres::m(1e-9));
    assert_eq!(got[1].hard_beyond, None);
}

#[test]
fn a_lane_within_another_that_has_no_more_room_ahead_is_left_out() {
    // One that begins past 310 - 305 m passes the farther rock, but not the nearer one, which meets the
    // narrow band too.
    let got = widening_from(305.0, &[(3.9, 310.0), (1.1, 305.0)], 0.0);
    check(&got.iter().map(|s| s.lane.length.to_m()).collect::<Vec<_>>(), &[299.998]);
    assert!((got[0].hard_beyond.expect("the rock") - Metres::m(5.0)).abs() < Metres::m(1e-9));
}

#[test]
fn a_lane_that_ends_where_it_would_grow_too_wide_does_not_touch_what_it_would_meet() {
    let outline = Outline::new(field(), vec![]).expect("valid");
    // From 60 m on wider than the field.
    let later = [Step { from: Metres::m(60.0), half_width: Metres::m(60.0) }];
    let half_width = HalfWidth::stepped(Metres::m(2.0), &later);
    let allowance = Allowance { half_width, ..allowance(0.0, 0.05) };
    let all = Obstructions::new(&outline, &[], &small(3.0), &allowance);
    let line = Centreline::through(Point { x: 0.0, y: 0.0 }, TrueHeading::deg(0.0));
    for stretch in clear_stretches(&all, line) {
        assert!((59.99..=59.999 + 1e-9).contains(&stretch.lane.length.to_m()), "{stretch:?}");
        assert!(crate::check_lane(&all, &stretch.lane).is_clear(), "{stretch:?}");
    }
}

#[test]
fn a_lane_slid_over_the_other_way_widens_the_other_way() {
    // From the north edge the rock comes after 150 m; a lane that begins 60 m before it is clear.
    let got = widening(180.0);
    check(&got.iter().map(|g| g.0).collect::<Vec<_>>(), &[299.999, 209.998]);
    check(&got.iter().map(|g| g.1).collect::<Vec<_>>(), &[149.998, 209.997]);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4000, ..ProptestConfig::default() })]
    // Whole metres, so that the lane that leaves most begins on the grid.
    #[test]
    fn no_lane_on_a_grid_leaves_more_between_the_margins_than_the_best_stretch(
        raw in prop::collection::vec((0..140_u8, 0..8_u8, prop::bool::ANY, prop::bool::ANY), 0..12),
        d in 1..110_u8, hard_end in 0..40_u8,
    ) {
        let (growth, length) = (f64::from(d), 105.0);
        let thing = Thing::Hazard(0);
        let things = raw.iter().map(|&(low, long, late, hard)| Blocked {
            span: Span::new(f64::from(low), f64::from(low) + f64::from(long)),
            from: if late { growth } else { 0.0 },
            thing,
            hard,
        });
        let end = |low: f64, high: f64| Blocked { span: Span::new(low, high), from: 0.0, thing, hard: false };
        let ends = [end(f64::NEG_INFINITY, 0.0), end(length, f64::INFINITY)];
        let blocked: Vec<Blocked> = things.chain(ends).collect();
        let first = |near: f64, hard_only: bool| {
            let ahead = blocked.iter().filter(|b| near < b.passed_from() && (b.hard || !hard_only));
            ahead.map(|b| b.span.low.max(near + b.from)).fold(f64::INFINITY, f64::min)
        };
        let margins = Margins { hard_end: Metres::m(f64::from(hard_end)), ..Margins::default() };
        let usable = |near: f64| {
            let far = first(near, false);
            (far > near).then(|| far.min(first(near, true) - f64::from(hard_end)) - near)
        };
        let brute = (0..105).map(f64::from).filter_map(usable).reduce(f64::max);
        let line = Centreline::through(Point { x: 0.0, y: 0.0 }, TrueHeading::deg(0.0));
        let stretches = clear_of(blocked.clone(), &[0.0, growth], line);
        let best = stretches.iter().map(|s| margins.usable(s).to_m()).reduce(f64::max);
        let agree = match (best, brute) {
            (Some(best), Some(brute)) => (best - brute).abs() < 1e-9,
            (None, None) => true,
            _ => false,
        };
        prop_assert!(agree, "{best:?} {brute:?} {stretches:?}");
    }
}
