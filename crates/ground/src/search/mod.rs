//! The search for the best lane, with a proof that there is none much better.
//!
//! A centre line is a heading and an offset. `cover` holds boxes of them that together hold every line of
//! the field; `bound` says, with its proof, what every line of a box must meet; `gap` turns that into the
//! most that a lane in the box can be worth; boxes that could hold a better lane than the best yet seen are
//! halved, the others are settled. The middle line of every box worked out exactly is a real lane, and
//! `polish` climbs from the best of them.
//!
//! What is found is worked out once more by `stretch`, and checked by `check`, which shares no code with
//! the bound: a lane that failed there would not be returned.

mod aim;
mod blockers;
mod bound;
mod cell;
mod cover;
mod eye;
mod found;
mod gap;
mod piece;
mod polish;
mod sight;

pub use aim::{Aim, Margins, SECTORS, sector_ends, sector_of};
pub use cover::{Cover, Goal};
pub use found::{FINE, Found, SectorLength, by_heading, distinct_lanes, found};
