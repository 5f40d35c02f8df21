//! Wires, obstacle surfaces, slopes, turns and climbs against outside sources. The tables are printed; a row without a
//! source fails.
//!
//! **Sag and published surfaces are shown here, never credited.** A wire is judged at its higher support, and no surface
//! of an aerodrome makes a field fit to be landed on: the rows only hold our own geometry against theirs.

#![allow(clippy::expect_used, reason = "helpers of a test fail by panicking")]

use acceptance::{Kind, Rows};
use ground::sag::{Form, Hanging, Span, parabola_sag_of_length};
use ground::{Lane, Point};
use measure::{AirSpeed, CalibratedSpeed, CubicDensity, Headwind, Kilograms, Metres, Slope, TrueHeading};
use slide::{Abandon, Approach, Climb, Climbing, Manoeuvre, StallSpeed, density_altitude, standard_density};

fn level(length: f64) -> Span {
    Span { length: Metres::m(length), rise: Metres::ZERO }
}

fn wire(form: Form, span: Span, tension: f64, weight: f64) -> Hanging {
    Hanging::of_tension(form, span, Metres::m(tension / weight)).expect("a wire")
}

#[test]
fn sag_length_and_tension_of_level_wires() {
    let source = "closed form of catenary and parabola, plain arithmetic";
    let mut rows = Rows::new("wires between level supports", source, Kind::Standard);
    for (l, w, h, parabola, catenary, length, most) in [
        (500.0, 9.806_65, 98_066.5, 3.125_000, 3.125_163, 500.052_085, 98_097.147),
        (60.0, 4.903_325, 2_000.0, 1.103_248, 1.103_746, 60.054_110, 2_005.412),
        (100.0, 3.0, 1_500.0, 2.500_000, 2.502_084, 100.166_750, 1_507.506),
        (40.0, 1.2, 300.0, 0.800_000, 0.800_427, 40.042_680, 300.961),
        (80.0, 2.0, 400.0, 4.000_000, 4.013_351, 80.534_401, 408.027),
    ] {
        let (even, chain) = (wire(Form::Parabola, level(l), h, w), wire(Form::Catenary, level(l), h, w));
        rows.row(format!("sag of {l} m, parabola, m"), parabola, even.sag().to_m(), 6e-7);
        rows.row(format!("sag of {l} m, catenary, m"), catenary, chain.sag().to_m(), 6e-7);
        rows.row(format!("length of {l} m, catenary, m"), length, chain.length().to_m(), 6e-7);
        let tension = chain.greatest_tension_over_weight().to_m() * w;
        rows.row(format!("greatest tension of {l} m, catenary, N"), most, tension, 6e-4);
    }
    rows.finish();
    let source = "published example of a line of 1 kg/m at 10,000 kg (scienceaq.com)";
    let mut rows = Rows::new("sag, printed", source, Kind::Handbook);
    let line = wire(Form::Parabola, level(500.0), 98_066.5, 9.806_65);
    rows.row("sag of 500 m, m", 3.125, line.sag().to_m(), 1e-9);
    rows.finish();
}

#[test]
fn drop_along_a_wire() {
    let source = "closed form of catenary and parabola, plain arithmetic";
    let mut rows = Rows::new("drop along 60 m of 4.903325 N/m at 2,000 N", source, Kind::Standard);
    let (even, chain) = (
        wire(Form::Parabola, level(60.0), 2_000.0, 4.903_325),
        wire(Form::Catenary, level(60.0), 2_000.0, 4.903_325),
    );
    for (at, catenary, parabola) in [
        (10.0, 0.613_315, 0.612_916),
        (15.0, 0.827_902, 0.827_436),
        (20.0, 0.981_156, 0.980_665),
        (30.0, 1.103_746, 1.103_248),
    ] {
        rows.row(format!("{at} m, catenary, m"), catenary, chain.drop_at(Metres::m(at)).to_m(), 6e-7);
        rows.row(format!("{at} m, parabola, m"), parabola, even.drop_at(Metres::m(at)).to_m(), 6e-7);
    }
    rows.finish();
}

#[test]
fn wires_between_unequal_supports() {
    let mut rows = Rows::new("60 m, one end 4 m higher", "SciPy 1.17.1, brentq", Kind::Library);
    let span = Span { rise: Metres::m(4.0), ..level(60.0) };
    let chain = wire(Form::Catenary, span, 2_000.0, 4.903_325);
    rows.row("lowest from the lower end, m", 2.852_12, chain.lowest().at.to_m(), 6e-6);
    rows.row("lowest below the lower end, m", 0.009_972, chain.lowest().drop.to_m(), 6e-7);
    let even = wire(Form::Parabola, span, 2_000.0, 4.903_325);
    rows.row("the same, parabola, m", 2.807_57, even.lowest().at.to_m(), 6e-6);
    // From the other end it is the same wire.
    let back =
        wire(Form::Catenary, Span { rise: Metres::m(-4.0), ..level(60.0) }, 2_000.0, 4.903_325).lowest();
    rows.row("from the higher end, m", 60.0 - 2.852_12, back.at.to_m(), 6e-6);
    rows.row("below the higher end, m", 4.009_972, back.drop.to_m(), 6e-7);
    rows.finish();
}

#[test]
fn wires_of_known_length() {
    let mut rows = Rows::new("60.5 m on 60 m", "SciPy 1.17.1, brentq", Kind::Library);
    let chain = Hanging::of_length(level(60.0), Metres::m(60.5)).expect("a wire");
    rows.row("sag, catenary, m", 3.363_869, chain.sag().to_m(), 6e-7);
    rows.finish();
    let source = "formula of a cable handbook (cableizer.com): sqrt(3 L (S - L)/8)";
    let mut rows = Rows::new("60.5 m on 60 m, parabola", source, Kind::Handbook);
    let sag = parabola_sag_of_length(Metres::m(60.0), Metres::m(60.5));
    rows.row("sag, m", 3.354_102, sag.to_m(), 6e-7);
    rows.finish();
    let source = "SciPy 1.17.1, brentq; the problem from learn.i-can.org.za";
    let mut rows = Rows::new("140 m of 3 kg/m on 120 m, g 9.81", source, Kind::Library);
    let chain = Hanging::of_length(level(120.0), Metres::m(140.0)).expect("a wire");
    rows.row("tension over weight, m", 61.4457, chain.tension_over_weight().to_m(), 6e-5);
    rows.row("sag, m", 31.6971, chain.sag().to_m(), 6e-5);
    let most = chain.greatest_tension_over_weight().to_m() * 3.0 * 9.81;
    rows.row("greatest tension, N", 2_741.19, most, 6e-3);
    // And back from its sag.
    let back = Hanging::of_sag(Form::Catenary, level(120.0), chain.sag()).expect("a wire");
    rows.row("length from that sag, m", 140.0, back.length().to_m(), 1e-9);
    rows.finish();
}

/// A path flown down a slope to the edge of a surface, nothing broken off yet.
fn path(slope: Slope) -> Abandon {
    let approach = Approach {
        glide_rad: slope.to_ratio().atan(),
        airspeed: AirSpeed::mps(20.0),
        headwind: Headwind::ZERO,
    };
    let climbing = Climbing { rate_mps: 2.0, airspeed: AirSpeed::mps(25.0) };
    Abandon::new(approach, climbing, &Manoeuvre::default()).expect("it climbs")
}

/// Height and half-width of a surface a distance before its inner edge: the path down it, and a line along its side.
fn surface(inner_half: f64, splay: Slope, slope: Slope, distance: f64) -> (f64, f64) {
    let before = Metres::m(distance);
    let angle = splay.to_ratio().atan();
    let near = Point { x: inner_half, y: 0.0 };
    let side = Lane { near, heading: TrueHeading::rad(angle), length: before / angle.cos() };
    (path(slope).height_over(before, -before).to_m(), side.far().x)
}

#[test]
fn published_approach_surfaces_for_comparison() {
    let source =
        "ICAO Annex 14 code 1 non-instrument, as a national rule of 2007 has it: 60 m, 10 %, 5 %, 1600 m";
    let mut rows = Rows::new("approach surface, 5 %", source, Kind::Standard);
    for (distance, height, width) in [(0.0, 0.0, 60.0), (200.0, 10.0, 100.0), (1_600.0, 80.0, 380.0)] {
        let (h, half) = surface(30.0, Slope::ratio(0.1), Slope::ratio(0.05), distance);
        rows.row(format!("height at {distance} m, m"), height, h, 1e-9);
        rows.row(format!("width at {distance} m, m"), width, 2.0 * half, 1e-9);
    }
    rows.finish();
    let source =
        "14 CFR 77.19, utility runway, visual approaches (public copies): 250 ft to 1250 ft in 5000 ft, 20:1";
    let mut rows = Rows::new("approach surface, 20:1", source, Kind::Standard);
    for (distance, height, half_width) in [(0.0, 0.0, 125.0), (1_000.0, 50.0, 225.0), (5_000.0, 250.0, 625.0)]
    {
        let (h, half) = surface(125.0, Slope::ratio(0.1), Slope::ratio(1.0 / 20.0), distance);
        rows.row(format!("height at {distance} ft, ft"), height, h, 1e-9);
        rows.row(format!("half-width at {distance} ft, ft"), half_width, half, 1e-9);
    }
    rows.finish();
}

#[test]
fn slopes_as_ratio_percent_and_angle() {
    let source = "plane trigonometry, exact, printed to four places";
    let mut rows = Rows::new("slopes", source, Kind::Standard);
    for (ratio, percent, degrees) in [
        (7.0, 14.2857, 8.1301),
        (10.0, 10.0, 5.7106),
        (15.0, 6.6667, 3.8141),
        (20.0, 5.0, 2.8624),
        (30.0, 3.3333, 1.9092),
        (34.0, 2.9412, 1.6847),
        (40.0, 2.5, 1.4321),
        (50.0, 2.0, 1.1458),
        (62.5, 1.6, 0.9167),
        (1.0 / 0.052_407_779, 5.2408, 3.0),
    ] {
        let run = Metres::m(100.0 * ratio);
        let slope = Slope::ratio(Metres::m(100.0) / run);
        // Down that path the height over its run is the hundred metres again.
        let angle = TrueHeading::rad(slope.to_ratio().atan());
        rows.row(format!("1:{ratio:.1}, per cent"), percent, 100.0 * slope.to_ratio(), 6e-5);
        rows.row(format!("1:{ratio:.1}, degrees"), degrees, angle.to_deg(), 6e-5);
        let height = path(slope).height_over(run, -run).to_m();
        rows.row(format!("1:{ratio:.1}, height over its run, m"), 100.0, height, 1e-9);
    }
    rows.finish();
}

#[test]
fn stall_speed_in_a_bank() {
    // In a bank lift carries the weight over the cosine, as that of a heavier aircraft.
    let mut rows =
        Rows::new("stall speed in a bank, factor", "1/sqrt(cos), plain arithmetic", Kind::Standard);
    let stall = StallSpeed { calibrated: CalibratedSpeed::mps(1.0), at_mass: Kilograms::kg(600.0) };
    for (bank, factor) in
        [(15.0_f64, 1.017_485), (30.0, 1.074_570), (45.0, 1.189_207), (60.0, std::f64::consts::SQRT_2)]
    {
        let loaded = Kilograms::kg(600.0) / bank.to_radians().cos();
        rows.row(format!("{bank} degrees"), factor, stall.at(loaded).to_mps(), 6e-7);
    }
    rows.finish();
}

fn turn_radius(airspeed: f64, bank_deg: f64) -> f64 {
    let approach = Approach { glide_rad: 0.05, airspeed: AirSpeed::mps(20.0), headwind: Headwind::mps(3.0) };
    let climbing = Climbing { rate_mps: 2.0, airspeed: AirSpeed::mps(airspeed) };
    let manoeuvre = Manoeuvre { bank_rad: bank_deg.to_radians(), ..Manoeuvre::default() };
    Abandon::new(approach, climbing, &manoeuvre).expect("it climbs").turn_radius().to_m()
}

#[test]
fn turn_radii() {
    const KNOT: f64 = 1852.0 / 3600.0;
    let source = "worked examination answer (atplquestions.com), with g taken as 10 m/s2";
    let mut rows = Rows::new("turn radius, m", source, Kind::Handbook);
    let with_ten = turn_radius(120.0 * KNOT, 60.0) * measure::STANDARD_GRAVITY / 10.0;
    rows.row("120 kt, 60 degrees", 220.0, with_ten, 0.5);
    rows.finish();
    let source =
        "worked example of a public page of formulas (machinecalcs.com), \"about 1,240 ft\", \"about 7\"";
    let mut rows = Rows::new("turn at 90 kt and 30 degrees", source, Kind::Handbook);
    let radius = turn_radius(90.0 * KNOT, 30.0);
    rows.row("radius, ft", 1_240.0, radius / 0.3048, 5.0);
    rows.row("rate, degrees a second", 7.0, (90.0 * KNOT / radius).to_degrees(), 0.5);
    rows.finish();
}

#[test]
fn density_altitudes() {
    let source = "inverse of the ISA density, exact closed form, plain arithmetic";
    let mut rows = Rows::new("density altitude, ft", source, Kind::Standard);
    for (density, feet) in [
        (1.225_000, 0.0),
        (1.164_386, 1_723.9),
        (1.122_920, 2_943.3),
        (1.100_813, 3_607.5),
        (1.079_170, 4_267.7),
        (1.005_636, 6_589.4),
        (1.001_874, 6_711.6),
        (0.937_887, 8_846.4),
        (1.293_609, -1_874.3),
        (0.917_973, 9_533.5),
    ] {
        let got = density_altitude(CubicDensity::kg_m3(density)) / Metres::ft(1.0);
        // Densities printed to 1e-6: 0.04 ft.
        rows.row(format!("{density} kg/m3"), feet, got, 0.1);
    }
    rows.finish();
}

#[test]
fn climb_to_a_height() {
    // Time is the integral of 1/rate; a thousand even steps of Simpson's rule are exact to the digits printed.
    let source =
        "lecture notes on ceilings of propeller-driven aeroplanes (public copy): 5 km, 360 m/min, to 3 km";
    let mut rows = Rows::new("time to climb, min", source, Kind::Handbook);
    let climb = Climb {
        rate_mps: 6.0,
        airspeed: CalibratedSpeed::mps(40.0),
        mass: Kilograms::kg(1_000.0),
        absolute_ceiling: Metres::m(5_000.0),
    };
    let steps = 1_000_u32;
    let slowness = |i: u32| {
        let height = Metres::m(3_000.0 * f64::from(i) / f64::from(steps));
        1.0 / climb.rate_mps(standard_density(height), climb.mass, 1.0)
    };
    let weight = |i: u32| if i == 0 || i == steps { 1.0 } else { f64::from(2 + 2 * (i % 2)) };
    let sum: f64 = (0..=steps).map(|i| weight(i) * slowness(i)).sum();
    let minutes = sum * 3_000.0 / f64::from(steps) / 3.0 / 60.0;
    rows.row("to 3 km", 12.73, minutes, 5e-3);
    rows.finish();
}
