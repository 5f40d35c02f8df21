//! The command line: one verb a file, and the window where no verb is given.

mod import;
mod lanes;
mod report;

use crate::failure::Failure;
use crate::inputs::{Records, Sources};
use crate::window;
use clap::{Args, Parser, Subcommand, ValueEnum};
use measure::shown::Units;
use std::io::{self, ErrorKind, Write};
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::atomic::AtomicBool;
use strip::{Assessment, Control, assess};

/// Can this floatplane be landed on that field of grass? Without a verb the window opens.
///
/// A planning aid: the aircraft's manual, a licensed engineer's inspection, the law of the place, the
/// landowner's permission and the pilot's judgement on the day come first.
#[derive(Parser, Debug)]
#[command(name = "keelsward", version, args_conflicts_with_subcommands = true)]
struct CommandLine {
    #[command(subcommand)]
    verb: Option<Verb>,
    #[command(flatten)]
    window: WindowArgs,
}

#[derive(Args, Debug)]
struct WindowArgs {
    /// Strip to open in the window.
    file: Option<PathBuf>,
    #[command(flatten)]
    companions: Companions,
    #[command(flatten)]
    shown: Shown,
}

#[derive(Subcommand, Debug)]
enum Verb {
    /// Judge a strip and say why.
    Assess(Judging),
    /// Show the lanes found, the longest first; as JSON with length by heading.
    Lanes(Judging),
    /// Make a strip from a walking survey (GPX).
    Import(import::ImportArgs),
    /// List the settings with value, default and where each comes from.
    Settings(SettingsArgs),
}

#[derive(Args, Debug)]
struct Judging {
    /// The strip.
    file: PathBuf,
    #[command(flatten)]
    companions: Companions,
    #[command(flatten)]
    shown: Shown,
    /// Write one JSON object instead of text.
    #[arg(long)]
    json: bool,
}

#[derive(Args, Debug, Default)]
struct Companions {
    /// The aircraft; else NAME.aircraft.ron beside the strip, else the only one there.
    #[arg(long, value_name = "FILE")]
    aircraft: Option<PathBuf>,
    /// The day; else NAME.day.ron beside the strip.
    #[arg(long, value_name = "FILE")]
    day: Option<PathBuf>,
    /// The settings; else NAME.settings.ron beside the strip, else the defaults.
    #[arg(long, value_name = "FILE")]
    settings: Option<PathBuf>,
}

#[derive(Args, Debug)]
struct Shown {
    /// Units of the text.
    #[arg(long, value_enum, default_value = "metric")]
    units: UnitsArg,
}

#[derive(Args, Debug)]
struct SettingsArgs {
    /// A settings file to show; else the defaults.
    #[arg(long, value_name = "FILE")]
    settings: Option<PathBuf>,
}

#[derive(ValueEnum, Clone, Copy, Debug)]
enum UnitsArg {
    /// Metres, metres per second, kilograms.
    Metric,
    /// Feet, knots, pounds.
    Feet,
}

impl UnitsArg {
    fn units(self) -> Units {
        match self {
            Self::Metric => Units::METRIC,
            Self::Feet => Units::FEET,
        }
    }
}

impl Companions {
    fn sources(self, strip: PathBuf) -> Sources {
        let Self { aircraft, day, settings } = self;
        Sources { strip, aircraft, day, settings }
    }
}

/// Reads the command line, does what it says, and ends with the documented exit code.
pub fn main() -> ExitCode {
    match CommandLine::try_parse() {
        Ok(line) => match run(line) {
            Ok(()) => ExitCode::SUCCESS,
            // A reader that has seen enough is no failure.
            Err(Failure::Output(e)) if e.kind() == ErrorKind::BrokenPipe => ExitCode::SUCCESS,
            Err(failure) => complain(&failure),
        },
        Err(clap) => {
            // Help and version are answers; the rest is bad use, which clap numbers 2 as well.
            let code = if clap.use_stderr() { ExitCode::from(2) } else { ExitCode::SUCCESS };
            match clap.print() {
                Err(e) if e.kind() != ErrorKind::BrokenPipe => complain(&Failure::Output(e)),
                _ => code,
            }
        }
    }
}

/// Says what went wrong; where nobody listens any more, the exit code says it alone.
fn complain(failure: &Failure) -> ExitCode {
    let _ = writeln!(io::stderr(), "keelsward: {failure}");
    failure.exit_code()
}

fn run(line: CommandLine) -> Result<(), Failure> {
    match line.verb {
        Some(Verb::Assess(args)) => {
            let (json, units) = (args.json, args.shown.units.units());
            let records = Records::read(&args.companions.sources(args.file))?;
            let assessment = judged(&records)?;
            let text =
                if json { to_json(&assessment)? } else { report::assessment(&records, &assessment, units) };
            say(&text)
        }
        Some(Verb::Lanes(args)) => {
            let (json, units) = (args.json, args.shown.units.units());
            let records = Records::read(&args.companions.sources(args.file))?;
            let assessment = judged(&records)?;
            let text =
                if json { to_json(&lanes::json(&assessment))? } else { lanes::text(&assessment, units) };
            say(&text)
        }
        Some(Verb::Import(args)) => say(&import::run(&args)?),
        Some(Verb::Settings(args)) => {
            let settings = crate::inputs::settings(args.settings.as_deref())?;
            say(&report::settings(&settings))
        }
        None => open_window(line.window),
    }
}

/// The window, or where there is no display, one line saying so and the assessment as text.
fn open_window(args: WindowArgs) -> Result<(), Failure> {
    let units = args.shown.units.units();
    let sources = args.file.map(|file| args.companions.sources(file));
    // Read before a window opens, so that a bad file is one message and not an empty window.
    let records = sources.as_ref().map(Records::read).transpose()?;
    let inputs = records.as_ref().map(Records::inputs).transpose()?;
    let why = if window::display_available() {
        match window::run(records.clone(), units) {
            Ok(()) => return Ok(()),
            Err(failure) => format!("No window here ({failure})"),
        }
    } else {
        "No display here, so no window".to_owned()
    };
    match (records, inputs) {
        (Some(records), Some(inputs)) => {
            let report = report::assessment(&records, &assessed(&inputs)?, units);
            say(&format!("{why}; the assessment as text:\n\n{report}"))
        }
        _ => Err(Failure::Use(format!("{why}; give a strip to assess (see --help)"))),
    }
}

fn judged(records: &Records) -> Result<Assessment, Failure> {
    assessed(&records.inputs()?)
}

fn assessed(inputs: &strip::Inputs) -> Result<Assessment, Failure> {
    let never = AtomicBool::new(false);
    let control = Control { cancelled: &never, progress: &|_| {} };
    assess(inputs, &control).map_err(|cancelled| Failure::Use(cancelled.to_string()))
}

fn to_json(value: &impl serde::Serialize) -> Result<String, Failure> {
    serde_json::to_string(value).map_err(|e| Failure::Output(io::Error::other(e)))
}

fn say(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    writeln!(out, "{}", text.trim_end())?;
    out.flush()?;
    Ok(())
}
