//! A root inside a bracket, to the last digits, in a bounded number of evaluations.
//!
//! Invariant: the answer never leaves the bracket; Newton's step is taken only while it at least
//! halves, else the bracket is halved.
//!
//! Source: safeguarded Newton iteration (textbook method).

/// Evaluations spent at most; halving alone needs about 64 for neighbouring numbers, and each
/// halving follows at most one wasted Newton step.
const EVALUATIONS: usize = 200;

/// Where `f`, given as value and derivative, crosses zero between `low` and `high`.
///
/// `f` rises through zero if `rising`, else it falls. Without a crossing the answer is an end of
/// the bracket.
pub fn bracketed(f: impl Fn(f64) -> (f64, f64), low: f64, high: f64, rising: bool) -> f64 {
    let (mut low, mut high) = (low, high);
    let mut x = f64::midpoint(low, high);
    let mut last_move = high - low;
    for _ in 0..EVALUATIONS {
        let (value, slope) = f(x);
        if (value > 0.0) == rising {
            high = x;
        } else {
            low = x;
        }
        let newton = x - value / slope;
        // Written so that a step that is not a number is refused.
        let useful = newton >= low && newton <= high && (newton - x).abs() <= 0.5 * last_move;
        let next = if useful { newton } else { f64::midpoint(low, high) };
        last_move = (next - x).abs();
        x = next;
        if last_move <= f64::EPSILON * x.abs() || high - low <= f64::EPSILON * high.abs() {
            break;
        }
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_root_of_two_is_found_to_the_last_digits() {
        let x = bracketed(|x| (x * x - 2.0, 2.0 * x), 0.0, 2.0, true);
        assert!((x - std::f64::consts::SQRT_2).abs() <= 2.0 * f64::EPSILON);
    }

    #[test]
    fn a_flat_function_without_crossing_ends_inside_the_bracket() {
        let x = bracketed(|_| (1.0, 0.0), 3.0, 4.0, true);
        assert!((3.0..=4.0).contains(&x));
    }

    #[test]
    fn not_a_number_does_not_leave_the_bracket() {
        let x = bracketed(|_| (f64::NAN, f64::NAN), 3.0, 4.0, true);
        assert!((3.0..=4.0).contains(&x));
    }

    proptest! {
        #[test]
        fn a_cubic_is_solved_wherever_its_root_lies(r in -50.0..50.0_f64, k in 0.0..10.0_f64) {
            let f = |x: f64| { let d = x - r; (-(d * d * d + k * d), -(3.0 * d * d + k)) };
            let x = bracketed(f, -60.0, 70.0, false);
            prop_assert!((x - r).abs() < 1e-4 * (1.0 + r.abs()), "{x} for {r}");
            if k > 0.1 { prop_assert!((x - r).abs() < 1e-12 * (1.0 + r.abs()), "{x} for {r}"); }
        }
    }
}
