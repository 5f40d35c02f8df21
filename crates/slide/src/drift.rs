//! One slide that drifts and swings: where it goes, step by step, until it rests.
//!
//! Invariants: bounded work; every step lies on one station, before or after what ends there; with nothing that
//! pushes sideways it goes straight, and is then the slide of [`Slide::traced`]; places at rest within
//! [`ACCURACY`] of those that an ODE library finds (`tests/outside_drift.rs`).
//!
//! Not here: the forces (`yaw`); which signs hurt.
//!
//! Source: classic Runge-Kutta rule (textbook method).

use crate::integrate::SLIDE_LIMIT;
use crate::plan::{Fin, Plan};
use crate::run::Outcome;
use crate::slide::{Slide, Touchdown};
use crate::upset::Upset;
use crate::yaw::{Across, State, Under};
use measure::{GroundSpeed, Metres, STANDARD_GRAVITY};

/// How far a place at rest may be off, along and across.
pub const ACCURACY: Metres = Metres::m(1e-4);

/// Longest step, s.
const LONGEST_STEP: f64 = 0.1;

/// Largest share of the speed lost or won, and largest turn (rad), in one step.
const LARGEST_CHANGE: f64 = 0.15;

/// Largest step by how fast the nose answers: this over its rate, 1/s.
const SHARE_OF_SWING: f64 = 0.3;

/// Steps in which lift settles, at least.
const SETTLING_STEPS: f64 = 8.0;

/// Shortest step, s: what is left of a station that rounding leaves behind.
const SHORTEST_STEP: f64 = 1e-9;

/// Below this speed what is left is worked out at the present deceleration, m/s.
const ALL_BUT_AT_REST: f64 = 0.02;

/// Steps at most; a slide takes some 60 to 200 and two or three for each station.
const STEPS: usize = 20_000;

/// More than the square of what a speed gains in one step.
const WELL_ABOVE: f64 = 1.5;

/// Tries to end a step where something changes, and how near is near enough, m, m/s or m/s2.
const TRIES: usize = 8;
const NEAR_ENOUGH: f64 = 1e-9;

/// A slide that may drift and swing.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Drift<'a> {
    /// What acts along the lane.
    pub slide: Slide<'a>,
    /// The aircraft from above; a fin that nobody knows is taken as none.
    pub plan: Plan,
    /// What pushes it off.
    pub upset: Upset,
}

/// Where a slide is.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Place {
    /// Since touchdown, s.
    pub seconds: f64,
    /// Along the lane from touchdown.
    pub slid: Metres,
    /// To the right of the line through touchdown.
    pub right: Metres,
    /// Nose right of the lane, rad.
    pub heading: f64,
    /// Nose turning right, rad/s.
    pub turning: f64,
    /// Speed over the ground along the lane.
    pub along: GroundSpeed,
    /// Speed over the ground to the right of the lane.
    pub across: GroundSpeed,
    /// Speed over the ground to the right of the keels.
    pub sideways: GroundSpeed,
}

impl Place {
    fn of(at: &State) -> Self {
        Self {
            seconds: at.t,
            slid: Metres::m(at.s),
            right: Metres::m(at.y),
            heading: at.psi,
            turning: at.turning,
            along: GroundSpeed::mps(at.along),
            across: GroundSpeed::mps(at.across),
            sideways: GroundSpeed::mps(at.sideways()),
        }
    }
}

/// How a slide that drifts ends.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Ending {
    /// How, by length along the lane.
    pub outcome: Outcome,
    /// Where, as far as it was followed.
    pub place: Place,
    /// How far the nose may still turn, rad, once the middle rests: against friction at the keels, at least half
    /// their spacing away. Infinite where nothing holds it.
    pub turns_on: f64,
}

impl Drift<'_> {
    /// Whether every value is finite and in its range; where not, it counts as never stopping.
    pub fn is_physical(&self) -> bool {
        let Self { slide, plan, upset } = self;
        slide.is_physical() && plan.is_physical() && upset.is_physical()
    }

    /// The slide to its end, within `room` along the lane or any length, with every place it comes to, touchdown
    /// and end included.
    pub fn trace(&self, touchdown: Touchdown, room: Option<Metres>, mut visit: impl FnMut(&Place)) -> Ending {
        let begin = self.begin(touchdown);
        let v = touchdown.speed.to_mps();
        let over = |outcome, at: &State, turns_on| Ending { outcome, place: Place::of(at), turns_on };
        if !(v.is_finite() && self.is_physical()) || room.is_some_and(|room| room.to_m().is_nan()) {
            return over(Outcome::NeverStops, &begin, f64::INFINITY);
        }
        visit(&Place::of(&begin));
        if v <= 0.0 {
            return over(Outcome::StopsAt(Metres::ZERO), &begin, 0.0);
        }
        let mut across = self.across(touchdown);
        let limit = room.map_or(SLIDE_LIMIT, |room| room.min(SLIDE_LIMIT)).to_m();
        let mut ground = Ground::at(self, touchdown);
        let mut at = begin;
        for _ in 0..STEPS {
            if at.s >= limit {
                let speed = GroundSpeed::mps(at.along);
                let ran_off = room.is_some_and(|room| room <= SLIDE_LIMIT);
                let outcome = if ran_off { Outcome::RunsOff { speed } } else { Outcome::NeverStops };
                return over(outcome, &at, f64::INFINITY);
            }
            let (under, end) = ground.under(self, at.s);
            across.held = across.steering_left(&at) > NEAR_ENOUGH;
            let first = across.rates(&under, &at);
            if at.speed() <= ALL_BUT_AT_REST {
                let Some((rest, turns_on)) = self.at_rest(&across, &under, &at, &first) else {
                    return over(Outcome::NeverStops, &at, f64::INFINITY);
                };
                visit(&Place::of(&rest));
                return over(Outcome::StopsAt(Metres::m(rest.s)), &rest, turns_on);
            }
            at = next(&across, &under, &at, &first, end.min(limit));
            if !(at.speed() + at.s + at.y + at.psi + at.turning).is_finite() {
                return over(Outcome::NeverStops, &at, f64::INFINITY);
            }
            visit(&Place::of(&at));
        }
        over(Outcome::NeverStops, &at, f64::INFINITY)
    }

    fn begin(&self, touchdown: Touchdown) -> State {
        let v = touchdown.speed.to_mps();
        let (sine, cosine) = libm::sincos(self.upset.course);
        State {
            t: 0.0,
            s: 0.0,
            y: 0.0,
            psi: self.upset.course + self.upset.nose,
            along: v * cosine,
            across: v * sine,
            turning: 0.0,
        }
    }

    fn across(&self, touchdown: Touchdown) -> Across {
        let (slide, plan, upset) = (&self.slide, &self.plan, &self.upset);
        let mass = slide.body.mass.to_kg();
        let over_mass = 0.5 * slide.density.to_kg_m3() / mass;
        let fin = plan.fin.unwrap_or(Fin::NONE);
        let gyration = plan.gyration.to_m();
        Across {
            air: slide.air(touchdown.speed),
            thrust: slide.body.idle_thrust.to_n() / mass,
            wind: -upset.crosswind.to_mps(),
            side: over_mass * plan.side_area.to_m2() * plan.side_slope,
            ahead: plan.contact_ahead.to_m(),
            uneven: 0.5 * plan.keel_spacing.to_m() * upset.uneven,
            fin: over_mass * fin.volume,
            damping: over_mass * fin.damping,
            gyration: gyration * gyration,
            steered_above: plan.steered_above.map_or(f64::INFINITY, measure::AirSpeed::to_mps),
            held: false,
        }
    }

    /// The state at rest, reached at the present deceleration, and how far the nose may turn on; `None` if it
    /// does not slow.
    fn at_rest(&self, across: &Across, under: &Under, at: &State, rates: &State) -> Option<(State, f64)> {
        let speed = at.speed();
        if speed <= 0.0 {
            return Some((*at, 0.0));
        }
        let slowing = -(at.along * rates.along + at.across * rates.across) / speed;
        let time = speed / slowing;
        if !(slowing > 0.0 && time.is_finite()) {
            return None;
        }
        let psi = at.psi + at.turning * time;
        let (s, y) = (at.s + 0.5 * at.along * time, at.y + 0.5 * at.across * time);
        let rest = State { t: at.t + time, s, y, psi, along: 0.0, across: 0.0, turning: 0.0 };
        // Turning energy over what friction takes from it for each radian, at half the keel spacing.
        let still = State { turning: at.turning, ..rest };
        let held =
            under.here.friction * across.load(under, &still).max(0.0) * 0.5 * self.plan.keel_spacing.to_m();
        let energy = 0.5 * across.gyration * at.turning * at.turning;
        Some((rest, if energy > 0.0 { energy / held } else { 0.0 }))
    }
}

/// The station under a slide, which only moves on.
struct Ground {
    index: usize,
    begin: f64,
}

impl Ground {
    fn at(drift: &Drift<'_>, touchdown: Touchdown) -> Self {
        Self { index: drift.slide.track.index_at(touchdown.at), begin: touchdown.at.to_m() }
    }

    /// What the ground does after a length slid, and the length at which that ends.
    fn under(&mut self, drift: &Drift<'_>, s: f64) -> (Under, f64) {
        let stations = drift.slide.track.stations();
        let end_of = |i: usize| stations.get(i + 1).map_or(f64::INFINITY, |s| s.from.to_m() - self.begin);
        while s >= end_of(self.index) {
            self.index += 1;
        }
        let end = end_of(self.index);
        let station = &stations[self.index];
        let cross = drift.upset.tilt * station.cross.to_ratio();
        let cross = STANDARD_GRAVITY * cross / (1.0 + cross * cross).sqrt();
        let mut here = drift.slide.here(station);
        let carried = drift.slide.carried.to_m();
        if s < carried {
            here.friction = 0.0;
            return (Under { here, cross }, end.min(carried));
        }
        (Under { here, cross }, end)
    }
}

/// The state after the next step, which ends at the latest where the ground changes, where it begins or ceases to
/// carry, or all but at rest: in steps so cut everything is smooth.
fn next(across: &Across, under: &Under, at: &State, first: &State, end: f64) -> State {
    let after = |h: f64| across.stepped(under, at, first, h);
    let mut h = step_length(across, under, at, first);
    let mut reached = after(h);
    if may_lift(across, under, at) {
        let (carried, carries) = (across.load(under, at), across.load(under, &reached));
        if carried.abs() > NEAR_ENOUGH && carried * carries < 0.0 {
            (h, reached) = ended(after, carried, (h, carries), |state| across.load(under, state));
        }
    }
    if across.held && across.steering_left(&reached) < 0.0 {
        let left = (across.steering_left(at), across.steering_left(&reached));
        (h, reached) = ended(after, left.0, (h, left.1), |state| across.steering_left(state));
    }
    if reached.s > end {
        let (_, to_end) = ended(after, at.s - end, (h, reached.s - end), |state| state.s - end);
        return State { s: end, ..to_end };
    }
    let still_to_lose = |state: &State| state.speed() - ALL_BUT_AT_REST;
    if reached.speed() < ALL_BUT_AT_REST {
        let (_, slow) = ended(after, still_to_lose(at), (h, still_to_lose(&reached)), still_to_lose);
        // A hair too fast would be a step more; a hair too slow is what was asked for.
        let trim = (ALL_BUT_AT_REST / slow.speed()).min(1.0);
        return State { along: slow.along * trim, across: slow.across * trim, ..slow };
    }
    reached
}

/// Whether the ground may begin or cease to carry within a step: not where the weight is well above what lift and
/// curvature can take from it.
fn may_lift(across: &Across, under: &Under, at: &State) -> bool {
    let through_air = at.speed() + across.air.headwind.abs() + across.wind.abs();
    let lift = across.air.lift_at(at.t).abs() * through_air * through_air;
    let crest = under.here.curvature.abs() * at.along * at.along;
    under.here.weight < WELL_ABOVE * (lift + crest)
}

/// The step and the state where `left` becomes zero, between now (value `from`) and a step of length and value `to`.
fn ended(
    after: impl Fn(f64) -> State,
    from: f64,
    to: (f64, f64),
    left: impl Fn(&State) -> f64,
) -> (f64, State) {
    let (mut near, mut far) = ((0.0, from), to);
    let mut found = (far.0, after(far.0));
    let mut far_moved = None;
    for _ in 0..TRIES {
        let h = near.0 + (far.0 - near.0) * near.1 / (near.1 - far.1);
        found = (h, after(h));
        let value = left(&found.1);
        if value.abs() <= NEAR_ENOUGH {
            break;
        }
        let moves_far = (value > 0.0) == (far.1 > 0.0);
        // The Illinois rule: an end that stays twice counts for half, so that it does not stay for ever.
        let stays = if far_moved == Some(moves_far) { 0.5 } else { 1.0 };
        if moves_far {
            (far, near.1) = ((h, value), near.1 * stays);
        } else {
            (near, far.1) = ((h, value), far.1 * stays);
        }
        far_moved = Some(moves_far);
    }
    found
}

/// How long the next step is, s.
fn step_length(across: &Across, under: &Under, at: &State, first: &State) -> f64 {
    let change = (first.along * first.along + first.across * first.across).sqrt();
    let by_speed = LARGEST_CHANGE * at.speed() / change;
    let by_turn = LARGEST_CHANGE / at.turning.abs();
    let through_air = at.speed() + across.air.headwind.abs() + across.wind.abs();
    let stiffness = (across.fin.abs() * through_air * through_air
        + under.here.friction * under.here.weight * across.ahead.abs())
        / across.gyration;
    let by_swing = SHARE_OF_SWING / (stiffness.sqrt() + across.damping * through_air / across.gyration);
    let wait = across.air.settling - at.t;
    let by_settling = if wait > 0.0 { wait.min(across.air.settling / SETTLING_STEPS) } else { f64::INFINITY };
    LONGEST_STEP.min(by_speed).min(by_turn).min(by_swing).min(by_settling).max(SHORTEST_STEP)
}
