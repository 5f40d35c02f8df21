//! Tipping backwards once stopped: whether the aircraft sits on its keels or drops on its tail.
//!
//! About the aft end of flat keel contact, with a ahead of it the centre of gravity, h above it, slope angle alpha, nose
//! uphill, and a load P on the tail, d behind the end:
//!
//! ```text
//! reserve = 1 - (W h sin alpha + P d)/(W cos alpha a)
//! ```
//!
//! Invariants: a slope down to the nose and a tail held up are not credited; a centre of gravity at or behind the
//! aft end sits on the tail, whatever acts.
//!
//! Not here: wind, which is taken in by the tail load; people who step on the floats.
//!
//! Source: balance of moments about the aft end (plain mechanics).

use measure::{Metres, Newtons, Slope};

/// An aircraft at rest on its keels.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct AtRest {
    /// Weight, positive.
    pub weight: Newtons,
    /// From the aft end of flat contact forward to the most aft centre of gravity of the load.
    pub cg_ahead: Metres,
    /// Height of the centre of gravity above the keel line, not negative.
    pub cg_height: Metres,
    /// Slope along it, nose uphill positive.
    pub slope: Slope,
    /// Load on the tail, downward, wind included.
    pub tail_load: Newtons,
    /// From the aft end of flat contact back to where that acts.
    pub tail_behind: Metres,
}

/// How it stands.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum AftBalance {
    /// What is left: 1 when nothing tips it, 0 when it goes over, negative beyond.
    Reserve(f64),
    /// Its centre of gravity lies at or behind the aft end, or the values are no physics.
    OnItsTail,
}

impl AtRest {
    /// The reserve against tipping backwards.
    ///
    /// # Example: nothing but its weight, on level ground
    /// ```
    /// use measure::{Metres, Newtons, Slope};
    /// use slide::tipping::tail_over::{AftBalance, AtRest};
    /// let at_rest = AtRest {
    ///     weight: Newtons::n(6000.0), cg_ahead: Metres::m(0.4), cg_height: Metres::m(1.3),
    ///     slope: Slope::ZERO, tail_load: Newtons::ZERO, tail_behind: Metres::m(4.0),
    /// };
    /// assert_eq!(at_rest.aft_balance(), AftBalance::Reserve(1.0));
    /// ```
    pub fn aft_balance(&self) -> AftBalance {
        let Self { weight, cg_ahead, cg_height, slope, tail_load, tail_behind } = *self;
        let (w, a, h) = (weight.to_n(), cg_ahead.to_m(), cg_height.to_m());
        let credited = |x: f64| if x < 0.0 { 0.0 } else { x };
        let (slope, tail) = (credited(slope.to_ratio()), credited(tail_load.to_n() * tail_behind.to_m()));
        if !(w > 0.0 && a > 0.0 && h >= 0.0) {
            return AftBalance::OnItsTail;
        }
        let reserve = 1.0 - (h * slope + tail * libm::hypot(1.0, slope) / w) / a;
        if reserve.is_finite() { AftBalance::Reserve(reserve) } else { AftBalance::OnItsTail }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const LEVEL: AtRest = AtRest {
        weight: Newtons::n(6000.0),
        cg_ahead: Metres::m(0.4),
        cg_height: Metres::m(1.3),
        slope: Slope::ZERO,
        tail_load: Newtons::ZERO,
        tail_behind: Metres::m(4.0),
    };

    fn left(at_rest: &AtRest) -> f64 {
        match at_rest.aft_balance() {
            AftBalance::Reserve(left) => left,
            AftBalance::OnItsTail => f64::NEG_INFINITY,
        }
    }

    #[test]
    fn slope_and_tail_load_take_from_the_reserve() {
        // 1 - (1.3 x 0.05 + 300 x 4 x sqrt(1.0025)/6000)/0.4 = 0.336875 (plain arithmetic).
        let loaded = AtRest { slope: Slope::ratio(0.05), tail_load: Newtons::n(300.0), ..LEVEL };
        assert!((left(&loaded) - 0.336_875).abs() < 1e-6, "{}", left(&loaded));
    }

    #[test]
    fn what_would_help_is_not_credited() {
        let helped = AtRest { slope: Slope::ratio(-0.1), tail_load: Newtons::n(-300.0), ..LEVEL };
        assert!((left(&helped) - 1.0).abs() < 1e-15);
    }

    #[test]
    fn a_centre_of_gravity_behind_the_end_sits_on_the_tail() {
        for bad in [0.0, -0.1, f64::NAN] {
            assert_eq!(AtRest { cg_ahead: Metres::m(bad), ..LEVEL }.aft_balance(), AftBalance::OnItsTail);
        }
        let unknown = AtRest { slope: Slope::ratio(f64::NAN), ..LEVEL };
        assert_eq!(unknown.aft_balance(), AftBalance::OnItsTail);
    }

    proptest! {
        #[test]
        fn steeper_higher_or_more_tail_load_never_leaves_more(
            slope in -0.1..0.2_f64, height in 0.2..2.0_f64, tail in -100.0..500.0_f64, by in 0.0..0.5_f64,
        ) {
            let here = AtRest {
                slope: Slope::ratio(slope), cg_height: Metres::m(height), tail_load: Newtons::n(tail), ..LEVEL
            };
            let worse = [
                AtRest { slope: Slope::ratio(slope + by), ..here },
                AtRest { cg_height: Metres::m(height + by), ..here },
                AtRest { tail_load: Newtons::n(tail + 100.0 * by), ..here },
                AtRest { cg_ahead: LEVEL.cg_ahead - Metres::m(0.3 * by), ..here },
            ];
            for changed in worse {
                prop_assert!(left(&changed) <= left(&here), "{changed:?}");
            }
        }
    }
}
