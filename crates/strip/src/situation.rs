//! The day at this field, as the slide needs it: wind, air, mass, state of the ground.
//!
//! Without a day it is a calm standard day on dry ground, which the assessment says and never lets
//! pass as an answer.

mod otherwise;

use crate::air::FieldAir;
use crate::grip::Grip;
use crate::magnetic::declination_on;
use crate::seen::Seen;
use crate::wind::{Along, FieldWind};
use crate::{Aircraft, Day, Settings, Strip};
use measure::{CubicDensity, Declination, Headwind, Interval, Kilograms, Slope, TrueHeading};
use slide::{Cover, Wetness, standard_density};

/// Every state of the ground, for a day that does not say.
const EVERY_WETNESS: [Wetness; 5] =
    [Wetness::Dry, Wetness::Dew, Wetness::Wet, Wetness::Frost, Wetness::Frozen];

/// Every cover, for a strip that does not say.
pub(crate) const EVERY_COVER: [Cover; 3] = [Cover::ShortGrass, Cover::LongGrass, Cover::BareSoil];

/// Wind, air, mass and state of the ground.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Situation {
    wind: Option<FieldWind>,
    /// The air of the day; `None` without one.
    pub(crate) air: Option<FieldAir>,
    pub(crate) density: Interval<CubicDensity>,
    pub(crate) mass: Interval<Kilograms>,
    pub(crate) declination: Option<Declination>,
    wetness: Vec<Wetness>,
    pub(crate) seen: Seen,
}

/// What of the ground was left unsaid.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Unsaid {
    Cover,
    Wetness,
}

impl Situation {
    pub(crate) fn new(
        strip: &Strip,
        aircraft: &Aircraft,
        day: Option<&Day>,
        slope: Interval<Slope>,
        settings: &Settings,
    ) -> Self {
        let declination = day.and_then(|d| declination_on(&strip.datum, d.date));
        let mass = day.and_then(|d| d.mass);
        let air = day.map(|d| FieldAir::new(d, strip.datum.height));
        let standard = || Interval::exact(standard_density(strip.datum.height));
        Self {
            wind: day.map(|d| FieldWind::new(&d.wind, declination, settings)),
            density: air.as_ref().map_or_else(standard, FieldAir::density),
            air,
            mass: mass.map_or(aircraft.mass_range, Interval::exact),
            declination,
            seen: Seen::new(strip, aircraft, day.map(|d| d.date), slope, settings),
            wetness: match day {
                None => vec![Wetness::Dry],
                Some(d) => d.wetness.map_or_else(|| EVERY_WETNESS.to_vec(), |w| vec![w]),
            },
        }
    }

    /// Headwind along a heading, from the least that is counted on to the most that could be, over the spread of its
    /// direction.
    pub(crate) fn headwind(&self, heading: TrueHeading) -> Interval<Headwind> {
        self.along(heading).map_or(Interval::exact(Headwind::ZERO), |along| along.ends())
    }

    /// The wind along a heading, slide by slide; `None` without a day.
    pub(crate) fn along(&self, heading: TrueHeading) -> Option<Along> {
        self.wind.map(|wind| wind.along(heading))
    }

    /// Mean headwind as given; `None` without a day and where it is not known.
    pub(crate) fn given_headwind(&self, heading: TrueHeading) -> Option<Headwind> {
        self.wind.and_then(|wind| wind.given_headwind(heading))
    }

    /// Crosswind in gusts over the spread of its direction, m/s, whichever side it comes from; `None` without a day.
    pub(crate) fn crosswind(&self, heading: TrueHeading) -> Option<Interval<f64>> {
        self.wind.map(|wind| wind.crosswind(heading))
    }

    /// The most of it, positive from the right.
    pub(crate) fn gust_crosswind(&self, heading: TrueHeading) -> Option<f64> {
        let most = self.crosswind(heading)?.high();
        let from_the_right = self.wind.is_none_or(|wind| wind.blows_from_right(heading));
        Some(if from_the_right { most } else { -most })
    }

    /// The most headwind that any heading can have.
    pub(crate) fn most_headwind(&self) -> Headwind {
        self.wind.map_or(Headwind::ZERO, |wind| wind.most_headwind())
    }

    /// Gust above the mean wind: flown on top of the touchdown speed, or not.
    pub(crate) fn gust(&self) -> Interval<f64> {
        self.wind.map_or(Interval::exact(0.0), |wind| wind.gust())
    }

    /// Friction of the field, or of a patch of it.
    pub(crate) fn grip(&self, cover: Option<Cover>, patch: Option<&crate::field::Patch>) -> Grip {
        let wet = [Wetness::Wet];
        let always_wet = patch.is_some_and(|p| p.always_wet) && !self.frozen();
        let wetness = if always_wet { &wet[..] } else { &self.wetness[..] };
        let covers = cover.map_or_else(|| EVERY_COVER.to_vec(), |c| vec![c]);
        let place = patch.map_or_else(String::new, |p| format!(" on patch {}", p.id));
        let kind = |(c, w): (Cover, Wetness)| {
            let (friction, source) = self.seen.friction(c, w, patch.map(|p| p.id.as_str()));
            (friction, format!("{source}{place}"))
        };
        Grip::new(covers.iter().flat_map(|&c| wetness.iter().map(move |&w| kind((c, w)))).collect())
    }

    /// Whether friction of the field was measured, whatever its state.
    pub(crate) fn friction_measured(&self, cover: Option<Cover>) -> bool {
        cover.is_some_and(|cover| self.wetness.iter().all(|&w| self.seen.knows(cover, w)))
    }

    /// A measurement of the ground as it is on the day that must be wrong, or another one is.
    pub(crate) fn contrary(&self, strip: &Strip) -> Option<String> {
        let wet = strip.patches.iter().any(|p| p.always_wet).then_some(Wetness::Wet);
        let states: Vec<Wetness> = self.wetness.iter().copied().chain(wet).collect();
        let covers = strip.cover.into_iter().chain(strip.patches.iter().filter_map(|p| p.cover));
        covers.flat_map(|c| states.iter().map(move |&w| (c, w))).find_map(|(c, w)| self.seen.contrary(c, w))
    }

    /// The same on ground in another state; `None` if it is in that state.
    pub(crate) fn in_state(&self, wetness: Wetness) -> Option<Self> {
        let other = vec![wetness];
        (self.wetness != other).then(|| Self { wetness: other, ..self.clone() })
    }

    /// Share of a headwind measured as that of the day that is counted on at the wing.
    pub(crate) fn counted_headwind(&self, settings: &Settings) -> f64 {
        self.wind.map_or(settings.headwind_factor, |wind| wind.counted_headwind())
    }

    /// The same once the cover, or the state of the ground, is said to be one of those it may be.
    pub(crate) fn said(&self, say: Unsaid) -> Vec<(Self, Option<Cover>)> {
        match say {
            Unsaid::Cover => EVERY_COVER.iter().map(|&c| (self.clone(), Some(c))).collect(),
            Unsaid::Wetness => {
                EVERY_WETNESS.iter().map(|&w| (Self { wetness: vec![w], ..self.clone() }, None)).collect()
            }
        }
    }

    fn frozen(&self) -> bool {
        self.wetness.iter().all(|w| matches!(w, Wetness::Frost | Wetness::Frozen))
    }
}
