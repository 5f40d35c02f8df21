//! The ground along one lane as the slide needs it: stations with slopes, and the kinds of ground in each.
//!
//! Where levels reach, the keel's own way over their surface; elsewhere the steepest that is reckoned with,
//! downhill at the worst and uphill at the best. Where a patch may lie under a keel it may be the patch or
//! the field.
//!
//! Not here: friction of a kind ([`crate::grip`]).

use crate::grip::Grip;
use measure::{Interval, Metres, Slope};
use slide::{Station, Track};

/// The ground of one lane.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct LaneGround {
    /// As it lengthens a slide most.
    pub(crate) worst: Track,
    /// As it shortens it most.
    pub(crate) best: Track,
    /// What may be under the keels, by zone of the tracks.
    pub(crate) zones: Vec<Grip>,
}

/// A way of the keel as far as it is known.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Known {
    pub(crate) from: Metres,
    /// `None` where no levels reach.
    pub(crate) ground: Option<Bounds>,
}

/// Ground from one place of the way to the next, of which only the two ends are worked out.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Bounds {
    /// As it lengthens a slide most.
    pub(crate) worst: Station,
    /// As it shortens it most.
    pub(crate) best: Station,
    /// Standard error of the slope across.
    pub(crate) cross_sigma: Slope,
    /// The steepest that was measured, along or across either way, with its error at 95 %.
    pub(crate) steepest: Slope,
}

/// What is reckoned with where no levels reach.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Unknown {
    /// Either way.
    pub(crate) steepest: Slope,
}

impl LaneGround {
    /// Ground of one slope, or of anything in an interval, and one grip.
    pub(crate) fn even(slope: Interval<Slope>, grip: Grip) -> Self {
        let (worst, best) = (Track::even(slope.low()), Track::even(slope.high()));
        Self { worst, best, zones: vec![grip] }
    }

    /// From the keel's way, and the patches under it with their chainages.
    pub(crate) fn new(
        way: &[Known],
        unknown: Unknown,
        field: &Grip,
        patches: &[(Interval<Metres>, Grip)],
    ) -> Self {
        let mut cuts: Vec<Metres> = way.iter().map(|k| k.from).collect();
        cuts.extend(patches.iter().flat_map(|(span, _)| [span.low(), span.high()]));
        cuts.push(Metres::ZERO);
        cuts.sort_by(|a, b| a.to_m().total_cmp(&b.to_m()));
        cuts.dedup();
        let mut zones = vec![field.clone()];
        let mut seen: Vec<(Vec<usize>, usize)> = vec![(Vec::new(), 0)];
        let mut zone_of = |from: Metres, to: Option<Metres>| {
            let meets = |span: &Interval<Metres>| span.high() > from && to.is_none_or(|to| span.low() < to);
            let under: Vec<usize> =
                patches.iter().enumerate().filter(|(_, (span, _))| meets(span)).map(|(i, _)| i).collect();
            if let Some((_, zone)) = seen.iter().find(|(list, _)| *list == under) {
                return *zone;
            }
            let grip = under.iter().fold(field.clone(), |grip, &i| grip.or(&patches[i].1));
            zones.push(grip);
            seen.push((under, zones.len() - 1));
            zones.len() - 1
        };
        let ends = cuts.iter().skip(1).copied().map(Some).chain([None]);
        let spans: Vec<(Metres, usize)> =
            cuts.iter().zip(ends).map(|(&from, to)| (from, zone_of(from, to))).collect();
        let track = |slope: Slope, end: fn(Bounds) -> Station| {
            let station = |&(from, zone): &(Metres, usize)| {
                let known =
                    way.partition_point(|k| k.from <= from).checked_sub(1).and_then(|i| way[i].ground);
                known.map_or(Station::even(from, slope, zone), |ground| Station { from, zone, ..end(ground) })
            };
            // Sorted and without doubles, and of finite levels, so it is a track.
            Track::new(spans.iter().map(station).collect()).unwrap_or_else(|_| Track::even(slope))
        };
        let (worst, best) = (track(-unknown.steepest, |b| b.worst), track(unknown.steepest, |b| b.best));
        Self { worst, best, zones }
    }

    /// Whether it is the same up to a chainage: a slide that ends before it is then as long wherever it begins.
    pub(crate) fn is_even_to(&self, reach: Metres) -> bool {
        let even = |track: &Track| track.stations().iter().skip(1).all(|s| s.from >= reach);
        even(&self.worst) && even(&self.best)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use slide::{Belief, Friction};

    fn grip(median: f64) -> Grip {
        Grip::new(vec![(Friction::new(Belief::even(median, 0.1), &[]), String::new())])
    }

    fn span(from: f64, to: f64) -> Interval<Metres> {
        Interval::spanning(Metres::m(from), Metres::m(to))
    }

    #[test]
    fn a_patch_is_a_zone_of_its_own_and_may_still_be_the_field() {
        let patches = [(span(20.0, 50.0), grip(0.2)), (span(40.0, 60.0), grip(0.6))];
        let unknown = Unknown { steepest: Slope::ratio(0.03) };
        let ground = LaneGround::new(&[], unknown, &grip(0.4), &patches);
        let at = |s: f64| {
            let track = &ground.worst;
            let zone = track.stations()[track.index_at(Metres::m(s))].zone;
            let grip = &ground.zones[zone];
            (grip.worst(0.0), grip.best(0.0))
        };
        let close = |s: f64, low: f64, high: f64| {
            let (a, b) = at(s);
            assert!((a - low).abs() < 1e-12 && (b - high).abs() < 1e-12, "{s}: {a} {b}");
        };
        close(10.0, 0.4, 0.4);
        close(30.0, 0.2, 0.4);
        close(45.0, 0.2, 0.6);
        close(55.0, 0.4, 0.6);
        close(70.0, 0.4, 0.4);
        assert!(!ground.is_even_to(Metres::m(200.0)) && ground.is_even_to(Metres::m(20.0)));
    }

    #[test]
    fn where_no_levels_reach_it_is_downhill_at_the_worst_and_uphill_at_the_best() {
        let station =
            |slope| Station { curvature: 0.001, ..Station::even(Metres::ZERO, Slope::ratio(slope), 0) };
        let (worst, best) = (station(0.01), station(0.02));
        let known = Bounds { worst, best, cross_sigma: Slope::ZERO, steepest: Slope::ratio(0.02) };
        let way = [
            Known { from: Metres::m(10.0), ground: Some(known) },
            Known { from: Metres::m(30.0), ground: None },
        ];
        let unknown = Unknown { steepest: Slope::ratio(0.03) };
        let ground = LaneGround::new(&way, unknown, &grip(0.4), &[]);
        let slopes =
            |track: &Track| -> Vec<f64> { track.stations().iter().map(|s| s.slope.to_ratio()).collect() };
        assert_eq!(slopes(&ground.worst), [-0.03, 0.01, -0.03]);
        assert_eq!(slopes(&ground.best), [0.03, 0.02, 0.03]);
    }
}
