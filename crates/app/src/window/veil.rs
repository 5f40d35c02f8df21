//! Words on a veil of paper that keeps them readable over lines, and out of each other's way.

use super::desk::Desk;
use eframe::egui::{Align2, Color32, Context, FontId, Id, Painter, Pos2, Rect, Vec2};

/// Rows by which words may move up or down to find free paper, the nearest first.
const ROWS: [f32; 9] = [0.0, -1.0, 1.0, -2.0, 2.0, -3.0, 3.0, -4.0, 4.0];

/// Where words were laid in one pass.
#[derive(Clone, Default)]
struct Laid {
    pass: u64,
    places: Vec<Rect>,
}

/// Small words with the anchor of their box at a place, or some rows above or below it where others stand there.
pub fn veiled_text_ui(
    painter: &Painter,
    desk: Desk,
    at: Pos2,
    anchor: Align2,
    text: String,
    colour: Color32,
) {
    let galley = painter.layout_no_wrap(text, FontId::proportional(desk.tokens.small), colour);
    let wanted = anchor.anchor_size(at, galley.size());
    let paper = painter.clip_rect();
    let rect = if paper.contains(at) { free_place(painter, onto(paper, wanted)) } else { wanted };
    painter.rect_filled(rect, 2.0, desk.palette.paper.get().gamma_multiply(0.8));
    painter.galley(rect.min, galley, colour);
}

/// Keeps words off a place for the rest of the pass.
pub fn keep_free(painter: &Painter, place: Rect) {
    with_laid(painter.ctx(), |laid| laid.push(place));
}

/// The same box moved sideways onto the paper.
fn onto(paper: Rect, place: Rect) -> Rect {
    let right = (paper.left() - place.left()).max(0.0);
    let left = (place.right() - paper.right()).max(0.0);
    place.translate(Vec2::new(right - left, 0.0))
}

/// The nearest place on the paper that no words of this pass lie on, which it takes; where there is none, the place
/// itself.
fn free_place(painter: &Painter, wanted: Rect) -> Rect {
    let paper = painter.clip_rect();
    with_laid(painter.ctx(), |laid| {
        let moved = ROWS.map(|rows| wanted.translate(Vec2::new(0.0, rows * wanted.height())));
        // Boxes that only touch do not cover each other.
        let covers = |place: &Rect| laid.iter().any(|other| other.shrink(1.0).intersects(place.shrink(1.0)));
        let free = moved.into_iter().find(|place| paper.contains_rect(*place) && !covers(place));
        let place = free.unwrap_or(wanted);
        laid.push(place);
        place
    })
}

fn with_laid<T>(ctx: &Context, ask: impl FnOnce(&mut Vec<Rect>) -> T) -> T {
    let pass = ctx.cumulative_pass_nr();
    ctx.data_mut(|data| {
        let laid: &mut Laid = data.get_temp_mut_or_default(Id::unique("words laid"));
        if laid.pass != pass {
            *laid = Laid { pass, places: Vec::new() };
        }
        ask(&mut laid.places)
    })
}
