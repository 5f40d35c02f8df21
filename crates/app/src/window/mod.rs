//! The window.

use crate::failure::Failure;
use crate::inputs::Records;
use measure::shown::Units;

/// Whether there is a display to open a window on.
pub fn display_available() -> bool {
    false
}

/// Runs the window until it is closed.
///
/// # Errors
/// [`Failure::Window`].
pub fn run(_records: Option<Records>, _units: Units) -> Result<(), Failure> {
    Ok(())
}
