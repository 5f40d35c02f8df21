//! What DEVELOPERS.md promises of the tree: which crate names which, where serde is, module heads.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Names under `[dependencies]` of a crate.
fn dependencies(name: &str) -> Vec<String> {
    let path = root().join("crates").join(name).join("Cargo.toml");
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    text.lines()
        .skip_while(|l| *l != "[dependencies]")
        .skip(1)
        .take_while(|l| !l.starts_with('['))
        .filter_map(|l| l.split(['.', ' ', '=']).next().map(str::to_owned))
        .filter(|n| !n.is_empty())
        .collect()
}

#[test]
fn arrows_between_crates_go_one_way() {
    let allowed: BTreeMap<&str, &[&str]> = BTreeMap::from([
        ("measure", &[][..]),
        ("ground", &["measure"][..]),
        ("slide", &["measure"][..]),
        ("strip", &["measure", "ground", "slide"][..]),
        ("readings", &["measure", "ground", "slide", "strip"][..]),
        ("app", &["measure", "ground", "slide", "strip", "readings"][..]),
    ]);
    let folders = std::fs::read_dir(root().join("crates")).expect("crates").flatten();
    let mut seen = 0;
    for folder in folders {
        let name = folder.file_name().into_string().expect("a plain name");
        let may = allowed.get(name.as_str()).unwrap_or_else(|| panic!("{name} is not in the graph"));
        for named in dependencies(&name).iter().filter(|d| allowed.contains_key(d.as_str())) {
            assert!(may.contains(&named.as_str()), "{name} must not name {named}");
        }
        seen += 1;
    }
    assert_eq!(seen, allowed.len());
}

#[test]
fn the_core_knows_no_serde() {
    for name in ["measure", "ground", "slide"] {
        assert!(!dependencies(name).iter().any(|d| d.starts_with("serde") || d == "ron"), "{name}");
    }
}

fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("a folder").flatten() {
        let path = entry.path();
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

fn all_sources() -> Vec<PathBuf> {
    let mut out = Vec::new();
    sources(&root().join("crates"), &mut out);
    sources(&root().join("tests/src"), &mut out);
    sources(&root().join("tests/tests"), &mut out);
    assert!(out.len() > 50, "the tree was found");
    out
}

#[test]
fn every_module_says_what_it_is() {
    for path in all_sources() {
        let text = std::fs::read_to_string(&path).expect("text");
        assert!(text.starts_with("//! "), "{} has no head", path.display());
    }
}

#[test]
fn the_core_reads_no_file_and_no_clock() {
    let mut core = Vec::new();
    for name in ["measure", "ground", "slide"] {
        sources(&root().join("crates").join(name).join("src"), &mut core);
    }
    for path in core {
        let text = std::fs::read_to_string(&path).expect("text");
        for word in ["std::fs", "std::time", "SystemTime", "Instant", "std::env"] {
            assert!(!text.contains(word), "{} names {word}", path.display());
        }
    }
}
