//! What was assumed: every setting with its value and where it comes from.

use super::super::desk::Desk;
use eframe::egui::{RichText, Ui};

/// The panel.
pub(super) fn settings_ui(ui: &mut Ui, desk: Desk) {
    ui.label(
        "Figures that nobody measured here. A file NAME.settings.ron beside the strip changes any of them.",
    );
    for row in desk.document.edition().settings.table() {
        let changed = if (row.value - row.default).abs() > 0.0 {
            format!(" (default {})", row.default)
        } else {
            String::new()
        };
        ui.separator();
        ui.label(row.meaning);
        ui.label(RichText::new(format!("{} = {}{changed} [{}]", row.key, row.value, row.tag)).small());
    }
}
