//! The program: a window and headless verbs, both thin over `strip::assess`.
//!
//! Invariants:
//! - the window never blocks: files, dialogs and assessments run on other threads;
//! - window and verbs show the same `Assessment`, so they never disagree;
//! - a record changes through an [`window::Action`] alone, so everything can be undone.
//!
//! Not here: geometry, physics, verdicts.

pub mod failure;
pub mod inputs;
pub mod verbs;
pub mod window;
mod words;
