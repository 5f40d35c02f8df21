//! The touchdown page: what its pictures say, with and without the aircraft from the side, and that keys reach it.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

mod support;

use app::window::Panel;
use eframe::egui::Key;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use measure::shown::{Side, rounded};
use strip::TouchdownFigures;
use strip::record::{AircraftRecord, Ends};
use support::window::{Window, check_says, copied, opened, press, said};

/// The page of the sample, its aircraft changed beforehand.
fn page(change: impl Fn(&mut AircraftRecord)) -> (tempfile::TempDir, Window) {
    let (folder, strip) = copied("bramblewick-flat");
    let file = folder.path().join("bramblewick-flat.aircraft.ron");
    let bytes = std::fs::read(&file).expect("the aircraft");
    let mut record: AircraftRecord = strip::text::parse("aircraft", &bytes).expect("a record");
    change(&mut record);
    strip::file::write(&record, &file).expect("written");
    let mut window = opened(&strip);
    press(&mut window, "Touchdown");
    (folder, window)
}

fn figures(window: &Window) -> TouchdownFigures {
    window.state().answer().expect("an answer").lanes[0].touchdown.clone()
}

const KEELS: &str = "Angle of the keels to the ground over touchdown speed";
const FLARE: &str = "Flown on and flared, to one scale";

#[test]
fn the_picture_of_speeds_says_limits_pilots_speeds_and_the_safe_part() {
    let (_folder, window) = page(|_| ());
    let t = figures(&window);
    let (slow, fast) = t.speed_window_mps.expect("airspeeds");
    let safe = format!(
        "from 1.10 to 1.30 of the stall speed, {} to {} m/s calibrated",
        (slow * 10.0).ceil() / 10.0,
        (fast * 10.0).floor() / 10.0
    );
    assert!(window.query_by_label(&format!("Safe {safe}")).is_some(), "{safe}");
    let (first, last) = t.attitude_curve.first().zip(t.attitude_curve.last()).expect("a curve");
    let end = |least: f64, most: f64| {
        format!("keels {} to {} degrees", rounded(least, Side::AtLeast, 1), rounded(most, Side::AtMost, 1))
    };
    check_says(
        &said(&window, KEELS),
        &[
            "bow first below -2.0°",
            "stern first above 12.5°",
            "the pilot's speeds 1.10 to 1.30",
            &safe,
            "at 1.00 of the stall speed",
            &end(first.least_deg, first.greatest_deg),
            "stern may touch first",
            "at 1.40 of the stall speed",
            &end(last.least_deg, last.greatest_deg),
            "bow may touch first",
        ],
    );
}

#[test]
fn flown_on_and_flared_are_told_with_their_numbers() {
    let (_folder, window) = page(|a| a.give_mm = Some(Ends { low: 95.0, high: 140.0 }));
    let t = figures(&window);
    let most = |value: f64, places: u8| rounded(value, Side::AtMost, places);
    let (sink, load) = (most(t.sink_mps, 2), most(t.load_factor, 1));
    // The drop by hand: sqrt(2 x 9.80665 x 0.3), and 2/3 + (0.3 / 0.095 + 1/3) / 0.5 = 7.65 over a give of 95 mm.
    check_says(
        &said(&window, FLARE),
        &[
            "path 3.5° down",
            &format!("ground falling {} %", rounded(-100.0 * t.slope, Side::AtLeast, 1)),
            &format!("sinks at {sink} m/s"),
            &format!("as a fall of {} m", most(t.equivalent_drop_m, 2)),
            &format!("load factor {load}"),
            "drop of 0.30 m",
            "sinks at 2.43 m/s",
            "load factor 7.7",
        ],
    );
    check_says(
        &said(&window, "Load factor as bars"),
        &[
            &format!("flown on 1.1 to {load}"),
            "flared 7.7",
            "to compare with: on water, design rules 2.3",
            "owner's limit 4.5",
        ],
    );
    check_says(
        &said(&window, "Sink as bars"),
        &[
            &format!("flown on {sink} m/s"),
            "flared 2.43 m/s",
            "to compare with: descent, design rules 2.25 m/s",
        ],
    );
    for said in [
        "No flare: a flare ends in a drop (common practice, no source).",
        "Owner's limit 4.5: flown on is within it at the worst, flared is over it.",
    ] {
        assert!(window.query_by_label(said).is_some(), "{said}");
    }
    assert!(window.query_all_by_label_contains("never an allowance").next().is_some());
}

#[test]
fn without_the_side_nobody_knows_which_speed_is_safe() {
    let (_folder, window) = page(|a| a.side = None);
    let nobody = "Nobody knows which speed is safe: the aircraft is not known from the side";
    assert!(window.query_by_label(nobody).is_some());
    assert!(window.query_all_by_label_contains(KEELS).next().is_none());
    check_says(&said(&window, FLARE), &["sinks at 2.43 m/s", "floats not known from the side"]);
}

#[test]
fn a_window_that_holds_no_speed_is_said_to_hold_none() {
    let (_folder, window) = page(|a| a.side.as_mut().expect("a side").bow_limit_deg = 5.0);
    let none = "No speed is safe: at none of the pilot's speeds do the keels surely touch first";
    assert!(figures(&window).speed_window.is_none());
    assert!(window.query_by_label(none).is_some());
    check_says(&said(&window, KEELS), &["bow first below 5.0°", "no speed is safe"]);
}

#[test]
fn without_an_owners_limit_it_is_unknown_whether_the_load_is_borne() {
    let (_folder, window) = page(|a| a.limits.load_factor = None);
    let unknown = "Owner's limit of load factor: no limit given: unknown.";
    assert!(window.query_by_label(unknown).is_some());
    assert!(!said(&window, "Load factor as bars").contains("limit"));
}

#[test]
fn the_page_speaks_in_the_units_the_person_likes() {
    let (_folder, mut window) = page(|_| ());
    press(&mut window, "Units: metres");
    // 0.3 m are 0.984 ft; 2.4257 m/s are 4.715 kt.
    check_says(&said(&window, FLARE), &["drop of 0.99 ft", "sinks at 4.72 kt"]);
    check_says(&said(&window, KEELS), &["kt calibrated"]);
}

/// Presses Tab until what is reached begins so.
#[track_caller]
fn tab_to(window: &mut Window, start: &str) {
    const MOST: usize = 120;
    for _ in 0..MOST {
        window.key_press(Key::Tab);
        window.run_steps(2);
        let reached = window.query_all_by_label_contains(start).any(|n| n.accesskit_node().is_focused());
        if reached {
            return;
        }
    }
    panic!("Tab never reached {start}");
}

#[test]
fn keys_alone_reach_the_page_and_step_through_its_speeds() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = opened(&strip);
    tab_to(&mut window, "Touchdown");
    window.key_press(Key::Space);
    window.run_steps(4);
    assert_eq!(window.state().panel(), Panel::Touchdown);
    tab_to(&mut window, KEELS);
    let told = |window: &Window| window.query_all_by_label_contains("There, at ").count();
    assert_eq!(told(&window), 0);
    for (keys, said) in [(1, "There, at 1.00 of the stall speed"), (6, "There, at 1.10 of the stall speed")] {
        for _ in 0..keys {
            window.key_press(Key::ArrowRight);
            window.run_steps(2);
        }
        assert!(window.query_all_by_label_contains(said).next().is_some(), "{said}");
    }
    let at = figures(&window).attitude_curve[6];
    let keels = format!("keels {} to", rounded(at.least_deg, Side::AtLeast, 1));
    assert!(window.query_all_by_label_contains(&keels).next().is_some(), "{keels}");
}
