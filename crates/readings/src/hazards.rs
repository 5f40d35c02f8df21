//! Hazards out of waypoints and of walks round something.
//!
//! Invariants: no height is made up, so a hazard blocks the whole aircraft unless a word says clearly
//! that it goes into the ground; marks are unique; nothing that was marked is left out in silence.

use crate::accuracy::{Accuracy, recorded};
use crate::boundary::{Around, Inside, Path};
use crate::fixes::{FARTHEST, Field};
use crate::note::Note;
use crate::rings::{enclosing, whole_millimetres};
use crate::source::Mark;
use crate::words;
use ground::Point;
use measure::Metres;
use std::collections::BTreeSet;
use strip::record::{HazardKindRecord, HazardRecord, HazardStateRecord, PlaceRecord};

/// Radius of a hazard of which only a point is known, metres; judgement.
const RADIUS: f64 = 0.5;

/// Most corners of one hazard, well below what a record takes.
const MOST_CORNERS: usize = 500;

/// Words that say what a hazard is, in small letters; a plural with "s" counts as well.
const WORDS: [(&str, HazardKindRecord); 9] = [
    ("rock", HazardKindRecord::Rock),
    ("stone", HazardKindRecord::Rock),
    ("boulder", HazardKindRecord::Rock),
    ("stump", HazardKindRecord::Stump),
    ("post", HazardKindRecord::Post),
    ("rut", HazardKindRecord::Rut),
    ("hole", HazardKindRecord::Hole),
    ("drain", HazardKindRecord::Drain),
    ("mound", HazardKindRecord::Mound),
];

/// The kind that the words name. Words that name two kinds name none: of a post by a hole it is not
/// known which was marked, and a hole would let a wing pass over it.
fn kind(text: &str) -> HazardKindRecord {
    let text = text.to_lowercase();
    let named = text.split(|c: char| !c.is_alphanumeric()).filter_map(|word| {
        let found = WORDS.iter().find(|(w, _)| word == *w || word.strip_suffix('s') == Some(*w));
        found.map(|(_, kind)| *kind)
    });
    let mut kinds: Vec<HazardKindRecord> = named.collect();
    kinds.dedup();
    match kinds[..] {
        [one] => one,
        _ => HazardKindRecord::Unidentified,
    }
}

/// The hazards of one import, with their marks.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Hazards {
    list: Vec<HazardRecord>,
    taken: BTreeSet<String>,
}

impl Hazards {
    /// All of them.
    pub(crate) fn into_list(self) -> Vec<HazardRecord> {
        self.list
    }

    /// Takes the waypoints, each under its name where that is a mark nobody else has.
    pub(crate) fn add_waypoints(&mut self, marks: &[Mark], field: &Field, accuracy: Accuracy) -> Vec<Note> {
        let mut notes = Vec::new();
        let mut near = Vec::new();
        for (i, mark) in marks.iter().enumerate() {
            let placed = field.place(&mark.fix);
            let name = mark.name.as_deref().and_then(words::mark);
            if placed.away > FARTHEST {
                let waypoint = name.unwrap_or_else(|| (i + 1).to_string());
                notes.push(Note::WaypointFarAway { waypoint });
                continue;
            }
            // Names first, so that "w2" as a name does not lose to the second waypoint's number.
            let id = name.filter(|name| self.taken.insert(name.clone()));
            near.push((i + 1, id, mark, placed.at));
        }
        let mut unidentified = Vec::new();
        let count = near.len();
        for (number, id, mark, at) in near {
            let id = id.unwrap_or_else(|| self.fresh("w", number));
            let (sigma, _) = accuracy.with_dilution(mark.fix.dilution);
            let kind = kind(&mark.words);
            if kind == HazardKindRecord::Unidentified {
                unidentified.push(id.clone());
            }
            let [at] = whole_millimetres(&[at])[..] else { continue };
            self.list.push(record(id, kind, PlaceRecord::Point(at.x, at.y), RADIUS, sigma));
        }
        if count > 0 {
            notes.push(Note::WaypointsTaken { count, radius: Metres::m(RADIUS) });
        }
        if !unidentified.is_empty() {
            notes.push(Note::WaypointsUnidentified { hazards: unidentified });
        }
        notes
    }

    /// Takes a further walk; the marks of its hazards.
    pub(crate) fn add_walk(&mut self, path: &Path, accuracy: Accuracy) -> Vec<String> {
        let before = self.list.len();
        let tolerance = accuracy.tolerance();
        let around = Around::of(path, tolerance);
        let sigma = path.sigma + tolerance;
        for ring in &around.rings {
            self.add_ring("area", ring, tolerance, sigma);
        }
        if let Some(line) = around.line {
            self.add_line("area", &line, sigma);
        }
        self.marks_from(before)
    }

    /// Takes what was walked inside the outline; the marks of its hazards.
    pub(crate) fn add_inside(&mut self, inside: &Inside, tolerance: f64, sigma: f64) -> Vec<String> {
        let before = self.list.len();
        for ring in &inside.areas {
            self.add_ring("inside", ring, tolerance, sigma);
        }
        for line in &inside.lines {
            self.add_line("inside", line, sigma);
        }
        self.marks_from(before)
    }

    fn marks_from(&self, before: usize) -> Vec<String> {
        self.list.iter().skip(before).map(|h| h.id.clone()).collect()
    }

    fn add_ring(&mut self, prefix: &str, ring: &[Point], tolerance: f64, sigma: f64) {
        if let Some(area) = enclosing(ring, tolerance, MOST_CORNERS) {
            self.add(prefix, PlaceRecord::Area(pairs(&area)), 0.0, sigma);
        } else {
            let closed: Vec<Point> = ring.iter().chain(ring.first()).copied().collect();
            self.add_line(prefix, &whole_millimetres(&closed), sigma);
        }
    }

    /// In pieces that share their ends, so that none has too many corners.
    fn add_line(&mut self, prefix: &str, line: &[Point], sigma: f64) {
        if let [one] = line {
            self.add(prefix, PlaceRecord::Point(one.x, one.y), RADIUS, sigma);
        }
        for from in (0..line.len().saturating_sub(1)).step_by(MOST_CORNERS - 1) {
            let to = line.len().min(from + MOST_CORNERS);
            self.add(prefix, PlaceRecord::Line(pairs(&line[from..to])), RADIUS, sigma);
        }
    }

    fn add(&mut self, prefix: &str, at: PlaceRecord, radius: f64, sigma: f64) {
        let id = self.fresh(prefix, 1);
        self.list.push(record(id, HazardKindRecord::Unidentified, at, radius, sigma));
    }

    /// A mark that nobody has, numbered from `number` on.
    fn fresh(&mut self, prefix: &str, number: usize) -> String {
        let mut numbers = number..;
        loop {
            let id = format!("{prefix}{}", numbers.next().unwrap_or(number));
            if self.taken.insert(id.clone()) {
                return id;
            }
        }
    }
}

fn pairs(points: &[Point]) -> Vec<(f64, f64)> {
    points.iter().map(|p| (p.x, p.y)).collect()
}

fn record(id: String, kind: HazardKindRecord, at: PlaceRecord, radius: f64, sigma: f64) -> HazardRecord {
    HazardRecord {
        id,
        kind,
        at,
        radius_m: radius,
        height_m: None,
        depth_m: None,
        pos_sigma_m: Some(recorded(sigma)),
        height_sigma_m: None,
        state: HazardStateRecord::Present,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_name_the_kind_whatever_their_case_and_number() {
        use HazardKindRecord as K;
        let cases = [
            ("ROCK", K::Rock),
            ("two big Boulders", K::Rock),
            ("stone, rock", K::Rock),
            ("old stump", K::Stump),
            ("gate-post", K::Post),
            ("ruts", K::Rut),
            ("badger hole", K::Hole),
            ("Drain 2", K::Drain),
            ("mound", K::Mound),
            ("post by a hole", K::Unidentified),
            ("a whole truth", K::Unidentified),
            ("rock, hole, rock", K::Unidentified),
            ("", K::Unidentified),
        ];
        for (text, expected) in cases {
            assert_eq!(kind(text), expected, "{text}");
        }
    }

    #[test]
    fn a_long_line_is_cut_into_pieces_that_share_their_ends() {
        let line: Vec<Point> = (0..1_100).map(|i| Point { x: f64::from(i), y: 0.0 }).collect();
        let mut hazards = Hazards::default();
        hazards.add_line("area", &line, 1.0);
        let ends: Vec<(f64, f64, usize)> = hazards
            .into_list()
            .iter()
            .map(|h| match &h.at {
                PlaceRecord::Line(l) => (l[0].0, l[l.len() - 1].0, l.len()),
                other => panic!("{other:?}"),
            })
            .collect();
        assert_eq!(ends, vec![(0.0, 499.0, 500), (499.0, 998.0, 500), (998.0, 1_099.0, 102)]);
    }
}
