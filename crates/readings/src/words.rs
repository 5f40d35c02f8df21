//! Texts of a file made fit for a record: names, marks and the short id.

/// Longest name that a record takes, characters.
const LONGEST_NAME: usize = 200;

/// Longest mark of a hazard that is still a mark and no description, characters.
const LONGEST_MARK: usize = 40;

/// Longest id made of a file's name, characters.
const LONGEST_ID: usize = 60;

/// Longest piece of a file quoted in a message, characters.
const LONGEST_QUOTE: usize = 60;

/// One line without control characters, blanks joined, at most `most` characters; `None` if empty.
fn one_line(text: &str, most: usize) -> Option<String> {
    let visible = |c: char| if c.is_control() { ' ' } else { c };
    let line: String = text.chars().map(visible).collect();
    let line = line.split_whitespace().collect::<Vec<_>>().join(" ");
    let cut: String = line.chars().take(most).collect();
    let cut = cut.trim_end();
    (!cut.is_empty()).then(|| cut.to_owned())
}

/// A name for a record.
pub(crate) fn name(text: &str) -> Option<String> {
    one_line(text, LONGEST_NAME)
}

/// A mark for a hazard, if the text is short enough to be one.
pub(crate) fn mark(text: &str) -> Option<String> {
    one_line(text, LONGEST_MARK + 1).filter(|mark| mark.chars().count() <= LONGEST_MARK)
}

/// A piece of a file for a message.
pub(crate) fn quote(text: &str) -> String {
    one_line(text, LONGEST_QUOTE).unwrap_or_default()
}

/// The file's name without folders and without the ending of the format.
pub(crate) fn stem(file: &str) -> &str {
    const ENDING: &str = ".gpx";
    let base = file.rsplit(['/', '\\']).next().unwrap_or(file);
    let cut = base.len().saturating_sub(ENDING.len());
    match base.get(cut..) {
        Some(end) if end.eq_ignore_ascii_case(ENDING) => &base[..cut],
        _ => base,
    }
}

/// A short id: small letters and digits, everything else a hyphen.
pub(crate) fn id(file: &str) -> String {
    let kept = |c: char| if c.is_alphanumeric() { c } else { '-' };
    let hyphened: String = stem(file).to_lowercase().chars().map(kept).take(LONGEST_ID).collect();
    let id = hyphened.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-");
    if id.is_empty() { "strip".to_owned() } else { id }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_the_file_name_in_small_letters_and_hyphens() {
        assert_eq!(id("walks/Harrow Mere (2).GPX"), "harrow-mere-2");
        assert_eq!(id("..."), "strip");
    }

    #[test]
    fn a_long_text_is_no_mark() {
        assert_eq!(mark(" r1\n"), Some("r1".to_owned()));
        assert_eq!(mark(&"x".repeat(41)), None);
        assert_eq!(mark("\u{7}"), None);
    }
}
