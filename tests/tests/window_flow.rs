//! The real window, driven through its accessibility tree: no display, no graphics driver.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

mod support;

use app::window::{Action, Corner};
use eframe::egui::{Key, Role, ViewportEvent};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use ground::Point;
use std::time::Duration;
use support::window::{
    Window, click_at, copied, ctrl, drag, edition, held, on_best_lane, on_screen, opened, press, settle,
    type_into, usable, wait, window,
};

#[test]
fn a_rock_on_the_lane_shortens_it_undo_gives_it_back_and_saving_keeps_what_is_there() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = window(None);
    press(&mut window, "Open");
    type_into(&mut window, "File", &strip.display().to_string());
    wait(&mut window, "the strip", |app| app.document().is_some());
    settle(&mut window);
    let (before, whole) = (edition(&window), usable(&window));

    press(&mut window, "Mark a rock here");
    let middle = on_best_lane(&window, 0.5);
    click_at(&mut window, middle);
    settle(&mut window);
    let shorter = usable(&window);
    assert!(shorter < whole - 1.0, "{shorter} after, {whole} before");
    assert_eq!(edition(&window).strip.hazards.len(), before.strip.hazards.len() + 1);
    assert!(window.query_by_role_and_label(Role::GraphicsObject, "rock r2, not measured").is_some());

    ctrl(&mut window, Key::Z);
    settle(&mut window);
    assert_eq!(edition(&window), before);
    assert!((usable(&window) - whole).abs() < 1e-12);

    ctrl(&mut window, Key::Y);
    settle(&mut window);
    assert!((usable(&window) - shorter).abs() < 1e-12);
    let marked = edition(&window);
    ctrl(&mut window, Key::S);
    wait(&mut window, "the save", |app| app.status().starts_with("Saved"));
    assert!(!window.state().document().expect("open").is_unsaved());
    assert_eq!(edition(&opened(&strip)), marked);
}

#[test]
fn everything_on_the_plan_works_without_a_pointer() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = opened(&strip);
    let before = edition(&window);
    let plan = |w: &Window| w.get_by(|n| n.label().is_some_and(|l| l.starts_with("Plan of"))).rect();
    assert!(plan(&window).width() > 300.0);
    window.get_by(|n| n.label().is_some_and(|l| l.starts_with("Plan of"))).focus();
    window.run_steps(2);
    window.key_press(Key::R);
    window.run_steps(3);
    assert_eq!(edition(&window).strip.hazards.len(), before.strip.hazards.len() + 1);

    window.get_by_role_and_label(Role::GraphicsObject, "rock r2, not measured").focus();
    window.run_steps(2);
    let place = |w: &Window| edition(w).strip.hazards.last().expect("the rock").at.clone();
    let marked = place(&window);
    window.key_press(Key::ArrowRight);
    window.run_steps(3);
    assert_ne!(place(&window), marked, "an arrow key moves the rock");
    window.key_press(Key::Delete);
    window.run_steps(3);
    assert_eq!(edition(&window).strip.hazards, before.strip.hazards, "delete takes it away again");
    for _ in 0..3 {
        ctrl(&mut window, Key::Z);
    }
    assert_eq!(edition(&window), before);
}

#[test]
fn dragging_a_rock_is_one_step_and_the_answer_follows() {
    let (_folder, strip) = copied("otterhollow-shelf");
    let mut window = opened(&strip);
    let (before, short) = (edition(&window), usable(&window));
    let (from, to) = (on_screen(&window, 40.0, 125.0), on_screen(&window, 66.0, 12.0));
    drag(&mut window, from, to);
    settle(&mut window);
    assert!(usable(&window) > short + 50.0, "{} after, {short} before", usable(&window));
    ctrl(&mut window, Key::Z);
    settle(&mut window);
    assert_eq!(edition(&window), before, "one step back undoes the whole drag");
    assert!((usable(&window) - short).abs() < 1e-12);
}

#[test]
fn a_corner_is_not_let_across_another_edge_and_the_reason_is_said() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = opened(&strip);
    let from = on_screen(&window, 0.0, 0.0);
    let to = on_screen(&window, 300.0, 220.0);
    held(&mut window, from, to);
    let status = window.state().status().to_owned();
    assert!(status.contains("crosses or touches itself"), "{status}");
    window.drop_at(from);
    window.run_steps(2);
    settle(&mut window);
    edition(&window).inputs().expect("the record is still valid");
}

#[test]
fn a_taped_corner_moved_by_hand_is_taped_no_more() {
    let (_folder, strip) = copied("otterhollow-shelf");
    let mut window = opened(&strip);
    let (from, to) = (on_screen(&window, 86.0, 352.0), on_screen(&window, 120.0, 352.0));
    drag(&mut window, from, to);
    settle(&mut window);
    let answer = window.state().answer().expect("an answer");
    assert_eq!(answer.verdict, strip::Verdict::Unknown, "a wider field than was measured");
    assert!(window.state().status().starts_with("Changed by hand"), "{}", window.state().status());
}

#[test]
fn a_corner_can_be_caught_into_an_edge_and_moved() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = opened(&strip);
    press(&mut window, "Catch a corner here");
    let at = on_screen(&window, 235.0, 30.0);
    click_at(&mut window, at);
    settle(&mut window);
    assert_eq!(edition(&window).strip.outline.corners.len(), 5);
    assert!(window.query_by_label("corner 2 of the outline").is_some());
}

#[test]
fn unsaved_work_asks_before_the_window_closes() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = opened(&strip);
    press(&mut window, "Mark a rock here");
    let middle = on_best_lane(&window, 0.4);
    click_at(&mut window, middle);
    settle(&mut window);
    let viewport = window.input().viewport_id;
    let info = window.input_mut().viewports.entry(viewport).or_default();
    info.events.push(ViewportEvent::Close);
    window.step();
    window.input_mut().viewports.entry(viewport).or_default().events.clear();
    window.run_steps(3);
    assert!(window.query_by_label("This strip has unsaved work").is_some());
    press(&mut window, "Keep working");
    assert!(window.query_by_label("This strip has unsaved work").is_none());
    press(&mut window, "Open");
    assert!(window.query_by_label("This strip has unsaved work").is_some(), "opening another asks too");
}

#[test]
fn a_height_typed_in_feet_is_kept_in_metres_and_nonsense_is_kept_out() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = opened(&strip);
    press(&mut window, "Things");
    press(&mut window, "list: rock r1, 0.25 m high");
    type_into(&mut window, "height", "2 ft");
    settle(&mut window);
    let height = edition(&window).strip.hazards[0].height_m.expect("a height");
    assert!((height - 0.6096).abs() < 1e-9, "{height}");
    type_into(&mut window, "height", "tall");
    assert_eq!(edition(&window).strip.hazards[0].height_m, Some(height));
    assert!(window.query_by_label_contains("found \"tall\"").is_some(), "the reason is on screen");
}

#[test]
fn wetter_grass_on_the_day_lengthens_the_slide_and_the_answer_says_so() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = opened(&strip);
    let demand = |w: &Window| w.state().answer().expect("an answer").lanes[0].demand_m.expect("stops");
    let dry = demand(&window);
    press(&mut window, "Day");
    window.get_by_role_and_label(Role::ComboBox, "grass").scroll_to_me();
    window.run_steps(3);
    window.get_by_role_and_label(Role::ComboBox, "grass").click();
    window.run_steps(3);
    press(&mut window, "wet");
    settle(&mut window);
    assert!(demand(&window) > dry * 1.3, "{} wet, {dry} dry", demand(&window));
}

#[test]
fn figures_are_shown_in_the_units_the_person_likes() {
    let (_folder, strip) = copied("bramblewick-flat");
    let mut window = opened(&strip);
    let metres = usable(&window).floor();
    assert!(window.query_by_label_contains(&format!("Usable slide length {metres} m")).is_some());
    press(&mut window, "Units: metres");
    let feet = (usable(&window) / 0.3048).floor();
    assert!(window.query_by_label_contains(&format!("Usable slide length {feet} ft")).is_some());
}

#[test]
fn what_is_not_judged_and_the_caution_stand_beside_the_verdict() {
    let (_folder, strip) = copied("bramblewick-flat");
    let window = opened(&strip);
    assert!(window.query_by_label_contains("Verdict: fits").is_some());
    let left = &window.state().answer().expect("an answer").not_judged;
    assert!(left.iter().any(|n| n.what == strip::NotJudged::Launch), "{left:?}");
    let words: Vec<String> = left.iter().map(|n| n.what.word().replace('_', " ")).collect();
    assert!(window.query_by_label_contains(&format!("Not judged: {}", words.join(", "))).is_some());
    assert!(window.query_all_by_label_contains("A planning aid.").next().is_some());
}

#[test]
fn a_file_that_is_no_strip_is_one_message_and_nothing_is_lost() {
    let (folder, strip) = copied("bramblewick-flat");
    let bad = folder.path().join("bad.strip.ron");
    std::fs::write(&bad, "(schema: 1, hazrds: [])").expect("written");
    let mut window = opened(&strip);
    let before = edition(&window);
    press(&mut window, "Open");
    type_into(&mut window, "File", &bad.display().to_string());
    for _ in 0..40 {
        window.step();
        std::thread::sleep(Duration::from_millis(5));
    }
    assert!(window.query_by_label_contains("unknown field \"hazrds\"").is_some());
    assert_eq!(edition(&window), before);
}

#[test]
fn saving_over_another_file_asks_first() {
    let (folder, strip) = copied("bramblewick-flat");
    let (other, taken) = copied("thimble-croft");
    let mut window = opened(&strip);
    let before = std::fs::read(&taken).expect("the other strip");
    press(&mut window, "Save as");
    type_into(&mut window, "File", &taken.display().to_string());
    for _ in 0..40 {
        window.step();
        std::thread::sleep(Duration::from_millis(5));
    }
    assert!(window.query_by_label_contains("is already there").is_some());
    assert_eq!(std::fs::read(&taken).expect("still there"), before);
    press(&mut window, "Save here");
    wait(&mut window, "the save", |app| app.status().starts_with("Saved"));
    assert_ne!(std::fs::read(&taken).expect("replaced"), before);
    drop((folder, other));
}

#[test]
fn a_sketch_can_be_given_an_aircraft_and_another_one_does_not_overwrite_its_file() {
    let (folder, strip) = copied("bramblewick-flat");
    let (other, croft) = copied("thimble-croft");
    let own = folder.path().join("bramblewick-flat.aircraft.ron");
    let shared = folder.path().join("shared.aircraft.ron");
    std::fs::rename(&own, &shared).expect("the only aircraft record in the folder");
    let before = std::fs::read(&shared).expect("the aircraft");
    let mut window = opened(&strip);
    press(&mut window, "Aircraft");
    press(&mut window, "Take another aircraft");
    type_into(&mut window, "File", &croft.with_file_name("thimble-croft.aircraft.ron").display().to_string());
    wait(&mut window, "the aircraft", |app| {
        app.document().is_some_and(|d| d.edition().aircraft.as_ref().is_some_and(|a| a.id == "heron-2"))
    });
    settle(&mut window);
    ctrl(&mut window, Key::S);
    wait(&mut window, "the save", |app| app.status().starts_with("Saved"));
    assert_eq!(std::fs::read(&shared).expect("still there"), before);
    assert!(own.exists(), "the new aircraft has the strip's own name");
    drop(other);
}

#[test]
fn a_new_sketch_asks_for_what_it_needs_and_is_unknown() {
    let mut window = window(None);
    press(&mut window, "Begin a sketch");
    type_into(&mut window, "name", "Nowhere Lea");
    press(&mut window, "Begin");
    assert!(window.query_by_label_contains("latitude, degrees: found nothing").is_some());
    type_into(&mut window, "latitude, degrees", "54.1");
    type_into(&mut window, "longitude, degrees", "-2.6");
    type_into(&mut window, "height above the sea", "650 ft");
    press(&mut window, "Begin");
    settle(&mut window);
    let answer = window.state().answer().expect("an answer");
    assert_eq!(answer.verdict, strip::Verdict::Unknown);
    assert!(answer.reasons.iter().any(|r| r.code == strip::Code::NoAircraft));
}

/// Roles of what a person can do something with.
const CONTROLS: [Role; 6] =
    [Role::Button, Role::TextInput, Role::ComboBox, Role::CheckBox, Role::GraphicsObject, Role::SpinButton];

#[test]
fn every_control_that_can_be_reached_has_a_name() {
    let (_folder, strip) = copied("greywether-long-field");
    let mut window = opened(&strip);
    for tab in ["Why", "Things", "Field", "Aircraft", "Day", "Assumed"] {
        press(&mut window, tab);
        let nameless: Vec<String> = window
            .get_all_by(|n| CONTROLS.contains(&n.role()))
            .filter(|n| n.accesskit_node().label().is_none_or(|l| l.trim().is_empty()))
            .map(|n| format!("{:?} at {:?}", n.accesskit_node().role(), n.rect()))
            .collect();
        assert!(nameless.is_empty(), "{tab}: {nameless:?}");
    }
}

#[test]
fn an_action_on_something_that_is_gone_changes_nothing() {
    let (_folder, strip) = copied("bramblewick-flat");
    let window = opened(&strip);
    let before = edition(&window);
    for action in [
        Action::DeleteHazard(99),
        Action::MoveHazard(99, Point { x: 0.0, y: 0.0 }),
        Action::DeleteCorner(Corner { ring: 9, index: 0 }),
        Action::MovePatch(7, Point { x: 0.0, y: 0.0 }),
    ] {
        assert_eq!(before.after(&action), before);
    }
}
