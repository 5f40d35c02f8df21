//! What a slide that drifts and swings could be taken onto: hazards, edges and other ground beside the lane.
//!
//! Invariants: a lane is clear only if everything beside it leaves room for the half-width at that place, up to where slides
//! must have ended;
//! what stands beyond the straight slide's own band is refused as unknown, not as sure, since no
//! slide is known to go there; ground beside the lane counts where it is softer than the field or of other friction.
//!
//! Not here: the half-width itself ([`crate::drift`]).

use crate::assessed_lane::LanePatch;
use crate::assessment::{Reason, Sense, Verdict};
use crate::bench::Bench;
use crate::code::Code;
use crate::drift::Drifted;
use crate::field::Patch;
use ground::{Beside, HalfWidth, Lane, Obstructions, Step, Stretch, Thing, least_room};
use measure::normal::SCORE_95;
use measure::{Interval, Metres};
use serde::Serialize;
use slide::soft::strength::Strength;
use slide::{Heading, TRIP_SPEED};

/// How far from the centre line slides may be, and what that leads to.
#[derive(Clone, PartialEq, Default, Debug, Serialize)]
pub struct DriftFigures {
    /// Chainages from which on the aircraft's middle may be as far to either side as stands beside them.
    pub half_widths_m: Vec<(f64, f64)>,
    /// The greatest of them; absent where nobody knows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub half_width_at_stop_m: Option<f64>,
    /// Length from touchdown for which the nose surely stays near the lane; absent where it does
    /// to the end, or nobody knows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heading_held_m: Option<f64>,
    /// Most that is still to slide when it no longer does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heading_lost_before_stop_m: Option<f64>,
    /// What leaves the least room beside the lane.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_room: Option<LeastRoom>,
    /// Patches that only drift takes the keels onto, softer than the field or of other friction.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub drifts_onto: Vec<LanePatch>,
}

/// What leaves the least room beside a lane.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct LeastRoom {
    /// What it is: "rock r1", "fence".
    pub thing: String,
    /// Its mark; an edge has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// Where.
    pub chainage_m: f64,
    /// Half-width that slides may need there.
    pub needed_m: f64,
    /// Half-width for which there is room.
    pub free_m: f64,
}

impl LeastRoom {
    /// Whether it is enough.
    pub(crate) fn suffices(&self) -> bool {
        leaves_room(self.needed_m, self.free_m)
    }
}

impl DriftFigures {
    /// Whether everything beside the lane leaves room for what is known of drift.
    pub(crate) fn is_clear(&self) -> bool {
        let room = self.least_room.as_ref().is_none_or(LeastRoom::suffices);
        self.half_width_at_stop_m.is_some() && room && self.drifts_onto.is_empty()
    }
}

/// Figures of one lane whose slides must have ended before `end`, and the reasons that they give.
pub(crate) fn judged(
    bench: &Bench,
    lane: &Lane,
    drifted: Option<&Drifted>,
    end: Metres,
) -> (DriftFigures, Vec<Reason>) {
    let Some(drifted) = drifted else { return unknown(bench) };
    let lane = &drifted.way(lane, end);
    let beside = least_room(&bench.obstructions, lane, &drifted.half_width);
    let patches = patches_beside(bench, lane, &drifted.half_width);
    let (held, before_stop) = match drifted.sideways.heading {
        Heading::Held => (None, None),
        Heading::Lost { after, before_stop } => (Some(after.to_m()), before_stop.map(Metres::to_m)),
    };
    let half_width = drifted.half_width.at(lane.length);
    let figures = DriftFigures {
        half_widths_m: steps(&drifted.half_width),
        half_width_at_stop_m: Some(half_width.to_m()),
        heading_held_m: held,
        heading_lost_before_stop_m: before_stop,
        least_room: beside.map(|b| told(bench, &b)),
        drifts_onto: patches,
    };
    let mut reasons = vec![reason(bench, &figures, half_width)];
    reasons.extend(trip(bench, drifted, lane));
    if held.is_some() {
        reasons.push(Reason::note(Code::HeadingHeld, Code::HeadingHeld.help()));
    }
    if !figures.drifts_onto.is_empty() {
        let names: Vec<&str> = figures.drifts_onto.iter().map(|p| p.id.as_str()).collect();
        let text = format!("{}: {}", Code::DriftOnto.help(), names.join(", "));
        reasons.push(Reason::plain(Code::DriftOnto, Verdict::Unknown, text));
    }
    (figures, reasons)
}

/// Whether a lane is clear of the things of a field for all slides, however they drift; yes where nobody knows how far.
pub(crate) fn is_clear(things: &Obstructions, lane: &Lane, drifted: Option<&Drifted>, end: Metres) -> bool {
    let beside = drifted.and_then(|d| least_room(things, &d.way(lane, end), &d.half_width));
    beside.is_none_or(|b| leaves_room(b.needed.to_m(), b.free.to_m()))
}

impl Bench<'_> {
    /// Whether a patch is softer than the field, more slippery or of more grip.
    pub(crate) fn is_worse_ground(&self, patch: &Patch) -> bool {
        let (field, own) = (self.strip.strength, self.field_grip());
        let softer = patch.strength.map_or(field.is_some(), |own| field.is_some_and(|field| own > field));
        let grip = self.patch_grip(patch);
        softer || grip.low() < own.low() || grip.best(SCORE_95) > own.best(SCORE_95)
    }

    /// The field with room off all such ground; `None` where there is none.
    pub(crate) fn firm_ground(&self) -> Option<Obstructions> {
        let numbered = self.strip.patches.iter().enumerate();
        let worse = numbered
            .filter(|(_, patch)| self.is_worse_ground(patch))
            .map(|(i, patch)| (Thing::Hazard(self.standing.len() + i), &patch.shape, patch.position_sigma));
        let mut worse = worse.peekable();
        worse.peek()?;
        Some(self.obstructions.with_ground(worse))
    }

    /// Whether some things beside the even part of a lane leave room for what is known of drift; yes where nobody knows how far.
    pub(crate) fn has_room_for_drift(&self, among: &Obstructions, stretch: &Stretch) -> bool {
        let stretch = &self.even_part(stretch);
        let (lane, end) = (&stretch.lane, self.margins.end_margin_at(stretch));
        let way = self.way(lane);
        let drifted = self.drift_on(lane, &way, &self.spread_on(lane, &way));
        is_clear(among, lane, drifted.as_deref(), end)
    }
}

/// Touching counts as meeting.
fn leaves_room(needed_m: f64, free_m: f64) -> bool {
    needed_m < free_m
}

fn unknown(bench: &Bench) -> (DriftFigures, Vec<Reason>) {
    let half_width = &bench.obstructions.allowance().half_width;
    let figures = DriftFigures { half_widths_m: steps(half_width), ..DriftFigures::default() };
    // An aircraft not known from the side is a reason of its own.
    let known = bench.aircraft.side.is_some();
    let reason = known.then(|| {
        let text = format!("{}: that cannot be told, as some slide has no end", Code::Drift.help());
        Reason::plain(Code::Drift, Verdict::Unknown, text)
    });
    (figures, reason.into_iter().collect())
}

fn steps(half_width: &HalfWidth) -> Vec<(f64, f64)> {
    half_width.steps().iter().map(|Step { from, half_width }| (from.to_m(), half_width.to_m())).collect()
}

fn told(bench: &Bench, beside: &Beside) -> LeastRoom {
    LeastRoom {
        thing: bench.thing_name(beside.thing),
        id: bench.mark(beside.thing),
        chainage_m: beside.chainage.to_m(),
        needed_m: beside.needed.to_m(),
        free_m: beside.free.to_m(),
    }
}

fn reason(bench: &Bench, figures: &DriftFigures, half_width: Metres) -> Reason {
    let unmeasured = bench.unmeasured_for_drift();
    if !unmeasured.is_empty() {
        let text = format!("{}: nobody measured {}", Code::Drift.help(), unmeasured.join(", "));
        return Reason::plain(Code::Drift, Verdict::Unknown, text);
    }
    let Some(LeastRoom { thing, needed_m, free_m, .. }) = &figures.least_room else {
        let text = format!("{}: nothing stands beside the lane", Code::Drift.help());
        return Reason {
            value: Some(half_width.to_m()),
            unit: Some("m"),
            ..Reason::plain(Code::Drift, Verdict::Fits, text)
        };
    };
    let clear = leaves_room(*needed_m, *free_m);
    let verdict = if clear { Verdict::Fits } else { Verdict::Unknown };
    let reason = Reason::held(Code::Drift, verdict, (*needed_m, Sense::NotAbove, *free_m), "m");
    let which = if clear { "nearest to it" } else { "in its way" };
    Reason { text: format!("{}; {which}: {thing}", Code::Drift.help()), ..reason }
}

/// Whether keels come across tested soft ground sideways, on the lane or beside it. Untested ground is unknown anyway.
fn trip(bench: &Bench, drifted: &Drifted, lane: &Lane) -> Option<Reason> {
    let met = soft_patches(bench, drifted, lane);
    let field = is_soft(bench.strip.strength).then(|| {
        let span = Interval::spanning(drifted.at, lane.length.max(drifted.at));
        SoftGround { name: "the field", span, across: speed_across(drifted, span) }
    });
    let all = || met.iter().chain(&field);
    let fastest = all().map(|soft| soft.across).reduce(f64::max)?;
    let names: Vec<&str> = all().map(|soft| soft.name).collect();
    let verdict = if trips(fastest) { Verdict::Unknown } else { Verdict::Fits };
    let limit = TRIP_SPEED.to_mps();
    let reason = Reason::held(Code::Trip, verdict, (fastest, Sense::NotAbove, limit), "m/s");
    Some(Reason { text: format!("{}: {}", Code::Trip.help(), names.join(", ")), ..reason })
}

/// Soft ground that slides may come to.
struct SoftGround<'a> {
    name: &'a str,
    span: Interval<Metres>,
    /// Greatest speed across the keels there, m/s.
    across: f64,
}

/// Whether a speed across soft ground, m/s, may trip it.
fn trips(across: f64) -> bool {
    across >= TRIP_SPEED.to_mps()
}

fn is_soft(strength: Option<Strength>) -> bool {
    strength.is_some_and(|s| s >= Strength::Yielding)
}

/// A slide from a later touchdown comes to a place as fast as one from the earliest comes to some place before.
fn speed_across(drifted: &Drifted, span: Interval<Metres>) -> f64 {
    drifted.sideways.speed_between(drifted.at, span.high()).to_mps()
}

/// Soft patches on a lane or beside it.
fn soft_patches<'a>(bench: &'a Bench, drifted: &Drifted, lane: &Lane) -> Vec<SoftGround<'a>> {
    let met = |p: &'a Patch| {
        let span = bench.chainages_on(p, lane, &drifted.half_width)?;
        Some(SoftGround { name: &p.id, span, across: speed_across(drifted, span) })
    };
    bench.strip.patches.iter().filter(|p| is_soft(p.strength)).filter_map(met).collect()
}

/// Where soft patches may trip it.
pub(crate) fn trips_at(bench: &Bench, drifted: &Drifted, lane: &Lane) -> Vec<Interval<Metres>> {
    let each = soft_patches(bench, drifted, lane).into_iter();
    each.filter(|soft| trips(soft.across)).map(|soft| soft.span).collect()
}

/// Patches that only drift takes the keels onto, softer, more slippery or of more grip than the field.
fn patches_beside(bench: &Bench, lane: &Lane, half_width: &HalfWidth) -> Vec<LanePatch> {
    let straight = &bench.obstructions.allowance().half_width;
    // More of a patch than a straight slide meets.
    let beside = |p: &Patch| {
        let more = |all: Interval<Metres>| {
            bench.chainages_on(p, lane, straight).is_none_or(|s| all.low() < s.low() || all.high() > s.high())
        };
        let met = bench.chainages_on(p, lane, half_width).filter(|all| more(*all));
        met.filter(|_| bench.is_worse_ground(p)).map(|all| LanePatch::new(p, all))
    };
    bench.strip.patches.iter().filter_map(beside).collect()
}
