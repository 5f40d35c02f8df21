//! Many outcomes of one question, some perhaps without an end: quantiles, their bounds and their error.
//!
//! Invariants: a quantile is one of the outcomes, never below what its share asks for; what has no end lies
//! above everything.
//!
//! Not here: where the outcomes come from ([`crate::points`]).
//!
//! Source: order statistics; the rank that bounds a quantile from above follows from the binomial
//! distribution whatever the outcomes are distributed like (textbook method).

use crate::root::bracketed;

/// Outcomes by replicate.
#[derive(Clone, PartialEq, Debug)]
pub struct Sample {
    /// All of them, rising; those without an end left out.
    sorted: Vec<f64>,
    /// The same of each replicate, and how many each has with those without an end.
    replicates: Vec<(Vec<f64>, usize)>,
    count: usize,
}

impl Sample {
    /// From the outcomes of each replicate; `None` is one without an end. What is not a number has none.
    pub fn new(replicates: &[Vec<Option<f64>>]) -> Self {
        let replicates: Vec<(Vec<f64>, usize)> = replicates.iter().map(|list| rising(list)).collect();
        let count = replicates.iter().map(|(_, count)| count).sum();
        let mut sorted: Vec<f64> = replicates.iter().flat_map(|(list, _)| list.iter().copied()).collect();
        sorted.sort_by(f64::total_cmp);
        Self { sorted, replicates, count }
    }

    /// How many there are, with those that have no end.
    pub fn len(&self) -> usize {
        self.count
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.count == 0
    }

    /// The outcome with share `p` of them at or below it; `None` if it has no end.
    pub fn quantile(&self, p: f64) -> Option<f64> {
        at_share(&self.sorted, self.count, p)
    }

    /// Standard error of a quantile by how the replicates differ; `None` where one of them has no end.
    pub fn error(&self, p: f64) -> Option<f64> {
        let each: Option<Vec<f64>> =
            self.replicates.iter().map(|(list, count)| at_share(list, *count, p)).collect();
        each.filter(|each| each.len() > 1).map(|each| standard_error(&each))
    }

    /// An outcome that the true quantile exceeds with a chance of at most `1 - confidence`, were they drawn
    /// by chance; `None` if too few were drawn to tell, or if it has no end.
    pub fn upper_bound(&self, p: f64, confidence: f64) -> Option<f64> {
        let rank = upper_rank(self.count, p, confidence)?;
        self.sorted.get(rank - 1).copied()
    }

    /// Standard error of [`Sample::share_above`] by how the replicates differ.
    pub fn share_error(&self, value: f64) -> f64 {
        let above = |(list, count): &(Vec<f64>, usize)| {
            let below = list.partition_point(|x| *x <= value);
            (count - below) as f64 / (*count).max(1) as f64
        };
        standard_error(&self.replicates.iter().map(above).collect::<Vec<f64>>())
    }

    /// Share of the outcomes above a value, with those that have no end.
    pub fn share_above(&self, value: f64) -> f64 {
        let below = self.sorted.partition_point(|x| *x <= value);
        if self.count == 0 { 1.0 } else { (self.count - below) as f64 / self.count as f64 }
    }
}

/// Standard error of the mean of several figures; none of one.
fn standard_error(each: &[f64]) -> f64 {
    let n = each.len() as f64;
    let mean = each.iter().sum::<f64>() / n;
    let squares: f64 = each.iter().map(|x| (x - mean) * (x - mean)).sum();
    if each.len() > 1 { libm::sqrt(squares / (n - 1.0) / n) } else { 0.0 }
}

fn rising(outcomes: &[Option<f64>]) -> (Vec<f64>, usize) {
    let count = outcomes.len();
    let mut list: Vec<f64> = outcomes.iter().flatten().copied().filter(|x| !x.is_nan()).collect();
    list.sort_by(f64::total_cmp);
    (list, count)
}

fn at_share(rising: &[f64], count: usize, p: f64) -> Option<f64> {
    let rank = libm::ceil(p * count as f64).max(1.0) as usize;
    rising.get(rank - 1).copied()
}

/// Standard deviations below the middle of a binomial distribution past which its terms are left out: the normal
/// distribution has less than 1e-32 there.
const NEGLIGIBLE_BELOW: f64 = 12.0;

/// The least rank k, from 1, for which fewer than k of `count` draws lie at or below the quantile of share
/// `p` with a chance of at least `confidence`; `None` where even the highest is not enough.
pub fn upper_rank(count: usize, p: f64, confidence: f64) -> Option<usize> {
    let mut below = 0.0;
    let (ln_p, ln_q) = (libm::log(p), libm::log1p(-p));
    let n = count as f64;
    // So far below the middle nothing is left that a sum of doubles could hold.
    let spread = libm::sqrt(n * p * (1.0 - p)) + 1.0;
    let first = (n * p - NEGLIGIBLE_BELOW * spread).max(0.0) as usize;
    for k in first..count {
        let x = k as f64;
        let choose = libm::lgamma(n + 1.0) - libm::lgamma(x + 1.0) - libm::lgamma(n - x + 1.0);
        below += libm::exp(choose + x * ln_p + (n - x) * ln_q);
        if below >= confidence {
            return Some(k + 1);
        }
    }
    None
}

/// Hits up to which their share is bounded; of more the spread between replicates tells enough.
const FEW_HITS: usize = 64;

/// The share that what was seen `hits` times in `count` independent draws exceeds with a chance of at most
/// `1 - confidence`: 1 of none drawn; 0 for more than 64 hits, where the bound is not worked out.
///
/// # Example: 59 without one show less than 5 % with 95 %
/// ```
/// assert!((measure::share_at_most(0, 59, 0.95) - 0.049_508).abs() < 1e-6);
/// ```
///
/// # References
/// Clopper and Pearson's one-sided bound (textbook).
pub fn share_at_most(hits: usize, count: usize, confidence: f64) -> f64 {
    if hits >= count {
        return 1.0;
    }
    if hits > FEW_HITS {
        return 0.0;
    }
    let n = count as f64;
    // Chance of no more hits than were seen, and how it falls as the share grows.
    let too_few = |p: f64| {
        let (mut term, mut sum) = (libm::exp(n * libm::log1p(-p)), 0.0);
        for k in 0..=hits {
            sum += term;
            term *= (n - k as f64) / (k as f64 + 1.0) * (p / (1.0 - p));
        }
        let slope = -(hits as f64 + 1.0) * term / p;
        (sum - (1.0 - confidence), slope)
    };
    bracketed(too_few, 0.0, 1.0, false)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn of(values: &[f64]) -> Sample {
        let replicates = values.chunks(5).map(|c| c.iter().map(|v| Some(*v)).collect());
        Sample::new(&replicates.collect::<Vec<_>>())
    }

    #[test]
    fn a_quantile_is_the_outcome_that_its_share_reaches() {
        let sample = of(&[3.0, 1.0, 2.0, 5.0, 4.0, 10.0, 9.0, 8.0, 7.0, 6.0]);
        assert_eq!([0.05, 0.1, 0.5, 0.95].map(|p| sample.quantile(p)), [1.0, 1.0, 5.0, 10.0].map(Some));
        assert!((sample.share_above(7.0) - 0.3).abs() < 1e-15);
    }

    #[test]
    fn what_has_no_end_lies_above_everything() {
        let sample = Sample::new(&[vec![Some(1.0), None, Some(f64::NAN), Some(2.0)]]);
        assert_eq!((sample.quantile(0.5), sample.quantile(0.6), sample.len()), (Some(2.0), None, 4));
        assert!((sample.share_above(1e9) - 0.5).abs() < 1e-15);
    }

    #[test]
    fn the_error_is_that_of_the_mean_of_the_replicates() {
        // Medians 2 and 12 (third of five): sd of the two 7.07, over root two: 5.
        let sample = of(&[0.0, 1.0, 2.0, 3.0, 4.0, 10.0, 11.0, 12.0, 13.0, 14.0]);
        assert!((sample.error(0.5).expect("two replicates") - 5.0).abs() < 1e-12);
        // Above 2.5: two of five and all of five; 0.4 and 1, sd 0.424, over root two: 0.3.
        assert!((sample.share_error(2.5) - 0.3).abs() < 1e-12);
    }

    #[test]
    fn the_bounding_rank_asks_for_enough_draws() {
        // 0.99^688 = 0.00099: the highest of 688 is above the 99 % point with 99.9 %; of 687 it is not.
        assert_eq!(upper_rank(688, 0.99, 0.999), Some(688));
        assert_eq!(upper_rank(687, 0.99, 0.999), None);
        // One in two below 59 draws at 95 %: 0.95^59 = 0.0485.
        assert_eq!((upper_rank(59, 0.95, 0.95), upper_rank(58, 0.95, 0.95)), (Some(59), None));
    }

    proptest! {
        #[test]
        fn quantiles_rise_and_their_bounds_lie_above(
            values in proptest::collection::vec(0.0..100.0_f64, 800..1000), a in 0.01..0.97_f64, b in 0.0..0.02_f64,
        ) {
            let sample = of(&values);
            prop_assert!(sample.quantile(a) <= sample.quantile(a + b));
            prop_assert!(sample.upper_bound(a, 0.999) >= sample.quantile(a));
        }
    }
}
