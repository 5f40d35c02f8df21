//! All lines of a field, covered by boxes whose bounds are known, and the best lines seen.
//!
//! Invariants: the boxes together hold every line that crosses the outline; the bound of each is at least
//! what any lane on any of its lines is worth. Boxes are looked at round by round, each round split among
//! threads and gathered in order, so that the same field gives the same digits on any number of threads.

use super::aim::{Aim, SECTORS, directed, sectors_under};
use super::blockers::{Blockers, Near};
use super::bound::{EVERYWHERE, Offsets, Sight, Turn, ends};
use super::cell::{Cell, heading, turn};
use super::gap::{Cut, Gap, Gaps, gaps};
use super::polish::{Spot, polish};
use crate::extent::Span;
use crate::{Cancelled, Obstruction, Obstructions, Thing};
use measure::Metres;
use rayon::prelude::*;
use std::collections::BTreeMap;
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
    },
    /// Until a lane worth this much is found, or none can be.
    Reach(f64),
}

/// Most boxes looked at in one search: a field that needs more is given a bound less tight.
const MOST_BOXES: usize = 1_500_000;

/// Boxes times things in a round from which it is worth waking other threads, and boxes that each takes.
const WORTH_SHARING: usize = 20_000;
const LEAST_SHARE: usize = 64;

/// Boxes looked at between two questions whether to go on.
const BETWEEN_QUESTIONS: usize = 2_000;

/// A box and what no lane in it exceeds, forward and back.
#[derive(Clone, Copy, Debug)]
struct Leaf {
    cell: Cell,
    bound: [f64; 2],
    looked: bool,
}

/// The boxes, and what was found in them.
#[derive(Clone, Debug)]
pub struct Cover {
    obstructions: Obstructions,
    blockers: Blockers,
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
        let blockers = Blockers::new(obstructions);
        let radius = Blockers::radius(obstructions.outline());
        let roots = Cell::roots(obstructions.outline(), blockers.pivot, radius);
        let unknown = |cell| Leaf { cell, bound: [f64::INFINITY; 2], looked: false };
        Self {
            obstructions: obstructions.clone(),
            leaves: roots.into_iter().map(unknown).collect(),
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
    pub fn changed_to(self, obstructions: &Obstructions, aim: &Aim) -> Self {
        if !self.obstructions.same_but_for_things(obstructions) {
            return Self::new(obstructions);
        }
        let mut out = Self {
            blockers: Blockers::new(obstructions),
            obstructions: obstructions.clone(),
            looked: 0,
            lines: 0,
            ..self.clone()
        };
        let gone = Blockers::of(obstructions, gone(&self.obstructions, obstructions).into_iter());
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
                *leaf = Leaf { bound: [f64::INFINITY; 2], looked: false, ..*leaf };
            }
        }
        out.seen_again(aim);
        out
    }

    /// What the best lines are worth now.
    fn seen_again(&mut self, aim: &Aim) {
        let spots: Vec<Spot> =
            self.best.take().into_iter().chain(self.by_sector.drain(..).flatten()).collect();
        self.by_sector = vec![None; SECTORS];
        for spot in spots {
            if let Some(again) = spot.again(&self.blockers, aim) {
                self.remember(again);
            }
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

    /// Halves boxes until the goal is met.
    ///
    /// # Errors
    /// [`Cancelled`] when `progress`, told the share of all lines settled, 0 to 1, broke off.
    pub fn refined(
        mut self,
        aim: &Aim,
        goal: Goal,
        progress: &dyn Fn(f64) -> ControlFlow<()>,
    ) -> Result<Self, Cancelled> {
        let leaves = std::mem::take(&mut self.leaves);
        let all: f64 = leaves.iter().map(|l| l.cell.size()).sum();
        let everything = Arc::new(Inherited {
            near: Near::all(&self.blockers),
            window: EVERYWHERE,
            floor: [f64::NEG_INFINITY; 2],
        });
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
            let mut next: Vec<Open> = Vec::with_capacity(still.len() * 4);
            for of in still {
                let parts = if of.leaf.looked { of.leaf.cell.parts(self.radius) } else { vec![of.leaf.cell] };
                if parts.is_empty() {
                    self.leaves.push(of.leaf);
                }
                next.extend(parts.into_iter().map(|cell| of.part(cell)));
            }
            open = self.look(next, aim, goal, &|| progress((settled / all).clamp(0.0, 1.0)))?;
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
            Goal::Within { tolerance, by_heading } => {
                let nothing = aim.of_nothing();
                let worth = |spot: Option<Spot>| spot.map_or(nothing, |b| b.worth.max(nothing));
                let over_all = worth(self.best) + tolerance.to_m();
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
        let mut scratch = Scratch::default();
        for some in boxes.chunks_mut(BETWEEN_QUESTIONS) {
            if say().is_break() {
                return Err(Cancelled);
            }
            if share {
                let each = some.par_iter_mut().with_min_len(LEAST_SHARE);
                let seen = each.map_init(Scratch::default, |scratch, open| eye.look(open, scratch));
                spots.extend(seen.collect::<Vec<_>>().into_iter().flatten().flatten());
            } else {
                spots.extend(some.iter_mut().flat_map(|open| eye.look(open, &mut scratch)).flatten());
            }
        }
        self.lines += spots.len() / 2;
        let before = self.best;
        for spot in spots {
            self.remember(spot);
        }
        if let Some(best) = self.best.filter(|best| before.is_none_or(|b| best.worth > b.worth)) {
            self.remember(polish(&self.blockers, aim, best));
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

/// Things of one field that another lacks or has otherwise.
fn gone<'a>(old: &'a Obstructions, new: &Obstructions) -> Vec<&'a Obstruction> {
    let there: BTreeMap<Thing, &Obstruction> = new.list().iter().map(|o| (o.thing, o)).collect();
    old.list().iter().filter(|o| there.get(&o.thing) != Some(o)).collect()
}

/// A box still to be halved.
struct Open {
    leaf: Leaf,
    /// What is looked for: more than this, forward and back.
    above: [f64; 2],
    inherited: Arc<Inherited>,
    /// What its parts are given, once it was looked at.
    own: Option<Arc<Inherited>>,
}

/// What the parts of a box need not find out again.
struct Inherited {
    near: Near,
    /// Chainages along each line itself within which all lanes worth more than `floor` lie.
    window: Span,
    floor: [f64; 2],
}

impl Open {
    fn new(leaf: Leaf, inherited: &Arc<Inherited>) -> Self {
        Self { leaf, above: [f64::NEG_INFINITY; 2], inherited: Arc::clone(inherited), own: None }
    }

    fn part(&self, cell: Cell) -> Self {
        Self::new(Leaf { cell, ..self.leaf }, self.own.as_ref().unwrap_or(&self.inherited))
    }
}

/// Kept to be filled again.
#[derive(Default)]
struct Scratch {
    sight: Sight,
    cuts: Vec<Cut>,
}

/// What looks at boxes.
struct Eye<'a> {
    blockers: &'a Blockers,
    aim: &'a Aim,
}

impl Eye<'_> {
    /// Bounds a box, and works out its middle line if something better could be in it.
    fn look(&self, open: &mut Open, Scratch { sight, cuts }: &mut Scratch) -> [Option<Spot>; 2] {
        let Cell { level, i, .. } = open.leaf.cell;
        let (turn, b) = (turn(level, i), open.leaf.cell.offsets());
        let least = self.aim.least_needs(level, i);
        let above = [open.above[0] + least[0], open.above[1] + least[1]];
        let inherited = Arc::clone(&open.inherited);
        sight.look(self.blockers, &inherited.near, &turn, b);
        let found = self.gaps(&inherited, &turn, b, above, cuts, |cuts| {
            sight.surely_cut(self.blockers, &turn, b, cuts);
        });
        for (way, gaps) in found.iter().enumerate() {
            let most = gaps.best.map_or(f64::NEG_INFINITY, |gap| gap.worth) - least[way];
            open.leaf.bound[way] = open.leaf.bound[way].min(most.max(inherited.floor[way]));
        }
        open.leaf.looked = true;
        if open.leaf.bound[0] <= open.above[0] && open.leaf.bound[1] <= open.above[1] {
            return [None; 2];
        }
        let within = found[0].within.with(found[1].within);
        // A hard thing beyond the far end counts as far as its margin reaches past that of an open end.
        let beyond = (self.aim.margins.hard_end - self.aim.margins.end).to_m().max(0.0);
        let room = b.y0.abs() * turn.sin;
        open.own = Some(Arc::new(Inherited {
            // The window holds, as `s''`, as much again as it was widened by.
            near: sight.near(self.blockers, &turn, b, within.grown(beyond + 2.0 * room)),
            window: within.grown(room),
            floor: open.above,
        }));
        let line = Offsets { dy: 0.0, ..b };
        let found = self.gaps(&inherited, &turn.still(), line, [f64::INFINITY; 2], cuts, |cuts| {
            sight.cut_in_the_middle(self.blockers, line, cuts);
        });
        let (t0, _) = heading(level, i);
        [false, true].map(|back| {
            let gap = found[usize::from(back)].best;
            gap.map(|gap| Spot::new(open.leaf.cell, (t0, line.y0), back, gap, self.aim))
        })
    }

    /// Gaps between cuts and ends, forward and back.
    fn gaps(
        &self,
        inherited: &Inherited,
        turn: &Turn,
        b: Offsets,
        above: [f64; 2],
        cuts: &mut Vec<Cut>,
        fill: impl FnOnce(&mut Vec<Cut>),
    ) -> [Gaps; 2] {
        let Some(ends) = ends(&self.blockers.hull, turn, b) else { return [Gaps::NONE; 2] };
        let window = inherited.window.grown(b.y0.abs() * turn.sin);
        let ends = Span::new(ends.low.max(window.low), ends.high.min(window.high));
        cuts.clear();
        cuts.extend(Cut::ends(ends));
        fill(cuts);
        both_ways(cuts, self.blockers, self.aim, above)
    }
}

/// Gaps forward and back, worth before what the direction needs; where they lie is counted forward.
pub(super) fn both_ways(cuts: &mut [Cut], blockers: &Blockers, aim: &Aim, above: [f64; 2]) -> [Gaps; 2] {
    let worth = |near, far, hard| aim.worth_of(near, far, hard);
    if aim.margins.end >= aim.margins.hard_end && blockers.steps.len() == 1 {
        let either = gaps(cuts, &blockers.steps, above[0].min(above[1]), worth);
        let back = Gaps { best: either.best.map(Gap::turned_back), ..either };
        return [either, back];
    }
    let forward = gaps(cuts, &blockers.steps, above[0], worth);
    cuts.iter_mut().for_each(|c| *c = c.turned_back());
    let back = gaps(cuts, &blockers.steps, above[1], worth);
    [forward, back.within_forward()]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Outline;
    use crate::obstruction::tests::allowance;
    use crate::outline::tests::ring;
    use crate::profile::tests::small;

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
        let goal = Goal::Within { tolerance: Metres::m(0.5), by_heading: None };
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
}
