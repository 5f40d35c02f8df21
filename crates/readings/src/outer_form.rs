//! Checks of the outer form of an XML text before any parser sees it.
//!
//! One pass from left to right over the markup. It bounds depth, count of elements and attributes
//! in force, because the parser copies every namespace in force for every element; it refuses
//! document types, because entities could hide elements from these bounds; and it refuses times
//! outside four-digit years, because the time library panics where a time leaves its calendar.
//!
//! Not here: whether the XML is well formed, and what it means.

use crate::error::Problem;
use crate::words::quote;

/// Deepest nesting that is read; GPX with extensions has about eight levels.
const MOST_DEPTH: usize = 32;

/// Most elements of one file: every fix with some twenty-five of its own.
const MOST_ELEMENTS: usize = 500_000;

/// Most attributes on all elements that are open at once.
const MOST_ATTRIBUTES: usize = 40;

/// Years in which a survey can have been made, with room on both sides of any time zone.
const YEARS: std::ops::RangeInclusive<u32> = 1900..=2999;

const EXPECTED: &str = "a walk in GPX";

/// Checks a whole text.
pub(crate) fn check(text: &str) -> Result<(), Problem> {
    if let Some(at) = text.find('\0') {
        return Err(form(text, at, "a zero byte", EXPECTED));
    }
    let mut scan = Scan { text, open: Vec::new(), elements: 0 };
    let mut at = 0;
    while let Some(next) = text[at..].find('<') {
        at = scan.markup(at + next)?;
    }
    if scan.elements == 0 {
        return Err(form(text, 0, "text without any XML element", EXPECTED));
    }
    Ok(())
}

/// A problem at a byte of the text.
fn form(text: &str, at: usize, found: &str, expected: &str) -> Problem {
    let line = text.bytes().take(at).filter(|&b| b == b'\n').count() + 1;
    Problem::Form { line, found: found.to_owned(), expected: expected.to_owned() }
}

/// An element that is not closed yet.
struct Open<'a> {
    local_name: &'a str,
    attributes: usize,
}

struct Scan<'a> {
    text: &'a str,
    open: Vec<Open<'a>>,
    elements: usize,
}

impl Scan<'_> {
    /// Looks at the markup that starts at `start`; the place behind it.
    fn markup(&mut self, start: usize) -> Result<usize, Problem> {
        let rest = &self.text[start..];
        if rest.starts_with("<!--") {
            Ok(self.past(start + "<!--".len(), "-->"))
        } else if rest.starts_with("<![CDATA[") {
            Ok(self.past(start, "]]>"))
        } else if rest.starts_with("<?") {
            Ok(self.past(start, "?>"))
        } else if rest.starts_with("<!") {
            Err(self.bad(start, "a document type declaration", "GPX, which has none"))
        } else if rest.starts_with("</") {
            self.open.pop();
            Ok(self.past(start, ">"))
        } else {
            self.element(start)
        }
    }

    fn past(&self, from: usize, mark: &str) -> usize {
        self.text[from..].find(mark).map_or(self.text.len(), |i| from + i + mark.len())
    }

    fn bad(&self, at: usize, found: &str, expected: &str) -> Problem {
        form(self.text, at, found, expected)
    }

    fn element(&mut self, start: usize) -> Result<usize, Problem> {
        let tag = Tag::at(self.text, start);
        if self.elements == 0 && tag.local_name != "gpx" {
            let found = format!("the element \"{}\"", quote(tag.local_name));
            return Err(self.bad(start, &found, "the element \"gpx\", the first of every GPX file"));
        }
        self.elements += 1;
        if self.elements > MOST_ELEMENTS {
            let found = format!("more than {MOST_ELEMENTS} elements");
            return Err(self.bad(start, &found, EXPECTED));
        }
        let in_force = self.open.iter().map(|o| o.attributes).sum::<usize>() + tag.attributes;
        if in_force > MOST_ATTRIBUTES {
            let found = format!("more than {MOST_ATTRIBUTES} attributes on nested elements");
            return Err(self.bad(start, &found, EXPECTED));
        }
        if tag.closed {
            return Ok(tag.end);
        }
        if tag.local_name == "time" && !self.open.iter().any(|o| o.local_name == "extensions") {
            self.time(tag.end)?;
        }
        self.open.push(Open { local_name: tag.local_name, attributes: tag.attributes });
        if self.open.len() > MOST_DEPTH {
            let found = format!("elements nested deeper than {MOST_DEPTH}");
            return Err(self.bad(start, &found, EXPECTED));
        }
        Ok(tag.end)
    }

    /// The text of a time: digits and signs, a four-digit year first, and nothing between it and its end.
    fn time(&self, from: usize) -> Result<(), Problem> {
        let rest = &self.text[from..];
        let Some(end) = rest.find('<') else { return Ok(()) };
        let (text, after) = rest.split_at(end);
        let year = text.get(..4).filter(|y| y.bytes().all(|b| b.is_ascii_digit()));
        let plain = |b: u8| b.is_ascii_digit() || b"TWZ:.,+-".contains(&b);
        let fits = year.and_then(|y| y.parse().ok()).is_some_and(|y| YEARS.contains(&y))
            && text.bytes().all(plain)
            && after.starts_with("</");
        if fits {
            return Ok(());
        }
        let found = format!("the time \"{}\"", quote(text));
        Err(self.bad(from, &found, "a time such as 2026-04-02T10:00:00Z"))
    }
}

/// One start tag.
struct Tag<'a> {
    local_name: &'a str,
    attributes: usize,
    closed: bool,
    end: usize,
}

impl<'a> Tag<'a> {
    /// Reads the tag whose `<` stands at `start`, up to the first `>` outside quotes.
    fn at(text: &'a str, start: usize) -> Self {
        let body = &text[start + 1..];
        let mut quoted = None;
        let mut attributes = 0;
        let mut length = body.len();
        for (i, b) in body.bytes().enumerate() {
            match (quoted, b) {
                (Some(q), _) if q == b => quoted = None,
                (None, b'"' | b'\'') => quoted = Some(b),
                (None, b'=') => attributes += 1,
                (None, b'>') => {
                    length = i;
                    break;
                }
                _ => {}
            }
        }
        let inside = &body[..length];
        let name = inside.split(|c: char| c.is_whitespace() || c == '/').next().unwrap_or_default();
        Self {
            local_name: name.rsplit(':').next().unwrap_or(name),
            attributes,
            closed: inside.ends_with('/'),
            end: text.len().min(start + 1 + length + 1),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check_refused(text: &str, message: &str) {
        assert_eq!(check(text).unwrap_err().to_string(), message);
    }

    #[test]
    fn a_time_that_would_leave_the_calendar_is_refused() {
        check_refused(
            "<gpx>\n<time>9999-12-31T23:59:59-08:00</time>",
            "line 2: found the time \"9999-12-31T23:59:59-08:00\", expected a time such as 2026-04-02T10:00:00Z",
        );
        assert!(check("<gpx><time>&#57;999-12-31T23:59:59-08:00</time>").is_err());
        assert!(check("<gpx><time>2026<!-- -->9999-12-31T23:59:59-08:00</time>").is_err());
        assert!(check("<gpx><time><![CDATA[9999-12-31T23:59:59-08:00]]></time>").is_err());
    }

    #[test]
    fn a_time_of_an_extension_is_not_looked_at() {
        assert!(check("<gpx><extensions><x:time>12.5</x:time></extensions></gpx>").is_ok());
    }

    #[test]
    fn what_stands_in_quotes_comments_and_character_data_is_no_markup() {
        let deep = "<a>".repeat(40);
        assert!(check(&format!("<gpx b=\"/>\"><!-- {deep} --><![CDATA[{deep}]]><?x {deep}?></gpx>")).is_ok());
        check_refused(
            &format!("<gpx>{deep}"),
            "line 1: found elements nested deeper than 32, expected a walk in GPX",
        );
    }

    #[test]
    fn many_name_spaces_in_force_are_refused() {
        let many = " a=\"u\"".repeat(100);
        check_refused(
            &format!("<gpx{many}>"),
            "line 1: found more than 40 attributes on nested elements, expected a walk in GPX",
        );
    }

    #[test]
    fn an_entity_cannot_hide_elements() {
        check_refused(
            "<!DOCTYPE gpx [<!ENTITY a \"<b>\">]><gpx>&a;</gpx>",
            "line 1: found a document type declaration, expected GPX, which has none",
        );
    }
}
