//! Pictures of every panel, light and dark, of invented strips, size fixed; no clock is on screen.
//!
//! They need a graphics adapter, if only a software one. Without it they are skipped and the number
//! of skipped pictures is printed; with `KEELSWARD_PICTURES=required` a skip is a failure.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

use acceptance::say;
use app::inputs::{Records, Sources};
use app::window::{App, Getting, Panel, WhenView};
use eframe::egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable as _;
use egui_kittest::{Harness, SnapshotOptions, SnapshotResults};
use measure::shown::Units;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::time::Duration;
use strip::record::{How, ObstacleKindRecord, ObstacleRecord, PlaceRecord, ToSee};

/// Panels, by the word on their tab.
const PANELS: [&str; 8] = ["Why", "Things", "Field", "Aircraft", "Touchdown", "Day", "When", "Assumed"];

/// Pixels that may differ a little: edges of letters and lines between drivers. A changed word is
/// hundreds of pixels.
const PIXELS: usize = 60;

/// Size of the window, and of those in which drawings are whole: the aircraft's, and those of its touchdown.
const SIZE: [f32; 2] = [1024.0, 720.0];
const TALL: [f32; 2] = [1024.0, 1150.0];
const TALLEST: [f32; 2] = [1024.0, 1600.0];

fn sample(name: &str) -> Records {
    let strip = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../sample-strips/{name}.strip.ron"));
    Records::read(&Sources { strip, ..Sources::default() }).expect("a sample")
}

fn window(name: &str, size: [f32; 2]) -> Harness<'static, App> {
    shown(sample(name), size)
}

fn shown(records: Records, size: [f32; 2]) -> Harness<'static, App> {
    let mut window = Harness::builder()
        .with_size(size)
        .wgpu()
        .build_eframe(|creation| App::new(&creation.egui_ctx, Some(records), Units::METRIC).expect("an app"));
    answered(&mut window);
    window
}

/// Draws frames until the edition is answered and the winds of the best lane stand beside every panel.
fn answered(window: &mut Harness<'static, App>) {
    wait(window, |app| {
        let winds = app.when().is_some_and(|w| w.limits.is_some());
        app.answer().is_some_and(|answer| answer.lanes.is_empty() || winds)
    });
}

/// Draws frames until `done`, or until it is clear that it never will be.
fn wait(window: &mut Harness<'static, App>, done: impl Fn(&App) -> bool) {
    for _ in 0..20_000 {
        window.step();
        if done(window.state()) {
            break;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    window.run_steps(4);
}

/// Waits for the picture of the page, where it is open.
fn wait_for_the_picture(window: &mut Harness<'static, App>) {
    window.run_steps(4);
    if window.state().panel() == Panel::When {
        let whole = |w: WhenView<'_>| {
            w.getting == Getting::Done && w.picture.is_some_and(|(p, old)| p.is_whole() && !old)
        };
        wait(window, |app| app.when().is_some_and(whole));
    }
}

/// Whether there is an adapter: one small window is drawn.
fn can_draw() -> bool {
    catch_unwind(AssertUnwindSafe(|| {
        let mut harness = Harness::builder().with_size([8.0, 8.0]).wgpu().build_ui(|ui| {
            ui.label("");
        });
        harness.render().is_ok()
    }))
    .unwrap_or(false)
}

#[test]
fn every_panel_looks_as_it_did_light_and_dark() {
    let pictures = 2 * PANELS.len() + 11;
    if !can_draw() {
        say(&format!("{pictures} pictures skipped: no graphics adapter here"));
        let required = std::env::var("KEELSWARD_PICTURES").is_ok_and(|v| v == "required");
        assert!(!required, "pictures are required and there is no graphics adapter");
        return;
    }
    let options = SnapshotOptions::new().max_failed_pixels(PIXELS);
    let mut results = SnapshotResults::new();
    let mut sample = window("greywether-long-field", SIZE);
    for look in ["light", "dark"] {
        for panel in PANELS {
            sample.get_by_label(panel).click();
            wait_for_the_picture(&mut sample);
            sample.remove_cursor();
            sample.run_steps(2);
            results.add(sample.try_snapshot_options(format!("{look}-{}", panel.to_lowercase()), &options));
        }
        sample.get_by_label("Why").click();
        sample.get_by_label("Length by heading").click();
        sample.run_steps(4);
        sample.remove_cursor();
        sample.run_steps(2);
        results.add(sample.try_snapshot_options(format!("{look}-by-heading"), &options));
        sample.get_by_label("Where slides end").click();
        sample.run_steps(4);
        sample.remove_cursor();
        sample.run_steps(2);
        results.add(sample.try_snapshot_options(format!("{look}-slides"), &options));
        sample.get_by_label("Long section").click();
        sample.run_steps(2);
        if look == "light" {
            sample.get_by_label("Dark").click();
            sample.run_steps(4);
        }
    }
    let mut flat = window("bramblewick-flat", SIZE);
    flat.get_by_label("Way in").click();
    both_looks(&mut flat, "way-in", &options, &mut results);
    let mut moor = window("cobblesea-moor", SIZE);
    moor.remove_cursor();
    moor.run_steps(2);
    results.add(moor.try_snapshot_options("light-moor", &options));
    for (panel, size, name) in [("Aircraft", TALL, "heron"), ("Touchdown", TALLEST, "heron-touchdown")] {
        let mut croft = window("thimble-croft", size);
        croft.get_by_label(panel).click();
        both_looks(&mut croft, name, &options, &mut results);
    }
    both_looks(&mut half_walked(), "walk", &options, &mut results);
    let mut flat = window("bramblewick-flat", TALL);
    flat.get_by_label("When").click();
    wait_for_the_picture(&mut flat);
    for look in ["light", "dark"] {
        flat.run_steps(4);
        flat.remove_cursor();
        flat.run_steps(2);
        results.add(flat.try_snapshot_options(format!("{look}-flat-when"), &options));
        if look == "light" {
            flat.get_by_label("Dark").click();
        }
    }
    say(&format!("{pictures} pictures compared"));
}

/// A picture in either look.
fn both_looks(
    window: &mut Harness<'static, App>,
    name: &str,
    options: &SnapshotOptions,
    results: &mut SnapshotResults,
) {
    for look in ["light", "dark"] {
        window.run_steps(4);
        window.remove_cursor();
        window.run_steps(2);
        results.add(window.try_snapshot_options(format!("{look}-{name}"), options));
        if look == "light" {
            window.get_by_label("Dark").click();
        }
    }
}

/// A walk on the day with two things not ticked and one seen too late.
fn half_walked() -> Harness<'static, App> {
    let mut croft = window("thimble-croft", TALLEST);
    croft.get_by_label("Day").click();
    croft.run_steps(4);
    for what in [ToSee::Wires, ToSee::Telephone] {
        croft.get_by_role_and_label(Role::CheckBox, what.name()).click();
        croft.run_steps(4);
    }
    let late = format!("time seen: {}", ToSee::Stock.name());
    croft.get_by_role_and_label(Role::TextInput, &late).focus();
    croft.run_steps(2);
    croft.key_press_modifiers(Modifiers::COMMAND, Key::A);
    croft.get_by_role_and_label(Role::TextInput, &late).type_text("11:10");
    croft.run_steps(2);
    croft.key_press(Key::Enter);
    croft.run_steps(4);
    answered(&mut croft);
    // The field that was typed into keeps the focus, and its cursor blinks.
    croft.get_by_label("Day").focus();
    croft.run_steps(4);
    croft
}

/// A thing in the air path, as somebody taped it.
fn obstacle(id: &str, kind: ObstacleKindRecord, at: PlaceRecord, radius_m: f64) -> ObstacleRecord {
    ObstacleRecord {
        id: id.to_owned(),
        kind,
        at,
        top_m: None,
        height_m: None,
        heights_m: Vec::new(),
        sag_m: None,
        radius_m,
        how: Some(How::Clinometer),
        pos_sigma_m: Some(1.0),
        height_sigma_m: None,
        surveyed: "2026-04-05".to_owned(),
    }
}

#[test]
fn every_kind_of_thing_in_the_air_path_has_a_shape_of_its_own_light_and_dark() {
    if !can_draw() {
        say("2 pictures skipped: no graphics adapter here");
        let required = std::env::var("KEELSWARD_PICTURES").is_ok_and(|v| v == "required");
        assert!(!required, "pictures are required and there is no graphics adapter");
        return;
    }
    let mut records = sample("greywether-long-field");
    let (line, area) = (PlaceRecord::Line, PlaceRecord::Area);
    let high = |height_m, o| ObstacleRecord { height_m: Some(height_m), ..o };
    let wire = ObstacleRecord {
        heights_m: vec![8.0, 9.5, 8.5],
        sag_m: Some(1.2),
        ..obstacle(
            "w1",
            ObstacleKindRecord::Wire,
            line(vec![(-75.0, -70.0), (-45.0, 90.0), (-60.0, 255.0)]),
            1.0,
        )
    };
    records.strip.record.obstacles = vec![
        wire,
        high(11.0, obstacle("t1", ObstacleKindRecord::Tree, PlaceRecord::Point(215.0, 228.0), 9.0)),
        obstacle("t2", ObstacleKindRecord::TreeRow, line(vec![(270.0, 228.0), (360.0, 248.0)]), 5.0),
        high(2.4, obstacle("h2", ObstacleKindRecord::Hedge, line(vec![(560.0, -30.0), (600.0, 95.0)]), 1.2)),
        high(6.5, obstacle("b1", ObstacleKindRecord::Building, PlaceRecord::Point(90.0, 195.0), 9.0)),
        high(
            5.0,
            obstacle(
                "b2",
                ObstacleKindRecord::Building,
                area(vec![(120.0, -62.0), (165.0, -54.0), (161.0, -34.0), (116.0, -42.0)]),
                0.0,
            ),
        ),
        high(7.0, obstacle("p2", ObstacleKindRecord::Pole, PlaceRecord::Point(548.0, 165.0), 0.3)),
        ObstacleRecord {
            top_m: Some(14.0),
            ..obstacle(
                "g1",
                ObstacleKindRecord::RisingGround,
                line(vec![(420.0, 270.0), (560.0, 255.0)]),
                8.0,
            )
        },
    ];
    let options = SnapshotOptions::new().max_failed_pixels(PIXELS);
    let mut results = SnapshotResults::new();
    let mut strip = shown(records, TALL);
    strip.get_by_label("Things").click();
    strip.run_steps(4);
    strip.get_by_label("list: wire w1, 8 m to 9.5 m high at its supports").click();
    both_looks(&mut strip, "obstacles", &options, &mut results);
    say("2 pictures compared");
}
