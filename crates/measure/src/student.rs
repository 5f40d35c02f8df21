//! Student's t distribution for whole degrees of freedom: what a mean of few readings is worth.
//!
//! Invariants: the quantile rises with the share and, above one half, falls as the degrees of freedom
//! grow, down to the normal score; a share that is not inside 0 to 1, or no freedom, gives NaN.
//!
//! Not here: fractional degrees of freedom, which no reading needs.
//!
//! Source: finite trigonometric sums for whole degrees of freedom, with t = root(n) tan(angle)
//! (Abramowitz and Stegun 1964, 26.7.3 and 26.7.4, from memory; checked against SciPy in
//! `tests/tests/outside_friction.rs`).

use crate::root::bracketed;
use std::f64::consts::{FRAC_2_PI, FRAC_PI_2, PI};

/// The value of t with share `p` below it, for `freedom` degrees of freedom; NaN unless `p` lies
/// between 0 and 1, both excluded, and there is at least one degree.
///
/// # Example: two readings, 95 % one-sided
/// ```
/// assert!((measure::student::quantile(0.95, 1) - 6.313_751_514_675_04).abs() < 1e-12);
/// ```
pub fn quantile(p: f64, freedom: usize) -> f64 {
    if !(p > 0.0 && p < 1.0) || freedom == 0 {
        return f64::NAN;
    }
    let n = freedom as f64;
    let sought = (2.0 * p - 1.0).abs();
    let slope = 2.0 * density_at_zero(n) * libm::sqrt(n);
    let short = |angle: f64| (within(angle, freedom) - sought, slope * libm::pow(libm::cos(angle), n - 1.0));
    let size = libm::sqrt(n) * libm::tan(bracketed(short, 0.0, FRAC_PI_2, true));
    if p < 0.5 { -size } else { size }
}

/// Share between minus and plus root(n) tan(angle).
fn within(angle: f64, freedom: usize) -> f64 {
    let (sine, cosine) = (libm::sin(angle), libm::cos(angle));
    // Odd degrees sum odd powers of the cosine, even degrees even ones; each term follows from the last.
    let first = freedom % 2;
    let (mut term, mut sum) = (if first == 1 { cosine } else { 1.0 }, 0.0);
    let mut power = first;
    while power + 2 <= freedom {
        sum += term;
        let k = power as f64;
        term *= (k + 1.0) / (k + 2.0) * cosine * cosine;
        power += 2;
    }
    if first == 1 { FRAC_2_PI * (angle + sine * sum) } else { sine * sum }
}

/// Height of the density at its middle.
fn density_at_zero(n: f64) -> f64 {
    libm::exp(libm::lgamma(f64::midpoint(n, 1.0)) - libm::lgamma(n / 2.0)) / libm::sqrt(n * PI)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::normal;
    use proptest::prelude::*;

    #[test]
    fn one_and_two_degrees_have_closed_forms() {
        for p in [0.6, 0.9, 0.95, 0.975, 0.99] {
            let one = libm::tan(PI * (p - 0.5));
            let two = (2.0 * p - 1.0) * libm::sqrt(2.0 / (4.0 * p * (1.0 - p)));
            assert!((quantile(p, 1) / one - 1.0).abs() < 1e-13, "{p}");
            assert!((quantile(p, 2) / two - 1.0).abs() < 1e-13, "{p}");
        }
    }

    #[test]
    fn what_is_no_share_or_no_freedom_has_no_value() {
        for (p, freedom) in [(0.0, 3), (1.0, 3), (f64::NAN, 3), (-1.0, 3), (0.95, 0)] {
            assert!(quantile(p, freedom).is_nan(), "{p} {freedom}");
        }
    }

    proptest! {
        #[test]
        fn more_readings_are_worth_more_down_to_the_normal_score(p in 0.55..0.999_f64, n in 1..300_usize) {
            prop_assert!(quantile(p, n + 1) < quantile(p, n));
            prop_assert!(normal::quantile(p) < quantile(p, n));
        }

        #[test]
        fn a_larger_share_has_a_larger_value(p in 0.001..0.998_f64, n in 1..60_usize) {
            prop_assert!(quantile(p, n) < quantile(p + 0.001, n));
        }
    }
}
