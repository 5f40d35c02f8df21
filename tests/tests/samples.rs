//! The verdicts of the sample strips, and what would change them.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use serde_json::Value;
use strip::record::SurveyedRecord;
use strip::{Code, Settings, Verdict};
use support::Trio;
use support::answers::{answer, list, number, text};

#[test]
fn the_flat_fits() {
    assert_eq!(answer("assess", "bramblewick-flat")["verdict"], "fits");
}

#[test]
fn the_shelf_is_tight_and_fits_without_its_rock() {
    assert_eq!(answer("assess", "otterhollow-shelf")["verdict"], "tight");
    let mut shelf = Trio::sample("otterhollow-shelf");
    assert_eq!(shelf.judged(Settings::default()).verdict, Verdict::Tight);
    shelf.strip.hazards.retain(|h| h.id != "r1");
    assert_eq!(shelf.strip.hazards.len(), 0);
    assert_eq!(shelf.judged(Settings::default()).verdict, Verdict::Fits);
}

#[test]
fn the_croft_is_too_short_for_every_lane() {
    let croft = answer("assess", "thimble-croft");
    assert_eq!(croft["verdict"], "does_not_fit");
    let bound = list(&croft, "reasons").iter().find(|r| r["code"] == "length_bound").expect("the bound");
    assert_eq!(bound["verdict"], "does_not_fit");
    // The longest diagonal, (-3, 25) to (38, -4), is 50.2 m: a lane that needs no slide at all has 25 m less.
    assert!(number(bound, "value") < 0.0 && number(bound, "limit") == 0.0, "{bound}");
    assert!(number(&croft["certificate"], "upper_bound_m") < 51.3);
}

#[test]
fn the_long_field_is_unknown_for_its_wires_and_for_ground_that_nobody_levelled() {
    let field = answer("assess", "greywether-long-field");
    assert_eq!(field["verdict"], "unknown");
    let unknown: Vec<&Value> = list(&field, "reasons").iter().filter(|r| r["verdict"] == "unknown").collect();
    // Without levels the ground may rise under the touchdown, which may then be too hard, and fall away to a side.
    assert_eq!(
        unknown.iter().map(|r| text(r, "code")).collect::<Vec<_>>(),
        ["not_looked", "hardness", "keel_attitude", "drift", "drift_onto", "trip"]
    );
    assert!(unknown[0]["code"] == "not_looked" && text(unknown[0], "text").contains("wires"), "{unknown:?}");
    let deciding = list(&field, "missing").iter().filter(|m| m["decides"] == true);
    assert_eq!(deciding.map(|m| text(m, "what")).collect::<Vec<_>>(), ["wires"]);
    let mut looked = Trio::sample("greywether-long-field");
    looked.strip.survey.wires = SurveyedRecord::Looked {
        on: "2026-04-05".into(),
        by: "D. Imagined".into(),
        how: None,
        spacing_m: None,
        grass_m: None,
    };
    let looked = looked.judged(Settings::default());
    let left = looked.reasons.iter().filter(|r| r.verdict == Some(Verdict::Unknown));
    assert_eq!(
        left.map(|r| r.code).collect::<Vec<_>>(),
        [Code::Hardness, Code::KeelAttitude, Code::Drift, Code::DriftOnto, Code::Trip]
    );
}

#[test]
fn the_moor_has_its_hazards_and_an_answer() {
    assert!(Trio::sample("cobblesea-moor").strip.hazards.len() >= 40);
    assert!(!list(&answer("assess", "cobblesea-moor"), "lanes").is_empty());
}
