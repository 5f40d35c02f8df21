//! What the window does with work that other threads have finished.

use super::App;
use super::background::Event;
use super::dialogs::{Dialog, Purpose};
use super::document::{Document, NotSaved, SaveJob};
use crate::failure::Failure;
use eframe::egui::Context;
use std::path::PathBuf;

impl App {
    pub(super) fn take(&mut self, ctx: &Context, event: Event) {
        match event {
            Event::Assessed(subject, assessment) => {
                // A look at a moment ago is still shown while something moves, but never after a later one.
                let later =
                    self.answer.as_ref().is_none_or(|(r, a)| (*r, !a.preview) < (subject.revision, true));
                if subject.document == self.document_number && later {
                    self.answer = Some((subject.revision, *assessment));
                }
            }
            Event::Opened(number, result) => {
                let wanted = self.opening.take() == Some((number, self.revision()));
                match result.and_then(|r| Document::of_records(r).map_err(Failure::from)) {
                    Ok(document) if wanted => self.put(document),
                    Ok(_) => self.note("Not opened: the strip on the desk was changed meanwhile".to_owned()),
                    Err(failure) => self.note(failure.to_string()),
                }
            }
            Event::Saved(document, saved) => self.saved(ctx, document, *saved),
            Event::Given(document, Ok(action)) if document == self.document_number => self.act(&action, None),
            Event::Given(_, Ok(_)) => {}
            Event::Given(_, Err(bad)) => self.note(bad.to_string()),
            Event::NotDone(why) => self.note(why),
            Event::Picked(Some(path)) => self.answer_file(path.display().to_string()),
            Event::Picked(None) => {
                self.note("Nothing chosen, or no file dialog here; type the file's name".to_owned());
            }
        }
    }

    pub(super) fn saved(
        &mut self,
        ctx: &Context,
        number: u64,
        (job, result): (SaveJob, Result<(), NotSaved>),
    ) {
        match result {
            Ok(()) => {
                let path = job.strip_path().map_or_else(String::new, |p| p.display().to_string());
                self.status = format!("Saved {path}");
                if let Some(document) = self.document.as_mut().filter(|_| number == self.document_number) {
                    document.was_saved(job);
                }
                let answered = match &self.dialog {
                    Some(Dialog::File(question)) => question.purpose == Purpose::SaveAs,
                    Some(Dialog::Unsaved(_)) => true,
                    Some(Dialog::Form(_)) | None => false,
                };
                if answered {
                    self.dialog = None;
                }
                // An earlier save may have been under way when something was changed once more.
                let all_saved = self.document.as_ref().is_none_or(|d| !d.is_unsaved());
                if all_saved && let Some(after) = self.after_save.take() {
                    self.go_on(ctx, after);
                }
            }
            Err(failure) => {
                if let NotSaved::AlreadyThere(_) = failure {
                    self.ask_to_replace(job.strip_path().cloned());
                } else {
                    self.after_save = None;
                }
                self.note(failure.to_string());
            }
        }
    }

    /// Counts changes of the open document.
    fn revision(&self) -> u64 {
        self.document.as_ref().map_or(0, Document::revision)
    }

    /// Asks for the name once more, knowing that something stands there.
    fn ask_to_replace(&mut self, path: Option<PathBuf>) {
        let asking = matches!(&self.dialog, Some(Dialog::File(q)) if q.purpose == Purpose::SaveAs);
        if !asking {
            self.ask_file(Purpose::SaveAs);
        }
        if let Some(Dialog::File(question)) = &mut self.dialog {
            question.known = path;
        }
    }

    /// Says something in the question on screen, else in the status line.
    pub(super) fn note(&mut self, text: String) {
        match &mut self.dialog {
            Some(Dialog::File(question)) => question.note = text,
            Some(Dialog::Form(form)) => form.note = text,
            Some(Dialog::Unsaved(_)) | None => self.status = text,
        }
    }

    pub(super) fn answer_file(&mut self, chosen: String) {
        if let Some(Dialog::File(question)) = &mut self.dialog {
            question.path = chosen;
        }
    }

    /// Puts a document on the desk.
    pub(super) fn put(&mut self, document: Document) {
        self.number += 1;
        self.document_number = self.number;
        self.status = format!("Opened {}", document.edition().strip.name);
        self.document = Some(document);
        (self.answer, self.asked, self.selected, self.dialog) = (None, None, None, None);
        self.plan.reset();
    }
}
