//! Invented fields: walks in metres about a made-up place, written as GPX.

use ground::{Datum, Frame, Point};
use measure::Metres;
use readings::{Imported, Note};
use std::fmt::Write;
use strip::record::HazardRecord;

const DATUM: Datum = Datum { latitude_deg: 12.5, longitude_deg: -30.25, height: Metres::ZERO };

/// A GPX file in the making.
#[derive(Default)]
pub struct Gpx {
    waypoints: String,
    routes: String,
    tracks: String,
    of_fixes: String,
}

impl Gpx {
    pub fn new() -> Self {
        Self::default()
    }

    /// Elevation of the fixes that follow.
    pub fn with_elevation(mut self, metres: f64) -> Self {
        write!(self.of_fixes, "<ele>{metres}</ele>").expect("a text");
        self
    }

    /// Dilution of the fixes that follow.
    pub fn with_dilution(mut self, hdop: f64) -> Self {
        write!(self.of_fixes, "<hdop>{hdop}</hdop>").expect("a text");
        self
    }

    /// A track with so many seconds from fix to fix.
    pub fn track(mut self, walk: &[(f64, f64)], seconds: usize) -> Self {
        let time = |i: usize| {
            let s = i * seconds;
            format!("<time>2026-04-02T{:02}:{:02}:{:02}Z</time>", 10 + s / 3600, s / 60 % 60, s % 60)
        };
        self.tracks += "<trk><trkseg>\n";
        for (i, &at) in walk.iter().enumerate() {
            let line = format!("<trkpt {}>{}{}</trkpt>\n", position(at), self.of_fixes, time(i));
            self.tracks += &line;
        }
        self.tracks += "</trkseg></trk>\n";
        self
    }

    pub fn untimed_track(mut self, walk: &[(f64, f64)]) -> Self {
        self.tracks += "<trk><trkseg>\n";
        for &at in walk {
            writeln!(self.tracks, "<trkpt {}/>", position(at)).expect("a text");
        }
        self.tracks += "</trkseg></trk>\n";
        self
    }

    pub fn route(mut self, walk: &[(f64, f64)]) -> Self {
        self.routes += "<rte>\n";
        for &at in walk {
            writeln!(self.routes, "<rtept {}/>", position(at)).expect("a text");
        }
        self.routes += "</rte>\n";
        self
    }

    pub fn waypoint(mut self, east: f64, north: f64, inside: &str) -> Self {
        writeln!(self.waypoints, "<wpt {}>{inside}</wpt>", position((east, north))).expect("a text");
        self
    }

    pub fn text(&self) -> String {
        let Self { waypoints, routes, tracks, of_fixes: _ } = self;
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
             <gpx version=\"1.1\" creator=\"invented\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n\
             {waypoints}{routes}{tracks}</gpx>\n"
        )
    }
}

fn position((east, north): (f64, f64)) -> String {
    let at = Point { x: east, y: north };
    let (latitude, longitude, _) = Frame::about(DATUM).geographic_from_field(at, Metres::ZERO);
    format!("lat=\"{latitude:.9}\" lon=\"{longitude:.9}\"")
}

/// A walk round a rectangle, a fix at every metre, back to its start.
pub fn rectangle(east: f64, north: f64, width: f64, length: f64) -> Vec<(f64, f64)> {
    let corners =
        [(east, north), (east + width, north), (east + width, north + length), (east, north + length)];
    let mut walk = vec![corners[0]];
    for i in 0..4 {
        let (a, b) = (corners[i], corners[(i + 1) % 4]);
        let steps = (a.0 - b.0).hypot(a.1 - b.1) as usize;
        for s in 1..=steps {
            let share = s as f64 / steps as f64;
            walk.push((a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share));
        }
    }
    walk
}

pub fn corners(imported: &Imported) -> Vec<(f64, f64)> {
    imported.record.outline.corners.iter().map(|c| (c.e, c.n)).collect()
}

pub fn hazards(imported: &Imported) -> &[HazardRecord] {
    &imported.record.hazards
}

pub fn area(imported: &Imported) -> f64 {
    ring_area(&corners(imported))
}

/// Area by coordinates.
pub fn ring_area(ring: &[(f64, f64)]) -> f64 {
    let cross = |i: usize| {
        let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
        a.0 * b.1 - b.0 * a.1
    };
    (0..ring.len()).map(cross).sum::<f64>().abs() / 2.0
}

/// The one note that `pick` picks.
#[track_caller]
pub fn note<T>(imported: &Imported, pick: impl Fn(&Note) -> Option<T>) -> T {
    imported.notes.iter().find_map(pick).expect("such a note")
}

/// Convex hull of a walk in the frame of its first fix, anticlockwise, by gift wrapping.
pub fn hull_about_first(walk: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let frame = Frame::about(DATUM);
    let (latitude_deg, longitude_deg, _) =
        frame.geographic_from_field(Point { x: walk[0].0, y: walk[0].1 }, Metres::ZERO);
    let own = Frame::about(Datum { latitude_deg, longitude_deg, height: Metres::ZERO });
    let points: Vec<(f64, f64)> = walk
        .iter()
        .map(|&(x, y)| {
            let (lat, lon, height) = frame.geographic_from_field(Point { x, y }, Metres::ZERO);
            let (p, _) = own.field_from_geographic(lat, lon, height);
            (p.x, p.y)
        })
        .collect();
    let mut hull = vec![*points.iter().min_by(|a, b| a.0.total_cmp(&b.0)).expect("a walk")];
    loop {
        let last = hull[hull.len() - 1];
        let mut next = points[0];
        for &p in &points {
            if next == last || turn(last, next, p) < 0.0 {
                next = p;
            }
        }
        if next == hull[0] || hull.len() > points.len() {
            return hull;
        }
        hull.push(next);
    }
}

/// Whether a point lies in an anticlockwise convex ring grown by a margin.
pub fn is_within(hull: &[(f64, f64)], p: (f64, f64), margin: f64) -> bool {
    (0..hull.len()).all(|i| {
        let (a, b) = (hull[i], hull[(i + 1) % hull.len()]);
        turn(a, b, p) >= -margin * (b.0 - a.0).hypot(b.1 - a.1)
    })
}

/// Twice the signed area of a triangle, positive to the left.
fn turn(a: (f64, f64), b: (f64, f64), p: (f64, f64)) -> f64 {
    (b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0)
}
