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
    /// What stands there.
    pub found: String,
    /// What should.
    pub expected: String,
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
        write!(f, "found {}, expected {}", self.found, self.expected)
    }
}

impl BadRecord {
    /// About a field.
    pub fn field(path: &str, found: &str, expected: &str) -> Self {
        Self {
            file: None,
            place: Place::Field(path.to_owned()),
            found: found.to_owned(),
            expected: expected.to_owned(),
        }
    }

    /// About the whole file.
    pub fn file(found: &str, expected: &str) -> Self {
        Self { file: None, place: Place::File, found: found.to_owned(), expected: expected.to_owned() }
    }

    /// The same, with the name of the file.
    #[must_use]
    pub fn in_file(mut self, file: impl AsRef<Path>) -> Self {
        self.file = Some(file.as_ref().to_owned());
        self
    }
}
