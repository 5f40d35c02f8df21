//! What each heading needs on one occasion: only to put lanes in order, so by sectors.

use crate::aims;
use crate::bench::Bench;
use crate::open_lanes::WithWayIn;
use ground::{Aim, SECTORS, sector_ends};
use measure::{Metres, TrueHeading};
use std::f64::consts::TAU;

/// Slide and scatter together, metres.
pub(super) struct Needs([f64; COUNT]);

/// Sectors of heading that are taken to need the same.
const COUNT: usize = 48;
const SECTOR: f64 = TAU / COUNT as f64;

impl Needs {
    pub(super) fn of(bench: &Bench) -> Self {
        let middle = |sector: usize| TrueHeading::rad((sector as f64 + 0.5) * SECTOR);
        Self(std::array::from_fn(|sector| aims::spare_need(bench, middle(sector))))
    }

    pub(super) fn at(&self, heading: TrueHeading) -> f64 {
        self.0[((heading.to_rad() / SECTOR) as usize).min(COUNT - 1)]
    }

    /// What a lane promises to spare with its way in, metres.
    pub(super) fn left_over(&self, bench: &Bench, lane: &WithWayIn) -> f64 {
        lane.left_over(Metres::m(self.at(lane.stretch.lane.heading)), bench.scatter())
    }

    /// An aim that ranks lanes by these needs.
    pub(super) fn aim(&self, bench: &Bench) -> Aim {
        let need = |sector: usize| {
            let (from, to) = sector_ends(sector);
            self.at(TrueHeading::rad(from.to_rad() + from.angle_to(to) * 0.5))
        };
        Aim { margins: bench.margins, needs: Some((0..SECTORS).map(need).collect()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_heading_has_the_need_of_the_sector_that_it_lies_in() {
        let needs = Needs(std::array::from_fn(|sector| sector as f64));
        for sector in 0..COUNT {
            let from = sector as f64 * SECTOR;
            for share in [1e-6, 0.5, 1.0 - 1e-6] {
                let need = needs.at(TrueHeading::rad(from + share * SECTOR));
                assert!((need - sector as f64).abs() < 1e-9, "{sector} {share}: {need}");
            }
        }
        assert!(needs.at(TrueHeading::rad(0.0)).abs() < 1e-9);
    }
}
