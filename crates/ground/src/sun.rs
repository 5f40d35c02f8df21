//! Where the sun stands over the field at a moment, by the Solar Position Algorithm (Reda and Andreas, Solar Energy
//! 76, 2004, as the library names it), through the library `solar-positioning`.
//!
//! Invariants: the elevation is that of the sun's centre without refraction, which lifts a low sun by up to half a
//! degree: so it is never said to stand higher than it is seen, and the day never to be longer.
//!
//! Not here: what a low sun means for a lane, and hills or trees before it.

use crate::Datum;
use measure::TrueHeading;
use solar_positioning::time::JulianDate;
use solar_positioning::{Location, SolarPositions, delta_t};
use thiserror::Error;

/// Julian date of the beginning of 1970 in universal time.
const JULIAN_DATE_OF_1970: f64 = 2_440_587.5;

/// Seconds in a day.
const DAY: f64 = 86_400.0;

/// Days in a Gregorian year on the average.
const YEAR: f64 = 365.2425;

/// Where the sun stands.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Sun {
    /// Direction in which it stands.
    pub azimuth: TrueHeading,
    /// Height of its centre above the level horizon in radians, without refraction; negative below it.
    pub elevation_rad: f64,
}

/// Nobody knows how the earth has turned at this moment.
#[derive(Clone, Copy, PartialEq, Debug, Error)]
#[error("no position of the sun: found a moment about the year {year}, expected one from -500 to 3000")]
pub struct OutsideAlmanac {
    year: i32,
}

/// The sun at a place at a moment.
///
/// # Units
/// Seconds since the beginning of 1970 in universal time; good to 0.001 degrees within some centuries of now.
///
/// # Errors
/// [`OutsideAlmanac`] before the year -500 and after 3000, past which nobody reckons how the earth turns.
///
/// # Example: towards noon in midsummer
/// ```
/// use ground::{sun, Datum};
/// use measure::Metres;
/// let datum = Datum { latitude_deg: 47.0, longitude_deg: 8.0, height: Metres::ZERO };
/// // 2026-06-21 12:00 UTC.
/// let at_noon = sun(&datum, 1_782_043_200).unwrap();
/// assert!((at_noon.elevation_rad.to_degrees() - 65.67195).abs() < 0.001);
/// assert!((at_noon.azimuth.to_deg() - 197.00588).abs() < 0.001);
/// ```
pub fn sun(datum: &Datum, seconds_since_1970: i64) -> Result<Sun, OutsideAlmanac> {
    // Seconds of every calendar year fit a double exactly.
    let days = seconds_since_1970 as f64 / DAY;
    let year = 1970.0 + days / YEAR;
    let outside = OutsideAlmanac { year: year as i32 };
    let behind = delta_t::estimate(year).map_err(|_| outside)?;
    let moment = JulianDate::new(JULIAN_DATE_OF_1970 + days, behind).map_err(|_| outside)?;
    let place = Location { latitude: datum.latitude_deg, longitude: datum.longitude_deg };
    let position = SolarPositions::new().at_from_julian(moment, place, datum.height.to_m(), None);
    let position = position.map_err(|_| outside)?;
    Ok(Sun {
        azimuth: TrueHeading::deg(position.azimuth()),
        elevation_rad: position.elevation_angle().to_radians(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Metres;

    fn datum() -> Datum {
        Datum { latitude_deg: 47.0, longitude_deg: 8.0, height: Metres::ZERO }
    }

    #[test]
    fn a_moment_that_nobody_reckons_is_refused() {
        let seconds = (4000.0 - 1970.0) * YEAR * DAY;
        let bad = sun(&datum(), seconds as i64).unwrap_err().to_string();
        assert_eq!(
            bad,
            "no position of the sun: found a moment about the year 4000, expected one from -500 to 3000"
        );
        assert!(sun(&datum(), i64::MAX).is_err() && sun(&datum(), i64::MIN).is_err());
    }

    #[test]
    fn it_stands_east_in_the_morning_and_west_in_the_evening() {
        // 2026-03-20, half past six and half past five in the evening in universal time.
        let (morning, evening) = (1_773_988_200, 1_774_027_800);
        let [morning, evening] = [morning, evening].map(|at| sun(&datum(), at).unwrap());
        assert!((80.0..110.0).contains(&morning.azimuth.to_deg()), "{morning:?}");
        assert!((250.0..280.0).contains(&evening.azimuth.to_deg()), "{evening:?}");
        assert!(morning.elevation_rad > 0.0 && evening.elevation_rad < morning.elevation_rad);
    }
}
