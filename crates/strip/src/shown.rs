//! What of a lane's slides is drawn and told: where they stop, how fast they are on the way, and what the one
//! is made of that is as long as the demand.
//!
//! Not here: how long a slide the lane must hold ([`crate::demand`]).

use crate::assessed_lane::{Basis, KeelFigure};
use crate::assessment::{Reason, Verdict};
use crate::code::Code;
use crate::demand::{self, Demand, Ends, Look};
use crate::scatter::Scatter;
use crate::skips;
use crate::spread::{Drawn, Spread};
use crate::stops::Stops;
use ground::Worst;
use measure::Metres;
use slide::{Outcome, Touchdown};

/// Points of a curve that is drawn.
const CURVE_POINTS: usize = 40;

/// What is drawn and told.
pub(crate) struct Shown {
    /// Chainages at which slides from about the aim stop.
    pub(crate) stops: Stops,
    /// Chainage at which a fast slide first leaves the ground.
    pub(crate) skips_at: Option<Metres>,
    /// Whether as many slides as the end asks for stay where they stop; nothing if not so many stop.
    pub(crate) stays: Option<bool>,
    /// Speed with which it would pass the far end.
    pub(crate) speed_at_far_end: Option<f64>,
    /// Distance and speed of a slide as long as the demand, and of one as likely longer as shorter.
    pub(crate) profile: Vec<(f64, f64)>,
    pub(crate) likely_profile: Vec<(f64, f64)>,
    basis: Option<Basis>,
}

impl Shown {
    pub(crate) fn new(
        spread: &Spread,
        demand: &Demand,
        ends: &Ends,
        aim: Metres,
        scatter: &Scatter,
        lane: Metres,
    ) -> Self {
        // Touchdowns may lie from the earliest to the latest, and about the aim in any case.
        let latest = demand.needed.map_or(aim, |needed| ends.at() - needed);
        let window = (aim - scatter.short, latest.max(aim + scatter.long));
        if demand.is_glance() {
            return Self::of_reasons(spread, demand, ends, aim, window);
        }
        let long = demand.slide_of(spread, demand.needed);
        let likely = demand.slide_of(spread, demand.lengths.p50.map(Metres::m));
        let at_end = long.as_ref().and_then(|d| speed_at(d, aim, lane));
        Self {
            stops: demand.stops(spread, ends, aim, scatter),
            skips_at: skips::first(spread, window),
            stays: demand.stay(spread),
            speed_at_far_end: at_end,
            basis: long.as_ref().map(|d| basis(d, aim)),
            profile: long.map_or_else(Vec::new, |d| curve(&d, aim)),
            likely_profile: likely.map_or_else(Vec::new, |d| curve(&d, aim)),
        }
    }

    /// Only what reasons rest on.
    fn of_reasons(
        spread: &Spread,
        demand: &Demand,
        ends: &Ends,
        aim: Metres,
        window: (Metres, Metres),
    ) -> Self {
        let stays = || {
            demand::surely_stays(spread).then_some(true).or_else(|| {
                // Which of them moves on is asked of all slides.
                demand::worst(spread, ends, aim, Look::Preview).stay(spread)
            })
        };
        Self {
            stops: Stops(Vec::new()),
            skips_at: skips::first(spread, window),
            stays: demand.needed.and_then(|_| stays()),
            speed_at_far_end: None,
            basis: None,
            profile: Vec::new(),
            likely_profile: Vec::new(),
        }
    }

    /// What a slide does beside being long.
    pub(crate) fn reasons(&self) -> impl Iterator<Item = Reason> {
        let skips = self.skips_at.map(|_| Reason::plain(Code::Skips, Verdict::Unknown, Code::Skips.help()));
        let creeps = (self.stays == Some(false))
            .then(|| Reason::plain(Code::Creeps, Verdict::Unknown, Code::Creeps.help()));
        skips.into_iter().chain(creeps)
    }

    /// What the demand is made of; of nothing where there is no slide at all.
    pub(crate) fn basis(&self, friction_source: String, slope_measured: bool) -> Basis {
        Basis { friction_source, slope_measured, ..self.basis.clone().unwrap_or_default() }
    }
}

/// The worst of one kind under the keel, as told.
pub(crate) fn keel_figure(worst: Option<Worst>) -> Option<KeelFigure> {
    worst.map(|w| KeelFigure {
        amount_m: w.amount.to_m(),
        sigma_m: w.sigma.to_m(),
        chainage_m: w.chainage.to_m(),
    })
}

type Curve = Vec<(f64, f64)>;

/// How fast it is on the way.
fn curve(drawn: &Drawn<'_>, at: Metres) -> Curve {
    let mut points: Curve = Vec::new();
    let touchdown = Touchdown { at, speed: drawn.touchdown };
    drawn.slide().traced(touchdown, None, |s, v| points.push((s.to_m(), v.to_mps())));
    thinned(points)
}

/// Every so many points of a curve, and its last.
fn thinned(points: Curve) -> Curve {
    let step = points.len().div_ceil(CURVE_POINTS).max(1);
    let last = points.last().copied();
    let mut out: Curve = points.into_iter().step_by(step).collect();
    if out.last().copied() != last {
        out.extend(last);
    }
    out
}

/// Speed at the far end, if the slide gets there.
fn speed_at(drawn: &Drawn<'_>, aim: Metres, lane: Metres) -> Option<f64> {
    let touchdown = Touchdown { at: aim, speed: drawn.touchdown };
    match drawn.slide().traced(touchdown, Some(lane - aim), |_, _| ()).outcome {
        Outcome::RunsOff { speed } => Some(speed.to_mps()),
        Outcome::StopsAt(_) | Outcome::NeverStops => None,
    }
}

fn basis(drawn: &Drawn<'_>, at: Metres) -> Basis {
    let track = drawn.track;
    let station = track.stations()[track.index_at(at)];
    Basis {
        friction: drawn.friction.get(station.zone).copied().unwrap_or(0.0),
        friction_source: String::new(),
        slope: station.slope.to_ratio() + drawn.slide().slope_score * station.slope_sigma.to_ratio(),
        slope_measured: false,
        headwind_mps: drawn.slide.headwind.to_mps(),
        density_kg_m3: drawn.slide.density.to_kg_m3(),
        mass_kg: drawn.body.mass.to_kg(),
        lift_coefficient: drawn.body.lift_coefficient,
        drag_coefficient: drawn.body.drag_coefficient,
        idle_thrust_n: drawn.body.idle_thrust.to_n(),
        touchdown_airspeed_mps: drawn.airspeed_mps,
        touchdown_ground_speed_mps: drawn.touchdown.to_mps(),
        lift_settling_s: drawn.slide.settling,
        carried_m: drawn.slide.carried.to_m(),
        method: "sampled",
    }
}
