//! The one place where ground meets slide: from a strip, an aircraft and a day to a verdict.

use crate::air::FieldAir;
use crate::assessed_lane::AssessedLane;
use crate::assessment::{
    Assessment, CAUTION, Certificate, HeadingLength, Reason, Sense, Unjudged, Verdict, ruling,
};
use crate::bench::Bench;
use crate::code::{Code, NotJudged};
use crate::demand::{FULL_POINTS, Look, PREVIEW_POINTS};
use crate::drift::Drifts;
use crate::hunt::{Candidate, Hunt, Memory, Step, hunt, near, proven_too_short};
use crate::judge::Judged;
use crate::part::Sought;
use crate::sky::SunFigures;
use crate::{
    Aircraft, Day, Settings, Strip, aims, caveat, closer, fingerprint, gain, magnetic, missing, remedy, sky,
};
use ground::{Centreline, SectorLength, Stretch, clear_stretches, sector_ends};
use rayon::prelude::*;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};
use thiserror::Error;

/// Room for rounding where lengths are compared, metres.
const ROUNDING: f64 = 1e-6;

/// Version of the model, in every assessment.
pub const MODEL_VERSION: &str = env!("CARGO_PKG_VERSION");

/// What an assessment is made of.
#[derive(Clone, PartialEq, Debug)]
pub struct Inputs {
    /// The field.
    pub strip: Strip,
    /// The aircraft, if one was given.
    pub aircraft: Option<Aircraft>,
    /// The day, if one was given.
    pub day: Option<Day>,
    /// The settings in force.
    pub settings: Settings,
}

/// How to break off and where to say how far it is; without effect on the digits.
#[derive(Clone, Copy)]
pub struct Control<'a> {
    /// Set by another thread to break off.
    pub cancelled: &'a AtomicBool,
    /// Told the share done, 0 to 1.
    pub progress: &'a dyn Fn(f64),
}

/// The work was broken off; there is no result.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Error)]
#[error("the assessment was cancelled")]
pub struct Cancelled;

/// Judges a strip.
///
/// The same inputs give the same digits always.
///
/// # Errors
/// [`Cancelled`] when the control said so.
pub fn assess(inputs: &Inputs, control: &Control) -> Result<Assessment, Cancelled> {
    judge_all(inputs, control, None)
}

/// Judges a strip while something on it is being moved, beginning from what is remembered of the field
/// before. Bounds and verdict hold as they do otherwise; which of two lanes as good as each other is
/// shown may depend on what was there before, single directions are left coarse, and no gains are worked
/// out.
///
/// # Errors
/// [`Cancelled`] when the control said so.
pub fn assess_preview(
    inputs: &Inputs,
    control: &Control,
    memory: &mut Memory,
) -> Result<Assessment, Cancelled> {
    judge_all(inputs, control, Some(memory))
}

/// Judges one line of the field: the lane on it that leaves most between the margins, all of it, by itself and
/// without what covers the whole strip; in full or at a first look. `None` without an aircraft or where nothing on the
/// line is clear.
pub fn assess_line(inputs: &Inputs, line: Centreline, in_full: bool) -> Option<AssessedLane> {
    let look = if in_full { Look::Full } else { Look::Preview };
    let bench = Bench::new(inputs, look, Drifts::default())?;
    let stretches = clear_stretches(&bench.obstructions, line);
    let usable = |s: &Stretch| bench.margins.usable(s).to_m();
    let best = stretches.into_iter().reduce(|a, b| if usable(&b) > usable(&a) { b } else { a })?;
    let mut lane = bench.judge(&best, &bench.obstructions).lane;
    sort_reasons(&mut lane.reasons);
    lane.verdict = ruling(&lane.reasons);
    Some(lane)
}

fn judge_all(
    inputs: &Inputs,
    control: &Control,
    mut memory: Option<&mut Memory>,
) -> Result<Assessment, Cancelled> {
    let common = caveat::reasons(inputs);
    let preview = memory.is_some();
    let look = if preview { Look::Preview } else { Look::Full };
    let drifts = memory.as_ref().map(|memory| memory.drifts.clone()).unwrap_or_default();
    let Some(bench) = Bench::new(inputs, look, drifts) else {
        let mut reasons = vec![Reason::plain(Code::NoAircraft, Verdict::Unknown, Code::NoAircraft.help())];
        reasons.extend(common);
        return Ok(put_together(inputs, preview, Parts { reasons, ..Parts::default() }));
    };
    let step = |share: f64| {
        (control.progress)(share);
        if control.cancelled.load(Ordering::Relaxed) {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    };
    let hunt = hunt(&bench, memory.as_deref_mut(), &step)?;
    let left_out = bench.all_left_out().map(|why| caveat::left_out(why));
    let of_every_lane: Vec<Reason> =
        common.iter().cloned().chain(mass_reason(&bench)).chain(left_out).collect();
    let floor = ruling(&of_every_lane);
    let judge = |c: &Candidate| {
        let mut judged = bench.judge_best_part(&c.stretch, hunt.among(c), Sought { floor, known: None });
        (judged.found.wide, judged.found.own) = (c.wide, c.own.clone());
        let lane = &mut judged.lane;
        lane.reasons.extend(of_every_lane.iter().cloned());
        if inputs.day.is_none() {
            soften(&mut lane.reasons);
        }
        sort_reasons(&mut lane.reasons);
        lane.verdict = ruling(&lane.reasons);
        judged
    };
    let mut judged: Vec<Judged> = hunt.lanes.par_iter().map(judge).collect();
    judged.sort_by(better_first);
    if let Some(best) = judged.first().filter(|_| !preview) {
        let closer: Vec<Judged> = closer::look(&bench, &hunt, best, &step)?.par_iter().map(judge).collect();
        let better = closer.into_iter().min_by(better_first).filter(|b| better_first(b, best).is_lt());
        if let Some(better) = better {
            // Of two lanes that are the same a little turned, one is told.
            let same = near(&better.stretch, &best.stretch);
            judged.splice(0..usize::from(same), [better]);
        }
    }
    for (i, j) in judged.iter_mut().enumerate() {
        j.lane.id = format!("L{}", i + 1);
    }
    if let Some(best) = judged.first_mut().filter(|_| !preview) {
        best.lane.gains = gain::list(&bench, &hunt, best, &step)?;
        best.lane.remedies = remedy::list(&bench, best);
    }
    let mut reasons = strip_reasons(&bench, &judged, &hunt, common, &step)?;
    if inputs.day.is_none() {
        soften(&mut reasons);
    }
    let missing = missing::list(inputs, Some(&bench), judged.first());
    if let Some(memory) = memory {
        memory.drifts = bench.drifts;
    }
    let parts = Parts {
        reasons,
        missing: Some(missing),
        lanes: judged.into_iter().map(|j| j.lane).collect(),
        certificate: Some(certificate(&hunt, inputs.settings.search_tolerance_m)),
        length_by_heading: hunt.by_heading.iter().map(heading_length).collect(),
    };
    Ok(put_together(inputs, preview, parts))
}

/// Of lanes that are unknown anyway those that are long enough come first, then those that drift leaves clear.
fn better_first(a: &Judged, b: &Judged) -> std::cmp::Ordering {
    let spare = |j: &Judged| j.lane.spare_m.unwrap_or(f64::NEG_INFINITY);
    let by_verdict = a.lane.verdict.rank().cmp(&b.lane.verdict.rank());
    let long_enough = |j: &Judged| spare(j) >= 0.0;
    by_verdict
        .then(long_enough(b).cmp(&long_enough(a)))
        .then(b.lane.drift.is_clear().cmp(&a.lane.drift.is_clear()))
        .then(spare(b).total_cmp(&spare(a)))
}

pub(crate) fn mass_reason(bench: &Bench) -> Option<Reason> {
    let (mass, range) = (bench.situation.mass, bench.aircraft.mass_range);
    if mass.low() < range.low() {
        let text = "Mass at touchdown is below the empty mass, so one of the two is wrong";
        return Some(Reason::plain(Code::Mass, Verdict::Unknown, text));
    }
    let over = mass.high() > range.high();
    over.then(|| {
        let held = (mass.high().to_kg(), Sense::NotAbove, range.high().to_kg());
        Reason::held(Code::Mass, Verdict::DoesNotFit, held, "kg")
    })
}

/// The strip's own reasons: those of its best lane, unless a bound rules every lane out, or none of
/// those found fits and nothing rules out the rest.
fn strip_reasons(
    bench: &Bench,
    judged: &[Judged],
    hunt: &Hunt,
    common: Vec<Reason>,
    step: Step,
) -> Result<Vec<Reason>, Cancelled> {
    let best = judged.first();
    let mut reasons = best.map_or(common, |b| b.lane.reasons.clone());
    let none_fits = best.is_none() || ruling(&reasons) == Verdict::DoesNotFit;
    let too_short = if none_fits { length_bound(bench, step)? } else { None };
    let covers_every_lane = [too_short, mass_reason(bench)];
    let proven = covers_every_lane.iter().flatten().any(|r| r.verdict == Some(Verdict::DoesNotFit));
    if none_fits && covers_every_lane[0].is_none() {
        // What fails on the lanes tried is kept for the lanes; of the strip it is not proven.
        soften(&mut reasons);
    }
    for reason in covers_every_lane.into_iter().flatten() {
        // What is true of every lane takes the place of what was said of the best.
        reasons.retain(|r| r.code != reason.code);
        reasons.push(reason);
    }
    if none_fits && !proven {
        let text = format!(
            "None of the {} lanes tried fits, and no bound rules out that another does",
            hunt.lines()
        );
        reasons.push(Reason::plain(Code::NoLaneFits, Verdict::Unknown, text));
    }
    reasons.extend(hunt.closed_way_in(bench));
    sort_reasons(&mut reasons);
    Ok(reasons)
}

/// Takes back "does not fit" where nothing proves it: no bound covers every lane, or the figures are
/// of a day that nobody gave.
fn soften(reasons: &mut [Reason]) {
    for r in reasons.iter_mut().filter(|r| r.verdict == Some(Verdict::DoesNotFit)) {
        r.verdict = Some(Verdict::Unknown);
    }
}

/// The most that any lane could have left over, were the slide as short as could be true: a bound that
/// covers every lane.
fn length_bound(bench: &Bench, step: Step) -> Result<Option<Reason>, Cancelled> {
    let aim = aims::possible(bench);
    // A slide that never stops even so needs more than any length.
    if !aims::could_stop(&aim) {
        let reason = Reason::plain(Code::NeverStops, Verdict::DoesNotFit, Code::NeverStops.help());
        return Ok(Some(reason));
    }
    let most = proven_too_short(bench, &aim, step)?;
    Ok(most
        .map(|most| Reason::held(Code::LengthBound, Verdict::DoesNotFit, (most, Sense::NotBelow, 0.0), "m")))
}

/// The longest lane is that of its own search, or one met while looking for spare.
fn certificate(hunt: &Hunt, tolerance: f64) -> Certificate {
    let longest = &hunt.longest;
    let lanes = hunt.lanes.iter().map(|c| c.stretch).chain(longest.best).map(|s| s.lane);
    let best = lanes.reduce(|a, b| if b.length > a.length { b } else { a });
    let length = best.map_or(0.0, |lane| lane.length.to_m());
    // No lane at all is no longer than one of no length.
    let upper_bound_m = longest.bound.max(0.0);
    Certificate {
        longest_lane_m: best.map(|lane| lane.length.to_m()),
        heading_true_deg: best.map(|lane| lane.heading.to_deg()),
        upper_bound_m,
        lines_tried: longest.lines,
        bundles_bounded: hunt.boxes,
        within_tolerance: upper_bound_m <= length + tolerance + ROUNDING,
    }
}

fn heading_length(of: &SectorLength) -> HeadingLength {
    let (from, to) = sector_ends(of.sector);
    HeadingLength {
        from_deg: from.to_deg(),
        to_deg: to.to_deg(),
        found_m: of.found.unwrap_or(0.0).max(0.0),
        upper_bound_m: of.bound.unwrap_or(0.0).max(0.0),
    }
}

fn sort_reasons(reasons: &mut [Reason]) {
    reasons.sort_by(|a, b| b.rank().cmp(&a.rank()).then(a.code.cmp(&b.code)));
}

/// What the stages of one assessment found.
#[derive(Default)]
struct Parts {
    reasons: Vec<Reason>,
    missing: Option<Vec<crate::assessment::Missing>>,
    lanes: Vec<AssessedLane>,
    certificate: Option<Certificate>,
    length_by_heading: Vec<HeadingLength>,
}

fn put_together(inputs: &Inputs, preview: bool, parts: Parts) -> Assessment {
    let Parts { reasons, missing, lanes, certificate, length_by_heading } = parts;
    Assessment {
        schema: 1,
        model_version: MODEL_VERSION,
        input_fingerprint: fingerprint::of(inputs, MODEL_VERSION),
        preview,
        samples: if preview { PREVIEW_POINTS } else { FULL_POINTS },
        caution: CAUTION,
        strip_id: inputs.strip.id.clone(),
        strip_name: inputs.strip.name.clone(),
        air: inputs.day.as_ref().map(|day| FieldAir::new(day, inputs.strip.datum.height).figures()),
        sun: sky::sun_of(inputs).map(SunFigures::from),
        magnetic: magnetic::figures(inputs),
        verdict: ruling(&reasons),
        reasons,
        missing: missing.unwrap_or_else(|| missing::list(inputs, None, None)),
        not_judged: not_judged(inputs, &lanes),
        lanes,
        certificate,
        length_by_heading,
    }
}

/// What this version does not judge, or not for this aircraft and these levels.
fn not_judged(inputs: &Inputs, lanes: &[AssessedLane]) -> Vec<Unjudged> {
    let seen = lanes.first().is_some_and(|l| l.ground_seen);
    let climbs = inputs.aircraft.as_ref().is_some_and(|a| a.climb.is_some());
    let judged = |what| match what {
        NotJudged::HollowsAndCrests => seen,
        NotJudged::Abandoning => climbs,
        NotJudged::Launch => false,
    };
    let left = NotJudged::ALL.iter().filter(|&&what| !judged(what));
    left.map(|&what| Unjudged { what, text: what.help().to_owned() }).collect()
}
