//! The words of the output: codes of reasons, names of what is missing, names of what is not judged.
//!
//! One table each feeds the output, the help and the tests; a code is never renamed, only added.

use serde::Serialize;

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($variant:ident = $word:literal, $help:literal;)* }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, Debug, PartialOrd, Ord, Serialize)]
        #[serde(rename_all = "snake_case")]
        pub enum $name {
            $(#[doc = $help] $variant,)*
        }

        impl $name {
            /// Every word, in the order of the table.
            pub const ALL: &[Self] = &[$(Self::$variant,)*];

            /// The word as it stands in the output.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)* }
            }

            /// What it means, in a sentence.
            pub const fn help(self) -> &'static str {
                match self { $(Self::$variant => $help,)* }
            }
        }
    };
}

words! {
    /// Code of a reason.
    Code {
        Spare = "spare", "Length left over once the slide and the scatter of touchdowns are taken out of the usable length";
        Approach = "approach", "No touchdown on the lane can be reached with the margins asked";
        NoWayOut = "no_way_out", "No place on the way in from which it could be broken off with the margins asked, straight ahead or with a gentle turn";
        ClimbUnknown = "climb_unknown", "Nobody knows from where the way in can be broken off: how the aircraft climbs is not given";
        NeverStops = "never_stops", "At the ends of what is known the aircraft would not come to rest";
        LengthBound = "length_bound", "Most that any lane of the field could have left over, were the slide as short as could be true";
        NoLaneFits = "no_lane_fits", "None of the lanes tried fits, and no bound rules out that another does";
        NoAircraft = "no_aircraft", "No aircraft given, so no lane is judged";
        NoDay = "no_day", "No day given: figures are for a calm standard day on dry ground";
        NotLooked = "not_looked", "Nobody looked, and not looked at is not the same as nothing there";
        Rewalk = "rewalk", "The field was not walked again on the day, or not all of the list was seen in time, so the best that can be said is tight";
        Crosswind = "crosswind", "Crosswind with its gusts against the owner's limit";
        CrosswindLimit = "crosswind_limit", "The owner has given no crosswind limit";
        Hardness = "hardness", "Load factor of the touchdown at the worst, against the most that the owner accepts";
        HardnessLimit = "hardness_limit", "The owner has given no greatest load factor for a touchdown";
        KeelAttitude = "keel_attitude", "Angle of the keels to the ground at touchdown";
        SideUnknown = "side_unknown", "Nothing is known of the aircraft from the side, so nobody knows whether bow or stern touches first, whether it tips over, or how far it drifts and swings";
        Drift = "drift", "How far to a side the aircraft could be where it comes nearest to something, against the room there";
        DriftOnto = "drift_onto", "Drift could take it onto ground beside the lane that is softer, more slippery or of more grip";
        HeadingHeld = "heading_held", "Once the rudder has lost its hold nobody steers in what is worked out here, and the nose may leave the lane before the stop: from there on the wing-span circle is kept clear";
        Mass = "mass", "Mass at touchdown against the greatest landing mass";
        FrictionLowEnd = "friction_low_end", "No loaded drag test or slide of the day's kind of ground, made lately, narrows friction here: a wide range stands for it, and its low end rules";
        Skips = "skips", "The keels leave the ground over a crest on the way, and what happens after is not worked out";
        LeftOut = "left_out", "Something in the records cannot be true of this field or day, so it does not count as written";
        TestsDisagree = "tests_disagree", "Measurements of friction differ by more than chance explains, from each other or from what such ground is known for";
        NotCounted = "not_counted", "Measurements of friction on record that do not count, or only lower what is believed";
        KeelGround = "keel_ground", "Ground that is not even under the keel: somebody has to look closer";
        Creeps = "creeps", "Where it stops, slope, wind or idling engine would move it on";
        Review = "review", "What the last review of the strip says";
        SurveyAge = "survey_age", "A survey too old for the day, or dated after it";
        SoftGround = "soft_ground", "Nobody tested how strong the ground is, so whether the keels dig in is not known";
        Tipping = "tipping", "Reserve against tipping forward during the slide, of what would tip it";
        DigsIn = "digs_in", "The keels sink, pitch and plough without coming to a balance";
        Propeller = "propeller", "Clearance under the lowest tip of the propeller, with sinkage, pitch, grass and rising ground";
        WingTip = "wing_tip", "Clearance under the wing tip with the bank that is reckoned with and one keel sunk";
        Trip = "trip", "Speed across the keels where they come to soft ground, which may trip it over sideways, against that from which it may";
        TailOver = "tail_over", "Reserve against dropping back on the tail once stopped";
        LongerRecovery = "longer_recovery", "A slide recorded on this strip was longer than the longest worked out";
        LowSun = "low_sun", "Angle between the lane and a low sun ahead at the planned time, against that within which it blinds";
        Dark = "dark", "The sun is below the horizon at the planned time, so nobody sees the field";
        NoMagnetic = "no_magnetic", "The date lies outside the magnetic model, so no heading is given from magnetic north";
        StrongWind = "strong_wind", "Gusts against half the stall speed: beyond it a slide is not what is worked out here";
        SettingsChanged = "settings_changed", "Settings that are not the defaults";
        ClosedWayIn = "closed_way_in", "A lane would leave more, were it not for what stands in its way in";
        BeginsLater = "begins_later", "Left out where the lane could begin, as the ground there tells against it";
        EndsSooner = "ends_sooner", "Left out where the lane could end, as the ground there tells against it";
        SurveyLimits = "survey_limits", "An object lower than the grass, or between the walked lines, may be unseen";
    }
}

words! {
    /// Name of something that was not measured.
    What {
        Aircraft = "aircraft", "Give the aircraft: NAME.aircraft.ron beside the strip, or --aircraft FILE";
        Day = "day", "Give the day: NAME.day.ron beside the strip, or --day FILE";
        Outline = "outline", "Walk the boundary: tape between pegs at the corners, and note what stands on each edge";
        Hazards = "hazards", "Walk the lane and its sides in lines a metre or two apart with a stick; mark every rock, stump, post, rut and hole with its height or depth";
        Ground = "ground", "Note the cover and press a heel into the ground every few paces, most of all in the hollows";
        Approaches = "approaches", "From both ends, measure distance and height of every tree, hedge and building with a tape and a clinometer";
        Wires = "wires", "Look for poles on and around the field and follow every wire; ask the landowner";
        Drains = "drains", "Ask the landowner for drains and pipes; look for lines of wet or sunken ground";
        DragTest = "drag_test", "Pull a loaded sledge on steel runners along the lane with a spring balance, several times; note pull, weight and hitch angle";
        Levels = "levels", "Take levels along the lane and to either side: a staff and level every 10 m, or a hose level";
        LandingMass = "landing_mass", "Weigh or add up what is on board at touchdown";
        Climb = "climb", "Time a climb with floats at a steady airspeed, and give rate, airspeed, mass and absolute ceiling with the aircraft; until then nobody knows from where the way in can be broken off";
        StallSpeed = "stall_speed", "Find the position error of the airspeed indicator near the stall in the aircraft's manual, and give the calibrated stall speed";
        TouchdownSpeed = "touchdown_speed", "Note the airspeed at touchdown over ten shallow approaches to water";
        Scatter = "scatter", "Fly ten approaches to a line on water, measure where the keels first touch, and give how far past the line each was";
        Cover = "cover", "Say what grows on the field: short grass, long grass or bare soil";
        GrassState = "grass_state", "Say whether the grass is dry, dewy, wet or frozen on the day";
        Wind = "wind", "Measure the wind on the field at the height of the wing: where it comes from, its mean over ten minutes and its gusts";
        Air = "air", "Read temperature, pressure and humidity at the field";
        OutlineAccuracy = "outline_accuracy", "Tape the corners from two fixed marks instead of taking them by phone, paces or eye";
        ObstacleHeight = "obstacle_height", "Measure the height of each tree, hedge, building, pole and wire with tape and clinometer, a wire's at its supports; until then nothing passes over it";
        ObstacleAccuracy = "obstacle_accuracy", "Measure place and height of this one with tape and clinometer, or say how it was measured; until then it could stand nearer and be higher";
        HazardHeight = "hazard_height", "Measure the height of each marked hazard with a stick; until then it counts as reaching the wing";
        Rewalk = "rewalk", "Walk the lane again on the day, tick what was seen and when, and say who did";
        CrosswindLimit = "crosswind_limit", "The owner gives the most crosswind they accept";
        HardnessLimit = "hardness_limit", "The owner, with a licensed engineer, gives the greatest load factor that they accept at touchdown";
        RudderSpeed = "rudder_speed", "Find at which airspeed full rudder no longer holds the nose while the floats slide on grass, in slides made with room to either side, and give it with the aircraft's side view";
        SideMeasures = "side_measures", "Complete the aircraft's side view: length of the flat keel, nose-down moment of the air, area seen from the side with its centre, radius of gyration in yaw";
        AircraftSide = "aircraft_side", "Measure the aircraft from the side on even ground: keel, bow, stern, centre of gravity, thrust line, propeller, and the angle of the wing";
    }
}

words! {
    /// Name of something that would make a lane fit.
    Fix {
        Lighter = "lighter", "Land lighter by this much";
        Headwind = "headwind", "Wait for a steady headwind along the lane of at least this, measured as the day's wind was";
        TouchdownWithin = "touchdown_within", "Keep all touchdowns within this length, from the earliest touchdown on";
        DrierGrass = "drier_grass", "Wait until the grass is dry";
    }
}

words! {
    /// Name of something that this version does not judge.
    NotJudged {
        Abandoning = "abandoning", "From where on the way in it can still be abandoned";
        HollowsAndCrests = "hollows_and_crests", "Hollows, crests and steps along the lane, where levels lie farther apart than the keel is long; one crest that nobody saw is reckoned with in the slide";
        Launch = "launch", "Leaving again from a trailer";
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check<T: Serialize + Copy>(all: &[T], word: impl Fn(T) -> &'static str) {
        for &one in all {
            let json = serde_json::to_string(&one).expect("a word");
            assert_eq!(json, format!("\"{}\"", word(one)));
        }
    }

    #[test]
    fn every_word_is_written_as_the_table_says() {
        check(Code::ALL, Code::word);
        check(What::ALL, What::word);
        check(NotJudged::ALL, NotJudged::word);
        check(Fix::ALL, Fix::word);
    }
}
