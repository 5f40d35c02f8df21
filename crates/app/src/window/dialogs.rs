//! Questions in the way of everything else: a file to open or save, what a new sketch or day needs,
//! and whether to close with unsaved work.

use super::desk::Command;
use super::edition::{Action, Edition};
use super::forms;
use eframe::egui::{Button, Context, Id, Key, Modal, TextEdit, Ui};
use std::path::PathBuf;

/// What is being asked.
#[derive(Clone, PartialEq, Debug)]
pub enum Dialog {
    /// A file by its name, or through the system's dialog.
    File(FileQuestion),
    /// A few typed values.
    Form(Form),
    /// Unsaved work, and something that would lose it.
    Unsaved(AfterUnsaved),
}

/// A question for a file.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FileQuestion {
    /// What the file is for.
    pub purpose: Purpose,
    /// The path as typed.
    pub path: String,
    /// What went wrong with the last answer.
    pub note: String,
    /// A file that is already there and that the person was told about.
    pub known: Option<PathBuf>,
}

/// What a file is wanted for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Purpose {
    /// A strip to open.
    Open,
    /// A name to save the strip under.
    SaveAs,
    /// An aircraft for this strip.
    Aircraft,
    /// A day for this strip.
    Day,
}

impl Purpose {
    const fn title(self) -> &'static str {
        match self {
            Self::Open => "Open a strip",
            Self::SaveAs => "Save as",
            Self::Aircraft => "Give an aircraft",
            Self::Day => "Give a day",
        }
    }

    const fn verb(self) -> &'static str {
        match self {
            Self::SaveAs => "Save here",
            Self::Open | Self::Aircraft | Self::Day => "Open this",
        }
    }

    /// What the answer asks for.
    fn command(self, file: PathBuf, known: Option<&PathBuf>) -> Command {
        match self {
            Self::Open => Command::OpenFile(file),
            Self::SaveAs => Command::SaveTo { replace: known == Some(&file), file },
            Self::Aircraft => Command::GiveAircraft(file),
            Self::Day => Command::GiveDay(file),
        }
    }
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
            Dialog::File(question) => file_ui(ui, question, out),
            Dialog::Form(form) => form_ui(ui, form, out),
            Dialog::Unsaved(after) => unsaved_ui(ui, *after, out),
        }
    });
    if answer.should_close() {
        out.push(Command::Dismiss);
    }
}

fn file_ui(ui: &mut Ui, question: &mut FileQuestion, out: &mut Vec<Command>) {
    let FileQuestion { purpose, path, note, known } = question;
    ui.heading(purpose.title());
    let name = ui.label("File");
    let field = ui.add(TextEdit::singleline(path).desired_width(f32::INFINITY)).labelled_by(name.id);
    // Nothing else in a question is worth the focus at first.
    if ui.memory(|m| m.focused().is_none()) && path.is_empty() {
        field.request_focus();
    }
    if !note.is_empty() {
        ui.label(&*note);
    }
    let entered = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    let typed = !path.trim().is_empty();
    ui.horizontal(|ui| {
        let chosen = ui.add_enabled(typed, Button::new(purpose.verb())).clicked();
        if typed && (chosen || entered) {
            out.push(purpose.command(PathBuf::from(path.trim()), known.as_ref()));
        }
        if ui.button("Browse").clicked() {
            out.push(Command::Browse { to_save: *purpose == Purpose::SaveAs });
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
