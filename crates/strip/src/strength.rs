//! A test of how strong the ground is, valid: the class that it tells, and the heel's mark where that was the test.
//!
//! Not here: the classes (crate `slide`), and where on the field the test was made.

use crate::error::BadRecord;
use crate::fields::{at_most, number};
use crate::record::StrengthRecord;
use measure::{Depth, Kilograms, Pascals};
use slide::soft::strength::{HeelMark, LIGHTEST_PERSON, Strength, by_penetrometer};

/// Most readings of one place.
const MOST_READINGS: usize = 1_000;

/// Deepest heel mark, mm: more is no mark of a heel any more.
const DEEPEST_MARK: f64 = 500.0;

/// Pascals in a kilopascal.
const KILO: f64 = 1000.0;

/// What a test of the ground tells.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Tested {
    /// The class.
    pub(crate) strength: Strength,
    /// Depth of the heel's mark, where that was the test.
    pub(crate) heel_mark: Option<Depth>,
}

impl StrengthRecord {
    /// Name of the class that the test tells; `None` where it is no test.
    pub fn class_name(&self) -> Option<&'static str> {
        tested("strength", self).ok().map(|t| t.strength.class().name)
    }
}

/// From its record.
pub(crate) fn tested(path: &str, record: &StrengthRecord) -> Result<Tested, BadRecord> {
    let told = |bad| BadRecord::told(path, &bad);
    match record {
        StrengthRecord::HeelTest { mm, person_kg } => {
            let mm = number(&format!("{path}.mm"), *mm, 0.0..=DEEPEST_MARK, "mm")?;
            let depth = Depth::m(mm / KILO);
            let person = person_kg.map_or(LIGHTEST_PERSON, Kilograms::kg);
            let strength = HeelMark { depth, person }.strength().map_err(told)?;
            Ok(Tested { strength, heel_mark: Some(depth) })
        }
        StrengthRecord::Penetrometer { kpa } => {
            at_most(&format!("{path}.kpa"), kpa, MOST_READINGS)?;
            let readings: Vec<Pascals> = kpa.iter().map(|&kpa| Pascals::pa(kpa * KILO)).collect();
            let strength = by_penetrometer(&readings).map_err(told)?;
            Ok(Tested { strength, heel_mark: None })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn heel(mm: f64, person_kg: Option<f64>) -> StrengthRecord {
        StrengthRecord::HeelTest { mm, person_kg }
    }

    fn cone(kpa: &[f64]) -> StrengthRecord {
        StrengthRecord::Penetrometer { kpa: kpa.to_vec() }
    }

    #[test]
    fn a_mark_counts_as_that_of_the_lightest_person_where_nobody_is_said() {
        // 5 mm + 3 mm is hard; under 50 kg 5 x 1.4^2 + 3 = 12.8 mm is firm, under 40 kg 15.3 x 1.2 = 18.4 mm.
        let of = |person| tested("strength", &heel(5.0, person)).map(|t| t.strength);
        assert_eq!(of(Some(70.0)), Ok(Strength::Hard));
        assert_eq!(of(None), Ok(Strength::Firm));
        assert_eq!(of(Some(50.0)), Ok(Strength::Firm));
    }

    #[test]
    fn a_penetrometer_tells_a_class_and_no_mark() {
        let found = tested("strength", &cone(&[1500.0, 1300.0, 1700.0])).expect("a test");
        assert_eq!(found, Tested { strength: Strength::Firm, heel_mark: None });
    }

    #[track_caller]
    fn check_refused(record: &StrengthRecord, text: &str) {
        assert_eq!(tested("strength", record).unwrap_err().to_string(), text);
    }

    #[test]
    fn what_is_no_test_is_refused_with_its_path() {
        check_refused(&heel(501.0, None), "strength.mm: found 501, expected a number from 0 to 500 mm");
        check_refused(&heel(5.0, Some(20.0)), "strength: found a person of 20 kg, expected 40 kg to 150 kg");
        check_refused(
            &cone(&[900.0, 900.0]),
            "strength: found 2 penetrometer readings, expected 3 or more at a place",
        );
        check_refused(
            &cone(&[900.0, f64::NAN, 900.0]),
            "strength: found penetrometer reading 2 negative or not a number, expected a cone index",
        );
    }
}
