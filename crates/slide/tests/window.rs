//! Half-widths along a lane against single slides from anywhere in the window.
//!
//! More cases: `PROPTEST_CASES=10000 cargo test -p slide --test window`.

#![allow(clippy::expect_used, reason = "helpers of a test fail by panicking")]

use measure::{
    Crosswind, CubicDensity, GroundSpeed, Headwind, Interval, Kilograms, Metres, Newtons, Slope, SquareMetres,
};
use proptest::prelude::*;
use slide::{Body, Drift, Fin, Plan, Slide, Station, Touchdown, Track, Upset, Window};

const BODY: Body = Body {
    mass: Kilograms::kg(600.0),
    wing_area: SquareMetres::m2(14.0),
    lift_coefficient: 0.3,
    drag_coefficient: 0.1,
    idle_thrust: Newtons::n(100.0),
};

const PLAN: Plan = Plan {
    keel_length: Metres::m(4.0),
    keel_spacing: Metres::m(2.0),
    half_span: Metres::m(5.5),
    contact_ahead: Metres::m(0.2),
    gyration: Metres::m(2.4),
    side_area: SquareMetres::m2(10.0),
    side_slope: 0.8,
    fin: Some(Fin { volume: 12.0, damping: 50.0 }),
};

/// No upset but a course 2 degrees off, no air, nothing that turns.
fn straight(track: &Track) -> Drift<'_> {
    let body = Body { lift_coefficient: 0.0, drag_coefficient: 0.0, idle_thrust: Newtons::ZERO, ..BODY };
    let slide = Slide {
        body,
        density: CubicDensity::ZERO,
        headwind: Headwind::ZERO,
        track,
        friction: &[0.4],
        settling: 0.0,
        carried: Metres::ZERO,
        slope_score: 0.0,
        curvature_score: 0.0,
    };
    let upset = Upset { course: 2.0_f64.to_radians(), ..Upset::NONE };
    let plan = Plan { keel_length: Metres::ZERO, half_span: Metres::ZERO, ..PLAN };
    Drift { slide, plan, upset }
}

fn window(touchdowns: (f64, f64), speeds: (f64, f64), most_friction: &[f64]) -> Window<'_> {
    Window {
        touchdowns: Interval::spanning(Metres::m(touchdowns.0), Metres::m(touchdowns.1)),
        cell: Metres::m(10.0),
        speeds: Interval::spanning(GroundSpeed::mps(speeds.0), GroundSpeed::mps(speeds.1)),
        most_friction,
        parts: 2,
        end: Metres::m(300.0),
    }
}

#[test]
fn a_course_two_degrees_off_widens_from_the_earliest_touchdown_on() {
    let track = Track::even(Slope::ZERO);
    let widths = straight(&track)
        .widths_over(&window((40.0, 60.0), (20.0, 20.0), &[0.4]), Metres::m(3.0))
        .expect("it stops");
    let at = |c: f64| widths.at(Metres::m(c)).to_m();
    // tan(2 degrees) = 0.034921 m for each metre from 40 m on, to its own metre's far end at most; in all 50.9858 m of
    // way, 1.77938 m aside, at the stop; 0.1 s of way, 2 m, is the step within which it is told.
    for c in [40.0, 50.5, 70.5, 85.0] {
        let exact = 3.0 + (c - 40.0) * 0.034_921;
        assert!(at(c) >= exact && at(c) <= exact + 4.0 * 0.034_921, "{c}: {} for {exact}", at(c));
    }
    assert!((widths.widest().to_m() - 4.77938).abs() < 3e-4);
    assert!((at(0.0) - at(40.0)).abs() < 1e-12);
}

#[test]
fn a_slide_that_may_stop_early_counts_as_at_its_widest_from_there_on() {
    let track = Track::even(Slope::ZERO);
    let drift = straight(&track);
    // Between 0.4 and 0.5 in one part: from 400/(2 x 0.5 x 9.80665) = 40.8 m on, 1.7794 m, whatever the chainage.
    let one = Window { parts: 1, ..window((0.0, 0.0), (20.0, 20.0), &[0.5]) };
    let widths = drift.widths_over(&one, Metres::ZERO).expect("it stops");
    assert!((widths.at(Metres::m(41.0)).to_m() - 1.77938).abs() < 3e-4);
    assert!(widths.at(Metres::m(38.5)).to_m() < 1.5);
}

#[test]
fn a_window_that_is_none_has_no_widths() {
    let track = Track::even(Slope::ZERO);
    let drift = straight(&track);
    let good = window((40.0, 60.0), (20.0, 20.0), &[0.4]);
    let widths = |window: Window<'_>| drift.widths_over(&window, Metres::ZERO);
    assert!(widths(good).is_some());
    assert_eq!(widths(Window { cell: Metres::ZERO, ..good }), None);
    assert_eq!(widths(Window { end: Metres::m(50.0), ..good }), None);
    assert_eq!(drift.widths_over(&good, Metres::m(f64::NAN)), None);
}

prop_compose! {
    fn ground()(
        stations in proptest::collection::vec((3.0..40.0_f64, -0.015..0.02_f64, -0.03..0.03_f64, 0..3_usize), 1..10),
    ) -> Track {
        let mut from = 0.0;
        let stations = stations.into_iter().map(|(length, slope, cross, zone)| {
            let even = Station::even(Metres::m(from), Slope::ratio(slope), zone);
            from += length;
            Station { cross: Slope::ratio(cross), ..even }
        });
        Track::new(stations.collect()).expect("rising")
    }
}

proptest! {
    #[test]
    fn no_slide_of_the_window_goes_beyond_its_widths(
        track in ground(),
        low in proptest::collection::vec(0.22..0.5_f64, 3), more in 0.0..0.15_f64,
        (first, length, slow, faster) in (0.0..30.0_f64, 0.0..60.0_f64, 15.0..21.0_f64, 0.0..3.0_f64),
        (course, nose, wind, uneven) in (-0.04..0.04_f64, -0.03..0.03_f64, -4.0..4.0_f64, -0.03..0.03_f64),
        (where_, pace, grip) in (0.0..=1.0_f64, 0.0..=1.0_f64, 0.0..=1.0_f64),
        shares in proptest::array::uniform5(-1.0..=1.0_f64), whole in proptest::array::uniform5(any::<bool>()),
        known in any::<bool>(),
    ) {
        let most: Vec<f64> = low.iter().map(|mu| mu + more).collect();
        let upset = Upset { course, nose, crosswind: Crosswind::mps(wind), uneven, tilt: 1.0 };
        let slide = Slide {
            body: BODY,
            density: CubicDensity::kg_m3(1.2),
            headwind: Headwind::mps(2.0),
            track: &track,
            friction: &low,
            settling: 1.0,
            carried: Metres::m(4.0),
            slope_score: 0.0,
            curvature_score: 0.0,
        };
        let plan = Plan { fin: known.then_some(Fin { volume: 12.0, damping: 50.0 }), ..PLAN };
        let drift = Drift { slide, plan, upset };
        let window = window((first, first + length), (slow, slow + faster), &most);
        let widths = drift.widths_over(&window, Metres::ZERO);
        prop_assume!(widths.is_some());
        let widths = widths.expect("just looked");
        let [a, b, c, d, e] = std::array::from_fn(|i| if whole[i] { shares[i].signum() } else { shares[i] });
        let upset = Upset {
            course: course * a, nose: nose * b, crosswind: Crosswind::mps(wind * c), uneven: uneven * d, tilt: e,
        };
        let friction: Vec<f64> = low.iter().map(|mu| mu + more * grip).collect();
        let at = first + length * where_;
        let touchdown = Touchdown { at: Metres::m(at), speed: GroundSpeed::mps(slow + faster * pace) };
        let mut beyond = None;
        let one = Drift { slide: Slide { friction: &friction, ..slide }, upset, ..drift };
        one.trace(touchdown, Some(window.end - touchdown.at), |p| {
            let swing = p.heading.abs();
            let reach = if swing > slide::sideways::HEADING_HELD { 5.5 } else { 4.0 * swing.sin() };
            let over = p.right.abs().to_m() + reach - widths.at(touchdown.at + p.slid).to_m();
            if over > 0.0 {
                beyond = Some((over, *p));
            }
        });
        prop_assert!(beyond.is_none(), "{:?}", beyond);
    }
}
