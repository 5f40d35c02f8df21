//! What to measure next: bars as long as the metres that measuring it could change, the longest first.

use super::super::desk::Desk;
use crate::words;
use eframe::egui::{Label, Rect, Role, Sense, Ui, WidgetInfo, vec2};
use strip::Missing;

/// Height of a bar, points.
const BAR: f32 = 8.0;

/// What decides, then what changes most.
pub(super) fn ranking_ui(ui: &mut Ui, desk: Desk, missing: &[Missing]) {
    ui.separator();
    ui.heading("What to measure next");
    let most = missing.iter().filter_map(|m| m.effect_m).fold(0.0, f64::max);
    for one in missing {
        let text = words::missing(one, desk.units);
        ui.add(Label::new(&text).wrap());
        if let Some(effect) = one.effect_m.filter(|_| most > 0.0) {
            bar_ui(ui, desk, (effect / most) as f32, &text);
        }
    }
}

/// A bar of a share of the width.
fn bar_ui(ui: &mut Ui, desk: Desk, share: f32, text: &str) {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), BAR), Sense::hover());
    let bar = Rect::from_min_size(rect.min, vec2(rect.width() * share.clamp(0.0, 1.0), BAR));
    ui.painter().rect_filled(rect, 2.0, desk.palette.paper.get());
    ui.painter().rect_filled(bar, 2.0, desk.palette.slide.get());
    response.widget_info(|| WidgetInfo::labeled(Role::Meter, true, format!("Effect: {text}")));
}
