//! Things in the air path: trees, hedges, buildings, poles, wires, rising ground; each with what is known of its height.
//!
//! One list feeds two questions. As a hazard a thing keeps lanes clear of it ([`Obstacle::on_ground`]); as something
//! that stands it has to be passed over on the way in ([`crate::tall`]).
//!
//! Invariants: what grows is as large as it may be on the day; a wire meets whatever lies under it; what nobody measured
//! has no height, never none.

use crate::Settings;
use crate::error::BadRecord;
use crate::field::Context;
use crate::fields::{Marks, at_most, date, number, place, word};
use crate::record::{ObstacleKindRecord, ObstacleRecord, PlaceRecord};
use crate::survey::{SurveyKind, height_sigma, sigma_of};
use ground::{Hazard, HazardKind, Point, Presence, Relief, Shape};
use jiff::civil::Date;
use measure::{Height, Metres};
use std::ops::RangeInclusive;

/// Heights that an obstacle may have over its own ground, and over the datum, m. What is lower than the first stands in
/// nobody's air path: a height of nothing is a field that nobody filled in.
const OVER_GROUND: RangeInclusive<f64> = 0.1..=500.0;
const OVER_DATUM: RangeInclusive<f64> = -1000.0..=1000.0;

/// Supports nearer to each other than this are one, m (judgement).
const ONE_SUPPORT: f64 = 1.0;

/// Most points of one wire.
const MOST_SUPPORTS: usize = 1_000;

/// What is known of an obstacle's height.
#[derive(Clone, PartialEq, Debug)]
pub enum Top {
    /// Nobody measured it.
    NotMeasured,
    /// Above the datum.
    OverDatum(Metres),
    /// Over the ground that it stands on.
    OverGround(Metres),
    /// Of a wire, over the ground at each of its points in order.
    AlongWire(Vec<(Point, Metres)>),
}

/// A thing in the air path.
#[derive(Clone, PartialEq, Debug)]
pub struct Obstacle {
    /// Its mark.
    pub id: String,
    /// What it is.
    pub kind: ObstacleKindRecord,
    /// Where it is.
    pub shape: Shape,
    /// The line that it stands along, where it is one.
    pub line: Option<Vec<Point>>,
    /// Its size about that, with the crown, as surveyed.
    pub radius: Metres,
    /// Its height.
    pub top: Top,
    /// Standard deviation of each coordinate, and of the height.
    pub position_sigma: Metres,
    /// Standard deviation of the height.
    pub height_sigma: Metres,
    /// When it was surveyed.
    pub surveyed: Date,
    /// How far a wire was seen to hang; never counted.
    pub sag: Option<Metres>,
}

impl Obstacle {
    /// What it is, in a word.
    pub const fn name(&self) -> &'static str {
        self.kind.name()
    }

    /// Whether it is alive.
    pub const fn grows(&self) -> bool {
        matches!(
            self.kind,
            ObstacleKindRecord::Tree | ObstacleKindRecord::TreeRow | ObstacleKindRecord::Hedge
        )
    }

    /// How far it may have grown in height, and to each side, by a day.
    pub(crate) fn growth(&self, day: Option<Date>, settings: &Settings) -> (Metres, Metres) {
        let years =
            day.filter(|_| self.grows()).map_or(0.0, |day| crate::tall::years_between(self.surveyed, day));
        (Metres::m(years * settings.tree_growth_m), Metres::m(years * settings.crown_growth_m))
    }

    /// As the ground sees it on a day: what lanes keep clear of.
    pub(crate) fn on_ground(&self, day: Option<Date>, settings: &Settings) -> Hazard {
        let (up, aside) = self.growth(day, settings);
        let relief = match self.top {
            // Under a wire nothing slides, and what stands on a datum stands who knows how high over the ground there.
            Top::OverGround(height) if self.kind != ObstacleKindRecord::Wire => {
                Relief::Raised(Height::m((height + up).to_m()))
            }
            _ => Relief::NotMeasured,
        };
        Hazard {
            id: self.id.clone(),
            kind: HazardKind::Unidentified,
            shape: self.shape.clone(),
            radius: self.radius + aside,
            relief,
            position_sigma: self.position_sigma,
            height_sigma: self.height_sigma,
            presence: Presence::Present,
        }
    }
}

/// From its record; with it what of the record cannot be, so that the rest stands for it.
pub(crate) fn obstacle(
    path: &str,
    record: &ObstacleRecord,
    context: &Context,
    marks: &mut Marks,
) -> Result<(Obstacle, Option<BadRecord>), BadRecord> {
    let id = marks.unique(&format!("{path}.id"), &record.id)?;
    let path = format!("{path} ({id})");
    let wire = record.kind == ObstacleKindRecord::Wire;
    let lone = lone_support(record);
    let shape = match lone {
        Some((e, n)) => place(&format!("{path}.at"), &PlaceRecord::Point(e, n))?,
        None => place(&format!("{path}.at"), &record.at)?,
    };
    let (top, mismatch) = top(&path, record)?;
    let radius = number(&format!("{path}.radius_m"), record.radius_m, 0.0..=1000.0, "m")?;
    let how = record.how.unwrap_or_else(|| context.how(SurveyKind::Approaches));
    let middle = shape.label_point();
    let away = libm::hypot(middle.x, middle.y);
    let by_method = |stated: Option<f64>, sigma: f64| stated.unwrap_or(sigma);
    let position = by_method(record.pos_sigma_m, sigma_of(how, away, context.settings()));
    let height = by_method(record.height_sigma_m, height_sigma(how, tallest(record), context.settings()));
    let alone = lone.filter(|_| wire).map(|_| {
        let points = if let PlaceRecord::Line(list) = &record.at { list.len() } else { 1 };
        let found =
            if points > 1 { "a wire with all its supports at one place" } else { "a wire with one support" };
        BadRecord::field(
            &format!("{path}.at"),
            found,
            "a line through two supports or more; it is judged as a pole",
        )
    });
    let obstacle = Obstacle {
        kind: if alone.is_some() { ObstacleKindRecord::Pole } else { record.kind },
        shape,
        line: match &record.at {
            PlaceRecord::Line(list) if lone.is_none() && list.len() > 1 => {
                Some(list.iter().map(|&(x, y)| Point { x, y }).collect())
            }
            _ => None,
        },
        radius: Metres::m(radius),
        top,
        position_sigma: Metres::m(number(&format!("{path}.pos_sigma_m"), position, 0.0..=10_000.0, "m")?),
        height_sigma: Metres::m(number(&format!("{path}.height_sigma_m"), height, 0.0..=1000.0, "m")?),
        surveyed: date(&format!("{path}.surveyed"), &word(&format!("{path}.surveyed"), &record.surveyed)?)?,
        sag: record
            .sag_m
            .map(|sag| number(&format!("{path}.sag_m"), sag, 0.0..=200.0, "m").map(Metres::m))
            .transpose()?,
        id,
    };
    Ok((obstacle, alone.or(mismatch)))
}

/// The only support of a wire that has one, or all of them at one place.
fn lone_support(record: &ObstacleRecord) -> Option<(f64, f64)> {
    match (&record.kind, &record.at) {
        (ObstacleKindRecord::Wire, PlaceRecord::Point(e, n)) => Some((*e, *n)),
        (ObstacleKindRecord::Wire, PlaceRecord::Line(list)) => {
            let &(e, n) = list.first()?;
            let there = |&(x, y): &(f64, f64)| libm::hypot(x - e, y - n) < ONE_SUPPORT;
            list.iter().all(there).then_some((e, n))
        }
        _ => None,
    }
}

/// The greatest height told, for an accuracy that is a share of it.
fn tallest(record: &ObstacleRecord) -> f64 {
    let told = [record.top_m, record.height_m].into_iter().flatten();
    told.chain(record.heights_m.iter().copied()).map(f64::abs).fold(0.0, f64::max)
}

/// The height, from whichever field tells it; heights that do not belong to the points of the line count as not
/// measured, and why is told.
fn top(path: &str, record: &ObstacleRecord) -> Result<(Top, Option<BadRecord>), BadRecord> {
    let wire = record.kind == ObstacleKindRecord::Wire;
    let lone = lone_support(record).is_some();
    if !wire && (!record.heights_m.is_empty() || record.sag_m.is_some()) {
        return Err(BadRecord::field(path, "heights_m or sag_m", "these of a wire alone"));
    }
    let told = [record.top_m.is_some(), record.height_m.is_some(), !record.heights_m.is_empty()];
    if told.into_iter().filter(|&t| t).count() > 1 {
        let found = "more than one of top_m, height_m and heights_m";
        return Err(BadRecord::field(path, found, "one of them"));
    }
    if let Some(top) = record.top_m {
        let top = number(&format!("{path}.top_m"), top, OVER_DATUM, "m")?;
        return Ok((Top::OverDatum(Metres::m(top)), None));
    }
    if let Some(height) = record.height_m {
        let height = Metres::m(number(&format!("{path}.height_m"), height, OVER_GROUND, "m")?);
        let points = match &record.at {
            PlaceRecord::Line(points) if wire && !lone => points,
            _ => return Ok((Top::OverGround(height), None)),
        };
        // A wire hangs from its supports, wherever the ground lies between them.
        let points = points.iter().map(|&(x, y)| (Point { x, y }, height));
        return Ok((Top::AlongWire(points.collect()), None));
    }
    if record.heights_m.is_empty() {
        return Ok((Top::NotMeasured, None));
    }
    let field = format!("{path}.heights_m");
    at_most(&field, &record.heights_m, MOST_SUPPORTS)?;
    let heights = record.heights_m.iter().enumerate();
    let heights: Vec<Metres> = heights
        .map(|(i, &h)| number(&format!("{field}[{}]", i + 1), h, OVER_GROUND, "m").map(Metres::m))
        .collect::<Result<_, _>>()?;
    match &record.at {
        PlaceRecord::Line(points) if points.len() == heights.len() && !lone => {
            let points = points.iter().map(|&(x, y)| Point { x, y });
            Ok((Top::AlongWire(points.zip(heights).collect()), None))
        }
        PlaceRecord::Point(..) if heights.len() == 1 => Ok((Top::OverGround(heights[0]), None)),
        PlaceRecord::Line(points) if points.len() == heights.len() => {
            let highest = heights.into_iter().reduce(Metres::max);
            Ok((highest.map_or(Top::NotMeasured, Top::OverGround), None))
        }
        _ => {
            let many = if heights.len() == 1 { "" } else { "s" };
            let found = format!("{} height{many}", heights.len());
            let bad = BadRecord::field(
                &field,
                &found,
                "one for each point of the line; they count as not measured",
            );
            Ok((Top::NotMeasured, Some(bad)))
        }
    }
}
