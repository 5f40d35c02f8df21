//! A slide step by step, for any deceleration along the way.
//!
//! Time is the independent variable, chainage and speed the state; the deceleration may change with all three. Why not v^2, which would save
//! the search for the stop? With wind the drag at rest is not flat in v^2: it goes with
//! (v + w)^2, whose derivative in v^2 is infinite at v = 0, just where the accuracy is wanted. In
//! time everything is smooth there.
//!
//! Invariants:
//! - a step never crosses a chainage at which the deceleration jumps, nor a speed or moment at which it
//!   has a kink: it ends on it, so the order of the method holds throughout;
//! - the deceleration is only asked for speeds from 0 and chainages inside the stretch under way,
//!   never exactly at a jump;
//! - the stop and the end of the room are found to near the last digit of the step they lie in;
//! - steps are bounded, and so is the distance ([`SLIDE_LIMIT`]).
//!
//! Not here: what the deceleration is made of.
//!
//! Source: Dormand and Prince 1980, J. Comp. Appl. Math. 6, 19-26, pair 5(4); coefficients as in
//! the code of several public libraries; step control as in textbooks.

use crate::run::Outcome;
use measure::root;
use measure::{GroundSpeed, Metres};

/// A slide longer than this counts as never stopping; no strip is a tenth as long.
pub const SLIDE_LIMIT: Metres = Metres::m(10_000.0);

/// Local error allowed in a step: of speed, relative to touchdown speed; of chainage, relative to
/// the chainage and what the step would cover at touchdown speed. Slides agree with the closed form
/// to 1e-9 (property test).
const TOLERANCE: f64 = 1e-12;

/// Steps tried at most, refused ones included; a slide takes some 40 to 200.
const STEPS: usize = 20_000;

/// Largest step in terms of the time in which the present deceleration would bring it to rest, so
/// that no step is tried far beyond the stop.
const STEP_OVER_TIME_TO_REST: f64 = 2.0;

/// First step tried, s; the error control finds its own from there.
const FIRST_STEP: f64 = 0.01;

/// Shortest time to a break that is worth a step, s.
const LEAST_TIME: f64 = 1e-12;

/// Share of the step that the error estimate would just allow.
const CAUTION: f64 = 0.9;

/// Smallest and largest ratio of one step to the next.
const STEP_RATIO: (f64, f64) = (0.2, 5.0);

/// A local error of fifth order shrinks with this power of the ratio wanted.
const ERROR_POWER: f64 = -0.2;

/// Weights of the earlier rates in each stage; the last row is the fifth-order result.
const STAGES: [&[f64]; 6] = [
    &[1.0 / 5.0],
    &[3.0 / 40.0, 9.0 / 40.0],
    &[44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0],
    &[19372.0 / 6561.0, -25360.0 / 2187.0, 64448.0 / 6561.0, -212.0 / 729.0],
    &[9017.0 / 3168.0, -355.0 / 33.0, 46732.0 / 5247.0, 49.0 / 176.0, -5103.0 / 18656.0],
    &[35.0 / 384.0, 0.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0],
];

/// Fifth-order weights less fourth-order ones.
const ERROR: [f64; 7] =
    [71.0 / 57600.0, 0.0, -71.0 / 16695.0, 71.0 / 1920.0, -17253.0 / 339_200.0, 22.0 / 525.0, -1.0 / 40.0];

/// Where the deceleration is not smooth; any order, values never met are harmless.
#[derive(Clone, Copy, PartialEq, Default, Debug)]
pub struct Breaks<'a> {
    /// Chainages from touchdown at which it jumps.
    pub chainages: &'a [Metres],
    /// Speeds at which it has a kink or a jump in its slope.
    pub speeds: &'a [GroundSpeed],
    /// Seconds from touchdown at which it has one.
    pub seconds: &'a [f64],
}

impl Breaks<'_> {
    /// The stretch that begins at `s`: the jumps beside it, the far one at most `end`.
    fn stretch(&self, s: f64, end: f64) -> (f64, f64) {
        let jumps = || self.chainages.iter().map(|c| c.to_m());
        let near = jumps().filter(|&c| c <= s).fold(0.0, f64::max);
        let far = jumps().filter(|&c| c > s).fold(end, f64::min);
        (near, far)
    }

    /// From a moment to the first break in time after it.
    fn time_left(&self, t: f64) -> f64 {
        // A break that rounding leaves a hair ahead has been met.
        self.seconds.iter().map(|k| k - t).filter(|&left| left > LEAST_TIME).fold(f64::INFINITY, f64::min)
    }

    /// The first speed to stop at on the way from `v` to `to`, rest among them.
    fn speed_met(&self, v: f64, to: f64) -> Option<f64> {
        let speeds = || self.speeds.iter().map(|k| k.to_mps()).chain([0.0]);
        if to < v {
            speeds().filter(|&k| to <= k && k < v).reduce(f64::max)
        } else {
            speeds().filter(|&k| v < k && k <= to).reduce(f64::min)
        }
    }
}

/// Seconds and chainage (m) from touchdown, and speed, m/s; or their rates.
#[derive(Clone, Copy)]
struct State {
    t: f64,
    s: f64,
    v: f64,
}

impl State {
    /// This state moved by `scale` times a weighted sum of rates.
    fn moved(self, scale: f64, weights: &[f64], rates: &[Self]) -> Self {
        let sum =
            |part: fn(&Self) -> f64| -> f64 { weights.iter().zip(rates).map(|(w, r)| w * part(r)).sum() };
        Self {
            t: self.t + scale * sum(|r| r.t),
            s: self.s + scale * sum(|r| r.s),
            v: self.v + scale * sum(|r| r.v),
        }
    }
}

/// The outcome where there is nothing to integrate.
///
/// A speed that is not finite never stops; a speed of zero or less stops at once; a room that is
/// not a positive number is run off at once.
pub(crate) fn ends_at_once(touchdown: GroundSpeed, room: Option<Metres>) -> Option<Outcome> {
    if !touchdown.to_mps().is_finite() {
        Some(Outcome::NeverStops)
    } else if touchdown <= GroundSpeed::ZERO {
        Some(Outcome::StopsAt(Metres::ZERO))
    } else if room.is_some_and(|room| room <= Metres::ZERO || room.to_m().is_nan()) {
        Some(Outcome::RunsOff { speed: touchdown })
    } else {
        None
    }
}

/// The slide that begins at `touchdown` speed under a deceleration in m/s2 that may change with
/// chainage from touchdown, speed, and seconds from touchdown, within `room` or any length up to
/// [`SLIDE_LIMIT`].
///
/// # Units
/// `deceleration` is smooth between the `breaks` and finite; where it is not a number the slide
/// never stops.
///
/// # Example: wet ground, then dry
/// ```
/// use measure::{GroundSpeed, Metres};
/// use slide::{Breaks, Outcome, integrate};
/// let edge = [Metres::m(30.0)];
/// let deceleration = |s: Metres, _, _| if s < edge[0] { 2.0 } else { 4.0 };
/// let breaks = Breaks { chainages: &edge, ..Breaks::default() };
/// let outcome = integrate(deceleration, GroundSpeed::mps(20.0), None, breaks);
/// // 400 - 2 x 2 x 30 = 280 left at the edge; 280/(2 x 4) = 35 m more.
/// let Outcome::StopsAt(d) = outcome else { panic!() };
/// assert!((d.to_m() - 65.0).abs() < 1e-9);
/// ```
pub fn integrate(
    deceleration: impl Fn(Metres, GroundSpeed, f64) -> f64,
    touchdown: GroundSpeed,
    room: Option<Metres>,
    breaks: Breaks<'_>,
) -> Outcome {
    trace(deceleration, touchdown, room, breaks, |_, _| ())
}

/// As [`integrate`], and shows `visit` every point it comes to, touchdown and end included; every
/// break that the slide meets is among them exactly.
pub fn trace(
    deceleration: impl Fn(Metres, GroundSpeed, f64) -> f64,
    touchdown: GroundSpeed,
    room: Option<Metres>,
    breaks: Breaks<'_>,
    mut visit: impl FnMut(Metres, GroundSpeed),
) -> Outcome {
    if let Some(outcome) = ends_at_once(touchdown, room) {
        return outcome;
    }
    let v0 = touchdown.to_mps();
    let end = room.map_or(SLIDE_LIMIT, |room| room.min(SLIDE_LIMIT)).to_m();
    let mut here = State { t: 0.0, s: 0.0, v: v0 };
    let mut h = FIRST_STEP;
    visit(Metres::ZERO, touchdown);
    for _ in 0..STEPS {
        let (near, far) = breaks.stretch(here.s, end);
        let rate = |at: State| {
            let s = inside(at.s, near, far);
            State { t: 1.0, s: at.v, v: -deceleration(Metres::m(s), GroundSpeed::mps(at.v.max(0.0)), at.t) }
        };
        let time_to_rest = here.v / rate(here).v.abs();
        let taken = h.min(STEP_OVER_TIME_TO_REST * time_to_rest).min(breaks.time_left(here.t));
        let (next, error) = step(&rate, here, taken);
        let excess = excess(error, next, v0, taken);
        h = taken * next_ratio(excess);
        // Written so that an error that is not a number is refused.
        if !(excess <= 1.0 && next.v.is_finite()) {
            continue;
        }
        here = first_event(&rate, here, next, taken, far, breaks);
        visit(Metres::m(here.s), GroundSpeed::mps(here.v));
        if here.v <= 0.0 {
            return Outcome::StopsAt(Metres::m(here.s));
        }
        if here.s >= end {
            return match room {
                Some(room) if room <= SLIDE_LIMIT => Outcome::RunsOff { speed: GroundSpeed::mps(here.v) },
                _ => Outcome::NeverStops,
            };
        }
    }
    Outcome::NeverStops
}

/// A chainage kept strictly between the jumps of its stretch, so that the deceleration there is
/// that of the stretch whichever side a jump is counted to.
fn inside(s: f64, near: f64, far: f64) -> f64 {
    let low = if near > 0.0 { near.next_up() } else { 0.0 };
    s.max(low).min(far.next_down())
}

/// One step: the state after it, and the estimate of its local error.
fn step(rate: &impl Fn(State) -> State, from: State, h: f64) -> (State, State) {
    let mut rates = [rate(from); 7];
    let mut next = from;
    for (stage, weights) in STAGES.iter().enumerate() {
        next = from.moved(h, weights, &rates);
        rates[stage + 1] = rate(next);
    }
    (next, State { t: 0.0, s: 0.0, v: 0.0 }.moved(h, &ERROR, &rates))
}

/// Estimated error over allowed error.
fn excess(error: State, next: State, v0: f64, h: f64) -> f64 {
    let speed = v0.max(next.v.abs());
    let in_s = error.s.abs() / (next.s.abs() + speed * h);
    let in_v = error.v.abs() / speed;
    // A sum and not the larger of the two, which would hide one that is not a number.
    (in_s + in_v) / TOLERANCE
}

/// Ratio of the next step to this one.
fn next_ratio(excess: f64) -> f64 {
    let (shrink, grow) = STEP_RATIO;
    if excess.is_nan() { shrink } else { (CAUTION * libm::pow(excess, ERROR_POWER)).clamp(shrink, grow) }
}

/// The state at the first break met within an accepted step, or after all of it.
fn first_event(
    rate: &impl Fn(State) -> State,
    from: State,
    next: State,
    h: f64,
    far: f64,
    breaks: Breaks<'_>,
) -> State {
    let after = |t: f64| step(rate, from, t).0;
    let (mut reached, mut taken) = (next, h);
    if let Some(speed) = breaks.speed_met(from.v, next.v) {
        let beyond = |t: f64| {
            let at = after(t);
            (at.v - speed, rate(at).v)
        };
        taken = root::bracketed(beyond, 0.0, h, next.v > from.v);
        reached = State { v: speed, ..after(taken) };
    }
    // Up to rest the chainage only grows, so its end within the cut step tells whether it passed.
    if reached.s > far {
        let beyond = |t: f64| {
            let at = after(t);
            (at.s - far, at.v)
        };
        let crossed = root::bracketed(beyond, 0.0, taken, true);
        let v = after(crossed).v;
        reached = State { s: far, v: v.max(0.0), ..after(crossed) };
    }
    reached
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Parts of a step at which the stages lie, the last row included, and the closing stage.
    const NODES: [f64; 7] = [0.0, 0.2, 0.3, 0.8, 8.0 / 9.0, 1.0, 1.0];

    #[test]
    fn the_tableau_fulfils_the_order_conditions_of_quadrature() {
        let sum = |weights: &[f64], power: i32| -> f64 {
            weights.iter().zip(NODES).map(|(w, c)| w * c.powi(power)).sum()
        };
        for (row, node) in STAGES.iter().zip(&NODES[1..]) {
            assert!((sum(row, 0) - node).abs() < 1e-13, "{row:?}");
        }
        for power in 0..5 {
            let exact = 1.0 / f64::from(power + 1);
            assert!((sum(STAGES[5], power) - exact).abs() < 1e-14, "{power}");
            // The companion is exact to one power less, so the estimate vanishes up to there.
            assert_eq!(sum(&ERROR, power).abs() < 1e-15, power < 4, "{power}");
        }
    }

    #[test]
    fn a_constant_deceleration_is_met_without_error() {
        let rate = |at: State| State { t: 1.0, s: at.v, v: -4.0 };
        let (next, error) = step(&rate, State { t: 0.0, s: 0.0, v: 20.0 }, 2.0);
        assert!((next.s - 32.0).abs() < 1e-13 && (next.v - 12.0).abs() < 1e-13);
        assert!(error.s.abs() < 1e-13 && error.v.abs() < 1e-13);
    }

    #[test]
    fn a_stretch_lies_between_the_jumps_beside_it_whatever_their_order() {
        let jumps = [50.0, -1.0, 20.0, f64::NAN, 80.0].map(Metres::m);
        let breaks = Breaks { chainages: &jumps, ..Breaks::default() };
        assert_eq!(breaks.stretch(0.0, 60.0), (0.0, 20.0));
        assert_eq!(breaks.stretch(20.0, 60.0), (20.0, 50.0));
        assert_eq!(breaks.stretch(55.0, 60.0), (50.0, 60.0));
    }
}
