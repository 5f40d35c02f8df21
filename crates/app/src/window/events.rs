//! What the window does with work that other threads have finished.

use super::App;
use super::background::Event;
use super::dialogs::{Dialog, Purpose};
use super::document::{Document, NotSaved, SaveJob};
use crate::failure::Failure;
use eframe::egui::Context;
use std::path::PathBuf;
use strip::{AssessedLane, Assessment};

impl App {
    pub(super) fn take(&mut self, ctx: &Context, event: Event) {
        match event {
            Event::Assessed(subject, assessment) => {
                // A look at a moment ago is still shown while something moves, but never after a later one.
                let later =
                    self.answer.as_ref().is_none_or(|(r, a)| (*r, !a.preview) < (subject.revision, true));
                if subject.document == self.document_number && later {
                    let first = self.answer.as_ref().filter(|(r, _)| *r == subject.revision).map(|(_, a)| a);
                    self.longer = first.and_then(|first| longer_than_said(first, &assessment));
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
        self.when.put_away();
    }
}

/// How far two headings, degrees, and two lengths, metres, of one lane may differ between two searches.
const SAME_LANE: (f64, f64) = (0.5, 1.0);

/// What a first look said of the best lane's slide and what the full answer says of the same lane, where that is
/// longer: it should hardly ever be.
fn longer_than_said(first: &Assessment, full: &Assessment) -> Option<(f64, f64)> {
    let lane = full.lanes.first()?;
    let same = |l: &&AssessedLane| {
        let turned = (l.heading_true_deg - lane.heading_true_deg).rem_euclid(360.0);
        turned.min(360.0 - turned) < SAME_LANE.0 && (l.length_m - lane.length_m).abs() < SAME_LANE.1
    };
    let said = first.lanes.iter().find(same)?.demand_m?;
    // A slide that does not stop is longer than any.
    let now = lane.demand_m.unwrap_or(f64::INFINITY);
    (first.preview && !full.preview && now > said).then_some((said, now))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::AtomicBool;
    use strip::{Control, Inputs, Memory, assess, assess_preview};

    /// Both answers of a sample.
    fn answers() -> (Assessment, Assessment) {
        let strip = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../sample-strips/bramblewick-flat.strip.ron");
        let sources = crate::inputs::Sources { strip, ..crate::inputs::Sources::default() };
        let records = crate::inputs::Records::read(&sources).expect("a sample");
        let inputs: Inputs = records.inputs().expect("valid");
        let never = AtomicBool::new(false);
        let control = Control { cancelled: &never, progress: &|_| {} };
        let first = assess_preview(&inputs, &control, &mut Memory::default()).expect("not cancelled");
        (first, assess(&inputs, &control).expect("not cancelled"))
    }

    #[test]
    fn a_full_answer_that_is_longer_than_the_first_look_is_noticed() {
        let (first, full) = answers();
        assert_eq!(longer_than_said(&first, &full), None);
        // The same lanes, looked at closer.
        let mut worse = Assessment { preview: false, ..first.clone() };
        let said = first.lanes[0].demand_m.expect("it stops");
        worse.lanes[0].demand_m = Some(said + 4.0);
        assert_eq!(longer_than_said(&first, &worse), Some((said, said + 4.0)));
        worse.lanes[0].demand_m = None;
        assert_eq!(longer_than_said(&first, &worse), Some((said, f64::INFINITY)));
    }
}
