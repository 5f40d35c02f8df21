//! What pictures along a lane share: the frame, which is looked at and not moved, on which side of a mark its words
//! stand, and how they are laid.

use super::desk::Desk;
use super::veil::free_text_ui;
use eframe::egui::{Align2, Color32, Sense, Ui};
use egui_plot::{Plot, PlotPoint, PlotTransform};
use strip::AssessedLane;

/// A picture as wide as a lane.
pub fn plot_along<'a>(name: &'static str, lane: &AssessedLane, scale: f64) -> Plot<'a> {
    Plot::new(name)
        .sense(Sense::hover())
        .allow_zoom(false)
        .allow_drag(false)
        .allow_scroll(false)
        .include_x(0.0)
        .include_x(lane.length_m * scale)
}

/// Words in the far half run backward, so that they stay on the picture.
pub fn words_beside(lane: &AssessedLane, chainage: f64) -> Align2 {
    if chainage > lane.length_m / 2.0 { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER }
}

/// Words to be laid over a picture once it is drawn, so that they keep off each other.
#[derive(Default)]
pub struct Labels(Vec<Label>);

struct Label {
    at: PlotPoint,
    text: String,
    colour: Color32,
    anchor: Align2,
}

impl Labels {
    /// Words at a place of the picture.
    pub fn add(&mut self, at: [f64; 2], text: impl Into<String>, colour: Color32, anchor: Align2) {
        self.0.push(Label { at: at.into(), text: text.into(), colour, anchor });
    }

    /// Lays them within the picture's frame.
    pub fn lay_ui(self, ui: &Ui, transform: &PlotTransform, desk: Desk) {
        let painter = &ui.painter_at(*transform.frame());
        for Label { at, text, colour, anchor } in self.0 {
            free_text_ui(painter, desk, transform.position_from_point(&at), anchor, text, colour);
        }
    }
}
