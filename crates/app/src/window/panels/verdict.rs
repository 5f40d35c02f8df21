//! The verdict, always in sight, and the reasons behind it.

use super::super::desk::{Command, Desk};
use super::figures::figures_ui;
use super::occasions::limit_words;
use super::ranking::ranking_ui;
use super::sign::sign;
use crate::words;
use eframe::egui::{self, Color32, RichText, Sense, TextStyle, Ui, vec2};
use strip::{AssessedLane, Assessment, Verdict};

/// Lengths that matter, beside the verdict: what there is and what is needed.
pub fn verdict_ui(ui: &mut Ui, desk: Desk, work: Work, out: &mut Vec<Command>) {
    let Some(answer) = desk.answer else {
        ui.label(RichText::new("Working out the verdict").heading());
        progress_ui(ui, work, out);
        return;
    };
    let colour = desk.palette.verdict(answer.verdict);
    ui.horizontal(|ui| {
        sign_ui(ui, answer.verdict, colour);
        let stale = if desk.stale { " (before the last change)" } else { "" };
        let text = format!("Verdict: {}{stale}", answer.verdict.name());
        ui.label(RichText::new(text).heading().strong().color(colour));
    });
    figures_ui(ui, desk, out);
    limits_ui(ui, desk, answer);
    if let Some((said, now)) = desk.longer {
        let now = if now.is_finite() { desk.most(now) } else { "no stop".to_owned() };
        let said = desk.most(said);
        ui.label(format!("Looking closer made the slide longer than the first look said: {said}, now {now}"));
    }
    ui.label(match (answer.preview, work) {
        (true, Work::Stopped) => "A first look only: stopped before looking closer",
        (true, _) => "A first look: looking closer…",
        (false, _) => " ",
    });
    let unjudged: Vec<String> = answer.not_judged.iter().map(|n| n.what.word().replace('_', " ")).collect();
    ui.label(RichText::new(format!("Not judged: {}", unjudged.join(", "))).small());
    progress_ui(ui, work, out);
}

/// Lines that are kept for the winds along the best lane and its reverse.
const LIMIT_LINES: f32 = 4.0;

/// Winds along the best lane. They come later than the answer, so their room is kept: nothing below moves away under a
/// finger.
fn limits_ui(ui: &mut Ui, desk: Desk, answer: &Assessment) {
    if answer.lanes.is_empty() {
        return;
    }
    ui.vertical(|ui| {
        let rows = LIMIT_LINES * ui.text_style_height(&TextStyle::Small);
        ui.set_min_height(rows + ui.spacing().item_spacing.y);
        let names = ["the best lane", "the same the other way"];
        for (limit, name) in desk.when.limits.into_iter().flatten().zip(names) {
            let text = limit_words(limit, name, desk.units);
            ui.add(egui::Label::new(RichText::new(text).small()).wrap());
        }
    });
}

/// How the assessment is getting on.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Work {
    /// Nothing to do, or not worth a word yet.
    Quiet,
    /// Under way for a while; the share done.
    Running(f32),
    /// The person broke it off.
    Stopped,
}

fn progress_ui(ui: &mut Ui, work: Work, out: &mut Vec<Command>) {
    match work {
        Work::Quiet => {}
        Work::Running(share) => {
            ui.horizontal(|ui| {
                ui.add(egui::ProgressBar::new(share).desired_width(160.0).show_percentage());
                if ui.button("Cancel").clicked() {
                    out.push(Command::CancelAssessment);
                }
            });
        }
        Work::Stopped => {
            if ui.button("Assess again").clicked() {
                out.push(Command::AssessAgain);
            }
        }
    }
}

/// The shape of a verdict, beside its word.
fn sign_ui(ui: &mut Ui, verdict: Verdict, colour: Color32) {
    let (rect, _) = ui.allocate_exact_size(vec2(SIGN, SIGN), Sense::hover());
    sign(ui.painter(), rect.shrink(2.5), verdict, colour, 3.0);
}

/// Size of the shape of a verdict, points.
const SIGN: f32 = 24.0;

/// Reasons, what to measure next, what is not judged, the caution.
pub(super) fn why_ui(ui: &mut Ui, desk: Desk) {
    let Some(answer) = desk.answer else { return };
    for reason in &answer.reasons {
        ui.horizontal_top(|ui| {
            if let Some(verdict) = reason.verdict {
                sign_ui(ui, verdict, desk.palette.verdict(verdict));
            }
            let text = words::reason(reason, desk.units);
            ui.add(egui::Label::new(format!("{}: {text}", reason.verdict_name())).wrap());
        });
    }
    if let Some(lane) = answer.lanes.first() {
        gains_ui(ui, desk, lane);
    }
    if let Some(certificate) = &answer.certificate {
        ui.separator();
        ui.heading("How sure the longest lane is");
        ui.label(words::certificate(certificate, desk.units));
    }
    if let Some(lane) = answer.lanes.first().filter(|lane| !lane.remedies.is_empty()) {
        ui.separator();
        ui.heading("What would make it long enough, each by itself");
        for remedy in &lane.remedies {
            ui.label(words::remedy(remedy, desk.units));
        }
    }
    if !answer.missing.is_empty() {
        ranking_ui(ui, desk, &answer.missing);
    }
    if let Some(lane) = answer.lanes.first() {
        ui.separator();
        ui.heading(format!("Way in, lane {}", lane.id));
        for line in words::way_in(lane, desk.units) {
            ui.label(line);
        }
        ui.label("After touchdown there is no going round");
        ui.separator();
        ui.heading(format!("Worked from, lane {}", lane.id));
        let touchdown = words::touchdown(lane, desk.units);
        let slide = words::chances(lane, desk.units).into_iter().chain(words::basis(lane, desk.units));
        for line in slide.chain(touchdown).chain(words::on_the_keels(lane, desk.units)) {
            ui.label(line);
        }
    }
    ui.separator();
    ui.heading("Not judged by this version");
    for unjudged in &answer.not_judged {
        ui.label(&unjudged.text);
    }
    ui.separator();
    ui.label(answer.caution);
}

/// What holds the best lane where it is, and what clearing it away would gain.
fn gains_ui(ui: &mut Ui, desk: Desk, lane: &AssessedLane) {
    ui.separator();
    ui.heading("What clearing would gain");
    if lane.ruling_hazards.is_empty() {
        ui.label(format!("Lane {} rests against no hazard; clearing elsewhere is not tried", lane.id));
        return;
    }
    ui.label(format!("Lane {} rests against {}", lane.id, lane.ruling_hazards.join(", ")));
    if desk.answer.is_some_and(|a| a.preview) {
        ui.label("Worked out with the full answer, not in a first look");
    } else if lane.gains.is_empty() {
        ui.label("Clearing one or two of them would gain nothing that the search can tell");
    }
    for gain in &lane.gains {
        ui.label(words::gain(gain, desk.units));
    }
}
