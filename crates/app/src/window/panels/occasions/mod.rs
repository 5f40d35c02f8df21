//! When the field would work: a picture over wind, or over mass and temperature, and what it says in words.
//!
//! Invariants: what holds in every cell is said above the picture and not in it; every shape is in the key.

mod chart;
mod words;

use super::super::desk::{Command, Desk};
use super::super::when::Getting;
use super::sign::sign;
use eframe::egui::{Label, ProgressBar, RichText, Sense, Ui, vec2};
use strip::{Question, Verdict};

pub(super) use words::limit as limit_words;

/// Size of a shape in the key, points.
const KEY: f32 = 14.0;

/// Verdicts of the key.
const VERDICTS: [Verdict; 4] = [Verdict::Fits, Verdict::Tight, Verdict::Unknown, Verdict::DoesNotFit];

/// The panel.
pub(super) fn occasions_ui(ui: &mut Ui, desk: Desk, out: &mut Vec<Command>) {
    ui.heading("When would this field work");
    ui.horizontal_wrapped(|ui| {
        for (question, name) in [(Question::Wind, "Wind"), (Question::Load, "Mass and temperature")] {
            if ui.selectable_label(desk.when.question == question, name).clicked() {
                out.push(Command::Ask(question));
            }
        }
    });
    if desk.document.inputs().aircraft.is_none() {
        ui.label("No aircraft given, so no lane is judged.");
        return;
    }
    progress_ui(ui, desk, out);
    let Some((picture, stale)) = desk.when.picture else { return };
    if stale {
        ui.label(RichText::new("Before the last change").strong());
    }
    let everywhere = words::everywhere(picture);
    if !everywhere.is_empty() {
        ui.label(RichText::new("The same in every cell, so left out of the picture:").strong());
        for line in everywhere {
            ui.add(Label::new(line).wrap());
        }
    }
    key_ui(ui, desk);
    let told = chart::chart_ui(ui, desk, picture, out);
    // As high with few words as with many: what stands below must not jump while the pointer goes from cell to cell.
    ui.vertical(|ui| {
        ui.set_min_height(TOLD_LINES * ui.text_style_height(&eframe::egui::TextStyle::Body));
        let text = told.map_or_else(|| "Not worked out yet".to_owned(), |t| words::cell(&t, desk.units));
        ui.add(Label::new(RichText::new(text).strong()).wrap());
    });
    if let Some(text) = words::strongest(picture, desk.units) {
        ui.add(Label::new(text).wrap());
    }
    ui.add(Label::new(words::assumed(picture, desk.units)).wrap());
    ui.add(
        Label::new(
            "A first look at each cell: what is not known is taken at the side that hurts. Another lane than those tried \
             may do better in a cell, never worse.",
        )
        .wrap(),
    );
}

/// Lines that the words of a cell may take.
const TOLD_LINES: f32 = 5.0;

fn progress_ui(ui: &mut Ui, desk: Desk, out: &mut Vec<Command>) {
    match desk.when.getting {
        Getting::Done => {}
        Getting::Waiting => {
            ui.label("Waits for the answer");
        }
        Getting::Running(share) => {
            ui.horizontal(|ui| {
                ui.add(ProgressBar::new(share).desired_width(160.0).show_percentage());
                if ui.button("Cancel the picture").clicked() {
                    out.push(Command::StopPicture);
                }
            });
        }
        Getting::Stopped => {
            if ui.button("Work out the picture").clicked() {
                out.push(Command::PictureAgain);
            }
        }
    }
}

/// What each shape says.
fn key_ui(ui: &mut Ui, desk: Desk) {
    ui.horizontal_wrapped(|ui| {
        for verdict in VERDICTS {
            let (rect, _) = ui.allocate_exact_size(vec2(KEY, KEY), Sense::hover());
            sign(ui.painter(), rect, verdict, desk.palette.verdict(verdict), 2.0);
            ui.label(verdict.name());
        }
        if desk.when.picture.is_some_and(|(p, _)| p.day.is_some()) {
            ui.label("ring: the day");
        }
    });
}
