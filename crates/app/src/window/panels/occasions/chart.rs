//! The picture itself: a rectangle of cells, each with its colour and its shape.
//!
//! A rectangle and no rose: in a rose the cells of light winds, which matter most, are too small for a shape.
//!
//! Invariants: every cell worked out has a shape as well as a colour; arrow keys reach every cell; what is looked at is told
//! in words.

use super::super::sign::sign;
use super::words;
use crate::window::desk::{Command, Desk};
use crate::window::plan::{arrow_steps, keep_arrows};
use eframe::egui::{
    Align2, FontId, Painter, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};
use measure::shown::{Side, rounded};
use strip::{Occasions, Question, Told};

/// Room for figures beside and below, points.
const BESIDE: f32 = 46.0;
const BELOW: f32 = 40.0;

/// Height of a row, and of the gap above the calm, points.
const ROW: f32 = 24.0;
const GAP: f32 = 4.0;

/// Share of a cell's width or height, whichever is less, that its shape takes, and the width of a shape's lines.
const SHAPE: f32 = 0.8;
const SHAPE_LINE: f32 = 1.5;

/// How much of its colour fills a cell behind its shape.
const FILL: f32 = 0.18;

/// Columns stepped over with shift.
const LARGE: f64 = 6.0;

/// Columns between two figures below.
const LABELLED: usize = 9;

/// Where cells are on screen.
struct Chart<'a> {
    picture: &'a Occasions,
    area: Rect,
}

/// Draws a picture; arrow keys, the pointer and clicks choose the cell that is told in words. The cell looked at.
pub(super) fn chart_ui(ui: &mut Ui, desk: Desk, picture: &Occasions, out: &mut Vec<Command>) -> Option<Told> {
    let rows = picture.grid.rows.len() as f32;
    let calm = if picture.question == Question::Wind { ROW + GAP } else { 0.0 };
    let size = vec2(ui.available_width(), rows * ROW + calm + BELOW);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let corner = rect.min + vec2(BESIDE, 0.0);
    let chart =
        Chart { picture, area: Rect::from_min_max(corner, pos2(rect.right() - 2.0, corner.y + rows * ROW)) };
    let hovered = response.hover_pos().and_then(|p| chart.cell_at(p));
    if response.clicked() {
        response.request_focus();
        out.extend(hovered.map(Command::LookAtCell));
    }
    let looked_at = hovered.or(desk.when.chosen).unwrap_or_else(|| chart.first());
    if response.has_focus() {
        keep_arrows(ui, &response);
        let (right, up) = arrow_steps(ui, 1.0, LARGE);
        if right != 0.0 || up != 0.0 {
            let from = desk.when.chosen.unwrap_or_else(|| chart.first());
            out.push(Command::LookAtCell(chart.moved(from, right as i64, (up as i64).signum())));
        }
    }
    let told = picture.told(looked_at);
    let said = told.as_ref().map_or_else(|| "not worked out yet".to_owned(), |t| words::cell(t, desk.units));
    let name = match picture.question {
        Question::Wind => "Verdict over direction and strength of the wind",
        Question::Load => "Verdict over mass and temperature",
    };
    let text = format!("{name}. {said}. Arrow keys go from cell to cell.");
    response.widget_info(|| WidgetInfo::labeled(Role::GraphicsObject, true, &text));
    let painter = ui.painter_at(rect);
    chart.scales_ui(&painter, desk);
    for cell in 0..picture.count() {
        chart.cell_ui(&painter, desk, cell);
    }
    chart.day_ui(&painter, desk);
    let frame = |cell: usize, width: f32| {
        let stroke = Stroke::new(width, desk.palette.selected.get());
        painter.rect_stroke(chart.rect_of(cell), 1.0, stroke, StrokeKind::Outside);
    };
    if hovered.is_some() || desk.when.chosen.is_some() || response.has_focus() {
        frame(looked_at, desk.tokens.line);
    }
    if response.has_focus() {
        let ring = Stroke::new(desk.tokens.line, desk.palette.selected.get());
        painter.rect_stroke(rect, 2.0, ring, StrokeKind::Inside);
    }
    told
}

impl Chart<'_> {
    fn columns(&self) -> usize {
        self.picture.grid.columns.len()
    }

    fn rows(&self) -> usize {
        self.picture.grid.rows.len()
    }

    /// Where one begins: in the middle of what there is.
    fn first(&self) -> usize {
        if self.picture.question == Question::Wind {
            self.picture.grid.len()
        } else {
            self.rows() / 2 * self.columns() + self.columns() / 2
        }
    }

    /// Cells grow upward; the calm lies below them all, as wide as they are.
    fn rect_of(&self, cell: usize) -> Rect {
        if cell >= self.picture.grid.len() {
            let top = self.area.bottom() + GAP;
            return Rect::from_min_max(pos2(self.area.left(), top), pos2(self.area.right(), top + ROW));
        }
        let (column, row) = (cell % self.columns(), cell / self.columns());
        let width = self.area.width() / self.columns() as f32;
        let corner = self.area.left_bottom() + vec2(column as f32 * width, -(row as f32 + 1.0) * ROW);
        Rect::from_min_size(corner, vec2(width, ROW))
    }

    fn cell_at(&self, p: Pos2) -> Option<usize> {
        (0..self.picture.count()).find(|cell| self.rect_of(*cell).contains(p))
    }

    /// The cell some columns to the right and rows up; directions go round, all else ends at the rim.
    fn moved(&self, from: usize, right: i64, up: i64) -> usize {
        let int = |n: usize| i64::try_from(n).unwrap_or(0);
        let (columns, rows) = (int(self.columns()), int(self.rows()));
        let calm = self.picture.question == Question::Wind;
        let (column, row) = if from >= self.picture.grid.len() {
            (0, -1)
        } else {
            (int(from) % columns, int(from) / columns)
        };
        let row = (row + up).clamp(if calm { -1 } else { 0 }, rows - 1);
        if row < 0 {
            return self.picture.grid.len();
        }
        let column =
            if calm { (column + right).rem_euclid(columns) } else { (column + right).clamp(0, columns - 1) };
        (row * columns + column) as usize
    }

    fn cell_ui(&self, painter: &Painter, desk: Desk, cell: usize) {
        let rect = self.rect_of(cell).shrink(0.5);
        let Some(told) = self.picture.told(cell) else {
            painter.circle_filled(rect.center(), 1.0, desk.palette.faint.get());
            return;
        };
        let colour = desk.palette.verdict(told.mark);
        painter.rect_filled(rect, 0.0, colour.gamma_multiply(FILL));
        let size = rect.width().min(rect.height()) * SHAPE;
        sign(painter, Rect::from_center_size(rect.center(), vec2(size, size)), told.mark, colour, SHAPE_LINE);
    }

    /// Figures beside and below.
    fn scales_ui(&self, painter: &Painter, desk: Desk) {
        let (ink, font) = (desk.palette.ink.get(), FontId::proportional(desk.tokens.small));
        let speed = desk.units.speed;
        let grid = &self.picture.grid;
        for (row, value) in grid.rows.iter().enumerate() {
            let middle = self.rect_of(row * self.columns()).center().y;
            let text = match self.picture.question {
                Question::Wind => rounded(value / speed.metres_per_second(), Side::Nearest, 1),
                Question::Load => format!("{value:.0} °C"),
            };
            painter.text(pos2(self.area.left() - 4.0, middle), Align2::RIGHT_CENTER, text, font.clone(), ink);
        }
        if self.picture.question == Question::Wind {
            let calm = self.rect_of(grid.len()).center().y;
            painter.text(pos2(self.area.left() - 4.0, calm), Align2::RIGHT_CENTER, "calm", font.clone(), ink);
        }
        let below = if self.picture.question == Question::Wind { GAP + ROW } else { 0.0 };
        let y = self.area.bottom() + below + 2.0;
        let step = match self.picture.question {
            Question::Wind => LABELLED,
            Question::Load => (self.columns() / 4).max(1),
        };
        for (column, value) in grid.columns.iter().enumerate().step_by(step) {
            let text = match self.picture.question {
                Question::Wind => {
                    ["N", "E", "S", "W"].get(column / LABELLED).copied().unwrap_or("").to_owned()
                }
                Question::Load => rounded(value / desk.units.mass.kilograms(), Side::Nearest, 0),
            };
            painter.text(
                pos2(self.rect_of(column).center().x, y),
                Align2::CENTER_TOP,
                text,
                font.clone(),
                ink,
            );
        }
        let name = match self.picture.question {
            Question::Wind => format!("wind from (true); mean, {}, upward", speed.symbol()),
            Question::Load => {
                format!("mass at touchdown, {}; air temperature upward", desk.units.mass.symbol())
            }
        };
        painter.text(pos2(self.area.center().x, y + 16.0), Align2::CENTER_TOP, name, font, ink);
    }

    /// A ring where the day itself stands.
    fn day_ui(&self, painter: &Painter, desk: Desk) {
        let Some((column, row)) = self.picture.day else { return };
        let grid = &self.picture.grid;
        let place = |list: &[f64], value: f64| {
            let (first, last) = (list.first()?, list.last()?);
            Some((value - first) / (last - first) * (list.len() - 1) as f64)
        };
        let round = |value: f64| {
            if self.picture.question == Question::Wind { value.rem_euclid(360.0) } else { value }
        };
        let Some((x, y)) = place(&grid.columns, round(column)).zip(place(&grid.rows, row)) else { return };
        let width = self.area.width() / self.columns() as f32;
        let at = if self.picture.question == Question::Wind && row <= 0.0 {
            self.rect_of(grid.len()).center()
        } else {
            // Past the last row, or below the first, it stands at the rim.
            let y = y.clamp(-0.5, grid.rows.len() as f64 - 0.5);
            self.area.left_bottom() + vec2((x as f32 + 0.5) * width, -(y as f32 + 0.5) * ROW)
        };
        painter.circle_stroke(at, ROW * 0.42, Stroke::new(4.0, desk.palette.paper.get()));
        painter.circle_stroke(at, ROW * 0.42, Stroke::new(desk.tokens.line, desk.palette.ink.get()));
    }
}
