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
