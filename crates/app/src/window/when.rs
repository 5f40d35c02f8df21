//! When the field would work, as the window has it: what was asked, what was found, which cell is looked at.
//!
//! Invariants: a picture is shown until a newer one has its first cells, and said to be from before the last change; what
//! is asked is asked once for each edition.
//!
//! Not here: drawing ([`super::panels`]); the work itself ([`super::wonder`]).

use super::background::Subject;
use super::wonder::{Found, Wonder, Wondering};
use strip::{AssessedLane, Inputs, Occasions, Question, WindLimit};

/// State of the page, and of the winds in the answer band.
pub struct When {
    wonder: Wonder,
    /// The question on the page.
    question: Question,
    picture: Option<(Subject, Occasions)>,
    limits: Option<(Subject, Vec<WindLimit>)>,
    chosen: Option<usize>,
    asked: Option<Asked>,
}

/// What was last asked.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Asked {
    subject: Subject,
    question: Option<Question>,
    /// Whether there is nothing more to come: it is all there, or was stopped.
    over: Option<Over>,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Over {
    Done,
    Stopped,
}

/// How a picture is getting on.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Getting {
    /// It is all there.
    Done,
    /// Under way; the share done.
    Running(f32),
    /// The person broke it off.
    Stopped,
    /// It waits for the full answer.
    Waiting,
}

/// Read-only view for the screens.
#[derive(Clone, Copy)]
pub struct WhenView<'a> {
    /// The question on the page.
    pub question: Question,
    /// The picture, and whether it is about an older edition.
    pub picture: Option<(&'a Occasions, bool)>,
    /// How it is getting on.
    pub getting: Getting,
    /// The cell that keys or a click have chosen.
    pub chosen: Option<usize>,
    /// The winds that the best lane and its reverse bear, of the present edition.
    pub limits: Option<&'a [WindLimit]>,
}

impl When {
    /// On a thread of its own.
    pub fn new(wonder: Wonder) -> Self {
        Self { wonder, question: Question::Wind, picture: None, limits: None, chosen: None, asked: None }
    }

    /// Another document lies on the desk.
    pub fn put_away(&mut self) {
        self.wonder.cancel();
        (self.picture, self.limits, self.chosen, self.asked) = (None, None, None, None);
    }

    /// Another question.
    pub fn turn_to(&mut self, question: Question) {
        if self.question != question {
            (self.question, self.chosen, self.picture) = (question, None, None);
        }
    }

    /// Looks at a cell.
    pub fn choose(&mut self, cell: usize) {
        self.chosen = Some(cell);
    }

    /// Breaks the picture off.
    pub fn stop(&mut self) {
        self.wonder.cancel();
        self.asked = self.asked.map(|a| Asked { over: Some(Over::Stopped), ..a });
    }

    /// Asks for it once more.
    pub fn again(&mut self) {
        self.asked = None;
    }

    /// Takes what was found, and asks what is to be asked of an edition whose full answer, with its best lane, is there or
    /// was stopped. Whether anything is under way.
    pub fn before_frame(
        &mut self,
        subject: Subject,
        ready: Option<(&Inputs, Option<&AssessedLane>)>,
        page_open: bool,
    ) -> bool {
        while let Some(found) = self.wonder.found() {
            self.take(subject, found);
        }
        let Some((inputs, lane)) = ready else {
            if self.asked.is_some_and(|a| a.subject != subject && a.over.is_none()) {
                self.wonder.cancel();
                self.asked = None;
            }
            return false;
        };
        let question = page_open.then_some(self.question);
        let asked = self.asked.filter(|a| a.subject == subject);
        let answered = asked.is_some_and(|a| question.is_none() || a.question == question);
        if !answered {
            let known = self.limits.as_ref().is_some_and(|(s, _)| *s == subject);
            let lane = lane.filter(|_| !known).cloned();
            let there = |q: Question| self.has_whole(subject, q);
            let wanted = question.filter(|q| !there(*q));
            let over = (lane.is_none() && wanted.is_none()).then_some(Over::Done);
            self.asked = Some(Asked { subject, question, over });
            if over.is_none() {
                self.wonder.ask(Wondering { subject, inputs: inputs.clone(), lane, question: wanted });
            }
        }
        self.asked.is_some_and(|a| a.over.is_none())
    }

    fn has_whole(&self, subject: Subject, question: Question) -> bool {
        self.picture.as_ref().is_some_and(|(s, p)| *s == subject && p.question == question && p.is_whole())
    }

    fn take(&mut self, present: Subject, found: Found) {
        match found {
            Found::Limits(subject, limits) if subject == present => {
                self.limits = Some((subject, limits));
                if let Some(asked) =
                    self.asked.as_mut().filter(|a| a.subject == subject && a.question.is_none())
                {
                    asked.over = asked.over.or(Some(Over::Done));
                }
            }
            Found::Picture(subject, picture) if subject == present => {
                let whole = picture.as_ref().is_none_or(|p| p.is_whole());
                // One that was broken off may still tell of a question that is no longer on the page.
                if let Some(picture) = picture.filter(|p| p.question == self.question) {
                    self.picture = Some((subject, *picture));
                }
                if let Some(asked) = self.asked.as_mut().filter(|a| whole && a.subject == subject) {
                    asked.over = asked.over.or(Some(Over::Done));
                }
            }
            Found::Limits(..) | Found::Picture(..) => {}
        }
    }

    /// What the screens look at.
    pub fn view(&self, present: Subject) -> WhenView<'_> {
        let asked = self.asked.filter(|a| a.subject == present && a.question == Some(self.question));
        WhenView {
            question: self.question,
            picture: self.picture.as_ref().map(|(subject, picture)| (picture, *subject != present)),
            getting: match asked.map(|a| a.over) {
                None => Getting::Waiting,
                Some(None) => Getting::Running(self.wonder.progress()),
                Some(Some(Over::Done)) => Getting::Done,
                Some(Some(Over::Stopped)) => Getting::Stopped,
            },
            chosen: self.chosen,
            limits: self
                .limits
                .as_ref()
                .filter(|(subject, _)| *subject == present)
                .map(|(_, l)| l.as_slice()),
        }
    }
}
