//! Quantities as a person types them: "60 ft", "18.3m", "45 kt", "12".
//!
//! A decimal comma and a thousands comma look alike, so a comma is refused rather than guessed.

use crate::shown::{LengthUnit, MassUnit, SpeedUnit};
use crate::speed::KNOT;
use crate::{Kilograms, Metres};
use thiserror::Error;

/// What was typed is not such a quantity.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
pub enum BadQuantity {
    /// Nothing was typed.
    #[error("found nothing, expected a number such as \"{example}\"")]
    Empty {
        /// What would be right.
        example: &'static str,
    },
    /// The number cannot be read.
    #[error("found \"{found}\", expected a number such as \"{example}\" (decimal point, no comma)")]
    NotANumber {
        /// What was typed.
        found: String,
        /// What would be right.
        example: &'static str,
    },
    /// The unit is not one of this kind of quantity.
    #[error("found unit \"{found}\", expected one of: {expected}")]
    UnknownUnit {
        /// The unit as typed.
        found: String,
        /// The units of this quantity.
        expected: String,
    },
}

/// One unit: the words for it and its size in SI.
type Unit = (&'static [&'static str], f64);

const LENGTHS: &[Unit] = &[
    (&["m", "metre", "metres", "meter", "meters"], 1.0),
    (&["ft", "'", "foot", "feet"], 0.3048),
    (&["cm"], 0.01),
    (&["mm"], 0.001),
    (&["in", "\"", "inch", "inches"], 0.0254),
    (&["km"], 1000.0),
    (&["yd", "yard", "yards"], 0.9144),
];
const SPEEDS: &[Unit] = &[
    (&["m/s", "mps"], 1.0),
    (&["kt", "kts", "kn", "knot", "knots"], KNOT),
    (&["km/h", "kmh"], 1.0 / 3.6),
    (&["mph"], 0.447_04),
];
const MASSES: &[Unit] = &[(&["kg"], 1.0), (&["lb", "lbs"], 0.453_592_37)];

/// Reads a length; a bare number is in `default`.
///
/// # Errors
/// [`BadQuantity`] when there is no finite number or the unit is none of length.
///
/// # Example: feet typed into a metric program
/// ```
/// use measure::{shown::LengthUnit, typed};
/// let length = typed::length("60 ft", LengthUnit::Metres)?;
/// assert!((length.to_m() - 18.288).abs() < 1e-12);
/// # Ok::<(), typed::BadQuantity>(())
/// ```
///
/// # Example: error on a comma
/// ```
/// use measure::{shown::LengthUnit, typed};
/// let err = typed::length("18,3", LengthUnit::Metres).unwrap_err();
/// assert_eq!(err.to_string(), "found \"18,3\", expected a number such as \"18.3 m\" (decimal point, no comma)");
/// ```
pub fn length(text: &str, default: LengthUnit) -> Result<Metres, BadQuantity> {
    read(text, LENGTHS, default.metres(), "18.3 m").map(Metres::m)
}

/// Reads a speed in m/s; a bare number is in `default`.
///
/// # Errors
/// [`BadQuantity`] when there is no finite number or the unit is none of speed.
pub fn speed_mps(text: &str, default: SpeedUnit) -> Result<f64, BadQuantity> {
    read(text, SPEEDS, default.metres_per_second(), "12 kt")
}

/// Reads a mass; a bare number is in `default`.
///
/// # Errors
/// [`BadQuantity`] when there is no finite number or the unit is none of mass.
pub fn mass(text: &str, default: MassUnit) -> Result<Kilograms, BadQuantity> {
    read(text, MASSES, default.kilograms(), "560 kg").map(Kilograms::kg)
}

/// Reads a plain number, with or without its unit behind it.
///
/// # Errors
/// [`BadQuantity`] when there is no finite number or something else stands behind it.
pub fn number(text: &str, unit: &'static str) -> Result<f64, BadQuantity> {
    let text = text.trim();
    read(text.strip_suffix(unit).unwrap_or(text), &[], 1.0, "12.5")
}

fn read(text: &str, units: &[Unit], default: f64, example: &'static str) -> Result<f64, BadQuantity> {
    let text = text.trim();
    if text.is_empty() {
        return Err(BadQuantity::Empty { example });
    }
    let not_a_number = || BadQuantity::NotANumber { found: text.to_owned(), example };
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+' | ',')))
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    let number: f64 = number.parse().map_err(|_| not_a_number())?;
    let unit = unit.trim().to_lowercase();
    let size = if unit.is_empty() {
        default
    } else {
        units.iter().find(|(words, _)| words.contains(&unit.as_str())).map(|&(_, size)| size).ok_or_else(
            || BadQuantity::UnknownUnit {
                found: unit.clone(),
                expected: units
                    .iter()
                    .filter_map(|(words, _)| words.first().copied())
                    .collect::<Vec<_>>()
                    .join(", "),
            },
        )?
    };
    let value = number * size;
    if value.is_finite() { Ok(value) } else { Err(not_a_number()) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[track_caller]
    fn check_length(text: &str, metres: f64) {
        let read = length(text, LengthUnit::Feet).expect(text).to_m();
        assert!((read - metres).abs() < 1e-12, "{text}: {read}");
    }

    #[test]
    fn a_length_is_read_in_its_own_unit_or_the_default_one() {
        check_length("60 ft", 18.288);
        check_length("60", 18.288);
        check_length(" 12.5m ", 12.5);
        check_length("3 in", 0.0762);
        check_length("-2 M", -2.0);
    }

    #[test]
    fn speeds_and_masses_are_read_with_their_units() {
        assert!((speed_mps("45 kt", SpeedUnit::MetresPerSecond).unwrap() - 23.15).abs() < 1e-9);
        assert!((mass("1320 lb", MassUnit::Kilograms).unwrap().to_kg() - 598.741_928_4).abs() < 1e-6);
    }

    #[test]
    fn a_unit_of_another_kind_is_refused_with_the_right_ones_named() {
        let err = length("60 kg", LengthUnit::Metres).unwrap_err();
        assert_eq!(err.to_string(), "found unit \"kg\", expected one of: m, ft, cm, mm, in, km, yd");
    }

    #[test]
    fn a_plain_number_may_carry_its_own_unit_and_no_other() {
        assert_eq!(number("14 m2", "m2"), Ok(14.0));
        assert_eq!(number("0.4", ""), Ok(0.4));
        assert!(number("14 ft", "m2").is_err());
    }

    #[test]
    fn nothing_and_nonsense_are_refused() {
        for bad in ["", "  ", "m", "nan", "inf", "--3", "1e999", "1.2.3", "."] {
            assert!(length(bad, LengthUnit::Metres).is_err(), "{bad}");
        }
    }

    proptest! {
        #[test]
        fn no_text_makes_it_panic(text in "\\PC*") {
            let _ = length(&text, LengthUnit::Metres);
        }
    }
}
