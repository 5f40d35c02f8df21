//! Fields such as nobody draws, to try the search on: slivers, things upon each other, lines of no length,
//! coordinates far off, sizes from a thimble to a county.

use acceptance::rocks::profile;
use ground::{
    Allowance, Corner, EdgeKind, HalfWidth, Hazard, HazardKind, Obstructions, Outline, Point, Presence,
    Relief, Ring, Shape, Step,
};
use measure::{Depth, Height, Metres};
use proptest::prelude::*;

/// One hazard before it is placed: its corners lie in a square of side 1.
#[derive(Clone, Debug)]
pub struct Thing {
    pub at: Vec<(f64, f64)>,
    pub area: bool,
    pub radius: f64,
    pub sigma: f64,
    pub relief: Relief,
}

/// A field, and what is asked of it.
#[derive(Clone, Debug)]
pub struct Wild {
    /// Corners on a circle, at these angles and distances, so that no side crosses another.
    pub corners: Vec<(f64, f64)>,
    pub size: (f64, f64),
    pub turn: f64,
    pub shift: (f64, f64),
    pub edge: EdgeKind,
    pub sigma: f64,
    pub island: bool,
    pub things: Vec<Thing>,
    pub half_width: (f64, Vec<(f64, f64)>),
    pub bridged: f64,
}

prop_compose! {
    fn any_thing()(
        at in prop::collection::vec((-0.2..1.2_f64, -0.2..1.2_f64), 1..5),
        same in prop::bool::weighted(0.1), area in any::<bool>(),
        radius in prop_oneof![Just(0.0), Just(1e-9), 0.0..2.0_f64, Just(1e4)],
        sigma in prop_oneof![Just(0.0), 0.0..1.0_f64],
        relief in prop_oneof![
            (0.0..3.0_f64).prop_map(|h| Relief::Raised(Height::m(h))),
            Just(Relief::Sunk(None)), Just(Relief::Sunk(Some(Depth::m(0.3)))), Just(Relief::NotMeasured),
        ],
    ) -> Thing {
        // A line of no length, or an area of none, now and then.
        let at = if same { vec![at[0]; at.len()] } else { at };
        Thing { at, area, radius: if radius > 100.0 && !same { 0.5 } else { radius }, sigma, relief }
    }
}

prop_compose! {
    /// Any of them.
    pub fn any_wild()(
        corners in prop::collection::vec(0.2..1.0_f64, 3..8),
        size in prop_oneof![
            6 => (20.0..400.0_f64, 20.0..200.0_f64), 2 => (50.0..500.0_f64, 1.0..4.0_f64),
            1 => Just((1e-3, 1e-3)), 1 => Just((1e5, 2e4)),
        ],
        turn in 0.0..360.0_f64,
        shift in prop_oneof![4 => Just((0.0, 0.0)), 1 => Just((1e6, -3e7))],
        edge in prop_oneof![
            Just(EdgeKind::Open), Just(EdgeKind::Fence(Height::m(1.2))), Just(EdgeKind::Wall(Height::m(2.5))), Just(EdgeKind::Water),
        ],
        sigma in prop_oneof![Just(0.0), 0.0..2.0_f64],
        island in any::<bool>(),
        things in prop::collection::vec(any_thing(), 0..12),
        half_width in (0.0..4.0_f64, prop::collection::vec((1.0..150.0_f64, 0.0..6.0_f64), 0..3)),
        bridged in prop_oneof![Just(0.0), 0.0..1.0_f64],
    ) -> Wild {
        let count = corners.len() as f64;
        let corners = corners.iter().enumerate().map(|(i, r)| (i as f64 / count * 360.0, *r)).collect();
        Wild { corners, size, turn, shift, edge, sigma, island, things, half_width, bridged }
    }
}

impl Wild {
    /// A point of the square of side 1, in the field.
    pub fn place(&self, (x, y): (f64, f64)) -> Point {
        let (x, y) = ((x - 0.5) * self.size.0, (y - 0.5) * self.size.1);
        let (sin, cos) = self.turn.to_radians().sin_cos();
        Point { x: x * cos + y * sin + self.shift.0, y: y * cos - x * sin + self.shift.1 }
    }

    fn ring(&self, scale: f64, sigma: f64) -> Ring {
        let corner = |&(angle, r): &(f64, f64)| {
            let (sin, cos) = angle.to_radians().sin_cos();
            let at = self.place((0.5 + 0.5 * scale * r * sin, 0.5 + 0.5 * scale * r * cos));
            Corner { at, sigma: Metres::m(sigma) }
        };
        let corners: Vec<Corner> = self.corners.iter().map(corner).collect();
        Ring { edges: vec![self.edge; corners.len()], corners, height_share: 0.3 }
    }

    fn hazard(&self, i: usize, thing: &Thing) -> Option<Hazard> {
        let at: Vec<Point> = thing.at.iter().map(|p| self.place(*p)).collect();
        let shape = match at.as_slice() {
            [only] => Shape::disc(*only),
            _ if thing.area => Shape::area(&at).or_else(|_| Shape::line(&at)),
            _ => Shape::line(&at),
        };
        Some(Hazard {
            id: format!("h{i}"),
            kind: HazardKind::Unidentified,
            shape: shape.ok()?,
            radius: Metres::m(thing.radius),
            relief: thing.relief,
            position_sigma: Metres::m(thing.sigma),
            height_sigma: Metres::m(0.05),
            presence: Presence::Present,
        })
    }

    /// The field; `None` where the outline is refused, as it may be.
    pub fn obstructions(&self) -> Option<Obstructions> {
        let islands = if self.island { vec![self.ring(0.15, 0.0)] } else { vec![] };
        let outline = Outline::new(self.ring(1.0, self.sigma), islands).ok()?;
        let hazards: Vec<Hazard> =
            self.things.iter().enumerate().filter_map(|(i, t)| self.hazard(i, t)).collect();
        let step = |&(from, width): &(f64, f64)| Step { from: Metres::m(from), half_width: Metres::m(width) };
        let later: Vec<Step> = self.half_width.1.iter().map(step).collect();
        let allowance = Allowance {
            half_width: HalfWidth::stepped(Metres::m(self.half_width.0), &later),
            vertical_margin: Height::m(0.05),
            bridged_opening: Metres::m(self.bridged),
        };
        Some(Obstructions::new(&outline, &hazards, &profile(), &allowance))
    }
}
