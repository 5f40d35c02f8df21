//! A drawing to scale: metres on a paper of their own, as large upward as along, with a bar that says how large.
//!
//! Invariant: nothing is stretched or moved to look right, so that a wrong number is seen.

use crate::window::desk::Desk;
use crate::window::veil::veiled_text_ui;
use eframe::egui::{
    Align2, Color32, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2,
};

/// Room beside the drawing and above it, points.
const MARGIN: (f32, f32) = (16.0, 30.0);

/// Height of one row of words below the drawing, points.
const ROW: f32 = 20.0;

/// Greatest height of the drawing itself, points.
const MOST_HEIGHT: f32 = 320.0;

/// Half the length of the stroke across either end of a dimension, points.
const TICK: f32 = 4.0;

/// Greatest share of the width that the scale bar takes, and the lengths that it may have, in the unit shown.
const BAR_SHARE: f32 = 0.3;
const BARS: [f64; 8] = [10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05];

/// Dash and gap of a dashed line, points.
const DASH: (f32, f32) = (6.0, 4.0);

/// What has to be on the drawing, metres.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Reach {
    /// Farthest left and right.
    pub along: (f64, f64),
    /// Lowest and highest.
    pub up: (f64, f64),
    /// Rows of words and dimensions below it; one more holds the scale bar.
    pub rows_below: u8,
}

/// A line as it is drawn.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Ink {
    pub colour: Color32,
    pub width: f32,
    pub dashed: bool,
}

impl Ink {
    /// Drawn through.
    pub(super) const fn solid(colour: Color32, width: f32) -> Self {
        Self { colour, width, dashed: false }
    }

    /// Dashed.
    pub(super) const fn dashed(colour: Color32, width: f32) -> Self {
        Self { colour, width, dashed: true }
    }
}

/// One drawing of one frame.
pub(super) struct Drawing<'a> {
    painter: Painter,
    desk: Desk<'a>,
    rect: Rect,
    /// Where (0, 0) is on screen.
    origin: Pos2,
    /// Points a metre, along and up.
    scale: f32,
    /// Rows below, that of the scale bar included.
    rows: f32,
}

impl<'a> Drawing<'a> {
    /// An empty paper with a scale bar, as wide as there is room; `words` say what will be drawn on it.
    pub(super) fn begin_ui(ui: &mut Ui, desk: Desk<'a>, reach: &Reach, words: &str) -> Self {
        let (along, up) = ((reach.along.1 - reach.along.0) as f32, (reach.up.1 - reach.up.0) as f32);
        let rows = f32::from(reach.rows_below) + 1.0;
        let width = ui.available_width();
        let scale = ((width - 2.0 * MARGIN.0).max(1.0) / along).min(MOST_HEIGHT / up);
        let size = vec2(width, up * scale + MARGIN.1 + rows * ROW);
        let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, words));
        let middle = f64::midpoint(reach.along.0, reach.along.1) as f32;
        let origin =
            pos2(rect.center().x - middle * scale, rect.bottom() - rows * ROW + reach.up.0 as f32 * scale);
        let painter = ui.painter_at(rect);
        painter.rect_filled(rect, 4.0, desk.palette.paper.get());
        let drawing = Self { painter, desk, rect, origin, scale, rows };
        drawing.bar();
        drawing
    }

    /// Where a point of the drawing is on screen.
    fn at(&self, (x, y): (f64, f64)) -> Pos2 {
        self.origin + vec2(x as f32, -y as f32) * self.scale
    }

    /// A straight line.
    pub(super) fn line(&self, from: (f64, f64), to: (f64, f64), ink: Ink) {
        let (ends, stroke) = ([self.at(from), self.at(to)], Stroke::new(ink.width, ink.colour));
        if ink.dashed {
            self.painter.extend(Shape::dashed_line(&ends, stroke, DASH.0, DASH.1));
        } else {
            self.painter.line_segment(ends, stroke);
        }
    }

    /// Even ground at height zero, from edge to edge of the paper.
    pub(super) fn ground(&self) {
        let y = self.origin.y;
        let stroke = Stroke::new(1.0, self.desk.palette.edge.get());
        self.painter.line_segment([pos2(self.rect.left(), y), pos2(self.rect.right(), y)], stroke);
    }

    /// A filled outline that bends one way only.
    pub(super) fn body(&self, corners: &[(f64, f64)]) {
        let corners = corners.iter().map(|&c| self.at(c)).collect();
        let palette = self.desk.palette;
        let stroke = Stroke::new(1.5, palette.ink.get());
        self.painter.add(Shape::convex_polygon(corners, palette.panel.get(), stroke));
    }

    /// A bar that holds a range both ways, never too thin to be seen.
    pub(super) fn range(&self, from: (f64, f64), to: (f64, f64), fill: Color32, ink: Color32) {
        const THINNEST: f32 = 6.0;
        let range = Rect::from_two_pos(self.at(from), self.at(to));
        let size = range.size().max(vec2(THINNEST, THINNEST));
        let shown = Rect::from_center_size(range.center(), size);
        self.painter.rect_filled(shown, 0.0, fill);
        self.painter.rect_stroke(shown, 0.0, Stroke::new(2.0, ink), eframe::egui::StrokeKind::Middle);
    }

    /// A lozenge about a point.
    pub(super) fn lozenge(&self, at: (f64, f64), ink: Color32) {
        let (c, r) = (self.at(at), 6.0);
        let corners = vec![c + vec2(0.0, -r), c + vec2(r, 0.0), c + vec2(0.0, r), c + vec2(-r, 0.0)];
        self.painter.add(Shape::closed_line(corners, Stroke::new(2.0, ink)));
    }

    /// Words at a point, this many points off it.
    pub(super) fn words(&self, at: (f64, f64), off: (f32, f32), anchor: Align2, text: &str, ink: Color32) {
        let at = self.at(at) + vec2(off.0, off.1);
        veiled_text_ui(&self.painter, self.desk, at, anchor, text.to_owned(), ink);
    }

    /// Words in a row below the drawing, counted from 0, from a place along it.
    pub(super) fn below(&self, along: f64, row: f32, anchor: Align2, text: &str) {
        let at = pos2(self.at((along, 0.0)).x, self.row(row));
        veiled_text_ui(&self.painter, self.desk, at, anchor, text.to_owned(), self.desk.palette.ink.get());
    }

    /// A dimension along the drawing, in a row below it.
    pub(super) fn dimension_below(&self, from: f64, to: f64, row: f32, text: &str) {
        let y = self.row(row);
        self.dimension(pos2(self.at((from, 0.0)).x, y), pos2(self.at((to, 0.0)).x, y), text);
    }

    /// A dimension along the drawing, above it.
    pub(super) fn dimension_above(&self, from: f64, to: f64, text: &str) {
        let y = self.rect.top() + MARGIN.1 / 2.0;
        self.dimension(pos2(self.at((from, 0.0)).x, y), pos2(self.at((to, 0.0)).x, y), text);
    }

    /// A height above the ground, its words beside it or on it.
    pub(super) fn height(&self, along: f64, top: f64, text: &str, anchor: Align2) {
        let (from, to) = (self.at((along, 0.0)), self.at((along, top)));
        self.measure(from, to);
        let off = if anchor == Align2::RIGHT_CENTER { -TICK - 2.0 } else { 0.0 };
        let at = pos2(from.x + off, f32::midpoint(from.y, to.y));
        veiled_text_ui(&self.painter, self.desk, at, anchor, text.to_owned(), self.desk.palette.ink.get());
    }

    fn row(&self, row: f32) -> f32 {
        self.rect.bottom() - (self.rows - row - 0.5) * ROW
    }

    fn dimension(&self, from: Pos2, to: Pos2, text: &str) {
        self.measure(from, to);
        let (at, ink) = (from + (to - from) / 2.0, self.desk.palette.ink.get());
        veiled_text_ui(&self.painter, self.desk, at, Align2::CENTER_CENTER, text.to_owned(), ink);
    }

    /// A thin line with a stroke across either end.
    fn measure(&self, from: Pos2, to: Pos2) {
        let stroke = Stroke::new(1.0, self.desk.palette.ink.get());
        let across = (to - from).normalized().rot90() * TICK;
        self.painter.line_segment([from, to], stroke);
        for end in [from, to] {
            self.painter.line_segment([end - across, end + across], stroke);
        }
    }

    /// The longest bar that takes no more than its share of the width.
    fn bar(&self) {
        let unit = self.desk.units.length;
        let points = |length: f64| (length * unit.metres()) as f32 * self.scale;
        let fits = |length: &f64| points(*length) <= self.rect.width() * BAR_SHARE;
        let length = BARS.into_iter().find(fits).unwrap_or(BARS[BARS.len() - 1]);
        let from = pos2(self.rect.left() + MARGIN.0, self.row(self.rows - 1.0));
        let to = from + vec2(points(length), 0.0);
        let ink = self.desk.palette.ink.get();
        self.painter.line_segment([from, to], Stroke::new(3.0, ink));
        let text = format!("{length} {}", unit.symbol());
        let at = to + vec2(TICK + 2.0, 0.0);
        veiled_text_ui(&self.painter, self.desk, at, Align2::LEFT_CENTER, text, ink);
    }
}
