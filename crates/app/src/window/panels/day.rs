//! The day: wind, air, grass, load, and the walk on the day.

use super::super::desk::{Command, Desk};
use super::super::edition::Action;
use super::typed_field::{Kind, text_ui, typed_ui};
use super::walk;
use eframe::egui::{ComboBox, Ui};
use strip::record::{DirectionRecord, GrassRecord, PressureRecord, WindRecord};

/// The panel.
pub(super) fn day_ui(ui: &mut Ui, desk: Desk, out: &mut Vec<Command>) {
    let Some(record) = &desk.document.edition().day else {
        ui.label("No day given: figures are for a calm standard day, and the verdict stays unknown.");
        if ui.button("Add the day").clicked() {
            out.push(Command::AskDay);
        }
        if ui.button("Take a day from a file").clicked() {
            out.push(Command::AskDayFile);
        }
        return;
    };
    if ui.button("Take another day").clicked() {
        out.push(Command::AskDayFile);
    }
    let mut new = record.clone();
    if let Some(time) = text_ui(ui, desk, "time", &record.time, |_| Ok(())) {
        new.time = time;
    }
    wind_ui(ui, desk, &mut new.wind);
    if let Some(t) = typed_ui(ui, desk, "temperature", Kind::Number("C"), Some(record.temperature_c)) {
        new.temperature_c = t;
    }
    let (label, pressure) = match &mut new.pressure {
        PressureRecord::Qnh(p) => ("QNH", p),
        PressureRecord::Station(p) => ("pressure at the field", p),
    };
    if let Some(hectopascals) = typed_ui(ui, desk, label, Kind::Number("hPa"), Some(*pressure / 100.0)) {
        *pressure = hectopascals * 100.0;
    }
    grass_ui(ui, &mut new.grass);
    if let Some(mass) = typed_ui(ui, desk, "mass at touchdown", Kind::Mass, record.landing_mass_kg) {
        new.landing_mass_kg = Some(mass);
    }
    walk::walk_ui(ui, desk, record, &mut new, out);
    if new != *record {
        out.push(Command::Act(Action::SetDay(Box::new(new)), None));
    }
}

fn wind_ui(ui: &mut Ui, desk: Desk, wind: &mut WindRecord) {
    let (label, from) = match &mut wind.from {
        DirectionRecord::True(d) => ("wind from (true)", d),
        DirectionRecord::Magnetic(d) => ("wind from (magnetic)", d),
    };
    if let Some(degrees) = typed_ui(ui, desk, label, Kind::Number("deg"), Some(*from)) {
        *from = degrees;
    }
    if let Some(mean) = typed_ui(ui, desk, "mean wind", Kind::Speed, Some(wind.mean_mps)) {
        wind.mean_mps = mean;
        wind.gust_mps = wind.gust_mps.max(mean);
    }
    if let Some(gust) = typed_ui(ui, desk, "gusts", Kind::Speed, Some(wind.gust_mps)) {
        wind.gust_mps = gust;
    }
    if let Some(height) = typed_ui(ui, desk, "measured at height", Kind::Length, Some(wind.at_height_m)) {
        wind.at_height_m = height;
    }
}

fn grass_ui(ui: &mut Ui, grass: &mut Option<GrassRecord>) {
    let name = |g: Option<GrassRecord>| match g {
        None => "not stated",
        Some(GrassRecord::Dry) => "dry",
        Some(GrassRecord::Dew) => "dew",
        Some(GrassRecord::Wet) => "wet",
        Some(GrassRecord::Frost) => "frost",
        Some(GrassRecord::Frozen) => "frozen",
    };
    let all = [GrassRecord::Dry, GrassRecord::Dew, GrassRecord::Wet, GrassRecord::Frost, GrassRecord::Frozen];
    ComboBox::from_label("grass").selected_text(name(*grass)).show_ui(ui, |ui| {
        for choice in std::iter::once(None).chain(all.map(Some)) {
            ui.selectable_value(grass, choice, name(choice));
        }
    });
}
