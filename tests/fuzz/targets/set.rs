//! `--set KEY=VALUE` over the built-in files.
#![no_main]

use libfuzzer_sys::fuzz_target;
use shimcast::files::{Override, Source, load};
use shimcast_sim::prelude::*;

fuzz_target!(|text: &str| {
    let Ok(set) = text.parse::<Override>() else {
        return;
    };
    if let Ok(loaded) = load(&Source::BuiltIn, &Source::BuiltIn, &[set]) {
        let _ = Study::of(loaded.axle, loaded.shop).seed(1).rebuilds(8).odds();
    }
});
