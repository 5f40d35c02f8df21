//! Panels beside the plan: one file each, listed here once.

mod aircraft;
mod day;
mod field;
mod figures;
mod ground;
mod measured;
mod ranking;
mod settings;
mod things;
mod typed_field;
mod verdict;

use super::desk::{Command, Desk};
use eframe::egui::{ScrollArea, Ui};

pub use verdict::{Work, verdict_ui};

/// A panel, as its tab says.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Panel {
    /// Why, and what to measure.
    #[default]
    Why,
    /// Hazards and patches.
    Things,
    /// The field: name, survey, edges.
    Field,
    /// The aircraft.
    Aircraft,
    /// The day.
    Day,
    /// Settings with their tags.
    Assumed,
}

impl Panel {
    /// Every panel, in the order of the tabs.
    pub const ALL: [Self; 6] =
        [Self::Why, Self::Things, Self::Field, Self::Aircraft, Self::Day, Self::Assumed];

    /// The word on its tab.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Why => "Why",
            Self::Things => "Things",
            Self::Field => "Field",
            Self::Aircraft => "Aircraft",
            Self::Day => "Day",
            Self::Assumed => "Assumed",
        }
    }
}

/// The tabs and the panel that is open.
pub fn panels_ui(ui: &mut Ui, open: &mut Panel, desk: Desk, out: &mut Vec<Command>) {
    ui.horizontal_wrapped(|ui| {
        for panel in Panel::ALL {
            ui.selectable_value(open, panel, panel.name());
        }
    });
    ui.separator();
    ScrollArea::vertical().id_salt(open.name()).auto_shrink([false, false]).show(ui, |ui| match open {
        Panel::Why => verdict::why_ui(ui, desk),
        Panel::Things => things::things_ui(ui, desk, out),
        Panel::Field => field::field_ui(ui, desk, out),
        Panel::Aircraft => aircraft::aircraft_ui(ui, desk, out),
        Panel::Day => day::day_ui(ui, desk, out),
        Panel::Assumed => settings::settings_ui(ui, desk),
    });
}
