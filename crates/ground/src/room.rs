//! How much room there is beside a lane, against how much is asked for on the way.
//!
//! Invariants: the free half-width is never told too large; that keels bridge an opening is not credited.
//!
//! Not here: whether a lane is clear ([`crate::check_lane`]).

use crate::check::covered;
use crate::extent::Span;
use crate::{HalfWidth, Lane, Obstruction, Obstructions, Thing};
use measure::Metres;

/// What leaves the least room beside a lane.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Beside {
    /// Which thing.
    pub thing: Thing,
    /// Distance from the near end from which it leaves too little, or least.
    pub chainage: Metres,
    /// The half-width asked for there.
    pub needed: Metres,
    /// Half-width for which there is room.
    pub free: Metres,
}

impl Beside {
    /// What is left over; negative where there is too little room.
    pub fn room(&self) -> Metres {
        self.free - self.needed
    }
}

/// The thing that leaves the least room for a half-width on a lane that is clear for the first step of the
/// obstructions' own; `None` where nothing stands beside it.
pub fn least_room(obstructions: &Obstructions, lane: &Lane, half_width: &HalfWidth) -> Option<Beside> {
    let mut least: Option<Beside> = None;
    for o in obstructions.list() {
        // Over the whole lane and at the widest there is no more room than in any step.
        let whole = free_from(obstructions, o, lane, Metres::ZERO).map(|free| free - half_width.widest());
        if whole.is_none_or(|whole| least.is_some_and(|least| whole >= least.room())) {
            continue;
        }
        for step in half_width.steps().iter().filter(|s| s.from <= lane.length) {
            let Some(free) = free_from(obstructions, o, lane, step.from) else { continue };
            let (line, near) = lane.centreline();
            let middle = Metres::m(o.middle_along(&line.frame()) - near);
            let chainage = middle.max(step.from).min(lane.length);
            let found = Beside { thing: o.thing, chainage, needed: step.half_width, free };
            if least.is_none_or(|least| found.room() < least.room()) {
                least = Some(found);
            }
        }
    }
    least
}

/// How wide the aircraft's middle may stray from a distance on until it meets a thing; `None` where it never does.
fn free_from(obstructions: &Obstructions, o: &Obstruction, lane: &Lane, from: Metres) -> Option<Metres> {
    let (line, near) = lane.centreline();
    let along = Span::new(near + from.to_m(), near + lane.length.to_m());
    let own = obstructions.allowance().half_width.at(Metres::ZERO);
    let spans = covered(o, &line.frame(), along)?;
    let apart = |a: &Span, b: &Span| (b.low - a.high).max(a.low - b.high).max(0.0);
    let bands = o.bands().first()?;
    let gaps = bands.iter().flat_map(|band| spans.iter().map(move |span| apart(band, span)));
    gaps.reduce(f64::min).map(|gap| own + Metres::m(gap))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::obstruction::tests::allowance;
    use crate::outline::tests::ring;
    use crate::profile::tests::small;
    use crate::{Allowance, Hazard, HazardKind, Outline, Point, Presence, Relief, Shape, Step, check_lane};
    use measure::{Height, TrueHeading};
    use proptest::prelude::*;

    fn rock(x: f64, y: f64) -> Hazard {
        Hazard {
            id: format!("r{x}{y}"),
            kind: HazardKind::Rock,
            shape: Shape::disc(Point { x, y }).expect("finite"),
            radius: Metres::m(0.5),
            relief: Relief::Raised(Height::m(0.4)),
            position_sigma: Metres::ZERO,
            height_sigma: Metres::ZERO,
            presence: Presence::Present,
        }
    }

    fn field(hazards: &[Hazard], allowance: &Allowance) -> Obstructions {
        let outer = ring(&[(-60.0, -10.0), (60.0, -10.0), (60.0, 310.0), (-60.0, 310.0)]);
        Obstructions::new(&Outline::new(outer, vec![]).expect("valid"), hazards, &small(0.0), allowance)
    }

    fn lane() -> Lane {
        Lane { near: Point { x: 0.0, y: 0.0 }, heading: TrueHeading::deg(0.0), length: Metres::m(250.0) }
    }

    fn growing() -> HalfWidth {
        let step = |from: f64, half: f64| Step { from: Metres::m(from), half_width: Metres::m(half) };
        HalfWidth::stepped(Metres::m(2.0), &[step(60.0, 6.0), step(120.0, 14.0)])
    }

    #[test]
    fn a_rock_far_along_leaves_less_than_one_nearer_that_lies_closer() {
        // Half-width 14 asked for at 200 m, 2 at 30 m.
        let (near, far) = (rock(8.0, 30.0), rock(12.0, 200.0));
        let found = least_room(&field(&[near, far], &allowance(2.0, 0.05)), &lane(), &growing());
        let Beside { thing, chainage, needed, .. } = found.expect("a rock");
        assert_eq!((thing, chainage, needed), (Thing::Hazard(1), Metres::m(200.0), Metres::m(14.0)));
    }

    #[test]
    fn what_stands_across_the_far_end_is_not_beside() {
        let found = least_room(&field(&[], &allowance(2.0, 0.05)), &lane(), &growing()).expect("a side");
        assert!(matches!(found.thing, Thing::Edge { ring: 0, edge: 1 | 3 }), "{found:?}");
    }

    proptest! {
        #[test]
        fn a_lane_with_room_is_clear_for_that_width_and_one_without_is_not(
            places in proptest::collection::vec((-40.0..40.0_f64, 5.0..300.0_f64), 1..8), length in 100.0..290.0_f64,
        ) {
            let hazards: Vec<Hazard> = places.iter().map(|&(x, y)| rock(x, y)).collect();
            let (straight, lane) = (field(&hazards, &allowance(2.0, 0.05)), Lane { length: Metres::m(length), ..lane() });
            prop_assume!(check_lane(&straight, &lane).is_clear());
            let wide = Allowance { half_width: growing(), ..allowance(2.0, 0.05) };
            let clear = check_lane(&field(&hazards, &wide), &lane).is_clear();
            let room = least_room(&straight, &lane, &growing()).map_or(f64::INFINITY, |b| b.room().to_m());
            prop_assume!(room.abs() > 1e-6);
            prop_assert_eq!(clear, room > 0.0);
        }
    }
}
