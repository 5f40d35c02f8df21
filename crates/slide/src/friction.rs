//! What is believed of a keel's friction before anyone has measured it on the strip.
//!
//! Invariants: one table holds every row; `p05 < median < p95`; frost outranks cover, since a
//! frozen sward and frozen earth are both ice to a keel.
//!
//! Not here: drag tests ([`crate::drag_test`]) and recoveries ([`crate::learning`]), which come before
//! any prior; and how it is sampled ([`crate::belief`]).
//!
//! Source: no coefficient of steel on grass at landing speed is published. Metal skids on a dry
//! lake bed 0.30 to 0.36, damp 0.25 (NASA TN D-3331, abstract); sledges on firm pasture 0.30 to
//! 0.51 of their weight (field-measured draft, farm press); smooth steel on sandy clay loam 0.19
//! to 0.39 over all moistures (soil engineering paper, 2007). The rest is judgement, tagged so.

use std::ops::RangeInclusive;

/// What covers the ground.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Cover {
    /// Grass cut or grazed short.
    ShortGrass,
    /// Grass left standing.
    LongGrass,
    /// Firm earth without a sward.
    BareSoil,
}

/// How wet the cover is.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Wetness {
    /// Dry to the touch.
    Dry,
    /// Dew on it.
    Dew,
    /// Wet from rain.
    Wet,
    /// White with frost.
    Frost,
    /// Frozen hard.
    Frozen,
}

/// Friction coefficient of steel keels, as a wide guess.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct FrictionPrior {
    /// As likely above as below.
    pub median: f64,
    /// One in twenty is below.
    pub p05: f64,
    /// One in twenty is above.
    pub p95: f64,
    /// Where the figures come from.
    pub tag: &'static str,
    /// Plain name of the row.
    pub name: &'static str,
}

/// Covers and states that slide alike, one for each row of the table of priors. What was measured on one
/// says nothing of another: dry ground never speaks for wet.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum GroundClass {
    /// Short grass, dry.
    DryShortGrass,
    /// Long grass, dry.
    DryLongGrass,
    /// Any grass with dew on it or wet.
    WetGrass,
    /// Anything frosted or frozen.
    Frozen,
    /// Bare firm soil, dry.
    DrySoil,
    /// Bare firm soil, damp or wet.
    DampSoil,
}

/// Coefficients of metal on ground that are taken as measured and not as a slip; outside them lie ice
/// under a skate and a sledge that has caught on something (judgement, wide).
pub const PLAUSIBLE: RangeInclusive<f64> = 0.02..=1.5;

const JUDGEMENT: &str = "judgement";

/// Every prior, in the order of [`GroundClass`].
const TABLE: [FrictionPrior; 6] = [
    FrictionPrior {
        median: 0.38,
        p05: 0.28,
        p95: 0.50,
        tag: "sledges on pasture 0.30 to 0.51, steel skids on dry lake 0.30 (seen)",
        name: "dry short grass",
    },
    FrictionPrior { median: 0.40, p05: 0.26, p95: 0.55, tag: JUDGEMENT, name: "dry long grass" },
    FrictionPrior { median: 0.26, p05: 0.15, p95: 0.40, tag: JUDGEMENT, name: "dew or wet grass" },
    FrictionPrior { median: 0.15, p05: 0.07, p95: 0.28, tag: JUDGEMENT, name: "frost or frozen" },
    FrictionPrior { median: 0.35, p05: 0.22, p95: 0.50, tag: JUDGEMENT, name: "dry bare firm soil" },
    FrictionPrior {
        median: 0.28,
        p05: 0.19,
        p95: 0.39,
        tag: "range of steel on loam over all moistures (seen)",
        name: "damp bare firm soil",
    },
];

/// The prior for a cover in a state.
///
/// # Example: frost makes every cover one
/// ```
/// use slide::{Cover, Wetness, prior};
/// assert_eq!(prior(Cover::BareSoil, Wetness::Frost), prior(Cover::LongGrass, Wetness::Frozen));
/// assert_eq!(prior(Cover::ShortGrass, Wetness::Dry).median, 0.38);
/// ```
pub fn prior(cover: Cover, wetness: Wetness) -> FrictionPrior {
    TABLE[same_ground(cover, wetness) as usize]
}

/// The class that recoveries and drag tests of a cover in a state are kept in.
///
/// # Example: dry never speaks for wet, dew does
/// ```
/// use slide::{Cover, Wetness, same_ground};
/// let on = |wetness| same_ground(Cover::ShortGrass, wetness);
/// assert_ne!(on(Wetness::Dry), on(Wetness::Wet));
/// assert_eq!(on(Wetness::Dew), on(Wetness::Wet));
/// ```
pub fn same_ground(cover: Cover, wetness: Wetness) -> GroundClass {
    match (cover, wetness) {
        (_, Wetness::Frost | Wetness::Frozen) => GroundClass::Frozen,
        (Cover::ShortGrass, Wetness::Dry) => GroundClass::DryShortGrass,
        (Cover::LongGrass, Wetness::Dry) => GroundClass::DryLongGrass,
        (Cover::ShortGrass | Cover::LongGrass, Wetness::Dew | Wetness::Wet) => GroundClass::WetGrass,
        (Cover::BareSoil, Wetness::Dry) => GroundClass::DrySoil,
        (Cover::BareSoil, Wetness::Dew | Wetness::Wet) => GroundClass::DampSoil,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COVERS: [Cover; 3] = [Cover::ShortGrass, Cover::LongGrass, Cover::BareSoil];

    #[track_caller]
    fn check(cover: Cover, wetness: Wetness, name: &str, figures: [f64; 3]) {
        let FrictionPrior { median, p05, p95, tag, name: found } = prior(cover, wetness);
        assert_eq!((found, [median, p05, p95]), (name, figures));
        assert!(!tag.is_empty());
    }

    #[test]
    fn every_cover_and_state_has_its_row() {
        check(Cover::ShortGrass, Wetness::Dry, "dry short grass", [0.38, 0.28, 0.50]);
        check(Cover::LongGrass, Wetness::Dry, "dry long grass", [0.40, 0.26, 0.55]);
        check(Cover::ShortGrass, Wetness::Dew, "dew or wet grass", [0.26, 0.15, 0.40]);
        check(Cover::LongGrass, Wetness::Wet, "dew or wet grass", [0.26, 0.15, 0.40]);
        check(Cover::BareSoil, Wetness::Dry, "dry bare firm soil", [0.35, 0.22, 0.50]);
        check(Cover::BareSoil, Wetness::Wet, "damp bare firm soil", [0.28, 0.19, 0.39]);
        for cover in COVERS {
            check(cover, Wetness::Frost, "frost or frozen", [0.15, 0.07, 0.28]);
            check(cover, Wetness::Frozen, "frost or frozen", [0.15, 0.07, 0.28]);
        }
    }

    #[test]
    fn percentiles_are_in_order() {
        for row in TABLE {
            assert!(0.0 < row.p05 && row.p05 < row.median && row.median < row.p95);
        }
    }

    #[test]
    fn wetter_is_never_taken_as_grippier() {
        for cover in COVERS {
            let [dry, dew, frost] = [Wetness::Dry, Wetness::Dew, Wetness::Frost].map(|w| prior(cover, w));
            assert!(dry.median > dew.median && dew.median > frost.median);
            assert!(dry.p05 > dew.p05 && dew.p05 > frost.p05);
        }
    }
}
