//! How well positions are known.
//!
//! Invariants: an accuracy that was given stands for itself; without one, the method's is made larger
//! by what the receiver wrote, never smaller.

use crate::error::Problem;
use crate::import::ImportOptions;
use crate::note::AccuracyFrom;
use measure::Metres;
use strip::sigma_of;

/// Standard deviation of one coordinate for each unit of horizontal dilution, metres. From memory: a
/// single-frequency receiver's ranging error, not divided by the root of two that belongs to one
/// coordinate, so it errs to the large side.
const METRES_PER_DILUTION: f64 = 5.0;

/// Share of the accuracy by which simplifying may move the outline; judgement: small beside it.
const TOLERANCE_SHARE: f64 = 0.5;

/// Finest tolerance that is worth a corner, metres; judgement: a stride is longer.
const FINEST_TOLERANCE: f64 = 0.1;

/// Largest standard deviation that is one, metres; judgement: past it the field itself is lost.
const MOST_SIGMA: f64 = 1_000.0;

/// Accuracy of the positions of one file.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Accuracy {
    base: f64,
    given: bool,
}

impl Accuracy {
    /// As given, else by the method for the farthest distance from the datum.
    pub(crate) fn new(options: &ImportOptions, farthest: f64) -> Result<Self, Problem> {
        let by_method = sigma_of(options.how, farthest, &options.settings);
        let base = options.sigma.map_or(by_method, Metres::to_m);
        if base > 0.0 && base <= MOST_SIGMA {
            Ok(Self { base, given: options.sigma.is_some() })
        } else {
            Err(Problem::Accuracy { found_m: base, most_m: MOST_SIGMA })
        }
    }

    /// Standard deviation of each coordinate without regard to dilution, metres.
    pub(crate) fn base(self) -> f64 {
        self.base
    }

    /// Standard deviation of each coordinate of a fix with this dilution, metres, and its origin.
    pub(crate) fn with_dilution(self, dilution: Option<f64>) -> (f64, AccuracyFrom) {
        let by_dilution = dilution.unwrap_or(0.0) * METRES_PER_DILUTION;
        if self.given {
            (self.base, AccuracyFrom::Given)
        } else if by_dilution > self.base {
            (by_dilution, AccuracyFrom::Dilution)
        } else {
            (self.base, AccuracyFrom::Method)
        }
    }

    /// Farthest that simplifying may move a line, metres. It follows the method alone: one bad fix
    /// makes the whole outline less certain, but does not wash out its shape.
    pub(crate) fn tolerance(self) -> f64 {
        (self.base * TOLERANCE_SHARE).max(FINEST_TOLERANCE)
    }
}

/// A standard deviation as it is written: in millimetres, never less than it is.
pub(crate) fn recorded(sigma: f64) -> f64 {
    const STEPS: f64 = 1_000.0;
    (sigma * STEPS).ceil() / STEPS
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dilution_makes_the_method_worse_but_never_better() {
        let phone = Accuracy::new(&ImportOptions::default(), 100.0).expect("valid");
        assert_eq!(phone.with_dilution(Some(0.5)), (5.0, AccuracyFrom::Method));
        assert_eq!(phone.with_dilution(Some(3.6)), (18.0, AccuracyFrom::Dilution));
        assert_eq!(phone.with_dilution(None), (5.0, AccuracyFrom::Method));
    }

    #[test]
    fn an_accuracy_that_is_none_is_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let options = ImportOptions { sigma: Some(Metres::m(bad)), ..ImportOptions::default() };
            assert!(Accuracy::new(&options, 100.0).is_err(), "{bad}");
        }
    }
}
