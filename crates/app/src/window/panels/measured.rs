//! What was measured of the ground: what friction and slopes rest on. Changed in the strip's file.

use super::super::desk::Desk;
use eframe::egui::{Label, Ui};
use strip::record::{DragTestRecord, GrassRecord, RecoveryRecord};

/// Every test and slide by the name that messages use, and how many levels there are.
pub(super) fn measured_ui(ui: &mut Ui, desk: Desk) {
    let strip = &desk.document.edition().strip;
    ui.separator();
    ui.heading("What was measured of it");
    ui.label(format!("levels: {}, breaklines: {}", strip.levels.len(), strip.breaklines.len()));
    let tests = strip.drag_tests.iter().enumerate().map(|(i, t)| test(i, t));
    let slides = strip.recoveries.iter().enumerate().map(|(i, r)| slide(desk, i, r));
    for line in tests.chain(slides) {
        ui.add(Label::new(line).wrap());
    }
    if strip.drag_tests.is_empty() && strip.recoveries.is_empty() {
        ui.label("no drag test, no earlier slide");
    }
}

fn test(index: usize, test: &DragTestRecord) -> String {
    let name = test.id.clone().unwrap_or_else(|| format!("drag_tests[{}]", index + 1));
    let sledge = if test.loaded { "loaded" } else { "light" };
    let place = test.patch.as_ref().map_or_else(String::new, |mark| format!(" on patch {mark}"));
    let pulls: Vec<String> = test.pulls_n.iter().take(6).map(f64::to_string).collect();
    let weight = test.weight_n.map(|n| format!("{n} N")).or(test.weight_kg.map(|kg| format!("{kg} kg")));
    format!(
        "{name}, {}, {} grass, {sledge} sledge of {}{place}: pulls of {} N",
        test.on,
        state(test.grass),
        weight.unwrap_or_else(|| "no weight".to_owned()),
        pulls.join(", ")
    )
}

fn slide(desk: Desk, index: usize, slide: &RecoveryRecord) -> String {
    let (from, to) = (slide.touchdown, slide.stopped);
    let length = (to.0 - from.0).hypot(to.1 - from.1);
    let stopped = slide.stopped_by.as_ref().map_or_else(String::new, |what| format!(", stopped by {what}"));
    format!(
        "recoveries[{}], {}, {} grass, {}: {}{stopped}",
        index + 1,
        slide.on,
        state(slide.grass),
        slide.aircraft,
        desk.near(length)
    )
}

const fn state(grass: GrassRecord) -> &'static str {
    match grass {
        GrassRecord::Dry => "dry",
        GrassRecord::Dew => "dewy",
        GrassRecord::Wet => "wet",
        GrassRecord::Frost => "frosty",
        GrassRecord::Frozen => "frozen",
    }
}
