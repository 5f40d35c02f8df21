//! Half-widths along a lane whose touchdown may lie anywhere in a window, with friction and speed between two ends.
//!
//! A slower slide has had longer to drift when it comes to a place, a longer one goes on drifting: at a given
//! chainage neither end of friction and speed need be the worst. So friction and speed are cut into parts, and of
//! each part the short slide (most friction, least speed) counts until it may have stopped, from there the widest
//! of the long one (least friction, most speed); so it is with touchdowns, of which each cell is given the ground
//! that any of them may meet.
//!
//! Invariants: no touchdown of the window, at either end of friction and speed or between, was found wider
//! (property test; no proof); a chainage farther on is never narrower.
//!
//! Not here: wind, air, aircraft: those of the corner that the slide is given for.

use crate::drift::Drift;
use crate::run::Outcome;
use crate::slide::{Slide, Touchdown};
use crate::smear::{End, smeared};
use crate::widths::Widths;
use measure::{GroundSpeed, Interval, Metres};

/// Where and how fast the keels may first touch, on what.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Window<'a> {
    /// Chainages of the earliest and the latest touchdown.
    pub touchdowns: Interval<Metres>,
    /// Length of the cells into which they are cut, positive: short ones cost time, long ones give wide answers.
    pub cell: Metres,
    /// Speeds over the ground at touchdown.
    pub speeds: Interval<GroundSpeed>,
    /// Most friction of each zone; the least is that of the slide.
    pub most_friction: &'a [f64],
    /// Parts into which friction and speed are cut, each; at least one is used.
    pub parts: usize,
    /// Far end of the lane, beyond which nothing is followed.
    pub end: Metres,
}

/// Most cells: a window is cut into longer ones rather than more.
const MOST_CELLS: usize = 64;

impl Drift<'_> {
    /// The greatest half-width at each chainage of a lane, whatever touchdown of the window, friction, speed and
    /// signs of the upsets; `None` where some slide is not known to end.
    pub fn widths_over(&self, window: &Window<'_>, aside: Metres) -> Option<Widths> {
        let (earliest, latest) = (window.touchdowns.low(), window.touchdowns.high());
        let length = latest - earliest;
        if !(window.cell > Metres::ZERO && length.to_m().is_finite() && window.end > latest) {
            return None;
        }
        let cells = ((length / window.cell).ceil() as usize).clamp(1, MOST_CELLS);
        let edge = |i: usize| earliest + length * (i as f64 / cells as f64);
        let mut all = Vec::new();
        for cell in 0..cells {
            for part in 0..window.parts.max(1).pow(2) {
                all.push(self.of_cell(window, (edge(cell), edge(cell + 1)), part, aside)?);
            }
        }
        Widths::widest_of(&all)
    }

    /// Widths of the touchdowns of one cell, within one part of friction and speed.
    fn of_cell(
        &self,
        window: &Window<'_>,
        cell: (Metres, Metres),
        part: usize,
        aside: Metres,
    ) -> Option<Widths> {
        let parts = window.parts.max(1);
        let share = |i: usize| i as f64 / parts as f64;
        let (grip, pace) = (part / parts, part % parts);
        let worst = |end: End| {
            let (grip, pace) = match end {
                End::Firm => (share(grip + 1), share(pace)),
                End::Slick => (share(grip), share(pace + 1)),
            };
            let (least, most) = (window.speeds.low(), window.speeds.high());
            let touchdown = Touchdown { at: cell.0, speed: least + (most - least) * pace };
            let (track, friction) = smeared(&self.slide, &self.friction_at(window, grip), cell, end);
            let slide = Slide {
                track: &track,
                friction: &friction,
                slope_score: 0.0,
                curvature_score: 0.0,
                ..self.slide
            };
            Drift { slide, ..*self }.sideways(touchdown, Some(window.end - cell.0), aside)
        };
        let (short, long) = (worst(End::Firm)?, worst(End::Slick)?);
        // A width holds for middles up to that much farther on.
        let reach = self.plan.keel_length.max(self.plan.half_span);
        let until = match short.shortest {
            Outcome::StopsAt(at) => cell.0 + at - reach,
            // It never may have stopped on the lane.
            Outcome::RunsOff { .. } | Outcome::NeverStops => window.end,
        };
        Some(Widths::widest_of(&[short.widths, long.widths])?.widest_from(until))
    }

    /// Friction of each zone, a share of the way from the least to the most.
    fn friction_at(&self, window: &Window<'_>, share: f64) -> Vec<f64> {
        let least = self.slide.friction;
        let most = |zone: usize, low: f64| window.most_friction.get(zone).copied().unwrap_or(low).max(low);
        least.iter().enumerate().map(|(zone, &low)| low + (most(zone, low) - low) * share).collect()
    }
}
