//! A walking survey in GPX to a strip record.

use crate::accuracy::{Accuracy, recorded};
use crate::boundary::{Boundary, Path};
use crate::error::{BadReadings, FEWEST_FIXES, Problem};
use crate::fixes::{FARTHEST, Field, Usable};
use crate::hazards::Hazards;
use crate::note::Note;
use crate::source::{self, Fix, Source, Walk};
use crate::words;
use ground::Point;
use measure::{Height, Metres, SquareMetres};
use strip::record::{
    CornerRecord, DatumRecord, EdgeRecord, How, OutlineRecord, StripRecord, SurveyRecord, SurveyedRecord,
};
use strip::{Settings, Strip};

/// Height of a wall that stands for an edge of which nothing is known, metres; judgement: taller than
/// field walls, fences and kept hedges, and than any wing of a light aircraft on the ground. What is
/// taller yet belongs to the approaches, which count as not looked at.
const UNKNOWN_EDGE: f64 = 5.0;

/// Where the elevation is not known; nothing can be judged from it, and a note says so.
const NO_ELEVATION: f64 = 0.0;

/// Largest distance from the poles at which a frame is hung, degrees.
const MOST_LATITUDE: f64 = 89.0;

/// How positions were taken and how well they are known.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct ImportOptions {
    /// With what.
    pub how: How,
    /// Standard deviation of each coordinate, where it is known: it then stands instead of the
    /// method's and of what the receiver wrote.
    pub sigma: Option<Metres>,
    /// Accuracy of the methods.
    pub settings: Settings,
}

impl Default for ImportOptions {
    fn default() -> Self {
        Self { how: How::Phone, sigma: None, settings: Settings::default() }
    }
}

/// A strip, and what was done to make it.
#[derive(Clone, PartialEq, Debug)]
pub struct Imported {
    /// A record that [`Strip::new`] accepts.
    pub record: StripRecord,
    /// What was done, assumed and left out, in the order of the record.
    pub notes: Vec<Note>,
}

/// A strip from the bytes of a GPX file called `name`.
///
/// The first track, or the first route where there is no track, is the outline; further ones are areas
/// that block; waypoints are hazards. The datum is the first fix of the outline that can be used.
///
/// # Errors
/// [`BadReadings`] with the file, the place, what was found and what was expected.
///
/// # References
/// GPX 1.0 and 1.1 as the crate `gpx` reads them.
pub fn import_gpx(name: &str, bytes: &[u8], options: &ImportOptions) -> Result<Imported, BadReadings> {
    let file = words::name(name).unwrap_or_else(|| "walk".to_owned());
    import(&file, bytes, options).map_err(|problem| BadReadings { file, problem })
}

fn import(file: &str, bytes: &[u8], options: &ImportOptions) -> Result<Imported, Problem> {
    let Source { walks, marks } = source::read(bytes)?;
    let Some((walk, further)) = walks.split_first() else { return Err(Problem::NoWalk) };
    let mut notes = Vec::new();
    let usable = usable(walk, &mut notes);
    let first = enough(walk, &usable)?;
    let datum = datum(walk, first, &mut notes)?;
    let field = Field::about(first, Metres::m(datum.height_m));
    let (pieces, farthest) = place_all(walk, &usable, &field)?;
    let accuracy = Accuracy::new(options, farthest)?;
    let path = path(walk, pieces, &usable, accuracy, &mut notes);
    let boundary = Boundary::of(&path, accuracy)?;

    let mut hazards = Hazards::default();
    let of_waypoints = hazards.add_waypoints(&marks, &field, accuracy);
    say_outline(&boundary, usable.fixes().count(), &mut notes);
    let inside = hazards.add_inside(&boundary.inside, boundary.tolerance, boundary.sigma);
    if !inside.is_empty() {
        notes.push(Note::WalkedInside { hazards: inside });
    }
    let outline = surveyed(file, walk, &usable, &boundary, options.how, &mut notes);
    notes.push(Note::EdgesUnknown { height: Height::m(UNKNOWN_EDGE) });
    notes.push(Note::RestNotLooked);
    for walk in further {
        add_further(walk, &field, accuracy, &mut hazards, &mut notes);
    }
    notes.extend(of_waypoints);

    let blank = StripRecord::blank(words::id(file), title(file, walk), datum, outline_record(&boundary));
    let survey = SurveyRecord { outline, ..blank.survey.clone() };
    let record = StripRecord { survey, hazards: hazards.into_list(), ..blank };
    Strip::new(&record, &options.settings)?;
    Ok(Imported { record, notes })
}

/// The fixes of a walk that can be used; what was left out is noted.
fn usable(walk: &Walk, notes: &mut Vec<Note>) -> Usable {
    let usable = Usable::of(walk);
    let label = || walk.label.clone();
    if usable.without_position > 0 {
        notes.push(Note::NoPosition { walk: label(), count: usable.without_position });
    }
    if usable.too_fast > 0 {
        notes.push(Note::TooFast { walk: label(), count: usable.too_fast });
    }
    usable
}

/// The first of at least as many different fixes as can enclose ground.
fn enough<'a>(walk: &Walk, usable: &'a Usable) -> Result<&'a Fix, Problem> {
    let place = |f: &Fix| (f.latitude_deg, f.longitude_deg);
    let mut places: Vec<(f64, f64)> = usable.fixes().map(place).collect();
    places.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    places.dedup();
    let of = walk.pieces.iter().map(Vec::len).sum();
    let too_few = Problem::TooFewFixes { walk: walk.label.clone(), found: places.len(), of };
    if places.len() < FEWEST_FIXES { Err(too_few) } else { usable.fixes().next().ok_or(too_few) }
}

fn datum(walk: &Walk, first: &Fix, notes: &mut Vec<Note>) -> Result<DatumRecord, Problem> {
    if first.latitude_deg.abs() > MOST_LATITUDE {
        return Err(Problem::Fix {
            walk: walk.label.clone(),
            fix: 1,
            found: format!("latitude {}", first.latitude_deg),
            expected: format!("a number of degrees from -{MOST_LATITUDE} to {MOST_LATITUDE}"),
        });
    }
    if first.elevation.is_none() {
        notes.push(Note::ElevationUnknown);
    }
    let height_m = first.elevation.unwrap_or(NO_ELEVATION);
    Ok(DatumRecord { lat_deg: first.latitude_deg, lon_deg: first.longitude_deg, height_m })
}

/// Where the fixes of the outline lie, and the greatest distance of any from the datum, metres.
fn place_all(walk: &Walk, usable: &Usable, field: &Field) -> Result<(Vec<Vec<Point>>, f64), Problem> {
    let (mut farthest, mut number) = (0.0_f64, 0);
    let mut place = |fix: &Fix| {
        number += 1;
        let placed = field.place(fix);
        farthest = farthest.max(placed.away);
        if placed.away <= FARTHEST {
            return Ok(placed.at);
        }
        Err(Problem::Fix {
            walk: walk.label.clone(),
            fix: number,
            found: format!("{:.1} km from the first", placed.away / 1000.0),
            expected: format!("a walk round one field, at most {} km across", FARTHEST / 1000.0),
        })
    };
    let pieces: Result<Vec<Vec<Point>>, Problem> =
        usable.pieces.iter().map(|piece| piece.iter().map(&mut place).collect()).collect();
    Ok((pieces?, farthest))
}

fn path(
    walk: &Walk,
    pieces: Vec<Vec<Point>>,
    usable: &Usable,
    accuracy: Accuracy,
    notes: &mut Vec<Note>,
) -> Path {
    let (sigma, from) = accuracy.with_dilution(usable.worst_dilution());
    notes.push(Note::Accuracy { sigma: Metres::m(sigma), from });
    Path { label: walk.label.clone(), pieces, sigma }
}

fn say_outline(boundary: &Boundary, fixes: usize, notes: &mut Vec<Note>) {
    let Boundary { ring, tolerance, sigma: _, gap, left_out, not_walked: _, inside } = boundary;
    if *gap > 0.0 {
        notes.push(Note::LoopClosed { gap: Metres::m(*gap) });
    }
    notes.push(Note::Simplified { fixes, corners: ring.len(), tolerance: Metres::m(*tolerance) });
    if *left_out > 0.0 {
        notes.push(Note::LoopsLeftOut { area: SquareMetres::m2(*left_out) });
    }
    if inside.twice {
        notes.push(Note::WalkedTwice);
    }
}

/// The outline counts as measured only where all of it was walked and it is known when.
fn surveyed(
    file: &str,
    walk: &Walk,
    usable: &Usable,
    boundary: &Boundary,
    how: How,
    notes: &mut Vec<Note>,
) -> SurveyedRecord {
    let earliest = usable.earliest();
    if walk.is_route {
        notes.push(Note::RouteTaken);
    }
    if boundary.not_walked > 0.0 {
        notes.push(Note::NotWalked { length: Metres::m(boundary.not_walked) });
    }
    let Some(earliest) = earliest else {
        notes.push(Note::NoDate);
        return SurveyedRecord::NotLooked;
    };
    if walk.is_route || boundary.not_walked > 0.0 {
        return SurveyedRecord::NotLooked;
    }
    let date = earliest.date();
    let on = format!("{:04}-{:02}-{:02}", date.year(), u8::from(date.month()), date.day());
    notes.push(Note::Dated { on: on.clone() });
    let by = words::name(&format!("walked, from {file}")).unwrap_or_else(|| "walked".to_owned());
    SurveyedRecord::Measured { on, by, how }
}

fn title(file: &str, walk: &Walk) -> String {
    let own = walk.name.as_deref().and_then(words::name);
    own.or_else(|| words::name(words::stem(file))).unwrap_or_else(|| words::id(file))
}

fn outline_record(boundary: &Boundary) -> OutlineRecord {
    let corner = |p: &Point| CornerRecord { e: p.x, n: p.y, sigma_m: Some(recorded(boundary.sigma)) };
    OutlineRecord {
        corners: boundary.ring.iter().map(corner).collect(),
        edges: vec![EdgeRecord::Wall(UNKNOWN_EDGE); boundary.ring.len()],
        islands: Vec::new(),
    }
}

/// A further walk becomes an area that blocks; only what is too far away to be on the field is left out.
fn add_further(walk: &Walk, field: &Field, accuracy: Accuracy, hazards: &mut Hazards, notes: &mut Vec<Note>) {
    let usable = usable(walk, notes);
    let place_near = |fix: &Fix| Some(field.place(fix)).filter(|p| p.away <= FARTHEST).map(|p| p.at);
    let near = |piece: &Vec<Fix>| piece.iter().filter_map(place_near).collect::<Vec<Point>>();
    let pieces: Vec<Vec<Point>> = usable.pieces.iter().map(near).collect();
    let near = pieces.iter().map(Vec::len).sum::<usize>();
    let (label, far) = (walk.label.clone(), usable.fixes().count() - near);
    if near == 0 {
        notes.push(Note::WalkLeftOut { walk: label });
        return;
    }
    if far > 0 {
        notes.push(Note::FixesFarAway { walk: label.clone(), count: far });
    }
    let (sigma, _) = accuracy.with_dilution(usable.worst_dilution());
    let marks = hazards.add_walk(&Path { label: label.clone(), pieces, sigma }, accuracy);
    notes.push(Note::WalkTaken { walk: label, hazards: marks });
}
