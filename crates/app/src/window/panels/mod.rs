//! Panels beside the plan: one file each, listed here once.

mod aircraft;
mod day;
mod drawing;
mod field;
mod figures;
mod ground;
mod heights;
mod measured;
mod obstacles;
mod occasions;
mod passed;
mod ranking;
mod settings;
mod sign;
mod things;
mod touchdown;
mod typed_field;
mod verdict;
mod walk;

use super::desk::{Command, Desk};
use eframe::egui::{ScrollArea, Ui};

pub use verdict::{Work, verdict_ui};

/// A panel, as its tab says.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Panel {
    /// Why, and what to measure.
    #[default]
    Why,
    /// Hazards, patches, obstacles.
    Things,
    /// The field: name, survey, edges.
    Field,
    /// The aircraft.
    Aircraft,
    /// How the keels meet the ground.
    Touchdown,
    /// The day.
    Day,
    /// When the field would work.
    When,
    /// Settings with their tags.
    Assumed,
}

impl Panel {
    /// Every panel, in the order of the tabs.
    pub const ALL: [Self; 8] = [
        Self::Why,
        Self::Things,
        Self::Field,
        Self::Aircraft,
        Self::Touchdown,
        Self::Day,
        Self::When,
        Self::Assumed,
    ];

    /// The word on its tab.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Why => "Why",
            Self::Things => "Things",
            Self::Field => "Field",
            Self::Aircraft => "Aircraft",
            Self::Touchdown => "Touchdown",
            Self::Day => "Day",
            Self::When => "When",
            Self::Assumed => "Assumed",
        }
    }
}

/// Room beside the word on a tab and between tabs, points: little, so that all stand in one row.
const TABS: (f32, f32) = (4.0, 1.0);

/// The tabs and the panel that is open.
pub fn panels_ui(ui: &mut Ui, open: &mut Panel, desk: Desk, out: &mut Vec<Command>) {
    ui.horizontal_wrapped(|ui| {
        let spacing = ui.spacing_mut();
        (spacing.button_padding.x, spacing.item_spacing.x) = TABS;
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
        Panel::Touchdown => touchdown::touchdown_ui(ui, desk),
        Panel::Day => day::day_ui(ui, desk, out),
        Panel::When => occasions::occasions_ui(ui, desk, out),
        Panel::Assumed => settings::settings_ui(ui, desk),
    });
}
