//! What would make a lane long enough that is too short as things stand, each found by working it out: with the same
//! points, so that nothing but the remedy differs, sought with few of them by their bound and held by all.
//!
//! Not here: clearing hazards away ([`crate::gain`]).

use crate::approach::WayIn;
use crate::assessed_lane::Remedy;
use crate::bench::Bench;
use crate::code::Fix;
use crate::demand::{self, Ends, Look};
use crate::judge::Judged;
use crate::scatter::LEAST_SCATTER;
use crate::spread::{Corner, Spread};
use crate::touchdowns::Stretch;
use ground::Lane;
use measure::{CalibratedSpeed, Headwind, Interval, Kilograms, Metres};
use slide::Wetness;

/// Halvings of what is sought: from hundreds of kilograms to a tenth of one.
const HALVINGS: usize = 12;

/// Share of the stall speed up to which a headwind is asked for: beyond it a slide is not what is worked out
/// here (judgement, as for gales).
const MOST_HEADWIND: f64 = 0.5;

/// A pilot and fuel to land with (judgement).
const LEAST_ON_BOARD: Kilograms = Kilograms::kg(90.0);

/// Lengths of the touchdowns are told in steps of this, m.
const WITHIN_STEP: f64 = 0.1;

/// What is asked of a lane: the demand and its spare share, once margins and scatter are taken out.
struct Question<'a> {
    bench: &'a Bench<'a>,
    ends: Ends,
    open: Stretch,
}

impl Question<'_> {
    /// Length left over the demand and what is asked on top of it; nothing where it never stops.
    fn left(&self, spread: &Spread, look: Look) -> Option<Metres> {
        let (short, _) = self.bench.scatter();
        let needed = demand::worst(spread, &self.ends, self.open.earliest + short, look).needed?;
        let asked = needed * self.bench.settings.tight_spare_share;
        Some(self.open.spare(self.ends.at(), needed, asked))
    }

    fn fits(&self, spread: &Spread) -> bool {
        self.fits_at(spread, Look::Preview)
    }

    fn fits_at(&self, spread: &Spread, look: Look) -> bool {
        let (short, long) = self.bench.scatter();
        self.left(spread, look).is_some_and(|left| left >= short + long)
    }

    /// The least amount, up to `most`, with which it fits.
    fn least(&self, most: f64, with: impl Fn(f64) -> Spread) -> Option<f64> {
        if most <= 0.0 || !self.fits(&with(most)) {
            return None;
        }
        let (mut short, mut enough) = (0.0, most);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(short, enough);
            if self.fits(&with(middle)) {
                enough = middle;
            } else {
                short = middle;
            }
        }
        // The few points hardly ever say yes where all of them say no; then nothing is told.
        self.fits_at(&with(enough), Look::Full).then_some(enough)
    }
}

/// Whether a lane of these ends and slides fits, not tightly.
pub(crate) fn fits(bench: &Bench, lane: &Lane, ends: Ends, spread: &Spread) -> bool {
    let way_in = WayIn::new(bench, lane, spread, ends.at());
    let (touchdowns, _) = bench.touchdowns_open(&way_in, Corner::Worst, &ends);
    let (open, _) = bench.served(spread, &ends, &touchdowns);
    Question { bench, ends, open }.fits_at(spread, Look::Full)
}

/// Remedies for one lane; none where it is long enough.
pub(crate) fn list(bench: &Bench, judged: &Judged) -> Vec<Remedy> {
    let question = Question { bench, ends: judged.ends, open: judged.open };
    if question.fits(&judged.spread) {
        return Vec::new();
    }
    let amounts = [
        (Fix::Lighter, "kg", lighter(&question, judged)),
        (Fix::Headwind, "m/s", headwind(&question, judged)),
        (Fix::TouchdownWithin, "m", touchdown_within(&question, judged)),
    ];
    let told = |(what, unit, value): (Fix, &'static str, Option<f64>)| {
        value.map(|value| Remedy { what, value: Some(value), unit: Some(unit) })
    };
    let dry = drier(&question, judged).then_some(Remedy { what: Fix::DrierGrass, value: None, unit: None });
    amounts.into_iter().filter_map(told).chain(dry).collect()
}

fn lighter(question: &Question, judged: &Judged) -> Option<f64> {
    let heaviest = judged.spread.mass.high();
    let empty = question.bench.aircraft.mass_range.low() + LEAST_ON_BOARD;
    let with =
        |less: f64| Spread { mass: Interval::exact(heaviest - Kilograms::kg(less)), ..judged.spread.clone() };
    question.least((heaviest - empty).to_kg(), with)
}

fn headwind(question: &Question, judged: &Judged) -> Option<f64> {
    let stall: CalibratedSpeed = judged.spread.stall.low();
    let counted = question.bench.situation.counted_headwind(question.bench.settings);
    // A steady wind: gusts come on top of the speed that is flown.
    let with = |mean: f64| Spread {
        headwind: Interval::exact(Headwind::mps(mean * counted)),
        wind: None,
        gust_mps: Interval::exact(0.0),
        ..judged.spread.clone()
    };
    question.least(stall.to_mps() * MOST_HEADWIND, with)
}

fn touchdown_within(question: &Question, judged: &Judged) -> Option<f64> {
    let left = question.left(&judged.spread, Look::Full)?.to_m();
    // A little less than all that is left, which would be on the border itself.
    let within = libm::floor(left / WITHIN_STEP) * WITHIN_STEP;
    (within >= LEAST_SCATTER).then_some(within)
}

fn drier(question: &Question, judged: &Judged) -> bool {
    let bench = question.bench;
    let Some(dry) = bench.situation.in_state(Wetness::Dry) else { return false };
    let lane = &judged.stretch.lane;
    let ground = bench.ground_on(&dry, bench.strip.cover, lane, &judged.way);
    question.fits_at(&Spread { ground, ..judged.spread.clone() }, Look::Full)
}
