//! The longest slides alone: all that the percentiles of a first look rest on, for pictures of many occasions.
//!
//! The order of slides by length hardly changes with wind, air and mass. So the slides of one lane are all worked out once;
//! on another occasion each is taken to change as the square of its speed over the ground, and they are worked out from the
//! longest on, until no other can come up to the percentile that is asked for.
//!
//! Invariant: a length is that of the slide itself, never the guess; slides left out would have to be longer beside their
//! guess than any that was worked out, by [`ROOM`], to change a percentile. That none is was tried (test beside this, and
//! whole pictures in the acceptance tests), not proven.
//!
//! Not here: what the percentiles are asked for ([`crate::demand`]).

use super::{HARD, Lengths, OPEN, PREVIEW_CONFIDENCE, PREVIEW_POINTS};
use crate::lane_ground::LaneGround;
use crate::spread::{Case, Corner, Spread};
use measure::points::{Point, REPLICATES, replicate};
use measure::{Metres, upper_rank};
use std::sync::{LazyLock, Mutex, MutexGuard, PoisonError};

/// By how much more a slide that was left out may be longer than its guess than any that was worked out (judgement).
const ROOM: f64 = 1.15;

/// Slides worked out between two questions whether to go on.
const AT_ONCE: usize = 16;

/// Lanes that are remembered.
const REMEMBERED: usize = 32;

/// The points of a first look.
static POINTS: LazyLock<Vec<Point>> =
    LazyLock::new(|| (0..REPLICATES).flat_map(|which| replicate(which, PREVIEW_POINTS)).copied().collect());

/// How many of the longest slides the bounds of both percentiles rest on; `None` were there too few points.
static RANKS: LazyLock<Option<[usize; 2]>> = LazyLock::new(|| {
    let from_above =
        |p: f64| upper_rank(POINTS.len(), p, PREVIEW_CONFIDENCE).map(|rank| POINTS.len() - rank + 1);
    Some([from_above(OPEN)?, from_above(HARD)?])
});

/// Lengths of the slides of one lane on some occasion, and their speeds over the ground at touchdown.
#[derive(Clone, Debug)]
struct Known {
    ground: LaneGround,
    of_point: Vec<(f64, f64)>,
}

/// Lanes whose slides were all worked out once.
#[derive(Default, Debug)]
pub(crate) struct Tails(Mutex<Vec<Known>>);

impl Tails {
    /// Percentiles of the longest case from a place, each by its bound.
    pub(super) fn lengths(&self, spread: &Spread, at: Metres) -> Lengths {
        let Some(ranks) = *RANKS else { return Lengths::NONE };
        let longest = |a: [f64; 2], b: [f64; 2]| [a[0].max(b[0]), a[1].max(b[1])];
        let cases = spread.cases(Corner::Worst);
        let each = cases.iter().map(|case| self.of_case(case, at, ranks));
        let [p95, p99] = each.reduce(longest).unwrap_or([f64::INFINITY; 2]);
        let ends = |length: f64| length.is_finite().then_some(length);
        Lengths { p95: ends(p95), p99: ends(p99), ..Lengths::NONE }
    }

    fn of_case(&self, case: &Case<'_>, at: Metres, [open, hard]: [usize; 2]) -> [f64; 2] {
        let length = |i: usize| case.length(at, &POINTS[i]).unwrap_or(f64::INFINITY);
        let speeds: Vec<f64> = POINTS.iter().map(|p| case.touchdown(p).to_mps().max(0.0)).collect();
        let Some(guesses) = self.guesses(&case.spread.ground, &speeds) else {
            let mut all: Vec<f64> = (0..POINTS.len()).map(length).collect();
            self.remember(&case.spread.ground, all.iter().copied().zip(speeds).collect());
            all.sort_by(|a, b| b.total_cmp(a));
            return [all[open - 1], all[hard - 1]];
        };
        let mut order: Vec<usize> = (0..guesses.len()).collect();
        order.sort_by(|a, b| guesses[*b].total_cmp(&guesses[*a]));
        let mut found: Vec<f64> = Vec::with_capacity(AT_ONCE * 8);
        let mut beside = 0.0_f64;
        for part in order.chunks(AT_ONCE) {
            let most = guesses[part[0]] * beside * ROOM;
            // The last one that counts is known, and no other comes up to it.
            if found.len() >= open && found[open - 1] > most {
                break;
            }
            for &i in part {
                let length = length(i);
                beside = beside.max(length / guesses[i].max(f64::MIN_POSITIVE));
                let place = found.partition_point(|known| *known >= length);
                found.insert(place, length);
            }
        }
        [found[open - 1], found[hard - 1]]
    }

    fn known(&self) -> MutexGuard<'_, Vec<Known>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// As long as on the occasion that is remembered, by the square of the speed; `None` of a lane not seen before.
    fn guesses(&self, ground: &LaneGround, speeds: &[f64]) -> Option<Vec<f64>> {
        let known = self.known();
        let known = known.iter().find(|k| k.ground == *ground)?;
        let guess = |((length, then), now): (&(f64, f64), &f64)| {
            let share = now / then.max(f64::MIN_POSITIVE);
            length * share * share
        };
        Some(known.of_point.iter().zip(speeds).map(guess).collect())
    }

    fn remember(&self, ground: &LaneGround, of_point: Vec<(f64, f64)>) {
        let mut known = self.known();
        if known.len() >= REMEMBERED {
            known.remove(0);
        }
        known.push(Known { ground: ground.clone(), of_point });
    }
}

/// Whether every slide of a first look surely stays wherever it stops: the most slippery, lightest and steepest does.
pub(crate) fn surely_stays(spread: &Spread) -> bool {
    let ends = |of: fn(&Point) -> [f64; measure::points::COORDINATES]| {
        let mut low = [f64::INFINITY; measure::points::COORDINATES];
        let mut high = [f64::NEG_INFINITY; measure::points::COORDINATES];
        for point in POINTS.iter() {
            for (i, value) in of(point).into_iter().enumerate() {
                (low[i], high[i]) = (low[i].min(value), high[i].max(value));
            }
        }
        (low, high)
    };
    let (low, high) = ends(|p| p.normal);
    let slippery = Point { normal: low, ..Point::MIDDLE };
    let steep = |slope: f64| {
        let mut point = slippery;
        point.normal[crate::spread::SLOPE] = slope;
        point
    };
    let points = [steep(low[crate::spread::SLOPE]), steep(high[crate::spread::SLOPE])];
    let stays = |case: &Case<'_>| {
        points.iter().all(|p| {
            let drawn = case.drawn(p);
            let slide = drawn.slide();
            drawn.track.stations().iter().all(|station| slide.stays(station.from))
        })
    };
    spread.cases(Corner::Worst).iter().all(stays)
}
