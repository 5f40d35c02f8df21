//! A drag test made on the strip, valid: every pull shows a coefficient.
//!
//! Not here: the physics ([`mod@slide::drag_test`]), and on which lanes and days it counts.

use crate::Settings;
use crate::caveat::months_between;
use crate::error::BadRecord;
use crate::fields::{Marks, at_most, date, finite, word};
use crate::patch::Patch;
use crate::record::DragTestRecord;
use jiff::civil::Date;
use measure::{Newtons, STANDARD_GRAVITY, Slope};
use slide::{BadDragTest, DragTest, Pull, Sledge, Taken, Wetness};

/// Greatest over least coefficient of one test's pulls from which one of them must be wrong (judgement: pulls that
/// differ by 15 % each come so far apart once in 200 times).
const PULLS_APART: f64 = 1.75;

/// Most pulls of one test.
const MOST_PULLS: usize = 1_000;

/// Repeated pulls of one sledge on one ground on one day.
#[derive(Clone, PartialEq, Debug)]
pub struct DragTestTaken {
    /// Its mark, where it has one.
    pub id: Option<String>,
    /// Date.
    pub on: Date,
    /// State of the grass.
    pub wetness: Wetness,
    /// Mark of the patch that it was made on; `None`: on the field's own cover.
    pub patch: Option<String>,
    /// The pulls, at least one.
    pub pulls: Vec<Pull>,
    /// What the sledge pressed with.
    pub sledge: Sledge,
}

impl DragTestTaken {
    /// What it says of a slide on a day; one older than surveys may be only lowers what is believed, as a light
    /// sledge does.
    ///
    /// # Errors
    /// [`BadDragTest`], which [`crate::Strip::new`] has ruled out.
    pub fn reduced(&self, settings: &Settings, day: Date) -> Result<DragTest, BadDragTest> {
        let taken = if self.on == day { Taken::OnTheDay } else { Taken::AnotherDay };
        let sledge = if self.is_old(settings, day) { Sledge::Light } else { self.sledge };
        slide::drag_test::reduce(&self.pulls, &settings.drag_shares(), sledge, taken)
    }

    /// Whether another says the same of the same ground on the same day: noted twice, it is no more sure.
    pub(crate) fn is_the_same(&self, other: &Self) -> bool {
        Self { id: other.id.clone(), ..self.clone() } == *other
    }

    /// Whether its own pulls differ by more than one ground explains.
    pub(crate) fn is_torn(&self) -> bool {
        let shown = || self.pulls.iter().filter_map(|pull| pull.coefficient().ok());
        let (least, most) = (shown().fold(f64::INFINITY, f64::min), shown().fold(0.0, f64::max));
        most > PULLS_APART * least
    }

    /// Whether it is older than surveys may be on a day.
    pub(crate) fn is_old(&self, settings: &Settings, day: Date) -> bool {
        months_between(self.on, day) > settings.survey_valid_months
    }
}

/// From its record; within, why it has to be left out. `patches` are those that count.
pub(crate) fn drag_test(
    path: &str,
    record: &DragTestRecord,
    patches: &[Patch],
    marks: &mut Marks,
) -> Result<Result<DragTestTaken, BadRecord>, BadRecord> {
    let id = record.id.as_ref().map(|id| marks.unique(&format!("{path}.id"), id)).transpose()?;
    let path = id.as_ref().map_or_else(|| path.to_owned(), |id| format!("{path} ({id})"));
    word(&format!("{path}.by"), &record.by)?;
    let on = date(&format!("{path}.on"), &record.on)?;
    numbers(&path, record)?;
    Ok(usable(&path, record, patches).map(|pulls| DragTestTaken {
        id,
        on,
        wetness: Wetness::from(record.grass),
        patch: record.patch.clone(),
        pulls,
        sledge: if record.loaded { Sledge::Loaded } else { Sledge::Light },
    }))
}

/// Stops at what is no number.
fn numbers(path: &str, record: &DragTestRecord) -> Result<(), BadRecord> {
    at_most(&format!("{path}.pulls_n"), &record.pulls_n, MOST_PULLS)?;
    let named = [
        ("weight_n", record.weight_n),
        ("weight_kg", record.weight_kg),
        ("hitch_deg", Some(record.hitch_deg)),
        ("slope", Some(record.slope)),
    ];
    for (name, value) in named {
        value.map_or(Ok(0.0), |value| finite(&format!("{path}.{name}"), value))?;
    }
    for (i, &force) in record.pulls_n.iter().enumerate() {
        finite(&format!("{path}.pulls_n[{}]", i + 1), force)?;
    }
    Ok(())
}

/// The pulls of a test that says something, on ground that is known.
fn usable(path: &str, record: &DragTestRecord, patches: &[Patch]) -> Result<Vec<Pull>, BadRecord> {
    if let Some(mark) = record.patch.as_ref().filter(|mark| patches.iter().all(|p| p.id != **mark)) {
        let found = format!("\"{mark}\"");
        return Err(BadRecord::field(
            &format!("{path}.patch"),
            &found,
            "the mark of a patch that lies on the field",
        ));
    }
    let weight = weight(path, record)?;
    let pull = |(i, &force): (usize, &f64)| {
        let hitch_rad = record.hitch_deg.to_radians();
        let pull = Pull { force: Newtons::n(force), weight, hitch_rad, slope: Slope::ratio(record.slope) };
        let path = format!("{path}.pulls_n[{}]", i + 1);
        pull.coefficient().map(|_| pull).map_err(|bad| BadRecord::told(&path, &bad))
    };
    if record.pulls_n.is_empty() {
        return Err(BadRecord::told(&format!("{path}.pulls_n"), &BadDragTest::NoPulls));
    }
    record.pulls_n.iter().enumerate().map(pull).collect()
}

fn weight(path: &str, record: &DragTestRecord) -> Result<Newtons, BadRecord> {
    let above_zero = |name: &str, value: f64| {
        let path = format!("{path}.{name}");
        if value > 0.0 { Ok(value) } else { Err(BadRecord::field(&path, &value.to_string(), "more than 0")) }
    };
    match (record.weight_n, record.weight_kg) {
        (Some(n), None) => above_zero("weight_n", n).map(Newtons::n),
        (None, Some(kg)) => above_zero("weight_kg", kg).map(|kg| Newtons::n(kg * STANDARD_GRAVITY)),
        (Some(_), Some(_)) => Err(BadRecord::field(path, "both weight_n and weight_kg", "one of them")),
        (None, None) => {
            Err(BadRecord::field(path, "no weight", "weight_n or weight_kg of the loaded sledge"))
        }
    }
}
