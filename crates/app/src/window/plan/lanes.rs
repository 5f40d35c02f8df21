//! Lanes on the plan: the best one with its margins, touchdown and end of slide, the others thin.

use super::super::desk::Desk;
use super::super::happens;
use super::super::veil::free_text_ui;
use super::View;
use eframe::egui::{Align2, Color32, Mesh, Painter, Pos2, Shape, Stroke, Vec2};
use ground::Point;
use strip::AssessedLane;

/// Most lanes drawn.
const DRAWN: usize = 4;

/// Draws the lanes of the last answer, the best on top.
pub(super) fn lanes_ui(painter: &Painter, view: &View, desk: Desk) {
    let Some(answer) = desk.answer else { return };
    for lane in answer.lanes.iter().take(DRAWN).skip(1).rev() {
        let on = Line::of(lane, view);
        painter.line_segment([on.near, on.far], Stroke::new(1.5, desk.palette.lane_other.get()));
        label_ui(painter, desk, on.far, &lane.id, desk.palette.lane_other.get(), Beside::Right);
    }
    if let Some(best) = answer.lanes.first() {
        best_ui(painter, view, desk, best);
    }
}

/// A lane on screen.
struct Line {
    near: Pos2,
    far: Pos2,
    length: f32,
}

impl Line {
    fn of(lane: &AssessedLane, view: &View) -> Self {
        let point = |[x, y]: [f64; 2]| view.screen_from_field(Point { x, y });
        Self { near: point(lane.near_end), far: point(lane.far_end), length: lane.length_m.max(1e-6) as f32 }
    }

    fn at(&self, chainage: f64) -> Pos2 {
        self.near + (self.far - self.near) * (chainage as f32 / self.length)
    }

    /// One metre to the right, on screen.
    fn across(&self) -> Vec2 {
        let along = (self.far - self.near) / self.length;
        Vec2::new(-along.y, along.x)
    }
}

fn best_ui(painter: &Painter, view: &View, desk: Desk, lane: &AssessedLane) {
    let on = Line::of(lane, view);
    let ink = desk.palette.lane.get();
    corridor_ui(painter, &on, lane, desk);
    band_ui(painter, &on, &lane.drift.half_widths_m, desk.palette.lane_band.get(), ink);
    painter.line_segment([on.near, on.far], Stroke::new(desk.tokens.line, ink));
    arrow_head_ui(painter, &on, ink);
    for what in happens::along(desk, lane).into_iter().filter(|what| what.grave) {
        // The long section says the rest.
        let short = what.text.split_once(',').map_or(what.text.as_str(), |(first, _)| first);
        let at = (what.from.min(lane.length_m), &*format!("! {short}"));
        tick_ui(painter, desk, &on, at, desk.palette.edge_hard.get(), Beside::Left);
    }
    let name = format!("{} {:.0} true", lane.id, lane.heading_true_deg);
    label_ui(painter, desk, on.near, &name, ink, Beside::Left);
    tick_ui(painter, desk, &on, (lane.earliest_touchdown_m, "earliest touchdown"), ink, Beside::Right);
    tick_ui(painter, desk, &on, (lane.end_margin_at_m, "end margin"), ink, Beside::Right);
    if let (Some(demand), Some(latest)) = (lane.demand_m, lane.latest_touchdown_m) {
        let slide = desk.palette.slide.get();
        let (from, to) = (lane.aim_m, lane.aim_m + demand);
        // A slide many times the lane's length says nothing on a plan.
        if to < lane.length_m * 20.0 {
            painter.line_segment([on.at(from), on.at(to)], Stroke::new(desk.tokens.line, slide));
            stops_ui(painter, desk, &on, lane);
        }
        tick_ui(painter, desk, &on, (from, "aim"), slide, Beside::Left);
        if latest >= lane.earliest_touchdown_m {
            tick_ui(painter, desk, &on, (latest, "latest touchdown"), ink, Beside::Right);
        }
    }
}

/// How far before the near end the corridor is drawn, m.
const CORRIDOR_DRAWN: f64 = 400.0;

/// Sides of the corridor of the way in, before the near end.
fn corridor_ui(painter: &Painter, on: &Line, lane: &AssessedLane, desk: Desk) {
    let stroke = Stroke::new(1.0, desk.palette.lane.get());
    let path = &lane.approach;
    for side in [-1.0, 1.0] {
        let at = |before: f64| {
            let half = path.corridor_half_width_m + path.corridor_splay * before;
            on.at(-before) + on.across() * (side * half) as f32
        };
        painter.extend(Shape::dashed_line(&[at(0.0), at(CORRIDOR_DRAWN)], stroke, 10.0, 8.0));
    }
}

/// Where it probably stops: from one in twenty to 95 in 100, thickest on either side of the middle, where half of
/// the slides have ended.
fn stops_ui(painter: &Painter, desk: Desk, on: &Line, lane: &AssessedLane) {
    let (Some(first), Some(half), Some(last)) = (lane.stop_p05_m, lane.stop_p50_m, lane.stop_p95_m) else {
        return;
    };
    let slide = desk.palette.slide.get();
    let (inner_from, inner_to) = (f64::midpoint(first, half), f64::midpoint(half, last));
    for (from, to, widths) in [(first, last, 3.0), (inner_from, inner_to, 6.0)] {
        painter.line_segment([on.at(from), on.at(to)], Stroke::new(desk.tokens.line * widths, slide));
    }
    tick_ui(painter, desk, on, (half, "half have stopped"), slide, Beside::Left);
    tick_ui(painter, desk, on, (last, "95 in 100 have stopped"), slide, Beside::Left);
}

/// Where the aircraft's middle may be: chainages and half-widths from there on.
fn band_ui(painter: &Painter, on: &Line, half_widths: &[(f64, f64)], fill: Color32, ink: Color32) {
    let steps = half_widths.iter().filter(|(from, _)| *from < f64::from(on.length));
    let ends = steps.clone().skip(1).map(|(from, _)| *from).chain([f64::from(on.length)]);
    let (mut mesh, mut left, mut right) = (Mesh::default(), Vec::new(), Vec::new());
    for (&(from, half_width), end) in steps.zip(ends) {
        let half = on.across() * half_width as f32;
        let (from, to) = (on.at(from), on.at(end));
        let first = mesh.vertices.len() as u32;
        for corner in [from - half, from + half, to + half, to - half] {
            mesh.colored_vertex(corner, fill);
        }
        mesh.add_triangle(first, first + 1, first + 2);
        mesh.add_triangle(first, first + 2, first + 3);
        left.extend([from - half, to - half]);
        right.extend([from + half, to + half]);
    }
    left.extend(right.into_iter().rev());
    painter.add(Shape::mesh(mesh));
    painter.add(Shape::closed_line(left, Stroke::new(1.0, ink)));
}

/// Direction of the slide, at the far end.
fn arrow_head_ui(painter: &Painter, on: &Line, colour: Color32) {
    let along = (on.far - on.near).normalized() * 14.0;
    let across = on.across().normalized() * 7.0;
    let corners = vec![on.far, on.far - along + across, on.far - along - across];
    painter.add(Shape::convex_polygon(corners, colour, Stroke::NONE));
}

/// Side of the lane, seen along it, on which a name stands.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Beside {
    Left,
    Right,
}

/// A mark across the lane with its name.
fn tick_ui(
    painter: &Painter,
    desk: Desk,
    on: &Line,
    (chainage, name): (f64, &str),
    colour: Color32,
    side: Beside,
) {
    let across = on.across().normalized() * 12.0;
    let centre = on.at(chainage);
    painter.line_segment([centre - across, centre + across], Stroke::new(desk.tokens.line, colour));
    let end = if side == Beside::Right { centre + across } else { centre - across };
    label_ui(painter, desk, end, name, colour, if across.x >= 0.0 { side } else { side.other() });
}

impl Beside {
    fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// Words that run away from the lane.
fn label_ui(painter: &Painter, desk: Desk, at: Pos2, text: &str, colour: Color32, side: Beside) {
    let anchor = match side {
        Beside::Right => Align2::LEFT_CENTER,
        Beside::Left => Align2::RIGHT_CENTER,
    };
    free_text_ui(painter, desk, at, anchor, text.to_owned(), colour);
}
