//! Two touchdowns to one scale, side by side, moving to the left: flown on along a shallow path onto ground that rises,
//! and a flare that left the keels above the ground.
//!
//! Not drawn: the angle of the keels, which the picture of speeds holds; they lie along the ground.

use super::super::drawing::{Drawing, Ink, Reach};
use crate::window::desk::Desk;
use eframe::egui::{Align2, Ui};
use measure::Metres;
use measure::shown::{Side, rounded};
use strip::TouchdownFigures;

/// Half of the picture, and the path or drop to be seen beside the floats, in lengths of the floats.
const HALF: f64 = 1.3;

/// Depth of floats where the aircraft is not known from the side, metres: only to draw something (judgement).
const DEPTH: f64 = 0.5;

/// Room above the floats for the name of each half, metres for each metre of float length.
const HEADROOM: f64 = 0.12;

/// Draws them.
pub(super) fn flare_ui(ui: &mut Ui, desk: Desk, figures: &TouchdownFigures) {
    let view = FlareView::of(desk, figures);
    let drawing = Drawing::begin_ui(ui, desk, &view.reach(), &view.words());
    view.flown_on(&drawing);
    view.flared(&drawing);
}

/// The outline of a float, from the end of the bow at 0 to the stern.
struct Float {
    /// Forward end of the flat keel, its aft end, and the stern.
    keel: (f64, f64),
    stern: f64,
    depth: f64,
    /// Height of the stern above the keel line.
    stern_height: f64,
    /// Whether bow, stern and depth are the aircraft's own.
    known: bool,
}

struct FlareView<'a> {
    desk: Desk<'a>,
    figures: &'a TouchdownFigures,
    float: Float,
    glide_deg: f64,
}

impl Float {
    fn of(desk: Desk) -> Self {
        let edition = desk.document.edition();
        let record = edition.aircraft.as_ref();
        let flat = record.and_then(|a| a.keels.length_m).unwrap_or(edition.settings.keel_length_m);
        record.and_then(|a| a.side.as_ref()).map_or(
            Self { keel: (0.0, flat), stern: flat, depth: DEPTH, stern_height: 0.0, known: false },
            |side| {
                let (forward, stern) = (-side.bow_behind_m, side.stern_behind_m - side.bow_behind_m);
                let aft = forward + flat;
                let rise = (stern - aft).max(0.0) * side.sternpost_deg.to_radians().tan();
                Self {
                    keel: (forward, aft),
                    stern: stern.max(aft),
                    depth: side.float_depth_m,
                    stern_height: rise,
                    known: true,
                }
            },
        )
    }

    /// Draws it with the forward end of its flat keel at a place, turned so that its keel line falls by `slope` to the
    /// right.
    fn draw(&self, on: &Drawing, at: (f64, f64), slope: f64) {
        let turned = (-slope).atan();
        let (sine, cosine) = turned.sin_cos();
        let outline = [
            (0.0, self.depth),
            (self.keel.0, 0.0),
            (self.keel.1, 0.0),
            (self.stern, self.stern_height),
            (self.stern, self.depth.max(self.stern_height)),
        ];
        let corners = outline.map(|(x, y)| {
            let x = x - self.keel.0;
            (at.0 + x * cosine - y * sine, at.1 + x * sine + y * cosine)
        });
        on.body(&corners);
    }
}

impl<'a> FlareView<'a> {
    fn of(desk: Desk<'a>, figures: &'a TouchdownFigures) -> Self {
        let default = desk.document.edition().settings.glide_high_deg;
        let glide_deg = desk.best().map_or(default, |lane| lane.approach.glide_deg.1);
        Self { desk, figures, float: Float::of(desk), glide_deg }
    }

    fn half(&self) -> f64 {
        HALF * self.float.stern
    }

    /// How far the ground of the left half rises over it.
    fn rise(&self) -> f64 {
        self.half() * self.figures.slope
    }

    fn reach(&self) -> Reach {
        let drop = self.figures.flare_drop.height_m;
        let top = self.float.depth.max(self.float.stern_height) + self.rise().abs().max(drop);
        Reach { along: (0.0, 2.0 * self.half()), up: (0.0, top + HEADROOM * self.float.stern), rows_below: 6 }
    }

    /// Rows of words below either half.
    fn rows(&self) -> [(String, String); 6] {
        let (t, drop) = (self.figures, self.figures.flare_drop);
        let length = |m: f64| self.desk.units.length(Metres::m(m), Side::AtMost, 2);
        let load = |n: f64| format!("load factor {}", rounded(n, Side::AtMost, 1));
        let sinks = |mps: f64| format!("sinks at {}", self.desk.units.speed(mps, Side::AtMost, 2));
        let ground = if t.slope < 0.0 {
            format!("ground falling {} %", rounded(-100.0 * t.slope, Side::AtLeast, 1))
        } else {
            format!("ground rising {} %", rounded(100.0 * t.slope, Side::AtMost, 1))
        };
        let both = |left: &str, right: &str| (left.to_owned(), right.to_owned());
        [
            (format!("path {}° down", self.glide_deg), format!("drop of {}", length(drop.height_m))),
            (ground, "onto level ground".to_owned()),
            both("lift carries all", "lift lost, then carries 2/3"),
            (sinks(t.sink_mps), sinks(drop.sink_mps)),
            (format!("as a fall of {}", length(t.equivalent_drop_m)), "falling free".to_owned()),
            (load(t.load_factor), load(drop.load_factor)),
        ]
    }

    /// What is drawn, for those who do not see it.
    fn words(&self) -> String {
        let rows = self.rows();
        let side = |pick: fn(&(String, String)) -> &String| {
            rows.iter().map(|row| pick(row).as_str()).collect::<Vec<_>>().join(", ")
        };
        let known =
            if self.float.known { "" } else { "; floats not known from the side, drawn as plain blocks" };
        format!(
            "Flown on and flared, to one scale, moving to the left. Left, flown on, at the worst: {}. Right, a flare that \
             ends in a drop, at the worst give: {}{known}",
            side(|row| &row.0),
            side(|row| &row.1)
        )
    }

    fn flown_on(&self, on: &Drawing) {
        let (slope, half) = (self.figures.slope, self.half());
        let base = (-self.rise()).max(0.0);
        // The ground falls to the right, as it rises the way the aircraft goes.
        let ground = |x: f64| base + (half - x) * slope;
        let palette = self.desk.palette;
        on.line((0.0, ground(0.0)), (half * 0.97, ground(half * 0.97)), Ink::solid(palette.edge.get(), 2.0));
        let bow = 0.1 * self.float.stern;
        let touch = bow + self.float.keel.0;
        self.float.draw(on, (touch, ground(touch)), slope);
        // The way that the step has come.
        let step = bow + self.float.keel.1;
        let end = half * 0.97;
        let came = ground(step) + (end - step) * self.glide_deg.to_radians().tan();
        on.line((step, ground(step)), (end, came), Ink::dashed(palette.slide.get(), 2.0));
        self.name_and_rows(on, half / 2.0, "flown on, moving left", |row| &row.0);
    }

    fn flared(&self, on: &Drawing) {
        let (half, drop) = (self.half(), self.figures.flare_drop.height_m);
        let (left, palette) = (half * 1.03, self.desk.palette);
        on.line((left, 0.0), (2.0 * half, 0.0), Ink::solid(palette.edge.get(), 2.0));
        let bow = left + 0.1 * self.float.stern;
        self.float.draw(on, (bow + self.float.keel.0, drop), 0.0);
        // Both ends of the flat keel come straight down.
        for x in [bow + self.float.keel.0, bow + self.float.keel.1] {
            on.line((x, drop), (x, 0.0), Ink::dashed(palette.slide.get(), 2.0));
        }
        self.name_and_rows(on, half * 1.5, "flared, moving left", |row| &row.1);
    }

    /// The name above a half and its rows below.
    fn name_and_rows(&self, on: &Drawing, middle: f64, name: &str, pick: fn(&(String, String)) -> &String) {
        let top = self.reach().up.1;
        let ink = self.desk.palette.ink.get();
        on.words((middle, top), (0.0, 0.0), Align2::CENTER_CENTER, name, ink);
        for (i, row) in self.rows().iter().enumerate() {
            on.below(middle, i as f32, Align2::CENTER_CENTER, pick(row));
        }
    }
}
