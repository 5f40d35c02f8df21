//! A whole slide walked through for tipping forward: the least reserve on the way and where.
//!
//! Invariants: friction tips at its high end whatever the slide is driven by, also where it is not credited to
//! length; untested ground counts as the softest and is named; where strength changes, the softer of the two
//! counts, with the factor of a sudden change, on either side.
//!
//! Not here: which values the slide is worked out with ([`super::corners`]); what reserve is asked for.
//!
//! Slope takes part through the load alone: moments are about the centre of gravity.

use super::sunk::{Sunk, sunk};
use super::{Acting, LIGHT_SHARE, NoseDown, Stance, Tipping};
use crate::soft::strength::Strength;
use crate::soft::{Change, Outside};
use crate::{Outcome, Slide, Station, Touchdown};
use measure::{CubicDensity, GroundSpeed, Headwind, Kilograms, Metres, Newtons, STANDARD_GRAVITY};
use thiserror::Error;

/// One slide and what decides whether it tips.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Passage<'a> {
    /// The slide that gives speed and load from place to place; with low friction it comes to more of the ground,
    /// with high friction it is slower there.
    pub slide: Slide<'a>,
    /// Where it begins.
    pub touchdown: Touchdown,
    /// Where the ground ends, counted from touchdown.
    pub room: Option<Metres>,
    /// How it stands on its keels.
    pub stance: Stance,
    /// What air and thrust do to the nose.
    pub nose_down: NoseDown,
    /// Friction at its high end, for each zone of the track, not below the slide's own.
    pub high_friction: &'a [f64],
    /// Strength of each zone; `None` where nobody tested.
    pub strength: &'a [Option<Strength>],
}

/// One place on the way.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Place {
    /// From touchdown.
    pub at: Metres,
    /// Speed there.
    pub speed: GroundSpeed,
    /// Load of the ground on the keels.
    pub load: Newtons,
    /// Friction coefficient there, at its high end.
    pub friction: f64,
    /// How strong the ground is; `None` where nobody tested.
    pub strength: Option<Strength>,
    /// Whether the ground has just changed.
    pub change: Change,
}

/// What is the same all along.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Carried {
    /// How the aircraft stands on its keels.
    pub stance: Stance,
    /// Its mass.
    pub mass: Kilograms,
    /// Idle thrust, forward positive.
    pub thrust: Newtons,
    /// What air and thrust do to the nose.
    pub nose_down: NoseDown,
    /// Density of the air.
    pub density: CubicDensity,
    /// Wind against the slide.
    pub headwind: Headwind,
}

/// The place where the least is left.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Worst {
    /// The place.
    pub place: Place,
    /// How the keels rest there.
    pub sunk: Sunk,
}

/// What a walk found.
#[derive(Clone, Copy, PartialEq, Default, Debug)]
pub struct Least {
    /// The least reserve; `None` where the ground nowhere carries enough for one.
    pub worst: Option<Worst>,
    /// The greatest nose-down moment, N m, where the ground hardly carries, and how far from touchdown.
    pub light: Option<(Metres, f64)>,
    /// The first place on ground that nobody tested.
    pub untested_at: Option<Metres>,
    /// The first place where the keels rest outside the range that soils were fitted in, and which range.
    pub outside_at: Option<(Metres, Outside)>,
}

/// Parts of the time in which lift settles: the load grows fast there, and the integrator needs few steps.
const SETTLING_PARTS: f64 = 8.0;

/// A passage that cannot be walked.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Error)]
pub enum BadPassage {
    /// Values of the slide or the stance are outside their range.
    #[error("found values of the slide or the stance outside their range, expected a physical slide")]
    NotPhysical,
    /// A zone of the track without high friction.
    #[error("found no high friction for zone {0}, expected one for each zone of the track")]
    NoFriction(usize),
    /// A zone whose high friction is lower than the slide's, or no number.
    #[error("found the high friction of zone {0} below the slide's, expected it at or above")]
    NotHigh(usize),
    /// A zone of the track without an entry of strength.
    #[error(
        "found no strength for zone {0}, expected one, or that nobody tested, for each zone of the track"
    )]
    NoStrength(usize),
}

impl Carried {
    /// How the keels rest at a place.
    pub fn at(&self, place: &Place) -> Sunk {
        let airspeed = place.speed.through_air(self.headwind);
        let acting = Acting {
            weight: Newtons::n(self.mass.to_kg() * STANDARD_GRAVITY),
            load: place.load,
            friction: place.load * place.friction,
            nose_down: self.nose_down.moment(self.thrust, self.density, airspeed),
        };
        let soil = place.strength.unwrap_or(Strength::Boggy).softest_soil();
        sunk(&self.stance, &acting, soil, place.change)
    }

    /// The least over places in their order; of equals the first.
    pub fn least(&self, places: impl IntoIterator<Item = Place>) -> Least {
        let mut least = Least::default();
        for place in places {
            least.see(&place, self.at(&place));
        }
        least
    }
}

impl Least {
    /// Takes in one more place.
    fn see(&mut self, place: &Place, sunk: Sunk) {
        if place.strength.is_none() {
            self.untested_at = self.untested_at.or(Some(place.at));
        }
        let outside = sunk.rests.and_then(|rests| rests.outside);
        self.outside_at = self.outside_at.or(outside.map(|outside| (place.at, outside)));
        if let Tipping::Light { moment } = sunk.tipping {
            if self.light.is_none_or(|(_, greatest)| moment > greatest) {
                self.light = Some((place.at, moment));
            }
        } else if self.worst.is_none_or(|worst| sunk.tipping.is_worse_than(worst.sunk.tipping)) {
            self.worst = Some(Worst { place: *place, sunk });
        }
    }

    /// The worse of two walks in everything; of equals this one.
    #[must_use]
    pub fn or_worse(self, other: Self) -> Self {
        let Self { worst, light, untested_at, outside_at } = other;
        let first = |a: Option<Metres>, b: Option<Metres>| a.map_or(b, |a| Some(b.map_or(a, |b| a.min(b))));
        let light_of = |l: Option<(Metres, f64)>| l.map_or(f64::NEG_INFINITY, |(_, moment)| moment);
        let outside_earlier =
            outside_at.is_some_and(|(at, _)| self.outside_at.is_none_or(|(own, _)| at < own));
        let worse =
            worst.is_some_and(|b| self.worst.is_none_or(|a| b.sunk.tipping.is_worse_than(a.sunk.tipping)));
        Self {
            worst: if worse { worst } else { self.worst },
            light: if light_of(light) > light_of(self.light) { light } else { self.light },
            untested_at: first(self.untested_at, untested_at),
            outside_at: if outside_earlier { outside_at } else { self.outside_at },
        }
    }

    /// Whether the asked reserve is left wherever the ground carries enough for one.
    pub fn leaves(&self, reserve: f64) -> bool {
        self.worst.is_none_or(|worst| worst.sunk.tipping.leaves(reserve))
    }
}

impl Passage<'_> {
    /// The slide walked through, and how it ends.
    ///
    /// # Errors
    /// [`BadPassage`] for values that are not physical, or a zone of the track without its friction or strength.
    pub fn walk(&self) -> Result<(Outcome, Least), BadPassage> {
        self.check()?;
        let slide = &self.slide;
        let carried = Carried {
            stance: self.stance,
            mass: slide.body.mass,
            thrust: slide.body.idle_thrust,
            nose_down: self.nose_down,
            density: slide.density,
            headwind: slide.headwind,
        };
        let moments = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0].map(|i| slide.settling * i / SETTLING_PARTS);
        let mut seen = Seen { passage: self, carried: &carried, least: Least::default(), last: None };
        let traced = slide.traced_with_lift(self.touchdown, self.room, &moments, |s, v, lift| {
            seen.point(s, v, lift);
        });
        Ok((traced.outcome, seen.least))
    }

    /// A place on a station, as the aircraft comes by.
    fn place(
        &self,
        station: &Station,
        at: Metres,
        speed: GroundSpeed,
        lift: f64,
        strength: Option<Strength>,
        change: Change,
    ) -> Place {
        let air = self.slide.air(self.touchdown.speed);
        let load = air.load(&self.slide.here(station), speed.to_mps(), lift);
        // A load that is not a number must not turn into zero unseen, as `max` would make it.
        let load = if load < 0.0 { 0.0 } else { load };
        let load = Newtons::n(load * self.slide.body.mass.to_kg());
        Place { at, speed, load, friction: self.high_friction[station.zone], strength, change }
    }

    fn check(&self) -> Result<(), BadPassage> {
        let NoseDown { air, thrust_line } = self.nose_down;
        let finite = [air, thrust_line.to_m(), self.touchdown.at.to_m(), self.touchdown.speed.to_mps()];
        if !(self.slide.is_physical() && self.stance.is_physical() && finite.iter().all(|x| x.is_finite())) {
            return Err(BadPassage::NotPhysical);
        }
        for zone in self.slide.track.stations().iter().map(|s| s.zone) {
            let high = *self.high_friction.get(zone).ok_or(BadPassage::NoFriction(zone))?;
            let own = self.slide.friction.get(zone).copied().unwrap_or(0.0);
            if !(high >= own && high.is_finite()) {
                return Err(BadPassage::NotHigh(zone));
            }
            if self.strength.get(zone).is_none() {
                return Err(BadPassage::NoStrength(zone));
            }
        }
        Ok(())
    }
}

/// A walk under way.
struct Seen<'a> {
    passage: &'a Passage<'a>,
    carried: &'a Carried,
    least: Least,
    /// Station and place come to last.
    last: Option<(usize, Place)>,
}

impl Seen<'_> {
    /// Takes in a point of the slide.
    fn point(&mut self, s: Metres, v: GroundSpeed, lift: f64) {
        let Passage { slide, touchdown, strength, .. } = self.passage;
        let index = slide.track.index_at(touchdown.at + s);
        let here = |i: usize, strength, change| {
            self.passage.place(&slide.track.stations()[i], s, v, lift, strength, change)
        };
        let strength_of = |i: usize| strength[slide.track.stations()[i].zone];
        let before = self.last.map_or(index, |(before, _)| before);
        let (was, is) = (strength_of(before), strength_of(index));
        let (old, new) = (here(before, was, Change::Steady), here(index, is, Change::Steady));
        // The keels lie across the edge: either load and friction, the softer ground.
        let softer = was.zip(is).map(|(a, b)| a.max(b));
        let across = [before, index].map(|i| here(i, softer, Change::Sudden));
        if let Some((_, last)) = self.last {
            self.take_up(&last, &old);
        }
        if index != before {
            self.see(&old);
        }
        if was != is {
            for place in &across {
                self.see(place);
            }
        }
        self.see(&new);
        self.last = Some((index, new));
    }

    /// Takes in the load at which a reserve begins to be given, where two points lie on either side of it: the reserve is
    /// least there if the air turns the nose down. At the speed of either, as the moment there is between theirs.
    fn take_up(&mut self, from: &Place, to: &Place) {
        let least = Newtons::n(self.carried.mass.to_kg() * STANDARD_GRAVITY) * LIGHT_SHARE;
        if (from.load < least) != (to.load < least) {
            for end in [from, to] {
                self.see(&Place { load: least, ..*end });
            }
        }
    }

    fn see(&mut self, place: &Place) {
        self.least.see(place, self.carried.at(place));
    }
}
