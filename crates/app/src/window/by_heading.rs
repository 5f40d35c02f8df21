//! The picture of length by heading: once round the compass, the longest clear lane found in each sector
//! and the length that none in it exceeds.
//!
//! Invariant: what is found is a filled area, what bounds it an outline, and every figure is in words too.

use super::desk::Desk;
use super::plan::{arrow_steps, keep_arrows, round_length};
use super::veil::veiled_text_ui;
use eframe::egui::{
    Align2, FontId, Mesh, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2,
};
use strip::{AssessedLane, Assessment, HeadingLength};

/// Sectors that an arrow key steps over, and with shift.
const STEPS: (f64, f64) = (1.0, 8.0);

/// How far to either side of its heading a lane's need is drawn, degrees.
const ABOUT: f64 = 25.0;

/// Room for figures beside, letters below and words above the picture, points.
const MARGIN: (f32, f32, f32) = (56.0, 20.0, 20.0);

/// Room above the highest length for a lane's mark and name, points.
const HEADROOM: f32 = 28.0;

/// Quarters of the compass, once round.
const QUARTERS: [(&str, f64); 5] = [("N", 0.0), ("E", 90.0), ("S", 180.0), ("W", 270.0), ("N", 360.0)];

/// Which sectors are looked at.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Sector {
    /// The one under the pointer in the last frame.
    hovered: Option<usize>,
    /// The one that keys or a click have chosen.
    chosen: Option<usize>,
}

/// The sector looked at and the best one, in words.
pub fn words(desk: Desk, state: Sector) -> String {
    let Some((answer, best)) = desk.answer.and_then(|a| Some((a, best_sector(&a.length_by_heading)?))) else {
        return "No lane looked for yet, so no length by heading.".to_owned();
    };
    let first = if answer.preview { " A first look: single directions are coarse." } else { "" };
    let needs = best_asked(answer).map_or_else(String::new, |(l, m)| {
        format!(" Dashes: {} needs {} with scatter and margins.", l.id, desk.most(m))
    });
    let looked_at = state.hovered.or(state.chosen).unwrap_or(best);
    let told = |sector: usize| sector_words(desk, answer, sector);
    if looked_at == best {
        format!("Longest {}.{needs}{first}", told(best))
    } else {
        format!("{}. Longest {}.{needs}{first}", told(looked_at), told(best))
    }
}

/// "from 63.8 to 65.6 degrees: found 538 m, no lane over 539 m; lane L1".
fn sector_words(desk: Desk, answer: &Assessment, sector: usize) -> String {
    let Some(s) = answer.length_by_heading.get(sector) else { return String::new() };
    let to = if s.to_deg < s.from_deg { s.to_deg + 360.0 } else { s.to_deg };
    let range = format!("from {:.1} to {to:.1} degrees", s.from_deg);
    let lanes = answer.lanes.iter().filter(|l| holds(s, l));
    let lanes = lanes.fold(String::new(), |told, l| told + "; lane " + &l.id);
    let none_over = format!("no lane over {}", desk.most(s.upper_bound_m));
    if s.found_m > 0.0 {
        format!("{range}: found {}, {none_over}{lanes}", desk.least(s.found_m))
    } else {
        format!("{range}: none found, {none_over}")
    }
}

fn holds(sector: &HeadingLength, lane: &AssessedLane) -> bool {
    let past = |deg: f64| (deg - sector.from_deg).rem_euclid(360.0);
    past(lane.heading_true_deg) < past(sector.to_deg)
}

fn best_sector(sectors: &[HeadingLength]) -> Option<usize> {
    let longer =
        |a: &(usize, &HeadingLength), b: &(usize, &HeadingLength)| a.1.found_m.total_cmp(&b.1.found_m);
    sectors.iter().enumerate().max_by(longer).map(|(i, _)| i)
}

/// Draws the picture; arrow keys, the pointer and clicks choose the sector that is told in words.
pub fn by_heading_ui(ui: &mut Ui, state: &mut Sector, desk: Desk) {
    let Some(answer) = desk.answer.filter(|a| !a.length_by_heading.is_empty()) else { return };
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click());
    let count = answer.length_by_heading.len();
    let chart = Chart::of(rect, desk, answer);
    state.hovered = response.hover_pos().and_then(|p| chart.sector_at(p, count));
    if response.clicked() {
        state.chosen = state.hovered;
        response.request_focus();
    }
    if response.has_focus() {
        keep_arrows(ui, &response);
        let (along, _) = arrow_steps(ui, STEPS.0, STEPS.1);
        if along != 0.0 {
            let from = state.chosen.or(best_sector(&answer.length_by_heading)).unwrap_or(0);
            state.chosen = Some((from as f64 + along).rem_euclid(count as f64) as usize);
        }
    }
    let text = format!("Length by heading: {} Left and right arrows step through it.", words(desk, *state));
    response.widget_info(|| WidgetInfo::labeled(Role::GraphicsObject, true, &text));

    let painter = ui.painter_at(rect);
    chart.scales_ui(&painter, desk);
    chart.lengths_ui(&painter, desk, &answer.length_by_heading);
    chart.asked_ui(&painter, desk, answer);
    for (i, lane) in answer.lanes.iter().enumerate() {
        chart.lane_ui(&painter, desk, lane, i == 0);
    }
    let looked_at = state.hovered.or(state.chosen.filter(|_| response.has_focus()));
    if let Some(sector) = looked_at.and_then(|i| answer.length_by_heading.get(i)) {
        chart.sector_ui(&painter, desk, sector);
    }
    if response.has_focus() {
        let ring = Stroke::new(desk.tokens.line, desk.palette.selected.get());
        painter.rect_stroke(rect, 2.0, ring, eframe::egui::StrokeKind::Inside);
    }
}

/// The best lane, and the length at which it had nothing to spare: slide, scatter, margins.
fn best_asked(answer: &Assessment) -> Option<(&AssessedLane, f64)> {
    let lane = answer.lanes.first()?;
    lane.spare_m.map(|spare| (lane, lane.length_m - spare))
}

/// Where headings and lengths are on screen.
struct Chart {
    area: Rect,
    top_m: f64,
}

impl Chart {
    fn of(rect: Rect, desk: Desk, answer: &Assessment) -> Self {
        let (beside, below, above) = MARGIN;
        let area =
            Rect::from_min_max(rect.min + vec2(beside, above), rect.max - vec2(desk.tokens.small, below));
        let bounds = answer.length_by_heading.iter().map(|s| s.upper_bound_m);
        let highest = bounds.chain(best_asked(answer).map(|(_, length)| length)).fold(1.0, f64::max);
        let filled = (area.height() - HEADROOM) / area.height().max(1.0);
        Self { area, top_m: highest / f64::from(filled.max(0.1)) }
    }

    fn x(&self, heading: f64) -> f32 {
        self.area.left() + self.area.width() * (heading / 360.0) as f32
    }

    fn y(&self, length: f64) -> f32 {
        self.area.bottom() - self.area.height() * (length / self.top_m) as f32
    }

    fn sector_at(&self, p: Pos2, count: usize) -> Option<usize> {
        let share = (p.x - self.area.left()) / self.area.width();
        (0.0..1.0).contains(&share).then(|| ((share * count as f32) as usize).min(count - 1))
    }

    /// Quarters below, round lengths beside, and what is what above.
    fn scales_ui(&self, painter: &Painter, desk: Desk) {
        let (ink, faint) = (desk.palette.ink.get(), desk.palette.faint.get());
        let font = FontId::proportional(desk.tokens.small);
        painter.rect_filled(self.area, 0.0, desk.palette.paper.get());
        let unit = desk.units.length;
        let step = round_length(self.top_m / unit.metres() / 2.0);
        for i in 0..8 {
            let value = f64::from(i) * step;
            let y = self.y(value * unit.metres());
            if y < self.area.top() {
                break;
            }
            painter.hline(self.area.x_range(), y, Stroke::new(0.5, faint));
            let at = pos2(self.area.left() - 6.0, y);
            painter.text(at, Align2::RIGHT_CENTER, format!("{value} {}", unit.symbol()), font.clone(), ink);
        }
        for (name, heading) in QUARTERS {
            let x = self.x(heading);
            painter.vline(x, self.area.bottom()..=self.area.bottom() + 5.0, Stroke::new(1.0, ink));
            painter.text(pos2(x, self.area.bottom() + 4.0), Align2::CENTER_TOP, name, font.clone(), ink);
        }
        let key = "Filled: longest lane found. Line above: no lane is longer. Across: heading, true.";
        painter.text(self.area.left_top() - vec2(0.0, 2.0), Align2::LEFT_BOTTOM, key, font, ink);
    }

    /// The lengths found, filled, with their bounds as an outline above.
    fn lengths_ui(&self, painter: &Painter, desk: Desk, sectors: &[HeadingLength]) {
        let mut fill = Mesh::default();
        let mut found = Vec::with_capacity(2 * sectors.len());
        let mut bound = Vec::with_capacity(2 * sectors.len());
        for (i, s) in sectors.iter().enumerate() {
            let share = |i: usize| self.x(360.0 * i as f64 / sectors.len() as f64);
            let (left, right) = (share(i), share(i + 1));
            let top = self.y(s.found_m);
            let quad = Rect::from_min_max(pos2(left, top), pos2(right, self.area.bottom()));
            fill.add_colored_rect(quad, desk.palette.lane_band.get());
            found.extend([pos2(left, top), pos2(right, top)]);
            let top = self.y(s.upper_bound_m);
            bound.extend([pos2(left, top), pos2(right, top)]);
        }
        painter.add(Shape::mesh(fill));
        painter.add(Shape::line(bound, Stroke::new(1.0, desk.palette.edge.get())));
        painter.add(Shape::line(found, Stroke::new(desk.tokens.line, desk.palette.lane.get())));
    }

    /// The length that the best lane asks for.
    fn asked_ui(&self, painter: &Painter, desk: Desk, answer: &Assessment) {
        let Some((lane, length)) = best_asked(answer) else { return };
        let (y, slide) = (self.y(length), desk.palette.slide.get());
        // About its own heading only: another direction asks for another length.
        let about = |by: f64| (lane.heading_true_deg + by).clamp(0.0, 360.0);
        let ends = [pos2(self.x(about(-ABOUT)), y), pos2(self.x(about(ABOUT)), y)];
        painter.extend(Shape::dashed_line(&ends, Stroke::new(desk.tokens.line, slide), 10.0, 5.0));
        let text = format!("{} needs {}", lane.id, desk.most(length));
        // Below the line, away from the lane's mark, and off the edges of the picture.
        let at = pos2(self.x(lane.heading_true_deg.clamp(ABOUT, 360.0 - ABOUT)), y + 2.0);
        veiled_text_ui(painter, desk, at, Align2::CENTER_TOP, text, slide);
    }

    /// A lane's mark: a triangle standing on its length, with its name.
    fn lane_ui(&self, painter: &Painter, desk: Desk, lane: &AssessedLane, best: bool) {
        let colour = if best { desk.palette.lane.get() } else { desk.palette.lane_other.get() };
        let tip = pos2(self.x(lane.heading_true_deg), self.y(lane.length_m));
        let corners = vec![tip, tip + vec2(-5.0, -9.0), tip + vec2(5.0, -9.0)];
        painter.add(Shape::convex_polygon(corners, colour, Stroke::NONE));
        veiled_text_ui(painter, desk, tip - vec2(0.0, 10.0), Align2::CENTER_BOTTOM, lane.id.clone(), colour);
    }

    /// A frame about the sector looked at.
    fn sector_ui(&self, painter: &Painter, desk: Desk, sector: &HeadingLength) {
        let half = 180.0 / f64::from(u32::try_from(ground::SECTORS).unwrap_or(u32::MAX));
        let middle = sector.heading_deg();
        let frame = Rect::from_min_max(
            pos2(self.x(middle - half) - 1.0, self.area.top()),
            pos2(self.x(middle + half) + 1.0, self.area.bottom()),
        );
        let stroke = Stroke::new(desk.tokens.line, desk.palette.selected.get());
        painter.rect_stroke(frame, 0.0, stroke, eframe::egui::StrokeKind::Outside);
    }
}
