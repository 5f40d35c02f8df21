//! A shape for each verdict, so that colour is never alone: disc, triangle, square, cross.

use eframe::egui::{Color32, Painter, Rect, Shape, Stroke, StrokeKind};
use strip::Verdict;

/// Draws the shape of a verdict into a square, with lines of a width.
pub(super) fn sign(painter: &Painter, rect: Rect, verdict: Verdict, colour: Color32, line: f32) {
    let stroke = Stroke::new(line, colour);
    match verdict {
        Verdict::Fits => {
            painter.circle_filled(rect.center(), rect.width() / 2.0, colour);
        }
        Verdict::Tight => {
            let corners = vec![rect.center_top(), rect.right_bottom(), rect.left_bottom()];
            painter.add(Shape::convex_polygon(corners, colour, Stroke::NONE));
        }
        Verdict::Unknown => {
            painter.rect_stroke(rect, 1.0, stroke, StrokeKind::Inside);
        }
        Verdict::DoesNotFit => {
            painter.line_segment([rect.left_top(), rect.right_bottom()], stroke);
            painter.line_segment([rect.right_top(), rect.left_bottom()], stroke);
        }
    }
}
