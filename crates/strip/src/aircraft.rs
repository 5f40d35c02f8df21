//! An aircraft, valid: made from a record by [`Aircraft::new`].

use crate::climb::climb;
use crate::error::BadRecord;
use crate::fields::{at_most, ends, number, positive, word};
use crate::record::{AircraftRecord, Ends, GlideRecord, PartRecord, StallRecord};
use crate::scatter::{Scatter, scatter};
use crate::side::Side;
use ground::{ClearanceProfile, Part};
use measure::{CalibratedSpeed, Height, Interval, Kilograms, Metres, Newtons, SquareMetres};
use std::ops::RangeInclusive;

/// Added to an indicated stall speed that has no position-error table (judgement: indicators read low
/// near the stall).
const INDICATED_ADDED: f64 = 0.1;

/// Greatest lift coefficients that wings of light aircraft reach, flaps or not (judgement, wide).
const PLAUSIBLE_LIFT: RangeInclusive<f64> = 0.8..=3.5;

/// Lengths that a flat keel of a light aircraft's float has, metres (judgement, wide).
const KEEL_LENGTH: RangeInclusive<f64> = 0.3..=15.0;

/// Density of the standard atmosphere at the sea, kg/m3 (ISO 2533).
const SEA_LEVEL_DENSITY: f64 = 1.225;

/// Paths of an approach, degrees below the horizon (judgement, wide).
const GLIDE_DEG: RangeInclusive<f64> = 0.1..=15.0;

/// The path that a pilot holds, radians below the horizon.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Glide {
    /// Over the ground.
    OverGround(Interval<f64>),
    /// Through the air.
    ThroughAir(Interval<f64>),
}

/// An aircraft on straight floats.
#[derive(Clone, PartialEq, Debug)]
pub struct Aircraft {
    /// Its mark.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Stall speed at the reference mass; an interval where only an indicated one is known.
    pub stall: Interval<CalibratedSpeed>,
    /// Mass that the stall speed belongs to.
    pub reference_mass: Kilograms,
    /// Empty mass to greatest mass at touchdown.
    pub mass_range: Interval<Kilograms>,
    /// Wing area.
    pub wing_area: SquareMetres,
    /// Lift coefficient on the keels.
    pub lift_coefficient: Interval<f64>,
    /// Drag coefficient on the keels.
    pub drag_coefficient: Interval<f64>,
    /// Thrust with the engine idling.
    pub idle_thrust: Interval<Newtons>,
    /// Most crosswind that the owner accepts, m/s; `None` until given.
    pub crosswind_limit_mps: Option<f64>,
    /// Greatest load factor at touchdown that the owner accepts; `None` until given.
    pub load_factor_limit: Option<f64>,
    /// Who gave the limits, where said.
    pub limits_given_by: Option<String>,
    /// The aircraft from the side, where measured.
    pub side: Option<Side>,
    /// How it climbs with its floats, where known.
    pub climb: Option<slide::Climb>,
    /// How far turf, floats and fittings give, mm, where the owner says.
    pub give_mm: Option<Interval<f64>>,
    /// Rise of a float's bottom from keel to chine, radians.
    pub deadrise_rad: f64,
    /// The path that the pilot holds, where said.
    pub glide: Option<Glide>,
    /// The pilot's scatter, where measured.
    pub scatter: Option<Scatter>,
    /// Length of the flat keel that rests on the ground, where measured.
    pub keel_length: Option<Metres>,
    keel_spacing: Metres,
    shoe_width: Metres,
    half_span: Metres,
    parts: Vec<Part>,
}

impl Aircraft {
    /// From its record.
    ///
    /// # Errors
    /// [`BadRecord`] for the first field that is not valid.
    pub fn new(record: &AircraftRecord) -> Result<Self, BadRecord> {
        let mass = |name: &str, kg| positive(name, kg, 20_000.0, "kg").map(Kilograms::kg);
        let empty = mass("empty_mass_kg", record.empty_mass_kg)?;
        let most = mass("max_landing_mass_kg", record.max_landing_mass_kg)?;
        let mass_range = Interval::new(empty, most).map_err(|_| {
            BadRecord::field(
                "empty_mass_kg",
                &record.empty_mass_kg.to_string(),
                "at most max_landing_mass_kg",
            )
        })?;
        let crosswind = record.limits.crosswind_mps;
        let keel_length = record.keels.length_m;
        let keel_length =
            keel_length.map(|m| number("keels.length_m", m, KEEL_LENGTH, "m").map(Metres::m)).transpose()?;
        let aircraft = Self {
            id: word("id", &record.id)?,
            name: word("name", &record.name)?,
            stall: stall(&record.stall)?,
            reference_mass: mass("reference_mass_kg", record.reference_mass_kg)?,
            mass_range,
            wing_area: SquareMetres::m2(positive("wing_area_m2", record.wing_area_m2, 500.0, "m2")?),
            lift_coefficient: ends("lift_coefficient", record.lift_coefficient, 0.0, 4.0)?,
            drag_coefficient: ends("drag_coefficient", record.drag_coefficient, 0.0, 2.0)?,
            idle_thrust: ends("idle_thrust_n", record.idle_thrust_n, 0.0, 20_000.0)?.map_growing(Newtons::n),
            crosswind_limit_mps: crosswind
                .map(|mps| number("limits.crosswind_mps", mps, 0.0..=50.0, "m/s"))
                .transpose()?,
            load_factor_limit: record
                .limits
                .load_factor
                .map(|n| number("limits.load_factor", n, 1.0..=20.0, ""))
                .transpose()?,
            limits_given_by: record
                .limits
                .given_by
                .as_ref()
                .map(|by| word("limits.given_by", by))
                .transpose()?,
            side: record.side.as_ref().map(|side| Side::new(side, keel_length)).transpose()?,
            climb: record.climb.as_ref().map(climb).transpose()?,
            give_mm: record.give_mm.map(|mm| ends("give_mm", mm, 1.0, 1000.0)).transpose()?,
            deadrise_rad: deadrise(record)?,
            glide: record.glide_deg.as_ref().map(glide).transpose()?,
            scatter: scatter(record)?,
            keel_length,
            keel_spacing: Metres::m(positive("keels.spacing_m", record.keels.spacing_m, 20.0, "m")?),
            shoe_width: Metres::m(positive("keels.shoe_width_m", record.keels.shoe_width_m, 1.0, "m")?),
            half_span: Metres::m(positive("wing_span_m", record.wing_span_m, 60.0, "m")?) / 2.0,
            parts: parts(record)?,
        };
        aircraft.plausible_stall()?;
        aircraft.plausible_climb()?;
        aircraft.profile(0.0).map_err(|bad| {
            BadRecord::field("parts", "a view from ahead that cannot be used", &bad.to_string())
        })?;
        Ok(aircraft)
    }

    /// Stall speed, its mass and the wing area must belong together: a slip in one of them makes the
    /// slide short.
    fn plausible_stall(&self) -> Result<(), BadRecord> {
        let lift = |v: CalibratedSpeed| {
            let pressure = 0.5 * SEA_LEVEL_DENSITY * v.to_mps() * v.to_mps();
            self.reference_mass.to_kg() * measure::STANDARD_GRAVITY / (pressure * self.wing_area.to_m2())
        };
        let (least, most) = (lift(self.stall.high()), lift(self.stall.low()));
        if PLAUSIBLE_LIFT.contains(&least) && PLAUSIBLE_LIFT.contains(&most) {
            return Ok(());
        }
        let (low, high) = (PLAUSIBLE_LIFT.start(), PLAUSIBLE_LIFT.end());
        let found = format!(
            "a stall speed that with reference mass and wing area asks for a lift coefficient of {most:.2}"
        );
        Err(BadRecord::field("stall", &found, &format!("one from {low} to {high}")))
    }

    /// A climb is flown by this aircraft, not slower than it stalls.
    fn plausible_climb(&self) -> Result<(), BadRecord> {
        let Some(climb) = &self.climb else { return Ok(()) };
        let (empty, mass) = (self.mass_range.low(), climb.mass);
        if mass < empty {
            let expected = format!("at least empty_mass_kg, {}", empty.to_kg());
            return Err(BadRecord::field("climb.mass_kg", &mass.to_kg().to_string(), &expected));
        }
        let stall = slide::StallSpeed { calibrated: self.stall.low(), at_mass: self.reference_mass }.at(mass);
        if climb.airspeed <= stall {
            let expected = format!("more than the stall speed at that mass, {:.1} m/s", stall.to_mps());
            let found = climb.airspeed.to_mps().to_string();
            return Err(BadRecord::field("climb.airspeed_mps", &found, &expected));
        }
        Ok(())
    }

    /// The aircraft from ahead, with a bank allowance in radians.
    ///
    /// # Errors
    /// [`ground::BadProfile`], which [`Aircraft::new`] has ruled out.
    pub fn profile(&self, bank_rad: f64) -> Result<ClearanceProfile, ground::BadProfile> {
        ClearanceProfile::new(self.keel_spacing, self.shoe_width, &self.parts, self.half_span, bank_rad)
    }

    /// Between the two keel lines.
    pub(crate) fn keel_spacing(&self) -> Metres {
        self.keel_spacing
    }

    /// Half the wing span.
    pub(crate) fn half_span(&self) -> Metres {
        self.half_span
    }

    /// Underside of the part that reaches farthest out, at its end, and how far out that is.
    pub(crate) fn outermost(&self) -> Option<(Metres, Height)> {
        let ends = self.parts.iter().map(|p| (p.offsets.1, p.heights.1));
        ends.reduce(|a, b| if b.0 > a.0 || (b.0 == a.0 && b.1 < a.1) { b } else { a })
    }

    /// Width of one keel shoe.
    pub fn shoe_width(&self) -> Metres {
        self.shoe_width
    }

    /// Whether the stall speed is known as calibrated.
    pub fn stall_is_calibrated(&self) -> bool {
        self.stall.low() == self.stall.high()
    }
}

fn glide(record: &GlideRecord) -> Result<Glide, BadRecord> {
    let (low, high) = (*GLIDE_DEG.start(), *GLIDE_DEG.end());
    let path =
        |ends_deg: Ends| ends("glide_deg", ends_deg, low, high).map(|deg| deg.map_growing(f64::to_radians));
    match *record {
        GlideRecord::OverGround { low, high } => path(Ends { low, high }).map(Glide::OverGround),
        GlideRecord::ThroughAir { low, high } => path(Ends { low, high }).map(Glide::ThroughAir),
    }
}

fn stall(record: &StallRecord) -> Result<Interval<CalibratedSpeed>, BadRecord> {
    let speed = |path: &str, mps| positive(path, mps, 100.0, "m/s").map(CalibratedSpeed::mps);
    match record {
        StallRecord::Calibrated { mps } => Ok(Interval::exact(speed("stall.mps", *mps)?)),
        StallRecord::Indicated { mps, position_error } => {
            let indicated = speed("stall.mps", *mps)?;
            if position_error.is_empty() {
                return Ok(Interval::spanning(indicated, indicated * (1.0 + INDICATED_ADDED)));
            }
            at_most("stall.position_error", position_error, 100)?;
            calibrated(*mps, position_error).map(|mps| Interval::exact(CalibratedSpeed::mps(mps)))
        }
    }
}

/// Straight lines between the rows of a position-error table; nothing outside it.
fn calibrated(indicated: f64, table: &[(f64, f64)]) -> Result<f64, BadRecord> {
    for (i, &(a, b)) in table.iter().enumerate() {
        let path = format!("stall.position_error[{}]", i + 1);
        positive(&path, a, 100.0, "m/s")?;
        positive(&path, b, 100.0, "m/s")?;
        if i > 0 && table[i - 1].0 >= a {
            return Err(BadRecord::field(&path, &a.to_string(), "indicated speeds that rise"));
        }
    }
    let between = |w: &[(f64, f64)]| {
        let ((a, ca), (b, cb)) = (w[0], w[1]);
        (a..=b).contains(&indicated).then(|| ca + (cb - ca) * (indicated - a) / (b - a))
    };
    table.windows(2).find_map(between).ok_or_else(|| {
        let expected = "a table that holds the indicated stall speed between two rows";
        BadRecord::field("stall.position_error", "a table that does not reach it", expected)
    })
}

fn deadrise(record: &AircraftRecord) -> Result<f64, BadRecord> {
    number("keels.deadrise_deg", record.keels.deadrise_deg, 0.0..=60.0, "degrees").map(f64::to_radians)
}

/// The float bottoms, from keel shoe to chine, and the parts of the record.
fn parts(record: &AircraftRecord) -> Result<Vec<Part>, BadRecord> {
    at_most("parts", &record.parts, 200)?;
    let keels = &record.keels;
    let beam = positive("keels.float_beam_m", keels.float_beam_m, 10.0, "m")?;
    let (keel, shoe) = (keels.spacing_m / 2.0, keels.shoe_width_m / 2.0);
    let rise = (beam / 2.0 - shoe).max(0.0) * libm::tan(deadrise(record)?);
    let inner = (keel - beam / 2.0).max(0.0);
    let bottom = |name: &str, from: f64, to: f64, low: f64, high: f64| Part {
        name: name.to_owned(),
        offsets: (Metres::m(from), Metres::m(to)),
        heights: (Height::m(low), Height::m(high)),
    };
    let mut parts = vec![
        bottom("float bottom, inner side", inner, (keel - shoe).max(inner), rise, 0.0),
        bottom("float bottom, outer side", keel + shoe, (keel + beam / 2.0).max(keel + shoe), 0.0, rise),
    ];
    for (i, part) in record.parts.iter().enumerate() {
        parts.push(given_part(&format!("parts[{}]", i + 1), part)?);
    }
    Ok(parts)
}

fn given_part(path: &str, record: &PartRecord) -> Result<Part, BadRecord> {
    let name = word(&format!("{path}.name"), &record.name)?;
    let path = format!("{path} ({name})");
    let size = |field: &str, value| number(&format!("{path}.{field}"), value, 0.0..=60.0, "m");
    let (from, to) = (size("from_m", record.from_m)?, size("to_m", record.to_m)?);
    if from > to {
        return Err(BadRecord::field(
            &format!("{path}.from_m"),
            &from.to_string(),
            &format!("at most to_m, {to}"),
        ));
    }
    Ok(Part {
        offsets: (Metres::m(from), Metres::m(to)),
        heights: (
            Height::m(size("from_height_m", record.from_height_m)?),
            Height::m(size("to_height_m", record.to_height_m)?),
        ),
        name,
    })
}
