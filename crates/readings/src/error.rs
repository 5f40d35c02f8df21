//! Why readings cannot be used: one message with file, place, found and expected.

use crate::crossings::MOST_CROSSINGS;
use strip::BadRecord;
use thiserror::Error;

/// Most fixes in all tracks and routes of one file: more than five hours at one a second.
pub(crate) const MOST_FIXES: usize = 20_000;

/// Fewest fixes that can enclose ground.
pub(crate) const FEWEST_FIXES: usize = 3;

/// Readings that cannot be used.
///
/// # Example: the message
/// ```
/// let bad = readings::import_gpx("mere.gpx", b"", &readings::ImportOptions::default()).unwrap_err();
/// assert_eq!(bad.to_string(), "mere.gpx: found an empty file, expected a walk in GPX");
/// ```
#[derive(Clone, PartialEq, Debug, Error)]
#[error("{file}: {problem}")]
pub struct BadReadings {
    /// The file, by the name it was given under.
    pub file: String,
    /// What is wrong with it.
    pub problem: Problem,
}

/// What is wrong with a file of readings. Lines and fixes are counted from 1.
#[derive(Clone, PartialEq, Debug, Error)]
pub enum Problem {
    /// There is nothing in it.
    #[error("found an empty file, expected a walk in GPX")]
    Empty,
    /// It is too large to look at.
    #[error("found more than 8 MiB, expected a walk in GPX of at most 8 MiB")]
    TooLarge,
    /// It does not have the form of a GPX file.
    #[error("line {line}: found {found}, expected {expected}")]
    Form {
        /// Where.
        line: usize,
        /// What stands there.
        found: String,
        /// What should.
        expected: String,
    },
    /// Nobody walked.
    #[error("found no track and no route with points, expected a track of the walk round the field")]
    NoWalk,
    /// There are more fixes than are looked at.
    #[error("found {found} fixes, expected at most {MOST_FIXES}")]
    TooManyFixes {
        /// How many.
        found: usize,
    },
    /// Too few fixes enclose no ground.
    #[error(
        "{walk}: found {found} usable fixes of {of} at different places, expected at least {FEWEST_FIXES}"
    )]
    TooFewFixes {
        /// Which track or route.
        walk: String,
        /// How many can be used.
        found: usize,
        /// How many there are.
        of: usize,
    },
    /// A fix cannot be used.
    #[error("{walk}, fix {fix}: found {found}, expected {expected}")]
    Fix {
        /// Which track or route.
        walk: String,
        /// Which of its fixes that can be used.
        fix: usize,
        /// What stands there.
        found: String,
        /// What should.
        expected: String,
    },
    /// The walk does not go round anything.
    #[error(
        "{walk}: found no ground inside that is wider than {width_m:.1} m, expected a walk round the field"
    )]
    NoGround {
        /// Which track or route.
        walk: String,
        /// Tolerance within which the walk is simplified, metres.
        width_m: f64,
    },
    /// The walk has too many corners even when it is simplified coarsely.
    #[error("{walk}: found more than {most} corners, expected a walk round one field")]
    TooManyCorners {
        /// Which track or route.
        walk: String,
        /// How many there may be.
        most: usize,
    },
    /// The walk crosses itself so often that no ground can be told from it.
    #[error(
        "{walk}: found more than {MOST_CROSSINGS} crossings with itself, expected a walk round one field"
    )]
    Tangled {
        /// Which track or route.
        walk: String,
    },
    /// The accuracy that was given, or that of the method, is no accuracy.
    #[error("accuracy: found {found_m} m, expected a number above 0, at most {most_m} m")]
    Accuracy {
        /// What was given, metres.
        found_m: f64,
        /// The largest that is taken, metres.
        most_m: f64,
    },
    /// What came out is not a valid strip.
    #[error(transparent)]
    Record(#[from] BadRecord),
}
