//! What a lane can meet: every edge and hazard as grown convex pieces, each with the bands of lateral
//! offset in which it meets the aircraft.
//!
//! Invariants:
//! - a piece is grown by the circle that holds 95 % of its position error, a height by the one-sided
//!   95 % of its own plus the vertical margin;
//! - bands are grown by the sideways allowance, so that a lane is clear only if the aircraft is clear
//!   anywhere within it; where the allowance grows along the lane there is one set of bands for each
//!   of its steps;
//! - a depression meets the keel tracks only, and not at all where they bridge its opening; a hazard
//!   not measured meets the whole aircraft.

use crate::extent::{Grown, Span, Turned, joined};
use crate::hazard::disc_about;
use crate::lane::Frame;
use crate::{ClearanceProfile, EdgeKind, HalfWidth, Hazard, Outline, Point, Presence, Relief, Shape, Step};
use measure::{CIRCLE_95, Height, Metres, ONE_SIDED_95};
use std::sync::Arc;

/// What a lane keeps clear of everything by, metres: what a search returns touches nothing, and two
/// ways of working it out agree about it.
pub(crate) const HAIR: f64 = 0.001;

/// How far from the centre line the aircraft may be, how much room it must have above things, and what
/// it slides over.
#[derive(Clone, PartialEq, Debug)]
pub struct Allowance {
    /// Half-width of the band in which the aircraft's middle may be.
    pub half_width: HalfWidth,
    /// Least vertical distance between aircraft and hazard.
    pub vertical_margin: Height,
    /// A depression whose opening along the lane is not longer than this is bridged by the keels.
    pub bridged_opening: Metres,
}

/// Which thing it is.
#[derive(Clone, Copy, PartialEq, Eq, Debug, PartialOrd, Ord)]
pub enum Thing {
    /// An edge of a ring: 0 the outline, then the islands; edges counted from 0.
    Edge {
        /// Index of the ring.
        ring: usize,
        /// Index of the edge.
        edge: usize,
    },
    /// A hazard, by its index in the list given.
    Hazard(usize),
}

/// One thing that blocks.
#[derive(Clone, PartialEq, Debug)]
pub struct Obstruction {
    /// Which thing.
    pub thing: Thing,
    /// Whether running into it does harm (everything but an open edge).
    pub hard: bool,
    core: Arc<Core>,
    met: Arc<Bands>,
}

/// Offsets at which a thing meets an aircraft that may stray: one set for each step of the half-width.
#[derive(Clone, PartialEq, Debug)]
struct Bands {
    of_step: Vec<Vec<Span>>,
    /// What holds all of them.
    widest: Span,
}

impl Bands {
    /// `None` for what meets the aircraft nowhere.
    fn new(bare: &[Span], half_width: &HalfWidth) -> Option<Self> {
        let grown = |s: &Step| joined(bare.iter().map(|b| b.grown(s.half_width.to_m())).collect());
        let of_step: Vec<Vec<Span>> = half_width.steps().iter().map(grown).collect();
        let widest = of_step.iter().flatten().copied().reduce(Span::with)?;
        Some(Self { of_step, widest })
    }
}

/// Bands worked out last: most things are higher than the wing and so meet it alike.
struct Recent<'h> {
    half_width: &'h HalfWidth,
    last: Option<(Arc<Core>, Arc<Bands>)>,
}

impl Recent<'_> {
    /// `None` for what meets the aircraft nowhere.
    fn grown(&mut self, thing: Thing, hard: bool, core: Arc<Core>) -> Option<Obstruction> {
        let known = self.last.as_ref().filter(|(like, _)| like.bands == core.bands);
        let met = match known {
            Some((_, met)) => met.clone(),
            None => Arc::new(Bands::new(&core.bands, self.half_width)?),
        };
        self.last = Some((core.clone(), met.clone()));
        Some(Obstruction { thing, hard, core, met })
    }
}

/// What a thing is however far the aircraft may stray.
#[derive(Clone, PartialEq, Debug)]
struct Core {
    shape: Shape,
    growth: f64,
    /// A disc that holds it, some hairs wider.
    round: (Point, f64),
    /// Offsets at which it meets an aircraft that does not stray.
    bands: Vec<Span>,
    top: Option<f64>,
    bridged: Option<f64>,
}

impl Core {
    fn new(shape: Shape, growth: f64, bands: Vec<Span>) -> Self {
        let (middle, reach) = disc_about(shape.pieces());
        Self { shape, growth, round: (middle, reach + growth + 3.0 * HAIR), bands, top: None, bridged: None }
    }
}

impl Obstruction {
    /// Convex pieces, grown by its size and accuracy, in a turned frame.
    pub(crate) fn turned<'a>(
        &'a self,
        turn: impl Fn(Point) -> Turned + 'a,
    ) -> impl Iterator<Item = Grown> + 'a {
        self.core.shape.grown(self.core.growth, turn)
    }

    /// The same pieces grown by a hair more, for whoever looks for lanes.
    pub(crate) fn turned_with_hair<'a>(
        &'a self,
        turn: impl Fn(Point) -> Turned + 'a,
    ) -> impl Iterator<Item = Grown> + 'a {
        self.core.shape.grown(self.core.growth + HAIR, turn)
    }

    /// Where it stands and how large it is, to find what is the same among many.
    pub(crate) fn place(&self) -> [u64; 3] {
        let (middle, radius) = self.core.round;
        [middle.x, middle.y, radius].map(f64::to_bits)
    }

    /// Whether another blocks the same lines, whatever its number.
    pub(crate) fn blocks_as(&self, other: &Self) -> bool {
        let Self { thing: _, hard, core, met } = self;
        *hard == other.hard && *met == other.met && *core == other.core
    }

    /// Corners of its convex pieces, and the radius that each is grown by.
    pub(crate) fn cores(&self) -> (&[Vec<Point>], f64) {
        (self.core.shape.pieces(), self.core.growth)
    }

    /// The same pieces without growth, to say where the thing itself is.
    pub(crate) fn turned_bare<'a>(
        &'a self,
        turn: impl Fn(Point) -> Turned + 'a,
    ) -> impl Iterator<Item = Grown> + 'a {
        self.core.shape.grown(0.0, turn)
    }

    /// Chainage of its middle on a line.
    pub(crate) fn middle_along(&self, frame: &Frame) -> f64 {
        frame.line_from_field(self.core.shape.label_point()).0
    }

    /// Whether it lies near enough to a line to meet the aircraft on it, with a hair of growth; a quick answer, which may say
    /// yes where none of it does.
    pub(crate) fn may_meet(&self, frame: &Frame) -> bool {
        let (middle, radius) = self.core.round;
        let (_, off) = frame.line_from_field(middle);
        Span::new(off, off).grown(radius).meets(self.met.widest)
    }

    /// Offsets from the centre line at which it meets the aircraft, in each step of the half-width.
    pub(crate) fn bands(&self) -> &[Vec<Span>] {
        &self.met.of_step
    }

    /// Length of opening along the lane that the keels bridge; `None` for what cannot be bridged.
    pub(crate) fn bridged(&self) -> Option<f64> {
        self.core.bridged
    }

    /// Height that must be cleared, margin and accuracy included; `None` where none was measured or
    /// the thing goes into the ground.
    pub(crate) fn top(&self) -> Option<f64> {
        self.core.top
    }
}

/// Everything that a lane of one field can meet, for one aircraft.
#[derive(Clone, PartialEq, Debug)]
pub struct Obstructions {
    list: Arc<[Obstruction]>,
    outline: Outline,
    profile: ClearanceProfile,
    allowance: Allowance,
}

impl Obstructions {
    /// From the outline, the hazards, the aircraft from ahead and the allowance.
    pub fn new(
        outline: &Outline,
        hazards: &[Hazard],
        profile: &ClearanceProfile,
        allowance: &Allowance,
    ) -> Self {
        let edges = outline.rings().iter().enumerate().flat_map(|(ring, r)| {
            let count = r.corners.len();
            let of = move |edge: usize| {
                let (a, b) = (r.corners[edge], r.corners[(edge + 1) % count]);
                let kind = r.edges[edge];
                let accuracy = (a.sigma.max(b.sigma), kind.height_from_ground() * r.height_share);
                let core = edge_core(kind, [a.at, b.at], accuracy, profile, allowance);
                (Thing::Edge { ring, edge }, kind.is_hard(), Arc::new(core))
            };
            (0..count).map(of)
        });
        let hazards = hazards.iter().enumerate().filter(|(_, h)| h.presence == Presence::Present);
        let hazards = hazards.map(|(i, h)| {
            let core = hazard_core(h, profile, allowance);
            (Thing::Hazard(i), true, Arc::new(core))
        });
        let mut recent = Recent { half_width: &allowance.half_width, last: None };
        let all = edges.chain(hazards);
        let list = all.filter_map(|(thing, hard, core)| recent.grown(thing, hard, core)).collect();
        Self { list, outline: outline.clone(), profile: profile.clone(), allowance: allowance.clone() }
    }

    /// The same for an aircraft that may stray otherwise.
    #[must_use]
    pub fn with_half_width(&self, half_width: HalfWidth) -> Self {
        let mut recent = Recent { half_width: &half_width, last: None };
        let list = self.list.iter().filter_map(|o| recent.grown(o.thing, o.hard, o.core.clone())).collect();
        let allowance = Allowance { half_width, ..self.allowance.clone() };
        Self { list, outline: self.outline.clone(), profile: self.profile.clone(), allowance }
    }

    /// The same field with ground that the keels are kept off: areas with the standard deviation of their corners.
    #[must_use]
    pub fn with_ground<'s>(&self, areas: impl IntoIterator<Item = (Thing, &'s Shape, Metres)>) -> Self {
        let keels = vec![self.profile.keel_width()];
        let mut recent = Recent { half_width: &self.allowance.half_width, last: None };
        let ground = areas.into_iter().filter_map(|(thing, shape, sigma)| {
            let core = Core::new(shape.clone(), CIRCLE_95 * sigma.to_m(), keels.clone());
            recent.grown(thing, true, Arc::new(core))
        });
        let list = self.list.iter().cloned().chain(ground).collect();
        Self { list, ..self.clone() }
    }

    /// The same field without some of its things.
    #[must_use]
    pub fn without(&self, things: &[Thing]) -> Self {
        let list = self.list.iter().filter(|o| !things.contains(&o.thing)).cloned().collect();
        Self { list, ..self.clone() }
    }

    /// Whether two fields differ in nothing but their things.
    pub(crate) fn same_but_for_things(&self, other: &Self) -> bool {
        let Self { list: _, outline, profile, allowance } = self;
        *outline == other.outline && *profile == other.profile && *allowance == other.allowance
    }

    /// All of them, edges first.
    pub fn list(&self) -> &[Obstruction] {
        &self.list
    }

    /// The outline they belong to.
    pub fn outline(&self) -> &Outline {
        &self.outline
    }

    /// Farthest from a centre line at which a thing can still matter.
    pub fn reach(&self) -> Metres {
        self.profile.farthest() + self.allowance.half_width.widest()
    }

    /// The aircraft from ahead.
    pub fn profile(&self) -> &ClearanceProfile {
        &self.profile
    }

    /// Distances from the near end at which the half-width grows, each but the first a hair early, for
    /// whoever looks for lanes: one that ends there must not touch what the wider band meets.
    pub(crate) fn steps(&self) -> Vec<f64> {
        let early = |s: &Step| (s.from.to_m() - HAIR).max(0.0);
        self.allowance.half_width.steps().iter().map(early).collect()
    }

    /// The allowance they were made with.
    pub fn allowance(&self) -> &Allowance {
        &self.allowance
    }
}

/// Ground beyond an edge may not be slid on; a wing may hang over it if it clears its height.
fn edge_core(
    kind: EdgeKind,
    ends: [Point; 2],
    (sigma, height_sigma): (Metres, Metres),
    profile: &ClearanceProfile,
    allowance: &Allowance,
) -> Core {
    let height = kind.height();
    let top = (height > Height::ZERO).then(|| top(height, height_sigma, allowance));
    let mut bands = vec![profile.keel_width()];
    bands.extend(top.into_iter().flat_map(|top| profile.bands_below(top)));
    let shape = Shape::edge(ends[0], ends[1]);
    Core { top, ..Core::new(shape, CIRCLE_95 * sigma.to_m(), bands) }
}

fn hazard_core(hazard: &Hazard, profile: &ClearanceProfile, allowance: &Allowance) -> Core {
    let growth = hazard.radius.to_m() + CIRCLE_95 * hazard.position_sigma.to_m();
    let (top, bands) = match hazard.relief {
        Relief::Raised(height) => {
            let top = top(height, hazard.height_sigma, allowance);
            (Some(top), profile.bands_below(top))
        }
        Relief::Sunk(_) => (None, profile.keel_tracks().to_vec()),
        Relief::NotMeasured => (None, profile.bands_below(f64::INFINITY)),
    };
    let opening = allowance.bridged_opening.to_m();
    let bridged = (matches!(hazard.relief, Relief::Sunk(_)) && opening > 0.0).then_some(opening);
    Core { top, bridged, ..Core::new(hazard.shape.clone(), growth, bands) }
}

/// Height that must be cleared.
fn top(height: Height, sigma: Metres, allowance: &Allowance) -> f64 {
    (height + allowance.vertical_margin).to_m() + ONE_SIDED_95 * sigma.to_m()
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// A constant half-width, nothing bridged.
    pub(crate) fn allowance(half_width: f64, vertical_margin: f64) -> Allowance {
        Allowance {
            half_width: HalfWidth::constant(Metres::m(half_width)),
            vertical_margin: Height::m(vertical_margin),
            bridged_opening: Metres::ZERO,
        }
    }
}
