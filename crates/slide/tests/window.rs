//! Half-widths over all slides of a field against single slides on ground that changes between its ends.
//!
//! More cases: `PROPTEST_CASES=10000 cargo test -p slide --test window`.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

use measure::{
    Crosswind, CubicDensity, GroundSpeed, Headwind, Interval, Kilograms, Metres, Newtons, Slope, SquareMetres,
};
use proptest::prelude::*;
use slide::{Body, Drift, Fin, Heading, Plan, Slide, Station, Touchdown, Track, Upset, Window};

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
    steered_above: None,
};

/// No upset but a course 2 degrees off, no air, nothing that turns.
fn straight(track: &Track) -> Drift<'_> {
    let body = Body { lift_coefficient: 0.0, drag_coefficient: 0.0, idle_thrust: Newtons::ZERO, ..BODY };
    let slide = Slide {
        body,
        density: CubicDensity::ZERO,
        headwind: Headwind::ZERO,
        track,
        friction: &[],
        settling: 0.0,
        carried: Metres::ZERO,
        slope_score: 0.0,
        curvature_score: 0.0,
    };
    let upset = Upset { course: 2.0_f64.to_radians(), ..Upset::NONE };
    let plan = Plan { keel_length: Metres::ZERO, half_span: Metres::ZERO, ..PLAN };
    Drift { slide, plan, upset }
}

fn window(drift: Drift<'_>, friction: (f64, f64)) -> Window<'_> {
    Window {
        short: drift,
        long: drift,
        friction: Interval::spanning(friction.0, friction.1),
        speeds: Interval::exact(GroundSpeed::mps(20.0)),
        parts: 2,
        room: Metres::m(300.0),
    }
}

#[test]
fn a_course_two_degrees_off_widens_from_touchdown_on() {
    let track = Track::even(Slope::ZERO);
    let found =
        window(straight(&track), (0.4, 0.4)).sideways(Metres::m(40.0), Metres::m(3.0)).expect("it stops");
    let at = |c: f64| found.widths.at(Metres::m(c)).to_m();
    // tan(2 degrees) = 0.034921 m for each metre from 40 m on, to its own metre's far end at most; in all 50.9858 m of
    // way, 1.77938 m aside, at the stop; 0.1 s of way, 2 m, is the step within which it is told.
    for c in [40.0, 50.5, 70.5, 85.0] {
        let exact = 3.0 + (c - 40.0) * 0.034_921;
        assert!(at(c) >= exact && at(c) <= exact + 4.0 * 0.034_921, "{c}: {} for {exact}", at(c));
    }
    assert!((found.widths.widest().to_m() - 4.77938).abs() < 3e-4);
    assert!((at(0.0) - at(40.0)).abs() < 1e-12);
    assert_eq!(found.heading, Heading::Held);
}

#[test]
fn a_slide_that_may_stop_early_counts_as_at_its_widest_from_there_on() {
    let track = Track::even(Slope::ZERO);
    // Between 0.4 and 0.5 in one part: from 400/(2 x 0.5 x 9.80665) = 40.8 m on, 1.7794 m, whatever the length.
    let one = Window { parts: 1, ..window(straight(&track), (0.4, 0.5)) };
    let widths = one.sideways(Metres::ZERO, Metres::ZERO).expect("it stops").widths;
    assert!((widths.at(Metres::m(41.0)).to_m() - 1.77938).abs() < 3e-4);
    assert!(widths.at(Metres::m(38.5)).to_m() < 1.5);
}

#[test]
fn the_worst_of_two_slides_is_the_longer_and_the_sooner_lost() {
    let track = Track::even(Slope::ZERO);
    let turning = |nose: f64, friction: f64| {
        let drift = straight(&track);
        let drift = Drift { upset: Upset { nose: nose.to_radians(), ..Upset::NONE }, ..drift };
        window(drift, (friction, friction)).sideways(Metres::ZERO, Metres::ZERO).expect("it stops")
    };
    let (little, much) = (turning(4.0, 0.3), turning(9.0, 0.5));
    let (Heading::Lost { after: late, before_stop: long }, Heading::Lost { after: soon, .. }) =
        (little.heading, much.heading)
    else {
        panic!("{:?} {:?}", little.heading, much.heading)
    };
    assert!(soon < late);
    for both in [little.clone().or_worse(&much), much.clone().or_worse(&little)] {
        assert_eq!(both.outcome, little.outcome);
        let Heading::Lost { after, before_stop } = both.heading else { panic!("{:?}", both.heading) };
        assert!(after == soon && before_stop >= long);
    }
}

#[test]
fn a_window_that_is_none_has_no_widths() {
    let track = Track::even(Slope::ZERO);
    let good = window(straight(&track), (0.4, 0.4));
    let found = |window: Window<'_>, aside: f64| window.sideways(Metres::ZERO, Metres::m(aside));
    assert!(found(good, 0.0).is_some());
    assert!(found(good, f64::NAN).is_none());
    let friction = Interval::exact(f64::INFINITY);
    assert!(found(Window { friction, ..good }, 0.0).is_none());
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

/// Ground of one slope, as steep across as anything of a track.
fn even(track: &Track, slope: impl Fn(f64, f64) -> f64) -> Track {
    let along = track.stations().iter().map(|s| s.slope.to_ratio()).reduce(slope).unwrap_or(0.0);
    let across = track.stations().iter().map(|s| s.cross.to_ratio().abs()).fold(0.0, f64::max);
    Track::even(Slope::ratio(along)).mapped(|s| Station { cross: Slope::ratio(across), ..s })
}

/// Between two steps of a slide a speed may be a hair more than at either, m/s.
const FASTER: f64 = 0.02;

proptest! {
    #[test]
    fn no_slide_of_the_field_goes_beyond_its_widths_or_faster_across(
        track in ground(),
        low in proptest::collection::vec(0.22..0.5_f64, 3), more in 0.0..0.15_f64,
        (slow, faster) in (15.0..21.0_f64, 0.0..3.0_f64),
        (course, nose, wind, uneven) in (-0.04..0.04_f64, -0.03..0.03_f64, -4.0..4.0_f64, -0.03..0.03_f64),
        (where_, pace, grip) in (0.0..=60.0_f64, 0.0..=1.0_f64, 0.0..=1.0_f64),
        shares in proptest::array::uniform5(-1.0..=1.0_f64), whole in proptest::array::uniform5(any::<bool>()),
        known in any::<bool>(),
    ) {
        let upset = Upset { course, nose, crosswind: Crosswind::mps(wind), uneven, tilt: 1.0 };
        let (down, up) = (even(&track, f64::min), even(&track, f64::max));
        let slide = |track| Slide {
            body: BODY,
            density: CubicDensity::kg_m3(1.2),
            headwind: Headwind::mps(2.0),
            track,
            friction: &[],
            settling: 1.0,
            carried: Metres::m(4.0),
            slope_score: 0.0,
            curvature_score: 0.0,
        };
        let plan = Plan { fin: known.then_some(Fin { volume: 12.0, damping: 50.0 }), ..PLAN };
        let drift = |track| Drift { slide: slide(track), plan, upset };
        let zones: Vec<usize> = track.stations().iter().map(|s| s.zone).collect();
        let of_zones = |pick: fn(f64, f64) -> f64| zones.iter().map(|&z| low[z]).reduce(pick).unwrap_or(0.3);
        let (least, most) = (of_zones(f64::min), of_zones(f64::max) + more);
        let window = Window {
            short: drift(&up),
            long: drift(&down),
            friction: Interval::spanning(least, most),
            speeds: Interval::spanning(GroundSpeed::mps(slow), GroundSpeed::mps(slow + faster)),
            parts: 2,
            room: Metres::m(300.0),
        };
        let found = window.sideways(Metres::ZERO, Metres::ZERO);
        prop_assume!(found.is_some());
        let found = found.expect("just looked");
        let widths = &found.widths;
        let [a, b, c, d, e] = std::array::from_fn(|i| if whole[i] { shares[i].signum() } else { shares[i] });
        let upset = Upset {
            course: course * a, nose: nose * b, crosswind: Crosswind::mps(wind * c), uneven: uneven * d, tilt: e,
        };
        let friction: Vec<f64> = low.iter().map(|mu| mu + more * grip).collect();
        let touchdown = Touchdown { at: Metres::m(where_), speed: GroundSpeed::mps(slow + faster * pace) };
        let mut beyond = None;
        let one = Drift { slide: Slide { friction: &friction, ..slide(&track) }, plan, upset };
        one.trace(touchdown, Some(window.room), |p| {
            let swing = p.heading.abs();
            let reach = if swing > slide::sideways::HEADING_HELD { 5.5 } else { 4.0 * swing.sin() };
            let over = p.right.abs().to_m() + reach - widths.at(p.slid).to_m();
            let across = p.sideways.to_mps().abs() + p.turning.abs() * 4.0;
            let faster = across - found.speed_between(p.slid, p.slid).to_mps();
            if over > 0.0 || faster > FASTER {
                beyond = Some((over, faster, *p));
            }
        });
        prop_assert!(beyond.is_none(), "{:?}", beyond);
    }
}
