//! What benches share.

use std::path::Path;
use strip::file::{RecordKind, read};
use strip::record::{AircraftRecord, DayRecord, StripRecord};
use strip::{Aircraft, Day, Inputs, Settings, Strip};

/// A sample with its aircraft and day.
pub fn inputs(name: &str) -> Inputs {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-strips");
    let path = |kind: RecordKind| folder.join(format!("{name}{}", kind.suffix()));
    let strip: StripRecord = read(RecordKind::Strip, &path(RecordKind::Strip)).expect("a sample");
    let aircraft: AircraftRecord = read(RecordKind::Aircraft, &path(RecordKind::Aircraft)).expect("a sample");
    let day: DayRecord = read(RecordKind::Day, &path(RecordKind::Day)).expect("a sample");
    let settings = Settings::default();
    Inputs {
        strip: Strip::new(&strip, &settings).expect("valid"),
        aircraft: Some(Aircraft::new(&aircraft).expect("valid")),
        day: Some(Day::new(&day).expect("valid")),
        settings,
    }
}
