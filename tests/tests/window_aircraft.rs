//! The aircraft page: what its drawings say, and its numbers as typed.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

mod support;

use eframe::egui::{Key, Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use strip::record::{AircraftRecord, ClimbRecord, Ends, SideRecord};
use support::window::{Window, copied, ctrl, edition, opened, press, type_into};

fn aircraft(window: &Window) -> AircraftRecord {
    edition(window).aircraft.expect("an aircraft")
}

fn side(window: &Window) -> SideRecord {
    aircraft(window).side.expect("it from the side")
}

fn page(strip: &std::path::Path) -> Window {
    let mut window = opened(strip);
    press(&mut window, "Aircraft");
    window
}

/// The sample without what is known of it from the side.
fn without_side() -> (tempfile::TempDir, Window) {
    let (folder, strip) = copied("bramblewick-flat");
    let file = folder.path().join("bramblewick-flat.aircraft.ron");
    let bytes = std::fs::read(&file).expect("the aircraft");
    let mut record: AircraftRecord = strip::text::parse("aircraft", &bytes).expect("a record");
    record.side = None;
    strip::file::write(&record, &file).expect("written");
    let window = page(&strip);
    (folder, window)
}

/// What the picture whose words begin so says.
#[track_caller]
fn picture(window: &Window, start: &str) -> String {
    let node = window.get_by(|n| n.role() == Role::Image && n.label().is_some_and(|l| l.starts_with(start)));
    node.accesskit_node().label().expect("words")
}

#[test]
fn both_drawings_say_in_words_what_they_show() {
    let (_folder, strip) = copied("bramblewick-flat");
    let window = page(&strip);
    let from_the_side = picture(&window, "From the side, to scale");
    for said in [
        "flat keel 2.50 m long",
        "floats from -0.90 m to 4.60 m behind, 0.58 m deep",
        "stern post line at 13.5 degrees",
        "bow first below -2 degrees",
        "centre of gravity 1.90 m to 2.20 m behind, 1.30 m to 1.45 m up",
        "thrust line 1.52 m up",
        "propeller -0.10 m behind, lowest tip 0.62 m up",
        "centre of the side area of 8.5 m2 2.90 m behind",
    ] {
        assert!(from_the_side.contains(said), "{said}: {from_the_side}");
    }
    let from_ahead = picture(&window, "From ahead, to scale");
    for said in [
        "span 9.60 m",
        "keels 2.10 m apart, shoes 0.05 m wide",
        "floats 0.62 m wide, deadrise 22 degrees",
        "wing tips 2.10 m up",
        "lowest between the floats 0.55 m up",
        "4 parts",
    ] {
        assert!(from_ahead.contains(said), "{said}: {from_ahead}");
    }
}

#[test]
fn a_number_from_the_side_is_changed_drawn_anew_and_undone() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = page(&strip);
    let before = edition(&window);
    type_into(&mut window, "stern of the floats behind", "5.1 m");
    assert!((side(&window).stern_behind_m - 5.1).abs() < 1e-12);
    let said = picture(&window, "From the side, to scale");
    assert!(said.contains("floats from -0.90 m to 5.10 m behind"), "{said}");
    ctrl(&mut window, Key::Z);
    assert_eq!(edition(&window), before);
    let said = picture(&window, "From the side, to scale");
    assert!(said.contains("to 4.60 m behind"), "{said}");
}

#[test]
fn a_number_that_cannot_be_is_refused_with_its_reason() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = page(&strip);
    let before = edition(&window);
    type_into(&mut window, "CG behind, most aft", "3.2 m");
    assert_eq!(edition(&window), before);
    let status = window.state().status();
    assert!(
        status.contains("side.cg_behind_m.high: found 3.2, expected at most keels.length_m, 2.5"),
        "{status}"
    );
}

#[test]
fn limits_are_listed_with_who_gave_them_and_can_be_changed() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = page(&strip);
    let said = "crosswind up to 5.0 m/s; load factor at touchdown up to 4.5; given by owner (invented)";
    assert!(window.query_by_label(said).is_some());
    type_into(&mut window, "load factor limit at touchdown", "3.5");
    type_into(&mut window, "limits given by", "an engineer (invented)");
    let limits = aircraft(&window).limits;
    assert_eq!((limits.load_factor, limits.given_by.as_deref()), (Some(3.5), Some("an engineer (invented)")));
    let said = "crosswind up to 5.0 m/s; load factor at touchdown up to 3.5; given by an engineer (invented)";
    assert!(window.query_by_label(said).is_some());
}

/// What a person would type for the numbers of the sample, in the order of the page.
const TYPED: [(&str, &str); 16] = [
    ("lift slope per degree, least", "0.084"),
    ("lift slope per degree, most", "0.088"),
    ("keel above zero-lift line, least", "-11.5 deg"),
    ("keel above zero-lift line, most", "-10.5"),
    ("bow first below", "-0.5"),
    ("step to stern post", "9.5"),
    ("CG behind, most forward", "1.9"),
    ("CG behind, most aft", "2.2"),
    ("CG up, lowest", "1.3"),
    ("CG up, highest", "1.45"),
    ("thrust line up", "152 cm"),
    ("propeller behind", "-0.1"),
    ("propeller tip up", "0.62"),
    ("bow of the floats behind", "-0.9"),
    ("stern of the floats behind", "4.6"),
    ("float depth", "0.58"),
];

#[test]
fn an_aircraft_not_known_from_the_side_is_said_to_be_so_and_given_number_by_number() {
    let (_folder, mut window) = without_side();
    let unknown = "Nothing known of it from the side, so attitude and tipping are unknown.";
    assert!(window.query_by_label(unknown).is_some());
    assert!(window.query_all_by_label_contains("From the side, to scale").next().is_none());
    window.get_by_label("Give it from the side").click_accesskit();
    window.run_steps(20);
    let (last, rest) = TYPED.split_last().expect("numbers");
    for (label, text) in rest {
        type_into(&mut window, label, text);
        assert_eq!(aircraft(&window).side, None, "taken before all were given");
    }
    type_into(&mut window, last.0, last.1);
    let given = side(&window);
    assert_eq!(given.cg_height_m, Ends { low: 1.3, high: 1.45 });
    assert_eq!((given.keel_above_zero_lift_deg.low, given.sternpost_deg), (-11.5, 9.5));
    assert!((given.thrust_line_height_m - 1.52).abs() < 1e-12);
    assert_eq!((given.nose_down_moment_m3, given.side_area_m2, given.yaw_radius_m), (None, None, None));
    assert!(window.query_by_label(unknown).is_none());
    picture(&window, "From the side, to scale");

    // One of a pair says nothing; both together are taken.
    type_into(&mut window, "side area", "8.5");
    assert_eq!(side(&window).side_area_m2, None);
    type_into(&mut window, "centre of side area behind", "2.9");
    assert_eq!((side(&window).side_area_m2, side(&window).side_area_behind_m), (Some(8.5), Some(2.9)));
    ctrl(&mut window, Key::Z);
    ctrl(&mut window, Key::Z);
    assert_eq!(aircraft(&window).side, None, "two steps back");
}

#[test]
fn a_climb_is_taken_once_its_last_number_is_typed_and_changed_alone_after() {
    let (folder, strip) = copied("bramblewick-flat");
    let file = folder.path().join("bramblewick-flat.aircraft.ron");
    let bytes = std::fs::read(&file).expect("the aircraft");
    let mut record: AircraftRecord = strip::text::parse("aircraft", &bytes).expect("a record");
    let was = record.climb.take().expect("the sample has one");
    strip::file::write(&record, &file).expect("written");
    let mut window = page(&strip);
    let typed = [
        ("rate of climb", "2.6 m/s"),
        ("climbed at airspeed, calibrated", "27"),
        ("climbed at mass", "560 kg"),
    ];
    for (label, text) in typed {
        type_into(&mut window, label, text);
        assert_eq!(aircraft(&window).climb, None, "{label}");
    }
    type_into(&mut window, "absolute ceiling", "3600 m");
    assert_eq!(aircraft(&window).climb, Some(was));
    type_into(&mut window, "rate of climb", "2.1 m/s");
    assert_eq!(aircraft(&window).climb, Some(ClimbRecord { rate_mps: 2.1, ..was }));
    // Slower than it stalls is a slip, and stays out of the record with its reason.
    type_into(&mut window, "climbed at airspeed, calibrated", "15");
    assert_eq!(aircraft(&window).climb, Some(ClimbRecord { rate_mps: 2.1, ..was }));
    let status = window.state().status();
    assert!(status.contains("climb.airspeed_mps: found 15, expected more than the stall speed"), "{status}");
    ctrl(&mut window, Key::Z);
    assert_eq!(aircraft(&window).climb, Some(was));
}
