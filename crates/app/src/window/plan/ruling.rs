//! Marks on the hazards that the best lane rests against: a ring, a flag and a word.

use super::super::desk::Desk;
use super::super::edition::middle;
use super::super::veil::veiled_text_ui;
use super::{View, target_rect};
use eframe::egui::{Align2, Role, Sense, Shape, Stroke, Ui, WidgetInfo, vec2};
use ground::Point;
use strip::record::PlaceRecord;

/// Room between a hazard and its ring, and reach of the flag's pole each way, points.
const RING: f32 = 6.0;
const POLE: f32 = 14.0;

/// Marks the hazards that hold the best lane of the last answer where it is.
pub(super) fn ruling_ui(ui: &Ui, view: &View, desk: Desk) {
    let Some(lane) = desk.best() else { return };
    let painter = ui.painter_at(ui.clip_rect());
    let colour = desk.palette.edge_hard.get();
    let stroke = Stroke::new(desk.tokens.line, colour);
    for h in &desk.document.edition().strip.hazards {
        if !lane.ruling_hazards.contains(&h.id) {
            continue;
        }
        let centre = view.screen_from_field(on_it(&h.at));
        let radius = (h.radius_m as f32 * view.scale()).max(4.0) + RING;
        // Down and to the left: the hazard's own mark stands up and to the right.
        let foot = centre + vec2(-radius, radius) * std::f32::consts::FRAC_1_SQRT_2;
        let top = foot + vec2(-POLE, POLE);
        painter.circle_stroke(centre, radius, stroke);
        painter.line_segment([foot, top], stroke);
        let flag = vec![top, top + vec2(-12.0, 6.0), top + vec2(0.0, 12.0)];
        painter.add(Shape::convex_polygon(flag, colour, Stroke::NONE));
        let beside = top + vec2(-14.0, 6.0);
        veiled_text_ui(&painter, desk, beside, Align2::RIGHT_CENTER, "rules".to_owned(), colour);

        let mark =
            ui.interact(target_rect(top, 2.0 * POLE), ui.scope_id().with(("rules", &h.id)), Sense::hover());
        let name = format!("{} rules lane {}: it rests against it", h.id, lane.id);
        mark.widget_info(|| WidgetInfo::labeled(Role::Label, true, &name));
    }
}

/// A point of the thing itself: the middle of a bent line may lie beside it.
fn on_it(at: &PlaceRecord) -> Point {
    match at {
        PlaceRecord::Line(list) if list.len() > 1 => {
            let (a, b) = (list[(list.len() - 1) / 2], list[list.len().div_ceil(2)]);
            Point { x: f64::midpoint(a.0, b.0), y: f64::midpoint(a.1, b.1) }
        }
        _ => middle(at),
    }
}
