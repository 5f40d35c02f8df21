//! Everything that blocks, laid out for many lines: discs apart from longer things, about a pivot in the
//! middle of the field.
//!
//! Ground outside the outline and on islands blocks here by its area, so that a gap between blockers lies
//! on the field without asking.

use crate::extent::{Grown, Span};
use crate::hazard::disc_about;
use crate::obstruction::HAIR;
use crate::{Obstruction, Obstructions, Outline, Point};
use geo::{BooleanOps, ConvexHull, LineString, Polygon, TriangulateEarcut};

/// A grown point in one band of one step.
#[derive(Clone, Copy, Debug)]
pub(super) struct Disc {
    pub(super) at: Point,
    pub(super) radius: f64,
    pub(super) band: Span,
    pub(super) from: f64,
    pub(super) hard: bool,
    /// Opening that is bridged; 0 for what is not.
    pub(super) bridged: f64,
}

/// Convex pieces in all bands of all steps.
#[derive(Clone, Debug)]
pub(super) struct Long {
    pub(super) cores: Vec<Vec<Point>>,
    pub(super) radius: f64,
    /// Distance from which bands count, and the bands.
    pub(super) bands: Vec<(f64, Vec<Span>)>,
    pub(super) hard: bool,
    pub(super) bridged: f64,
    /// A disc that holds the grown pieces.
    pub(super) round: (Point, f64),
    /// What holds all bands.
    pub(super) widest: Span,
}

/// Some of them, by index.
#[derive(Clone, Debug, Default)]
pub(super) struct Near {
    pub(super) discs: Vec<u32>,
    pub(super) longs: Vec<u32>,
}

impl Near {
    pub(super) fn all(blockers: &Blockers) -> Self {
        let count = |n: usize| (0..n as u32).collect();
        Self { discs: count(blockers.discs.len()), longs: count(blockers.longs.len()) }
    }

    pub(super) fn with_room(discs: usize, longs: usize) -> Self {
        Self { discs: Vec::with_capacity(discs), longs: Vec::with_capacity(longs) }
    }

    /// Without room that is not needed: as many are kept as there are boxes open.
    pub(super) fn fitted(mut self) -> Self {
        self.discs.shrink_to_fit();
        self.longs.shrink_to_fit();
        self
    }

    pub(super) fn discs<'a>(&'a self, of: &'a Blockers) -> impl Iterator<Item = (u32, &'a Disc)> {
        self.discs.iter().filter_map(|&i| Some((i, of.discs.get(i as usize)?)))
    }

    pub(super) fn longs<'a>(&'a self, of: &'a Blockers) -> impl Iterator<Item = (u32, &'a Long)> {
        self.longs.iter().filter_map(|&i| Some((i, of.longs.get(i as usize)?)))
    }

    pub(super) fn is_empty(&self) -> bool {
        self.discs.is_empty() && self.longs.is_empty()
    }

    pub(super) fn len(&self) -> usize {
        self.discs.len() + self.longs.len()
    }
}

/// All of them.
#[derive(Clone, Debug)]
pub(super) struct Blockers {
    /// Middle of the field: positions here are counted from it.
    pub(super) pivot: Point,
    /// Corners of the outline's convex hull, the last repeating the first.
    pub(super) hull: Vec<Point>,
    pub(super) discs: Vec<Disc>,
    pub(super) longs: Vec<Long>,
    /// Distances from the near end at which the half-width grows.
    pub(super) steps: Vec<f64>,
}

impl Blockers {
    pub(super) fn new(obstructions: &Obstructions) -> Self {
        let mut out = Self::of(obstructions, obstructions.list().iter());
        let keel = obstructions.profile().keel_width();
        let first = obstructions.allowance().half_width.at(measure::Metres::ZERO).to_m();
        let bands = vec![(0.0, vec![keel.grown(first)])];
        let hull = obstructions.outline().polygon().convex_hull();
        out.hull = hull.exterior().points().map(|p| p.0 - out.pivot).collect();
        let outside = not_to_slide_on(obstructions.outline());
        let triangle =
            |t: [Point; 3]| Long::new(vec![t.map(|p| p - out.pivot).to_vec()], 0.0, bands.clone()).soft();
        out.longs.extend(outside.into_iter().map(triangle));
        out
    }

    /// Of some things only, without the ground around them.
    pub(super) fn of<'a>(obstructions: &Obstructions, things: impl Iterator<Item = &'a Obstruction>) -> Self {
        let steps = obstructions.steps();
        let pivot = obstructions.outline().middle();
        let mut out = Self { pivot, hull: Vec::new(), discs: Vec::new(), longs: Vec::new(), steps };
        things.for_each(|o| out.add(o));
        out
    }

    fn add(&mut self, o: &Obstruction) {
        let (cores, radius) = o.cores();
        let (radius, bridged) = (radius + HAIR, o.bridged().unwrap_or(0.0));
        let mut pieces: Vec<Vec<Point>> = cores.iter().map(|core| self.about_pivot(core)).collect();
        pieces.dedup();
        // Over two bands, or from piece to piece, an opening may go on, which a disc by itself cannot tell.
        let one_disc = matches!(&pieces[..], [piece] if piece.len() == 1);
        if bridged > 0.0 && !(one_disc && o.bands().iter().all(|bands| bands.len() <= 1)) {
            self.add_long(o, pieces.clone(), radius, bridged);
        }
        for piece in pieces {
            match piece[..] {
                [at] => self.add_disc(o, at, radius, bridged),
                _ if bridged > 0.0 => {}
                _ => self.add_long(o, vec![piece], radius, bridged),
            }
        }
    }

    /// Corners counted from the pivot; those that repeat the one before add nothing.
    fn about_pivot(&self, core: &[Point]) -> Vec<Point> {
        let mut out: Vec<Point> = core.iter().map(|p| *p - self.pivot).collect();
        out.dedup();
        out
    }

    fn add_disc(&mut self, o: &Obstruction, at: Point, radius: f64, bridged: f64) {
        for (&from, bands) in self.steps.iter().zip(o.bands()) {
            let disc = |&band: &Span| Disc { at, radius, band, from, hard: o.hard, bridged };
            self.discs.extend(bands.iter().map(disc));
        }
    }

    fn add_long(&mut self, o: &Obstruction, cores: Vec<Vec<Point>>, radius: f64, bridged: f64) {
        let bands = self.steps.iter().copied().zip(o.bands().iter().cloned()).collect();
        self.longs.push(Long { hard: o.hard, bridged, ..Long::new(cores, radius, bands) });
    }

    /// Farthest corner of the outline from the pivot.
    pub(super) fn radius(outline: &Outline) -> f64 {
        let pivot = outline.middle();
        let corners = outline.rings().first().map_or(&[][..], |r| &r.corners);
        corners.iter().map(|c| libm::hypot(c.at.x - pivot.x, c.at.y - pivot.y)).fold(0.0, f64::max)
    }
}

impl Long {
    /// Hard and not bridged.
    pub(super) fn new(cores: Vec<Vec<Point>>, radius: f64, bands: Vec<(f64, Vec<Span>)>) -> Self {
        let (middle, reach) = disc_about(&cores);
        let all = bands.iter().flat_map(|(_, bands)| bands).copied().reduce(Span::with);
        // Without a band nothing meets it: no offset is within this one.
        let widest = all.unwrap_or(Span::new(f64::INFINITY, f64::NEG_INFINITY));
        Self { cores, radius, bands, hard: true, bridged: 0.0, round: (middle, reach + radius), widest }
    }

    /// Not hard.
    pub(super) fn soft(self) -> Self {
        Self { hard: false, ..self }
    }

    /// Its pieces in a turned frame.
    pub(super) fn turned(&self, sin: f64, cos: f64) -> impl Iterator<Item = Grown> {
        self.cores.iter().map(move |core| Grown::new(core.iter().map(|p| turned(*p, sin, cos)), self.radius))
    }
}

/// (chainage, offset) of a point for a heading of this sine and cosine.
pub(super) fn turned(p: Point, sin: f64, cos: f64) -> (f64, f64) {
    (p.x * sin + p.y * cos, p.x * cos - p.y * sin)
}

/// Triangles that cover the ground within the outline's convex hull that may not be slid on.
fn not_to_slide_on(outline: &Outline) -> Vec<[Point; 3]> {
    let polygon = outline.polygon();
    let ring = |line: &LineString<f64>| Polygon::new(line.clone(), Vec::new());
    let whole = ring(polygon.exterior());
    let pockets = whole.convex_hull().difference(&whole);
    let islands = polygon.interiors().iter().map(ring);
    pockets
        .into_iter()
        .chain(islands)
        .flat_map(|p| p.earcut_triangles_iter().map(|t| [t.v1(), t.v2(), t.v3()]).collect::<Vec<_>>())
        .collect()
}
