//! The walk on the day: its list whole, in part, too late, on another date; records from before it; what is wrongly
//! written.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

mod support;

use proptest::prelude::*;
use strip::file::RecordKind;
use strip::record::{DayRecord, ToSee};
use strip::{Assessment, BadRecord, Code, Day, Settings, Verdict, What, text};
use support::{Trio, changed, config, sample};

fn with(change: impl FnOnce(&mut Trio)) -> Assessment {
    let mut trio = Trio::sample("bramblewick-flat");
    change(&mut trio);
    trio.judged(Settings { search_tolerance_m: 5.0, search_by_heading_m: 100.0, ..Settings::default() })
}

fn leave_out(trio: &mut Trio, out: &[ToSee]) {
    let walk = trio.day.rewalk.as_mut().expect("the sample was walked");
    walk.seen.retain(|tick| !out.contains(&tick.what));
}

fn reason(a: &Assessment) -> Option<String> {
    a.reasons.iter().find(|r| r.code == Code::Rewalk).map(|r| r.text.clone())
}

#[test]
fn with_the_whole_list_seen_the_walk_is_no_reason() {
    let a = with(|_| ());
    assert_eq!((a.verdict, reason(&a)), (Verdict::Fits, None));
    assert!(a.missing.iter().all(|m| m.what != What::Rewalk));
}

#[test]
fn one_thing_not_ticked_makes_the_day_tight_and_is_named() {
    let a = with(|t| leave_out(t, &[ToSee::Wires]));
    assert_eq!(a.verdict, Verdict::Tight);
    assert_eq!(
        reason(&a).as_deref(),
        Some(
            "Of the walk on the day 1 of 10 are not ticked in time: wires looked for from the side; so the best that \
             can be said is tight"
        )
    );
    let missing = a.missing.iter().find(|m| m.what == What::Rewalk).expect("it is missing");
    assert!(missing.how.ends_with("still to see: wires looked for from the side"), "{}", missing.how);
}

#[test]
fn many_things_not_ticked_are_counted_in_the_reason_and_all_named_in_what_is_missing() {
    let a = with(|t| leave_out(t, ToSee::ALL));
    assert_eq!(
        reason(&a).as_deref(),
        Some(
            "Of the walk on the day 10 of 10 are not ticked in time: keel tracks walked both ways, gates, stock, \
             machinery and 6 more; so the best that can be said is tight"
        )
    );
    let missing = a.missing.iter().find(|m| m.what == What::Rewalk).expect("it is missing");
    for what in ToSee::ALL {
        assert!(missing.how.contains(what.name()), "{}: {}", what.name(), missing.how);
    }
}

#[test]
fn a_tick_after_the_time_planned_for_does_not_count() {
    let a = with(|t| {
        let walk = t.day.rewalk.as_mut().expect("the sample was walked");
        walk.seen.iter_mut().find(|tick| tick.what == ToSee::Stock).expect("ticked").at = "09:31".to_owned();
    });
    assert_eq!(a.verdict, Verdict::Tight);
    let said = reason(&a).expect("a reason");
    assert!(said.contains("stock (at 09:31, after the 09:30 planned for)"), "{said}");
}

#[test]
fn a_whole_list_of_the_day_before_is_no_walk_on_the_day() {
    let a = with(|t| t.day.rewalk.as_mut().expect("walked").on = "2026-05-01".to_owned());
    assert_eq!(a.verdict, Verdict::Tight);
    assert_eq!(
        reason(&a).as_deref(),
        Some("The field was not walked again on the day, so the best that can be said is tight")
    );
}

/// The sample's day as text, its list of what was seen taken out: as records were written before there was one.
fn before_the_list() -> String {
    let text = sample("bramblewick-flat", RecordKind::Day);
    let (head, rest) = text.split_once(", seen: [").expect("a list");
    let (_, tail) = rest.split_once(" ])").expect("its end");
    format!("{head}){tail}")
}

#[test]
fn a_record_from_before_the_list_is_read_and_counts_as_not_ticked() {
    let record: DayRecord = text::parse("day", before_the_list().as_bytes()).expect("it reads");
    assert!(record.rewalk.as_ref().is_some_and(|walk| walk.seen.is_empty()));
    let day = Day::new(&record).expect("valid");
    assert_eq!(day.unseen().len(), ToSee::ALL.len());
    let written = text::write(&record).expect("text");
    assert!(!written.contains("seen"), "{written}");
}

fn read(text: &str) -> Result<Day, BadRecord> {
    Day::new(&text::parse::<DayRecord>("day", text.as_bytes())?)
}

#[test]
fn what_is_wrongly_written_is_one_message() {
    let text = sample("bramblewick-flat", RecordKind::Day);
    let refused = |from: &str, to: &str| read(&changed(&text, from, to)).expect_err("refused").to_string();
    let word = refused("what: Wires", "what: Wire");
    assert!(word.starts_with("line 12, column "), "{word}");
    assert!(word.contains("found unknown word \"Wire\", expected one of: KeelTracks, Gates, "), "{word}");
    assert_eq!(
        refused("08:51", "08:71"),
        "rewalk.seen[3].at: found \"08:71\", expected a time of the day such as \"08:55\""
    );
    assert_eq!(
        refused("what: Stock", "what: Gates"),
        "rewalk.seen[3].what: found Gates a second time, expected each once"
    );
}

proptest! {
    #![proptest_config(config(12))]

    #[test]
    fn no_list_short_of_the_whole_ever_fits(seen in proptest::collection::vec(any::<bool>(), ToSee::ALL.len())) {
        let left: Vec<ToSee> = ToSee::ALL.iter().zip(&seen).filter(|(_, seen)| !**seen).map(|(w, _)| *w).collect();
        let a = with(|t| leave_out(t, &left));
        prop_assert_eq!(a.verdict == Verdict::Fits, left.is_empty());
        prop_assert_eq!(reason(&a).is_some(), !left.is_empty());
    }
}
