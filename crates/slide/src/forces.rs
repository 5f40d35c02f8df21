//! Forces on an aircraft that slides on its keels: weight, lift, drag, friction, slope, idle thrust.
//!
//! With ground speed v, airspeed u = v + headwind, slope angle a, positive uphill:
//!
//! ```text
//! N       = max(0, m G cos a - 1/2 rho u|u| S CL)        lift only for u > 0
//! m dv/dt = -( mu N + 1/2 rho u|u| S CD + m G sin a - T )
//! ```
//!
//! Invariants: the ground never pulls (N >= 0); a wind from behind never lifts, and it pushes.
//!
//! Not here: curvature of the ground, ploughing, lift that settles; the slide itself.
//!
//! Source: Newton's second law along the slope with Coulomb friction.

use measure::{
    CubicDensity, GroundSpeed, Headwind, Kilograms, Newtons, STANDARD_GRAVITY, Slope, SquareMetres,
};

/// The aircraft as it slides, in one attitude.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Body {
    /// Mass, positive.
    pub mass: Kilograms,
    /// Reference area of both coefficients, not negative.
    pub wing_area: SquareMetres,
    /// Lift coefficient with the keels flat on the ground.
    pub lift_coefficient: f64,
    /// Drag coefficient in that attitude, floats and ground effect included, not negative.
    pub drag_coefficient: f64,
    /// Thrust of the idling engine, forward positive.
    pub idle_thrust: Newtons,
}

/// The ground under the keels, the same all along.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Surface {
    /// Friction coefficient, not negative.
    pub friction: f64,
    /// Slope along the slide, uphill positive.
    pub slope: Slope,
}

/// All that acts on a slide, the same all along.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Conditions {
    /// The aircraft.
    pub body: Body,
    /// The ground.
    pub surface: Surface,
    /// Density of the air, not negative.
    pub density: CubicDensity,
    /// Wind against the slide; negative is a tail wind.
    pub headwind: Headwind,
}

impl Conditions {
    /// Deceleration along the slide at this ground speed, m/s2; negative means gaining speed.
    ///
    /// It is the deceleration of an aircraft that is moving: at rest, friction takes only as much
    /// as it needs.
    ///
    /// # Example: only friction acts
    /// ```
    /// use measure::*;
    /// let conditions = slide::Conditions {
    ///     body: slide::Body {
    ///         mass: Kilograms::kg(600.0),
    ///         wing_area: SquareMetres::m2(14.0),
    ///         lift_coefficient: 0.0,
    ///         drag_coefficient: 0.0,
    ///         idle_thrust: Newtons::ZERO,
    ///     },
    ///     surface: slide::Surface { friction: 0.4, slope: Slope::ZERO },
    ///     density: CubicDensity::kg_m3(1.225),
    ///     headwind: Headwind::ZERO,
    /// };
    /// assert!((conditions.deceleration(GroundSpeed::mps(20.0)) - 3.92266).abs() < 1e-12);
    /// ```
    pub fn deceleration(&self, v: GroundSpeed) -> f64 {
        self.law().deceleration(v.to_mps())
    }

    /// Force with which the ground carries the aircraft at this ground speed; never negative.
    pub fn ground_load(&self, v: GroundSpeed) -> Newtons {
        let law = self.law();
        Newtons::n(self.body.mass.to_kg() * law.load(law.airspeed(v.to_mps())))
    }

    /// Whether every value is finite and inside the range its field states.
    ///
    /// Outside it there is no physics to compute, and a slide counts as never stopping.
    pub fn is_physical(&self) -> bool {
        let Self { body, surface, density, headwind } = self;
        let Body { mass, wing_area, lift_coefficient, drag_coefficient, idle_thrust } = body;
        let Surface { friction, slope } = surface;
        let not_negative =
            [mass.to_kg(), wing_area.to_m2(), *drag_coefficient, *friction, density.to_kg_m3()];
        let any_sign = [*lift_coefficient, idle_thrust.to_n(), slope.to_ratio(), headwind.to_mps()];
        mass.to_kg() > 0.0
            && not_negative.iter().all(|&x| x >= 0.0 && x.is_finite())
            && any_sign.iter().all(|x| x.is_finite())
    }

    /// The same forces per unit of mass.
    pub(crate) fn law(&self) -> Law {
        let Self { body, surface, density, headwind } = self;
        let slope = surface.slope.to_ratio();
        let cosine = 1.0 / libm::hypot(1.0, slope);
        let mass = body.mass.to_kg();
        let air = 0.5 * density.to_kg_m3() * body.wing_area.to_m2() / mass;
        Law {
            friction: surface.friction,
            weight: STANDARD_GRAVITY * cosine,
            lift: air * body.lift_coefficient,
            drag: air * body.drag_coefficient,
            along: STANDARD_GRAVITY * slope * cosine - body.idle_thrust.to_n() / mass,
            headwind: headwind.to_mps(),
        }
    }
}

/// Forces per unit of mass as functions of airspeed u.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Law {
    /// Friction coefficient.
    pub friction: f64,
    /// Weight across the slope, m/s2.
    pub weight: f64,
    /// Lift over u^2, 1/m.
    pub lift: f64,
    /// Drag over u|u|, 1/m.
    pub drag: f64,
    /// Slope less idle thrust, m/s2: what slows at any speed beside friction.
    pub along: f64,
    /// Airspeed less ground speed, m/s.
    pub headwind: f64,
}

impl Law {
    /// Airspeed at a ground speed.
    pub fn airspeed(&self, v: f64) -> f64 {
        v + self.headwind
    }

    /// Ground load per unit of mass at an airspeed, before the ground's refusal to pull.
    pub fn signed_load(&self, u: f64) -> f64 {
        if u > 0.0 { self.weight - self.lift * u * u } else { self.weight }
    }

    /// Ground load per unit of mass at an airspeed.
    pub fn load(&self, u: f64) -> f64 {
        let load = self.signed_load(u);
        // A load that is not a number must not turn into zero unseen, as `max` would make it.
        if load < 0.0 { 0.0 } else { load }
    }

    /// Deceleration at a ground speed, m/s2.
    pub fn deceleration(&self, v: f64) -> f64 {
        let u = self.airspeed(v);
        self.friction * self.load(u) + self.drag * u * u.abs() + self.along
    }

    /// Ground speeds at which the deceleration has a kink: still air, and lift equal to weight.
    pub fn kinks(&self) -> impl Iterator<Item = f64> {
        let afloat = (self.lift > 0.0).then(|| libm::sqrt(self.weight / self.lift));
        [Some(0.0), afloat].into_iter().flatten().map(|u| u - self.headwind)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BODY: Body = Body {
        mass: Kilograms::kg(600.0),
        wing_area: SquareMetres::m2(14.0),
        lift_coefficient: 0.6,
        drag_coefficient: 0.1,
        idle_thrust: Newtons::n(120.0),
    };

    fn conditions(headwind: f64) -> Conditions {
        Conditions {
            body: BODY,
            surface: Surface { friction: 0.4, slope: Slope::ratio(0.02) },
            density: CubicDensity::kg_m3(1.225),
            headwind: Headwind::mps(headwind),
        }
    }

    #[test]
    fn every_force_takes_part_with_its_sign() {
        // Plain arithmetic: q S/m = 0.5 x 1.225 x 14 x 20^2/600 = 5.716667 at u = 20;
        // cos a = 0.999800060, sin a = 0.019996001;
        // 0.4 (9.804689 - 3.43) + 0.5716667 + 0.196094 - 0.2 = 3.117636.
        let d = conditions(0.0).deceleration(GroundSpeed::mps(20.0));
        assert!((d - 3.117_636).abs() < 1e-6, "{d}");
    }

    #[test]
    fn a_headwind_counts_as_airspeed() {
        let still = conditions(0.0).deceleration(GroundSpeed::mps(20.0));
        let wind = conditions(4.0).deceleration(GroundSpeed::mps(16.0));
        assert!((still - wind).abs() < 1e-12);
    }

    #[test]
    fn a_wind_from_behind_pushes_and_never_lifts() {
        // u = -10: 0.4 x 9.804689 - 0.5 x 1.225 x 14 x 0.1 x 100/600 + 0.196094 - 0.2 = 3.775053.
        let d = conditions(-15.0).deceleration(GroundSpeed::mps(5.0));
        assert!((d - 3.775_053).abs() < 1e-6, "{d}");
    }

    #[test]
    fn the_ground_does_not_pull_when_lift_exceeds_weight() {
        let fast = GroundSpeed::mps(60.0);
        assert_eq!(conditions(0.0).ground_load(fast), Newtons::ZERO);
        // 0.5 x 1.225 x 14 x 0.1 x 3600/600 + 0.196094 - 0.2 = 5.141094.
        assert!((conditions(0.0).deceleration(fast) - 5.141_094).abs() < 1e-6);
    }

    #[test]
    fn the_ground_carries_weight_less_lift() {
        // 600 x (9.804689 - 3.43) = 3824.813 N.
        let load = conditions(0.0).ground_load(GroundSpeed::mps(20.0));
        assert!((load.to_n() - 3824.813).abs() < 1e-2, "{load:?}");
    }

    #[test]
    fn values_outside_their_range_are_not_physical() {
        let good = conditions(0.0);
        assert!(good.is_physical());
        for mass in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let body = Body { mass: Kilograms::kg(mass), ..BODY };
            assert!(!Conditions { body, ..good }.is_physical(), "{mass}");
        }
        let surface = Surface { friction: -0.1, slope: Slope::ZERO };
        assert!(!Conditions { surface, ..good }.is_physical());
        assert!(!conditions(f64::NAN).is_physical());
    }
}
