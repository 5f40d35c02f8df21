//! The page of when the field would work: what its picture says cell by cell, keys, breaking off, what is old, units; and
//! the winds that the best lane bears, beside the answer.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

mod support;

use app::window::{App, Getting, Panel};
use eframe::egui::Key;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use measure::shown::{Side, rounded};
use strip::record::StripRecord;
use strip::{Question, Told, Verdict};
use support::window::{Window, check_says, copied, opened, press, said, type_into};

/// Frames that a picture may take before the test gives up; a guard against hanging, not a limit.
const PATIENCE: usize = 20_000;

const WIND: &str = "Verdict over direction and strength of the wind";
const LOAD: &str = "Verdict over mass and temperature";

#[track_caller]
fn wait(window: &mut Window, what: &str, done: impl Fn(&App) -> bool) {
    for _ in 0..PATIENCE {
        window.step();
        if done(window.state()) {
            window.run_steps(2);
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    panic!("waited in vain for {what}");
}

fn whole(app: &App) -> bool {
    app.when()
        .is_some_and(|w| w.getting == Getting::Done && w.picture.is_some_and(|(p, old)| p.is_whole() && !old))
}

fn page() -> (tempfile::TempDir, Window) {
    page_of(|_| ())
}

/// The page of the sample, its strip changed beforehand.
fn page_of(change: impl FnOnce(&mut StripRecord)) -> (tempfile::TempDir, Window) {
    let (folder, strip) = copied("bramblewick-flat");
    let bytes = std::fs::read(&strip).expect("the strip");
    let mut record: StripRecord = strip::text::parse("strip", &bytes).expect("a record");
    change(&mut record);
    strip::file::write(&record, &strip).expect("written");
    let mut window = opened(&strip);
    press(&mut window, "When");
    assert_eq!(window.state().panel(), Panel::When);
    (folder, window)
}

fn told(window: &Window, cell: usize) -> Told {
    let (picture, _) = window.state().when().and_then(|w| w.picture).expect("a picture");
    picture.told(cell).expect("worked out")
}

fn focus(window: &mut Window, start: &str) {
    window.get_by(|n| n.label().is_some_and(|l| l.starts_with(start))).focus();
    window.run_steps(2);
}

fn key(window: &mut Window, key: Key) {
    window.key_press(key);
    window.run_steps(2);
}

#[test]
fn arrow_keys_go_from_the_calm_to_every_wind_and_each_is_told_in_words() {
    let (_folder, mut window) = page();
    wait(&mut window, "the picture", whole);
    check_says(&said(&window, WIND), &["A calm: ", told(&window, 432).mark.name(), "lane heading", "spare"]);
    focus(&mut window, WIND);
    key(&mut window, Key::ArrowUp);
    check_says(
        &said(&window, WIND),
        &["Wind from 000 true, 1.0 m/s, gusts 1.4 m/s: ", told(&window, 0).mark.name()],
    );
    key(&mut window, Key::ArrowLeft);
    key(&mut window, Key::ArrowUp);
    key(&mut window, Key::ArrowUp);
    let here = told(&window, 2 * 36 + 35);
    let heading = format!("lane heading {:03.0} true", here.heading_true_deg.expect("a lane"));
    let spare = format!("spare {} m", rounded(here.spare_m.expect("it stops"), Side::AtLeast, 0));
    let words = ["Wind from 350 true, 3.0 m/s, gusts 4.2 m/s: ", here.mark.name(), &heading, &spare];
    check_says(&said(&window, WIND), &words);
    // Far up it is too strong to say anything, and that is said.
    for _ in 0..12 {
        key(&mut window, Key::ArrowUp);
    }
    check_says(&said(&window, WIND), &["12.0 m/s", "unknown", "half the stall speed"]);
    assert_eq!(told(&window, 11 * 36 + 35).mark, Verdict::Unknown);
    for key in ["fits", "tight", "unknown", "does not fit", "ring: the day"] {
        assert!(window.query_all_by_label(key).next().is_some(), "the key says {key}");
    }
    assert!(window.query_all_by_label_contains("gusts 1.4 times the mean, as on the day").next().is_some());
    assert!(window.query_all_by_label_contains("Fits or tight in winds up to, from N ").next().is_some());
}

#[test]
fn the_other_picture_is_over_mass_and_temperature() {
    let (_folder, mut window) = page();
    press(&mut window, "Mass and temperature");
    wait(&mut window, "the picture", whole);
    let view = window.state().when().expect("a document");
    assert_eq!(view.picture.map(|(p, _)| p.question), Some(Question::Load));
    focus(&mut window, LOAD);
    let middle = said(&window, LOAD);
    check_says(&middle, &["470 kg at 15 degrees C: "]);
    key(&mut window, Key::ArrowDown);
    check_says(&said(&window, LOAD), &["470 kg at 10 degrees C: "]);
}

#[test]
fn a_picture_can_be_broken_off_and_worked_out_after_all() {
    let (_folder, mut window) = page();
    wait(&mut window, "first cells", |app| app.when().is_some_and(|w| w.picture.is_some()));
    press(&mut window, "Cancel the picture");
    assert_eq!(window.state().when().map(|w| w.getting), Some(Getting::Stopped));
    let (picture, _) = window.state().when().and_then(|w| w.picture).expect("what there was");
    assert!(!picture.is_whole(), "broken off too late to tell");
    press(&mut window, "Work out the picture");
    wait(&mut window, "the picture", whole);
}

#[test]
fn after_a_change_the_picture_is_said_to_be_old_until_the_new_one_begins() {
    let (_folder, mut window) = page();
    wait(&mut window, "the picture", whole);
    press(&mut window, "Day");
    type_into(&mut window, "temperature", "25");
    window.get_by_label("When").click();
    window.step();
    window.step();
    assert!(window.query_by_label("Before the last change").is_some());
    wait(&mut window, "the new picture", whole);
    assert!(window.query_by_label("Before the last change").is_none());
}

#[test]
fn the_winds_that_the_best_lane_bears_stand_beside_the_answer_rounded_to_the_side_that_hurts() {
    // Nothing stands before either end, so that the reverse can be reached too.
    let (_folder, mut window) = page_of(|strip| strip.obstacles.clear());
    wait(&mut window, "the winds", |app| app.when().is_some_and(|w| w.limits.is_some()));
    let view = window.state().when().expect("a document");
    let limits = view.limits.expect("winds").to_vec();
    assert_eq!(limits.len(), 2);
    let best = window.state().answer().expect("an answer").lanes[0].heading_true_deg;
    assert!((limits[0].heading_true_deg - best).abs() < 1e-9);
    for unit in ["m/s", "kt"] {
        for limit in &limits {
            let tail = limit.tight.greatest_tail_mps.expect("a calm is borne");
            let shown = if unit == "kt" { tail / 0.514_444_444 } else { tail };
            let along = format!(", {:03.0} true (", limit.heading_true_deg);
            let node = window.query_all_by_label_contains(&along).next().expect("words").accesskit_node();
            let words = node.value().or_else(|| node.label()).expect("words");
            check_says(&words, &[&format!("tail wind up to {} {unit}", rounded(shown, Side::AtLeast, 1))]);
        }
        if unit == "m/s" {
            press(&mut window, "Units: metres");
        }
    }
}

#[test]
fn without_an_aircraft_the_page_says_that_no_lane_is_judged() {
    let (folder, strip) = copied("bramblewick-flat");
    std::fs::remove_file(folder.path().join("bramblewick-flat.aircraft.ron")).expect("removed");
    let mut window = opened(&strip);
    press(&mut window, "When");
    assert!(window.query_by_label("No aircraft given, so no lane is judged.").is_some());
}
