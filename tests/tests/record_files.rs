//! The program with files that are missing, damaged, too large, in the wrong place or not writable:
//! exit codes, one line on standard error, and old files left as they were.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use serde_json::Value;
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use strip::file::RecordKind;
use support::{
    KINDS, Ran, changed, finished, folder_of, program, program_path, run, sample, without_display,
};

const FLAT: &str = "bramblewick-flat";

/// Longest that refusing a file may take, the start of the program included.
const AT_ONCE: Duration = Duration::from_secs(5);

fn strip_in(folder: &Path) -> PathBuf {
    folder.join(format!("{FLAT}.strip.ron"))
}

fn assess(strip: &Path) -> Ran {
    run([Path::new("assess"), strip])
}

fn json(strip: &Path, more: &[&Path]) -> Value {
    let mut args = vec![Path::new("assess"), strip, Path::new("--json")];
    args.extend(more);
    let ran = run(args);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    serde_json::from_str(&ran.out).expect("JSON")
}

fn codes(assessment: &Value) -> Vec<&str> {
    let reasons = assessment["reasons"].as_array().expect("reasons");
    reasons.iter().map(|r| r["code"].as_str().expect("a code")).collect()
}

/// Exit code, nothing on standard output, one line on standard error of the documented shape.
#[track_caller]
fn check_failed(ran: &Ran, code: i32, start: &str) {
    assert_eq!((ran.code, ran.out.as_str()), (Some(code), ""), "{}", ran.err);
    assert!(ran.err.starts_with(&format!("keelsward: {start}")), "{}", ran.err);
    assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
}

/// A record that cannot be used: the message names the file, then what was found and expected.
#[track_caller]
fn check_unusable(ran: &Ran, file: &Path, place_and_found: &str) {
    check_failed(ran, 3, &format!("{}: {place_and_found}", file.display()));
    assert!(ran.err.contains("found ") && ran.err.contains(", expected "), "{}", ran.err);
}

fn with_strip(bytes: &[u8]) -> (tempfile::TempDir, PathBuf) {
    let folder = folder_of(FLAT, &KINDS);
    let strip = strip_in(folder.path());
    fs::write(&strip, bytes).expect("a damaged strip");
    (folder, strip)
}

#[test]
fn a_strip_that_cannot_be_used_ends_with_three_and_one_line() {
    let good = sample(FLAT, RecordKind::Strip);
    for (bytes, said) in [
        (Vec::new(), "found an empty file, expected a record of kind strip"),
        (b"\xff\xfe\x00".to_vec(), "line 1, column 1: found bytes that are not UTF-8 text"),
        (b"([{".repeat(70_000), "line 1"),
        (
            changed(&good, "radius_m: 0.5", "radius_m: NaN").into_bytes(),
            "hazards[1] (r1).radius_m: found NaN",
        ),
        (
            changed(&good, "radius_m: 0.5", "radus_m: 0.5").into_bytes(),
            "line 17, column 51: found unknown field",
        ),
        (good.as_bytes()[..good.len() / 2].to_vec(), "line "),
    ] {
        let (_folder, strip) = with_strip(&bytes);
        for verb in ["assess", "lanes"] {
            check_unusable(&run([Path::new(verb), strip.as_path()]), &strip, said);
        }
        // Without a display the window's verb reads the file too, and says the same.
        check_unusable(&run([&strip]), &strip, said);
    }
}

#[test]
fn a_companion_that_cannot_be_used_is_the_one_that_is_named() {
    for kind in [RecordKind::Aircraft, RecordKind::Day, RecordKind::Settings] {
        let folder = folder_of(FLAT, &KINDS);
        let file = folder.path().join(format!("{FLAT}{}", kind.suffix()));
        fs::write(&file, "(schema: 1, wrng: 2)").expect("a damaged companion");
        check_unusable(&assess(&strip_in(folder.path())), &file, "line 1, column ");
    }
}

#[test]
fn a_folder_and_a_missing_file_are_said_to_be_no_record() {
    let folder = folder_of(FLAT, &KINDS);
    check_unusable(
        &assess(folder.path()),
        folder.path(),
        "found something that is not a file, expected a record of kind strip",
    );
    let missing = folder.path().join("gone.strip.ron");
    check_unusable(&assess(&missing), &missing, "found no such file, expected a record of kind strip");
    let strip = strip_in(folder.path());
    let args = [Path::new("assess"), &strip, Path::new("--day"), &missing];
    check_unusable(&run(args), &missing, "found no such file, expected a record of kind day");
}

#[test]
fn a_file_of_a_hundred_megabytes_is_refused_at_once() {
    let folder = folder_of(FLAT, &KINDS);
    let strip = strip_in(folder.path());
    File::create(&strip).expect("a file").set_len(100 * 1024 * 1024).expect("a sparse file");
    let before = Instant::now();
    check_unusable(
        &assess(&strip),
        &strip,
        "found more than 8 MiB, expected a record of kind strip of at most 8 MiB",
    );
    assert!(before.elapsed() < AT_ONCE, "{:?}", before.elapsed());
}

#[test]
fn a_record_of_a_newer_program_is_refused_and_left_as_it_is() {
    let newer = changed(&sample(FLAT, RecordKind::Strip), "schema: 1,", "schema: 2, shape: (new: [1.0]),");
    let (_folder, strip) = with_strip(newer.as_bytes());
    let written = fs::metadata(&strip).expect("a file").modified().expect("a time");
    check_unusable(&assess(&strip), &strip, "schema: found 2, expected 1 (written by a newer Keelsward");
    assert_eq!(fs::read_to_string(&strip).expect("the same file"), newer);
    assert_eq!(fs::metadata(&strip).expect("a file").modified().expect("a time"), written);
}

#[test]
fn several_aircraft_beside_a_strip_end_with_two_and_are_listed() {
    let folder = folder_of(FLAT, &[RecordKind::Strip, RecordKind::Day]);
    for name in ["first", "second"] {
        let file = folder.path().join(format!("{name}.aircraft.ron"));
        fs::write(file, sample(FLAT, RecordKind::Aircraft)).expect("an aircraft");
    }
    let strip = strip_in(folder.path());
    let ran = assess(&strip);
    check_failed(&ran, 2, "several aircraft records");
    for name in ["first", "second"] {
        let file = folder.path().join(format!("{name}.aircraft.ron"));
        assert!(ran.err.contains(&file.display().to_string()), "{}", ran.err);
        // Named by hand, it is taken.
        let chosen = json(&strip, &[Path::new("--aircraft"), &file]);
        assert_eq!(chosen["verdict"], "fits");
    }
    fs::remove_file(folder.path().join("second.aircraft.ron")).expect("one less");
    assert_eq!(json(&strip, &[])["verdict"], "fits");
}

#[test]
fn without_an_aircraft_no_lane_is_judged_and_it_is_unknown() {
    let folder = folder_of(FLAT, &[RecordKind::Strip, RecordKind::Day]);
    let answer = json(&strip_in(folder.path()), &[]);
    assert_eq!(answer["verdict"], "unknown");
    assert_eq!(codes(&answer)[0], "no_aircraft");
    assert!(answer["reasons"][0]["text"].as_str().expect("a text").contains("No aircraft given"));
    assert_eq!(answer["lanes"].as_array().map(Vec::len), Some(0));
    assert_eq!(answer["missing"][0]["what"], "aircraft");
}

#[test]
fn without_a_day_the_figures_are_for_a_calm_day_and_it_is_unknown() {
    let folder = folder_of(FLAT, &[RecordKind::Strip, RecordKind::Aircraft]);
    let answer = json(&strip_in(folder.path()), &[]);
    assert_eq!(answer["verdict"], "unknown");
    assert!(codes(&answer).contains(&"no_day"));
    let lane = &answer["lanes"][0];
    assert!(lane["demand_m"].is_number());
    assert_eq!(lane["basis"]["headwind_mps"].as_f64().map(f64::abs), Some(0.0));
    for key in ["headwind_mps", "crosswind_mps", "heading_magnetic_deg"] {
        assert_eq!(lane.get(key), None, "{key}");
    }
}

#[test]
fn companions_named_by_hand_take_the_place_of_those_beside_the_strip() {
    let folder = folder_of(FLAT, &KINDS);
    let strip = strip_in(folder.path());
    let own = json(&strip, &[]);
    let elsewhere = |name: &str, text: &str| {
        let file = folder.path().join(name);
        fs::write(&file, text).expect("a record");
        file
    };
    let heavy = changed(&sample(FLAT, RecordKind::Aircraft), "crosswind_mps: 5.0", "crosswind_mps: 0.1");
    let heavy = elsewhere("other.ron", &heavy);
    let frost =
        elsewhere("frost.ron", &changed(&sample(FLAT, RecordKind::Day), "grass: Dry", "grass: Frost"));
    let near = elsewhere("near.ron", "(near_margin_m: 140.0)");
    let blown = json(&strip, &[Path::new("--aircraft"), &heavy]);
    assert_eq!(own["verdict"], "fits");
    // Within its spread the wind may come from straight ahead, so it is not sure that the limit is passed.
    assert_eq!(blown["lanes"][0]["verdict"], "unknown");
    let icy = json(&strip, &[Path::new("--day"), &frost]);
    let friction = |a: &Value| a["lanes"][0]["basis"]["friction"].as_f64().expect("a friction");
    assert!(friction(&icy) < 0.15 && friction(&own) > 0.2, "{icy}");
    let later = json(&strip, &[Path::new("--settings"), &near]);
    // The hedge before the sample sets it otherwise.
    let earliest = |a: &Value| a["lanes"][0]["earliest_touchdown_m"].as_f64().expect("a length");
    assert!(earliest(&own) < 140.0 && earliest(&later) >= 140.0, "{later}");
    let text = run([Path::new("assess"), &strip, Path::new("--day"), &frost]);
    assert!(text.out.contains(&format!("day      {}", frost.display())), "{}", text.out);
}

#[test]
fn a_wrong_call_ends_with_two_and_a_question_for_help_with_zero() {
    let folder = folder_of(FLAT, &KINDS);
    let strip = strip_in(folder.path()).display().to_string();
    for args in [
        &["assess"][..],
        &["lanes"],
        &["assess", &strip, "--wind", "3"],
        &["assess", &strip, "--units", "cubits"],
        &["assess", &strip, "second.strip.ron"],
        &["assess", &strip, "--aircraft"],
        &["import", &strip],
        &["settings", "extra"],
        &[],
    ] {
        let ran = run(args);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{args:?}");
        assert!(!ran.err.is_empty(), "{args:?}");
    }
    for question in ["--help", "--version"] {
        let ran = run([question]);
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
        assert!(ran.out.contains("keelsward"), "{}", ran.out);
    }
}

#[test]
fn without_a_display_the_program_says_so_in_one_line_and_prints_the_assessment() {
    let folder = folder_of(FLAT, &KINDS);
    let ran = run([strip_in(folder.path())]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let (first, rest) = ran.out.split_once("\n\n").expect("a line, then the assessment");
    assert!(first.starts_with("No display here") && first.lines().count() == 1, "{first}");
    assert_eq!(rest, assess(&strip_in(folder.path())).out);
}

const WALK: &str = r#"<gpx version="1.1" creator="invented"><trk><trkseg>
<trkpt lat="54.2" lon="-2.9"/><trkpt lat="54.2" lon="-2.893"/>
<trkpt lat="54.202" lon="-2.893"/><trkpt lat="54.202" lon="-2.9"/></trkseg></trk></gpx>"#;

fn walk_in(folder: &Path) -> PathBuf {
    let walk = folder.join("walk.gpx");
    fs::write(&walk, WALK).expect("a walk");
    walk
}

fn import(walk: &Path, output: &Path, more: &[&str]) -> Ran {
    finished(program().arg("import").arg(walk).arg("-o").arg(output).args(more))
}

#[test]
fn an_import_into_a_folder_that_is_none_ends_with_four() {
    let folder = tempfile::tempdir().expect("a folder");
    let walk = walk_in(folder.path());
    let nowhere = folder.path().join("nowhere").join("new.strip.ron");
    check_failed(&import(&walk, &nowhere, &[]), 4, &format!("{}: could not write", nowhere.display()));
    let in_a_file = walk.join("new.strip.ron");
    check_failed(&import(&walk, &in_a_file, &[]), 4, &format!("{}: could not write", in_a_file.display()));
    let over_a_folder = folder.path().join("strips");
    fs::create_dir(&over_a_folder).expect("a folder");
    let ran = import(&walk, &over_a_folder, &["--replace"]);
    check_failed(&ran, 4, &format!("{}: could not write", over_a_folder.display()));
    let left: Vec<_> =
        fs::read_dir(folder.path()).expect("a folder").flatten().map(|e| e.file_name()).collect();
    assert_eq!(left.len(), 2, "something was left behind: {left:?}");
}

/// The file size limit of the process stands for a disk that is full: it holds for every user.
#[cfg(unix)]
#[test]
fn an_import_onto_a_full_disk_ends_with_four_and_leaves_the_old_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let walk = walk_in(folder.path());
    let strip = folder.path().join("old.strip.ron");
    fs::write(&strip, "the old file").expect("an old file");
    let mut shell = std::process::Command::new("sh");
    without_display(&mut shell);
    shell.args(["-c", "trap '' XFSZ; ulimit -f 0; exec \"$@\"", "sh"]).arg(program_path());
    let ran = finished(shell.arg("import").arg(&walk).arg("-o").arg(&strip).arg("--replace"));
    check_failed(&ran, 4, &format!("{}: could not write", strip.display()));
    assert_eq!(fs::read_to_string(&strip).expect("the old file"), "the old file");
    assert_eq!(fs::read_dir(folder.path()).expect("a folder").count(), 2, "something was left behind");
}

#[test]
fn an_import_keeps_a_file_that_is_there_until_it_is_told_to_replace_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let walk = walk_in(folder.path());
    let strip = folder.path().join("old.strip.ron");
    fs::write(&strip, "the old file").expect("an old file");
    check_failed(&import(&walk, &strip, &[]), 2, &format!("{} is already there", strip.display()));
    fs::write(&walk, "<gpx>").expect("a damaged walk");
    check_failed(&import(&walk, &strip, &["--replace"]), 3, "walk.gpx: ");
    assert_eq!(fs::read_to_string(&strip).expect("the old file"), "the old file");
    walk_in(folder.path());
    assert_eq!(import(&walk, &strip, &["--replace"]).code, Some(0));
    // Nobody looked at anything yet, so nothing can be said of the new strip.
    assert_eq!(json(&strip, &[])["verdict"], "unknown");
}

#[cfg(target_os = "linux")]
#[test]
fn an_answer_that_cannot_be_written_ends_with_four_and_a_reader_who_leaves_with_zero() {
    let folder = folder_of(FLAT, &KINDS);
    let mut command = program();
    command.arg("assess").arg(strip_in(folder.path()));
    let full = File::options().write(true).open("/dev/full").expect("the device that is always full");
    let ran = finished(command.stdout(full));
    check_failed(&ran, 4, "could not write the answer");
    let mut child = command.stdout(std::process::Stdio::piped()).spawn().expect("the program starts");
    drop(child.stdout.take());
    assert_eq!(child.wait().expect("it ends").code(), Some(0));
}
