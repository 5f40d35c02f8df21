//! What benches and unit tests share: the samples.

use std::path::Path;
use strip::file::{RecordKind, read};
use strip::record::{AircraftRecord, DayRecord, StripRecord};
use strip::{Aircraft, Day, Inputs, Settings, Strip};

/// A sample with its aircraft and day.
pub fn inputs(name: &str) -> Inputs {
    inputs_with(name, |_| ())
}

/// The same, its strip changed beforehand.
pub fn inputs_with(name: &str, change: impl FnOnce(&mut StripRecord)) -> Inputs {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-strips");
    let path = |kind: RecordKind| folder.join(format!("{name}{}", kind.suffix()));
    let mut strip: StripRecord = read(RecordKind::Strip, &path(RecordKind::Strip)).expect("a sample");
    change(&mut strip);
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
