//! What the window does for each command of a screen.

use super::App;
use super::desk::{Command, Item, Tool};
use super::dialogs::{AfterUnsaved, Dialog, FileQuestion, Purpose};
use super::document::Document;
use super::edition::Action;
use super::panels::Panel;
use super::{Asked, forms};
use crate::inputs::Sources;
use eframe::egui::{Context, ViewportCommand};
use std::path::PathBuf;

impl App {
    pub(super) fn do_command(&mut self, ctx: &Context, command: Command) {
        match command {
            Command::Act(action, gesture) => self.act(&action, gesture),
            Command::Select(item) => self.select(item),
            Command::Take(tool) => self.tool = tool,
            Command::Undo => self.step(Document::undo, "Undone"),
            Command::TakeBack(gesture) => {
                if self.document.as_mut().is_some_and(|d| d.take_back(gesture)) {
                    "Put back".clone_into(&mut self.status);
                }
            }
            Command::Redo => self.step(Document::redo, "Done again"),
            Command::New => self.unless_unsaved(ctx, AfterUnsaved::New),
            Command::Open => self.unless_unsaved(ctx, AfterUnsaved::Open),
            Command::AskDay => self.dialog = Some(Dialog::Form(forms::day_form())),
            Command::Begin(edition) => match Document::unsaved(*edition) {
                Ok(document) => self.put(document),
                Err(bad) => self.note(bad.to_string()),
            },
            Command::OpenFile(strip) => {
                self.number += 1;
                let revision = self.document.as_ref().map_or(0, Document::revision);
                self.opening = Some((self.number, revision));
                self.background.open(self.number, Sources { strip, ..Sources::default() });
            }
            Command::Save => self.save(None, false),
            Command::SaveAs => self.ask_file(Purpose::SaveAs),
            Command::SaveTo { file, replace } => self.save(Some(file), replace),
            Command::AskAircraft => self.ask_file(Purpose::Aircraft),
            Command::GiveAircraft(path) => self.background.read_aircraft(self.document_number, path),
            Command::AskDayFile => self.ask_file(Purpose::Day),
            Command::GiveDay(path) => self.background.read_day(self.document_number, path),
            Command::Browse { to_save } => self.background.pick(to_save),
            Command::Dismiss => (self.dialog, self.after_save, self.opening) = (None, None, None),
            Command::Units(units) => self.units = units,
            Command::Below(picture) => self.below.picture = picture,
            Command::Show(panel) => self.panel = panel,
            Command::Dark(dark) => self.dark = dark,
            Command::CancelAssessment => {
                self.background.cancel();
                self.asked = self.asked.map(|a| Asked { stopped: true, ..a });
            }
            Command::AssessAgain => self.asked = None,
            Command::Ask(question) => self.when.turn_to(question),
            Command::LookAtCell(cell) => self.when.choose(cell),
            Command::StopPicture => self.when.stop(),
            Command::PictureAgain => self.when.again(),
            Command::LoseUnsaved(after) => self.go_on(ctx, after),
            Command::Say(text) => self.status = text,
        }
    }

    pub(super) fn act(&mut self, action: &Action, gesture: Option<u64>) {
        let Some(document) = &mut self.document else { return };
        let before = document.revision();
        match document.act(action, gesture) {
            Ok(()) if document.revision() == before => self.dialog = None,
            Ok(()) => {
                self.status = by_hand(action).map_or_else(String::new, str::to_owned);
                match action {
                    Action::MarkHazard(..) => {
                        self.select(self.last_hazard());
                        self.tool = Tool::Choose;
                    }
                    Action::MarkPatch(_) => {
                        self.select(self.last_patch());
                        self.tool = Tool::Choose;
                    }
                    Action::SetDay(_) | Action::SetAircraft(_) => self.dialog = None,
                    Action::DeleteCorner(_) | Action::DeleteHazard(_) | Action::DeletePatch(_) => {
                        self.selected = None;
                    }
                    _ => {}
                }
            }
            Err(bad) => self.note(format!("Not done: {bad}")),
        }
    }

    pub(super) fn last_hazard(&self) -> Option<Item> {
        self.document.as_ref()?.edition().strip.hazards.len().checked_sub(1).map(Item::Hazard)
    }

    pub(super) fn last_patch(&self) -> Option<Item> {
        self.document.as_ref()?.edition().strip.patches.len().checked_sub(1).map(Item::Patch)
    }

    /// Chooses a thing and shows its editor.
    pub(super) fn select(&mut self, item: Option<Item>) {
        self.selected = item;
        match item {
            Some(Item::Hazard(_) | Item::Patch(_)) => self.panel = Panel::Things,
            Some(Item::Corner(_)) => self.panel = Panel::Field,
            None => {}
        }
    }

    pub(super) fn step(&mut self, step: impl Fn(&mut Document), said: &str) {
        if let Some(document) = &mut self.document {
            step(document);
            self.selected = None;
            said.clone_into(&mut self.status);
        }
    }

    pub(super) fn save(&mut self, to: Option<PathBuf>, replace: bool) {
        if let Some(Dialog::Unsaved(after)) = self.dialog {
            self.after_save = Some(after);
        }
        let job = self.document.as_ref().and_then(|d| d.save_job(to, replace));
        match job {
            Some(job) => self.background.save(self.document_number, job),
            None => self.ask_file(Purpose::SaveAs),
        }
    }

    pub(super) fn ask_file(&mut self, purpose: Purpose) {
        let here = self.document.as_ref().and_then(|d| d.paths().strip.as_ref());
        let saving = purpose == Purpose::SaveAs;
        let path = here.filter(|_| saving).map_or_else(String::new, |p| p.display().to_string());
        self.dialog = Some(Dialog::File(FileQuestion { purpose, path, note: String::new(), known: None }));
    }

    /// Goes on, unless that would lose work; then asks first.
    pub(super) fn unless_unsaved(&mut self, ctx: &Context, after: AfterUnsaved) {
        if self.document.as_ref().is_some_and(Document::is_unsaved) {
            self.dialog = Some(Dialog::Unsaved(after));
        } else {
            self.go_on(ctx, after);
        }
    }

    pub(super) fn go_on(&mut self, ctx: &Context, after: AfterUnsaved) {
        self.dialog = None;
        match after {
            AfterUnsaved::Close => {
                self.may_close = true;
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
            AfterUnsaved::Open => self.ask_file(Purpose::Open),
            AfterUnsaved::New => self.dialog = Some(Dialog::Form(forms::sketch_form())),
        }
    }
}

/// What a change by hand does to the survey, in words.
fn by_hand(action: &Action) -> Option<&'static str> {
    match action {
        Action::MoveCorner(..) | Action::AddCorner(..) | Action::DeleteCorner(_) => {
            Some("Changed by hand: the outline counts as not looked at until its date is given again (Field)")
        }
        Action::MoveHazard(..) | Action::DeleteHazard(_) => {
            Some("Changed by hand: hazards count as not looked at until their date is given again (Field)")
        }
        Action::MovePatch(..) | Action::DeletePatch(_) => {
            Some("Changed by hand: the ground counts as not looked at until its date is given again (Field)")
        }
        _ => None,
    }
}
