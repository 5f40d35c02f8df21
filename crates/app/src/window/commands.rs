//! What the window does for each command of a screen.

use super::App;
use super::desk::{Command, Item, Tool};
use super::dialogs::{AfterUnsaved, Dialog, FileQuestion, Purpose};
use super::document::Document;
use super::edition::Action;
use super::obstacles::{is_drawn_on, looked_for, point_name};
use super::panels::Panel;
use super::{Asked, forms, walk};
use crate::inputs::Sources;
use eframe::egui::{Context, ViewportCommand};
use std::path::PathBuf;
use strip::record::{ObstacleKindRecord, StripRecord, ToSee};

impl App {
    pub(super) fn do_command(&mut self, ctx: &Context, command: Command) {
        match command {
            Command::Act(action, gesture) => self.act(&action, gesture),
            Command::SeeNow(what) => self.see_now(what),
            Command::Select(item) => {
                // What is drawn on belongs to what was chosen before.
                if self.tool == Tool::DrawOn && item != self.selected {
                    self.tool = Tool::Choose;
                }
                self.select(item);
            }
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
        let said = by_hand(action, &document.edition().strip);
        match document.act(action, gesture) {
            Ok(()) if document.revision() == before => self.dialog = None,
            Ok(()) => {
                self.status = said.unwrap_or_default();
                match action {
                    Action::MarkHazard(..) => {
                        self.select(self.last_hazard());
                        self.tool = Tool::Choose;
                    }
                    Action::MarkPatch(_) => {
                        self.select(self.last_patch());
                        self.tool = Tool::Choose;
                    }
                    Action::MarkObstacle(kind, _) => {
                        self.select(self.last_obstacle());
                        self.tool = if is_drawn_on(*kind) { Tool::DrawOn } else { Tool::Choose };
                    }
                    Action::SetDay(_) | Action::SetAircraft(_) => self.dialog = None,
                    Action::DeleteCorner(_)
                    | Action::DeleteHazard(_)
                    | Action::DeletePatch(_)
                    | Action::DeleteObstacle(_) => self.selected = None,
                    _ => {}
                }
            }
            Err(bad) => self.note(format!("Not done: {bad}")),
        }
    }

    /// Ticks with the time of the clock, if that is on the day.
    fn see_now(&mut self, what: ToSee) {
        let day = self.document.as_ref().and_then(|d| d.edition().day.as_ref());
        let Some(moment) = day.map(|day| walk::now_there(&day.time, (self.clock)())) else { return };
        match moment {
            Ok((on, at)) => self.act(&Action::See(what, on, at), None),
            Err(why) => self.note(why),
        }
    }

    pub(super) fn last_hazard(&self) -> Option<Item> {
        self.document.as_ref()?.edition().strip.hazards.len().checked_sub(1).map(Item::Hazard)
    }

    pub(super) fn last_patch(&self) -> Option<Item> {
        self.document.as_ref()?.edition().strip.patches.len().checked_sub(1).map(Item::Patch)
    }

    pub(super) fn last_obstacle(&self) -> Option<Item> {
        self.document.as_ref()?.edition().strip.obstacles.len().checked_sub(1).map(Item::Obstacle)
    }

    /// Chooses a thing and shows its editor.
    pub(super) fn select(&mut self, item: Option<Item>) {
        self.selected = item;
        match item {
            Some(Item::Hazard(_) | Item::Patch(_) | Item::Obstacle(_)) => self.panel = Panel::Things,
            Some(Item::Corner(_)) => self.panel = Panel::Field,
            None => {}
        }
    }

    pub(super) fn step(&mut self, step: impl Fn(&mut Document), said: &str) {
        if let Some(document) = &mut self.document {
            step(document);
            self.selected = None;
            if self.tool == Tool::DrawOn {
                self.tool = Tool::Choose;
            }
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

/// What a change by hand does to the survey, or asks for next, in words.
fn by_hand(action: &Action, strip: &StripRecord) -> Option<String> {
    let gone = |what: &str| {
        let again = "not looked at until the date is given again (Field)";
        Some(format!("Changed by hand: {what} count as {again}"))
    };
    match action {
        Action::MoveCorner(..) | Action::AddCorner(..) | Action::DeleteCorner(_) => {
            gone("corners and edges of the outline")
        }
        Action::MoveHazard(..) | Action::DeleteHazard(_) => gone("hazards"),
        Action::MovePatch(..) | Action::DeletePatch(_) => gone("cover and strength of the ground"),
        Action::MoveObstacle(i, _) | Action::DeleteObstacle(i) | Action::ShortenObstacle(i) => {
            gone(looked_for(strip.obstacles.get(*i)?.kind).name())
        }
        Action::MarkObstacle(kind, _) if is_drawn_on(*kind) => Some(next_point(*kind)),
        Action::DrawOnObstacle(i, _) => Some(next_point(strip.obstacles.get(*i)?.kind)),
        _ => None,
    }
}

/// How to go on with a line.
fn next_point(kind: ObstacleKindRecord) -> String {
    let next = point_name(kind);
    format!("Click the next {next}, or press L with the plan's cross there; Escape ends it")
}
