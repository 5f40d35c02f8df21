//! A day, valid: made from a record by [`Day::new`].

use crate::error::BadRecord;
use crate::fields::{number, positive};
use crate::record::{DayRecord, DirectionRecord, EngineRecord, GrassRecord, PressureRecord};
use crate::rewalk::Rewalk;
use jiff::civil::Date;
use jiff::fmt::temporal::Pieces;
use measure::{Kelvins, Kilograms, MagneticHeading, Metres, Pascals, TrueHeading};
use slide::Wetness;

/// A direction, by the north that it was counted from.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Direction {
    /// From true north.
    True(TrueHeading),
    /// From magnetic north.
    Magnetic(MagneticHeading),
}

/// The wind as given.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct GivenWind {
    /// Where it comes from.
    pub from: Direction,
    /// Mean, m/s.
    pub mean_mps: f64,
    /// Gusts, m/s, not below the mean.
    pub gust_mps: f64,
    /// Height of the measurement.
    pub at_height: Metres,
}

/// Air pressure as given.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Pressure {
    /// Reduced to the sea.
    Qnh(Pascals),
    /// At the field.
    Station(Pascals),
}

/// A day.
#[derive(Clone, PartialEq, Debug)]
pub struct Day {
    /// Civil date there.
    pub date: Date,
    /// Wind.
    pub wind: GivenWind,
    /// Air temperature.
    pub temperature: Kelvins,
    /// Air pressure.
    pub pressure: Pressure,
    /// Relative humidity, 0 to 1, where known.
    pub humidity: Option<f64>,
    /// State of the grass, where known.
    pub wetness: Option<Wetness>,
    /// Mass at touchdown, where known.
    pub mass: Option<Kilograms>,
    /// Whether the engine is stopped before touchdown; else it idles, and pulls.
    pub engine_stopped: bool,
    /// The walk on the day, where one was made.
    pub rewalk: Option<Rewalk>,
}

impl Day {
    /// From its record.
    ///
    /// # Errors
    /// [`BadRecord`] for the first field that is not valid.
    pub fn new(record: &DayRecord) -> Result<Self, BadRecord> {
        let day = moment(&record.time)?;
        let pressure = |path: &str, pa| number(path, pa, 40_000.0..=120_000.0, "Pa").map(Pascals::pa);
        let celsius = number("temperature_c", record.temperature_c, -60.0..=60.0, "degrees Celsius")?;
        Ok(Self {
            date: day,
            wind: wind(record, day)?,
            temperature: Kelvins::celsius(celsius),
            pressure: match record.pressure {
                PressureRecord::Qnh(pa) => Pressure::Qnh(pressure("pressure.Qnh", pa)?),
                PressureRecord::Station(pa) => Pressure::Station(pressure("pressure.Station", pa)?),
            },
            humidity: record.humidity.map(|h| number("humidity", h, 0.0..=1.0, "")).transpose()?,
            wetness: record.grass.map(Wetness::from),
            mass: record
                .landing_mass_kg
                .map(|kg| positive("landing_mass_kg", kg, 20_000.0, "kg").map(Kilograms::kg))
                .transpose()?,
            engine_stopped: record.engine == EngineRecord::Stopped,
            rewalk: record.rewalk.as_ref().map(|walk| Rewalk::new(walk, &record.time)).transpose()?,
        })
    }
}

impl From<GrassRecord> for Wetness {
    fn from(record: GrassRecord) -> Self {
        match record {
            GrassRecord::Dry => Self::Dry,
            GrassRecord::Dew => Self::Dew,
            GrassRecord::Wet => Self::Wet,
            GrassRecord::Frost => Self::Frost,
            GrassRecord::Frozen => Self::Frozen,
        }
    }
}

/// The civil date of a moment written with its offset, as RFC 3339 has it.
fn moment(text: &str) -> Result<Date, BadRecord> {
    let bad = || {
        BadRecord::field(
            "time",
            &format!("\"{text}\""),
            "a time with offset such as \"2026-05-02T09:30:00+01:00\"",
        )
    };
    let pieces = Pieces::parse(text).map_err(|_| bad())?;
    if pieces.time().is_none() || pieces.offset().is_none() {
        return Err(bad());
    }
    Ok(pieces.date())
}

fn wind(record: &DayRecord, day: Date) -> Result<GivenWind, BadRecord> {
    let wind = &record.wind;
    let turn = |path: &str, deg| number(path, deg, 0.0..=360.0, "degrees");
    let from = match wind.from {
        DirectionRecord::True(deg) => Direction::True(TrueHeading::deg(turn("wind.from", deg)?)),
        DirectionRecord::Magnetic(deg) => {
            let modelled = (2020..=2029).contains(&day.year());
            if !modelled {
                let expected = "a year from 2020 to 2029, for which the magnetic model speaks, or True";
                return Err(BadRecord::field("wind.from", &format!("Magnetic in {}", day.year()), expected));
            }
            Direction::Magnetic(MagneticHeading::deg(turn("wind.from", deg)?))
        }
    };
    let mean_mps = number("wind.mean_mps", wind.mean_mps, 0.0..=60.0, "m/s")?;
    Ok(GivenWind {
        from,
        mean_mps,
        gust_mps: number("wind.gust_mps", wind.gust_mps, mean_mps..=100.0, "m/s (not below the mean)")?,
        at_height: Metres::m(number("wind.at_height_m", wind.at_height_m, 0.5..=200.0, "m")?),
    })
}
