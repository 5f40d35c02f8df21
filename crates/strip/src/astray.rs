//! What a slide that drifts and swings could be taken onto: hazards, edges and other ground beside the lane.
//!
//! Invariants: a lane is clear only if everything beside it leaves room for the half-width at that place, up to where
//! the last slide stops; what stands beyond the straight slide's own band is refused as unknown, not as sure, since no
//! slide is known to go there; ground beside the lane counts where it is softer or more slippery than the field.
//!
//! Not here: the half-width itself ([`crate::drift`]).

use crate::assessment::{Reason, Sense, Verdict};
use crate::code::Code;
use crate::drift::Drifted;
use crate::field::Patch;
use crate::judge::Bench;
use ground::{Beside, HalfWidth, Lane, Obstructions, Step, chainages_under, least_room};
use measure::{Interval, Metres};
use serde::Serialize;
use slide::soft::strength::Strength;
use slide::{Heading, TRIP_SPEED};

/// How far from the centre line slides may be, and what that leads to.
#[derive(Clone, PartialEq, Debug, Serialize)]
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
    /// Patches beside the lane that drift could take it onto, softer or more slippery than the field.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub drifts_onto: Vec<String>,
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

impl DriftFigures {
    /// Whether everything beside the lane leaves room for what is known of drift.
    pub(crate) fn is_clear(&self) -> bool {
        let room = self.least_room.as_ref().is_none_or(|r| r.needed_m <= r.free_m);
        self.half_width_at_stop_m.is_some() && room && self.drifts_onto.is_empty()
    }
}

/// Figures of one lane, and the reasons that they give.
pub(crate) fn judged(
    bench: &Bench,
    lane: &Lane,
    drifted: Option<&Drifted>,
    latest: Metres,
) -> (DriftFigures, Vec<Reason>) {
    let Some(drifted) = drifted else { return unknown(bench) };
    let way = way(lane, drifted, latest);
    let beside = least_room(&bench.obstructions, &way, &drifted.half_width);
    let patches = patches_beside(bench, &way, &drifted.half_width);
    let (held, before_stop) = match drifted.sideways.heading {
        Heading::Held => (None, None),
        Heading::Lost { after, before_stop } => (Some(after.to_m()), before_stop.map(Metres::to_m)),
    };
    let half_width = drifted.half_width.at(way.length);
    let figures = DriftFigures {
        half_widths_m: steps(&drifted.half_width),
        half_width_at_stop_m: Some(half_width.to_m()),
        heading_held_m: held,
        heading_lost_before_stop_m: before_stop,
        least_room: beside.map(|b| told(bench, &b)),
        drifts_onto: patches.iter().map(|p| p.id.clone()).collect(),
    };
    let mut reasons = vec![reason(&figures, half_width)];
    reasons.extend(trip(bench, drifted, &way, latest));
    if held.is_some() {
        reasons.push(Reason::note(Code::HeadingHeld, Code::HeadingHeld.help()));
    }
    if !patches.is_empty() {
        let text = format!("{}: {}", Code::DriftOnto.help(), figures.drifts_onto.join(", "));
        reasons.push(Reason::plain(Code::DriftOnto, Verdict::Unknown, text));
    }
    (figures, reasons)
}

/// Whether a lane is clear of the things of a field for all slides, however they drift; yes where nobody knows how far.
pub(crate) fn is_clear(
    things: &Obstructions,
    lane: &Lane,
    drifted: Option<&Drifted>,
    latest: Metres,
) -> bool {
    drifted.is_none_or(|drifted| {
        let beside = least_room(things, &way(lane, drifted, latest), &drifted.half_width);
        beside.is_none_or(|b| b.room() >= Metres::ZERO)
    })
}

/// The lane up to where the last slide stops.
fn way(lane: &Lane, drifted: &Drifted, latest: Metres) -> Lane {
    let last = drifted.last_stop(latest).unwrap_or(lane.length);
    Lane { length: lane.length.min(last), ..*lane }
}

fn unknown(bench: &Bench) -> (DriftFigures, Vec<Reason>) {
    let half_width = &bench.obstructions.allowance().half_width;
    let figures = DriftFigures {
        half_widths_m: steps(half_width),
        half_width_at_stop_m: None,
        heading_held_m: None,
        heading_lost_before_stop_m: None,
        least_room: None,
        drifts_onto: Vec::new(),
    };
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

fn reason(figures: &DriftFigures, half_width: Metres) -> Reason {
    let Some(LeastRoom { thing, needed_m, free_m, .. }) = &figures.least_room else {
        let text = format!("{}: nothing stands beside the lane", Code::Drift.help());
        return Reason {
            value: Some(half_width.to_m()),
            unit: Some("m"),
            ..Reason::plain(Code::Drift, Verdict::Fits, text)
        };
    };
    let clear = needed_m <= free_m;
    let verdict = if clear { Verdict::Fits } else { Verdict::Unknown };
    let reason = Reason::held(Code::Drift, verdict, (*needed_m, Sense::NotAbove, *free_m), "m");
    let which = if clear { "nearest to it" } else { "in its way" };
    Reason { text: format!("{}; {which}: {thing}", Code::Drift.help()), ..reason }
}

/// Whether keels come across tested soft ground sideways, on the lane or beside it. Untested ground is unknown anyway.
fn trip(bench: &Bench, drifted: &Drifted, way: &Lane, latest: Metres) -> Option<Reason> {
    let soft = |strength: Option<Strength>| strength.is_some_and(|s| s >= Strength::Yielding);
    let under = |p: &Patch| {
        chainages_under(&bench.obstructions, way, &p.shape, p.position_sigma, &drifted.half_width)
    };
    let patches = bench.strip.patches.iter().filter(|p| soft(p.strength)).filter_map(under);
    let field =
        soft(bench.strip.strength).then(|| Interval::spanning(drifted.at, way.length.max(drifted.at)));
    // From a later touchdown a slide comes to a place as one from the earliest to a place so much nearer.
    let later = latest - drifted.at;
    let across =
        |span: Interval<Metres>| drifted.sideways.speed_between(span.low() - later, span.high()).to_mps();
    let fastest = patches.chain(field).map(across).reduce(f64::max)?;
    let limit = TRIP_SPEED.to_mps();
    let verdict = if fastest < limit { Verdict::Fits } else { Verdict::Unknown };
    Some(Reason::held(Code::Trip, verdict, (fastest, Sense::NotAbove, limit), "m/s"))
}

/// Patches that only drift takes the keels onto, softer or more slippery than the field.
fn patches_beside<'a>(bench: &Bench<'a>, way: &Lane, half_width: &HalfWidth) -> Vec<&'a Patch> {
    let under = |p: &Patch, half_width: &HalfWidth| -> Option<Interval<Metres>> {
        chainages_under(&bench.obstructions, way, &p.shape, p.position_sigma, half_width)
    };
    let straight = &bench.obstructions.allowance().half_width;
    let field = bench.strip.strength;
    let softer = |p: &Patch| p.strength.map_or(field.is_some(), |own| field.is_some_and(|field| own > field));
    let worse = |p: &Patch| softer(p) || bench.patch_grip(p).low() < bench.field_grip().low();
    let beside = |p: &&Patch| under(p, half_width).is_some() && under(p, straight).is_none() && worse(p);
    bench.strip.patches.iter().filter(beside).collect()
}
