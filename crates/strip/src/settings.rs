//! Settings: every figure that is nobody's measurement, with its tag, and all changeable.
//!
//! A settings file names only what it changes; a misspelt name is an error.

use crate::error::BadRecord;
use crate::fields::number;
use crate::record::SCHEMA;
use serde::{Deserialize, Serialize};

/// One setting as shown to a person.
#[derive(Clone, PartialEq, Debug)]
pub struct SettingRow {
    /// Its name in a settings file.
    pub key: &'static str,
    /// What it is.
    pub meaning: &'static str,
    /// Its value now.
    pub value: f64,
    /// Its default.
    pub default: f64,
    /// Where the default comes from: "judgement", "from memory", "common practice, no source", or a
    /// published source.
    pub tag: &'static str,
}

macro_rules! settings {
    ($($key:ident = $default:literal, $low:literal ..= $high:literal, $tag:literal, $meaning:literal;)*) => {
        /// The settings in force. Units are in the names; angles in degrees, shares from 0 to 1.
        #[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
        #[serde(deny_unknown_fields, default)]
        pub struct Settings {
            /// Version of this shape.
            pub schema: u32,
            $(#[doc = $meaning] pub $key: f64,)*
        }

        impl Default for Settings {
            fn default() -> Self {
                Self { schema: SCHEMA, $($key: $default,)* }
            }
        }

        impl Settings {
            /// Every setting, in the order of the list.
            pub fn table(&self) -> Vec<SettingRow> {
                let Self { schema: _, $($key,)* } = *self;
                vec![$(SettingRow {
                    key: stringify!($key), meaning: $meaning, value: $key, default: $default, tag: $tag,
                },)*]
            }

            /// Checks every value against its range.
            fn in_range(&self) -> Result<(), BadRecord> {
                $(number(stringify!($key), self.$key, $low ..= $high, "")?;)*
                Ok(())
            }
        }
    };
}

settings! {
    near_margin_m = 10.0, 0.0..=500.0, "judgement", "Length at the near end that is never counted as usable";
    end_margin_m = 15.0, 0.0..=500.0, "judgement", "Length kept free before an open far end";
    hard_end_margin_m = 30.0, 0.0..=500.0, "judgement", "Length kept free before the first hard thing at or beyond the far end";
    hazard_margin_m = 0.05, 0.0..=1.0, "judgement", "Height kept between the aircraft and a hazard";
    bank_allowance_deg = 3.0, 0.0..=20.0, "judgement", "Bank taken into account when looking at what the aircraft clears";
    lane_half_width_m = 3.0, 0.0..=50.0, "judgement", "How far to either side of the centre line the aircraft may touch down; drift and swing come on top";
    heading_error_deg = 2.0, 0.0..=20.0, "judgement", "How far off the lane the aircraft may move and point at touchdown";
    keel_friction_difference = 0.05, 0.0..=0.5, "judgement", "By what share friction may be more under one keel and less under the other than that of the ground";
    bridged_opening_m = 0.0, 0.0..=2.0, "judgement", "Opening of a depression along the lane that the keels bridge; none is credited until the owner gives one";
    touchdown_factor_low = 1.1, 1.0..=2.0, "judgement", "Least touchdown speed over stall speed";
    touchdown_factor_high = 1.3, 1.0..=2.0, "judgement", "Greatest touchdown speed over stall speed";
    scatter_short_m = 10.0, 0.0..=1000.0, "judgement", "How far short of the aim a touchdown may be, where the pilot's own scatter is not known";
    scatter_long_m = 60.0, 0.0..=1000.0, "judgement", "How far past the aim a touchdown may be, where the pilot's own scatter is not known";
    glide_low_deg = 2.0, 0.1..=15.0, "common practice, no source: shallow", "Shallowest path over the ground on which the aircraft is flown on";
    glide_high_deg = 3.5, 0.5..=15.0, "common practice, no source: shallow", "Steepest path over the ground on which the aircraft is flown on";
    obstacle_margin_m = 5.0, 0.0..=100.0, "judgement", "Height kept over trees, buildings, poles and rising ground on the way in; over levelled ground near the lane less";
    wire_margin_m = 10.0, 0.0..=100.0, "judgement", "Height kept over wires on the way in";
    low_margin_m = 1.0, 0.0..=100.0, "judgement", "Height kept over hedges, fences, walls, roads and what stands on the ground on the way in";
    road_traffic_m = 4.57, 0.0..=20.0, "14 CFR 77: 15 ft over a public road", "Height that traffic on a road is taken to have";
    unmeasured_hazard_m = 3.0, 0.0..=20.0, "judgement", "Height of a hazard before the touchdown that nobody measured";
    corridor_beside_m = 10.0, 0.0..=200.0, "judgement", "How far beyond the half span the corridor of the way in reaches, before the lane";
    corridor_splay = 0.1, 0.0..=1.0, "ICAO Annex 14, code 1 approach surface: 10 % to each side", "How much the corridor widens to each side, per length before the touchdown";
    tree_growth_m = 0.5, 0.0..=5.0, "judgement", "How much trees and hedges grow in a year";
    crown_growth_m = 0.25, 0.0..=5.0, "judgement", "How much their crowns grow to each side in a year";
    bounce_sink_mps = 1.0, 0.0..=5.0, "judgement", "Sink at touchdown from which it is taken to bounce";
    bounce_share = 0.5, 0.0..=1.0, "judgement", "Share of the sink that comes back in a bounce";
    lift_settling_s = 2.0, 0.0..=10.0, "judgement", "Time in which lift falls from the whole weight at touchdown to that on the keels, at the worst";
    stall_sigma = 0.02, 0.0..=0.2, "judgement", "Standard deviation of a calibrated stall speed, as a share of it: a manual speaks of the type, not of this one";
    mass_sigma = 0.01, 0.0..=0.2, "judgement", "Standard deviation of a mass at touchdown, as a share of it";
    keel_length_m = 2.5, 0.3..=15.0, "judgement", "Length of keel that rests on even ground, where the aircraft's record does not say";
    unseen_crest_m = 0.1, 0.0..=2.0, "judgement", "Height of a crest over a keel length that levels too far apart may have missed";
    keel_hollow_m = 0.15, 0.0..=2.0, "judgement", "Depth of a hollow under the keel from which somebody has to look closer";
    keel_crest_m = 0.1, 0.0..=2.0, "judgement", "Height of a crest under the keel from which somebody has to look closer";
    bow_step_m = 0.1, 0.0..=2.0, "judgement", "Rise of the ground before the bow, over a keel length, from which somebody has to look closer";
    steepest_slope = 0.15, 0.0..=0.5, "judgement", "Slope of the ground under the keel, measured, from which somebody has to look closer";
    local_slope_not_measured = 0.05, 0.0..=0.5, "judgement", "Slope over a keel length either way where no levels were taken";
    give_low_mm = 30.0, 1.0..=1000.0, "judgement", "How far turf, floats and fittings give under a hard touchdown, at the least";
    give_high_mm = 80.0, 1.0..=1000.0, "judgement", "The same at the most";
    give_efficiency = 0.5, 0.1..=1.0, "textbook: 0.5 where force grows in proportion, 1 where it is constant", "Mean force over greatest force while it gives";
    mean_slope_not_measured = 0.03, 0.0..=0.2, "judgement", "Mean slope either way where no levels were taken";
    headwind_factor = 0.5, 0.0..=1.0, "UK/EU air operations rules, CAT.POL.A.330(c)(2)", "Share of a head wind that is counted on";
    tailwind_factor = 1.5, 1.0..=3.0, "UK/EU air operations rules, CAT.POL.A.330(c)(2)", "Share of a tail wind that is reckoned with";
    wind_direction_spread_on_field_deg = 15.0, 0.0..=180.0, "judgement", "How far off the direction of a wind measured on the field may be during the slide, at 95 % to either side";
    wind_direction_spread_reported_deg = 30.0, 0.0..=180.0, "judgement", "The same for a wind reported by a station or a forecast";
    wing_height_m = 2.0, 0.5..=10.0, "judgement", "Height of the wing during the slide, at which the wind acts";
    roughness_m = 0.03, 0.0001..=1.0, "Davenport-Wieringa class for open flat grass", "Roughness length of the ground upwind, which slows a head wind near the ground";
    low_sun_elevation_deg = 15.0, 0.0..=90.0, "judgement", "Elevation below which the sun may blind";
    low_sun_off_heading_deg = 30.0, 0.0..=180.0, "judgement", "How far off the lane's heading a low sun may blind";
    sigma_phone_m = 5.0, 0.1..=100.0, "from memory", "Standard deviation of a phone's position";
    sigma_pacing = 0.05, 0.001..=1.0, "from memory", "Standard deviation of a paced length, as a share of it";
    sigma_tape = 0.002, 0.0001..=1.0, "from memory", "Standard deviation of a taped length, as a share of it";
    sigma_clinometer = 0.05, 0.001..=1.0, "judgement", "Standard deviation of a height taken with tape and clinometer, as a share of it";
    sigma_by_eye = 0.3, 0.01..=2.0, "from memory", "Standard deviation of a length or height guessed by eye, as a share of it";
    tight_spare_share = 0.15, 0.0..=1.0, "judgement", "Spare under this share of the demand is tight";
    tight_limit_share = 0.1, 0.0..=1.0, "judgement", "Closer than this share to a limit is tight";
    survey_valid_months = 12.0, 0.0..=120.0, "judgement", "Months after which a survey has to be made again";
    slides_valid_months = 36.0, 0.0..=240.0, "judgement", "Months after which an earlier slide only lowers the friction believed in";
    tipping_reserve = 0.2, 0.0..=0.9, "judgement", "Least reserve against tipping forward or back, as a share of what would tip it";
    unseen_hollow_load = 1.5, 1.0..=5.0, "judgement", "Load on the keels over weight in a hollow that levels too far apart may have missed";
    short_grass_m = 0.15, 0.0..=1.0, "judgement", "Height of short grass that nobody measured";
    long_grass_m = 0.5, 0.0..=3.0, "judgement", "Height of long grass that nobody measured";
    drag_balance_share = 0.05, 0.0..=1.0, "judgement", "Error of the spring balance of a drag test, as a share of what it shows";
    drag_place_share = 0.1, 0.0..=1.0, "judgement", "How much friction differs from place to place within a field, as a share of it";
    drag_single_pull_share = 0.15, 0.0..=1.0, "judgement", "Error of a drag test of one pull, which has no repeat to compare it with, as a share of it";
    friction_between_days_share = 0.2, 0.2..=1.0, "judgement", "How much friction on one strip differs from day to day at least, as a share of it";
    reaction_s = 4.0, 0.0..=30.0, "judgement", "From the decision to break off the approach until full power pulls";
    pull_up_load = 0.1, 0.02..=0.5, "judgement", "Load factor above one with which a broken-off approach is pulled up";
    gaining_share = 0.7, 0.1..=1.0, "judgement", "Share of the climb's power that is left over below the airspeed of the climb";
    turn_bank_deg = 15.0, 5.0..=30.0, "judgement", "Bank of a gentle turn away from the line of the approach";
    turn_roll_s = 2.0, 0.0..=10.0, "judgement", "Time in which that bank is put on";
    search_tolerance_m = 0.5, 0.05..=50.0, "judgement", "How much better a lane than the one found may remain possible";
    search_by_heading_m = 10.0, 0.5..=200.0, "judgement", "The same for the longest lane of each direction, which is only shown";
}

impl Settings {
    /// What is reckoned with where a drag test does not show it.
    pub fn drag_shares(&self) -> slide::Shares {
        slide::Shares {
            balance: self.drag_balance_share,
            place: self.drag_place_share,
            single_pull: self.drag_single_pull_share,
            between_days: self.friction_between_days_share,
        }
    }

    /// How an approach is broken off.
    pub fn manoeuvre(&self) -> slide::Manoeuvre {
        slide::Manoeuvre {
            reaction_s: self.reaction_s,
            pull_up: self.pull_up_load,
            gaining_share: self.gaining_share,
            bank_rad: self.turn_bank_deg.to_radians(),
            roll_s: self.turn_roll_s,
        }
    }

    /// The same, once every value is known to lie in its range and the pairs in order.
    ///
    /// # Errors
    /// [`BadRecord`] naming the setting.
    pub fn checked(self) -> Result<Self, BadRecord> {
        self.in_range()?;
        let pairs = [
            (
                ("touchdown_factor_low", self.touchdown_factor_low),
                ("touchdown_factor_high", self.touchdown_factor_high),
            ),
            (("glide_low_deg", self.glide_low_deg), ("glide_high_deg", self.glide_high_deg)),
            (("give_low_mm", self.give_low_mm), ("give_high_mm", self.give_high_mm)),
        ];
        match pairs.into_iter().find(|((_, low), (_, high))| low > high) {
            Some(((name, low), (other, high))) => {
                Err(BadRecord::field(name, &low.to_string(), &format!("at most {other}, {high}")))
            }
            None => Ok(self),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_defaults_lie_in_their_own_ranges_and_every_one_has_a_tag() {
        let settings = Settings::default().checked().expect("defaults are valid");
        for row in settings.table() {
            assert!((row.value - row.default).abs() < f64::EPSILON && !row.tag.is_empty(), "{}", row.key);
        }
    }

    #[test]
    fn the_defaults_of_a_drag_test_are_those_of_the_physics() {
        assert_eq!(Settings::default().drag_shares(), slide::Shares::default());
    }

    #[test]
    fn the_defaults_of_a_broken_off_approach_are_those_of_the_physics() {
        assert_eq!(Settings::default().manoeuvre(), slide::Manoeuvre::default());
    }

    #[test]
    fn a_setting_out_of_range_is_named() {
        let bad = Settings { near_margin_m: -1.0, ..Settings::default() }.checked().unwrap_err();
        assert_eq!(bad.to_string(), "near_margin_m: found -1, expected a number from 0 to 500");
    }

    #[test]
    fn a_misspelt_setting_is_refused_with_its_line() {
        let bad = crate::text::parse::<Settings>("settings", b"(\n  near_margin: 12.0,\n)").unwrap_err();
        assert!(
            bad.to_string().starts_with("line 2, column 3: found unknown field \"near_margin\""),
            "{bad}"
        );
    }
}
