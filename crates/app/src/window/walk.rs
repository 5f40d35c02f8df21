//! The time at which something is ticked on the walk of the day.
//!
//! Invariant: a tick made now carries the date and the time that the clock shows at the day's offset, and is made only
//! if that date is the day's own: what is seen today says nothing of another day.

use jiff::Timestamp;
use jiff::fmt::temporal::Pieces;

/// Date and time of the clock at the offset that a day's time is written with.
///
/// # Errors
/// Why no tick can be made now, in words.
pub fn now_there(day_time: &str, now: Timestamp) -> Result<(String, String), String> {
    let pieces = Pieces::parse(day_time).map_err(|e| e.to_string())?;
    let offset = pieces.offset().ok_or_else(|| "the day's time has no offset".to_owned())?;
    let there = offset.to_numeric_offset().to_datetime(now);
    if there.date() != pieces.date() {
        return Err(format!(
            "Not ticked: it is {} there and the day is {}; type the time at which it was seen on the day",
            there.date(),
            pieces.date()
        ));
    }
    Ok((there.date().to_string(), format!("{:02}:{:02}", there.hour(), there.minute())))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Timestamp {
        text.parse().expect("a moment")
    }

    #[test]
    fn the_clock_is_read_at_the_days_offset() {
        let there = now_there("2026-05-02T09:30:00+01:00", at("2026-05-02T07:55:31Z"));
        assert_eq!(there, Ok(("2026-05-02".to_owned(), "08:55".to_owned())));
        let far = now_there("2026-05-02T09:30:00+13:00", at("2026-05-01T19:10:00Z"));
        assert_eq!(far, Ok(("2026-05-02".to_owned(), "08:10".to_owned())));
        assert!(now_there("2026-05-02T09:30:00Z", at("2026-05-02T09:00:00Z")).is_ok());
    }

    #[test]
    fn another_date_is_told_and_not_ticked() {
        let why =
            now_there("2026-05-02T09:30:00+01:00", at("2026-05-02T23:30:00Z")).expect_err("the day after");
        assert_eq!(
            why,
            "Not ticked: it is 2026-05-03 there and the day is 2026-05-02; type the time at which it was seen on the day"
        );
    }
}
