//! What was measured of friction on the strip: drag tests and earlier slides, kept by kind of ground.
//!
//! Invariants: what is dated after the day says nothing of it; an earlier slide whose speed nobody noted is
//! taken as slow as it may have been, since a slow one that slid as far shows less friction.
//!
//! Not here: how a test or a slide changes what is believed (crate `slide`).

use crate::recovery::Recovery;
use crate::{Aircraft, Settings, Strip};
use jiff::civil::Date;
use measure::{Headwind, Interval, Slope};
use slide::{
    BadRecovery, Belief, Body, Conditions, Cover, DragTest, Friction, GroundClass, PLAUSIBLE, Recovered,
    StallSpeed, Surface, Wetness, friction_shown, learned, prior, same_ground, standard_density,
    touchdown_airspeed,
};

/// Headwind that an earlier slide may have had where nobody noted it, m/s (judgement).
const HEADWIND_NOT_NOTED: f64 = 5.0;

/// What was measured.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Seen {
    tests: Vec<(GroundClass, Option<String>, DragTest)>,
    slides: Vec<(GroundClass, Recovered)>,
    between_days: f64,
    /// Why something of it does not count, in words.
    pub(crate) left_out: Vec<String>,
}

impl Seen {
    /// What counts on a day; without one, all of it.
    pub(crate) fn new(
        strip: &Strip,
        aircraft: &Aircraft,
        day: Option<Date>,
        slope: Interval<Slope>,
        settings: &Settings,
    ) -> Self {
        let mut seen = Self { between_days: settings.friction_between_days_share, ..Self::default() };
        seen.add_tests(strip, day, settings);
        for (i, recovery) in strip.recoveries.iter().enumerate() {
            let shown = shown_by(recovery, strip, aircraft, slope, settings);
            match (day.is_some_and(|day| recovery.on > day), strip.cover, shown) {
                (true, ..) => seen.dated_after("recoveries", i),
                (false, Some(cover), Some(Ok(shown))) => {
                    seen.slides.push((same_ground(cover, recovery.wetness), shown));
                }
                (false, Some(_), Some(Err(why))) => {
                    seen.left_out.push(format!("recoveries[{}]: {why}; left out", i + 1));
                }
                // What ground it was, or how fast it was, nobody noted: it says nothing of friction.
                (false, None, _) | (false, _, None) => {}
            }
        }
        seen
    }

    fn add_tests(&mut self, strip: &Strip, day: Option<Date>, settings: &Settings) {
        for (i, test) in strip.drag_tests.iter().enumerate() {
            if day.is_some_and(|day| test.on > day) {
                self.dated_after("drag_tests", i);
                continue;
            }
            let of_patch = |mark: &String| strip.patches.iter().find(|p| p.id == *mark).and_then(|p| p.cover);
            let cover = test.patch.as_ref().and_then(of_patch).or(strip.cover);
            // Tests that show no coefficient were left out where the strip was read.
            let reduced = test.reduced(settings, day.unwrap_or(Date::MAX)).ok();
            if let Some((cover, reduced)) = cover.zip(reduced) {
                self.tests.push((same_ground(cover, test.wetness), test.patch.clone(), reduced));
            }
        }
    }

    fn dated_after(&mut self, list: &str, index: usize) {
        self.left_out.push(format!(
            "{list}[{}].on: found a date after the day, expected none later; left out",
            index + 1
        ));
    }

    /// Friction of a cover in a state, on a patch or on the field, and where it comes from.
    pub(crate) fn friction(&self, cover: Cover, wetness: Wetness, patch: Option<&str>) -> (Friction, String) {
        let class = same_ground(cover, wetness);
        let row = prior(cover, wetness);
        let slides: Vec<Recovered> =
            self.slides.iter().filter(|(c, _)| *c == class).map(|(_, s)| *s).collect();
        let taught = learned(&Belief::from(row), &slides, self.between_days);
        let here =
            |(c, on, _): &&(GroundClass, Option<String>, DragTest)| *c == class && on.as_deref() == patch;
        let tests: Vec<DragTest> = self.tests.iter().filter(here).map(|(_, _, t)| *t).collect();
        let mut source = format!("{} ({})", row.name, row.tag);
        if taught.at_rest + taught.lowering > 0 {
            source = format!("{source}, {} earlier slides here", taught.at_rest + taught.lowering);
        }
        if !tests.is_empty() {
            source = format!("{source}, {} drag tests here", tests.len());
        }
        (Friction::new(taught.belief, &tests), source)
    }

    /// Whether anything was measured of a kind of ground.
    pub(crate) fn knows(&self, cover: Cover, wetness: Wetness) -> bool {
        let class = same_ground(cover, wetness);
        self.slides.iter().any(|(c, _)| *c == class) || self.tests.iter().any(|(c, ..)| *c == class)
    }
}

/// The friction that one earlier slide shows; `None` where its speed is not known.
fn shown_by(
    recovery: &Recovery,
    strip: &Strip,
    aircraft: &Aircraft,
    slope: Interval<Slope>,
    settings: &Settings,
) -> Option<Result<Recovered, String>> {
    if recovery.aircraft != aircraft.id {
        return None;
    }
    let density = standard_density(strip.datum.height);
    // At one end all that slows beside friction is great and the speed small: friction was little. At the other
    // end all the other way.
    let end = |little: bool| {
        let pick = |a: f64, b: f64| if little { a } else { b };
        let headwind = recovery.headwind.map_or(pick(HEADWIND_NOT_NOTED, 0.0), Headwind::to_mps);
        let factor = pick(settings.touchdown_factor_low, settings.touchdown_factor_high);
        let calibrated = if little { aircraft.stall.low() } else { aircraft.stall.high() };
        let stall = StallSpeed { calibrated, at_mass: aircraft.reference_mass };
        let by_stall = touchdown_airspeed(&stall, recovery.mass, factor, 0.0, density);
        let airspeed = recovery.airspeed.unwrap_or(by_stall);
        let headwind = Headwind::mps(headwind);
        let body = Body {
            mass: recovery.mass,
            wing_area: aircraft.wing_area,
            lift_coefficient: pick(aircraft.lift_coefficient.low(), aircraft.lift_coefficient.high()),
            drag_coefficient: pick(aircraft.drag_coefficient.high(), aircraft.drag_coefficient.low()),
            idle_thrust: if little { aircraft.idle_thrust.low() } else { aircraft.idle_thrust.high() },
        };
        let slope = if little { slope.high() } else { slope.low() };
        let conditions = Conditions { body, surface: Surface { friction: 0.0, slope }, density, headwind };
        friction_shown(&conditions, airspeed.over_ground(headwind), recovery.length())
    };
    let stopped = recovery.stopped_by.is_some();
    // Too long for any friction at one end of what is known is not left out: it is taken as the least there is.
    let both = match (end(true), end(false)) {
        (Err(BadRecovery::TooLong), Ok(much)) => Ok((*PLAUSIBLE.start(), much)),
        (Ok(little), Err(BadRecovery::TooShort)) => Ok((little, little)),
        (little, much) => little.and_then(|little| much.map(|much| (little, much))),
    };
    Some(both.and_then(|(a, b)| Recovered::between(a, b, stopped)).map_err(|why| why.to_string()))
}
