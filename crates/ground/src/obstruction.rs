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
use crate::{
    Centreline, ClearanceProfile, EdgeKind, HalfWidth, Hazard, Outline, Point, Presence, Relief, Shape, Step,
};
use measure::{CIRCLE_95, Height, Metres, ONE_SIDED_95};

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
    shape: Shape,
    growth: f64,
    /// One set for each step of the half-width.
    bands: Vec<Vec<Span>>,
    top: Option<f64>,
    bridged: Option<f64>,
}

impl Obstruction {
    /// Convex pieces, grown by its size and accuracy, in a turned frame.
    pub(crate) fn turned<'a>(
        &'a self,
        turn: impl Fn(Point) -> Turned + 'a,
    ) -> impl Iterator<Item = Grown> + 'a {
        self.shape.grown(self.growth, turn)
    }

    /// The same pieces grown by a hair more, for whoever looks for lanes.
    pub(crate) fn turned_with_hair<'a>(
        &'a self,
        turn: impl Fn(Point) -> Turned + 'a,
    ) -> impl Iterator<Item = Grown> + 'a {
        self.shape.grown(self.growth + HAIR, turn)
    }

    /// Corners of its convex pieces, and the radius that each is grown by.
    pub(crate) fn cores(&self) -> (&[Vec<Point>], f64) {
        (self.shape.pieces(), self.growth)
    }

    /// The same pieces without growth, to say where the thing itself is.
    pub(crate) fn turned_bare<'a>(
        &'a self,
        turn: impl Fn(Point) -> Turned + 'a,
    ) -> impl Iterator<Item = Grown> + 'a {
        self.shape.grown(0.0, turn)
    }

    /// Chainage of its middle on a line.
    pub(crate) fn middle_along(&self, line: Centreline) -> f64 {
        line.line_from_field(self.shape.label_point()).0
    }

    /// Offsets from the centre line at which it meets the aircraft, in each step of the half-width.
    pub(crate) fn bands(&self) -> &[Vec<Span>] {
        &self.bands
    }

    /// Length of opening along the lane that the keels bridge; `None` for what cannot be bridged.
    pub(crate) fn bridged(&self) -> Option<f64> {
        self.bridged
    }

    /// Height that must be cleared, margin and accuracy included; `None` where none was measured or
    /// the thing goes into the ground.
    pub(crate) fn top(&self) -> Option<f64> {
        self.top
    }
}

/// Everything that a lane of one field can meet, for one aircraft.
#[derive(Clone, PartialEq, Debug)]
pub struct Obstructions {
    list: Vec<Obstruction>,
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
            (0..count).map(move |edge| {
                let (a, b) = (r.corners[edge], r.corners[(edge + 1) % count]);
                {
                    let accuracy =
                        (a.sigma.max(b.sigma), r.edges[edge].height_from_ground() * r.height_share);
                    edge_obstruction(Thing::Edge { ring, edge }, r.edges[edge], [a.at, b.at], accuracy)
                }
            })
        });
        let hazards = hazards
            .iter()
            .enumerate()
            .filter(|(_, h)| h.presence == Presence::Present)
            .map(|(i, h)| hazard_obstruction(i, h));
        let list = edges
            .chain(hazards)
            .map(|make| make(profile, allowance))
            .filter(|o| o.bands.iter().any(|step| !step.is_empty()))
            .collect();
        Self { list, outline: outline.clone(), profile: profile.clone(), allowance: allowance.clone() }
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

type Make = Box<dyn FnOnce(&ClearanceProfile, &Allowance) -> Obstruction>;

fn grown_bands(bands: &[Span], allowance: &Allowance) -> Vec<Vec<Span>> {
    let steps = allowance.half_width.steps().iter();
    steps.map(|s| joined(bands.iter().map(|b| b.grown(s.half_width.to_m())).collect())).collect()
}

/// Ground beyond an edge may not be slid on; a wing may hang over it if it clears its height.
fn edge_obstruction(
    thing: Thing,
    kind: EdgeKind,
    ends: [Point; 2],
    (sigma, height_sigma): (Metres, Metres),
) -> Make {
    Box::new(move |profile, allowance| {
        let mut bands = vec![profile.keel_width()];
        let height = kind.height();
        let top = (height > Height::ZERO)
            .then(|| (height + allowance.vertical_margin).to_m() + ONE_SIDED_95 * height_sigma.to_m());
        bands.extend(top.into_iter().flat_map(|top| profile.bands_below(top)));
        Obstruction {
            thing,
            hard: kind.is_hard(),
            shape: Shape::edge(ends[0], ends[1]),
            growth: CIRCLE_95 * sigma.to_m(),
            bands: grown_bands(&bands, allowance),
            top,
            bridged: None,
        }
    })
}

fn hazard_obstruction(index: usize, hazard: &Hazard) -> Make {
    let shape = hazard.shape.clone();
    let growth = hazard.radius.to_m() + CIRCLE_95 * hazard.position_sigma.to_m();
    let (relief, height_sigma) = (hazard.relief, hazard.height_sigma);
    Box::new(move |profile, allowance| {
        let top = match relief {
            Relief::Raised(height) => {
                Some((height + allowance.vertical_margin).to_m() + ONE_SIDED_95 * height_sigma.to_m())
            }
            Relief::Sunk(_) | Relief::NotMeasured => None,
        };
        let bands = match (relief, top) {
            (Relief::Sunk(_), _) => profile.keel_tracks().to_vec(),
            (_, Some(top)) => profile.bands_below(top),
            (_, None) => profile.bands_below(f64::INFINITY),
        };
        Obstruction {
            thing: Thing::Hazard(index),
            hard: true,
            shape,
            growth,
            bands: grown_bands(&bands, allowance),
            top,
            bridged: matches!(relief, Relief::Sunk(_))
                .then(|| allowance.bridged_opening.to_m())
                .filter(|opening| *opening > 0.0),
        }
    })
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
