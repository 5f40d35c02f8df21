//! What a search found, as lanes of the field.

use super::aim::SECTORS;
use super::cover::Cover;
use super::polish::{Spot, polish};
use crate::{Stretch, check_lane, clear_stretches};
use measure::Metres;
use rayon::prelude::*;

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

/// How finely a lane is polished that is told, metres.
pub const FINE: Metres = Metres::m(5e-4);

/// The best lane of a cover, polished until steps move nothing by more than `fine`.
pub fn found(cover: &Cover, fine: Metres) -> Found {
    let aim = cover.aim();
    let polished = cover.best().map(|spot| polish(cover.blockers(), aim, spot, fine.to_m()));
    let best = polished.and_then(|spot| stretch_of(cover, &spot));
    let worth = best.map(|stretch| aim.worth(&stretch));
    Found { best, worth, bound: cover.bound(), boxes: cover.looked(), lines: cover.lines() }
}

/// The best lanes whose headings differ by at least `apart` radians, at most `most`, the best first, polished until steps
/// move nothing by more than `fine`.
pub fn distinct_lanes(cover: &Cover, most: usize, apart: f64, fine: Metres) -> Vec<Stretch> {
    let spots: Vec<Spot> =
        cover.best().into_iter().chain(cover.by_sector().iter().flatten().copied()).collect();
    let polished = picked(spots, most, apart)
        .into_par_iter()
        .map(|s| polish(cover.blockers(), cover.aim(), s, fine.to_m()));
    // Polishing may bring two together, so what is distinct is asked again.
    let distinct = picked(polished.collect(), most, apart);
    distinct.par_iter().filter_map(|spot| stretch_of(cover, spot)).collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::tests::ring;
    use crate::profile::tests::small;
    use crate::{
        Aim, Allowance, Goal, HalfWidth, Hazard, HazardKind, Margins, Obstructions, Outline, Point, Presence,
        Relief, Shape, Step, sector_of,
    };
    use measure::{Height, TrueHeading};
    use proptest::prelude::*;
    use std::ops::ControlFlow;

    /// What the search stops within, metres.
    const TOLERANCE: f64 = 0.5;

    /// Room for rounding, metres.
    const ROUNDED: f64 = 1e-5;

    /// A field with two deep bays, a point at its rim, and a half-width that more than doubles at 86 m.
    fn field_with_a_point_at_its_rim() -> Obstructions {
        let (width, height, turn) =
            (58.779_249_679_008_66, 127.864_770_434_648_96, 148.812_742_993_609_73_f64);
        let (sin, cos) = turn.to_radians().sin_cos();
        let place = |x: f64, y: f64| {
            let (x, y) = (x * width, y * height);
            (x * cos + y * sin, y * cos - x * sin)
        };
        let shares = [0.8305, 0.5756, 0.9535, 0.5601, 0.2, 0.2];
        let corners: Vec<(f64, f64)> = shares
            .iter()
            .enumerate()
            .map(|(i, share)| {
                let (sin, cos) = (60.0 * i as f64).to_radians().sin_cos();
                place(0.5 * share * sin, 0.5 * share * cos)
            })
            .collect();
        let (x, y) = place(0.668_633_998_290_657_1 - 0.5, 0.160_703_305_421_637_77 - 0.5);
        let point = Hazard {
            id: "h0".to_owned(),
            kind: HazardKind::Unidentified,
            shape: Shape::disc(Point { x, y }).expect("finite"),
            radius: Metres::ZERO,
            relief: Relief::Raised(Height::m(0.0)),
            position_sigma: Metres::ZERO,
            height_sigma: Metres::m(0.05),
            presence: Presence::Present,
        };
        let later = [Step { from: Metres::m(86.042), half_width: Metres::m(3.754_361) }];
        let allowance = Allowance {
            half_width: HalfWidth::stepped(Metres::m(1.558_019), &later),
            vertical_margin: Height::m(0.05),
            bridged_opening: Metres::ZERO,
        };
        let outline = Outline::new(ring(&corners), vec![]).expect("valid");
        Obstructions::new(&outline, &[point], &small(3.0), &allowance)
    }

    fn aim(needs: Option<Vec<f64>>) -> Aim {
        let margins = Margins { near: Metres::ZERO, end: Metres::ZERO, hard_end: Metres::m(29.6595) };
        Aim { margins, needs }
    }

    fn searched(all: &Obstructions, aim: &Aim) -> Found {
        let goal = Goal::within(Metres::m(TOLERANCE), None);
        let cover = Cover::new(all).refined(aim, goal, &|_| ControlFlow::Continue(()));
        found(&cover.expect("nobody breaks off"), FINE)
    }

    /// Comes up to the bound, with a lane that the check takes for clear.
    #[track_caller]
    fn check(all: &Obstructions, aim: &Aim) -> Found {
        let found = searched(all, aim);
        let worth = found.worth.unwrap_or(f64::NEG_INFINITY);
        assert!(found.bound <= worth.max(aim.of_nothing()) + TOLERANCE + ROUNDED, "{found:?}");
        assert!(found.best.is_none_or(|best| check_lane(all, &best.lane).is_clear()), "{found:?}");
        found
    }

    #[test]
    fn a_lane_that_begins_later_and_so_has_no_hard_thing_ahead_is_found_though_another_holds_it() {
        // North-west only, in the sector that ends at 326.25 degrees: there a lane from edge to edge is about
        // 76.7 m long. Run into where it would have grown wide, 86.042 m from the near end less a hair, the
        // point leaves it 86.041 - 29.6595 = 56.38 m; one that begins some millimetres later passes it narrow.
        let northwest = sector_of(TrueHeading::deg(326.0));
        let needs = (0..SECTORS).map(|s| if s == northwest { 0.0 } else { 60.0 }).collect();
        let found = check(&field_with_a_point_at_its_rim(), &aim(Some(needs)));
        assert!(found.worth.is_some_and(|worth| (76.2..76.8).contains(&worth)), "{found:?}");
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]
        #[test]
        fn what_is_found_comes_up_to_the_bound_whatever_the_directions_need(
            needs in prop::option::of(prop::collection::vec(0.0..60.0_f64, SECTORS)),
        ) {
            check(&field_with_a_point_at_its_rim(), &aim(needs));
        }
    }
}
