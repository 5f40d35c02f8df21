//! The aircraft from the side and from ahead, drawn to scale from its record, so that a wrong number is seen.
//!
//! Invariants: one scale for both axes; what is drawn is also said in words; nothing is drawn of what the record does
//! not say.

use super::super::desk::Desk;
use super::super::veil::veiled_text_ui;
use eframe::egui::{
    Align2, Color32, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2,
};
use strip::record::{AircraftRecord, PartRecord, SideRecord};

/// Height of a view, points.
const HEIGHT: f32 = 190.0;

/// Room around what is drawn, points.
const MARGIN: f32 = 26.0;

/// Length of keel that is drawn where the record does not give it, metres (it is said beside).
const KEEL_NOT_GIVEN: f64 = 2.5;

/// Metres to the right and up, drawn in a box with one scale.
struct Frame<'a> {
    painter: Painter,
    desk: Desk<'a>,
    origin: Pos2,
    scale: f32,
}

impl<'a> Frame<'a> {
    /// A box that holds what lies between these metres across, and from the ground up to `top`.
    fn new(ui: &mut Ui, desk: Desk<'a>, (left, right): (f64, f64), top: f64, words: &str) -> Self {
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, words));
        let painter = ui.painter_at(rect);
        painter.rect_filled(rect, 2.0, desk.palette.paper.get());
        let inside = rect.shrink(MARGIN);
        let (wide, high) = ((right - left).max(0.1) as f32, top.max(0.1) as f32);
        let scale = (inside.width() / wide).min(inside.height() / high);
        let origin = pos2(inside.center().x - scale * f64::midpoint(left, right) as f32, inside.max.y);
        let frame = Self { painter, desk, origin, scale };
        let ground = Stroke::new(1.0, desk.palette.faint.get());
        frame.painter.hline(rect.x_range(), frame.origin.y, ground);
        frame.scale_bar_ui(rect);
        frame
    }

    fn at(&self, across: f64, up: f64) -> Pos2 {
        self.origin + vec2(across as f32, -(up as f32)) * self.scale
    }

    fn line(&self, from: (f64, f64), to: (f64, f64), width: f32, colour: Color32) {
        self.painter.line_segment([self.at(from.0, from.1), self.at(to.0, to.1)], Stroke::new(width, colour));
    }

    fn dashed(&self, from: (f64, f64), to: (f64, f64), colour: Color32) {
        let ends = [self.at(from.0, from.1), self.at(to.0, to.1)];
        self.painter.extend(Shape::dashed_line(&ends, Stroke::new(1.5, colour), 6.0, 4.0));
    }

    fn name(&self, at: (f64, f64), anchor: Align2, text: String, colour: Color32) {
        veiled_text_ui(&self.painter, self.desk, self.at(at.0, at.1), anchor, text, colour);
    }

    fn scale_bar_ui(&self, rect: Rect) {
        let (ink, left) = (self.desk.palette.ink.get(), rect.left_bottom() + vec2(8.0, -8.0));
        let right = left + vec2(self.scale, 0.0);
        self.painter.line_segment([left, right], Stroke::new(2.0, ink));
        let text = self.desk.near(1.0);
        veiled_text_ui(&self.painter, self.desk, right + vec2(4.0, 0.0), Align2::LEFT_CENTER, text, ink);
    }
}

/// What the side view shows, in words.
fn side_words(desk: Desk, record: &AircraftRecord, side: &SideRecord) -> String {
    let keel = record
        .keels
        .length_m
        .map_or_else(|| "not given, drawn as the settings say".to_owned(), |m| desk.near(m));
    format!(
        "From the side: flat keel {keel}; bow {} ahead of it, stern {} behind its forward end, stern post at {} degrees; \
         centre of gravity {} to {} behind it and {} to {} up; thrust line {} up; propeller {} ahead, its tip {} up",
        desk.near(-side.bow_behind_m),
        desk.near(side.stern_behind_m),
        side.sternpost_deg,
        desk.near(side.cg_behind_m.low),
        desk.near(side.cg_behind_m.high),
        desk.near(side.cg_height_m.low),
        desk.near(side.cg_height_m.high),
        desk.near(side.thrust_line_height_m),
        desk.near(-side.propeller_behind_m),
        desk.near(side.propeller_tip_height_m)
    )
}

/// The aircraft from the side, nose to the left.
pub(super) fn side_ui(ui: &mut Ui, desk: Desk, record: &AircraftRecord, side: &SideRecord) {
    let words = side_words(desk, record, side);
    let keel = record.keels.length_m.unwrap_or(KEEL_NOT_GIVEN);
    let disc_top =
        (2.0 * side.thrust_line_height_m - side.propeller_tip_height_m).max(side.propeller_tip_height_m);
    let top = disc_top.max(side.cg_height_m.high).max(side.float_depth_m);
    let left = side.bow_behind_m.min(side.propeller_behind_m);
    let frame = Frame::new(ui, desk, (left, side.stern_behind_m.max(keel)), top, &words);
    float_ui(&frame, side, keel);
    let palette = desk.palette;
    let (ink, slide) = (palette.ink.get(), palette.slide.get());
    let (x, thrust) = (side.propeller_behind_m, side.thrust_line_height_m);
    frame.line((x, side.propeller_tip_height_m), (x, disc_top), 3.0, ink);
    frame.name((x, disc_top), Align2::CENTER_BOTTOM, "propeller".to_owned(), ink);
    frame.dashed((x, thrust), (side.stern_behind_m, thrust), ink);
    frame.name((side.stern_behind_m, thrust), Align2::RIGHT_BOTTOM, "thrust line".to_owned(), ink);
    let (cg, height) = (side.cg_behind_m, side.cg_height_m);
    let corners = Rect::from_two_pos(frame.at(cg.low, height.low), frame.at(cg.high, height.high));
    frame.painter.rect_filled(corners.expand(2.0), 1.0, slide);
    frame.name((cg.high, height.high), Align2::LEFT_BOTTOM, " centre of gravity".to_owned(), slide);
    ui.label(words);
}

/// One float: bow, flat keel, stern post.
fn float_ui(frame: &Frame, side: &SideRecord, keel: f64) {
    let palette = frame.desk.palette;
    let (edge, lane) = (palette.edge.get(), palette.lane.get());
    let deck = side.float_depth_m;
    let rise = (side.stern_behind_m - keel).max(0.0) * side.sternpost_deg.to_radians().tan();
    let outline = [
        (side.bow_behind_m, deck),
        (0.0, 0.0),
        (keel, 0.0),
        (side.stern_behind_m, rise),
        (side.stern_behind_m, deck.max(rise)),
        (side.bow_behind_m, deck),
    ];
    for pair in outline.windows(2) {
        frame.line(pair[0], pair[1], 1.5, edge);
    }
    frame.line((0.0, 0.0), (keel, 0.0), 4.0, lane);
    frame.name((keel / 2.0, 0.0), Align2::CENTER_TOP, format!("flat keel {}", frame.desk.near(keel)), lane);
    let post = format!("{} degrees", side.sternpost_deg);
    frame.name((side.stern_behind_m, rise), Align2::RIGHT_TOP, post, edge);
}

/// What the front view shows, in words.
fn front_words(desk: Desk, record: &AircraftRecord) -> String {
    let keels = &record.keels;
    format!(
        "From ahead: span {}, keels {} apart, shoes {} wide, floats {} wide with {} degrees of deadrise, {} parts",
        desk.near(record.wing_span_m),
        desk.near(keels.spacing_m),
        desk.near(keels.shoe_width_m),
        desk.near(keels.float_beam_m),
        keels.deadrise_deg,
        record.parts.len()
    )
}

/// The aircraft from ahead, both sides alike.
pub(super) fn front_ui(ui: &mut Ui, desk: Desk, record: &AircraftRecord) {
    let words = front_words(desk, record);
    let half = record.wing_span_m / 2.0;
    let heights = record.parts.iter().map(|p| p.from_height_m.max(p.to_height_m));
    let top = heights.fold(0.5, f64::max);
    let frame = Frame::new(ui, desk, (-half, half), top, &words);
    for sign in [-1.0, 1.0] {
        float_from_ahead_ui(&frame, record, sign);
        for part in &record.parts {
            part_ui(&frame, part, sign);
        }
        // The wing tip, where span and parts should meet.
        frame.dashed((sign * half, 0.0), (sign * half, top), desk.palette.faint.get());
    }
    ui.label(words);
}

fn part_ui(frame: &Frame, part: &PartRecord, sign: f64) {
    let ink = frame.desk.palette.ink.get();
    frame.line((sign * part.from_m, part.from_height_m), (sign * part.to_m, part.to_height_m), 2.0, ink);
    if sign > 0.0 {
        let middle = (f64::midpoint(part.from_m, part.to_m), part.from_height_m.max(part.to_height_m));
        frame.name(middle, Align2::CENTER_BOTTOM, part.name.clone(), ink);
    }
}

fn float_from_ahead_ui(frame: &Frame, record: &AircraftRecord, sign: f64) {
    let keels = &record.keels;
    let (keel, shoe, beam) =
        (sign * keels.spacing_m / 2.0, keels.shoe_width_m / 2.0, keels.float_beam_m / 2.0);
    let rise = (beam - shoe).max(0.0) * keels.deadrise_deg.to_radians().tan();
    let palette = frame.desk.palette;
    for side in [-1.0, 1.0] {
        frame.line((keel + side * shoe, 0.0), (keel + side * beam, rise), 1.5, palette.edge.get());
    }
    frame.line((keel - shoe, 0.0), (keel + shoe, 0.0), 4.0, palette.lane.get());
}
