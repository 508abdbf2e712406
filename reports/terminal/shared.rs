//! What several answers say as text.

use std::fmt::Write;

use shimcast_sim::setup::Setup;

use super::Ink;
use crate::files::Assumption;

/// Which job it is.
pub(super) fn title(setup: &Setup) -> String {
    format!(
        "{} at {}: gears {}, bearings {}",
        setup.axle.name,
        setup.shop.name,
        setup.gears.word(),
        setup.bearings.word()
    )
}

/// What an answer that was cut short says of itself.
pub(super) fn partial(rebuilds: u64) -> String {
    format!("PARTIAL: broken off after {rebuilds} rebuilds; the intervals are wider for it.\n")
}

/// Defaults in use that the files do not state.
pub(super) fn assumptions(assumptions: &[Assumption], ink: Ink) -> String {
    if assumptions.is_empty() {
        return String::new();
    }
    let mut text = format!(
        "\n{}\n",
        ink.heading("Assumed, since the files do not say (replace them by your own figures)")
    );
    for assumption in assumptions {
        let _ = writeln!(text, "  {}", assumption.text);
    }
    text
}
