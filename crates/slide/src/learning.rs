//! What earlier slides on a strip teach of its friction.
//!
//! Each recovery shows a coefficient ([`crate::recovered`]). On the logarithm the strip's mean has the prior as a normal prior, with its wider spread; a recovery
//! scatters about that mean by its own error and by what days differ by; the next slide scatters about
//! what is then known of the mean by what days differ by.
//!
//! Invariants: days never differ by less than [`LEAST_BETWEEN_DAYS`], and by more where three or more
//! recoveries show it; a slide that something stopped shows a coefficient that was too high, so it can
//! lower the median and never raises or narrows anything; without a recovery that came to rest the
//! spread is the prior's own; the order of the recoveries does not matter beyond rounding.
//!
//! A slide that something stopped is taken as if it had come to rest there, or not at all. Its exact
//! likelihood, the chance that the coefficient was below what it shows, would lower the median by up to 8 %
//! more in the cases of `tests/oracle/friction.py`; the spread, which such a slide leaves as wide as it
//! was, is what stands against that.
//!
//! Not here: which recoveries belong together ([`crate::same_ground`]: dry never teaches wet).
//!
//! Source: normal data with a normal prior (textbook, conjugate).

use crate::belief::{Belief, Centre};
use crate::recovered::Recovered;

/// Least standard deviation of the logarithm of the coefficient from day to day (judgement).
pub const LEAST_BETWEEN_DAYS: f64 = 0.20;

/// Fewest recoveries whose own scatter is listened to (judgement: two may agree by chance).
const FEWEST_FOR_SCATTER: usize = 3;

/// What the recoveries of one ground teach.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Learned {
    /// Friction of the next slide.
    pub belief: Belief,
    /// What days were taken to differ by.
    pub between_days: f64,
    /// Recoveries that came to rest by themselves; all of them count.
    pub at_rest: usize,
    /// Recoveries that something stopped and that lowered the median.
    pub lowering: usize,
    /// Recoveries that something stopped and that say nothing, since they show more than is believed.
    pub ignored: usize,
}

/// What the recoveries of one ground teach; the prior itself where there is none.
///
/// `between_days` is the standard deviation of the coefficient's logarithm from day to day; less than
/// [`LEAST_BETWEEN_DAYS`] is taken as that.
///
/// # Example: one slide, half as slippery as believed
/// ```
/// use slide::{Belief, Recovered, learned};
/// let seen = Recovered::new(0.19, 0.1, false).unwrap();
/// let taught = learned(&Belief::even(0.38, 0.2), &[seen], 0.2);
/// assert!(0.19 < taught.belief.median && taught.belief.median < 0.38);
/// ```
pub fn learned(prior: &Belief, recoveries: &[Recovered], between_days: f64) -> Learned {
    let (stopped, at_rest): (Vec<Recovered>, Vec<Recovered>) =
        recoveries.iter().partition(|r| r.stopped_by_something());
    let between_days = between_days.max(LEAST_BETWEEN_DAYS).max(shown_between_days(&at_rest));
    let seeing = |centre: Centre, r: &Recovered| {
        centre.seeing(r.coefficient(), libm::hypot(r.own_spread(), between_days))
    };
    let taught = at_rest.iter().fold(Centre::of(prior), seeing);
    let belief = if at_rest.is_empty() { *prior } else { taught.predicting(between_days) };
    let (centre, lowering) = lowered(taught, stopped, seeing);
    Learned {
        // A slide that something stopped is no reason to be surer, so the spread stays.
        belief: Belief { median: belief.median.min(centre.median()), ..belief },
        between_days,
        at_rest: at_rest.len(),
        lowering,
        ignored: recoveries.len() - at_rest.len() - lowering,
    }
}

/// The centre after those of the stopped slides that lower it, and their number.
///
/// From the lowest on, until the next would raise it: no other choice among them gives a lower centre.
fn lowered(
    from: Centre,
    mut stopped: Vec<Recovered>,
    seeing: impl Fn(Centre, &Recovered) -> Centre,
) -> (Centre, usize) {
    stopped.sort_by(|a, b| {
        a.coefficient().total_cmp(&b.coefficient()).then(a.own_spread().total_cmp(&b.own_spread()))
    });
    let mut centre = from;
    let mut count = 0;
    for one in &stopped {
        if one.coefficient() >= centre.median() {
            break;
        }
        centre = seeing(centre, one);
        count += 1;
    }
    (centre, count)
}

/// Standard deviation of the logarithms that enough recoveries show, their own errors included; 0 where
/// there are too few.
fn shown_between_days(at_rest: &[Recovered]) -> f64 {
    if at_rest.len() < FEWEST_FOR_SCATTER {
        return 0.0;
    }
    let logs: Vec<f64> = at_rest.iter().map(|r| libm::log(r.coefficient())).collect();
    let mean = logs.iter().sum::<f64>() / logs.len() as f64;
    let squares = logs.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>();
    libm::sqrt(squares / (logs.len() - 1) as f64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const PRIOR: Belief = Belief { median: 0.4, spread_below: 0.2, spread_above: 0.1 };

    fn at_rest(coefficient: f64, own_spread: f64) -> Recovered {
        Recovered::new(coefficient, own_spread, false).expect("a recovery")
    }

    fn stopped(coefficient: f64, own_spread: f64) -> Recovered {
        Recovered::new(coefficient, own_spread, true).expect("a recovery")
    }

    #[test]
    fn one_recovery_is_weighed_by_hand() {
        // Prior variance 0.04, recovery 0.08 + 0.04: gain 1/4; the mean keeps 0.03, the next day adds 0.04.
        let taught = learned(&PRIOR, &[at_rest(0.1, 0.08_f64.sqrt())], 0.0);
        let median = 0.4 * 0.25_f64.powf(0.25);
        assert!((taught.belief.median - median).abs() < 1e-15, "{taught:?}");
        assert!((taught.belief.spread_below - 0.07_f64.sqrt()).abs() < 1e-15);
        assert!((taught.belief.spread_above - 0.07_f64.sqrt()).abs() < 1e-15);
        assert!((taught.between_days - 0.2).abs() < f64::EPSILON);
        assert_eq!((taught.at_rest, taught.lowering, taught.ignored), (1, 0, 0));
    }

    #[test]
    fn three_recoveries_that_differ_more_than_days_do_widen_what_days_do() {
        // Logs -0.5, 0, 0.5 about ln 0.4: sample standard deviation 0.5.
        let three = [-0.5_f64, 0.0, 0.5].map(|ln| at_rest(0.4 * ln.exp(), 0.0));
        let taught = learned(&PRIOR, &three, 0.2);
        assert!((taught.between_days - 0.5).abs() < 1e-12);
        // Variance 1/(1/0.04 + 3/0.25) of the mean, 0.25 of the next day.
        assert!((taught.belief.spread_below - (1.0 / 37.0 + 0.25_f64).sqrt()).abs() < 1e-12);
        assert!((taught.belief.median - 0.4).abs() < 1e-12);
        let two = learned(&PRIOR, &[three[0], three[2]], 0.2);
        assert!((two.between_days - 0.2).abs() < f64::EPSILON);
    }

    #[test]
    fn a_slide_that_something_stopped_lowers_or_says_nothing() {
        // Gain 0.04/(0.04 + 0.04) = 1/2 towards 0.1; 0.5 shows more than is believed.
        let taught = learned(&PRIOR, &[stopped(0.5, 0.0), stopped(0.1, 0.0)], 0.2);
        assert!((taught.belief.median - 0.2).abs() < 1e-15, "{taught:?}");
        assert_eq!((taught.at_rest, taught.lowering, taught.ignored), (0, 1, 1));
        assert!((taught.belief.spread_below - PRIOR.spread_below).abs() < f64::EPSILON);
        assert!((taught.belief.spread_above - PRIOR.spread_above).abs() < f64::EPSILON);
        assert_eq!(learned(&PRIOR, &[stopped(0.5, 0.0)], 0.2).belief, PRIOR);
    }

    #[test]
    fn nothing_recovered_teaches_nothing() {
        assert_eq!(learned(&PRIOR, &[], 0.5).belief, PRIOR);
    }

    fn recoveries() -> impl Strategy<Value = Vec<Recovered>> {
        let one = (0.03..1.2_f64, 0.0..0.5_f64, proptest::bool::ANY)
            .prop_map(|(c, own, stop)| Recovered::new(c, own, stop).expect("a recovery"));
        proptest::collection::vec(one, 0..8)
    }

    fn priors() -> impl Strategy<Value = Belief> {
        (0.1..0.6_f64, 0.05..0.5_f64, 0.05..0.5_f64).prop_map(|(median, spread_below, spread_above)| Belief {
            median,
            spread_below,
            spread_above,
        })
    }

    proptest! {
        #[test]
        fn a_slide_that_something_stopped_never_raises_any_quantile(
            prior in priors(), before in recoveries(), c in 0.03..1.2_f64, own in 0.0..0.5_f64, score in -5.0..5.0_f64,
        ) {
            let more: Vec<Recovered> = before.iter().copied().chain([stopped(c, own)]).collect();
            let (with, without) = (learned(&prior, &more, 0.2), learned(&prior, &before, 0.2));
            let (with, without) = (with.belief.quantile(score), without.belief.quantile(score));
            prop_assert!(with <= without * (1.0 + 1e-12), "{} {}", with, without);
        }

        #[test]
        fn a_slipperier_recovery_never_teaches_more_grip(
            prior in priors(), c in 0.03..1.2_f64, own in 0.0..0.5_f64, stop in proptest::bool::ANY,
            less in 0.3..1.0_f64, score in -5.0..5.0_f64,
        ) {
            // Two of them: three may show by their scatter that days differ more, which widens both sides.
            let with = |c: f64| {
                let one = Recovered::new(c.max(0.02), own, stop).expect("a recovery");
                learned(&prior, &[one, at_rest(0.3, 0.1)], 0.2).belief.quantile(score)
            };
            prop_assert!(with(c * less) <= with(c) * (1.0 + 1e-12));
        }

        #[test]
        fn days_that_differ_more_never_make_the_next_slide_surer(
            prior in priors(), seen in recoveries(), days in 0.0..0.6_f64, more in 0.0..0.4_f64,
        ) {
            let (less, more) = (learned(&prior, &seen, days), learned(&prior, &seen, days + more));
            prop_assert!(less.belief.spread_below <= more.belief.spread_below + 1e-12);
            prop_assert!(less.between_days >= LEAST_BETWEEN_DAYS);
        }

        #[test]
        fn the_order_of_the_recoveries_does_not_matter(prior in priors(), seen in recoveries(), score in -4.0..4.0_f64) {
            let back: Vec<Recovered> = seen.iter().rev().copied().collect();
            let (a, b) = (learned(&prior, &seen, 0.2), learned(&prior, &back, 0.2));
            prop_assert!((a.belief.quantile(score) / b.belief.quantile(score) - 1.0).abs() < 1e-11);
            prop_assert_eq!((a.at_rest, a.lowering, a.ignored), (b.at_rest, b.lowering, b.ignored));
        }
    }
}
