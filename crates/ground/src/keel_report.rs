//! The worst places of a lane for the keel: what is hollow under it, what stands up under it, what rises
//! ahead of its bow.
//!
//! The keel is a rigid chord with both ends on the ground. Every position of it within the lane counts,
//! not those at stations only: between two positions at which an end, or the end of its reach, passes a
//! bend of the ground, the height of the chord over a bend is a parabola in the position, whose extreme
//! is found in closed form.
//!
//! Not here: ground between levels that nobody saw; ground that was not measured gives no position.

use crate::section::{Ground, Run, runs};
use crate::{Lane, Surface};
use measure::Metres;

/// A worst place.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Worst {
    /// How much, not negative.
    pub amount: Metres,
    /// Its standard deviation from the errors of the levels is not larger.
    pub sigma: Metres,
    /// Where that point of the ground is, from the near end of the lane.
    pub chainage: Metres,
}

/// Worst places for a keel along a lane; `None` where nowhere on the lane the ground under a whole keel
/// was measured.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct KeelReport {
    /// Deepest ground below the chord.
    pub hollow: Option<Worst>,
    /// Highest ground above the chord that joins the keel's ends.
    pub crest: Option<Worst>,
    /// Highest rise above the line of the keel within one length of keel ahead of its bow.
    pub bow_step: Option<Worst>,
    /// Length of lane over which the ground was measured.
    pub measured: Metres,
}

/// Parts of a keel within which ground of very many bends is looked at by its highest and lowest point
/// only; what may be missed is then added to what is found.
const CELLS_PER_KEEL: f64 = 64.0;

/// Rounding of chainages that are found in two ways, metres.
const ROUNDING: f64 = 1e-9;

/// The worst places of a lane slid along in its direction. Nothing is reported for a keel of no length.
pub fn keel_report(surface: &Surface, lane: &Lane, keel: Metres) -> KeelReport {
    let keel = keel.to_m();
    let mut report = KeelReport { hollow: None, crest: None, bow_step: None, measured: Metres::ZERO };
    for run in runs(surface, lane) {
        report.measured = report.measured + Metres::m(run.end() - run.start());
        // A keel that is no number, or has no length, lies nowhere.
        let fits = keel > 0.0 && keel <= run.end() - run.start();
        if fits {
            look_along(&run, keel, &mut report);
        }
    }
    report
}

/// Takes a run of ground into the report.
fn look_along(run: &Run, keel: f64, report: &mut KeelReport) {
    let (run, off) = run.thinned(keel / CELLS_PER_KEEL);
    let mut found = [None; 3];
    try_positions(&run, keel, &mut found);
    // The ground itself and the line of the keel, up to a length ahead, may lie off by this much.
    let more = Metres::m(off * OFF_AHEAD);
    let found = found.map(|worst| worst.map(|w: Worst| Worst { amount: w.amount + more, ..w }));
    let known = [&mut report.hollow, &mut report.crest, &mut report.bow_step];
    for (known, found) in known.into_iter().zip(found) {
        *known = match (*known, found) {
            (Some(k), Some(f)) if k.amount >= f.amount => Some(k),
            (known, found) => found.or(known),
        };
    }
}

/// How far what is above the line of the keel is off, for ends and ground that are each off by one: the
/// line by 1 + 2 a length ahead, the ground by 1.
const OFF_AHEAD: f64 = 4.0;

/// Hollow, crest and bow step of all positions in a run.
fn try_positions(run: &Run, keel: f64, [hollow, crest, bow_step]: &mut [Option<Worst>; 3]) {
    let positions = positions(run, keel);
    let points = run.points();
    let (mut under, mut ahead) = (0, 0);
    for (&from, &to) in positions.iter().zip(positions.iter().skip(1).chain(positions.last())) {
        let chords = [from, f64::midpoint(from, to), to].map(|stern| Chord::at(run, stern, keel));
        // Bends that are under the keel, or ahead of it, in all positions from the one to the other.
        under += points[under..].iter().take_while(|g| g.at < to - ROUNDING).count();
        ahead += points[ahead..].iter().take_while(|g| g.at < to + keel - ROUNDING).count();
        for ground in points[under..].iter().take_while(|g| g.at <= from + keel + ROUNDING) {
            let below = chords.map(|c| c.height_at(ground.at) - ground.height);
            *hollow = worse(*hollow, most(below), *ground, &chords);
            *crest = worse(*crest, most(below.map(|h| -h)), *ground, &chords);
        }
        for ground in points[ahead..].iter().take_while(|g| g.at <= from + 2.0 * keel + ROUNDING) {
            let above = chords.map(|c| ground.height - c.height_at(ground.at));
            *bow_step = worse(*bow_step, most(above), *ground, &chords);
        }
        // Where its reach ends the ground need not bend; there the rise grows evenly with the position.
        let reach = run.at((from + 2.0 * keel).min(run.end()));
        let above = reach.height - chords[0].height_at(reach.at);
        *bow_step = worse(*bow_step, above, reach, &chords);
    }
}

/// Positions of the stern between which nothing passes a bend: neither end of the keel, nor the point
/// one length ahead of its bow.
fn positions(run: &Run, keel: f64) -> Vec<f64> {
    let last = run.end() - keel;
    let passing = run.points().iter().flat_map(|g| [g.at, g.at - keel, g.at - 2.0 * keel]);
    let mut out: Vec<f64> = passing.filter(|&s| s >= run.start() && s <= last).collect();
    out.extend([run.start(), last]);
    out.sort_by(f64::total_cmp);
    out.dedup();
    out
}

/// The keel at a position.
#[derive(Clone, Copy)]
struct Chord {
    stern: f64,
    keel: f64,
    heights: [f64; 2],
    sigmas: [f64; 2],
}

impl Chord {
    fn at(run: &Run, stern: f64, keel: f64) -> Self {
        let (a, b) = (run.at(stern), run.at(stern + keel));
        Self { stern, keel, heights: [a.height, b.height], sigmas: [a.sigma, b.sigma] }
    }

    fn share(&self, chainage: f64) -> f64 {
        (chainage - self.stern) / self.keel
    }

    /// Height of the line of the keel, also beyond its ends.
    fn height_at(&self, chainage: f64) -> f64 {
        self.heights[0] + (self.heights[1] - self.heights[0]) * self.share(chainage)
    }

    /// Standard deviation of that height, at most.
    fn sigma_at(&self, chainage: f64) -> f64 {
        let share = self.share(chainage);
        self.sigmas[0] * (1.0 - share).abs() + self.sigmas[1] * share.abs()
    }
}

/// The most of the parabola through values at the beginning, the middle and the end of an interval.
fn most([first, middle, last]: [f64; 3]) -> f64 {
    let bend = first - 2.0 * middle + last;
    let rise = last - first;
    let ends = first.max(middle).max(last);
    // Its top is inside if it bends down by more than it rises: 2 |bend| > |rise|.
    if bend < 0.0 && -2.0 * bend > rise.abs() { ends.max(middle - rise * rise / (8.0 * bend)) } else { ends }
}

/// The worse of what is known and what was found at a point of the ground; of equals the first.
fn worse(known: Option<Worst>, amount: f64, ground: Ground, chords: &[Chord; 3]) -> Option<Worst> {
    let amount = Metres::m(amount.max(0.0));
    if known.is_some_and(|k| k.amount >= amount) {
        return known;
    }
    let chord = chords.iter().map(|c| c.sigma_at(ground.at)).fold(0.0, f64::max);
    Some(Worst { amount, sigma: Metres::m(ground.sigma + chord), chainage: Metres::m(ground.at) })
}

#[cfg(test)]
mod tests;
