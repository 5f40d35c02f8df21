//! What makes one lane better than another: its usable length, less what its direction needs.

use crate::Stretch;
use measure::{Metres, TrueHeading};
use std::f64::consts::PI;
use std::ops::Range;

/// Headings that the search begins with over half a turn; each is halved again and again.
pub(super) const ROOTS: u32 = 12;

/// Halvings from a root to a sector.
pub(super) const SECTOR_LEVEL: u8 = 3;

/// Sectors of half a turn.
const HALF: usize = (ROOTS as usize) << SECTOR_LEVEL;

/// Sectors of heading in a whole turn, each 1.875 degrees wide, the first from north.
pub const SECTORS: usize = 2 * HALF;

/// The sector that a heading lies in.
pub fn sector_of(heading: TrueHeading) -> usize {
    ((heading.to_rad() / PI * HALF as f64) as usize).min(SECTORS - 1)
}

/// The first heading of a sector and that of the next.
pub fn sector_ends(sector: usize) -> (TrueHeading, TrueHeading) {
    let at = |i: usize| TrueHeading::rad(i as f64 * PI / HALF as f64);
    (at(sector), at(sector + 1))
}

/// Sectors of the first half turn that overlap the `i`-th heading of a level.
pub(super) fn sectors_under(level: u8, i: u32) -> Range<usize> {
    let i = i as usize;
    if level <= SECTOR_LEVEL {
        let each = 1_usize << (SECTOR_LEVEL - level);
        i * each..(i + 1) * each
    } else {
        let sector = i >> (level - SECTOR_LEVEL);
        sector..sector + 1
    }
}

/// Length at the ends of a lane that is not counted.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Margins {
    /// Never usable at the near end.
    pub near: Metres,
    /// Never usable at an open far end.
    pub end: Metres,
    /// Kept before the first hard thing at or beyond the far end.
    pub hard_end: Metres,
}

impl Margins {
    /// Chainage of the end margin on a stretch: what is kept free before its far end.
    pub fn end_margin_at(&self, stretch: &Stretch) -> Metres {
        let open = stretch.lane.length - self.end;
        stretch.hard_beyond.map_or(open, |beyond| open.min(stretch.lane.length + beyond - self.hard_end))
    }

    /// Length between the margins; negative where they overlap.
    pub fn usable(&self, stretch: &Stretch) -> Metres {
        self.end_margin_at(stretch) - self.near
    }
}

/// What to look for: the lane whose usable length exceeds most what its direction needs.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Aim {
    /// Kept free at the ends.
    pub margins: Margins,
    /// Length needed in each of the [`SECTORS`], metres: what slope and wind of that direction ask for.
    /// `None` where all directions count alike.
    pub needs: Option<Vec<f64>>,
}

impl Aim {
    /// The longest clear lane, whatever its direction.
    pub fn longest() -> Self {
        Self::default()
    }

    /// Worth of a stretch in metres: usable length less the need of its direction.
    pub fn worth(&self, stretch: &Stretch) -> f64 {
        self.margins.usable(stretch).to_m() - self.need(sector_of(stretch.lane.heading))
    }

    /// The same of a lane given by its ends and the first hard thing ahead.
    pub(super) fn worth_of(&self, near: f64, far: f64, hard: f64) -> f64 {
        let open = far - self.margins.end.to_m();
        open.min(hard - self.margins.hard_end.to_m()) - near - self.margins.near.to_m()
    }

    pub(super) fn need(&self, sector: usize) -> f64 {
        self.needs.as_ref().and_then(|n| n.get(sector)).copied().unwrap_or(0.0)
    }

    /// Least need of any sector that a heading of a level overlaps, forward and back.
    pub(super) fn least_needs(&self, level: u8, i: u32) -> [f64; 2] {
        let least =
            |turn: usize| sectors_under(level, i).map(|s| self.need(s + turn)).fold(f64::INFINITY, f64::min);
        [least(0), least(HALF)]
    }

    /// The most that a lane of no length is worth: what there is where no lane is found.
    pub(super) fn of_nothing(&self) -> f64 {
        let least = (0..SECTORS).map(|s| self.need(s)).fold(f64::INFINITY, f64::min);
        -(self.margins.near + self.margins.end).to_m() - least
    }
}

/// The sector of a lane by the heading of its line, forward or back.
pub(super) fn directed(half_sector: usize, back: bool) -> usize {
    if back { half_sector + HALF } else { half_sector }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_heading_lies_in_its_sector() {
        for tenth in 0..3600 {
            let heading = TrueHeading::deg(f64::from(tenth) / 10.0 + 0.01);
            let (from, to) = sector_ends(sector_of(heading));
            let past = heading.to_rad() - from.to_rad();
            let width = (to.to_rad() - from.to_rad()).rem_euclid(2.0 * PI);
            assert!((0.0..=width).contains(&past), "{heading:?}");
        }
    }

    #[test]
    fn a_root_spans_eight_sectors_and_a_fine_heading_lies_in_one() {
        assert_eq!(sectors_under(0, 2), 16..24);
        assert_eq!(sectors_under(3, 17), 17..18);
        assert_eq!(sectors_under(5, 17 * 4 + 3), 17..18);
    }
}
