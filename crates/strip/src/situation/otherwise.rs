//! The same field on another occasion: in another wind, with another mass, in warmer or colder air.
//!
//! Not here: what of these is asked about ([`crate::occasions`]).

use super::Situation;
use crate::air::FieldAir;
use crate::day::GivenWind;
use crate::wind::FieldWind;
use crate::{Settings, Strip};
use measure::{Interval, Kelvins, Kilograms, TrueHeading};
use slide::{density, standard_pressure};

impl Situation {
    /// Where the wind of the day comes from and its mean, m/s; `None` without a day, and where it is not known.
    pub(crate) fn given_wind(&self) -> Option<(TrueHeading, f64)> {
        self.wind.and_then(|wind| wind.given())
    }

    /// In another wind.
    pub(crate) fn in_wind(&self, wind: &GivenWind, settings: &Settings) -> Self {
        Self { wind: Some(FieldWind::new(wind, self.declination, settings)), ..self.clone() }
    }

    /// With a mass at touchdown, in air as warm as said: at the day's pressure and humidity, without a day at standard
    /// pressure and any humidity.
    pub(crate) fn loaded(&self, mass: Kilograms, temperature: Kelvins, strip: &Strip) -> Self {
        let air = self.air.as_ref().map(|air| air.as_warm_as(temperature));
        let standard = || {
            let pressure = standard_pressure(strip.datum.height);
            Interval::spanning(density(pressure, temperature, 1.0), density(pressure, temperature, 0.0))
        };
        let density = air.as_ref().map_or_else(standard, FieldAir::density);
        Self { mass: Interval::exact(mass), density, air, ..self.clone() }
    }
}
