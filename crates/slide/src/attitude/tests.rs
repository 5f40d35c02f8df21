//! Angles of touchdown by hand, and that the range given is the whole range.

use super::*;
use measure::CalibratedSpeed;
use proptest::prelude::*;

const AIR: CubicDensity = CubicDensity::kg_m3(1.225);

/// Nothing uncertain: level ground, no wind.
fn exact() -> Flown {
    Flown {
        stall: StallSpeed { calibrated: CalibratedSpeed::mps(17.0), at_mass: Kilograms::kg(560.0) },
        mass: Interval::exact(Kilograms::kg(560.0)),
        wing_area: SquareMetres::m2(13.4),
        gust_mps: Interval::exact(0.0),
        density: Interval::exact(AIR),
        headwind: Interval::exact(Headwind::ZERO),
        lift_slope: Interval::exact(4.6),
        keel_above_zero_lift_rad: Interval::exact(-0.2),
        glide_rad: Interval::exact(0.0),
        uphill: Interval::exact(Slope::ZERO),
    }
}

#[track_caller]
fn check(flown: &Flown, factor: f64, low: f64, high: f64) {
    let range = flown.range(factor);
    assert!((range.low() - low).abs() < 1e-6 && (range.high() - high).abs() < 1e-6, "{range:?}");
}

#[test]
fn one_touchdown_is_worked_by_hand() {
    // CL = 560 x 9.80665 / (0.6125 x (17 x 1.2)^2 x 13.4) = 1.607820; over 4.6: 0.349526; less 0.2.
    check(&exact(), 1.2, 0.149_526, 0.149_526);
    // Down a path of 0.05 in still air that is the descent through the air, as good as: asin(tan 0.05) = 0.050063.
    check(&Flown { glide_rad: Interval::exact(0.05), ..exact() }, 1.2, 0.099_464, 0.099_464);
    // Into 5.1 m/s, a quarter of the airspeed, the descent through the air is asin(0.75 tan 0.05) = 0.037540.
    let windy =
        Flown { glide_rad: Interval::exact(0.05), headwind: Interval::exact(Headwind::mps(5.1)), ..exact() };
    check(&windy, 1.2, 0.111_986, 0.111_986);
    // Ground that rises 2 in 100 lowers the bow to it by 0.0199973.
    let uphill = Flown { uphill: Interval::spanning(Slope::ZERO, Slope::ratio(0.02)), ..exact() };
    check(&uphill, 1.2, 0.129_529, 0.149_526);
}

#[test]
fn bow_keels_or_stern_touch_first_by_the_limits() {
    let limits = KeelLimits::new(0.0, 0.1 + STERN_ALLOWANCE_RAD);
    let first = |low, high| limits.first(&Interval::spanning(low, high));
    assert_eq!(first(0.0, 0.1), First::Keels);
    assert_eq!((first(-0.01, 0.1), first(0.0, 0.11)), (First::Bow, First::Stern));
    assert_eq!(first(-0.01, 0.11), First::BowOrStern);
}

#[test]
fn the_window_of_speeds_is_where_both_limits_hold() {
    // th = 0.503318 / f^2 - 0.2: 0.15 at f = 1.199187, 0.05 at 1.418898.
    let limits = KeelLimits { bow_rad: 0.05, stern_rad: 0.15 };
    let window = exact().window(&limits, Interval::spanning(1.0, 2.0)).expect("a window");
    assert!(
        (window.low() - 1.199_187).abs() < 1e-5 && (window.high() - 1.418_898).abs() < 1e-5,
        "{window:?}"
    );
    // Within the pilot's own speeds only part of it.
    let pilots = exact().window(&limits, Interval::spanning(1.1, 1.3)).expect("a window");
    assert!((pilots.low() - 1.199_187).abs() < 1e-5 && (pilots.high() - 1.3).abs() < 1e-12);
    assert_eq!(exact().window(&limits, Interval::spanning(1.5, 1.6)), None);
}

/// Something known between two ends each.
fn any_flown() -> impl Strategy<Value = Flown> {
    let ends =
        |low: f64, high: f64| (low..high, 0.0..1.0_f64).prop_map(move |(a, by)| (a, a + by * (high - a)));
    let air = (ends(380.0, 600.0), ends(0.9, 1.3), ends(-5.0, 8.0), ends(0.0, 4.0));
    let keel = (ends(3.5, 6.0), ends(-0.35, -0.05), ends(0.02, 0.08), ends(-0.06, 0.06));
    (air, keel).prop_map(|((mass, density, wind, gust), (lift, i, glide, uphill))| {
        let span = |(a, b): (f64, f64)| Interval::spanning(a, b);
        Flown {
            mass: span(mass).map_growing(Kilograms::kg),
            density: span(density).map_growing(CubicDensity::kg_m3),
            headwind: span(wind).map_growing(Headwind::mps),
            gust_mps: span(gust),
            lift_slope: span(lift),
            keel_above_zero_lift_rad: span(i),
            glide_rad: span(glide),
            uphill: span(uphill).map_growing(Slope::ratio),
            ..exact()
        }
    })
}

fn between(interval: Interval<f64>, share: f64) -> Interval<f64> {
    Interval::exact(interval.low() + share * (interval.high() - interval.low()))
}

proptest! {
    #[test]
    fn no_value_between_the_ends_lies_outside_the_range(
        flown in any_flown(), at in proptest::array::uniform8(0.0..1.0_f64), factor in 1.05..1.5_f64,
    ) {
        let mass = between(Interval::spanning(flown.mass.low().to_kg(), flown.mass.high().to_kg()), at[0]);
        let density = between(Interval::spanning(flown.density.low().to_kg_m3(), flown.density.high().to_kg_m3()), at[1]);
        let wind = between(Interval::spanning(flown.headwind.low().to_mps(), flown.headwind.high().to_mps()), at[2]);
        let uphill = between(Interval::spanning(flown.uphill.low().to_ratio(), flown.uphill.high().to_ratio()), at[3]);
        let one = Flown {
            mass: mass.map_growing(Kilograms::kg),
            density: density.map_growing(CubicDensity::kg_m3),
            headwind: wind.map_growing(Headwind::mps),
            uphill: uphill.map_growing(Slope::ratio),
            gust_mps: between(flown.gust_mps, at[4]),
            lift_slope: between(flown.lift_slope, at[5]),
            keel_above_zero_lift_rad: between(flown.keel_above_zero_lift_rad, at[6]),
            glide_rad: between(flown.glide_rad, at[7]),
            ..flown
        };
        let (whole, inside) = (flown.range(factor), one.range(factor));
        prop_assert!(whole.low() <= inside.low() + 1e-12 && inside.high() <= whole.high() + 1e-12);
    }

    #[test]
    fn a_faster_touchdown_never_lifts_the_bow(flown in any_flown(), factor in 1.05..1.5_f64, by in 0.0..0.3_f64) {
        let (slow, fast) = (flown.range(factor), flown.range(factor + by));
        prop_assert!(fast.low() <= slow.low() + 1e-12 && fast.high() <= slow.high() + 1e-12);
    }
}
