//! Propeller to ground: what is left under its lowest tip with pitch, sinkage, grass and rising ground.
//!
//! ```text
//! clearance = t cos theta - d sin theta - z - grass - rise
//! ```
//!
//! t: height of the lowest tip above the keel line, d: how far it is ahead of the forward end of the flat keel, about
//! which the nose goes down by theta; z: sinkage there.
//!
//! Invariants: a nose held up, a keel held up and ground that falls away are not credited.
//!
//! Not here: tyres, struts; spring of the floats.
//!
//! Source: plain geometry of a rotation about the forward end.

use super::sunk::Rests;
use measure::{Depth, Height, Metres};

/// Where the propeller turns.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Propeller {
    /// From the forward end of the flat keel forward to its disc.
    pub ahead: Metres,
    /// Lowest height of a tip above the keel line.
    pub tip: Height,
}

/// The ground under it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Under {
    /// Height of the grass.
    pub grass: Height,
    /// How much the ground there is higher than the line of the ground under the keels.
    pub rise: Metres,
}

impl Propeller {
    /// Clearance under the lowest tip, negative where it strikes; not a number where a value is none.
    ///
    /// # Units
    /// Pitch in radians, nose down.
    pub fn clearance(&self, pitch: f64, sinkage: Depth, under: &Under) -> Metres {
        let credited = |x: f64| if x < 0.0 { 0.0 } else { x };
        let pitch = credited(pitch);
        let Self { ahead, tip } = self;
        let taken = credited(sinkage.to_m()) + credited(under.grass.to_m()) + credited(under.rise.to_m());
        // A disc behind the end would rise as the nose goes down, which is not credited.
        let lowered = credited(ahead.to_m()) * libm::sin(pitch);
        Metres::m(tip.to_m() * libm::cos(pitch) - lowered - taken)
    }

    /// The same for keels as they rest on soft ground.
    pub fn clearance_at(&self, rests: &Rests, under: &Under) -> Metres {
        self.clearance(rests.pitch, rests.forward, under)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const PROPELLER: Propeller = Propeller { ahead: Metres::m(0.8), tip: Height::m(0.6) };

    fn clearance(pitch: f64, sinkage: f64, grass: f64, rise: f64) -> f64 {
        let under = Under { grass: Height::m(grass), rise: Metres::m(rise) };
        PROPELLER.clearance(pitch, Depth::m(sinkage), &under).to_m()
    }

    #[test]
    fn every_part_takes_away_from_the_tip() {
        assert!((clearance(0.0, 0.0, 0.0, 0.0) - 0.6).abs() < 1e-15);
        // 0.6 cos 0.1 - 0.8 sin 0.1 - 0.03 - 0.15 - 0.05 = 0.2871358 (plain arithmetic).
        assert!((clearance(0.1, 0.03, 0.15, 0.05) - 0.287_135_8).abs() < 1e-7);
        assert!(clearance(0.5, 0.1, 0.2, 0.0) < 0.0);
    }

    #[test]
    fn what_would_help_is_not_credited() {
        let plain = clearance(0.0, 0.0, 0.0, 0.0);
        assert_eq!(clearance(-0.1, -0.1, -0.1, -0.3).to_bits(), plain.to_bits());
        assert!(clearance(f64::NAN, 0.0, 0.0, 0.0).is_nan() && clearance(0.0, f64::NAN, 0.0, 0.0).is_nan());
    }

    #[test]
    fn a_keel_that_rests_nose_down_brings_the_tip_lower() {
        let rests = Rests {
            peak: measure::Pascals::ZERO,
            forward: Depth::m(0.03),
            aft: Depth::m(0.01),
            pitch: 0.01,
            ploughing: measure::Newtons::ZERO,
            outside: None,
        };
        let under = Under { grass: Height::m(0.1), rise: Metres::ZERO };
        // 0.6 x 0.99995 - 0.8 x 0.00999983 - 0.13 = 0.4619701.
        assert!((PROPELLER.clearance_at(&rests, &under).to_m() - 0.461_970_1).abs() < 1e-7);
        assert!((rests.lowered(Metres::m(0.8)).to_m() - 0.037_999_87).abs() < 1e-8);
    }

    proptest! {
        #[test]
        fn more_of_anything_never_clears_more(
            pitch in 0.0..0.6_f64, sinkage in 0.0..0.3_f64, grass in 0.0..0.5_f64, rise in -0.2..0.3_f64, by in 0.0..0.2_f64,
        ) {
            let plain = clearance(pitch, sinkage, grass, rise);
            prop_assert!(clearance(pitch + by, sinkage, grass, rise) <= plain);
            prop_assert!(clearance(pitch, sinkage + by, grass, rise) <= plain);
            prop_assert!(clearance(pitch, sinkage, grass + by, rise) <= plain);
            prop_assert!(clearance(pitch, sinkage, grass, rise + by) <= plain);
        }
    }
}
