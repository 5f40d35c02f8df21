//! How far sideways a slide may take the aircraft, whichever way its upsets point.
//!
//! Course, nose, crosswind, cross slope and uneven friction may each point either way; every combination of signs
//! is followed ([`Drift::trace`]) and the widest counts. The sum of what each does alone would do for small angles
//! only; here nothing is taken for small.
//!
//! ```text
//! half-width at s = aside + most |right| + L sin |heading|                 heading held: up to 10 degrees
//!                 = aside + 5/4 (most |right| + half the span), to the stop   no longer held
//! ```
//!
//! Both take in the middle's places up to a keel length, or half the span, farther on: that much of the aircraft
//! lies behind it.
//!
//! While the heading is held all is so nearly linear that an upset of less than its full size goes nowhere that
//! its full size does not. A nose that swings far round is another matter: of 20,000 random slides 45 went farther
//! with less, by up to 15 % of the width. That is what the quarter is for (judgement; property test, no proof).
//!
//! Invariants: never narrower than any combination of signs by itself; where a fin is not known, both no fin and
//! the strongest are followed, as none lets the nose wander and a strong one turns it into a crosswind; what is not
//! known to stop has no width.
//!
//! Not here: which size of an upset, which friction and which speed hurt most; a slower slide is wider at a given
//! chainage, a longer one at its end ([`mod@crate::window`]).

use crate::SLIDE_LIMIT;
use crate::drift::{ACCURACY, Drift, Ending, Place};
use crate::plan::{Fin, Plan};
use crate::run::Outcome;
use crate::slide::Touchdown;
use crate::upset::Upset;
use crate::widths::{PITCH, Widths};
use measure::{Crosswind, GroundSpeed, Metres, SquareMetres};

/// Largest angle of the nose off the lane at which the aircraft is still taken as seen from ahead, rad: 10 degrees
/// (judgement).
pub const HEADING_HELD: f64 = 10.0 * core::f64::consts::PI / 180.0;

/// Speed across the keels from which soft ground or a rut may trip the aircraft (judgement).
pub const TRIP_SPEED: GroundSpeed = GroundSpeed::mps(0.5);

/// How much wider a slide is taken to be once its heading is lost (judgement).
const LOST_ROOM: f64 = 1.25;

/// Yawing moment coefficient for each radian of sideslip, on wing area and span, of the strongest fin that is
/// reckoned with where none is known (judgement: about twice that of a light aircraft).
const STRONGEST_FIN: f64 = 0.2;

/// Between two places the path bends away from the line between them by an eighth of this times the step.
const BEND: f64 = 0.125;

/// Until when the nose stays within [`HEADING_HELD`] of the lane.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Heading {
    /// All the way, as far as the slide was followed.
    Held,
    /// Not to the end.
    Lost {
        /// Least length slid before that.
        after: Metres,
        /// Most that is still to slide then; `None` where the slide runs off, so that no stop is known.
        before_stop: Option<Metres>,
    },
}

/// The worst of a slide whose upsets may point either way.
#[derive(Clone, PartialEq, Debug)]
pub struct Sideways {
    /// The longest way it may end.
    pub outcome: Outcome,
    /// The shortest.
    pub shortest: Outcome,
    /// Until when the nose stays near the lane.
    pub heading: Heading,
    /// Half-widths by chainage.
    pub widths: Widths,
    speeds: Vec<f64>,
    keel_length: Metres,
}

impl Sideways {
    /// The worse of two in everything.
    #[must_use]
    pub fn or_worse(self, other: &Self) -> Self {
        let speed = |i: usize| {
            let of = |s: &Self| s.speeds.get(i).copied().unwrap_or(0.0);
            of(&self).max(of(other))
        };
        Self {
            outcome: if is_longer(self.outcome, other.outcome) { other.outcome } else { self.outcome },
            shortest: if is_longer(other.shortest, self.shortest) { other.shortest } else { self.shortest },
            heading: self.heading.or_worse(other.heading),
            speeds: (0..self.speeds.len().max(other.speeds.len())).map(speed).collect(),
            widths: self.widths.or_wider(&other.widths),
            keel_length: self.keel_length.max(other.keel_length),
        }
    }

    /// The same, as wide as at its widest from a chainage on.
    #[must_use]
    pub(crate) fn widest_from(self, chainage: Metres) -> Self {
        // A slide between the two crosses what either has behind it or not yet before it.
        let begin = self.index(chainage - self.keel_length);
        let fastest = self.speeds.iter().copied().fold(0.0, f64::max);
        let speeds =
            self.speeds.iter().enumerate().map(|(i, v)| if i < begin { *v } else { fastest }).collect();
        Self { widths: self.widths.widest_from(chainage), speeds, ..self }
    }

    /// Greatest speed across the keels while any part of them is between two chainages.
    pub fn speed_between(&self, from: Metres, to: Metres) -> GroundSpeed {
        let (first, last) = (self.index(from - self.keel_length), self.index(to + self.keel_length));
        let met = self.speeds.iter().enumerate().filter(|(i, _)| (first..=last).contains(i));
        GroundSpeed::mps(met.fold(0.0, |most, (_, &speed)| speed.max(most)))
    }

    /// The metre that a chainage lies in.
    fn index(&self, chainage: Metres) -> usize {
        let i = (chainage - self.widths.from()) / Metres::m(PITCH);
        if i > 0.0 { i as usize } else { 0 }
    }
}

impl Heading {
    /// The worse of two: lost sooner, and with more still to slide.
    fn or_worse(self, other: Self) -> Self {
        match (self, other) {
            (Self::Held, heading) | (heading, Self::Held) => heading,
            (Self::Lost { after: a, before_stop: x }, Self::Lost { after: b, before_stop: y }) => {
                Self::Lost { after: a.min(b), before_stop: x.zip(y).map(|(x, y)| x.max(y)) }
            }
        }
    }
}

/// Whether the second of two ends of a slide lies farther on.
fn is_longer(a: Outcome, b: Outcome) -> bool {
    match (a, b) {
        (Outcome::StopsAt(a), Outcome::StopsAt(b)) => b > a,
        (Outcome::RunsOff { speed: a }, Outcome::RunsOff { speed: b }) => b > a,
        (Outcome::StopsAt(_), _) | (Outcome::RunsOff { .. }, Outcome::NeverStops) => true,
        _ => false,
    }
}

impl Drift<'_> {
    /// The worst over every sign of the upsets, of which only sizes count, within `room` or any length; `aside` is
    /// how far off the centre line it may touch. `None` where some combination neither stops nor runs off.
    ///
    /// Widths are by chainage of the track, from touchdown on.
    pub fn sideways(&self, touchdown: Touchdown, room: Option<Metres>, aside: Metres) -> Option<Sideways> {
        if !(aside >= Metres::ZERO && aside.to_m().is_finite()) {
            return None;
        }
        let mut worst = Worst::new(&self.plan);
        for fin in fins(self) {
            for upset in self.signs() {
                let plan = Plan { fin: Some(fin), ..self.plan };
                Drift { plan, upset, ..*self }.widen(touchdown, room, &mut worst)?;
            }
        }
        Some(worst.done(touchdown, aside))
    }

    /// Every combination of signs but mirror images.
    fn signs(&self) -> impl Iterator<Item = Upset> {
        let Upset { course, nose, crosswind, uneven, tilt } = self.upset;
        let sloping = self.slide.track.stations().iter().any(|s| s.cross.to_ratio() != 0.0);
        let sizes = [course, nose, crosswind.to_mps(), uneven, if sloping { tilt } else { 0.0 }];
        // The first that is anything keeps its sign; what is nothing has none.
        let kept = sizes.iter().position(|&size| size != 0.0);
        let free = move |i: usize| sizes[i] != 0.0 && kept != Some(i);
        (0..1_u32 << sizes.len()).filter_map(move |turned| {
            let is_turned = |i: usize| turned & (1 << i) != 0;
            let signed = |i: usize| if is_turned(i) { -sizes[i] } else { sizes[i] };
            (0..sizes.len()).all(|i| free(i) || !is_turned(i)).then(|| Upset {
                course: signed(0),
                nose: signed(1),
                crosswind: Crosswind::mps(signed(2)),
                uneven: signed(3),
                tilt: signed(4),
            })
        })
    }

    /// Follows one combination of signs.
    fn widen(&self, touchdown: Touchdown, room: Option<Metres>, worst: &mut Worst) -> Option<()> {
        let mut before: Option<Place> = None;
        let mut lost = None;
        let ending = self.trace(touchdown, room, |place| {
            worst.take(before.as_ref().unwrap_or(place), place, 0.0, &mut lost);
            before = Some(*place);
        });
        let Ending { outcome, place, turns_on } = ending;
        let end = match outcome {
            Outcome::StopsAt(at) => {
                worst.take(&place, &place, turns_on, &mut lost);
                at
            }
            Outcome::RunsOff { .. } => place.slid,
            Outcome::NeverStops => return None,
        };
        worst.end(outcome, end, lost);
        Some(())
    }
}

/// The fins to follow: the one that is known, or none and the strongest.
fn fins(drift: &Drift<'_>) -> impl Iterator<Item = Fin> + use<> {
    let span = drift.plan.half_span.to_m() * 2.0;
    let area: SquareMetres = drift.slide.body.wing_area;
    let strongest = Fin { volume: STRONGEST_FIN * area.to_m2() * span, damping: 0.0 };
    let known = drift.plan.fin;
    [known.unwrap_or(Fin::NONE)].into_iter().chain(known.is_none().then_some(strongest))
}

/// What has been found so far, by metre from touchdown.
struct Worst {
    keel_length: f64,
    half_span: f64,
    widths: Vec<f64>,
    speeds: Vec<f64>,
    shortest: Option<f64>,
    longest: Option<Outcome>,
    heading: Heading,
}

impl Worst {
    fn new(plan: &Plan) -> Self {
        Self {
            keel_length: plan.keel_length.to_m(),
            half_span: plan.half_span.to_m(),
            widths: Vec::new(),
            speeds: Vec::new(),
            shortest: None,
            longest: None,
            heading: Heading::Held,
        }
    }

    /// Takes in the way from one place to the next.
    fn take(&mut self, a: &Place, b: &Place, turns_on: f64, lost: &mut Option<f64>) {
        let bend = BEND * (b.seconds - a.seconds);
        let swing = a.heading.abs().max(b.heading.abs()) + bend * (b.turning - a.turning).abs() + turns_on;
        let bowed = bend * (b.across.to_mps() - a.across.to_mps()).abs();
        let aside = a.right.abs().max(b.right.abs()).to_m() + bowed;
        // A swing that is not a number counts as lost.
        if (swing > HEADING_HELD || swing.is_nan()) && lost.is_none() {
            *lost = Some(a.slid.to_m());
        }
        let (near, far) = (a.slid.min(b.slid).to_m(), a.slid.max(b.slid).to_m());
        if lost.is_some() {
            let reach = self.half_span.max(self.keel_length);
            raise(&mut self.widths, near - reach, far, LOST_ROOM * (aside + reach));
        } else {
            let width = aside + self.keel_length * libm::sin(swing);
            raise(&mut self.widths, near - self.keel_length, far, width);
        }
        let across = a.sideways.to_mps().abs().max(b.sideways.to_mps().abs());
        let turning = a.turning.abs().max(b.turning.abs());
        raise(&mut self.speeds, near, far, across + turning * self.keel_length);
    }

    fn end(&mut self, outcome: Outcome, end: Metres, lost: Option<f64>) {
        let end = end.to_m();
        if let Outcome::StopsAt(_) = outcome {
            self.shortest = Some(self.shortest.map_or(end, |known| known.min(end)));
        }
        if self.longest.is_none_or(|known| is_longer(known, outcome)) {
            self.longest = Some(outcome);
        }
        if let Some(after) = lost {
            let before_stop = matches!(outcome, Outcome::StopsAt(_)).then_some(end - after);
            let lost = Heading::Lost { after: Metres::m(after), before_stop: before_stop.map(Metres::m) };
            self.heading = self.heading.or_worse(lost);
        }
    }

    fn done(self, touchdown: Touchdown, aside: Metres) -> Sideways {
        let room = aside.to_m() + ACCURACY.to_m();
        let outcome = self.longest.unwrap_or(Outcome::NeverStops);
        Sideways {
            outcome,
            shortest: self.shortest.map_or(outcome, |end| Outcome::StopsAt(Metres::m(end))),
            heading: self.heading,
            widths: Widths::growing(touchdown.at, self.widths.into_iter().map(|w| w + room)),
            speeds: self.speeds,
            keel_length: Metres::m(self.keel_length),
        }
    }
}

/// Raises every metre between two lengths, both their own included, to at least a value.
fn raise(values: &mut Vec<f64>, near: f64, far: f64, value: f64) {
    let index = |s: f64| (s.clamp(0.0, SLIDE_LIMIT.to_m()) / PITCH) as usize;
    let (first, last) = (index(near), index(far));
    if values.len() <= last {
        values.resize(last + 1, 0.0);
    }
    for held in &mut values[first..=last] {
        // `max` would pass over what is not a number.
        *held = if value.is_nan() { f64::INFINITY } else { held.max(value) };
    }
}
