//! Hazards, patches and what stands in the air path: the list, and the editor of the chosen one.

use super::super::desk::{Command, Desk, Item, Tool};
use super::super::edition::Action;
use super::super::places::{middle, moved};
use super::super::plan::{delete_action, hazard_name, obstacle_name, patch_name};
use super::ground::{cover_ui, heel_ui};
use super::obstacles::{mark_ui, obstacle_ui};
use super::passed::passed_ui;
use super::typed_field::{Kind, dated, text_ui, typed_ui};
use eframe::egui::{Align2, ComboBox, FontId, Role, Sense, StrokeKind, Ui, WidgetInfo, vec2};
use ground::{HazardKind, Point};
use strip::record::{HazardKindRecord, HazardRecord, HazardStateRecord, PatchRecord, PlaceRecord};

/// Kinds in the order of the choice; the check below keeps it whole.
const KINDS: [HazardKindRecord; HazardKind::ALL.len()] = [
    HazardKindRecord::Rock,
    HazardKindRecord::Stump,
    HazardKindRecord::Post,
    HazardKindRecord::Mound,
    HazardKindRecord::Rut,
    HazardKindRecord::Hole,
    HazardKindRecord::Drain,
    HazardKindRecord::Unidentified,
];

/// Most entries drawn in the list at once.
const LISTED: usize = 300;

/// The panel.
pub(super) fn things_ui(ui: &mut Ui, desk: Desk, out: &mut Vec<Command>) {
    let strip = &desk.document.edition().strip;
    match desk.selected {
        Some(Item::Hazard(i)) => {
            if let Some(h) = strip.hazards.get(i) {
                hazard_ui(ui, desk, i, h, out);
            }
        }
        Some(Item::Patch(i)) => {
            if let Some(p) = strip.patches.get(i) {
                patch_ui(ui, desk, i, p, out);
            }
        }
        Some(Item::Obstacle(i)) => {
            if let Some(o) = strip.obstacles.get(i) {
                obstacle_ui(ui, desk, i, o, out);
            }
        }
        Some(Item::Corner(_)) | None => {
            ui.label("Choose a thing here or on the plan, or mark a new one:");
            ui.horizontal_wrapped(|ui| {
                for (name, tool) in [("Mark a rock", Tool::Rock), ("Mark soft ground", Tool::SoftPatch)] {
                    if ui.button(name).clicked() {
                        out.push(Command::Take(tool));
                    }
                }
            });
            mark_ui(ui, out);
        }
    }
    ui.separator();
    for (i, h) in strip.hazards.iter().enumerate().take(LISTED) {
        list_row_ui(ui, desk, Item::Hazard(i), || hazard_name(desk, h), out);
    }
    for (i, p) in strip.patches.iter().enumerate().take(LISTED) {
        list_row_ui(ui, desk, Item::Patch(i), || patch_name(p), out);
    }
    for (i, o) in strip.obstacles.iter().enumerate().take(LISTED) {
        list_row_ui(ui, desk, Item::Obstacle(i), || obstacle_name(desk, o), out);
    }
    let lists = [strip.hazards.len(), strip.patches.len(), strip.obstacles.len()];
    let more: usize = lists.iter().map(|length| length.saturating_sub(LISTED)).sum();
    if more > 0 {
        ui.label(format!("and {more} more on the plan"));
    }
}

fn list_row_ui(ui: &mut Ui, desk: Desk, item: Item, name: impl Fn() -> String, out: &mut Vec<Command>) {
    // The plan has a node of the same name; "list:" tells a screen reader which one this is.
    let selected = desk.selected == Some(item);
    let size = vec2(ui.available_width(), desk.tokens.target);
    let (rect, row) = ui.allocate_exact_size(size, Sense::click());
    // Words of hundreds of rows out of sight would cost more than all the rest of the window.
    if ui.is_rect_visible(rect) {
        let looks = ui.style().interact_selectable(&row, selected);
        if selected || row.hovered() || row.has_focus() {
            ui.painter().rect(
                rect,
                looks.corner_radius,
                looks.weak_bg_fill,
                looks.bg_stroke,
                StrokeKind::Inside,
            );
        }
        let (at, font) =
            (rect.left_center() + ui.spacing().button_padding * vec2(1.0, 0.0), desk.tokens.text);
        let ink = desk.palette.ink.get();
        ui.painter().text(at, Align2::LEFT_CENTER, name(), FontId::proportional(font), ink);
    }
    if row.gained_focus() {
        row.scroll_to_me(None);
    }
    row.widget_info(|| WidgetInfo::selected(Role::Button, true, selected, format!("list: {}", name())));
    if row.clicked() {
        out.push(Command::Select(Some(item)));
    }
}

fn hazard_ui(ui: &mut Ui, desk: Desk, index: usize, h: &HazardRecord, out: &mut Vec<Command>) {
    ui.push_id(("hazard", index), |ui| {
        ui.heading(hazard_name(desk, h));
        let mut new = h.clone();
        ComboBox::from_label("kind").selected_text(HazardKind::from(h.kind).name()).show_ui(ui, |ui| {
            for kind in KINDS {
                ui.selectable_value(&mut new.kind, kind, HazardKind::from(kind).name());
            }
        });
        fit_kind(&mut new, h.kind);
        if let Some(to) = place_fields_ui(ui, desk, middle(&h.at), "") {
            new.at = moved(&h.at, to);
        }
        if let Some(radius) = typed_ui(ui, desk, "radius", Kind::Length, Some(h.radius_m)) {
            new.radius_m = radius;
        }
        if HazardKind::from(new.kind).is_sunk() {
            if let Some(depth) = typed_ui(ui, desk, "depth", Kind::Length, h.depth_m) {
                new.depth_m = Some(depth);
            }
        } else if let Some(height) = typed_ui(ui, desk, "height", Kind::Length, h.height_m) {
            new.height_m = Some(height);
        }
        if let Some(sigma) = typed_ui(ui, desk, "position accuracy", Kind::Length, h.pos_sigma_m) {
            new.pos_sigma_m = Some(sigma);
        }
        removed_ui(ui, desk, h, &mut new);
        if new != *h {
            out.push(Command::Act(Action::SetHazard(index, Box::new(new)), None));
        }
        passed_ui(ui, desk, &h.id);
        delete_ui(ui, Item::Hazard(index), out);
    });
}

/// A size belongs to a kind: heights to what stands, depths to what goes down.
fn fit_kind(new: &mut HazardRecord, old: HazardKindRecord) {
    if HazardKind::from(new.kind).is_sunk() != HazardKind::from(old).is_sunk() {
        new.height_m = None;
        new.depth_m = None;
    }
}

/// A hazard is gone only when somebody says on what day they saw it.
fn removed_ui(ui: &mut Ui, desk: Desk, h: &HazardRecord, new: &mut HazardRecord) {
    match &h.state {
        HazardStateRecord::Present => {
            if let Some(on) = text_ui(ui, desk, "seen gone on", "", dated) {
                new.state = HazardStateRecord::Removed { on, by: "the surveyor".to_owned() };
            }
        }
        HazardStateRecord::Removed { on, by } => {
            ui.label(format!("removed, seen on {on} by {by}"));
            if ui.button("It is there again").clicked() {
                new.state = HazardStateRecord::Present;
            }
        }
    }
}

fn patch_ui(ui: &mut Ui, desk: Desk, index: usize, p: &PatchRecord, out: &mut Vec<Command>) {
    ui.push_id(("patch", index), |ui| {
        ui.heading(patch_name(p));
        let mut new = p.clone();
        let place = PlaceRecord::Area(p.area.clone());
        if let Some(to) = place_fields_ui(ui, desk, middle(&place), "")
            && let PlaceRecord::Area(area) = moved(&place, to)
        {
            new.area = area;
        }
        cover_ui(ui, "cover of the patch", &mut new.cover, "as the rest");
        ui.checkbox(&mut new.always_wet, "wet on every day");
        heel_ui(ui, desk, "heel mark", &mut new.strength);
        if new != *p {
            out.push(Command::Act(Action::SetPatch(index, Box::new(new)), None));
        }
        delete_ui(ui, Item::Patch(index), out);
    });
}

/// Easting and northing of a thing's middle, or of whose point it is; the new place once one of them is typed.
pub(super) fn place_fields_ui(ui: &mut Ui, desk: Desk, at: Point, whose: &str) -> Option<Point> {
    let east = typed_ui(ui, desk, &format!("easting{whose}"), Kind::Length, Some(at.x));
    let north = typed_ui(ui, desk, &format!("northing{whose}"), Kind::Length, Some(at.y));
    let typed = east.is_some() || north.is_some();
    typed.then(|| Point { x: east.unwrap_or(at.x), y: north.unwrap_or(at.y) })
}

pub(super) fn delete_ui(ui: &mut Ui, item: Item, out: &mut Vec<Command>) {
    if ui.button("Delete (can be undone)").clicked() {
        out.push(Command::Act(delete_action(item), None));
        out.push(Command::Select(None));
    }
}
