//! Clear stretches of one centre line: an exact answer, by cutting every obstruction with the bands in
//! which it meets the aircraft.

use crate::extent::{Grown, Span};
use crate::{Centreline, Lane, Obstruction, Obstructions, Point, Thing};
use measure::{Metres, TrueHeading};

/// Cut from both ends of every stretch, so that what is returned touches nothing, metres.
const TRIM: f64 = 0.001;

/// A stretch of a centre line that meets nothing.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Stretch {
    /// The lane on it, in the line's own direction.
    pub lane: Lane,
    /// What stands at the near end.
    pub near_thing: Thing,
    /// What stands at the far end.
    pub far_thing: Thing,
    /// From the near end back to the first hard thing behind it; `None` if there is none.
    pub hard_behind: Option<Metres>,
    /// From the far end on to the first hard thing beyond it; `None` if there is none.
    pub hard_beyond: Option<Metres>,
}

impl Stretch {
    /// The same ground slid over the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self {
            lane: self.lane.reversed(),
            near_thing: self.far_thing,
            far_thing: self.near_thing,
            hard_behind: self.hard_beyond,
            hard_beyond: self.hard_behind,
        }
    }
}

/// A blocked span of chainage and what blocks it.
#[derive(Clone, Copy, Debug)]
struct Blocked {
    span: Span,
    thing: Thing,
    hard: bool,
}

/// All clear stretches of a centre line, in order of chainage.
pub fn clear_stretches(obstructions: &Obstructions, line: Centreline) -> Vec<Stretch> {
    Facing::new(obstructions, line.heading).stretches(line.offset, |_| true)
}

/// Every obstruction turned into the frame of one heading, to answer many parallel lines.
pub(crate) struct Facing<'a> {
    obstructions: &'a Obstructions,
    heading: TrueHeading,
    pieces: Vec<Piece<'a>>,
}

struct Piece<'a> {
    shape: Grown,
    reach: Span,
    of: &'a Obstruction,
}

impl<'a> Facing<'a> {
    pub(crate) fn new(obstructions: &'a Obstructions, heading: TrueHeading) -> Self {
        let datum = Centreline { heading, offset: Metres::ZERO };
        let turned = |of: &'a Obstruction| {
            of.turned(move |p| datum.line_from_field(p)).map(move |shape| Piece {
                reach: shape.reach(),
                shape,
                of,
            })
        };
        Self { obstructions, heading, pieces: obstructions.list().iter().flat_map(turned).collect() }
    }

    /// Clear stretches of the line at an offset, of those that are worth asking whether they lie on
    /// the field, which costs most.
    pub(crate) fn stretches(&self, offset: Metres, worth: impl Fn(&Stretch) -> bool) -> Vec<Stretch> {
        let line = Centreline { heading: self.heading, offset };
        let mut blocked = Vec::new();
        for piece in &self.pieces {
            for band in piece.of.bands().iter().map(|band| band.shifted(offset.to_m())) {
                if band.meets(piece.reach)
                    && let Some(span) = piece.shape.within(band)
                {
                    blocked.push(Blocked { span, thing: piece.of.thing, hard: piece.of.hard });
                }
            }
        }
        gaps(blocked)
            .into_iter()
            .map(|gap| gap.stretch(line))
            .filter(|stretch| worth(stretch))
            .filter(|stretch| {
                let middle = stretch.lane.point_at(stretch.lane.length * 0.5, Metres::ZERO);
                self.obstructions.outline().holds(middle)
            })
            .collect()
    }
}

/// What lies between two blocked spans.
struct Gap {
    span: Span,
    near_thing: Thing,
    far_thing: Thing,
    hard_behind: Option<f64>,
    hard_beyond: Option<f64>,
}

impl Gap {
    fn stretch(&self, line: Centreline) -> Stretch {
        let near: Point = line.field_from_line((self.span.low, 0.0));
        Stretch {
            lane: Lane { near, heading: line.heading, length: Metres::m(self.span.high - self.span.low) },
            near_thing: self.near_thing,
            far_thing: self.far_thing,
            hard_behind: self.hard_behind.map(Metres::m),
            hard_beyond: self.hard_beyond.map(Metres::m),
        }
    }
}

fn gaps(mut blocked: Vec<Blocked>) -> Vec<Gap> {
    blocked.sort_by(|a, b| {
        a.span
            .low
            .total_cmp(&b.span.low)
            .then(a.span.high.total_cmp(&b.span.high))
            .then(a.thing.cmp(&b.thing))
    });
    // First hard low end at or after each place in the order.
    let mut next_hard = vec![None; blocked.len() + 1];
    for i in (0..blocked.len()).rev() {
        next_hard[i] = if blocked[i].hard { Some(blocked[i].span.low) } else { next_hard[i + 1] };
    }
    let mut out = Vec::new();
    let Some(first) = blocked.first() else { return out };
    let (mut reached, mut near_thing) = (first.span.high, first.thing);
    let mut last_hard: Option<f64> = None;
    for (i, b) in blocked.iter().enumerate() {
        if b.span.low - reached > 2.0 * TRIM {
            out.push(Gap {
                span: Span::new(reached + TRIM, b.span.low - TRIM),
                near_thing,
                far_thing: b.thing,
                hard_behind: last_hard.map(|high| reached - high),
                hard_beyond: next_hard[i].map(|low| low - b.span.low),
            });
        }
        if b.span.high > reached {
            (reached, near_thing) = (b.span.high, b.thing);
        }
        if b.hard {
            last_hard = Some(last_hard.map_or(b.span.high, |high| high.max(b.span.high)));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::tests::ring;
    use crate::profile::tests::small;
    use crate::{Allowance, Corner, EdgeKind, Hazard, HazardKind, Outline, Presence, Relief, Ring, Shape};
    use measure::{Depth, Height};

    fn allowance(half_width: f64) -> Allowance {
        Allowance { half_width: Metres::m(half_width), vertical_margin: Height::m(0.05) }
    }

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
        let all = Obstructions::new(&outline, hazards, &small(0.0), allowance(half_width));
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
            let all =
                Obstructions::new(&outline, &[hazard(east, 100.0, 0.0, relief)], &small(3.0), allowance(0.0));
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
        // An open far edge, and a rock beyond it would be outside; so a rock stands at the near end.
        let rock = hazard(1.1, 100.0, 0.5, Relief::Raised(Height::m(0.2)));
        let outline = Outline::new(field(), vec![]).expect("valid");
        let all = Obstructions::new(&outline, &[rock], &small(0.0), allowance(0.0));
        let line = Centreline::through(Point { x: 0.0, y: 0.0 }, TrueHeading::deg(0.0));
        let found = clear_stretches(&all, line);
        assert_eq!(found[0].hard_beyond, Some(Metres::ZERO));
        assert_eq!(found[1].hard_beyond, None);
        assert_eq!(found[1].hard_behind, Some(Metres::ZERO));
        assert_eq!(found[1].reversed().hard_beyond, Some(Metres::ZERO));
    }
}
