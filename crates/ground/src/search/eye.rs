//! A look at one box: its bound, the best lanes of its middle line, and what its parts need not find out
//! again.

use super::aim::Aim;
use super::blockers::{Blockers, Near};
use super::bound::{EVERYWHERE, Offsets, Turn, ends};
use super::cell::{Cell, heading, turn};
use super::gap::{Cut, Gap, Gaps, gaps};
use super::polish::Spot;
use super::sight::Sight;
use crate::extent::Span;
use std::sync::Arc;

/// A box and what no lane in it exceeds, forward and back.
#[derive(Clone, Copy, Debug)]
pub(super) struct Leaf {
    pub(super) cell: Cell,
    pub(super) bound: [f64; 2],
    pub(super) looked: bool,
}

impl Leaf {
    /// Nothing known yet.
    pub(super) fn unknown(cell: Cell) -> Self {
        Self { cell, bound: [f64::INFINITY; 2], looked: false }
    }

    /// What no lane in it exceeds.
    pub(super) fn most(&self) -> f64 {
        self.bound[0].max(self.bound[1])
    }
}

/// A box still to be halved.
pub(super) struct Open {
    pub(super) leaf: Leaf,
    /// What is looked for: more than this, forward and back.
    pub(super) above: [f64; 2],
    pub(super) inherited: Arc<Inherited>,
    /// What its parts are given, once it was looked at.
    own: Option<Arc<Inherited>>,
}

/// What the parts of a box need not find out again.
pub(super) struct Inherited {
    pub(super) near: Near,
    /// Chainages along each line itself within which all lanes worth more than `floor` lie.
    window: Span,
    floor: [f64; 2],
}

impl Inherited {
    /// Nothing left out.
    pub(super) fn all(blockers: &Blockers) -> Self {
        Self { near: Near::all(blockers), window: EVERYWHERE, floor: [f64::NEG_INFINITY; 2] }
    }

    /// How far from the pivot its lanes reach along their line.
    fn reach(&self) -> f64 {
        self.window.low.abs().max(self.window.high.abs())
    }

    /// Ends of the lanes of a box, counted as `s''`; `None` where it has none.
    fn ends(&self, blockers: &Blockers, turn: &Turn, b: Offsets) -> Option<[Cut; 2]> {
        let hull = ends(&blockers.hull, turn, b)?;
        let window = self.window.grown(b.y0.abs() * turn.sin);
        Some(Cut::ends(Span::new(hull.low.max(window.low), hull.high.min(window.high))))
    }
}

impl Open {
    pub(super) fn new(leaf: Leaf, inherited: &Arc<Inherited>) -> Self {
        Self { leaf, above: [f64::NEG_INFINITY; 2], inherited: Arc::clone(inherited), own: None }
    }

    /// Its parts, or itself while it was not looked at; none where it is fine enough.
    pub(super) fn parts(&self, radius: f64) -> impl Iterator<Item = Self> {
        let reach = self.own.as_ref().map_or(radius, |own| own.reach().min(radius));
        let itself = (!self.leaf.looked).then_some(self.leaf.cell);
        let parts = self.leaf.looked.then(|| self.leaf.cell.parts(reach));
        let given = self.own.as_ref().unwrap_or(&self.inherited);
        let cells = itself.into_iter().chain(parts.into_iter().flatten());
        cells.map(|cell| Self::new(Leaf { cell, ..self.leaf }, given))
    }

    /// Takes the widest gaps as bound; whether anything better than what is looked for is left.
    fn bounded_by(&mut self, found: &[Gaps; 2], least: [f64; 2]) -> bool {
        let before = self.leaf.bound;
        for way in [0, 1] {
            let most = found[way].best.map_or(f64::NEG_INFINITY, |gap| gap.worth) - least[way];
            self.leaf.bound[way] = before[way].min(most.max(self.inherited.floor[way]));
        }
        self.leaf.bound[0] > self.above[0] || self.leaf.bound[1] > self.above[1]
    }
}

/// Kept to be filled again.
#[derive(Default)]
pub(super) struct Scratch {
    sight: Sight,
    cuts: Vec<Cut>,
}

/// What looks at boxes.
pub(super) struct Eye<'a> {
    pub(super) blockers: &'a Blockers,
    pub(super) aim: &'a Aim,
}

impl Eye<'_> {
    /// Bounds a box, and works out its middle line if something better could be in it.
    pub(super) fn look(&self, open: &mut Open, scratch: &mut Scratch) -> [Option<Spot>; 2] {
        let Cell { level, i, .. } = open.leaf.cell;
        let (turn, b) = (turn(level, i), open.leaf.cell.offsets());
        open.leaf.looked = true;
        let Some(found) = self.bound(open, &turn, b, scratch) else { return [None; 2] };
        let within = found[0].within.with(found[1].within);
        // A hard thing beyond the far end counts as far as its margin reaches past that of an open end.
        let beyond = (self.aim.margins.hard_end - self.aim.margins.end).to_m().max(0.0);
        let room = b.y0.abs() * turn.sin;
        open.own = Some(Arc::new(Inherited {
            // The window holds, as `s''`, as much again as it was widened by.
            near: scratch.sight.near(self.blockers, &turn, b, within.grown(beyond + 2.0 * room)),
            window: within.grown(room),
            floor: open.above,
        }));
        self.middle(open, &turn, b, scratch)
    }

    /// Gaps of a box that are not settled by its bound, which is taken.
    fn bound(&self, open: &mut Open, turn: &Turn, b: Offsets, scratch: &mut Scratch) -> Option<[Gaps; 2]> {
        let Scratch { sight, cuts } = scratch;
        let least = self.aim.least_needs(open.leaf.cell.level, open.leaf.cell.i);
        let above = [open.above[0] + least[0], open.above[1] + least[1]];
        let Some(ends) = open.inherited.ends(self.blockers, turn, b) else {
            open.bounded_by(&[Gaps::NONE; 2], least);
            return None;
        };
        sight.look(self.blockers, &open.inherited.near, turn, b);
        cuts.clear();
        cuts.extend(ends);
        sight.discs_surely_cut(self.blockers, turn, b, cuts);
        // Where discs alone settle the box, longer things, dearer to ask, need not be asked.
        if !open.bounded_by(&both_ways(cuts, self.blockers, self.aim, above), least) {
            return None;
        }
        sight.longs_surely_cut(self.blockers, turn, b, cuts);
        let found = both_ways(cuts, self.blockers, self.aim, above);
        open.bounded_by(&found, least).then_some(found)
    }

    /// The best lanes of the middle line, forward and back.
    fn middle(&self, open: &Open, turn: &Turn, b: Offsets, scratch: &mut Scratch) -> [Option<Spot>; 2] {
        let Scratch { sight, cuts } = scratch;
        let (line, (t0, _)) = (Offsets { dy: 0.0, ..b }, heading(open.leaf.cell.level, open.leaf.cell.i));
        let Some(ends) = open.inherited.ends(self.blockers, &turn.still(), line) else { return [None; 2] };
        cuts.clear();
        cuts.extend(ends);
        sight.cut_in_the_middle(self.blockers, line, cuts);
        let found = both_ways(cuts, self.blockers, self.aim, [f64::INFINITY; 2]);
        let spot = |gap, back| Spot::new(open.leaf.cell, (t0, line.y0), back, gap, self.aim);
        [found[0].best.map(|gap| spot(gap, false)), found[1].best.map(|gap| spot(gap, true))]
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
    turn_back(cuts);
    let back = gaps(cuts, &blockers.steps, above[1], worth);
    turn_back(cuts);
    [forward, back.within_forward()]
}

fn turn_back(cuts: &mut [Cut]) {
    for c in cuts {
        *c = c.turned_back();
    }
}
