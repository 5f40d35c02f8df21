//! What else of the aircraft may meet the ground along a lane: the propeller as the keels sink and pitch, a wing tip
//! with one keel sunk, the tail once it has stopped.
//!
//! Invariants: ground ahead that was not seen rises by the crest that is reckoned with; grass that nobody measured is as
//! high as its cover may be; a slope that was not measured is the steepest that is reckoned with.
//!
//! Not here: wind on the tail and people on the floats: nobody has measured what they weigh there.

use crate::assessment::{Reason, Sense, Verdict};
use crate::balance::{PER_CENT, Standing};
use crate::code::Code;
use crate::side::Side;
use crate::survey::{Looked, SurveyKind};
use measure::{Depth, Height, Interval, Kilograms, Metres, Newtons, ONE_SIDED_95, STANDARD_GRAVITY, Slope};
use slide::Cover;
use slide::tipping::propeller::{Propeller, Under};
use slide::tipping::sunk::Rests;
use slide::tipping::tail_over::{AftBalance, AtRest};

/// Clearance under the lowest tip of the propeller at the worst of these ways to rest, m, against its margin; nothing
/// where the keels nowhere rest, as that alone decides.
pub(crate) fn propeller(
    standing: &Standing,
    side: &Side,
    rests: impl Iterator<Item = Rests>,
) -> (Option<f64>, Option<Reason>) {
    let propeller = Propeller { ahead: Metres::ZERO - side.propeller, tip: side.propeller_tip };
    let grass = grass(standing);
    let under = Under { grass: grass.high(), rise: rise(standing) };
    let Some(worst) = rests.map(|r| propeller.clearance_at(&r, &under).to_m()).reduce(f64::min) else {
        return (None, None);
    };
    let bare = Under { grass: grass.low(), rise: Metres::ZERO };
    let best = propeller.clearance(0.0, Depth::ZERO, &bare).to_m();
    let margin = standing.bench.settings.hazard_margin_m;
    let verdict = if best < margin { Verdict::DoesNotFit } else { standing.bench.at_least(worst, margin) };
    (Some(worst), Some(Reason::held(Code::Propeller, verdict, (worst, Sense::NotBelow, margin), "m")))
}

/// Reserve against dropping back on the tail, wherever it stops before the end margin, against the one asked for.
pub(crate) fn tail_over(standing: &Standing, side: &Side) -> (Option<f64>, Option<Reason>) {
    let keel = standing.bench.keel();
    let unknown = standing.bench.steepest_known;
    let (earliest, far) = standing.window;
    // Past the end margin it has overrun, which is judged by itself, and levels seldom reach farther.
    let before_margin = (far - standing.bench.margins.end).max(earliest);
    let uphill = standing.way.slopes((earliest, before_margin), unknown);
    let weight = |mass: Kilograms| Newtons::n(mass.to_kg() * STANDARD_GRAVITY);
    let left = |cg: Metres, cg_height: Height, slope: Slope| {
        let at_rest = AtRest {
            weight: weight(standing.spread.mass.low()),
            cg_ahead: keel - cg,
            cg_height: Metres::m(cg_height.to_m()),
            slope,
            tail_load: Newtons::ZERO,
            tail_behind: Metres::ZERO,
        };
        match at_rest.aft_balance() {
            AftBalance::Reserve(left) => Some(left),
            AftBalance::OnItsTail => None,
        }
    };
    let worst = left(side.cg.high(), side.cg_height.high(), uphill.high());
    let best = left(side.cg.low(), side.cg_height.low(), uphill.low());
    let asked = standing.bench.settings.tipping_reserve;
    let verdict = if best.is_none_or(|best| best < asked) {
        Verdict::DoesNotFit
    } else {
        worst.map_or(Verdict::Unknown, |worst| standing.bench.at_least(worst, asked))
    };
    let reason = worst.map_or_else(
        || Reason::plain(Code::TailOver, verdict, Code::TailOver.help()),
        |worst| {
            let held = (worst * PER_CENT, Sense::NotBelow, asked * PER_CENT);
            Reason::held(Code::TailOver, verdict, held, "%")
        },
    );
    (worst, Some(reason))
}

/// Clearance under the wing tip, m, with the bank that is reckoned with, one keel sunk as deep as given and the other not
/// at all, against the margin kept over a hazard; nothing where no part of the aircraft from ahead was given.
pub(crate) fn wing_tip(standing: &Standing, sinkage: Depth) -> (Option<f64>, Option<Reason>) {
    let (bench, aircraft) = (standing.bench, standing.bench.aircraft);
    let Some((out, height)) = aircraft.outermost() else { return (None, None) };
    let grass = grass(standing);
    let banked = libm::tan(bench.settings.bank_allowance_deg.to_radians());
    // About the keel that stays up: it lies half the spacing to the other side.
    let half_spacing = aircraft.keel_spacing() / 2.0;
    let arm = (out + half_spacing).to_m();
    let lowered = arm * (banked + sinkage.to_m() / aircraft.keel_spacing().to_m());
    let worst = (height - grass.high()).to_m() - lowered;
    let best = (height - grass.low()).to_m();
    let margin = bench.settings.hazard_margin_m;
    let verdict = if best < margin { Verdict::DoesNotFit } else { bench.at_least(worst, margin) };
    (Some(worst), Some(Reason::held(Code::WingTip, verdict, (worst, Sense::NotBelow, margin), "m")))
}

/// Height of the grass: as somebody saw it, the higher of two, else as the cover may be.
fn grass(standing: &Standing) -> Interval<Height> {
    let bench = standing.bench;
    let seen = |kind| match bench.strip.survey.of(kind) {
        Looked::Yes { grass, .. } => *grass,
        Looked::Not => None,
    };
    let measured = [SurveyKind::Hazards, SurveyKind::Ground].into_iter().filter_map(seen).reduce(Height::max);
    let settings = bench.settings;
    let height = |cover: Option<Cover>| match cover {
        Some(Cover::BareSoil) => 0.0,
        Some(Cover::ShortGrass) => settings.short_grass_m,
        Some(Cover::LongGrass) | None => settings.long_grass_m,
    };
    let field = bench.strip.cover;
    let on_patches = standing.patches().map(|p| p.cover.or(field));
    let highest = std::iter::once(field).chain(on_patches).map(height).fold(0.0, f64::max);
    // Grass measured shorter than short grass on a lane with long grass was measured elsewhere.
    let long = highest > settings.short_grass_m;
    if let Some(height) = measured.filter(|h| !long || h.to_m() >= settings.short_grass_m) {
        return Interval::exact(height);
    }
    Interval::spanning(Height::ZERO, Height::m(highest))
}

/// How much the ground ahead rises above the line of the keel at the worst.
fn rise(standing: &Standing) -> Metres {
    let step = standing.way.report.and_then(|report| report.bow_step);
    // Between levels far apart the errors say nothing of steps; the unseen crest stands for them there.
    let error = |sigma: Metres| if standing.way.seen { sigma * ONE_SIDED_95 } else { Metres::ZERO };
    let measured = step.map_or(Metres::ZERO, |step| step.amount + error(step.sigma));
    let unseen = if standing.way.seen { 0.0 } else { standing.bench.settings.unseen_crest_m };
    measured.max(Metres::m(unseen))
}
