//! An interval: all that is known of a value that was not measured.

use std::fmt::Debug;
use thiserror::Error;

/// A closed interval, `low <= high`.
///
/// # Example: error on ends the wrong way round
/// ```
/// use measure::Interval;
/// let err = Interval::new(2.0, 1.0).unwrap_err();
/// assert_eq!(err.to_string(), "low end 2.0 lies above high end 1.0");
/// ```
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Interval<T> {
    // Invariant: low <= high.
    low: T,
    high: T,
}

/// The ends of an interval are the wrong way round, or not numbers.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
#[error("low end {low} lies above high end {high}")]
pub struct BadInterval {
    low: String,
    high: String,
}

impl<T: Copy + PartialOrd + Debug> Interval<T> {
    /// From its ends.
    ///
    /// # Errors
    /// [`BadInterval`] unless `low <= high`; NaN on either side is refused.
    pub fn new(low: T, high: T) -> Result<Self, BadInterval> {
        if low <= high {
            Ok(Self { low, high })
        } else {
            Err(BadInterval { low: format!("{low:?}"), high: format!("{high:?}") })
        }
    }

    /// A value known exactly. A NaN would break the order; the caller has a valid value.
    pub const fn exact(value: T) -> Self {
        Self { low: value, high: value }
    }

    /// The smallest interval that holds both values.
    pub fn spanning(a: T, b: T) -> Self {
        if a <= b { Self { low: a, high: b } } else { Self { low: b, high: a } }
    }

    /// The smallest interval that holds both intervals.
    #[must_use]
    pub fn hull(self, other: Self) -> Self {
        Self {
            low: if other.low < self.low { other.low } else { self.low },
            high: if other.high > self.high { other.high } else { self.high },
        }
    }

    /// The low end.
    pub const fn low(&self) -> T {
        self.low
    }

    /// The high end.
    pub const fn high(&self) -> T {
        self.high
    }

    /// The interval of a growing function of the value.
    pub fn map_growing<U>(self, f: impl Fn(T) -> U) -> Interval<U> {
        Interval { low: f(self.low), high: f(self.high) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn not_a_number_makes_no_interval() {
        assert!(Interval::new(f64::NAN, 1.0).is_err());
        assert!(Interval::new(0.0, f64::NAN).is_err());
    }

    #[test]
    fn the_hull_holds_both() {
        let hull = Interval::spanning(3.0, 1.0).hull(Interval::exact(5.0));
        assert_eq!((hull.low(), hull.high()), (1.0, 5.0));
    }
}
