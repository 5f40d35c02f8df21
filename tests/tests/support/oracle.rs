//! The oracle's fields, and a judge of lanes on them that uses `geo` and nothing of `ground`'s search:
//! numbers of the aircraft and of the growth are written out again, as they are in `oracle/lanes.py`.

use geo::{
    BooleanOps, BoundingRect, Contains, ConvexHull, Distance, Euclidean, LineString, MultiPoint,
    Point as GeoPoint, Polygon, Rect,
};
use ground::{
    Allowance, ClearanceProfile, Corner, EdgeKind, HalfWidth, Hazard, HazardKind, Lane, Obstructions,
    Outline, Part, Point, Presence, Relief, Ring, Shape, Step,
};
use measure::{Depth, Height, Metres};
use serde::Deserialize;
use std::path::Path;

/// Radius of the circle that holds a point, in standard deviations, and of a height, one-sided.
const CIRCLE: f64 = 2.45;
const ONE_SIDED: f64 = 1.645;

/// Height that is kept free above everything, metres.
const MARGIN: f64 = 0.05;

/// Undersides: offsets and heights at both.
const PARTS: [(f64, f64, f64, f64); 5] = [
    (1.075, 0.0, 1.125, 0.0),
    (0.8, 0.12, 1.075, 0.0),
    (1.125, 0.0, 1.4, 0.12),
    (0.0, 0.5, 0.8, 0.5),
    (0.6, 2.0, 5.0, 2.2),
];
const TRACK: (f64, f64) = (1.075, 1.125);
const KEELS: (f64, f64) = (-1.125, 1.125);
const SPAN: (f64, f64) = (-5.0, 5.0);

/// One field and what the oracle found on it.
#[derive(Clone, Debug, Deserialize)]
pub struct Field {
    pub name: String,
    pub family: String,
    outer: Vec<(f64, f64)>,
    islands: Vec<Vec<(f64, f64)>>,
    edges: Vec<(Edge, f64)>,
    island_edges: Vec<Vec<(Edge, f64)>>,
    sigma: f64,
    share: f64,
    half_width: Vec<(f64, f64)>,
    bridged: f64,
    hazards: Vec<Thing>,
    pub best_length: f64,
    pub by_heading: Vec<(f64, f64)>,
    pub best_usable: Option<f64>,
}

#[derive(Clone, Copy, PartialEq, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Edge {
    Open,
    Fence,
}

#[derive(Clone, Debug, Deserialize)]
struct Thing {
    shape: Form,
    at: Vec<(f64, f64)>,
    radius: f64,
    sigma: f64,
    height_sigma: f64,
    relief: Stands,
}

#[derive(Clone, Copy, PartialEq, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Form {
    Point,
    Line,
    Area,
}

/// A kind, and a height where it has one.
#[derive(Clone, Copy, PartialEq, Debug, Deserialize)]
#[serde(untagged)]
enum Stands {
    Raised(Kind, f64),
    Other([Kind; 1]),
}

#[derive(Clone, Copy, PartialEq, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Kind {
    Raised,
    Sunk,
    NotMeasured,
}

/// All fields of the oracle.
pub fn fields() -> Vec<Field> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("oracle/lanes.jsonl");
    let text = std::fs::read_to_string(path).expect("the oracle's answers");
    text.lines().map(|line| serde_json::from_str(line).expect("a field")).collect()
}

impl Field {
    /// Whether its lanes widen along their way.
    pub fn grows(&self) -> bool {
        self.half_width.len() > 1
    }

    /// The field as the program has it.
    pub fn obstructions(&self) -> Obstructions {
        let islands = self.islands.iter().zip(&self.island_edges).map(|(at, edges)| self.ring(at, edges));
        let outline =
            Outline::new(self.ring(&self.outer, &self.edges), islands.collect()).expect("a valid outline");
        let hazards: Vec<Hazard> = self.hazards.iter().enumerate().map(|(i, t)| t.hazard(i)).collect();
        let step = |&(from, width): &(f64, f64)| Step { from: Metres::m(from), half_width: Metres::m(width) };
        let steps: Vec<Step> = self.half_width.iter().map(step).collect();
        let allowance = Allowance {
            half_width: HalfWidth::stepped(steps[0].half_width, &steps[1..]),
            vertical_margin: Height::m(MARGIN),
            bridged_opening: Metres::m(self.bridged),
        };
        Obstructions::new(&outline, &hazards, &profile(), &allowance)
    }

    fn ring(&self, at: &[(f64, f64)], edges: &[(Edge, f64)]) -> Ring {
        let corner = |&p: &(f64, f64)| Corner { at: point(p), sigma: Metres::m(self.sigma) };
        let kind = |&(kind, height): &(Edge, f64)| match kind {
            Edge::Open => EdgeKind::Open,
            Edge::Fence => EdgeKind::Fence(Height::m(height)),
        };
        Ring {
            corners: at.iter().map(corner).collect(),
            edges: edges.iter().map(kind).collect(),
            height_share: self.share,
        }
    }

    /// What a lane meets, if anything.
    pub fn blocking(&self, lane: &Lane) -> Option<String> {
        let middle = lane.point_at(lane.length * 0.5, Metres::ZERO);
        let ring = |at: &[(f64, f64)]| LineString::from(at.to_vec());
        let ground = Polygon::new(ring(&self.outer), self.islands.iter().map(|at| ring(at)).collect());
        if !ground.contains(&GeoPoint::from((middle.x, middle.y))) {
            return Some("it lies off the ground".to_owned());
        }
        let rings =
            std::iter::once((&self.outer, &self.edges)).chain(self.islands.iter().zip(&self.island_edges));
        for (at, edges) in rings {
            for (i, (_, height)) in edges.iter().enumerate() {
                let side = LineString::from(vec![at[i], at[(i + 1) % at.len()]]);
                let over = if *height > 0.0 {
                    bands_below(height + MARGIN + ONE_SIDED * self.share * height)
                } else {
                    vec![]
                };
                let bands: Vec<_> = over.into_iter().chain([KEELS]).collect();
                if self.meets(lane, &bands, CIRCLE * self.sigma, |strip| Euclidean.distance(strip, &side)) {
                    return Some(format!("edge {i} from {:?}", at[i]));
                }
            }
        }
        self.hazards
            .iter()
            .position(|t| self.met(lane, t))
            .map(|i| format!("hazard {i}: {:?}", self.hazards[i]))
    }

    fn met(&self, lane: &Lane, thing: &Thing) -> bool {
        let bands = match thing.relief {
            Stands::Raised(_, height) => bands_below(height + MARGIN + ONE_SIDED * thing.height_sigma),
            Stands::Other([Kind::Sunk]) if self.bridged > 0.0 => return self.falls_into(lane, thing),
            Stands::Other([Kind::Sunk]) => vec![TRACK, mirrored(TRACK)],
            Stands::Other(_) => vec![SPAN],
        };
        let line = || LineString::from(thing.at.clone());
        self.meets(lane, &bands, thing.radius + CIRCLE * thing.sigma, |strip| match thing.shape {
            Form::Point => Euclidean.distance(strip, &GeoPoint::from(thing.at[0])),
            Form::Line => Euclidean.distance(strip, &line()),
            Form::Area => Euclidean.distance(strip, &Polygon::new(line(), vec![])),
        })
    }

    /// Whether a depression lies open under a track for longer than the keels bridge, by a centimetre at
    /// least: circles are drawn here as polygons inside them.
    fn falls_into(&self, lane: &Lane, thing: &Thing) -> bool {
        let (near, length) = (lane.near, lane.length.to_m());
        let (sin, cos) = lane.heading.to_rad().sin_cos();
        let along = |&(x, y): &(f64, f64)| {
            let (x, y) = (x - near.x, y - near.y);
            (x * sin + y * cos, x * cos - y * sin)
        };
        let at: Vec<(f64, f64)> = thing.at.iter().map(along).collect();
        let parts = grown_parts(thing.shape, &at, thing.radius + CIRCLE * thing.sigma);
        self.half_width.iter().filter(|(from, _)| *from < length).any(|(from, half)| {
            let strips = [TRACK, mirrored(TRACK)]
                .map(|(low, high)| Rect::new((-1e4, low - half), (1e4, high + half)).to_polygon());
            let open = parts.iter().flat_map(|part| strips.iter().flat_map(|strip| part.intersection(strip)));
            let mut spans: Vec<(f64, f64)> =
                open.filter_map(|p| p.bounding_rect()).map(|r| (r.min().x, r.max().x)).collect();
            spans.sort_by(|a, b| a.0.total_cmp(&b.0));
            let joined = spans.into_iter().fold(Vec::new(), |mut out: Vec<(f64, f64)>, span| {
                match out.last_mut() {
                    Some(last) if span.0 <= last.1 => last.1 = last.1.max(span.1),
                    _ => out.push(span),
                }
                out
            });
            joined
                .iter()
                .any(|(low, high)| high - low > self.bridged + 0.01 && *high > *from && *low < length)
        })
    }

    /// Whether any band, as wide as it is from each step on, comes as near to a thing as its radius.
    fn meets(&self, lane: &Lane, bands: &[(f64, f64)], radius: f64, away: impl Fn(&Polygon) -> f64) -> bool {
        let length = lane.length.to_m();
        let steps = self.half_width.iter().filter(|(from, _)| *from < length);
        steps.flat_map(|step| bands.iter().map(move |band| (step, band))).any(
            |((from, half), (low, high))| {
                let corner = |along: f64, across: f64| {
                    let p = lane.point_at(Metres::m(along), Metres::m(across));
                    (p.x, p.y)
                };
                let (low, high) = (low - half, high + half);
                let strip =
                    vec![corner(*from, low), corner(*from, high), corner(length, high), corner(length, low)];
                away(&Polygon::new(LineString::from(strip), vec![])) <= radius
            },
        )
    }
}

impl Thing {
    fn hazard(&self, i: usize) -> Hazard {
        let at: Vec<Point> = self.at.iter().map(|p| point(*p)).collect();
        let shape = match self.shape {
            Form::Point => Shape::disc(at[0]),
            Form::Line => Shape::line(&at),
            Form::Area => Shape::area(&at),
        };
        let (kind, relief) = match self.relief {
            Stands::Raised(_, height) => (HazardKind::Rock, Relief::Raised(Height::m(height))),
            Stands::Other([Kind::Sunk]) => (HazardKind::Drain, Relief::Sunk(Some(Depth::m(0.3)))),
            Stands::Other(_) => (HazardKind::Unidentified, Relief::NotMeasured),
        };
        Hazard {
            id: format!("h{i}"),
            kind,
            shape: shape.expect("a valid shape"),
            radius: Metres::m(self.radius),
            relief,
            position_sigma: Metres::m(self.sigma),
            height_sigma: Metres::m(self.height_sigma),
            presence: Presence::Present,
        }
    }
}

/// A shape grown by a radius, in parts: what lies within it, and what lies about its corners and sides.
fn grown_parts(form: Form, at: &[(f64, f64)], radius: f64) -> Vec<Polygon> {
    let about = |corners: &[(f64, f64)]| {
        let turn = |i: u32| f64::from(i) / 64.0 * std::f64::consts::TAU;
        let round = |&(s, o): &(f64, f64)| {
            (0..64).map(move |i| GeoPoint::new(s + radius * turn(i).cos(), o + radius * turn(i).sin()))
        };
        corners.iter().flat_map(round).collect::<MultiPoint>().convex_hull()
    };
    let closing = [at[at.len() - 1], at[0]];
    match form {
        Form::Point => vec![about(at)],
        Form::Line => at.windows(2).map(about).collect(),
        Form::Area => {
            let sides = at.windows(2).chain([&closing[..]]).map(about);
            sides.chain([Polygon::new(LineString::from(at.to_vec()), vec![])]).collect()
        }
    }
}

/// Offsets at which some part hangs no higher than this.
fn bands_below(top: f64) -> Vec<(f64, f64)> {
    let mut out = Vec::new();
    for (from, low, to, high) in PARTS {
        if low.min(high) > top {
            continue;
        }
        let reached = from + (to - from) * ((top - low) / (high - low)).clamp(0.0, 1.0);
        let part = if low.max(high) <= top {
            (from, to)
        } else if low < high {
            (from, reached)
        } else {
            (reached, to)
        };
        out.extend([part, mirrored(part)]);
    }
    out
}

fn mirrored((from, to): (f64, f64)) -> (f64, f64) {
    (-to, -from)
}

fn profile() -> ClearanceProfile {
    let part = |(i, (from, low, to, high)): (usize, (f64, f64, f64, f64))| Part {
        name: format!("part {i}"),
        offsets: (Metres::m(from), Metres::m(to)),
        heights: (Height::m(low), Height::m(high)),
    };
    let parts: Vec<Part> = PARTS.into_iter().enumerate().skip(1).map(part).collect();
    ClearanceProfile::new(Metres::m(2.2), Metres::m(0.05), &parts, Metres::m(SPAN.1), 0.0)
        .expect("a valid profile")
}

fn point((x, y): (f64, f64)) -> Point {
    Point { x, y }
}
