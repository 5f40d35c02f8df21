//! How long a slide the lane must hold: percentiles over all slides that could be, the last touchdown from
//! which they still end in time, and the chance that one does not.
//!
//! Invariants: of several corners the longest counts; what has been sampled coarsely is given by a bound that
//! closer sampling hardly ever exceeds; a percentile carries the sampling's own error on top.
//!
//! Not here: what is known of a slide ([`crate::spread`]); what a verdict makes of it.

mod tail;

use crate::scatter::Scatter;
use crate::spread::{Case, Corner, Drawn, Outcomes, Spread, off_aim};
use crate::stops::{Stops, T_OF_REPLICATES};
use ground::{Margins, Stretch};
use measure::points::{MOST_POINTS, Point, REPLICATES, replicate};
use measure::{Metres, Sample};
pub(crate) use tail::{Tails, surely_stays};

/// Points of a first look, all replicates together, and of a full answer.
pub(crate) const PREVIEW_POINTS: usize = 1_024;
pub(crate) const FULL_POINTS: usize = MOST_POINTS;
const ROUGH_POINTS: usize = 256;

/// Confidence with which a first look's bound holds.
const PREVIEW_CONFIDENCE: f64 = 0.999;

/// Shares by which ends are judged: an open end, a hard one; the one as likely above as below, and one in twenty.
pub(crate) const OPEN: f64 = 0.95;
pub(crate) const HARD: f64 = 0.99;
pub(crate) const HALF: f64 = 0.5;
pub(crate) const EARLY: f64 = 0.05;

/// Marks of a slide that stays where it stopped, and of one that does not.
const STAYS: f64 = 0.0;
const MOVES: f64 = 1.0;

/// Distance between touchdowns that are tried, m (no more than a length may be off by itself).
const APART: Metres = Metres::m(0.05);

/// The same at a first look (judgement: the straight line between two tells the rest; tried on slopes that all but cancel
/// friction, it was 0.07 mm off at most).
const APART_AT_FIRST: Metres = Metres::m(0.25);

/// Guesses at the last touchdown before the rest is halved.
const GUESSES: usize = 6;

/// The far end of a lane: where slides must have ended.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Ends {
    /// Before an open end.
    open: Metres,
    /// Before the first hard thing.
    hard: Option<Metres>,
}

impl Ends {
    pub(crate) fn of(stretch: &Stretch, margins: &Margins) -> Self {
        let hard = stretch.hard_beyond.map(|beyond| stretch.lane.length + beyond - margins.hard_end);
        Self { open: stretch.lane.length - margins.end, hard }
    }

    /// The nearer of the two.
    pub(crate) fn at(&self) -> Metres {
        self.hard.map_or(self.open, |hard| self.open.min(hard))
    }

    /// Length that the nearer end must leave, what each end asks for counted to it; and the share of the slides
    /// that the end asks for which rules.
    pub(crate) fn asked(&self, lengths: &Lengths) -> Option<(Metres, f64)> {
        let short_of = |end: Metres, p: Option<f64>| p.map(|p| Metres::m(p) - (end - self.at()));
        let open = (short_of(self.open, lengths.p95)?, OPEN);
        let Some(hard) = self.hard else { return Some(open) };
        let hard = (short_of(hard, lengths.p99)?, HARD);
        Some(if hard.0 >= open.0 { hard } else { open })
    }

    /// The farther of the two.
    pub(crate) fn farther(&self) -> Metres {
        self.hard.map_or(self.open, |hard| self.open.max(hard))
    }
}

/// Percentiles of the length from one touchdown; `None` where it has no end.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Lengths {
    pub(crate) p50: Option<f64>,
    pub(crate) p95: Option<f64>,
    pub(crate) p99: Option<f64>,
    /// Standard errors of the last two.
    error_of_p95: Option<f64>,
    error_of_p99: Option<f64>,
}

impl Lengths {
    const NONE: Self = Self { p50: None, p95: None, p99: None, error_of_p95: None, error_of_p99: None };

    /// The share that the ends ask for and that has no end.
    fn share_without_end(&self) -> f64 {
        if self.p95.is_none() { OPEN } else { HARD }
    }

    /// Standard error of the percentile of a share.
    pub(crate) fn error(&self, share: f64) -> Option<f64> {
        if share < HARD { self.error_of_p95 } else { self.error_of_p99 }
    }
}

/// How many points, and how their percentiles are told.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Look {
    /// Fewer still, for differences that are only told in passing.
    Rough,
    /// Few points, by bounds.
    Preview,
    /// The same, of which only the longest are worked out ([`tail`]): percentiles and reasons, nothing to draw.
    Glance,
    /// All of them.
    Full,
}

impl Look {
    pub(crate) const fn points(self) -> usize {
        match self {
            Self::Rough => ROUGH_POINTS,
            Self::Preview | Self::Glance => PREVIEW_POINTS,
            Self::Full => FULL_POINTS,
        }
    }

    /// A percentile at the side that lengthens.
    fn high(self, sample: &Sample, p: f64) -> Option<f64> {
        match self {
            Self::Rough => sample.quantile(p),
            Self::Preview | Self::Glance => sample.upper_bound(p, PREVIEW_CONFIDENCE),
            Self::Full => Some(sample.quantile(p)? + T_OF_REPLICATES * sample.error(p)?),
        }
    }
}

/// What a lane must hold.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Demand {
    /// Length that the last touchdown leaves before the end margin.
    pub(crate) needed: Option<Metres>,
    /// Which share of the slides must be no longer.
    pub(crate) share: f64,
    /// Percentiles there.
    pub(crate) lengths: Lengths,
    /// Where the slides begin that were looked at, and their lengths, case by case of the worst corner.
    from: Metres,
    outcomes: Vec<Outcomes>,
    look: Look,
}

/// The demand at the worst corner.
pub(crate) fn worst(spread: &Spread, ends: &Ends, aim: Metres, look: Look) -> Demand {
    worst_without(spread, ends, aim, look, None)
}

/// Percentiles of the slides from one touchdown.
pub(crate) fn from(spread: &Spread, at: Metres, look: Look) -> Lengths {
    lengths(&outcomes(spread, at, look, None), look)
}

/// The same with one of the sampled values known to lie in its middle.
pub(crate) fn worst_without(
    spread: &Spread,
    ends: &Ends,
    aim: Metres,
    look: Look,
    without: Option<usize>,
) -> Demand {
    let from = |at: Metres| {
        let outcomes = outcomes(spread, at, look, without);
        Tried { at, lengths: lengths(&outcomes, look), outcomes }
    };
    demanded(spread, ends, aim, look, from)
}

/// The same by the longest slides alone.
pub(crate) fn worst_at_a_glance(tails: &Tails, spread: &Spread, ends: &Ends, aim: Metres) -> Demand {
    let from = |at: Metres| Tried { at, lengths: tails.lengths(spread, at), outcomes: Vec::new() };
    demanded(spread, ends, aim, Look::Glance, from)
}

fn demanded(spread: &Spread, ends: &Ends, aim: Metres, look: Look, from: impl Fn(Metres) -> Tried) -> Demand {
    let first = from(aim);
    let (found, latest) = if spread.ground.is_even_to(ends.farther()) {
        (first, None)
    } else {
        last_good(ends, from, first, look)
    };
    let asked = ends.asked(&found.lengths);
    Demand {
        needed: asked.map(|(needed, _)| latest.map_or(needed, |latest| ends.at() - latest)),
        share: asked.map_or(found.lengths.share_without_end(), |(_, share)| share),
        lengths: found.lengths,
        from: found.at,
        outcomes: found.outcomes,
        look,
    }
}

/// Slides tried from one touchdown.
struct Tried {
    at: Metres,
    lengths: Lengths,
    outcomes: Vec<Outcomes>,
}

impl Tried {
    /// Where enough of them have ended, counted to the end margin; without end where too many never stop.
    fn ended(&self, ends: &Ends) -> f64 {
        ends.asked(&self.lengths).map_or(f64::INFINITY, |(needed, _)| (self.at + needed).to_m())
    }

    /// Whether that is in time.
    fn holds(&self, ends: &Ends) -> bool {
        self.ended(ends) <= ends.at().to_m()
    }
}

/// The last place found from which enough slides end in time, and the latest touchdown; the aim, and none, where
/// they do not end in time even from there.
///
/// A later touchdown never ends sooner, so what fails at one place fails at all beyond it. The places tried are one
/// distance apart and the same for every question, and the latest touchdown lies on the straight line between the
/// two about it: so what makes each slide longer never leaves a later touchdown.
fn last_good(ends: &Ends, from: impl Fn(Metres) -> Tried, aim: Tried, look: Look) -> (Tried, Option<Metres>) {
    if !aim.holds(ends) {
        return (aim, None);
    }
    let apart = if matches!(look, Look::Preview | Look::Glance) { APART_AT_FIRST } else { APART };
    let place = |k: i64| apart * k as f64;
    let below = |m: f64| libm::floor(m / apart.to_m()) as i64;
    let end = ends.at().to_m();
    let guess = |tried: &Tried| below(end - (tried.ended(ends) - tried.at.to_m()).min(end));
    let (mut good, mut bad) = (below(aim.at.to_m()), below(end) + 1);
    let (mut next, mut tries) = (guess(&aim), 0);
    let (mut found, mut beyond) = (None, f64::INFINITY);
    while bad - good > 1 {
        let k = next.clamp(good + 1, bad - 1);
        let tried = from(place(k));
        tries += 1;
        // What one place asks for is a good guess at the last on ground that changes little; else by halves.
        let guessed = guess(&tried);
        if tried.holds(ends) {
            (good, found) = (k, Some(tried));
        } else {
            (bad, beyond) = (k, tried.ended(ends));
        }
        next = if tries < GUESSES { guessed } else { i64::midpoint(good, bad) };
    }
    let found = found.unwrap_or_else(|| from(place(good)));
    let short = found.ended(ends);
    let share = ((end - short) / (beyond - short)).clamp(0.0, 1.0);
    let latest = found.at + apart * share;
    (found, Some(latest.max(aim.at)))
}

/// The demand at the best corner, from one place, on the side that shortens it.
pub(crate) fn best(spread: &Spread, ends: &Ends, at: Metres) -> Option<Metres> {
    // A bound is not sought here, so few points will do; their error is taken off.
    let each = spread.cases(Corner::Best).into_iter().filter_map(|case| {
        let sample = Sample::new(&case.sampled(PREVIEW_POINTS, |case, p| case.length(at, p)));
        let low = |p| low(&sample, p);
        let lengths = Lengths { p95: low(OPEN), p99: low(HARD), ..Lengths::NONE };
        ends.asked(&lengths).map(|(needed, _)| needed)
    });
    each.reduce(Metres::min)
}

/// A percentile at the side that shortens.
fn low(sample: &Sample, p: f64) -> Option<f64> {
    Some((sample.quantile(p)? - T_OF_REPLICATES * sample.error(p).unwrap_or(0.0)).max(0.0))
}

fn outcomes(spread: &Spread, at: Metres, look: Look, without: Option<usize>) -> Vec<Outcomes> {
    let of_case = |case: Case<'_>| {
        case.sampled(look.points(), |case, p| match without {
            None => case.length(at, p),
            Some(coordinate) => case.length(at, &p.without(coordinate)),
        })
    };
    spread.cases(Corner::Worst).into_iter().map(of_case).collect()
}

/// Percentiles of the longest case.
fn lengths(outcomes: &[Outcomes], look: Look) -> Lengths {
    let of_case = |case: &Outcomes| {
        let sample = Sample::new(case);
        Lengths {
            p50: sample.quantile(HALF),
            p95: look.high(&sample, OPEN),
            p99: look.high(&sample, HARD),
            error_of_p95: sample.error(OPEN),
            error_of_p99: sample.error(HARD),
        }
    };
    let longest = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| a.max(b));
    let both = |a: Lengths, b: Lengths| Lengths {
        p50: longest(a.p50, b.p50),
        p95: longest(a.p95, b.p95),
        p99: longest(a.p99, b.p99),
        error_of_p95: longest(a.error_of_p95, b.error_of_p95),
        error_of_p99: longest(a.error_of_p99, b.error_of_p99),
    };
    outcomes.iter().map(of_case).reduce(both).unwrap_or(Lengths::NONE)
}

impl Demand {
    /// Whether only the longest slides were worked out.
    pub(crate) fn is_glance(&self) -> bool {
        self.look == Look::Glance
    }

    /// Where slides from an aim come to rest, the touchdown scattered about it, case by case of the worst corner.
    pub(crate) fn stops(&self, spread: &Spread, ends: &Ends, aim: Metres, scatter: &Scatter) -> Stops {
        let of_case = |(case, lengths): (Case<'_>, &Outcomes)| {
            let touchdown = |p: &Point| aim + off_aim(p, scatter);
            if !spread.ground.is_even_to(ends.farther()) {
                let stop = |case: &Case<'_>, p: &Point| {
                    let at = touchdown(p);
                    case.length(at, p).map(|length| at.to_m() + length)
                };
                return Sample::new(&case.sampled(self.look.points(), stop));
            }
            // On even ground a slide is as long wherever it begins.
            let points = (0..REPLICATES).map(|which| replicate(which, self.look.points()));
            let stop =
                |(p, length): (&Point, &Option<f64>)| length.map(|length| touchdown(p).to_m() + length);
            let stops: Outcomes =
                points.zip(lengths).map(|(p, l)| p.iter().zip(l).map(stop).collect()).collect();
            Sample::new(&stops)
        };
        Stops(spread.cases(Corner::Worst).into_iter().zip(&self.outcomes).map(of_case).collect())
    }

    /// Whether of every case as many slides as the end asks for stay where they stop; `None` where not so many stop.
    pub(crate) fn stay(&self, spread: &Spread) -> Option<bool> {
        let of_case = |(case, lengths): (Case<'_>, &Outcomes)| {
            let moved = |(p, length): (&Point, &Option<f64>)| {
                let stop = self.from + Metres::m((*length)?);
                Some(if case.drawn(p).slide().stays(stop) { STAYS } else { MOVES })
            };
            let points = (0..REPLICATES).map(|which| replicate(which, self.look.points()));
            let moved: Outcomes =
                points.zip(lengths).map(|(p, l)| p.iter().zip(l).map(moved).collect()).collect();
            // One that moves stands after all that stay.
            Sample::new(&moved).quantile(self.share)
        };
        let each: Option<Vec<f64>> =
            spread.cases(Corner::Worst).into_iter().zip(&self.outcomes).map(of_case).collect();
        each.map(|each| each.iter().all(|moved| *moved < MOVES))
    }

    /// The slide whose length comes nearest to a given one from below: what a percentile is made of. The median
    /// of everything where none is as short.
    pub(crate) fn slide_of<'a>(&self, spread: &'a Spread, length: Option<Metres>) -> Option<Drawn<'a>> {
        let wanted = length.map_or(f64::INFINITY, Metres::to_m);
        let cases = spread.cases(Corner::Worst);
        let mut nearest: Option<(f64, &Case<'_>, &Point)> = None;
        for (case, outcomes) in cases.iter().zip(&self.outcomes) {
            for (which, lengths) in outcomes.iter().enumerate() {
                for (point, length) in replicate(which, self.look.points()).iter().zip(lengths) {
                    let Some(found) = length.filter(|found| *found <= wanted) else { continue };
                    if nearest.is_none_or(|(best, ..)| found > best) {
                        nearest = Some((found, case, point));
                    }
                }
            }
        }
        let middle = || cases.first().map(|case| case.drawn(&Point::MIDDLE));
        nearest.map(|(_, case, point)| case.drawn(point)).or_else(middle)
    }
}

#[cfg(test)]
mod tests;
