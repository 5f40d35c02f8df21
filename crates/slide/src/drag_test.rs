//! A drag test: a weighted sledge on keel steel, pulled at a steady pace with a spring balance.
//!
//! Invariants: repeats that agree never make a test less sure; a test of another day carries what days
//! differ by; a pull that shows no plausible coefficient spoils the test rather than vanishing from it.
//!
//! Not here: the statics of one pull ([`crate::pull`]); what a test does to what was believed before
//! ([`crate::known`]); on which ground it counts.
//!
//! Source: a mean of few repeats is widened by Student's t (textbook). The shares are judgement.

use crate::belief::{Belief, SCORE_OF_A_CONTRADICTION};
use crate::learning::LEAST_BETWEEN_DAYS;
use crate::pull::{BadPull, Pull};
use measure::normal::SCORE_95;
use measure::student;
use thiserror::Error;

/// Why a test says nothing.
#[derive(Clone, Copy, PartialEq, Debug, Error)]
pub enum BadDragTest {
    /// Nothing was pulled.
    #[error("found no pulls, expected at least one")]
    NoPulls,
    /// One of the pulls, counted from 1.
    #[error("pull {number}: {problem}")]
    Pull {
        /// Which.
        number: usize,
        /// Why.
        problem: BadPull,
    },
}

/// What is reckoned with where a test does not show it: standard deviations of the logarithm of the
/// coefficient, which are shares of it. All are finite and not negative.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Shares {
    /// Error of the spring balance, the same for all its readings.
    pub balance: f64,
    /// From place to place within a field.
    pub place: f64,
    /// Of one pull, where there is no other to compare it with.
    pub single_pull: f64,
    /// From day to day; never less than [`LEAST_BETWEEN_DAYS`].
    pub between_days: f64,
}

impl Default for Shares {
    /// Judgement, all of them.
    fn default() -> Self {
        Self { balance: 0.05, place: 0.10, single_pull: 0.15, between_days: LEAST_BETWEEN_DAYS }
    }
}

/// What the sledge pressed on the ground with.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Sledge {
    /// Less than a keel, or unknown: it reads high, by how much nobody knows.
    Light,
    /// As much as a keel.
    Loaded,
}

/// When a test was made.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Taken {
    /// On the day that is judged.
    OnTheDay,
    /// On another day.
    AnotherDay,
}

/// A drag test, reduced.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct DragTest {
    /// What it alone says of a slide on this ground on the day that is judged.
    pub belief: Belief,
    /// The part of its spread that no repeat makes smaller: from place to place and from day to day.
    pub scatter: f64,
    /// What the sledge pressed with.
    pub sledge: Sledge,
}

impl DragTest {
    /// Whether two tests of loaded sledges on one ground differ by more than 1 in 100 such pairs would by chance, as
    /// sure as each says that it is: one of them must be wrong.
    pub fn contradicts(&self, other: &Self) -> bool {
        let spread = libm::hypot(self.belief.wider_spread(), other.belief.wider_spread());
        let apart = libm::log(self.belief.median / other.belief.median).abs();
        let loaded = self.sledge == Sledge::Loaded && other.sledge == Sledge::Loaded;
        loaded && apart > SCORE_OF_A_CONTRADICTION * spread
    }
}

/// Reduces the repeats of one test, made on one ground on one day.
///
/// # Errors
/// [`BadDragTest`] for no pulls, or the first pull that shows no coefficient.
///
/// # Example: three pulls of one sledge
/// ```
/// use measure::{Newtons, Slope};
/// use slide::{Pull, Shares, Sledge, Taken, drag_test::reduce};
/// let pulls = [95.0, 100.0, 105.0].map(|n| Pull {
///     force: Newtons::n(n),
///     weight: Newtons::n(250.0),
///     hitch_rad: 0.0,
///     slope: Slope::ZERO,
/// });
/// let test = reduce(&pulls, &Shares::default(), Sledge::Light, Taken::OnTheDay).unwrap();
/// assert!((test.belief.median - 0.4).abs() < 1e-3);
/// assert!((test.scatter - 0.10).abs() < 1e-15);
/// ```
pub fn reduce(
    pulls: &[Pull],
    shares: &Shares,
    sledge: Sledge,
    taken: Taken,
) -> Result<DragTest, BadDragTest> {
    let shown = pulls.iter().enumerate().map(|(i, pull)| {
        pull.coefficient().map(libm::log).map_err(|problem| BadDragTest::Pull { number: i + 1, problem })
    });
    let logs = shown.collect::<Result<Vec<f64>, _>>()?;
    if logs.is_empty() {
        return Err(BadDragTest::NoPulls);
    }
    let days = match taken {
        Taken::OnTheDay => 0.0,
        Taken::AnotherDay => shares.between_days.max(LEAST_BETWEEN_DAYS),
    };
    let ln_mean = logs.iter().sum::<f64>() / logs.len() as f64;
    let scatter = libm::hypot(shares.place, days);
    let own = libm::hypot(shares.balance, of_repeats(&logs, ln_mean).unwrap_or(shares.single_pull));
    let belief = Belief::even(libm::exp(ln_mean), libm::hypot(own, scatter));
    Ok(DragTest { belief, scatter, sledge })
}

/// Standard deviation of the mean of repeats, as a normal variable that holds as much at 5 % and 95 % as
/// Student's t says; `None` for a single one.
fn of_repeats(logs: &[f64], mean: f64) -> Option<f64> {
    let n = logs.len();
    if n < 2 {
        return None;
    }
    let variance = logs.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / (n - 1) as f64;
    Some(student::quantile(0.95, n - 1) / SCORE_95 * libm::sqrt(variance / n as f64))
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::{Newtons, Slope};
    use proptest::prelude::*;

    const WEIGHT: f64 = 250.0;

    fn level(force: f64) -> Pull {
        Pull { force: Newtons::n(force), weight: Newtons::n(WEIGHT), hitch_rad: 0.0, slope: Slope::ZERO }
    }

    fn reduced(pulls: &[Pull]) -> DragTest {
        reduce(pulls, &Shares::default(), Sledge::Light, Taken::OnTheDay).expect("a test")
    }

    #[test]
    fn three_pulls_are_reduced_by_hand() {
        // Logs of 0.40 and of 0.40 times and over e^0.1: sd 0.1, of the mean 0.1/root 3, times
        // 2.919986/1.644854; with 0.05 of the balance and 0.10 from place to place.
        let pulls = [-0.1, 0.0, 0.1].map(|ln: f64| level(0.4 * WEIGHT * ln.exp()));
        let mean: f64 = 2.919_986 / 1.644_854 * 0.1 / 3_f64.sqrt();
        let same = reduced(&pulls);
        assert!((same.belief.median - 0.4).abs() < 1e-15);
        assert!((same.belief.spread_below - (mean * mean + 0.05 * 0.05 + 0.1 * 0.1).sqrt()).abs() < 1e-6);
        let other = reduce(&pulls, &Shares::default(), Sledge::Light, Taken::AnotherDay).expect("a test");
        let days = mean * mean + 0.05 * 0.05 + 0.1 * 0.1 + 0.2 * 0.2;
        assert!((other.belief.spread_below - days.sqrt()).abs() < 1e-6);
        assert!((other.scatter - 0.05_f64.sqrt()).abs() < 1e-15);
    }

    #[test]
    fn one_pull_alone_has_a_judged_spread() {
        let spread = (0.15_f64 * 0.15 + 0.05 * 0.05 + 0.1 * 0.1).sqrt();
        assert!((reduced(&[level(100.0)]).belief.spread_below - spread).abs() < 1e-15);
    }

    #[test]
    fn days_never_differ_by_less_than_the_least() {
        let shares = Shares { between_days: 0.0, ..Shares::default() };
        let test = reduce(&[level(100.0)], &shares, Sledge::Light, Taken::AnotherDay).expect("a test");
        assert!((test.scatter - 0.05_f64.sqrt()).abs() < 1e-15);
    }

    #[track_caller]
    fn check_refused(pull: Pull, message: &str) {
        let refused = reduce(&[level(100.0), pull], &Shares::default(), Sledge::Light, Taken::OnTheDay);
        assert_eq!(refused.expect_err("a bad pull").to_string(), format!("pull 2: {message}"));
    }

    #[test]
    fn a_pull_that_shows_nothing_is_refused_with_what_was_found() {
        let weight = |n| Pull { weight: Newtons::n(n), ..level(100.0) };
        check_refused(weight(0.0), "found a weight of 0 N, expected more than 0");
        check_refused(weight(f64::NAN), "found a weight of NaN N, expected more than 0");
        check_refused(level(0.0), "found a pull of 0 N, expected more than 0");
        check_refused(level(f64::INFINITY), "found a pull of inf N, expected more than 0");
        check_refused(level(WEIGHT * 7.0), "found a friction of 7.000, expected from 0.02 to 1.5");
        check_refused(level(WEIGHT * 0.01), "found a friction of 0.010, expected from 0.02 to 1.5");
        let hitch = Pull { hitch_rad: 80_f64.to_radians(), ..level(100.0) };
        check_refused(hitch, "found a rope 80 degrees above the horizontal, expected from -60 to 60");
        let steep = Pull { slope: Slope::ratio(f64::NAN), ..level(100.0) };
        check_refused(steep, "found a slope of NaN, expected from -0.5 to 0.5");
        let lifted = Pull { hitch_rad: 1.0, ..level(400.0) };
        check_refused(lifted, "found a pull of 400 N that lifts the sledge, expected one that drags it");
        let none = reduce(&[], &Shares::default(), Sledge::Light, Taken::OnTheDay).expect_err("no pulls");
        assert_eq!(none.to_string(), "found no pulls, expected at least one");
    }

    #[test]
    fn half_the_pull_of_one_level_test_is_half_the_belief() {
        let (whole, half) = (reduced(&[level(100.0)]).belief, reduced(&[level(50.0)]).belief);
        for score in [-2.0, 0.0, 2.0] {
            assert!((half.quantile(score) / whole.quantile(score) - 0.5).abs() < 1e-15);
        }
    }

    #[test]
    fn tests_that_differ_by_more_than_chance_contradict_each_other() {
        // Spreads of 0.3 and 0.4 make 0.5: 2.576 x 0.5 = 1.288, a ratio of 3.626.
        let test =
            |median, spread, sledge| DragTest { belief: Belief::even(median, spread), scatter: 0.0, sledge };
        let (low, loaded) = (test(0.1, 0.3, Sledge::Loaded), Sledge::Loaded);
        assert!(low.contradicts(&test(0.363, 0.4, loaded)) && test(0.363, 0.4, loaded).contradicts(&low));
        assert!(!low.contradicts(&test(0.362, 0.4, loaded)));
        // A light sledge reads high, nobody knows by how much.
        assert!(!low.contradicts(&test(1.0, 0.4, Sledge::Light)));
    }

    proptest! {
        #[test]
        fn a_smaller_pull_never_shows_a_larger_coefficient(
            force in 10.0..300.0_f64, less in 0.5..1.0_f64, hitch in -0.6..0.6_f64, slope in -0.2..0.2_f64,
        ) {
            let pull = Pull { hitch_rad: hitch, slope: Slope::ratio(slope), ..level(force) };
            let weaker = Pull { force: pull.force * less, ..pull };
            if let (Ok(a), Ok(b)) = (weaker.coefficient(), pull.coefficient()) {
                prop_assert!(a <= b, "{a} {b}");
                let [a, b] = [weaker, pull].map(|p| reduced(&[p]).belief);
                for score in [-3.0, -1.0, 0.0, 1.0, 3.0] {
                    prop_assert!(a.quantile(score) <= b.quantile(score));
                }
            }
        }

        #[test]
        fn pulls_all_smaller_by_one_share_never_give_a_higher_belief(
            forces in proptest::collection::vec(60.0..140.0_f64, 1..8), less in 0.3..1.0_f64, score in -4.0..4.0_f64,
        ) {
            let pulls = |share: f64| forces.iter().map(|f| level(f * share)).collect::<Vec<_>>();
            let (low, high) = (reduced(&pulls(less)).belief, reduced(&pulls(1.0)).belief);
            prop_assert!(low.quantile(score) <= high.quantile(score) * (1.0 + 1e-12));
        }

        #[test]
        fn one_smaller_pull_never_gives_a_higher_median(
            forces in proptest::collection::vec(60.0..140.0_f64, 1..8), less in 0.3..1.0_f64, which in 0..8_usize,
        ) {
            let pulls: Vec<Pull> = forces.iter().map(|&f| level(f)).collect();
            let mut weaker = pulls.clone();
            let one = &mut weaker[which % forces.len()];
            one.force = one.force * less;
            prop_assert!(reduced(&weaker).belief.median <= reduced(&pulls).belief.median * (1.0 + 1e-12));
        }

        #[test]
        fn more_repeats_about_the_same_mean_never_widen(
            forces in proptest::collection::vec(60.0..140.0_f64, 1..8), score in -4.0..0.0_f64,
        ) {
            let pulls: Vec<Pull> = forces.iter().map(|&f| level(f)).collect();
            let before = reduced(&pulls).belief;
            let twice: Vec<Pull> = pulls.iter().chain(&pulls).copied().collect();
            let one_more: Vec<Pull> =
                pulls.iter().copied().chain([level(before.median * WEIGHT)]).collect();
            for more in [twice, one_more] {
                let after = reduced(&more).belief;
                prop_assert!((after.median / before.median - 1.0).abs() < 1e-12);
                prop_assert!(after.spread_below <= before.spread_below + 1e-12);
                prop_assert!(after.quantile(score) >= before.quantile(score) * (1.0 - 1e-11));
            }
        }
    }
}
