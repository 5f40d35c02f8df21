//! Magnetic declination at the field by the World Magnetic Model (NOAA/BGS, WMM2020 and WMM2025),
//! through the library `world_magnetic_model`.

use crate::Datum;
use measure::Declination;
use thiserror::Error;
use world_magnetic_model::GeomagneticField;
use world_magnetic_model::time::{Date, Month};
use world_magnetic_model::uom::si::angle::degree;
use world_magnetic_model::uom::si::f32::{Angle, Length};
use world_magnetic_model::uom::si::length::meter;

/// The model says nothing for this place or date.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
#[error("no magnetic declination: found {found}, expected a date from 2020-01-01 to 2029-12-31")]
pub struct OutsideModel {
    found: String,
}

/// An edition of the model: its name, and the dates that it holds from and to, both of them within it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct MagneticModel {
    /// As its makers name it.
    pub name: &'static str,
    /// First date, year, month and day.
    pub from: (i16, u8, u8),
    /// Last date.
    pub until: (i16, u8, u8),
}

/// The editions that are known; each holds for five years. No official test values of WMM2020 were to be had, so only
/// WMM2025 is held against any.
const MODELS: [MagneticModel; 2] = [
    MagneticModel { name: "WMM2020", from: (2020, 1, 1), until: (2024, 12, 31) },
    MagneticModel { name: "WMM2025", from: (2025, 1, 1), until: (2029, 12, 31) },
];

/// The edition that a year's declination comes from; none before 2020 and after 2029.
pub fn magnetic_model(year: i16) -> Option<MagneticModel> {
    MODELS.into_iter().find(|m| (m.from.0..=m.until.0).contains(&year))
}

/// Declination at a place on a date.
///
/// # Errors
/// [`OutsideModel`] before 2020, after 2029, or for a date that does not exist.
///
/// # Example: error on a date past the model
/// ```
/// use ground::{declination, Datum};
/// use measure::Metres;
/// let datum = Datum { latitude_deg: 47.0, longitude_deg: 8.0, height: Metres::m(500.0) };
/// let err = declination(&datum, 2031, 1, 1).unwrap_err();
/// assert_eq!(err.to_string(), "no magnetic declination: found 2031-01-01, expected a date from 2020-01-01 to 2029-12-31");
/// ```
pub fn declination(datum: &Datum, year: i16, month: u8, day: u8) -> Result<Declination, OutsideModel> {
    let outside = || OutsideModel { found: format!("{year:04}-{month:02}-{day:02}") };
    let month = Month::try_from(month).map_err(|_| outside())?;
    let date = Date::from_calendar_date(i32::from(year), month, day).map_err(|_| outside())?;
    // The model works in single precision: 1e-5 degrees of position, far below its own error.
    let field = GeomagneticField::new(
        Length::new::<meter>(datum.height.to_m() as f32),
        Angle::new::<degree>(datum.latitude_deg as f32),
        Angle::new::<degree>(datum.longitude_deg as f32),
        date,
    )
    .map_err(|_| outside())?;
    Ok(Declination::east_deg(f64::from(field.declination().get::<degree>())))
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Metres;

    #[test]
    fn an_edition_is_named_for_the_years_for_which_there_is_a_declination() {
        let datum = Datum { latitude_deg: 54.1, longitude_deg: -2.6, height: Metres::ZERO };
        for year in 2015..2035 {
            assert_eq!(magnetic_model(year).is_some(), declination(&datum, year, 6, 1).is_ok(), "{year}");
        }
        for MagneticModel { from, until, .. } in MODELS {
            for (year, month, day) in [from, until] {
                assert!(declination(&datum, year, month, day).is_ok(), "{year}-{month}-{day}");
            }
        }
        assert_eq!(magnetic_model(2024).map(|m| m.name), Some("WMM2020"));
        assert_eq!(magnetic_model(2025).map(|m| m.name), Some("WMM2025"));
    }
}
