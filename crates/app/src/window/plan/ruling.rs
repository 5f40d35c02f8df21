//! Marks on the things that the best lane rests against, and on what its earliest touchdown is reached over: a ring, a
//! flag and a word.

use super::super::desk::Desk;
use super::super::places::on_it;
use super::super::veil::free_text_ui;
use super::{View, target_rect};
use eframe::egui::{Align2, Role, Sense, Shape, Stroke, Ui, WidgetInfo, vec2};
use strip::AssessedLane;
use strip::record::PlaceRecord;

/// Room between a thing and its ring, and reach of the flag's pole each way, points.
const RING: f32 = 6.0;
const POLE: f32 = 14.0;

/// Largest ring, points: about a wide crown it would ring half the plan.
const LARGEST: f32 = 40.0;

/// Marks what holds the best lane of the last answer where it is, and what sets its earliest touchdown.
pub(super) fn ruling_ui(ui: &Ui, view: &View, desk: Desk) {
    let Some(lane) = desk.best() else { return };
    let strip = &desk.document.edition().strip;
    let hazards = strip.hazards.iter().map(|h| (&*h.id, &h.at, h.radius_m));
    let obstacles = strip.obstacles.iter().map(|o| (&*o.id, &o.at, o.radius_m));
    for (id, at, radius) in hazards.chain(obstacles) {
        if let Some(rules) = Rules::of(lane, id) {
            flag_ui(ui, view, desk, (id, at, radius), &rules, &lane.id);
        }
    }
}

/// What a thing rules.
struct Rules {
    lane: bool,
    way_in: bool,
}

impl Rules {
    fn of(lane: &AssessedLane, id: &str) -> Option<Self> {
        let way_in = |c: &strip::Clearance| c.rules && c.id.as_deref() == Some(id);
        let rules = Self {
            lane: lane.ruling_hazards.iter().any(|h| h == id),
            way_in: lane.approach.clearances.iter().any(way_in),
        };
        (rules.lane || rules.way_in).then_some(rules)
    }

    const fn word(&self) -> &'static str {
        match (self.lane, self.way_in) {
            (true, true) => "rules lane and way in",
            (false, true) => "rules the way in",
            (_, false) => "rules",
        }
    }

    const fn why(&self) -> &'static str {
        match (self.lane, self.way_in) {
            (true, true) => "it rests against it, and its earliest touchdown is reached over it",
            (false, true) => "its earliest touchdown is reached over it",
            (_, false) => "it rests against it",
        }
    }
}

fn flag_ui(
    ui: &Ui,
    view: &View,
    desk: Desk,
    (id, at, radius): (&str, &PlaceRecord, f64),
    rules: &Rules,
    lane: &str,
) {
    let painter = ui.painter_at(ui.clip_rect());
    let colour = desk.palette.edge_hard.get();
    let stroke = Stroke::new(desk.tokens.line, colour);
    let centre = view.screen_from_field(on_it(at));
    let radius = (radius as f32 * view.scale()).clamp(4.0, LARGEST) + RING;
    // Down and to the left: the thing's own mark stands up and to the right.
    let foot = centre + vec2(-radius, radius) * std::f32::consts::FRAC_1_SQRT_2;
    let top = foot + vec2(-POLE, POLE);
    painter.circle_stroke(centre, radius, stroke);
    painter.line_segment([foot, top], stroke);
    let flag = vec![top, top + vec2(-12.0, 6.0), top + vec2(0.0, 12.0)];
    painter.add(Shape::convex_polygon(flag, colour, Stroke::NONE));
    let beside = top + vec2(-14.0, 6.0);
    free_text_ui(&painter, desk, beside, Align2::RIGHT_CENTER, rules.word().to_owned(), colour);

    let mark = ui.interact(target_rect(top, 2.0 * POLE), ui.scope_id().with(("rules", id)), Sense::hover());
    let name = format!("{id} rules lane {lane}: {}", rules.why());
    mark.widget_info(|| WidgetInfo::labeled(Role::Label, true, &name));
}
