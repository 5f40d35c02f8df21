//! One cell: the lanes that promise most on its occasion, judged as any assessment judges them, at a first look.
//!
//! Invariants: a lane's reasons are those of the bench, whatever the picture; what may be left unsaid is that another
//! lane would have done better, never that one does better than it does; "does not fit" is said only where a bound covers
//! every lane.
//!
//! Not here: which lanes there are ([`super::pool`]), and what of the reasons holds on every occasion
//! ([`super::standing`]).

use super::needs::Needs;
use super::pool::{MOST_TRIED, Pool, hope_across};
use super::standing::Standing;
use crate::assessment::{Reason, Sense, Verdict, ruling};
use crate::bench::Bench;
use crate::caveat;
use crate::code::Code;
use crate::drift_room::opened_like;
use crate::hunt::GRID;
use crate::open_lanes::OpenLanes;
use crate::part::{OF_A_PLACE, Sought};
use ground::{Obstructions, Stretch};
use measure::Metres;

/// A lane as it is on one occasion.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct LaneThen {
    pub(super) heading_magnetic_deg: Option<f64>,
    pub(super) stretch: Stretch,
    pub(super) spare_m: Option<f64>,
    pub(super) drift_clear: bool,
    /// What keeps it from fitting, or makes it tight.
    pub(super) reasons: Vec<Reason>,
}

/// One occasion, judged.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Cell {
    pub(super) lanes: Vec<LaneThen>,
    /// What the occasion says of every lane.
    pub(super) of_all: Vec<Reason>,
}

impl Cell {
    /// Judges the bench's situation; `gust_mps` where the wind is what is asked about.
    pub(super) fn judged(bench: &Bench, pool: &Pool, gust_mps: Option<f64>, standing: &Standing) -> Self {
        let mut of_all: Vec<Reason> =
            gust_mps.and_then(|gust| caveat::strong_wind(gust, bench.aircraft)).into_iter().collect();
        // In too strong a wind no lane can be better than unknown, so none is asked.
        let lanes = if of_all.is_empty() { Trial::new(bench, pool, standing).lanes() } else { Vec::new() };
        if lanes.iter().all(|lane| ruling(&lane.reasons) == Verdict::DoesNotFit) {
            of_all.extend(too_short(bench, pool));
        }
        Self { lanes, of_all }
    }
}

/// Whether another lane on nearly the same heading may help against a reason: those of the touchdown and of tipping it would
/// have to be much the same ground to have, and of the lane itself the best part was judged.
fn is_of_a_lane(code: Code) -> bool {
    let of_its_wind =
        matches!(code, Code::Hardness | Code::KeelAttitude | Code::Tipping | Code::Propeller | Code::WingTip);
    matches!(code, Code::Spare | Code::NeverStops) || (OF_A_PLACE.contains(&code) && !of_its_wind)
}

/// Headings that differ by less have much the same wind, degrees (judgement).
const SAME_WIND_DEG: f64 = 20.0;

/// The lanes of one cell, tried one after the other.
struct Trial<'t, 'a> {
    bench: &'t Bench<'a>,
    pool: &'t Pool,
    standing: &'t Standing,
    needs: Needs,
    found: Vec<LaneThen>,
    best: Option<Verdict>,
}

impl<'t, 'a> Trial<'t, 'a> {
    fn new(bench: &'t Bench<'a>, pool: &'t Pool, standing: &'t Standing) -> Self {
        Self { bench, pool, standing, needs: Needs::of(bench), found: Vec::new(), best: None }
    }

    /// Those that drift leaves clear before the others, none that could only be another to show.
    fn lanes(mut self) -> Vec<LaneThen> {
        let drifts_anyway = self.standing.leaves_out(Code::Drift, Verdict::Unknown);
        let mut adrift = Vec::new();
        for (which, hope) in self.pool.promising(self.bench, &self.needs) {
            let (stretch, among) = (*self.pool.stretch(which), self.pool.among(which));
            if !self.may_help(&stretch, hope) {
                continue;
            }
            // What is unknown anyway gains nothing by room to drift.
            let counts = !drifts_anyway && hope.rank() < Verdict::Unknown.rank();
            if counts && !self.bench.has_room_for_drift(&self.bench.obstructions, &stretch) {
                adrift.push((stretch, among, hope.ruling(Verdict::Unknown)));
                continue;
            }
            self.judge(&stretch, among);
        }
        if !drifts_anyway && self.may_be_better(Verdict::Fits) {
            self.look_for_room();
        }
        for (stretch, among, hope) in adrift {
            if self.may_help(&stretch, hope) {
                self.judge(&stretch, among);
            }
        }
        self.found
    }

    /// Lanes with room for just what slides of this occasion drift, of a few directions.
    fn look_for_room(&mut self) {
        let (bench, aim) = (self.bench, self.needs.aim(self.bench));
        let open = OpenLanes::new(bench, &aim, GRID);
        for (stretch, base) in self.pool.directions(bench, &self.needs) {
            let hope = hope_across(bench, stretch.lane.heading).ruling(self.hope_of_touchdown(&stretch));
            if !self.may_be_better(hope) {
                continue;
            }
            if let Some((lane, things)) = with_own_room(bench, (&open, base), &stretch)
                && self.may_be_better(self.hope_of_touchdown(&lane))
            {
                self.judge(&lane, &things);
            }
        }
    }

    fn judge(&mut self, stretch: &Stretch, among: &Obstructions) {
        let lane = LaneThen::judged(self.bench, stretch, among, self.best);
        let own = self.standing.own(&lane.reasons);
        self.best = self.best.filter(|best| best.rank() <= own.rank()).or(Some(own));
        self.found.push(lane);
    }

    fn may_help(&self, stretch: &Stretch, hope: Verdict) -> bool {
        let heading = stretch.lane.heading;
        let no_help = |lane: &LaneThen| {
            let own = self.standing.own(&lane.reasons);
            let near = lane.stretch.lane.heading.angle_to(heading) < SAME_WIND_DEG.to_radians();
            let lasting = |r: &&Reason| !self.standing.holds_everywhere(r) && !is_of_a_lane(r.code);
            near && own != Verdict::Tight && ruling(lane.reasons.iter().filter(lasting)) == own
        };
        self.found.len() < MOST_TRIED
            && self.may_be_better(hope)
            && !self.found.iter().any(no_help)
            && self.may_be_better(self.hope_of_touchdown(stretch))
    }

    fn may_be_better(&self, hope: Verdict) -> bool {
        self.best.is_none_or(|best| hope.rank() < best.rank())
    }

    /// The best that the touchdown allows, begin the lane where it may: that of a lane with nothing in its way in, as a
    /// longer stretch of ground never makes it better. Where that stretch rules it out, a longer one could still leave it
    /// unknown.
    fn hope_of_touchdown(&self, stretch: &Stretch) -> Verdict {
        let (bench, lane) = (self.bench, &stretch.lane);
        let way = bench.way(lane);
        let spread = bench.spread_on(lane, &way);
        let near = bench.margins.near;
        let hope = |by| self.standing.own(&bench.touchdown_from(&spread, &way, (by, by + near)));
        let first = hope(Metres::ZERO);
        let best = if self.may_be_better(first) { first } else { hope(bench.gentlest(&way, lane.length)) };
        match best {
            Verdict::DoesNotFit => Verdict::Unknown,
            hope => hope,
        }
    }
}

/// The lane about the heading of another with the most open way in and room for its own drift, and what it was found among.
fn with_own_room(
    bench: &Bench,
    among: (&OpenLanes, &Obstructions),
    like: &Stretch,
) -> Option<(Stretch, Obstructions)> {
    let heading = like.lane.heading;
    let about = |lane: &Stretch| opened_like(bench, among, &lane.lane, heading);
    let first = about(like)?;
    // On ground or a heading a little different it may drift a little farther.
    if bench.has_room_for_drift(among.1, &first.0) { Some(first) } else { about(&first.0).or(Some(first)) }
}

impl LaneThen {
    /// In the part of it that does best, where that may do better than another did.
    pub(super) fn judged(
        bench: &Bench,
        stretch: &Stretch,
        among: &Obstructions,
        known: Option<Verdict>,
    ) -> Self {
        let judged = bench.judge_best_part(stretch, among, Sought { floor: Verdict::Fits, known });
        let (stretch, judged) = (judged.stretch, judged.lane);
        let limits = |r: &Reason| r.verdict.is_some_and(|v| v != Verdict::Fits);
        Self {
            heading_magnetic_deg: judged.heading_magnetic_deg,
            stretch,
            spare_m: judged.spare_m,
            drift_clear: judged.drift.is_clear(),
            reasons: judged.reasons.into_iter().filter(limits).collect(),
        }
    }
}

/// A bound that covers every lane, if it rules them all out.
fn too_short(bench: &Bench, pool: &Pool) -> Option<Reason> {
    let Some(most) = pool.left_at_most(bench) else {
        return Some(Reason::plain(Code::NeverStops, Verdict::DoesNotFit, Code::NeverStops.help()));
    };
    let held = (most, Sense::NotBelow, 0.0);
    (most < 0.0).then(|| Reason::held(Code::LengthBound, Verdict::DoesNotFit, held, "m"))
}
