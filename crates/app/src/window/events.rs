//! What the window does with work that other threads have finished.

use super::App;
use super::background::Event;
use super::dialogs::{Dialog, Purpose};
use super::document::{Document, NotSaved, SaveJob};
use crate::failure::Failure;
use eframe::egui::Context;

impl App {
    pub(super) fn take(&mut self, ctx: &Context, event: Event) {
        match event {
            Event::Assessed(number, assessment) => {
                if let Some(asked) = self.asked.filter(|a| a.number == number) {
                    self.answer = Some((asked.revision, *assessment));
                }
            }
            Event::Opened(result) => {
                match result.and_then(|r| Document::of_records(r).map_err(Failure::from)) {
                    Ok(document) => self.put(document),
                    Err(failure) => self.note(failure.to_string()),
                }
            }
            Event::Saved(document, saved) => self.saved(ctx, document, *saved),
            Event::Given(Ok(action)) => self.act(&action, None),
            Event::Given(Err(bad)) => self.note(bad.to_string()),
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
                if let Some(after) = self.after_save.take() {
                    self.go_on(ctx, after);
                }
            }
            Err(failure) => {
                if let (NotSaved::AlreadyThere(_), Some(Dialog::File(question))) =
                    (&failure, &mut self.dialog)
                {
                    question.known = job.strip_path().cloned();
                } else {
                    self.after_save = None;
                }
                self.note(failure.to_string());
            }
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
