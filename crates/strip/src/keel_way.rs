//! The keel's way along a lane: what the levels say of it, and where they say nothing.
//!
//! Invariants: between levels farther apart than the keel is long a crest may stand that nobody saw, so such
//! ground counts as not seen; where the curvature is not known it is none, which the unseen crest makes up for;
//! across, what was not measured is taken as steep as anything known.
//!
//! Not here: the surface itself (crate `ground`), and what a slide makes of it.

use crate::Settings;
use crate::assessment::{Reason, Sense, Verdict};
use crate::code::Code;
use crate::lane_ground::Known;
use ground::{KeelReport, KeelStation, Lane, Plane, Surface, UnderKeel, Worst, keel_path, keel_report};
use measure::{Metres, ONE_SIDED_95, Slope};
use slide::Station;

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
        let known: Vec<Known> =
            path.iter().map(|s| Known { from: s.chainage, ground: station(s, between, steepest) }).collect();
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

    /// Whether somebody has to look closer at what lies under the keel.
    pub(crate) fn reasons(&self, settings: &Settings) -> Vec<Reason> {
        let Some(report) = self.report else { return Vec::new() };
        let held = |name: &str, worst: Option<Worst>, limit: f64| {
            let worst = worst?;
            // Between levels far apart the errors say nothing of hollows and steps; those are not judged there.
            let error = if self.seen { worst.sigma * ONE_SIDED_95 } else { Metres::ZERO };
            let amount = (worst.amount + error).to_m();
            let at = worst.chainage.to_m();
            let verdict = if amount > limit { Verdict::Unknown } else { Verdict::Fits };
            let reason = Reason::held(Code::KeelGround, verdict, (amount, Sense::NotAbove, limit), "m");
            let text = format!("{}: {name}, {at:.0} m along", Code::KeelGround.help());
            (amount > limit).then_some(Reason { text, ..reason })
        };
        [
            held("hollow", report.hollow, settings.keel_hollow_m),
            held("crest", report.crest, settings.keel_crest_m),
            held("step before the bow", report.bow_step, settings.bow_step_m),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

fn station(of: &KeelStation, between: Slope, steepest: Slope) -> Option<Station> {
    let UnderKeel { slope_along, slope_along_sigma, slope_across, curvature, coarse } = of.ground?;
    Some(Station {
        from: of.chainage,
        slope: slope_along,
        cross: slope_across.unwrap_or(steepest),
        curvature: curvature.map_or(0.0, |k| k.per_metre),
        slope_sigma: if coarse { slope_along_sigma.max(between) } else { slope_along_sigma },
        curvature_sigma: curvature.map_or(0.0, |k| k.sigma_per_metre),
        zone: 0,
    })
}

/// Mean slope of what is known, weighed by length, where that is most of a lane.
fn mean(known: &[Known], length: Metres) -> Option<Slope> {
    let ends = known.iter().skip(1).map(|k| k.from).chain([length]);
    let (mut sum, mut measured) = (0.0, 0.0);
    for (k, end) in known.iter().zip(ends) {
        if let Some(station) = k.ground {
            let over = (end - k.from).to_m().max(0.0);
            sum += station.slope.to_ratio() * over;
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
