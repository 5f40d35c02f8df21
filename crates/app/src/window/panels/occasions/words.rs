//! A picture of occasions in words: what holds everywhere, what is taken for granted, one cell, and how strong a wind may
//! be from each side; and the winds that the best lane bears.
//!
//! Invariant: a wind that is still borne is rounded down, one that is needed is rounded up.

use crate::words;
use measure::Metres;
use measure::shown::{Side, Units, rounded};
use strip::{Along, Occasion, Occasions, Question, Reason, STRONGEST_ASKED, Told, Verdict, WindLimit};

/// Points of the compass that are told of, and the columns of a picture between two of them.
const COMPASS: [&str; 8] = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];

/// What is taken for granted.
pub(super) fn assumed(picture: &Occasions, units: Units) -> String {
    let assumed = picture.assumed;
    let ratio = rounded(assumed.gusts.ratio, Side::AtMost, 1);
    let gusts = if assumed.gusts.of_day {
        format!("gusts {ratio} times the mean, as on the day")
    } else {
        format!("gusts {ratio} times the mean (judgement: nobody gave any)")
    };
    let height = units.length(Metres::m(assumed.at_height_m), Side::Nearest, 0);
    match (picture.question, assumed.of_day) {
        (Question::Wind, true) => format!("All else as on the day; {gusts}; wind measured at {height}."),
        (Question::Wind, false) => format!(
            "No day given: dry ground, standard air, any mass that the aircraft may have; {gusts}; wind measured at {height}."
        ),
        (Question::Load, true) => "All else as on the day: its wind, pressure and ground.".to_owned(),
        (Question::Load, false) => {
            "No day given: dry ground, a calm, standard pressure, any humidity.".to_owned()
        }
    }
}

/// What is the same in every cell; nothing where nothing is.
pub(super) fn everywhere(picture: &Occasions) -> Vec<String> {
    // Without its figures, which differ from cell to cell.
    let told = |r: &Reason| format!("{}: {}", r.verdict_name(), r.text);
    picture.everywhere().iter().map(told).collect()
}

/// The occasion of a cell: "wind from 250, 3.0 m/s, gusts 4.2 m/s".
pub(super) fn occasion(occasion: Occasion, units: Units) -> String {
    match occasion {
        Occasion::Wind { mean_mps: 0.0, .. } => "a calm".to_owned(),
        Occasion::Wind { from_deg, mean_mps, gust_mps } => format!(
            "wind from {from_deg:03.0} true, {}, gusts {}",
            units.speed(mean_mps, Side::Nearest, 1),
            units.speed(gust_mps, Side::AtMost, 1)
        ),
        Occasion::Load { mass_kg, temperature_c } => {
            format!("{} at {temperature_c:.0} degrees C", units.mass(mass_kg, Side::Nearest, 0))
        }
    }
}

/// One cell: occasion, mark, what rules it, and the lane.
pub(super) fn cell(told: &Told, units: Units) -> String {
    let why = told.ruling.as_ref().map_or_else(String::new, |r| format!(", by {}", words::reason(r, units)));
    let whole = if told.verdict == told.mark {
        String::new()
    } else {
        format!("; with what holds everywhere {}", told.verdict.name())
    };
    let lane = told.heading_true_deg.map_or_else(
        || "no lane".to_owned(),
        |heading| {
            let magnetic =
                told.heading_magnetic_deg.map_or_else(String::new, |m| format!(" ({m:03.0} magnetic)"));
            let spare = told.spare_m.map_or_else(
                || "does not come to rest".to_owned(),
                |spare| format!("spare {}", units.length(Metres::m(spare), Side::AtLeast, 0)),
            );
            format!("lane heading {heading:03.0} true{magnetic}, {spare}")
        },
    );
    format!("{}: {}{whole}{why}; {lane}", capital(&occasion(told.occasion, units)), told.mark.name())
}

/// How strong a wind may be from each side, up to the first that is neither fits nor tight; nothing of another picture.
pub(super) fn strongest(picture: &Occasions, units: Units) -> Option<String> {
    let (columns, rows) = (&picture.grid.columns, &picture.grid.rows);
    if picture.question != Question::Wind || !picture.is_whole() {
        return None;
    }
    let holds =
        |cell: usize| picture.told(cell).is_some_and(|t| matches!(t.mark, Verdict::Fits | Verdict::Tight));
    if !holds(picture.grid.len()) {
        return Some("Not even a calm fits; where some wind does, the picture shows it.".to_owned());
    }
    let from = |point: usize| {
        let column = (point * columns.len() + COMPASS.len() / 2) / COMPASS.len() % columns.len();
        let borne = rows.iter().enumerate().take_while(|(row, _)| holds(row * columns.len() + column)).last();
        let mps = borne.map_or(0.0, |(_, mps)| *mps);
        format!("{} {}", COMPASS[point], units.speed(mps, Side::AtLeast, 1))
    };
    let all: Vec<String> = (0..COMPASS.len()).map(from).collect();
    Some(format!("Fits or tight in winds up to, from {}.", all.join(", ")))
}

/// What winds straight along it one direction of a lane bears, called so.
pub fn limit(limit: &WindLimit, name: &str, units: Units) -> String {
    let magnetic = limit.heading_magnetic_deg.map_or_else(String::new, |m| format!(" ({m:03.0} magnetic)"));
    let (tight, fits) = (of(limit.tight, units), of(limit.fits, units));
    let told = match (tight, fits) {
        (None, _) => "no wind along it up to ".to_owned() + &strongest_asked(units) + " makes it fit",
        (Some(tight), Some(fits)) if tight == fits => format!("fits with {fits}"),
        (Some(tight), Some(fits)) => format!("fits with {fits}; tight with {tight}"),
        (Some(tight), None) => format!("at best tight, with {tight}"),
    };
    let but = limit.everywhere.first().map_or_else(String::new, |r| {
        format!("; what no wind changes makes it {} at best", r.verdict_name())
    });
    format!("Steady wind along {name}, {:03.0} true{magnetic}: {told}{but}.", limit.heading_true_deg)
}

fn strongest_asked(units: Units) -> String {
    units.speed(STRONGEST_ASKED, Side::AtLeast, 0)
}

/// "tail wind up to 2.1 m/s", "head wind of 3.2 m/s or more".
fn of(along: Along, units: Units) -> Option<String> {
    match (along.greatest_tail_mps, along.least_head_mps) {
        (Some(tail), _) if tail >= STRONGEST_ASKED => {
            Some(format!("any tail wind up to {} asked about", strongest_asked(units)))
        }
        (Some(tail), _) if tail <= 0.0 => Some("no tail wind".to_owned()),
        (Some(tail), _) => Some(format!("tail wind up to {}", units.speed(tail, Side::AtLeast, 1))),
        (None, Some(head)) => Some(format!("head wind of at least {}", units.speed(head, Side::AtMost, 1))),
        (None, None) => None,
    }
}

/// With a capital to begin with.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
