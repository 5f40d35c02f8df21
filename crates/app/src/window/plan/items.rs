//! Things on the plan that can be chosen, moved and deleted, by pointer and by keyboard.

use super::super::desk::{Command, Desk, Item};
use super::super::edition::{Action, Corner, rings};
use super::standing::obstacle_name;
use super::{PlanState, View, arrow_steps, keep_arrows, place_of, target_rect};
use eframe::egui::{
    Align2, Color32, FontId, Key, Painter, Pos2, Response, Role, Sense, Shape, Stroke, Ui, WidgetInfo, vec2,
};
use ground::{HazardKind, Point};
use strip::record::{HazardRecord, HazardStateRecord, PatchRecord, PlaceRecord};

/// Most hazards whose marks are written on the plan.
const MOST_MARKED: usize = 150;

/// Draws every item that is on screen and says what was asked for.
pub(super) fn items_ui(ui: &Ui, state: &mut PlanState, view: &View, desk: Desk, out: &mut Vec<Command>) {
    let strip = &desk.document.edition().strip;
    let painter = ui.painter_at(ui.clip_rect());
    for (i, patch) in strip.patches.iter().enumerate() {
        item_ui(ui, state, view, desk, Item::Patch(i), || patch_name(patch), out);
        patch_label_ui(&painter, view, desk, patch);
    }
    for (i, hazard) in strip.hazards.iter().enumerate() {
        hazard_ui(&painter, view, desk, hazard, desk.selected == Some(Item::Hazard(i)));
        item_ui(ui, state, view, desk, Item::Hazard(i), || hazard_name(desk, hazard), out);
    }
    for (i, obstacle) in strip.obstacles.iter().enumerate() {
        item_ui(ui, state, view, desk, Item::Obstacle(i), || obstacle_name(desk, obstacle), out);
    }
    for (ring, (corners, _)) in rings(strip).enumerate() {
        for index in 0..corners.len() {
            let item = Item::Corner(Corner { ring, index });
            let place = if ring == 0 { "outline".to_owned() } else { format!("island {ring}") };
            item_ui(ui, state, view, desk, item, || format!("corner {} of the {place}", index + 1), out);
        }
    }
}

/// One item: its target, its name, and what it answers to.
fn item_ui(
    ui: &Ui,
    state: &mut PlanState,
    view: &View,
    desk: Desk,
    item: Item,
    name: impl Fn() -> String,
    out: &mut Vec<Command>,
) {
    let Some(at) = place_of(desk, item) else { return };
    let centre = view.screen_from_field(at);
    let rect = target_rect(centre, desk.tokens.target * 0.8);
    if !ui.clip_rect().intersects(rect) {
        return;
    }
    let response = ui.interact(rect, ui.scope_id().with(item), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::GraphicsObject, true, name()));
    let selected = desk.selected == Some(item);
    let colour = if selected { desk.palette.selected.get() } else { desk.palette.edge.get() };
    let painter = ui.painter_at(ui.clip_rect());
    if let Item::Corner(_) = item {
        painter.rect_filled(target_rect(centre, 9.0), 1.0, colour);
    }
    if selected || response.has_focus() || response.hovered() {
        let ring = Stroke::new(desk.tokens.line, desk.palette.selected.get());
        painter.circle_stroke(centre, desk.tokens.target * 0.36, ring);
    }
    drag(state, view, &response, item, at, out);
    if response.clicked() || response.gained_focus() {
        out.push(Command::Select(Some(item)));
    }
    if response.has_focus() {
        keys(ui, &response, item, at, out);
    }
}

fn drag(
    state: &mut PlanState,
    view: &View,
    response: &Response,
    item: Item,
    at: Point,
    out: &mut Vec<Command>,
) {
    let pointer = response.interact_pointer_pos().map(|p| view.field_from_screen(p));
    // Where it was pressed: a drag is known as one only when the pointer has gone some way.
    let pressed = response.ctx.input(|i| i.pointer.press_origin()).map(|p| view.field_from_screen(p));
    if response.drag_started()
        && let Some(p) = pressed
    {
        state.gesture += 1;
        state.grabbed = Some((item, Point { x: at.x - p.x, y: at.y - p.y }));
        out.push(Command::Select(Some(item)));
    }
    if response.dragged()
        && let (Some((grabbed, shift)), Some(p)) = (state.grabbed, pointer)
        && grabbed == item
    {
        let to = Point { x: p.x + shift.x, y: p.y + shift.y };
        out.push(Command::Act(move_action(item, to), Some(state.gesture)));
    }
    if response.drag_stopped() {
        state.grabbed = None;
    }
}

fn keys(ui: &Ui, response: &Response, item: Item, at: Point, out: &mut Vec<Command>) {
    keep_arrows(ui, response);
    let (e, n) = arrow_steps(ui, 0.5, 5.0);
    if e != 0.0 || n != 0.0 {
        out.push(Command::Act(move_action(item, Point { x: at.x + e, y: at.y + n }), None));
    }
    if ui.input(|i| i.key_pressed(Key::Delete) || i.key_pressed(Key::Backspace)) {
        out.push(Command::Act(delete_action(item), None));
    }
}

fn move_action(item: Item, to: Point) -> Action {
    match item {
        Item::Corner(c) => Action::MoveCorner(c, to),
        Item::Hazard(i) => Action::MoveHazard(i, to),
        Item::Patch(i) => Action::MovePatch(i, to),
        Item::Obstacle(i) => Action::MoveObstacle(i, to),
    }
}

/// Takes an item out of the record.
pub(in super::super) fn delete_action(item: Item) -> Action {
    match item {
        Item::Corner(c) => Action::DeleteCorner(c),
        Item::Hazard(i) => Action::DeleteHazard(i),
        Item::Patch(i) => Action::DeletePatch(i),
        Item::Obstacle(i) => Action::DeleteObstacle(i),
    }
}

/// "rock r1, 0.20 m high".
pub(in super::super) fn hazard_name(desk: Desk, h: &HazardRecord) -> String {
    let size = match (h.height_m, h.depth_m) {
        (Some(height), _) => format!("{} high", desk.near(height)),
        (None, Some(depth)) => format!("{} deep", desk.near(depth)),
        (None, None) => "not measured".to_owned(),
    };
    let gone = if matches!(h.state, HazardStateRecord::Present) { "" } else { ", removed" };
    format!("{} {}, {size}{gone}", HazardKind::from(h.kind).name(), h.id)
}

/// "soft patch p1".
pub(in super::super) fn patch_name(p: &PatchRecord) -> String {
    let wet = if p.always_wet { "wet" } else { "ground" };
    format!("{wet} patch {}", p.id)
}

fn hazard_ui(painter: &Painter, view: &View, desk: Desk, h: &HazardRecord, selected: bool) {
    let gone = !matches!(h.state, HazardStateRecord::Present);
    let sunk = h.depth_m.is_some() || HazardKind::from(h.kind).is_sunk();
    let colour = if sunk { desk.palette.sunk.get() } else { desk.palette.rock.get() };
    let colour = if gone { desk.palette.faint.get() } else { colour };
    let to_scale = (h.radius_m as f32 * view.scale()).max(4.0);
    let corner = |&(e, n): &(f64, f64)| view.screen_from_field(Point { x: e, y: n });
    match &h.at {
        PlaceRecord::Point(e, n) => {
            let centre = view.screen_from_field(Point { x: *e, y: *n });
            sign_ui(painter, centre, to_scale, colour, sunk, gone);
            // Marks of a boulder field would cover it; the list and the screen reader have them all.
            if selected || desk.document.edition().strip.hazards.len() <= MOST_MARKED {
                painter.text(
                    centre + vec2(to_scale + 3.0, -to_scale),
                    Align2::LEFT_BOTTOM,
                    &h.id,
                    FontId::proportional(desk.tokens.small),
                    if selected { desk.palette.selected.get() } else { desk.palette.ink.get() },
                );
            }
        }
        PlaceRecord::Line(list) => {
            let stroke = Stroke::new((2.0 * h.radius_m as f32 * view.scale()).max(3.0), colour);
            painter.add(Shape::line(list.iter().map(corner).collect(), stroke));
        }
        PlaceRecord::Area(list) => {
            let stroke = Stroke::new(desk.tokens.line, colour);
            painter.add(Shape::closed_line(list.iter().map(corner).collect(), stroke));
        }
    }
}

/// Standing things are filled, sunk ones are rings, removed ones are crossed out.
fn sign_ui(painter: &Painter, centre: Pos2, radius: f32, colour: Color32, sunk: bool, gone: bool) {
    if sunk || gone {
        painter.circle_stroke(centre, radius, Stroke::new(2.0, colour));
    } else {
        painter.circle_filled(centre, radius, colour);
    }
    if gone {
        let d = vec2(radius, radius);
        painter.line_segment([centre - d, centre + d], Stroke::new(2.0, colour));
    }
}

fn patch_label_ui(painter: &Painter, view: &View, desk: Desk, patch: &PatchRecord) {
    let corners: Vec<Pos2> =
        patch.area.iter().map(|&(e, n)| view.screen_from_field(Point { x: e, y: n })).collect();
    let Some(&first) = corners.first() else { return };
    painter.add(Shape::closed_line(corners, Stroke::new(desk.tokens.line, desk.palette.sunk.get())));
    painter.text(
        first,
        Align2::LEFT_TOP,
        patch_name(patch),
        FontId::proportional(desk.tokens.small),
        desk.palette.ink.get(),
    );
}
