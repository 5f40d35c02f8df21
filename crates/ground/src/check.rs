//! The exact check of one given lane.
//!
//! Whether the lane meets a thing is decided by distances between shapes (`conflict`), apart from
//! the code of the search. Where a hazard lies and what is left above it is asked across the lane: which
//! offsets does it cover between the two ends?

use crate::conflict::meets;
use crate::extent::Span;
use crate::lane::Frame;
use crate::{Lane, Obstruction, Obstructions, Thing};
use measure::Metres;

/// What the check found.
#[derive(Clone, PartialEq, Debug)]
pub struct LaneCheck {
    /// Things that the lane meets, edges first; empty for a clear lane.
    pub conflicts: Vec<Thing>,
    /// Every present hazard that lies beside or under the lane, in the order of the list.
    pub hazards: Vec<HazardOnLane>,
    /// Whether the lane lies on ground that may be slid on.
    pub on_the_field: bool,
}

/// Where a hazard lies and what is left between it and the aircraft.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct HazardOnLane {
    /// Index in the list of hazards.
    pub index: usize,
    /// Chainage of its middle, kept between the ends of the lane.
    pub chainage: Metres,
    /// Offset of its nearest point from the centre line, positive to the right.
    pub offset: Metres,
    /// Least height of the aircraft above it less its height, accuracy and margin; `None` where no
    /// part of the aircraft passes over it, or it has no height to compare.
    pub clearance: Option<Metres>,
    /// Whether the aircraft meets it.
    pub conflict: bool,
}

impl LaneCheck {
    /// Whether the lane may be slid along.
    pub fn is_clear(&self) -> bool {
        let Self { conflicts, hazards: _, on_the_field } = self;
        conflicts.is_empty() && *on_the_field
    }
}

/// Checks a lane against everything.
pub fn check_lane(obstructions: &Obstructions, lane: &Lane) -> LaneCheck {
    let (line, near) = lane.centreline();
    let (frame, along) = (line.frame(), Span::new(near, near + lane.length.to_m()));
    let mut found = LaneCheck { conflicts: Vec::new(), hazards: Vec::new(), on_the_field: false };
    for o in obstructions.list() {
        let conflict = meets(obstructions, o, lane);
        if conflict {
            found.conflicts.push(o.thing);
        }
        let Some(covered) = covered(o, &frame, along) else { continue };
        if let Thing::Hazard(index) = o.thing {
            found.hazards.push(HazardOnLane {
                index,
                chainage: Metres::m(o.middle_along(&frame).clamp(along.low, along.high) - near),
                offset: Metres::m(nearest_offset(o, &frame, along).unwrap_or_else(|| nearest(&covered))),
                clearance: clearance(o, &frame, along, obstructions),
                conflict,
            });
        }
    }
    let middle = lane.point_at(lane.length * 0.5, Metres::ZERO);
    found.on_the_field = obstructions.outline().holds(middle);
    found
}

/// Offsets that a thing covers between the ends of the lane.
pub(crate) fn covered(o: &Obstruction, frame: &Frame, along: Span) -> Option<Vec<Span>> {
    let spans: Vec<Span> =
        o.turned(|p| frame.line_from_field(p)).filter_map(|piece| piece.transposed().within(along)).collect();
    (!spans.is_empty()).then_some(spans)
}

/// Offset of the thing's own nearest point, accuracy left out.
fn nearest_offset(o: &Obstruction, frame: &Frame, along: Span) -> Option<f64> {
    let bare: Vec<Span> = o
        .turned_bare(|p| frame.line_from_field(p))
        .filter_map(|piece| piece.transposed().within(along))
        .collect();
    (!bare.is_empty()).then(|| nearest(&bare))
}

fn nearest(spans: &[Span]) -> f64 {
    let to_zero = |s: &Span| 0.0_f64.clamp(s.low, s.high);
    spans.iter().map(to_zero).min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or(0.0)
}

fn clearance(o: &Obstruction, frame: &Frame, along: Span, obstructions: &Obstructions) -> Option<Metres> {
    let top = o.top()?;
    let steps = obstructions.allowance().half_width.steps();
    steps
        .iter()
        .filter_map(|step| {
            let from = along.low + step.from.to_m();
            let covered = covered(o, frame, Span::new(from, along.high)).filter(|_| from <= along.high)?;
            let half = step.half_width.to_m();
            let lowest = |span: &Span| obstructions.profile().lowest_over(span.grown(half));
            covered.iter().filter_map(lowest).reduce(f64::min)
        })
        .map(|lowest| Metres::m(lowest - top))
        .reduce(Metres::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::obstruction::tests::allowance;
    use crate::outline::tests::ring;
    use crate::profile::tests::{small, wider};
    use crate::{
        Centreline, Hazard, HazardKind, Outline, Point, Presence, Relief, Ring, Shape, clear_stretches,
    };
    use measure::{Height, TrueHeading};
    use proptest::prelude::*;

    fn rock(x: f64, y: f64, radius: f64, height: f64) -> Hazard {
        Hazard {
            id: format!("r{x}{y}"),
            kind: HazardKind::Rock,
            shape: Shape::disc(Point { x, y }).expect("finite"),
            radius: Metres::m(radius),
            relief: Relief::Raised(Height::m(height)),
            position_sigma: Metres::m(0.2),
            height_sigma: Metres::m(0.02),
            presence: Presence::Present,
        }
    }

    fn obstructions(outer: Ring, hazards: &[Hazard], half_width: f64) -> Obstructions {
        let outline = Outline::new(outer, vec![]).expect("valid");
        Obstructions::new(&outline, hazards, &small(3.0), &allowance(half_width, 0.05))
    }

    fn field(shrink: f64) -> Ring {
        let (e, n) = (50.0 - shrink, 150.0 - shrink);
        ring(&[(-e, -n), (e, -n), (e, n), (-e, n)])
    }

    fn north_lane() -> Lane {
        Lane { near: Point { x: 0.0, y: -120.0 }, heading: TrueHeading::deg(0.0), length: Metres::m(240.0) }
    }

    /// Longest clear length on the lane's own centre line.
    fn clear_length(all: &Obstructions) -> f64 {
        let (line, _) = north_lane().centreline();
        clear_stretches(all, line).iter().map(|s| s.lane.length.to_m()).fold(0.0, f64::max)
    }

    fn least_clearance(check: &LaneCheck) -> f64 {
        check.hazards.iter().filter_map(|h| h.clearance).map(Metres::to_m).fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn a_rock_beside_the_floats_is_reported_with_its_offset_and_what_is_left() {
        // At 2.5 m to the right only the wing passes over: about 2.05 m level there, less bank.
        let all = obstructions(field(0.0), &[rock(2.5, 0.0, 0.0, 0.3)], 0.0);
        let check = check_lane(&all, &north_lane());
        assert!(check.is_clear());
        let on = check.hazards[0];
        assert!((on.offset.to_m() - 2.5).abs() < 1e-9);
        assert!((on.chainage.to_m() - 120.0).abs() < 1e-9);
        // Lowest over 2.01 to 2.99 m at 3 degrees of bank; worked by hand at the outer end:
        // turned wing from (1.125, 2.0239) to (5, 2.2) passes 1.9894 m or a little less there.
        let left = on.clearance.expect("under the wing").to_m();
        let top = 0.3 + 0.05 + 1.645 * 0.02;
        assert!((left + top - 1.99).abs() < 0.02, "{}", left + top);
    }

    #[test]
    fn a_lane_that_leaves_the_field_meets_the_edge_it_crosses() {
        let all = obstructions(field(0.0), &[], 0.0);
        let lane = Lane { length: Metres::m(300.0), ..north_lane() };
        assert_eq!(check_lane(&all, &lane).conflicts, [Thing::Edge { ring: 0, edge: 2 }]);
    }

    #[test]
    fn a_lane_wholly_outside_is_not_on_the_field() {
        let all = obstructions(field(0.0), &[], 0.0);
        let lane = Lane { near: Point { x: 500.0, y: 0.0 }, ..north_lane() };
        let check = check_lane(&all, &lane);
        assert!(check.conflicts.is_empty() && !check.is_clear());
    }

    #[test]
    fn a_new_rock_on_the_track_shortens_240_m_to_what_lies_beyond_it() {
        let without = obstructions(field(0.0), &[], 0.0);
        let with = obstructions(field(0.0), &[rock(1.1, 100.0, 0.5, 0.3)], 0.0);
        assert!((clear_length(&without) - 299.998).abs() < 1e-9);
        // Rock and circle reach 0.5 + 2.45 x 0.2 = 0.99 m before its middle at 250 m.
        assert!((clear_length(&with) - (250.0 - 0.99 - 0.002)).abs() < 1e-9);
    }

    fn any_rock() -> impl Strategy<Value = Hazard> {
        (-20.0..20.0_f64, -140.0..140.0_f64, 0.0..2.0_f64, 0.0..3.0_f64)
            .prop_map(|(x, y, r, h)| rock(x, y, r, h))
    }

    proptest! {
        #[test]
        fn a_new_hazard_never_lengthens_a_lane(
            mut rocks in prop::collection::vec(any_rock(), 0..12), more in any_rock(), w in 0.0..4.0_f64,
        ) {
            let before = obstructions(field(0.0), &rocks, w);
            rocks.push(more);
            let after = obstructions(field(0.0), &rocks, w);
            prop_assert!(clear_length(&after) <= clear_length(&before));
            let (a, b) = (check_lane(&after, &north_lane()), check_lane(&before, &north_lane()));
            prop_assert!(a.conflicts.len() >= b.conflicts.len());
            prop_assert!(least_clearance(&a) <= least_clearance(&b));
        }

        #[test]
        fn a_higher_hazard_never_lengthens_a_lane(
            rocks in prop::collection::vec(any_rock(), 1..12), by in 0.0..1.0_f64, which in 0..12_usize, w in 0.0..4.0_f64,
        ) {
            let before = obstructions(field(0.0), &rocks, w);
            let mut raised = rocks;
            let i = which % raised.len();
            if let Relief::Raised(h) = raised[i].relief {
                raised[i].relief = Relief::Raised(h + Height::m(by));
            }
            let after = obstructions(field(0.0), &raised, w);
            prop_assert!(clear_length(&after) <= clear_length(&before));
            let (a, b) = (check_lane(&after, &north_lane()), check_lane(&before, &north_lane()));
            prop_assert!(least_clearance(&a) <= least_clearance(&b));
        }

        #[test]
        fn less_surveyed_never_lengthens_a_lane(
            rocks in prop::collection::vec(any_rock(), 1..12), by in 0.0..3.0_f64, which in 0..12_usize, height_unknown: bool,
        ) {
            let before = obstructions(field(0.0), &rocks, 1.0);
            let mut vaguer = rocks;
            let i = which % vaguer.len();
            vaguer[i].position_sigma = vaguer[i].position_sigma + Metres::m(by);
            vaguer[i].height_sigma = vaguer[i].height_sigma + Metres::m(by);
            if height_unknown {
                vaguer[i].relief = Relief::NotMeasured;
            }
            let after = obstructions(field(0.0), &vaguer, 1.0);
            prop_assert!(clear_length(&after) <= clear_length(&before));
            let (a, b) = (check_lane(&after, &north_lane()), check_lane(&before, &north_lane()));
            prop_assert!(a.conflicts.len() >= b.conflicts.len());
        }

        #[test]
        fn a_wider_allowance_never_lengthens_a_lane(
            rocks in prop::collection::vec(any_rock(), 0..12), w in 0.0..4.0_f64, by in 0.0..4.0_f64,
        ) {
            let before = obstructions(field(0.0), &rocks, w);
            let after = obstructions(field(0.0), &rocks, w + by);
            prop_assert!(clear_length(&after) <= clear_length(&before));
            let (a, b) = (check_lane(&after, &north_lane()), check_lane(&before, &north_lane()));
            prop_assert!(a.conflicts.len() >= b.conflicts.len());
            prop_assert!(least_clearance(&a) <= least_clearance(&b));
        }

        #[test]
        fn a_wider_aircraft_never_lengthens_a_lane(
            rocks in prop::collection::vec(any_rock(), 0..12), by in 0.0..4.0_f64, w in 0.0..4.0_f64,
        ) {
            let outline = Outline::new(field(0.0), vec![]).expect("valid");
            let of = |profile| Obstructions::new(&outline, &rocks, &profile, &allowance(w, 0.05));
            let (before, after) = (of(wider(0.0)), of(wider(by)));
            prop_assert!(clear_length(&after) <= clear_length(&before));
            let (a, b) = (check_lane(&after, &north_lane()), check_lane(&before, &north_lane()));
            prop_assert!(a.conflicts.len() >= b.conflicts.len());
            prop_assert!(least_clearance(&a) <= least_clearance(&b));
        }

        #[test]
        fn a_smaller_field_never_lengthens_a_lane(
            rocks in prop::collection::vec(any_rock(), 0..12), shrink in 0.0..45.0_f64,
        ) {
            let before = obstructions(field(0.0), &rocks, 1.0);
            let after = obstructions(field(shrink), &rocks, 1.0);
            prop_assert!(clear_length(&after) <= clear_length(&before) + 1e-9);
        }

        // The two exact answers, one along and one across, agree about every stretch.
        #[test]
        fn a_clear_stretch_passes_the_check_and_a_longer_one_does_not(
            rocks in prop::collection::vec(any_rock(), 0..12), w in 0.0..4.0_f64, h in 0.0..360.0_f64, o in -40.0..40.0_f64,
        ) {
            let all = obstructions(field(0.0), &rocks, w);
            // Two hairs larger all round: what only the hair kept clear is met.
            let larger: Vec<Hazard> =
                rocks.iter().map(|r| Hazard { radius: r.radius + Metres::m(0.002), ..r.clone() }).collect();
            let met = obstructions(field(0.002), &larger, w);
            let line = Centreline { heading: TrueHeading::deg(h), offset: Metres::m(o) };
            for stretch in clear_stretches(&all, line) {
                prop_assert!(check_lane(&all, &stretch.lane).is_clear());
                let longer = Lane { length: stretch.lane.length + Metres::m(0.01), ..stretch.lane };
                prop_assert!(!check_lane(&met, &longer).is_clear());
            }
        }

        #[test]
        fn turning_and_shifting_the_whole_field_leaves_a_fixed_lane_its_length(
            rocks in prop::collection::vec(any_rock(), 0..12), turn in 0.0..360.0_f64, dx in -900.0..900.0_f64, dy in -900.0..900.0_f64,
        ) {
            let (sin, cos) = turn.to_radians().sin_cos();
            let moved = |p: Point| Point { x: p.x * cos + p.y * sin + dx, y: p.y * cos - p.x * sin + dy };
            let mut outer = field(0.0);
            for c in &mut outer.corners {
                c.at = moved(c.at);
            }
            let there: Vec<Hazard> = rocks
                .iter()
                .map(|r| Hazard { shape: Shape::disc(moved(r.shape.label_point())).expect("finite"), ..r.clone() })
                .collect();
            let here = clear_length(&obstructions(field(0.0), &rocks, 1.0));
            let line = Centreline::through(moved(Point { x: 0.0, y: 0.0 }), TrueHeading::deg(turn));
            let turned = clear_stretches(&obstructions(outer, &there, 1.0), line)
                .iter().map(|s| s.lane.length.to_m()).fold(0.0, f64::max);
            prop_assert!((here - turned).abs() < 1e-3, "{here} {turned}");
        }
    }
}
