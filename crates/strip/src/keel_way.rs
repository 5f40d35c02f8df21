//! The keel's way along a lane: what the levels say of it, and where they say nothing.
//!
//! Invariants: between two places that are worked out, half a keel apart, the end holds that hurts, and at the best the
//! one that helps; beyond the lane nothing is known; between levels farther apart than the keel is long a crest may stand
//! that nobody saw, so such ground counts as not seen; where the curvature is not known it is none, which the unseen
//! crest makes up for; across, what was not measured is as steep as anything known, and level at the best.
//!
//! Not here: the surface itself (crate `ground`), and what a slide makes of it.

use crate::Settings;
use crate::assessment::{Reason, Sense, Verdict};
use crate::code::Code;
use crate::lane_ground::{Bounds, Known};
use ground::{KeelReport, KeelStation, Lane, Plane, Surface, UnderKeel, Worst, keel_path, keel_report};
use measure::{Interval, Metres, ONE_SIDED_95, Slope};
use slide::Station;
use std::sync::{Arc, Mutex, PoisonError};

/// Share of a lane along which levels must lie to count as taken along it (judgement).
const LEVELS_SHARE: f64 = 0.6;

/// Points at which the ground is drawn.
const DRAWN_POINTS: usize = 400;

/// The keel's way along one lane.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct KeelWay {
    pub(crate) known: Vec<Known>,
    /// Whether levels lie so close, all along, that they show every crest.
    pub(crate) seen: bool,
    /// Mean slope along it, where levels lie along most of it.
    pub(crate) mean: Option<Slope>,
    /// Worst hollow, crest and bow step; none without a surface.
    pub(crate) report: Option<KeelReport>,
    /// Chainage and height of the ground, where measured.
    pub(crate) drawn: Vec<(f64, f64)>,
}

/// Ways of lanes that were asked for before.
#[derive(Default, Debug)]
pub(crate) struct Ways(Mutex<Vec<(Lane, Arc<KeelWay>)>>);

/// Lanes whose ways are remembered.
const REMEMBERED: usize = 64;

impl Ways {
    /// From memory or anew.
    pub(crate) fn of(&self, lane: &Lane, make: impl FnOnce() -> KeelWay) -> Arc<KeelWay> {
        let known = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, known)) = known().iter().find(|(l, _)| l == lane) {
            return known.clone();
        }
        let way = Arc::new(make());
        let mut known = known();
        if known.len() >= REMEMBERED {
            known.remove(0);
        }
        known.push((*lane, way.clone()));
        way
    }
}

impl KeelWay {
    /// Along a lane, of which slides use what lies between the chainages given; `steepest` is reckoned with where
    /// levels say nothing.
    pub(crate) fn new(
        surface: &Surface,
        plane: Option<&Plane>,
        lane: &Lane,
        keel: Metres,
        steepest: Slope,
        usable: (Metres, Metres),
    ) -> Self {
        let path = keel_path(surface, lane, keel);
        // A field that is no plane slopes otherwise between levels far apart than they show.
        let between = plane.map_or(Slope::ZERO, |p| p.slope_error_along(lane.heading) / ONE_SIDED_95);
        let off_levels = OffLevels { between, steepest };
        let known = known(&path, &off_levels, lane.length);
        let report = keel_report(surface, lane, keel);
        // Where slides begin and end; at the very ends of a lane a chord has one end beyond it.
        let (near, far) = usable;
        let shown = |s: &&KeelStation| s.ground.is_some_and(|g| !g.coarse && g.curvature.is_some());
        let within = |s: &&KeelStation| near <= s.chainage && s.chainage <= far;
        let seen = path.iter().filter(within).all(|s| shown(&s)) && path.iter().any(|s| within(&s));
        Self {
            mean: mean(&known, lane.length),
            seen,
            report: Some(report),
            drawn: drawn(surface, lane),
            known,
        }
    }

    /// Whether levels lie at a chainage.
    pub(crate) fn is_known_at(&self, chainage: Metres) -> bool {
        let before = self.known.partition_point(|k| k.from <= chainage);
        before.checked_sub(1).is_some_and(|i| self.known[i].ground.is_some())
    }

    /// Slopes along the lane between two chainages, with their errors at 95 %; as steep either way as `not_measured`
    /// where any of it was not measured, and what was measured counts all the same.
    pub(crate) fn slopes(&self, (from, to): (Metres, Metres), not_measured: Slope) -> Interval<Slope> {
        let off_levels = Interval::spanning(-not_measured, not_measured);
        let of = |k: &Known| {
            k.ground.map_or(off_levels, |Bounds { worst, best, .. }| {
                let error = worst.slope_sigma * ONE_SIDED_95;
                Interval::spanning(worst.slope - error, best.slope + error)
            })
        };
        self.between(from, to).map(of).reduce(Interval::hull).unwrap_or(off_levels)
    }

    /// Steepest slope across between two chainages, either way, with its error at 95 %; no less than `not_measured` where
    /// any of it was not measured.
    pub(crate) fn cross(&self, (from, to): (Metres, Metres), not_measured: Slope) -> Slope {
        let of = |k: &Known| {
            let measured = |Bounds { worst, cross_sigma, .. }| worst.cross + cross_sigma * ONE_SIDED_95;
            k.ground.map_or(not_measured, measured)
        };
        self.between(from, to).map(of).reduce(Slope::max).unwrap_or(not_measured)
    }

    /// What is known of the way between two chainages.
    fn between(&self, from: Metres, to: Metres) -> impl Iterator<Item = &Known> {
        let ends = self.known.iter().skip(1).map(|k| k.from).chain([to]);
        let met = self.known.iter().zip(ends).filter(move |(k, end)| k.from <= to && *end >= from);
        met.map(|(k, _)| k)
    }

    /// Greatest curvature of a hollow between two chainages, 1/m, with its error at 95 %; none where nothing was measured.
    pub(crate) fn sharpest_hollow(&self, (from, to): (Metres, Metres)) -> f64 {
        let curvature = |b: Bounds| b.best.curvature + ONE_SIDED_95 * b.worst.curvature_sigma;
        self.between(from, to).filter_map(|k| k.ground.map(curvature)).fold(0.0, f64::max)
    }

    /// Where slopes along or across were measured that are steeper than a limit.
    pub(crate) fn steep_places(&self, limit: Slope) -> impl Iterator<Item = Interval<Metres>> {
        let steep = move |pair: &[Known]| {
            pair[0].ground.filter(|ground| ground.steepest > limit)?;
            Some(Interval::spanning(pair[0].from, pair[1].from))
        };
        self.known.windows(2).filter_map(steep)
    }

    /// Steepest slope along or across that was measured, as a share, and where.
    fn steepest(&self) -> Option<(f64, Metres)> {
        let steep = |k: &Known| k.ground.map(|ground| (ground.steepest.to_ratio(), k.from));
        self.known.iter().filter_map(steep).reduce(|a, b| if b.0 > a.0 { b } else { a })
    }

    /// Whether somebody has to look closer at what lies under the keel.
    pub(crate) fn reasons(&self, settings: &Settings) -> Vec<Reason> {
        self.faults(settings).into_iter().map(|(_, reason)| reason).collect()
    }

    /// The same with where it lies.
    pub(crate) fn faults(&self, settings: &Settings) -> Vec<(Metres, Reason)> {
        let Some(report) = self.report else { return Vec::new() };
        let held = |name: &str, worst: Option<Worst>, limit: f64| {
            let worst = worst?;
            // Between levels far apart the errors say nothing of hollows and steps; those are not judged there.
            let error = if self.seen { worst.sigma * ONE_SIDED_95 } else { Metres::ZERO };
            let amount = (worst.amount + error).to_m();
            let at = worst.chainage;
            let verdict = if amount > limit { Verdict::Unknown } else { Verdict::Fits };
            let reason = Reason::held(Code::KeelGround, verdict, (amount, Sense::NotAbove, limit), "m");
            let text = format!("{}: {name}, {:.0} m along", Code::KeelGround.help(), at.to_m());
            (amount > limit).then_some((at, Reason { text, ..reason }))
        };
        let steep =
            self.steepest().filter(|(slope, _)| *slope > settings.steepest_slope).map(|(slope, at)| {
                let figures = (100.0 * slope, Sense::NotAbove, 100.0 * settings.steepest_slope);
                let reason = Reason::held(Code::KeelGround, Verdict::Unknown, figures, "%");
                let text = format!("{}: slope, {:.0} m along", Code::KeelGround.help(), at.to_m());
                (at, Reason { text, ..reason })
            });
        [
            steep,
            held("hollow", report.hollow, settings.keel_hollow_m),
            held("crest", report.crest, settings.keel_crest_m),
            held("step before the bow", report.bow_step, settings.bow_step_m),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

/// What is reckoned with where levels lie far apart, or not to the side.
struct OffLevels {
    /// How far a slope between them may lie off, one standard deviation.
    between: Slope,
    steepest: Slope,
}

/// From each place to the next, and nothing beyond the lane.
fn known(path: &[KeelStation], off_levels: &OffLevels, length: Metres) -> Vec<Known> {
    let step = |pair: &[KeelStation]| {
        let [from, to] = [&pair[0], &pair[1]];
        let ground = from.ground.zip(to.ground).map(|(a, b)| bounds(from.chainage, [a, b], off_levels));
        Known { from: from.chainage, ground }
    };
    path.windows(2).map(step).chain([Known { from: length, ground: None }]).collect()
}

fn bounds(from: Metres, ends: [UnderKeel; 2], off_levels: &OffLevels) -> Bounds {
    let least = |of: fn(&UnderKeel) -> f64| of(&ends[0]).min(of(&ends[1]));
    let most = |of: fn(&UnderKeel) -> f64| of(&ends[0]).max(of(&ends[1]));
    let slope = |u: &UnderKeel| u.slope_along.to_ratio();
    let curvature = |u: &UnderKeel| u.curvature.map_or(0.0, |k| k.per_metre);
    let curvature_sigma = |u: &UnderKeel| u.curvature.map_or(0.0, |k| k.sigma_per_metre);
    let cross = |or: f64| ends.map(|u| u.slope_across.map_or(or, |s| s.to_ratio().abs()));
    let slope_sigma = ends.map(|u| {
        let sigma = u.slope_along_sigma;
        if u.coarse { sigma.max(off_levels.between) } else { sigma }.to_ratio()
    });
    let [steeper, leveller] = [cross(off_levels.steepest.to_ratio()), cross(0.0)];
    let worst = Station {
        from,
        slope: Slope::ratio(least(slope)),
        cross: Slope::ratio(steeper[0].max(steeper[1])),
        curvature: least(curvature),
        slope_sigma: Slope::ratio(slope_sigma[0].max(slope_sigma[1])),
        curvature_sigma: most(curvature_sigma),
        zone: 0,
    };
    let best = Station {
        slope: Slope::ratio(most(slope)),
        cross: Slope::ratio(leveller[0].min(leveller[1])),
        curvature: most(curvature),
        slope_sigma: Slope::ratio(slope_sigma[0].min(slope_sigma[1])),
        curvature_sigma: least(curvature_sigma),
        ..worst
    };
    let cross_sigma = ends.map(|u| {
        let sigma = u.slope_across_sigma;
        if u.coarse { sigma.max(off_levels.between) } else { sigma }
    });
    Bounds { worst, best, cross_sigma: cross_sigma[0].max(cross_sigma[1]), steepest: steepest(&ends) }
}

/// Along and across, at either end, with their errors at 95 %.
fn steepest(ends: &[UnderKeel; 2]) -> Slope {
    let of = |u: &UnderKeel| {
        let along = u.slope_along.to_ratio().abs();
        let across = u.slope_across.map_or(0.0, |s| s.to_ratio().abs());
        let sigma = u.slope_along_sigma.max(u.slope_across_sigma);
        along.max(across) + ONE_SIDED_95 * sigma.to_ratio()
    };
    Slope::ratio(of(&ends[0]).max(of(&ends[1])))
}

/// Mean slope of what is known, weighed by length, where that is most of a lane.
fn mean(known: &[Known], length: Metres) -> Option<Slope> {
    let ends = known.iter().skip(1).map(|k| k.from).chain([length]);
    let (mut sum, mut measured) = (0.0, 0.0);
    for (k, end) in known.iter().zip(ends) {
        if let Some(Bounds { worst, best, .. }) = k.ground {
            let over = (end - k.from).to_m().max(0.0);
            sum += f64::midpoint(worst.slope.to_ratio(), best.slope.to_ratio()) * over;
            measured += over;
        }
    }
    (measured > 0.0 && measured >= LEVELS_SHARE * length.to_m()).then(|| Slope::ratio(sum / measured))
}

fn drawn(surface: &Surface, lane: &Lane) -> Vec<(f64, f64)> {
    let at = |i: usize| lane.length * (i as f64 / DRAWN_POINTS as f64);
    let height =
        |s: Metres| surface.height_at(lane.point_at(s, Metres::ZERO)).map(|(z, _)| (s.to_m(), z.to_m()));
    (0..=DRAWN_POINTS).filter_map(|i| height(at(i))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steep_ground_that_was_measured_counts_beside_ground_that_was_not() {
        let uphill = Station {
            from: Metres::ZERO,
            slope: Slope::ratio(0.11),
            cross: Slope::ratio(0.12),
            curvature: 0.0,
            slope_sigma: Slope::ZERO,
            curvature_sigma: 0.0,
            zone: 0,
        };
        let steep = Bounds { worst: uphill, best: uphill, cross_sigma: Slope::ZERO, steepest: Slope::ZERO };
        let known = vec![
            Known { from: Metres::ZERO, ground: Some(steep) },
            Known { from: Metres::m(40.0), ground: None },
        ];
        let way = KeelWay { known, ..KeelWay::default() };
        let not_measured = Slope::ratio(0.05);
        let slopes = |to: f64| way.slopes((Metres::ZERO, Metres::m(to)), not_measured);
        assert_eq!(slopes(30.0), Interval::exact(Slope::ratio(0.11)));
        assert_eq!(slopes(60.0), Interval::spanning(-not_measured, Slope::ratio(0.11)));
        assert_eq!(way.cross((Metres::ZERO, Metres::m(60.0)), not_measured), Slope::ratio(0.12));
        let nothing = KeelWay::default();
        let all = (Metres::ZERO, Metres::m(60.0));
        assert_eq!(nothing.slopes(all, not_measured), Interval::spanning(-not_measured, not_measured));
        assert_eq!(nothing.cross(all, not_measured), not_measured);
    }
}
