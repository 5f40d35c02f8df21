//! What stands below the plan: one of three pictures, with its figures in words below their buttons.

use super::by_heading::{self, Sector, by_heading_ui};
use super::desk::Desk;
use super::section::{self, section_ui};
use super::slides::{self, slides_ui};
use eframe::egui::{Label, RichText, Ui};

/// A picture below the plan.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Picture {
    /// The long section of the best lane.
    #[default]
    Section,
    /// The longest lane of each heading.
    ByHeading,
    /// Where slides end.
    Slides,
}

impl Picture {
    const ALL: [Self; 3] = [Self::Section, Self::ByHeading, Self::Slides];

    /// The words on its button, and its keys.
    const fn name(self) -> (&'static str, &'static str) {
        match self {
            Self::Section => ("Long section", "Ctrl+1"),
            Self::ByHeading => ("Length by heading", "Ctrl+2"),
            Self::Slides => ("Where slides end", "Ctrl+3"),
        }
    }
}

/// What is remembered between frames.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct BelowState {
    /// The picture shown.
    pub picture: Picture,
    sector: Sector,
}

/// The buttons, the words and the picture.
pub fn below_ui(ui: &mut Ui, state: &mut BelowState, desk: Desk) {
    ui.horizontal(|ui| {
        for picture in Picture::ALL {
            let (name, keys) = picture.name();
            ui.selectable_value(&mut state.picture, picture, name).on_hover_text(keys);
        }
    });
    let words = match state.picture {
        Picture::Section => section::words(desk),
        Picture::ByHeading => by_heading::words(desk, state.sector),
        Picture::Slides => slides::words(desk),
    };
    ui.add(Label::new(RichText::new(words).small()).wrap());
    match state.picture {
        Picture::Section => section_ui(ui, desk),
        Picture::ByHeading => by_heading_ui(ui, &mut state.sector, desk),
        Picture::Slides => slides_ui(ui, desk),
    }
}
