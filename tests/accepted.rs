//! Packs that are kept though not all that was read of them is inside.

use shimcast::files::BENCH_JOB;

use crate::given::has;
use crate::next::{flowing, json, screen};

/// The first assembly of the example, with other backlash.
fn read(backlash: &str) -> String {
    let first = BENCH_JOB.text.rfind("[[assemblies]]").expect("assemblies");
    BENCH_JOB.text[..first].replace("0.15, 0.17, 0.18, 0.15", backlash)
}

#[test]
fn it_is_said_why_nothing_better_is_to_be_had() {
    const WHY: &str = "were not all read inside their windows; these packs are kept all the same, since no \
                       other move is seen to end right more often than";
    // no assembly is left but the final one
    let last = ["--set", "bench.most_assemblies=2"];
    let outside = read("0.19, 0.21, 0.22, 0.19");
    let told = flowing(&screen(&outside, &last));
    has(&told, "Accept these packs");
    has(&told, WHY);
    has(&told, "and the cheapest of them costs +");
    // what reads inside needs no reason, and what is not accepted has none
    for (text, set) in [(BENCH_JOB.text, &[][..]), (&outside, &[])] {
        assert!(!flowing(&screen(text, set)).contains("all the same"));
    }
}

#[test]
fn no_readings_are_expected_where_none_follow() {
    let none = ["--set", "bench.most_assemblies=1"];
    let text = read("0.19, 0.21, 0.22, 0.19");
    let told = screen(&text, &none);
    assert!(!told.contains("NaN"), "{told}");
    assert!(json(&text, &none)["expected"].is_null());
}
