//! A strip, valid: what `assess` is given. Made from a record by [`Strip::new`].
//!
//! Invariants: every number is finite and in range, marks are unique, shapes are simple, and what the
//! record left out carries the accuracy of the survey's method. What is no number, or misspelt, stops the
//! whole; a test or a patch that cannot be true of this field is left out, said so, and the rest stands.

use crate::Settings;
use crate::breakline::{Breakline, breakline};
use crate::drag_test::{DragTestTaken, drag_test};
use crate::error::BadRecord;
use crate::fields::{Marks, at_most, date, number, place, point, positive, word};
use crate::levels;
use crate::obstacle::{Obstacle, obstacle};
pub(crate) use crate::patch::Patch;
use crate::patch::{on_field, patch};
use crate::record::{
    AccessRecord, CornerRecord, CoverRecord, EdgeRecord, HazardKindRecord, HazardRecord, HazardStateRecord,
    How, PlaceRecord, ReviewRecord, ReviewStatus, StripRecord,
};
use crate::recovery::{self, Recovery, recovery};
use crate::strength::tested;
use crate::survey::{Survey, SurveyKind, height_sigma, sigma_of};
use ground::{
    Corner, Datum, EdgeKind, Hazard, HazardKind, Level, MOST_CORNERS, Outline, Presence, Relief, Ring,
};
use jiff::civil::Date;
use measure::{Depth, Height, Metres};
use slide::Cover;
use slide::soft::strength::Strength;

/// Most hazards, and most corners of all hazards and patches together.
const MOST_HAZARDS: usize = 10_000;
const MOST_SHAPE_CORNERS: usize = 20_000;
const MOST_PATCHES: usize = 1_000;
const MOST_LEVELS: usize = 100_000;
const MOST_ENTRIES: usize = 10_000;

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
    /// How strong the ground outside patches is, where it was tested.
    pub strength: Option<Strength>,
    /// Areas of their own.
    pub patches: Vec<Patch>,
    /// Reduced levels.
    pub levels: Vec<Level>,
    /// Those of them that tell how the field slopes.
    pub(crate) field_levels: Vec<Level>,
    /// Things in the air path.
    pub obstacles: Vec<Obstacle>,
    /// Hazards confirmed as gone, by their index, and the date on which that was seen.
    pub removed: Vec<(usize, Date)>,
    /// What reviews said, in the order of their dates.
    pub reviews: Vec<(Date, ReviewStatus)>,
    /// Landings made here.
    pub recoveries: Vec<Recovery>,
    /// The longest of these slides, from touchdown to rest.
    pub longest_recovery: Option<Metres>,
    /// Sledges pulled here.
    pub drag_tests: Vec<DragTestTaken>,
    /// Lines along which the ground has an edge.
    pub breaklines: Vec<Breakline>,
    /// What the record holds and the rest is judged without, each with its path, found and expected.
    pub left_out: Vec<BadRecord>,
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
        let patches = numbered("patches", &record.patches, |path, p| patch(path, p, &context, &mut marks))?;
        let obstacles =
            numbered("obstacles", &record.obstacles, |path, o| obstacle(path, o, &context, &mut marks))?;
        let mut reviews = numbered("review", &record.review, review)?;
        // Of two on one day the one that stands later in the list counts as the later.
        reviews.sort_by_key(|&(on, _)| on);
        let recoveries = numbered("recoveries", &record.recoveries, recovery)?;
        let removed = numbered("hazards", &record.hazards, removed_on)?;
        record.access.as_ref().map_or(Ok(()), access)?;
        let levels = numbered("levels", &record.levels, |path, l| {
            level(path, (l.e, l.n), (&format!("{path}.z"), l.z), (&format!("{path}.sigma_m"), l.sigma_m))
        })?;
        let outline = context.outline(record)?;
        let mut left_out = Vec::new();
        let obstacles = obstacles.into_iter().map(|(obstacle, why)| {
            left_out.extend(why);
            obstacle
        });
        let obstacles = obstacles.collect();
        let patches =
            kept(patches.into_iter().enumerate().map(|(i, p)| on_field(i, p, &outline)), &mut left_out);
        let recoveries = recoveries.into_iter().enumerate();
        let recoveries = kept(recoveries.map(|(i, r)| recovery::on_field(i, r, &outline)), &mut left_out);
        let field_levels = levels::of_slope(&levels, &outline);
        left_out.extend(levels::not_in_a_plane(&field_levels));
        left_out.extend(levels::contradicting(&levels));
        let breaklines = numbered("breaklines", &record.breaklines, breakline)?;
        let breaklines = kept(breaklines, &mut left_out);
        let drag_tests =
            numbered("drag_tests", &record.drag_tests, |path, t| drag_test(path, t, &patches, &mut marks))?;
        let drag_tests = kept(drag_tests, &mut left_out);
        Ok(Self {
            id: word("id", &record.id)?,
            name: word("name", &record.name)?,
            datum,
            outline,
            hazards,
            cover: record.cover.map(cover),
            strength: record
                .strength
                .as_ref()
                .map(|t| tested("strength", t))
                .transpose()?
                .map(|t| t.strength),
            patches,
            levels,
            field_levels,
            obstacles,
            removed: removed.into_iter().enumerate().filter_map(|(i, on)| Some((i, on?))).collect(),
            reviews,
            longest_recovery: recoveries.iter().map(Recovery::length).reduce(Metres::max),
            recoveries,
            drag_tests,
            breaklines,
            left_out,
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

/// Those that can be used; why the others cannot goes to what is left out.
fn kept<T>(all: impl IntoIterator<Item = Result<T, BadRecord>>, left_out: &mut Vec<BadRecord>) -> Vec<T> {
    all.into_iter().filter_map(|one| one.map_err(|bad| left_out.push(bad)).ok()).collect()
}

/// A level; its height and accuracy come with their paths.
pub(crate) fn level(
    path: &str,
    at: (f64, f64),
    (height_path, height): (&str, f64),
    (sigma_path, sigma): (&str, f64),
) -> Result<Level, BadRecord> {
    Ok(Level {
        at: point(path, at)?,
        height: Metres::m(number(height_path, height, -1000.0..=1000.0, "m")?),
        sigma: Metres::m(number(sigma_path, sigma, 0.0..=100.0, "m")?),
    })
}

/// Bounds the work before any shape is built.
fn check_shapes(record: &StripRecord) -> Result<(), BadRecord> {
    at_most("hazards", &record.hazards, MOST_HAZARDS)?;
    at_most("patches", &record.patches, MOST_PATCHES)?;
    at_most("levels", &record.levels, MOST_LEVELS)?;
    at_most("obstacles", &record.obstacles, MOST_ENTRIES)?;
    at_most("review", &record.review, MOST_ENTRIES)?;
    at_most("recoveries", &record.recoveries, MOST_ENTRIES)?;
    at_most("breaklines", &record.breaklines, MOST_ENTRIES)?;
    at_most("drag_tests", &record.drag_tests, MOST_ENTRIES)?;
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

    /// How a kind was looked at.
    pub(crate) fn how(&self, kind: SurveyKind) -> How {
        self.survey.how(kind)
    }

    pub(crate) fn settings(&self) -> &Settings {
        self.settings
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

fn access(record: &AccessRecord) -> Result<(), BadRecord> {
    at_most("access.gates", &record.gates, MOST_ENTRIES)?;
    at_most("access.haul_out", &record.haul_out, MOST_ENTRIES)?;
    numbered("access.gates", &record.gates, |path, g| {
        point(path, (g.e, g.n))?;
        positive(&format!("{path}.width_m"), g.width_m, 1000.0, "m")
    })?;
    numbered("access.haul_out", &record.haul_out, place).map(drop)
}

/// What grows or lies there.
pub(crate) fn cover(record: CoverRecord) -> Cover {
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
