//! The scales of the picture of speeds: where angles and speeds are on screen, with their numbers beside and below.

use crate::window::desk::Desk;
use crate::window::veil::veiled_text_ui;
use eframe::egui::{Align2, FontId, Painter, Pos2, Rect, Stroke, pos2, vec2};
use measure::shown::{Side, rounded};
use strip::{AttitudeAt, TouchdownFigures};

/// Room left, above, right and below, points.
const MARGIN: (f32, f32, f32, f32) = (40.0, 42.0, 8.0, 62.0);

/// Room above the highest and below the lowest angle, as a share of all angles shown: for the words there.
const ROOM: f64 = 0.2;

/// Least distance between numbers below and beside, points.
const APART: (f32, f32) = (78.0, 26.0);

/// Steps that numbers may have, of speed over stall speed and of degrees; the last where none is far enough apart.
const SPEED_STEPS: [f64; 4] = [0.1, 0.2, 0.5, 1.0];
const ANGLE_STEPS: [f64; 5] = [1.0, 2.0, 5.0, 10.0, 20.0];

/// Where speeds and angles are on screen.
pub(super) struct Scales {
    /// Where the curve is.
    pub(super) area: Rect,
    /// Slowest and fastest, over stall speed.
    factors: (f64, f64),
    /// Lowest and highest, degrees.
    angles: (f64, f64),
}

impl Scales {
    /// Such that curve and limits are on it; `None` without a curve.
    pub(super) fn of(rect: Rect, figures: &TouchdownFigures, limits: (f64, f64)) -> Option<Self> {
        let curve = &figures.attitude_curve;
        let (first, last) = curve.first().zip(curve.last())?;
        let low = curve.iter().map(|at| at.least_deg).fold(limits.0, f64::min);
        let high = curve.iter().map(|at| at.greatest_deg).fold(limits.1, f64::max);
        let room = ROOM * (high - low);
        let (left, above, right, below) = MARGIN;
        Some(Self {
            area: Rect::from_min_max(rect.min + vec2(left, above), rect.max - vec2(right, below)),
            factors: (first.factor, last.factor),
            angles: (low - room, high + room),
        })
    }

    /// Where a speed is.
    pub(super) fn x(&self, factor: f64) -> f32 {
        let share = (factor - self.factors.0) / (self.factors.1 - self.factors.0);
        self.area.left() + self.area.width() * share as f32
    }

    /// Where an angle is.
    pub(super) fn y(&self, degrees: f64) -> f32 {
        let share = (degrees - self.angles.0) / (self.angles.1 - self.angles.0);
        self.area.bottom() - self.area.height() * share as f32
    }

    /// The point of a curve that is nearest to a place on the picture.
    pub(super) fn nearest(&self, place: Pos2, curve: &[AttitudeAt]) -> Option<usize> {
        let off = |at: &AttitudeAt| (self.x(at.factor) - place.x).abs();
        let nearer = |a: &(usize, &AttitudeAt), b: &(usize, &AttitudeAt)| off(a.1).total_cmp(&off(b.1));
        let inside = self.area.contains(place);
        curve.iter().enumerate().min_by(nearer).filter(|_| inside).map(|(i, _)| i)
    }

    /// Words above the picture about a place, moved as far as they must be to stay on it.
    pub(super) fn words_above_ui(
        &self,
        painter: &Painter,
        desk: Desk,
        middle: f32,
        bottom: f32,
        text: String,
    ) {
        let ink = desk.palette.ink.get();
        let font = FontId::proportional(desk.tokens.small);
        let half = painter.layout_no_wrap(text.clone(), font, ink).size().x / 2.0;
        let (least, most) = (self.area.left() + half, self.area.right() - half);
        let middle = middle.min(most).max(least);
        veiled_text_ui(painter, desk, pos2(middle, bottom), Align2::CENTER_BOTTOM, text, ink);
    }

    /// Numbers, and what they are.
    pub(super) fn draw_ui(&self, painter: &Painter, desk: Desk, curve: &[AttitudeAt]) {
        let (area, ink) = (self.area, desk.palette.ink.get());
        painter.rect_stroke(area, 0.0, Stroke::new(1.0, ink), eframe::egui::StrokeKind::Middle);
        let text = |at: Pos2, anchor: Align2, text: String| {
            painter.text(at, anchor, text, FontId::proportional(desk.tokens.small), ink);
        };
        for angle in ticks(self.angles, &ANGLE_STEPS, area.height(), APART.1) {
            let at = pos2(area.left(), self.y(angle));
            painter.hline(at.x - 4.0..=at.x, at.y, Stroke::new(1.0, ink));
            text(at - vec2(6.0, 0.0), Align2::RIGHT_CENTER, format!("{angle:.0}°"));
        }
        let unit = desk.units.speed;
        for factor in ticks(self.factors, &SPEED_STEPS, area.width(), APART.0) {
            let at = pos2(self.x(factor), area.bottom());
            painter.vline(at.x, at.y..=at.y + 4.0, Stroke::new(1.0, ink));
            // The first and the last stay on the picture.
            let anchor = |x: f32| if x < area.left() + 30.0 { Align2::LEFT_TOP } else { Align2::CENTER_TOP };
            let anchor = if at.x > area.right() - 30.0 { Align2::RIGHT_TOP } else { anchor(at.x) };
            text(at + vec2(0.0, 5.0), anchor, rounded(factor, Side::Nearest, 1));
            if let Some((least, most)) = airspeeds(curve, factor) {
                let said = |mps: f64, side: Side| rounded(mps / unit.metres_per_second(), side, 1);
                let range = format!("{}–{}", said(least, Side::AtLeast), said(most, Side::AtMost));
                text(at + vec2(0.0, 22.0), anchor, range);
            }
        }
        let below = pos2(area.center().x, area.bottom() + 41.0);
        let caption = format!("over stall speed; {} calibrated; up: keels to ground", unit.symbol());
        text(below, Align2::CENTER_TOP, caption);
    }
}

/// Airspeeds at a speed over the stall speed: in between two points of the curve they grow evenly.
fn airspeeds(curve: &[AttitudeAt], factor: f64) -> Option<(f64, f64)> {
    let after = curve.partition_point(|at| at.factor < factor).clamp(1, curve.len().max(1));
    let (a, b) = (curve.get(after - 1)?, curve.get(after)?);
    let share = (factor - a.factor) / (b.factor - a.factor);
    let between = |from: f64, to: f64| from + (to - from) * share;
    Some((
        between(a.airspeed_least_mps, b.airspeed_least_mps),
        between(a.airspeed_most_mps, b.airspeed_most_mps),
    ))
}

/// Round numbers between two ends, at the smallest step that keeps them this far apart.
fn ticks((low, high): (f64, f64), steps: &[f64], points: f32, apart: f32) -> Vec<f64> {
    let far = |step: &&f64| points * (**step / (high - low)) as f32 >= apart;
    let step = steps.iter().find(far).or(steps.last()).copied().unwrap_or(1.0);
    // A whole number of steps, so that 1.4 is not missed by what adding rounds away.
    let slack = 1e-9;
    let (from, to) = ((low / step - slack).ceil() as i64, (high / step + slack).floor() as i64);
    (from..=to).map(|i| i as f64 * step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_round_and_stand_apart() {
        let told = |ends, steps: &[f64], points| {
            ticks(ends, steps, points, 78.0).iter().map(|n| format!("{n:.1}")).collect::<Vec<_>>().join(" ")
        };
        // 390 points for 0.4 are 97 a tenth; 200 are 50, so every second.
        assert_eq!(told((1.0, 1.4), &SPEED_STEPS, 390.0), "1.0 1.1 1.2 1.3 1.4");
        assert_eq!(told((1.0, 1.4), &SPEED_STEPS, 200.0), "1.0 1.2 1.4");
        assert_eq!(told((-3.2, 14.0), &ANGLE_STEPS, 100.0), "0.0");
    }

    #[test]
    fn airspeeds_between_two_points_are_worked_by_hand() {
        let at = |factor, least, most| AttitudeAt {
            factor,
            airspeed_least_mps: least,
            airspeed_most_mps: most,
            least_deg: 0.0,
            greatest_deg: 1.0,
            touches_first: "keels",
        };
        let curve = [at(1.0, 16.0, 17.0), at(1.1, 17.6, 18.7), at(1.2, 19.2, 20.4)];
        for (factor, least, most) in [(1.0, 16.0, 17.0), (1.05, 16.8, 17.85), (1.2, 19.2, 20.4)] {
            let found = airspeeds(&curve, factor).expect("on the curve");
            assert!((found.0 - least).abs() < 1e-9 && (found.1 - most).abs() < 1e-9, "{factor}: {found:?}");
        }
        assert_eq!(airspeeds(&[], 1.0), None);
    }
}
