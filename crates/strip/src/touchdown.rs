//! The touchdown on one lane: sink and load factor against what the owner accepts, and whether keels, bow or stern
//! touch first.
//!
//! Invariants: what is not known is taken at the end that hurts, and at the end that helps only to say "does not fit";
//! no owner's limit, or an aircraft not known from the side, is unknown. The published figures beside the load factor
//! allow nothing.
//!
//! Not here: the physics (crate `slide`), and where the touchdown may lie ([`crate::demand`]).

mod curve;

use crate::assessment::{Reason, Sense, Verdict};
use crate::bench::Bench;
use crate::code::Code;
use crate::demand::Look;
use crate::keel_way::KeelWay;
use crate::side::Side;
use crate::spread::Spread;
use curve::Speeds;
use measure::shown::{Side as End, rounded};
use measure::{Interval, Metres, Slope};
use serde::Serialize;
use slide::hardness::{
    Give, LIFT_IN_A_DROP, design_descent_mps, sink_mps, sink_of_a_drop_mps, water_landing_factor,
};
use slide::{Flown, StallSpeed};

pub use curve::AttitudeAt;

/// How hard a touchdown is, and what touches first, over everything that is known.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct TouchdownFigures {
    /// Sink into the ground at the worst.
    pub sink_mps: f64,
    /// Steepest slope of the ground that it was worked out with, uphill positive.
    pub slope: f64,
    /// Load factor at the worst.
    pub load_factor: f64,
    /// The same at the best.
    pub load_factor_least: f64,
    /// At the worst, were one float to touch first and take it all.
    pub load_factor_one_float: f64,
    /// Free fall that would end with the same sink.
    pub equivalent_drop_m: f64,
    /// Descent velocity of the design rules, to compare with: no allowance.
    pub design_descent_mps: f64,
    /// Load factor of a step landing on water by the design rules, to compare with: no allowance; absent where the
    /// floats have no deadrise.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_landing_factor: Option<f64>,
    /// Least and greatest touchdown speed of the pilot over stall speed.
    pub touchdown_factors: (f64, f64),
    /// Angle of the keels to the ground, bow up positive, that comes nearest to a limit or farthest past it; absent
    /// where the aircraft is not known from the side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub keel_attitude_deg: Option<f64>,
    /// The least and the greatest over the pilot's speeds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub keel_attitude_range_deg: Option<(f64, f64)>,
    /// Touchdown speeds over stall speed, of the pilot's, at which the keels surely touch first; absent where there
    /// are none or nobody knows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub speed_window: Option<(f64, f64)>,
    /// Calibrated airspeeds that lie in that window at every stall speed, mass and gust that there may be; absent where
    /// none does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub speed_window_mps: Option<(f64, f64)>,
    /// Angles of the keels to the ground below which the bow and above which the stern touches first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub keel_limits_deg: Option<(f64, f64)>,
    /// Angle of the keels over touchdown speed, slowest first; of nothing in a first look, and where the aircraft is
    /// not known from the side.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub attitude_curve: Vec<AttitudeAt>,
    /// A flare that ends in a drop, to compare with: no allowance.
    pub flare_drop: FlareDrop,
}

/// A flare that left the keels above the ground, and the drop that it ends in.
#[derive(Clone, Copy, PartialEq, Debug, Serialize)]
pub struct FlareDrop {
    /// How far it drops.
    pub height_m: f64,
    /// Sink with which it ends, were it to fall free.
    pub sink_mps: f64,
    /// Load factor at the worst give, two thirds of the weight carried by lift as it lands.
    pub load_factor: f64,
}

/// Height at which a flare is taken to end (judgement: what an eye over level grass may be off).
const FLARE_LEFT_AT: Metres = Metres::m(0.3);

/// Slope of the ground between two chainages, as touchdowns are judged by it, uphill positive.
pub(crate) fn uphill(bench: &Bench, way: &KeelWay, window: (Metres, Metres)) -> Interval<Slope> {
    way.slopes(window, Slope::ratio(bench.settings.local_slope_not_measured))
}

/// The reasons alone.
pub(crate) fn reasons(
    bench: &Bench,
    spread: &Spread,
    way: &KeelWay,
    window: (Metres, Metres),
) -> Vec<Reason> {
    told(&Touching::new(bench, spread, way, window)).1
}

/// What is known of one touchdown.
struct Touching<'a> {
    bench: &'a Bench<'a>,
    spread: &'a Spread,
    /// Slope of the ground over the window, uphill positive.
    uphill: Interval<Slope>,
    /// Path over the ground, radians.
    glide_rad: Interval<f64>,
}

/// Figures of the touchdown between two chainages of a lane, and the reasons that they give.
pub(crate) fn judged(
    bench: &Bench,
    spread: &Spread,
    way: &KeelWay,
    window: (Metres, Metres),
) -> (TouchdownFigures, Vec<Reason>) {
    let touching = Touching::new(bench, spread, way, window);
    let (mut figures, reasons) = told(&touching);
    if let Some(side) = bench.aircraft.side.as_ref().filter(|_| bench.look == Look::Full) {
        figures.attitude_curve = touching.curve(side);
    }
    (figures, reasons)
}

fn told(touching: &Touching) -> (TouchdownFigures, Vec<Reason>) {
    let bench = touching.bench;
    let mut figures = touching.hardness();
    let mut reasons = vec![hardness_reason(bench, &figures)];
    match &bench.aircraft.side {
        None => reasons.push(Reason::plain(Code::SideUnknown, Verdict::Unknown, Code::SideUnknown.help())),
        Some(side) => reasons.push(touching.attitude(side, &mut figures)),
    }
    (figures, reasons)
}

impl<'a> Touching<'a> {
    fn new(bench: &'a Bench<'a>, spread: &'a Spread, way: &KeelWay, window: (Metres, Metres)) -> Self {
        Self { bench, spread, uphill: uphill(bench, way, window), glide_rad: bench.glide(spread) }
    }

    fn give(&self) -> Interval<Metres> {
        let settings = self.bench.settings;
        let default = Interval::spanning(settings.give_low_mm, settings.give_high_mm);
        self.bench.aircraft.give_mm.unwrap_or(default).map_growing(|mm| Metres::m(mm / 1000.0))
    }

    fn hardness(&self) -> TouchdownFigures {
        let (slow, fast) = self.spread.speeds();
        let sink = sink_mps(fast, self.glide_rad.high(), self.uphill.high());
        let least = sink_mps(slow, self.glide_rad.low(), self.uphill.low());
        let efficiency = self.bench.settings.give_efficiency;
        let give = |depth| Give { depth, efficiency };
        let (worst, best) = (give(self.give().low()), give(self.give().high()));
        let (aircraft, heaviest) = (self.bench.aircraft, self.spread.mass.high());
        let hull = (aircraft.deadrise_rad > 0.0)
            .then(|| water_landing_factor(aircraft.stall.high(), aircraft.deadrise_rad, heaviest));
        TouchdownFigures {
            sink_mps: sink,
            slope: self.uphill.high().to_ratio(),
            load_factor: worst.load_factor(sink, FLOWN_ON),
            load_factor_least: best.load_factor(least, FLOWN_ON),
            load_factor_one_float: worst.of_one_float().load_factor(sink, FLOWN_ON),
            equivalent_drop_m: slide::hardness::equivalent_drop(sink).to_m(),
            design_descent_mps: design_descent_mps(heaviest, aircraft.wing_area),
            water_landing_factor: hull,
            touchdown_factors: (self.spread.touchdown_factor.low(), self.spread.touchdown_factor.high()),
            keel_attitude_deg: None,
            keel_attitude_range_deg: None,
            speed_window: None,
            speed_window_mps: None,
            keel_limits_deg: None,
            attitude_curve: Vec::new(),
            flare_drop: flare_drop(worst),
        }
    }

    /// What touches first over the pilot's speeds.
    fn attitude(&self, side: &Side, figures: &mut TouchdownFigures) -> Reason {
        let factors = self.spread.touchdown_factor;
        let ends = self.ends(side);
        let range = |factor| range(&ends, factor);
        // A faster touchdown never lifts the bow.
        let (slow, fast) = (range(factors.low()), range(factors.high()));
        figures.keel_attitude_range_deg = Some((fast.low().to_degrees(), slow.high().to_degrees()));
        let windows: Option<Vec<Interval<f64>>> =
            ends.iter().map(|f| f.window(&side.limits, factors)).collect();
        let window = windows.and_then(|all| {
            let low = all.iter().map(Interval::low).fold(f64::NEG_INFINITY, f64::max);
            let high = all.iter().map(Interval::high).fold(f64::INFINITY, f64::min);
            Interval::new(low, high).ok()
        });
        figures.speed_window = window.map(|w| (w.low(), w.high()));
        let limits = side.limits;
        figures.keel_limits_deg = Some((limits.bow_rad.to_degrees(), limits.stern_rad.to_degrees()));
        figures.speed_window_mps = window.and_then(|w| self.airspeeds().within(w));
        let bow = (fast.low(), Sense::NotBelow, side.limits.bow_rad, "bow first");
        let stern = (slow.high(), Sense::NotAbove, side.limits.stern_rad, "stern first");
        let hopeless = slow.high() < side.limits.bow_rad || fast.low() > side.limits.stern_rad;
        let verdict = match window {
            _ if hopeless => Verdict::DoesNotFit,
            None => Verdict::Unknown,
            Some(w) if w.low() <= factors.low() && w.high() >= factors.high() => Verdict::Fits,
            // Nobody flies to within a hair of one speed.
            Some(w) if w.high() - w.low() < LEAST_SPEED_WINDOW => Verdict::Unknown,
            Some(_) => Verdict::Tight,
        };
        // The one that is nearer to its limit, or farther past it.
        let bow_room = fast.low() - side.limits.bow_rad;
        let stern_room = side.limits.stern_rad - slow.high();
        let (value, sense, limit, name) = if bow_room < stern_room { bow } else { stern };
        figures.keel_attitude_deg = Some(value.to_degrees());
        let text = match window {
            Some(w) if matches!(verdict, Verdict::Tight | Verdict::Unknown) => {
                // Rounded inwards: no speed is called safe that is not.
                let (low, high) = (rounded(w.low(), End::AtMost, 2), rounded(w.high(), End::AtLeast, 2));
                let help = Code::KeelAttitude.help();
                format!(
                    "{help}: {name} at an end of the pilot's speeds, keels first from {low} to {high} of the stall speed"
                )
            }
            _ => format!("{}: {name}", Code::KeelAttitude.help()),
        };
        let held = (value.to_degrees(), sense, limit.to_degrees());
        Reason { text, ..Reason::held(Code::KeelAttitude, verdict, held, "deg") }
    }

    /// Angle of the keels over the pilot's speeds.
    fn curve(&self, side: &Side) -> Vec<AttitudeAt> {
        let ends = self.ends(side);
        self.airspeeds().curve(self.spread.touchdown_factor, &side.limits, |factor| range(&ends, factor))
    }

    fn airspeeds(&self) -> Speeds<'_> {
        Speeds { spread: self.spread, stall: self.spread.stall_range() }
    }

    /// Flown at either end of the stall speed.
    fn ends(&self, side: &Side) -> [Flown; 2] {
        let stall = self.spread.stall_range();
        [stall.low(), stall.high()].map(|v| self.flown(side, v))
    }

    fn flown(&self, side: &Side, calibrated: measure::CalibratedSpeed) -> Flown {
        let s = self.spread;
        Flown {
            stall: StallSpeed { calibrated, at_mass: s.reference_mass },
            mass: s.mass,
            wing_area: s.wing_area,
            gust_mps: s.gust_mps,
            density: s.density,
            headwind: s.headwind,
            lift_slope: side.lift_slope,
            keel_above_zero_lift_rad: side.keel_above_zero_lift_rad,
            glide_rad: self.glide_rad,
            uphill: self.uphill,
        }
    }
}

/// Angles of the keels at one touchdown speed, at whichever end.
fn range([a, b]: &[Flown; 2], factor: f64) -> Interval<f64> {
    a.range(factor).hull(b.range(factor))
}

/// Lift is lost on the way down, and counted as it lands as far as a designer may.
fn flare_drop(give: Give) -> FlareDrop {
    let sink = sink_of_a_drop_mps(FLARE_LEFT_AT, 0.0);
    FlareDrop {
        height_m: FLARE_LEFT_AT.to_m(),
        sink_mps: sink,
        load_factor: give.load_factor(sink, LIFT_IN_A_DROP),
    }
}

/// Least width of a window of speeds that a pilot keeps to, over the stall speed (judgement: some 2 knots).
const LEAST_SPEED_WINDOW: f64 = 0.05;

/// Lift over weight of a touchdown that is flown on.
const FLOWN_ON: f64 = 1.0;

fn hardness_reason(bench: &Bench, figures: &TouchdownFigures) -> Reason {
    let Some(limit) = bench.aircraft.load_factor_limit else {
        return Reason::plain(Code::HardnessLimit, Verdict::Unknown, Code::HardnessLimit.help());
    };
    let load_factor = Interval::spanning(figures.load_factor_least, figures.load_factor);
    let verdict = bench.at_most(load_factor, limit);
    let by = bench
        .aircraft
        .limits_given_by
        .as_ref()
        .map_or_else(String::new, |by| format!(", limit given by {by}"));
    let held = (figures.load_factor, Sense::NotAbove, limit);
    let reason = Reason::held(Code::Hardness, verdict, held, "g");
    Reason { text: format!("{}{by}", Code::Hardness.help()), ..reason }
}
