//! Work off the drawing thread: assessments, files and dialogs.
//!
//! An assessment is answered twice: at once by a first look, which begins from what is remembered of the
//! field a moment ago, then in full. A newer request breaks off the full answer of the one before, but not its
//! first look: a steady drag would never see one.

use super::document::{NotSaved, SaveJob};
use super::edition::Action;
use crate::failure::Failure;
use crate::inputs::{Records, Sources};
use eframe::egui;
use std::num::NonZero;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread;
use strip::file::{self, RecordKind};
use strip::record::{AircraftRecord, DayRecord};
use strip::{Assessment, BadRecord, Cancelled, Control, Inputs, Memory, assess, assess_preview};

/// Something that another thread has finished.
pub enum Event {
    /// An edition was looked at: a first time, or in full.
    Assessed(Subject, Box<Assessment>),
    /// Records were read for the request with this number, or why not.
    Opened(u64, Box<Result<Records, Failure>>),
    /// The document with this number was written, or why not.
    Saved(u64, Box<(SaveJob, Result<(), NotSaved>)>),
    /// An aircraft or a day was read for the document with this number, or why not.
    Given(u64, Result<Action, BadRecord>),
    /// The system gave no thread for some work, so it was not done.
    NotDone(String),
    /// A file was chosen in the system's dialog; `None` if it was closed or there is no dialog.
    Picked(Option<PathBuf>),
}

/// The edition that an assessment is about.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Subject {
    /// The document; no two have the same number.
    pub document: u64,
    /// Its revision.
    pub revision: u64,
}

/// An edition's inputs to assess.
struct Request {
    subject: Subject,
    inputs: Inputs,
    breaks: Breaks,
}

/// How a request is broken off.
#[derive(Clone, Default)]
struct Breaks {
    /// Altogether.
    stopped: Arc<AtomicBool>,
    /// Once its first look is done.
    overtaken: Arc<AtomicBool>,
}

/// Share of an assessment's progress that its first look counts for.
const FIRST_LOOK: f64 = 0.3;

/// The one place where the next request lies; a newer one takes its place.
#[derive(Default)]
struct Slot {
    next: Mutex<Option<Request>>,
    changed: Condvar,
}

impl Slot {
    /// Waits for the next request.
    fn take(&self) -> Request {
        let mut next = self.next.lock().unwrap_or_else(PoisonError::into_inner);
        loop {
            match next.take() {
                Some(request) => return request,
                None => next = self.changed.wait(next).unwrap_or_else(PoisonError::into_inner),
            }
        }
    }
}

/// Threads and their channel back.
pub struct Background {
    ctx: egui::Context,
    events: Receiver<Event>,
    sender: Sender<Event>,
    slot: Arc<Slot>,
    saves: Sender<(u64, SaveJob)>,
    running: Option<(u64, Breaks)>,
    progress: Arc<AtomicU32>,
}

impl Background {
    /// Starts the assessing thread.
    ///
    /// # Errors
    /// The system's, if it gives no thread.
    pub fn start(ctx: egui::Context) -> std::io::Result<Self> {
        let (sender, events) = channel();
        let slot = Arc::new(Slot::default());
        let progress = Arc::new(AtomicU32::new(0));
        let worker = (Arc::clone(&slot), sender.clone(), ctx.clone(), Arc::clone(&progress));
        // The search leaves a core to the drawing.
        let cores = thread::available_parallelism().map_or(1, NonZero::get);
        let pool = rayon::ThreadPoolBuilder::new().num_threads((cores - 1).max(1)).build();
        let pool = pool.map_err(std::io::Error::other)?;
        thread::Builder::new().name("assess".to_owned()).spawn(move || {
            let (slot, sender, ctx, progress) = worker;
            pool.install(|| assess_for_ever(&slot, &sender, &ctx, &progress));
        })?;
        let (saves, asked) = channel();
        let saver = (sender.clone(), ctx.clone());
        thread::Builder::new()
            .name("save".to_owned())
            .spawn(move || save_in_order(&asked, &saver.0, &saver.1))?;
        Ok(Self { ctx, events, sender, slot, saves, running: None, progress })
    }

    /// Asks for an assessment; one under way is broken off, but for its first look at the same document.
    pub fn assess(&mut self, subject: Subject, inputs: Inputs) {
        let mut breaks = Breaks::default();
        if let Some((document, older)) = &self.running {
            older.overtaken.store(true, Ordering::Relaxed);
            if *document == subject.document {
                // One for all requests about a document: what ends this one ends those before it too.
                breaks.stopped = Arc::clone(&older.stopped);
            } else {
                older.stopped.store(true, Ordering::Relaxed);
            }
        }
        self.running = Some((subject.document, breaks.clone()));
        self.progress.store(0, Ordering::Relaxed);
        let mut next = self.slot.next.lock().unwrap_or_else(PoisonError::into_inner);
        *next = Some(Request { subject, inputs, breaks });
        self.slot.changed.notify_one();
    }

    /// Breaks off the assessment under way, or waiting.
    pub fn cancel(&mut self) {
        if let Some((_, breaks)) = self.running.take() {
            breaks.stopped.store(true, Ordering::Relaxed);
            breaks.overtaken.store(true, Ordering::Relaxed);
        }
    }

    /// Share of the assessment done, 0 to 1.
    pub fn progress(&self) -> f32 {
        self.progress.load(Ordering::Relaxed) as f32 / 1000.0
    }

    /// Reads records.
    pub fn open(&self, number: u64, sources: Sources) {
        self.spawn("open", move || Event::Opened(number, Box::new(Records::read(&sources))));
    }

    /// Reads an aircraft to give to the open strip.
    pub fn read_aircraft(&self, document: u64, path: PathBuf) {
        self.spawn("aircraft", move || {
            let read = file::read::<AircraftRecord>(RecordKind::Aircraft, &path);
            Event::Given(document, read.map(|record| Action::SetAircraft(Box::new(record))))
        });
    }

    /// Reads a day to give to the open strip.
    pub fn read_day(&self, document: u64, path: PathBuf) {
        self.spawn("day", move || {
            let read = file::read::<DayRecord>(RecordKind::Day, &path);
            Event::Given(document, read.map(|record| Action::SetDay(Box::new(record))))
        });
    }

    /// Writes a document, after those asked for before.
    pub fn save(&self, document: u64, job: SaveJob) {
        // The saving thread lives as long as this; were it gone, the document would stay unsaved.
        if self.saves.send((document, job)).is_err() {
            self.tell(Event::NotDone("the saving thread is gone; nothing was saved".to_owned()));
        }
    }

    /// Asks the system for a file to open, or a name to save under.
    pub fn pick(&self, to_save: bool) {
        self.spawn("dialog", move || {
            let dialog = rfd::FileDialog::new().add_filter("strip", &["ron"]);
            Event::Picked(if to_save { dialog.save_file() } else { dialog.pick_file() })
        });
    }

    /// What has been finished since the last time.
    pub fn finished(&self) -> Option<Event> {
        self.events.try_recv().ok()
    }

    fn spawn(&self, name: &str, work: impl FnOnce() -> Event + Send + 'static) {
        let (sender, ctx) = (self.sender.clone(), self.ctx.clone());
        let job = move || {
            // The window may be gone by now; then nobody waits for the answer.
            let _ = sender.send(work());
            ctx.request_repaint();
        };
        if let Err(e) = thread::Builder::new().name(name.to_owned()).spawn(job) {
            self.tell(Event::NotDone(format!("{name}: the system gave no thread ({e})")));
        }
    }

    fn tell(&self, event: Event) {
        // The window holds the other end, so this arrives.
        let _ = self.sender.send(event);
        self.ctx.request_repaint();
    }
}

/// One save after the other, so that an older edition never lands on a newer one.
fn save_in_order(asked: &Receiver<(u64, SaveJob)>, sender: &Sender<Event>, ctx: &egui::Context) {
    while let Ok((document, job)) = asked.recv() {
        let result = job.write();
        if sender.send(Event::Saved(document, Box::new((job, result)))).is_err() {
            return;
        }
        ctx.request_repaint();
    }
}

fn assess_for_ever(slot: &Slot, sender: &Sender<Event>, ctx: &egui::Context, progress: &AtomicU32) {
    let mut remembered = (0, Memory::default());
    loop {
        let request = slot.take();
        let Subject { document, .. } = request.subject;
        if remembered.0 != document {
            remembered = (document, Memory::default());
        }
        let tell = |assessment| {
            let told = sender.send(Event::Assessed(request.subject, Box::new(assessment)));
            ctx.request_repaint();
            told
        };
        let Ok(first) = first_look(&request, &mut remembered.1, progress) else { continue };
        if tell(first).is_err() {
            // The window is gone.
            return;
        }
        let Ok(full) = full_look(&request, progress) else { continue };
        if tell(full).is_err() {
            return;
        }
    }
}

fn first_look(request: &Request, memory: &mut Memory, progress: &AtomicU32) -> Result<Assessment, Cancelled> {
    let say = |share: f64| say(progress, share * FIRST_LOOK);
    let control = Control { cancelled: &request.breaks.stopped, progress: &say };
    assess_preview(&request.inputs, &control, memory)
}

fn full_look(request: &Request, progress: &AtomicU32) -> Result<Assessment, Cancelled> {
    let say = |share: f64| say(progress, FIRST_LOOK + share * (1.0 - FIRST_LOOK));
    let control = Control { cancelled: &request.breaks.overtaken, progress: &say };
    assess(&request.inputs, &control)
}

/// Thousandths, as an atomic holds no fraction.
fn say(progress: &AtomicU32, share: f64) {
    progress.store((share * 1000.0) as u32, Ordering::Relaxed);
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;
    use std::time::Duration;

    /// A field that takes a while. Read before anything is asked: the requests must follow each other at once.
    fn inputs() -> Inputs {
        let strip =
            Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-strips/cobblesea-moor.strip.ron");
        let records = Records::read(&Sources { strip, ..Sources::default() }).expect("a sample");
        records.inputs().expect("a valid sample")
    }

    /// Everything that is told until a full answer about a subject: about what, and whether in full.
    fn told_until(background: &Background, last: Subject) -> Vec<(Subject, bool)> {
        let mut told = Vec::new();
        while told.last() != Some(&(last, true)) {
            let event = background.events.recv_timeout(Duration::from_mins(1)).expect("an answer in the end");
            if let Event::Assessed(subject, assessment) = event {
                told.push((subject, !assessment.preview));
            }
        }
        told
    }

    #[test]
    fn a_newer_request_breaks_off_the_full_answer_of_the_older_one() {
        let mut background = Background::start(egui::Context::default()).expect("threads");
        let moor = inputs();
        let (older, newer) = (Subject { document: 1, revision: 0 }, Subject { document: 1, revision: 1 });
        background.assess(older, moor.clone());
        background.assess(newer, moor.clone());
        let told = told_until(&background, newer);
        assert!(!told.contains(&(older, true)), "{told:?}");
        assert!(told.contains(&(newer, false)), "a first look comes before the full answer: {told:?}");
    }

    /// What breaks off the request under way altogether.
    fn stop_of(background: &Background) -> Arc<AtomicBool> {
        Arc::clone(&background.running.as_ref().expect("a request").1.stopped)
    }

    // Whether an answer was told before it was broken off is a matter of moments, so the break is asked for.
    #[test]
    fn what_is_asked_about_a_document_is_broken_off_once_another_is_asked_about() {
        let mut background = Background::start(egui::Context::default()).expect("threads");
        let moor = inputs();
        let subject = |document, revision| Subject { document, revision };
        background.assess(subject(1, 0), moor.clone());
        let first = stop_of(&background);
        background.assess(subject(1, 1), moor.clone());
        let second = stop_of(&background);
        assert!(!first.load(Ordering::Relaxed) && !second.load(Ordering::Relaxed));
        let newer = subject(2, 0);
        background.assess(newer, moor);
        assert!(first.load(Ordering::Relaxed) && second.load(Ordering::Relaxed));
        assert!(told_until(&background, newer).ends_with(&[(newer, false), (newer, true)]));
    }

    #[test]
    fn what_was_broken_off_does_not_break_off_what_is_asked_next() {
        let mut background = Background::start(egui::Context::default()).expect("threads");
        let moor = inputs();
        let (broken, next) = (Subject { document: 1, revision: 0 }, Subject { document: 1, revision: 1 });
        background.assess(broken, moor.clone());
        let stopped = stop_of(&background);
        background.cancel();
        assert!(stopped.load(Ordering::Relaxed));
        background.assess(next, moor);
        assert!(told_until(&background, next).ends_with(&[(next, false), (next, true)]));
    }
}
