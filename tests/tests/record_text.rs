//! Text that is no record, or one of a newer program: refused in one line, at once, without a panic.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use std::fmt::Write;
use std::time::{Duration, Instant};
use strip::file::RecordKind;
use strip::record::{AircraftRecord, DayRecord, StripRecord};
use strip::{Aircraft, BadRecord, Day, Settings, Strip, text};
use support::{KINDS, SAMPLES, changed, sample};

/// Deep enough that a reader which calls itself for every bracket runs out of stack.
const DEEP: usize = 200_000;

/// Longest that refusing a record may take in a build without optimisation.
const AT_ONCE: Duration = Duration::from_secs(5);

/// Reads bytes as a record of a kind and makes it valid.
fn read(kind: RecordKind, bytes: &[u8]) -> Result<(), BadRecord> {
    match kind {
        RecordKind::Strip => {
            let record: StripRecord = text::parse(kind.name(), bytes)?;
            Strip::new(&record, &Settings::default()).map(drop)
        }
        RecordKind::Aircraft => Aircraft::new(&text::parse::<AircraftRecord>(kind.name(), bytes)?).map(drop),
        RecordKind::Day => Day::new(&text::parse::<DayRecord>(kind.name(), bytes)?).map(drop),
        RecordKind::Settings => text::parse::<Settings>(kind.name(), bytes)?.checked().map(drop),
    }
}

#[track_caller]
fn refused(kind: RecordKind, bytes: &[u8]) -> String {
    let before = Instant::now();
    let message = read(kind, bytes).expect_err("text that is no such record").to_string();
    assert!(before.elapsed() < AT_ONCE, "took {:?}", before.elapsed());
    check_shape(&message);
    message
}

#[track_caller]
fn check_shape(message: &str) {
    assert!(!message.contains('\n'), "more than one line: {message}");
    assert!(message.contains("found ") && message.contains(", expected "), "{message}");
}

#[track_caller]
fn check_strip_line(from: &str, to: &str, start: &str) {
    let text = sample("bramblewick-flat", RecordKind::Strip);
    let message = refused(RecordKind::Strip, changed(&text, from, to).as_bytes());
    assert!(message.starts_with(start), "{message}");
}

#[test]
fn an_unknown_word_is_refused_with_its_line_and_the_words_that_there_are() {
    check_strip_line(
        "kind: Rock",
        "kind: Rok",
        "line 17, column 20: found unknown word \"Rok\", expected one of: Rock, Stump, Post, Mound",
    );
    check_strip_line(
        "Hedge(1.6)",
        "Hegde(1.6)",
        "line 15, column 180: found unknown word \"Hegde\", expected one of: Open, Fence",
    );
    check_strip_line(
        "cover: ShortGrass",
        "cover: Moss",
        "line 20, column 9: found unknown word \"Moss\", expected one of: ShortGrass",
    );
}

#[test]
fn a_misspelt_field_is_refused_with_its_line() {
    check_strip_line(
        "height_m: 0.25",
        "hieght_m: 0.25",
        "line 17, column 66: found unknown field \"hieght_m\", expected one of: id, kind, at, radius_m, height_m",
    );
    check_strip_line(
        " hazards: [",
        " hazard: [",
        "line 16, column 2: found unknown field \"hazard\", expected one of: ",
    );
    check_strip_line(
        "wires: Looked",
        "wire: Looked",
        "line 12, column 3: found unknown field \"wire\", expected one of: ",
    );
}

#[test]
fn a_missing_field_is_named() {
    for (from, to, field) in [
        ("datum: (lat_deg: 54.2, lon_deg: -2.9, height_m: 41.0),", "", "datum"),
        ("lat_deg: 54.2, ", "", "lat_deg"),
        ("radius_m: 0.5, ", "", "radius_m"),
        ("  wires: Looked(on: \"2026-04-11\", by: \"A. Nonesuch\"),", "", "wires"),
    ] {
        let text = changed(&sample("bramblewick-flat", RecordKind::Strip), from, to);
        let message = refused(RecordKind::Strip, text.as_bytes());
        let expected = format!("found no such field, expected field \"{field}\"");
        assert!(message.starts_with("line ") && message.ends_with(&expected), "{message}");
    }
}

#[test]
fn a_field_given_twice_is_refused() {
    let text = changed(
        &sample("bramblewick-flat", RecordKind::Strip),
        "cover: ShortGrass,",
        "cover: ShortGrass, cover: LongGrass,",
    );
    let message = refused(RecordKind::Strip, text.as_bytes());
    assert!(message.ends_with("found field \"cover\" twice, expected each field once"), "{message}");
}

#[test]
fn a_figure_of_the_wrong_kind_is_refused_with_its_line() {
    for (from, to) in [
        ("radius_m: 0.5", "radius_m: \"half a metre\""),
        ("radius_m: 0.5", "radius_m: 0,5"),
        ("radius_m: 0.5", "radius_m: 0.5 m"),
        ("id: \"r1\"", "id: 1"),
        ("Point(140.0, 118.0)", "Point(140.0)"),
        ("Point(140.0, 118.0)", "Point(140.0, 118.0, 3.0)"),
        ("schema: 1", "schema: -1"),
        ("schema: 1", "schema: one"),
    ] {
        let text = changed(&sample("bramblewick-flat", RecordKind::Strip), from, to);
        let message = refused(RecordKind::Strip, text.as_bytes());
        assert!(message.starts_with("line "), "{message}");
    }
}

#[test]
fn an_empty_file_is_said_to_be_empty() {
    for kind in KINDS {
        for bytes in [&b""[..], b" \n\t\n"] {
            let name = kind.name();
            assert_eq!(
                refused(kind, bytes),
                format!("found an empty file, expected a record of kind {name}")
            );
        }
    }
}

#[test]
fn bytes_that_are_not_text_are_refused_with_their_line() {
    let mut bytes = sample("bramblewick-flat", RecordKind::Strip).into_bytes();
    let third_line = bytes.iter().enumerate().filter(|(_, b)| **b == b'\n').nth(1).expect("lines").0;
    bytes[third_line + 3] = 0xff;
    assert_eq!(
        refused(RecordKind::Strip, &bytes),
        "line 3, column 1: found bytes that are not UTF-8 text, expected a record of kind strip"
    );
}

#[test]
fn a_record_of_another_schema_is_refused_before_its_fields_are_looked_at() {
    for kind in KINDS {
        let newer = changed(
            &sample("bramblewick-flat", kind),
            "schema: 1,",
            "schema: 2, not_known_yet: (a: [1, 2]),",
        );
        assert_eq!(
            refused(kind, newer.as_bytes()),
            "schema: found 2, expected 1 (written by a newer Keelsward; it is left as it is)"
        );
        let older = changed(&sample("bramblewick-flat", kind), "schema: 1,", "schema: 0,");
        assert_eq!(refused(kind, older.as_bytes()), "schema: found 0, expected 1");
    }
}

#[test]
fn two_hundred_thousand_brackets_are_refused_at_once() {
    for open in ["(", "[", "{", "Some(", "(a:", "[[("] {
        let message = refused(RecordKind::Strip, open.repeat(DEEP).as_bytes());
        assert!(message.starts_with("line 1") || message.starts_with("found"), "{message}");
    }
    let text = sample("bramblewick-flat", RecordKind::Strip);
    for inside in ["datum: ", "hazards: [", "outline: (corners: ["] {
        let deep = changed(&text, inside, &format!("{inside}{}", "[(".repeat(DEEP)));
        refused(RecordKind::Strip, deep.as_bytes());
    }
    let unknown = changed(&text, "schema: 1,", &format!("schema: 1, more: {},", "[".repeat(DEEP)));
    refused(RecordKind::Strip, unknown.as_bytes());
}

#[test]
fn brackets_in_comments_and_texts_are_no_nesting() {
    let text = sample("bramblewick-flat", RecordKind::Strip);
    let brackets = "([{".repeat(DEEP);
    for comment in [format!("// {brackets}\n"), format!("/* {brackets} */")] {
        let commented = changed(&text, "datum:", &format!("{comment} datum:"));
        assert_eq!(read(RecordKind::Strip, commented.as_bytes()), Ok(()));
    }
    let nested = changed(&text, "datum:", &format!("{} datum:", "/*".repeat(DEEP)));
    refused(RecordKind::Strip, nested.as_bytes());
    let noted = changed(&text, "first survey", &brackets);
    assert_eq!(read(RecordKind::Strip, noted.as_bytes()), Ok(()));
    let named = changed(&text, "Bramblewick Flat (invented)", &brackets);
    assert_eq!(
        refused(RecordKind::Strip, named.as_bytes()),
        "name: found a longer text, expected 1 to 200 characters on one line"
    );
}

#[test]
fn more_than_eight_mebibytes_are_refused_unread() {
    let mut text = sample("bramblewick-flat", RecordKind::Strip);
    text.push_str(&" ".repeat(text::MOST_BYTES + 1 - text.len()));
    assert_eq!(
        refused(RecordKind::Strip, text.as_bytes()),
        "found more than 8 MiB, expected a record of kind strip of at most 8 MiB"
    );
    text.pop();
    assert_eq!(read(RecordKind::Strip, text.as_bytes()), Ok(()));
}

#[test]
fn what_the_program_wrote_it_writes_again_byte_for_byte() {
    for name in SAMPLES {
        let strip = sample(name, RecordKind::Strip);
        check_identity::<StripRecord>("strip", &strip);
        check_identity::<AircraftRecord>("aircraft", &sample(name, RecordKind::Aircraft));
        check_identity::<DayRecord>("day", &sample(name, RecordKind::Day));
    }
    let mut odd = String::from("(near_margin_m: 0.1");
    write!(odd, ", hazard_margin_m: {:?})", 0.1 + 0.2 - 0.25).expect("text grows");
    check_identity::<Settings>("settings", &odd);
}

fn check_identity<T>(kind: &str, given: &str)
where
    T: serde::Serialize + serde::de::DeserializeOwned + PartialEq + std::fmt::Debug,
{
    let record: T = text::parse(kind, given.as_bytes()).expect("a record");
    let first = text::write(&record).expect("text");
    let again: T = text::parse(kind, first.as_bytes()).expect("the same record");
    assert_eq!(again, record);
    assert_eq!(text::write(&again).expect("text"), first);
}

/// One slip of a finger, a disk or a transfer.
#[derive(Clone, Debug)]
enum Slip {
    Flip(prop::sample::Index, u8),
    Cut(prop::sample::Index),
    Insert(prop::sample::Index, u8),
    Remove(prop::sample::Index),
    Repeat(prop::sample::Index, prop::sample::Index),
}

impl Slip {
    fn make(&self, bytes: &mut Vec<u8>) {
        let length = bytes.len().max(1);
        match self {
            Self::Flip(at, with) => {
                if let Some(byte) = bytes.get_mut(at.index(length)) {
                    *byte ^= with;
                }
            }
            Self::Cut(at) => bytes.truncate(at.index(length)),
            Self::Insert(at, byte) => bytes.insert(at.index(bytes.len() + 1), *byte),
            Self::Remove(at) => {
                if !bytes.is_empty() {
                    bytes.remove(at.index(length));
                }
            }
            Self::Repeat(a, b) => {
                let (a, b) = (a.index(bytes.len() + 1), b.index(bytes.len() + 1));
                let piece = bytes[a.min(b)..a.max(b)].to_vec();
                bytes.extend(piece);
            }
        }
    }
}

fn any_slip() -> impl Strategy<Value = Slip> {
    let at = any::<prop::sample::Index>;
    // Half of what is inserted means something to the reader of records.
    let telling = prop::sample::select(b"()[]{},:.\"'\\/*#-+eEN0123456789_ r\n\t\0".to_vec());
    let byte = prop_oneof![any::<u8>(), telling];
    prop_oneof![
        (at(), 1..=255_u8).prop_map(|(i, b)| Slip::Flip(i, b)),
        at().prop_map(Slip::Cut),
        (at(), byte).prop_map(|(i, b)| Slip::Insert(i, b)),
        at().prop_map(Slip::Remove),
        (at(), at()).prop_map(|(a, b)| Slip::Repeat(a, b)),
    ]
}

proptest! {
    // Always the same damage: what a run finds, the next one finds again.
    #![proptest_config(ProptestConfig {
        cases: 400, rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..ProptestConfig::default()
    })]

    #[test]
    fn a_damaged_sample_is_read_or_refused_in_one_line(slips in prop::collection::vec(any_slip(), 1..4)) {
        for name in SAMPLES {
            for kind in KINDS {
                let mut bytes = sample(name, kind).into_bytes();
                for slip in &slips {
                    slip.make(&mut bytes);
                }
                if let Err(bad) = read(kind, &bytes) {
                    check_shape(&bad.to_string());
                }
            }
        }
    }

    #[test]
    fn random_bytes_are_refused_in_one_line(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        for kind in KINDS {
            check_shape(&read(kind, &bytes).expect_err("no record").to_string());
        }
    }
}
