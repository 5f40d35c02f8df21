//! The picture of where slides end: what share of them has stopped by each chainage.
//!
//! Invariant: every mark on it is in words too.

use super::along::{Labels, plot_along, words_beside};
use super::desk::Desk;
use eframe::egui::{Role, Ui, WidgetInfo};
use egui_plot::{Line, LineStyle, PlotUi, VLine};
use measure::shown::{Side, rounded};
use strip::AssessedLane;

/// Shares that are marked, and as they are said.
const MARKED: [(f64, &str); 3] = [(0.05, "5 in 100"), (0.5, "half"), (0.95, "95 in 100")];

/// What the picture shows, in words.
pub fn words(desk: Desk) -> String {
    let Some(lane) = desk.best() else { return "No lane yet, so no slides.".to_owned() };
    let stops = [lane.stop_p05_m, lane.stop_p50_m, lane.stop_p95_m];
    let told = MARKED
        .iter()
        .zip(stops)
        .filter_map(|((_, share), at)| at.map(|at| format!("{share} by {}", desk.most(at))));
    let told: Vec<String> = told.collect();
    let stopped = if told.is_empty() { "too many never do".to_owned() } else { told.join(", ") };
    format!(
        "Slides from about the aim on lane {}, at the worst of what is not known, having stopped: {stopped}; end margin at {}. {}",
        lane.id,
        desk.least(lane.end_margin_at_m),
        overrun(lane)
    )
}

/// The chance of going past the end margin, never told as less than it may be told.
fn overrun(lane: &AssessedLane) -> String {
    lane.overrun_probability.map_or_else(String::new, |chance| {
        let thousand = rounded(chance * 1000.0, Side::AtMost, 0);
        format!("Past the end margin: {thousand} in 1,000 (never told as less than 1).")
    })
}

/// Draws the share stopped against chainage.
pub fn slides_ui(ui: &mut Ui, desk: Desk) {
    let Some(lane) = desk.best() else { return };
    let text = words(desk);
    let scale = 1.0 / desk.units.length.metres();
    let drawn = plot_along("slides", lane, scale).include_y(0.0).include_y(100.0).show(ui, |plot| {
        let curve: Vec<[f64; 2]> =
            lane.stopped_share.iter().map(|&(at, share)| [at * scale, share * 100.0]).collect();
        let line = Line::new("stopped, of 100", curve);
        plot.line(line.color(desk.palette.slide.get()).width(2.5));
        marks(plot, lane, scale, desk)
    });
    let response = drawn.response;
    drawn.inner.lay_ui(ui, &drawn.transform, desk);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &text));
}

fn marks(plot: &mut PlotUi<'_>, lane: &AssessedLane, scale: f64, desk: Desk) -> Labels {
    let mut labels = Labels::default();
    let ink = desk.palette.lane.get();
    plot.vline(VLine::new("end margin", lane.end_margin_at_m * scale).color(ink));
    let beside = |at: f64| words_beside(lane, at);
    labels.add([lane.end_margin_at_m * scale, 15.0], " end margin ", ink, beside(lane.end_margin_at_m));
    let stops = [lane.stop_p05_m, lane.stop_p50_m, lane.stop_p95_m];
    for ((share, name), at) in MARKED.iter().zip(stops) {
        let Some(at) = at else { continue };
        let colour = desk.palette.slide.get();
        plot.vline(VLine::new(*name, at * scale).color(colour).style(LineStyle::dashed_loose()));
        labels.add([at * scale, share * 80.0 + 8.0], format!(" {name} "), colour, beside(at));
    }
    labels
}
