//! A day: made from a record by [`Day::new`].
//!
//! Invariants: a figure that cannot be true is in [`Day::left_out`] and is not known, so that it may be anything that a
//! record may hold in its place; the rest stands. Text that cannot be read, a time, a date, or what is no number at all
//! stops the whole, for then nobody knows which day it is or what was typed.
//!
//! Not here: what is not known at the field ([`crate::situation`]).

use crate::error::BadRecord;
use crate::fields::{CALENDAR, finite, is_written_as_a_date, number, positive};
use crate::record::{
    DayRecord, DirectionRecord, EngineRecord, GrassRecord, PressureRecord, WindRecord, WindWhereRecord,
};
use crate::rewalk::Rewalk;
use ground::magnetic_model;
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::fmt::temporal::Pieces;
use measure::{Interval, Kelvins, Kilograms, MagneticHeading, Metres, Pascals, TrueHeading};
use slide::Wetness;
use std::ops::RangeInclusive;

/// Mean wind that a record may hold, m/s: more than any in which somebody would ask (judgement).
const MEAN_MPS: RangeInclusive<f64> = 0.0..=40.0;

/// Gusts at most, m/s (judgement).
const MOST_GUST_MPS: f64 = 60.0;

/// Heights of a measurement of the wind, m.
const WIND_HEIGHT_M: RangeInclusive<f64> = 0.5..=200.0;

/// Air temperatures, degrees Celsius: those for which the saturation of vapour is known, up to more than any field has
/// had (from memory).
pub(crate) const CELSIUS: RangeInclusive<f64> = -45.0..=55.0;

/// Pressures reduced to the sea, Pa: the lowest and the highest ever measured lie within (from memory: 870 and
/// 1,085 hPa).
pub(crate) const QNH_PA: RangeInclusive<f64> = 87_000.0..=109_000.0;

/// Pressures at a field, Pa, wherever it lies; at its own height the range of [`QNH_PA`] rules.
const STATION_PA: RangeInclusive<f64> = 40_000.0..=120_000.0;

/// A direction, by the north that it was counted from.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Direction {
    /// From true north.
    True(TrueHeading),
    /// From magnetic north.
    Magnetic(MagneticHeading),
}

/// The wind as given: exact where it was given, an interval where it was left out.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct GivenWind {
    /// Where it comes from; `None` where that is not known.
    pub from: Option<Direction>,
    /// Mean, m/s.
    pub mean_mps: Interval<f64>,
    /// Gusts, m/s, not below the mean.
    pub gust_mps: Interval<f64>,
    /// Height of the measurement.
    pub at_height: Interval<Metres>,
    /// Whether it was measured on the field itself, not by a station or a forecast.
    pub on_field: bool,
    /// Whether nothing of it was left out.
    pub known: bool,
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
    /// The planned moment.
    pub moment: Timestamp,
    /// Civil date there.
    pub date: Date,
    /// Wind.
    pub wind: GivenWind,
    /// Air temperature, where known.
    pub temperature: Option<Kelvins>,
    /// Air pressure, where known.
    pub pressure: Option<Pressure>,
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
    /// What of the record cannot be true, and is therefore not known.
    pub left_out: Vec<BadRecord>,
}

impl Day {
    /// From its record.
    ///
    /// # Errors
    /// [`BadRecord`] for a time or a date that is none, for text without words, and for the first figure that is no
    /// number.
    pub fn new(record: &DayRecord) -> Result<Self, BadRecord> {
        let (moment, date_there) = moment(&record.time)?;
        all_numbers(record)?;
        let mut left_out = LeftOut::default();
        let wind = wind(&record.wind, date_there, &mut left_out);
        let celsius = number("temperature_c", record.temperature_c, CELSIUS, "degrees Celsius");
        let temperature = left_out.kept(celsius).map(Kelvins::celsius);
        let pressure = left_out.kept(pressure(record.pressure));
        let humidity = record.humidity.map(|h| number("humidity", h, 0.0..=1.0, ""));
        let humidity = humidity.and_then(|h| left_out.kept(h));
        let mass = record.landing_mass_kg.map(|kg| positive("landing_mass_kg", kg, 20_000.0, "kg"));
        let mass = mass.and_then(|kg| left_out.kept(kg)).map(Kilograms::kg);
        Ok(Self {
            moment,
            date: date_there,
            wind,
            temperature,
            pressure,
            humidity,
            wetness: record.grass.map(Wetness::from),
            mass,
            engine_stopped: record.engine == EngineRecord::Stopped,
            rewalk: record.rewalk.as_ref().map(|walk| Rewalk::new(walk, &record.time)).transpose()?,
            left_out: left_out.0,
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

/// Faults met on the way.
#[derive(Default)]
struct LeftOut(Vec<BadRecord>);

impl LeftOut {
    /// A figure that can be true; one that cannot is kept here instead.
    fn kept<T>(&mut self, figure: Result<T, BadRecord>) -> Option<T> {
        figure.map_err(|bad| self.0.push(bad)).ok()
    }
}

/// Refuses what is no number, wherever it stands.
fn all_numbers(record: &DayRecord) -> Result<(), BadRecord> {
    let WindRecord { from, mean_mps, gust_mps, at_height_m, measured: _ } = record.wind;
    let (DirectionRecord::True(deg) | DirectionRecord::Magnetic(deg)) = from;
    let (path, pa) = pressure_field(record.pressure);
    let figures = [
        ("wind.from", Some(deg)),
        ("wind.mean_mps", Some(mean_mps)),
        ("wind.gust_mps", Some(gust_mps)),
        ("wind.at_height_m", Some(at_height_m)),
        ("temperature_c", Some(record.temperature_c)),
        (path, Some(pa)),
        ("humidity", record.humidity),
        ("landing_mass_kg", record.landing_mass_kg),
    ];
    figures.into_iter().filter_map(|(path, figure)| Some((path, figure?))).try_for_each(|(path, figure)| {
        finite(path, figure)?;
        Ok(())
    })
}

fn pressure_field(record: PressureRecord) -> (&'static str, f64) {
    match record {
        PressureRecord::Qnh(pa) => ("pressure.Qnh", pa),
        PressureRecord::Station(pa) => ("pressure.Station", pa),
    }
}

fn pressure(record: PressureRecord) -> Result<Pressure, BadRecord> {
    let (path, pa) = pressure_field(record);
    match record {
        PressureRecord::Qnh(_) => number(path, pa, QNH_PA, "Pa").map(|pa| Pressure::Qnh(Pascals::pa(pa))),
        PressureRecord::Station(_) => {
            number(path, pa, STATION_PA, "Pa").map(|pa| Pressure::Station(Pascals::pa(pa)))
        }
    }
}

/// No place on earth has a greater offset from UTC, s (that of the Line Islands; from memory).
const MOST_OFFSET_S: u32 = 14 * 3600;

/// The moment written with its offset, as RFC 3339 has it, and the civil date there.
fn moment(text: &str) -> Result<(Timestamp, Date), BadRecord> {
    let bad = || {
        let no_such_day =
            text.get(..10).filter(|day| is_written_as_a_date(day) && day.parse::<Date>().is_err());
        let expected =
            no_such_day.map_or("a time with offset such as \"2026-05-02T09:30:00+01:00\"", |_| CALENDAR);
        BadRecord::field("time", &format!("\"{text}\""), expected)
    };
    let pieces = Pieces::parse(text).map_err(|_| bad())?;
    let offset = pieces.to_numeric_offset().filter(|_| pieces.time().is_some()).ok_or_else(bad)?;
    if offset.seconds().unsigned_abs() > MOST_OFFSET_S {
        let found = format!("\"{text}\"");
        return Err(BadRecord::field("time", &found, "an offset from UTC of at most 14 hours"));
    }
    let moment: Timestamp = text.parse().map_err(|_| bad())?;
    Ok((moment, pieces.date()))
}

fn wind(record: &WindRecord, day: Date, left_out: &mut LeftOut) -> GivenWind {
    let faults_before = left_out.0.len();
    let height = number("wind.at_height_m", record.at_height_m, WIND_HEIGHT_M, "m");
    let at_height = left_out.kept(height).map_or_else(
        || Interval::spanning(Metres::m(*WIND_HEIGHT_M.start()), Metres::m(*WIND_HEIGHT_M.end())),
        |m| Interval::exact(Metres::m(m)),
    );
    let from = left_out.kept(direction(record.from, day));
    let (mean_mps, gust_mps) = speeds(record, left_out);
    let on_field = record.measured == WindWhereRecord::OnField;
    let known = left_out.0.len() == faults_before;
    GivenWind { from, mean_mps, gust_mps, at_height, on_field, known }
}

/// The direction; one from magnetic north needs a date of which the magnetic model speaks.
fn direction(from: DirectionRecord, day: Date) -> Result<Direction, BadRecord> {
    let turn = |deg| number("wind.from", deg, 0.0..=360.0, "degrees");
    match from {
        DirectionRecord::True(deg) => Ok(Direction::True(TrueHeading::deg(turn(deg)?))),
        DirectionRecord::Magnetic(deg) if magnetic_model(day.year()).is_some() => {
            Ok(Direction::Magnetic(MagneticHeading::deg(turn(deg)?)))
        }
        DirectionRecord::Magnetic(_) => {
            let expected = "a year from 2020 to 2029, for which the magnetic model speaks, or True";
            Err(BadRecord::field("wind.from", &format!("Magnetic in {}", day.year()), expected))
        }
    }
}

/// Mean and gusts. A speed that is left out may be anything that goes with the other; where gusts lie below the mean
/// either may be the wrong one.
fn speeds(record: &WindRecord, left_out: &mut LeftOut) -> (Interval<f64>, Interval<f64>) {
    let mean = left_out.kept(number("wind.mean_mps", record.mean_mps, MEAN_MPS, "m/s"));
    let gust = left_out.kept(number("wind.gust_mps", record.gust_mps, 0.0..=MOST_GUST_MPS, "m/s"));
    let (calmest, windiest) = (*MEAN_MPS.start(), *MEAN_MPS.end());
    match (mean, gust) {
        (Some(mean), Some(gust)) if gust >= mean => (Interval::exact(mean), Interval::exact(gust)),
        (Some(mean), Some(gust)) => {
            let expected =
                format!("{mean} to {MOST_GUST_MPS} m/s beside a mean of {mean} m/s; either may be wrong");
            left_out.0.push(BadRecord::field("wind.gust_mps", &gust.to_string(), &expected));
            (Interval::spanning(calmest, mean), Interval::spanning(gust, MOST_GUST_MPS))
        }
        (Some(mean), None) => (Interval::exact(mean), Interval::spanning(mean, MOST_GUST_MPS)),
        (None, Some(gust)) => (Interval::spanning(calmest, gust.min(windiest)), Interval::exact(gust)),
        (None, None) => (Interval::spanning(calmest, windiest), Interval::spanning(0.0, MOST_GUST_MPS)),
    }
}
