//! The window: state, what happens between frames, and how the screens are laid out.

mod along;
mod background;
mod bar;
mod below;
mod by_heading;
mod commands;
mod desk;
mod dialogs;
mod document;
mod edition;
mod events;
mod forms;
mod happens;
mod obstacles;
mod panels;
mod places;
mod plan;
mod section;
mod slides;
mod tokens;
mod veil;
mod walk;
mod way_in;
mod when;
mod wonder;

pub use desk::{Item, Tool};
pub use document::Document;
pub use edition::{Action, Corner, Edition};
pub use panels::Panel;
pub use when::{Getting, WhenView};

use crate::failure::Failure;
use crate::inputs::Records;
use background::{Background, Subject};
use bar::{BarState, bar_ui, shortcuts};
use below::{BelowState, below_ui};
use desk::{Command, Desk};
use dialogs::{AfterUnsaved, Dialog, dialog_ui};
use eframe::egui::{self, CentralPanel, Context, Panel as Side, RichText, ScrollArea, Ui, ViewportCommand};
use jiff::Timestamp;
use measure::shown::Units;
use panels::{Work, panels_ui, verdict_ui};
use plan::{PlanState, plan_ui};
use std::time::Duration;
use strip::{Assessment, CAUTION};
use tokens::Tokens;
use when::When;
use wonder::Wonder;

/// Work that lasts longer than this shows how far it is and can be broken off, seconds.
const PATIENCE: f64 = 0.3;

/// Greatest share of the window that what is below the plan takes.
const BELOW_SHARE: f32 = 0.58;

/// Width of the panels at first, points: all tabs stand in one row.
const PANELS: f32 = 480.0;

/// The window's state.
pub struct App {
    tokens: Tokens,
    dark: bool,
    /// The looks that the context has now.
    looks: Option<bool>,
    units: Units,
    document: Option<Document>,
    background: Background,
    /// Counts documents, those put on the desk and those asked for, so that late answers are known as such.
    number: u64,
    document_number: u64,
    /// The file being opened: its request, and the revision on the desk when it was asked for.
    opening: Option<(u64, u64)>,
    answer: Option<(u64, Assessment)>,
    /// What the first look said of the slide and what the full answer says, where that is longer.
    longer: Option<(f64, f64)>,
    asked: Option<Asked>,
    plan: PlanState,
    below: BelowState,
    tool: Tool,
    panel: Panel,
    selected: Option<Item>,
    dialog: Option<Dialog>,
    status: String,
    after_save: Option<AfterUnsaved>,
    may_close: bool,
    clock: fn() -> Timestamp,
    when: When,
}

/// The assessment last asked for.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Asked {
    revision: u64,
    at: f64,
    stopped: bool,
}

impl App {
    /// The window on a document, or on none.
    ///
    /// # Errors
    /// [`Failure`] if the records are not valid or the system gives no thread.
    pub fn new(ctx: &Context, records: Option<Records>, units: Units) -> Result<Self, Failure> {
        let tokens = Tokens::load().map_err(Failure::Window)?;
        // For the first frame; whoever made the context may still change it, so it is done again then.
        tokens.apply(ctx, false);
        let background = Background::start(ctx.clone()).map_err(|e| Failure::Window(e.to_string()))?;
        let wonder = Wonder::start(ctx.clone()).map_err(|e| Failure::Window(e.to_string()))?;
        Ok(Self {
            tokens,
            dark: false,
            looks: None,
            units,
            document: records.map(Document::of_records).transpose()?,
            background,
            number: 0,
            document_number: 0,
            opening: None,
            answer: None,
            longer: None,
            asked: None,
            plan: PlanState::default(),
            below: BelowState::default(),
            tool: Tool::default(),
            panel: Panel::default(),
            selected: None,
            dialog: None,
            status: String::new(),
            after_save: None,
            may_close: false,
            clock: Timestamp::now,
            when: When::new(wonder),
        })
    }

    /// Takes the time of day from elsewhere than the system's clock.
    pub fn set_clock(&mut self, clock: fn() -> Timestamp) {
        self.clock = clock;
    }

    /// The open document.
    pub fn document(&self) -> Option<&Document> {
        self.document.as_ref()
    }

    /// The full answer about the present edition; `None` while it is being worked out.
    pub fn answer(&self) -> Option<&Assessment> {
        let (revision, answer) = self.answer.as_ref()?;
        let current = self.document.as_ref().is_some_and(|d| d.revision() == *revision);
        (current && !answer.preview).then_some(answer)
    }

    /// The panel that is open.
    pub fn panel(&self) -> Panel {
        self.panel
    }

    /// The answer on screen: a first look, or an answer from before the last change, where there is no
    /// full one yet.
    pub fn shown(&self) -> Option<&Assessment> {
        self.answer.as_ref().map(|(_, answer)| answer)
    }

    /// Where a point of the field was drawn in the last frame.
    pub fn screen_from_field(&self, point: ground::Point) -> Option<egui::Pos2> {
        self.plan.screen_from_field(point)
    }

    /// The status line.
    pub fn status(&self) -> &str {
        &self.status
    }

    /// What happens before a frame is drawn: answers arrive, the next question is asked.
    pub fn before_frame(&mut self, ctx: &Context) {
        if self.looks != Some(self.dark) {
            self.tokens.apply(ctx, self.dark);
            self.looks = Some(self.dark);
        }
        while let Some(event) = self.background.finished() {
            self.take(ctx, event);
        }
        let now = ctx.input(|i| i.time);
        if let Some(document) = &self.document
            && self.asked.is_none_or(|a| a.revision != document.revision())
        {
            let revision = document.revision();
            let subject = Subject { document: self.document_number, revision };
            self.background.assess(subject, document.inputs().clone());
            self.asked = Some(Asked { revision, at: now, stopped: false });
        }
        if self.answer().is_none() && self.asked.is_some_and(|a| !a.stopped) {
            // Nobody may touch anything while it works, and the bar has to move all the same.
            ctx.request_repaint_after(Duration::from_millis(100));
        }
        self.wonder(ctx);
        let unsaved = self.document.as_ref().is_some_and(Document::is_unsaved);
        if ctx.input(|i| i.viewport().close_requested()) && unsaved && !self.may_close {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.dialog = Some(Dialog::Unsaved(AfterUnsaved::Close));
        }
    }

    /// Asks when the field would work, once there is an answer or it was stopped.
    fn wonder(&mut self, ctx: &Context) {
        let Some(document) = &self.document else { return };
        let subject = Subject { document: self.document_number, revision: document.revision() };
        let answered = self.answer.as_ref().filter(|(r, a)| *r == subject.revision && !a.preview);
        let stopped = self.asked.is_some_and(|a| a.stopped);
        let lane = answered.and_then(|(_, a)| a.lanes.first());
        let ready = (answered.is_some() || stopped).then(|| (document.inputs(), lane));
        if self.when.before_frame(subject, ready, self.panel == Panel::When) {
            ctx.request_repaint_after(Duration::from_millis(100));
        }
    }

    /// When the field would work, as it is shown.
    pub fn when(&self) -> Option<WhenView<'_>> {
        let revision = self.document.as_ref()?.revision();
        Some(self.when.view(Subject { document: self.document_number, revision }))
    }

    /// Draws a frame and does what was asked for in it.
    pub fn frame_ui(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        let mut commands = Vec::new();
        if self.dialog.is_none() {
            shortcuts(&ctx, self.document.is_some(), &mut commands);
        }
        self.screens_ui(ui, &mut commands);
        if let Some(dialog) = &mut self.dialog {
            dialog_ui(&ctx, dialog, &mut commands);
        }
        for command in commands {
            self.do_command(&ctx, command);
        }
    }

    fn screens_ui(&mut self, ui: &mut Ui, out: &mut Vec<Command>) {
        let state = BarState {
            document: self.document.as_ref(),
            tool: self.tool,
            units: self.units,
            dark: self.dark,
        };
        Side::top("bar").show(ui, |ui| bar_ui(ui, &state, out));
        Side::bottom("caution").show(ui, |ui| {
            ScrollArea::horizontal().show(ui, |ui| ui.label(CAUTION));
            // An empty line as well: the plan must not jump under the pointer when something is said.
            ui.label(if self.status.is_empty() { " " } else { &self.status });
        });
        let Some(document) = &self.document else {
            CentralPanel::default().show(ui, |ui| nothing_open_ui(ui, out));
            return;
        };
        let desk = Desk {
            tokens: &self.tokens,
            palette: self.tokens.palette(self.dark),
            units: self.units,
            document,
            answer: self.answer.as_ref().map(|(_, a)| a),
            longer: self.longer,
            stale: self.answer.as_ref().is_some_and(|(r, _)| *r != document.revision()),
            selected: self.selected,
            when: self.when.view(Subject { document: self.document_number, revision: document.revision() }),
        };
        let work = self.work(ui.input(|i| i.time), document.revision());
        Side::right("panels").default_size(PANELS).min_size(300.0).show(ui, |ui| {
            let star = if document.is_unsaved() { " (unsaved)" } else { "" };
            ui.label(RichText::new(format!("{}{star}", document.edition().strip.name)).strong());
            verdict_ui(ui, desk, work, out);
            ui.separator();
            panels_ui(ui, &mut self.panel, desk, out);
        });
        let below = self.below.picture.height().min(ui.available_height() * BELOW_SHARE);
        Side::bottom("below").exact_size(below).show(ui, |ui| below_ui(ui, &mut self.below, desk, out));
        let no_frame = CentralPanel::default().frame(egui::Frame::NONE);
        no_frame.show(ui, |ui| plan_ui(ui, &mut self.plan, desk, self.tool, out));
    }

    fn work(&self, now: f64, revision: u64) -> Work {
        let answered = self.answer.as_ref().is_some_and(|(r, a)| *r == revision && !a.preview);
        match self.asked {
            Some(asked) if !answered && asked.stopped => Work::Stopped,
            Some(asked) if !answered && now - asked.at > PATIENCE => {
                Work::Running(self.background.progress())
            }
            _ => Work::Quiet,
        }
    }
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &Context, _frame: &mut eframe::Frame) {
        self.before_frame(ctx);
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.frame_ui(ui);
    }
}

fn nothing_open_ui(ui: &mut Ui, out: &mut Vec<Command>) {
    ui.heading("No strip is open");
    ui.label("Open one, or begin a sketch of a new field.");
    if ui.button("Open a strip").clicked() {
        out.push(Command::Open);
    }
    if ui.button("Begin a sketch").clicked() {
        out.push(Command::New);
    }
}

/// Whether there is a display to open a window on.
pub fn display_available() -> bool {
    let set = |name: &str| std::env::var_os(name).is_some_and(|v| !v.is_empty());
    cfg!(not(target_os = "linux")) || set("DISPLAY") || set("WAYLAND_DISPLAY")
}

/// Runs the window until it is closed.
///
/// # Errors
/// [`Failure::Window`] if the display cannot be used.
pub fn run(records: Option<Records>, units: Units) -> Result<(), Failure> {
    let viewport = egui::ViewportBuilder::default()
        .with_title("Keelsward")
        .with_app_id("keelsward")
        .with_inner_size([1280.0, 860.0])
        .with_min_inner_size([720.0, 480.0]);
    let options = eframe::NativeOptions { viewport, ..eframe::NativeOptions::default() };
    eframe::run_native(
        "Keelsward",
        options,
        Box::new(move |creation| {
            let app = App::new(&creation.egui_ctx, records, units)?;
            Ok(Box::new(app))
        }),
    )
    .map_err(|e| Failure::Window(e.to_string()))
}
