//! A thread of its own for what is asked beside the answer: pictures of occasions, and the winds that the best lane bears.
//!
//! Invariants: the newest request wins, and breaks off the one before; nothing is asked before the full answer is there or
//! was stopped, so that the answer never waits for a picture.

use super::background::Subject;
use eframe::egui;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread;
use strip::{AssessedLane, Control, Inputs, Occasions, Question, WindLimit, occasions, wind_limits};

/// What is asked.
pub struct Wondering {
    /// About which edition.
    pub subject: Subject,
    /// It.
    pub inputs: Inputs,
    /// The lane whose winds are wanted.
    pub lane: Option<AssessedLane>,
    /// The picture that is wanted.
    pub question: Option<Question>,
}

/// What was found.
pub enum Found {
    /// The winds of the best lane and its reverse.
    Limits(Subject, Vec<WindLimit>),
    /// A picture, as far as it is worked out; `None` without an aircraft.
    Picture(Subject, Option<Box<Occasions>>),
}

type Request = (Wondering, Arc<AtomicBool>);

/// The one place where the next request lies.
#[derive(Default)]
struct Slot {
    next: Mutex<Option<Request>>,
    changed: Condvar,
}

/// The thread and its channel back.
pub struct Wonder {
    slot: Arc<Slot>,
    found: Receiver<Found>,
    running: Option<Arc<AtomicBool>>,
    progress: Arc<AtomicU32>,
}

impl Wonder {
    /// Starts the thread.
    ///
    /// # Errors
    /// The system's, if it gives no thread.
    pub fn start(ctx: egui::Context) -> std::io::Result<Self> {
        let (sender, found) = channel();
        let (slot, progress) = (Arc::new(Slot::default()), Arc::new(AtomicU32::new(0)));
        let worker = (Arc::clone(&slot), Arc::clone(&progress));
        thread::Builder::new()
            .name("wonder".to_owned())
            .spawn(move || wonder_for_ever(&worker.0, &sender, &ctx, &worker.1))?;
        Ok(Self { slot, found, running: None, progress })
    }

    /// Asks; what was asked before is broken off.
    pub fn ask(&mut self, wondering: Wondering) {
        self.cancel();
        let stop = Arc::new(AtomicBool::new(false));
        self.running = Some(Arc::clone(&stop));
        self.progress.store(0, Ordering::Relaxed);
        let mut next = self.slot.next.lock().unwrap_or_else(PoisonError::into_inner);
        *next = Some((wondering, stop));
        self.slot.changed.notify_one();
    }

    /// Breaks off what is under way, or waiting.
    pub fn cancel(&mut self) {
        if let Some(stop) = self.running.take() {
            stop.store(true, Ordering::Relaxed);
        }
    }

    /// Share of it done, 0 to 1.
    pub fn progress(&self) -> f32 {
        self.progress.load(Ordering::Relaxed) as f32 / THOUSAND
    }

    /// What was found since the last time.
    pub fn found(&self) -> Option<Found> {
        self.found.try_recv().ok()
    }
}

/// An atomic holds no fraction.
const THOUSAND: f32 = 1000.0;

fn wonder_for_ever(slot: &Slot, sender: &Sender<Found>, ctx: &egui::Context, progress: &AtomicU32) {
    loop {
        let (asked, stop) = taken(slot);
        let say = |share: f64| progress.store((share * f64::from(THOUSAND)) as u32, Ordering::Relaxed);
        let quiet = |_: f64| ();
        let tell = |found: Found| {
            // The window may be gone by now; then nobody waits for the answer.
            let gone = sender.send(found).is_err();
            ctx.request_repaint();
            gone
        };
        if let Some(lane) = &asked.lane {
            let control = Control { cancelled: &stop, progress: &quiet };
            let Ok(limits) = wind_limits(&asked.inputs, lane, &control) else { continue };
            if tell(Found::Limits(asked.subject, limits)) {
                return;
            }
        }
        let Some(question) = asked.question else { continue };
        let control = Control { cancelled: &stop, progress: &say };
        let told = |picture: Option<Occasions>| tell(Found::Picture(asked.subject, picture.map(Box::new)));
        let picture = occasions(&asked.inputs, question, &control, &mut |so_far| {
            told(Some(so_far.clone()));
        });
        if let Ok(picture) = picture
            && told(picture)
        {
            return;
        }
    }
}

/// Waits for the next request.
fn taken(slot: &Slot) -> Request {
    let mut next = slot.next.lock().unwrap_or_else(PoisonError::into_inner);
    loop {
        match next.take() {
            Some(request) => return request,
            None => next = slot.changed.wait(next).unwrap_or_else(PoisonError::into_inner),
        }
    }
}
