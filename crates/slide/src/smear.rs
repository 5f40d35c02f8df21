//! The ground that any touchdown of a cell may meet at a length slid: of all of it the firmest, or the slickest.
//!
//! Invariants: at every length from the cell's first touchdown the slope, friction and curvature are those ends of
//! what lies there and up to a cell farther on, and the cross slope is the greatest of either sign, to one side.
//!
//! Not here: what a slide does on it.

use crate::slide::Slide;
use crate::track::{Station, Track};
use measure::{Metres, Slope};

/// Which end of the ground.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum End {
    /// Most friction, most uphill, hollow: the slide is short.
    Firm,
    /// Least friction, most downhill, crest: the slide is long.
    Slick,
}

/// The ground under touchdowns between two chainages, with the friction of each station; its chainages are those of
/// the first touchdown.
pub(crate) fn smeared(
    slide: &Slide<'_>,
    friction: &[f64],
    cell: (Metres, Metres),
    end: End,
) -> (Track, Vec<f64>) {
    let stations = slide.track.stations();
    let reach = cell.1 - cell.0;
    let mut froms: Vec<Metres> = stations.iter().flat_map(|s| [s.from - reach, s.from]).collect();
    froms.sort_by(|a, b| a.to_m().total_cmp(&b.to_m()));
    froms.dedup();
    let mut grips = Vec::with_capacity(froms.len());
    let mut smear = |(zone, &from): (usize, &Metres)| {
        // Up to the next beginning all touchdowns of the cell stay on the same stations, those met at the middle.
        let middle = froms.get(zone + 1).map_or(from, |&next| (from + next) / 2.0);
        let (first, last) = (slide.track.index_at(middle), slide.track.index_at(middle + reach));
        let met = &stations[first..=last];
        let ends = |values: &mut dyn Iterator<Item = f64>| match end {
            End::Firm => values.fold(f64::NEG_INFINITY, f64::max),
            End::Slick => values.fold(f64::INFINITY, f64::min),
        };
        let slope = |s: &Station| s.slope.to_ratio() + slide.slope_score * s.slope_sigma.to_ratio();
        let curvature = |s: &Station| s.curvature + slide.curvature_score * s.curvature_sigma;
        grips.push(ends(&mut met.iter().map(|s| friction.get(s.zone).copied().unwrap_or(0.0))));
        Station {
            cross: Slope::ratio(met.iter().map(|s| s.cross.to_ratio().abs()).fold(0.0, f64::max)),
            curvature: ends(&mut met.iter().map(curvature)),
            ..Station::even(from, Slope::ratio(ends(&mut met.iter().map(slope))), zone)
        }
    };
    let smeared = froms.iter().enumerate().map(&mut smear).collect();
    // Sorted, unlike and finite, they are a track; were they none, even ground without friction never stops.
    let track = Track::new(smeared).unwrap_or_else(|_| Track::even(Slope::ZERO));
    (track, grips)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Body;
    use measure::{CubicDensity, Headwind, Kilograms, Newtons, SquareMetres};

    #[test]
    fn a_cell_of_five_metres_meets_a_patch_five_metres_sooner() {
        let station = |from: f64, slope: f64, cross: f64, zone| Station {
            cross: Slope::ratio(cross),
            ..Station::even(Metres::m(from), Slope::ratio(slope), zone)
        };
        let track = Track::new(vec![
            station(0.0, 0.0, 0.01, 0),
            station(30.0, 0.02, -0.03, 1),
            station(40.0, 0.0, 0.01, 0),
        ]);
        let track = track.unwrap();
        let slide = Slide {
            body: Body {
                mass: Kilograms::kg(600.0),
                wing_area: SquareMetres::m2(14.0),
                lift_coefficient: 0.0,
                drag_coefficient: 0.0,
                idle_thrust: Newtons::ZERO,
            },
            density: CubicDensity::kg_m3(1.2),
            headwind: Headwind::ZERO,
            track: &track,
            friction: &[0.4, 0.2],
            settling: 0.0,
            carried: Metres::ZERO,
            slope_score: 0.0,
            curvature_score: 0.0,
        };
        let at = |end, s: f64| {
            let (track, friction) = smeared(&slide, slide.friction, (Metres::m(10.0), Metres::m(15.0)), end);
            let found = track.stations()[track.index_at(Metres::m(s))];
            (friction[found.zone], found.slope.to_ratio(), found.cross.to_ratio())
        };
        assert_eq!(at(End::Slick, 24.0), (0.4, 0.0, 0.01));
        assert_eq!(at(End::Slick, 26.0), (0.2, 0.0, 0.03));
        assert_eq!(at(End::Firm, 26.0), (0.4, 0.02, 0.03));
        assert_eq!(at(End::Firm, 36.0), (0.4, 0.02, 0.03));
        assert_eq!(at(End::Slick, 41.0), (0.4, 0.0, 0.01));
    }
}
