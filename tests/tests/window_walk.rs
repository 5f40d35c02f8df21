//! The walk on the day, ticked on the Day page: by click, by keys, by typed time; the clock stands still here.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

mod support;

use eframe::egui::{Key, Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use jiff::Timestamp;
use strip::Verdict;
use strip::record::{RewalkRecord, ToSee};
use support::window::{Window, copied, ctrl, edition, opened, press, press_found, says, settle, type_into};

/// 09:05 there, on the sample's day, which is planned for 09:30.
fn in_time() -> Timestamp {
    "2026-05-02T08:05:00Z".parse().expect("a moment")
}

fn too_late() -> Timestamp {
    "2026-05-02T08:40:00Z".parse().expect("a moment")
}

fn next_day() -> Timestamp {
    "2026-05-03T08:05:00Z".parse().expect("a moment")
}

fn page(clock: fn() -> Timestamp) -> (tempfile::TempDir, Window) {
    let (folder, strip) = copied("bramblewick-flat");
    let mut window = opened(&strip);
    window.state_mut().set_clock(clock);
    press(&mut window, "Day");
    (folder, window)
}

fn walk(window: &Window) -> RewalkRecord {
    edition(window).day.expect("a day").rewalk.expect("a walk")
}

fn seen_at(window: &Window, what: ToSee) -> Option<String> {
    walk(window).seen.into_iter().find(|tick| tick.what == what).map(|tick| tick.at)
}

fn touch(window: &mut Window, what: ToSee) {
    press_found(window, Some(Role::CheckBox), what.name());
}

fn verdict(window: &Window) -> Verdict {
    window.state().answer().expect("an answer").verdict
}

#[track_caller]
fn check_says(window: &Window, said: &str) {
    assert!(says(window, said), "{said}");
}

#[test]
fn every_thing_to_see_is_a_row_with_name_state_help_and_time() {
    let (_folder, window) = page(in_time);
    check_says(&window, "10 of 10 done");
    for &what in ToSee::ALL {
        let row = window.get_by_role_and_label(Role::CheckBox, what.name());
        let node = row.accesskit_node();
        assert_eq!(node.toggled(), Some(eframe::egui::accesskit::Toggled::True), "{what:?}");
        assert!(row.rect().height() >= 44.0, "{:?}", row.rect());
        let name = format!("time seen: {}", what.name());
        let time = window.get_by_role_and_label(Role::TextInput, &name).accesskit_node().value();
        assert_eq!(time, seen_at(&window, what), "{what:?}");
    }
}

#[test]
fn a_tick_is_taken_back_made_anew_with_the_clock_and_undone() {
    let (_folder, mut window) = page(in_time);
    let before = edition(&window);
    touch(&mut window, ToSee::Helper);
    assert_eq!(seen_at(&window, ToSee::Helper), None);
    check_says(&window, "9 of 10 done: until all is, the day is at best tight");
    settle(&mut window);
    assert_eq!(verdict(&window), Verdict::Tight);
    touch(&mut window, ToSee::Helper);
    assert_eq!(seen_at(&window, ToSee::Helper).as_deref(), Some("09:05"));
    check_says(&window, "10 of 10 done");
    settle(&mut window);
    assert_eq!(verdict(&window), Verdict::Fits);
    let order: Vec<ToSee> = walk(&window).seen.iter().map(|tick| tick.what).collect();
    assert_eq!(order, ToSee::ALL);
    ctrl(&mut window, Key::Z);
    assert_eq!(seen_at(&window, ToSee::Helper), None);
    ctrl(&mut window, Key::Z);
    assert_eq!(edition(&window), before);
}

#[test]
fn keys_alone_tick_a_row() {
    let (_folder, mut window) = page(in_time);
    window.get_by_role_and_label(Role::CheckBox, ToSee::Gates.name()).focus();
    window.run_steps(2);
    window.key_press(Key::Space);
    window.run_steps(3);
    assert_eq!(seen_at(&window, ToSee::Gates), None);
    window.key_press(Key::Space);
    window.run_steps(3);
    assert_eq!(seen_at(&window, ToSee::Gates).as_deref(), Some("09:05"));
}

#[test]
fn a_time_can_be_typed_and_one_that_is_none_stays_out_with_its_reason() {
    let (_folder, mut window) = page(in_time);
    type_into(&mut window, "time seen: stock", "09:20");
    assert_eq!(seen_at(&window, ToSee::Stock).as_deref(), Some("09:20"));
    type_into(&mut window, "time seen: stock", "9 o'clock");
    assert_eq!(seen_at(&window, ToSee::Stock).as_deref(), Some("09:20"));
    check_says(&window, "a time of the day such as 08:55");
}

#[test]
fn what_is_seen_after_the_time_planned_for_is_told_not_to_count() {
    let (_folder, mut window) = page(too_late);
    touch(&mut window, ToSee::Wires);
    touch(&mut window, ToSee::Wires);
    assert_eq!(seen_at(&window, ToSee::Wires).as_deref(), Some("09:40"));
    check_says(&window, "9 of 10 done");
    check_says(
        &window,
        "Does not count: wires looked for from the side (at 09:40, after the 09:30 planned for)",
    );
}

#[test]
fn on_another_date_a_touch_ticks_nothing_and_says_why() {
    let (_folder, mut window) = page(next_day);
    touch(&mut window, ToSee::Machinery);
    let without = edition(&window);
    touch(&mut window, ToSee::Machinery);
    assert_eq!(edition(&window), without);
    let status = window.state().status();
    assert!(status.starts_with("Not ticked: it is 2026-05-03 there and the day is 2026-05-02"), "{status}");
    type_into(&mut window, "time seen: machinery", "08:52");
    assert_eq!(seen_at(&window, ToSee::Machinery).as_deref(), Some("08:52"));
}

#[test]
fn a_day_without_a_walk_begins_one_with_its_first_tick() {
    let (folder, strip) = copied("bramblewick-flat");
    let file = folder.path().join("bramblewick-flat.day.ron");
    let bytes = std::fs::read(&file).expect("the day");
    let mut record: strip::record::DayRecord = strip::text::parse("day", &bytes).expect("a record");
    record.rewalk = None;
    strip::file::write(&record, &file).expect("written");
    let mut window = opened(&strip);
    window.state_mut().set_clock(in_time);
    press(&mut window, "Day");
    check_says(&window, "0 of 10 done");
    touch(&mut window, ToSee::KeelTracks);
    let begun = walk(&window);
    assert_eq!((begun.on.as_str(), begun.by.as_str(), begun.seen.len()), ("2026-05-02", "the pilot", 1));
    type_into(&mut window, "walked by", "B. Fictive");
    assert_eq!(walk(&window).by, "B. Fictive");
    check_says(&window, "1 of 10 done");
}
