//! The editor of a thing in the air path: what and where it is, how it was taken.
//!
//! Not here: its height ([`super::heights`]).

use super::super::desk::{Command, Desk, Item, Tool};
use super::super::edition::Action;
use super::super::obstacles::{can_be_shortened, is_drawn_on, point_name};
use super::super::places::{middle, moved, point};
use super::super::plan::obstacle_name;
use super::heights::height_ui;
use super::passed::passed_ui;
use super::things::{delete_ui, place_fields_ui};
use super::typed_field::{Kind, dated, text_ui, typed_ui};
use eframe::egui::{ComboBox, Ui};
use strip::record::{How, ObstacleKindRecord, ObstacleRecord, PlaceRecord};

/// Most points of a line that are listed; the rest are changed on the plan or in the file.
const MOST_POINTS: usize = 20;

/// Ways in which place and height are taken.
const WAYS: [Option<How>; 6] =
    [None, Some(How::Phone), Some(How::Pacing), Some(How::Tape), Some(How::Clinometer), Some(How::ByEye)];

/// The choice of what to mark next.
pub(super) fn mark_ui(ui: &mut Ui, out: &mut Vec<Command>) {
    ComboBox::from_label("mark something tall").selected_text("choose what it is").show_ui(ui, |ui| {
        for kind in ObstacleKindRecord::ALL {
            if ui.selectable_label(false, kind.name()).clicked() {
                out.push(Command::Take(Tool::Obstacle(kind)));
                let name = kind.name();
                out.push(Command::Say(format!("Click on the plan where the {name} is; Escape puts it away")));
            }
        }
    });
}

/// The editor.
pub(super) fn obstacle_ui(ui: &mut Ui, desk: Desk, index: usize, o: &ObstacleRecord, out: &mut Vec<Command>) {
    ui.push_id(("obstacle", index), |ui| {
        ui.heading(obstacle_name(desk, o));
        let mut new = o.clone();
        ComboBox::from_label("kind").selected_text(o.kind.name()).show_ui(ui, |ui| {
            for kind in ObstacleKindRecord::ALL {
                ui.selectable_value(&mut new.kind, kind, kind.name());
            }
        });
        fit_kind(&mut new, o.kind);
        height_ui(ui, desk, o, &mut new);
        line_ui(ui, index, o, out);
        ui.separator();
        passed_ui(ui, desk, &o.id);
        ui.separator();
        place_ui(ui, desk, o, &mut new);
        if let Some(size) = typed_ui(ui, desk, size_name(o), Kind::Length, Some(o.radius_m)) {
            new.radius_m = size;
        }
        taken_ui(ui, desk, o, &mut new);
        if new != *o {
            out.push(Command::Act(Action::SetObstacle(index, Box::new(new)), None));
        }
        delete_ui(ui, Item::Obstacle(index), out);
    });
}

/// Only a wire hangs between supports.
fn fit_kind(new: &mut ObstacleRecord, old: ObstacleKindRecord) {
    if new.kind != old && new.kind != ObstacleKindRecord::Wire {
        new.sag_m = None;
        new.heights_m.clear();
    }
}

fn size_name(o: &ObstacleRecord) -> &'static str {
    match (o.kind, &o.at) {
        (ObstacleKindRecord::Tree, PlaceRecord::Point(..)) => "radius of the crown",
        (ObstacleKindRecord::Tree | ObstacleKindRecord::TreeRow, _) => "half-width with crowns",
        (_, PlaceRecord::Point(..)) => "radius",
        (_, PlaceRecord::Line(_)) => "half-width",
        (_, PlaceRecord::Area(_)) => "reach beyond its corners",
    }
}

/// Easting and northing: of each point of a line, else of the middle.
fn place_ui(ui: &mut Ui, desk: Desk, o: &ObstacleRecord, new: &mut ObstacleRecord) {
    let PlaceRecord::Line(list) = &o.at else {
        if let Some(to) = place_fields_ui(ui, desk, middle(&o.at), "") {
            new.at = moved(&o.at, to);
        }
        return;
    };
    let name = point_name(o.kind);
    for (i, p) in list.iter().enumerate().take(MOST_POINTS) {
        let whose = format!(" of {name} {}", i + 1);
        if let Some(to) = place_fields_ui(ui, desk, point(p), &whose) {
            let mut list = list.clone();
            list[i] = (to.x, to.y);
            new.at = PlaceRecord::Line(list);
        }
    }
    if list.len() > MOST_POINTS {
        ui.label(format!("and {} {name}s more", list.len() - MOST_POINTS));
    }
}

/// Longer and shorter.
fn line_ui(ui: &mut Ui, index: usize, o: &ObstacleRecord, out: &mut Vec<Command>) {
    if !is_drawn_on(o.kind) || matches!(o.at, PlaceRecord::Area(_)) {
        return;
    }
    let name = point_name(o.kind);
    if o.kind == ObstacleKindRecord::Wire && !matches!(&o.at, PlaceRecord::Line(list) if list.len() > 1) {
        ui.label("one support only: it is judged as a pole until the next is marked");
    }
    ui.horizontal_wrapped(|ui| {
        if ui.button(format!("Mark the next {name}s on the plan")).clicked() {
            out.push(Command::Take(Tool::DrawOn));
            out.push(Command::Say(format!("Click on the plan where the next {name} is; Escape ends it")));
        }
        if can_be_shortened(o) && ui.button(format!("Take the last {name} away (can be undone)")).clicked() {
            out.push(Command::Act(Action::ShortenObstacle(index), None));
        }
    });
}

/// How and when it was taken.
fn taken_ui(ui: &mut Ui, desk: Desk, o: &ObstacleRecord, new: &mut ObstacleRecord) {
    ComboBox::from_label("taken").selected_text(way(o.how)).show_ui(ui, |ui| {
        for how in WAYS {
            ui.selectable_value(&mut new.how, how, way(how));
        }
    });
    if let Some(sigma) = typed_ui(ui, desk, "position accuracy", Kind::Length, o.pos_sigma_m) {
        new.pos_sigma_m = Some(sigma);
    }
    if let Some(sigma) = typed_ui(ui, desk, "height accuracy", Kind::Length, o.height_sigma_m) {
        new.height_sigma_m = Some(sigma);
    }
    let stated = o.pos_sigma_m.is_some() || o.height_sigma_m.is_some();
    if stated && ui.button("Accuracies as of how it was taken").clicked() {
        (new.pos_sigma_m, new.height_sigma_m) = (None, None);
    }
    if let Some(on) = text_ui(ui, desk, "surveyed on", &o.surveyed, dated) {
        new.surveyed = on;
    }
}

const fn way(how: Option<How>) -> &'static str {
    match how {
        None => "as the approaches were",
        Some(How::Phone) => "by phone",
        Some(How::Pacing) => "by pacing",
        Some(How::Tape) => "by tape",
        Some(How::Clinometer) => "by tape and clinometer",
        Some(How::ByEye) => "by eye",
    }
}
