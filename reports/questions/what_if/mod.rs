//! What if: a job with some figures of its files moved, held against the files on the very same parts.
//!
//! [`Base`] is the files as they are, read once. [`weigh`] finds what moves their answer most; it rests on
//! the files alone, so what it finds can be kept. [`controls`] are the fields to move, those first.
//! [`Tried`] is what somebody moved; [`Tried::compared`] simulates it, in [`stages`] that sharpen, and
//! [`Tried::tell`] tells it.

mod choices;
mod controls;
mod knob;
mod rail;
mod tell;
mod tried;
mod weigh;
mod words;

use shimcast_sim::axle::Condition;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::chance::run::Until;

use super::context::set_up_as;
use crate::files::{Loaded, Override, Problems, Source, load};

pub use controls::controls;
pub use tried::{Change, Tried};
pub use weigh::{Weighed, weigh};
pub use words::name_of;

/// A job as its files have it.
#[derive(Debug, Clone)]
pub struct Base {
    sources: [Source; 2],
    /// What the files say.
    pub loaded: Loaded,
    /// The job.
    pub setup: Setup,
}

impl Base {
    /// Reads the axle file and the shop file of a job; `anyway` takes figures that no axle has, too.
    ///
    /// # Errors
    /// Everything that is wrong with the files, or because of which there is no such job.
    pub fn read(
        sources: [Source; 2],
        gears: Condition,
        bearings: Condition,
        anyway: bool,
    ) -> Result<Self, Problems> {
        let loaded = load(&sources[0], &sources[1], &[])?.taken(anyway);
        let setup = set_up_as(&loaded, gears, bearings)?;
        Ok(Self {
            sources,
            loaded,
            setup,
        })
    }

    /// What the files say of a key, as TOML, or what is assumed in its place.
    fn value_of(&self, key: &str) -> Option<String> {
        self.loaded.value_of(&key_of(key)?)
    }

    /// The same of a key that takes words, without its quotes.
    fn word_of(&self, key: &str) -> Option<String> {
        Some(self.value_of(key)?.trim_matches('"').to_owned())
    }

    /// The same of a key that takes a figure.
    fn figure_of(&self, key: &str) -> Option<f64> {
        self.value_of(key)?.parse().ok()
    }
}

/// A dotted key without a value of its own.
fn key_of(key: &str) -> Option<Override> {
    format!("{key}=0").parse().ok()
}

/// How far a first answer goes, and each that takes its place: the last one is known to 0.3 points, as
/// the commands' own.
pub fn stages() -> [Until; 3] {
    [
        Until::Rebuilds(8192),
        Until::Rebuilds(32_768),
        Until::Within(0.003),
    ]
}
