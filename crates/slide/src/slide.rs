//! One slide over ground that changes along the way: what acts on it, and the answer step by step.
//!
//! With ground speed v, airspeed u = v + headwind, t since touchdown, at touchdown airspeed u0:
//!
//! ```text
//! N/m   = max(0, G cos a + k v^2 - l(t) u^2)                 lift only for u > 0
//! dv/dt = -( mu N/m + d u|u| + G sin a - T/m )
//! l(t)  = lk + max(0, G/u0^2 - lk) max(0, 1 - t/settling)    lk, d: rho S CL/(2m), rho S CD/(2m)
//! mu    = 0 over the length carried, then that of the station's zone
//! ```
//!
//! At touchdown lift equals weight, so the ground takes up its load only as lift settles.
//!
//! Invariants: the ground never pulls; a slide is given by values alone, so it is the same however
//! often it is worked out.
//!
//! Not here: ploughing, which is never credited to length; the fast way through many slides
//! ([`mod@crate::march`]).
//!
//! Source: Newton's second law along the way of the keel's middle, with Coulomb friction.

use crate::integrate::{self, Breaks};
use crate::run::Outcome;
use crate::track::{Station, Track};
use crate::{Body, Conditions, Surface};
use measure::{CubicDensity, GroundSpeed, Headwind, Metres, STANDARD_GRAVITY, Slope};

/// One slide.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Slide<'a> {
    /// The aircraft, with its coefficients once it rests on its keels.
    pub body: Body,
    /// Density of the air, not negative.
    pub density: CubicDensity,
    /// Wind against the slide; negative is a tail wind.
    pub headwind: Headwind,
    /// The ground.
    pub track: &'a Track,
    /// Friction of each zone of the ground, not negative; a zone without one has none.
    pub friction: &'a [f64],
    /// Seconds in which lift falls from the weight to that on the keels; 0 is at once.
    pub settling: f64,
    /// Length after touchdown over which no friction is credited: a hop, a crest that nobody saw.
    pub carried: Metres,
    /// Standard deviations by which slopes and curvatures lie off their best figures.
    pub slope_score: f64,
    /// The same of curvature.
    pub curvature_score: f64,
}

/// Where and how fast the keels first touch.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Touchdown {
    /// Chainage on the track.
    pub at: Metres,
    /// Speed over the ground.
    pub speed: GroundSpeed,
}

/// A slide with its load on the ground looked at.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Traced {
    /// How it ends.
    pub outcome: Outcome,
    /// How far from touchdown the ground first stopped carrying it, having carried it before: it skips.
    pub skips_at: Option<Metres>,
}

/// What acts while a station holds, per unit of mass.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Here {
    pub friction: f64,
    /// Weight across the slope, m/s2.
    pub weight: f64,
    /// Slope less thrust, m/s2.
    pub along: f64,
    /// Curvature, 1/m.
    pub curvature: f64,
}

/// What acts wherever it is, per unit of mass.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Air {
    pub headwind: f64,
    /// Drag over u|u|, 1/m.
    pub drag: f64,
    /// Lift over u^2 on the keels, 1/m.
    pub lift: f64,
    /// What lift over u^2 is more at touchdown, 1/m.
    pub unsettled: f64,
    /// Seconds in which that is lost, and how much of it in one.
    pub settling: f64,
    pub losing: f64,
}

impl Air {
    /// Lift over u^2 at a moment, 1/m.
    pub fn lift_at(&self, t: f64) -> f64 {
        if t < self.settling { self.lift + self.unsettled - self.losing * t } else { self.lift }
    }

    /// Load on the ground per unit of mass, before its refusal to pull.
    pub fn load(&self, here: &Here, v: f64, lift: f64) -> f64 {
        let u = v + self.headwind;
        let lifted = if u > 0.0 { lift * u * u } else { 0.0 };
        here.weight + here.curvature * v * v - lifted
    }

    /// Deceleration, m/s2.
    pub fn deceleration(&self, here: &Here, v: f64, lift: f64) -> f64 {
        let u = v + self.headwind;
        let load = self.load(here, v, lift);
        // A load that is not a number must not turn into zero unseen, as `max` would make it.
        let load = if load < 0.0 { 0.0 } else { load };
        here.friction * load + self.drag * u * u.abs() + here.along
    }
}

impl Slide<'_> {
    /// Whether every value is finite and in its range; where not, it counts as never stopping.
    pub fn is_physical(&self) -> bool {
        let surface = Surface { friction: 0.0, slope: Slope::ZERO };
        let still = Conditions { body: self.body, surface, density: self.density, headwind: self.headwind };
        let finite = [self.settling, self.carried.to_m(), self.slope_score, self.curvature_score];
        let friction = self.friction.iter().all(|mu| *mu >= 0.0 && mu.is_finite());
        still.is_physical() && friction && self.settling >= 0.0 && finite.iter().all(|x| x.is_finite())
    }

    /// What acts while a station holds.
    pub(crate) fn here(&self, station: &Station) -> Here {
        let slope = station.slope.to_ratio() + self.slope_score * station.slope_sigma.to_ratio();
        let cross = station.cross.to_ratio();
        let thrust = self.body.idle_thrust.to_n() / self.body.mass.to_kg();
        Here {
            friction: self.friction.get(station.zone).copied().unwrap_or(0.0),
            weight: STANDARD_GRAVITY / (1.0 + slope * slope + cross * cross).sqrt(),
            along: STANDARD_GRAVITY * slope / (1.0 + slope * slope).sqrt() - thrust,
            curvature: station.curvature + self.curvature_score * station.curvature_sigma,
        }
    }

    /// What acts wherever it is, for a speed at touchdown.
    pub(crate) fn air(&self, speed: GroundSpeed) -> Air {
        let headwind = self.headwind.to_mps();
        let over_mass = 0.5 * self.density.to_kg_m3() * self.body.wing_area.to_m2() / self.body.mass.to_kg();
        let lift = over_mass * self.body.lift_coefficient;
        let u = speed.to_mps() + headwind;
        let flying = if u > 0.0 { STANDARD_GRAVITY / (u * u) } else { 0.0 };
        let unsettled = (flying - lift).max(0.0);
        Air {
            headwind,
            drag: over_mass * self.body.drag_coefficient,
            lift,
            unsettled,
            settling: self.settling,
            losing: if self.settling > 0.0 { unsettled / self.settling } else { 0.0 },
        }
    }

    /// Whether, once stopped at a chainage, it stays: friction there holds what slope, thrust and wind ask.
    pub fn stays(&self, at: Metres) -> bool {
        let air = self.air(GroundSpeed::ZERO);
        let here = self.here(&self.track.stations()[self.track.index_at(at)]);
        let load = air.load(&here, 0.0, air.lift).max(0.0);
        let pushed = here.along + air.drag * air.headwind * air.headwind.abs();
        here.friction * load >= pushed.abs()
    }

    /// The slide worked out to about nine digits, within `room` or any length, with every point that the
    /// integrator comes to: length from touchdown and speed there.
    pub fn traced(
        &self,
        touchdown: Touchdown,
        room: Option<Metres>,
        mut visit: impl FnMut(Metres, GroundSpeed),
    ) -> Traced {
        self.traced_with_lift(touchdown, room, &[], |s, v, _| visit(s, v))
    }

    /// As [`Slide::traced`], with the points at further `moments`, seconds from touchdown, and shows `visit` the lift
    /// over u^2 at each point as well, 1/m.
    pub(crate) fn traced_with_lift(
        &self,
        touchdown: Touchdown,
        room: Option<Metres>,
        moments: &[f64],
        mut visit: impl FnMut(Metres, GroundSpeed, f64),
    ) -> Traced {
        if !self.is_physical() {
            return Traced { outcome: Outcome::NeverStops, skips_at: None };
        }
        let air = self.air(touchdown.speed);
        let begin = touchdown.at.to_m();
        let mut jumps: Vec<Metres> = self.track.stations().iter().map(|s| s.from - touchdown.at).collect();
        jumps.push(self.carried);
        let here = |s: f64| {
            let carried = s < self.carried.to_m();
            let station = &self.track.stations()[self.track.index_at(Metres::m(begin + s))];
            let here = self.here(station);
            if carried { Here { friction: 0.0, ..here } } else { here }
        };
        let still = [GroundSpeed::mps(-air.headwind)];
        let seconds: Vec<f64> = [self.settling].iter().chain(moments).copied().collect();
        let breaks = Breaks { chainages: &jumps, speeds: &still, seconds: &seconds };
        let deceleration =
            |s: Metres, v: GroundSpeed, t: f64| air.deceleration(&here(s.to_m()), v.to_mps(), air.lift_at(t));
        let mut loaded = false;
        let mut skips_at = None;
        let mut at = (0.0, touchdown.speed.to_mps(), 0.0);
        let outcome = integrate::trace(deceleration, touchdown.speed, room, breaks, |s, v| {
            // Constant deceleration between two points gives the time near enough for a look at the load.
            let (s0, v0, t0): (f64, f64, f64) = at;
            let mean = f64::midpoint(v0, v.to_mps()).max(f64::MIN_POSITIVE);
            at = (s.to_m(), v.to_mps(), t0 + (s.to_m() - s0) / mean);
            let lift = air.lift_at(at.2);
            visit(s, v, lift);
            let load = air.load(&here(s.to_m()), v.to_mps(), lift);
            if load > 0.0 {
                loaded = true;
            } else if loaded && skips_at.is_none() {
                skips_at = Some(s);
            }
        });
        Traced { outcome, skips_at }
    }
}
