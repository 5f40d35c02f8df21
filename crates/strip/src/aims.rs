//! What the searches of one assessment look for: the length that each direction asks for.
//!
//! Two aims with the same margins. `spare` takes one long slide of each direction, to rank lanes; `possible`
//! takes one that no percentile of any lane can be shorter than, so that what no lane reaches even so is proven.

use crate::bench::Bench;
use crate::grip::Grip;
use crate::lane_ground::LaneGround;
use crate::spread::{Corner, FACTOR, FRICTION, MASS, STALL};
use ground::{Aim, SECTORS, sector_ends};
use measure::points::Point;
use measure::{Headwind, Interval, Metres, ONE_SIDED_95, Slope, TrueHeading};
use slide::{Station, march};

/// Stands for a slide that never stops: more than any field has, yet it leaves lanes in order of length.
const NEVER_STOPS: f64 = 1e6;

/// Usable length less the demand and the scatter, at the worst corner in the middle of each sector.
pub(crate) fn spare(bench: &Bench) -> Aim {
    let need = |sector: usize| {
        let (from, _) = sector_ends(sector);
        spare_need(bench, TrueHeading::rad(from.to_rad() + std::f64::consts::PI / SECTORS as f64))
    };
    Aim { margins: bench.margins, needs: Some((0..SECTORS).map(need).collect()) }
}

/// What one heading needs of it, metres.
pub(crate) fn spare_need(bench: &Bench, heading: TrueHeading) -> f64 {
    let (short, long) = bench.scatter();
    let headwind = bench.situation.headwind(heading);
    let ground = LaneGround::even(bench.slope(heading, bench.levels_looked_at()), bench.field_grip());
    let spread = bench.spread(ground, headwind, false);
    needed(spread.longest_at(Corner::Worst, Metres::ZERO, &long_slide()), short + long)
}

/// Usable length less the shortest slide that could be true on any lane of each sector: the best ground, up
/// the steepest slope, into the strongest gust, without any scatter that nobody measured.
pub(crate) fn possible(bench: &Bench) -> Aim {
    let patches = bench.strip.patches.iter().map(|p| bench.patch_grip(p));
    let grip = patches.fold(bench.field_grip(), |all: Grip, one| all.or(&one));
    let of_plane = bench.plane.map_or(bench.steepest_known, |p| p.steepest_bound().max(bench.steepest_known));
    let of_facets = bench.surface.as_ref().map_or(of_plane, |s| s.steepest().max(of_plane));
    let steepest = of_facets + most_slope_error(bench);
    let curvature = most_curvature(bench);
    let need = |sector: usize| {
        let headwind = Interval::exact(most_headwind(bench, sector));
        let mut ground = LaneGround::even(Interval::exact(steepest), grip.clone());
        ground.best = ground.best.mapped(|s| Station { curvature, ..s });
        let spread = bench.spread(ground, headwind, true);
        // Thrust keeps the lightest going, so the heaviest is asked as well.
        let shortest = [-BEYOND_ANY_SAMPLE, BEYOND_ANY_SAMPLE]
            .into_iter()
            .filter_map(|mass| spread.shortest_at(Corner::Best, Metres::ZERO, &short_slide(mass)))
            .reduce(Metres::min);
        let surely = shortest.map(|length| (length - march::accuracy(length)).max(Metres::ZERO));
        needed(surely, bench.least_scatter())
    };
    Aim { margins: bench.margins, needs: Some((0..SECTORS).map(need).collect()) }
}

/// How far a slope along the keel's way may be off, at 95 %: the levels' own errors at both ends of the keel, and
/// where levels lie far apart what a field that is no plane hides between them.
fn most_slope_error(bench: &Bench) -> Slope {
    let Some(surface) = &bench.surface else { return Slope::ZERO };
    let of_levels = std::f64::consts::SQRT_2 * surface.worst_sigma().to_m() / bench.keel().to_m();
    let between = bench.plane.map_or(Slope::ZERO, |p| p.most_slope_error());
    Slope::ratio(ONE_SIDED_95 * of_levels).max(between)
}

/// Curvature that the keel's way nowhere exceeds, 1/m: the slopes of two chords a keel apart differ by no more
/// than those of two facets, and what the levels' own errors add (root six sigma over the keel's length squared, at
/// 95 %).
fn most_curvature(bench: &Bench) -> f64 {
    let Some(surface) = &bench.surface else { return 0.0 };
    let keel = bench.keel().to_m();
    let sigma = surface.worst_sigma().to_m();
    surface.bend_bound().to_ratio() / keel + ONE_SIDED_95 * libm::sqrt(6.0) * sigma / (keel * keel)
}

/// Whether the slide comes to rest at all at the corner that helps most.
pub(crate) fn could_stop(aim: &Aim) -> bool {
    aim.needs.as_ref().is_none_or(|needs| needs.iter().any(|need| *need < NEVER_STOPS))
}

/// A slide near the 95 % point of those that could be (judgement; it only ranks directions).
fn long_slide() -> Point {
    let mut point = Point::MIDDLE;
    (point.normal[FRICTION], point.uniform[FACTOR]) = (-1.3, 0.7);
    point
}

/// A slide that fewer than 95 in 100 fall short of: friction where one sample in ten has more, slopes and curvatures
/// where one in twenty each has more, all else where it helps beyond any sample. At most one in five can be shorter.
fn short_slide(mass_score: f64) -> Point {
    let mut point = Point::MIDDLE;
    point.normal[FRICTION] = SCORE_OF_ONE_IN_TEN;
    point.uniform[FACTOR] = 0.0;
    (point.normal[STALL], point.normal[MASS]) = (-BEYOND_ANY_SAMPLE, mass_score);
    point
}

/// Standard normal score with one in ten above it (SciPy 1.17.1: 1.281552, rounded down).
const SCORE_OF_ONE_IN_TEN: f64 = 1.28;

/// Score that none of the few thousand points reaches (the smallest share is 1/2^25, its score 5.4).
const BEYOND_ANY_SAMPLE: f64 = 5.5;

fn needed(slide: Option<Metres>, scatter: Metres) -> f64 {
    slide.map_or(NEVER_STOPS, |slide| (slide + scatter).to_m())
}

/// No heading of a sector has more headwind, whatever the direction within its spread: that at its ends, and by how much
/// a cosine may rise between (it is flat within the spread, and falls off beyond as the cosine does).
fn most_headwind(bench: &Bench, sector: usize) -> Headwind {
    let (from, to) = sector_ends(sector);
    let at = |heading| bench.situation.headwind(heading).high();
    let most = bench.situation.most_headwind();
    let rise = most * (1.0 - libm::cos(std::f64::consts::PI / SECTORS as f64));
    (at(from).max(at(to)) + rise).min(most)
}
