//! Tipping forward over the keels while sliding: how much of the balance is left.
//!
//! About the centre of gravity, the ground's load N acts as far ahead of it as balances friction F and
//! ploughing R on their arm h, the height of the centre of gravity above the keel line, and the nose-down
//! moment M of air and thrust:
//!
//! ```text
//! x       = [(F + R) h + M]/N + h theta        theta: nose-down pitch, which moves the weight forward
//! reserve = 1 - x/b                            b: from the centre of gravity to the forward end of flat contact
//! ```
//!
//! Invariants: the elevator is not credited, nor the curve of the bow ahead of the flat part; a thrust line
//! that would help counts as none; values that are not physical dig in; where the ground hardly carries,
//! the moment is given instead of a share of nothing.
//!
//! Not here: how soft the ground is ([`crate::soft`]).
//!
//! Source: balance of moments about the centre of gravity (plain mechanics). Slope takes no part in it but through
//! N. Inertia against pitching is not counted: the reserve is that of a steady state.

pub mod corners;
pub mod envelope;
pub mod passage;
pub mod propeller;
pub mod sunk;
pub mod tail_over;

use crate::soft::Keels;
use measure::{AirSpeed, CubicDensity, Metres, Newtons};

/// Share of the weight on the keels below which the moment is given instead of the reserve (judgement).
pub const LIGHT_SHARE: f64 = 0.2;

/// How the aircraft stands on its keels.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Stance {
    /// The plates that carry it.
    pub keels: Keels,
    /// Height of the centre of gravity above the keel line, not negative; the highest of the load.
    pub cg_height: Metres,
    /// From the most forward centre of gravity of the load forward to the end of flat keel contact, positive
    /// where it stands at all.
    pub cg_to_forward_end: Metres,
}

/// What acts on it at one moment.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Acting {
    /// Weight, positive.
    pub weight: Newtons,
    /// Load of the ground on the keels, not negative.
    pub load: Newtons,
    /// Friction along the keels, not negative, at its high end.
    pub friction: Newtons,
    /// Moment of air and thrust about the centre of gravity, N m, nose down positive, without elevator.
    pub nose_down: f64,
}

/// How near it is to tipping forward; [`Tipping::is_worse_than`] orders them.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Tipping {
    /// What is left of the balance: 1 when nothing tips it, 0 when it goes over, negative beyond.
    Reserve(f64),
    /// The ground carries less than [`LIGHT_SHARE`] of the weight: a reserve would say nothing.
    Light {
        /// Nose-down moment that the tail would have to hold, N m.
        moment: f64,
    },
    /// The keel sinks, pitches and ploughs without coming to a balance, or the values are no physics.
    DigsIn,
}

impl Tipping {
    /// Whether it is nearer to tipping than another; a light load has no place in this order.
    pub fn is_worse_than(self, other: Self) -> bool {
        match (self, other) {
            (Self::Light { .. }, _) | (_, Self::Light { .. } | Self::DigsIn) => false,
            (Self::DigsIn, Self::Reserve(_)) => true,
            (Self::Reserve(a), Self::Reserve(b)) => a < b,
        }
    }

    /// Whether this reserve is left; a light load never decides against it.
    pub fn leaves(self, reserve: f64) -> bool {
        match self {
            Self::Reserve(left) => left >= reserve,
            Self::Light { .. } => true,
            Self::DigsIn => false,
        }
    }
}

impl Stance {
    /// Whether every measure is a number in its range.
    pub fn is_physical(&self) -> bool {
        let Self { keels, cg_height, cg_to_forward_end } = *self;
        let height = cg_height.to_m();
        keels.is_physical() && height >= 0.0 && height.is_finite() && cg_to_forward_end.to_m().is_finite()
    }
}

impl Acting {
    /// Whether every value is a number in its range.
    pub fn is_physical(&self) -> bool {
        let Self { weight, load, friction, nose_down } = *self;
        let not_negative = [weight, load, friction].iter().all(|x| x.to_n() >= 0.0 && x.to_n().is_finite());
        not_negative && weight.to_n() > 0.0 && nose_down.is_finite()
    }

    /// Whether the ground carries too little for a reserve.
    pub fn is_light(&self) -> bool {
        self.load < self.weight * LIGHT_SHARE
    }

    /// Nose-down moment about the centre of gravity of all but the load, N m.
    pub fn moment(&self, stance: &Stance, ploughing: Newtons) -> f64 {
        (self.friction + ploughing).to_n() * stance.cg_height.to_m() + self.nose_down
    }

    /// How far ahead of the centre of gravity the load acts, m; with a pitch in radians, nose down.
    fn resultant_ahead(&self, stance: &Stance, ploughing: Newtons, pitch: f64) -> f64 {
        self.moment(stance, ploughing) / self.load.to_n() + stance.cg_height.to_m() * pitch
    }
}

/// How near to tipping forward it is on ground that does not give, with this much ploughing.
///
/// # Example: friction of half the load, on an arm as long as the keel reaches forward
/// ```
/// use measure::{Metres, Newtons};
/// use slide::{soft::Keels, tipping::{Acting, Stance, Tipping, tipping}};
/// let stance = Stance {
///     keels: Keels { count: 2, width: Metres::m(0.05), length: Metres::m(2.0) },
///     cg_height: Metres::m(1.2),
///     cg_to_forward_end: Metres::m(1.2),
/// };
/// let weight = Newtons::n(6000.0);
/// let acting = Acting { weight, load: weight, friction: weight * 0.5, nose_down: 0.0 };
/// assert_eq!(tipping(&stance, &acting, Newtons::ZERO), Tipping::Reserve(0.5));
/// ```
pub fn tipping(stance: &Stance, acting: &Acting, ploughing: Newtons) -> Tipping {
    if !(stance.is_physical() && acting.is_physical() && ploughing.to_n().is_finite()) {
        return Tipping::DigsIn;
    }
    if acting.is_light() {
        return Tipping::Light { moment: acting.moment(stance, ploughing) };
    }
    reserve(stance, acting.resultant_ahead(stance, ploughing, 0.0))
}

/// The reserve with the load acting this far ahead of the centre of gravity, m.
fn reserve(stance: &Stance, ahead: f64) -> Tipping {
    let forward = stance.cg_to_forward_end.to_m();
    // A centre of gravity at or ahead of the forward end is over it already, whatever acts.
    if forward > 0.0 && ahead.is_finite() { Tipping::Reserve(1.0 - ahead / forward) } else { Tipping::DigsIn }
}

/// The greatest ploughing that leaves the asked reserve on keels that do not pitch; `None` where not even none does,
/// or the ground hardly carries.
///
/// # Example: the one before, with a fifth asked
/// ```
/// # use measure::{Metres, Newtons};
/// # use slide::{soft::Keels, tipping::{Acting, Stance, greatest_ploughing}};
/// # let stance = Stance {
/// #     keels: Keels { count: 2, width: Metres::m(0.05), length: Metres::m(2.0) },
/// #     cg_height: Metres::m(1.2),
/// #     cg_to_forward_end: Metres::m(1.2),
/// # };
/// # let weight = Newtons::n(6000.0);
/// # let acting = Acting { weight, load: weight, friction: weight * 0.5, nose_down: 0.0 };
/// let most = greatest_ploughing(&stance, &acting, 0.2).map_or(f64::NAN, Newtons::to_n);
/// assert!((most - 1800.0).abs() < 1e-9);
/// ```
pub fn greatest_ploughing(stance: &Stance, acting: &Acting, asked: f64) -> Option<Newtons> {
    let without = tipping(stance, acting, Newtons::ZERO);
    if acting.is_light() || !without.leaves(asked) {
        return None;
    }
    let arm = stance.cg_height.to_m();
    let spare = acting.load.to_n() * stance.cg_to_forward_end.to_m() * (1.0 - asked) - acting.nose_down;
    let most = spare / arm - acting.friction.to_n();
    // With no arm there is no moment to be greatest.
    most.is_finite().then(|| Newtons::n(most.max(0.0)))
}

/// What turns the nose down beside the ground.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct NoseDown {
    /// Nose-down moment of the air about the centre of gravity over dynamic pressure, m3, elevator neutral; negative
    /// where it lifts the nose.
    pub air: f64,
    /// Height of the thrust line above the centre of gravity.
    pub thrust_line: Metres,
}

impl NoseDown {
    /// Moment about the centre of gravity, N m.
    ///
    /// Thrust that would lift the nose counts as none. Air from behind is taken to turn the nose down, whichever way
    /// it turns it from ahead: nobody has measured it.
    pub fn moment(&self, thrust: Newtons, density: CubicDensity, airspeed: AirSpeed) -> f64 {
        let u = airspeed.to_mps();
        let air = if u < 0.0 { self.air.abs() } else { self.air };
        let pull = thrust.to_n() * self.thrust_line.to_m();
        // A moment that is not a number must stay one, as `max` would not let it.
        let pull = if pull < 0.0 { 0.0 } else { pull };
        0.5 * density.to_kg_m3() * u * u * air + pull
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const STANCE: Stance = Stance {
        keels: Keels { count: 2, width: Metres::m(0.05), length: Metres::m(2.0) },
        cg_height: Metres::m(1.3),
        cg_to_forward_end: Metres::m(1.1),
    };
    const WEIGHT: Newtons = Newtons::n(5884.0);

    fn acting(share: f64, mu: f64, nose_down: f64) -> Acting {
        let load = WEIGHT * share;
        Acting { weight: WEIGHT, load, friction: load * mu, nose_down }
    }

    #[track_caller]
    fn check(found: Tipping, expected: f64) {
        let Tipping::Reserve(left) = found else { panic!("{found:?}") };
        assert!((left - expected).abs() < 1e-6, "{left}");
    }

    #[test]
    fn every_part_of_the_moment_takes_part() {
        // 1 - [(0.5 x 4707.2 + 150) x 1.3 + 300]/(4707.2 x 1.1) = 0.313493 (plain arithmetic).
        check(tipping(&STANCE, &acting(0.8, 0.5, 300.0), Newtons::n(150.0)), 0.313_493);
    }

    #[test]
    fn where_the_ground_hardly_carries_the_moment_is_given() {
        // (0.5 x 1176.8 + 100) x 1.3 + 200 = 1094.92 N m at a share of 0.2, still a reserve; below it the moment.
        check(tipping(&STANCE, &acting(0.2, 0.5, 200.0), Newtons::n(100.0)), 1.0 - 1094.92 / (1176.8 * 1.1));
        let light = acting(0.199, 0.5, 200.0);
        let Tipping::Light { moment } = tipping(&STANCE, &light, Newtons::n(100.0)) else { panic!() };
        // (0.5 x 1170.916 + 100) x 1.3 + 200.
        assert!((moment - 1091.0954).abs() < 1e-9, "{moment}");
        assert_eq!(greatest_ploughing(&STANCE, &light, 0.2), None);
    }

    #[test]
    fn the_greatest_ploughing_leaves_just_what_is_asked() {
        let acting = acting(0.9, 0.4, 250.0);
        let most = greatest_ploughing(&STANCE, &acting, 0.2).expect("some");
        // 5295.6 x 1.1 x 0.8/1.3 - 250/1.3 - 2118.24 = 1274.1662.
        assert!((most.to_n() - 1274.1662).abs() < 1e-4, "{most:?}");
        check(tipping(&STANCE, &acting, most), 0.2);
        assert_eq!(greatest_ploughing(&STANCE, &acting, 0.6), None);
        let flat = Stance { cg_height: Metres::ZERO, ..STANCE };
        assert_eq!(greatest_ploughing(&flat, &acting, 0.2), None);
    }

    #[test]
    fn what_is_no_physics_digs_in() {
        let good = acting(1.0, 0.4, 0.0);
        for bad in [
            Acting { weight: Newtons::ZERO, ..good },
            Acting { load: Newtons::n(-1.0), ..good },
            Acting { friction: Newtons::n(f64::NAN), ..good },
            Acting { nose_down: f64::INFINITY, ..good },
        ] {
            assert_eq!(tipping(&STANCE, &bad, Newtons::ZERO), Tipping::DigsIn);
        }
        for end in [0.0, -0.2, f64::NAN] {
            let stance = Stance { cg_to_forward_end: Metres::m(end), ..STANCE };
            assert_eq!(tipping(&stance, &good, Newtons::ZERO), Tipping::DigsIn);
        }
        assert_eq!(tipping(&STANCE, &good, Newtons::n(f64::NAN)), Tipping::DigsIn);
    }

    #[test]
    fn digging_in_is_worse_than_any_reserve_and_a_light_load_is_not_ranked() {
        let (low, high, light) =
            (Tipping::Reserve(-3.0), Tipping::Reserve(0.4), Tipping::Light { moment: 1.0 });
        assert!(low.is_worse_than(high) && !high.is_worse_than(low) && !low.is_worse_than(low));
        assert!(Tipping::DigsIn.is_worse_than(low) && !low.is_worse_than(Tipping::DigsIn));
        for other in [low, Tipping::DigsIn, light] {
            assert!(!light.is_worse_than(other) && !other.is_worse_than(light));
        }
        assert!(high.leaves(0.4) && !high.leaves(0.41) && !Tipping::DigsIn.leaves(-9.0) && light.leaves(0.9));
    }

    #[test]
    fn a_thrust_line_above_turns_the_nose_down_and_one_below_counts_as_none() {
        let moment = |line: f64, thrust: f64, u: f64| {
            NoseDown { air: -0.5, thrust_line: Metres::m(line) }.moment(
                Newtons::n(thrust),
                CubicDensity::kg_m3(1.2),
                AirSpeed::mps(u),
            )
        };
        assert!((moment(0.3, 200.0, 0.0) - 60.0).abs() < 1e-12);
        assert!(moment(-0.3, 200.0, 0.0).abs() < f64::MIN_POSITIVE);
        // A windmilling propeller below pulls the nose down as well: -50 x -0.3.
        assert!((moment(-0.3, -50.0, 0.0) - 15.0).abs() < 1e-12);
        // 0.6 x 100 x -0.5 from ahead, the size of it from behind.
        assert!(
            (moment(0.0, 0.0, 10.0) + 30.0).abs() < 1e-12 && (moment(0.0, 0.0, -10.0) - 30.0).abs() < 1e-12
        );
        assert!(moment(0.3, f64::NAN, 0.0).is_nan());
    }
}
