//! What is the same for all lanes of one assessment, set up once: the field with what stands on and around it, the
//! aircraft, the day, and what is known of a slide along any line.
//!
//! Not here: what a lane is judged to be ([`crate::judge`]).

use crate::demand::{Look, Tails};
use crate::drift::Drifts;
use crate::grip::Grip;
use crate::keel_way::{KeelWay, Ways};
use crate::lane_ground::{LaneGround, Unknown};
use crate::scatter::Scatter;
use crate::situation::Situation;
use crate::sky;
use crate::spread::{Carried, Spread};
use crate::survey::{Looked, SurveyKind};
use crate::tall::{self, Tall};
use crate::terrain::Terrain;
use crate::{Aircraft, Day, Inputs, Settings, Strip, levels};
use ground::{
    HalfWidth, Hazard, Lane, Level, Margins, Obstructions, Plane, Presence, Sun, Surface, Thing,
    chainages_under, steepest_between,
};
use measure::{Interval, Metres, Newtons, Slope, TrueHeading};
use std::sync::Arc;

/// Everything that is the same for all lanes of one assessment.
pub(crate) struct Bench<'a> {
    pub(crate) strip: &'a Strip,
    pub(crate) aircraft: &'a Aircraft,
    pub(crate) settings: &'a Settings,
    pub(crate) situation: Situation,
    pub(crate) obstructions: Obstructions,
    pub(crate) margins: Margins,
    pub(crate) plane: Option<Plane>,
    pub(crate) surface: Option<Arc<Surface>>,
    /// How high the ground may lie, in the field and around it.
    pub(crate) terrain: Terrain,
    /// What stands up.
    pub(crate) tall: Vec<Tall>,
    /// Why breaklines do not count, if they do not, and heights that cannot be.
    pub(crate) left_out: Vec<String>,
    /// The worst of the settings and of any two levels: what is reckoned with off the levels.
    pub(crate) steepest_known: Slope,
    /// The sun at the planned time.
    pub(crate) sun: Option<Sun>,
    /// How closely slides are looked at.
    pub(crate) look: Look,
    /// How far slides drift, as far as it was asked for.
    pub(crate) drifts: Drifts,
    /// The keel's ways, as far as they were asked for.
    ways: Ways,
    /// The longest slides, as far as they were asked for.
    pub(crate) tails: Tails,
    /// Whether the pilot lands with the engine stopped.
    engine_stopped: bool,
    /// Hazards as they are on the day, then obstacles, as the obstructions count them.
    pub(crate) standing: Vec<Hazard>,
    /// Of hazards, obstacles, and patches that lanes keep off.
    names: Vec<String>,
}

impl<'a> Bench<'a> {
    /// Sets everything up; `None` without an aircraft.
    pub(crate) fn new(inputs: &'a Inputs, look: Look, drifts: Drifts) -> Option<Self> {
        let Inputs { strip, aircraft, day, settings } = inputs;
        let aircraft = aircraft.as_ref()?;
        // The profile was built once when the aircraft was read, so it builds again.
        let profile = aircraft.profile(settings.bank_allowance_deg.to_radians()).ok()?;
        let straight = HalfWidth::constant(Metres::m(settings.lane_half_width_m));
        let allowance = allowance(settings, straight);
        let date = day.as_ref().map(|d| d.date);
        let standing = standing(strip, day.as_ref(), settings);
        let whole = |b: &crate::Breakline| ground::Breakline { points: b.points().to_vec() };
        let all: Vec<ground::Breakline> = strip.breaklines.iter().map(whole).collect();
        let (around, left_out) = joined(&strip.levels, &all);
        let around = around.map(Arc::new);
        let near = levels::near(&strip.levels, &strip.outline);
        let parts = levels::parts_near(&strip.breaklines, &strip.outline);
        let all_near = near.len() == strip.levels.len() && parts == all;
        // What is wrong with breaklines was said of all of them.
        let surface = if all_near { around.clone() } else { joined(&near, &parts).0.map(Arc::new) };
        let plane = Plane::fit(&strip.field_levels).ok();
        let steepest_known = Slope::ratio(settings.mean_slope_not_measured)
            .max(steepest_between(levels::of_steepness(&near, &strip.levels)));
        let hazard_names = strip.hazards.iter().map(|h| format!("{} {}", h.kind.name(), h.id));
        let obstacle_names = strip.obstacles.iter().map(|o| format!("{} {}", o.name(), o.id));
        let patch_names = strip.patches.iter().map(|p| format!("patch {}", p.id));
        let mean = Slope::ratio(settings.mean_slope_not_measured);
        // The ground about the field may be steeper than the field.
        let with_all = [plane, Plane::fit(&strip.levels).ok()].into_iter().flatten();
        let steepest_mean = with_all.map(|p| p.steepest_bound()).fold(mean, Slope::max);
        let looked = *strip.survey.of(SurveyKind::Levels) != Looked::Not;
        let known = if looked { &strip.levels[..] } else { &[] };
        let terrain = Terrain::new(around.filter(|_| looked), known, steepest_mean);
        let slips = strip.obstacles.iter().filter_map(|o| tall::below_its_ground(o, &terrain));
        let left_out = left_out.into_iter().chain(slips).collect();
        Some(Self {
            tall: tall::all(strip, &standing, &terrain, date, settings),
            terrain,
            names: hazard_names.chain(obstacle_names).chain(patch_names).collect(),
            strip,
            aircraft,
            settings,
            situation: Situation::new(
                strip,
                aircraft,
                day.as_ref(),
                Interval::spanning(-steepest_known, steepest_known),
                settings,
            ),
            obstructions: Obstructions::new(&strip.outline, &standing, &profile, &allowance),
            margins: margins(settings),
            plane,
            surface,
            left_out,
            steepest_known,
            sun: sky::sun_of(inputs),
            look,
            drifts,
            ways: Ways::default(),
            tails: Tails::default(),
            engine_stopped: day.as_ref().is_some_and(|d| d.engine_stopped),
            standing,
        })
    }

    /// Everything that a lane can meet, had nothing grown since it was surveyed: growth is reckoned with, but nobody saw it.
    pub(crate) fn as_surveyed(&self) -> Obstructions {
        let hazards = self.standing.iter().take(self.strip.hazards.len()).cloned();
        let obstacles = self.strip.obstacles.iter().map(|o| o.on_ground(None, self.settings));
        let all: Vec<Hazard> = hazards.chain(obstacles).collect();
        let known = &self.obstructions;
        Obstructions::new(&self.strip.outline, &all, known.profile(), known.allowance())
    }

    /// Shortest interval that holds 95 % of the touchdowns: the pilot's own, or the default.
    pub(crate) fn scatter(&self) -> (Metres, Metres) {
        let Scatter { short, long, .. } = self.touchdowns();
        (short, long)
    }

    /// Where the pilot touches down about the aim.
    pub(crate) fn touchdowns(&self) -> Scatter {
        let settings = self.settings;
        self.aircraft.scatter.unwrap_or(Scatter {
            short: Metres::m(settings.scatter_short_m),
            long: Metres::m(settings.scatter_long_m),
            centre: Metres::ZERO,
        })
    }

    /// A scatter that nobody measured could be as small as nothing.
    pub(crate) fn least_scatter(&self) -> Metres {
        let (short, long) = self.scatter();
        if self.aircraft.scatter.is_some() { short + long } else { Metres::ZERO }
    }

    /// Why something of the records does not count, in words.
    pub(crate) fn all_left_out(&self) -> impl Iterator<Item = &String> {
        let of_air = self.situation.air.as_ref().and_then(|air| air.left_out.as_ref());
        self.situation.seen.left_out.iter().chain(&self.left_out).chain(of_air)
    }

    /// What is known of a slide on this ground, into this wind; `seen` where levels lie so close that they
    /// show every crest.
    pub(crate) fn spread(
        &self,
        ground: LaneGround,
        headwind: Interval<measure::Headwind>,
        seen: bool,
    ) -> Spread {
        let (a, settings) = (self.aircraft, self.settings);
        let mut spread = Spread {
            ground,
            touchdown_factor: Interval::spanning(
                settings.touchdown_factor_low,
                settings.touchdown_factor_high,
            ),
            stall: a.stall,
            stall_share: settings.stall_sigma,
            reference_mass: a.reference_mass,
            mass: self.situation.mass,
            mass_share: settings.mass_sigma,
            wing_area: a.wing_area,
            lift: a.lift_coefficient,
            drag: a.drag_coefficient,
            thrust: if self.engine_stopped { Interval::exact(Newtons::ZERO) } else { a.idle_thrust },
            headwind,
            wind: None,
            gust_mps: self.situation.gust(),
            density: self.situation.density,
            carried: self.carried(seen),
        };
        spread.carried.glide = libm::tan(self.glide(&spread).high());
        spread
    }

    /// What is known of a slide along a lane.
    pub(crate) fn spread_on(&self, lane: &Lane, way: &KeelWay) -> Spread {
        let headwind = self.situation.headwind(lane.heading);
        let ground = self.ground_on(&self.situation, self.strip.cover, lane, way);
        Spread { wind: self.situation.along(lane.heading), ..self.spread(ground, headwind, way.seen) }
    }

    fn carried(&self, seen: bool) -> Carried {
        let settings = self.settings;
        let crest_height = if seen { 0.0 } else { settings.unseen_crest_m };
        Carried {
            settling: settings.lift_settling_s,
            glide: 0.0,
            bounce_from: settings.bounce_sink_mps,
            bounce_share: settings.bounce_share,
            crest_length: if crest_height > 0.0 { self.keel() } else { Metres::ZERO },
            crest_height: Metres::m(crest_height),
        }
    }

    /// Length of keel that rests on even ground.
    pub(crate) fn keel(&self) -> Metres {
        self.aircraft.keel_length.unwrap_or(Metres::m(self.settings.keel_length_m))
    }

    /// Friction of the field outside its patches.
    pub(crate) fn field_grip(&self) -> Grip {
        self.situation.grip(self.strip.cover, None)
    }

    /// Friction of a patch.
    pub(crate) fn patch_grip(&self, patch: &crate::field::Patch) -> Grip {
        self.situation.grip(patch.cover.or(self.strip.cover), Some(patch))
    }

    /// The steepest that is reckoned with where no levels reach.
    pub(crate) fn unknown(&self) -> Unknown {
        Unknown { steepest: self.steepest_known }
    }

    /// The ground of one lane, with its patches, were its cover and state as said.
    pub(crate) fn ground_on(
        &self,
        situation: &Situation,
        cover: Option<slide::Cover>,
        lane: &Lane,
        way: &KeelWay,
    ) -> LaneGround {
        let grip = |(patch, span): (&crate::field::Patch, Interval<Metres>)| {
            (span, situation.grip(patch.cover.or(cover), Some(patch)))
        };
        let under: Vec<(Interval<Metres>, Grip)> = self.patches_under(lane).into_iter().map(grip).collect();
        LaneGround::new(&way.known, self.unknown(), &situation.grip(cover, None), &under)
    }

    /// The keel's way along a lane, where levels were looked at.
    pub(crate) fn way(&self, lane: &Lane) -> Arc<KeelWay> {
        let surface = self.surface.as_deref().filter(|_| self.levels_looked_at());
        let usable = (self.margins.near, lane.length - self.margins.end);
        let way = |s| KeelWay::new(s, self.plane.as_ref(), lane, self.keel(), self.steepest_known, usable);
        surface.map_or_else(Arc::default, |surface| self.ways.of(lane, || way(surface)))
    }

    /// Mean slope along a heading, uphill positive, as ranking lanes takes it: of the levels where they were
    /// measured along the lane, else the worst of the settings and of what levels there are.
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

    /// Chainages at which a keel may touch a patch, with a half-width on a lane.
    pub(crate) fn chainages_on(
        &self,
        patch: &crate::field::Patch,
        lane: &Lane,
        half_width: &HalfWidth,
    ) -> Option<Interval<Metres>> {
        chainages_under(&self.obstructions, lane, &patch.shape, patch.position_sigma, half_width)
    }

    /// Patches that a keel may touch on a lane, with the chainages.
    pub(crate) fn patches_under(&self, lane: &Lane) -> Vec<(&'a crate::field::Patch, Interval<Metres>)> {
        let straight = &self.obstructions.allowance().half_width;
        let under = |p| self.chainages_on(p, lane, straight);
        self.strip.patches.iter().filter_map(|p| under(p).map(|span| (p, span))).collect()
    }

    /// The mark of a hazard or obstacle; an edge has none.
    pub(crate) fn mark(&self, thing: Thing) -> Option<String> {
        match thing {
            Thing::Edge { .. } => None,
            Thing::Hazard(index) => self.standing.get(index).map(|h| h.id.clone()),
        }
    }

    /// A thing's name as said to a person.
    pub(crate) fn thing_name(&self, thing: Thing) -> String {
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
fn standing(strip: &Strip, day: Option<&Day>, settings: &Settings) -> Vec<Hazard> {
    let mut hazards = strip.hazards.clone();
    if let Some(day) = day {
        for &(index, _) in strip.removed.iter().filter(|(_, on)| *on > day.date) {
            if let Some(h) = hazards.get_mut(index) {
                h.presence = Presence::Present;
            }
        }
    }
    let date = day.map(|d| d.date);
    hazards.extend(strip.obstacles.iter().map(|o| o.on_ground(date, settings)));
    hazards
}

/// Levels and breaklines joined; breaklines that cannot be are left out and said so.
fn joined(levels: &[Level], breaklines: &[ground::Breakline]) -> (Option<Surface>, Option<String>) {
    match Surface::new(levels, breaklines) {
        Ok(surface) => (Some(surface), None),
        // Without breaklines the levels' own fault was said where the strip was read.
        Err(_) if breaklines.is_empty() => (None, None),
        Err(why) => (Surface::new(levels, &[]).ok(), Some(format!("breaklines: {why}"))),
    }
}

fn allowance(settings: &Settings, half_width: HalfWidth) -> ground::Allowance {
    ground::Allowance {
        half_width,
        vertical_margin: measure::Height::m(settings.hazard_margin_m),
        bridged_opening: Metres::m(settings.bridged_opening_m),
    }
}

fn margins(settings: &Settings) -> Margins {
    Margins {
        near: Metres::m(settings.near_margin_m),
        end: Metres::m(settings.end_margin_m),
        hard_end: Metres::m(settings.hard_end_margin_m),
    }
}
