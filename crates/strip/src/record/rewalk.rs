//! What a walk on the day has to see, and when each of it was seen.
//!
//! One table gives the words of the file, the names on screen, and the help.

use serde::{Deserialize, Serialize};

macro_rules! to_see {
    ($($variant:ident = $name:literal, $help:literal;)*) => {
        /// One thing to see on the day.
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
        pub enum ToSee {
            $(#[doc = $help] $variant,)*
        }

        impl ToSee {
            /// The whole list, in the order in which it is walked.
            pub const ALL: &[Self] = &[$(Self::$variant,)*];

            /// What it is called.
            pub const fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)* }
            }

            /// What to do, in a sentence.
            pub const fn help(self) -> &'static str {
                match self { $(Self::$variant => $help,)* }
            }
        }
    };
}

to_see! {
    KeelTracks = "keel tracks walked both ways", "Walk both keel tracks from end to end and back, looking for stones, holes, ruts, wire and soft ground";
    Gates = "gates", "Look at every gate: shut against stock, or open where help has to come in";
    Stock = "stock", "See that no animals are on the field, and that none can come onto it";
    Machinery = "machinery", "See that no machine, trailer, bale or trough stands where the wings pass, and that nobody is about to work there";
    Wires = "wires looked for from the side", "Look along the way in from the side for wires and poles: from ahead a wire cannot be seen";
    WaterRudders = "water rudders up", "See that the water rudders are up and held";
    FloatsDry = "floats pumped dry", "Pump every compartment of the floats; water in them is weight that moves";
    Helper = "helper", "Somebody stands by, knows the plan and where to stand, and can call help";
    Telephone = "telephone", "The helper's telephone has been tried from the field";
    Extinguisher = "fire extinguisher", "A fire extinguisher stands ready with the helper";
}

/// One thing seen.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeenRecord {
    /// What.
    pub what: ToSee,
    /// When: hours and minutes of the day, as the day's own time is written.
    pub at: String,
}
