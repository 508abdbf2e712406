//! An axle file at the built-in shop: read, set up, and a few rebuilds of it.
#![no_main]

use libfuzzer_sys::fuzz_target;
use shimcast::files::{Source, describe_axle, load};
use shimcast_sim::prelude::*;

fuzz_target!(|text: &str| {
    let axle = Source::Kept("fuzz.axle.toml".into(), text.to_owned());
    if let Ok(loaded) = load(&axle, &Source::BuiltIn, &[]) {
        let study = Study::of(loaded.axle, loaded.shop).seed(1).rebuilds(8);
        if let Ok(odds) = study.odds() {
            assert!((0.0..=1.0).contains(&odds.first_assembly.all.value));
        }
    }
    let _ = describe_axle(&axle, None);
});
