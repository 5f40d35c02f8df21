//! The same field on another occasion: in another wind, with another mass, in warmer or colder air.
//!
//! Not here: what of these is asked about ([`crate::occasions`]).

use super::{Situation, air, steady};
use crate::day::GivenWind;
use crate::{Day, Settings, Strip};
use measure::{Interval, Kelvins, Kilograms, TrueHeading};
use slide::{density, standard_pressure};

impl Situation {
    /// Where the wind of the day comes from and its mean, m/s; `None` without a day.
    pub(crate) fn given_wind(&self) -> Option<(TrueHeading, f64)> {
        self.wind.map(|w| (w.mean.from, w.mean.speed_mps))
    }

    /// In another wind.
    pub(crate) fn in_wind(&self, wind: &GivenWind, settings: &Settings) -> Self {
        Self { wind: Some(steady(wind, self.declination, settings)), ..self.clone() }
    }

    /// With a mass at touchdown, in air as warm as said: at the day's pressure and humidity, without a day at standard
    /// pressure and any humidity.
    pub(crate) fn loaded(
        &self,
        mass: Kilograms,
        (temperature, day): (Kelvins, Option<&Day>),
        strip: &Strip,
    ) -> Self {
        let density = if let Some(day) = day {
            air(&Day { temperature, ..day.clone() }, strip)
        } else {
            let pressure = standard_pressure(strip.datum.height);
            Interval::spanning(density(pressure, temperature, 1.0), density(pressure, temperature, 0.0))
        };
        Self { mass: Interval::exact(mass), density, ..self.clone() }
    }
}
