//! Friction of one ground on one day: what was believed of it, and what drag tests there say.
//!
//! Invariants: a light sledge, which reads high, may lower what is believed at any score and never
//! raise it; a sledge that presses as a keel does counts as an observation, for better or worse; no
//! quantile falls as the score grows; the order of the tests does not matter beyond rounding.
//!
//! Not here: which tests belong to which ground and day, and how they were reduced
//! ([`crate::drag_test`]).
//!
//! Source: normal observations with a normal prior on the logarithm (textbook, conjugate); that drag
//! sledges read high, by no general rule, is a finding of road tests (SAE comparison, 1982, abstract).

use crate::belief::{Belief, Centre};
use crate::drag_test::{DragTest, Sledge};

/// What is known of the friction of one ground on one day.
#[derive(Clone, PartialEq, Debug)]
pub struct Friction {
    believed: Belief,
    // Tests with a light sledge: none of them is exceeded at any score.
    caps: Vec<Belief>,
}

impl Friction {
    /// From what was believed before, a cover's prior or what recoveries taught, and the drag tests made
    /// on that ground.
    ///
    /// Loaded tests sharpen the ground's mean as normal observations, taken with the wider spread of
    /// what was believed; a slide scatters about that mean by the largest scatter of these tests.
    ///
    /// # Example: a light sledge lowers, it does not raise
    /// ```
    /// use slide::{Belief, DragTest, Friction, Sledge};
    /// let before = Belief::even(0.38, 0.18);
    /// let light = |median| DragTest {
    ///     belief: Belief::even(median, 0.12), scatter: 0.1, sledge: Sledge::Light,
    /// };
    /// assert!(Friction::new(before, &[light(0.3)]).quantile(0.0) == 0.3);
    /// assert!(Friction::new(before, &[light(0.6)]).quantile(0.0) == 0.38);
    /// ```
    pub fn new(believed: Belief, tests: &[DragTest]) -> Self {
        let of = |sledge| tests.iter().filter(move |t| t.sledge == sledge);
        let loaded: Vec<&DragTest> = of(Sledge::Loaded).collect();
        let caps = of(Sledge::Light).map(|t| t.belief).collect();
        if loaded.is_empty() {
            return Self { believed, caps };
        }
        let seen = loaded
            .iter()
            .fold(Centre::of(&believed), |c, t| c.seeing(t.belief.median, t.belief.wider_spread()));
        let scatter = loaded.iter().map(|t| t.scatter).fold(0.0, f64::max);
        Self { believed: seen.predicting(scatter), caps }
    }

    /// The coefficient at a standard normal score.
    pub fn quantile(&self, score: f64) -> f64 {
        self.caps.iter().fold(self.believed.quantile(score), |low, cap| low.min(cap.quantile(score)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn test(median: f64, own: f64, scatter: f64, sledge: Sledge) -> DragTest {
        DragTest { belief: Belief::even(median, libm::hypot(own, scatter)), scatter, sledge }
    }

    #[test]
    fn a_loaded_test_is_weighed_by_hand() {
        // Prior variance 0.04, test 0.03 + 0.01: gain one half; 0.02 of the mean is left, 0.01 of places.
        let known = Friction::new(
            Belief { median: 0.4, spread_below: 0.2, spread_above: 0.1 },
            &[test(0.1, 0.03_f64.sqrt(), 0.1, Sledge::Loaded)],
        );
        assert!((known.quantile(0.0) - 0.2).abs() < 1e-15);
        assert!((known.quantile(-1.0) - 0.2 * (-(0.03_f64.sqrt())).exp()).abs() < 1e-15);
    }

    #[test]
    fn the_lower_of_two_beliefs_holds_at_each_score() {
        // The test's median is above, its wide lower tail below: 0.4 e^-0.6 against 0.38 e^-0.2.
        let known = Friction::new(Belief::even(0.38, 0.1), &[test(0.4, 0.3, 0.0, Sledge::Light)]);
        assert!((known.quantile(0.0) - 0.38).abs() < 1e-15);
        assert!((known.quantile(-2.0) - 0.4 * (-0.6_f64).exp()).abs() < 1e-15);
        assert!((known.quantile(2.0) - 0.38 * 0.2_f64.exp()).abs() < 1e-15);
    }

    fn beliefs() -> impl Strategy<Value = Belief> {
        (0.05..0.9_f64, 0.05..0.6_f64, 0.05..0.6_f64)
            .prop_map(|(median, spread_below, spread_above)| Belief { median, spread_below, spread_above })
    }

    fn tests_of(sledge: impl Strategy<Value = Sledge>) -> impl Strategy<Value = DragTest> {
        (0.05..0.9_f64, 0.02..0.5_f64, 0.0..0.4_f64, sledge).prop_map(|(m, own, s, k)| test(m, own, s, k))
    }

    fn either() -> impl Strategy<Value = Sledge> {
        prop_oneof![Just(Sledge::Light), Just(Sledge::Loaded)]
    }

    proptest! {
        #[test]
        fn a_light_sledge_never_raises_any_quantile(
            before in beliefs(),
            tests in proptest::collection::vec(tests_of(either()), 0..4),
            one in tests_of(Just(Sledge::Light)),
            score in -5.0..5.0_f64,
        ) {
            let more: Vec<DragTest> = tests.iter().copied().chain([one]).collect();
            let (with, without) = (Friction::new(before, &more), Friction::new(before, &tests));
            prop_assert!(with.quantile(score) <= without.quantile(score));
        }

        #[test]
        fn no_quantile_falls_as_the_score_grows(
            before in beliefs(),
            tests in proptest::collection::vec(tests_of(either()), 0..4),
            a in -5.0..5.0_f64,
            b in -5.0..5.0_f64,
        ) {
            let known = Friction::new(before, &tests);
            prop_assert!(known.quantile(a.min(b)) <= known.quantile(a.max(b)));
        }

        #[test]
        fn a_test_that_reads_lower_never_gives_a_higher_quantile(
            before in beliefs(), one in tests_of(either()), less in 0.2..1.0_f64, score in -5.0..5.0_f64,
        ) {
            let lower = DragTest { belief: Belief { median: one.belief.median * less, ..one.belief }, ..one };
            let [a, b] = [lower, one].map(|t| Friction::new(before, &[t]).quantile(score));
            prop_assert!(a <= b * (1.0 + 1e-12), "{a} {b}");
        }

        #[test]
        fn the_order_of_the_tests_does_not_matter(
            before in beliefs(), tests in proptest::collection::vec(tests_of(either()), 0..5), score in -4.0..4.0_f64,
        ) {
            let back: Vec<DragTest> = tests.iter().rev().copied().collect();
            let (a, b) = (Friction::new(before, &tests).quantile(score), Friction::new(before, &back).quantile(score));
            prop_assert!((a / b - 1.0).abs() < 1e-12);
        }
    }
}
