//! The occasions of one picture: which winds, or which masses and temperatures, and in which order they are judged.
//!
//! Invariants: every occasion stands in the order once; the first few of it are spread over the whole picture; the order
//! and with it every digit depends on nothing but the inputs.

use super::{Occasion, Question};
use crate::Aircraft;
use crate::day::GivenWind;

/// Directions of the wind and strengths; strengths grow by one of the steps, m/s.
const DIRECTIONS: usize = 36;
const STRENGTHS: usize = 12;
const STRENGTH_STEPS: [f64; 3] = [0.5, 1.0, 1.5];

/// Masses from the least to the greatest, and temperatures, degrees Celsius.
const MASSES: usize = 9;
pub(super) const COLDEST: f64 = -10.0;
const TEMPERATURES: usize = 11;
const TEMPERATURE_STEP: f64 = 5.0;
pub(super) const HOTTEST: f64 = COLDEST + TEMPERATURE_STEP * (TEMPERATURES - 1) as f64;

/// Gusts over the mean wind where nobody gave any (judgement).
const GUSTS: f64 = 1.5;

/// Stride over columns and rows of what is judged first, and after that.
const STRIDES: [(usize, usize); 3] = [(4, 4), (2, 2), (1, 1)];

/// How gusts follow from the mean wind.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Gusts {
    /// Share of the mean.
    pub ratio: f64,
    /// Whether it is that of the day; else a judgement.
    pub of_day: bool,
}

impl Gusts {
    /// In the ratio of the day, if its wind has one.
    pub(super) fn of(day: Option<&GivenWind>) -> Self {
        let blows = day.filter(|w| w.known && w.mean_mps.low() > 0.0);
        blows.map_or(Self { ratio: GUSTS, of_day: false }, |w| Self {
            ratio: w.gust_mps.high() / w.mean_mps.low(),
            of_day: true,
        })
    }
}

/// Columns and rows of a picture.
#[derive(Clone, PartialEq, Debug)]
pub struct Grid {
    /// Directions that the wind comes from, degrees true; or masses, kg.
    pub columns: Vec<f64>,
    /// Mean winds, m/s; or temperatures, degrees Celsius. Rising.
    pub rows: Vec<f64>,
}

/// Cells judged between two tellings: few in the first parts, so that something is seen early, then more, as threads wait
/// for each other between them.
pub(super) const EARLY: usize = 3;
pub(super) const AT_ONCE_EARLY: usize = 12;
pub(super) const AT_ONCE: usize = 36;

impl Grid {
    pub(super) fn new(question: Question, aircraft: &Aircraft, strong_mps: f64, gusts: Gusts) -> Self {
        match question {
            Question::Wind => {
                // The last rings reach past what is too strong to say anything, where a step of the list does.
                let reaches = |step: &&f64| **step * STRENGTHS as f64 * gusts.ratio > strong_mps;
                let last = STRENGTH_STEPS[STRENGTH_STEPS.len() - 1];
                let step = STRENGTH_STEPS.iter().find(reaches).copied().unwrap_or(last);
                Self {
                    columns: (0..DIRECTIONS).map(|i| 360.0 * i as f64 / DIRECTIONS as f64).collect(),
                    rows: (1..=STRENGTHS).map(|i| step * i as f64).collect(),
                }
            }
            Question::Load => {
                let (low, high) = (aircraft.mass_range.low().to_kg(), aircraft.mass_range.high().to_kg());
                let share = |i: usize| i as f64 / (MASSES - 1) as f64;
                Self {
                    columns: (0..MASSES).map(|i| low + (high - low) * share(i)).collect(),
                    rows: (0..TEMPERATURES).map(|i| COLDEST + TEMPERATURE_STEP * i as f64).collect(),
                }
            }
        }
    }

    /// How many cells, the calm of a wind picture not counted.
    pub fn len(&self) -> usize {
        self.columns.len() * self.rows.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Cells in the order in which they are judged, in parts that are told together.
    pub(super) fn order(&self) -> Vec<Vec<usize>> {
        let mut seen = vec![false; self.len()];
        let mut parts: Vec<Vec<usize>> = Vec::new();
        for (columns, rows) in STRIDES {
            // The outer rows of a stride, so that the first look shows the strongest winds as well.
            let of_row = |row: usize| (row + 1).is_multiple_of(rows) || (rows > 1 && row == 0);
            let mut level: Vec<usize> = (0..self.len())
                .filter(|i| {
                    of_row(i / self.columns.len()) && (i % self.columns.len()).is_multiple_of(columns)
                })
                .filter(|i| !std::mem::replace(&mut seen[*i], true))
                .collect();
            while !level.is_empty() {
                let at_once = if parts.len() < EARLY { AT_ONCE_EARLY } else { AT_ONCE };
                let rest = level.split_off(at_once.min(level.len()));
                parts.push(std::mem::replace(&mut level, rest));
            }
        }
        parts
    }

    /// The occasion of a cell; past the last one the calm.
    pub(super) fn occasion(&self, question: Question, cell: usize, gusts: Gusts) -> Occasion {
        let width = self.columns.len();
        let (column, row) = (self.columns.get(cell % width), self.rows.get(cell / width));
        let (column, row) = (column.copied().unwrap_or(0.0), row.copied().unwrap_or(0.0));
        match question {
            Question::Wind => Occasion::Wind { from_deg: column, mean_mps: row, gust_mps: row * gusts.ratio },
            Question::Load => Occasion::Load { mass_kg: column, temperature_c: row },
        }
    }
}
