//! Everything that stands up and may have to be passed over on the way in: obstacles, edges with a height, what stands
//! on the ground of the field.
//!
//! Invariants: where levels were taken, a height over a thing's own ground counts from the highest that this ground may
//! be; else it is over ground that may lie as much higher than the touchdown as the slope allows that is reckoned with.
//! A wire is as high as the higher support of each span, whatever it sags; what nobody measured has no height that
//! clears it. What is long is taken apart, so that each part has its own ground.
//!
//! Not here: which touchdowns that leaves ([`crate::approach`]); what lanes keep clear of (crate `ground`).

use crate::caveat::months_between;
use crate::obstacle::{Obstacle, Top};
use crate::record::ObstacleKindRecord;
use crate::survey::{Looked, SurveyKind};
use crate::terrain::Terrain;
use crate::{Settings, Strip};
use ground::sag::{Form, Hanging, Span};
use ground::{Abeam, EdgeKind, Hazard, Lane, Point, Presence, Relief, Shape, Thing};
use jiff::civil::Date;
use measure::{CIRCLE_95, Interval, Metres, ONE_SIDED_95};
use rayon::prelude::*;

/// Months in a year.
const MONTHS: f64 = 12.0;

/// Longest part of an edge or a row, m (judgement: over it the ground differs by less than the margins).
const LONGEST_PART: f64 = 25.0;

/// What is asked over a thing beyond its height as surveyed.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Asked {
    /// Kept in any case, where it stands before the lane.
    pub(crate) fixed: Metres,
    /// The same beside the lane or on it, which is clear for the slide by itself.
    pub(crate) on_lane: Metres,
    /// May have grown since.
    pub(crate) growth: Metres,
    /// Accuracy of the height at 95 %.
    pub(crate) accuracy: Metres,
}

/// How high something is.
#[derive(Clone, PartialEq, Debug)]
pub(crate) enum Height {
    /// Nobody measured it.
    NotMeasured,
    /// Above the datum, from the lowest to the highest that its ground may lie.
    OverDatum(Interval<Metres>),
    /// Over its own ground, wherever it stands.
    OverGround(Metres),
    /// Over the ground at the two ends of a span.
    OverSupports([(Point, Metres); 2]),
}

impl Height {
    /// Heights over ground that nobody levelled, each with how far from the lane's centre line or along the lane that
    /// ground may lie; `None` where the height is not over such ground.
    pub(crate) fn over_own_ground(&self, lane: &Lane, abeam: &Abeam) -> Option<[(Metres, Metres); 2]> {
        match self {
            Self::NotMeasured | Self::OverDatum(_) => None,
            Self::OverGround(height) => {
                let aside = abeam.offsets();
                Some([(*height, aside.high().abs().max(aside.low().abs())); 2])
            }
            Self::OverSupports(ends) => Some(ends.map(|(foot, height)| {
                let along = abeam.chainages();
                let (chainage, offset) = lane.seen_from(foot);
                let away = (along.high() - chainage).abs().max((chainage - along.low()).abs());
                (height, offset.abs() + away)
            })),
        }
    }
}

/// A thing that stands up.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Tall {
    pub(crate) thing: Thing,
    pub(crate) shape: Shape,
    /// Its size about the shape as surveyed, and with accuracy and crown.
    pub(crate) radius: Metres,
    pub(crate) grown: Metres,
    pub(crate) asked: Asked,
    pub(crate) height: Height,
    /// Span of a wire that was seen to hang; shown, never counted.
    pub(crate) hanging: Option<HangingSpan>,
}

/// Heights over the ground at both ends of a span of wire, and how far it was seen to hang between them.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct HangingSpan {
    pub(crate) ends: [(Point, Metres); 2],
    pub(crate) sag: Metres,
}

impl HangingSpan {
    /// How far below its higher end it hangs where it crosses a lane's centre line, or at the end nearer to it.
    pub(crate) fn below_at(&self, lane: &Lane) -> Option<Metres> {
        let [(a, first), (b, second)] = self.ends;
        let (from, to) = (lane.seen_from(a).1, lane.seen_from(b).1);
        let share = if from == to { 0.5 } else { (from / (from - to)).clamp(0.0, 1.0) };
        let length = Metres::m(libm::hypot(b.x - a.x, b.y - a.y));
        let wire = Hanging::of_sag(Form::Catenary, Span { length, rise: second - first }, self.sag).ok()?;
        Some(first.max(second) - (first - wire.drop_at(length * share)))
    }
}

/// Years between two dates; none backwards.
pub(crate) fn years_between(from: Date, to: Date) -> f64 {
    (months_between(from, to) / MONTHS).max(0.0)
}

/// All of them: edges, hazards that stand there on the day, obstacles.
pub(crate) fn all(
    strip: &Strip,
    standing: &[Hazard],
    terrain: &Terrain,
    day: Option<Date>,
    settings: &Settings,
) -> Vec<Tall> {
    let make = Make { terrain, day, settings };
    let hazards = standing.iter().enumerate().take(strip.hazards.len());
    let hazards = hazards.filter_map(|(i, h)| make.hazard(Thing::Hazard(i), h));
    let of = |(i, o)| make.obstacle(Thing::Hazard(strip.hazards.len() + i), o);
    let obstacles: Vec<Vec<Tall>> = strip.obstacles.par_iter().enumerate().map(of).collect();
    let obstacles = obstacles.into_iter().flatten();
    make.edges(strip).into_iter().chain(hazards).chain(obstacles).collect()
}

/// What is wrong with an obstacle whose top lies below its own ground: that is a slip, and what it should be nobody knows.
pub(crate) fn below_its_ground(o: &Obstacle, terrain: &Terrain) -> Option<String> {
    let Top::OverDatum(top) = o.top else { return None };
    let ground = ground_above(&o.shape, top, terrain)?;
    Some(format!(
        "{} {}: found a top {:.1} m over the datum, expected one above the ground there, {:.1} m or more; its height \
         counts as not measured",
        o.name(),
        o.id,
        top.to_m(),
        ground.to_m()
    ))
}

/// The lowest that the ground under a shape's corners may lie, if a top does not stand above it.
fn ground_above(shape: &Shape, top: Metres, terrain: &Terrain) -> Option<Metres> {
    let lowest = shape.corners().map(|corner| terrain.at(corner).low()).reduce(Metres::min);
    lowest.filter(|ground| top <= *ground)
}

struct Make<'a> {
    terrain: &'a Terrain,
    day: Option<Date>,
    settings: &'a Settings,
}

/// Size about a shape: as surveyed, and what accuracy and growth add.
type Size = (Metres, Metres);

impl Make<'_> {
    fn edges(&self, strip: &Strip) -> Vec<Tall> {
        let surveyed = match strip.survey.of(SurveyKind::Outline) {
            Looked::Yes { on, .. } => Some(*on),
            Looked::Not => None,
        };
        let years = surveyed.zip(self.day).map_or(0.0, |(on, day)| years_between(on, day));
        let mut out = Vec::new();
        for (ring, r) in strip.outline.rings().iter().enumerate() {
            for (edge, &kind) in r.edges.iter().enumerate() {
                let (a, b) = (r.corners[edge], r.corners[(edge + 1) % r.corners.len()]);
                let (height, share) = match kind {
                    // As high as traffic at the worst, empty at the best.
                    EdgeKind::Road => (Metres::m(self.settings.road_traffic_m / 2.0), 1.0 / ONE_SIDED_95),
                    _ => (Metres::m(kind.height().to_m()), r.height_share),
                };
                if height <= Metres::ZERO {
                    continue;
                }
                let grows = if matches!(kind, EdgeKind::Hedge(_)) { years } else { 0.0 };
                let asked =
                    self.low(Metres::m(grows * self.settings.tree_growth_m), height * (share * ONE_SIDED_95));
                let size = (Metres::ZERO, a.sigma.max(b.sigma) * CIRCLE_95);
                let thing = Thing::Edge { ring, edge };
                let parts = parts(&[a.at, b.at]);
                out.extend(parts.into_iter().map(|part| self.standing(thing, part, size, asked, height)));
            }
        }
        out
    }

    fn hazard(&self, thing: Thing, h: &Hazard) -> Option<Tall> {
        let height = match h.relief {
            Relief::Raised(height) => Metres::m(height.to_m()),
            Relief::NotMeasured => Metres::m(self.settings.unmeasured_hazard_m / 2.0),
            Relief::Sunk(_) => return None,
        };
        // Not measured it is as high as the settings say at the worst, and nothing at the best.
        let accuracy = if h.relief == Relief::NotMeasured { height } else { h.height_sigma * ONE_SIDED_95 };
        // What lies on the field beside the lane asks for no more than the slide does.
        let on_lane = Metres::m(self.settings.hazard_margin_m);
        let asked = Asked { on_lane, ..self.low(Metres::ZERO, accuracy) };
        let size = (h.radius, h.position_sigma * CIRCLE_95);
        (h.presence == Presence::Present).then(|| self.standing(thing, h.shape.clone(), size, asked, height))
    }

    /// What low things ask for.
    fn low(&self, growth: Metres, accuracy: Metres) -> Asked {
        let fixed = Metres::m(self.settings.low_margin_m);
        Asked { fixed, on_lane: fixed, growth, accuracy }
    }

    fn obstacle(&self, thing: Thing, o: &Obstacle) -> Vec<Tall> {
        let (up, aside) = o.growth(self.day, self.settings);
        let fixed = Metres::m(match o.kind {
            ObstacleKindRecord::Wire => self.settings.wire_margin_m,
            ObstacleKindRecord::Hedge => self.settings.low_margin_m,
            _ => self.settings.obstacle_margin_m,
        });
        let asked = Asked { fixed, on_lane: fixed, growth: up, accuracy: o.height_sigma * ONE_SIDED_95 };
        let size = (o.radius, o.position_sigma * CIRCLE_95 + aside);
        let (radius, grown) = (size.0, size.0 + size.1);
        let one = |shape, height| Tall { thing, shape, radius, grown, asked, height, hanging: None };
        match &o.top {
            Top::NotMeasured => vec![one(o.shape.clone(), Height::NotMeasured)],
            Top::OverDatum(top) => vec![one(o.shape.clone(), self.over_datum(&o.shape, *top))],
            Top::OverGround(height) => {
                let shapes = o.line.as_deref().map_or_else(|| vec![o.shape.clone()], parts);
                shapes.into_iter().map(|shape| self.standing(thing, shape, size, asked, *height)).collect()
            }
            Top::AlongWire(points) => {
                let spans = points
                    .windows(2)
                    .filter_map(|w| Some((Shape::line(&[w[0].0, w[1].0]).ok()?, [w[0], w[1]])));
                let hanging = |ends| o.sag.map(|sag| HangingSpan { ends, sag });
                let span =
                    |(shape, ends)| Tall { hanging: hanging(ends), ..one(shape, self.over_supports(ends)) };
                spans.map(span).collect()
            }
        }
    }

    fn over_datum(&self, shape: &Shape, top: Metres) -> Height {
        let slip = ground_above(shape, top, self.terrain).is_some();
        if slip { Height::NotMeasured } else { Height::OverDatum(Interval::exact(top)) }
    }

    fn over_supports(&self, ends: [(Point, Metres); 2]) -> Height {
        if !self.terrain.is_levelled() {
            return Height::OverSupports(ends);
        }
        let [a, b] = ends.map(|(foot, height)| self.terrain.at(foot).map_growing(|ground| ground + height));
        Height::OverDatum(Interval::spanning(a.low().max(b.low()), a.high().max(b.high())))
    }

    /// Something as high over its own ground wherever it stands.
    fn standing(&self, thing: Thing, shape: Shape, size: Size, asked: Asked, height: Metres) -> Tall {
        let (radius, grown) = (size.0, size.0 + size.1);
        let ground = shape.corners().map(|corner| self.terrain.at(corner)).reduce(Interval::hull);
        // Within an area, and about a point, it may lie higher than at the corners.
        let bump = self.terrain.rise_over(inner_reach(&shape) + size.0);
        let height = match ground.filter(|_| self.terrain.is_levelled()) {
            Some(ground) => {
                Height::OverDatum(Interval::spanning(ground.low() + height, ground.high() + bump + height))
            }
            None => Height::OverGround(height),
        };
        Tall { thing, shape, radius, grown, asked, height, hanging: None }
    }
}

/// How far a place within an area may be from its nearest corner, at most; nothing for a point or a line.
fn inner_reach(shape: &Shape) -> Metres {
    if shape.triangles().is_empty() {
        return Metres::ZERO;
    }
    let middle = shape.label_point();
    let away = |p: Point| Metres::m(libm::hypot(p.x - middle.x, p.y - middle.y));
    shape.corners().map(away).fold(Metres::ZERO, Metres::max)
}

/// A line in parts that are not long.
fn parts(line: &[Point]) -> Vec<Shape> {
    let of_span = |span: &[Point]| {
        let (a, b) = (span[0], span[1]);
        let count = (libm::hypot(b.x - a.x, b.y - a.y) / LONGEST_PART).ceil().max(1.0) as usize;
        let at = move |i: usize| {
            let share = i as f64 / count as f64;
            Point { x: a.x + share * (b.x - a.x), y: a.y + share * (b.y - a.y) }
        };
        (0..count).filter_map(move |i| Shape::line(&[at(i), at(i + 1)]).ok())
    };
    line.windows(2).flat_map(of_span).collect()
}
