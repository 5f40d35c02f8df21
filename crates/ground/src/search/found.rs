//! What a search found, as lanes of the field.

use super::aim::SECTORS;
use super::cover::Cover;
use super::polish::{Spot, polish};
use crate::{Stretch, check_lane, clear_stretches};

/// Lanes found are polished until their steps move nothing by more than this, metres.
const FINE: f64 = 5e-4;

/// The best lane and how sure it is.
#[derive(Clone, PartialEq, Debug)]
pub struct Found {
    /// The best lane; `None` where no lane was found.
    pub best: Option<Stretch>,
    /// What it is worth by the aim of the search, metres; `None` where no lane was found.
    pub worth: Option<f64>,
    /// No lane of the field is worth more than this, metres; minus infinity where there is none.
    pub bound: f64,
    /// Boxes of lines looked at in the last search.
    pub boxes: usize,
    /// Single lines worked out exactly.
    pub lines: usize,
}

/// Best lane and bound of one sector of heading.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct SectorLength {
    /// Which sector.
    pub sector: usize,
    /// Worth of the best lane seen in it, metres; `None` where none was.
    pub found: Option<f64>,
    /// No lane in it is worth more, metres; `None` where there is none at all.
    pub bound: Option<f64>,
}

/// The best lane of a cover.
pub fn found(cover: &Cover) -> Found {
    let aim = cover.aim();
    let polished = cover.best().map(|spot| polish(cover.blockers(), aim, spot, FINE));
    let best = polished.and_then(|spot| stretch_of(cover, &spot));
    let worth = best.map(|stretch| aim.worth(&stretch));
    Found { best, worth, bound: cover.bound(), boxes: cover.looked(), lines: cover.lines() }
}

/// The best lanes whose headings differ by at least `apart` radians, at most `most`, the best first.
pub fn distinct_lanes(cover: &Cover, most: usize, apart: f64) -> Vec<Stretch> {
    let spots: Vec<Spot> =
        cover.best().into_iter().chain(cover.by_sector().iter().flatten().copied()).collect();
    let polished =
        picked(spots, most, apart).into_iter().map(|spot| polish(cover.blockers(), cover.aim(), spot, FINE));
    // Polishing may bring two together, so what is distinct is asked again.
    picked(polished.collect(), most, apart).iter().filter_map(|spot| stretch_of(cover, spot)).collect()
}

fn picked(mut spots: Vec<Spot>, most: usize, apart: f64) -> Vec<Spot> {
    spots.sort_by(|a, b| b.worth.total_cmp(&a.worth));
    let mut kept: Vec<Spot> = Vec::new();
    for spot in spots {
        let direction = spot.direction();
        if kept.len() < most && kept.iter().all(|k| k.direction().angle_to(direction) >= apart) {
            kept.push(spot);
        }
    }
    kept
}

/// The best clear stretch of a spot's line that the check agrees with.
fn stretch_of(cover: &Cover, spot: &Spot) -> Option<Stretch> {
    let (all, aim) = (cover.obstructions(), cover.aim());
    let mut stretches = clear_stretches(all, spot.line(cover.blockers().pivot));
    stretches.sort_by(|a, b| aim.worth(b).total_cmp(&aim.worth(a)));
    stretches.into_iter().find(|s| check_lane(all, &s.lane).is_clear())
}

/// Longest lane and bound by heading, in the order of the sectors.
pub fn by_heading(cover: &Cover) -> Vec<SectorLength> {
    let bounds = cover.bound_by_heading();
    (0..SECTORS)
        .map(|sector| SectorLength {
            sector,
            found: cover.by_sector()[sector].map(|spot| spot.worth),
            bound: bounds.get(sector).copied().filter(|b| b.is_finite()),
        })
        .collect()
}
