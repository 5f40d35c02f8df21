//! What pictures along a lane share: the frame, which is looked at and not moved, and on which side of a mark
//! its words stand.

use eframe::egui::{Align2, Sense};
use egui_plot::Plot;
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
