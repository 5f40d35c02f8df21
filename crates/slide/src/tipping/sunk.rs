//! A keel on soft ground: pressure along it, sinkage, the pitch that this causes, and whether it comes to a balance.
//!
//! Pressure is taken as falling evenly along the flat part, from where the load acts, at x ahead of the centre of
//! gravity, so at e = L/2 - b + x ahead of the middle of a contact of length L; p0 is that of an even load:
//!
//! ```text
//! p at the ends  = p0 (1 + 6 e/L), p0 (1 - 6 e/L)          |e| <= L/6
//! p at one end   = 2 p0/(3 (1/2 - |e|/L)), else 0          beyond, on part of the length
//! theta          = (z forward - z aft)/L                   nose down only
//! ```
//!
//! How the pitch is taken: each end sinks as deep as its own pressure presses the soil; the keel line lies between;
//! nose down moves the centre of gravity forward by h theta. Ploughing is that of the deepest sinkage over the whole
//! width, times its factors. Both feed back into x, and are worked out in turn from none.
//!
//! Invariants: of several balances the least is found, as it is come to first; what has not settled in [`TURNS`] digs
//! in; a load near the aft end presses as deep as one near the forward end, but never lifts the nose.
//!
//! Not here: a bow that rises ahead of the flat part, which would help; time, in which a keel that passes sinks
//! less than one that stands.
//!
//! Source: pressure under an eccentric load on a stiff footing (textbook, middle third); Bekker's law for the rest.

use super::{Acting, LIGHT_SHARE, Stance, Tipping, reserve, tipping};
use crate::soft::strength::Strength;
use crate::soft::{Change, Outside, Soil};
use measure::{Depth, Metres, Newtons, Pascals};

/// Turns of the iteration at most.
pub const TURNS: usize = 500;

/// Rise of the load's place, m, below which it has settled.
const SETTLED: f64 = 1e-10;

/// An eccentricity beyond this share of the length lifts the other end: the middle third.
const MIDDLE_THIRD: f64 = 1.0 / 6.0;

/// Where the balance lies.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Rests {
    /// Pressure where it is greatest.
    pub peak: Pascals,
    /// Sinkage of the forward end of the flat part.
    pub forward: Depth,
    /// Sinkage of its aft end.
    pub aft: Depth,
    /// Nose-down pitch over the ground, rad, not negative.
    pub pitch: f64,
    /// Ploughing as it counts for tipping.
    pub ploughing: Newtons,
    /// Whether the deepest sinkage lies where the law was fitted.
    pub outside: Option<Outside>,
}

/// A keel pressed into soft ground.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Sunk {
    /// How near it is to tipping forward.
    pub tipping: Tipping,
    /// How it rests; `None` where it does not, or hardly does.
    pub rests: Option<Rests>,
}

/// What soft ground may still be.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct GreatestSoft {
    /// Greatest ploughing that leaves the asked reserve, without pitch.
    pub ploughing: Newtons,
    /// Softest class on which, pitch and peak pressure counted, the asked reserve is left; `None`: not even the
    /// hardest.
    pub softest: Option<Strength>,
}

/// Pressure at the forward and the aft end of the flat part, with the load acting `ahead` of the centre of gravity,
/// m; `None` where it acts beyond an end.
///
/// # Example: at the edge of the middle third one end bears twice the mean and the other nothing
/// ```
/// # use measure::{Metres, Newtons, Pascals};
/// # use slide::{soft::Keels, tipping::{Stance, sunk::pressures}};
/// # let stance = Stance {
/// #     keels: Keels { count: 2, width: Metres::m(0.05), length: Metres::m(1.2) },
/// #     cg_height: Metres::m(1.2),
/// #     cg_to_forward_end: Metres::m(0.6),
/// # };
/// let [forward, aft] = pressures(&stance, Newtons::n(6000.0), 0.2).unwrap();
/// assert!((forward.to_pa() - 100_000.0).abs() < 1e-6 && aft.to_pa().abs() < 1e-6);
/// ```
pub fn pressures(stance: &Stance, load: Newtons, ahead: f64) -> Option<[Pascals; 2]> {
    let mean = stance.keels.even_pressure(load);
    let share = 0.5 + (ahead - stance.cg_to_forward_end.to_m()) / stance.keels.length.to_m();
    let size = share.abs();
    if size.is_nan() || size >= 0.5 {
        return None;
    }
    let (more, less) = if size <= MIDDLE_THIRD {
        (mean * (1.0 + size / MIDDLE_THIRD), mean * (1.0 - size / MIDDLE_THIRD))
    } else {
        (mean * (2.0 / (3.0 * (0.5 - size))), Pascals::ZERO)
    };
    Some(if share >= 0.0 { [more, less] } else { [less, more] })
}

/// How the keels rest on a soil, or dig in.
pub fn sunk(stance: &Stance, acting: &Acting, soil: &Soil, change: Change) -> Sunk {
    let pressing = Pressing { stance, acting, soil, change };
    match tipping(stance, acting, Newtons::ZERO) {
        Tipping::Reserve(left) if left > 0.0 => {
            pressing.balance().map_or(Sunk { tipping: Tipping::DigsIn, rests: None }, |(ahead, rests)| Sunk {
                tipping: reserve(stance, ahead),
                rests: Some(rests),
            })
        }
        Tipping::Light { .. } => Sunk { tipping: pressing.light(), rests: None },
        // It tips without any help of the ground, and by how much is worth knowing.
        over => Sunk { tipping: over, rests: None },
    }
}

/// All that decides the balance.
struct Pressing<'a> {
    stance: &'a Stance,
    acting: &'a Acting,
    soil: &'a Soil,
    change: Change,
}

impl Pressing<'_> {
    /// The moment, with the ploughing of the load at which a reserve would be given, spread evenly.
    fn light(&self) -> Tipping {
        let keels = &self.stance.keels;
        let even = keels.even_pressure(self.acting.weight * LIGHT_SHARE);
        tipping(self.stance, self.acting, self.soil.ploughing(keels, even, self.change).for_tipping)
    }

    /// How it would rest with the load acting here, and where the load would then act; `None` if beyond an end, or if
    /// the soil has no sinkage to give.
    fn turn(&self, ahead: f64) -> Option<(f64, Rests)> {
        let Stance { keels, .. } = self.stance;
        let [fore, back] = pressures(self.stance, self.acting.load, ahead)?;
        let peak = fore.max(back);
        let [forward, aft] = [fore, back].map(|p| self.soil.sinkage(keels.width, p));
        // Written out, as the larger of a number and none would be the number.
        if !(forward.to_m().is_finite() && aft.to_m().is_finite()) {
            return None;
        }
        let ploughing = self.soil.ploughing(keels, peak, self.change).for_tipping;
        let pitch = ((forward - aft).to_m() / keels.length.to_m()).max(0.0);
        let outside = self.soil.rut(keels.width, peak).outside;
        let next = self.acting.resultant_ahead(self.stance, ploughing, pitch);
        Some((next, Rests { peak, forward, aft, pitch, ploughing, outside }))
    }

    /// The least balance; `None` if there is none.
    ///
    /// Behind the middle of the contact a load further forward presses less deep, so there is at most one balance and
    /// halving finds it. Ahead of the middle it presses deeper, so turn upon turn rises to the least.
    fn balance(&self) -> Option<(f64, Rests)> {
        let middle = (self.stance.cg_to_forward_end - self.stance.keels.length * 0.5).to_m();
        let rigid = self.acting.resultant_ahead(self.stance, Newtons::ZERO, 0.0);
        if rigid < middle && self.turn(middle)?.0 <= middle {
            return self.behind(rigid, middle);
        }
        let mut ahead = rigid.max(middle);
        for _ in 0..TURNS {
            let (next, rests) = self.turn(ahead)?;
            if next - ahead <= SETTLED {
                return Some((next, rests));
            }
            ahead = next;
        }
        None
    }

    /// The balance between a place that the load is driven forward from and the middle, which it is not.
    fn behind(&self, mut from: f64, mut to: f64) -> Option<(f64, Rests)> {
        for _ in 0..TURNS {
            let ahead = f64::midpoint(from, to);
            // Beyond the aft end the pressure has no bound: the load is driven forward.
            if self.turn(ahead).is_none_or(|(next, _)| next > ahead) {
                from = ahead;
            } else {
                to = ahead;
            }
            if to - from <= SETTLED {
                break;
            }
        }
        self.turn(to).map(|(_, rests)| (to, rests))
    }
}

/// The greatest ploughing, and the softest class, that leave the asked reserve; `None` where ground that does not give
/// leaves less, or hardly carries.
pub fn greatest_soft(stance: &Stance, acting: &Acting, asked: f64, change: Change) -> Option<GreatestSoft> {
    let ploughing = super::greatest_ploughing(stance, acting, asked)?;
    let holds = |class: &Strength| sunk(stance, acting, class.softest_soil(), change).tipping.leaves(asked);
    // Classes soften in order, so the last that holds before one fails is the softest.
    let softest = Strength::ALL.into_iter().take_while(holds).last();
    Some(GreatestSoft { ploughing, softest })
}

impl Rests {
    /// How deep the deeper end is.
    pub fn deepest(&self) -> Depth {
        self.forward.max(self.aft)
    }

    /// How much lower than the ground beside it the keel line lies at a distance ahead of the forward end of the flat
    /// part, as far as sinkage and pitch lower it.
    pub fn lowered(&self, ahead_of_end: Metres) -> Metres {
        Metres::m(self.forward.to_m() + ahead_of_end.to_m() * libm::sin(self.pitch))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::soft::Keels;

    const WEIGHT: f64 = 5884.0;

    fn stance(width: f64, length: f64, forward: f64) -> Stance {
        Stance {
            keels: Keels { count: 2, width: Metres::m(width), length: Metres::m(length) },
            cg_height: Metres::m(1.3),
            cg_to_forward_end: Metres::m(forward),
        }
    }

    fn acting(mu: f64, nose_down: f64) -> Acting {
        let weight = Newtons::n(WEIGHT);
        Acting { weight, load: weight, friction: weight * mu, nose_down }
    }

    fn on(strength: Strength, change: Change, mu: f64, nose_down: f64) -> Sunk {
        sunk(&stance(0.05, 2.0, 1.1), &acting(mu, nose_down), strength.softest_soil(), change)
    }

    /// Reserve, ploughing N, pitch rad, peak Pa, sinkages m.
    #[track_caller]
    fn check(found: Sunk, expected: [f64; 6]) {
        let Sunk { tipping: Tipping::Reserve(left), rests: Some(rests) } = found else { panic!("{found:?}") };
        let Rests { peak, forward, aft, pitch, ploughing, outside: _ } = rests;
        let got = [left, ploughing.to_n(), pitch, peak.to_pa(), forward.to_m(), aft.to_m()];
        for (got, expected) in got.iter().zip(expected) {
            assert!((got - expected).abs() <= 1e-6 * expected.abs().max(1e-3), "{got} for {expected}");
        }
    }

    // A scan for the first balance in steps of 0.1 mm, then halving, in Python: the expected figures of the next three.

    #[test]
    fn a_keel_rests_where_ploughing_pitch_and_pressure_agree() {
        check(
            on(Strength::Hard, Change::Steady, 0.4, 200.0),
            [0.487_433_073_9, 35.893_934_47, 0.001_463_690_05, 73_160.004_88, 0.002_927_380_10, 0.0],
        );
        check(
            on(Strength::Yielding, Change::Sudden, 0.4, 200.0),
            [0.404_570_859_3, 411.092_530_24, 0.007_811_964_75, 88_144.277_42, 0.015_623_929_50, 0.0],
        );
        check(
            on(Strength::Soft, Change::Steady, 0.26, 200.0),
            [
                0.607_580_197_3,
                200.155_257_14,
                0.011_884_131_23,
                58_692.468_96,
                0.023_871_662_32,
                0.000_103_399_86,
            ],
        );
    }

    #[test]
    fn a_load_behind_the_middle_presses_the_aft_end_and_does_not_lift_the_nose() {
        check(
            on(Strength::Soft, Change::Steady, 0.1, -500.0),
            [0.945_697_539_3, 66.574_805_31, 0.0, 32_973.991_30, 0.011_333_915_54, 0.014_133_067_27],
        );
    }

    #[test]
    fn where_nothing_balances_it_digs_in() {
        for (strength, change) in [(Strength::Soft, Change::Sudden), (Strength::Boggy, Change::Steady)] {
            let found = on(strength, change, 0.4, 200.0);
            assert_eq!(found, Sunk { tipping: Tipping::DigsIn, rests: None });
        }
    }

    #[test]
    fn what_tips_on_hard_ground_says_by_how_much() {
        // 1 - 0.9 x 1.3/1.1 = -0.0636364.
        let Tipping::Reserve(left) = on(Strength::Boggy, Change::Steady, 0.9, 0.0).tipping else { panic!() };
        assert!((left + 0.063_636_4).abs() < 1e-7);
    }

    #[test]
    fn a_light_load_gives_its_moment_with_ploughing() {
        let light = Acting { load: Newtons::n(500.0), friction: Newtons::n(200.0), ..acting(0.0, 100.0) };
        let found = sunk(&stance(0.05, 2.0, 1.1), &light, Strength::Soft.softest_soil(), Change::Steady);
        let Sunk { tipping: Tipping::Light { moment }, rests: None } = found else { panic!("{found:?}") };
        // Even pressure 0.2 x 5884/0.2 = 5884 Pa; z = (5.884/3572)^(1/1.1) = 2.94973 mm;
        // 6 x 0.05 x 3572000 z^2.1/2.1 = 2.47946 N; (200 + 2.47946) x 1.3 + 100 = 363.2233.
        assert!((moment - 363.223_3).abs() < 1e-4, "{moment}");
    }

    #[test]
    fn a_soil_without_a_sinkage_carries_nothing() {
        let none = Soil::bekker(1.0, 0.0, 0.0);
        for acting in [acting(0.4, 0.0), acting(0.05, -500.0)] {
            let found = sunk(&stance(0.05, 2.0, 1.1), &acting, &none, Change::Steady);
            assert_eq!(found.tipping, Tipping::DigsIn);
        }
    }

    #[test]
    fn the_pressure_is_a_trapezoid_and_then_a_triangle() {
        let stance = stance(0.05, 2.0, 1.0);
        let of = |ahead| pressures(&stance, Newtons::n(6000.0), ahead).map(|p| p.map(Pascals::to_pa));
        let near = |ahead, expected: [f64; 2]| {
            let got = of(ahead).expect("inside");
            assert!(got.iter().zip(expected).all(|(g, e)| (g - e).abs() < 1e-6), "{ahead}: {got:?}");
        };
        // 30 kPa mean; e = 0.1: 30 (1 +- 0.3); e = 0.5: 2 x 30/(3 x 0.25) = 80.
        near(0.0, [30_000.0, 30_000.0]);
        near(0.1, [39_000.0, 21_000.0]);
        near(-0.1, [21_000.0, 39_000.0]);
        near(0.5, [80_000.0, 0.0]);
        for beyond in [1.0, -1.0, 3.0, f64::NAN] {
            assert_eq!(of(beyond), None);
        }
    }

    #[test]
    fn the_softest_ground_that_leaves_a_reserve_is_found() {
        let soft =
            |mu, asked| greatest_soft(&stance(0.05, 2.0, 1.1), &acting(mu, 200.0), asked, Change::Steady);
        let found = soft(0.4, 0.4).expect("some");
        // 5884 x 1.1 x 0.6/1.3 - 200/1.3 - 2353.6 = 479.8154; 0.456 is left on yielding ground, 0.371 on soft.
        assert!((found.ploughing.to_n() - 479.815_4).abs() < 1e-3, "{found:?}");
        assert_eq!(found.softest, Some(Strength::Yielding));
        assert_eq!(soft(0.4, 0.37).and_then(|f| f.softest), Some(Strength::Soft));
        // 0.4964 on ground that does not give, 0.4874 on the hardest.
        assert_eq!(soft(0.4, 0.49).map(|f| f.softest), Some(None));
        assert_eq!(soft(0.4, 0.5), None);
    }
}
