//! What stands below the plan: one of four pictures, with its figures in words below their buttons.

use super::by_heading::{self, Sector, by_heading_ui};
use super::desk::{Command, Desk};
use super::section::{self, section_ui};
use super::slides::{self, slides_ui};
use super::way_in::{self, WayInState, way_in_ui};
use eframe::egui::{Label, RichText, Ui};

/// A picture below the plan.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Picture {
    /// The long section of the best lane.
    #[default]
    Section,
    /// The way in to a lane.
    WayIn,
    /// The longest lane of each heading.
    ByHeading,
    /// Where slides end.
    Slides,
}

impl Picture {
    const ALL: [Self; 4] = [Self::Section, Self::ByHeading, Self::Slides, Self::WayIn];

    /// Height that it asks for, with its buttons and words, points.
    pub const fn height(self) -> f32 {
        match self {
            Self::WayIn => 340.0,
            Self::Section | Self::ByHeading | Self::Slides => 250.0,
        }
    }

    /// The words on its button, and its keys.
    const fn name(self) -> (&'static str, &'static str) {
        match self {
            Self::Section => ("Long section", "Ctrl+1"),
            Self::ByHeading => ("Length by heading", "Ctrl+2"),
            Self::Slides => ("Where slides end", "Ctrl+3"),
            Self::WayIn => ("Way in", "Ctrl+4"),
        }
    }
}

/// What is remembered between frames.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct BelowState {
    /// The picture shown.
    pub picture: Picture,
    sector: Sector,
    way_in: WayInState,
}

/// The buttons, the words and the picture.
pub fn below_ui(ui: &mut Ui, state: &mut BelowState, desk: Desk, out: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        for picture in Picture::ALL {
            let (name, keys) = picture.name();
            ui.selectable_value(&mut state.picture, picture, name).on_hover_text(keys);
        }
    });
    if state.picture == Picture::WayIn {
        way_in::choice_ui(ui, &mut state.way_in, desk);
    }
    let words = match state.picture {
        Picture::Section => section::words(desk),
        Picture::ByHeading => by_heading::words(desk, state.sector),
        Picture::Slides => slides::words(desk),
        Picture::WayIn => way_in::words(desk, state.way_in),
    };
    ui.add(Label::new(RichText::new(words).small()).wrap());
    match state.picture {
        Picture::Section => section_ui(ui, desk),
        Picture::ByHeading => by_heading_ui(ui, &mut state.sector, desk),
        Picture::Slides => slides_ui(ui, desk),
        Picture::WayIn => way_in_ui(ui, &mut state.way_in, desk, out),
    }
}
