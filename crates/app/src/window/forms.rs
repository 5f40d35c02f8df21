//! What a new sketch and a new day need before they exist: typed by the person, none of it guessed.

use super::dialogs::{Form, Makes};
use ground::Point;
use jiff::civil::Date;
use measure::shown::{LengthUnit, SpeedUnit};
use measure::typed;
use strip::record::{
    CornerRecord, DatumRecord, DayRecord, DirectionRecord, EdgeRecord, EngineRecord, OutlineRecord,
    PressureRecord, SCHEMA, StripRecord, WindRecord, WindWhereRecord,
};
use strip::{Day, Settings, Strip};

/// Corners of a sketch before it is drawn, metres about the datum: a place to begin, not a claim; the
/// outline stays "not looked at".
const BEGINNING: [Point; 4] = [
    Point { x: -50.0, y: -100.0 },
    Point { x: 50.0, y: -100.0 },
    Point { x: 50.0, y: 100.0 },
    Point { x: -50.0, y: 100.0 },
];

/// An empty form for a sketch.
pub fn sketch_form() -> Form {
    blank(Makes::Sketch, &["name", "latitude, degrees", "longitude, degrees", "height above the sea"])
}

/// An empty form for a day.
pub fn day_form() -> Form {
    blank(
        Makes::Day,
        &[
            "date",
            "wind from, degrees true",
            "mean wind",
            "gusts",
            "wind measured at height",
            "temperature, degrees Celsius",
            "QNH, hPa",
        ],
    )
}

fn blank(makes: Makes, labels: &[&'static str]) -> Form {
    Form { makes, fields: labels.iter().map(|&l| (l, String::new())).collect(), note: String::new() }
}

/// Text of a field, by its label.
fn text<'a>(form: &'a Form, label: &str) -> &'a str {
    form.fields.iter().find(|(l, _)| *l == label).map_or("", |(_, text)| text.trim())
}

fn number(form: &Form, label: &str) -> Result<f64, String> {
    typed::number(text(form, label), "").map_err(|e| format!("{label}: {e}"))
}

fn length(form: &Form, label: &str) -> Result<f64, String> {
    let read = typed::length(text(form, label), LengthUnit::Metres);
    read.map(measure::Metres::to_m).map_err(|e| format!("{label}: {e}"))
}

fn speed(form: &Form, label: &str) -> Result<f64, String> {
    typed::speed_mps(text(form, label), SpeedUnit::MetresPerSecond).map_err(|e| format!("{label}: {e}"))
}

/// A strip with nothing looked at yet.
///
/// # Errors
/// What is wrong, with the field's label.
pub fn sketch(form: &Form) -> Result<StripRecord, String> {
    let name = text(form, "name").to_owned();
    let corner = |p: Point| CornerRecord { e: p.x, n: p.y, sigma_m: None };
    let datum = DatumRecord {
        lat_deg: number(form, "latitude, degrees")?,
        lon_deg: number(form, "longitude, degrees")?,
        height_m: length(form, "height above the sea")?,
    };
    let outline = OutlineRecord {
        corners: BEGINNING.map(corner).to_vec(),
        edges: vec![EdgeRecord::Wall(EDGE_NOT_SEEN); BEGINNING.len()],
        islands: Vec::new(),
    };
    let record = StripRecord::blank(mark(&name), name, datum, outline);
    Strip::new(&record, &Settings::default()).map_err(|bad| bad.to_string())?;
    Ok(record)
}

/// Height of an edge that nobody looked at (judgement: taller than any wing here).
const EDGE_NOT_SEEN: f64 = 5.0;

/// A mark made of a name: small letters, digits and hyphens.
fn mark(name: &str) -> String {
    let plain: String =
        name.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).collect();
    let words: Vec<&str> = plain.split('-').filter(|w| !w.is_empty()).collect();
    if words.is_empty() { "strip".to_owned() } else { words.join("-") }
}

/// A day; grass, load and the walk are said in its panel.
///
/// # Errors
/// What is wrong, with the field's label.
pub fn day(form: &Form) -> Result<DayRecord, String> {
    let date: Date =
        text(form, "date").parse().map_err(|_| "date: expected one such as 2026-05-02".to_owned())?;
    let record = DayRecord {
        schema: SCHEMA,
        time: format!("{date}T12:00:00Z"),
        wind: WindRecord {
            from: DirectionRecord::True(number(form, "wind from, degrees true")?),
            mean_mps: speed(form, "mean wind")?,
            gust_mps: speed(form, "gusts")?,
            at_height_m: length(form, "wind measured at height")?,
            measured: WindWhereRecord::Reported,
        },
        temperature_c: number(form, "temperature, degrees Celsius")?,
        pressure: PressureRecord::Qnh(number(form, "QNH, hPa")? * 100.0),
        humidity: None,
        grass: None,
        landing_mass_kg: None,
        engine: EngineRecord::Idling,
        rewalk: None,
    };
    let day = Day::new(&record).map_err(|bad| bad.to_string())?;
    // What is typed now can be set right now.
    if let Some(bad) = day.left_out.first() {
        return Err(bad.to_string());
    }
    Ok(record)
}

#[cfg(test)]
mod tests {
    use super::*;
    use strip::record::SurveyedRecord;

    fn filled(mut form: Form, texts: &[&str]) -> Form {
        for (field, text) in form.fields.iter_mut().zip(texts) {
            field.1 = (*text).to_owned();
        }
        form
    }

    #[test]
    fn a_sketch_says_what_is_missing_rather_than_guessing_it() {
        let form = filled(sketch_form(), &["Nowhere Lea", "54.1", "", "200"]);
        assert!(sketch(&form).unwrap_err().starts_with("longitude, degrees: found nothing"));
        let record = sketch(&filled(form, &["Nowhere Lea", "54.1", "-2.6", "650 ft"])).expect("complete");
        assert_eq!(record.id, "nowhere-lea");
        assert!((record.datum.height_m - 198.12).abs() < 1e-9);
        assert_eq!(record.survey.outline, SurveyedRecord::NotLooked);
    }

    #[test]
    fn a_day_with_gusts_below_the_mean_is_refused() {
        let texts = ["2026-05-02", "240", "6 kt", "3 kt", "10", "12", "1013"];
        assert!(day(&filled(day_form(), &texts)).unwrap_err().starts_with("wind.gust_mps"));
    }
}
