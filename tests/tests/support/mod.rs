//! What several acceptance tests share: the sample strips, records changed in their text, an
//! assessment of them, and the program itself.

#![allow(dead_code, reason = "every test file is a program of its own and uses its own part of this")]

pub mod answers;
pub mod oracle;
pub mod plain;
pub mod wild;
pub mod window;

use app::inputs::{Records, Sources};
use proptest::prelude::ProptestConfig;
use serde::de::DeserializeOwned;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::atomic::AtomicBool;
use strip::file::RecordKind;
use strip::record::{AircraftRecord, DayRecord, StripRecord};
use strip::{
    Aircraft, Assessment, Control, Day, Inputs, Memory, Settings, Strip, assess, assess_preview, text,
};

/// The invented strips that come with the program.
pub const SAMPLES: [&str; 5] =
    ["bramblewick-flat", "otterhollow-shelf", "thimble-croft", "greywether-long-field", "cobblesea-moor"];

/// Kinds of record that every sample has.
pub const KINDS: [RecordKind; 3] = [RecordKind::Strip, RecordKind::Aircraft, RecordKind::Day];

/// As many random cases as the environment asks for, or these.
pub fn config(cases: u32) -> ProptestConfig {
    let asked = std::env::var("PROPTEST_CASES").ok().and_then(|n| n.parse().ok());
    ProptestConfig { cases: asked.unwrap_or(cases), failure_persistence: None, ..ProptestConfig::default() }
}

/// File of a sample.
pub fn sample_path(name: &str, kind: RecordKind) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-strips").join(format!("{name}{}", kind.suffix()))
}

/// Text of a sample.
pub fn sample(name: &str, kind: RecordKind) -> String {
    std::fs::read_to_string(sample_path(name, kind)).expect("a sample that is there")
}

/// A text with one passage changed, which must stand there.
#[track_caller]
pub fn changed(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "the sample no longer holds {from}");
    text.replacen(from, to, 1)
}

/// The three records of one judgement, to be changed at will.
#[derive(Clone, PartialEq, Debug)]
pub struct Trio {
    pub strip: StripRecord,
    pub aircraft: AircraftRecord,
    pub day: DayRecord,
}

impl Trio {
    /// Those of a sample.
    pub fn sample(name: &str) -> Self {
        Self {
            strip: parsed(name, RecordKind::Strip),
            aircraft: parsed(name, RecordKind::Aircraft),
            day: parsed(name, RecordKind::Day),
        }
    }

    /// Made valid.
    pub fn inputs(&self, settings: Settings) -> Inputs {
        Inputs {
            strip: Strip::new(&self.strip, &settings).expect("a valid strip"),
            aircraft: Some(Aircraft::new(&self.aircraft).expect("a valid aircraft")),
            day: Some(Day::new(&self.day).expect("a valid day")),
            settings,
        }
    }

    /// Looked at a first time with settings: fewer points, and no gains.
    pub fn glanced(&self, settings: Settings) -> Assessment {
        let never = AtomicBool::new(false);
        let control = Control { cancelled: &never, progress: &|_| {} };
        assess_preview(&self.inputs(settings), &control, &mut Memory::default()).expect("not cancelled")
    }

    /// Judged with settings.
    pub fn judged(&self, settings: Settings) -> Assessment {
        judged(&self.inputs(settings))
    }
}

fn parsed<T: DeserializeOwned>(name: &str, kind: RecordKind) -> T {
    text::parse(kind.name(), sample(name, kind).as_bytes()).expect("a valid sample")
}

/// Inputs as the program reads them, from files.
pub fn read_inputs(strip: &Path) -> Inputs {
    let sources = Sources { strip: strip.to_owned(), ..Sources::default() };
    Records::read(&sources).expect("readable records").inputs().expect("valid records")
}

/// The assessment, never cancelled.
pub fn judged(inputs: &Inputs) -> Assessment {
    let never = AtomicBool::new(false);
    assess(inputs, &Control { cancelled: &never, progress: &|_| {} }).expect("not cancelled")
}

/// What the program did.
#[derive(Clone, PartialEq, Debug)]
pub struct Ran {
    pub code: Option<i32>,
    pub out: String,
    pub err: String,
}

/// The program's file: it stands beside the folder of the tests' own programs.
pub fn program_path() -> PathBuf {
    let own = std::env::current_exe().expect("the test's own file");
    let name = format!("keelsward{}", std::env::consts::EXE_SUFFIX);
    let found = own.ancestors().skip(1).map(|folder| folder.join(&name)).find(|file| file.is_file());
    found.unwrap_or_else(|| panic!("the program {name} is not built; run `cargo build -p app` first"))
}

/// The program without a display, so that no window can open.
pub fn program() -> Command {
    let mut command = Command::new(program_path());
    without_display(&mut command);
    command
}

/// Takes the display away from a command.
pub fn without_display(command: &mut Command) {
    command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY").stdin(Stdio::null());
}

/// Runs a command to its end.
pub fn finished(command: &mut Command) -> Ran {
    let output = command.output().expect("the program starts");
    Ran {
        code: output.status.code(),
        out: String::from_utf8(output.stdout).expect("text on standard output"),
        err: String::from_utf8(output.stderr).expect("text on standard error"),
    }
}

/// Runs the program with arguments.
pub fn run<A: AsRef<std::ffi::OsStr>>(args: impl IntoIterator<Item = A>) -> Ran {
    finished(program().args(args))
}

/// A folder with the files of a sample, each under its own name.
pub fn folder_of(name: &str, kinds: &[RecordKind]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder for the test");
    for &kind in kinds {
        let file = folder.path().join(format!("{name}{}", kind.suffix()));
        std::fs::copy(sample_path(name, kind), file).expect("a copy of a sample");
    }
    folder
}
