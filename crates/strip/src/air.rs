//! The air of the day at this field: pressure, temperature, humidity, and what is told of it.
//!
//! Invariants: what is not known lies between the ends that a record may hold in its place; a pressure at the field that
//! would be one at the sea that nobody ever measured is left out, for then it was reduced already or belongs elsewhere;
//! what is told is the thinner end.
//!
//! Not here: the equations (crate `slide`).

use crate::Day;
use crate::day::{CELSIUS, Pressure, QNH_PA};
use measure::{CubicDensity, Interval, Kelvins, Metres, Pascals};
use serde::Serialize;
use slide::{density, density_altitude, pressure_altitude, pressure_from_qnh};

/// What is known of the air.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct FieldAir {
    pressure: Interval<Pascals>,
    temperature: Interval<Kelvins>,
    humidity: Interval<f64>,
    /// Why the pressure does not count, if it does not.
    pub(crate) left_out: Option<String>,
}

/// The air of the day as told, at the thinner end of what is known; what is not known is absent.
#[derive(Clone, Copy, PartialEq, Debug, Serialize)]
pub struct AirFigures {
    /// Height in the standard atmosphere that has this pressure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pressure_altitude_m: Option<f64>,
    /// Height in the standard atmosphere that has this density: the higher where humidity is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub density_altitude_m: Option<f64>,
    /// The lower; the same where humidity is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub density_altitude_least_m: Option<f64>,
    /// Density, the lower where humidity is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub density_kg_m3: Option<f64>,
}

impl FieldAir {
    /// Of a day at a place of this height.
    pub(crate) fn new(day: &Day, height: Metres) -> Self {
        let at_sea = |pa: f64| pressure_from_qnh(height, Pascals::pa(pa));
        let possible = Interval::spanning(at_sea(*QNH_PA.start()), at_sea(*QNH_PA.end()));
        let (pressure, left_out) = match day.pressure {
            None => (possible, None),
            Some(Pressure::Qnh(qnh)) => (Interval::exact(pressure_from_qnh(height, qnh)), None),
            Some(Pressure::Station(p)) if possible.low() <= p && p <= possible.high() => {
                (Interval::exact(p), None)
            }
            Some(Pressure::Station(p)) => {
                let (low, high) = (possible.low().to_pa().round(), possible.high().to_pa().round());
                let why = format!(
                    "pressure.Station: found {}, expected a number from {low} to {high} Pa at {} m above the sea",
                    p.to_pa(),
                    height.to_m()
                );
                (possible, Some(why))
            }
        };
        let unknown =
            Interval::spanning(Kelvins::celsius(*CELSIUS.start()), Kelvins::celsius(*CELSIUS.end()));
        Self {
            pressure,
            temperature: day.temperature.map_or(unknown, Interval::exact),
            humidity: day.humidity.map_or(Interval::spanning(0.0, 1.0), Interval::exact),
            left_out,
        }
    }

    /// The same at another temperature.
    pub(crate) fn as_warm_as(&self, temperature: Kelvins) -> Self {
        Self { temperature: Interval::exact(temperature), ..self.clone() }
    }

    /// Between the thinnest and the densest that it may be: thin is low pressure, warm and moist.
    pub(crate) fn density(&self) -> Interval<CubicDensity> {
        let thin = density(self.pressure.low(), self.temperature.high(), self.humidity.high());
        let dense = density(self.pressure.high(), self.temperature.low(), self.humidity.low());
        Interval::spanning(thin, dense)
    }

    /// Whether pressure and temperature are known.
    pub(crate) fn is_known(&self) -> bool {
        self.pressure_is_known() && self.temperature.low() >= self.temperature.high()
    }

    /// What is told of it.
    pub(crate) fn figures(&self) -> AirFigures {
        let density = self.is_known().then(|| self.density());
        AirFigures {
            pressure_altitude_m: self
                .pressure_is_known()
                .then(|| pressure_altitude(self.pressure.low()).to_m()),
            density_altitude_m: density.map(|d| density_altitude(d.low()).to_m()),
            density_altitude_least_m: density.map(|d| density_altitude(d.high()).to_m()),
            density_kg_m3: density.map(|d| d.low().to_kg_m3()),
        }
    }

    fn pressure_is_known(&self) -> bool {
        self.pressure.low() >= self.pressure.high()
    }
}
