//! What was not measured, and how many metres of spare measuring it could change.
//!
//! The effect of what is sampled is the demand less that with it known to lie in its middle; of what is only
//! known to lie between two ends, less that at the end that helps. The points are the same, so that nothing
//! but the input differs. What was not looked at could hold one thing that blocks the lane, so its effect is
//! the whole usable length.

use crate::air::FieldAir;
use crate::approach::{Closed, WayIn};
use crate::assessment::Missing;
use crate::bench::Bench;
use crate::code::What;
use crate::demand::{self, Look};
use crate::judge::Judged;
use crate::obstacle::{Obstacle, Top};
use crate::situation::Unsaid;
use crate::spread::{Corner, FACTOR, FRICTION, STALL, Spread};
use crate::survey::{Looked, SurveyKind};
use crate::tall::{Asked, Tall};
use crate::wind::DIRECTION;
use crate::{Day, Inputs, Unseen};
use ground::{Centreline, Hazard, Obstructions, Outline, Relief, Ring, Thing, clear_stretches};
use measure::{CIRCLE_95, Interval, Metres};
use std::collections::{BTreeMap, BTreeSet};

/// Effects below this are not worth a person's walk, metres.
const WORTH_SAYING: f64 = 0.5;

/// An obstacle that may stand so far from where it was marked is worth a tape whatever it takes from one lane (judgement).
const BADLY_PLACED: Metres = Metres::m(20.0);

/// Everything missing, what decides first, then by effect.
pub(crate) fn list(inputs: &Inputs, bench: Option<&Bench>, best: Option<&Judged>) -> Vec<Missing> {
    let mut out = Vec::new();
    if inputs.aircraft.is_none() {
        out.push(missing(What::Aircraft, true, None));
    }
    if inputs.day.is_none() {
        out.push(missing(What::Day, true, None));
    }
    let usable = best.map(|b| b.lane.usable_slide_m.max(0.0));
    for kind in inputs.strip.survey.not_looked() {
        if let Some(what) = of_survey(kind) {
            out.push(missing(what, true, usable));
        }
    }
    out.extend(inputs.day.as_ref().and_then(rewalk));
    if let (Some(bench), Some(best)) = (bench, best) {
        out.extend(of_slide(inputs.day.as_ref(), bench, best));
        out.extend(of_outline(bench, best));
    }
    out.extend(
        inputs
            .strip
            .hazards
            .iter()
            .filter(|h| h.relief == Relief::NotMeasured)
            .map(|h| Missing { id: Some(h.id.clone()), ..missing(What::HazardHeight, false, None) }),
    );
    if inputs.aircraft.as_ref().is_some_and(|a| a.climb.is_none()) {
        out.push(missing(What::Climb, false, None));
    }
    out.extend(of_obstacles(inputs, bench.zip(best)));
    out.retain(|m| m.decides || m.effect_m.is_none_or(|e| e >= WORTH_SAYING));
    out.sort_by(|a, b| {
        let effect = |m: &Missing| m.effect_m.unwrap_or(if m.decides { f64::MAX } else { -1.0 });
        b.decides.cmp(&a.decides).then(effect(b).total_cmp(&effect(a))).then(a.what.cmp(&b.what))
    });
    out
}

fn missing(what: What, decides: bool, effect_m: Option<f64>) -> Missing {
    Missing { what, id: None, decides, effect_m, how: what.help().into() }
}

/// The walk on the day, with everything that it still has to see.
fn rewalk(day: &Day) -> Option<Missing> {
    let unseen: Vec<String> = day.unseen().iter().map(Unseen::words).collect();
    let how = format!("{}; still to see: {}", What::Rewalk.help(), unseen.join(", "));
    (!unseen.is_empty()).then(|| Missing { how: how.into(), ..missing(What::Rewalk, false, None) })
}

/// Levels have an effect of their own and do not decide.
fn of_survey(kind: SurveyKind) -> Option<What> {
    match kind {
        SurveyKind::Outline => Some(What::Outline),
        SurveyKind::Hazards => Some(What::Hazards),
        SurveyKind::Ground => Some(What::Ground),
        SurveyKind::Levels => None,
        SurveyKind::Approaches => Some(What::Approaches),
        SurveyKind::Wires => Some(What::Wires),
        SurveyKind::Drains => Some(What::Drains),
    }
}

/// The demand of the best lane with something about it changed.
struct Changed<'a> {
    best: &'a Judged,
    look: Look,
    aim: Metres,
    whole: Option<Metres>,
}

impl Changed<'_> {
    /// How much shorter it would be; nothing where either never stops.
    fn effect(&self, without: Option<usize>, change: impl Fn(&mut Spread)) -> Option<f64> {
        let mut spread = self.best.spread.clone();
        change(&mut spread);
        let better = demand::worst_without(&spread, &self.best.ends, self.aim, self.look, without).needed;
        self.whole.zip(better).map(|(whole, better)| (whole - better).to_m().max(0.0))
    }

    /// With something sampled known to lie in its middle.
    fn middle(&self, coordinate: usize) -> Option<f64> {
        self.effect(Some(coordinate), |_| ())
    }
}

/// Inputs of the slide.
fn of_slide(day: Option<&Day>, bench: &Bench, best: &Judged) -> Vec<Missing> {
    let aim = Metres::m(best.lane.aim_m);
    // While something is dragged the effects are told in passing.
    let look = if bench.look == Look::Full { Look::Full } else { Look::Rough };
    let whole = demand::worst(&best.spread, &best.ends, aim, look).needed;
    let changed = Changed { best, look, aim, whole };
    let mut out = vec![
        missing(What::DragTest, false, changed.middle(FRICTION)),
        missing(What::TouchdownSpeed, false, changed.middle(FACTOR)),
    ];
    if best.lane.slope_mean.is_none() {
        let uphill = |s: &mut Spread| s.ground.worst = s.ground.best.clone();
        out.push(missing(What::Levels, false, changed.effect(None, uphill)));
    }
    let stall = if bench.aircraft.stall_is_calibrated() {
        changed.middle(STALL)
    } else {
        changed.effect(Some(STALL), |s| s.stall = Interval::exact(s.stall.low()))
    };
    out.push(missing(What::StallSpeed, false, stall));
    if bench.aircraft.scatter.is_none() {
        out.push(missing(What::Scatter, false, Some(best.lane.scatter_m)));
    }
    if day.is_none_or(|d| d.mass.is_none()) {
        let ends = [
            changed.effect(None, |s| s.mass = Interval::exact(s.mass.low())),
            changed.effect(None, |s| s.mass = Interval::exact(s.mass.high())),
        ];
        out.push(missing(What::LandingMass, false, ends.into_iter().flatten().reduce(f64::max)));
    }
    let said = |say| {
        let each = bench.situation.said(say).into_iter().map(|(situation, cover)| {
            let lane = &best.stretch.lane;
            let ground = bench.ground_on(&situation, cover.or(bench.strip.cover), lane, &best.way);
            changed.effect(None, |s| s.ground = ground.clone())
        });
        each.flatten().reduce(f64::max)
    };
    out.extend(of_day(day, bench, &changed));
    if bench.strip.cover.is_none() {
        out.push(missing(What::Cover, false, said(Unsaid::Cover)));
    }
    if day.is_some_and(|d| d.wetness.is_none()) {
        out.push(missing(What::GrassState, false, said(Unsaid::Wetness)));
    }
    let untested = best.lane.balance.ground_on_lane.iter().any(|g| g.strength.is_none());
    let looked = *bench.strip.survey.of(SurveyKind::Ground) != Looked::Not;
    // Ground that nobody looked at at all is named once.
    if untested && looked {
        out.push(missing(What::Ground, true, None));
    }
    if bench.aircraft.load_factor_limit.is_none() {
        out.push(missing(What::HardnessLimit, true, None));
    }
    if bench.aircraft.side.is_none() {
        out.push(missing(What::AircraftSide, true, None));
    }
    let keel_unknown = bench.aircraft.side.is_some() && bench.aircraft.keel_length.is_none();
    if keel_unknown || !bench.unmeasured_for_drift().is_empty() {
        out.push(missing(What::SideMeasures, true, None));
    }
    let steers = bench.aircraft.side.as_ref().is_none_or(|side| side.rudder_holds_to.is_some());
    if !steers && !best.lane.drift.is_clear() {
        out.push(missing(What::RudderSpeed, true, None));
    }
    if bench.aircraft.crosswind_limit_mps.is_none() && best.lane.crosswind_mps.is_some_and(|c| c != 0.0) {
        out.push(missing(What::CrosswindLimit, true, None));
    }
    out
}

/// Wind and air of the day. Of a wind that is known the effect is that of its direction, were it to stay as it is. All
/// of them are told in passing: they are small, and wind and air change by the hour.
fn of_day(day: Option<&Day>, bench: &Bench, changed: &Changed) -> Vec<Missing> {
    let Some(day) = day else { return Vec::new() };
    let Changed { best, aim, .. } = *changed;
    let look = Look::Rough;
    let changed =
        Changed { look, whole: demand::worst(&best.spread, &best.ends, aim, look).needed, best, aim };
    let wind = if day.wind.known {
        missing(What::Wind, false, changed.middle(DIRECTION))
    } else {
        missing(What::Wind, true, None)
    };
    let density = bench.situation.density;
    let ends =
        [density.low(), density.high()].map(|end| changed.effect(None, |s| s.density = Interval::exact(end)));
    let thick = ends.into_iter().flatten().reduce(f64::max);
    let known = bench.situation.air.as_ref().is_none_or(FieldAir::is_known);
    let air = (day.humidity.is_none() || !known).then(|| missing(What::Air, !known, thick));
    [wind].into_iter().chain(air).collect()
}

/// Obstacles of unknown height, and those that lie badly known in the way in to the best lane: what they take from it, were
/// they not to stand there, or known exactly.
fn of_obstacles(inputs: &Inputs, lane: Option<(&Bench, &Judged)>) -> Vec<Missing> {
    // While something is dragged nobody reads so closely.
    let lane = lane.filter(|(bench, _)| bench.look == Look::Full);
    let closing = lane.map(|(bench, best)| Closing::new(bench, best));
    let of = |(index, o): (usize, &Obstacle)| {
        let thing = Thing::Hazard(inputs.strip.hazards.len() + index);
        let effect =
            |known: &dyn Fn(&Tall) -> Option<Tall>| closing.as_ref().and_then(|c| c.effect(thing, known));
        let (what, effect_m) = if o.top == Top::NotMeasured {
            // What takes nothing from this lane may close another.
            (What::ObstacleHeight, effect(&|_| None).filter(|e| *e >= WORTH_SAYING))
        } else {
            let exact = |tall: &Tall| {
                let asked = Asked { accuracy: Metres::ZERO, ..tall.asked };
                let grown = tall.grown - o.position_sigma * CIRCLE_95;
                Some(Tall { grown, asked, ..tall.clone() })
            };
            let effects = [effect(&exact), closing.as_ref().and_then(|c| c.effect_on_ground(thing))];
            // What is very badly placed may shorten other lanes by as much as it may stand nearer.
            let nearer = Some(o.position_sigma * CIRCLE_95).filter(|nearer| *nearer > BADLY_PLACED);
            let all = effects.into_iter().flatten().chain(nearer.map(Metres::to_m));
            (What::ObstacleAccuracy, Some(all.fold(0.0, f64::max)))
        };
        Missing { id: Some(o.id.clone()), ..missing(what, false, effect_m) }
    };
    inputs.strip.obstacles.iter().enumerate().map(of).collect()
}

/// What closes touchdowns of the best lane.
struct Closing<'a> {
    bench: &'a Bench<'a>,
    best: &'a Judged,
    way_in: WayIn<'a>,
    closed: Vec<Closed>,
    /// Which of all that stands close any.
    parts: BTreeMap<Thing, BTreeSet<usize>>,
    spare: Option<Metres>,
}

impl<'a> Closing<'a> {
    fn new(bench: &'a Bench<'a>, best: &'a Judged) -> Self {
        let way_in = WayIn::new(bench, &best.stretch.lane, &best.spread, best.ends.at());
        let closed = way_in.closed(Corner::Worst);
        let spare = spare(bench, best, &closed);
        let mut parts: BTreeMap<Thing, BTreeSet<usize>> = BTreeMap::new();
        for part in closed.iter().filter_map(|c| c.tall) {
            parts.entry(bench.tall[part].thing).or_default().insert(part);
        }
        Self { bench, best, way_in, closed, parts, spare }
    }

    /// What a thing takes from the lane, metres, that it would not if it were known otherwise, or not there.
    fn effect(&self, thing: Thing, known: impl Fn(&Tall) -> Option<Tall>) -> Option<f64> {
        let Some(parts) = self.parts.get(&thing) else { return Some(0.0) };
        let is_it = |c: &&Closed| c.tall.is_some_and(|part| parts.contains(&part));
        let mut closed: Vec<Closed> = self.closed.iter().filter(|c| !is_it(c)).copied().collect();
        for &part in parts {
            let spans =
                known(&self.bench.tall[part]).map(|tall| self.way_in.closed_were(&tall)).unwrap_or_default();
            closed.extend(spans.into_iter().map(|span| Closed { span, tall: Some(part) }));
        }
        let otherwise = spare(self.bench, self.best, &closed)?;
        Some((otherwise - self.spare?).max(Metres::ZERO).to_m())
    }

    /// What a thing at an end of what is clear takes from it as it could stand nearer than it was surveyed, metres.
    fn effect_on_ground(&self, thing: Thing) -> Option<f64> {
        let whole = &self.best.found.whole;
        let Thing::Hazard(index) = thing else { return None };
        if thing != whole.near_thing && thing != whole.far_thing {
            return None;
        }
        let mut standing = self.bench.standing.clone();
        standing.get_mut(index)?.position_sigma = Metres::ZERO;
        gained_on_line(self.bench, self.best, &self.bench.strip.outline, &standing)
    }
}

/// What the best lane would have to spare from the touchdowns that are not closed.
fn spare(bench: &Bench, best: &Judged, closed: &[Closed]) -> Option<Metres> {
    let (needed, end) = (Metres::m(best.lane.demand_m?), best.ends.at());
    let scatter = Metres::m(best.lane.scatter_m);
    Some(bench.left_open(closed, &best.ends).most_spare(end, needed, scatter))
}

/// What exact corners would add on the best lane's own centre line.
fn of_outline(bench: &Bench, best: &Judged) -> Option<Missing> {
    let exact = |ring: &Ring| Ring {
        corners: ring.corners.iter().map(|c| ground::Corner { sigma: Metres::ZERO, ..*c }).collect(),
        edges: ring.edges.clone(),
        height_share: ring.height_share,
    };
    let mut rings = bench.strip.outline.rings().iter().map(exact);
    let outline = Outline::new(rings.next()?, rings.collect()).ok()?;
    let gained = gained_on_line(bench, best, &outline, &bench.standing)?;
    Some(missing(What::OutlineAccuracy, false, Some(gained)))
}

/// What the best lane's own centre line would be usable for beyond what it is, were the field another, metres.
fn gained_on_line(bench: &Bench, best: &Judged, outline: &Outline, standing: &[Hazard]) -> Option<f64> {
    let known = &bench.obstructions;
    let line = Centreline::through(best.found.whole.lane.near, best.found.whole.lane.heading);
    let usable = |all: &Obstructions| {
        let all = all.with_half_width(best.found.half_width.clone());
        clear_stretches(&all, line).iter().map(|s| bench.margins.usable(s)).reduce(Metres::max)
    };
    let after = usable(&Obstructions::new(outline, standing, known.profile(), known.allowance()))?;
    Some((after - usable(known)?).to_m().max(0.0))
}

/// What a walk left open, in words; `None` where it said nothing.
pub(crate) fn walk_limits(inputs: &Inputs) -> Option<String> {
    let Looked::Yes { spacing, grass, .. } = inputs.strip.survey.of(SurveyKind::Hazards) else { return None };
    let spacing = spacing.map(|s| format!("lines {} m apart", s.to_m()));
    let grass = grass.map(|g| format!("grass {} m high", g.to_m()));
    let said: Vec<String> = spacing.into_iter().chain(grass).collect();
    (!said.is_empty())
        .then(|| format!("{} (walked in {})", crate::code::Code::SurveyLimits.help(), said.join(", ")))
}
