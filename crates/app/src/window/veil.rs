//! Words on a veil of paper that keeps them readable over lines, and out of each other's way.

use super::desk::Desk;
use eframe::egui::{Align2, Color32, Context, FontId, Galley, Id, Painter, Pos2, Rect, Vec2};
use std::sync::Arc;

/// Rows by which words may move up or down to find free paper, the nearest first.
const ROWS: [f32; 17] =
    [0.0, -0.5, 0.5, -1.0, 1.0, -1.5, 1.5, -2.0, 2.0, -2.5, 2.5, -3.0, 3.0, -3.5, 3.5, -4.0, 4.0];

/// Where words were laid in one pass.
#[derive(Clone, Default)]
struct Laid {
    pass: u64,
    places: Vec<Rect>,
}

/// Small words with the anchor of their box at a place.
pub fn veiled_text_ui(
    painter: &Painter,
    desk: Desk,
    at: Pos2,
    anchor: Align2,
    text: String,
    colour: Color32,
) {
    let (galley, place) = laid_out(painter, desk, (at, anchor), text, colour);
    veil_ui(painter, desk, galley, place, colour);
}

/// The same, some rows above or below where other words of this kind stand there, and moved onto the paper.
pub fn free_text_ui(painter: &Painter, desk: Desk, at: Pos2, anchor: Align2, text: String, colour: Color32) {
    let (galley, wanted) = laid_out(painter, desk, (at, anchor), text, colour);
    let paper = painter.clip_rect();
    let place = if paper.contains(at) { free_place(painter, onto(paper, wanted)) } else { wanted };
    veil_ui(painter, desk, galley, place, colour);
}

fn laid_out(
    painter: &Painter,
    desk: Desk,
    (at, anchor): (Pos2, Align2),
    text: String,
    colour: Color32,
) -> (Arc<Galley>, Rect) {
    let galley = painter.layout_no_wrap(text, FontId::proportional(desk.tokens.small), colour);
    let place = anchor.anchor_size(at, galley.size());
    (galley, place)
}

fn veil_ui(painter: &Painter, desk: Desk, galley: Arc<Galley>, place: Rect, colour: Color32) {
    painter.rect_filled(place, 2.0, desk.palette.paper.get().gamma_multiply(0.8));
    painter.galley(place.min, galley, colour);
}

/// Keeps words off a place for the rest of the pass.
pub fn keep_free(painter: &Painter, place: Rect) {
    with_laid(painter.ctx(), |laid| laid.push(place));
}

/// The same box moved sideways onto the paper.
fn onto(paper: Rect, place: Rect) -> Rect {
    let left = (place.right() - paper.right()).max(0.0);
    let place = place.translate(Vec2::new(-left, 0.0));
    // What is wider than the paper begins on it.
    place.translate(Vec2::new((paper.left() - place.left()).max(0.0), 0.0))
}

/// A free place on the paper, taken.
fn free_place(painter: &Painter, wanted: Rect) -> Rect {
    with_laid(painter.ctx(), |laid| {
        let place = place_among(laid, painter.clip_rect(), wanted);
        laid.push(place);
        place
    })
}

/// The place on the paper nearest to the one wanted that nothing laid lies on; where there is none, that one itself.
fn place_among(laid: &[Rect], paper: Rect, wanted: Rect) -> Rect {
    let moved = ROWS.map(|rows| wanted.translate(Vec2::new(0.0, rows * wanted.height())));
    // Boxes that only touch do not cover each other.
    let covered = |place: &Rect| laid.iter().any(|other| other.shrink(1.0).intersects(place.shrink(1.0)));
    let free = moved.into_iter().find(|place| paper.contains_rect(*place) && !covered(place));
    free.unwrap_or(wanted)
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

#[cfg(test)]
mod tests {
    use super::*;
    use eframe::egui::pos2;

    const PAPER: Rect = Rect { min: pos2(0.0, 0.0), max: pos2(300.0, 100.0) };

    fn words(x: f32, y: f32) -> Rect {
        Rect::from_min_size(pos2(x, y), Vec2::new(80.0, 14.0))
    }

    #[test]
    fn words_move_a_row_off_others_and_stay_on_the_paper() {
        assert_eq!(place_among(&[], PAPER, words(10.0, 40.0)), words(10.0, 40.0));
        assert_eq!(place_among(&[words(50.0, 40.0)], PAPER, words(10.0, 40.0)), words(10.0, 26.0));
        // Above lies off the paper, so below.
        assert_eq!(place_among(&[words(50.0, 4.0)], PAPER, words(10.0, 4.0)), words(10.0, 18.0));
    }

    #[test]
    fn on_full_paper_words_stay_where_they_belong() {
        assert_eq!(place_among(&[PAPER], PAPER, words(10.0, 40.0)), words(10.0, 40.0));
    }

    #[test]
    fn words_that_would_hang_over_a_side_move_onto_the_paper() {
        assert_eq!(onto(PAPER, words(-30.0, 40.0)), words(0.0, 40.0));
        assert_eq!(onto(PAPER, words(250.0, 40.0)), words(220.0, 40.0));
    }
}
