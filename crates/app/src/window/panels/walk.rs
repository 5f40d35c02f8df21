//! The walk on the day: its list as large rows, each with the time at which it was seen.

use super::super::desk::{Command, Desk};
use super::super::edition::Action;
use super::typed_field::{silent_text_ui, text_ui};
use eframe::egui::{Align2, FontId, Id, Rect, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};
use strip::record::{DayRecord, ToSee};
use strip::{Day, Unseen, time_of_day};

/// Width of a time, points.
const TIME: f32 = 64.0;

/// Side of the box that is ticked, over the height of its row.
const BOX: f32 = 0.5;

/// The list; `new` takes who walked, ticks go out as commands.
pub(super) fn walk_ui(
    ui: &mut Ui,
    desk: Desk,
    record: &DayRecord,
    new: &mut DayRecord,
    out: &mut Vec<Command>,
) {
    let Some(day) = &desk.document.inputs().day else { return };
    ui.heading("Walk on the day");
    let unseen = day.unseen();
    ui.label(done(&unseen));
    if let Some(walk) = record.rewalk.as_ref()
        && let Some(by) = text_ui(ui, desk, "walked by", &walk.by, |_| Ok(()))
        && let Some(walk) = &mut new.rewalk
    {
        walk.by = by;
    }
    for &what in ToSee::ALL {
        let late = unseen.iter().find(|u| u.what == what && u.late.is_some());
        row_ui(ui, desk, (day, record), (what, late), out);
    }
}

/// How much of the list counts.
fn done(unseen: &[Unseen]) -> String {
    let all = ToSee::ALL.len();
    let words = if unseen.is_empty() { "" } else { ": until all is, the day is at best tight" };
    format!("{} of {all} done{words}", all - unseen.len())
}

/// When it was seen on the day, as written.
fn seen<'a>(day: &Day, record: &'a DayRecord, what: ToSee) -> Option<&'a str> {
    let walk = record.rewalk.as_ref().filter(|_| day.rewalk.as_ref().is_some_and(|w| w.on == day.date))?;
    walk.seen.iter().find(|tick| tick.what == what).map(|tick| tick.at.as_str())
}

fn row_ui(
    ui: &mut Ui,
    desk: Desk,
    (day, record): (&Day, &DayRecord),
    (what, late): (ToSee, Option<&Unseen>),
    out: &mut Vec<Command>,
) {
    let at = seen(day, record, what);
    let mut wrong = None;
    ui.horizontal(|ui| {
        if tick_ui(ui, desk, what, at.is_some(), late.is_some()) {
            out.push(if at.is_some() {
                Command::Act(Action::Unsee(what), None)
            } else {
                Command::SeeNow(what)
            });
        }
        let name = format!("time seen: {}", what.name());
        let (typed, bad) = silent_text_ui(ui, &name, TIME, at.unwrap_or_default(), is_time);
        if let Some(at) = typed {
            out.push(Command::Act(Action::See(what, day.date.to_string(), at), None));
        }
        wrong = bad;
    });
    if let Some(reason) = wrong {
        ui.colored_label(desk.palette.does_not_fit.get(), reason);
    }
    if let Some(late) = late {
        ui.colored_label(desk.palette.tight.get(), format!("Does not count: {}", late.words()));
    }
}

fn is_time(text: &str) -> Result<(), String> {
    time_of_day(text).map(drop).ok_or_else(|| "a time of the day such as 08:55".to_owned())
}

/// The box and its name, all of it touched; says whether it was. A tick that does not count is a mark of another shape.
fn tick_ui(ui: &mut Ui, desk: Desk, what: ToSee, ticked: bool, late: bool) -> bool {
    let width = ui.available_width() - TIME - 3.0 * ui.spacing().item_spacing.x;
    let (_, rect) = ui.allocate_space(vec2(width, desk.tokens.target));
    // A name of its own keeps the focus where it is while the answer above changes.
    let row = ui.interact(rect, Id::unique(("walk", what)), Sense::click());
    if ui.is_rect_visible(rect) {
        let looks = ui.style().interact_selectable(&row, false);
        let ink = desk.palette.ink.get();
        let painter = ui.painter();
        if row.hovered() || row.has_focus() {
            painter.rect(rect, looks.corner_radius, looks.weak_bg_fill, looks.bg_stroke, StrokeKind::Inside);
        }
        let side = BOX * rect.height();
        let square = Rect::from_center_size(
            pos2(rect.left() + ui.spacing().button_padding.x + side / 2.0, rect.center().y),
            vec2(side, side),
        );
        let line = Stroke::new(desk.tokens.line, ink);
        painter.rect_stroke(square, 2.0, line, StrokeKind::Inside);
        if late {
            let font = FontId::proportional(desk.tokens.heading);
            painter.text(square.center(), Align2::CENTER_CENTER, "!", font, desk.palette.tight.get());
        } else if ticked {
            let on = |x: f32, y: f32| square.lerp_inside(vec2(x, y));
            let mark = Stroke::new(2.0 * desk.tokens.line, desk.palette.fits.get());
            painter.line(vec![on(0.2, 0.55), on(0.42, 0.78), on(0.82, 0.25)], mark);
        }
        let at = pos2(square.right() + ui.spacing().item_spacing.x, rect.center().y);
        painter.text(at, Align2::LEFT_CENTER, what.name(), FontId::proportional(desk.tokens.text), ink);
    }
    if row.gained_focus() {
        row.scroll_to_me(None);
    }
    row.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, ticked, what.name()));
    ui.ctx().accesskit_node_builder(row.id, |node| node.set_description(what.help()));
    row.on_hover_text(what.help()).clicked()
}
