//! What an import did, assumed or left out, as data and as a sentence.

use measure::{Height, Metres, SquareMetres};
use std::fmt;

/// Where an accuracy comes from.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum AccuracyFrom {
    /// It was given with the import.
    Given,
    /// The method of the survey.
    Method,
    /// The horizontal dilution that the receiver wrote, where that is worse than the method.
    Dilution,
}

/// One thing that a person should know about an import.
#[derive(Clone, PartialEq, Debug)]
pub enum Note {
    /// Accuracy of the outline, without what simplifying adds.
    Accuracy {
        /// Standard deviation of each coordinate.
        sigma: Metres,
        /// Where it comes from.
        from: AccuracyFrom,
    },
    /// No track: a route was taken, which may have been drawn rather than walked.
    RouteTaken,
    /// Fixes at which the receiver had no usable position were left out.
    NoPosition {
        /// Which track or route.
        walk: String,
        /// How many.
        count: usize,
    },
    /// Fixes that nobody can have walked to were left out.
    TooFast {
        /// Which track or route.
        walk: String,
        /// How many.
        count: usize,
    },
    /// The first fix has no elevation.
    ElevationUnknown,
    /// The end of the walk was joined to its start.
    LoopClosed {
        /// Distance between them.
        gap: Metres,
    },
    /// The outline has fewer corners than the walk has fixes.
    Simplified {
        /// Fixes.
        fixes: usize,
        /// Corners.
        corners: usize,
        /// Farthest that the outline may lie from the walk; added to the accuracy of its corners.
        tolerance: Metres,
    },
    /// The walk crosses itself; loops beside the largest were left out.
    LoopsLeftOut {
        /// Their area.
        area: SquareMetres,
    },
    /// The walk went round most of the field more than once.
    WalkedTwice,
    /// The walk goes inside the outline; why is not known, so it blocks.
    WalkedInside {
        /// Marks of the hazards made of it.
        hazards: Vec<String>,
    },
    /// Part of the outline was not walked, so the outline does not count as surveyed.
    NotWalked {
        /// Length of that part.
        length: Metres,
    },
    /// No fix has a time, so the outline does not count as surveyed.
    NoDate,
    /// Date of the survey.
    Dated {
        /// Date of the earliest fix, in UTC.
        on: String,
    },
    /// Nothing in the file says what stands along the outline.
    EdgesUnknown {
        /// Height that was taken.
        height: Height,
    },
    /// Only the outline was surveyed.
    RestNotLooked,
    /// A further track or route was taken as a hazard.
    WalkTaken {
        /// Which track or route.
        walk: String,
        /// Marks of the hazards made of it.
        hazards: Vec<String>,
    },
    /// Fixes of a further track or route lie too far away to be on the field.
    FixesFarAway {
        /// Which track or route.
        walk: String,
        /// How many were left out.
        count: usize,
    },
    /// A further track or route has no usable fix on or near the field.
    WalkLeftOut {
        /// Which track or route.
        walk: String,
    },
    /// Waypoints were taken as hazards.
    WaypointsTaken {
        /// How many.
        count: usize,
        /// Radius that was taken for each.
        radius: Metres,
    },
    /// No word says what these hazards are.
    WaypointsUnidentified {
        /// Marks of the hazards.
        hazards: Vec<String>,
    },
    /// A waypoint lies too far away to be on the field.
    WaypointFarAway {
        /// Its name or place in the file.
        waypoint: String,
    },
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Accuracy { sigma, from } => {
                let from = match from {
                    AccuracyFrom::Given => "as given",
                    AccuracyFrom::Method => "by the method of the survey",
                    AccuracyFrom::Dilution => "by the dilution that the receiver wrote",
                };
                write!(f, "accuracy of positions: {:.2} m, {from}", up(sigma.to_m(), CENTI))
            }
            Self::RouteTaken => {
                f.write_str("there is no track: the first route is the outline, and counts as not surveyed")
            }
            Self::NoPosition { walk, count } => {
                write!(f, "{walk}: {count} left out at which the receiver had no usable position")
            }
            Self::TooFast { walk, count } => {
                write!(f, "{walk}: {count} left out that nobody can have walked to in the time")
            }
            Self::ElevationUnknown => {
                f.write_str("the elevation of the field is not known: 0 m was written, set it")
            }
            Self::LoopClosed { gap } => {
                write!(f, "the walk ends {:.1} m from its start: joined", up(gap.to_m(), DECI))
            }
            Self::Simplified { fixes, corners, tolerance } => write!(
                f,
                "{fixes} fixes simplified to {corners} corners; the {:.2} m that this may move the outline \
                 were added to the accuracy of the corners",
                up(tolerance.to_m(), CENTI)
            ),
            Self::LoopsLeftOut { area } => write!(
                f,
                "the walk crosses itself: {:.0} square metres of loops beside the largest were left out",
                area.to_m2().ceil()
            ),
            Self::WalkedTwice => f.write_str("the walk goes round most of the field more than once"),
            Self::WalkedInside { hazards } => write!(
                f,
                "the walk goes inside the outline: taken as unidentified hazards ({}); take them away if \
                 nothing is there",
                hazards.join(", ")
            ),
            Self::NotWalked { length } => write!(
                f,
                "{:.0} m of the outline were not walked, so it counts as not surveyed",
                length.to_m().ceil()
            ),
            Self::NoDate => f.write_str("no fix has a time, so the outline counts as not surveyed"),
            Self::Dated { on } => write!(f, "the outline counts as surveyed on {on} (date in UTC)"),
            Self::EdgesUnknown { height } => write!(
                f,
                "what stands along the outline is not known: every edge was taken as a wall of {} m, set them",
                height.to_m()
            ),
            Self::RestNotLooked => f.write_str(
                "hazards, ground, levels, approaches, wires and drains count as not looked at; marking \
                 some is not having looked everywhere",
            ),
            Self::WalkTaken { walk, hazards } => write!(
                f,
                "{walk}: taken as an area walked round, unidentified and of unknown height ({})",
                hazards.join(", ")
            ),
            Self::FixesFarAway { walk, count } => {
                write!(f, "{walk}: {count} left out that lie too far away to be on the field")
            }
            Self::WalkLeftOut { walk } => write!(f, "{walk}: left out, none of it is on or near the field"),
            Self::WaypointsTaken { count, radius } => write!(
                f,
                "waypoints taken as hazards: {count}, each with a radius of {} m, height or depth not measured",
                radius.to_m()
            ),
            Self::WaypointsUnidentified { hazards } => {
                write!(f, "no word says clearly what these are: {}", hazards.join(", "))
            }
            Self::WaypointFarAway { waypoint } => {
                write!(f, "waypoint {waypoint}: left out, it lies too far away to be on the field")
            }
        }
    }
}

/// Steps to which lengths are shown, as parts of a metre.
const CENTI: f64 = 100.0;
const DECI: f64 = 10.0;

/// Never below the value: every length in a note is an error or a gap.
fn up(metres: f64, parts: f64) -> f64 {
    (metres * parts).ceil() / parts
}
