//! The picture of speeds: the angle of the keels to the ground over touchdown speed, between which limits the keels touch
//! first, and the pilot's speeds above it with the safe part of them.
//!
//! Invariant: a limit is a line, strokes and words, the safe part a thicker line and words: never colour alone.
//!
//! Not here: the scales of the picture ([`super::scales`]), and the angle itself (crate `slide`).

use super::bars::hatch_ui;
use super::scales::Scales;
use crate::window::desk::Desk;
use crate::window::plan::{arrow_steps, keep_arrows};
use crate::window::veil::veiled_text_ui;
use crate::words;
use eframe::egui::{
    Align2, Label, Mesh, Painter, Rect, Response, RichText, Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2,
    vec2,
};
use measure::shown::{Side, rounded};
use strip::{AttitudeAt, TouchdownFigures};

/// Height of the picture, points.
const HEIGHT: f32 = 330.0;

/// Points of the curve that an arrow key steps over, and with shift.
const STEPS: (f64, f64) = (1.0, 5.0);

/// Draws it; arrow keys, the pointer and clicks choose the speed that is told in words below it.
pub(super) fn speeds_ui(ui: &mut Ui, desk: Desk, figures: &TouchdownFigures) {
    let curve = &figures.attitude_curve;
    let Some(limits) = figures.keel_limits_deg else { return };
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), Sense::click());
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 4.0, desk.palette.paper.get());
    let Some(scales) = Scales::of(rect, figures, limits) else {
        let text = "The keels' angle over speed comes with the full answer";
        response.widget_info(|| WidgetInfo::labeled(Role::GraphicsObject, true, text));
        let ink = desk.palette.ink.get();
        veiled_text_ui(&painter, desk, rect.center(), Align2::CENTER_CENTER, text.to_owned(), ink);
        return;
    };
    let told = looked_at(ui, &response, &scales, curve);
    let chart = Chart { desk, figures, limits, scales };
    let told_words = told.and_then(|i| curve.get(i)).map(|at| words::attitude(at, desk.units));
    response.widget_info(|| {
        let told = told_words.as_deref().map_or_else(String::new, |told| format!("; {told}"));
        let text = format!("{}{told}. Left and right arrows step through speeds.", chart.words());
        WidgetInfo::labeled(Role::GraphicsObject, true, text)
    });
    chart.draw_ui(&painter, told);
    if response.has_focus() {
        let ring = Stroke::new(desk.tokens.line, desk.palette.selected.get());
        painter.rect_stroke(rect, 2.0, ring, eframe::egui::StrokeKind::Inside);
    }
    let hint =
        "Point at the picture, or step through it with left and right arrows, to be told of one speed.";
    let below = told_words.map_or_else(|| hint.to_owned(), |told| format!("There, {told}."));
    ui.add(Label::new(RichText::new(below).small()).wrap());
}

/// The point of the curve that the pointer is at, or that keys or a click have chosen.
fn looked_at(ui: &Ui, response: &Response, scales: &Scales, curve: &[AttitudeAt]) -> Option<usize> {
    let id = response.id;
    let hovered = response.hover_pos().and_then(|p| scales.nearest(p, curve));
    let mut chosen: Option<usize> = ui.data(|d| d.get_temp(id));
    if response.clicked() {
        chosen = hovered;
        response.request_focus();
    }
    if response.has_focus() {
        keep_arrows(ui, response);
        let (along, _) = arrow_steps(ui, STEPS.0, STEPS.1);
        if along != 0.0 {
            let last = curve.len().saturating_sub(1) as f64;
            // The first step begins at the slowest speed.
            let next = chosen.map_or(0.0, |from| (from as f64 + along).clamp(0.0, last));
            chosen = Some(next as usize);
        }
    }
    if let Some(chosen) = chosen {
        ui.data_mut(|d| d.insert_temp(id, chosen));
    }
    hovered.or(chosen)
}

struct Chart<'a> {
    desk: Desk<'a>,
    figures: &'a TouchdownFigures,
    /// Bow and stern.
    limits: (f64, f64),
    scales: Scales,
}

impl Chart<'_> {
    /// What is drawn, for those who do not see it.
    fn words(&self) -> String {
        let (low, high) = self.figures.touchdown_factors;
        let ends = [self.figures.attitude_curve.first(), self.figures.attitude_curve.last()];
        let ends: Vec<String> =
            ends.into_iter().flatten().map(|at| words::attitude(at, self.desk.units)).collect();
        format!(
            "Angle of the keels to the ground over touchdown speed: {}; {}; the pilot's speeds {low:.2} to {high:.2}, {}; {}",
            self.bow_words(),
            self.stern_words(),
            words::speed_window(self.figures, self.desk.units),
            ends.join("; ")
        )
    }

    fn bow_words(&self) -> String {
        format!("bow first below {}°", rounded(self.limits.0, Side::AtMost, 1))
    }

    fn stern_words(&self) -> String {
        format!("stern first above {}°", rounded(self.limits.1, Side::AtLeast, 1))
    }

    fn draw_ui(&self, painter: &Painter, told: Option<usize>) {
        self.beyond_ui(painter);
        self.band_ui(painter);
        self.limits_ui(painter);
        self.pilot_ui(painter);
        self.scales.draw_ui(painter, self.desk, &self.figures.attitude_curve);
        if let Some(at) = told.and_then(|i| self.figures.attitude_curve.get(i)) {
            self.told_ui(painter, at);
        }
    }

    /// Strokes over all angles at which bow or stern touches first.
    fn beyond_ui(&self, painter: &Painter) {
        let (area, s) = (self.scales.area, &self.scales);
        let below = Rect::from_min_max(pos2(area.left(), s.y(self.limits.0)), area.max);
        let above = Rect::from_min_max(area.min, pos2(area.right(), s.y(self.limits.1)));
        for zone in [below, above] {
            hatch_ui(painter, self.desk, zone.intersect(area));
        }
    }

    /// All that the keels may do at each speed.
    fn band_ui(&self, painter: &Painter) {
        let curve = &self.figures.attitude_curve;
        let s = &self.scales;
        let mut fill = Mesh::default();
        for at in curve {
            let x = s.x(at.factor);
            for angle in [at.least_deg, at.greatest_deg] {
                fill.colored_vertex(pos2(x, s.y(angle)), self.desk.palette.lane_band.get());
            }
        }
        for i in 1..curve.len() as u32 {
            let (a, b) = (2 * i - 2, 2 * i);
            fill.add_triangle(a, a + 1, b);
            fill.add_triangle(a + 1, b, b + 1);
        }
        painter.add(Shape::mesh(fill));
        let stroke = Stroke::new(self.desk.tokens.line, self.desk.palette.lane.get());
        let edge = |angle: fn(&AttitudeAt) -> f64| {
            let points = curve.iter().map(|at| pos2(s.x(at.factor), s.y(angle(at)))).collect();
            painter.add(Shape::line(points, stroke));
        };
        edge(|at| at.least_deg);
        edge(|at| at.greatest_deg);
    }

    /// Both limits with their words beyond them.
    fn limits_ui(&self, painter: &Painter) {
        let (area, s, colour) = (self.scales.area, &self.scales, self.desk.palette.does_not_fit.get());
        let both = [
            (self.limits.0, self.bow_words(), Align2::LEFT_TOP, 4.0),
            (self.limits.1, self.stern_words(), Align2::RIGHT_BOTTOM, -4.0),
        ];
        for (angle, text, anchor, off) in both {
            let y = s.y(angle);
            painter.hline(area.x_range(), y, Stroke::new(self.desk.tokens.line, colour));
            let x = if anchor == Align2::LEFT_TOP { area.left() + 6.0 } else { area.right() - 6.0 };
            veiled_text_ui(painter, self.desk, pos2(x, y + off), anchor, text, colour);
        }
    }

    /// The pilot's speeds as a bracket above the picture, with the safe part thick.
    fn pilot_ui(&self, painter: &Painter) {
        const END: f32 = 8.0;
        let (s, palette) = (&self.scales, self.desk.palette);
        let (low, high) = self.figures.touchdown_factors;
        let y = s.area.top() - END - 2.0;
        let (from, to) = (s.x(low), s.x(high));
        let ink = palette.ink.get();
        painter.hline(from..=to, y, Stroke::new(1.5, ink));
        for x in [from, to] {
            painter.vline(x, y..=y + END, Stroke::new(1.5, ink));
            let guide = [pos2(x, s.area.top()), pos2(x, s.area.bottom())];
            painter.extend(Shape::dashed_line(&guide, Stroke::new(1.0, ink), 3.0, 5.0));
        }
        let safe = self.figures.speed_window.map_or_else(
            || "none of them safe".to_owned(),
            |(slow, fast)| {
                let thick = Rect::from_min_max(pos2(s.x(slow), y - 4.0), pos2(s.x(fast), y + 4.0));
                painter.rect_filled(thick, 0.0, palette.fits.get());
                "thick where safe".to_owned()
            },
        );
        let text = format!("pilot's speeds {low:.2} to {high:.2}, {safe}");
        s.words_above_ui(painter, self.desk, f32::midpoint(from, to), y - 8.0, text);
    }

    /// The speed that is told: a line from end to end of the band.
    fn told_ui(&self, painter: &Painter, at: &AttitudeAt) {
        let s = &self.scales;
        let stroke = Stroke::new(self.desk.tokens.line, self.desk.palette.selected.get());
        let x = s.x(at.factor);
        painter.vline(x, s.area.y_range(), Stroke::new(1.0, stroke.color));
        for angle in [at.least_deg, at.greatest_deg] {
            painter.circle_stroke(pos2(x, s.y(angle)), 5.0, stroke);
        }
    }
}
