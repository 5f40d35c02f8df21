//! The long section of the best lane: ground, hazards, touchdown window, slide.

use super::along::{Labels, plot_along, words_beside};
use super::desk::Desk;
use super::happens;
use eframe::egui::{Align2, Role, Ui, WidgetInfo};
use egui_plot::{Line, LineStyle, PlotPoints, Points, VLine};
use measure::shown::SpeedUnit;
use strip::AssessedLane;

/// Height of a row below the ground, as a share of the greatest speed drawn.
const ROW: f64 = 0.26;

/// What the section shows, in words.
pub fn words(desk: Desk) -> String {
    let Some(lane) = desk.best() else { return "No lane yet, so no long section.".to_owned() };
    let (length, speed) = (desk.units.length.symbol(), desk.units.speed.symbol());
    let ground =
        if lane.ground_profile.is_empty() { "drawn level, no levels there" } else { "from the levels" };
    format!(
        "{}. Across: chainage ({length}); up: height ({length}), speed ({speed}); ground {ground}.",
        describe(desk, lane)
    )
}

/// Draws the section of the best lane.
pub fn section_ui(ui: &mut Ui, desk: Desk) {
    let Some(lane) = desk.best() else { return };
    let happens = happens::along(desk, lane).into_iter();
    let happens: Vec<String> =
        happens.map(|what| format!("at {} {}", desk.near(what.from), what.text)).collect();
    let text = format!("{}; {}", describe(desk, lane), happens.join("; "));
    let scale = 1.0 / desk.units.length.metres();
    let drawn = plot_along("long section", lane, scale).include_y(-0.5).show(ui, |plot| {
        let mut labels = Labels::default();
        ground(plot, lane, scale, desk);
        happenings(plot, &mut labels, lane, scale, desk);
        marks(plot, &mut labels, lane, scale, desk);
        hazards(plot, lane, scale, desk);
        speeds(plot, &mut labels, lane, scale, desk);
        stops(plot, lane, scale, desk);
        labels
    });
    let response = drawn.response;
    drawn.inner.lay_ui(ui, &drawn.transform, desk);
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

fn marks(plot: &mut egui_plot::PlotUi<'_>, labels: &mut Labels, lane: &AssessedLane, scale: f64, desk: Desk) {
    let ink = desk.palette.lane.get();
    let top = lane.slide_profile.first().map_or(1.0, |&(_, v)| v / desk.units.speed.metres_per_second());
    let mut at = |name: &'static str, chainage: f64, height: f64, style: LineStyle| {
        plot.vline(VLine::new(name, chainage * scale).color(ink).style(style));
        let place = [chainage * scale, top * height];
        labels.add(place, format!(" {name} "), ink, words_beside(lane, chainage));
    };
    // At three heights, so that the words do not run into each other on a short lane.
    at("earliest touchdown", lane.earliest_touchdown_m, 0.45, LineStyle::Solid);
    at("end margin", lane.end_margin_at_m, 0.8, LineStyle::Solid);
    if let Some(latest) = lane.latest_touchdown_m.filter(|&l| l >= lane.earliest_touchdown_m) {
        at("latest touchdown", latest, 0.65, LineStyle::dashed_dense());
    }
}

/// Height of the ground above that of its first level, at a chainage; level where none was taken.
fn level_at(lane: &AssessedLane, chainage: f64) -> f64 {
    let profile = &lane.ground_profile;
    let Some(&(_, datum)) = profile.first() else { return 0.0 };
    let after = profile.partition_point(|(s, _)| *s < chainage).min(profile.len() - 1);
    profile[after].1 - datum
}

/// The ground: from levels, or dashed where none were taken.
fn ground(plot: &mut egui_plot::PlotUi<'_>, lane: &AssessedLane, scale: f64, desk: Desk) {
    let ink = desk.palette.edge.get();
    let known: Vec<[f64; 2]> =
        lane.ground_profile.iter().map(|&(s, _)| [s * scale, level_at(lane, s) * scale]).collect();
    if known.is_empty() {
        let even = PlotPoints::from(vec![[0.0, 0.0], [lane.length_m * scale, 0.0]]);
        plot.line(Line::new("ground", even).color(ink).width(2.0).style(LineStyle::dashed_loose()));
    } else {
        plot.line(Line::new("ground", known).color(ink).width(2.0));
    }
}

/// Where it probably stops, on the ground: as on the plan.
fn stops(plot: &mut egui_plot::PlotUi<'_>, lane: &AssessedLane, scale: f64, desk: Desk) {
    let (Some(first), Some(half), Some(last)) = (lane.stop_p05_m, lane.stop_p50_m, lane.stop_p95_m) else {
        return;
    };
    let at = |s: f64| [s * scale, level_at(lane, s) * scale];
    let spans = [(first, last, 6.0), (f64::midpoint(first, half), f64::midpoint(half, last), 12.0)];
    for (from, to, width) in spans {
        let band = Line::new("where it probably stops", vec![at(from), at(to)]);
        plot.line(band.color(desk.palette.slide.get()).width(width));
    }
}

/// What may go wrong and where, in rows below the ground.
fn happenings(
    plot: &mut egui_plot::PlotUi<'_>,
    labels: &mut Labels,
    lane: &AssessedLane,
    scale: f64,
    desk: Desk,
) {
    let top = lane.slide_profile.first().map_or(1.0, |&(_, v)| v / desk.units.speed.metres_per_second());
    for (row, what) in happens::along(desk, lane).into_iter().enumerate() {
        let height = -top * ROW * (row as f64 + 1.0);
        let at = |chainage: f64| [chainage.min(lane.length_m) * scale, height];
        // Grave is told by the words' own sign and a thick line, not by colour alone.
        let (colour, width, sign) = if what.grave {
            (desk.palette.edge_hard.get(), 5.0, "! ")
        } else {
            (desk.palette.lane.get(), 2.0, "")
        };
        let line = Line::new(what.text.clone(), vec![at(what.from), at(what.to)]);
        plot.line(line.color(colour).width(width));
        plot.points(Points::new(what.text.clone(), vec![at(what.from)]).radius(3.0).color(colour));
        let anchor = words_beside(lane, what.from);
        let above = if anchor == Align2::LEFT_CENTER { Align2::LEFT_BOTTOM } else { Align2::RIGHT_BOTTOM };
        labels.add(at(what.from), format!("{sign}{}", what.text), colour, above);
    }
}

fn hazards(plot: &mut egui_plot::PlotUi<'_>, lane: &AssessedLane, scale: f64, desk: Desk) {
    let strip = &desk.document.edition().strip;
    let tops: Vec<[f64; 2]> = lane
        .hazards
        .iter()
        .filter_map(|on| {
            let h = strip.hazards.iter().find(|h| h.id == on.id)?;
            let level = level_at(lane, on.chainage_m);
            let top = h.height_m.or(h.depth_m.map(|d| -d)).unwrap_or(0.0);
            Some([on.chainage_m * scale, (level + top) * scale])
        })
        .collect();
    if !tops.is_empty() {
        let points = Points::new("hazards beside the lane", tops).radius(5.0).stems(0.0);
        plot.points(points.color(desk.palette.rock.get()));
    }
}

/// Speed of a slide as long as the demand, and dashed that of one as likely longer as shorter; each named at
/// another eighth of it.
fn speeds(
    plot: &mut egui_plot::PlotUi<'_>,
    labels: &mut Labels,
    lane: &AssessedLane,
    scale: f64,
    desk: Desk,
) {
    let unit: SpeedUnit = desk.units.speed;
    let colour = desk.palette.slide.get();
    let curve = |profile: &[(f64, f64)]| -> Vec<[f64; 2]> {
        // A slide many times the lane's length says nothing here.
        let near = |s: &(f64, f64)| lane.aim_m + s.0 <= lane.length_m * 1.5;
        profile
            .iter()
            .copied()
            .take_while(near)
            .map(|(s, v)| [(lane.aim_m + s) * scale, v / unit.metres_per_second()])
            .collect()
    };
    let both = [
        ("speed, long slide", &lane.slide_profile, LineStyle::Solid, 3),
        ("speed, middling slide", &lane.likely_profile, LineStyle::dashed_dense(), 6),
    ];
    for (name, profile, style, share) in both {
        let points = curve(profile);
        if let Some(&[s, v]) = points.get(points.len() * share / 8) {
            plot.line(Line::new(name, points).color(colour).width(2.5).style(style));
            labels.add([s, v], format!(" {name} "), colour, Align2::LEFT_BOTTOM);
        }
    }
}
