//! What is wrong with a record: one message with place, found and expected.

use std::fmt;
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Where in a record something is wrong.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Place {
    /// The file as a whole.
    File,
    /// A line and column, from 1.
    Line {
        /// Line.
        line: usize,
        /// Column.
        column: usize,
    },
    /// A field, by its path: `hazards[2] (r3).radius_m`, lists counted from 1.
    Field(String),
}

/// A record that cannot be used.
///
/// # Example: the message
/// ```
/// use strip::BadRecord;
/// let bad = BadRecord::field("hazards[1] (r1).radius_m", "-0.4", "more than 0").in_file("meadow.strip.ron");
/// assert_eq!(bad.to_string(), "meadow.strip.ron: hazards[1] (r1).radius_m: found -0.4, expected more than 0");
/// ```
#[derive(Clone, PartialEq, Eq, Debug, Error)]
pub struct BadRecord {
    /// The file, where there is one.
    pub file: Option<PathBuf>,
    /// Where in it.
    pub place: Place,
    /// "found this, expected that".
    pub problem: String,
}

impl fmt::Display for BadRecord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(file) = &self.file {
            write!(f, "{}: ", file.display())?;
        }
        match &self.place {
            Place::File => {}
            Place::Line { line, column } => write!(f, "line {line}, column {column}: ")?,
            Place::Field(path) => write!(f, "{path}: ")?,
        }
        f.write_str(&self.problem)
    }
}

impl BadRecord {
    /// About a field.
    pub fn field(path: &str, found: &str, expected: &str) -> Self {
        Self::at(Place::Field(short(path)), found, expected)
    }

    /// About the whole file.
    pub fn file(found: &str, expected: &str) -> Self {
        Self::at(Place::File, found, expected)
    }

    /// About a place.
    pub(crate) fn at(place: Place, found: &str, expected: &str) -> Self {
        Self { file: None, place, problem: format!("found {}, expected {expected}", short(found)) }
    }

    /// About a field, in the words of the error that was met there: "found this, expected that".
    pub(crate) fn told(path: &str, error: &impl fmt::Display) -> Self {
        Self { file: None, place: Place::Field(short(path)), problem: error.to_string() }
    }

    /// The same, with the name of the file.
    #[must_use]
    pub fn in_file(mut self, file: impl AsRef<Path>) -> Self {
        self.file = Some(file.as_ref().to_owned());
        self
    }
}

/// What a file holds, on one line and no longer than a person reads: a file may hold anything.
fn short(text: &str) -> String {
    const LONGEST: usize = 120;
    let plain: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).take(LONGEST).collect();
    if text.chars().nth(LONGEST).is_some() { plain + "..." } else { plain }
}
