//! Records to text and back, with limits before anything is parsed.
//!
//! Invariants: at most [`MOST_BYTES`] are looked at, nesting deeper than [`MOST_DEPTH`] is refused, a
//! record of a newer schema is refused before its fields are looked at, and text that this module
//! wrote is reproduced byte for byte.

use crate::error::{BadRecord, Place};
use crate::record::SCHEMA;
use ron::error::{Position, SpannedError};
use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

/// Largest record that is read: 8 MiB.
pub const MOST_BYTES: usize = 8 * 1024 * 1024;

/// Most characters that are told of what was found.
const LONGEST_FOUND: usize = 40;

/// Deepest nesting that is read.
pub const MOST_DEPTH: usize = 64;

fn options() -> ron::Options {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME).with_recursion_limit(MOST_DEPTH)
}

/// Reads a record of a kind ("strip", "aircraft", "day") from the bytes of a file.
///
/// # Errors
/// [`BadRecord`] with the line, what was found and what was expected.
pub fn parse<T: DeserializeOwned>(kind: &str, bytes: &[u8]) -> Result<T, BadRecord> {
    if bytes.len() > MOST_BYTES {
        return Err(BadRecord::file("more than 8 MiB", &format!("a record of kind {kind} of at most 8 MiB")));
    }
    let text = std::str::from_utf8(bytes).map_err(|e| not_text(kind, bytes, e.valid_up_to()))?;
    // Some editors put a byte order mark first.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.trim().is_empty() {
        return Err(BadRecord::file("an empty file", &format!("a record of kind {kind}")));
    }
    if let Ok(Head { schema }) = options().from_str::<Head>(text)
        && schema != SCHEMA
    {
        let newer = if schema > SCHEMA { " (written by a newer Keelsward; it is left as it is)" } else { "" };
        return Err(BadRecord::field("schema", &schema.to_string(), &format!("{SCHEMA}{newer}")));
    }
    options().from_str(text).map_err(|e| explain(kind, text, &e))
}

/// Writes a record: one item a line, fields in their order.
///
/// # Errors
/// [`BadRecord`] if a value cannot be written, which no record of this crate holds.
pub fn write<T: Serialize>(record: &T) -> Result<String, BadRecord> {
    let layout = PrettyConfig::new().depth_limit(3).indentor("  ").new_line("\n").struct_names(false);
    let text = options()
        .to_string_pretty(record, layout)
        .map_err(|e| BadRecord::file(&e.to_string(), "a record that can be written"))?;
    Ok(text + "\n")
}

/// The one field that says how to read the rest.
#[derive(Deserialize)]
struct Head {
    schema: u32,
}

fn not_text(kind: &str, bytes: &[u8], valid: usize) -> BadRecord {
    let line = bytes[..valid].split(|&b| b == b'\n').count();
    let place = Place::Line { line, column: 1 };
    BadRecord::at(place, "bytes that are not UTF-8 text", &format!("a record of kind {kind}"))
}

fn explain(kind: &str, text: &str, error: &SpannedError) -> BadRecord {
    use ron::Error as E;
    let start = &error.span.start;
    let (found, expected) = match &error.code {
        E::NoSuchStructField { found, expected, .. } => {
            (format!("unknown field \"{found}\""), one_of(expected))
        }
        E::NoSuchEnumVariant { found, expected, .. } => {
            (format!("unknown word \"{found}\""), one_of(expected))
        }
        E::MissingStructField { field, .. } => ("no such field".to_owned(), format!("field \"{field}\"")),
        E::DuplicateStructField { field, .. } => {
            (format!("field \"{field}\" twice"), "each field once".to_owned())
        }
        E::InvalidValueForType { found, expected } => (found.clone(), expected.clone()),
        E::ExceededRecursionLimit => {
            (format!("brackets nested deeper than {MOST_DEPTH}"), format!("a record of kind {kind}"))
        }
        E::Eof => ("the end of the file".to_owned(), format!("the rest of the {kind} record")),
        E::ExpectedDifferentLength { expected, found } => {
            let many: String = expected.chars().filter(char::is_ascii_digit).collect();
            (values(&found.to_string()), values(&many))
        }
        E::TrailingCharacters => (found_at(text, start), format!("the end of the {kind} record")),
        E::IntegerOutOfBounds => (found_at(text, start), "a whole number".to_owned()),
        E::ExpectedDifferentStructName { .. }
        | E::ExpectedStructLike
        | E::ExpectedNamedStructLike(_)
        | E::ExpectedStructName(_)
        | E::ExpectedAttribute => (found_at(text, start), "an opening (".to_owned()),
        E::InvalidIdentifier(_) | E::SuggestRawIdentifier(_) | E::ExpectedIdentifier => {
            let comma = follows_a_comma_in_a_number(text, start);
            let expected = if comma { "a word (a number takes a point, not a comma)" } else { "a word" };
            (found_at(text, start), expected.to_owned())
        }
        other => told(kind, &other.to_string(), || found_at(text, start)),
    };
    BadRecord::at(Place::Line { line: start.line, column: start.col }, &found, &expected)
}

/// What stands at a place: words in quotes, one bracket or comma, or all up to the next.
fn found_at(text: &str, at: &Position) -> String {
    let line = text.lines().nth(at.line.saturating_sub(1)).unwrap_or_default();
    let rest = line.chars().skip(at.col.saturating_sub(1)).skip_while(|c| c.is_whitespace());
    let value: String = rest.take(LONGEST_FOUND).collect();
    let ends = |c: char| matches!(c, ',' | ':' | '(' | ')' | '[' | ']' | '{' | '}');
    match value.chars().next() {
        None => "the end of the line".to_owned(),
        Some('"') => value[1..].find('"').map_or(&*value, |end| &value[..end + 2]).to_owned(),
        Some(c) if ends(c) => format!("\"{c}\""),
        Some(_) => value.find(ends).map_or(&*value, |end| &value[..end]).trim_end().to_owned(),
    }
}

/// Whether a place looks like the decimals behind a comma: a digit, with a digit and a comma just before.
fn follows_a_comma_in_a_number(text: &str, at: &Position) -> bool {
    let line = text.lines().nth(at.line.saturating_sub(1)).unwrap_or_default();
    let around: Vec<char> = line.chars().skip(at.col.saturating_sub(3)).take(3).collect();
    matches!(around[..], [before, ',', after] if before.is_ascii_digit() && after.is_ascii_digit())
}

fn values(many: &str) -> String {
    if many == "1" { "one value".to_owned() } else { format!("{many} values") }
}

/// The reader's own words: "Expected comma" says what was expected, the rest says what was found.
fn told(kind: &str, message: &str, found: impl Fn() -> String) -> (String, String) {
    if let Some(expected) = message.strip_prefix("Expected ") {
        let plain = match expected {
            "float" => "a number",
            "integer" => "a whole number",
            "string" => "words in quotes",
            "boolean" => "true or false",
            other => other,
        };
        return (found(), plain.to_owned());
    }
    let found = message.strip_prefix("Found ").unwrap_or(message);
    (lower_first(found), format!("a record of kind {kind}"))
}

fn one_of(words: &[&str]) -> String {
    format!("one of: {}", words.join(", "))
}

fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_lowercase().chain(chars).collect())
}
