//! A straight lane: heading of the slide, near end, far end.
//!
//! Chainage runs along the heading, offset across it, positive to the right.

use crate::Point;
use crate::extent::Turned;
use measure::{Metres, TrueHeading};

/// An endless straight line across the field, with a direction.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Centreline {
    /// Direction of the slide.
    pub heading: TrueHeading,
    /// How far right of the datum it passes.
    pub offset: Metres,
}

impl Centreline {
    /// The line through a point.
    pub fn through(point: Point, heading: TrueHeading) -> Self {
        let (sin, cos) = heading.unit();
        Self { heading, offset: Metres::m(point.x * cos - point.y * sin) }
    }

    /// (chainage, offset) of a point; chainage 0 is abeam the datum.
    pub(crate) fn line_from_field(&self, point: Point) -> Turned {
        self.frame().line_from_field(point)
    }

    /// For many points.
    pub(crate) fn frame(&self) -> Frame {
        let (sin, cos) = self.heading.unit();
        Frame { sin, cos, offset: self.offset.to_m() }
    }

    /// The point of the field at a chainage and offset.
    pub(crate) fn field_from_line(&self, (chainage, offset): Turned) -> Point {
        let (sin, cos) = self.heading.unit();
        let across = offset + self.offset.to_m();
        Point { x: chainage * sin + across * cos, y: chainage * cos - across * sin }
    }
}

/// A line whose direction has been worked out.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frame {
    sin: f64,
    cos: f64,
    offset: f64,
}

impl Frame {
    /// As of the line itself.
    pub(crate) fn line_from_field(&self, point: Point) -> Turned {
        (point.x * self.sin + point.y * self.cos, point.x * self.cos - point.y * self.sin - self.offset)
    }
}

/// A lane of a length.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Lane {
    /// Chainage 0.
    pub near: Point,
    /// Direction of the slide.
    pub heading: TrueHeading,
    /// From near end to far end, not negative.
    pub length: Metres,
}

impl Lane {
    /// The centre line, with its chainage of the near end.
    pub(crate) fn centreline(&self) -> (Centreline, f64) {
        let line = Centreline::through(self.near, self.heading);
        let (near, _) = line.line_from_field(self.near);
        (line, near)
    }

    /// The point of the field at a chainage from the near end and an offset to the right.
    pub fn point_at(&self, chainage: Metres, offset: Metres) -> Point {
        let (sin, cos) = self.heading.unit();
        let (s, o) = (chainage.to_m(), offset.to_m());
        Point { x: self.near.x + s * sin + o * cos, y: self.near.y + s * cos - o * sin }
    }

    /// Chainage from the near end, and offset to the right, of a point of the field.
    pub fn seen_from(&self, point: Point) -> (Metres, Metres) {
        let (line, near) = self.centreline();
        let (chainage, offset) = line.line_from_field(point);
        (Metres::m(chainage - near), Metres::m(offset))
    }

    /// The far end.
    pub fn far(&self) -> Point {
        self.point_at(self.length, Metres::ZERO)
    }

    /// The same ground slid over the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self { near: self.far(), heading: self.heading.reversed(), length: self.length }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn east_is_right_of_a_lane_that_heads_north() {
        let line = Centreline::through(Point { x: 0.0, y: 0.0 }, TrueHeading::deg(0.0));
        let (s, o) = line.line_from_field(Point { x: 3.0, y: 7.0 });
        assert!((s - 7.0).abs() < 1e-12 && (o - 3.0).abs() < 1e-12);
    }

    #[test]
    fn the_far_end_lies_along_the_heading() {
        let lane = Lane {
            near: Point { x: 10.0, y: 20.0 },
            heading: TrueHeading::deg(90.0),
            length: Metres::m(100.0),
        };
        let far = lane.far();
        assert!((far.x - 110.0).abs() < 1e-9 && (far.y - 20.0).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn field_to_line_and_back_is_the_same_point(
            x in -500.0..500.0_f64, y in -500.0..500.0_f64, h in 0.0..360.0_f64, o in -300.0..300.0_f64,
        ) {
            let line = Centreline { heading: TrueHeading::deg(h), offset: Metres::m(o) };
            let p = line.field_from_line(line.line_from_field(Point { x, y }));
            prop_assert!((p.x - x).abs() < 1e-9 && (p.y - y).abs() < 1e-9);
        }
    }
}
