//! A GPX file as plain fixes, walks and waypoints, through the crate `gpx`.
//!
//! Invariant: every latitude and longitude is a finite number of degrees in its range.

use crate::error::{MOST_FIXES, Problem};
use crate::outer_form;
use crate::words::quote;
use gpx::errors::GpxError;
use gpx::{Gpx, Waypoint};
use std::error::Error;
use std::io::Read;
use strip::text::MOST_BYTES;
use time::OffsetDateTime;

/// One recorded position.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Fix {
    pub(crate) latitude_deg: f64,
    pub(crate) longitude_deg: f64,
    /// Metres above the sea, where a finite number was written.
    pub(crate) elevation: Option<f64>,
    pub(crate) time: Option<OffsetDateTime>,
    /// Horizontal dilution of precision, where a number above zero was written.
    pub(crate) dilution: Option<f64>,
    /// The receiver says that it had no position.
    pub(crate) without_position: bool,
}

/// A track or a route with at least one fix.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Walk {
    pub(crate) is_route: bool,
    /// How messages call it.
    pub(crate) label: String,
    pub(crate) name: Option<String>,
    /// Fixes recorded without a break.
    pub(crate) pieces: Vec<Vec<Fix>>,
}

/// A waypoint.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Mark {
    pub(crate) name: Option<String>,
    /// Everything written about it.
    pub(crate) words: String,
    pub(crate) fix: Fix,
}

/// What the file holds; walks in their order, tracks before routes.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Source {
    pub(crate) walks: Vec<Walk>,
    pub(crate) marks: Vec<Mark>,
}

/// Reads a file, limits first.
pub(crate) fn read(bytes: &[u8]) -> Result<Source, Problem> {
    if bytes.len() > MOST_BYTES {
        return Err(Problem::TooLarge);
    }
    let text = std::str::from_utf8(bytes).map_err(|e| not_text(bytes, e.valid_up_to()))?;
    if text.trim_start_matches('\u{feff}').trim().is_empty() {
        return Err(Problem::Empty);
    }
    outer_form::check(text)?;
    let mut reader = Counted { rest: bytes, line: 1 };
    let gpx = gpx::read(&mut reader).map_err(|e| explain(&e, reader.line))?;
    let source = Source { walks: walks(&gpx), marks: gpx.waypoints.iter().map(mark).collect() };
    let found = source.walks.iter().flat_map(|w| &w.pieces).map(Vec::len).sum();
    if found > MOST_FIXES {
        return Err(Problem::TooManyFixes { found });
    }
    Ok(source)
}

fn not_text(bytes: &[u8], valid: usize) -> Problem {
    let line = bytes.iter().take(valid).filter(|&&b| b == b'\n').count() + 1;
    Problem::Form {
        line,
        found: "bytes that are not UTF-8 text".to_owned(),
        expected: "a walk in GPX".to_owned(),
    }
}

/// Knows the line that the parser has come to, because most of its errors do not say.
struct Counted<'a> {
    rest: &'a [u8],
    line: usize,
}

impl Read for Counted<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let read = self.rest.read(buffer)?;
        self.line += buffer.iter().take(read).filter(|&&b| b == b'\n').count();
        Ok(read)
    }
}

fn explain(error: &GpxError, line: usize) -> Problem {
    let (found, expected) = match error {
        GpxError::LonLatOutOfBoundsError(what, range, value) => {
            (format!("{} {value}", what.to_lowercase()), format!("a number of degrees in {range}"))
        }
        GpxError::InvalidChildElement(child, parent) => {
            (format!("\"{}\" in \"{parent}\"", quote(child)), format!("what GPX allows in \"{parent}\""))
        }
        GpxError::InvalidElementLacksAttribute(attribute, element) => {
            (format!("\"{element}\" without \"{attribute}\""), format!("\"{attribute}\" in \"{element}\""))
        }
        other => {
            let cause = other.source().map(|s| format!(": {}", quote(&s.to_string()))).unwrap_or_default();
            (format!("{}{cause}", quote(&other.to_string())), "GPX 1.0 or 1.1".to_owned())
        }
    };
    Problem::Form { line, found, expected }
}

/// Tracks, then routes: of a walk recorded both ways the track is what was walked.
fn walks(gpx: &Gpx) -> Vec<Walk> {
    let tracks = gpx.tracks.iter().map(|t| (&t.name, t.segments.iter().map(|s| &s.points[..]).collect()));
    let routes = gpx.routes.iter().map(|r| (&r.name, vec![&r.points[..]]));
    numbered("track", tracks).chain(numbered("route", routes)).collect()
}

fn numbered<'a>(
    kind: &'static str,
    walks: impl Iterator<Item = (&'a Option<String>, Vec<&'a [Waypoint]>)>,
) -> impl Iterator<Item = Walk> {
    let walks = walks.enumerate().filter(|(_, (_, pieces))| pieces.iter().any(|p| !p.is_empty()));
    walks.map(move |(i, (name, pieces))| {
        let called = name.as_deref().map(quote).filter(|n| !n.is_empty());
        Walk {
            is_route: kind == "route",
            label: called.map_or(format!("{kind} {}", i + 1), |n| format!("{kind} {} \"{n}\"", i + 1)),
            name: name.clone(),
            pieces: pieces.iter().map(|p| p.iter().map(fix).collect()).collect(),
        }
    })
}

fn fix(waypoint: &Waypoint) -> Fix {
    Fix {
        latitude_deg: waypoint.point().y(),
        longitude_deg: waypoint.point().x(),
        elevation: waypoint.elevation.filter(|e| e.is_finite()),
        time: waypoint.time.map(OffsetDateTime::from),
        dilution: waypoint.hdop.filter(|&d| d > 0.0),
        without_position: waypoint.fix == Some(gpx::Fix::None),
    }
}

fn mark(waypoint: &Waypoint) -> Mark {
    let Waypoint { name, comment, description, symbol, type_, .. } = waypoint;
    let words = [name, comment, description, symbol, type_].into_iter().flatten();
    Mark {
        name: name.clone(),
        words: words.map(String::as_str).collect::<Vec<_>>().join(" "),
        fix: fix(waypoint),
    }
}
