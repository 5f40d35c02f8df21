//! Work off the drawing thread: assessments (the newest request wins), files and dialogs.

use super::document::{NotSaved, SaveJob};
use super::edition::Action;
use crate::failure::Failure;
use crate::inputs::{Records, Sources};
use eframe::egui;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread;
use strip::file::{self, RecordKind};
use strip::record::{AircraftRecord, DayRecord};
use strip::{Assessment, BadRecord, Control, Inputs, assess};

/// Something that another thread has finished.
pub enum Event {
    /// The request with this number was answered.
    Assessed(u64, Box<Assessment>),
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

/// A document's inputs to assess.
struct Request {
    number: u64,
    inputs: Inputs,
    cancelled: Arc<AtomicBool>,
}

/// The one place where the next request lies; a newer one takes its place.
#[derive(Default)]
struct Slot {
    next: Mutex<Option<Request>>,
    changed: Condvar,
}

/// Threads and their channel back.
pub struct Background {
    ctx: egui::Context,
    events: Receiver<Event>,
    sender: Sender<Event>,
    slot: Arc<Slot>,
    saves: Sender<(u64, SaveJob)>,
    running: Option<Arc<AtomicBool>>,
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
        thread::Builder::new().name("assess".to_owned()).spawn(move || {
            let (slot, sender, ctx, progress) = worker;
            assess_for_ever(&slot, &sender, &ctx, &progress);
        })?;
        let (saves, asked) = channel();
        let saver = (sender.clone(), ctx.clone());
        thread::Builder::new()
            .name("save".to_owned())
            .spawn(move || save_in_order(&asked, &saver.0, &saver.1))?;
        Ok(Self { ctx, events, sender, slot, saves, running: None, progress })
    }

    /// Asks for an assessment; one under way is broken off. Numbers are never used twice, so that a
    /// late answer is never taken for that of another field.
    pub fn assess(&mut self, number: u64, inputs: Inputs) {
        self.cancel();
        let cancelled = Arc::new(AtomicBool::new(false));
        self.running = Some(Arc::clone(&cancelled));
        self.progress.store(0, Ordering::Relaxed);
        let mut next = self.slot.next.lock().unwrap_or_else(PoisonError::into_inner);
        *next = Some(Request { number, inputs, cancelled });
        self.slot.changed.notify_one();
    }

    /// Breaks off the assessment under way.
    pub fn cancel(&mut self) {
        if let Some(running) = self.running.take() {
            running.store(true, Ordering::Relaxed);
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
    loop {
        let mut next = slot.next.lock().unwrap_or_else(PoisonError::into_inner);
        let request = loop {
            match next.take() {
                Some(request) => break request,
                None => next = slot.changed.wait(next).unwrap_or_else(PoisonError::into_inner),
            }
        };
        drop(next);
        let say = |share: f64| progress.store((share * 1000.0) as u32, Ordering::Relaxed);
        let control = Control { cancelled: &request.cancelled, progress: &say };
        if let Ok(assessment) = assess(&request.inputs, &control)
            && sender.send(Event::Assessed(request.number, Box::new(assessment))).is_err()
        {
            // The window is gone.
            return;
        }
        ctx.request_repaint();
    }
}
