//! Drawing of the way in: ground, path, things with the gaps over them, touchdown window, end of the slide.

use super::Shown;
use crate::window::along::Labels;
use crate::window::desk::{Desk, Item};
use crate::window::veil::keep_free;
use crate::words;
use eframe::egui::{Align2, Color32, Pos2, Rect, Response, Sense, Ui, Vec2};
use egui_plot::{Line, LineStyle, Plot, PlotPoint, PlotTransform, PlotUi, Points, VLine};
use measure::Metres;
use measure::shown::Side;
use strip::{AssessedLane, Clearance};

/// How far before the near end the picture begins at least, and at most, m.
const LEAST_BEFORE: f64 = 40.0;
const MOST_BEFORE: f64 = 1_600.0;

/// Share of the picture's height above the highest thing.
const HEADROOM: f64 = 1.25;

/// Things named; the others are drawn without words, which the list of things has.
const NAMED: usize = 6;

/// How near a click must be to a thing, points.
const REACH: f32 = 22.0;

/// Radius of the touchdown that is shown, points.
const TOUCHDOWN: f32 = 9.0;

/// What was drawn.
pub(super) struct Drawn {
    pub(super) response: Response,
    transform: PlotTransform,
    scale: f64,
}

impl Drawn {
    /// Chainage under a place on screen.
    pub(super) fn chainage_at(&self, at: Pos2) -> f64 {
        self.transform.value_from_position(at).x / self.scale
    }

    /// The thing at a place on screen.
    pub(super) fn near<'a>(&self, at: Pos2, shown: &Shown<'a>) -> Option<&'a Clearance> {
        let off = |c: &Clearance| {
            let x = self.transform.position_from_point(&PlotPoint::new(c.chainage_m * self.scale, 0.0)).x;
            (x - at.x).abs()
        };
        let nearest = shown.clearances.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
        nearest.filter(|c| off(c) <= REACH)
    }
}

/// The thing on the plan that a row is about.
pub(super) fn item_of(desk: Desk, c: &Clearance) -> Option<Item> {
    let id = c.id.as_ref()?;
    let strip = &desk.document.edition().strip;
    let hazard = strip.hazards.iter().position(|h| h.id == *id).map(Item::Hazard);
    hazard.or_else(|| strip.obstacles.iter().position(|o| o.id == *id).map(Item::Obstacle))
}

pub(super) fn draw_ui(ui: &mut Ui, shown: &Shown, desk: Desk) -> Drawn {
    let scale = 1.0 / desk.units.length.metres();
    let ground = Ground::of(shown.lane);
    let before = shown.clearances.iter().filter(|c| c.lateral_m <= 0.0).map(|c| -c.chainage_m);
    let abandon = shown.lane.approach.abandon.as_ref();
    let by = abandon.and_then(|a| a.straight_by_m.or(a.turn_by_m)).map(|by| -by);
    let before = before.chain(by).fold(LEAST_BEFORE, |a, b| a.max(b + 20.0)).min(MOST_BEFORE);
    let top = shown.clearances.iter().filter_map(|c| c.top_m.map(|t| t + c.required_m)).fold(3.0, f64::max);
    let plot = Plot::new("way in")
        .sense(Sense::click_and_drag())
        .allow_zoom(false)
        .allow_drag(false)
        .allow_scroll(false)
        .include_x(-before * scale)
        .include_x(shown.lane.length_m * scale)
        .include_y(-0.15 * top * scale)
        .include_y(HEADROOM * top * scale);
    let drawn = plot.show(ui, |plot| {
        let mut view = View { shown, ground: &ground, desk, scale, before, words: Labels::default() };
        view.ground_line(plot);
        view.paths(plot);
        view.window(plot, top);
        view.things(plot);
        view.slide(plot);
        view.words
    });
    let here = [shown.touchdown * scale, ground.at(shown.touchdown) * scale];
    let here = drawn.transform.position_from_point(&here.into());
    keep_free(ui.painter(), Rect::from_center_size(here, Vec2::splat(2.0 * TOUCHDOWN)));
    drawn.inner.lay_ui(ui, &drawn.transform, desk);
    Drawn { response: drawn.response, transform: drawn.transform, scale }
}

/// Height of the ground along a lane above that of its first level; level where none was taken.
struct Ground<'a> {
    profile: &'a [(f64, f64)],
}

impl<'a> Ground<'a> {
    fn of(lane: &'a AssessedLane) -> Self {
        Self { profile: &lane.ground_profile }
    }

    fn at(&self, chainage: f64) -> f64 {
        let Some(&(_, first)) = self.profile.first() else { return 0.0 };
        let after = self.profile.partition_point(|(s, _)| *s < chainage).min(self.profile.len() - 1);
        self.profile[after].1 - first
    }
}

struct View<'a> {
    shown: &'a Shown<'a>,
    ground: &'a Ground<'a>,
    desk: Desk<'a>,
    scale: f64,
    before: f64,
    /// Laid over the picture once it is drawn.
    words: Labels,
}

impl View<'_> {
    fn at(&self, chainage: f64, height: f64) -> [f64; 2] {
        [chainage * self.scale, height * self.scale]
    }

    fn text(&mut self, (at, height): (f64, f64), words: &str, colour: Color32, anchor: Align2) {
        self.words.add(self.at(at, height), words, colour, anchor);
    }

    /// Dashed where no levels were taken.
    fn ground_line(&self, plot: &mut PlotUi<'_>) {
        let ink = self.desk.palette.edge.get();
        let known = self.ground.profile.iter().map(|&(s, _)| self.at(s, self.ground.at(s)));
        plot.line(Line::new("ground", known.collect::<Vec<_>>()).color(ink).width(2.0));
        let length = self.shown.lane.length_m;
        let to = if self.ground.profile.is_empty() { length } else { 0.0 };
        let not_known = vec![self.at(-self.before, 0.0), self.at(to, 0.0)];
        plot.line(Line::new("no levels", not_known).color(ink).style(LineStyle::dashed_loose()));
    }

    /// The shallowest path, and dashed the steepest.
    fn paths(&self, plot: &mut PlotUi<'_>) {
        let (low, high) = self.shown.lane.approach.glide_deg;
        let touchdown = self.shown.touchdown;
        let foot = self.ground.at(touchdown);
        let colour = self.desk.palette.lane.get();
        for (name, deg, style) in
            [("shallowest path", low, LineStyle::Solid), ("steepest path", high, LineStyle::dashed_dense())]
        {
            let rise = |chainage: f64| foot + (touchdown - chainage) * deg.to_radians().tan();
            let line = vec![self.at(-self.before, rise(-self.before)), self.at(touchdown, foot)];
            plot.line(Line::new(name, line).color(colour).width(2.5).style(style));
        }
    }

    /// Each thing as a post as high as it stands, what is asked over it as a dashed one on top, and the gap in words.
    fn things(&mut self, plot: &mut PlotUi<'_>) {
        let foot = self.ground.at(self.shown.touchdown);
        let mut named = 0;
        for c in self.shown.clearances {
            let chosen = item_of(self.desk, c).is_some_and(|item| self.desk.selected == Some(item));
            let inside = c.lateral_m <= 0.0;
            let palette = self.desk.palette;
            let colour = match (chosen, inside) {
                (true, _) => palette.selected.get(),
                (false, true) => palette.edge_hard.get(),
                (false, false) => palette.faint.get(),
            };
            let base = self.ground.at(c.chainage_m.max(0.0));
            let top = foot + c.top_m.unwrap_or(0.0);
            let post = vec![self.at(c.chainage_m, base.min(top)), self.at(c.chainage_m, top)];
            plot.line(Line::new(c.name.clone(), post).color(colour).width(if chosen { 7.0 } else { 4.0 }));
            if let Some(hangs) = c.hangs_m {
                // The wire itself, as far as it was seen to hang.
                let wire = vec![self.at(c.chainage_m, top - hangs)];
                let name = format!("{} itself, not counted", c.name);
                plot.points(Points::new(name, wire).radius(4.0).color(colour).filled(false));
            }
            let Some(over) = c.vertical_m else {
                self.text(
                    (c.chainage_m, top),
                    &format!("{}: height not measured", c.name),
                    colour,
                    Align2::CENTER_BOTTOM,
                );
                continue;
            };
            if inside {
                let asked = vec![self.at(c.chainage_m, top), self.at(c.chainage_m, top + c.required_m)];
                let line = Line::new(format!("asked over {}", c.name), asked).color(colour).width(2.0);
                plot.line(line.style(LineStyle::dotted_dense()));
                let gap = [self.at(c.chainage_m, top), self.at(c.chainage_m, top + over)];
                plot.points(
                    Points::new(format!("gap over {}", c.name), gap.to_vec()).radius(3.0).color(colour),
                );
            }
            if named < NAMED || chosen {
                named += 1;
                let words = self.words_of(c, over);
                let far = c.chainage_m > self.shown.lane.length_m / 2.0;
                let anchor = if far { Align2::RIGHT_BOTTOM } else { Align2::LEFT_BOTTOM };
                self.text((c.chainage_m, top + self.lift(named)), &words, colour, anchor);
            }
        }
    }

    /// Words of several things stand on several rows.
    fn lift(&self, row: usize) -> f64 {
        let tops = self
            .shown
            .clearances
            .iter()
            .filter_map(|c| c.top_m.map(|t| t + c.required_m))
            .fold(3.0, f64::max);
        0.07 * tops * (row - 1) as f64
    }

    fn words_of(&self, c: &Clearance, over: f64) -> String {
        let tenth = |m: f64, side| self.desk.units.length(Metres::m(m), side, words::decimals_over(c));
        if c.lateral_m > 0.0 {
            return format!(" {} {} beside", c.name, tenth(c.lateral_m, Side::AtLeast));
        }
        let rules = if c.rules { ", rules" } else { "" };
        let (over, asked) = (tenth(over, Side::AtLeast), tenth(c.required_m, Side::AtMost));
        format!(" {}: {over} over, {asked} asked{rules}", c.name)
    }

    /// A chainage across the picture, named at a height.
    fn mark(&mut self, plot: &mut PlotUi<'_>, name: &str, at: f64, height: f64) {
        let ink = self.desk.palette.lane.get();
        let far = at > self.shown.lane.length_m / 2.0;
        let anchor = if far { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
        plot.vline(VLine::new(name.to_owned(), at * self.scale).color(ink).style(LineStyle::dashed_dense()));
        self.text((at, height), &format!(" {name} "), ink, anchor);
    }

    /// Earliest and latest touchdown as ends of a bar on the ground, and the one that is shown.
    fn window(&mut self, plot: &mut PlotUi<'_>, top: f64) {
        let (lane, ink) = (self.shown.lane, self.desk.palette.lane.get());
        self.mark(plot, "near end of the lane", 0.0, 1.15 * top);
        self.mark(plot, "earliest touchdown", lane.earliest_touchdown_m, 1.05 * top);
        if let Some(latest) = lane.latest_touchdown_m.filter(|l| *l >= lane.earliest_touchdown_m) {
            self.mark(plot, "latest touchdown", latest, 0.95 * top);
            let on = |s: f64| self.at(s, self.ground.at(s));
            let bar = vec![on(lane.earliest_touchdown_m), on(latest)];
            plot.line(Line::new("touch down between here and here", bar).color(ink).width(6.0));
        }
        let abandon = lane.approach.abandon.as_ref();
        if let Some(by) = abandon.and_then(|a| a.straight_by_m.or(a.turn_by_m)) {
            self.mark(plot, "decide by", by.max(-self.before), 0.85 * top);
        }
        let chosen = self.desk.palette.selected.get();
        let here = self.at(self.shown.touchdown, self.ground.at(self.shown.touchdown));
        plot.points(Points::new("touchdown shown", vec![here]).radius(TOUCHDOWN).color(chosen).filled(true));
    }

    /// Where the slide from there ends.
    fn slide(&mut self, plot: &mut PlotUi<'_>) {
        let Some(stops) = self.shown.stops else { return };
        let colour = self.desk.palette.slide.get();
        let end = stops.min(self.shown.lane.length_m * 1.2);
        let on = |s: f64| self.at(s, self.ground.at(s));
        let line = Line::new("slide", vec![on(self.shown.touchdown), on(end)]).color(colour).width(4.0);
        plot.line(line);
        let far = end > self.shown.lane.length_m / 2.0;
        let anchor = if far { Align2::RIGHT_BOTTOM } else { Align2::LEFT_BOTTOM };
        self.text((end, self.ground.at(end)), " slide ends by here ", colour, anchor);
    }
}
