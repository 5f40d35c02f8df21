//! Which part of the field is on screen, and how large: north is always up.

use eframe::egui::{Pos2, Rect, Vec2, pos2};
use ground::Point;

/// Smallest and largest scale, points a metre.
const SCALES: (f32, f32) = (0.02, 200.0);

/// Share of the screen that a fitted field fills.
const FILL: f32 = 0.8;

/// The view of one frame.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct View {
    centre: Point,
    scale: f32,
    rect: Rect,
}

impl View {
    /// The view that shows all of these points.
    pub fn fitting(points: impl Iterator<Item = Point>, rect: Rect) -> Self {
        let mut low = Point { x: f64::MAX, y: f64::MAX };
        let mut high = Point { x: f64::MIN, y: f64::MIN };
        for p in points {
            low = Point { x: low.x.min(p.x), y: low.y.min(p.y) };
            high = Point { x: high.x.max(p.x), y: high.y.max(p.y) };
        }
        if low.x > high.x {
            (low, high) = (Point { x: -50.0, y: -50.0 }, Point { x: 50.0, y: 50.0 });
        }
        let (w, h) = ((high.x - low.x).max(1.0) as f32, (high.y - low.y).max(1.0) as f32);
        let scale = (rect.width() / w).min(rect.height() / h) * FILL;
        let centre = Point { x: f64::midpoint(low.x, high.x), y: f64::midpoint(low.y, high.y) };
        Self { centre, scale: scale.clamp(SCALES.0, SCALES.1), rect }
    }

    /// The same view on another part of the screen.
    #[must_use]
    pub fn on(self, rect: Rect) -> Self {
        Self { rect, ..self }
    }

    /// As much of the field as another part of the screen shows, with everything where it was on screen.
    #[must_use]
    pub fn kept_on(self, rect: Rect) -> Self {
        self.on(rect).panned(self.rect.center() - rect.center())
    }

    /// Points on screen for one metre.
    pub fn scale(&self) -> f32 {
        self.scale
    }

    /// Where a point of the field is on screen.
    pub fn screen_from_field(&self, p: Point) -> Pos2 {
        let (dx, dy) = ((p.x - self.centre.x) as f32, (p.y - self.centre.y) as f32);
        let middle = self.rect.center();
        pos2(middle.x + dx * self.scale, middle.y - dy * self.scale)
    }

    /// Which point of the field is at a place on screen.
    pub fn field_from_screen(&self, p: Pos2) -> Point {
        let middle = self.rect.center();
        let (dx, dy) = ((p.x - middle.x) / self.scale, (middle.y - p.y) / self.scale);
        Point { x: self.centre.x + f64::from(dx), y: self.centre.y + f64::from(dy) }
    }

    /// Shifted by a movement on screen.
    #[must_use]
    pub fn panned(self, by: Vec2) -> Self {
        let centre = Point {
            x: self.centre.x - f64::from(by.x / self.scale),
            y: self.centre.y + f64::from(by.y / self.scale),
        };
        Self { centre, ..self }
    }

    /// Larger or smaller about a place on screen, which stays where it is.
    #[must_use]
    pub fn zoomed(self, factor: f32, about: Pos2) -> Self {
        let kept = self.field_from_screen(about);
        let scale = (self.scale * factor).clamp(SCALES.0, SCALES.1);
        let scaled = Self { scale, ..self };
        let now = scaled.field_from_screen(about);
        let centre = Point { x: self.centre.x + kept.x - now.x, y: self.centre.y + kept.y - now.y };
        Self { centre, ..scaled }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn view() -> View {
        let corners = [Point { x: 0.0, y: 0.0 }, Point { x: 400.0, y: 200.0 }];
        View::fitting(corners.into_iter(), Rect::from_min_size(pos2(10.0, 20.0), Vec2::new(800.0, 600.0)))
    }

    #[test]
    fn north_is_up_and_east_is_right() {
        let v = view();
        let origin = v.screen_from_field(Point { x: 0.0, y: 0.0 });
        let north_east = v.screen_from_field(Point { x: 10.0, y: 10.0 });
        assert!(north_east.x > origin.x && north_east.y < origin.y);
    }

    #[test]
    fn zooming_keeps_the_place_under_the_pointer() {
        let about = pos2(123.0, 456.0);
        let (before, after) =
            (view().field_from_screen(about), view().zoomed(2.5, about).field_from_screen(about));
        assert!((before.x - after.x).abs() < 1e-3 && (before.y - after.y).abs() < 1e-3);
    }

    #[test]
    fn screen_to_field_and_back_is_the_same_place() {
        let p = pos2(321.0, 234.0);
        let back = view().screen_from_field(view().field_from_screen(p));
        assert!((back - p).length() < 1e-2);
    }
}
