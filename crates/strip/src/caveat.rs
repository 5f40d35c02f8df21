//! What the records themselves say against a verdict, whatever the lane: no day, no walk on the day,
//! kinds not looked at, surveys too old or from the future, a strip that is closed.

use crate::assessment::{Reason, Sense, Verdict};
use crate::code::Code;
use crate::record::ReviewStatus;
use crate::survey::{Looked, SurveyKind};
use crate::{Aircraft, BadRecord, Day, Inputs, magnetic, missing, sky};
use jiff::civil::Date;

/// Days in a month on the average, to compare an age in months (mean Gregorian month).
const DAYS_IN_MONTH: f64 = 30.436_875;

/// Most things left out that are told one by one.
const MOST_TOLD: usize = 12;

/// Share of the stall speed from which gusts are too strong to say anything (judgement).
const STRONG_WIND: f64 = 0.5;

/// Reasons that hold whatever the lane.
pub(crate) fn reasons(inputs: &Inputs) -> Vec<Reason> {
    let mut out = Vec::new();
    match &inputs.day {
        None => out.push(Reason::plain(Code::NoDay, Verdict::Unknown, Code::NoDay.help())),
        Some(day) => {
            out.extend(day.walk_lacks().map(|text| Reason::plain(Code::Rewalk, Verdict::Tight, text)));
            out.extend(ages(inputs, day));
            out.extend(sky::dark(inputs));
            out.extend(magnetic::outside(inputs));
        }
    }
    for kind in inputs.strip.survey.not_looked().filter(|&kind| kind != SurveyKind::Levels) {
        let text =
            format!("Nobody looked at {}; not looked at is not the same as nothing there", kind.name());
        out.push(Reason::plain(Code::NotLooked, Verdict::Unknown, text));
    }
    out.extend(standing(&inputs.strip.reviews, inputs.day.as_ref().map(|day| day.date)));
    out.extend(all_left_out(inputs));
    let blown = inputs.day.as_ref().zip(inputs.aircraft.as_ref());
    out.extend(blown.and_then(|(day, aircraft)| strong_wind(day.wind.gust_mps.low(), aircraft)));
    out.extend(changed_settings(inputs));
    out.extend(missing::walk_limits(inputs).map(|text| Reason::note(Code::SurveyLimits, text)));
    out
}

/// What the records of strip and day hold that cannot be true; past a number of them only how many.
fn all_left_out(inputs: &Inputs) -> impl Iterator<Item = Reason> {
    let of_day = inputs.day.iter().flat_map(|day| &day.left_out);
    let all: Vec<&BadRecord> = of_day.chain(&inputs.strip.left_out).collect();
    let more = all.len().saturating_sub(MOST_TOLD);
    let told = all.into_iter().take(MOST_TOLD).map(|bad| left_out(&bad.to_string()));
    told.chain((more > 0).then(|| left_out(&format!("and {more} more of the kind"))))
}

/// Something in a record that cannot be true: the rest is judged, but what it was meant to say is not known.
pub(crate) fn left_out(why: &str) -> Reason {
    Reason::plain(Code::LeftOut, Verdict::Unknown, format!("{}: {why}", Code::LeftOut.help()))
}

/// A gale slows the slide on paper and throws the aircraft about in the field.
pub(crate) fn strong_wind(gust: f64, aircraft: &Aircraft) -> Option<Reason> {
    let limit = strong_from(aircraft);
    let held = (gust, Sense::NotAbove, limit);
    (gust > limit).then(|| Reason::held(Code::StrongWind, Verdict::Unknown, held, "m/s"))
}

/// Gusts past which nothing is said, m/s.
pub(crate) fn strong_from(aircraft: &Aircraft) -> f64 {
    aircraft.stall.low().to_mps() * STRONG_WIND
}

/// Names every setting that somebody changed, so that no answer rests on it unseen.
fn changed_settings(inputs: &Inputs) -> Option<Reason> {
    let changed: Vec<String> = inputs
        .settings
        .table()
        .into_iter()
        .filter(|row| (row.value - row.default).abs() > 0.0)
        .map(|row| format!("{} = {} (default {})", row.key, row.value, row.default))
        .collect();
    let text = || format!("{}: {}", Code::SettingsChanged.help(), changed.join(", "));
    (!changed.is_empty()).then(|| Reason::note(Code::SettingsChanged, text()))
}

/// What the last word of the review forbids; what allows it does so from its date on, what forbids it at once.
fn standing(reviews: &[(Date, ReviewStatus)], day: Option<Date>) -> Option<Reason> {
    let forbids = |status| matches!(status, ReviewStatus::Closed | ReviewStatus::NeedsLook);
    let counts = |(on, status): &&(Date, ReviewStatus)| forbids(*status) || day.is_none_or(|day| *on <= day);
    let (_, last) = reviews.iter().rfind(counts)?;
    let text = match last {
        ReviewStatus::Closed => "The last review says that the strip is closed",
        ReviewStatus::NeedsLook => "The last review says that somebody has to look again",
        ReviewStatus::Surveyed | ReviewStatus::Approved => return None,
    };
    Some(Reason::plain(Code::Review, Verdict::Unknown, text))
}

/// Surveys that are older than the settings allow on the day, or dated after it.
fn ages(inputs: &Inputs, day: &Day) -> Vec<Reason> {
    let stale = |kind: SurveyKind| {
        let Looked::Yes { on, .. } = inputs.strip.survey.of(kind) else { return None };
        let months = months_between(*on, day.date);
        let text = if months < 0.0 {
            format!("The survey of {} is dated after the day", kind.name())
        } else if months > inputs.settings.survey_valid_months {
            format!("The survey of {} is older than the settings allow", kind.name())
        } else {
            return None;
        };
        Some(Reason::plain(Code::SurveyAge, Verdict::Unknown, text))
    };
    let later = inputs.strip.obstacles.iter().filter(|o| o.surveyed > day.date).map(|o| {
        let text = format!("The survey of {} {} is dated after the day", o.name(), o.id);
        Reason::plain(Code::SurveyAge, Verdict::Unknown, text)
    });
    SurveyKind::ALL.into_iter().filter_map(stale).chain(later.take(MOST_TOLD)).collect()
}

/// Months from one date to another, negative backwards.
pub(crate) fn months_between(from: Date, to: Date) -> f64 {
    // Dates of the calendar's whole range differ by a number of days that fits.
    let days = to.duration_since(from).as_hours() as f64 / 24.0;
    days / DAYS_IN_MONTH
}
