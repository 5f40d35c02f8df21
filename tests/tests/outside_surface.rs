//! The surface between levels against outside sources: a library's linear interpolation
//! (`oracle/surface.py`, its answers in `oracle/surface.jsonl`), and a breakline worked by hand.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

use acceptance::{Kind, Rows};
use ground::{Breakline, Level, Point, Surface};
use measure::Metres;
use serde::Deserialize;
use std::path::Path;

/// Levels, heights between them, and places beyond them, metres.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Set {
    levels: Vec<(f64, f64, f64)>,
    inside: Vec<(f64, f64, f64)>,
    outside: Vec<(f64, f64)>,
}

fn sets() -> Vec<Set> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("oracle/surface.jsonl");
    let text = std::fs::read_to_string(path).expect("the oracle's answers");
    text.lines().map(|line| serde_json::from_str(line).expect("a set of levels")).collect()
}

fn level(&(x, y, z): &(f64, f64, f64)) -> Level {
    Level { at: Point { x, y }, height: Metres::m(z), sigma: Metres::m(0.02) }
}

fn height(surface: &Surface, x: f64, y: f64) -> f64 {
    // Not measured fails in the table as no number.
    surface.height_at(Point { x, y }).map_or(f64::NAN, |(height, _)| height.to_m())
}

#[test]
fn heights_between_levels_strewn_at_random() {
    let mut rows = Rows::new(
        "heights between levels",
        "scipy 1.17.1, LinearNDInterpolator (oracle/surface.py)",
        Kind::Library,
    );
    let sets = sets();
    assert_eq!(sets.len(), 24);
    for (i, set) in sets.iter().enumerate() {
        let levels: Vec<Level> = set.levels.iter().map(level).collect();
        let surface = Surface::new(&levels, &[]).expect("a surface");
        assert_eq!((set.inside.len(), set.outside.len()), (20, 6));
        for &(x, y, expected) in &set.inside {
            rows.row(format!("set {i} at {x} {y}, m"), expected, height(&surface, x, y), 1e-9);
        }
        for &(x, y) in &set.outside {
            assert_eq!(surface.height_at(Point { x, y }), None, "set {i} at {x} {y}");
        }
    }
    rows.finish();
}

#[test]
fn heights_beside_a_breakline_on_the_longer_diagonal() {
    // A kite whose levels alone are joined across its shorter diagonal, from 15 south to 15 north (each end
    // lies outside the circle of the others); the breakline is its longer one, from 20 west to 20 east.
    let mut rows = Rows::new(
        "heights beside a breakline",
        "linear interpolation in a triangle, by hand",
        Kind::Standard,
    );
    let (west, east) = ((-20.0, 0.0, 1.0), (20.0, 0.0, 5.0));
    let corners = [west, (0.0, -15.0, 0.0), east, (0.0, 15.0, 2.0)].map(|l| level(&l));
    let ditch = Breakline { points: [west, east].map(|l| level(&l)).into() };
    let alone = Surface::new(&corners, &[]).expect("a surface");
    let broken = Surface::new(&corners, &[ditch]).expect("a surface");
    // Half way along the shorter diagonal from 0 to 2; half way along the longer one from 1 to 5.
    rows.row("middle, levels alone, m", 1.0, height(&alone, 0.0, 0.0), 1e-12);
    rows.row("middle, on the breakline, m", 3.0, height(&broken, 0.0, 0.0), 1e-12);
    // West, east, north with shares 1/4, 5/12, 1/3 of the triangle north of it: 1/4 + 25/12 + 2/3.
    let (x, y) = (10.0 / 3.0, 5.0);
    rows.row("north of the breakline, m", 3.0, height(&broken, x, y), 1e-12);
    // Levels alone: east 1/6, north and south by the height 5: 7/12 and 1/4: 5/6 + 7/6.
    rows.row("the same, levels alone, m", 2.0, height(&alone, x, y), 1e-12);
    rows.finish();
}
