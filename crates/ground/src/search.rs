//! A sampled search for good lanes.
//!
//! Headings and offsets are tried on a grid, each centre line is answered exactly, and the best are
//! polished. What lies between the samples was not looked at: the result says how many lines were
//! tried, and proves nothing about the rest.

use crate::extent::Span;
use crate::stretch::{Facing, clear_stretches};
use crate::{Cancelled, Centreline, Lane, Obstructions, Stretch, check_lane};
use measure::{Metres, TrueHeading};
use std::ops::ControlFlow;

/// What to look for and how finely.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct SearchPlan {
    /// Never usable at the near end.
    pub near_margin: Metres,
    /// Never usable at an open far end.
    pub end_margin: Metres,
    /// Kept before the first hard thing at or beyond the far end.
    pub hard_end_margin: Metres,
    /// Between tried headings, radians.
    pub heading_step: f64,
    /// Between tried lines of one heading; widened on a large field.
    pub offset_step: Metres,
    /// How many distinct lanes to return at most.
    pub lanes: usize,
    /// Least difference of heading, radians, between lanes that count as distinct.
    pub apart: f64,
}

/// Most lines tried for one heading; a wider field is sampled more coarsely.
const MOST_OFFSETS: f64 = 400.0;

/// Polishing ends when its steps are smaller than these.
const FINE_HEADING: f64 = 2e-5;
const FINE_OFFSET: f64 = 0.002;

/// How much was tried.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Tried {
    /// Headings, each in both directions.
    pub headings: usize,
    /// Centre lines in all.
    pub lines: usize,
}

/// What the search found.
#[derive(Clone, PartialEq, Debug)]
pub struct Found {
    /// Distinct lanes, the longest usable first.
    pub stretches: Vec<Stretch>,
    /// The longest clear lane of all, usable or not.
    pub longest: Option<Stretch>,
    /// Longest clear length found at each tried heading, over one whole turn, in order.
    pub length_by_heading: Vec<(TrueHeading, Metres)>,
    /// How much was tried.
    pub tried: Tried,
}

impl SearchPlan {
    /// Chainage of the end margin on a stretch: what is kept free before its far end.
    pub fn end_margin_at(&self, stretch: &Stretch) -> Metres {
        let open = stretch.lane.length - self.end_margin;
        stretch
            .hard_beyond
            .map_or(open, |beyond| open.min(stretch.lane.length + beyond - self.hard_end_margin))
    }

    /// Length between the margins; negative where they overlap.
    pub fn usable(&self, stretch: &Stretch) -> Metres {
        self.end_margin_at(stretch) - self.near_margin
    }

    /// Whichever leaves more; the first where they leave the same.
    fn better(&self, a: Option<Stretch>, b: Stretch) -> Stretch {
        a.filter(|a| self.usable(a) >= self.usable(&b)).unwrap_or(b)
    }

    fn beats(&self, best: Option<&Stretch>, s: &Stretch) -> bool {
        best.is_none_or(|best| self.usable(s) > self.usable(best))
    }

    /// The stretch of a line that leaves most, in the line's own direction.
    fn best_on(&self, obstructions: &Obstructions, line: Centreline) -> Option<Stretch> {
        clear_stretches(obstructions, line).into_iter().fold(None, |best, s| Some(self.better(best, s)))
    }
}

/// Searches. `progress` is told the share done, 0 to 1, and may break off.
///
/// # Errors
/// [`Cancelled`] when `progress` broke off.
pub fn search(
    obstructions: &Obstructions,
    plan: &SearchPlan,
    progress: &dyn Fn(f64) -> ControlFlow<()>,
) -> Result<Found, Cancelled> {
    let headings = (std::f64::consts::PI / plan.heading_step).round().max(1.0) as usize;
    let mut tried = Tried { headings, lines: 0 };
    // Forward in the first half of the turn, backward in the second.
    let mut best: Vec<Option<Stretch>> = vec![None; 2 * headings];
    let mut longest = vec![Metres::ZERO; headings];
    let mut longest_stretch: Option<Stretch> = None;
    for i in 0..headings {
        if progress(i as f64 / headings as f64).is_break() {
            return Err(Cancelled);
        }
        let heading = TrueHeading::rad(i as f64 * plan.heading_step);
        let facing = Facing::new(obstructions, heading);
        for offset in offsets(obstructions, heading, plan.offset_step) {
            tried.lines += 1;
            let worth = |s: &Stretch| {
                s.lane.length > longest[i]
                    || plan.beats(best[i].as_ref(), s)
                    || plan.beats(best[headings + i].as_ref(), &s.reversed())
            };
            for stretch in facing.stretches(Metres::m(offset), worth) {
                best[i] = Some(plan.better(best[i], stretch));
                best[headings + i] = Some(plan.better(best[headings + i], stretch.reversed()));
                longest[i] = longest[i].max(stretch.lane.length);
                if longest_stretch.is_none_or(|l| stretch.lane.length > l.lane.length) {
                    longest_stretch = Some(stretch);
                }
            }
        }
    }
    let turned = |i: usize| TrueHeading::rad(i as f64 * plan.heading_step);
    let length_by_heading = (0..2 * headings).map(|i| (turned(i), longest[i % headings])).collect();
    let mut stretches: Vec<Stretch> = distinct(plan, best.into_iter().flatten().collect())
        .into_iter()
        .map(|s| polish(obstructions, plan, s))
        .filter(|s| check_lane(obstructions, &s.lane).is_clear())
        .collect();
    // Polishing may bring two together, so what is distinct is asked again.
    stretches = distinct(plan, stretches);
    let longest = stretches
        .iter()
        .copied()
        .chain(longest_stretch)
        .reduce(|a, b| if b.lane.length > a.lane.length { b } else { a });
    Ok(Found { stretches, longest, length_by_heading, tried })
}

/// Offsets to try for one heading, from one side of the outline to the other.
fn offsets(obstructions: &Obstructions, heading: TrueHeading, step: Metres) -> Vec<f64> {
    let line = Centreline { heading, offset: Metres::ZERO };
    let corners = obstructions.outline().rings().first().map_or(&[][..], |r| &r.corners);
    let across = corners.iter().map(|c| line.line_from_field(c.at).1);
    let Some(span) = across.fold(None, |s: Option<Span>, o| {
        Some(s.map_or(Span::new(o, o), |s| Span::new(s.low.min(o), s.high.max(o))))
    }) else {
        return Vec::new();
    };
    let width = span.high - span.low;
    let count = (width / step.to_m()).ceil().clamp(1.0, MOST_OFFSETS);
    (0..count as usize).map(|i| span.low + width * (i as f64 + 0.5) / count).collect()
}

/// The best stretches whose headings differ enough.
fn distinct(plan: &SearchPlan, mut all: Vec<Stretch>) -> Vec<Stretch> {
    all.sort_by(|a, b| plan.usable(b).to_m().total_cmp(&plan.usable(a).to_m()));
    let mut kept: Vec<Stretch> = Vec::new();
    for s in all {
        if kept.len() == plan.lanes {
            break;
        }
        if kept.iter().all(|k| k.lane.heading.angle_to(s.lane.heading) >= plan.apart) {
            kept.push(s);
        }
    }
    kept
}

/// Climbs from one stretch by small turns and shifts until none helps.
fn polish(obstructions: &Obstructions, plan: &SearchPlan, start: Stretch) -> Stretch {
    let mut best = start;
    let (mut turn, mut shift) = (plan.heading_step / 2.0, plan.offset_step.to_m() / 2.0);
    // A line is turned about the lane's middle, so that a turn does not also shift it.
    while turn > FINE_HEADING || shift > FINE_OFFSET {
        let middle = best.lane.point_at(best.lane.length * 0.5, Metres::ZERO);
        let tries = [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1)];
        let better = tries
            .into_iter()
            .filter_map(|(t, s)| {
                let heading = TrueHeading::rad(best.lane.heading.to_rad() + f64::from(t) * turn);
                let through = Lane { heading, near: middle, length: Metres::ZERO }
                    .point_at(Metres::ZERO, Metres::m(f64::from(s) * shift));
                plan.best_on(obstructions, Centreline::through(through, heading))
            })
            .fold(None, |b, s| Some(plan.better(b, s)))
            .filter(|s| plan.usable(s) > plan.usable(&best));
        if let Some(s) = better {
            best = s;
        } else {
            (turn, shift) = (turn / 2.0, shift / 2.0);
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::tests::ring;
    use crate::profile::tests::small;
    use crate::{Allowance, EdgeKind, Hazard, HazardKind, Outline, Point, Presence, Relief, Ring, Shape};
    use measure::Height;

    fn plan() -> SearchPlan {
        SearchPlan {
            near_margin: Metres::m(10.0),
            end_margin: Metres::m(15.0),
            hard_end_margin: Metres::m(30.0),
            heading_step: 1_f64.to_radians(),
            offset_step: Metres::m(1.0),
            lanes: 6,
            apart: 15_f64.to_radians(),
        }
    }

    fn obstructions(outer: Ring, hazards: &[Hazard]) -> Obstructions {
        let outline = Outline::new(outer, vec![]).expect("valid");
        let allowance = Allowance { half_width: Metres::ZERO, vertical_margin: Height::m(0.05) };
        Obstructions::new(&outline, hazards, &small(0.0), allowance)
    }

    fn found(outer: Ring, hazards: &[Hazard]) -> Found {
        search(&obstructions(outer, hazards), &plan(), &|_| ControlFlow::Continue(())).expect("not cancelled")
    }

    #[test]
    fn the_best_lane_of_a_long_rectangle_runs_along_it_or_a_little_askew() {
        // Keels 2.25 m wide in a 40 x 300 m field: askew by atan(37.75/300) at most.
        let best = found(ring(&[(0.0, 0.0), (40.0, 0.0), (40.0, 300.0), (0.0, 300.0)]), &[]);
        let length = best.longest.expect("a lane").lane.length.to_m();
        assert!((300.0..302.4).contains(&length), "{length}");
    }

    #[test]
    fn a_hard_far_end_keeps_30_m_and_an_open_one_15() {
        let mut outer = ring(&[(0.0, 0.0), (20.0, 0.0), (20.0, 300.0), (0.0, 300.0)]);
        outer.edges[2] = EdgeKind::Water;
        let north = Centreline::through(Point { x: 10.0, y: 0.0 }, TrueHeading::deg(0.0));
        let stretch = clear_stretches(&obstructions(outer, &[]), north)[0];
        let lost = |s: &Stretch| (s.lane.length - plan().usable(s)).to_m();
        assert!((lost(&stretch) - 40.0).abs() < 1e-9);
        assert!((lost(&stretch.reversed()) - 25.0).abs() < 1e-9);
    }

    #[test]
    fn a_hard_thing_just_beyond_an_open_end_keeps_its_own_30_m() {
        // An open end with water 6 m beyond it: 24 m are kept, not 15.
        let mut outer = ring(&[(0.0, 0.0), (20.0, 0.0), (20.0, 300.0), (0.0, 300.0)]);
        outer.edges[2] = EdgeKind::Water;
        let north = Centreline::through(Point { x: 10.0, y: 0.0 }, TrueHeading::deg(0.0));
        let full = clear_stretches(&obstructions(outer, &[]), north)[0];
        let length = full.lane.length - Metres::m(6.0);
        let short = Stretch { lane: Lane { length, ..full.lane }, hard_beyond: Some(Metres::m(6.0)), ..full };
        assert!(((length - plan().end_margin_at(&short)).to_m() - 24.0).abs() < 1e-9);
        assert!((plan().end_margin_at(&short) - plan().end_margin_at(&full)).to_m().abs() < 1e-9);
    }

    #[test]
    fn every_lane_returned_is_clear() {
        let rocks: Vec<Hazard> = (0..40)
            .map(|i| Hazard {
                id: format!("r{i}"),
                kind: HazardKind::Rock,
                shape: Shape::disc(Point { x: f64::from(i * 37 % 100), y: f64::from(i * 71 % 300) })
                    .expect("finite"),
                radius: Metres::m(0.5),
                relief: Relief::Raised(Height::m(0.3)),
                position_sigma: Metres::m(0.1),
                height_sigma: Metres::m(0.02),
                presence: Presence::Present,
            })
            .collect();
        let outer = ring(&[(0.0, 0.0), (100.0, 0.0), (100.0, 300.0), (0.0, 300.0)]);
        let all = obstructions(outer.clone(), &rocks);
        let got = found(outer, &rocks);
        assert!(!got.stretches.is_empty());
        for s in &got.stretches {
            assert!(check_lane(&all, &s.lane).is_clear());
        }
    }

    #[test]
    fn a_field_narrower_than_the_keels_has_no_lane() {
        let got = found(ring(&[(0.0, 0.0), (2.0, 0.0), (2.0, 300.0), (0.0, 300.0)]), &[]);
        assert!(got.stretches.iter().all(|s| s.lane.length < Metres::m(3.0)), "{:?}", got.stretches);
    }

    #[test]
    fn breaking_off_is_said() {
        let all = obstructions(ring(&[(0.0, 0.0), (40.0, 0.0), (40.0, 300.0)]), &[]);
        assert_eq!(search(&all, &plan(), &|_| ControlFlow::Break(())), Err(Cancelled));
    }
}
