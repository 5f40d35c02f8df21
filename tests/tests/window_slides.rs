//! What the window shows of slides: where they end, what the figures are made of, what to measure next.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

mod support;

use app::window::Panel;
use eframe::egui::Key;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use support::window::{copied, ctrl, opened, settle};

#[test]
fn control_and_three_show_where_slides_end_in_words_too() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = opened(&strip);
    ctrl(&mut window, Key::Num3);
    settle(&mut window);
    let lane = window.state().answer().expect("an answer").lanes[0].clone();
    let at = |m: Option<f64>| m.expect("it stops").ceil();
    let words = format!(
        "stopped: 5 in 100 by {} m, half by {} m, 95 in 100 by {} m",
        at(lane.stop_p05_m),
        at(lane.stop_p50_m),
        at(lane.stop_p95_m)
    );
    assert!(window.query_all_by_label_contains(&words).next().is_some(), "{words}");
    let chance = "Past the end margin: 1 in 1,000 (never told as less than 1)";
    assert!(window.query_all_by_label_contains(chance).next().is_some());
}

#[test]
fn a_tap_on_what_the_slide_needs_shows_its_inputs_and_one_more_where_they_are_changed() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = opened(&strip);
    assert!(window.query_by_label("Open Aircraft").is_none(), "closed at first");
    window.get_by_label_contains("Slide needs").click();
    window.run_steps(20);
    assert_eq!(window.state().panel(), Panel::Why);
    window.get_by_label("Open Aircraft").click_accesskit();
    window.run_steps(4);
    assert_eq!(window.state().panel(), Panel::Aircraft);
}

#[test]
fn what_to_measure_next_has_bars_that_grow_shorter() {
    let (_folder, strip) = copied("bramblewick-flat");
    let window = opened(&strip);
    let missing = window.state().answer().expect("an answer").missing.clone();
    let effects: Vec<f64> = missing.iter().filter(|m| !m.decides).filter_map(|m| m.effect_m).collect();
    assert!(effects.len() > 1 && effects.windows(2).all(|w| w[0] >= w[1]), "{effects:?}");
    let bars = window.query_all_by_label_contains("Effect: ").count();
    assert_eq!(bars, missing.iter().filter(|m| m.effect_m.is_some()).count());
}

#[test]
fn the_long_section_says_what_may_go_wrong_and_where() {
    let (_folder, strip) = copied("bramblewick-flat");
    let window = opened(&strip);
    let lane = window.state().answer().expect("an answer").lanes[0].clone();
    let room = lane.drift.least_room.expect("something beside it");
    let load = (lane.touchdown.load_factor * 10.0).ceil() / 10.0;
    for words in [
        format!("touchdown: load factor {load:.1}"),
        format!("{}: {:.1} m to the side needed", room.thing, (room.needed_m * 10.0).ceil() / 10.0),
        "nose may swing: wing-span circle".to_owned(),
        "field hard: ".to_owned(),
        "% left before it tips".to_owned(),
    ] {
        let found = window
            .query_all_by_label_contains(&words)
            .any(|n| n.accesskit_node().label().is_some_and(|l| l.starts_with("Long section")));
        assert!(found, "{words}");
    }
}
