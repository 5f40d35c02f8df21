//! Magnetic variation at the field on the day, with the model that it comes from and how long that holds.
//!
//! Not here: the model (crate `ground`).

use crate::Inputs;
use crate::assessment::Reason;
use crate::code::Code;
use ground::{declination, magnetic_model};
use jiff::civil::Date;
use measure::Declination;
use serde::Serialize;

/// Magnetic variation of the day.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct MagneticFigures {
    /// From true to magnetic north, positive east.
    pub declination_deg: f64,
    /// The model that says so.
    pub model: &'static str,
    /// First date of which it speaks, "2025-01-01".
    pub valid_from: String,
    /// Last date of which it speaks.
    pub valid_until: String,
}

/// The declination at the field on a date; `None` of which the model does not speak.
pub(crate) fn declination_on(datum: &ground::Datum, date: Date) -> Option<Declination> {
    declination(datum, date.year(), date.month().unsigned_abs(), date.day().unsigned_abs()).ok()
}

/// What is told of it; `None` without a day, and where the model does not speak of it.
pub(crate) fn figures(inputs: &Inputs) -> Option<MagneticFigures> {
    let date = inputs.day.as_ref()?.date;
    let (declination, model) = (declination_on(&inputs.strip.datum, date)?, magnetic_model(date.year())?);
    let written = |(year, month, day): (i16, u8, u8)| format!("{year:04}-{month:02}-{day:02}");
    Some(MagneticFigures {
        declination_deg: declination.to_east_deg(),
        model: model.name,
        valid_from: written(model.from),
        valid_until: written(model.until),
    })
}

/// Says that no heading is given from magnetic north, where a day is given and the model does not speak of it.
pub(crate) fn outside(inputs: &Inputs) -> Option<Reason> {
    let outside = inputs.day.is_some() && figures(inputs).is_none();
    outside.then(|| Reason::note(Code::NoMagnetic, Code::NoMagnetic.help()))
}
