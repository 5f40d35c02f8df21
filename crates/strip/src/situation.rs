//! The day at this field, as the slide needs it: wind, air, mass, state of the ground.
//!
//! Without a day it is a calm standard day on dry ground, which the assessment says and never lets
//! pass as an answer.

mod otherwise;

use crate::day::{Direction, GivenWind, Pressure};
use crate::grip::Grip;
use crate::seen::Seen;
use crate::{Aircraft, Day, Settings, Strip};
use ground::declination;
use measure::{CubicDensity, Declination, Headwind, Interval, Kilograms, Slope, TrueHeading, Wind};
use slide::{Cover, Wetness, density, pressure_from_qnh, standard_density, wind_ratio};

/// Every state of the ground, for a day that does not say.
const EVERY_WETNESS: [Wetness; 5] =
    [Wetness::Dry, Wetness::Dew, Wetness::Wet, Wetness::Frost, Wetness::Frozen];

/// Every cover, for a strip that does not say.
pub(crate) const EVERY_COVER: [Cover; 3] = [Cover::ShortGrass, Cover::LongGrass, Cover::BareSoil];

/// Wind, air, mass and state of the ground.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Situation {
    wind: Option<SteadyWind>,
    pub(crate) density: Interval<CubicDensity>,
    pub(crate) mass: Interval<Kilograms>,
    pub(crate) declination: Option<Declination>,
    wetness: Vec<Wetness>,
    pub(crate) seen: Seen,
}

#[derive(Clone, Copy, PartialEq, Debug)]
struct SteadyWind {
    mean: Wind,
    gust_mps: f64,
    /// Wind at the wing over wind where it was measured.
    at_wing: f64,
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
        let at = |d: &Day| {
            declination(
                &strip.datum,
                d.date.year(),
                d.date.month().unsigned_abs(),
                d.date.day().unsigned_abs(),
            )
        };
        let declination = day.and_then(|d| at(d).ok());
        let mass = day.and_then(|d| d.mass);
        Self {
            wind: day.map(|d| steady(&d.wind, declination, settings)),
            density: day
                .map_or_else(|| Interval::exact(standard_density(strip.datum.height)), |d| air(d, strip)),
            mass: mass.map_or(aircraft.mass_range, Interval::exact),
            declination,
            seen: Seen::new(strip, aircraft, day.map(|d| d.date), slope, settings),
            wetness: match day {
                None => vec![Wetness::Dry],
                Some(d) => d.wetness.map_or_else(|| EVERY_WETNESS.to_vec(), |w| vec![w]),
            },
        }
    }

    /// Headwind along a heading, from the least that is counted on to the most that could be; and the
    /// gust above the mean.
    pub(crate) fn headwind(&self, heading: TrueHeading, settings: &Settings) -> Interval<Headwind> {
        let Some(wind) = self.wind else { return Interval::exact(Headwind::ZERO) };
        // Measured lower than the wing, a wind is stronger there; where that helps it is not counted on.
        let stronger = wind.at_wing.max(1.0);
        if wind.mean.speed_mps == 0.0 {
            // Gusts out of a calm come from anywhere.
            let gust = Headwind::mps(wind.gust_mps * stronger);
            return Interval::spanning(-gust, gust);
        }
        let mean = wind.mean.head_along(heading);
        let gust = Wind { speed_mps: wind.gust_mps, ..wind.mean }.head_along(heading);
        if mean >= Headwind::ZERO {
            // A head wind is weaker near the ground and only part of it is counted on.
            let least = mean * (settings.headwind_factor * wind.at_wing.min(1.0));
            Interval::spanning(least, mean.max(gust) * stronger)
        } else {
            // A tail wind is never credited with being weaker near the ground.
            Interval::spanning(gust.min(mean * settings.tailwind_factor) * stronger, Headwind::ZERO)
        }
    }

    /// Mean headwind as given; `None` without a day.
    pub(crate) fn given_headwind(&self, heading: TrueHeading) -> Option<Headwind> {
        self.wind.map(|w| w.mean.head_along(heading))
    }

    /// Crosswind in gusts, m/s, positive from the right; `None` without a day.
    pub(crate) fn gust_crosswind(&self, heading: TrueHeading) -> Option<f64> {
        self.wind.map(|w| {
            let speed_mps = w.gust_mps * w.at_wing.max(1.0);
            let gusting = Wind { speed_mps, ..w.mean };
            // Gusts out of a calm come from anywhere.
            if w.mean.speed_mps == 0.0 { speed_mps } else { gusting.cross_along(heading).to_mps() }
        })
    }

    /// The most headwind that any heading can have.
    pub(crate) fn most_headwind(&self) -> Headwind {
        Headwind::mps(self.wind.map_or(0.0, |w| w.gust_mps * w.at_wing.max(1.0)))
    }

    /// Gust above the mean wind: flown on top of the touchdown speed, or not.
    pub(crate) fn gust(&self) -> Interval<f64> {
        self.wind.map_or(Interval::exact(0.0), |w| {
            Interval::spanning(0.0, (w.gust_mps - w.mean.speed_mps) * w.at_wing.max(1.0))
        })
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
        settings.headwind_factor * self.wind.map_or(1.0, |w| w.at_wing.min(1.0))
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

fn steady(given: &GivenWind, declination: Option<Declination>, settings: &Settings) -> SteadyWind {
    let from = match given.from {
        Direction::True(heading) => heading,
        // A day with a magnetic wind lies within the model, so the declination is there.
        Direction::Magnetic(heading) => heading.to_true(declination.unwrap_or(Declination::east_deg(0.0))),
    };
    let wing = measure::Metres::m(settings.wing_height_m);
    let roughness = measure::Metres::m(settings.roughness_m);
    let at_wing = wind_ratio(wing, given.at_height, roughness).max(0.0);
    SteadyWind { mean: Wind { from, speed_mps: given.mean_mps }, gust_mps: given.gust_mps, at_wing }
}

fn air(day: &Day, strip: &Strip) -> Interval<CubicDensity> {
    let pressure = match day.pressure {
        Pressure::Station(p) => p,
        Pressure::Qnh(p) => pressure_from_qnh(strip.datum.height, p),
    };
    let at = |humidity| density(pressure, day.temperature, humidity);
    day.humidity.map_or_else(|| Interval::spanning(at(1.0), at(0.0)), |h| Interval::exact(at(h)))
}
