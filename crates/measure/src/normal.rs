//! The standard normal distribution: what share lies below a score, and which score a share belongs to.
//!
//! Invariants: both functions rise; `quantile(1 - p)` is `-quantile(p)` as far as `1 - p` is exact; a
//! share that is not inside 0 to 1 has no score and gives NaN, never a plausible number.
//!
//! Not here: what a score is a score of; other distributions ([`crate::student`]).
//!
//! Source: the distribution is half the complementary error function of minus score over root two
//! (Abramowitz and Stegun 1964, 26.2.29, from memory); the quantile is its root, found by a Newton
//! iteration that a bracket keeps safe ([`crate::root`]).

use crate::root::bracketed;
use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// Score with 95 % below it: root two times the inverse error function of 0.9 (mpmath 1.3.0, 30 digits).
///
/// [`crate::ONE_SIDED_95`] is the same rounded up, for errors that must not be made small.
pub const SCORE_95: f64 = 1.644_853_626_951_472_7;

/// Scores below this have a share that `f64` does not hold (the smallest is 5e-324).
const LOWEST_SCORE: f64 = -38.6;

/// Shares nearer to one half than this are found from the middle outward, where the share less one half
/// keeps its digits; farther ones from the logarithm of the share, which keeps them in the tail.
const MIDDLE: f64 = 0.25;

/// Share of a standard normal variable below `score`.
///
/// # Example: one standard deviation
/// ```
/// assert!((measure::normal::cdf(1.0) - 0.841_344_746_068_542_9).abs() < 1e-15);
/// ```
pub fn cdf(score: f64) -> f64 {
    0.5 * libm::erfc(-score * FRAC_1_SQRT_2)
}

/// Density at a score.
pub fn density(score: f64) -> f64 {
    libm::exp(-0.5 * score * score) / libm::sqrt(2.0 * PI)
}

/// The score with share `p` below it; NaN unless `p` lies between 0 and 1, both excluded.
///
/// # Example: one in twenty
/// ```
/// assert!((measure::normal::quantile(0.05) + measure::normal::SCORE_95).abs() < 1e-15);
/// ```
pub fn quantile(p: f64) -> f64 {
    if !(p > 0.0 && p < 1.0) {
        return f64::NAN;
    }
    let from_middle = p - 0.5;
    if from_middle.abs() < MIDDLE {
        if from_middle == 0.0 {
            return 0.0;
        }
        let short = |x: f64| (0.5 * libm::erf(x * FRAC_1_SQRT_2) - from_middle, density(x));
        return bracketed(short, -1.0, 1.0, true);
    }
    // Above one half the difference from 1 is exact, so both tails have the same digits.
    if p > 0.5 { -in_lower_tail(1.0 - p) } else { in_lower_tail(p) }
}

/// The score of a share that is at most one half less [`MIDDLE`].
///
/// The logarithm of the share is concave in the score, so that Newton's steps from below never
/// overshoot, however far out.
fn in_lower_tail(p: f64) -> f64 {
    let sought = libm::log(p);
    let short = |x: f64| {
        let share = cdf(x);
        (libm::log(share) - sought, density(x) / share)
    };
    bracketed(short, LOWEST_SCORE, 0.0, true)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_95_per_cent_score_is_the_quantile_of_95_per_cent() {
        assert!((quantile(0.95) - SCORE_95).abs() <= 4.0 * f64::EPSILON, "{:.17}", quantile(0.95));
        assert!((SCORE_95..SCORE_95 + 2e-4).contains(&crate::ONE_SIDED_95));
    }

    #[test]
    fn what_is_no_share_has_no_score() {
        for p in [0.0, 1.0, -0.1, 1.1, f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(quantile(p).is_nan(), "{p}");
        }
        assert_eq!(quantile(0.5).to_bits(), 0.0_f64.to_bits());
    }

    proptest! {
        #[test]
        fn share_and_score_are_each_others_inverse(exponent in -300.0..-0.31_f64) {
            let p = libm::pow(10.0, exponent);
            // The share's own condition: a score x turns one unit in its last place into x^2 of them.
            let x = quantile(p);
            prop_assert!((cdf(x) / p - 1.0).abs() < 8.0 * f64::EPSILON * (1.0 + x * x), "{p} {x}");
        }

        #[test]
        fn a_larger_share_has_a_larger_score(a in 1e-12..1.0_f64, b in 1e-12..1.0_f64) {
            prop_assume!((a - b).abs() > 1e-12 && a < 1.0 && b < 1.0);
            prop_assert_eq!(a < b, quantile(a) < quantile(b));
        }

        #[test]
        fn the_two_tails_mirror_each_other(p in 0.0001..0.5_f64) {
            let q = 1.0 - p;
            prop_assert!((quantile(q) + quantile(1.0 - q)).abs() <= 1e-15 * (1.0 + quantile(q).abs()));
        }

        #[test]
        fn near_one_half_the_score_keeps_its_digits(tiny in 1e-12..1e-3_f64) {
            let off = (0.5 + tiny) - 0.5;
            // To first order the score is the offset over the density, and off^2 is below 1e-6.
            let first = off * libm::sqrt(2.0 * PI);
            let next = first * first / 6.0;
            prop_assert!((quantile(0.5 + tiny) / (first * (1.0 + next)) - 1.0).abs() < 1e-10 + 2.0 * next * next);
        }
    }
}
