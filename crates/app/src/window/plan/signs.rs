//! The drawing of things in the air path: each kind with a shape of its own, to scale, with its mark and its height in words.
//!
//! Trees are crowns about a trunk, hedges zigzags, buildings have a roof, poles a crossed ring, wires a square at every
//! support, rising ground peaks: shape says what colour says.

use super::super::desk::{Desk, Item};
use super::super::places::{on_it, point};
use super::super::veil::free_text_ui;
use super::View;
use super::standing::height_words;
use eframe::egui::{Align2, Color32, Mesh, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, vec2};
use strip::record::{ObstacleKindRecord, ObstacleRecord, PlaceRecord};

/// Most obstacles whose marks are written on the plan.
const MOST_MARKED: usize = 60;

/// Smallest radius of a sign, half the side of a support, and reach of a zigzag to each side, points.
const SMALLEST: f32 = 5.0;
const SUPPORT: f32 = 4.5;
const ZIGZAG: f32 = 3.5;

/// Width of a letter in sizes of its font (judgement: a little over the mean).
const LETTER: f32 = 0.55;

/// Least from sign to sign along a line, points, and most signs on one line.
const STEP: f32 = 14.0;
const MOST_SIGNS: f32 = 300.0;

/// All of them.
pub(super) fn signs_ui(painter: &Painter, view: &View, desk: Desk) {
    let all = &desk.document.edition().strip.obstacles;
    for (i, o) in all.iter().enumerate() {
        let selected = desk.selected == Some(Item::Obstacle(i));
        let pen = Pen { painter, view, desk, kind: o.kind, selected };
        pen.thing(o);
        if selected || all.len() <= MOST_MARKED {
            pen.words(o);
        }
        if selected {
            pen.heights_at_points(o);
        }
    }
}

/// Draws one of them.
struct Pen<'a> {
    painter: &'a Painter,
    view: &'a View,
    desk: Desk<'a>,
    kind: ObstacleKindRecord,
    selected: bool,
}

impl Pen<'_> {
    fn at(&self, p: (f64, f64)) -> Pos2 {
        self.view.screen_from_field(point(&p))
    }

    fn ink(&self) -> Color32 {
        let palette = self.desk.palette;
        if self.selected {
            return palette.selected.get();
        }
        match self.kind {
            ObstacleKindRecord::Tree | ObstacleKindRecord::TreeRow | ObstacleKindRecord::Hedge => {
                palette.tree
            }
            ObstacleKindRecord::Building | ObstacleKindRecord::Pole => palette.built,
            ObstacleKindRecord::Wire => palette.wire,
            ObstacleKindRecord::RisingGround => palette.high_ground,
        }
        .get()
    }

    fn stroke(&self) -> Stroke {
        Stroke::new(if self.selected { 1.5 } else { 1.0 } * self.desk.tokens.line, self.ink())
    }

    /// Faint, for what lies about a sign.
    fn veil(&self) -> Color32 {
        match self.kind {
            ObstacleKindRecord::Tree | ObstacleKindRecord::TreeRow | ObstacleKindRecord::Hedge => {
                self.desk.palette.crown.get()
            }
            _ => self.ink().gamma_multiply(0.2),
        }
    }

    fn radius(&self, o: &ObstacleRecord) -> f32 {
        o.radius_m as f32 * self.view.scale()
    }

    fn thing(&self, o: &ObstacleRecord) {
        let radius = self.radius(o);
        match &o.at {
            PlaceRecord::Point(e, n) => self.alone(self.at((*e, *n)), radius),
            PlaceRecord::Line(list) => {
                let line: Vec<Pos2> = list.iter().map(|p| self.at(*p)).collect();
                match line[..] {
                    [only] => self.alone(only, radius),
                    _ => self.line(&line, radius),
                }
            }
            PlaceRecord::Area(list) => self.area(&list.iter().map(|p| self.at(*p)).collect::<Vec<_>>()),
        }
    }

    fn alone(&self, centre: Pos2, to_scale: f32) {
        let radius = to_scale.max(SMALLEST);
        if self.kind != ObstacleKindRecord::Building {
            self.painter.circle_filled(centre, radius, self.veil());
        }
        match self.kind {
            ObstacleKindRecord::Tree | ObstacleKindRecord::TreeRow => self.tree(centre, radius),
            ObstacleKindRecord::Hedge => self.zigzag(&[centre - vec2(STEP, 0.0), centre + vec2(STEP, 0.0)]),
            ObstacleKindRecord::Building => {
                let square = Rect::from_center_size(centre, Vec2::splat(2.0 * radius));
                self.area(&[
                    square.left_top(),
                    square.right_top(),
                    square.right_bottom(),
                    square.left_bottom(),
                ]);
            }
            ObstacleKindRecord::Pole => self.pole(centre, radius),
            ObstacleKindRecord::Wire => self.support(centre),
            ObstacleKindRecord::RisingGround => {
                self.painter.circle_stroke(centre, radius, Stroke::new(1.0, self.ink()));
                self.peak(centre);
            }
        }
    }

    fn line(&self, line: &[Pos2], to_scale: f32) {
        let width = 2.0 * to_scale;
        if self.kind != ObstacleKindRecord::Wire && width > 1.0 {
            self.painter.add(Shape::line(line.to_vec(), Stroke::new(width, self.veil())));
        }
        let plain = || self.painter.add(Shape::line(line.to_vec(), self.stroke()));
        match self.kind {
            ObstacleKindRecord::Tree | ObstacleKindRecord::TreeRow => {
                let radius = to_scale.max(SMALLEST);
                for at in along(line, 2.0 * radius) {
                    self.tree(at, radius);
                }
            }
            ObstacleKindRecord::Hedge => self.zigzag(line),
            ObstacleKindRecord::RisingGround => {
                plain();
                for at in along(line, 2.0 * STEP) {
                    self.peak(at);
                }
            }
            ObstacleKindRecord::Pole => {
                plain();
                for &at in line {
                    self.pole(at, SMALLEST);
                }
            }
            ObstacleKindRecord::Wire => {
                plain();
                for &at in line {
                    self.support(at);
                }
            }
            ObstacleKindRecord::Building => {
                plain();
            }
        }
    }

    fn area(&self, corners: &[Pos2]) {
        let Some(&first) = corners.first() else { return };
        let sum = corners.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
        let middle = (sum / corners.len() as f32).to_pos2();
        self.fan(middle, corners);
        self.painter.add(Shape::closed_line(corners.to_vec(), self.stroke()));
        let round: Vec<Pos2> = corners.iter().copied().chain([first]).collect();
        match self.kind {
            ObstacleKindRecord::Building | ObstacleKindRecord::Pole | ObstacleKindRecord::Wire => {
                for &corner in corners {
                    self.painter.line_segment([corner, middle], Stroke::new(1.0, self.ink()));
                }
            }
            ObstacleKindRecord::Hedge => self.zigzag(&round),
            ObstacleKindRecord::Tree | ObstacleKindRecord::TreeRow => {
                for at in along(&round, 2.0 * STEP) {
                    self.tree(at, SMALLEST);
                }
            }
            ObstacleKindRecord::RisingGround => {
                for at in along(&round, 2.0 * STEP) {
                    self.peak(at);
                }
            }
        }
    }

    /// Faint over the whole of an area, seen from its middle.
    fn fan(&self, middle: Pos2, corners: &[Pos2]) {
        let mut mesh = Mesh::default();
        for (i, &a) in corners.iter().enumerate() {
            let (b, first) = (corners[(i + 1) % corners.len()], mesh.vertices.len() as u32);
            for corner in [middle, a, b] {
                mesh.colored_vertex(corner, self.veil());
            }
            mesh.add_triangle(first, first + 1, first + 2);
        }
        self.painter.add(Shape::mesh(mesh));
    }

    /// Its crown about its trunk.
    fn tree(&self, centre: Pos2, radius: f32) {
        self.painter.circle_stroke(centre, radius, self.stroke());
        self.painter.circle_filled(centre, 2.5, self.ink());
    }

    fn pole(&self, centre: Pos2, radius: f32) {
        self.painter.circle_stroke(centre, radius, self.stroke());
        for arm in [vec2(radius + 3.0, 0.0), vec2(0.0, radius + 3.0)] {
            self.painter.line_segment([centre - arm, centre + arm], self.stroke());
        }
    }

    fn support(&self, centre: Pos2) {
        let square = Rect::from_center_size(centre, Vec2::splat(2.0 * SUPPORT));
        self.painter.rect_filled(square, 0.0, self.desk.palette.paper.get());
        self.painter.rect_stroke(square, 0.0, self.stroke(), StrokeKind::Middle);
    }

    fn peak(&self, foot: Pos2) {
        let line = vec![foot + vec2(-6.0, 4.0), foot + vec2(0.0, -7.0), foot + vec2(6.0, 4.0)];
        self.painter.add(Shape::line(line, self.stroke()));
    }

    fn zigzag(&self, line: &[Pos2]) {
        let signs = along(line, STEP * 0.5);
        let turned = signs.iter().enumerate().map(|(i, &at)| {
            let (before, after) = (signs[i.saturating_sub(1)], signs[(i + 1).min(signs.len() - 1)]);
            let across = (after - before).normalized().rot90() * ZIGZAG;
            if i % 2 == 0 { at + across } else { at - across }
        });
        self.painter.add(Shape::line(turned.collect(), self.stroke()));
    }

    /// Its mark and height, up and to the right; to the left where the plan ends.
    fn words(&self, o: &ObstacleRecord) {
        let radius = match o.at {
            PlaceRecord::Point(..) => self.radius(o).max(SMALLEST) * std::f32::consts::FRAC_1_SQRT_2,
            PlaceRecord::Line(_) | PlaceRecord::Area(_) => SMALLEST,
        };
        let centre = self.view.screen_from_field(on_it(&o.at));
        let text = format!("{} {}", o.id, height_words(self.desk, o));
        let room = self.painter.clip_rect().right() - centre.x;
        let wide = text.chars().count() as f32 * self.desk.tokens.small * LETTER;
        let (anchor, aside) = if room < wide + radius {
            (Align2::RIGHT_BOTTOM, -radius - 4.0)
        } else {
            (Align2::LEFT_BOTTOM, radius + 4.0)
        };
        let at = centre + vec2(aside, -radius - 2.0);
        free_text_ui(self.painter, self.desk, at, anchor, text, self.ink());
    }

    /// The height at every point of a line, with the point's number.
    fn heights_at_points(&self, o: &ObstacleRecord) {
        let PlaceRecord::Line(list) = &o.at else { return };
        for (i, p) in list.iter().enumerate().take(MOST_MARKED) {
            let height =
                o.heights_m.get(i).map_or_else(String::new, |h| format!(": {}", self.desk.given(*h)));
            let text = format!("{}{height}", i + 1);
            let at = self.at(*p) + vec2(-SUPPORT - 3.0, 0.0);
            free_text_ui(self.painter, self.desk, at, Align2::RIGHT_CENTER, text, self.ink());
        }
    }
}

/// Places along a line, its ends among them, about a step apart.
fn along(line: &[Pos2], step: f32) -> Vec<Pos2> {
    let length: f32 = line.windows(2).map(|w| (w[1] - w[0]).length()).sum();
    let step = step.max(1.0).max(length / MOST_SIGNS);
    let spans = line.windows(2).flat_map(|w| {
        let count = ((w[1] - w[0]).length() / step).round().max(1.0);
        (0..count as usize).map(move |i| w[0] + (w[1] - w[0]) * (i as f32 / count))
    });
    spans.chain(line.last().copied()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use eframe::egui::pos2;

    #[test]
    fn signs_stand_along_a_line_with_both_its_ends() {
        let line = [pos2(0.0, 0.0), pos2(100.0, 0.0), pos2(100.0, 30.0)];
        let signs = along(&line, 25.0);
        assert_eq!(signs.len(), 6);
        assert_eq!((signs[0], signs[4], signs[5]), (line[0], line[1], line[2]));
        assert!(along(&[pos2(0.0, 0.0), pos2(1e7, 0.0)], 10.0).len() <= 1 + MOST_SIGNS as usize);
    }
}
