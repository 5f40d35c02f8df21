//! How strong ground is: classes, each with the soils that it may be, and the tests that tell the class.
//!
//! Invariants: a class counts as its softest soil; a reading between two classes or near their border takes
//! the softer one; a heel sinks deeper into the softest soil of a class than the class allows, by the same
//! law; a softer class never sinks less under a keel (tests); no test is no class.
//!
//! Not here: where on the field a test was made.
//!
//! Source: the soils are rows of a public table that cites Wong, Theory of Ground Vehicles, 2008; the classes,
//! their borders and which rows end them are judgement. The tables are of bare soils: a sward carries more, which
//! is not credited. That a heel mark under 1 cm is firm ground is from memory.

use super::Soil;
use measure::{Depth, Kilograms, Metres, Pascals, STANDARD_GRAVITY};
use thiserror::Error;

/// How strong ground is, the firmest first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Strength {
    /// A heel hardly marks it.
    Hard,
    /// A heel marks it.
    Firm,
    /// A heel sinks in by its edge.
    Yielding,
    /// A heel sinks in whole.
    Soft,
    /// A foot sinks in; nothing bounds how soft it may be.
    Boggy,
}

/// One class.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Class {
    /// Plain name.
    pub name: &'static str,
    /// The firmest soil that it may be.
    pub firmest: Soil,
    /// The softest, by which it counts.
    pub softest: Soil,
    /// The rows of the table of soils from which the ends are taken, firmest then softest.
    pub rows: [&'static str; 2],
    /// Deepest heel mark, under [`STANDARD_PERSON`]; `None`: any.
    pub heel: Option<Depth>,
    /// Least cone index.
    pub cone_index: Pascals,
    /// Where the borders come from.
    pub tag: &'static str,
}

/// Mass of the person in whose heel marks the classes are given.
pub const STANDARD_PERSON: Kilograms = Kilograms::kg(70.0);

/// Area of one heel, m2 (judgement).
const HEEL_AREA: f64 = 0.002;

/// Share by which a heel mark or a cone reading may be off (judgement).
const READING_SHARE: f64 = 0.2;

/// What a heel mark may be off at least, m (judgement).
const READING_LEAST: f64 = 0.003;

/// With this power of the pressure a mark grows at most: 1/n of the smallest exponent, 0.5, among the softest soils
/// of the classes.
const STEEPEST: f64 = 2.0;

/// The lightest person whose heel is a test (judgement).
pub const LIGHTEST_PERSON: Kilograms = Kilograms::kg(40.0);

/// Masses of a person whose heel is a test, kg (judgement).
const PERSONS: std::ops::RangeInclusive<f64> = LIGHTEST_PERSON.to_kg()..=150.0;

/// Readings with a penetrometer that make a test of a place (a manual of an airfield penetrometer, as the
/// project's list of reference values has it: three at least).
pub const LEAST_READINGS: usize = 3;

const JUDGEMENT: &str = "judgement";

const LEAN_CLAY_22: (Soil, &str) = (Soil::bekker(0.2, 16.43, 1724.69), "lean clay (WES), 22 %");
const LETE_SAND: (Soil, &str) = (Soil::bekker(0.79, 102.0, 5301.0), "LETE sand (Wong)");
const NORTH_GOWER: (Soil, &str) = (Soil::bekker(0.73, 41.6, 2471.0), "North Gower clayey loam (Wong), 46 %");
const GRENVILLE: (Soil, &str) = (Soil::bekker(1.01, 0.06, 5880.0), "Grenville loam (Wong), 24 %");
const UPLAND: (Soil, &str) = (Soil::bekker(1.10, 74.6, 2080.0), "upland sandy loam (Wong), 51 %");
const HANAMOTO_32: (Soil, &str) = (Soil::bekker(0.5, 0.77, 51.91), "sandy loam (Hanamoto), 32 %");

/// A class between two rows.
const fn class(
    name: &'static str,
    firmest: (Soil, &'static str),
    softest: (Soil, &'static str),
    heel: Option<Depth>,
    cone_kpa: f64,
) -> Class {
    Class {
        name,
        firmest: firmest.0,
        softest: softest.0,
        rows: [firmest.1, softest.1],
        heel,
        cone_index: Pascals::pa(cone_kpa * 1000.0),
        tag: JUDGEMENT,
    }
}

/// Every class, in the order of [`Strength`].
const TABLE: [(Strength, Class); 5] = [
    (Strength::Hard, class("hard", LEAN_CLAY_22, LETE_SAND, Some(Depth::m(0.01)), 2000.0)),
    (Strength::Firm, class("firm", LETE_SAND, NORTH_GOWER, Some(Depth::m(0.02)), 1000.0)),
    (Strength::Yielding, class("yielding", NORTH_GOWER, GRENVILLE, Some(Depth::m(0.04)), 500.0)),
    (Strength::Soft, class("soft", GRENVILLE, UPLAND, Some(Depth::m(0.08)), 250.0)),
    (Strength::Boggy, class("boggy", UPLAND, HANAMOTO_32, None, 0.0)),
];

/// A test that tells no class.
#[derive(Clone, Copy, PartialEq, Debug, Error)]
pub enum BadStrength {
    /// A mark that is no depth.
    #[error("found a heel mark of {0} m, expected a depth of 0 m or more")]
    Mark(f64),
    /// A person too light or heavy.
    #[error("found a person of {0} kg, expected 40 kg to 150 kg")]
    Person(f64),
    /// Too few readings.
    #[error("found {0} penetrometer readings, expected 3 or more at a place")]
    TooFew(usize),
    /// A reading, counted from 1, that is no cone index.
    #[error("found penetrometer reading {0} negative or not a number, expected a cone index")]
    Reading(usize),
}

/// The mark that a person leaves who stands with all weight on one heel.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct HeelMark {
    /// How deep; the deepest of several.
    pub depth: Depth,
    /// Who stood there, with all that was carried.
    pub person: Kilograms,
}

impl Strength {
    /// Every class, the firmest first.
    pub const ALL: [Self; 5] = [Self::Hard, Self::Firm, Self::Yielding, Self::Soft, Self::Boggy];

    /// What the class stands for.
    ///
    /// # Example: a class counts as its softest soil
    /// ```
    /// use slide::soft::strength::Strength;
    /// assert_eq!(Strength::Firm.class().rows[1], "North Gower clayey loam (Wong), 46 %");
    /// ```
    pub fn class(self) -> &'static Class {
        &TABLE[self as usize].1
    }

    /// The soil by which it counts.
    pub fn softest_soil(self) -> &'static Soil {
        &self.class().softest
    }

    /// The softest of several; `None` if there is none, or one is not known.
    pub fn softest_of(found: impl IntoIterator<Item = Option<Self>>) -> Option<Self> {
        found.into_iter().reduce(|a, b| a.zip(b).map(|(a, b)| a.max(b))).flatten()
    }
}

impl HeelMark {
    /// The class that the mark tells.
    ///
    /// A lighter person's mark is taken as deeper by as much as any soil of the table makes of it; a heavier
    /// person's as it is. Then it may be off by a fifth of it, 3 mm at least.
    ///
    /// # Errors
    /// [`BadStrength`] for a mark or a person that is no test.
    ///
    /// # Example: near a border the softer class is taken
    /// ```
    /// use measure::{Depth, Kilograms};
    /// use slide::soft::strength::{HeelMark, Strength};
    /// let of = |mm: f64| HeelMark { depth: Depth::m(mm / 1000.0), person: Kilograms::kg(70.0) }.strength();
    /// assert_eq!(of(6.0), Ok(Strength::Hard));
    /// assert_eq!(of(9.0), Ok(Strength::Firm));
    /// ```
    pub fn strength(&self) -> Result<Strength, BadStrength> {
        let (depth, person) = (self.depth.to_m(), self.person.to_kg());
        if !(depth >= 0.0 && depth.is_finite()) {
            return Err(BadStrength::Mark(depth));
        }
        if !PERSONS.contains(&person) {
            return Err(BadStrength::Person(person));
        }
        let lighter = (STANDARD_PERSON.to_kg() / person).max(1.0);
        let standard = depth * libm::pow(lighter, STEEPEST);
        let at_most = Depth::m(standard + READING_LEAST.max(standard * READING_SHARE));
        Ok(first(|class| class.heel.is_none_or(|heel| at_most <= heel)))
    }
}

/// The class that cone index readings at one place tell, by the least of them less a fifth.
///
/// No source read gives Bekker's constants for a cone index; the borders are judgement.
///
/// # Units
/// Cone index as a pressure: force over the area of the cone's base, the least with depth.
///
/// # Errors
/// [`BadStrength`] for fewer than [`LEAST_READINGS`], or one that is no cone index.
pub fn by_penetrometer(readings: &[Pascals]) -> Result<Strength, BadStrength> {
    if readings.len() < LEAST_READINGS {
        return Err(BadStrength::TooFew(readings.len()));
    }
    if let Some(i) = readings.iter().position(|r| !(r.to_pa() >= 0.0 && r.to_pa().is_finite())) {
        return Err(BadStrength::Reading(i + 1));
    }
    let least = readings.iter().fold(f64::INFINITY, |least, r| least.min(r.to_pa()));
    let sure = Pascals::pa(least * (1.0 - READING_SHARE));
    Ok(first(|class| sure >= class.cone_index))
}

/// Sinkage of the heel of a person into a soil.
pub fn heel_sinkage(soil: &Soil, person: Kilograms) -> Depth {
    let pressure = Pascals::pa(person.to_kg() * STANDARD_GRAVITY / HEEL_AREA);
    soil.sinkage(Metres::m(HEEL_AREA.sqrt()), pressure)
}

/// The firmest class that holds; the softest if none.
fn first(holds: impl Fn(&Class) -> bool) -> Strength {
    TABLE.iter().find(|(_, class)| holds(class)).map_or(Strength::Boggy, |(strength, _)| *strength)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn mark(mm: f64, kg: f64) -> Result<Strength, BadStrength> {
        HeelMark { depth: Depth::m(mm / 1000.0), person: Kilograms::kg(kg) }.strength()
    }

    fn cone(kpa: &[f64]) -> Result<Strength, BadStrength> {
        by_penetrometer(&kpa.iter().map(|k| Pascals::pa(k * 1000.0)).collect::<Vec<_>>())
    }

    #[test]
    fn the_table_is_in_the_order_of_the_classes() {
        for (i, (strength, class)) in TABLE.iter().enumerate() {
            assert_eq!((*strength as usize, *strength), (i, Strength::ALL[i]));
            assert_eq!(class.tag, JUDGEMENT);
        }
        for pair in TABLE.windows(2) {
            assert_eq!(pair[0].1.softest, pair[1].1.firmest);
            assert!(pair[0].1.cone_index > pair[1].1.cone_index);
        }
    }

    #[test]
    fn a_heel_presses_with_343_kpa() {
        // 70 x 9.80665/0.002 = 343.2 kPa; (343.233/(102/0.0447214 + 5301))^(1/0.79) = 19.87 mm.
        let z = heel_sinkage(&LETE_SAND.0, STANDARD_PERSON).to_m();
        assert!((z - 0.019_87).abs() < 5e-5, "{z}");
    }

    #[test]
    fn a_heel_sinks_deeper_into_the_softest_soil_of_a_class_than_the_class_allows() {
        for (_, class) in &TABLE {
            let z = heel_sinkage(&class.softest, STANDARD_PERSON);
            assert!(class.heel.is_none_or(|heel| z > heel * 1.4), "{} {z:?}", class.name);
        }
    }

    #[test]
    fn a_mark_tells_its_class_and_near_a_border_the_softer() {
        // 7 mm + 3 mm = 10 mm still hard; 16.6 mm x 1.2 = 19.9 mm firm; 16.7 mm x 1.2 = 20.04 mm not.
        let found = [0.0, 7.0, 7.1, 16.6, 16.7, 33.3, 33.4, 66.6, 66.7, 300.0].map(|mm| mark(mm, 70.0));
        let [h, f, y, s, b] = Strength::ALL;
        assert_eq!(found, [h, h, f, f, y, y, s, s, b, b].map(Ok));
    }

    #[test]
    fn a_light_person_marks_less_than_the_ground_deserves() {
        // 5 mm under 50 kg: x 1.4^2 = 9.8 mm, + 3 mm = 12.8 mm.
        assert_eq!((mark(5.0, 70.0), mark(5.0, 50.0)), (Ok(Strength::Hard), Ok(Strength::Firm)));
        assert_eq!(mark(8.0, 100.0), Ok(Strength::Firm));
    }

    #[test]
    fn a_cone_tells_its_class_by_the_least_reading_less_a_fifth() {
        assert_eq!(cone(&[4000.0, 2500.0, 3000.0]), Ok(Strength::Hard));
        assert_eq!(cone(&[4000.0, 2499.0, 3000.0]), Ok(Strength::Firm));
        assert_eq!(cone(&[4000.0, 700.0, 3000.0]), Ok(Strength::Yielding));
        assert_eq!(cone(&[400.0, 400.0, 400.0]), Ok(Strength::Soft));
        assert_eq!(cone(&[4000.0, 0.0, 3000.0]), Ok(Strength::Boggy));
    }

    #[test]
    fn what_is_no_test_says_why() {
        let text = |found: Result<Strength, BadStrength>| found.unwrap_err().to_string();
        assert_eq!(text(mark(-1.0, 70.0)), "found a heel mark of -0.001 m, expected a depth of 0 m or more");
        assert_eq!(text(mark(1.0, 20.0)), "found a person of 20 kg, expected 40 kg to 150 kg");
        assert_eq!(text(cone(&[1.0, 2.0])), "found 2 penetrometer readings, expected 3 or more at a place");
        let bad = "found penetrometer reading 2 negative or not a number, expected a cone index";
        assert_eq!(text(cone(&[1.0, f64::NAN, 2.0])), bad);
        assert!(mark(f64::NAN, 70.0).is_err() && mark(1.0, f64::NAN).is_err());
    }

    #[test]
    fn what_nobody_tested_has_no_class() {
        let [hard, firm, ..] = Strength::ALL.map(Some);
        assert_eq!(Strength::softest_of([]), None);
        assert_eq!(Strength::softest_of([hard, firm, hard]), firm);
        assert_eq!(Strength::softest_of([hard, None, firm]), None);
    }

    proptest! {
        #[test]
        fn a_softer_class_never_sinks_less_under_a_keel(b in 0.02..0.3_f64, p in 5e3..2e5_f64) {
            for pair in Strength::ALL.windows(2) {
                let [a, c] = [0, 1].map(|i| pair[i].softest_soil().rut(Metres::m(b), Pascals::pa(p)));
                prop_assert!(c.depth >= a.depth, "{pair:?}");
                prop_assert!(c.resistance >= a.resistance, "{pair:?}");
            }
        }

        #[test]
        fn a_deeper_mark_or_a_lighter_person_never_tells_firmer_ground(
            mm in 0.0..200.0_f64, deeper in 0.0..50.0_f64, kg in 40.0..150.0_f64, lighter in 0.0..1.0_f64,
        ) {
            let light = 40.0 + (kg - 40.0) * lighter;
            prop_assert!(mark(mm + deeper, kg).expect("a test") >= mark(mm, kg).expect("a test"));
            prop_assert!(mark(mm, light).expect("a test") >= mark(mm, kg).expect("a test"));
        }

        #[test]
        fn one_more_reading_never_tells_firmer_ground(kpa in proptest::collection::vec(0.0..5000.0_f64, 3..8)) {
            prop_assert!(cone(&kpa).expect("a test") >= cone(&kpa[..3]).expect("a test"));
        }
    }
}
