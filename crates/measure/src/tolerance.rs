//! Tolerance factors: how far past the mean of a few readings, in their standard deviations, a share of all that
//! could have been read is held to lie.
//!
//! Invariants: the factor rises with the share and with the confidence, and falls as readings are added, down to
//! the normal score; NaN for fewer than three readings, which say all but nothing, or a share or confidence that is not inside 0 to 1.
//!
//! Not here: readings that are not normal.
//!
//! Source: the one-sided factor is a quantile of the non-central t distribution over the root of the count
//! (textbook), found by integrating the normal distribution over that of the standard deviation; checked against
//! SciPy in `tests/tests/outside_friction.rs`.

use crate::normal;
use crate::root::bracketed;

/// Intervals of Simpson's rule, even; the factors of three readings come out to nine digits.
const INTERVALS: u32 = 2_000;

/// No factor sought is larger: that of three readings for all but one in a thousand at 99.9 % is 99.4 (SciPy
/// 1.17.1).
const LARGEST: f64 = 1e3;

/// Fewest readings of which a factor is worked out.
const FEWEST: usize = 3;

/// The factor k such that, of `count` normal readings with mean m and standard deviation s, at least the share
/// `cover` of all lies below m + k s with this confidence.
///
/// # Example: ten readings, 95 % of all with 95 % confidence
/// ```
/// assert!((measure::tolerance::factor(10, 0.95, 0.95) - 2.910_96).abs() < 1e-5);
/// ```
pub fn factor(count: usize, cover: f64, confidence: f64) -> f64 {
    if count < FEWEST || !(confidence > 0.0 && confidence < 1.0) {
        return f64::NAN;
    }
    let score = normal::quantile(cover);
    if score.is_nan() {
        return f64::NAN;
    }
    let n = count as f64;
    let short = |k: f64| {
        let (chance, slope) = chance(n, k, score);
        (chance - confidence, slope)
    };
    bracketed(short, -LARGEST, LARGEST, true)
}

/// Chance that m + k s of `n` readings lies above the score, and how it grows with k.
fn chance(n: f64, k: f64, score: f64) -> (f64, f64) {
    let (freedom, root) = (n - 1.0, libm::sqrt(n));
    // The ratio s of the readings' standard deviation to the true one is all but surely no farther from one.
    let most = 1.0 + 9.0 / libm::sqrt(freedom);
    let ln_scale = libm::log(2.0) + 0.5 * freedom * libm::log(0.5 * freedom) - libm::lgamma(0.5 * freedom);
    let density = |s: f64| {
        let power = if freedom > 1.0 { (freedom - 1.0) * libm::log(s) } else { 0.0 };
        libm::exp(ln_scale + power - 0.5 * freedom * s * s)
    };
    let step = most / f64::from(INTERVALS);
    let (mut chance, mut slope) = (0.0, 0.0);
    for i in 0..=INTERVALS {
        let s = step * f64::from(i);
        let weight = match i {
            0 | INTERVALS => 1.0,
            _ if i % 2 == 1 => 4.0,
            _ => 2.0,
        };
        let off = root * (k * s - score);
        let here = weight * density(s);
        chance += here * normal::cdf(off);
        slope += here * normal::density(off) * root * s;
    }
    (chance * step / 3.0, slope * step / 3.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn one_half_of_all_is_held_by_students_t() {
        // The factor for the mean itself is Student's t over the root of the count: t(0.95, 9) = 1.833113.
        assert!((factor(10, 0.5, 0.95) - 1.833_113 / 10_f64.sqrt()).abs() < 1e-6);
    }

    #[test]
    fn too_few_readings_and_shares_that_are_none_give_no_factor() {
        for bad in [factor(2, 0.9, 0.9), factor(5, 1.0, 0.9), factor(5, 0.9, 0.0), factor(5, f64::NAN, 0.9)] {
            assert!(bad.is_nan());
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(32))]

        #[test]
        fn more_readings_need_less_and_more_cover_or_confidence_needs_more(
            n in 3..30_usize, cover in 0.55..0.97_f64, confidence in 0.55..0.97_f64,
        ) {
            let here = factor(n, cover, confidence);
            prop_assert!(factor(n + 1, cover, confidence) < here);
            prop_assert!(factor(n, cover + 0.02, confidence) > here);
            prop_assert!(factor(n, cover, confidence + 0.02) > here);
            prop_assert!(here > normal::quantile(cover));
        }
    }
}
