//! Where slides from about the aim come to rest: by which chainage a share of them has, and the chance that one has
//! not by the end margin.
//!
//! Invariants: of several cases the one counts that stops farthest, figure by figure; a chance carries the sampling's
//! own error, and is never told as less than what so few slides leave possible, nor as less than one in a thousand.
//!
//! Not here: the slides ([`crate::demand`]).

use measure::{Metres, Sample, share_at_most};

/// Student's t of the replicates' spread, 95 % on one side (SciPy 1.17.1: 1.894579, rounded up).
pub(crate) const T_OF_REPLICATES: f64 = 1.895;

/// A chance is never told as less.
const LEAST_CHANCE: f64 = 0.001;

/// Confidence with which no more than the chance told goes past.
const CONFIDENCE: f64 = 0.95;

/// Shares at which the chance of having stopped is told, from the first to the last slide.
const SHARES: usize = 20;

/// Chainages of rest, case by case of the worst corner.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Stops(pub(crate) Vec<Sample>);

impl Stops {
    /// The chainage by which a share of the slides has stopped, whatever the case; `None` where not so many do.
    pub(crate) fn by(&self, share: f64) -> Option<f64> {
        let each: Option<Vec<f64>> = self.0.iter().map(|case| case.quantile(share)).collect();
        each?.into_iter().reduce(f64::max)
    }

    /// Chance of stopping beyond a chainage; `None` without a slide.
    pub(crate) fn chance_beyond(&self, end: Metres) -> Option<f64> {
        let end = end.to_m();
        let of_case = |case: &Sample| {
            let share = case.share_above(end);
            let hits = libm::round(share * case.len() as f64) as usize;
            let by_replicates = share + T_OF_REPLICATES * case.share_error(end);
            by_replicates.max(share_at_most(hits, case.len(), CONFIDENCE)).clamp(LEAST_CHANCE, 1.0)
        };
        self.0.iter().map(of_case).reduce(f64::max)
    }

    /// Chainages by which shares of the slides have stopped, rising.
    pub(crate) fn shares(&self) -> Vec<(f64, f64)> {
        let shares = (0..SHARES).map(|i| (i as f64 / SHARES as f64).max(0.001)).chain([0.99, 0.999]);
        shares.filter_map(|p| self.by(p).map(|at| (at, p))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn case(values: &[f64]) -> Sample {
        Sample::new(&values.chunks(5).map(|c| c.iter().map(|v| Some(*v)).collect()).collect::<Vec<_>>())
    }

    #[test]
    fn figure_by_figure_the_case_that_stops_farthest_counts() {
        let steady: Vec<f64> = (0..20).map(|i| 100.0 + f64::from(i)).collect();
        let spread: Vec<f64> = (0..20).map(|i| 80.0 + 3.0 * f64::from(i)).collect();
        let stops = Stops(vec![case(&steady), case(&spread)]);
        assert_eq!((stops.by(0.05), stops.by(0.95)), (Some(100.0), Some(134.0)));
        // None of 20 beyond leaves 13.9 in 100 possible (1 - 0.05^(1/20)).
        let chance = stops.chance_beyond(Metres::m(500.0)).expect("slides");
        assert!((chance - 0.139_108).abs() < 1e-6, "{chance}");
    }

    #[test]
    fn where_some_never_stop_the_last_shares_have_no_chainage() {
        let mut outcomes: Vec<Vec<Option<f64>>> = vec![vec![Some(10.0); 9]];
        outcomes[0].push(None);
        let stops = Stops(vec![Sample::new(&outcomes)]);
        assert_eq!((stops.by(0.9), stops.by(0.95)), (Some(10.0), None));
    }
}
