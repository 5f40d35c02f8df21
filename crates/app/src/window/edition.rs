//! The records on the desk, and the actions that change them: the only way that they change.
//!
//! Invariant: what is moved or taken away by hand was not measured there, so the survey of its kind
//! counts as not looked at until somebody says again when it was. Marking one thing more, and typing a
//! measured place, leave the survey as it is.

use super::obstacles;
use super::places::{middle, moved, rounded};
use ground::Point;
use strip::record::{
    AircraftRecord, CornerRecord, CoverRecord, DayRecord, EdgeRecord, HazardKindRecord, HazardRecord,
    HazardStateRecord, ObstacleKindRecord, ObstacleRecord, PatchRecord, PlaceRecord, RewalkRecord,
    SeenRecord, StrengthRecord, StripRecord, SurveyedRecord, ToSee,
};
use strip::{Aircraft, BadRecord, Day, Inputs, Settings, Strip, SurveyKind};

/// Radius of a rock just marked (judgement: what a boot feels for).
const MARKED_RADIUS: f64 = 0.4;

/// Half the side of a soft patch just marked.
const MARKED_PATCH: f64 = 5.0;

/// Strip, aircraft, day and settings at one moment.
#[derive(Clone, PartialEq, Debug)]
pub struct Edition {
    /// The strip.
    pub strip: StripRecord,
    /// The aircraft.
    pub aircraft: Option<AircraftRecord>,
    /// The day.
    pub day: Option<DayRecord>,
    /// The settings.
    pub settings: Settings,
}

/// One change.
#[derive(Clone, PartialEq, Debug)]
pub enum Action {
    /// Moves a corner of a ring (0 the outline, then the islands).
    MoveCorner(Corner, Point),
    /// Puts a corner into the edge that begins at this corner.
    AddCorner(Corner, Point),
    /// Takes a corner away.
    DeleteCorner(Corner),
    /// Changes the kind of the edge that begins at this corner.
    SetEdge(Corner, EdgeRecord),
    /// Marks a hazard not yet measured.
    MarkHazard(HazardKindRecord, Point),
    /// Moves a hazard so that its middle lies here.
    MoveHazard(usize, Point),
    /// Changes everything about a hazard.
    SetHazard(usize, Box<HazardRecord>),
    /// Takes a hazard out of the record.
    DeleteHazard(usize),
    /// Marks a square soft patch about a point.
    MarkPatch(Point),
    /// Moves a patch so that its middle lies here.
    MovePatch(usize, Point),
    /// Changes everything about a patch.
    SetPatch(usize, Box<PatchRecord>),
    /// Takes a patch out of the record.
    DeletePatch(usize),
    /// Marks a thing in the air path, not yet measured.
    MarkObstacle(ObstacleKindRecord, Point),
    /// Moves an obstacle so that the point by which it is held lies here.
    MoveObstacle(usize, Point),
    /// Draws the line of an obstacle on to here: a wire's next support.
    DrawOnObstacle(usize, Point),
    /// Takes the last point of an obstacle's line away.
    ShortenObstacle(usize),
    /// Changes everything about an obstacle.
    SetObstacle(usize, Box<ObstacleRecord>),
    /// Takes an obstacle out of the record.
    DeleteObstacle(usize),
    /// Changes the strip's name.
    SetName(String),
    /// Changes the cover of the field.
    SetCover(Option<CoverRecord>),
    /// Changes what a test of the field's strength found.
    SetStrength(Option<StrengthRecord>),
    /// Changes how far a kind of thing was looked at.
    SetSurvey(SurveyKind, SurveyedRecord),
    /// Changes the aircraft.
    SetAircraft(Box<AircraftRecord>),
    /// Changes the day.
    SetDay(Box<DayRecord>),
    /// Ticks something of the walk on the day, seen on this date at this time; ticks of another date
    /// go.
    See(ToSee, String, String),
    /// Takes a tick back.
    Unsee(ToSee),
}

/// A corner: its ring and its place in it.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Hash)]
pub struct Corner {
    /// 0 the outline, then the islands.
    pub ring: usize,
    /// From 0.
    pub index: usize,
}

impl Edition {
    /// A strip alone, with default settings.
    pub fn of_strip(strip: StripRecord) -> Self {
        Self { strip, aircraft: None, day: None, settings: Settings::default() }
    }

    /// The same, valid.
    ///
    /// # Errors
    /// [`BadRecord`] naming the record and the field.
    pub fn inputs(&self) -> Result<Inputs, BadRecord> {
        let Self { strip, aircraft, day, settings } = self;
        Ok(Inputs {
            strip: Strip::new(strip, settings)?,
            aircraft: aircraft.as_ref().map(Aircraft::new).transpose()?,
            day: day.as_ref().map(Day::new).transpose()?,
            settings: *settings,
        })
    }

    /// The edition after an action; what the action names and is not there is left alone.
    #[must_use]
    pub fn after(&self, action: &Action) -> Self {
        let mut next = self.clone();
        if self.has(action) {
            next.apply(action);
        }
        next
    }

    /// Whether what an action names is there.
    fn has(&self, action: &Action) -> bool {
        let corner = |c: &Corner| rings(&self.strip).nth(c.ring).is_some_and(|(all, _)| c.index < all.len());
        let obstacle = |i: usize| self.strip.obstacles.get(i);
        match action {
            Action::MoveCorner(c, to) => rings(&self.strip)
                .nth(c.ring)
                .and_then(|(all, _)| all.get(c.index))
                .is_some_and(|old| (old.e, old.n) != rounded(*to)),
            Action::MoveHazard(i, to) => {
                self.strip.hazards.get(*i).is_some_and(|h| rounded(middle(&h.at)) != rounded(*to))
            }
            Action::AddCorner(c, _) | Action::DeleteCorner(c) | Action::SetEdge(c, _) => corner(c),
            Action::SetHazard(i, _) | Action::DeleteHazard(i) => *i < self.strip.hazards.len(),
            Action::MovePatch(i, _) | Action::SetPatch(i, _) | Action::DeletePatch(i) => {
                *i < self.strip.patches.len()
            }
            Action::MarkObstacle(kind, _) => self.date_of_mark(*kind).is_some(),
            Action::MoveObstacle(i, to) => obstacle(*i).is_some_and(|o| obstacles::is_elsewhere(o, *to)),
            Action::DrawOnObstacle(i, to) => obstacle(*i).is_some_and(|o| obstacles::can_be_drawn_on(o, *to)),
            Action::ShortenObstacle(i) | Action::SetObstacle(i, _) | Action::DeleteObstacle(i) => {
                obstacle(*i).is_some()
            }
            _ => true,
        }
    }

    fn apply(&mut self, action: &Action) {
        let strip = &mut self.strip;
        match action {
            Action::MoveCorner(corner, to) => {
                strip.survey.outline = SurveyedRecord::NotLooked;
                if let Some(c) = ring_mut(strip, corner.ring).and_then(|(c, _)| c.get_mut(corner.index)) {
                    (c.e, c.n) = rounded(*to);
                }
            }
            Action::AddCorner(corner, at) => {
                strip.survey.outline = SurveyedRecord::NotLooked;
                add_corner(strip, *corner, *at);
            }
            Action::DeleteCorner(corner) => {
                strip.survey.outline = SurveyedRecord::NotLooked;
                if let Some((corners, edges)) = ring_mut(strip, corner.ring)
                    && corner.index < corners.len().min(edges.len())
                {
                    corners.remove(corner.index);
                    edges.remove(corner.index);
                }
            }
            Action::SetEdge(corner, kind) => {
                if let Some(e) = ring_mut(strip, corner.ring).and_then(|(_, e)| e.get_mut(corner.index)) {
                    *e = *kind;
                }
            }
            Action::MarkHazard(kind, at) => {
                let id = self.free_mark(if matches!(kind, HazardKindRecord::Rock) { 'r' } else { 'h' });
                self.strip.hazards.push(marked(id, *kind, *at));
            }
            Action::MoveHazard(index, to) => {
                if let Some(h) = strip.hazards.get_mut(*index) {
                    h.at = moved(&h.at, *to);
                    strip.survey.hazards = SurveyedRecord::NotLooked;
                }
            }
            Action::SetHazard(index, record) => set(&mut strip.hazards, *index, record),
            Action::DeleteHazard(index) => {
                strip.survey.hazards = SurveyedRecord::NotLooked;
                remove(&mut strip.hazards, *index);
            }
            Action::MarkPatch(at) => {
                let id = self.free_mark('p');
                self.strip.patches.push(soft_patch(id, *at));
            }
            Action::MovePatch(index, to) => {
                strip.survey.ground = SurveyedRecord::NotLooked;
                if let Some(p) = strip.patches.get_mut(*index)
                    && let PlaceRecord::Area(area) = moved(&PlaceRecord::Area(p.area.clone()), *to)
                {
                    p.area = area;
                }
            }
            Action::SetPatch(index, record) => set(&mut strip.patches, *index, record),
            Action::DeletePatch(index) => {
                strip.survey.ground = SurveyedRecord::NotLooked;
                remove(&mut strip.patches, *index);
            }
            Action::MarkObstacle(kind, at) => {
                if let Some(surveyed) = self.date_of_mark(*kind) {
                    let id = self.free_mark(obstacles::letter(*kind));
                    self.strip.obstacles.push(obstacles::marked(id, *kind, *at, surveyed));
                }
            }
            Action::MoveObstacle(index, to) => obstacles::move_to(strip, *index, *to),
            Action::DrawOnObstacle(index, to) => {
                if let Some(o) = strip.obstacles.get_mut(*index) {
                    obstacles::draw_on(o, *to);
                }
            }
            Action::ShortenObstacle(index) => obstacles::shorten(strip, *index),
            Action::SetObstacle(index, record) => set(&mut strip.obstacles, *index, record),
            Action::DeleteObstacle(index) => obstacles::delete(strip, *index),
            Action::SetName(name) => strip.name.clone_from(name),
            Action::SetCover(cover) => strip.cover = *cover,
            Action::SetStrength(strength) => strip.strength.clone_from(strength),
            Action::SetSurvey(kind, record) => *survey_mut(strip, *kind) = record.clone(),
            Action::SetAircraft(record) => self.aircraft = Some((**record).clone()),
            Action::SetDay(record) => self.day = Some((**record).clone()),
            Action::See(what, on, at) => {
                if let Some(day) = &mut self.day {
                    see(day, *what, on, at);
                }
            }
            Action::Unsee(what) => {
                if let Some(walk) = self.day.as_mut().and_then(|day| day.rewalk.as_mut()) {
                    walk.seen.retain(|tick| tick.what != *what);
                }
            }
        }
    }

    /// Date that an obstacle marked by hand is given, where anything on the desk has one.
    pub fn date_of_mark(&self, kind: ObstacleKindRecord) -> Option<String> {
        obstacles::date_of_mark(&self.strip, self.day.as_ref(), kind)
    }

    /// A mark that nothing in the strip has: a letter and the first free number.
    fn free_mark(&self, letter: char) -> String {
        let strip = &self.strip;
        let taken = |id: &str| {
            strip.hazards.iter().any(|h| h.id == id)
                || strip.patches.iter().any(|p| p.id == id)
                || strip.obstacles.iter().any(|o| o.id == id)
        };
        let most = strip.hazards.len() + strip.patches.len() + strip.obstacles.len() + 1;
        (1..=most)
            .map(|i| format!("{letter}{i}"))
            .find(|id| !taken(id))
            .unwrap_or_else(|| format!("{letter}0"))
    }
}

/// How far one kind was looked at, in a record.
pub fn survey_of(strip: &StripRecord, kind: SurveyKind) -> &SurveyedRecord {
    let s = &strip.survey;
    match kind {
        SurveyKind::Outline => &s.outline,
        SurveyKind::Hazards => &s.hazards,
        SurveyKind::Ground => &s.ground,
        SurveyKind::Levels => &s.levels,
        SurveyKind::Approaches => &s.approaches,
        SurveyKind::Wires => &s.wires,
        SurveyKind::Drains => &s.drains,
    }
}

fn survey_mut(strip: &mut StripRecord, kind: SurveyKind) -> &mut SurveyedRecord {
    let s = &mut strip.survey;
    match kind {
        SurveyKind::Outline => &mut s.outline,
        SurveyKind::Hazards => &mut s.hazards,
        SurveyKind::Ground => &mut s.ground,
        SurveyKind::Levels => &mut s.levels,
        SurveyKind::Approaches => &mut s.approaches,
        SurveyKind::Wires => &mut s.wires,
        SurveyKind::Drains => &mut s.drains,
    }
}

/// Corners and edges of every ring, the outline first.
pub fn rings(strip: &StripRecord) -> impl Iterator<Item = (&[CornerRecord], &[EdgeRecord])> {
    let outer = (&strip.outline.corners[..], &strip.outline.edges[..]);
    std::iter::once(outer).chain(strip.outline.islands.iter().map(|r| (&r.corners[..], &r.edges[..])))
}

fn ring_mut(strip: &mut StripRecord, ring: usize) -> Option<(&mut Vec<CornerRecord>, &mut Vec<EdgeRecord>)> {
    match ring.checked_sub(1) {
        None => Some((&mut strip.outline.corners, &mut strip.outline.edges)),
        Some(island) => strip.outline.islands.get_mut(island).map(|r| (&mut r.corners, &mut r.edges)),
    }
}

fn add_corner(strip: &mut StripRecord, corner: Corner, at: Point) {
    let Some((corners, edges)) = ring_mut(strip, corner.ring) else { return };
    let (Some(before), Some(&kind)) = (corners.get(corner.index), edges.get(corner.index)) else { return };
    let (e, n) = rounded(at);
    let new = CornerRecord { e, n, sigma_m: before.sigma_m };
    corners.insert(corner.index + 1, new);
    edges.insert(corner.index + 1, kind);
}

fn marked(id: String, kind: HazardKindRecord, at: Point) -> HazardRecord {
    let (e, n) = rounded(at);
    HazardRecord {
        id,
        kind,
        at: PlaceRecord::Point(e, n),
        radius_m: MARKED_RADIUS,
        height_m: None,
        depth_m: None,
        pos_sigma_m: None,
        height_sigma_m: None,
        state: HazardStateRecord::Present,
    }
}

fn soft_patch(id: String, at: Point) -> PatchRecord {
    let corner = |dx: f64, dy: f64| rounded(Point { x: at.x + dx, y: at.y + dy });
    let half = MARKED_PATCH;
    PatchRecord {
        id,
        area: vec![corner(-half, -half), corner(half, -half), corner(half, half), corner(-half, half)],
        cover: None,
        always_wet: true,
        strength: None::<StrengthRecord>,
    }
}

/// Who walks where nobody has said a name.
const WALKER: &str = "the pilot";

/// Ticks in the order of the list, so that files differ only by what was ticked.
fn see(day: &mut DayRecord, what: ToSee, on: &str, at: &str) {
    let walk = day.rewalk.get_or_insert_with(|| RewalkRecord {
        on: on.to_owned(),
        by: WALKER.to_owned(),
        seen: Vec::new(),
    });
    if walk.on != on {
        on.clone_into(&mut walk.on);
        walk.seen.clear();
    }
    walk.seen.retain(|tick| tick.what != what);
    walk.seen.push(SeenRecord { what, at: at.to_owned() });
    walk.seen.sort_by_key(|tick| tick.what);
}

fn set<T: Clone>(list: &mut [T], index: usize, to: &T) {
    if let Some(slot) = list.get_mut(index) {
        slot.clone_from(to);
    }
}

fn remove<T>(list: &mut Vec<T>, index: usize) {
    if index < list.len() {
        list.remove(index);
    }
}
