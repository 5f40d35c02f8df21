//! What the program answers for the samples, as JSON and as text.

use super::{run, sample_path};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Mutex, OnceLock};
use strip::file::RecordKind;

/// Figures in one answer are worked out in one go, so they agree to the last digits.
pub const ROUNDING: f64 = 1e-9;

/// The answer of a verb for a sample, asked for once.
pub fn answer(verb: &'static str, name: &'static str) -> Value {
    static ANSWERS: OnceLock<Mutex<BTreeMap<(&str, &str), Value>>> = OnceLock::new();
    let answers = ANSWERS.get_or_init(Default::default);
    let mut answers = answers.lock().expect("no test failed while it asked");
    answers
        .entry((verb, name))
        .or_insert_with(|| serde_json::from_str(&said(verb, name, true)).expect("JSON"))
        .clone()
}

/// What a verb writes for a sample, as JSON or as text.
pub fn said(verb: &str, name: &str, json: bool) -> String {
    let path = sample_path(name, RecordKind::Strip);
    let mut args = vec![Path::new(verb), &path];
    args.extend(json.then_some(Path::new("--json")));
    let ran = run(args);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{verb} {name}");
    ran.out
}

/// A number that must be there.
pub fn number(of: &Value, key: &str) -> f64 {
    of[key].as_f64().unwrap_or_else(|| panic!("{key} is no number in {of}"))
}

/// A list that must be there.
pub fn list<'a>(of: &'a Value, key: &str) -> &'a [Value] {
    of[key].as_array().unwrap_or_else(|| panic!("{key} is no list in {of}"))
}

/// A text that must be there.
pub fn text<'a>(of: &'a Value, key: &str) -> &'a str {
    of[key].as_str().unwrap_or_else(|| panic!("{key} is no text in {of}"))
}

/// Fails unless two figures of one answer are the same up to rounding.
#[track_caller]
pub fn close(a: f64, b: f64) {
    assert!((a - b).abs() <= ROUNDING * a.abs().max(1.0), "{a} is not {b}");
}
