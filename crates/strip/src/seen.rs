//! What was measured of friction on the strip: drag tests and earlier slides, kept by kind of ground.
//!
//! Invariants: what is dated after the day says nothing of it; what is old, of a
//! milder state, or of ground that is not surely the field's may lower what is believed and never raises it.
//!
//! Not here: what one earlier slide shows ([`crate::earlier_slide`]), and how a test or a slide changes what is
//! believed (crate `slide`).

use crate::caveat::months_between;
use crate::earlier_slide::shown_by;
use crate::recovery::Recovery;
use crate::situation::EVERY_COVER;
use crate::{Aircraft, Settings, Strip};
use ground::Shape;
use jiff::civil::Date;
use measure::{Interval, Slope};
use slide::{
    Belief, Cover, DragTest, Friction, GroundClass, Recovered, Sledge, Wetness, learned, prior, same_ground,
};

/// What was measured.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Seen {
    tests: Vec<Test>,
    slides: Vec<Earlier>,
    between_days: f64,
    /// Why something of it does not count, in words.
    pub(crate) left_out: Vec<String>,
    /// Which of it says nothing, or only lowers what is believed, and why.
    pub(crate) not_counted: Vec<String>,
}

/// An earlier slide and the friction that it shows.
#[derive(Clone, PartialEq, Debug)]
struct Earlier {
    name: String,
    ground: GroundClass,
    wetness: Wetness,
    shows: Recovered,
}

/// A drag test, reduced.
#[derive(Clone, PartialEq, Debug)]
struct Test {
    name: String,
    ground: GroundClass,
    wetness: Wetness,
    patch: Option<String>,
    old: bool,
    /// Whether its own pulls differ by more than chance explains.
    torn: bool,
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
            seen.add_slide(
                &format!("recoveries[{}]", i + 1),
                recovery,
                (strip, aircraft),
                (day, slope),
                settings,
            );
        }
        seen
    }

    fn add_slide(
        &mut self,
        name: &str,
        recovery: &Recovery,
        (strip, aircraft): (&Strip, &Aircraft),
        (day, slope): (Option<Date>, Interval<Slope>),
        settings: &Settings,
    ) {
        if day.is_some_and(|day| recovery.on > day) {
            return self.dated_after(name);
        }
        if recovery.aircraft != aircraft.id {
            return self.not_counted.push(format!("{name} was another aircraft"));
        }
        let mut shows = match shown_by(recovery, strip, aircraft, slope, settings) {
            Ok(shows) => shows,
            Err(why) => return self.left_out.push(format!("{name}: {why}")),
        };
        let age = months_between(recovery.on, day.unwrap_or(recovery.on));
        let lowers = if age > settings.slides_valid_months {
            Some("is old")
        } else if crosses_a_patch(recovery, strip) {
            Some("crossed a patch")
        } else if strip.cover.is_none() {
            Some("is of ground of no known cover")
        } else {
            None
        };
        if let Some(why) = lowers {
            shows = shows.lowering();
            self.not_counted.push(format!("{name} {why}, so it raises nothing"));
        }
        let wetness = recovery.wetness;
        let of_ground =
            |cover| Earlier { name: name.to_owned(), ground: same_ground(cover, wetness), wetness, shows };
        self.slides.extend(possible(strip.cover).into_iter().map(of_ground));
    }

    fn add_tests(&mut self, strip: &Strip, day: Option<Date>, settings: &Settings) {
        for (i, test) in strip.drag_tests.iter().enumerate() {
            let place = format!("drag_tests[{}]", i + 1);
            if day.is_some_and(|day| test.on > day) {
                self.dated_after(&place);
                continue;
            }
            if strip.drag_tests[..i].iter().any(|before| before.is_the_same(test)) {
                self.not_counted.push(format!("{place} stands there twice"));
                continue;
            }
            let of_patch = |mark: &String| strip.patches.iter().find(|p| p.id == *mark).and_then(|p| p.cover);
            let cover = test.patch.as_ref().and_then(of_patch).or(strip.cover);
            // Tests that show no coefficient were left out where the strip was read.
            let on = day.unwrap_or(test.on);
            let Ok(mut shows) = test.reduced(settings, on) else { continue };
            if cover.is_none() {
                shows.sledge = Sledge::Light;
            }
            let name = test.id.clone().unwrap_or(place);
            let (patch, old) = (test.patch.clone(), test.is_old(settings, on));
            let of_ground = |cover| Test {
                name: name.clone(),
                ground: same_ground(cover, test.wetness),
                wetness: test.wetness,
                patch: patch.clone(),
                old,
                torn: test.is_torn(),
                shows,
            };
            self.tests.extend(possible(cover).into_iter().map(of_ground));
        }
    }

    fn dated_after(&mut self, name: &str) {
        self.left_out.push(format!("{name}.on: found a date after the day, expected none later"));
    }

    /// Friction of a cover in a state, on a patch or on the field, and where it comes from.
    pub(crate) fn friction(&self, cover: Cover, wetness: Wetness, patch: Option<&str>) -> (Friction, String) {
        let class = same_ground(cover, wetness);
        let row = prior(cover, wetness);
        // What was seen of a milder state, dew for wet, may lower what is believed and raises nothing.
        let slides: Vec<Recovered> = self
            .slides
            .iter()
            .filter(|s| s.ground == class)
            .map(|s| if is_milder(s.wetness, wetness) { s.shows.lowering() } else { s.shows })
            .collect();
        let taught = learned(&Belief::from(row), &slides, self.between_days);
        let here: Vec<&Test> =
            self.tests.iter().filter(|t| t.ground == class && t.patch.as_deref() == patch).collect();
        let as_seen = |t: &&Test| {
            let sledge = if is_milder(t.wetness, wetness) { Sledge::Light } else { t.shows.sledge };
            DragTest { sledge, ..t.shows }
        };
        let tests: Vec<DragTest> = here.iter().map(as_seen).collect();
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
        let slid = |s: &Earlier| {
            s.ground == class && !s.shows.stopped_by_something() && !is_milder(s.wetness, wetness)
        };
        let tested = |t: &Test| {
            let loaded = t.shows.sledge == Sledge::Loaded && !is_milder(t.wetness, wetness);
            t.ground == class && t.patch.is_none() && loaded
        };
        self.slides.iter().any(slid) || self.tests.iter().any(tested)
    }

    /// A measurement of a kind of ground that must be wrong, or another one is: by name, and what it differs from.
    pub(crate) fn contrary(&self, cover: Cover, wetness: Wetness) -> Option<String> {
        let class = same_ground(cover, wetness);
        let believed = Belief::from(prior(cover, wetness));
        let here: Vec<&Test> = self.tests.iter().filter(|t| t.ground == class).collect();
        let torn = here.iter().find(|t| t.torn).map(|t| format!("the pulls of {}", t.name));
        let pairs = here.iter().enumerate().flat_map(|(i, a)| here[..i].iter().map(move |b| (b, a)));
        let contrary = |(a, b): &(&&Test, &&Test)| a.patch == b.patch && a.shows.contradicts(&b.shows);
        let two = pairs.into_iter().find(contrary).map(|(a, b)| format!("{} and {}", a.name, b.name));
        let high_test = here.iter().find(|t| {
            let loaded = t.shows.sledge == Sledge::Loaded;
            loaded && believed.is_surely_below(t.shows.belief.median, t.shows.belief.wider_spread())
        });
        let high_slide = self.slides.iter().filter(|s| s.ground == class).find(|s| {
            let spread = libm::hypot(s.shows.own_spread(), self.between_days);
            !s.shows.stopped_by_something() && believed.is_surely_below(s.shows.coefficient(), spread)
        });
        let high = high_test.map(|t| &t.name).or(high_slide.map(|s| &s.name));
        let more = high.map(|name| format!("{name} shows far more than such ground is known for"));
        torn.or(two).or(more)
    }
}

/// Ground that nobody named may be any: what was measured of it lowers what is believed of each.
fn possible(cover: Option<Cover>) -> Vec<Cover> {
    cover.map_or_else(|| EVERY_COVER.to_vec(), |cover| vec![cover])
}

/// Whether ground in one state is less slippery than in another of the same class.
fn is_milder(seen: Wetness, asked: Wetness) -> bool {
    matches!((seen, asked), (Wetness::Dew, Wetness::Wet) | (Wetness::Frost, Wetness::Frozen))
}

/// Whether a slide met a patch.
fn crosses_a_patch(recovery: &Recovery, strip: &Strip) -> bool {
    let way = Shape::line(&[recovery.from, recovery.to]);
    way.is_ok_and(|way| strip.patches.iter().any(|p| p.shape.is_near(&way, p.position_sigma)))
}

/// "1 drag test here", "3 drag tests here".
fn several(count: usize, name: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {name}{plural} here")
}
