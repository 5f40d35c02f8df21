//! One lane judged: ground meets slide.
//!
//! What hurts most is put together here: the length that the margins leave, the slide at its worst
//! corner, the pilot's scatter, the crosswind. A lane of its own is "does not fit" when, as surveyed,
//! it is too short even at the best corner of the slide.

use crate::assessment::{AssessedLane, Basis, LaneHazard, LanePatch, Reason, Sense, Verdict};
use crate::code::Code;
use crate::situation::Situation;
use crate::spread::{Spread, Worked};
use crate::survey::{Looked, SurveyKind};
use crate::{Aircraft, Day, Inputs, Settings, Strip};
use ground::{
    Hazard, Lane, Margins, Obstructions, Plane, Presence, Stretch, Thing, chainages_under, check_lane,
    hazards_within, levels_along, steepest_between,
};
use measure::{Interval, Metres, Slope, TrueHeading};
use slide::{Method, speed_profile};

/// Stations at which the speed along the slide is kept for drawing.
const SPEED_STATIONS: usize = 40;

/// Share of a lane along which levels must lie to count as taken along it (judgement).
const LEVELS_SHARE: f64 = 0.6;

/// How far to one side of a lane all levels may lie and still count, metres (judgement).
const LEVELS_BESIDE: f64 = 40.0;

/// How near to the aircraft's way a hazard lies that holds the lane where it is, metres (judgement: a
/// lane shifted by less is the same lane to a pilot).
pub(crate) const RULING: f64 = 0.5;

/// Everything that is the same for all lanes of one assessment.
pub(crate) struct Bench<'a> {
    pub(crate) strip: &'a Strip,
    pub(crate) aircraft: &'a Aircraft,
    pub(crate) settings: &'a Settings,
    pub(crate) situation: Situation,
    pub(crate) obstructions: Obstructions,
    pub(crate) margins: Margins,
    pub(crate) plane: Option<Plane>,
    /// The worst of the settings and of any two levels: what is reckoned with off the levels.
    pub(crate) steepest_known: Slope,
    /// Hazards as they are on the day, then obstacles, as the obstructions count them.
    pub(crate) standing: Vec<Hazard>,
    names: Vec<String>,
}

/// One lane with what later questions need.
pub(crate) struct Judged<'a> {
    pub(crate) patches: Vec<&'a crate::field::Patch>,
    pub(crate) lane: AssessedLane,
    pub(crate) stretch: Stretch,
    pub(crate) spread: Spread,
}

impl<'a> Bench<'a> {
    /// Sets everything up; `None` without an aircraft.
    pub(crate) fn new(inputs: &'a Inputs) -> Option<Self> {
        let Inputs { strip, aircraft, day, settings } = inputs;
        let aircraft = aircraft.as_ref()?;
        // The profile was built once when the aircraft was read, so it builds again.
        let profile = aircraft.profile(settings.bank_allowance_deg.to_radians()).ok()?;
        let allowance = ground::Allowance {
            half_width: inputs.half_width(),
            vertical_margin: measure::Height::m(settings.hazard_margin_m),
            bridged_opening: Metres::m(settings.bridged_opening_m),
        };
        let standing = standing(strip, day.as_ref());
        let hazard_names = strip.hazards.iter().map(|h| format!("{} {}", h.kind.name(), h.id));
        let obstacle_names = strip.obstacles.iter().map(|o| format!("{} {}", o.name, o.on_ground.id));
        Some(Self {
            names: hazard_names.chain(obstacle_names).collect(),
            strip,
            aircraft,
            settings,
            situation: Situation::new(strip, aircraft, day.as_ref(), settings),
            obstructions: Obstructions::new(&strip.outline, &standing, &profile, &allowance),
            margins: margins(settings),
            plane: Plane::fit(&strip.levels).ok(),
            steepest_known: Slope::ratio(settings.mean_slope_not_measured)
                .max(steepest_between(&strip.levels)),
            standing,
        })
    }

    /// Shortest interval that holds 95 % of the touchdowns: the pilot's own, or the default.
    pub(crate) fn scatter(&self) -> (Metres, Metres) {
        let default = (Metres::m(self.settings.scatter_short_m), Metres::m(self.settings.scatter_long_m));
        self.aircraft.scatter.map_or(default, |s| (s.short, s.long))
    }

    /// What is known of a slide on ground with this friction and slope, into this wind.
    pub(crate) fn spread(
        &self,
        friction: Interval<f64>,
        slope: Interval<Slope>,
        headwind: Interval<measure::Headwind>,
    ) -> Spread {
        let a = self.aircraft;
        Spread {
            friction,
            touchdown_factor: Interval::spanning(
                self.settings.touchdown_factor_low,
                self.settings.touchdown_factor_high,
            ),
            stall: a.stall,
            reference_mass: a.reference_mass,
            mass: self.situation.mass,
            wing_area: a.wing_area,
            lift: a.lift_coefficient,
            drag: a.drag_coefficient,
            thrust: a.idle_thrust,
            slope,
            headwind,
            gust_mps: self.situation.gust(),
            density: self.situation.density,
        }
    }

    /// A scatter that nobody measured could be as small as nothing.
    pub(crate) fn least_scatter(&self) -> Metres {
        let (short, long) = self.scatter();
        if self.aircraft.scatter.is_some() { short + long } else { Metres::ZERO }
    }

    /// Mean slope along a heading, uphill positive: of the levels where they were measured along the
    /// lane, else the worst of the settings and of what levels there are.
    pub(crate) fn slope(&self, heading: TrueHeading, measured: bool) -> Interval<Slope> {
        let not_measured = Interval::spanning(-self.steepest_known, self.steepest_known);
        let Some(plane) = self.plane else { return not_measured };
        let (mean, error) = (plane.slope_along(heading), plane.slope_error_along(heading));
        let of_levels = Interval::spanning(mean - error, mean + error);
        if measured { of_levels } else { of_levels.hull(not_measured) }
    }

    pub(crate) fn levels_looked_at(&self) -> bool {
        self.plane.is_some() && *self.strip.survey.of(SurveyKind::Levels) != Looked::Not
    }

    /// Whether levels were looked at and lie along most of a lane, not far to one side of it.
    fn measured_along(&self, lane: &Lane) -> bool {
        let share = levels_along(&self.strip.levels, lane, Metres::m(LEVELS_BESIDE));
        self.levels_looked_at() && share >= LEVELS_SHARE
    }

    /// Patches that a keel may touch on a lane, with the chainages.
    fn patches_under(&self, lane: &Lane) -> Vec<(&'a crate::field::Patch, Interval<Metres>)> {
        let under =
            |p: &crate::field::Patch| chainages_under(&self.obstructions, lane, &p.shape, p.position_sigma);
        self.strip.patches.iter().filter_map(|p| under(p).map(|span| (p, span))).collect()
    }

    /// Judges one stretch.
    pub(crate) fn judge(&self, stretch: &Stretch) -> Judged<'a> {
        let lane = stretch.lane;
        let patches = self.patches_under(&lane);
        let friction = self.situation.friction(self.strip.cover, patches.iter().map(|(p, _)| *p));
        let measured = self.measured_along(&lane);
        let headwind = self.situation.headwind(lane.heading, self.settings);
        let spread = self.spread(friction.range, self.slope(lane.heading, measured), headwind);
        let (longest, shortest) = (spread.longest(), spread.shortest());
        let (short, long) = self.scatter();
        let scatter = short + long;
        let earliest = self.margins.near;
        let end = self.margins.end_margin_at(stretch);
        let spare = longest.length.map(|demand| end - demand - earliest - scatter);

        let mut reasons = vec![self.length_reason(end - earliest, scatter, &longest, &shortest)];
        reasons.extend(self.crosswind_reason(lane.heading));
        reasons.extend(self.soft_reason(&patches));
        reasons.extend(self.recovery_reason(&longest));
        reasons.push(Reason::note(Code::FrictionLowEnd, Code::FrictionLowEnd.help()));
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
            demand_m: longest.length.map(Metres::to_m),
            demand_least_m: shortest.length.map(Metres::to_m),
            aim_m: (earliest + short).to_m(),
            latest_touchdown_m: longest.length.map(|demand| (end - demand).to_m()),
            scatter_m: scatter.to_m(),
            spare_m: spare.map(Metres::to_m),
            stops: longest.length.is_some(),
            headwind_mps: self.situation.given_headwind(lane.heading).map(measure::Headwind::to_mps),
            crosswind_mps: self.situation.gust_crosswind(lane.heading),
            slope_mean: self.plane.filter(|_| measured).map(|p| p.slope_along(lane.heading).to_ratio()),
            hazards: self.hazards_on(&lane),
            ruling_hazards: self.ruling(&lane),
            gains: Vec::new(),
            patches: patches.iter().map(|(p, span)| lane_patch(p, *span)).collect(),
            basis: basis(&longest, friction.source),
            slide_profile: speed_profile(&longest.conditions, longest.touchdown, SPEED_STATIONS)
                .into_iter()
                .map(|(s, v)| (s.to_m(), v.to_mps()))
                .collect(),
        };
        Judged {
            patches: patches.iter().map(|(p, _)| *p).collect(),
            lane: assessed,
            stretch: *stretch,
            spread,
        }
    }

    /// The window less the scatter, at the worst corner against its limit, or at the best if it fails.
    fn length_reason(&self, usable: Metres, scatter: Metres, longest: &Worked, shortest: &Worked) -> Reason {
        let spare = |demand: Metres, scatter: Metres| usable - demand - scatter;
        let least_scatter = self.least_scatter();
        let best = shortest.length.map(|demand| spare(demand, least_scatter));
        let hopeless = best.is_none_or(|best| best < Metres::ZERO);
        let failed = if hopeless { Verdict::DoesNotFit } else { Verdict::Unknown };
        let Some(demand) = longest.length else {
            return Reason::plain(Code::NeverStops, failed, Code::NeverStops.help());
        };
        let value = spare(demand, scatter);
        let limit = demand * self.settings.tight_spare_share;
        let verdict = if value < Metres::ZERO {
            failed
        } else if value < limit {
            Verdict::Tight
        } else {
            Verdict::Fits
        };
        Reason::held(Code::Spare, verdict, (value.to_m(), Sense::NotBelow, limit.to_m()), "m")
    }

    fn crosswind_reason(&self, heading: TrueHeading) -> Option<Reason> {
        let value = self.situation.gust_crosswind(heading)?.abs();
        if value == 0.0 {
            return None;
        }
        let Some(limit) = self.aircraft.crosswind_limit_mps else {
            return Some(Reason::plain(Code::CrosswindLimit, Verdict::Unknown, Code::CrosswindLimit.help()));
        };
        let close = limit * (1.0 - self.settings.tight_limit_share);
        let verdict = if value > limit {
            Verdict::DoesNotFit
        } else if value > close {
            Verdict::Tight
        } else {
            Verdict::Fits
        };
        Some(Reason::held(Code::Crosswind, verdict, (value, Sense::NotAbove, limit), "m/s"))
    }

    /// Whether it digs in is not worked out yet, so ground tested as soft is not landed on untold.
    fn soft_reason(&self, patches: &[(&crate::field::Patch, Interval<Metres>)]) -> Option<Reason> {
        let soft = |p: &crate::field::Patch| {
            p.heel_mark.is_some_and(|mark| mark.to_m() * 1000.0 >= self.settings.soft_heel_mark_mm)
        };
        let found: Vec<&str> = patches.iter().filter(|(p, _)| soft(p)).map(|(p, _)| p.id.as_str()).collect();
        let text = || format!("{} ({})", Code::SoftGround.help(), found.join(", "));
        (!found.is_empty()).then(|| Reason::plain(Code::SoftGround, Verdict::Unknown, text()))
    }

    /// A slide longer than the longest worked out says that something is not as it was given.
    fn recovery_reason(&self, longest: &Worked) -> Option<Reason> {
        let (recorded, worked) = (self.strip.longest_recovery?, longest.length?);
        let longer = recorded > worked;
        let held = (recorded.to_m(), Sense::NotAbove, worked.to_m());
        longer.then(|| Reason::held(Code::LongerRecovery, Verdict::Unknown, held, "m"))
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

    fn ruling(&self, lane: &Lane) -> Vec<String> {
        let holding = hazards_within(&self.obstructions, lane, Metres::m(RULING));
        holding.into_iter().filter_map(|thing| self.mark(thing)).collect()
    }

    /// The mark of a hazard or obstacle; an edge has none.
    pub(crate) fn mark(&self, thing: Thing) -> Option<String> {
        match thing {
            Thing::Edge { .. } => None,
            Thing::Hazard(index) => self.standing.get(index).map(|h| h.id.clone()),
        }
    }

    /// A thing's name as said to a person.
    fn thing_name(&self, thing: Thing) -> String {
        match thing {
            Thing::Edge { ring, edge } => {
                let kind = self.strip.outline.rings().get(ring).and_then(|r| r.edges.get(edge));
                let name = kind.map_or("edge", |k| k.name());
                if ring == 0 { name.to_owned() } else { format!("{name} of island {ring}") }
            }
            Thing::Hazard(index) => self.names.get(index).cloned().unwrap_or_default(),
        }
    }
}

/// Hazards and obstacles that stand there on the day: what was seen gone only later is still there.
fn standing(strip: &Strip, day: Option<&Day>) -> Vec<Hazard> {
    let mut hazards = strip.hazards.clone();
    if let Some(day) = day {
        for &(index, _) in strip.removed.iter().filter(|(_, on)| *on > day.date) {
            if let Some(h) = hazards.get_mut(index) {
                h.presence = Presence::Present;
            }
        }
    }
    hazards.extend(strip.obstacles.iter().map(|o| o.on_ground.clone()));
    hazards
}

fn margins(settings: &Settings) -> Margins {
    Margins {
        near: Metres::m(settings.near_margin_m),
        end: Metres::m(settings.end_margin_m),
        hard_end: Metres::m(settings.hard_end_margin_m),
    }
}

fn lane_patch(patch: &crate::field::Patch, span: Interval<Metres>) -> LanePatch {
    LanePatch {
        id: patch.id.clone(),
        from_m: span.low().to_m(),
        to_m: span.high().to_m(),
        heel_mark_m: patch.heel_mark.map(measure::Depth::to_m),
    }
}

fn basis(worked: &Worked, friction_source: String) -> Basis {
    let c = &worked.conditions;
    Basis {
        friction: c.surface.friction,
        friction_source,
        slope: c.surface.slope.to_ratio(),
        headwind_mps: c.headwind.to_mps(),
        density_kg_m3: c.density.to_kg_m3(),
        mass_kg: c.body.mass.to_kg(),
        lift_coefficient: c.body.lift_coefficient,
        drag_coefficient: c.body.drag_coefficient,
        idle_thrust_n: c.body.idle_thrust.to_n(),
        touchdown_airspeed_mps: worked.airspeed_mps,
        touchdown_ground_speed_mps: worked.touchdown.to_mps(),
        method: match worked.method {
            Method::ClosedForm => "closed form",
            Method::Integrated => "integrated",
        },
    }
}
