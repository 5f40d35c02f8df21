//! Speeds: through the air, over the ground, as the airspeed indicator is calibrated.
//!
//! Source of the conversion: equivalent airspeed = true airspeed x sqrt(density ratio); at the
//! speeds of a light floatplane calibrated and equivalent airspeed differ by less than 0.1 %
//! (from memory: compressibility correction below 100 kt and 10,000 ft).

use crate::CubicDensity;
use crate::quantity::quantity;
use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// Metres per second in one knot (1852 m an hour, exact by definition).
pub const KNOT: f64 = 1852.0 / 3600.0;

/// Sea-level density of the standard atmosphere, kg/m3 (ISO 2533).
const SEA_LEVEL_DENSITY: f64 = 1.225;

quantity!(
    /// True airspeed: speed through the air mass.
    ///
    /// Airspeed and ground speed do not add; the headwind stands between them.
    /// ```
    /// use measure::{AirSpeed, Headwind};
    /// let v = AirSpeed::mps(22.0).over_ground(Headwind::mps(4.0));
    /// assert_eq!(v.to_mps(), 18.0);
    /// ```
    /// ```compile_fail
    /// use measure::{AirSpeed, GroundSpeed};
    /// let v = AirSpeed::mps(22.0) + GroundSpeed::mps(18.0);
    /// ```
    AirSpeed, "m/s true", mps, to_mps
);
quantity!(
    /// Calibrated airspeed: what the indicator shows once its position error is taken out.
    CalibratedSpeed, "m/s calibrated", mps, to_mps
);
quantity!(
    /// Speed over the ground.
    GroundSpeed, "m/s over ground", mps, to_mps
);
quantity!(
    /// Component of the wind against the direction of motion; negative is a tail wind.
    Headwind, "m/s head", mps, to_mps
);

impl AirSpeed {
    /// Speed over the ground when flying straight into this headwind.
    pub fn over_ground(self, headwind: Headwind) -> GroundSpeed {
        GroundSpeed(self.0 - headwind.0)
    }
}

impl GroundSpeed {
    /// Speed through the air when moving straight into this headwind.
    pub fn through_air(self, headwind: Headwind) -> AirSpeed {
        AirSpeed(self.0 + headwind.0)
    }
}

impl CalibratedSpeed {
    /// From knots.
    pub const fn kt(value: f64) -> Self {
        Self(value * KNOT)
    }

    /// In knots.
    pub const fn to_kt(self) -> f64 {
        self.0 / KNOT
    }

    /// True airspeed in air of this density, which must be positive.
    pub fn to_true(self, density: CubicDensity) -> AirSpeed {
        AirSpeed(self.0 / libm::sqrt(density.to_kg_m3() / SEA_LEVEL_DENSITY))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn true_airspeed_grows_as_the_air_thins() {
        // 50 kt at density ratio 0.861670 is 53.8641 kt true (EAS/sqrt(sigma), plain arithmetic).
        let tas = CalibratedSpeed::kt(50.0).to_true(CubicDensity::kg_m3(1.225 * 0.861_670));
        assert!((tas.to_mps() / KNOT - 53.8641).abs() < 1e-4);
    }

    #[test]
    fn ground_speed_and_airspeed_differ_by_the_headwind() {
        let v = AirSpeed::mps(20.0).over_ground(Headwind::mps(-3.0));
        assert!((v.to_mps() - 23.0).abs() < 1e-12);
        assert!((v.through_air(Headwind::mps(-3.0)).to_mps() - 20.0).abs() < 1e-12);
    }
}
