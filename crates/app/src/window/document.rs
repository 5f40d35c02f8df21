//! The open document: the present edition, the way back, and where it is kept.
//!
//! Invariants: the present edition is always valid (an action that would make it invalid is refused
//! with the reason); every action can be undone; moves of one gesture are one step.

use super::edition::{Action, Edition};
use crate::inputs::Records;
use std::path::PathBuf;
use strip::file::{NotWritten, RecordKind, stem, write};
use strip::{BadRecord, Inputs, Settings};
use thiserror::Error;

/// Most steps back that are kept.
const MOST_STEPS: usize = 500;

/// Where the records are kept.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Paths {
    /// The strip's file.
    pub strip: Option<PathBuf>,
    /// The aircraft's file.
    pub aircraft: Option<PathBuf>,
    /// The day's file.
    pub day: Option<PathBuf>,
}

/// An open document.
#[derive(Clone, Debug)]
pub struct Document {
    now: Edition,
    inputs: Inputs,
    saved: Option<Edition>,
    paths: Paths,
    back: Vec<Edition>,
    forward: Vec<Edition>,
    gesture: Option<u64>,
    revision: u64,
}

/// What is to be written where; made on the drawing thread, written on another.
#[derive(Clone, PartialEq, Debug)]
pub struct SaveJob {
    edition: Edition,
    paths: Paths,
    write_aircraft: bool,
    write_day: bool,
    /// New settings file, where the strip moves and its settings are not the defaults.
    settings: Option<PathBuf>,
    /// Files that were read before and may be written again.
    own: Paths,
    replace: bool,
}

/// A document was not saved. The file named is as it was; what was written before it is whole.
#[derive(Debug, Error)]
pub enum NotSaved {
    /// Another file stands there, and nobody said that it may go.
    #[error("{} is already there; answer once more to replace it", .0.display())]
    AlreadyThere(PathBuf),
    /// The system would not write it.
    #[error(transparent)]
    NotWritten(#[from] NotWritten),
}

impl Document {
    /// A document of records as read.
    ///
    /// # Errors
    /// [`BadRecord`] if they are not valid.
    pub fn of_records(records: Records) -> Result<Self, BadRecord> {
        let Records { strip, aircraft, day, settings } = records;
        let paths = Paths {
            strip: Some(strip.path),
            aircraft: aircraft.as_ref().map(|a| a.path.clone()),
            day: day.as_ref().map(|d| d.path.clone()),
        };
        let edition = Edition {
            strip: strip.record,
            aircraft: aircraft.map(|a| a.record),
            day: day.map(|d| d.record),
            settings,
        };
        let mut document = Self::unsaved(edition)?;
        document.saved = Some(document.now.clone());
        document.paths = paths;
        Ok(document)
    }

    /// A document that is in no file yet.
    ///
    /// # Errors
    /// [`BadRecord`] if it is not valid.
    pub fn unsaved(edition: Edition) -> Result<Self, BadRecord> {
        Ok(Self {
            inputs: edition.inputs()?,
            now: edition,
            saved: None,
            paths: Paths::default(),
            back: Vec::new(),
            forward: Vec::new(),
            gesture: None,
            revision: 0,
        })
    }

    /// The present edition.
    pub fn edition(&self) -> &Edition {
        &self.now
    }

    /// The same, valid.
    pub fn inputs(&self) -> &Inputs {
        &self.inputs
    }

    /// Counts changes, undone ones too.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Where it is kept.
    pub fn paths(&self) -> &Paths {
        &self.paths
    }

    /// Whether closing would lose something.
    pub fn is_unsaved(&self) -> bool {
        self.saved.as_ref() != Some(&self.now)
    }

    /// Whether there is a step back.
    pub fn can_undo(&self) -> bool {
        !self.back.is_empty()
    }

    /// Whether there is a step forward.
    pub fn can_redo(&self) -> bool {
        !self.forward.is_empty()
    }

    /// Does an action; actions of one gesture, such as a drag, are undone together.
    ///
    /// # Errors
    /// [`BadRecord`] if the record would not be valid; nothing is changed then.
    pub fn act(&mut self, action: &Action, gesture: Option<u64>) -> Result<(), BadRecord> {
        let next = self.now.after(action);
        if next == self.now {
            return Ok(());
        }
        let inputs = next.inputs()?;
        let continued = gesture.is_some() && gesture == self.gesture;
        let before = std::mem::replace(&mut self.now, next);
        if !continued {
            self.back.push(before);
            if self.back.len() > MOST_STEPS {
                self.back.remove(0);
            }
        }
        self.gesture = gesture;
        self.forward.clear();
        self.inputs = inputs;
        self.revision += 1;
        Ok(())
    }

    /// One step back.
    pub fn undo(&mut self) {
        if let Some(before) = self.back.pop() {
            let now = self.replace(before);
            self.forward.push(now);
        }
    }

    /// Takes back what a gesture has done, as if it had not begun; says whether there was anything. The
    /// steps forward that it cut off stay cut off.
    pub fn take_back(&mut self, gesture: u64) -> bool {
        let before = if self.gesture == Some(gesture) { self.back.pop() } else { None };
        before.map(|edition| self.replace(edition)).is_some()
    }

    /// One step forward.
    pub fn redo(&mut self) {
        if let Some(after) = self.forward.pop() {
            let now = self.replace(after);
            self.back.push(now);
        }
    }

    fn replace(&mut self, edition: Edition) -> Edition {
        // Only editions that were valid are kept, so the inputs are there.
        if let Ok(inputs) = edition.inputs() {
            self.inputs = inputs;
        }
        self.gesture = None;
        self.revision += 1;
        std::mem::replace(&mut self.now, edition)
    }

    /// What saving has to write; `to` gives the strip a new file, with aircraft and day beside it, and
    /// `replace` lets them take the place of files that are already there. `None` if there is no file
    /// yet.
    pub fn save_job(&self, to: Option<PathBuf>, replace: bool) -> Option<SaveJob> {
        let moved = to.as_ref().is_some_and(|to| Some(to) != self.paths.strip.as_ref());
        let strip = to.or_else(|| self.paths.strip.clone())?;
        let beside = |kind: RecordKind| strip.with_file_name(format!("{}{}", stem(&strip), kind.suffix()));
        let keep = |old: &Option<PathBuf>, kind| match old {
            Some(path) if !moved => path.clone(),
            _ => beside(kind),
        };
        let saved = self.saved.as_ref();
        let changed = |differs: bool, path: &Option<PathBuf>| moved || differs || path.is_none();
        let aircraft_differs = saved.is_none_or(|s| s.aircraft != self.now.aircraft);
        let day_differs = saved.is_none_or(|s| s.day != self.now.day);
        Some(SaveJob {
            write_aircraft: self.now.aircraft.is_some() && changed(aircraft_differs, &self.paths.aircraft),
            write_day: self.now.day.is_some() && changed(day_differs, &self.paths.day),
            paths: Paths {
                aircraft: self.now.aircraft.as_ref().map(|now| {
                    // Another aircraft does not take the place of the one that was read.
                    let same = saved.and_then(|s| s.aircraft.as_ref()).is_none_or(|old| old.id == now.id);
                    keep(&self.paths.aircraft.clone().filter(|_| same), RecordKind::Aircraft)
                }),
                day: self.now.day.as_ref().map(|_| keep(&self.paths.day, RecordKind::Day)),
                strip: Some(strip.clone()),
            },
            edition: self.now.clone(),
            settings: (moved && self.now.settings != Settings::default())
                .then(|| beside(RecordKind::Settings)),
            own: self.paths.clone(),
            replace,
        })
    }

    /// Notes that a job was written.
    pub fn was_saved(&mut self, job: SaveJob) {
        self.saved = Some(job.edition);
        self.paths = job.paths;
    }
}

impl SaveJob {
    /// The strip's file.
    pub fn strip_path(&self) -> Option<&PathBuf> {
        self.paths.strip.as_ref()
    }

    /// Writes aircraft and day first, the strip last, so that a strip never stands without them.
    ///
    /// # Errors
    /// [`NotSaved`]; the file it names is as it was.
    pub fn write(&self) -> Result<(), NotSaved> {
        let Self { edition, paths, write_aircraft, write_day, settings, own, replace } = self;
        let written = [
            (paths.strip.as_ref(), &own.strip),
            (paths.aircraft.as_ref().filter(|_| *write_aircraft), &own.aircraft),
            (paths.day.as_ref().filter(|_| *write_day), &own.day),
            (settings.as_ref(), &None),
        ];
        let foreign = |(path, own): (Option<&PathBuf>, &Option<PathBuf>)| {
            path.filter(|p| Some(*p) != own.as_ref()).cloned()
        };
        if let Some(there) = written.into_iter().filter_map(foreign).find(|path| !replace && path.exists()) {
            return Err(NotSaved::AlreadyThere(there));
        }
        if let Some(path) = settings {
            write(&edition.settings, path)?;
        }
        if let (true, Some(record), Some(path)) = (write_aircraft, &edition.aircraft, &paths.aircraft) {
            write(record, path)?;
        }
        if let (true, Some(record), Some(path)) = (write_day, &edition.day, &paths.day) {
            write(record, path)?;
        }
        paths.strip.as_ref().map_or(Ok(()), |path| Ok(write(&edition.strip, path)?))
    }
}
