//! What the acceptance tests share: tables of values checked against outside sources, and random fields.
//!
//! Invariants: a row without a source fails, a value that is not a number fails, a table without
//! rows fails; differences are compared by size. The tests themselves live in `tests/`.

pub mod rocks;

use std::fmt;

/// What kind of source vouches for an expected value, the strongest first.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Kind {
    /// A standard or regulation, or plain arithmetic on its definitions.
    Standard,
    /// A handbook, a paper, or a printed table.
    Handbook,
    /// A general-purpose library, run independently.
    Library,
    /// What the trade does, without one document behind it.
    CommonPractice,
    /// From memory, not confirmed at a source.
    FromMemory,
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Standard => "standard",
            Self::Handbook => "handbook",
            Self::Library => "library",
            Self::CommonPractice => "common practice",
            Self::FromMemory => "from memory",
        })
    }
}

/// One value of ours beside one of an outside source, both in the unit that `quantity` names.
#[derive(Clone, PartialEq, Debug)]
pub struct Row {
    /// What it is, with its unit and the inputs that matter.
    pub quantity: String,
    /// Where the expected value comes from.
    pub source: &'static str,
    /// What kind of source that is.
    pub kind: Kind,
    /// Value of the source.
    pub expected: f64,
    /// Our value.
    pub got: f64,
    /// Largest difference that passes, finite and not negative.
    pub tolerance: f64,
}

impl Row {
    /// Why this row fails, if it does.
    pub fn fault(&self) -> Option<&'static str> {
        let Self { quantity, source, kind: _, expected, got, tolerance } = self;
        if source.trim().is_empty() {
            Some("no source")
        } else if quantity.trim().is_empty() {
            Some("no quantity")
        } else if !(tolerance.is_finite() && *tolerance >= 0.0) {
            Some("no tolerance")
        } else if !expected.is_finite() || !got.is_finite() {
            Some("not a number")
        } else if (got - expected).abs() > *tolerance {
            Some("outside tolerance")
        } else {
            None
        }
    }
}

/// Rows checked together.
#[derive(Clone, PartialEq, Debug)]
pub struct Table {
    title: &'static str,
    rows: Vec<Row>,
}

impl Table {
    /// An empty table.
    pub const fn new(title: &'static str) -> Self {
        Self { title, rows: Vec::new() }
    }

    /// Adds a row.
    pub fn add(&mut self, row: Row) {
        self.rows.push(row);
    }

    /// Prints every row, then fails with those that fail.
    ///
    /// # Panics
    /// If a row fails ([`Row::fault`]) or there is none.
    pub fn finish(self) {
        let Self { title, rows } = self;
        let width = rows.iter().map(|r| r.quantity.chars().count()).max().unwrap_or(0);
        let lines: Vec<(String, bool)> = rows.iter().map(|r| (line(r, width), r.fault().is_some())).collect();
        let printed: Vec<&str> = lines.iter().map(|(line, _)| line.as_str()).collect();
        say(&format!("{title}\n{}", printed.join("\n")));
        let failing: Vec<&str> =
            lines.iter().filter(|(_, bad)| *bad).map(|(line, _)| line.as_str()).collect();
        assert!(!rows.is_empty(), "{title}: a table without rows proves nothing");
        assert!(
            failing.is_empty(),
            "{title}: {} of {} rows fail\n{}",
            failing.len(),
            rows.len(),
            failing.join("\n")
        );
    }
}

/// Writes lines to standard output past the test runner, which keeps what a passing test prints to
/// itself.
pub fn say(text: &str) {
    use std::io::Write;
    // A closed output is no reason for a test to fail.
    let _ = writeln!(std::io::stdout().lock(), "\n{text}");
}

/// Rows of one source go in one after another with what they share.
pub struct Rows {
    table: Table,
    source: &'static str,
    kind: Kind,
}

impl Rows {
    /// An empty table for rows of one source.
    pub const fn new(title: &'static str, source: &'static str, kind: Kind) -> Self {
        Self { table: Table::new(title), source, kind }
    }

    /// Adds a row.
    pub fn row(&mut self, quantity: impl Into<String>, expected: f64, got: f64, tolerance: f64) {
        let (source, kind) = (self.source, self.kind);
        self.table.add(Row { quantity: quantity.into(), source, kind, expected, got, tolerance });
    }

    /// Prints every row, then fails with those that fail.
    ///
    /// # Panics
    /// As [`Table::finish`].
    pub fn finish(self) {
        self.table.finish();
    }
}

/// A row as printed, its quantity padded to `width`.
fn line(row: &Row, width: usize) -> String {
    let Row { quantity, source, kind, expected, got, tolerance } = row;
    let verdict = row.fault().unwrap_or("ok");
    let difference = (got - expected).abs();
    format!(
        "  {quantity:<width$}  {expected:>16.9}  {got:>16.9}  {difference:>8.1e} of {tolerance:>7.1e}  {verdict:<17}  {kind:<15}  {source}"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row() -> Row {
        Row {
            quantity: "length, m".to_owned(),
            source: "a printed table",
            kind: Kind::Handbook,
            expected: 10.0,
            got: 10.05,
            tolerance: 0.1,
        }
    }

    fn finish(rows: impl IntoIterator<Item = Row>) {
        let mut table = Table::new("sample");
        rows.into_iter().for_each(|row| table.add(row));
        table.finish();
    }

    #[test]
    fn a_row_within_its_tolerance_passes() {
        assert_eq!(row().fault(), None);
        finish([row()]);
    }

    #[test]
    #[should_panic(expected = "no source")]
    fn a_row_without_source_fails() {
        finish([row(), Row { source: "  ", ..row() }]);
    }

    #[test]
    #[should_panic(expected = "outside tolerance")]
    fn a_value_too_high_fails() {
        finish([Row { got: 10.2, ..row() }]);
    }

    #[test]
    #[should_panic(expected = "outside tolerance")]
    fn a_value_too_low_fails() {
        finish([Row { got: 9.8, ..row() }]);
    }

    #[test]
    fn not_a_number_fails_on_every_side() {
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(Row { got: bad, ..row() }.fault(), Some("not a number"));
            assert_eq!(Row { expected: bad, ..row() }.fault(), Some("not a number"));
            assert_eq!(Row { tolerance: bad, ..row() }.fault(), Some("no tolerance"));
        }
    }

    #[test]
    #[should_panic(expected = "1 of 2 rows fail")]
    fn one_bad_row_among_good_ones_fails_and_is_counted() {
        finish([row(), Row { got: f64::NAN, ..row() }]);
    }

    #[test]
    #[should_panic(expected = "proves nothing")]
    fn an_empty_table_fails() {
        finish([]);
    }
}
