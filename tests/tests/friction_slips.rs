//! Measurements of friction that are a slip, or of other ground or another time, never make an answer better.
#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use strip::record::{CoverRecord, DragTestRecord, GrassRecord, LevelRecord, PatchRecord, RecoveryRecord};
use strip::{Assessment, Code, Verdict};
use support::Trio;
use support::plain::{FIELD, coarse, demand, drag_test, earlier_slide as slide, plain};

fn with(change: impl Fn(&mut Trio)) -> Assessment {
    let mut trio = plain();
    change(&mut trio);
    trio.judged(coarse())
}

fn needs(change: impl Fn(&mut Trio)) -> f64 {
    demand(with(change).lanes.first().expect("a lane"))
}

#[track_caller]
fn check_unknown(a: &Assessment, code: Code, text: &str) {
    assert_eq!(a.verdict, Verdict::Unknown);
    let said =
        a.reasons.iter().find(|r| r.code == code).unwrap_or_else(|| panic!("{code:?} in {:?}", a.reasons));
    assert!(said.text.contains(text), "{}", said.text);
}

fn pulls(grass: GrassRecord, pulls_n: &[f64]) -> DragTestRecord {
    DragTestRecord { grass, ..drag_test(400.0, pulls_n) }
}

#[test]
fn a_test_far_above_what_such_ground_is_known_for_is_unknown() {
    // 50 N of 40 kg, the weight noted as 40 N.
    let slip = DragTestRecord { weight_n: Some(40.0), ..pulls(GrassRecord::Dry, &[50.0, 51.0, 50.0]) };
    let a = with(|t| t.strip.drag_tests = vec![slip.clone()]);
    check_unknown(&a, Code::TestsDisagree, "drag_tests[1] shows far more than such ground is known for");
}

#[test]
fn pulls_of_one_test_that_differ_by_far_are_unknown() {
    let a = with(|t| t.strip.drag_tests = vec![pulls(GrassRecord::Dry, &[60.0, 60.0, 160.0, 160.0])]);
    check_unknown(&a, Code::TestsDisagree, "the pulls of drag_tests[1]");
}

#[test]
fn a_test_noted_twice_counts_once() {
    let test = pulls(GrassRecord::Dry, &[150.0, 155.0]);
    let once = needs(|t| t.strip.drag_tests = vec![test.clone()]);
    assert!((needs(|t| t.strip.drag_tests = vec![test.clone(); 5]) - once).abs() < 1e-9);
}

#[test]
fn a_test_on_dew_raises_nothing_on_a_wet_day_and_may_lower() {
    let wet = |tests: Vec<DragTestRecord>| {
        needs(move |t| {
            t.day.grass = Some(GrassRecord::Wet);
            t.strip.drag_tests.clone_from(&tests);
        })
    };
    let none = wet(Vec::new());
    assert!((wet(vec![pulls(GrassRecord::Dew, &[140.0, 142.0])]) - none).abs() < 1e-9);
    assert!(wet(vec![pulls(GrassRecord::Wet, &[140.0, 142.0])]) < none);
    assert!(wet(vec![pulls(GrassRecord::Dew, &[60.0, 61.0])]) > none);
}

#[test]
fn a_test_or_a_slide_on_a_field_of_no_known_cover_still_lowers() {
    let bare = |tests: Vec<DragTestRecord>| {
        needs(move |t| {
            t.strip.cover = None;
            t.strip.drag_tests.clone_from(&tests);
        })
    };
    let none = bare(Vec::new());
    assert!(bare(vec![pulls(GrassRecord::Dry, &[40.0, 41.0])]) > 1.5 * none);
    assert!((bare(vec![pulls(GrassRecord::Dry, &[200.0, 201.0])]) - none).abs() < 1e-9);
    let slid = |metres: f64| {
        needs(|t| {
            t.strip.cover = None;
            t.strip.recoveries = vec![slide(metres)];
        })
    };
    assert!(slid(250.0) > 1.1 * none && slid(40.0) >= none - 1e-9, "{} {} {none}", slid(250.0), slid(40.0));
}

#[test]
fn a_mass_in_pounds_or_a_speed_in_knots_is_left_out() {
    let pounds = RecoveryRecord { mass_kg: 1190.0, ..slide(60.0) };
    let a = with(|t| t.strip.recoveries = vec![pounds.clone()]);
    check_unknown(
        &a,
        Code::LeftOut,
        "found a mass of 1190 kg, expected from 345 to 616 kg for this aircraft",
    );
    let knots = RecoveryRecord { touchdown_airspeed_mps: Some(38.0), ..slide(60.0) };
    let a = with(|t| t.strip.recoveries = vec![knots.clone()]);
    check_unknown(&a, Code::LeftOut, "found a touchdown at 38.0 m/s, expected from 14.2 to 28.4 m/s");
}

#[test]
fn an_old_slide_and_one_over_a_patch_raise_nothing() {
    let none = needs(|_| ());
    let short = slide(40.0);
    assert!(needs(|t| t.strip.recoveries = vec![short.clone()]) < none);
    let old = RecoveryRecord { on: "2001-04-30".to_owned(), ..short.clone() };
    assert!((needs(|t| t.strip.recoveries = vec![old.clone()]) - none).abs() < 1e-9);
    // A patch of the field's own cover, under the slide and under nothing else that counts.
    let patch = PatchRecord {
        id: "p".to_owned(),
        area: vec![(20.0, 105.0), (40.0, 105.0), (40.0, 120.0), (20.0, 120.0)],
        cover: Some(CoverRecord::ShortGrass),
        always_wet: false,
        strength: None,
    };
    let patched = |slides: Vec<RecoveryRecord>| {
        needs(|t| {
            t.strip.patches = vec![patch.clone()];
            t.strip.recoveries.clone_from(&slides);
        })
    };
    assert!((patched(vec![short.clone()]) - patched(Vec::new())).abs() < 1e-9);
}

#[test]
fn a_slide_too_short_for_any_friction_raises_nothing() {
    let none = needs(|_| ());
    let slip = RecoveryRecord { touchdown_airspeed_mps: None, headwind_mps: None, ..slide(10.0) };
    assert!(needs(|t| t.strip.recoveries = vec![slip.clone()]) >= none - 1e-9);
}

#[test]
fn two_heights_of_one_place_leave_the_verdict_unknown() {
    let middle = FIELD.1 / 2.0;
    let level = |z: f64| LevelRecord { e: 30.0, n: middle, z, sigma_m: 0.02 };
    let a = with(|t| t.strip.levels.extend([level(0.0), level(3.0)]));
    check_unknown(
        &a,
        Code::LeftOut,
        "levels[6].z: found a height 3.00 m off that of levels[5] at the same place",
    );
    let alike = with(|t| t.strip.levels.extend([level(0.0), level(0.05)]));
    assert!(alike.reasons.iter().all(|r| r.code != Code::LeftOut));
}
