//! `import`: a strip from a walking survey.

use crate::failure::Failure;
use clap::{Args, ValueEnum};
use measure::shown::LengthUnit;
use measure::typed;
use readings::{ImportOptions, import_gpx};
use std::fmt::Write;
use std::path::{Path, PathBuf};
use strip::Settings;
use strip::file;
use strip::record::How;

#[derive(Args, Debug)]
pub(crate) struct ImportArgs {
    /// The walk, a GPX file: its track is the outline, its waypoints are hazards.
    source: PathBuf,
    /// The strip to write; a file that is already there is kept unless --replace is given.
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
    /// How the positions were taken, for their accuracy.
    #[arg(long, value_enum, default_value = "phone")]
    how: HowArg,
    /// Accuracy (standard deviation of each coordinate) as known, such as "2 m".
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    sigma: Option<String>,
    /// Write over a file that is already there.
    #[arg(long)]
    replace: bool,
}

#[derive(ValueEnum, Clone, Copy, Debug)]
enum HowArg {
    /// A phone's position.
    Phone,
    /// Counted paces.
    Pacing,
    /// A tape.
    Tape,
    /// By eye.
    ByEye,
}

/// Imports, writes, and says what was done.
pub(crate) fn run(args: &ImportArgs) -> Result<String, Failure> {
    if args.output.exists() && !args.replace {
        let there = args.output.display();
        return Err(Failure::Use(format!("{there} is already there; give --replace to write over it")));
    }
    let sigma = args.sigma.as_deref().map(|text| typed::length(text, LengthUnit::Metres)).transpose();
    let sigma = sigma.map_err(|bad| Failure::Use(format!("--sigma: {bad}")))?;
    let options = ImportOptions { how: how(args.how), sigma, settings: Settings::default() };
    let name = args.source.file_name().and_then(|n| n.to_str()).unwrap_or("walk");
    let bytes = file::read_bytes(&args.source, "a GPX file")?;
    let imported = import_gpx(name, &bytes, &options)?;
    file::write(&imported.record, &args.output)?;
    Ok(summary(&args.output, &imported))
}

fn how(arg: HowArg) -> How {
    match arg {
        HowArg::Phone => How::Phone,
        HowArg::Pacing => How::Pacing,
        HowArg::Tape => How::Tape,
        HowArg::ByEye => How::ByEye,
    }
}

fn summary(output: &Path, imported: &readings::Imported) -> String {
    let mut out = String::new();
    let record = &imported.record;
    // Writing into a text cannot fail.
    let _ = writeln!(
        out,
        "{}: {} corners, {} hazards",
        output.display(),
        record.outline.corners.len(),
        record.hazards.len()
    );
    for note in &imported.notes {
        let _ = writeln!(out, "  - {note}");
    }
    out
}
