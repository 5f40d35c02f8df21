//! All lines of a field, covered by boxes whose bounds are known, and the best lines seen.
//!
//! Invariants: the boxes together hold every line that crosses the outline; the bound of each is at least
//! what any lane on any of its lines is worth. Boxes are looked at round by round, each round split among
//! threads and gathered in order, so that the same field gives the same digits on any number of threads.

use super::aim::{Aim, SECTORS, directed, sectors_under};
use super::blockers::{Blockers, Near};
use super::bound::EVERYWHERE;
use super::cell::{Cell, turn};
use super::eye::{Eye, Inherited, Leaf, Open, Scratch};
use super::polish::{Spot, polish};
use super::sight::Sight;
use crate::{Cancelled, Obstruction, Obstructions};
use measure::Metres;
use rayon::prelude::*;
use std::collections::HashMap;
use std::ops::ControlFlow;
use std::sync::Arc;

/// When to stop looking.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Goal {
    /// Until no lane can be worth more than the best found by more than this.
    Within {
        /// Room left above the best lane.
        tolerance: Metres,
        /// The same for the best of each sector of heading; `None` to leave the sectors coarse.
        by_heading: Option<Metres>,
        /// Lanes worth less, metres, need not be told apart; minus infinity where all count.
        least: f64,
    },
    /// Until a lane worth this many metres is found, or none can be.
    Reach(f64),
}

impl Goal {
    /// Until the best lane, and that of each sector of heading where so much is asked, is known so closely; all lanes count.
    pub fn within(tolerance: Metres, by_heading: Option<Metres>) -> Self {
        Self::Within { tolerance, by_heading, least: f64::NEG_INFINITY }
    }
}

/// Most boxes looked at in one search: a field that needs more is given a bound less tight.
const MOST_BOXES: usize = 500_000;

/// Things that may go away before a search begins anew rather than from what is remembered.
const MOST_GONE: usize = 32;

/// How near to the best line beside it polishing comes while the search goes on, metres.
const ROUGH: f64 = 0.05;

/// The share of open boxes that is halved in one round, and the least number.
const SHARE_HALVED: usize = 4;
const LEAST_HALVED: usize = 64;

/// Boxes times things in a round from which it is worth waking other threads, and boxes that each takes.
const WORTH_SHARING: usize = 4_000;
const EACH: usize = 32;

/// Boxes times things between two questions whether to go on, and the most boxes.
const BETWEEN_QUESTIONS: usize = 200_000;
const MOST_BETWEEN: usize = 1_024;

/// The boxes, and what was found in them.
#[derive(Clone, Debug)]
pub struct Cover {
    obstructions: Obstructions,
    /// What the bounds are of.
    aim: Aim,
    blockers: Arc<Blockers>,
    radius: f64,
    leaves: Vec<Leaf>,
    best: Option<Spot>,
    by_sector: Vec<Option<Spot>>,
    looked: usize,
    lines: usize,
}

impl Cover {
    /// Nothing looked at yet.
    pub fn new(obstructions: &Obstructions) -> Self {
        Self::begun(obstructions, Arc::new(Blockers::new(obstructions)), Aim::longest())
    }

    fn begun(obstructions: &Obstructions, blockers: Arc<Blockers>, aim: Aim) -> Self {
        let radius = Blockers::radius(obstructions.outline());
        let roots = Cell::roots(obstructions.outline(), blockers.pivot, radius);
        Self {
            obstructions: obstructions.clone(),
            aim,
            leaves: roots.into_iter().map(Leaf::unknown).collect(),
            blockers,
            radius,
            best: None,
            by_sector: vec![None; SECTORS],
            looked: 0,
            lines: 0,
        }
    }

    /// The same field with some things added, moved or gone, keeping every bound that still holds: a new
    /// thing never lengthens a lane, so only boxes that may meet what went away are looked at again.
    /// Everything anew where more than that has changed.
    #[must_use]
    pub fn changed_to(self, obstructions: &Obstructions) -> Self {
        if !self.obstructions.same_but_for_things(obstructions) {
            return Self::new(obstructions);
        }
        let gone = gone(&self.obstructions, obstructions);
        let blockers = Arc::new(Blockers::new(obstructions));
        if gone.len() > MOST_GONE {
            return Self::begun(obstructions, blockers, self.aim);
        }
        let gone = Blockers::of(obstructions, gone.into_iter());
        let mut out = Self { blockers, obstructions: obstructions.clone(), looked: 0, ..self };
        let all_gone = Near::all(&gone);
        let mut sight = Sight::default();
        out.leaves.sort_by(|a, b| a.cell.order(&b.cell));
        for same in out.leaves.chunk_by_mut(|a, b| (a.cell.level, a.cell.i) == (b.cell.level, b.cell.i)) {
            let Some(first) = same.first() else { continue };
            let turn = turn(first.cell.level, first.cell.i);
            for leaf in same.iter_mut() {
                let b = leaf.cell.offsets();
                sight.look(&gone, &all_gone, &turn, b);
                if sight.near(&gone, &turn, b, EVERYWHERE).is_empty() {
                    continue;
                }
                *leaf = Leaf::unknown(leaf.cell);
            }
        }
        out.seen_again();
        out
    }

    /// What the best lines are worth now.
    fn seen_again(&mut self) {
        let spots: Vec<Spot> =
            self.best.take().into_iter().chain(self.by_sector.drain(..).flatten()).collect();
        self.by_sector = vec![None; SECTORS];
        let again = |spot: &Spot| spot.again(&self.blockers, &self.aim);
        let seen: Vec<Spot> = spots.par_iter().filter_map(again).collect();
        for spot in seen {
            self.remember(spot);
        }
    }

    fn remember(&mut self, spot: Spot) {
        let better = |old: &Option<Spot>| old.is_none_or(|old| spot.worth > old.worth);
        if let Some(slot) = self.by_sector.get_mut(spot.sector()).filter(|slot| better(slot)) {
            *slot = Some(spot);
        }
        if better(&self.best) {
            self.best = Some(spot);
        }
    }

    /// Halves boxes until the goal is met; from nothing if what was looked for before was something else.
    ///
    /// # Errors
    /// [`Cancelled`] when `progress`, told the share of all lines settled, 0 to 1, broke off.
    pub fn refined(
        mut self,
        aim: &Aim,
        goal: Goal,
        progress: &dyn Fn(f64) -> ControlFlow<()>,
    ) -> Result<Self, Cancelled> {
        if self.aim != *aim {
            self = Self::begun(&self.obstructions, self.blockers, aim.clone());
        }
        let leaves = std::mem::take(&mut self.leaves);
        let all: f64 = leaves.iter().map(|l| l.cell.size()).sum();
        let everything = Arc::new(Inherited::all(&self.blockers));
        let mut open: Vec<Open> = leaves.into_iter().map(|leaf| Open::new(leaf, &everything)).collect();
        let mut settled = 0.0;
        loop {
            let (still, closed): (Vec<Open>, Vec<Open>) =
                open.into_iter().partition(|o| !o.leaf.looked || self.is_open(&o.leaf, aim, goal));
            settled += closed.iter().map(|o| o.leaf.cell.size()).sum::<f64>();
            self.leaves.extend(closed.into_iter().map(|o| o.leaf));
            let reached = matches!(goal, Goal::Reach(least) if self.best.is_some_and(|b| b.worth > least));
            if still.is_empty() || reached || self.looked >= MOST_BOXES {
                self.leaves.extend(still.into_iter().map(|o| o.leaf));
                return Ok(self);
            }
            let mut still = still;
            let rest = without_best(&mut still);
            let mut next: Vec<Open> = Vec::with_capacity(still.len() * 4);
            for of in still {
                let before = next.len();
                next.extend(of.parts(self.radius));
                if next.len() == before {
                    self.leaves.push(of.leaf);
                }
            }
            open = rest;
            open.extend(self.look(next, aim, goal, &|| progress((settled / all).clamp(0.0, 1.0)))?);
        }
    }

    /// Whether a box needs a closer look.
    fn is_open(&self, leaf: &Leaf, aim: &Aim, goal: Goal) -> bool {
        let enough = self.enough(leaf, aim, goal);
        leaf.bound[0] > enough[0] || leaf.bound[1] > enough[1]
    }

    /// Bounds, forward and back, at which a box needs no closer look.
    fn enough(&self, leaf: &Leaf, aim: &Aim, goal: Goal) -> [f64; 2] {
        match goal {
            Goal::Reach(least) => [least; 2],
            Goal::Within { tolerance, by_heading, least } => {
                let nothing = aim.of_nothing();
                let worth = |spot: Option<Spot>| spot.map_or(nothing, |b| b.worth.max(nothing));
                let over_all = (worth(self.best) + tolerance.to_m()).max(least);
                let Some(room) = by_heading else { return [over_all; 2] };
                [false, true].map(|back| {
                    sectors_under(leaf.cell.level, leaf.cell.i)
                        .map(|s| worth(self.by_sector[directed(s, back)]) + room.to_m())
                        .fold(over_all, f64::min)
                })
            }
        }
    }

    /// Looks at boxes: bounds, and what their middle lines are worth.
    fn look(
        &mut self,
        mut boxes: Vec<Open>,
        aim: &Aim,
        goal: Goal,
        say: &dyn Fn() -> ControlFlow<()>,
    ) -> Result<Vec<Open>, Cancelled> {
        self.looked += boxes.len();
        for open in &mut boxes {
            open.above = self.enough(&open.leaf, aim, goal);
        }
        let share = boxes.iter().map(|o| o.inherited.near.len()).sum::<usize>() > WORTH_SHARING;
        let eye = Eye { blockers: &self.blockers, aim };
        let mut spots: Vec<Spot> = Vec::new();
        let mut scratch: Vec<Scratch> = Vec::new();
        scratch.resize_with(MOST_BETWEEN.div_ceil(EACH), Scratch::default);
        let things = boxes.iter().map(|o| o.inherited.near.len()).sum::<usize>() / boxes.len().max(1) + 1;
        let between = (BETWEEN_QUESTIONS / things).clamp(EACH, MOST_BETWEEN);
        for some in boxes.chunks_mut(between) {
            if say().is_break() {
                return Err(Cancelled);
            }
            let looked = |(some, scratch): (&mut [Open], &mut Scratch)| {
                some.iter_mut().flat_map(|open| eye.look(open, scratch)).flatten().collect::<Vec<_>>()
            };
            if share {
                let each = some.par_chunks_mut(EACH).zip(&mut scratch).map(looked);
                spots.extend(each.collect::<Vec<_>>().into_iter().flatten());
            } else if let Some(scratch) = scratch.first_mut() {
                spots.extend(looked((some, scratch)));
            }
        }
        self.lines += spots.len() / 2;
        let before = self.best;
        for spot in spots {
            self.remember(spot);
        }
        if let Some(best) = self.best.filter(|best| before.is_none_or(|b| best.worth > b.worth)) {
            self.remember(polish(&self.blockers, aim, best, ROUGH));
        }
        Ok(boxes)
    }

    /// No lane at all is worth more than this; minus infinity where there is none.
    pub fn bound(&self) -> f64 {
        self.leaves.iter().flat_map(|l| l.bound).fold(f64::NEG_INFINITY, f64::max)
    }

    /// The same for each of the sectors of heading.
    pub fn bound_by_heading(&self) -> Vec<f64> {
        let mut out = vec![f64::NEG_INFINITY; SECTORS];
        for leaf in &self.leaves {
            for sector in sectors_under(leaf.cell.level, leaf.cell.i) {
                for (back, bound) in leaf.bound.iter().enumerate() {
                    let slot = &mut out[directed(sector, back == 1)];
                    *slot = slot.max(*bound);
                }
            }
        }
        out
    }

    /// What the lanes are looked for by.
    pub fn aim(&self) -> &Aim {
        &self.aim
    }

    /// How many boxes together hold every line.
    pub fn boxes(&self) -> usize {
        self.leaves.len()
    }

    /// How many boxes were looked at.
    pub fn looked(&self) -> usize {
        self.looked
    }

    /// How many single lines were worked out.
    pub fn lines(&self) -> usize {
        self.lines
    }

    pub(super) fn best(&self) -> Option<Spot> {
        self.best
    }

    pub(super) fn by_sector(&self) -> &[Option<Spot>] {
        &self.by_sector
    }

    pub(super) fn blockers(&self) -> &Blockers {
        &self.blockers
    }

    /// The field that it covers.
    pub fn obstructions(&self) -> &Obstructions {
        &self.obstructions
    }
}

/// Leaves in a list the boxes that may hold the best lanes, to be halved before the others: those of a lower
/// bound may be settled by what is found in them.
fn without_best(open: &mut Vec<Open>) -> Vec<Open> {
    let batch = (open.len() / SHARE_HALVED).max(LEAST_HALVED);
    if open.len() <= batch {
        return Vec::new();
    }
    let order = |a: &Open, b: &Open| {
        b.leaf.most().total_cmp(&a.leaf.most()).then_with(|| a.leaf.cell.order(&b.leaf.cell))
    };
    open.select_nth_unstable_by(batch, order);
    open.split_off(batch)
}

/// Things of one field that another lacks or has otherwise, whatever their numbers.
fn gone<'a>(old: &'a Obstructions, new: &Obstructions) -> Vec<&'a Obstruction> {
    let mut there: HashMap<[u64; 3], Vec<&Obstruction>> = HashMap::new();
    new.list().iter().for_each(|o| there.entry(o.place()).or_default().push(o));
    let stands = |o: &Obstruction| {
        there.get(&o.place()).is_some_and(|same| same.iter().any(|other| other.blocks_as(o)))
    };
    old.list().iter().filter(|o| !stands(o)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::obstruction::tests::allowance;
    use crate::outline::tests::ring;
    use crate::profile::tests::small;
    use crate::{Hazard, HazardKind, Outline, Point, Presence, Relief, Shape};
    use measure::Height;

    #[test]
    fn a_long_narrow_field_keeps_its_long_lane_in_the_bound() {
        let outer = ring(&[(0.0, 0.0), (17.0, -3.0), (33.0, 352.0), (16.0, 354.0)]);
        let all = Obstructions::new(
            &Outline::new(outer, vec![]).expect("valid"),
            &[],
            &small(3.0),
            &allowance(3.0, 0.05),
        );
        let aim = Aim::longest();
        let goal = Goal::within(Metres::m(0.5), None);
        let cover =
            Cover::new(&all).refined(&aim, goal, &|_| ControlFlow::Continue(())).expect("not cancelled");
        let best = cover.best().expect("a lane").worth;
        // Its two ends lie 354 m apart.
        assert!(
            best > 340.0 && (best..best + 0.5 + 1e-9).contains(&cover.bound()),
            "{best} {}",
            cover.bound()
        );
    }

    fn rocks(skipped: Option<usize>) -> Obstructions {
        let rock = |i: usize| Hazard {
            id: format!("r{i}"),
            kind: HazardKind::Rock,
            shape: Shape::disc(Point { x: 5.0 + 7.0 * (i % 11) as f64, y: 10.0 + 13.0 * (i / 2) as f64 })
                .expect("finite"),
            radius: Metres::m(0.3),
            relief: Relief::Raised(Height::m(0.4)),
            position_sigma: Metres::ZERO,
            height_sigma: Metres::ZERO,
            presence: Presence::Present,
        };
        let all: Vec<Hazard> = (0..40).filter(|i| Some(*i) != skipped).map(rock).collect();
        let outer = ring(&[(0.0, 0.0), (80.0, 0.0), (80.0, 300.0), (0.0, 300.0)]);
        let outline = Outline::new(outer, vec![]).expect("valid");
        Obstructions::new(&outline, &all, &small(3.0), &allowance(2.0, 0.05))
    }

    #[test]
    fn a_rock_that_goes_away_gives_the_others_other_numbers_and_leaves_most_boxes_as_they_are() {
        let goal = Goal::within(Metres::m(0.5), None);
        let refined = |cover: Cover| {
            cover.refined(&Aim::longest(), goal, &|_| ControlFlow::Continue(())).expect("not cancelled")
        };
        let before = refined(Cover::new(&rocks(None)));
        let (anew, after) =
            (refined(Cover::new(&rocks(Some(3)))), refined(before.changed_to(&rocks(Some(3)))));
        let worth = |cover: &Cover| cover.best().expect("a lane").worth;
        assert!((worth(&anew) - worth(&after)).abs() <= 0.5, "{} {}", worth(&anew), worth(&after));
        assert!(after.bound() >= worth(&anew), "still a bound");
        assert!(after.looked() < anew.looked() / 2, "{} of {}", after.looked(), anew.looked());
    }
}
