//! How high the ground may lie anywhere in and around a field.
//!
//! Where levels were taken it is theirs, with their error; away from them it rises or falls by no more than the
//! steepest mean slope that is reckoned with. Without levels the datum is the one place whose height is known, and two
//! places differ by no more than that slope over their distance.
//!
//! Not here: slopes under the keel ([`crate::keel_way`]).

use ground::{Level, Point, Surface};
use measure::{Interval, Metres, ONE_SIDED_95, Slope};
use std::sync::Arc;

/// Most levels that are asked for a place off the levels (judgement: their neighbours say nearly the same).
const MOST_ASKED: usize = 300;

/// Length of a path over the ground within which it counts as one height, m (judgement: its slope times this is small beside
/// the margins, and the end counts that hurts).
pub(crate) const CELL: Metres = Metres::m(2.5);

/// Ground between three levels.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Facet {
    /// Its corners, with the lowest and the highest that each may lie.
    pub(crate) corners: [(Point, Metres, Metres); 3],
    /// A disc that holds it.
    pub(crate) middle: Point,
    pub(crate) reach: Metres,
    /// The highest that any of it may lie.
    pub(crate) top: Metres,
}

impl Facet {
    /// On it heights and errors lie between those of its corners.
    fn new(levels: [Level; 3]) -> Self {
        let corners = levels.map(|l| {
            let error = l.sigma * ONE_SIDED_95;
            (l.at, l.height - error, l.height + error)
        });
        let mean = |of: fn(&Level) -> f64| levels.iter().map(of).sum::<f64>() / 3.0;
        let middle = Point { x: mean(|l| l.at.x), y: mean(|l| l.at.y) };
        let away = levels.map(|l| Metres::m(libm::hypot(l.at.x - middle.x, l.at.y - middle.y)));
        Self {
            corners,
            middle,
            reach: away.into_iter().fold(Metres::ZERO, Metres::max),
            top: corners.into_iter().map(|(_, _, high)| high).fold(corners[0].2, Metres::max),
        }
    }
}

/// The ground in and around a field.
#[derive(Debug)]
pub(crate) struct Terrain {
    surface: Option<Arc<Surface>>,
    facets: Vec<Facet>,
    known: Vec<Level>,
    steepest: Slope,
}

impl Terrain {
    /// From the surface and the levels, as far as there are any.
    pub(crate) fn new(surface: Option<Arc<Surface>>, levels: &[Level], steepest: Slope) -> Self {
        let step = levels.len().div_ceil(MOST_ASKED).max(1);
        let mut known: Vec<Level> = levels.iter().step_by(step).copied().collect();
        if known.is_empty() {
            known.push(Level { at: Point { x: 0.0, y: 0.0 }, height: Metres::ZERO, sigma: Metres::ZERO });
        }
        let facets = surface.iter().flat_map(|s| s.facets()).map(Facet::new).collect();
        Self { surface, facets, known, steepest }
    }

    /// Whether levels tell anything of it.
    pub(crate) fn is_levelled(&self) -> bool {
        self.surface.is_some()
    }

    /// The steepest mean slope that is reckoned with.
    pub(crate) fn steepest(&self) -> Slope {
        self.steepest
    }

    /// Height above the datum where levels tell it.
    pub(crate) fn levelled_at(&self, point: Point) -> Option<Interval<Metres>> {
        let (height, sigma) = self.surface.as_ref()?.height_at(point)?;
        let error = sigma * ONE_SIDED_95;
        Some(Interval::spanning(height - error, height + error))
    }

    /// The ground that was levelled.
    pub(crate) fn facets(&self) -> &[Facet] {
        &self.facets
    }

    /// How much two places so far apart may differ in height.
    pub(crate) fn rise_over(&self, distance: Metres) -> Metres {
        distance * self.steepest.to_ratio()
    }

    /// Height above the datum.
    pub(crate) fn at(&self, point: Point) -> Interval<Metres> {
        if let Some(height) = self.levelled_at(point) {
            return height;
        }
        let each = self.known.iter().map(|level| {
            let away = Metres::m(libm::hypot(point.x - level.at.x, point.y - level.at.y));
            let off = level.sigma * ONE_SIDED_95 + self.rise_over(away);
            (level.height - off, level.height + off)
        });
        let each = || each.clone();
        let all = each().reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)));
        // Levels that contradict the slope leave open all that any of them says.
        let all = all.filter(|(low, high)| low <= high);
        let all = all.or_else(|| each().reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))));
        all.map_or(Interval::exact(Metres::ZERO), |(low, high)| Interval::spanning(low, high))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn level(x: f64, y: f64, z: f64) -> Level {
        Level { at: Point { x, y }, height: Metres::m(z), sigma: Metres::m(0.1) }
    }

    fn at(terrain: &Terrain, x: f64, y: f64) -> (f64, f64) {
        let height = terrain.at(Point { x, y });
        (height.low().to_m(), height.high().to_m())
    }

    #[test]
    fn without_levels_the_ground_may_rise_away_from_the_datum() {
        let terrain = Terrain::new(None, &[], Slope::ratio(0.03));
        let (low, high) = at(&terrain, 30.0, 40.0);
        assert!((low + 1.5).abs() < 1e-12 && (high - 1.5).abs() < 1e-12);
    }

    #[test]
    fn off_the_levels_the_nearest_say_most() {
        // 100 m past a level at 2 m: 3 m either way and 0.1645 m of error.
        let levels = [level(0.0, 0.0, 0.0), level(200.0, 0.0, 2.0), level(0.0, 200.0, 0.0)];
        let terrain = Terrain::new(None, &levels, Slope::ratio(0.03));
        let (low, high) = at(&terrain, 300.0, 0.0);
        assert!((low - (2.0 - 3.1645)).abs() < 1e-4 && (high - 5.1645).abs() < 1e-4, "{low} {high}");
    }

    #[test]
    fn on_the_levels_their_own_height_counts() {
        let levels = [level(0.0, 0.0, 0.0), level(200.0, 0.0, 2.0), level(0.0, 200.0, 0.0)];
        let surface = Surface::new(&levels, &[]).expect("a facet");
        let terrain = Terrain::new(Some(Arc::new(surface)), &levels, Slope::ratio(0.03));
        let (low, high) = at(&terrain, 100.0, 0.0);
        assert!(low < 1.0 && 1.0 < high && high - low < 0.33, "{low} {high}");
    }
}
