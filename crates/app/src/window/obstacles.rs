//! Changes to the things in the air path that a strip records: a new one, one moved, a line drawn on or shortened.
//!
//! Invariants: what is newly marked has no height, so that nothing passes over it until somebody measures it; what is
//! moved or taken away by hand was not measured there, so the survey of its kind counts as not looked at; a point more of
//! a line has no height, and with it the whole line has none until that is given.
//!
//! Not here: what heights mean (crate `strip`).

use super::places::{on_it, points, rounded, shifted};
use ground::Point;
use strip::SurveyKind;
use strip::record::{
    DayRecord, ObstacleKindRecord, ObstacleRecord, PlaceRecord, StripRecord, SurveyRecord, SurveyedRecord,
};

/// Radius or half-width of a thing just marked, m (judgement: such as it hardly ever is larger; to be measured).
const fn marked_radius(kind: ObstacleKindRecord) -> f64 {
    match kind {
        ObstacleKindRecord::Tree | ObstacleKindRecord::TreeRow => 6.0,
        ObstacleKindRecord::Hedge => 1.5,
        ObstacleKindRecord::Building => 10.0,
        ObstacleKindRecord::Pole | ObstacleKindRecord::Wire => 1.0,
        ObstacleKindRecord::RisingGround => 20.0,
    }
}

/// Letter of a new mark.
pub const fn letter(kind: ObstacleKindRecord) -> char {
    match kind {
        ObstacleKindRecord::Tree | ObstacleKindRecord::TreeRow => 't',
        ObstacleKindRecord::Hedge => 'h',
        ObstacleKindRecord::Building => 'b',
        ObstacleKindRecord::Pole => 'p',
        ObstacleKindRecord::Wire => 'w',
        ObstacleKindRecord::RisingGround => 'g',
    }
}

/// Whether a kind stands along a line, to which points can be added.
pub const fn is_drawn_on(kind: ObstacleKindRecord) -> bool {
    matches!(
        kind,
        ObstacleKindRecord::Wire
            | ObstacleKindRecord::TreeRow
            | ObstacleKindRecord::Hedge
            | ObstacleKindRecord::RisingGround
    )
}

/// What a point of such a line is called.
pub const fn point_name(kind: ObstacleKindRecord) -> &'static str {
    match kind {
        ObstacleKindRecord::Wire => "support",
        _ => "point",
    }
}

/// The part of the survey in which a kind is looked for.
pub const fn looked_for(kind: ObstacleKindRecord) -> SurveyKind {
    match kind {
        ObstacleKindRecord::Wire => SurveyKind::Wires,
        _ => SurveyKind::Approaches,
    }
}

/// Date that a thing marked by hand is given: of the survey of its kind, else of the day, else the oldest of the survey.
/// `None` where nothing on the desk has a date.
pub fn date_of_mark(
    strip: &StripRecord,
    day: Option<&DayRecord>,
    kind: ObstacleKindRecord,
) -> Option<String> {
    let SurveyRecord { outline, hazards, ground, levels, approaches, wires, drains } = &strip.survey;
    let own = if looked_for(kind) == SurveyKind::Wires { wires } else { approaches };
    let day = || day.and_then(|d| d.time.get(..DATE).map(str::to_owned));
    let all = || [outline, hazards, ground, levels, approaches, wires, drains].into_iter().filter_map(date);
    date(own).or_else(day).or_else(|| all().min())
}

/// Letters of a date such as 2026-04-02, with which a time begins.
const DATE: usize = 10;

fn date(surveyed: &SurveyedRecord) -> Option<String> {
    match surveyed {
        SurveyedRecord::NotLooked => None,
        SurveyedRecord::Looked { on, .. } | SurveyedRecord::Measured { on, .. } => Some(on.clone()),
    }
}

/// A thing just marked, not measured.
pub fn marked(id: String, kind: ObstacleKindRecord, at: Point, surveyed: String) -> ObstacleRecord {
    let (e, n) = rounded(at);
    ObstacleRecord {
        id,
        kind,
        at: PlaceRecord::Point(e, n),
        top_m: None,
        height_m: None,
        heights_m: Vec::new(),
        sag_m: None,
        radius_m: marked_radius(kind),
        how: None,
        pos_sigma_m: None,
        height_sigma_m: None,
        surveyed,
    }
}

/// Moves one so that the point by which it is held lies here.
pub fn move_to(strip: &mut StripRecord, index: usize, to: Point) {
    if let Some(o) = strip.obstacles.get_mut(index) {
        o.at = shifted(&o.at, on_it(&o.at), to);
        let kind = o.kind;
        forget(strip, kind);
    }
}

/// Whether it is held somewhere else than here.
pub fn is_elsewhere(o: &ObstacleRecord, to: Point) -> bool {
    rounded(on_it(&o.at)) != rounded(to)
}

/// Takes one away.
pub fn delete(strip: &mut StripRecord, index: usize) {
    if index < strip.obstacles.len() {
        let gone = strip.obstacles.remove(index);
        forget(strip, gone.kind);
    }
}

/// Draws its line on to here.
pub fn draw_on(o: &mut ObstacleRecord, to: Point) {
    let mut line = points(&o.at);
    line.push(rounded(to));
    // What was told of all of it says nothing of what is new.
    (o.top_m, o.height_m) = (None, None);
    o.at = PlaceRecord::Line(line);
}

/// Whether its line can be drawn on to here.
pub fn can_be_drawn_on(o: &ObstacleRecord, to: Point) -> bool {
    let area = matches!(o.at, PlaceRecord::Area(_));
    is_drawn_on(o.kind) && !area && points(&o.at).last() != Some(&rounded(to))
}

/// Takes the last point of its line away.
pub fn shorten(strip: &mut StripRecord, index: usize) {
    let Some(o) = strip.obstacles.get_mut(index).filter(|o| can_be_shortened(o)) else { return };
    let mut line = points(&o.at);
    line.pop();
    o.heights_m.truncate(line.len());
    o.at = match line[..] {
        [(e, n)] => PlaceRecord::Point(e, n),
        _ => PlaceRecord::Line(line),
    };
    let kind = o.kind;
    forget(strip, kind);
}

/// Whether its line has a point to spare.
pub fn can_be_shortened(o: &ObstacleRecord) -> bool {
    matches!(&o.at, PlaceRecord::Line(line) if line.len() > 1)
}

/// The survey of a kind counts as not looked at.
fn forget(strip: &mut StripRecord, kind: ObstacleKindRecord) {
    let survey = &mut strip.survey;
    let own = if looked_for(kind) == SurveyKind::Wires { &mut survey.wires } else { &mut survey.approaches };
    *own = SurveyedRecord::NotLooked;
}
