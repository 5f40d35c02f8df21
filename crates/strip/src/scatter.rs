//! Where a pilot touches down about the aimed point: as given, or from touchdowns that were measured.
//!
//! Invariant: few measured touchdowns never give a narrower scatter than many like them would.
//!
//! Not here: the default of the settings, where nobody measured.
//!
//! Source: one-sided normal tolerance factors ([`mod@measure::tolerance`]).

use crate::error::BadRecord;
use crate::fields::{at_most, number};
use crate::record::{AircraftRecord, ScatterRecord};
use measure::{Metres, tolerance};

/// Fewest and most touchdowns from which a scatter is worked out (judgement).
const LEAST_TOUCHDOWNS: usize = 5;
const MOST_TOUCHDOWNS: usize = 1_000;

/// No pilot touches down within less, m (judgement).
pub(crate) const LEAST_SCATTER: f64 = 10.0;

/// Share of all touchdowns that either end of the scatter leaves on its inner side, and how sure that is of each, so
/// that both hold at 95 %.
const COVER_OF_ONE_END: f64 = 0.975;
const SCATTER_CONFIDENCE: f64 = 0.975;

/// The pilot's touchdowns about the aimed point.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Scatter {
    /// How far short of the aim.
    pub short: Metres,
    /// How far past it.
    pub long: Metres,
    /// Where the middle of them lies, past the aim.
    pub centre: Metres,
}

/// As given, or from touchdowns that were measured.
pub(crate) fn scatter(record: &AircraftRecord) -> Result<Option<Scatter>, BadRecord> {
    if record.touchdowns_m.is_empty() {
        let given = |s: ScatterRecord| {
            let short = number("scatter.short_m", s.short_m, 0.0..=1000.0, "m")?;
            let long = number("scatter.long_m", s.long_m, 0.0..=1000.0, "m")?;
            if short + long < LEAST_SCATTER {
                let expected =
                    format!("at least {LEAST_SCATTER} m in all: no pilot touches down within less");
                return Err(BadRecord::field("scatter", &format!("{} m in all", short + long), &expected));
            }
            Ok(Scatter { short: Metres::m(short), long: Metres::m(long), centre: Metres::ZERO })
        };
        return record.scatter.map(given).transpose();
    }
    if record.scatter.is_some() {
        return Err(BadRecord::field("touchdowns_m", "both scatter and touchdowns_m", "one of them"));
    }
    measured_scatter(&record.touchdowns_m).map(Some)
}

/// The interval about the aim that holds 95 % of all touchdowns, as sure as the few that were measured can be: at
/// either end the tolerance factor for 97.5 % of all.
fn measured_scatter(touchdowns_m: &[f64]) -> Result<Scatter, BadRecord> {
    at_most("touchdowns_m", touchdowns_m, MOST_TOUCHDOWNS)?;
    let count = touchdowns_m.len();
    if count < LEAST_TOUCHDOWNS {
        let expected = format!("at least {LEAST_TOUCHDOWNS}");
        return Err(BadRecord::field("touchdowns_m", &format!("{count} touchdowns"), &expected));
    }
    for (i, &at) in touchdowns_m.iter().enumerate() {
        number(&format!("touchdowns_m[{}]", i + 1), at, -1000.0..=1000.0, "m")?;
    }
    let n = count as f64;
    let mean = touchdowns_m.iter().sum::<f64>() / n;
    let squares: f64 = touchdowns_m.iter().map(|x| (x - mean) * (x - mean)).sum();
    let spread =
        tolerance::factor(count, COVER_OF_ONE_END, SCATTER_CONFIDENCE) * libm::sqrt(squares / (n - 1.0));
    // Readings to the nearest few metres may all be alike.
    let reach = spread.max(LEAST_SCATTER / 2.0);
    Ok(Scatter {
        short: Metres::m((reach - mean).max(0.0)),
        long: Metres::m((reach + mean).max(0.0)),
        centre: Metres::m(mean),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn eight_touchdowns_are_worked_by_hand() {
        // Mean 10, squares 8 x 25: s = root(200/7) = 5.345; the factor of 8 for 97.5 % at 97.5 % by
        // SciPy 1.17.1, nct.ppf(0.975, 7, norm.ppf(0.975) root 8) / root 8.
        let found = measured_scatter(&[5.0, 15.0, 5.0, 15.0, 5.0, 15.0, 5.0, 15.0]).expect("enough");
        let reach = 4.243_172 * 5.345_225;
        assert!((found.long.to_m() - (reach + 10.0)).abs() < 1e-3, "{found:?}");
        assert!((found.short.to_m() - (reach - 10.0)).abs() < 1e-3, "{found:?}");
    }

    #[test]
    fn too_few_touchdowns_or_two_ways_of_saying_it_are_refused() {
        let few = measured_scatter(&[1.0, 2.0]).unwrap_err();
        assert_eq!(few.to_string(), "touchdowns_m: found 2 touchdowns, expected at least 5");
        let alike = measured_scatter(&[3.0; 6]).expect("enough");
        assert!((alike.short + alike.long - Metres::m(LEAST_SCATTER)).to_m().abs() < 1e-12, "{alike:?}");
        let slip = measured_scatter(&[1.0, 2.0, 3.0, 4.0, 5e4]).unwrap_err();
        assert_eq!(slip.to_string(), "touchdowns_m[5]: found 50000, expected a number from -1000 to 1000 m");
    }
}
