//! A fingerprint of the inputs: equal inputs, equal fingerprint.
//!
//! SHA-256 over the program's version and the inputs' debug text, in which every number stands in its
//! shortest form that reads back exactly.

use crate::Inputs;
use sha2::{Digest, Sha256};
use std::fmt::{self, Write};

struct Hashing(Sha256);

impl Write for Hashing {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.0.update(text.as_bytes());
        Ok(())
    }
}

/// First 16 hexadecimal digits.
pub(crate) fn of(inputs: &Inputs, version: &str) -> String {
    let mut hashing = Hashing(Sha256::new());
    // Writing into a hash cannot fail, and a debug text that did would only be shorter.
    let _ = write!(hashing, "{version} {inputs:?}");
    hashing.0.finalize().iter().take(8).fold(String::new(), |mut out, byte| {
        let _ = write!(out, "{byte:02x}");
        out
    })
}
