//! Frame, lanes, planes and magnetic declination against outside sources.
//!
//! Each table's head names its source; values computed with a library were computed apart from this
//! program, except those of `geographiclib-rs`, which is run beside it.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

use acceptance::{Kind, Rows};
use geographiclib_rs::{Geodesic, InverseGeodesic};
use ground::{Corner, Datum, EdgeKind, Frame, Lane, Level, Outline, Plane, Point, Ring, declination};
use measure::{Metres, TrueHeading};

fn frame(latitude_deg: f64, longitude_deg: f64, height: f64) -> Frame {
    Frame::about(Datum { latitude_deg, longitude_deg, height: Metres::m(height) })
}

/// Length and azimuth of a point of the frame from its datum.
fn polar(p: Point) -> (f64, f64) {
    (p.x.hypot(p.y), p.x.atan2(p.y).to_degrees())
}

#[test]
fn east_north_and_up_of_geographic_positions() {
    // Printed to 1e-6 m, and the two libraries agree to that.
    let mut rows = Rows::new(
        "east, north, up",
        "pymap3d 3.2.0 geodetic2enu and pyproj 3.7.2 (PROJ 9.5.1) topocentric",
        Kind::Library,
    );
    for (origin, place, enu) in [
        ((47.0, 8.0, 500.0), (47.003, 8.004, 512.0), (304.231_340, 333.547_187, 11.984_025)),
        ((60.0, 25.0, 50.0), (60.002, 24.995, 47.5), (-278.985_240, 222.836_809, -2.509_976)),
        ((-33.5, 151.2, 10.0), (-33.503, 151.206, 18.0), (557.517_600, -332.757_298, 7.966_946)),
        ((0.0, 0.0, 0.0), (0.001, 0.001, 0.0), (111.319_491, 110.574_276, -0.001_936)),
    ] {
        let (lat, lon, h) = place;
        let frame = frame(origin.0, origin.1, origin.2);
        let (p, up) = frame.field_from_geographic(lat, lon, Metres::m(h));
        rows.row(format!("east of {lat} {lon} {h}, m"), enu.0, p.x, 1e-6);
        rows.row(format!("north of {lat} {lon} {h}, m"), enu.1, p.y, 1e-6);
        rows.row(format!("up of {lat} {lon} {h}, m"), enu.2, up.to_m(), 1e-6);
        // The same rows the other way: 1e-6 m is 1e-11 degrees of latitude, 2e-11 of longitude at 60.
        let (la, lo, hh) = frame.geographic_from_field(Point { x: enu.0, y: enu.1 }, Metres::m(enu.2));
        rows.row(format!("latitude back, {lat}"), lat, la, 2e-11);
        rows.row(format!("longitude back, {lon}"), lon, lo, 4e-11);
        rows.row(format!("height back, {h}, m"), h, hh.to_m(), 2e-6);
    }
    rows.finish();
}

/// Pairs on the ellipsoid at the scale of a strip: from, to, distance (m), azimuth at the first.
const INVERSE: [([f64; 2], [f64; 2], f64, f64); 8] = [
    ([47.0, 8.0], [47.0, 8.01], 760.559_982, 89.996_343_23),
    ([47.0, 8.0], [47.005, 8.0], 555.854_451, 0.0),
    ([60.0, 25.0], [60.004, 25.012], 804.309_234, 56.347_636_32),
    ([-33.5, 151.2], [-33.503, 151.206], 649.269_525, 120.831_085_76),
    ([0.0, 0.0], [0.009, 0.0], 995.168_482, 0.0),
    ([0.0, 0.0], [0.0, 0.009], 1_001.875_417, 90.0),
    ([61.2, -149.9], [61.2045, -149.9], 501.446_113, 0.0),
    ([61.2, -149.9], [61.2, -149.89], 537.669_517, 89.995_618_47),
];

/// The frame is a plane through the datum: at 1 km a point lies s^3 / 6 R^2 = 4 micrometres nearer in
/// it than along the ellipsoid, and the sources print micrometres.
const PLANE_TOLERANCE: f64 = 6e-6;

/// The normal section and the geodesic part by less than this at 1 km; the sources print 1e-8.
const AZIMUTH_TOLERANCE: f64 = 5e-7;

#[test]
fn distances_and_azimuths_across_a_strip() {
    let mut rows = Rows::new(
        "distance and azimuth",
        "geographiclib 2.1 (Python), Geodesic.WGS84.Inverse",
        Kind::Library,
    );
    for ([la, lo], [lb, ob], distance, azimuth) in INVERSE {
        let (p, _) = frame(la, lo, 0.0).field_from_geographic(lb, ob, Metres::ZERO);
        let (length, heading) = polar(p);
        rows.row(format!("{la} {lo} to {lb} {ob}, m"), distance, length, PLANE_TOLERANCE);
        rows.row(format!("{la} {lo} to {lb} {ob}, azimuth"), azimuth, heading, AZIMUTH_TOLERANCE);
    }
    rows.finish();
}

#[test]
fn distances_across_a_strip_by_a_second_library() {
    let mut rows = Rows::new("distance", "geographiclib-rs 0.2.7, inverse, run beside", Kind::Library);
    let wgs84 = Geodesic::wgs84();
    for ([la, lo], [lb, ob], _, _) in INVERSE {
        let there: f64 = wgs84.inverse(la, lo, lb, ob);
        let (p, _) = frame(la, lo, 0.0).field_from_geographic(lb, ob, Metres::ZERO);
        rows.row(format!("{la} {lo} to {lb} {ob}, m"), there, polar(p).0, PLANE_TOLERANCE);
    }
    // From one end of a strip to the other, with the datum between them, at many places.
    for (i, lat) in [-85.0, -50.0, -12.0, 0.0, 23.0, 45.0, 57.4, 71.0, 85.0].into_iter().enumerate() {
        let lon = -170.0 + 40.0 * i as f64;
        let frame = frame(lat, lon, 0.0);
        let (a, b) = (Point { x: -210.0, y: 160.0 }, Point { x: 240.0, y: -130.0 });
        let on_earth = |p: Point| {
            // Down onto the ellipsoid, so that both ends are where the library measures.
            let (_, _, h) = frame.geographic_from_field(p, Metres::ZERO);
            let (la, lo, _) = frame.geographic_from_field(p, -h);
            (la, lo)
        };
        let ((la, lo), (lb, ob)) = (on_earth(a), on_earth(b));
        let there: f64 = wgs84.inverse(la, lo, lb, ob);
        rows.row(
            format!("535.35 m across at {lat} {lon}, m"),
            there,
            (b.x - a.x).hypot(b.y - a.y),
            PLANE_TOLERANCE,
        );
    }
    rows.finish();
}

#[test]
fn positions_reached_along_an_azimuth() {
    // At 1 km the plane's point lies s^3 / 3 R^2 = 8 micrometres from the geodesic's: 7e-11 degrees of
    // latitude, 1.5e-10 of longitude at 61 degrees; printed to 1e-10.
    let mut rows = Rows::new(
        "position from azimuth and distance",
        "geographiclib 2.1 (Python), Geodesic.WGS84.Direct",
        Kind::Library,
    );
    for ((lat, lon, azimuth, s), (la, lo)) in [
        ((47.0, 8.0, 45.0, 600.0), (47.003_816_187_9, 8.005_578_709_0)),
        ((60.0, 25.0, 237.5, 450.0), (59.997_829_643_6, 24.993_198_901_7)),
        ((-33.5, 151.2, 90.0, 1000.0), (-33.499_999_532_7, 151.210_761_651_1)),
        ((61.2, -149.9, 123.4, 812.5), (61.195_985_628_6, -149.887_385_790_5)),
    ] {
        let near = Point { x: 0.0, y: 0.0 };
        let far = Lane { near, heading: TrueHeading::deg(azimuth), length: Metres::m(s) }.far();
        let (got_la, got_lo, _) = frame(lat, lon, 0.0).geographic_from_field(far, Metres::ZERO);
        rows.row(format!("latitude, {s} m at {azimuth} from {lat} {lon}"), la, got_la, 2e-10);
        rows.row(format!("longitude, {s} m at {azimuth} from {lat} {lon}"), lo, got_lo, 3e-10);
    }
    rows.finish();
}

/// Half the stretch of latitude or longitude over which a degree is measured, degrees.
const STEP: f64 = 5e-4;

#[test]
fn metres_in_a_degree() {
    // Over a thousandth of a degree about the place; printed to 1e-4 m, of which a thousandth is used.
    let mut rows = Rows::new(
        "metres in a degree",
        "radii of curvature of the WGS 84 ellipsoid, closed form",
        Kind::Standard,
    );
    for (lat, north, east) in [
        (0.0, 110_574.275_8, 111_319.490_8),
        (30.0, 110_852.442_5, 96_486.280_3),
        (45.0, 111_131.777_4, 78_846.835_1),
        (47.0, 111_170.841_5, 76_055.998_3),
        (60.0, 111_412.287_5, 55_800.001_6),
    ] {
        let at = |dlat: f64, dlon: f64| {
            frame(lat, 8.0, 0.0).field_from_geographic(lat + dlat, 8.0 + dlon, Metres::ZERO).0
        };
        let (n, e) = (at(STEP, 0.0).y - at(-STEP, 0.0).y, at(0.0, STEP).x - at(0.0, -STEP).x);
        rows.row(format!("north at {lat}, m"), north, n / (2.0 * STEP), 1e-3);
        rows.row(format!("east at {lat}, m"), east, e / (2.0 * STEP), 1e-3);
    }
    rows.finish();
}

fn outline(corners: &[Point]) -> Outline {
    let corners: Vec<Corner> = corners.iter().map(|&at| Corner { at, sigma: Metres::ZERO }).collect();
    let edges = vec![EdgeKind::Open; corners.len()];
    Outline::new(Ring { corners, edges, height_share: 0.0 }, Vec::new()).expect("a simple ring")
}

fn area(outline: &Outline) -> f64 {
    let twice = |[a, b, c]: [Point; 3]| ((b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y)).abs();
    outline.triangles().into_iter().map(twice).sum::<f64>() / 2.0
}

#[test]
fn areas_of_outlines() {
    let mut geodesic =
        Rows::new("area on the ellipsoid", "pyproj 3.7.2, Geod.polygon_area_perimeter", Kind::Library);
    let frame = frame(47.0, 8.0, 0.0);
    let corners = [(47.0, 8.0), (47.0, 8.008), (47.0005, 8.008), (47.0005, 8.0)];
    let corners = corners.map(|(lat, lon)| frame.field_from_geographic(lat, lon, Metres::ZERO).0);
    // Seen from the plane, ground 600 m away is tilted by 1e-4: 5e-9 of the area, 2e-4 m2; printed 1e-3.
    geodesic.row("608 m by 56 m at 47 N, m2", 33_820.681, area(&outline(&corners)), 1e-3);
    let side =
        |i: usize| (corners[(i + 1) % 4].x - corners[i].x).hypot(corners[(i + 1) % 4].y - corners[i].y);
    geodesic.row("its perimeter, m", 1328.061, (0..4).map(side).sum(), 6e-4);
    geodesic.finish();

    // Published points are rounded to 0.0005 ft over legs of some 300 ft, products to 0.05 ft2.
    let mut survey = Rows::new(
        "area by coordinates, feet",
        "jerrymahun.com, adjusted traverse; half the difference of its printed products",
        Kind::Handbook,
    );
    let points = [(2000.0, 500.0), (1561.426, 323.614), (1488.321, 526.996), (1686.956, 719.336)];
    let points = points.map(|(x, y)| Point { x, y });
    survey.row("traverse of four legs, ft2", 102_935.75, area(&outline(&points)), 0.3);
    survey.finish();

    let points = [(0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)].map(|(x, y)| Point { x, y });
    let rectangle = outline(&points);
    let mut printed = Rows::new("area by coordinates", "open-exam-prep.com, rectangle", Kind::Handbook);
    printed.row("300 by 200", 60_000.0, area(&rectangle), 1e-9);
    printed.finish();
    let mut exact = Rows::new("longest line of a rectangle", "theorem of Pythagoras, exact", Kind::Standard);
    let longest = rectangle.longest_line_bound().to_m();
    exact.row("diagonal of 300 by 200, 100 sqrt 13", 360.555_127_546_399, longest, 1e-9);
    exact.finish();
}

#[test]
fn points_by_chainage_and_offset() {
    let mut rows = Rows::new(
        "chainage and offset from (1000, 1000) to (1300, 1400), offset positive to the right",
        "plane trigonometry of a 3-4-5 triangle, exact",
        Kind::Standard,
    );
    let heading = TrueHeading::rad(300_f64.atan2(400.0));
    let lane = Lane { near: Point { x: 1000.0, y: 1000.0 }, heading, length: Metres::m(500.0) };
    rows.row("azimuth, degrees", 36.869_897_645_844, heading.to_deg(), 1e-9);
    for (chainage, offset, e, n) in [
        (210.0, 30.0, 1150.0, 1150.0),
        (360.0, -20.0, 1200.0, 1300.0),
        (-38.0, -34.0, 950.0, 990.0),
        (518.0, 24.0, 1330.0, 1400.0),
        (500.0, 0.0, 1300.0, 1400.0),
    ] {
        let p = lane.point_at(Metres::m(chainage), Metres::m(offset));
        rows.row(format!("east at {chainage} {offset}, m"), e, p.x, 1e-9);
        rows.row(format!("north at {chainage} {offset}, m"), n, p.y, 1e-9);
    }
    rows.finish();
}

#[test]
fn the_slope_of_a_line_of_levels() {
    // The library's one line, taken twice, 60 m apart: the slope of the plane along it is the line's.
    // Each residual comes twice, so the plane's error is the line's widened by what is known of it:
    // se sqrt(2 x 4 / 9 / 2) for nine spare levels, times t(0.95, 9) = 1.833113 of the same library.
    let mut rows =
        Rows::new("regression of levels on distance", "scipy 1.17.1, linregress and t.ppf", Kind::Library);
    let heights = [10.0, 10.4, 10.9, 11.2, 11.8, 12.1];
    let level = |i: usize, y: f64| Level {
        at: Point { x: 50.0 * i as f64, y },
        height: Metres::m(heights[i]),
        sigma: Metres::ZERO,
    };
    let levels: Vec<Level> = (0..heights.len()).flat_map(|i| [level(i, 0.0), level(i, 60.0)]).collect();
    let plane = Plane::fit(&levels).expect("a plane");
    let east = TrueHeading::deg(90.0);
    rows.row("slope", 0.008_571_428_57, plane.slope_along(east).to_ratio(), 1e-11);
    let error = 0.000_329_914 * (4.0_f64 / 9.0).sqrt() * 1.833_113;
    rows.row("error of the slope, one-sided 95 %", error, plane.plane_error_along(east).to_ratio(), 2e-9);
    rows.row("slope across it", 0.0, plane.slope_along(TrueHeading::deg(0.0)).to_ratio(), 1e-12);
    rows.finish();
}

/// Declination on a date, degrees east.
fn east_of_north((year, month, day): (i16, u8, u8), km: f64, latitude_deg: f64, longitude_deg: f64) -> f64 {
    let datum = Datum { latitude_deg, longitude_deg, height: Metres::m(1000.0 * km) };
    declination(&datum, year, month, day).expect("within the model").to_east_deg()
}

#[test]
fn magnetic_declination_by_the_official_test_values() {
    // Printed to 0.01 degree: half of that, and a thousandth for the program's dates being whole days
    // (half a day of 0.52 degree a year) and its library's single precision.
    let mut rows = Rows::new(
        "magnetic declination, official rows",
        "NOAA WMM2025_TEST_VALUES as carried by a public test; pygeomag 1.1.0 agrees",
        Kind::Standard,
    );
    let (start, middle) = ((2025, 1, 1), (2027, 7, 2));
    for (date, km, lat, lon, d) in [
        (start, 0.0, 80.0, 0.0, 1.28),
        (start, 0.0, 0.0, 120.0, -0.16),
        (start, 0.0, -80.0, -120.0, 68.78),
        (start, 100.0, 80.0, 0.0, 0.85),
        (start, 100.0, 0.0, 120.0, -0.15),
        (start, 100.0, -80.0, -120.0, 68.21),
        (middle, 0.0, 80.0, 0.0, 2.59),
        (middle, 0.0, 0.0, 120.0, -0.24),
        (middle, 0.0, -80.0, -120.0, 68.49),
        (middle, 100.0, 80.0, 0.0, 2.16),
        (middle, 100.0, 0.0, 120.0, -0.23),
        (middle, 100.0, -80.0, -120.0, 67.93),
        (start, 65.0, 43.0, 93.0, 0.50),
    ] {
        let (year, month, day) = date;
        let got = east_of_north(date, km, lat, lon);
        rows.row(format!("{year}-{month:02}-{day:02} {km} km {lat} {lon}, degrees"), d, got, 6e-3);
    }
    // From the horizontal components of the same rows, which say more than the printed angle.
    for (date, km, lat, lon, x, y) in [
        (start, 0.0, 80.0, 0.0, 6521.6_f64, 145.9_f64),
        (start, 0.0, -80.0, -120.0, 6117.5, 15_751.9),
        (start, 65.0, 43.0, 93.0, 24_299.852_822, 210.517_066),
        (middle, 0.0, 80.0, 0.0, 6500.8, 294.5),
        (middle, 100.0, -80.0, -120.0, 5984.0, 14_760.1),
    ] {
        let (year, month, day) = date;
        let got = east_of_north(date, km, lat, lon);
        let quantity = format!("{year}-{month:02}-{day:02} {km} km {lat} {lon} by X and Y, degrees");
        // 0.05 nT of some 6500 is 5e-4 degrees, beside the date and the single precision.
        rows.row(quantity, y.atan2(x).to_degrees(), got, 1.5e-3);
    }
    rows.finish();
}

#[test]
fn magnetic_declination_at_more_places() {
    // The library takes a decimal year; the program a day, at most half a day off it: 3e-4 degrees
    // at the fastest drift of these rows (0.2 degree a year), and single precision beside it.
    let mut rows =
        Rows::new("magnetic declination, more places", "pygeomag 1.1.0, WMM_2025.COF", Kind::Library);
    for (date, km, lat, lon, d) in [
        ((2026, 1, 1), 0.5, 47.0, 8.0, 3.4081),
        ((2026, 7, 2), 0.05, 60.0, 25.0, 10.3906),
        ((2026, 7, 2), 0.0, -33.5, 151.2, 12.6665),
        ((2026, 4, 2), 0.1, 61.2, -149.9, 14.1316),
        ((2028, 1, 1), 0.3, 47.6, -122.3, 14.7117),
        ((2027, 1, 1), 0.0, 64.1, -21.9, -10.9475),
    ] {
        let got = east_of_north(date, km, lat, lon);
        rows.row(format!("{}-{:02}-{:02} {lat} {lon}, degrees", date.0, date.1, date.2), d, got, 1e-3);
    }
    rows.finish();
}
