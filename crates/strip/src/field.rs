//! A strip, valid: what `assess` is given. Made from a record by [`Strip::new`].
//!
//! Invariants: every number is finite and in range, marks are unique, shapes are simple, and what the
//! record left out carries the accuracy of the survey's method.

use crate::Settings;
use crate::error::BadRecord;
use crate::fields::{Marks, at_most, date, number, place, point, positive, word};
use crate::obstacle::{Obstacle, obstacle};
use crate::record::{
    AccessRecord, CornerRecord, CoverRecord, EdgeRecord, HazardKindRecord, HazardRecord, HazardStateRecord,
    PatchRecord, PlaceRecord, RecoveryRecord, ReviewRecord, ReviewStatus, StripRecord,
};
use crate::survey::{Survey, SurveyKind, height_sigma, sigma_of};
use ground::{
    Corner, Datum, EdgeKind, Hazard, HazardKind, Level, MOST_CORNERS, Outline, Presence, Relief, Ring, Shape,
};
use jiff::civil::Date;
use measure::{Depth, Height, Metres};
use slide::Cover;

/// Most hazards, and most corners of all hazards and patches together.
const MOST_HAZARDS: usize = 10_000;
const MOST_SHAPE_CORNERS: usize = 20_000;
const MOST_PATCHES: usize = 1_000;
const MOST_LEVELS: usize = 100_000;
const MOST_ENTRIES: usize = 10_000;

/// An area with its own cover and strength.
#[derive(Clone, PartialEq, Debug)]
pub struct Patch {
    /// Its mark.
    pub id: String,
    /// Where it is.
    pub shape: Shape,
    /// Standard deviation of its corners.
    pub position_sigma: Metres,
    /// Its cover, where it differs from the rest.
    pub cover: Option<Cover>,
    /// Wet on every day.
    pub always_wet: bool,
    /// Depth of a heel's mark, where the ground was tested.
    pub heel_mark: Option<Depth>,
}

/// A strip.
#[derive(Clone, PartialEq, Debug)]
pub struct Strip {
    /// Its mark.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Where its frame hangs.
    pub datum: Datum,
    /// What was looked at.
    pub survey: Survey,
    /// Ground that may be slid on.
    pub outline: Outline,
    /// Things on the ground.
    pub hazards: Vec<Hazard>,
    /// Cover outside patches, where known.
    pub cover: Option<Cover>,
    /// Areas of their own.
    pub patches: Vec<Patch>,
    /// Reduced levels.
    pub levels: Vec<Level>,
    /// Things in the air path.
    pub obstacles: Vec<Obstacle>,
    /// Hazards confirmed as gone, by their index, and the date on which that was seen.
    pub removed: Vec<(usize, Date)>,
    /// The last word of the review.
    pub review: Option<ReviewStatus>,
    /// The longest slide recorded here, from touchdown to rest.
    pub longest_recovery: Option<Metres>,
}

impl Strip {
    /// From its record; the settings give the accuracy of each survey method.
    ///
    /// # Errors
    /// [`BadRecord`] for the first field that is not valid.
    pub fn new(record: &StripRecord, settings: &Settings) -> Result<Self, BadRecord> {
        let survey = Survey::new(&record.survey)?;
        let mut marks = Marks::default();
        let datum = Datum {
            latitude_deg: number("datum.lat_deg", record.datum.lat_deg, -89.0..=89.0, "degrees")?,
            longitude_deg: number("datum.lon_deg", record.datum.lon_deg, -180.0..=180.0, "degrees")?,
            height: Metres::m(number("datum.height_m", record.datum.height_m, -500.0..=6000.0, "m")?),
        };
        check_shapes(record)?;
        let context = Context { survey: &survey, settings };
        let hazards = numbered("hazards", &record.hazards, |path, h| context.hazard(path, h, &mut marks))?;
        let patches = numbered("patches", &record.patches, |path, p| context.patch(path, p, &mut marks))?;
        let obstacles =
            numbered("obstacles", &record.obstacles, |path, o| obstacle(path, o, &context, &mut marks))?;
        let reviews = numbered("review", &record.review, review)?;
        let recoveries = numbered("recoveries", &record.recoveries, recovery)?;
        let removed = numbered("hazards", &record.hazards, removed_on)?;
        record.access.as_ref().map_or(Ok(()), access)?;
        let levels = numbered("levels", &record.levels, |path, l| {
            Ok(Level {
                at: point(path, (l.e, l.n))?,
                height: Metres::m(number(&format!("{path}.z"), l.z, -1000.0..=1000.0, "m")?),
                sigma: Metres::m(number(&format!("{path}.sigma_m"), l.sigma_m, 0.0..=100.0, "m")?),
            })
        })?;
        Ok(Self {
            id: word("id", &record.id)?,
            name: word("name", &record.name)?,
            datum,
            outline: context.outline(record)?,
            hazards,
            cover: record.cover.map(cover),
            patches,
            levels,
            obstacles,
            removed: removed.into_iter().enumerate().filter_map(|(i, on)| Some((i, on?))).collect(),
            // The latest; of two on one day the one that stands later in the list.
            review: reviews.into_iter().max_by_key(|&(on, _)| on).map(|(_, status)| status),
            longest_recovery: recoveries.into_iter().reduce(Metres::max),
            survey,
        })
    }
}

/// Applies a conversion to each entry, with its path counted from 1.
fn numbered<R, T>(
    list: &str,
    records: &[R],
    mut convert: impl FnMut(&str, &R) -> Result<T, BadRecord>,
) -> Result<Vec<T>, BadRecord> {
    records.iter().enumerate().map(|(i, r)| convert(&format!("{list}[{}]", i + 1), r)).collect()
}

/// Bounds the work before any shape is built.
fn check_shapes(record: &StripRecord) -> Result<(), BadRecord> {
    at_most("hazards", &record.hazards, MOST_HAZARDS)?;
    at_most("patches", &record.patches, MOST_PATCHES)?;
    at_most("levels", &record.levels, MOST_LEVELS)?;
    at_most("obstacles", &record.obstacles, MOST_ENTRIES)?;
    at_most("review", &record.review, MOST_ENTRIES)?;
    at_most("recoveries", &record.recoveries, MOST_ENTRIES)?;
    let of_place = |p: &PlaceRecord| match p {
        PlaceRecord::Point(..) => 1,
        PlaceRecord::Line(list) | PlaceRecord::Area(list) => list.len(),
    };
    let corners: usize = record.hazards.iter().map(|h| of_place(&h.at)).sum::<usize>()
        + record.patches.iter().map(|p| p.area.len()).sum::<usize>();
    if corners > MOST_SHAPE_CORNERS {
        let expected = format!("at most {MOST_SHAPE_CORNERS} in all hazards and patches");
        return Err(BadRecord::field("hazards", &format!("{corners} corners"), &expected));
    }
    Ok(())
}

/// What the conversion of every part needs.
pub(crate) struct Context<'a> {
    survey: &'a Survey,
    settings: &'a Settings,
}

impl Context<'_> {
    /// Stated accuracy, or that of the method for this distance.
    pub(crate) fn sigma(
        &self,
        path: &str,
        stated: Option<f64>,
        kind: SurveyKind,
        length: f64,
    ) -> Result<Metres, BadRecord> {
        let sigma = stated.unwrap_or_else(|| sigma_of(self.survey.how(kind), length, self.settings));
        number(path, sigma, 0.0..=10_000.0, "m").map(Metres::m)
    }

    fn outline(&self, record: &StripRecord) -> Result<Outline, BadRecord> {
        let outer = self.ring("outline", &record.outline.corners, &record.outline.edges)?;
        let islands = numbered("outline.islands", &record.outline.islands, |path, r| {
            self.ring(path, &r.corners, &r.edges)
        })?;
        Outline::new(outer, islands).map_err(|bad| {
            let path =
                if bad.ring == 0 { "outline".to_owned() } else { format!("outline.islands[{}]", bad.ring) };
            BadRecord::told(&path, &bad.problem)
        })
    }

    fn ring(&self, path: &str, corners: &[CornerRecord], edges: &[EdgeRecord]) -> Result<Ring, BadRecord> {
        at_most(&format!("{path}.corners"), corners, MOST_CORNERS)?;
        let corners = numbered(&format!("{path}.corners"), corners, |path, c| {
            let at = point(path, (c.e, c.n))?;
            let away = libm::hypot(at.x, at.y);
            let sigma = self.sigma(&format!("{path}.sigma_m"), c.sigma_m, SurveyKind::Outline, away)?;
            Ok(Corner { at, sigma })
        })?;
        let edges = numbered(&format!("{path}.edges"), edges, |path, &e| edge(path, e))?;
        let height_share = height_sigma(self.survey.how(SurveyKind::Outline), 1.0, self.settings);
        Ok(Ring { corners, edges, height_share })
    }

    fn hazard(&self, path: &str, record: &HazardRecord, marks: &mut Marks) -> Result<Hazard, BadRecord> {
        let id = marks.unique(&format!("{path}.id"), &record.id)?;
        let path = format!("{path} ({id})");
        let shape = place(&format!("{path}.at"), &record.at)?;
        let radius_path = format!("{path}.radius_m");
        let radius = match record.at {
            PlaceRecord::Point(..) => positive(&radius_path, record.radius_m, 500.0, "m")?,
            PlaceRecord::Line(_) | PlaceRecord::Area(_) => {
                number(&radius_path, record.radius_m, 0.0..=500.0, "m")?
            }
        };
        let middle = shape.label_point();
        let away = libm::hypot(middle.x, middle.y);
        let pos_path = format!("{path}.pos_sigma_m");
        let relief = relief(&path, record)?;
        let tall = if let Relief::Raised(h) = relief { h.to_m() } else { 0.0 };
        let by_method = || height_sigma(self.survey.how(SurveyKind::Hazards), tall, self.settings);
        let height_sigma = record.height_sigma_m.unwrap_or_else(by_method);
        Ok(Hazard {
            kind: HazardKind::from(record.kind),
            shape,
            radius: Metres::m(radius),
            relief,
            position_sigma: self.sigma(&pos_path, record.pos_sigma_m, SurveyKind::Hazards, away)?,
            height_sigma: Metres::m(number(
                &format!("{path}.height_sigma_m"),
                height_sigma,
                0.0..=100.0,
                "m",
            )?),
            presence: match record.state {
                HazardStateRecord::Present => Presence::Present,
                HazardStateRecord::Removed { .. } => Presence::Removed,
            },
            id,
        })
    }

    fn patch(&self, path: &str, record: &PatchRecord, marks: &mut Marks) -> Result<Patch, BadRecord> {
        let id = marks.unique(&format!("{path}.id"), &record.id)?;
        let path = format!("{path} ({id})");
        let shape = place(&format!("{path}.area"), &PlaceRecord::Area(record.area.clone()))?;
        let middle = shape.label_point();
        let away = libm::hypot(middle.x, middle.y);
        let heel_mark = record.strength.map(|crate::record::StrengthRecord::HeelTest { mm }| {
            number(&format!("{path}.strength.mm"), mm, 0.0..=500.0, "mm").map(|mm| Depth::m(mm / 1000.0))
        });
        Ok(Patch {
            id,
            shape,
            position_sigma: self.sigma(&path, None, SurveyKind::Ground, away)?,
            cover: record.cover.map(cover),
            always_wet: record.always_wet,
            heel_mark: heel_mark.transpose()?,
        })
    }
}

fn edge(path: &str, record: EdgeRecord) -> Result<EdgeKind, BadRecord> {
    let tall = |value| positive(path, value, 100.0, "m").map(Height::m);
    Ok(match record {
        EdgeRecord::Open => EdgeKind::Open,
        EdgeRecord::Fence(h) => EdgeKind::Fence(tall(h)?),
        EdgeRecord::Hedge(h) => EdgeKind::Hedge(tall(h)?),
        EdgeRecord::Wall(h) => EdgeKind::Wall(tall(h)?),
        EdgeRecord::Ditch(d) => EdgeKind::Ditch(Depth::m(number(path, d, 0.0..=100.0, "m")?)),
        EdgeRecord::Water => EdgeKind::Water,
        EdgeRecord::Road => EdgeKind::Road,
    })
}

/// Height or depth, whichever belongs to the kind; the other one is a slip worth stopping at.
fn relief(path: &str, record: &HazardRecord) -> Result<Relief, BadRecord> {
    let kind = HazardKind::from(record.kind);
    let height =
        |h| positive(&format!("{path}.height_m"), h, 100.0, "m").map(|h| Relief::Raised(Height::m(h)));
    let depth =
        |d| positive(&format!("{path}.depth_m"), d, 100.0, "m").map(|d| Relief::Sunk(Some(Depth::m(d))));
    match (record.height_m, record.depth_m) {
        (Some(_), Some(_)) => Err(BadRecord::field(
            path,
            "both height_m and depth_m",
            "one of them, or neither if not measured",
        )),
        (Some(h), None) if kind.is_sunk() => Err(BadRecord::field(
            &format!("{path}.height_m"),
            &format!("{h} for a {}", kind.name()),
            "depth_m for what goes into the ground",
        )),
        (None, Some(d)) if !kind.is_sunk() && kind != HazardKind::Unidentified => Err(BadRecord::field(
            &format!("{path}.depth_m"),
            &format!("{d} for a {}", kind.name()),
            "height_m for what stands on the ground",
        )),
        (Some(h), None) => height(h),
        (None, Some(d)) => depth(d),
        (None, None) if kind.is_sunk() => Ok(Relief::Sunk(None)),
        (None, None) => Ok(Relief::NotMeasured),
    }
}

fn review(path: &str, record: &ReviewRecord) -> Result<(Date, ReviewStatus), BadRecord> {
    word(&format!("{path}.by"), &record.by)?;
    Ok((date(&format!("{path}.on"), &record.on)?, record.status))
}

/// When a hazard was confirmed as gone, if it was.
fn removed_on(path: &str, record: &HazardRecord) -> Result<Option<Date>, BadRecord> {
    let HazardStateRecord::Removed { on, by } = &record.state else { return Ok(None) };
    let path = format!("{path} ({})", record.id);
    word(&format!("{path}.state.by"), by)?;
    date(&format!("{path}.state.on"), on).map(Some)
}

/// Length of the slide.
fn recovery(path: &str, record: &RecoveryRecord) -> Result<Metres, BadRecord> {
    date(&format!("{path}.on"), &record.on)?;
    word(&format!("{path}.aircraft"), &record.aircraft)?;
    positive(&format!("{path}.mass_kg"), record.mass_kg, 20_000.0, "kg")?;
    let from = point(&format!("{path}.touchdown"), record.touchdown)?;
    let to = point(&format!("{path}.stopped"), record.stopped)?;
    Ok(Metres::m(libm::hypot(to.x - from.x, to.y - from.y)))
}

fn access(record: &AccessRecord) -> Result<(), BadRecord> {
    at_most("access.gates", &record.gates, MOST_ENTRIES)?;
    at_most("access.haul_out", &record.haul_out, MOST_ENTRIES)?;
    numbered("access.gates", &record.gates, |path, g| {
        point(path, (g.e, g.n))?;
        positive(&format!("{path}.width_m"), g.width_m, 1000.0, "m")
    })?;
    numbered("access.haul_out", &record.haul_out, place).map(drop)
}

fn cover(record: CoverRecord) -> Cover {
    match record {
        CoverRecord::ShortGrass => Cover::ShortGrass,
        CoverRecord::LongGrass => Cover::LongGrass,
        CoverRecord::BareSoil => Cover::BareSoil,
    }
}

impl From<HazardKindRecord> for HazardKind {
    fn from(record: HazardKindRecord) -> Self {
        match record {
            HazardKindRecord::Rock => HazardKind::Rock,
            HazardKindRecord::Stump => HazardKind::Stump,
            HazardKindRecord::Post => HazardKind::Post,
            HazardKindRecord::Mound => HazardKind::Mound,
            HazardKindRecord::Rut => HazardKind::Rut,
            HazardKindRecord::Hole => HazardKind::Hole,
            HazardKindRecord::Drain => HazardKind::Drain,
            HazardKindRecord::Unidentified => HazardKind::Unidentified,
        }
    }
}
