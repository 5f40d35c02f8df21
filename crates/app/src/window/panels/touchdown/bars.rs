//! Bars of load factor and of sink: flown on, flared, and dashed what design rules reckon with.
//!
//! Invariant: what is only there to compare with is never filled, and no limit is drawn across it.

use crate::window::desk::Desk;
use crate::window::veil::veiled_text_ui;
use eframe::egui::{Align2, Painter, Rect, Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2};
use measure::shown::{Side, rounded};
use strip::TouchdownFigures;

/// Height of a bar, of the gap below it, and of the row of words above all bars, points.
const BAR: f32 = 22.0;
const GAP: f32 = 6.0;
const HEAD: f32 = 20.0;

/// Share of the width that the longest bar or limit takes.
const LONGEST: f64 = 0.92;

/// Distance between strokes of what lies beyond the limit, points.
const HATCH: f32 = 6.0;

/// One bar.
struct Bar {
    /// Name and number.
    text: String,
    value: f64,
    /// Only to compare with.
    compared: bool,
}

/// Bars with one scale.
struct Bars {
    title: &'static str,
    rows: Vec<Bar>,
    /// What the owner accepts, with its words.
    limit: Option<(f64, String)>,
}

/// Load factors, against the owner's limit.
pub(super) fn load_factors_ui(ui: &mut Ui, desk: Desk, figures: &TouchdownFigures, limit: Option<f64>) {
    let most = |n: f64| rounded(n, Side::AtMost, 1);
    let least = rounded(figures.load_factor_least, Side::AtLeast, 1);
    let flown = format!("flown on {least} to {}", most(figures.load_factor));
    let dropped = figures.flare_drop.load_factor;
    let mut rows = vec![
        Bar { text: flown, value: figures.load_factor, compared: false },
        Bar { text: format!("flared {}", most(dropped)), value: dropped, compared: false },
    ];
    rows.extend(figures.water_landing_factor.map(|n| Bar {
        text: format!("on water, design rules {}", rounded(n, Side::AtLeast, 1)),
        value: n,
        compared: true,
    }));
    let limit = limit.map(|n| (n, format!("owner's limit {}", rounded(n, Side::AtLeast, 1))));
    Bars { title: "Load factor", rows, limit }.draw_ui(ui, desk);
}

/// Sinks, against none: nobody gives a limit of sink.
pub(super) fn sinks_ui(ui: &mut Ui, desk: Desk, figures: &TouchdownFigures) {
    let (sink, dropped, design) = (figures.sink_mps, figures.flare_drop.sink_mps, figures.design_descent_mps);
    let said = |mps: f64, side: Side| desk.units.speed(mps, side, 2);
    let rows = vec![
        Bar { text: format!("flown on {}", said(sink, Side::AtMost)), value: sink, compared: false },
        Bar { text: format!("flared {}", said(dropped, Side::AtMost)), value: dropped, compared: false },
        Bar {
            text: format!("descent, design rules {}", said(design, Side::AtLeast)),
            value: design,
            compared: true,
        },
    ];
    Bars { title: "Sink", rows, limit: None }.draw_ui(ui, desk);
}

impl Bars {
    /// What is drawn, for those who do not see it.
    fn words(&self) -> String {
        let told: Vec<String> = self
            .rows
            .iter()
            .map(|b| if b.compared { format!("to compare with: {}", b.text) } else { b.text.clone() })
            .collect();
        let limit = self.limit.as_ref().map_or_else(String::new, |(_, text)| format!("; {text}"));
        format!("{} as bars: {}{limit}", self.title, told.join("; "))
    }

    fn draw_ui(&self, ui: &mut Ui, desk: Desk) {
        let height = HEAD + self.rows.len() as f32 * (BAR + GAP);
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, self.words()));
        let values = self.rows.iter().map(|b| b.value).chain(self.limit.iter().map(|(n, _)| *n));
        let longest = values.fold(f64::MIN_POSITIVE, f64::max) / LONGEST;
        let x = |value: f64| rect.left() + rect.width() * (value / longest) as f32;
        let painter = ui.painter_at(rect);
        painter.rect_filled(rect, 4.0, desk.palette.paper.get());
        let ink = desk.palette.ink.get();
        let head = rect.min + vec2(6.0, HEAD / 2.0);
        veiled_text_ui(&painter, desk, head, Align2::LEFT_CENTER, self.title.to_owned(), ink);
        for (i, bar) in self.rows.iter().enumerate() {
            let top = rect.top() + HEAD + i as f32 * (BAR + GAP);
            let area = Rect::from_min_max(pos2(rect.left(), top), pos2(x(bar.value), top + BAR));
            bar.draw_ui(&painter, desk, area);
            let over = self.limit.as_ref().filter(|(n, _)| !bar.compared && bar.value > *n);
            if let Some((limit, _)) = over {
                let beyond = Rect::from_min_max(pos2(x(*limit), top), area.max);
                hatch_ui(&painter, desk, beyond);
            }
            let at = pos2(rect.left() + 6.0, area.center().y);
            veiled_text_ui(&painter, desk, at, Align2::LEFT_CENTER, bar.text.clone(), ink);
        }
        if let Some((limit, text)) = &self.limit {
            let held = self.rows.iter().filter(|b| !b.compared).count() as f32;
            let bottom = rect.top() + HEAD + held * (BAR + GAP) - GAP / 2.0;
            let (at, colour) = (x(*limit), desk.palette.does_not_fit.get());
            painter.vline(at, rect.top() + HEAD - 2.0..=bottom, Stroke::new(3.0, colour));
            // In the far half the words end at the line, so that they stay on the picture.
            let anchor = if at > rect.center().x { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
            veiled_text_ui(&painter, desk, pos2(at, head.y), anchor, text.clone(), colour);
        }
    }
}

impl Bar {
    /// The bar itself: filled, or where it is only compared with, dashed.
    fn draw_ui(&self, painter: &Painter, desk: Desk, area: Rect) {
        let stroke = Stroke::new(1.5, desk.palette.lane.get());
        if self.compared {
            let area = area.shrink(1.0);
            let corners =
                [area.left_top(), area.right_top(), area.right_bottom(), area.left_bottom(), area.left_top()];
            let stroke = Stroke::new(1.5, desk.palette.faint.get());
            painter.extend(Shape::dashed_line(&corners, stroke, 6.0, 4.0));
        } else {
            painter.rect_filled(area, 0.0, desk.palette.lane_band.get());
            painter.rect_stroke(area, 0.0, stroke, eframe::egui::StrokeKind::Inside);
        }
    }
}

/// Strokes across what lies beyond a limit.
pub(super) fn hatch_ui(painter: &Painter, desk: Desk, area: Rect) {
    let painter = painter.with_clip_rect(painter.clip_rect().intersect(area));
    // Fainter than the words that stand on it.
    let stroke = Stroke::new(1.0, desk.palette.does_not_fit.get().gamma_multiply(0.5));
    let strokes = ((area.width() + area.height()) / HATCH).max(0.0) as usize;
    for i in 0..=strokes {
        let from = area.left_bottom() + vec2(i as f32 * HATCH - area.height(), 0.0);
        painter.line_segment([from, from + vec2(area.height(), -area.height())], stroke);
    }
}
