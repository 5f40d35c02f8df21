//! The real window, driven through its accessibility tree: no display, no graphics driver.

use app::inputs::{Records, Sources};
use app::window::{App, Edition};
use eframe::egui::{Key, Modifiers, Pos2, Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use egui_kittest::{Harness, Node};
use ground::Point;
use measure::shown::Units;
use std::path::{Path, PathBuf};
use std::time::Duration;
use tempfile::TempDir;

pub type Window = Harness<'static, App>;

/// Frames that any answer may take before the test gives up; a guard against hanging, not a limit.
pub const PATIENCE: usize = 4_000;

pub fn samples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-strips")
}

/// A copy of a sample with its aircraft and day, and the copied strip's path.
pub fn copied(name: &str) -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    for kind in ["strip", "aircraft", "day"] {
        let file = format!("{name}.{kind}.ron");
        std::fs::copy(samples().join(&file), folder.path().join(&file)).expect("a copy");
    }
    let strip = folder.path().join(format!("{name}.strip.ron"));
    (folder, strip)
}

pub fn window(records: Option<Records>) -> Window {
    Harness::builder()
        .with_size([1280.0, 860.0])
        .with_accessibility_check(true)
        .build_eframe(move |creation| App::new(&creation.egui_ctx, records, Units::METRIC).expect("an app"))
}

pub fn opened(strip: &Path) -> Window {
    let records = Records::read(&Sources { strip: strip.to_owned(), ..Sources::default() }).expect("records");
    let mut window = window(Some(records));
    settle(&mut window);
    window
}

/// Draws frames until `done`.
#[track_caller]
pub fn wait(window: &mut Window, what: &str, done: impl Fn(&App) -> bool) {
    for _ in 0..PATIENCE {
        window.step();
        if done(window.state()) {
            return;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    panic!("waited in vain for {what}; status: {}", window.state().status());
}

/// Draws frames until the present edition is answered.
#[track_caller]
pub fn settle(window: &mut Window) {
    window.run_steps(2);
    wait(window, "an answer", |app| app.answer().is_some());
    window.run_steps(2);
}

pub fn usable(window: &Window) -> f64 {
    window.state().answer().expect("an answer").lanes[0].usable_slide_m
}

pub fn edition(window: &Window) -> Edition {
    window.state().document().expect("a document").edition().clone()
}

/// A chainage of the best lane, on screen.
pub fn on_best_lane(window: &Window, share: f64) -> Pos2 {
    let lane = &window.state().answer().expect("an answer").lanes[0];
    let at = |i: usize| lane.near_end[i] + (lane.far_end[i] - lane.near_end[i]) * share;
    on_screen(window, at(0), at(1))
}

pub fn on_screen(window: &Window, x: f64, y: f64) -> Pos2 {
    window.state().screen_from_field(Point { x, y }).expect("the plan was drawn")
}

pub fn click_at(window: &mut Window, at: Pos2) {
    window.hover_at(at);
    window.step();
    window.drag_at(at);
    window.step();
    window.drop_at(at);
    window.step();
}

pub fn drag(window: &mut Window, from: Pos2, to: Pos2) {
    held(window, from, to);
    window.drop_at(to);
    window.run_steps(2);
}

/// Takes hold of something on the plan and moves it, without letting go.
pub fn held(window: &mut Window, from: Pos2, to: Pos2) {
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    for share in [0.3, 0.6, 1.0] {
        window.hover_at(from + (to - from) * share);
        window.run_steps(2);
    }
}

pub fn ctrl(window: &mut Window, key: Key) {
    window.key_press_modifiers(Modifiers::COMMAND, key);
    window.run_steps(2);
}

/// What the picture whose words begin so says.
#[track_caller]
pub fn said(window: &Window, start: &str) -> String {
    let node = window.get_by(|n| n.label().is_some_and(|l| l.starts_with(start)));
    node.accesskit_node().label().expect("words")
}

#[track_caller]
pub fn check_says(said: &str, words: &[&str]) {
    for word in words {
        assert!(said.contains(word), "{word}: {said}");
    }
}

/// Whether words are on screen.
pub fn says(window: &Window, words: &str) -> bool {
    window.query_all_by_label_contains(words).next().is_some()
}

/// Presses what has this label, scrolled to as a person would.
#[track_caller]
pub fn press(window: &mut Window, label: &str) {
    press_found(window, None, label);
}

/// Presses the control of a role, or any, that has this label.
#[track_caller]
pub fn press_found(window: &mut Window, role: Option<Role>, label: &str) {
    found(window, role, label).scroll_to_me();
    // Scrolling takes some frames.
    let mut at = None;
    for _ in 0..60 {
        window.run_steps(2);
        let now = Some(found(window, role, label).rect());
        if std::mem::replace(&mut at, now) == now {
            break;
        }
    }
    found(window, role, label).click();
    window.run_steps(3);
}

#[track_caller]
fn found<'a>(window: &'a Window, role: Option<Role>, label: &'a str) -> Node<'a> {
    match role {
        Some(role) => window.get_by_role_and_label(role, label),
        None => window.get_by_label(label),
    }
}

/// Types into a field found by its label, over what stands there, and leaves it.
pub fn type_into(window: &mut Window, label: &str, text: &str) {
    window.get_by_role_and_label(Role::TextInput, label).focus();
    window.run_steps(2);
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.get_by_role_and_label(Role::TextInput, label).type_text(text);
    window.run_steps(2);
    window.key_press(Key::Enter);
    window.run_steps(3);
}
