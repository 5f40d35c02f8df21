//! Half-widths over all slides of a field, of which friction, slope and speed are only known to lie between two ends.
//!
//! A slower slide has had longer to drift when it comes to a place, a longer one goes on drifting: at a given
//! length slid neither end of friction and speed need be the worst. So friction and speed are cut into parts, and of
//! each part the short slide (most friction, least speed) counts until it may have stopped, from there the widest
//! of the long one (least friction, most speed). A later touchdown is narrower at every chainage than the earliest,
//! as widths only grow.
//!
//! Invariants: no slide with friction, slope, cross slope and speed between the ends, changing on the way as they
//! may, was found wider or faster across (property test; no proof); a length farther on is never narrower.
//!
//! Not here: what lies on a lane, and which ends a field has.

use crate::drift::Drift;
use crate::run::Outcome;
use crate::sideways::Sideways;
use crate::slide::{Slide, Touchdown};
use measure::{GroundSpeed, Interval, Metres};

/// All slides of a field from one touchdown.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Window<'a> {
    /// The short slide: most friction, most uphill, the air that slows most.
    pub short: Drift<'a>,
    /// The long one: least friction, most downhill, the air that slows least.
    pub long: Drift<'a>,
    /// Friction from that of the long to that of the short; the slides' own is not looked at.
    pub friction: Interval<f64>,
    /// Speeds over the ground at touchdown.
    pub speeds: Interval<GroundSpeed>,
    /// Parts into which friction and speed are cut, each; at least one is used.
    pub parts: usize,
    /// Length beyond which nothing is followed.
    pub room: Metres,
}

impl Window<'_> {
    /// The worst of all, whatever the signs of the upsets, from a touchdown up to `aside` off the centre line; `None`
    /// where some slide neither stops nor runs off, or values are not physical.
    pub fn sideways(&self, at: Metres, aside: Metres) -> Option<Sideways> {
        let parts = self.parts.max(1);
        let each = (0..parts * parts).map(|part| self.of_part(at, aside, part / parts, part % parts));
        each.reduce(|a, b| Some(a?.or_worse(&b?))).flatten()
    }

    /// Of one part of friction and one of speed.
    fn of_part(&self, at: Metres, aside: Metres, grip: usize, pace: usize) -> Option<Sideways> {
        let share = |i: usize| i as f64 / self.parts.max(1) as f64;
        let (slick, firm) = (self.friction.low(), self.friction.high());
        let (slow, fast) = (self.speeds.low(), self.speeds.high());
        let one = |drift: &Drift<'_>, grip: usize, pace: usize| {
            let friction = [slick + (firm - slick) * share(grip)];
            let speed = slow + (fast - slow) * share(pace);
            let slide = Slide { friction: &friction, ..drift.slide };
            Drift { slide, ..*drift }.sideways(Touchdown { at, speed }, Some(self.room), aside)
        };
        let (short, long) = (one(&self.short, grip + 1, pace)?, one(&self.long, grip, pace + 1)?);
        // A width holds for middles up to that much farther on.
        let reach = self.short.plan.keel_length.max(self.short.plan.half_span);
        let until = match short.shortest {
            Outcome::StopsAt(length) => at + length - reach,
            // It never may have stopped before the room ends.
            Outcome::RunsOff { .. } | Outcome::NeverStops => at + self.room,
        };
        Some(short.or_worse(&long).widest_from(until))
    }
}
