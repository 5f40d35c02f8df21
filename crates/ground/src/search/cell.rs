//! A box of lines, named so that halving it loses none: the i-th heading of a level, between two offsets.

use super::aim::ROOTS;
use super::blockers::turned;
use super::bound::{Offsets, Turn};
use crate::{Outline, Point};
use std::f64::consts::PI;

/// Level of headings beyond which none is halved.
const FINEST_LEVEL: u8 = 26;

/// Width of offsets and sweep of the far ends, metres, below which a box is not halved.
const FINEST: f64 = 1e-4;

/// Room for rounding about a box's offsets, as a share of them.
const ROUNDING: f64 = 1e-12;

/// Offset widths of a root, as a share of the field's radius.
const ROOT_WIDTH: f64 = 0.3;

/// All lines of some headings between two offsets from the pivot.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Cell {
    pub(super) level: u8,
    pub(super) i: u32,
    pub(super) from: f64,
    pub(super) to: f64,
}

/// Middle heading and half the width of the i-th heading of a level.
pub(super) fn heading(level: u8, i: u32) -> (f64, f64) {
    let width = PI / f64::from(ROOTS) / f64::from(1_u32 << level);
    ((f64::from(i) + 0.5) * width, width / 2.0)
}

pub(super) fn turn(level: u8, i: u32) -> Turn {
    let (t0, dt) = heading(level, i);
    Turn::new(t0, dt)
}

impl Cell {
    /// Boxes that together hold every line that crosses the outline.
    pub(super) fn roots(outline: &Outline, pivot: Point, radius: f64) -> Vec<Self> {
        let corners = outline.rings().first().map_or(&[][..], |r| &r.corners);
        let across = |i: u32| {
            let turn = turn(0, i);
            let mut span = (f64::INFINITY, f64::NEG_INFINITY);
            for c in corners {
                let (s, o) = turned(c.at - pivot, turn.sin_t0, turn.cos_t0);
                let slack = s.abs() * turn.sin + o.abs() * turn.versine;
                span = (span.0.min(o - slack), span.1.max(o + slack));
            }
            span
        };
        let cells = |i: u32| {
            let (low, high) = across(i);
            let count = ((high - low) / (ROOT_WIDTH * radius)).ceil().max(1.0);
            let at = move |j: u32| low + (high - low) * f64::from(j) / count;
            (0..count as u32).map(move |j| Self { level: 0, i, from: at(j), to: at(j + 1) })
        };
        (0..ROOTS).flat_map(cells).collect()
    }

    pub(super) fn offsets(&self) -> Offsets {
        let dy = (self.to - self.from) / 2.0 + ROUNDING * (self.from.abs() + self.to.abs());
        Offsets { y0: f64::midpoint(self.from, self.to), dy }
    }

    /// Share of all lines, but for a constant factor.
    pub(super) fn size(&self) -> f64 {
        (self.to - self.from) * heading(self.level, self.i).1
    }

    /// Order by heading, then by offset.
    pub(super) fn order(&self, other: &Self) -> std::cmp::Ordering {
        (self.level, self.i).cmp(&(other.level, other.i)).then(self.from.total_cmp(&other.from))
    }

    /// Its parts, halved where it is widest: in offset, in heading (whose turn sweeps the ends of what is
    /// looked for, `reach` from the pivot), or both; none for one that is fine enough.
    pub(super) fn parts(self, reach: f64) -> impl Iterator<Item = Self> {
        let (width, (_, dt)) = (self.to - self.from, heading(self.level, self.i));
        let sweep = reach * dt;
        let can = (width > FINEST, sweep > FINEST && self.level < FINEST_LEVEL);
        let offsets = can.0 && (width * 2.0 > sweep || !can.1);
        let headings = can.1 && (sweep * 2.0 > width || !can.0);
        let middle = f64::midpoint(self.from, self.to);
        let each = (0..=u32::from(headings)).flat_map(move |turn| {
            (0..=u32::from(offsets)).map(move |shift| {
                let (level, i) =
                    if headings { (self.level + 1, self.i * 2 + turn) } else { (self.level, self.i) };
                let from = if shift == 1 { middle } else { self.from };
                let to = if offsets && shift == 0 { middle } else { self.to };
                Self { level, i, from, to }
            })
        });
        each.take(if offsets || headings { 4 } else { 0 })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::tests::ring;
    use proptest::prelude::*;

    fn outline() -> Outline {
        Outline::new(ring(&[(0.0, 0.0), (420.0, 0.0), (420.0, 190.0), (0.0, 190.0)]), vec![]).expect("valid")
    }

    fn holds(cell: &Cell, t: f64, y: f64) -> bool {
        let (t0, dt) = heading(cell.level, cell.i);
        let b = cell.offsets();
        (t - t0).abs() <= dt + 1e-12 && (y - b.y0).abs() <= b.dy
    }

    #[test]
    fn a_box_too_fine_has_no_parts() {
        let cell = Cell { level: FINEST_LEVEL, i: 0, from: 0.0, to: FINEST / 2.0 };
        assert_eq!(cell.parts(230.0).count(), 0);
    }

    proptest! {
        // A line through any point of the field lies in some root, and in some part of every box it lies in.
        #[test]
        fn no_line_is_lost_by_halving(x in 0.0..420.0_f64, n in 0.0..190.0_f64, t in 0.0..PI) {
            let pivot = outline().middle();
            let p = Point { x, y: n } - pivot;
            let y = p.x * t.cos() - p.y * t.sin();
            let mut at: Vec<Cell> = Cell::roots(&outline(), pivot, 230.5);
            for _ in 0..12 {
                at.retain(|c| holds(c, t, y));
                prop_assert!(!at.is_empty());
                at = at.iter().flat_map(|c| c.parts(230.5)).collect();
            }
        }
    }
}
