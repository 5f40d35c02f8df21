//! The plan: the field to scale, north up, with everything that can be chosen and moved on it.

mod backdrop;
mod items;
mod lanes;
mod ruling;
mod signs;
mod standing;
mod view;

pub(super) use backdrop::{edge_name, round_length};
pub(super) use items::{delete_action, hazard_name, patch_name};
pub(super) use standing::obstacle_name;
pub use view::View;

use super::desk::{Command, Desk, Item, Tool};
use super::edition::{Action, Corner, rings};
use super::obstacles::is_drawn_on;
use super::places::{middle, on_it};
use eframe::egui::{self, EventFilter, Key, Rect, Response, Role, Sense, Ui, WidgetInfo};
use ground::Point;
use strip::record::{HazardKindRecord, ObstacleKindRecord};

/// What the plan remembers between frames.
#[derive(Default)]
pub struct PlanState {
    view: Option<View>,
    /// The plan's own cross, moved by the arrow keys.
    cross: Option<Point>,
    /// The thing being dragged, and from its middle to the pointer.
    grabbed: Option<(Item, Point)>,
    gesture: u64,
}

impl PlanState {
    /// Where a point of the field was drawn in the last frame.
    pub fn screen_from_field(&self, point: Point) -> Option<egui::Pos2> {
        self.view.map(|v| v.screen_from_field(point))
    }

    /// Forgets what was on screen, for a new document.
    pub fn reset(&mut self) {
        *self = Self { gesture: self.gesture, ..Self::default() };
    }
}

/// Draws the plan and says what was asked for.
pub fn plan_ui(ui: &mut Ui, state: &mut PlanState, desk: Desk, tool: Tool, out: &mut Vec<Command>) {
    let rect = ui.available_rect_before_wrap();
    let surface = ui.allocate_rect(rect, Sense::click_and_drag());
    let fitted = || {
        let strip = &desk.document.edition().strip;
        let mut shown: Vec<Point> =
            rings(strip).flat_map(|(c, _)| c).map(|c| Point { x: c.e, y: c.n }).collect();
        shown.extend(standing::near_field(&shown, &strip.obstacles));
        View::fitting(shown.into_iter(), rect)
    };
    let mut view = state.view.map_or_else(fitted, |v| {
        // Choosing a thing may change the width of the panels, and what is held must not slip away.
        if state.grabbed.is_some() { v.kept_on(rect) } else { v.on(rect) }
    });
    move_view(ui, &surface, &mut view);
    let cross = state.cross.unwrap_or_else(|| view.field_from_screen(rect.center()));
    let cross = keys_ui(ui, &surface, &mut view, cross, desk, out, &fitted);
    state.cross = Some(cross);
    state.view = Some(view);

    let painter = ui.painter_at(rect);
    backdrop::backdrop_ui(&painter, rect, &view, desk);
    lanes::lanes_ui(&painter, &view, desk);
    signs::signs_ui(&painter, &view, desk);
    ruling::ruling_ui(ui, &view, desk);
    if state.grabbed.is_some() && ui.input(|i| i.key_pressed(Key::Escape)) {
        state.grabbed = None;
        out.push(Command::TakeBack(state.gesture));
    }
    if state.grabbed.is_none() && tool != Tool::Choose && ui.input(|i| i.key_pressed(Key::Escape)) {
        out.push(Command::Take(Tool::Choose));
    }
    items::items_ui(ui, state, &view, desk, out);
    backdrop::scale_and_north_ui(&painter, rect, &view, desk);
    describe(&surface, desk, cross);
    if surface.has_focus() {
        backdrop::cross_ui(&painter, &view, desk, cross);
    }
    if surface.clicked()
        && let Some(pointer) = surface.interact_pointer_pos()
    {
        surface.request_focus();
        let at = view.field_from_screen(pointer);
        state.cross = Some(at);
        let on = (tool == Tool::Choose).then(|| standing::under(&view, desk, pointer)).flatten();
        out.push(on.map_or_else(|| use_tool(tool, at, desk), |item| Command::Select(Some(item))));
    }
}

/// What a click or the enter key does at a place.
fn use_tool(tool: Tool, at: Point, desk: Desk) -> Command {
    match tool {
        Tool::Choose => Command::Select(None),
        Tool::Rock => Command::Act(Action::MarkHazard(HazardKindRecord::Rock, at), None),
        Tool::SoftPatch => Command::Act(Action::MarkPatch(at), None),
        Tool::Corner => nearest_edge(desk, at).map_or_else(
            || Command::Say("no edge to put a corner into".to_owned()),
            |edge| Command::Act(Action::AddCorner(edge, at), None),
        ),
        Tool::Obstacle(kind) if desk.document.edition().date_of_mark(kind).is_none() => {
            Command::Say("Not marked: nothing here has a date yet; say when the field was looked at (Field), or give the day".to_owned())
        }
        Tool::Obstacle(kind) => Command::Act(Action::MarkObstacle(kind, at), None),
        Tool::DrawOn => line_chosen(desk).map_or_else(
            || Command::Say("choose a wire, a row of trees, a hedge or rising ground first".to_owned()),
            |chosen| Command::Act(Action::DrawOnObstacle(chosen, at), None),
        ),
    }
}

/// The chosen obstacle, if it stands along a line.
fn line_chosen(desk: Desk) -> Option<usize> {
    let Some(Item::Obstacle(chosen)) = desk.selected else { return None };
    let all = &desk.document.edition().strip.obstacles;
    all.get(chosen).is_some_and(|o| is_drawn_on(o.kind)).then_some(chosen)
}

fn move_view(ui: &Ui, surface: &Response, view: &mut View) {
    if surface.dragged() {
        *view = view.panned(surface.drag_delta());
    }
    if surface.contains_pointer() {
        let (scroll, pinch, pointer) =
            ui.input(|i| (i.smooth_scroll_delta.y, i.zoom_delta(), i.pointer.hover_pos()));
        let factor = pinch * (scroll / 200.0).exp();
        if let Some(pointer) = pointer
            && (factor - 1.0).abs() > 1e-4
        {
            *view = view.zoomed(factor, pointer);
        }
    }
}

/// What the letters do at the cross.
const TOOLS: [(Key, Tool); 8] = [
    (Key::R, Tool::Rock),
    (Key::S, Tool::SoftPatch),
    (Key::C, Tool::Corner),
    (Key::T, Tool::Obstacle(ObstacleKindRecord::Tree)),
    (Key::P, Tool::Obstacle(ObstacleKindRecord::Pole)),
    (Key::W, Tool::Obstacle(ObstacleKindRecord::Wire)),
    (Key::B, Tool::Obstacle(ObstacleKindRecord::Building)),
    (Key::L, Tool::DrawOn),
];

/// Keys of the plan itself: arrows move its cross, letters mark things there.
fn keys_ui(
    ui: &Ui,
    surface: &Response,
    view: &mut View,
    cross: Point,
    desk: Desk,
    out: &mut Vec<Command>,
    fitted: &dyn Fn() -> View,
) -> Point {
    if !surface.has_focus() {
        return cross;
    }
    keep_arrows(ui, surface);
    let pressed = |key: Key| ui.input(|i| i.key_pressed(key) && !i.modifiers.command);
    let middle = surface.rect.center();
    if pressed(Key::Plus) || pressed(Key::Equals) {
        *view = view.zoomed(1.25, middle);
    }
    if pressed(Key::Minus) {
        *view = view.zoomed(0.8, middle);
    }
    if pressed(Key::Num0) {
        *view = fitted();
    }
    for (key, tool) in TOOLS {
        if pressed(key) {
            out.push(use_tool(tool, cross, desk));
        }
    }
    let (e, n) = arrow_steps(ui, 1.0, 10.0);
    Point { x: cross.x + e, y: cross.y + n }
}

/// Arrow keys move things here instead of moving to the next control.
pub(super) fn keep_arrows(ui: &Ui, response: &Response) {
    let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
}

/// East and north steps of the arrow keys pressed, larger with shift.
pub(super) fn arrow_steps(ui: &Ui, small: f64, large: f64) -> (f64, f64) {
    ui.input(|i| {
        let step = if i.modifiers.shift { large } else { small };
        let count = |key| f64::from(u8::from(i.key_pressed(key)));
        let east = count(Key::ArrowRight) - count(Key::ArrowLeft);
        let north = count(Key::ArrowUp) - count(Key::ArrowDown);
        (east * step, north * step)
    })
}

/// What a screen reader says of the plan.
fn describe(surface: &Response, desk: Desk, cross: Point) {
    let text = format!(
        "Plan of {}; cross at {} east, {} north; arrows move it; R marks a rock, S soft ground, C a corner, T a tree, P a pole, B a building, W a wire, L its next support",
        desk.document.edition().strip.name,
        desk.near(cross.x),
        desk.near(cross.y)
    );
    surface.widget_info(|| WidgetInfo::labeled(Role::GraphicsObject, true, &text));
}

/// The corner at which the edge nearest to a point begins.
fn nearest_edge(desk: Desk, at: Point) -> Option<Corner> {
    let strip = &desk.document.edition().strip;
    let edges = rings(strip).enumerate().flat_map(|(ring, (corners, _))| {
        (0..corners.len()).map(move |index| {
            let (a, b) = (corners[index], corners[(index + 1) % corners.len()]);
            let (dx, dy) = (b.e - a.e, b.n - a.n);
            let length2 = (dx * dx + dy * dy).max(f64::MIN_POSITIVE);
            let t = (((at.x - a.e) * dx + (at.y - a.n) * dy) / length2).clamp(0.0, 1.0);
            let away = (at.x - a.e - t * dx).hypot(at.y - a.n - t * dy);
            (away, Corner { ring, index })
        })
    });
    edges.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, corner)| corner)
}

/// Where an item's handle is.
pub fn place_of(desk: Desk, item: Item) -> Option<Point> {
    let strip = &desk.document.edition().strip;
    match item {
        Item::Corner(c) => rings(strip)
            .nth(c.ring)
            .and_then(|(corners, _)| corners.get(c.index))
            .map(|c| Point { x: c.e, y: c.n }),
        Item::Hazard(i) => strip.hazards.get(i).map(|h| middle(&h.at)),
        Item::Obstacle(i) => strip.obstacles.get(i).map(|o| on_it(&o.at)),
        Item::Patch(i) => {
            strip.patches.get(i).map(|p| middle(&strip::record::PlaceRecord::Area(p.area.clone())))
        }
    }
}

/// A square about a point, as large as a finger needs.
fn target_rect(centre: egui::Pos2, size: f32) -> Rect {
    Rect::from_center_size(centre, egui::Vec2::splat(size))
}
