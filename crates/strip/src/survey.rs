//! What was looked at, kind by kind, and how.

use crate::Settings;
use crate::error::BadRecord;
use crate::fields::{date, number, word};
use crate::record::{How, SurveyRecord, SurveyedRecord};
use jiff::civil::Date;
use measure::{Height, Metres};

/// A kind of thing that can be looked for.
#[derive(Clone, Copy, PartialEq, Eq, Debug, PartialOrd, Ord)]
pub enum SurveyKind {
    /// The boundary.
    Outline,
    /// Things on the ground.
    Hazards,
    /// Cover and strength of the ground.
    Ground,
    /// Heights of the ground.
    Levels,
    /// Trees, hedges, buildings and rising ground on the way in.
    Approaches,
    /// Wires on the way in.
    Wires,
    /// Drains under and across the field.
    Drains,
}

impl SurveyKind {
    /// Every kind, in the order of the record.
    pub const ALL: [Self; 7] = [
        Self::Outline,
        Self::Hazards,
        Self::Ground,
        Self::Levels,
        Self::Approaches,
        Self::Wires,
        Self::Drains,
    ];

    /// Its name in a sentence.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Outline => "the outline",
            Self::Hazards => "hazards on the ground",
            Self::Ground => "the ground's cover and strength",
            Self::Levels => "levels",
            Self::Approaches => "trees, buildings and rising ground on the approaches",
            Self::Wires => "wires",
            Self::Drains => "drains",
        }
    }
}

/// How far one kind was looked at.
#[derive(Clone, PartialEq, Debug)]
pub enum Looked {
    /// Nobody looked.
    Not,
    /// Somebody looked or measured.
    Yes {
        /// On which day.
        on: Date,
        /// How positions were taken; by eye where nothing is said.
        how: How,
        /// Between walked lines, where stated.
        spacing: Option<Metres>,
        /// Height of the grass then, where stated.
        grass: Option<Height>,
    },
}

/// The whole survey.
#[derive(Clone, PartialEq, Debug)]
pub struct Survey {
    // Invariant: one entry for each of SurveyKind::ALL, in that order.
    looked: Vec<Looked>,
}

impl Survey {
    /// From its record.
    ///
    /// # Errors
    /// [`BadRecord`] for a bad date, name or number.
    pub fn new(record: &SurveyRecord) -> Result<Self, BadRecord> {
        let SurveyRecord { outline, hazards, ground, levels, approaches, wires, drains } = record;
        let all = [
            ("outline", outline),
            ("hazards", hazards),
            ("ground", ground),
            ("levels", levels),
            ("approaches", approaches),
            ("wires", wires),
            ("drains", drains),
        ];
        let looked = all.into_iter().map(|(name, r)| looked(&format!("survey.{name}"), r));
        Ok(Self { looked: looked.collect::<Result<_, _>>()? })
    }

    /// How far a kind was looked at.
    pub fn of(&self, kind: SurveyKind) -> &Looked {
        self.looked.get(kind as usize).unwrap_or(&Looked::Not)
    }

    /// Kinds that nobody looked at.
    pub fn not_looked(&self) -> impl Iterator<Item = SurveyKind> + '_ {
        SurveyKind::ALL.into_iter().filter(|&kind| *self.of(kind) == Looked::Not)
    }

    /// Method by which positions of a kind were taken; by eye where nothing is known.
    pub fn how(&self, kind: SurveyKind) -> How {
        match self.of(kind) {
            Looked::Yes { how, .. } => *how,
            Looked::Not => How::ByEye,
        }
    }
}

fn looked(path: &str, record: &SurveyedRecord) -> Result<Looked, BadRecord> {
    let when = |on: &str, by: &str| -> Result<Date, BadRecord> {
        word(&format!("{path}.by"), by)?;
        date(&format!("{path}.on"), on)
    };
    let length = |name: &str, value: Option<f64>, most: f64| {
        value.map(|v| number(&format!("{path}.{name}"), v, 0.0..=most, "m")).transpose()
    };
    Ok(match record {
        SurveyedRecord::NotLooked => Looked::Not,
        SurveyedRecord::Looked { on, by, how, spacing_m, grass_m } => Looked::Yes {
            on: when(on, by)?,
            how: how.unwrap_or(How::ByEye),
            spacing: length("spacing_m", *spacing_m, 1000.0)?.map(Metres::m),
            grass: length("grass_m", *grass_m, 5.0)?.map(Height::m),
        },
        SurveyedRecord::Measured { on, by, how } => {
            Looked::Yes { on: when(on, by)?, how: *how, spacing: None, grass: None }
        }
    })
}

/// Standard deviation of a height taken by a method: a phone says nothing of heights, so one without
/// accuracy was then guessed by eye.
pub(crate) fn height_sigma(how: How, height: f64, settings: &Settings) -> f64 {
    match how {
        How::Phone => sigma_of(How::ByEye, height, settings),
        How::Clinometer => settings.sigma_clinometer * height.abs(),
        How::Pacing | How::Tape | How::ByEye => sigma_of(how, height, settings),
    }
}

/// Standard deviation of a length taken by a method.
pub fn sigma_of(how: How, length: f64, settings: &Settings) -> f64 {
    let length = length.abs();
    match how {
        How::Phone => settings.sigma_phone_m,
        How::Pacing => settings.sigma_pacing * length,
        How::Tape | How::Clinometer => settings.sigma_tape * length,
        How::ByEye => settings.sigma_by_eye * length,
    }
}
