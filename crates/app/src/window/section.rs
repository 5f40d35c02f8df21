//! The long section of the best lane: ground, hazards, touchdown window, slide.

use super::desk::Desk;
use eframe::egui::{Align2, Role, Sense, Ui, WidgetInfo};
use egui_plot::{Line, LineStyle, Plot, PlotPoint, PlotPoints, Points, Text, VLine};
use measure::shown::SpeedUnit;
use strip::AssessedLane;

/// What the section shows, in words.
pub fn words(desk: Desk) -> String {
    let Some(lane) = desk.best() else { return "No lane yet, so no long section.".to_owned() };
    let (length, speed) = (desk.units.length.symbol(), desk.units.speed.symbol());
    let ground =
        if lane.slope_mean.is_some() { "mean slope of the levels" } else { "drawn level, no levels taken" };
    format!(
        "{}. Across: chainage ({length}). Up: height ({length}) and speed ({speed}). Ground: {ground}.",
        describe(desk, lane)
    )
}

/// Draws the section of the best lane.
pub fn section_ui(ui: &mut Ui, desk: Desk) {
    let Some(lane) = desk.best() else { return };
    let text = describe(desk, lane);
    let scale = 1.0 / desk.units.length.metres();
    let response = Plot::new("long section")
        .sense(Sense::hover())
        .allow_zoom(false)
        .allow_drag(false)
        .allow_scroll(false)
        .include_x(0.0)
        .include_x(lane.length_m * scale)
        .include_y(-0.5)
        .show(ui, |plot| {
            let rise = lane.slope_mean.unwrap_or(0.0) * lane.length_m;
            let ground = PlotPoints::from(vec![[0.0, 0.0], [lane.length_m * scale, rise * scale]]);
            let style = if lane.slope_mean.is_some() { LineStyle::Solid } else { LineStyle::dashed_loose() };
            plot.line(Line::new("ground", ground).color(desk.palette.edge.get()).width(2.0).style(style));
            marks(plot, lane, scale, desk);
            hazards(plot, lane, scale, desk);
            speed(plot, lane, scale, desk);
        })
        .response;
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &text));
}

fn describe(desk: Desk, lane: &AssessedLane) -> String {
    let slide = lane.demand_m.map_or_else(
        || "no stop at the ends of what is known".to_owned(),
        |d| format!("aim at {}, slide up to {}", desk.most(lane.aim_m), desk.most(d)),
    );
    let lane_text = format!("Long section of lane {}: clear {}", lane.id, desk.least(lane.length_m));
    format!("{lane_text}, end margin at {}, {slide}", desk.least(lane.end_margin_at_m))
}

fn marks(plot: &mut egui_plot::PlotUi<'_>, lane: &AssessedLane, scale: f64, desk: Desk) {
    let ink = desk.palette.lane.get();
    let top = lane.slide_profile.first().map_or(1.0, |&(_, v)| v / desk.units.speed.metres_per_second());
    let mut at = |name: &'static str, chainage: f64, height: f64, style: LineStyle| {
        plot.vline(VLine::new(name, chainage * scale).color(ink).style(style));
        let place = PlotPoint::new(chainage * scale, top * height);
        // Words in the far half run backward, so that they stay on the picture.
        let anchor = if chainage > lane.length_m / 2.0 { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
        plot.text(Text::new(name, place, format!(" {name} ")).color(ink).anchor(anchor));
    };
    // At three heights, so that the words do not run into each other on a short lane.
    at("earliest touchdown", lane.earliest_touchdown_m, 0.45, LineStyle::Solid);
    at("end margin", lane.end_margin_at_m, 0.8, LineStyle::Solid);
    if let Some(latest) = lane.latest_touchdown_m.filter(|&l| l >= lane.earliest_touchdown_m) {
        at("latest touchdown", latest, 0.65, LineStyle::dashed_dense());
    }
}

fn hazards(plot: &mut egui_plot::PlotUi<'_>, lane: &AssessedLane, scale: f64, desk: Desk) {
    let strip = &desk.document.edition().strip;
    let tops: Vec<[f64; 2]> = lane
        .hazards
        .iter()
        .filter_map(|on| {
            let h = strip.hazards.iter().find(|h| h.id == on.id)?;
            let level = lane.slope_mean.unwrap_or(0.0) * on.chainage_m;
            let top = h.height_m.or(h.depth_m.map(|d| -d)).unwrap_or(0.0);
            Some([on.chainage_m * scale, (level + top) * scale])
        })
        .collect();
    if !tops.is_empty() {
        let points = Points::new("hazards beside the lane", tops).radius(5.0).stems(0.0);
        plot.points(points.color(desk.palette.rock.get()));
    }
}

fn speed(plot: &mut egui_plot::PlotUi<'_>, lane: &AssessedLane, scale: f64, desk: Desk) {
    let unit: SpeedUnit = desk.units.speed;
    let points: Vec<[f64; 2]> = lane
        .slide_profile
        .iter()
        .map(|&(s, v)| [(lane.aim_m + s) * scale, v / unit.metres_per_second()])
        .collect();
    if !points.is_empty() {
        let line = Line::new("speed, slide from the aim at its longest", points);
        plot.line(line.color(desk.palette.slide.get()).width(2.5));
    }
}
