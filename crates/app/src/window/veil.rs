//! Words on a veil of paper that keeps them readable over lines.

use super::desk::Desk;
use eframe::egui::{Align2, Color32, FontId, Painter, Pos2};

/// Small words with the anchor of their box at a place.
pub fn veiled_text_ui(
    painter: &Painter,
    desk: Desk,
    at: Pos2,
    anchor: Align2,
    text: String,
    colour: Color32,
) {
    let galley = painter.layout_no_wrap(text, FontId::proportional(desk.tokens.small), colour);
    let rect = anchor.anchor_size(at, galley.size());
    painter.rect_filled(rect, 2.0, desk.palette.paper.get().gamma_multiply(0.8));
    painter.galley(rect.min, galley, colour);
}
