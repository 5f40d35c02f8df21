//! What was measured of friction on the strip: drag tests and earlier slides, kept by kind of ground.
//!
//! Invariants: what is dated after the day says nothing of it; an earlier slide whose speed nobody noted
//! lies between as slow and as fast as it may have been; one too short for any friction only lowers what is believed.
//!
//! Not here: how a test or a slide changes what is believed (crate `slide`).

use crate::recovery::Recovery;
use crate::situation::EVERY_COVER;
use crate::{Aircraft, Settings, Strip};
use jiff::civil::Date;
use measure::{Headwind, Interval, Slope};
use slide::{
    BadRecovery, Belief, Body, Conditions, Cover, DragTest, Friction, GroundClass, PLAUSIBLE, Recovered,
    Sledge, StallSpeed, Surface, Wetness, friction_shown, learned, prior, same_ground, standard_density,
    touchdown_airspeed,
};

/// Headwind that an earlier slide may have had where nobody noted it, m/s (judgement).
const HEADWIND_NOT_NOTED: f64 = 5.0;

/// What was measured.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Seen {
    tests: Vec<Test>,
    slides: Vec<(GroundClass, Recovered)>,
    between_days: f64,
    /// Why something of it does not count, in words.
    pub(crate) left_out: Vec<String>,
    /// Which earlier slides say nothing of this aircraft's, and why.
    pub(crate) not_counted: Vec<String>,
}

/// A drag test, reduced.
#[derive(Clone, PartialEq, Debug)]
struct Test {
    name: String,
    ground: GroundClass,
    patch: Option<String>,
    old: bool,
    shows: DragTest,
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
                    seen.left_out.push(format!("recoveries[{}]: {why}", i + 1));
                }
                (false, _, None) => {
                    seen.not_counted.push(format!("recoveries[{}] was another aircraft", i + 1));
                }
                (false, None, _) => {
                    seen.not_counted.push(format!("recoveries[{}] is of ground of no known cover", i + 1));
                }
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
            // Of ground that nobody named it may be any, so it lowers what is believed of each and raises none.
            let grounds = cover.map_or_else(|| EVERY_COVER.to_vec(), |cover| vec![cover]);
            // Tests that show no coefficient were left out where the strip was read.
            let on = day.unwrap_or(test.on);
            let Ok(mut shows) = test.reduced(settings, on) else { continue };
            if cover.is_none() {
                shows.sledge = Sledge::Light;
            }
            let name = test.id.clone().unwrap_or_else(|| format!("drag_tests[{}]", i + 1));
            let (patch, old) = (test.patch.clone(), test.is_old(settings, on));
            let of_ground = |cover: &Cover| Test {
                name: name.clone(),
                ground: same_ground(*cover, test.wetness),
                patch: patch.clone(),
                old,
                shows,
            };
            self.tests.extend(grounds.iter().map(of_ground));
        }
    }

    fn dated_after(&mut self, list: &str, index: usize) {
        self.left_out
            .push(format!("{list}[{}].on: found a date after the day, expected none later", index + 1));
    }

    /// Friction of a cover in a state, on a patch or on the field, and where it comes from.
    pub(crate) fn friction(&self, cover: Cover, wetness: Wetness, patch: Option<&str>) -> (Friction, String) {
        let class = same_ground(cover, wetness);
        let row = prior(cover, wetness);
        let slides: Vec<Recovered> =
            self.slides.iter().filter(|(c, _)| *c == class).map(|(_, s)| *s).collect();
        let taught = learned(&Belief::from(row), &slides, self.between_days);
        let here: Vec<&Test> =
            self.tests.iter().filter(|t| t.ground == class && t.patch.as_deref() == patch).collect();
        let tests: Vec<DragTest> = here.iter().map(|t| t.shows).collect();
        let counted = [
            (taught.at_rest + taught.lowering, "earlier slide"),
            (here.iter().filter(|t| !t.old).count(), "drag test"),
            (here.iter().filter(|t| t.old).count(), "old drag test"),
        ];
        let mut source = format!("{} ({})", row.name, row.tag);
        for (count, name) in counted.into_iter().filter(|(count, _)| *count > 0) {
            source = format!("{source}, {}", several(count, name));
        }
        (Friction::new(taught.belief, &tests), source)
    }

    /// Whether something was measured of the field's own ground of a kind that narrows what is believed: not only
    /// lowers it.
    pub(crate) fn knows(&self, cover: Cover, wetness: Wetness) -> bool {
        let class = same_ground(cover, wetness);
        self.slides.iter().any(|(c, s)| *c == class && !s.stopped_by_something())
            || self
                .tests
                .iter()
                .any(|t| t.ground == class && t.patch.is_none() && t.shows.sledge == Sledge::Loaded)
    }

    /// Two tests of a kind of ground of which one must be wrong, by name.
    pub(crate) fn disagreeing(&self, cover: Cover, wetness: Wetness) -> Option<(&str, &str)> {
        let class = same_ground(cover, wetness);
        let here: Vec<&Test> = self.tests.iter().filter(|t| t.ground == class).collect();
        let pairs = here.iter().enumerate().flat_map(|(i, a)| here[..i].iter().map(move |b| (b, a)));
        let contrary = |(a, b): &(&&Test, &&Test)| a.patch == b.patch && a.shows.contradicts(&b.shows);
        pairs.into_iter().find(contrary).map(|(a, b)| (a.name.as_str(), b.name.as_str()))
    }
}

/// "1 drag test here", "3 drag tests here".
fn several(count: usize, name: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {name}{plural} here")
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
        (Ok(little), Err(BadRecovery::TooShort)) => Ok((little, *PLAUSIBLE.end())),
        (little, much) => little.and_then(|little| much.map(|much| (little, much))),
    };
    // One too short for any friction may have been stopped by something, so it raises nothing.
    let stopped = stopped || both.is_ok_and(|(_, much)| much >= *PLAUSIBLE.end());
    Some(both.and_then(|(a, b)| Recovered::between(a, b, stopped)).map_err(|why| why.to_string()))
}
