//! What the searches of one assessment look for: the length that each direction asks for.
//!
//! Two aims with the same margins. `spare` takes the slide at the corner that hurts most, to rank lanes;
//! `possible` takes the shortest that could be true anywhere on the field, so that what no lane reaches even
//! so is proven.

use crate::judge::Bench;
use ground::{Aim, SECTORS, sector_ends};
use measure::{Headwind, Interval, Metres, TrueHeading};

/// Stands for a slide that never stops: more than any field has, yet it leaves lanes in order of length.
const NEVER_STOPS: f64 = 1e6;

/// Usable length less the demand and the scatter, at the worst corner in the middle of each sector.
pub(crate) fn spare(bench: &Bench) -> Aim {
    let friction = bench.situation.friction(bench.strip.cover, std::iter::empty()).range;
    let (short, long) = bench.scatter();
    let need = |sector: usize| {
        let (from, _) = sector_ends(sector);
        let middle = TrueHeading::rad(from.to_rad() + std::f64::consts::PI / SECTORS as f64);
        let headwind = bench.situation.headwind(middle, bench.settings);
        let spread = bench.spread(friction, bench.slope(middle, bench.levels_looked_at()), headwind);
        needed(spread.longest().length, short + long)
    };
    Aim { margins: bench.margins, needs: Some((0..SECTORS).map(need).collect()) }
}

/// Usable length less the shortest slide that could be true on any lane of each sector: the best ground, up
/// the steepest slope, into the strongest gust, without any scatter that nobody measured.
pub(crate) fn possible(bench: &Bench) -> Aim {
    let friction = bench.situation.friction(bench.strip.cover, bench.strip.patches.iter()).range;
    let steepest = bench.plane.map_or(bench.steepest_known, |p| p.steepest_bound().max(bench.steepest_known));
    let need = |sector: usize| {
        let headwind = Interval::exact(most_headwind(bench, sector));
        let spread = bench.spread(friction, Interval::exact(steepest), headwind);
        needed(spread.shortest().length, bench.least_scatter())
    };
    Aim { margins: bench.margins, needs: Some((0..SECTORS).map(need).collect()) }
}

/// Whether the slide comes to rest at all at the corner that helps most.
pub(crate) fn could_stop(aim: &Aim) -> bool {
    aim.needs.as_ref().is_none_or(|needs| needs.iter().any(|need| *need < NEVER_STOPS))
}

fn needed(slide: Option<Metres>, scatter: Metres) -> f64 {
    slide.map_or(NEVER_STOPS, |slide| (slide + scatter).to_m())
}

/// No heading of a sector has more headwind: that at its ends, and by how much a cosine may rise between.
fn most_headwind(bench: &Bench, sector: usize) -> Headwind {
    let (from, to) = sector_ends(sector);
    let at = |heading| bench.situation.headwind(heading, bench.settings).high();
    let most = bench.situation.most_headwind();
    let rise = most * (1.0 - libm::cos(std::f64::consts::PI / SECTORS as f64));
    (at(from).max(at(to)) + rise).min(most)
}
