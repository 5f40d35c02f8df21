//! The field: its name, its cover, what was looked at, and what stands on each edge.

use super::super::desk::{Command, Desk, Item};
use super::super::edition::{Action, Corner, rings, survey_of};
use super::super::plan::edge_name;
use super::ground::{cover_ui, heel_ui};
use super::measured::measured_ui;
use super::typed_field::{Kind, dated, text_ui, typed_ui};
use eframe::egui::{ComboBox, Ui};
use strip::SurveyKind;
use strip::record::{EdgeRecord, SurveyedRecord};

/// Height or depth of an edge just chosen (judgement: a common stock fence, an ordinary ditch).
const EDGE_SIZE: f64 = 1.2;

/// The panel.
pub(super) fn field_ui(ui: &mut Ui, desk: Desk, out: &mut Vec<Command>) {
    let strip = &desk.document.edition().strip;
    let named = |text: &str| if text.trim().is_empty() { Err("a name".to_owned()) } else { Ok(()) };
    if let Some(name) = text_ui(ui, desk, "name", &strip.name, named) {
        out.push(Command::Act(Action::SetName(name), None));
    }
    let mut cover = strip.cover;
    cover_ui(ui, "cover of the field", &mut cover, "not stated");
    if cover != strip.cover {
        out.push(Command::Act(Action::SetCover(cover), None));
    }
    let mut strength = strip.strength.clone();
    heel_ui(ui, desk, "heel mark of the field, the deepest", &mut strength);
    if strength != strip.strength {
        out.push(Command::Act(Action::SetStrength(strength), None));
    }
    ui.separator();
    ui.heading("Looked at");
    for kind in SurveyKind::ALL {
        survey_ui(ui, desk, kind, out);
    }
    ui.separator();
    ui.heading("Edges");
    for (ring, (_, edges)) in rings(strip).enumerate() {
        for (index, &kind) in edges.iter().enumerate() {
            edge_ui(ui, desk, Corner { ring, index }, kind, out);
        }
    }
    measured_ui(ui, desk);
}

/// "Looked at" needs a date, because a walk is worth what it is old.
fn survey_ui(ui: &mut Ui, desk: Desk, kind: SurveyKind, out: &mut Vec<Command>) {
    let strip = &desk.document.edition().strip;
    match survey_of(strip, kind) {
        SurveyedRecord::NotLooked => {
            if let Some(on) = text_ui(ui, desk, &format!("{}: not looked; looked on", kind.name()), "", dated)
            {
                let by = "the surveyor".to_owned();
                let looked = SurveyedRecord::Looked { on, by, how: None, spacing_m: None, grass_m: None };
                out.push(Command::Act(Action::SetSurvey(kind, looked), None));
            }
        }
        SurveyedRecord::Looked { on, by, .. } | SurveyedRecord::Measured { on, by, .. } => {
            ui.label(format!("{}: on {on} by {by}", kind.name()));
            if ui.button(format!("Forget: {}", kind.name())).on_hover_text("can be undone").clicked() {
                out.push(Command::Act(Action::SetSurvey(kind, SurveyedRecord::NotLooked), None));
            }
        }
    }
}

fn edge_ui(ui: &mut Ui, desk: Desk, corner: Corner, kind: EdgeRecord, out: &mut Vec<Command>) {
    let place = if corner.ring == 0 { String::new() } else { format!(" of island {}", corner.ring) };
    let label = format!("edge {}{place}", corner.index + 1);
    ui.push_id(("edge", corner), |ui| {
        let mut new = kind;
        let shown = edge_name(desk, kind);
        ui.horizontal(|ui| {
            ComboBox::from_label(&label).selected_text(shown).show_ui(ui, |ui| {
                for choice in choices(kind) {
                    ui.selectable_value(&mut new, choice, edge_name(desk, choice));
                }
            });
            if ui.button(format!("Show {label}")).clicked() {
                out.push(Command::Select(Some(Item::Corner(corner))));
            }
        });
        if let Some(size) = size_of(kind)
            && let Some(typed) = typed_ui(ui, desk, &format!("size of {label}"), Kind::Length, Some(size))
        {
            new = with_size(kind, typed);
        }
        if new != kind {
            out.push(Command::Act(Action::SetEdge(corner, new), None));
        }
    });
}

/// Every kind, at the present size where there is one.
fn choices(kind: EdgeRecord) -> [EdgeRecord; 7] {
    let size = size_of(kind).unwrap_or(EDGE_SIZE);
    [
        EdgeRecord::Open,
        EdgeRecord::Fence(size),
        EdgeRecord::Hedge(size),
        EdgeRecord::Wall(size),
        EdgeRecord::Ditch(size),
        EdgeRecord::Water,
        EdgeRecord::Road,
    ]
}

fn size_of(kind: EdgeRecord) -> Option<f64> {
    match kind {
        EdgeRecord::Fence(s) | EdgeRecord::Hedge(s) | EdgeRecord::Wall(s) | EdgeRecord::Ditch(s) => Some(s),
        EdgeRecord::Open | EdgeRecord::Water | EdgeRecord::Road => None,
    }
}

fn with_size(kind: EdgeRecord, size: f64) -> EdgeRecord {
    match kind {
        EdgeRecord::Fence(_) => EdgeRecord::Fence(size),
        EdgeRecord::Hedge(_) => EdgeRecord::Hedge(size),
        EdgeRecord::Wall(_) => EdgeRecord::Wall(size),
        EdgeRecord::Ditch(_) => EdgeRecord::Ditch(size),
        EdgeRecord::Open | EdgeRecord::Water | EdgeRecord::Road => kind,
    }
}
