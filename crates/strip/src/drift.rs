//! How far to either side a slide may drift and swing: the half-width that lanes are looked for and judged by.
//!
//! Of one lane all that may push it off is taken at the end that hurts: cross slope and crosswind as they are known,
//! heading as the settings say, friction of the two keels as these or the grounds under them say, what the side area does as
//! a fin at both ends. The rudder counts down to the airspeed that the owner gives, below it nobody steers, and no keel
//! holds sideways. Values are rounded outward, so that lanes of like conditions share what is worked out.
//!
//! Friction is taken at its 5 % and 95 % points: a half-width is a figure for 95 in 100.
//!
//! Invariants: never narrower than the straight slide's own band; an aircraft not known from the side has no drift,
//! which is unknown and not none.
//!
//! Not here: the physics (crate `slide`); what lies beside a lane (crate `ground`).

use crate::bench::Bench;
use crate::grip::Grip;
use crate::keel_way::KeelWay;
use crate::side::Side;
use crate::spread::Spread;
use ground::{HalfWidth, Lane, MOST_STEPS, Step};
use measure::{
    Crosswind, CubicDensity, GroundSpeed, Headwind, Interval, Kilograms, Metres, Newtons, ONE_SIDED_95,
    STANDARD_GRAVITY, Slope, SquareMetres,
};
use rayon::prelude::*;
use slide::{Body, Drift, Fin, Plan, Sideways, Slide, Station, Track, Upset, Window};
use std::sync::{Arc, Mutex, PoisonError};

/// Least radius of gyration about the upright axis where nobody worked it out, as a share of the span (judgement).
const LEAST_GYRATION: f64 = 0.15;

/// Side force coefficient on the area seen from the side for each radian of sideslip, at most (judgement).
const MOST_SIDE_SLOPE: f64 = 1.0;

/// What the area seen from the side turns the nose by for each radian of sideslip, on its own centre: least and most
/// (judgement).
const FIN_SLOPES: [f64; 2] = [0.5, 1.5];

/// Share of the weight on the keels over which the moment of air and thrust is spread (judgement: with less on them
/// friction turns the nose little).
const MOMENT_LOAD: f64 = 0.5;

/// Area seen from the side at most, where nobody measured it, as a share of the wing area (judgement).
const MOST_SIDE_AREA: f64 = 1.0;

/// Parts into which friction and speed are cut.
const PARTS: usize = 2;

/// Steps outward to which conditions are rounded.
const SLOPE_STEP: f64 = 0.005;
const FRICTION_STEP: f64 = 0.01;
const SPEED_STEP: f64 = 0.5;

/// Conditions that are remembered.
const REMEMBERED: usize = 1024;

/// All that decides how far a slide may drift.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Conditions {
    slope: (f64, f64),
    cross: f64,
    friction: (f64, f64),
    speeds: (f64, f64),
    headwind: (f64, f64),
    crosswind: f64,
    mass: Kilograms,
    density: CubicDensity,
    /// The same at the end at which the rudder loses its hold first.
    thinnest: CubicDensity,
    wing_area: SquareMetres,
    lift: (f64, f64),
    drag: (f64, f64),
    thrust: (Newtons, Newtons),
    settling: f64,
    carried: f64,
    side: Side,
    spacing: Metres,
    half_span: Metres,
    /// Course at touchdown, rad, and difference of friction between the keels.
    heading_error: f64,
    uneven: f64,
    aside: Metres,
    at: Metres,
    room: Metres,
}

/// What drift does under some conditions.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Drifted {
    pub(crate) half_width: HalfWidth,
    pub(crate) sideways: Sideways,
    /// Where the earliest touchdown lies.
    pub(crate) at: Metres,
    /// How far from its middle the aircraft reaches, whichever way it points.
    reach: Metres,
}

impl Drifted {
    /// The part of a lane that slides which end before `end` come to with any part of the aircraft.
    pub(crate) fn way(&self, lane: &Lane, end: Metres) -> Lane {
        Lane { length: lane.length.min((end + self.reach).max(Metres::ZERO)), ..*lane }
    }
}

/// Conditions, and what they lead to.
type Known = (Conditions, Option<Arc<Drifted>>);

/// What was worked out before; copies share it, as the same conditions always lead to the same.
#[derive(Clone, Default, Debug)]
pub(crate) struct Drifts(Arc<Mutex<Vec<Known>>>);

impl Drifts {
    /// From memory or anew; `None` where some slide is not known to end.
    fn of(&self, conditions: &Conditions) -> Option<Arc<Drifted>> {
        let known = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, known)) = known().iter().find(|(c, _)| c == conditions) {
            return known.clone();
        }
        let found = conditions.drifted().map(Arc::new);
        let mut known = known();
        if known.len() >= REMEMBERED {
            known.remove(0);
        }
        known.push((*conditions, found.clone()));
        found
    }
}

impl Bench<'_> {
    /// How far slides along a lane may drift; `None` where the aircraft is not known from the side, or some slide does
    /// not end.
    pub(crate) fn drift_on(&self, lane: &Lane, way: &KeelWay, spread: &Spread) -> Option<Arc<Drifted>> {
        self.drifts.of(&self.conditions(lane, way, spread)?)
    }

    /// Measures of the aircraft without which nobody knows the worst: the widest slide need be at neither end of them.
    pub(crate) fn unmeasured_for_drift(&self) -> Vec<&'static str> {
        let Some(side) = self.aircraft.side else { return Vec::new() };
        let needed = [
            (side.nose_down_moment_m3.is_none(), "the nose-down moment of the air"),
            (side.side_area.is_none(), "the area seen from the side and its centre"),
            (side.yaw_radius.is_none(), "the radius of gyration in yaw"),
        ];
        needed.into_iter().filter(|(absent, _)| *absent).map(|(_, name)| name).collect()
    }

    fn conditions(&self, lane: &Lane, way: &KeelWay, spread: &Spread) -> Option<Conditions> {
        let side = self.aircraft.side?;
        let settings = self.settings;
        // Past the end margin it has overrun, which is judged by itself, and levels seldom reach farther.
        let along = (self.margins.near, (lane.length - self.margins.end).max(self.margins.near));
        let steepest = self.unknown().steepest;
        let (slopes, cross) = (way.slopes(along, steepest), way.cross(along, steepest));
        let grips = spread.ground.zones.iter();
        let low = grips.clone().map(|g| g.worst(-ONE_SIDED_95)).fold(f64::INFINITY, f64::min);
        let high = grips.map(|g| g.best(ONE_SIDED_95)).fold(0.0, f64::max);
        let (slow, fast) = spread.speeds();
        let down = |x: f64, step: f64| libm::floor(x / step) * step;
        let up = |x: f64, step: f64| libm::ceil(x / step) * step;
        let (weak, strong) = (spread.headwind.low().to_mps(), spread.headwind.high().to_mps());
        let crosswind = self.situation.gust_crosswind(lane.heading).unwrap_or(0.0).abs();
        Some(Conditions {
            slope: (down(slopes.low().to_ratio(), SLOPE_STEP), up(slopes.high().to_ratio(), SLOPE_STEP)),
            cross: up(cross.to_ratio(), SLOPE_STEP),
            friction: (down(low, FRICTION_STEP), up(high, FRICTION_STEP)),
            speeds: (down(slow.to_mps(), SPEED_STEP).max(0.0), up(fast.to_mps(), SPEED_STEP)),
            headwind: (down(weak, SPEED_STEP), up(strong, SPEED_STEP)),
            crosswind: up(crosswind, SPEED_STEP),
            // Wind pushes the lightest farthest, friction and slopes all alike.
            mass: spread.mass.low() * (1.0 - ONE_SIDED_95 * spread.mass_share),
            density: spread.density.high(),
            thinnest: spread.density.low(),
            wing_area: spread.wing_area,
            lift: (spread.lift.low(), spread.lift.high()),
            drag: (spread.drag.low(), spread.drag.high()),
            thrust: (spread.thrust.low(), spread.thrust.high()),
            settling: spread.carried.settling,
            carried: up(spread.carried.length(fast).to_m(), 1.0),
            side,
            spacing: self.aircraft.keel_spacing(),
            half_span: self.aircraft.half_span(),
            heading_error: settings.heading_error_deg.to_radians(),
            uneven: seam(&spread.ground.zones).max(settings.keel_friction_difference),
            aside: Metres::m(settings.lane_half_width_m),
            at: self.margins.near,
            room: Metres::m(up(self.strip.outline.longest_line_bound().to_m(), 1.0)),
        })
    }
}

/// Difference of friction between the keels where two of the grounds of a lane lie one under each.
fn seam(zones: &[Grip]) -> f64 {
    let (high, low) = (|g: &Grip| g.best(ONE_SIDED_95), |g: &Grip| g.worst(-ONE_SIDED_95));
    let pairs = zones.iter().enumerate().flat_map(|(i, a)| zones.iter().skip(i + 1).map(move |b| (a, b)));
    let of = |a: &Grip, b: &Grip| (high(a) - low(b)) / (high(a) + low(b));
    pairs.map(|(a, b)| of(a, b).max(of(b, a))).fold(0.0, f64::max)
}

impl Conditions {
    fn drifted(&self) -> Option<Drifted> {
        let ground = |slope: f64| {
            let cross = Slope::ratio(self.cross);
            Track::even(Slope::ratio(slope)).mapped(|s| Station { cross, ..s })
        };
        let (down, up) = (ground(self.slope.0), ground(self.slope.1));
        let plans = self.plans();
        let each: Option<Vec<Sideways>> =
            plans.par_iter().map(|plan| self.sideways(*plan, &down, &up)).collect();
        let sideways = each?.into_iter().reduce(|a, b| a.or_worse(&b))?;
        let steps = sideways.widths.steps(MOST_STEPS);
        let later: Vec<Step> =
            steps.iter().skip(1).map(|s| Step { from: s.from, half_width: s.half_width }).collect();
        let first = steps.first().map_or(self.aside, |s| s.half_width);
        let half_width = HalfWidth::stepped(first, &later);
        let reach = plans.iter().map(|p| p.keel_length.max(p.half_span)).fold(Metres::ZERO, Metres::max);
        let drifted = Drifted { half_width, sideways, at: self.at, reach };
        drifted.half_width.widest().to_m().is_finite().then_some(drifted)
    }

    fn sideways(&self, plan: Plan, down: &Track, up: &Track) -> Option<Sideways> {
        let body = |lift: f64, drag: f64, thrust: Newtons| Body {
            mass: self.mass,
            wing_area: self.wing_area,
            lift_coefficient: lift,
            drag_coefficient: drag,
            idle_thrust: thrust,
        };
        let upset = Upset {
            course: self.heading_error,
            // It points where it moves: a nose held into a crosswind is straightened before it touches.
            nose: 0.0,
            crosswind: Crosswind::mps(self.crosswind),
            uneven: self.uneven,
            tilt: 1.0,
        };
        let short = Slide {
            body: body(self.lift.0, self.drag.1, self.thrust.0),
            density: self.density,
            headwind: Headwind::mps(self.headwind.1),
            track: up,
            friction: &[],
            settling: 0.0,
            carried: Metres::ZERO,
            slope_score: 0.0,
            curvature_score: 0.0,
        };
        let long = Slide {
            body: body(self.lift.1, self.drag.0, self.thrust.1),
            headwind: Headwind::mps(self.headwind.0),
            track: down,
            settling: self.settling,
            carried: Metres::m(self.carried),
            ..short
        };
        let window = Window {
            short: Drift { slide: short, plan, upset },
            long: Drift { slide: long, plan, upset },
            friction: Interval::spanning(self.friction.0, self.friction.1),
            speeds: Interval::spanning(GroundSpeed::mps(self.speeds.0), GroundSpeed::mps(self.speeds.1)),
            parts: PARTS,
            room: self.room,
        };
        window.sideways(self.at, self.aside)
    }

    /// The aircraft from above with each fin that it may have.
    fn plans(&self) -> Vec<Plan> {
        let side = &self.side;
        let area = side.side_area.unwrap_or(self.wing_area * MOST_SIDE_AREA);
        let plan = Plan {
            keel_length: (side.cg.high() - side.bow).max(side.stern - side.cg.low()),
            keel_spacing: self.spacing,
            half_span: self.half_span,
            contact_ahead: self.contact_ahead(),
            gyration: side.yaw_radius.unwrap_or(self.half_span * (2.0 * LEAST_GYRATION)),
            side_area: area,
            side_slope: MOST_SIDE_SLOPE,
            fin: None,
            steered_above: side.rudder_holds_to.map(|v| v.to_true(self.thinnest)),
        };
        let Some(centre) = side.side_centre else { return vec![plan] };
        let fin = |cg: Metres| area.to_m2() * (centre - cg).to_m();
        let each =
            FIN_SLOPES.iter().flat_map(|slope| [fin(side.cg.low()) * slope, fin(side.cg.high()) * slope]);
        let least = each.clone().fold(f64::INFINITY, f64::min);
        let most = each.fold(f64::NEG_INFINITY, f64::max);
        let with = |volume: f64| Plan { fin: Some(Fin { volume, damping: 0.0 }), ..plan };
        [least, most].map(with).to_vec()
    }

    /// How far ahead of the centre of gravity the ground's force acts: friction on its height, and the nose-down moment
    /// at touchdown over [`MOMENT_LOAD`], up to the forward end of the flat keel, which stands for a moment not known.
    fn contact_ahead(&self) -> Metres {
        let side = &self.side;
        let end = side.cg.high();
        let Some(moment) = side.nose_down_moment_m3 else { return end };
        let fast = self.speeds.1 + self.headwind.1.max(0.0);
        let of_air = 0.5 * self.density.to_kg_m3() * fast * fast * moment.high().max(0.0);
        let arm = (side.thrust_line - side.cg_height.low()).to_m().max(0.0);
        let least_load = self.mass.to_kg() * STANDARD_GRAVITY * MOMENT_LOAD;
        let of_moments = (of_air + self.thrust.1.to_n() * arm) / least_load;
        Metres::m(self.friction.1 * side.cg_height.high().to_m() + of_moments).min(end)
    }
}
