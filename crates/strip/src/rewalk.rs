//! The walk on the day, valid, and what of its list does not count.
//!
//! Invariants: nothing counts that was seen on another date, or after the time that is planned for: what is looked at
//! later may be as it was, or not. Nothing on the list is seen twice.
//!
//! Not here: what the verdict makes of it ([`crate::Code::Rewalk`]).

use crate::Day;
use crate::error::BadRecord;
use crate::fields::{at_most, date, word};
use crate::record::{RewalkRecord, SeenRecord, ToSee};
use jiff::civil::{Date, Time};
use jiff::fmt::temporal::Pieces;

/// Things named in a reason; the rest is counted.
const MOST_NAMED: usize = 4;

/// A walk on the day.
#[derive(Clone, PartialEq, Debug)]
pub struct Rewalk {
    /// Date.
    pub on: Date,
    /// Who.
    pub by: String,
    /// What was seen, and when.
    pub seen: Vec<(ToSee, Time)>,
    /// Time that is planned for.
    pub planned: Time,
}

/// Something on the list that does not count.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Unseen {
    /// What.
    pub what: ToSee,
    /// When it was seen and when the day is planned for, where it was seen too late.
    pub late: Option<(Time, Time)>,
}

impl Rewalk {
    /// From its record and the day's time, which is RFC 3339 with an offset.
    ///
    /// # Errors
    /// [`BadRecord`] for the first field that is not valid.
    pub(crate) fn new(record: &RewalkRecord, day_time: &str) -> Result<Self, BadRecord> {
        at_most("rewalk.seen", &record.seen, ToSee::ALL.len())?;
        let mut seen: Vec<(ToSee, Time)> = Vec::new();
        for (i, SeenRecord { what, at }) in record.seen.iter().enumerate() {
            let path = format!("rewalk.seen[{}]", i + 1);
            if seen.iter().any(|(other, _)| other == what) {
                let found = format!("{what:?} a second time");
                return Err(BadRecord::field(&format!("{path}.what"), &found, "each once"));
            }
            seen.push((*what, clock(&format!("{path}.at"), at)?));
        }
        Ok(Self {
            on: date("rewalk.on", &record.on)?,
            by: word("rewalk.by", &record.by)?,
            seen,
            planned: Pieces::parse(day_time).ok().and_then(|p| p.time()).unwrap_or(Time::MIN),
        })
    }

    fn counts(&self, what: ToSee) -> Result<(), Unseen> {
        match self.seen.iter().find(|(seen, _)| *seen == what) {
            Some((_, at)) if *at <= self.planned => Ok(()),
            Some((_, at)) => Err(Unseen { what, late: Some((*at, self.planned)) }),
            None => Err(Unseen { what, late: None }),
        }
    }
}

fn clock(path: &str, text: &str) -> Result<Time, BadRecord> {
    let bad = || BadRecord::field(path, &format!("\"{text}\""), "a time of the day such as \"08:55\"");
    time_of_day(text).ok_or_else(bad)
}

/// A time of the day from hours and minutes, two digits each: `08:55`.
pub fn time_of_day(text: &str) -> Option<Time> {
    let two = |digits: &str| {
        let plain = digits.len() == 2 && digits.bytes().all(|b| b.is_ascii_digit());
        digits.parse::<i8>().ok().filter(|_| plain)
    };
    let (hours, minutes) = text.split_once(':')?;
    Time::new(two(hours)?, two(minutes)?, 0, 0).ok()
}

impl Day {
    /// What of the list for the walk on the day does not count, in the order of the list; everything where nobody
    /// walked on that date.
    pub fn unseen(&self) -> Vec<Unseen> {
        let walk = self.rewalk.as_ref().filter(|walk| walk.on == self.date);
        let of =
            |&what: &ToSee| walk.map_or(Err(Unseen { what, late: None }), |walk| walk.counts(what)).err();
        ToSee::ALL.iter().filter_map(of).collect()
    }

    /// Whether the field was walked again on this very day and all of the list was seen.
    pub fn walked(&self) -> bool {
        self.unseen().is_empty()
    }

    /// Why the walk on the day is not whole, in words; `None` where it is.
    pub(crate) fn walk_lacks(&self) -> Option<String> {
        const TIGHT: &str = "so the best that can be said is tight";
        let unseen = self.unseen();
        let (all, lacking) = (ToSee::ALL.len(), unseen.len());
        if lacking == 0 {
            return None;
        }
        if self.rewalk.as_ref().is_none_or(|walk| walk.on != self.date) {
            return Some(format!("The field was not walked again on the day, {TIGHT}"));
        }
        let named: Vec<String> = unseen.iter().take(MOST_NAMED).map(Unseen::words).collect();
        let more = lacking.saturating_sub(MOST_NAMED);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        Some(format!(
            "Of the walk on the day {lacking} of {all} are not ticked in time: {}{more}; {TIGHT}",
            named.join(", ")
        ))
    }
}

impl Unseen {
    /// Its name, and why its tick does not count where it has one.
    pub fn words(&self) -> String {
        let Self { what, late } = self;
        let at = |time: Time| format!("{:02}:{:02}", time.hour(), time.minute());
        match late {
            None => what.name().to_owned(),
            Some((seen, planned)) => {
                format!("{} (at {}, after the {} planned for)", what.name(), at(*seen), at(*planned))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn record(ticks: &[(ToSee, &str)]) -> RewalkRecord {
        let seen = ticks.iter().map(|&(what, at)| SeenRecord { what, at: at.to_owned() }).collect();
        RewalkRecord { on: "2026-05-02".to_owned(), by: "A. Nonesuch".to_owned(), seen }
    }

    fn refused(ticks: &[(ToSee, &str)]) -> String {
        Rewalk::new(&record(ticks), "2026-05-02T09:30:00+01:00").expect_err("refused").to_string()
    }

    #[test]
    fn a_tick_counts_up_to_the_planned_minute_and_no_longer() {
        let ticks = [(ToSee::Gates, "09:30"), (ToSee::Stock, "09:31")];
        let walk = Rewalk::new(&record(&ticks), "2026-05-02T09:30:00+01:00").expect("valid");
        assert_eq!(walk.counts(ToSee::Gates), Ok(()));
        let late = walk.counts(ToSee::Stock).expect_err("late");
        assert_eq!(late.words(), "stock (at 09:31, after the 09:30 planned for)");
        assert_eq!(walk.counts(ToSee::Helper), Err(Unseen { what: ToSee::Helper, late: None }));
    }

    #[test]
    fn what_is_no_time_of_the_day_is_one_message() {
        for bad in ["25:10", "08:60", "8:55", "0855", "08:55:00", "+8:05", "", "morning"] {
            let message =
                format!("rewalk.seen[1].at: found \"{bad}\", expected a time of the day such as \"08:55\"");
            assert_eq!(refused(&[(ToSee::Gates, bad)]), message);
        }
    }

    #[test]
    fn what_is_ticked_twice_is_refused() {
        assert_eq!(
            refused(&[(ToSee::Gates, "08:00"), (ToSee::Stock, "08:01"), (ToSee::Gates, "08:02")]),
            "rewalk.seen[3].what: found Gates a second time, expected each once"
        );
    }

    #[test]
    fn every_thing_to_see_has_its_own_name_and_a_help_sentence() {
        for (i, one) in ToSee::ALL.iter().enumerate() {
            assert!(!one.name().is_empty() && one.help().len() > one.name().len(), "{one:?}");
            assert!(ToSee::ALL[..i].iter().all(|other| other.name() != one.name()), "{one:?}");
        }
    }
}
