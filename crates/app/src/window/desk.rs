//! What every screen is given to look at, and what it may ask for. Screens change nothing themselves.

use super::below::Picture;
use super::dialogs::AfterUnsaved;
use super::document::Document;
use super::edition::{Action, Corner, Edition};
use super::panels::Panel;
use super::tokens::{Palette, Tokens};
use super::when::WhenView;
use measure::Metres;
use measure::shown::{Side, Units, rounded};
use std::path::PathBuf;
use strip::record::{ObstacleKindRecord, ToSee};
use strip::{AssessedLane, Assessment, Question};

/// Read-only view of everything that is shown.
#[derive(Clone, Copy)]
pub struct Desk<'a> {
    /// Sizes.
    pub tokens: &'a Tokens,
    /// Colours.
    pub palette: &'a Palette,
    /// Units that the person likes.
    pub units: Units,
    /// The open document.
    pub document: &'a Document,
    /// The last answer.
    pub answer: Option<&'a Assessment>,
    /// What the first look said of the best lane's slide and what the full answer says, where that is longer.
    pub longer: Option<(f64, f64)>,
    /// Whether the answer is about an older edition.
    pub stale: bool,
    /// What is chosen.
    pub selected: Option<Item>,
    /// When the field would work.
    pub when: WhenView<'a>,
}

/// A thing on the plan that can be chosen.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Hash)]
pub enum Item {
    /// A corner of the outline or of an island.
    Corner(Corner),
    /// A hazard, by its place in the list.
    Hazard(usize),
    /// A patch, by its place in the list.
    Patch(usize),
    /// A thing in the air path, by its place in the list.
    Obstacle(usize),
}

/// What a click on the plan does.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Tool {
    /// Chooses and moves.
    #[default]
    Choose,
    /// Marks a rock.
    Rock,
    /// Marks a soft patch.
    SoftPatch,
    /// Puts a corner into the nearest edge.
    Corner,
    /// Marks a thing in the air path.
    Obstacle(ObstacleKindRecord),
    /// Draws the line of the chosen obstacle on: a wire's next support.
    DrawOn,
}

/// What a screen asks for.
#[derive(Debug)]
pub enum Command {
    /// Change the record; with a gesture, together with the other changes of that gesture.
    Act(Action, Option<u64>),
    /// Choose a thing, or nothing.
    Select(Option<Item>),
    /// Take up a tool.
    Take(Tool),
    /// Tick something of the walk on the day, seen just now.
    SeeNow(ToSee),
    /// Step back.
    Undo,
    /// Step forward.
    Redo,
    /// Take back what a gesture under way has done so far.
    TakeBack(u64),
    /// Ask for what a new sketch needs.
    New,
    /// Ask for what a new day needs.
    AskDay,
    /// Put a new document on the desk.
    Begin(Box<Edition>),
    /// Ask for a file to open.
    Open,
    /// Open this file.
    OpenFile(PathBuf),
    /// Save where it is kept, or ask where.
    Save,
    /// Ask where to save.
    SaveAs,
    /// Save under this name.
    SaveTo {
        /// The strip's new file.
        file: PathBuf,
        /// Whether the person knows that it is already there.
        replace: bool,
    },
    /// Ask for an aircraft's file.
    AskAircraft,
    /// Take the aircraft from this file.
    GiveAircraft(PathBuf),
    /// Ask for a day's file.
    AskDayFile,
    /// Take the day from this file.
    GiveDay(PathBuf),
    /// Open the system's dialog for the file question that is on screen.
    Browse {
        /// For saving rather than opening.
        to_save: bool,
    },
    /// Close what is asking.
    Dismiss,
    /// Show in other units.
    Units(Units),
    /// Open this panel.
    Show(Panel),
    /// Show this picture below the plan.
    Below(Picture),
    /// Light or dark.
    Dark(bool),
    /// Break off the assessment.
    CancelAssessment,
    /// Start it again.
    AssessAgain,
    /// Ask another question of when the field would work.
    Ask(Question),
    /// Look at a cell of its picture.
    LookAtCell(usize),
    /// Break off the picture.
    StopPicture,
    /// Work it out once more.
    PictureAgain,
    /// Go on although unsaved work is lost.
    LoseUnsaved(AfterUnsaved),
    /// Say something in the status line.
    Say(String),
}

impl<'a> Desk<'a> {
    /// The best lane of the last answer.
    pub fn best(&self) -> Option<&'a AssessedLane> {
        self.answer.and_then(|a| a.lanes.first())
    }

    /// A length rounded down, in whole units.
    pub fn least(&self, metres: f64) -> String {
        self.units.length(Metres::m(metres), Side::AtLeast, 0)
    }

    /// A length rounded up, in whole units.
    pub fn most(&self, metres: f64) -> String {
        self.units.length(Metres::m(metres), Side::AtMost, 0)
    }

    /// A height or a place as somebody gave it: to a centimetre, without zeros that nobody wrote.
    pub fn given(&self, metres: f64) -> String {
        let unit = self.units.length;
        let text = rounded(metres / unit.metres(), Side::Nearest, 2);
        format!("{} {}", text.trim_end_matches('0').trim_end_matches('.'), unit.symbol())
    }

    /// A length to two decimals, to the nearest: for things that no margin hangs on.
    pub fn near(&self, metres: f64) -> String {
        self.units.length(Metres::m(metres), Side::Nearest, 2)
    }
}
