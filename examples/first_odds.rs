//! The first odds: `cargo run --release --example first_odds`.

use shimcast_sim::prelude::*;

fn main() -> Result<(), Vec<Flaw>> {
    let study = Study::of(demo::axle(), demo::shop());
    let Estimate {
        value, low, high, ..
    } = study.seed(1).rebuilds(100_000).odds()?.first_assembly.all;
    println!("Right at the first assembly: {value:.3} ({low:.3} to {high:.3})");
    Ok(())
}
