//! The touchdown on the best lane: at which speeds the keels touch first, and how hard it is when flown on and when a
//! flare ends in a drop.
//!
//! Invariant: every mark of the pictures is in words too.

mod bars;
mod flare;
mod scales;
mod speeds;

use crate::window::desk::Desk;
use crate::words;
use eframe::egui::{Label, RichText, Ui};
use measure::shown::{Side, rounded};
use strip::TouchdownFigures;

/// The panel.
pub(super) fn touchdown_ui(ui: &mut Ui, desk: Desk) {
    let Some(lane) = desk.best() else {
        ui.label("No lane judged, so nothing is known of a touchdown.");
        return;
    };
    let figures = &lane.touchdown;
    ui.heading(format!("Speed and keels, lane {}", lane.id));
    let window = words::speed_window(figures, desk.units);
    ui.add(Label::new(RichText::new(capital(&window)).strong()).wrap());
    speeds::speeds_ui(ui, desk, figures);
    ui.heading("Flown on or flared");
    ui.label("No flare: a flare ends in a drop (common practice, no source).");
    flare::flare_ui(ui, desk, figures);
    hardness_ui(ui, desk, figures);
}

/// Load factor and sink as bars, and what is not on them.
fn hardness_ui(ui: &mut Ui, desk: Desk, figures: &TouchdownFigures) {
    let record = desk.document.edition().aircraft.as_ref();
    let limit = record.and_then(|a| a.limits.load_factor);
    bars::load_factors_ui(ui, desk, figures, limit);
    ui.label(limit_words(figures, limit));
    bars::sinks_ui(ui, desk, figures);
    ui.label(
        "The drop is onto level ground; ground that rises makes it harder too. Dashed bars are to compare with, never an \
         allowance: design rules for other gear than keels on grass.",
    );
}

/// What the owner's limit says to both, or that there is none.
fn limit_words(figures: &TouchdownFigures, limit: Option<f64>) -> String {
    let Some(limit) = limit else {
        return "Owner's limit of load factor: no limit given: unknown.".to_owned();
    };
    let held = |n: f64| if n <= limit { "within" } else { "over" };
    format!(
        "Owner's limit {}: flown on is {} it at the worst, flared is {} it.",
        rounded(limit, Side::AtLeast, 1),
        held(figures.load_factor),
        held(figures.flare_drop.load_factor)
    )
}

/// With a capital to begin with.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
