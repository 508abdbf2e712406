//! A shop file with the built-in axle: read, set up, and a few rebuilds there.
#![no_main]

use libfuzzer_sys::fuzz_target;
use shimcast::files::{Source, describe_shop, load};
use shimcast_sim::prelude::*;

fuzz_target!(|text: &str| {
    let shop = Source::Kept("fuzz.shop.toml".into(), text.to_owned());
    if let Ok(loaded) = load(&Source::BuiltIn, &shop, &[]) {
        let study = Study::of(loaded.axle, loaded.shop).seed(1).rebuilds(8);
        if let Ok(odds) = study.odds() {
            assert!((0.0..=1.0).contains(&odds.first_assembly.all.value));
        }
    }
    let _ = describe_shop(&shop);
});
