//! Records in files: read with limits, written whole or not at all, companions found by name.

use crate::error::BadRecord;
use crate::text;
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::ffi::OsStr;
use std::fs::File;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use thiserror::Error;

/// A kind of record file.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum RecordKind {
    /// A strip.
    Strip,
    /// An aircraft.
    Aircraft,
    /// A day.
    Day,
    /// Settings.
    Settings,
}

impl RecordKind {
    /// Its name in a message.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Strip => "strip",
            Self::Aircraft => "aircraft",
            Self::Day => "day",
            Self::Settings => "settings",
        }
    }

    /// The end of the file names that are written.
    pub const fn suffix(self) -> &'static str {
        match self {
            Self::Strip => ".strip.ron",
            Self::Aircraft => ".aircraft.ron",
            Self::Day => ".day.ron",
            Self::Settings => ".settings.ron",
        }
    }
}

/// Several records could be meant.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
#[error("several {kind} records stand beside the strip and none has its name: {}; choose one with --{kind}", list(.found))]
pub struct Several {
    kind: &'static str,
    found: Vec<PathBuf>,
}

fn list(paths: &[PathBuf]) -> String {
    paths.iter().map(|p| p.display().to_string()).collect::<Vec<_>>().join(", ")
}

/// Reads one record.
///
/// # Errors
/// [`BadRecord`] with the file's name, whether it cannot be read or does not hold such a record.
pub fn read<T: DeserializeOwned>(kind: RecordKind, path: &Path) -> Result<T, BadRecord> {
    let bytes = read_bytes(path, &format!("a record of kind {}", kind.name()))?;
    text::parse(kind.name(), &bytes).map_err(|bad| bad.in_file(path))
}

/// Reads a file, never more than one byte past the limit of a record.
///
/// # Errors
/// [`BadRecord`] if it cannot be read.
pub fn read_bytes(path: &Path, expected: &str) -> Result<Vec<u8>, BadRecord> {
    let unreadable = |e: std::io::Error| BadRecord::file(&reason(&e), expected).in_file(path);
    // Asked before it is opened: opening a pipe waits for whoever writes into it.
    let kind = std::fs::metadata(path).map_err(unreadable)?.file_type();
    if !kind.is_file() {
        return Err(BadRecord::file("something that is not a file", expected).in_file(path));
    }
    let file = File::open(path).map_err(unreadable)?;
    let mut bytes = Vec::new();
    file.take(text::MOST_BYTES as u64 + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    Ok(bytes)
}

fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "a file that may not be read".to_owned(),
        _ => error.to_string(),
    }
}

/// A record could not be written; the old file, if any, is as it was.
#[derive(Debug, Error)]
#[error("{}: could not write: {source}", path.display())]
pub struct NotWritten {
    path: PathBuf,
    source: std::io::Error,
}

/// Writes one record whole or not at all.
///
/// # Errors
/// [`NotWritten`]; the old file is then intact.
pub fn write<T: Serialize>(record: &T, path: &Path) -> Result<(), NotWritten> {
    let failed = |source| NotWritten { path: path.to_owned(), source };
    let text = text::write(record).map_err(|bad| failed(std::io::Error::other(bad)))?;
    // A link stays a link: what it leads to is replaced.
    let target = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    write_bytes(text.as_bytes(), &target).map_err(failed)
}

/// Through a new file in the same folder that takes the old one's place once it is safely on disk.
fn write_bytes(bytes: &[u8], path: &Path) -> std::io::Result<()> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut builder = tempfile::Builder::new();
    // The system's message would name the new file, of which the person knows nothing.
    let plain = |e: std::io::Error| std::io::Error::new(e.kind(), reason_not_written(&e));
    let mut file = builder.prefix(".keelsward-").tempfile_in(folder).map_err(plain)?;
    file.write_all(bytes)?;
    match std::fs::metadata(path) {
        Ok(old) => file.as_file().set_permissions(old.permissions())?,
        Err(_) => readable_by_all(file.as_file())?,
    }
    file.as_file().sync_all()?;
    file.persist(path).map_err(|e| e.error)?;
    Ok(())
}

fn reason_not_written(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "no such folder".to_owned(),
        std::io::ErrorKind::PermissionDenied => "the folder may not be written to".to_owned(),
        kind => kind.to_string(),
    }
}

/// A temporary file is its owner's alone; a record is a document like any other.
#[cfg(unix)]
fn readable_by_all(file: &File) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn readable_by_all(_: &File) -> std::io::Result<()> {
    Ok(())
}

/// The part of a strip's file name before its suffix.
pub fn stem(strip: &Path) -> String {
    let name = strip.file_name().and_then(OsStr::to_str).unwrap_or_default();
    let suffix = RecordKind::Strip.suffix();
    let stem = name.strip_suffix(suffix).or_else(|| name.strip_suffix(".ron")).unwrap_or(name);
    stem.to_owned()
}

/// The record of a kind that belongs to a strip: the one of its own name beside it, else, for an
/// aircraft, the only one in the folder.
///
/// # Errors
/// [`Several`] when there are more and none has the strip's name.
pub fn companion(strip: &Path, kind: RecordKind) -> Result<Option<PathBuf>, Several> {
    let own = strip.with_file_name(format!("{}{}", stem(strip), kind.suffix()));
    if own.is_file() {
        return Ok(Some(own));
    }
    if kind != RecordKind::Aircraft {
        return Ok(None);
    }
    let folder = strip.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    // A folder that cannot be listed has no companions to offer.
    let Ok(entries) = std::fs::read_dir(folder) else { return Ok(None) };
    let of_kind =
        |p: &PathBuf| p.file_name().and_then(OsStr::to_str).is_some_and(|n| n.ends_with(kind.suffix()));
    let mut found: Vec<PathBuf> = entries.flatten().map(|e| e.path()).filter(of_kind).collect();
    found.sort();
    if found.len() > 1 {
        return Err(Several { kind: kind.name(), found });
    }
    Ok(found.pop())
}
