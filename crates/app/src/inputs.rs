//! The records of one judgement: a strip with its aircraft, day and settings, from their files.

use crate::failure::Failure;
use std::path::{Path, PathBuf};
use strip::file::{self, RecordKind};
use strip::record::{AircraftRecord, DayRecord, StripRecord};
use strip::{Aircraft, BadRecord, Day, Inputs, Settings, Strip};

/// Where the records are; `None` means: look beside the strip.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    /// The strip.
    pub strip: PathBuf,
    /// The aircraft.
    pub aircraft: Option<PathBuf>,
    /// The day.
    pub day: Option<PathBuf>,
    /// The settings.
    pub settings: Option<PathBuf>,
}

/// A record and the file it came from.
#[derive(Clone, PartialEq, Debug)]
pub struct FromFile<T> {
    /// The record.
    pub record: T,
    /// The file.
    pub path: PathBuf,
}

/// The records as read.
#[derive(Clone, PartialEq, Debug)]
pub struct Records {
    /// The strip.
    pub strip: FromFile<StripRecord>,
    /// The aircraft, given or found.
    pub aircraft: Option<FromFile<AircraftRecord>>,
    /// The day, given or found.
    pub day: Option<FromFile<DayRecord>>,
    /// The settings, given or found, else the defaults.
    pub settings: Settings,
}

impl Records {
    /// Reads them.
    ///
    /// # Errors
    /// [`Failure`] naming the file and what is wrong with it, or the aircraft that could be meant.
    pub fn read(sources: &Sources) -> Result<Self, Failure> {
        let strip_path = &sources.strip;
        let strip = read(RecordKind::Strip, strip_path)?;
        let find = |given: &Option<PathBuf>, kind| match given {
            Some(path) => Ok(Some(path.clone())),
            None => file::companion(strip_path, kind),
        };
        let aircraft = find(&sources.aircraft, RecordKind::Aircraft)?;
        let day = find(&sources.day, RecordKind::Day)?;
        let settings = find(&sources.settings, RecordKind::Settings)?;
        Ok(Self {
            strip,
            aircraft: aircraft.map(|p| read(RecordKind::Aircraft, &p)).transpose()?,
            day: day.map(|p| read(RecordKind::Day, &p)).transpose()?,
            settings: self::settings(settings.as_deref())?,
        })
    }

    /// The same, valid.
    ///
    /// # Errors
    /// [`BadRecord`] naming file and field.
    pub fn inputs(&self) -> Result<Inputs, BadRecord> {
        Ok(Inputs {
            strip: Strip::new(&self.strip.record, &self.settings).map_err(|b| b.in_file(&self.strip.path))?,
            aircraft: self
                .aircraft
                .as_ref()
                .map(|a| Aircraft::new(&a.record).map_err(|b| b.in_file(&a.path)))
                .transpose()?,
            day: self
                .day
                .as_ref()
                .map(|d| Day::new(&d.record).map_err(|b| b.in_file(&d.path)))
                .transpose()?,
            settings: self.settings,
        })
    }
}

fn read<T: serde::de::DeserializeOwned>(kind: RecordKind, path: &Path) -> Result<FromFile<T>, BadRecord> {
    Ok(FromFile { record: file::read(kind, path)?, path: path.to_owned() })
}

/// Settings from a file, or the defaults where none is given.
///
/// # Errors
/// [`BadRecord`] naming file and setting.
pub fn settings(path: Option<&Path>) -> Result<Settings, BadRecord> {
    let Some(path) = path else { return Ok(Settings::default()) };
    file::read::<Settings>(RecordKind::Settings, path)?.checked().map_err(|b| b.in_file(path))
}
