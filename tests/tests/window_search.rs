//! What the window shows of the search for the best lane: while something is dragged, by heading, and what
//! clearing would gain.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

mod support;

use app::inputs::{Records, Sources};
use app::window::App;
use eframe::egui::{Key, Pos2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use strip::Assessment;
use strip::record::PlaceRecord;
use support::window::{self, Window, copied, ctrl, edition, held, on_screen, opened, settle, usable, wait};

/// Rock r1 of the sample, taken from the middle of its shelf to beside its near end.
fn rock_held_aside(window: &mut Window) -> Pos2 {
    let (from, to) = (on_screen(window, 40.0, 125.0), on_screen(window, 66.0, 12.0));
    held(window, from, to);
    to
}

fn best_length(answer: &Assessment) -> f64 {
    answer.lanes.first().map_or(0.0, |lane| lane.length_m)
}

fn shown(app: &App) -> &Assessment {
    app.shown().expect("something is shown")
}

#[test]
fn the_answer_follows_a_rock_while_it_is_dragged_and_one_step_back_undoes_it() {
    let (_folder, strip) = copied("otterhollow-shelf");
    let mut window = opened(&strip);
    let (before, short, length) = (edition(&window), usable(&window), best_length(shown(window.state())));
    let to = rock_held_aside(&mut window);
    wait(&mut window, "a longer lane", |app| best_length(shown(app)) > length + 50.0);

    window.drop_at(to);
    window.run_steps(2);
    settle(&mut window);
    assert!(usable(&window) > short + 50.0);
    ctrl(&mut window, Key::Z);
    settle(&mut window);
    assert_eq!(edition(&window), before);
    assert!((usable(&window) - short).abs() < 1e-12);
}

#[test]
fn escape_while_dragging_puts_the_rock_back_where_it_was() {
    let (_folder, strip) = copied("otterhollow-shelf");
    let mut window = opened(&strip);
    let before = edition(&window);
    let to = rock_held_aside(&mut window);
    assert_ne!(edition(&window), before, "it is on its way");

    window.key_press(Key::Escape);
    window.run_steps(2);
    assert_eq!(edition(&window), before);
    // The pointer is still down, and moving it moves nothing any more.
    window.hover_at(to + vec2(0.0, 30.0));
    window.run_steps(2);
    window.drop_at(to);
    window.run_steps(2);
    assert_eq!(edition(&window), before);
    assert!(!window.state().document().expect("open").can_undo(), "nothing is left to undo");
}

#[test]
fn a_thing_that_is_dragged_stays_under_the_pointer_although_its_panel_opens() {
    let (_folder, strip) = copied("otterhollow-shelf");
    let mut window = opened(&strip);
    let to = rock_held_aside(&mut window);
    let PlaceRecord::Point(x, y) = edition(&window).strip.hazards[0].at else { panic!("a rock is a point") };
    let off = (on_screen(&window, x, y) - to).length();
    assert!(off < 1.0, "{off} points from the pointer");
}

#[test]
fn a_first_look_says_that_it_is_one() {
    let (_folder, strip) = copied("cobblesea-moor");
    let records = Records::read(&Sources { strip, ..Sources::default() });
    let mut window = window::window(Some(records.expect("records")));
    wait(&mut window, "a first look", |app| app.shown().is_some());
    let words = "A first look: looking closer…";
    let says = |w: &Window| w.query_by_label(words).is_some();
    if window.state().answer().is_none() {
        assert!(says(&window));
    }
    settle(&mut window);
    assert!(!says(&window));
}

/// The sector told by the picture of length by heading.
fn by_heading(window: &Window) -> String {
    let node = window.get_by(|n| n.label().is_some_and(|l| l.starts_with("Length by heading: ")));
    node.accesskit_node().label().unwrap_or_default()
}

#[test]
fn length_by_heading_tells_its_best_sector_and_arrow_keys_step_to_the_next() {
    let (_folder, strip) = copied("otterhollow-shelf");
    let mut window = opened(&strip);
    ctrl(&mut window, Key::Num2);
    let sectors = window.state().answer().expect("an answer").length_by_heading.clone();
    let longest = sectors.iter().map(|s| s.found_m).fold(0.0, f64::max);
    let best = sectors.iter().rposition(|s| s.found_m >= longest).expect("a sector");
    let begins = |i: usize| format!("from {:.1} to", sectors[i % sectors.len()].from_deg);
    let told = by_heading(&window);
    assert!(told.contains(&format!("Longest {}", begins(best))), "{told}");
    assert!(told.contains(&format!("found {} m", longest.floor())), "{told}");

    window.get_by(|n| n.label().is_some_and(|l| l.starts_with("Length by heading: "))).focus();
    window.run_steps(2);
    window.key_press(Key::ArrowRight);
    window.run_steps(2);
    let told = by_heading(&window);
    assert!(told.starts_with(&format!("Length by heading: {}", begins(best + 1))), "{told}");
    let next = &sectors[(best + 1) % sectors.len()];
    assert!(told.contains(&format!("no lane over {} m", next.upper_bound_m.ceil())), "{told}");
    window.key_press(Key::ArrowLeft);
    window.key_press(Key::ArrowLeft);
    window.run_steps(3);
    assert!(
        by_heading(&window).starts_with(&format!("Length by heading: {}", begins(best + sectors.len() - 1)))
    );
}

#[test]
fn gains_and_the_certificate_are_listed_in_words() {
    let (_folder, strip) = copied("otterhollow-shelf");
    let window = opened(&strip);
    let answer = window.state().answer().expect("an answer");
    let gain = answer.lanes[0].gains.first().expect("the rock on the shelf costs length");
    assert!(window.query_by_label("What clearing would gain").is_some());
    let words = format!("remove {}: +{} m to spare", gain.removed.join(" and "), gain.gain_m.floor());
    assert!(window.query_by_label_contains(&words).is_some(), "{words}");
    assert!(window.query_by_label_contains("no clear lane longer than").is_some());
}

#[test]
fn the_hazard_that_rules_the_best_lane_is_marked_on_the_plan() {
    let (_folder, strip) = copied("otterhollow-shelf");
    let mut window = opened(&strip);
    assert_eq!(window.state().answer().expect("an answer").lanes[0].ruling_hazards, ["r1"]);
    let marked = |w: &Window| w.query_by_label_contains("r1 rules lane L1").is_some();
    assert!(marked(&window));
    let to = rock_held_aside(&mut window);
    window.drop_at(to);
    window.run_steps(2);
    settle(&mut window);
    let ruling =
        window.state().answer().expect("an answer").lanes[0].ruling_hazards.contains(&"r1".to_owned());
    assert_eq!(marked(&window), ruling);
}
