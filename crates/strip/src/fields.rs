//! Checks of single fields, each failing with its path, what was found and what was expected.

use crate::error::BadRecord;
use crate::record::{Ends, PlaceRecord};
use ground::{Point, Shape};
use jiff::civil::Date;
use measure::Interval;
use std::collections::BTreeSet;
use std::ops::RangeInclusive;

/// Farthest from the datum that anything of a strip may lie, metres: past it the flat frame is not
/// the field's any more, and a slipped decimal point is likely.
const FARTHEST: f64 = 20_000.0;

/// Numbers from this on, and down from one over it, are told by their power of ten.
const MANY_DIGITS: f64 = 1e9;

/// Most corners that one place may have.
const MOST_PLACE_CORNERS: usize = 1_000;

/// A finite number within a range.
pub(crate) fn number(
    path: &str,
    value: f64,
    range: RangeInclusive<f64>,
    unit: &str,
) -> Result<f64, BadRecord> {
    if range.contains(&value) {
        return Ok(value);
    }
    let (low, high) = range.into_inner();
    let expected = format!("a number from {low} to {high} {unit}");
    Err(BadRecord::field(path, &figure(value), expected.trim_end()))
}

/// A number as a person reads it: one of very many digits by its power of ten.
fn figure(value: f64) -> String {
    let size = value.abs();
    let long = size >= MANY_DIGITS || (size > 0.0 && size < 1.0 / MANY_DIGITS);
    if long && value.is_finite() { format!("{value:e}") } else { value.to_string() }
}

/// A finite number above zero and not above `high`.
pub(crate) fn positive(path: &str, value: f64, high: f64, unit: &str) -> Result<f64, BadRecord> {
    if value > 0.0 && value <= high {
        return Ok(value);
    }
    Err(BadRecord::field(path, &figure(value), &format!("a number above 0, at most {high} {unit}")))
}

/// An interval whose ends lie within a range.
pub(crate) fn ends(path: &str, ends: Ends, low: f64, high: f64) -> Result<Interval<f64>, BadRecord> {
    let a = number(&format!("{path}.low"), ends.low, low..=high, "")?;
    let b = number(&format!("{path}.high"), ends.high, low..=high, "")?;
    Interval::new(a, b).map_err(|_| {
        BadRecord::field(&format!("{path}.low"), &a.to_string(), &format!("at most {path}.high, {b}"))
    })
}

/// A number that is finite, whatever its size.
pub(crate) fn finite(path: &str, value: f64) -> Result<f64, BadRecord> {
    if value.is_finite() {
        return Ok(value);
    }
    Err(BadRecord::field(path, &value.to_string(), "a number"))
}

/// A point of the field.
pub(crate) fn point(path: &str, (e, n): (f64, f64)) -> Result<Point, BadRecord> {
    let x = number(&format!("{path} easting"), e, -FARTHEST..=FARTHEST, "m")?;
    let y = number(&format!("{path} northing"), n, -FARTHEST..=FARTHEST, "m")?;
    Ok(Point { x, y })
}

/// A shape on the ground.
pub(crate) fn place(path: &str, place: &PlaceRecord) -> Result<Shape, BadRecord> {
    let points = |list: &[(f64, f64)]| -> Result<Vec<Point>, BadRecord> {
        if list.len() > MOST_PLACE_CORNERS {
            let found = format!("{} points", list.len());
            return Err(BadRecord::field(path, &found, &format!("at most {MOST_PLACE_CORNERS}")));
        }
        list.iter().enumerate().map(|(i, &p)| point(&format!("{path}[{}]", i + 1), p)).collect()
    };
    let shape = match place {
        PlaceRecord::Point(e, n) => Shape::disc(point(path, (*e, *n))?),
        PlaceRecord::Line(list) => Shape::line(&points(list)?),
        PlaceRecord::Area(list) => Shape::area(&points(list)?),
    };
    shape.map_err(|bad| BadRecord::told(path, &bad))
}

/// A civil date, `2026-04-02`.
pub(crate) fn date(path: &str, text: &str) -> Result<Date, BadRecord> {
    text.parse().map_err(|_| {
        let expected = if is_written_as_a_date(text) { CALENDAR } else { "a date such as \"2026-04-02\"" };
        BadRecord::field(path, &format!("\"{text}\""), expected)
    })
}

/// What is asked of something written as a date.
pub(crate) const CALENDAR: &str = "a day that the calendar has";

/// Whether a text looks like a date, whatever the calendar says.
pub(crate) fn is_written_as_a_date(text: &str) -> bool {
    text.len() == 10
        && text.char_indices().all(|(i, c)| if i == 4 || i == 7 { c == '-' } else { c.is_ascii_digit() })
}

/// A short text that is not empty.
pub(crate) fn word(path: &str, text: &str) -> Result<String, BadRecord> {
    const LONGEST: usize = 200;
    let fits = !text.trim().is_empty() && text.chars().count() <= LONGEST && !text.chars().any(is_hidden);
    if fits {
        return Ok(text.to_owned());
    }
    let found = if text.chars().count() > LONGEST { "a longer text".to_owned() } else { format!("{text:?}") };
    Err(BadRecord::field(path, &found, &format!("1 to {LONGEST} characters on one line")))
}

/// Characters that print nothing or turn what stands around them: two names could look the same.
fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// Refuses lists that are too long.
pub(crate) fn at_most<T>(path: &str, list: &[T], most: usize) -> Result<(), BadRecord> {
    if list.len() <= most {
        return Ok(());
    }
    Err(BadRecord::field(path, &format!("{} entries", list.len()), &format!("at most {most}")))
}

/// Marks seen so far in one record.
#[derive(Default)]
pub(crate) struct Marks(BTreeSet<String>);

impl Marks {
    /// A mark that no other thing of the record has.
    pub(crate) fn unique(&mut self, path: &str, id: &str) -> Result<String, BadRecord> {
        let id = word(path, id)?;
        if self.0.insert(id.clone()) {
            Ok(id)
        } else {
            Err(BadRecord::field(
                path,
                &format!("\"{id}\" again"),
                "a mark that nothing else in the strip has",
            ))
        }
    }
}
