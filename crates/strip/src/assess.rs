//! The one place where ground meets slide: from a strip, an aircraft and a day to a verdict.

use crate::assessment::{Assessment, CAUTION, Certificate, Reason, Sense, Unjudged, Verdict};
use crate::code::{Code, NotJudged};
use crate::judge::{Bench, Judged};
use crate::{Aircraft, Day, Settings, Strip, caveat, fingerprint, missing};
use ground::{Found, search};
use measure::{Interval, Metres};
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};
use thiserror::Error;

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
    let common = caveat::reasons(inputs);
    let Some(bench) = Bench::new(inputs) else {
        let mut reasons = vec![Reason::plain(Code::NoAircraft, Verdict::Unknown, Code::NoAircraft.help())];
        reasons.extend(common);
        return Ok(put_together(inputs, Parts { reasons, ..Parts::default() }));
    };
    let step = |share: f64| {
        (control.progress)(share);
        if control.cancelled.load(Ordering::Relaxed) {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    };
    let found = search(&bench.obstructions, &bench.plan, &step).map_err(|ground::Cancelled| Cancelled)?;
    let mut judged: Vec<Judged> = found.stretches.iter().map(|s| bench.judge(s)).collect();
    for j in &mut judged {
        j.lane.reasons.extend(common.iter().cloned());
        j.lane.reasons.extend(mass_reason(&bench));
        if inputs.day.is_none() {
            soften(&mut j.lane.reasons);
        }
        sort_reasons(&mut j.lane.reasons);
        j.lane.verdict = ruling(&j.lane.reasons);
    }
    judged.sort_by(|a, b| {
        let spare = |j: &Judged| j.lane.spare_m.unwrap_or(f64::NEG_INFINITY);
        a.lane.verdict.rank().cmp(&b.lane.verdict.rank()).then(spare(b).total_cmp(&spare(a)))
    });
    for (i, j) in judged.iter_mut().enumerate() {
        j.lane.id = format!("L{}", i + 1);
    }
    let mut reasons = strip_reasons(&bench, &judged, &found, common);
    if inputs.day.is_none() {
        soften(&mut reasons);
    }
    let missing = missing::list(inputs, Some(&bench), judged.first());
    let certificate = certificate(&bench, &found);
    let length_by_heading = found.length_by_heading.iter().map(|(h, l)| (h.to_deg(), l.to_m())).collect();
    let parts = Parts {
        reasons,
        missing: Some(missing),
        lanes: judged.into_iter().map(|j| j.lane).collect(),
        certificate,
        length_by_heading,
    };
    Ok(put_together(inputs, parts))
}

fn mass_reason(bench: &Bench) -> Option<Reason> {
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
/// those tried fits and nothing rules out the rest.
fn strip_reasons(bench: &Bench, judged: &[Judged], found: &Found, common: Vec<Reason>) -> Vec<Reason> {
    let best = judged.first();
    let mut reasons = best.map_or(common, |b| b.lane.reasons.clone());
    let covers_every_lane = [length_bound(bench), mass_reason(bench)];
    let proven = covers_every_lane.iter().flatten().any(|r| r.verdict == Some(Verdict::DoesNotFit));
    for reason in covers_every_lane.into_iter().flatten() {
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    }
    let none_fits = best.is_none() || ruling(&reasons) == Verdict::DoesNotFit;
    if none_fits && !proven {
        let text = format!(
            "None of the lanes found on {} lines tried fits, and nothing proves that no other does",
            found.tried.lines
        );
        // What fails on the lanes tried is kept for the lanes; of the strip it is not proven.
        soften(&mut reasons);
        reasons.push(Reason::plain(Code::NoLaneFits, Verdict::Unknown, text));
    }
    sort_reasons(&mut reasons);
    reasons
}

/// Takes back "does not fit" where nothing proves it: no bound covers every lane, or the figures are
/// of a day that nobody gave.
fn soften(reasons: &mut [Reason]) {
    for r in reasons.iter_mut().filter(|r| r.verdict == Some(Verdict::DoesNotFit)) {
        r.verdict = Some(Verdict::Unknown);
    }
}

/// The longest line that the outline allows, less the margins, against the shortest slide on the best
/// ground, up the steepest slope, into the strongest gust: a bound that covers every lane.
fn length_bound(bench: &Bench) -> Option<Reason> {
    let rings = bench.strip.outline.rings();
    let all_hard = rings.iter().flat_map(|r| &r.edges).all(|e| e.is_hard());
    let open = bench.plan.end_margin;
    let end = if all_hard { open.max(bench.plan.hard_end_margin) } else { open };
    let longest = bench.strip.outline.longest_line_bound() - bench.plan.near_margin - end;
    let friction = bench.situation.friction(bench.strip.cover, bench.strip.patches.iter()).range;
    let known = bench.steepest_known;
    let steepest = bench.plane.map_or(known, |p| p.steepest_bound().max(known));
    let headwind = Interval::exact(bench.situation.most_headwind());
    let shortest = bench.spread(friction, Interval::exact(steepest), headwind).shortest().length;
    // A slide that never stops even so needs more than any length.
    let demand = shortest.map_or(f64::INFINITY, Metres::to_m);
    let too_short = longest.to_m() < demand;
    too_short.then(|| match shortest {
        Some(_) => {
            let held = (longest.to_m(), Sense::NotBelow, demand);
            Reason::held(Code::LengthBound, Verdict::DoesNotFit, held, "m")
        }
        None => Reason::plain(Code::NeverStops, Verdict::DoesNotFit, Code::NeverStops.help()),
    })
}

fn certificate(bench: &Bench, found: &Found) -> Option<Certificate> {
    found.longest.map(|s| Certificate {
        longest_lane_m: s.lane.length.to_m(),
        heading_true_deg: s.lane.heading.to_deg(),
        upper_bound_m: bench.strip.outline.longest_line_bound().to_m(),
        lines_tried: found.tried.lines,
    })
}

fn ruling(reasons: &[Reason]) -> Verdict {
    reasons.iter().filter_map(|r| r.verdict).fold(Verdict::Fits, Verdict::ruling)
}

fn sort_reasons(reasons: &mut [Reason]) {
    reasons.sort_by(|a, b| b.rank().cmp(&a.rank()).then(a.code.cmp(&b.code)));
}

/// What the stages of one assessment found.
#[derive(Default)]
struct Parts {
    reasons: Vec<Reason>,
    missing: Option<Vec<crate::assessment::Missing>>,
    lanes: Vec<crate::assessment::AssessedLane>,
    certificate: Option<Certificate>,
    length_by_heading: Vec<(f64, f64)>,
}

fn put_together(inputs: &Inputs, parts: Parts) -> Assessment {
    let Parts { reasons, missing, lanes, certificate, length_by_heading } = parts;
    Assessment {
        schema: 1,
        model_version: MODEL_VERSION,
        input_fingerprint: fingerprint::of(inputs, MODEL_VERSION),
        preview: false,
        caution: CAUTION,
        strip_id: inputs.strip.id.clone(),
        strip_name: inputs.strip.name.clone(),
        verdict: ruling(&reasons),
        reasons,
        missing: missing.unwrap_or_else(|| missing::list(inputs, None, None)),
        not_judged: not_judged(&inputs.strip, &lanes),
        lanes,
        certificate,
        length_by_heading,
    }
}

/// What this version does not judge, with what the record holds about it.
fn not_judged(strip: &Strip, lanes: &[crate::assessment::AssessedLane]) -> Vec<Unjudged> {
    let on_best: Vec<&str> =
        lanes.first().into_iter().flat_map(|l| &l.patches).map(|p| p.id.as_str()).collect();
    NotJudged::ALL
        .iter()
        .map(|&what| {
            let text = match what {
                NotJudged::Approach if !strip.obstacles.is_empty() => {
                    format!("{} ({} recorded)", what.help(), strip.obstacles.len())
                }
                NotJudged::SoftGround if !on_best.is_empty() => {
                    format!("{} (on the best lane: {})", what.help(), on_best.join(", "))
                }
                _ => what.help().to_owned(),
            };
            Unjudged { what, text }
        })
        .collect()
}
