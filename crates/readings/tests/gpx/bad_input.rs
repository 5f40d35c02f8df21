//! Input that cannot be used: one clear message each, and never a panic or a hang.

use crate::field::{Gpx, rectangle};
use proptest::prelude::*;
use readings::{ImportOptions, import_gpx};
use std::fmt::Write;

fn import(bytes: &[u8]) -> Result<readings::Imported, readings::BadReadings> {
    import_gpx("mere.gpx", bytes, &ImportOptions::default())
}

#[track_caller]
fn check_refused(bytes: impl AsRef<[u8]>, message: &str) {
    assert_eq!(import(bytes.as_ref()).unwrap_err().to_string(), message);
}

fn gpx(inside: &str) -> String {
    format!("<gpx version=\"1.1\" creator=\"invented\">{inside}</gpx>")
}

fn track(fixes: &str) -> String {
    gpx(&format!("<trk><trkseg>{fixes}</trkseg></trk>"))
}

#[test]
fn every_bad_file_has_its_own_message() {
    check_refused("", "mere.gpx: found an empty file, expected a walk in GPX");
    check_refused(" \n", "mere.gpx: found an empty file, expected a walk in GPX");
    check_refused("hello", "mere.gpx: line 1: found text without any XML element, expected a walk in GPX");
    check_refused(
        b"<gpx>\n\xff\xfe",
        "mere.gpx: line 2: found bytes that are not UTF-8 text, expected a walk in GPX",
    );
    check_refused(
        "<?xml version=\"1.0\"?>\n<kml/>",
        "mere.gpx: line 2: found the element \"kml\", expected the element \"gpx\", the first of every GPX file",
    );
    check_refused(
        gpx("\n<wpt lat=\"1\" lon=\"2\"/>"),
        "mere.gpx: found no track and no route with points, expected a track of the walk round the field",
    );
    check_refused(
        gpx("<trk/>"),
        "mere.gpx: found no track and no route with points, expected a track of the walk round the field",
    );
    check_refused(
        track("<trkpt lat=\"1\" lon=\"2\"/><trkpt lat=\"1.001\" lon=\"2\"/><trkpt lat=\"1\" lon=\"2\"/>"),
        "mere.gpx: track 1: found 2 usable fixes of 3 at different places, expected at least 3",
    );
    check_refused(
        "<gpx/>",
        "mere.gpx: line 1: found \"gpx\" without \"version\", expected \"version\" in \"gpx\"",
    );
    check_refused(
        gpx("<trk><what/></trk>"),
        "mere.gpx: line 1: found \"what\" in \"track\", expected what GPX allows in \"track\"",
    );
    check_refused(
        vec![b' '; strip::text::MOST_BYTES + 1],
        "mere.gpx: found more than 8 MiB, expected a walk in GPX of at most 8 MiB",
    );
}

#[test]
fn coordinates_that_are_none_are_refused_with_their_line() {
    check_refused(
        track("\n<trkpt lat=\"NaN\" lon=\"2\"/>"),
        "mere.gpx: line 2: found latitude NaN, expected a number of degrees in [-90.0, 90.0]",
    );
    check_refused(
        track("\n\n<trkpt lat=\"1\" lon=\"180.5\"/>"),
        "mere.gpx: line 3: found longitude 180.5, expected a number of degrees in [-180.0, 180.0)",
    );
    check_refused(
        track(
            "<trkpt lat=\"89.5\" lon=\"2\"/><trkpt lat=\"89.6\" lon=\"2\"/><trkpt lat=\"89.6\" lon=\"3\"/>",
        ),
        "mere.gpx: track 1, fix 1: found latitude 89.5, expected a number of degrees from -89 to 89",
    );
    check_refused(
        track("<trkpt lat=\"1\" lon=\"2\"/><trkpt lat=\"1.001\" lon=\"2\"/><trkpt lat=\"-1\" lon=\"-178\"/>"),
        "mere.gpx: track 1, fix 3: found 12756.3 km from the first, expected a walk round one field, at most \
         20 km across",
    );
    check_refused(
        track(
            "<trkpt lat=\"1\" lon=\"2\"><ele>9000</ele></trkpt><trkpt lat=\"1.001\" lon=\"2\"/>\
             <trkpt lat=\"1.001\" lon=\"2.001\"/>",
        ),
        "mere.gpx: datum.height_m: found 9000, expected a number from -500 to 6000 m",
    );
}

/// The two positions of an open test file, `with_accuracy.gpx` of the crate `gpx` (MIT): 504.1684 m apart by
/// `GeographicLib` 2.1, in one second.
#[test]
fn two_fixes_that_nobody_can_have_walked_between_are_not_two_usable_fixes() {
    check_refused(
        track(
            "<trkpt lat=\"51.120586\" lon=\"3.779642\"><ele>50.3</ele><time>2017-04-12T17:00:36Z</time>\
             <fix>dgps</fix><sat>4</sat><hdop>5</hdop><vdop>6.2</vdop><pdop>728</pdop></trkpt>\
             <trkpt lat=\"51.120654\" lon=\"3.772442\"><ele>0.0</ele><time>2017-04-12T17:00:37Z</time>\
             <fix>3d</fix><sat>5</sat><hdop>3.6</hdop></trkpt>",
        ),
        "mere.gpx: track 1: found 1 usable fixes of 2 at different places, expected at least 3",
    );
}

#[test]
fn elements_nested_two_hundred_thousand_deep_are_refused() {
    let deep = "<a>".repeat(200_000);
    check_refused(
        gpx(&format!("<extensions>{deep}")),
        "mere.gpx: line 1: found elements nested deeper than 32, expected a walk in GPX",
    );
}

#[test]
fn a_file_with_far_too_many_fixes_is_refused() {
    let fixes: String = (0..20_001).fold(String::new(), |mut text, i| {
        write!(text, "<trkpt lat=\"1.{i:05}\" lon=\"2\"/>").expect("a text");
        text
    });
    check_refused(track(&fixes), "mere.gpx: found 20001 fixes, expected at most 20000");
}

#[test]
fn bounds_that_are_no_numbers_do_no_harm() {
    let bounds = "<bounds minlat=\"NaN\" maxlat=\"NaN\" minlon=\"NaN\" maxlon=\"NaN\"/>";
    let err = import(gpx(&format!("<metadata>{bounds}</metadata>")).as_bytes()).unwrap_err();
    assert!(err.to_string().contains("found no track"), "{err}");
}

#[test]
fn a_name_full_of_control_characters_is_made_fit_for_a_message() {
    let err = import_gpx("a\n\u{1b}[31mb", b"", &ImportOptions::default()).unwrap_err();
    assert_eq!(err.to_string(), "a [31mb: found an empty file, expected a walk in GPX");
}

/// A small file that has one of everything.
fn sample() -> Vec<u8> {
    let thin = |walk: Vec<(f64, f64)>| walk.into_iter().step_by(20).collect::<Vec<_>>();
    Gpx::new()
        .with_elevation(12.0)
        .with_dilution(1.2)
        .waypoint(20.0, 30.0, "<name>r1</name><sym>Rock</sym>")
        .track(&thin(rectangle(0.0, 0.0, 120.0, 300.0)), 20)
        .track(&thin(rectangle(40.0, 40.0, 40.0, 60.0)), 20)
        .route(&[(5.0, 5.0), (10.0, 5.0), (10.0, 10.0)])
        .text()
        .into_bytes()
}

#[test]
fn the_sample_that_is_spoilt_below_is_good_before() {
    let imported = import(&sample()).expect("a walk");
    assert_eq!((imported.record.outline.corners.len(), imported.record.hazards.len()), (4, 3));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn a_file_with_flipped_bytes_and_a_lost_end_never_panics(
        flips in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..8),
        keep in 0.2..=1.0_f64,
    ) {
        let mut bytes = sample();
        for (index, byte) in flips {
            let at = index.index(bytes.len());
            bytes[at] = byte;
        }
        bytes.truncate((bytes.len() as f64 * keep) as usize);
        check_survives(&bytes);
    }

    /// Digits for digits, so that most files are still read and the geometry is what suffers.
    #[test]
    fn a_file_with_changed_digits_never_panics(
        changes in prop::collection::vec((any::<prop::sample::Index>(), b'0'..=b'9'), 1..30),
    ) {
        let mut bytes = sample();
        let digits: Vec<usize> = (0..bytes.len()).filter(|&i| bytes[i].is_ascii_digit()).collect();
        for (index, digit) in changes {
            bytes[digits[index.index(digits.len())]] = digit;
        }
        check_survives(&bytes);
    }

    #[test]
    fn random_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..2_000)) {
        check_survives(&bytes);
    }
}

/// What can be read is a valid strip, what cannot has a message with the file's name.
fn check_survives(bytes: &[u8]) {
    match import(bytes) {
        Ok(imported) => {
            strip::Strip::new(&imported.record, &strip::Settings::default()).expect("a valid strip");
        }
        Err(bad) => assert!(bad.to_string().starts_with("mere.gpx: "), "{bad}"),
    }
}
