//! What is believed of a friction coefficient: log-normal on either side of a median.
//!
//! Invariants: the median is above 0 and the spreads are not negative, so that every quantile is above
//! 0 and none falls as the score grows; a prior's own percentiles come back as they went in.
//!
//! Not here: where a belief comes from ([`crate::friction`], [`crate::drag_test`],
//! [`crate::learning`]), and how scores are drawn.
//!
//! Source: two halves of log-normal distributions joined at their common median; normal data with a
//! normal prior on the logarithm (textbook, conjugate).

use crate::friction::FrictionPrior;
use measure::normal::SCORE_95;

/// Standard normal score that 1 in 200 differences pass on one side (SciPy 1.17.1: 2.575829).
pub(crate) const SCORE_OF_A_CONTRADICTION: f64 = 2.576;

/// A friction coefficient as far as it is known.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Belief {
    /// As likely above as below; above 0.
    pub median: f64,
    /// Standard deviation of the logarithm below the median; not negative.
    pub spread_below: f64,
    /// Standard deviation of the logarithm above the median; not negative.
    pub spread_above: f64,
}

impl Belief {
    /// The same spread on either side.
    pub const fn even(median: f64, spread: f64) -> Self {
        Self { median, spread_below: spread, spread_above: spread }
    }

    /// The coefficient at a standard normal score: 0 is the median, lower scores are more slippery.
    ///
    /// # Example: one standard deviation to either side
    /// ```
    /// let belief = slide::Belief { median: 0.4, spread_below: 0.2, spread_above: 0.1 };
    /// assert!((belief.quantile(-1.0) - 0.4 * (-0.2_f64).exp()).abs() < 1e-15);
    /// assert!((belief.quantile(1.0) - 0.4 * 0.1_f64.exp()).abs() < 1e-15);
    /// ```
    pub fn quantile(&self, score: f64) -> f64 {
        let spread = if score < 0.0 { self.spread_below } else { self.spread_above };
        self.median * libm::exp(score * spread)
    }

    /// One in twenty is below.
    pub fn p05(&self) -> f64 {
        self.quantile(-SCORE_95)
    }

    /// One in twenty is above.
    pub fn p95(&self) -> f64 {
        self.quantile(SCORE_95)
    }

    /// Whether a measurement of this median, whose logarithm is `spread` uncertain, lies above what is believed by
    /// more than 1 in 200 do by chance.
    ///
    /// # Example: a weight in the wrong unit
    /// ```
    /// let believed = slide::Belief::even(0.38, 0.17);
    /// // 2.576 x hypot(0.17, 0.13) = 0.551, a ratio of 1.735.
    /// assert!(believed.is_surely_below(0.67, 0.13) && !believed.is_surely_below(0.65, 0.13));
    /// ```
    pub fn is_surely_below(&self, median: f64, spread: f64) -> bool {
        libm::log(median / self.median) > SCORE_OF_A_CONTRADICTION * libm::hypot(self.spread_above, spread)
    }

    /// The wider of the two spreads.
    pub fn wider_spread(&self) -> f64 {
        self.spread_below.max(self.spread_above)
    }
}

impl From<FrictionPrior> for Belief {
    /// Median, 5 % and 95 % are those of the prior.
    fn from(prior: FrictionPrior) -> Self {
        let FrictionPrior { median, p05, p95, .. } = prior;
        Self {
            median,
            spread_below: libm::log(median / p05) / SCORE_95,
            spread_above: libm::log(p95 / median) / SCORE_95,
        }
    }
}

/// The logarithm of a coefficient's mean as a normal variable that observations sharpen.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Centre {
    ln_mean: f64,
    variance: f64,
}

impl Centre {
    /// A belief taken with its wider spread on both sides.
    pub(crate) fn of(belief: &Belief) -> Self {
        let spread = belief.wider_spread();
        Self { ln_mean: libm::log(belief.median), variance: spread * spread }
    }

    /// The median of the coefficient.
    pub(crate) fn median(self) -> f64 {
        libm::exp(self.ln_mean)
    }

    /// The same after one more observation of this median, whose logarithm is `spread` uncertain.
    ///
    /// An observation said to be exact, of a centre said to be exact, changes nothing.
    pub(crate) fn seeing(self, median: f64, spread: f64) -> Self {
        let total = self.variance + spread * spread;
        if total <= 0.0 {
            return self;
        }
        let gain = self.variance / total;
        Self {
            ln_mean: self.ln_mean + gain * (libm::log(median) - self.ln_mean),
            variance: self.variance * (spread * spread / total),
        }
    }

    /// What one more coefficient about this centre is believed to be, if each scatters by `scatter`.
    pub(crate) fn predicting(self, scatter: f64) -> Belief {
        Belief::even(self.median(), libm::sqrt(self.variance + scatter * scatter))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Cover, Wetness, prior};
    use proptest::prelude::*;

    #[test]
    fn a_priors_percentiles_come_back() {
        for cover in [Cover::ShortGrass, Cover::LongGrass, Cover::BareSoil] {
            for wetness in [Wetness::Dry, Wetness::Dew, Wetness::Wet, Wetness::Frost, Wetness::Frozen] {
                let row = prior(cover, wetness);
                let belief = Belief::from(row);
                assert_eq!(belief.quantile(0.0).to_bits(), row.median.to_bits());
                assert!((belief.p05() - row.p05).abs() < 1e-15, "{row:?}");
                assert!((belief.p95() - row.p95).abs() < 1e-15, "{row:?}");
            }
        }
    }

    #[test]
    fn dry_short_grass_spreads_wider_below_than_above() {
        // ln(0.38/0.28) / 1.644854 and ln(0.50/0.38) / 1.644854.
        let belief = Belief::from(prior(Cover::ShortGrass, Wetness::Dry));
        assert!((belief.spread_below - 0.185_659).abs() < 1e-6, "{belief:?}");
        assert!((belief.spread_above - 0.166_846).abs() < 1e-6, "{belief:?}");
        assert!((belief.wider_spread() - belief.spread_below).abs() < f64::EPSILON);
    }

    #[test]
    fn two_equal_voices_meet_in_the_geometric_middle() {
        // Prior 0.4 and observation 0.1, both 0.2 uncertain: median 0.2, variance halved.
        let centre = Centre::of(&Belief::even(0.4, 0.2)).seeing(0.1, 0.2);
        let belief = centre.predicting(0.0);
        assert!((belief.median - 0.2).abs() < 1e-15, "{belief:?}");
        assert!((belief.spread_below - 0.2 / 2_f64.sqrt()).abs() < 1e-15, "{belief:?}");
    }

    #[test]
    fn two_exact_voices_do_not_end_in_no_number() {
        let centre = Centre::of(&Belief::even(0.4, 0.0)).seeing(0.1, 0.0);
        assert!((centre.median() - 0.4).abs() < 1e-15);
    }

    fn beliefs() -> impl Strategy<Value = Belief> {
        (0.02..1.5_f64, 0.0..0.8_f64, 0.0..0.8_f64).prop_map(|(median, spread_below, spread_above)| Belief {
            median,
            spread_below,
            spread_above,
        })
    }

    proptest! {
        #[test]
        fn no_quantile_falls_as_the_score_grows(belief in beliefs(), a in -6.0..6.0_f64, b in -6.0..6.0_f64) {
            prop_assert!(belief.quantile(a.min(b)) <= belief.quantile(a.max(b)));
        }

        #[test]
        fn an_observation_moves_the_centre_towards_itself_and_never_widens_it(
            belief in beliefs(), seen in 0.02..1.5_f64, spread in 0.01..1.0_f64,
        ) {
            let before = Centre::of(&belief);
            let after = before.seeing(seen, spread);
            let (low, high) = (seen.min(belief.median), seen.max(belief.median));
            prop_assert!((low * (1.0 - 1e-12)..=high * (1.0 + 1e-12)).contains(&after.median()));
            prop_assert!(after.predicting(0.0).spread_below <= belief.wider_spread() * (1.0 + 1e-12));
        }
    }
}
