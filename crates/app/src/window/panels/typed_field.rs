//! A field for a quantity as a person types it, with its unit; the value is taken when the field is
//! left or Enter is pressed, and what cannot be read stays there with the reason.

use super::super::desk::Desk;
use eframe::egui::{Align2, Id, Key, Response, TextEdit, Ui};
use measure::shown::{Side, rounded};
use measure::typed::{self, BadQuantity};

/// Width of a field, points: a name or a time with its offset.
const WIDTH: f32 = 260.0;

/// What kind of quantity a field holds; values are SI.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Kind {
    /// Metres.
    Length,
    /// Metres per second.
    Speed,
    /// Kilograms.
    Mass,
    /// A number with this unit behind it.
    Number(&'static str),
}

impl Kind {
    fn show(self, desk: Desk, value: f64) -> String {
        let (size, unit, decimals) = match self {
            Self::Length => (desk.units.length.metres(), desk.units.length.symbol(), 2),
            Self::Speed => (desk.units.speed.metres_per_second(), desk.units.speed.symbol(), 1),
            Self::Mass => (desk.units.mass.kilograms(), desk.units.mass.symbol(), 0),
            Self::Number(unit) => return format!("{value} {unit}").trim_end().to_owned(),
        };
        let text = rounded(value / size, Side::Nearest, decimals);
        let short = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
        format!("{short} {unit}")
    }

    fn read(self, desk: Desk, text: &str) -> Result<f64, BadQuantity> {
        match self {
            Self::Length => typed::length(text, desk.units.length).map(measure::Metres::to_m),
            Self::Speed => typed::speed_mps(text, desk.units.speed),
            Self::Mass => typed::mass(text, desk.units.mass).map(measure::Kilograms::to_kg),
            Self::Number(unit) => typed::number(text, unit),
        }
    }
}

/// A labelled field; returns the new value once it is typed.
pub(super) fn typed_ui(ui: &mut Ui, desk: Desk, label: &str, kind: Kind, value: Option<f64>) -> Option<f64> {
    let shown = value.map_or_else(String::new, |v| kind.show(desk, v));
    let text =
        text_ui(ui, desk, label, &shown, |text| kind.read(desk, text).map(drop).map_err(|e| e.to_string()))?;
    let read = kind.read(desk, &text).ok()?;
    // Leaving a field untouched must not change the value by what its text rounds away.
    (text != shown).then_some(read)
}

/// A labelled field for words; returns them once typed and accepted by `check`.
pub(super) fn text_ui(
    ui: &mut Ui,
    desk: Desk,
    label: &str,
    shown: &str,
    check: impl Fn(&str) -> Result<(), String>,
) -> Option<String> {
    let id = ui.scope_id().with(("typed", label));
    let row = ui.horizontal(|ui| {
        let name = ui.label(label);
        let (field, text, taken) = edit_ui(ui, id, shown, WIDTH, &check);
        field.labelled_by(name.id);
        (text, taken)
    });
    let (text, taken) = row.inner;
    reason_ui(ui, desk, &text, shown, taken.as_ref(), &check);
    taken
}

/// A field whose name only a screen reader says, and what is wrong with its text, if anything; returns the text once
/// typed and accepted by `check`.
pub(super) fn silent_text_ui(
    ui: &mut Ui,
    name: &str,
    width: f32,
    shown: &str,
    check: impl Fn(&str) -> Result<(), String>,
) -> (Option<String>, Option<String>) {
    let id = ui.scope_id().with(("typed", name));
    let (field, text, taken) = edit_ui(ui, id, shown, width, &check);
    ui.ctx().accesskit_node_builder(field.id, |node| node.set_label(name));
    let wrong = if text != shown && taken.is_none() { check(&text).err() } else { None };
    (taken, wrong)
}

/// The field itself: its response, its text, and that text where it was just taken.
fn edit_ui(
    ui: &mut Ui,
    id: Id,
    shown: &str,
    width: f32,
    check: impl Fn(&str) -> Result<(), String>,
) -> (Response, String, Option<String>) {
    let mut text = ui.data(|d| d.get_temp::<String>(id)).unwrap_or_else(|| shown.to_owned());
    let field =
        TextEdit::singleline(&mut text).id(id.with("field")).desired_width(width).align(Align2::LEFT_CENTER);
    let response = ui.add(field);
    let entered = response.lost_focus() || (response.has_focus() && ui.input(|i| i.key_pressed(Key::Enter)));
    let taken = (entered && text != shown && check(&text).is_ok()).then(|| text.clone());
    keep(ui, id, &text, shown, taken.is_some());
    (response, text, taken)
}

fn reason_ui(
    ui: &mut Ui,
    desk: Desk,
    text: &str,
    shown: &str,
    taken: Option<&String>,
    check: impl Fn(&str) -> Result<(), String>,
) {
    if text != shown
        && taken.is_none()
        && let Err(reason) = check(text)
    {
        ui.colored_label(desk.palette.does_not_fit.get(), reason);
    }
}

/// What is being typed lives with the field, until it is taken or back to what is shown.
fn keep(ui: &Ui, id: Id, text: &str, shown: &str, taken: bool) {
    ui.data_mut(|d| {
        if taken || text == shown {
            d.remove_temp::<String>(id);
        } else {
            d.insert_temp(id, text.to_owned());
        }
    });
}

/// Accepts a date of the calendar.
pub(super) fn dated(text: &str) -> Result<(), String> {
    text.parse::<jiff::civil::Date>().map(drop).map_err(|_| "a date such as 2026-04-02".to_owned())
}
