//! The day against outside sources, where no other table has them yet: density altitude, worked examples of it, the
//! sun, the rest of the official magnetic rows, and wind and declination through a whole assessment.
//!
//! Air, wind components, the profile near the ground and stall speeds are in `outside_slide.rs`; frame, distances and
//! most of the magnetic rows in `outside_ground.rs`. Not checked, for the program has nothing that says them: the speed
//! of sound, geometric beside geopotential height, lines across continents, earth-centred and grid coordinates,
//! inclination and strength of the magnetic field, refraction, stall in a bank, the Beaufort scale, and rules of thumb
//! for crosswind. No official values of WMM2020 were to be had.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use acceptance::{Kind, Rows};
use ground::{Centreline, Datum, declination, sun};
use jiff::Timestamp;
use measure::{CalibratedSpeed, Kelvins, Metres, Pascals, TrueHeading};
use slide::{density, density_altitude, pressure_altitude, pressure_from_qnh, standard_pressure};
use strip::record::DirectionRecord;
use strip::{AssessedLane, Settings, assess_line};
use support::Trio;
use support::plain::{coarse, plain};

/// Pascals in an inch of mercury (definition).
const INCH_OF_MERCURY: f64 = 3386.389;

/// Gas constant of dry air, J/(kg K), and what vapour is lighter by (ISO 2533, and the molar mass of water).
const GAS_CONSTANT: f64 = 287.052_87;
const LIGHTER: f64 = 1.0 - 18.015_28 / 28.964_4;

fn feet(m: Metres) -> f64 {
    m / Metres::ft(1.0)
}

fn density_altitude_ft(pressure: Pascals, celsius: f64, humidity: f64) -> f64 {
    feet(density_altitude(density(pressure, Kelvins::celsius(celsius), humidity)))
}

#[test]
fn density_altitude_of_dry_air() {
    // Printed to 0.1 ft.
    let mut rows = Rows::new(
        "density altitude, dry",
        "exact inverse of the ICAO/ISO 2533 closed form, plain arithmetic",
        Kind::Standard,
    );
    for (ft, celsius, expected) in [
        (0.0, 15.0, 0.0),
        (0.0, 30.0, 1723.9),
        (1000.0, 30.0, 2943.3),
        (2000.0, 25.0, 3607.5),
        (3000.0, 20.0, 4267.7),
        (4000.0, 30.0, 6589.4),
        (5000.0, 20.0, 6711.6),
        (5000.0, 40.0, 8846.4),
        (1000.0, -10.0, -1874.3),
        (6000.0, 35.0, 9533.5),
        (6027.0, 15.0, 7406.5),
        (5470.0, 35.0, 8895.2),
        (4750.0, 30.0, 7498.1),
        (3000.0, 15.0564, 3702.4),
        (1600.0, 13.0, 1738.4),
    ] {
        let got = density_altitude_ft(standard_pressure(Metres::ft(ft)), celsius, 0.0);
        rows.row(format!("DA, ft, PA {ft} ft, {celsius} C"), expected, got, 0.06);
    }
    rows.finish();
}

#[test]
fn density_altitude_and_vapour_of_moist_air() {
    // The library's saturation formula is another one: 0.3 % of the vapour pressure where it was tried, which is up to
    // 0.006 % of the density and 2 ft; printed to 1 ft.
    let mut rows = Rows::new(
        "density altitude and vapour, moist",
        "MetPy 1.7.1, mixing_ratio_from_relative_humidity, virtual_temperature and density",
        Kind::Library,
    );
    for (t, rh, p, vapour, virtual_t, moist, dry) in [
        (30.0, 0.5, 101_325.0, 2117.3, 305.564, 1991.0, 1724.0),
        (30.0, 0.9, 101_325.0, 3811.2, 307.523, 2206.0, 1724.0),
        (20.0, 0.5, 101_325.0, 1167.4, 294.432, 735.0, 587.0),
        (35.0, 0.8, 90_000.0, 4487.5, 314.070, 6828.0, 6207.0),
        (25.0, 1.0, 101_325.0, 3162.3, 301.710, 1562.0, 1161.0),
    ] {
        let pressure = Pascals::pa(p);
        let name = format!("{t} C, {rh}, {p} Pa");
        rows.row(format!("DA, ft, {name}"), moist, density_altitude_ft(pressure, t, rh), 3.0);
        rows.row(format!("DA dry, ft, {name}"), dry, density_altitude_ft(pressure, t, 0.0), 0.6);
        // What the density says of vapour and of the temperature of dry air as thin.
        let rho = density(pressure, Kelvins::celsius(t), rh).to_kg_m3();
        let specific = GAS_CONSTANT * Kelvins::celsius(t).to_k();
        rows.row(format!("e, Pa, {name}"), vapour, (p - rho * specific) / LIGHTER, 0.003 * vapour);
        rows.row(format!("Tv, K, {name}"), virtual_t, p / (GAS_CONSTANT * rho), 0.02);
    }
    rows.finish();
}

#[test]
fn worked_examples_of_density_altitude() {
    // All of them by the rule of 120 ft a degree, which is off the exact figure by up to 300 ft where it is hot and high.
    const RULE: f64 = 300.0;
    let at = |elevation: f64, pa: f64| pressure_from_qnh(Metres::ft(elevation), Pascals::pa(pa));
    let standard = |ft: f64| standard_pressure(Metres::ft(ft));
    for (source, pressure, celsius, expected) in [
        ("smartsolve.ai worked example", at(6000.0, 101_200.0), 15.0, 7467.0),
        ("millionaire-lane.com worked example", at(5000.0, 29.45 * INCH_OF_MERCURY), 35.0, 9070.0),
        ("expressjetpilots.com worked example", at(5000.0, 30.17 * INCH_OF_MERCURY), 30.0, 7750.0),
        ("mentalmathforpilots worked example, ISA + 6", standard(3000.0), 15.0564, 3720.0),
        ("PPL book at flipbuilder ucxs p. 241", standard(1600.0), 13.0, 1744.0),
    ] {
        let mut rows = Rows::new("density altitude by a rule", source, Kind::Handbook);
        let got = density_altitude_ft(pressure, celsius, 0.0);
        rows.row(format!("DA, ft, {celsius} C"), expected, got, RULE);
        rows.finish();
    }
}

#[test]
fn pressure_altitude_of_worked_examples() {
    for (source, elevation, qnh, expected, tolerance) in [
        // 27 ft a hectopascal, exact to a foot or so; the others by 1,000 ft an inch, off by up to 8 % of the correction.
        ("smartsolve.ai worked example", 6000.0, 101_200.0, 6027.0, 10.0),
        ("millionaire-lane.com worked example", 5000.0, 29.45 * INCH_OF_MERCURY, 5470.0, 50.0),
        ("expressjetpilots.com worked example", 5000.0, 30.17 * INCH_OF_MERCURY, 4750.0, 50.0),
    ] {
        let mut rows = Rows::new("pressure altitude by a rule", source, Kind::Handbook);
        let got = feet(pressure_altitude(pressure_from_qnh(Metres::ft(elevation), Pascals::pa(qnh))));
        rows.row(format!("PA, ft, {elevation} ft, {qnh} Pa"), expected, got, tolerance);
        rows.finish();
    }
    // Printed to 0.1 ft; the last digit of the pascals in an inch moves it by 0.07 ft.
    let mut rows = Rows::new("29.70 inches", "exact altimetry, plain arithmetic", Kind::Standard);
    let inches = pressure_from_qnh(Metres::ZERO, Pascals::pa(29.70 * INCH_OF_MERCURY));
    rows.row("PA, ft, at sea level", 205.3, feet(pressure_altitude(inches)), 0.1);
    rows.finish();
}

#[test]
fn pressure_printed_by_geometric_metres() {
    // Printed to 0.0001 bar; geopotential height with the radius 6356766 m of the same source.
    let mut rows = Rows::new("pressure, bar", "engineeringtoolbox table d_985 (copy)", Kind::Handbook);
    for (h, bar) in [
        (0.0, 1.013_25),
        (500.0, 0.9546),
        (1000.0, 0.8988),
        (1500.0, 0.8456),
        (2000.0, 0.7950),
        (3000.0, 0.7012),
        (5000.0, 0.5405),
    ] {
        let geopotential = Metres::m(h * 6_356_766.0 / (6_356_766.0 + h));
        rows.row(format!("p at {h} m"), bar, standard_pressure(geopotential).to_pa() / 1e5, 6e-5);
    }
    rows.finish();
}

#[test]
fn the_rest_of_the_official_magnetic_rows_by_their_components() {
    // 0.05 nT of some 6000 is 5e-4 degrees; whole days and the library's single precision come beside it.
    let mut rows = Rows::new(
        "magnetic declination by X and Y, official rows",
        "NOAA WMM2025_TEST_VALUES as carried by a public test; pygeomag 1.1.0 agrees",
        Kind::Standard,
    );
    let (start, middle) = ((2025, 1, 1), (2027, 7, 2));
    for (date, km, lat, lon, x, y) in [
        (start, 0.0, 0.0, 120.0, 39_677.8_f64, -109.6_f64),
        (start, 100.0, 80.0, 0.0, 6216.0, 92.4),
        (start, 100.0, 0.0, 120.0, 37_688.6, -96.2),
        (start, 100.0, -80.0, -120.0, 5907.6, 14_780.3),
        (middle, 0.0, 0.0, 120.0, 39_701.6, -167.4),
        (middle, 0.0, -80.0, -120.0, 6200.7, 15_730.3),
        (middle, 100.0, 80.0, 0.0, 6196.7, 233.8),
        (middle, 100.0, 0.0, 120.0, 37_711.5, -148.7),
    ] {
        let (year, month, day) = date;
        let datum = Datum { latitude_deg: lat, longitude_deg: lon, height: Metres::m(1000.0 * km) };
        let got = declination(&datum, year, month, day).expect("within the model").to_east_deg();
        let quantity = format!("{year}-{month:02}-{day:02} {km} km {lat} {lon}, degrees");
        rows.row(quantity, y.atan2(x).to_degrees(), got, 1.5e-3);
    }
    rows.finish();
}

/// Zenith angle without refraction and azimuth, degrees, at a moment in RFC 3339.
fn zenith_and_azimuth(moment: &str, latitude_deg: f64, longitude_deg: f64, height: f64) -> (f64, f64) {
    let datum = Datum { latitude_deg, longitude_deg, height: Metres::m(height) };
    let moment: Timestamp = moment.parse().expect("a moment");
    let sun = sun(&datum, moment.as_second()).expect("a sun");
    (90.0 - sun.elevation_rad.to_degrees(), sun.azimuth.to_deg())
}

/// The algorithm is good to 0.0003 degrees; the sources take another delta T, which moves the sun by 1e-5 a second.
const SUN: f64 = 0.001;

#[test]
fn the_sun_of_the_worked_example() {
    let mut rows = Rows::new(
        "sun, degrees",
        "NREL SPA worked example as re-computed by pvlib 0.16.1 spa_python; azimuth as printed",
        Kind::Library,
    );
    let (zenith, azimuth) = zenith_and_azimuth("2003-10-17T12:30:30-07:00", 39.742_476, -105.1786, 1830.14);
    rows.row("zenith without refraction", 50.127_954, zenith, SUN);
    rows.row("azimuth", 194.340_241, azimuth, SUN);
    rows.finish();
    let mut rows = Rows::new(
        "sun, degrees",
        "NREL SPA worked example (spa_tester.c column in maltegrosse/go-spa README)",
        Kind::Standard,
    );
    // With a refraction of 0.0163 degrees, which the program leaves out.
    rows.row("apparent zenith", 50.111_622, zenith, 0.02);
    rows.finish();
}

#[test]
fn the_sun_at_more_places_and_moments() {
    let mut rows = Rows::new("sun, degrees", "pvlib 0.16.1, solarposition.spa_python", Kind::Library);
    for (moment, lat, lon, zenith, azimuth) in [
        ("2026-06-21T12:00:00Z", 47.0, 8.0, 24.328_05, 197.005_88),
        ("2026-06-21T04:00:00Z", 47.0, 8.0, 87.016_64, 58.124_29),
        ("2026-12-21T11:00:00Z", 60.0, 25.0, 83.881_18, 189.670_73),
        ("2026-07-15T20:30:00Z", 61.2, -149.9, 43.118_47, 146.489_15),
        ("2026-09-23T16:45:00Z", 47.0, 8.0, 84.194_82, 263.337_53),
    ] {
        let got = zenith_and_azimuth(moment, lat, lon, 0.0);
        rows.row(format!("zenith, {moment}, {lat} {lon}"), zenith, got.0, SUN);
        rows.row(format!("azimuth, {moment}, {lat} {lon}"), azimuth, got.1, SUN);
    }
    rows.finish();
}

#[test]
fn the_sun_at_rise_noon_and_set() {
    // Rise and set are where the centre stands 0.8333 degrees below the horizon without refraction; printed to a second,
    // in which the sun moves 0.004 degrees. The last set is that of the same universal day, before the rise; the next
    // one comes three minutes sooner.
    let mut rows = Rows::new("sun, degrees", "pvlib 0.16.1, sun_rise_set_transit_spa", Kind::Library);
    for (lat, lon, rise, noon, set) in [
        (47.0, 8.0, "2026-06-21T03:32:52Z", "2026-06-21T11:29:49Z", "2026-06-21T19:26:45Z"),
        (60.0, 25.0, "2026-12-21T07:21:54Z", "2026-12-21T10:18:02Z", "2026-12-21T13:14:09Z"),
        (0.0, 0.0, "2026-03-20T06:04:11Z", "2026-03-20T12:07:26Z", "2026-03-20T18:10:42Z"),
        (61.2, -149.9, "2026-09-23T15:46:51Z", "2026-09-23T21:51:50Z", "2026-09-23T03:58:33Z"),
    ] {
        for moment in [rise, set] {
            let (zenith, _) = zenith_and_azimuth(moment, lat, lon, 0.0);
            rows.row(format!("zenith, {moment}, {lat} {lon}"), 90.8333, zenith, 0.02);
        }
        // At the equator at an equinox the sun stands all but overhead and its azimuth says nothing.
        if lat > 0.0 {
            let (_, azimuth) = zenith_and_azimuth(noon, lat, lon, 0.0);
            rows.row(format!("azimuth, {noon}, {lat} {lon}"), 180.0, azimuth, 0.02);
        }
    }
    rows.finish();
}

/// The plain strip's middle lane northwards after a change, in a wind whose direction is sure.
fn lane(change: impl FnOnce(&mut Trio)) -> AssessedLane {
    let mut trio = plain();
    change(&mut trio);
    let settings = Settings {
        wind_direction_spread_on_field_deg: 0.0,
        wind_direction_spread_reported_deg: 0.0,
        ..coarse()
    };
    let inputs = trio.inputs(settings);
    let line = Centreline::through(inputs.strip.outline.middle(), TrueHeading::deg(0.0));
    assess_line(&inputs, line, false).expect("a lane")
}

/// The same in a steady wind so far to the right of ahead, knots, measured at a height.
fn blown(right_deg: f64, kt: f64, at_height_m: f64) -> AssessedLane {
    lane(|t| {
        t.day.wind.from = DirectionRecord::True(right_deg.rem_euclid(360.0));
        let mps = CalibratedSpeed::kt(kt).to_mps();
        (t.day.wind.mean_mps, t.day.wind.gust_mps, t.day.wind.at_height_m) = (mps, mps, at_height_m);
    })
}

fn knots(mps: f64) -> f64 {
    mps / CalibratedSpeed::kt(1.0).to_mps()
}

/// Height of the wing in the settings, at which a wind is as it was measured.
const WING: f64 = 2.0;

#[test]
fn wind_components_and_their_shares_through_an_assessment() {
    let mut rows = Rows::new("head and cross wind, kt", "plane trigonometry", Kind::Standard);
    let mut shares = Rows::new(
        "head wind counted, kt",
        "half a head and one and a half of a tail wind, UK/EU CAT.POL.A.330(c)(2) and 400(d)(5); plane trigonometry",
        Kind::Standard,
    );
    for (runway, from, kt, head, cross) in [
        (360.0, 320.0, 20.0, 15.320_89, -12.855_75),
        (270.0, 300.0, 15.0, 12.990_38, 7.5),
        (90.0, 230.0, 12.0, -9.192_53, 7.713_45),
        (350.0, 10.0, 10.0, 9.396_93, 3.420_20),
        (10.0, 350.0, 10.0, 9.396_93, -3.420_20),
        (180.0, 260.0, 8.0, 1.389_19, 7.878_46),
    ] {
        let lane = blown(from - runway, kt, WING);
        let name = format!("{runway}/{from}@{kt}");
        rows.row(format!("head {name}"), head, knots(lane.headwind_mps.expect("a wind")), 6e-6);
        rows.row(format!("cross {name}"), cross, knots(lane.crosswind_mps.expect("a wind")), 6e-6);
        let share = if head < 0.0 { 1.5 } else { 0.5 };
        shares.row(name, share * head, knots(lane.basis.headwind_mps), 1e-5);
    }
    // The two of them that are printed as they are counted.
    shares.row("+15.32089 halved", 7.660_44, knots(blown(-40.0, 20.0, WING).basis.headwind_mps), 6e-6);
    // Cut, not rounded, to five digits.
    shares.row(
        "-9.19253 one and a half times",
        -13.788_79,
        knots(blown(140.0, 12.0, WING).basis.headwind_mps),
        1.1e-5,
    );
    rows.finish();
    shares.finish();
    let mut exam =
        Rows::new("limits at 60 degrees, kt", "exam example at atplquestions.com 19", Kind::Handbook);
    exam.row("head of 20", 10.0, knots(blown(60.0, 20.0, WING).headwind_mps.expect("a wind")), 1e-9);
    exam.row("cross of 40.41", 35.0, knots(blown(60.0, 40.41, WING).crosswind_mps.expect("a wind")), 0.01);
    exam.finish();
}

#[test]
fn a_head_wind_reported_higher_up_is_brought_down_by_the_profile() {
    let mut rows = Rows::new(
        "wind at 2 m over wind at 10 m, through an assessment",
        "log law ln(z/z0)/ln(10/z0), plain arithmetic; roughness classes as in Stull's table at shodor.org",
        Kind::Handbook,
    );
    let counted = blown(0.0, 10.0, 10.0).basis.headwind_mps;
    rows.row("z0 0.03 m, grass", 0.722_95, knots(counted) / (0.5 * 10.0), 6e-6);
    rows.finish();
}

#[test]
fn sun_air_and_declination_as_they_are_told() {
    let mut trio = plain();
    let datum = &mut trio.strip.datum;
    (datum.lat_deg, datum.lon_deg, datum.height_m) = (39.742_476, -105.1786, 1830.14);
    trio.day.time = "2003-10-17T12:30:30-07:00".into();
    let told = trio.glanced(coarse());
    let told_sun = told.sun.expect("a day");
    let mut rows = Rows::new("sun told, degrees", "pvlib 0.16.1, spa_python", Kind::Library);
    rows.row("elevation without refraction", 90.0 - 50.127_954, told_sun.elevation_deg, SUN);
    rows.row("azimuth", 194.340_241, told_sun.azimuth_true_deg, SUN);
    rows.finish();
    assert!(told.magnetic.is_none(), "no model of 2003");

    let datum = &mut trio.strip.datum;
    (datum.lat_deg, datum.lon_deg, datum.height_m) = (47.0, 8.0, 500.0);
    trio.day.time = "2026-01-01T12:00:00+01:00".into();
    let told = trio.glanced(coarse()).magnetic.expect("a model");
    let mut rows = Rows::new("declination told, degrees", "pygeomag 1.1.0, WMM_2025.COF", Kind::Library);
    rows.row("2026.0, 47 8, 0.5 km", 3.4081, told.declination_deg, 1e-3);
    rows.finish();
    let words = (told.model, told.valid_from.as_str(), told.valid_until.as_str());
    assert_eq!(words, ("WMM2025", "2025-01-01", "2029-12-31"));

    // 5000 ft and 1013.25 hPa: pressure altitude is the elevation.
    trio.strip.datum.height_m = 1524.0;
    trio.day.temperature_c = 40.0;
    let told = trio.glanced(coarse()).air.expect("a day");
    let mut rows = Rows::new(
        "air told",
        "exact inverse of the ICAO/ISO 2533 closed form, plain arithmetic",
        Kind::Standard,
    );
    let in_feet = |m: Option<f64>| m.expect("known") / 0.3048;
    rows.row("PA, ft", 5000.0, in_feet(told.pressure_altitude_m), 1e-6);
    rows.row("DA, ft, dry at 40 C", 8846.4, in_feet(told.density_altitude_m), 0.06);
    rows.row("rho, kg/m3", 0.937_887, told.density_kg_m3.expect("known"), 1e-6);
    rows.finish();
}
