//! The fast way through many slides: from station to station by rules of Runge and Kutta in v^2, the stop by a
//! quadrature over speed.
//!
//! In v^2 the deceleration is all but linear, so few steps do; at rest, where v^2 has a root in it that is
//! singular with wind, the length left is the integral of v/D(v), which is smooth there.
//!
//! Invariants: bounded work; only sums, products, quotients and roots, which are the same digits
//! everywhere; for touchdowns faster through the air than 10 m/s a length within [`ACCURACY`] of those that
//! [`Slide::traced`] finds with all but the same friction (property test).
//!
//! Not here: what happens between touchdown and stop; runs off the end.
//!
//! Source: midpoint rule, classic Runge-Kutta rule and Gauss-Legendre quadrature of five points (textbook methods).

use crate::integrate::SLIDE_LIMIT;
use crate::slide::{Air, Here, Slide, Touchdown};
use measure::Metres;

/// How far a length of up to 50 m may be off; a longer one by 1 in 1,000 of it ([`accuracy`]).
pub const ACCURACY: Metres = Metres::m(0.05);

/// The same as a share of a long length.
const ACCURACY_SHARE: f64 = 0.001;

/// How far a length may be off.
pub fn accuracy(length: Metres) -> Metres {
    ACCURACY.max(length * ACCURACY_SHARE)
}

/// Largest share of v^2 lost or won in one step.
const LARGEST_CHANGE: f64 = 0.1;

/// Longest step, m.
const LONGEST_STEP: f64 = 5.0;

/// Longest step while the ground carries nothing: it has to end near where it carries again, m.
const AFLOAT_STEP: f64 = 0.5;

/// Steps in which lift settles, at least.
const SETTLING_STEPS: f64 = 8.0;

/// A slide with less left than this at its present deceleration has as good as stopped, m.
const AS_GOOD_AS_STOPPED: f64 = 0.02;

/// Steps at most: more than the limit of a slide and any number of stations asks for.
const STEPS: usize = 20_000;

/// Largest ratio of decelerations between now and rest for which five points are enough.
const MOST_UNEVEN: f64 = 2.0;

/// Gauss-Legendre nodes and weights of five points on 0 to 1.
const NODES: [(f64, f64); 5] = [
    (0.046_910_077_030_668, 0.118_463_442_528_095),
    (0.230_765_344_947_158, 0.239_314_335_249_683),
    (0.5, 0.284_444_444_444_444),
    (0.769_234_655_052_842, 0.239_314_335_249_683),
    (0.953_089_922_969_332, 0.118_463_442_528_095),
];

/// Where a slide is.
#[derive(Clone, Copy)]
struct State {
    /// Length from touchdown.
    s: f64,
    /// v^2 and v.
    e: f64,
    v: f64,
    /// Since touchdown.
    t: f64,
}

impl Slide<'_> {
    /// Length from touchdown to rest; `None` if it does not stop within [`SLIDE_LIMIT`] or is not physical.
    pub fn length(&self, touchdown: Touchdown) -> Option<Metres> {
        let v = touchdown.speed.to_mps();
        if !v.is_finite() || !self.is_physical() {
            return None;
        }
        if v <= 0.0 {
            return Some(Metres::ZERO);
        }
        self.march(touchdown).filter(|s| *s <= SLIDE_LIMIT.to_m()).map(Metres::m)
    }

    fn march(&self, touchdown: Touchdown) -> Option<f64> {
        let air = self.air(touchdown.speed);
        let (begin, v) = (touchdown.at.to_m(), touchdown.speed.to_mps());
        let stations = self.track.stations();
        let mut index = self.track.index_at(touchdown.at);
        let mut at = State { s: 0.0, e: v * v, v, t: 0.0 };
        let carried = self.carried.to_m();
        let end_of =
            |i: usize| stations.get(i + 1).map_or(SLIDE_LIMIT.to_m() * 2.0, |s| s.from.to_m() - begin);
        let (mut here, mut end) = (self.here(&stations[index]), end_of(index));
        for _ in 0..STEPS {
            while at.s >= end {
                index += 1;
                (here, end) = (self.here(&stations[index]), end_of(index));
            }
            let free = at.s < carried;
            let settled = !free && at.t >= air.settling;
            // Ground that goes on for ever and on which it would set off by itself is no ground to stop on.
            if settled && index + 1 == stations.len() && air.deceleration(&here, 0.0, air.lift) <= 0.0 {
                return None;
            }
            let ground = if free { Here { friction: 0.0, ..here } } else { here };
            let left = if free { end.min(carried) } else { end } - at.s;
            let lift = air.lift_at(at.t);
            let d = air.deceleration(&ground, at.v, lift);
            if let Some(rest) = rest(&air, &ground, &at, d, left) {
                return Some(at.s + rest);
            }
            let afloat = air.load(&ground, at.v, lift) <= 0.0;
            let h = step_length(&air, &at, d, if afloat { left.min(AFLOAT_STEP) } else { left });
            let to = if h >= left { at.s + left } else { at.s + h };
            at = State { s: to, ..stepped(&air, &ground, &at, d, h) };
            if at.s > SLIDE_LIMIT.to_m() || at.e.is_nan() {
                return None;
            }
        }
        None
    }
}

/// Length left to rest, if it rests before the ground changes.
fn rest(air: &Air, ground: &Here, at: &State, d: f64, left: f64) -> Option<f64> {
    let now = at.e / (2.0 * d);
    if now > 0.0 && now <= AS_GOOD_AS_STOPPED.min(left) {
        return Some(now);
    }
    // While lift settles it is not a function of speed alone; far off, it is not worth the work.
    if at.t < air.settling || !(d > 0.0 && now <= 2.0 * left) {
        return None;
    }
    // Where the deceleration changes much on the way, five points are too few.
    let at_rest = air.deceleration(ground, 0.0, air.lift);
    let (least, most) = (d.min(at_rest), d.max(at_rest));
    if !(least > 0.0 && most <= MOST_UNEVEN * least && air.load(ground, at.v, air.lift) > 0.0) {
        return None;
    }
    let mut sum = 0.0;
    for (node, weight) in NODES {
        let v = node * at.v;
        if air.load(ground, v, air.lift) <= 0.0 {
            return None;
        }
        sum += weight * v / air.deceleration(ground, v, air.lift);
    }
    let rest = sum * at.v;
    (rest > 0.0 && rest <= left).then_some(rest)
}

/// How far the next step goes.
fn step_length(air: &Air, at: &State, d: f64, left: f64) -> f64 {
    let by_change = LARGEST_CHANGE * at.e / (2.0 * d.abs());
    let wait = air.settling - at.t;
    // A step ends where lift has settled; near enough that the bend there does not count.
    let by_settling = if wait > 0.0 {
        let time = wait.min(air.settling / SETTLING_STEPS);
        (at.v * time - 0.5 * d * time * time).max(at.v * time * 0.5)
    } else {
        left
    };
    left.min(LONGEST_STEP).min(by_change).min(by_settling).max(f64::MIN_POSITIVE)
}

/// One step: by the midpoint rule once lift has settled, when time does not count and the deceleration is all
/// but linear in v^2.
fn stepped(air: &Air, ground: &Here, at: &State, d: f64, h: f64) -> State {
    if at.t < air.settling {
        return stepped_in_time(air, ground, at, d, h);
    }
    let middle = (at.e - d * h).max(0.0).sqrt();
    let e = (at.e - 2.0 * air.deceleration(ground, middle, air.lift) * h).max(0.0);
    State { s: at.s, e, v: e.sqrt(), t: at.t }
}

/// One step of the classic Runge-Kutta rule in v^2 and time.
fn stepped_in_time(air: &Air, ground: &Here, at: &State, d: f64, h: f64) -> State {
    let half = 0.5 * h;
    let speed = |slowed: f64| (at.e - slowed).max(0.0).sqrt();
    let slows = |v: f64, t: f64| air.deceleration(ground, v, air.lift_at(t));
    let v1 = speed(d * h);
    // The mean speed of a constant deceleration, which is all but exact over a step.
    let t1 = at.t + h / (at.v + v1);
    let d1 = slows(v1, t1);
    let v2 = speed(d1 * h);
    let t2 = at.t + h / (at.v + v2);
    let d2 = slows(v2, t2);
    let v3 = speed(2.0 * d2 * h);
    let d3 = slows(v3, at.t + 4.0 * half / (at.v + v3));
    let e = (at.e - h * (d + 2.0 * (d1 + d2) + d3) / 3.0).max(0.0);
    let v = e.sqrt();
    // Simpson's rule over the step, its middle speed that of the second half stage.
    let t = at.t + h / 6.0 * (1.0 / at.v + 4.0 / v2 + 1.0 / v);
    State { s: at.s, e, v, t }
}
