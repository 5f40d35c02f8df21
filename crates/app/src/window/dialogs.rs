//! Questions in the way of everything else: a file to open or save, what a new sketch or day needs,
//! and whether to close with unsaved work.

use super::desk::Command;
use super::edition::{Action, Edition};
use super::forms;
use eframe::egui::{Context, Id, Key, Modal, TextEdit, Ui};
use std::path::PathBuf;

/// What is being asked.
#[derive(Clone, PartialEq, Debug)]
pub enum Dialog {
    /// A file by its name, or through the system's dialog.
    File {
        /// For saving rather than opening.
        to_save: bool,
        /// The path as typed.
        path: String,
        /// What went wrong with the last answer.
        note: String,
    },
    /// A few typed values.
    Form(Form),
    /// Unsaved work, and something that would lose it.
    Unsaved(AfterUnsaved),
}

/// What was asked for when unsaved work stood in the way.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum AfterUnsaved {
    /// Close the window.
    Close,
    /// Open another file.
    Open,
    /// Begin a new sketch.
    New,
}

/// A form of typed values.
#[derive(Clone, PartialEq, Debug)]
pub struct Form {
    /// What it makes.
    pub makes: Makes,
    /// Labels and texts.
    pub fields: Vec<(&'static str, String)>,
    /// What went wrong with the last answer.
    pub note: String,
}

/// What a form makes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Makes {
    /// A new strip.
    Sketch,
    /// A new day.
    Day,
}

/// Shows the question; commands say what was answered.
pub fn dialog_ui(ctx: &Context, dialog: &mut Dialog, out: &mut Vec<Command>) {
    let answer = Modal::new(Id::unique("question")).show(ctx, |ui| {
        ui.set_width(420.0);
        match dialog {
            Dialog::File { to_save, path, note } => file_ui(ui, *to_save, path, note, out),
            Dialog::Form(form) => form_ui(ui, form, out),
            Dialog::Unsaved(after) => unsaved_ui(ui, *after, out),
        }
    });
    if answer.should_close() {
        out.push(Command::Dismiss);
    }
}

fn file_ui(ui: &mut Ui, to_save: bool, path: &mut String, note: &str, out: &mut Vec<Command>) {
    let title = if to_save { "Save as" } else { "Open a strip" };
    ui.heading(title);
    let name = ui.label("File");
    let field = ui.add(TextEdit::singleline(path).desired_width(f32::INFINITY)).labelled_by(name.id);
    if !note.is_empty() {
        ui.label(note);
    }
    let entered = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    ui.horizontal(|ui| {
        let verb = if to_save { "Save here" } else { "Open this" };
        let chosen = ui.add_enabled(!path.trim().is_empty(), eframe::egui::Button::new(verb)).clicked();
        if chosen || (entered && !path.trim().is_empty()) {
            let file = PathBuf::from(path.trim());
            out.push(if to_save { Command::SaveTo(file) } else { Command::OpenFile(file) });
        }
        if ui.button("Browse").clicked() {
            out.push(Command::Browse { to_save });
        }
        if ui.button("Not now").clicked() {
            out.push(Command::Dismiss);
        }
    });
}

fn form_ui(ui: &mut Ui, form: &mut Form, out: &mut Vec<Command>) {
    let (title, verb) = match form.makes {
        Makes::Sketch => ("A new sketch", "Begin"),
        Makes::Day => ("The day", "Add this day"),
    };
    ui.heading(title);
    for (label, text) in &mut form.fields {
        let name = ui.label(*label);
        ui.add(TextEdit::singleline(text).desired_width(f32::INFINITY)).labelled_by(name.id);
    }
    if !form.note.is_empty() {
        ui.label(&form.note);
    }
    ui.horizontal(|ui| {
        if ui.button(verb).clicked() {
            match made(form) {
                Ok(command) => out.push(command),
                Err(reason) => form.note = reason,
            }
        }
        if ui.button("Not now").clicked() {
            out.push(Command::Dismiss);
        }
    });
}

fn made(form: &Form) -> Result<Command, String> {
    match form.makes {
        Makes::Sketch => forms::sketch(form).map(|strip| Command::Begin(Box::new(Edition::of_strip(strip)))),
        Makes::Day => forms::day(form).map(|day| Command::Act(Action::SetDay(Box::new(day)), None)),
    }
}

fn unsaved_ui(ui: &mut Ui, after: AfterUnsaved, out: &mut Vec<Command>) {
    ui.heading("This strip has unsaved work");
    ui.label(match after {
        AfterUnsaved::Close => "Closing now would lose it.",
        AfterUnsaved::Open => "Opening another would lose it.",
        AfterUnsaved::New => "Beginning another would lose it.",
    });
    ui.horizontal(|ui| {
        if ui.button("Save").clicked() {
            out.push(Command::Save);
        }
        if ui.button("Lose it").clicked() {
            out.push(Command::LoseUnsaved(after));
        }
        if ui.button("Keep working").clicked() {
            out.push(Command::Dismiss);
        }
    });
}
