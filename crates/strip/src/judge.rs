//! One lane judged: ground meets slide.
//!
//! What hurts most is put together here: the length that the margins leave, the slides at the worst
//! corner, the pilot's scatter, the crosswind. A lane of its own is "does not fit" when, as surveyed,
//! it is too short even at the best corner of the slides.

use crate::approach::{Closed, WayIn, left_open};
use crate::assessed_lane::{AssessedLane, LaneHazard, LanePatch};
use crate::assessment::Verdict;
use crate::astray;
use crate::balance;
use crate::bench::Bench;
use crate::clearance;
use crate::demand::{self, Demand, Ends, Look};
use crate::flown_to;
use crate::keel_way::KeelWay;
use crate::shown::{self, Shown};
use crate::sky;
use crate::spread::{Corner, Spread};
use crate::touchdown;
use crate::touchdowns::{self, Touchdowns};
use ground::{HalfWidth, Lane, Obstructions, Stretch, check_lane, hazards_within};
use measure::{Interval, Metres, Slope};
use std::sync::Arc;

/// How near to the aircraft's way a hazard lies that holds the lane where it is, metres (judgement: a
/// lane shifted by less is the same lane to a pilot).
pub(crate) const RULING: f64 = 0.5;

/// What the best corner of all that is not known would leave.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Best {
    /// Length of slide.
    least: Option<Metres>,
    spare: Option<Metres>,
    /// Whether a touchdown can be reached.
    reached: bool,
}

/// One lane with what later questions need.
pub(crate) struct Judged {
    pub(crate) lane: AssessedLane,
    pub(crate) stretch: Stretch,
    pub(crate) found: FoundAs,
    pub(crate) spread: Spread,
    pub(crate) way: Arc<KeelWay>,
    pub(crate) ends: Ends,
    /// Touchdowns that it is judged for.
    pub(crate) open: touchdowns::Stretch,
}

/// How a lane was found.
pub(crate) struct FoundAs {
    /// All that is clear, of which it may be a part.
    pub(crate) whole: Stretch,
    /// Half-width for which that is clear.
    pub(crate) half_width: HalfWidth,
    /// Whether it was among lanes that are kept clear by as much as slides drift.
    pub(crate) wide: bool,
    /// What it was found among, where it was looked for by itself.
    pub(crate) own: Option<Arc<Obstructions>>,
}

impl FoundAs {
    fn among(things: &Obstructions, whole: Stretch) -> Self {
        Self { whole, half_width: things.allowance().half_width.clone(), wide: false, own: None }
    }
}

impl Bench<'_> {
    /// What would be left to spare at the best corner: of each stretch of touchdowns the demand from the last one of the
    /// least scatter, as a later one never ends sooner, so that if even that one ends too late the stretch does not hold
    /// the scatter. Nothing where no slide ends, or no touchdown can be reached.
    fn at_best(&self, way_in: &WayIn<'_>, spread: &Spread, ends: &Ends) -> Best {
        let scatter = self.least_scatter();
        let (touchdowns, _) = self.touchdowns_open(way_in, Corner::Best, ends);
        let reached = touchdowns.any();
        let mut best = Best { least: None, spare: None, reached };
        for open in touchdowns.stretches() {
            // The longest come first: from here on none can leave more.
            if best.spare >= Some(open.until - open.earliest - scatter) {
                break;
            }
            let least = demand::best(spread, ends, open.earliest + scatter);
            let spare = least.filter(|_| reached).map(|least| open.spare(ends.at(), least, scatter));
            if best.least.is_none() || spare > best.spare {
                best = Best { least, spare, reached };
            }
        }
        best
    }

    /// Touchdowns that the way in leaves open at a corner, and what closes the others.
    pub(crate) fn touchdowns_open(
        &self,
        way: &WayIn,
        corner: Corner,
        ends: &Ends,
    ) -> (Touchdowns, Vec<Closed>) {
        let closed = way.closed(corner);
        (self.left_open(&closed, ends), closed)
    }

    /// Touchdowns that some leave open.
    pub(crate) fn left_open(&self, closed: &[Closed], ends: &Ends) -> Touchdowns {
        let open = left_open(self.usable_touchdowns(ends), closed);
        Touchdowns::new(open, ends.at().max(self.margins.near))
    }

    /// Between near margin and end margin.
    pub(crate) fn usable_touchdowns(&self, ends: &Ends) -> Interval<Metres> {
        let near = self.margins.near;
        Interval::spanning(near, ends.at().max(near))
    }

    /// The stretch of touchdowns that leaves most to spare, with the demand from there.
    pub(crate) fn served(
        &self,
        spread: &Spread,
        ends: &Ends,
        touchdowns: &Touchdowns,
    ) -> (touchdowns::Stretch, Demand) {
        let (short, long) = self.scatter();
        let served = |open: touchdowns::Stretch| {
            let aim = open.earliest + short;
            let demand = match self.look {
                Look::Glance => demand::worst_at_a_glance(&self.tails, spread, ends, aim),
                look => demand::worst(spread, ends, aim, look),
            };
            (demand.needed.map(|needed| open.spare(ends.at(), needed, short + long)), open, demand)
        };
        let mut best: Option<(Option<Metres>, touchdowns::Stretch, Demand)> = None;
        for open in touchdowns.stretches() {
            // The longest come first: from here on none can leave more.
            let most = Some(open.until - open.earliest - (short + long));
            if best.as_ref().is_some_and(|(spare, ..)| *spare >= most) {
                break;
            }
            let next = served(open);
            best = Some(match best {
                Some(best) if best.0 >= next.0 => best,
                _ => next,
            });
        }
        // There is always one stretch to look at.
        let none = || served(touchdowns::Stretch { earliest: ends.at(), until: ends.at() });
        let (_, open, demand) = best.unwrap_or_else(none);
        (open, demand)
    }

    /// Judges one stretch, found among things kept clear by some half-width.
    pub(crate) fn judge(&self, stretch: &Stretch, among: &Obstructions) -> Judged {
        let lane = stretch.lane;
        let patches = self.patches_under(&lane);
        let way = self.way(&lane);
        let spread = self.spread_on(&lane, &way);
        let (short, long) = self.scatter();
        let scatter = short + long;
        let ends = Ends::of(stretch, &self.margins);
        let end = ends.at();
        let way_in = WayIn::new(self, &lane, &spread, end);
        let (touchdowns, closed) = self.touchdowns_open(&way_in, Corner::Worst, &ends);
        let (open, demand) = self.served(&spread, &ends, &touchdowns);
        let (earliest, aim) = (open.earliest, open.earliest + short);
        let spare = demand.needed.map(|needed| open.spare(end, needed, scatter));
        let latest = demand.needed.map(|needed| open.latest(end, needed));
        // A first look asks for the best corner only where the worst fails.
        let fails = spare.is_none_or(|spare| spare < Metres::ZERO);
        let best = (fails || self.look == Look::Full).then(|| self.at_best(&way_in, &spread, &ends));
        let shown = Shown::new(&spread, &demand, &ends, aim, &self.touchdowns(), lane.length);

        let mut reasons = vec![self.length_reason(spare, demand.needed, best.and_then(|b| b.spare))];
        if !touchdowns.any() && end > self.margins.near {
            reasons.push(clearance::unreached(self, &closed, best.is_none_or(|b| b.reached)));
        }
        reasons.extend(self.crosswind_reason(lane.heading));
        reasons.extend(sky::low_ahead(self.sun, lane.heading, self.settings));
        reasons.extend(self.recovery_reason(demand.lengths.p99));
        reasons.extend(self.friction_reasons());
        // Touchdowns lie between the earliest and where the scatter ends behind it, before the end margin; that something
        // forces them farther on never softens the ground.
        let window = (self.margins.near, (earliest + scatter).min(end).max(self.margins.near));
        let (touchdown, of_touchdown) = touchdown::judged(self, &spread, &way, window);
        reasons.extend(of_touchdown);
        let drifted = self.drift_on(&lane, &way, &spread);
        let (drift, of_drift) = astray::judged(self, &lane, drifted.as_deref(), end);
        reasons.extend(of_drift);
        let (balance, of_balance) =
            balance::judged(self, &spread, &way, &patches, (self.margins.near, lane.length));
        reasons.extend(of_balance);
        reasons.extend(shown.reasons());
        reasons.extend(way.reasons(self.settings));
        let flown_to = flown_to::along(&way_in, &spread, &ends, (&open, latest), &demand);
        let approach =
            clearance::told(way_in, &closed, (earliest, latest), self.usable_touchdowns(&ends), &spread);
        reasons.extend(clearance::abandon_reason(&approach));
        let far = lane.far();
        let assessed = AssessedLane {
            id: String::new(),
            verdict: Verdict::Fits,
            reasons,
            heading_true_deg: lane.heading.to_deg(),
            heading_magnetic_deg: self.situation.declination.map(|d| lane.heading.to_magnetic(d).to_deg()),
            near_end: [lane.near.x, lane.near.y],
            far_end: [far.x, far.y],
            length_m: lane.length.to_m(),
            far_end_at: self.thing_name(stretch.far_thing),
            earliest_touchdown_m: earliest.to_m(),
            end_margin_at_m: end.to_m(),
            usable_slide_m: (end - earliest).to_m(),
            demand_m: demand.needed.map(Metres::to_m),
            demand_share: demand.share,
            demand_p50_m: demand.lengths.p50,
            demand_p95_m: demand.lengths.p95,
            demand_p99_m: demand.lengths.p99,
            sampling_error_m: demand.lengths.error(demand.share),
            demand_least_m: best.and_then(|b| b.least).map(Metres::to_m),
            aim_m: aim.to_m(),
            latest_touchdown_m: latest.map(Metres::to_m),
            scatter_m: scatter.to_m(),
            spare_m: spare.map(Metres::to_m),
            overrun_probability: shown.stops.chance_beyond(end),
            stop_p05_m: shown.stops.by(demand::EARLY),
            stop_p50_m: shown.stops.by(demand::HALF),
            stop_p95_m: shown.stops.by(demand::OPEN),
            speed_at_far_end_mps: shown.speed_at_far_end,
            skips_at_m: shown.skips_at.map(Metres::to_m),
            stays: shown.stays,
            stops: demand.needed.is_some(),
            headwind_mps: self.situation.given_headwind(lane.heading).map(measure::Headwind::to_mps),
            crosswind_mps: self.situation.gust_crosswind(lane.heading),
            flown_to,
            approach,
            sun_off_heading_deg: sky::off_heading_deg(self.sun, lane.heading),
            touchdown,
            drift,
            balance,
            slope_mean: way.mean.map(Slope::to_ratio),
            ground_seen: way.seen,
            hollow: shown::keel_figure(way.report.and_then(|r| r.hollow)),
            crest: shown::keel_figure(way.report.and_then(|r| r.crest)),
            bow_step: shown::keel_figure(way.report.and_then(|r| r.bow_step)),
            hazards: self.hazards_on(&lane),
            ruling_hazards: self.ruling(&lane, among),
            gains: Vec::new(),
            remedies: Vec::new(),
            patches: patches.iter().map(|(p, span)| LanePatch::new(p, *span)).collect(),
            basis: shown.basis(friction_source(&spread), way.is_known_at(aim)),
            slide_profile: shown.profile,
            likely_profile: shown.likely_profile,
            stopped_share: shown.stops.shares(),
            ground_profile: way.drawn.clone(),
        };
        let found = FoundAs::among(among, *stretch);
        Judged { lane: assessed, stretch: *stretch, found, spread, way, ends, open }
    }

    fn hazards_on(&self, lane: &Lane) -> Vec<LaneHazard> {
        let beside = check_lane(&self.obstructions, lane).hazards;
        let reach = self.obstructions.reach();
        beside
            .into_iter()
            .filter(|h| h.offset.abs() <= reach)
            .filter_map(|h| {
                Some(LaneHazard {
                    id: self.standing.get(h.index)?.id.clone(),
                    chainage_m: h.chainage.to_m(),
                    offset_m: h.offset.to_m(),
                    clearance_m: h.clearance.map(Metres::to_m),
                    conflict: h.conflict,
                })
            })
            .collect()
    }

    fn ruling(&self, lane: &Lane, among: &Obstructions) -> Vec<String> {
        let holding = hazards_within(among, lane, Metres::m(RULING));
        holding.into_iter().filter_map(|thing| self.mark(thing)).collect()
    }
}

/// Where the least friction of a lane comes from.
fn friction_source(spread: &Spread) -> String {
    let least = spread.ground.zones.iter().min_by(|a, b| a.low().total_cmp(&b.low()));
    least.map_or_else(String::new, |grip| grip.source().to_owned())
}
