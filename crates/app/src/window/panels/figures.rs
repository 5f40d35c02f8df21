//! The figures beside the verdict, each a tap away from what it is made of and from where that is changed.

use super::super::desk::{Command, Desk};
use super::Panel;
use crate::words;
use eframe::egui::{CollapsingHeader, Label, RichText, ScrollArea, Ui};
use strip::AssessedLane;

/// Height of an open list, points.
const MOST_HEIGHT: f32 = 220.0;

/// One input of a figure, and the panel in which it is changed, if in any.
type Input = (String, Option<Panel>);

/// Usable length and what the slide needs, of the best lane.
pub(super) fn figures_ui(ui: &mut Ui, desk: Desk, out: &mut Vec<Command>) {
    let Some(lane) = desk.best() else {
        ui.label("Usable slide length: no lane judged");
        return;
    };
    let usable = format!("Usable slide length {} on lane {}", desk.least(lane.usable_slide_m), lane.id);
    figure_ui(ui, "usable", &usable, &usable_inputs(desk, lane), out);
    let needs = lane.demand_m.zip(lane.spare_m).map_or_else(
        || "At the ends of what is known it would not come to rest".to_owned(),
        |(demand, spare)| {
            let (most, scatter) = (desk.most(demand), desk.most(lane.scatter_m));
            format!("Slide needs {most}, scatter {scatter}, spare {}", desk.least(spare))
        },
    );
    figure_ui(ui, "needs", &needs, &slide_inputs(desk, lane), out);
}

fn figure_ui(ui: &mut Ui, id: &str, text: &str, inputs: &[Input], out: &mut Vec<Command>) {
    CollapsingHeader::new(RichText::new(text).strong()).id_salt(id).show(ui, |ui| {
        // What stands below must stay in sight.
        ScrollArea::vertical().id_salt((id, "inputs")).max_height(MOST_HEIGHT).show(ui, |ui| {
            for (line, panel) in inputs {
                ui.add(Label::new(line).wrap());
                let Some(panel) = panel else { continue };
                if ui.button(format!("Open {}", panel.name())).clicked() {
                    out.push(Command::Show(*panel));
                }
            }
        });
    });
}

fn usable_inputs(desk: Desk, lane: &AssessedLane) -> Vec<Input> {
    vec![
        (format!("clear {} to {}", desk.least(lane.length_m), lane.far_end_at), Some(Panel::Things)),
        (earliest(desk, lane), Some(Panel::Assumed)),
        (format!("end margin begins at {}", desk.least(lane.end_margin_at_m)), Some(Panel::Assumed)),
    ]
}

/// Where the usable length begins, and why there.
fn earliest(desk: Desk, lane: &AssessedLane) -> String {
    let at = desk.most(lane.earliest_touchdown_m);
    let over = lane.approach.earliest_over.as_ref();
    over.map_or_else(
        || format!("near margin {at}"),
        |over| format!("earliest touchdown {at}, reached over {over}"),
    )
}

fn slide_inputs(desk: Desk, lane: &AssessedLane) -> Vec<Input> {
    let chances = words::chances(lane, desk.units).into_iter().map(|line| (line, None));
    let panels = [
        None,
        Some(Panel::Field),
        Some(Panel::Field),
        Some(Panel::Day),
        Some(Panel::Assumed),
        Some(Panel::Aircraft),
    ];
    chances.chain(words::basis(lane, desk.units).into_iter().zip(panels)).collect()
}
