//! Clear stretches of one centre line: an exact answer, by cutting every obstruction with the bands in
//! which it meets the aircraft.
//!
//! What blocks a span of chainage from some distance `d` behind the near end on (0 for what blocks the
//! narrowest band) leaves a lane two ways to be clear of it: to end before the span, or before it has
//! grown as wide as that, `far <= max(low, near + d)`; or to be past the span by the time it has,
//! `near >= high - d`. So a lane cannot begin earlier than at some `high - d` without meeting something
//! new, and these are the only near ends worth trying.

use crate::extent::{Grown, Span, joined};
use crate::obstruction::HAIR;
use crate::{Centreline, Lane, Obstruction, Obstructions, Thing};
use measure::Metres;

/// A stretch of a centre line that meets nothing when slid over in its direction.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Stretch {
    /// The lane on it, in the line's own direction.
    pub lane: Lane,
    /// What keeps it from beginning earlier.
    pub near_thing: Thing,
    /// What stands at the far end.
    pub far_thing: Thing,
    /// From the far end on to the first hard thing at or beyond it; `None` if there is none.
    pub hard_beyond: Option<Metres>,
}

/// A blocked span of chainage, from which distance behind the near end on, and what blocks it.
#[derive(Clone, Copy, Debug)]
struct Blocked {
    span: Span,
    from: f64,
    thing: Thing,
    hard: bool,
}

impl Blocked {
    /// The earliest near end that is past it.
    fn passed_from(&self) -> f64 {
        self.span.high - self.from
    }
}

/// All clear stretches of a centre line in its direction, in order of chainage; none lies within
/// another.
pub fn clear_stretches(obstructions: &Obstructions, line: Centreline) -> Vec<Stretch> {
    let steps = obstructions.steps();
    let blocked = obstructions.list().iter().flat_map(|o| blocked_by(o, &steps, line)).collect();
    let mut out = clear_of(blocked, &steps, line);
    out.retain(|stretch| {
        let middle = stretch.lane.point_at(stretch.lane.length * 0.5, Metres::ZERO);
        obstructions.outline().holds(middle)
    });
    out
}

fn blocked_by(o: &Obstruction, steps: &[f64], line: Centreline) -> Vec<Blocked> {
    let pieces: Vec<Grown> = o.turned_with_hair(|p| line.line_from_field(p)).collect();
    let mut out = Vec::new();
    for (bands, &from) in o.bands().iter().zip(steps) {
        let met = pieces.iter().flat_map(|piece| bands.iter().filter_map(|band| piece.within(*band)));
        let spans = match o.bridged() {
            None => met.collect(),
            Some(opening) => {
                joined(met.collect()).into_iter().filter(|s| s.high - s.low > opening).collect::<Vec<_>>()
            }
        };
        out.extend(spans.into_iter().map(|span| Blocked { span, from, thing: o.thing, hard: o.hard }));
    }
    out
}

/// First low ends, in each step, among what a lane is not past.
struct Ahead<'a> {
    steps: &'a [f64],
    first: Vec<Option<(f64, Thing)>>,
    first_hard: Vec<Option<f64>>,
}

impl<'a> Ahead<'a> {
    fn new(steps: &'a [f64]) -> Self {
        Self { steps, first: vec![None; steps.len()], first_hard: vec![None; steps.len()] }
    }

    fn add(&mut self, b: &Blocked) {
        let Some(step) = self.steps.iter().position(|from| from.total_cmp(&b.from).is_eq()) else { return };
        let new = (b.span.low, b.thing);
        self.first[step] = Some(self.first[step].map_or(new, |old| if new < old { new } else { old }));
        if b.hard {
            self.first_hard[step] = Some(self.first_hard[step].map_or(b.span.low, |old| old.min(b.span.low)));
        }
    }

    /// Where a lane from a near end has to end, and at what.
    fn far_end(&self, near: f64) -> Option<(f64, Thing)> {
        let ends = self.first.iter().zip(self.steps);
        ends.filter_map(|(first, from)| first.map(|(low, thing)| (low.max(near + from), thing)))
            .reduce(|a, b| if b < a { b } else { a })
    }

    fn hard_end(&self, near: f64) -> Option<f64> {
        let ends = self.first_hard.iter().zip(self.steps);
        ends.filter_map(|(first, from)| first.map(|low| low.max(near + from))).reduce(f64::min)
    }
}

fn clear_of(mut blocked: Vec<Blocked>, steps: &[f64], line: Centreline) -> Vec<Stretch> {
    blocked.sort_by(|a, b| {
        let passed = a.passed_from().total_cmp(&b.passed_from());
        passed.then(a.thing.cmp(&b.thing)).then(a.span.low.total_cmp(&b.span.low))
    });
    let mut ahead = Ahead::new(steps);
    let mut found = Vec::new();
    for same in blocked.chunk_by(|a, b| a.passed_from().total_cmp(&b.passed_from()).is_eq()).rev() {
        let Some(last) = same.first() else { continue };
        let near = last.passed_from();
        if let Some((far, far_thing)) = ahead.far_end(near)
            && far > near
        {
            let lane = Lane {
                near: line.field_from_line((near, 0.0)),
                heading: line.heading,
                length: Metres::m(far - near),
            };
            let hard_beyond = ahead.hard_end(near).map(|hard| Metres::m(hard - far));
            found.push((far, Stretch { lane, near_thing: last.thing, far_thing, hard_beyond }));
        }
        for b in same {
            ahead.add(b);
        }
    }
    // From the earliest near end on: a lane that ends no farther than one begun earlier lies within it.
    let mut out: Vec<Stretch> = Vec::with_capacity(found.len());
    let mut reached = f64::NEG_INFINITY;
    for (far, stretch) in found.into_iter().rev() {
        if far > reached + HAIR {
            reached = far;
            out.push(stretch);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::obstruction::tests::allowance;
    use crate::outline::tests::ring;
    use crate::profile::tests::small;
    use crate::{
        Allowance, Corner, EdgeKind, HalfWidth, Hazard, HazardKind, Outline, Point, Presence, Relief, Ring,
        Shape, Step,
    };
    use measure::{Depth, Height, TrueHeading};

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
        let guessed = |height_share: f64| Ring {
            edges: vec![EdgeKind::Fence(Height::m(1.6)); 4],
            height_share,
            ..field()
        };
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
            assert!(
                clear(Relief::NotMeasured, east) >= clear(Relief::Raised(Height::m(3.0)), east),
                "{east}"
            );
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

    /// Lengths and near ends with a rock 3.9 m east at 150 m, and a half-width of 3 m from 60 m on.
    fn widening(heading: f64) -> Vec<(f64, f64)> {
        let rock = hazard(3.9, 150.0, 0.0, Relief::Raised(Height::m(0.05)));
        let outline = Outline::new(field(), vec![]).expect("valid");
        let later = [Step { from: Metres::m(60.0), half_width: Metres::m(3.0) }];
        let half_width = HalfWidth::stepped(Metres::m(2.0), &later);
        let allowance = Allowance { half_width, ..allowance(0.0, 0.05) };
        let all = Obstructions::new(&outline, &[rock], &small(0.0), &allowance);
        let line = Centreline::through(Point { x: 0.0, y: 0.0 }, TrueHeading::deg(heading));
        clear_stretches(&all, line).iter().map(|s| (s.lane.near.y, s.lane.length.to_m())).collect()
    }

    #[test]
    fn a_lane_that_has_grown_too_wide_for_a_rock_begins_within_60_m_of_it_or_ends_before_it() {
        // At 2 m to either side the rock is clear, at 3 m it is not: see the test on the allowance.
        let got = widening(0.0);
        check(&got.iter().map(|g| g.0).collect::<Vec<_>>(), &[0.001, 90.002]);
        check(&got.iter().map(|g| g.1).collect::<Vec<_>>(), &[149.998, 209.997]);
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
}
