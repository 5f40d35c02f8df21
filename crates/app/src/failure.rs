//! Why the program ended without an answer, and the exit code that says so.

use readings::BadReadings;
use std::process::ExitCode;
use strip::BadRecord;
use strip::file::{NotWritten, Several};
use thiserror::Error;

/// Why there is no answer.
#[derive(Debug, Error)]
pub enum Failure {
    /// The program was called wrongly.
    #[error("{0}")]
    Use(String),
    /// Several records could be meant.
    #[error(transparent)]
    Several(#[from] Several),
    /// A record cannot be used.
    #[error(transparent)]
    Record(#[from] BadRecord),
    /// Readings cannot be used.
    #[error(transparent)]
    Readings(#[from] BadReadings),
    /// A file could not be written.
    #[error(transparent)]
    NotWritten(#[from] NotWritten),
    /// Standard output could not be written.
    #[error("could not write the answer: {0}")]
    Output(#[from] std::io::Error),
    /// The window could not run.
    #[error("the window could not run: {0}")]
    Window(String),
}

impl Failure {
    /// 2 for bad use, 3 for input that cannot be used, 4 for what could not be written.
    pub fn exit_code(&self) -> ExitCode {
        ExitCode::from(match self {
            Self::Use(_) | Self::Several(_) | Self::Window(_) => 2,
            Self::Record(_) | Self::Readings(_) => 3,
            Self::NotWritten(_) | Self::Output(_) => 4,
        })
    }
}
