//! Pictures of every panel, light and dark, of invented strips, size fixed; no clock is on screen.
//!
//! They need a graphics adapter, if only a software one. Without it they are skipped and the number
//! of skipped pictures is printed; with `KEELSWARD_PICTURES=required` a skip is a failure.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

use acceptance::say;
use app::inputs::{Records, Sources};
use app::window::{App, Getting, Panel, WhenView};
use egui_kittest::kittest::Queryable as _;
use egui_kittest::{Harness, SnapshotOptions, SnapshotResults};
use measure::shown::Units;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::time::Duration;

/// Panels, by the word on their tab.
const PANELS: [&str; 8] = ["Why", "Things", "Field", "Aircraft", "Touchdown", "Day", "When", "Assumed"];

/// Pixels that may differ a little: edges of letters and lines between drivers. A changed word is
/// hundreds of pixels.
const PIXELS: usize = 60;

/// Size of the window, and of those in which drawings are whole: the aircraft's, and those of its touchdown.
const SIZE: [f32; 2] = [1024.0, 720.0];
const TALL: [f32; 2] = [1024.0, 1150.0];
const TALLEST: [f32; 2] = [1024.0, 1600.0];

fn window(name: &str, size: [f32; 2]) -> Harness<'static, App> {
    let strip = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../sample-strips/{name}.strip.ron"));
    let records = Records::read(&Sources { strip, ..Sources::default() }).expect("a sample");
    let mut window = Harness::builder()
        .with_size(size)
        .wgpu()
        .build_eframe(|creation| App::new(&creation.egui_ctx, Some(records), Units::METRIC).expect("an app"));
    // The winds of the best lane stand beside every panel.
    wait(&mut window, |app| {
        let winds = app.when().is_some_and(|w| w.limits.is_some());
        app.answer().is_some_and(|answer| answer.lanes.is_empty() || winds)
    });
    window
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
    let mut moor = window("cobblesea-moor", SIZE);
    moor.remove_cursor();
    moor.run_steps(2);
    results.add(moor.try_snapshot_options("light-moor", &options));
    for (panel, size, name) in [("Aircraft", TALL, "heron"), ("Touchdown", TALLEST, "heron-touchdown")] {
        let mut croft = window("thimble-croft", size);
        croft.get_by_label(panel).click();
        for look in ["light", "dark"] {
            croft.run_steps(4);
            croft.remove_cursor();
            croft.run_steps(2);
            results.add(croft.try_snapshot_options(format!("{look}-{name}"), &options));
            if look == "light" {
                croft.get_by_label("Dark").click();
            }
        }
    }
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
