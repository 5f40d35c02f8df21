//! The way in to a lane, seen from the side: path, what stands below and beside it, and the touchdown, which can be
//! dragged along its window.
//!
//! Invariants: every gap that is drawn stands in words too; the figures of a touchdown are those of the answer, never
//! worked out here; nothing is drawn for a lane of which a first look says no more than its earliest touchdown, but
//! that.

mod picture;

use super::desk::{Command, Desk};
use super::plan::{arrow_steps, keep_arrows};
use crate::words;
use eframe::egui::{ComboBox, Response, Role, Ui, WidgetInfo};
use measure::Metres;
use measure::shown::Side;
use strip::{AssessedLane, Clearance, FlownTo};

/// What is remembered between frames.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct WayInState {
    /// Which lane of the answer, the best first.
    lane: usize,
    /// Which touchdown along the window, once one was chosen.
    mark: Option<usize>,
}

/// One touchdown as it is shown.
struct Shown<'a> {
    lane: &'a AssessedLane,
    touchdown: f64,
    clearances: &'a [Clearance],
    stops: Option<f64>,
}

impl<'a> Shown<'a> {
    /// The touchdown chosen, else the first at or past the aim; in a first look the earliest.
    fn of(lane: &'a AssessedLane, mark: Option<usize>) -> Self {
        let aimed = || lane.flown_to.iter().position(|f| f.touchdown_m >= lane.aim_m).unwrap_or(0);
        match lane.flown_to.get(mark.unwrap_or_else(aimed)).or(lane.flown_to.last()) {
            Some(FlownTo { touchdown_m, clearances, stop_asked_m, .. }) => {
                Self { lane, touchdown: *touchdown_m, clearances, stops: *stop_asked_m }
            }
            None => Self {
                lane,
                touchdown: lane.earliest_touchdown_m,
                clearances: &lane.approach.clearances,
                stops: lane.demand_m.map(|d| lane.earliest_touchdown_m + d),
            },
        }
    }
}

fn shown(state: WayInState, desk: Desk<'_>) -> Option<Shown<'_>> {
    let lanes = &desk.answer?.lanes;
    let lane = lanes.get(state.lane).or(lanes.first())?;
    Some(Shown::of(lane, state.mark))
}

/// What the picture shows, in words.
pub fn words(desk: Desk, state: WayInState) -> String {
    let Some(shown) = shown(state, desk) else { return "No lane yet, so no way in.".to_owned() };
    let lane = shown.lane;
    let path = &lane.approach;
    let window = words::touchdown_window(lane, desk.units);
    let at = format!("Shown: touchdown at {}", desk.most(shown.touchdown));
    let slide = shown
        .stops
        .map_or_else(|| "it does not stop".to_owned(), |s| format!("slide ends by {}", desk.most(s)));
    let least =
        shown.clearances.iter().filter(|c| c.lateral_m <= 0.0).min_by(|a, b| a.left().total_cmp(&b.left()));
    let tenth = |m: f64, side| desk.units.length(Metres::m(m), side, least.map_or(1, words::decimals_over));
    let room = least.map_or_else(
        || "nothing stands in the corridor before it".to_owned(),
        |c| match c.vertical_m {
            Some(over) => format!(
                "least left over {}: {} over it, {} asked",
                c.name,
                tenth(over, Side::AtLeast),
                tenth(c.required_m, Side::AtMost)
            ),
            None => format!("nobody measured how high {} is", c.name),
        },
    );
    let abandon = path.abandon.as_ref().map(|a| words::abandon(a, desk.units));
    let decide = abandon.map_or_else(String::new, |words| format!("{words}. "));
    let (low, high) = path.glide_deg;
    format!(
        "Way in to lane {}: path {low:.1} to {high:.1} degrees over the ground, drawn the shallowest. {window}. {at}, \
         {slide}; {room}. {decide}After touchdown there is no going round.",
        lane.id
    )
}

/// The choice of lane, and buttons that move the touchdown.
pub fn choice_ui(ui: &mut Ui, state: &mut WayInState, desk: Desk) {
    let Some(answer) = desk.answer else { return };
    let name = |lane: &AssessedLane| {
        format!("{} {:03.0} true, {}", lane.id, lane.heading_true_deg, lane.verdict.name())
    };
    let chosen = answer.lanes.get(state.lane).or(answer.lanes.first()).map_or_else(String::new, name);
    ui.horizontal(|ui| {
        ComboBox::from_id_salt("lane of the way in").selected_text(chosen).show_ui(ui, |ui| {
            for (i, lane) in answer.lanes.iter().enumerate() {
                if ui.selectable_label(state.lane == i, name(lane)).clicked() {
                    *state = WayInState { lane: i, mark: None };
                }
            }
        });
        for (name, step) in [("Touch down sooner", -1), ("later", 1)] {
            if ui.button(name).clicked() {
                moved(state, desk, step);
            }
        }
    });
}

/// The touchdown some marks farther along the window.
fn moved(state: &mut WayInState, desk: Desk, step: isize) {
    let Some(shown) = shown(*state, desk) else { return };
    let marks = &shown.lane.flown_to;
    let now = marks.iter().position(|f| f.touchdown_m >= shown.touchdown).unwrap_or(0);
    state.mark = Some(now.saturating_add_signed(step).min(marks.len().saturating_sub(1)));
}

/// Draws the picture and answers to pointer and keys.
pub fn way_in_ui(ui: &mut Ui, state: &mut WayInState, desk: Desk, out: &mut Vec<Command>) {
    let Some(shown) = shown(*state, desk) else { return };
    let drawn = picture::draw_ui(ui, &shown, desk);
    let text = format!("{} Left and right arrows move the touchdown.", words(desk, *state));
    drawn.response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &text));
    keys(ui, &drawn.response, state, desk);
    let Some(pointer) = drawn.response.interact_pointer_pos() else { return };
    let chainage = drawn.chainage_at(pointer);
    if drawn.response.dragged() {
        state.mark = nearest(&shown.lane.flown_to, chainage).or(state.mark);
    }
    if drawn.response.clicked() {
        drawn.response.request_focus();
        let on = drawn.near(pointer, &shown);
        out.extend(on.and_then(|c| picture::item_of(desk, c)).map(|item| Command::Select(Some(item))));
    }
}

fn keys(ui: &Ui, response: &Response, state: &mut WayInState, desk: Desk) {
    if response.has_focus() {
        keep_arrows(ui, response);
        let (step, _) = arrow_steps(ui, 1.0, 3.0);
        if step != 0.0 {
            moved(state, desk, step as isize);
        }
    }
}

fn nearest(marks: &[FlownTo], chainage: f64) -> Option<usize> {
    let off = |f: &FlownTo| (f.touchdown_m - chainage).abs();
    (0..marks.len()).min_by(|&a, &b| off(&marks[a]).total_cmp(&off(&marks[b])))
}
