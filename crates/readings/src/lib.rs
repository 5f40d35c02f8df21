//! Raw measurements in open formats, reduced to a strip record with accuracies.
//!
//! Now: a walking survey in GPX 1.0 or 1.1. The first track is the walk round the field.
//!
//! Invariants:
//! - unknown never helps: an accuracy is only ever made larger by what the file says, an edge of which
//!   nothing is known is a tall hard one, and what was walked inside the outline, without a reason
//!   that is known, becomes a hazard that blocks the whole aircraft;
//! - what was done, assumed or left out is said in a [`Note`], nothing is dropped in silence;
//! - limits on size, depth and count come before the work; no input makes it panic or hang;
//! - equal bytes and options give an equal record;
//! - a record that is handed out has already been accepted by [`strip::Strip::new`].
//!
//! Not here: reading the file from disk, writing the record, anything drawn.

mod accuracy;
mod boundary;
mod crossings;
mod error;
mod fixes;
mod hazards;
mod import;
mod note;
mod outer_form;
mod rings;
mod simplify;
mod source;
mod words;

pub use error::{BadReadings, Problem};
pub use import::{ImportOptions, Imported, import_gpx};
pub use note::{AccuracyFrom, Note};
