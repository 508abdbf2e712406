//! What the desk weighs on the machine that it runs on.

use std::thread;

use super::Desk;

/// What a desk may take, kB.
const MOST: u64 = 80_000;

/// Which heap of the C library each run gets, and which of them stand at their peaks at the same moment, is
/// chance, the more so beside other work: where one desk takes more, another one is asked.
#[test]
#[cfg_attr(debug_assertions, ignore = "slow without optimisation: use --release")]
fn five_tabs_take_little_memory() {
    let mut peaks = ["five-tabs", "five-tabs-again"]
        .into_iter()
        .map(peak_of_five_tabs);
    assert!(
        peaks.any(|peak| peak < MOST),
        "two desks took more than {MOST} kB each"
    );
}

/// Five rooms opened at the same moment, two of them planning the drawer, and then what else is there.
fn peak_of_five_tabs(name: &str) -> u64 {
    let desk = Desk::with_starters(name);
    let rounds: [&[&str]; 3] = [
        &[
            "/bench?file=rowan-bench.job.toml",
            "/what-if",
            "/quote",
            "/drawer",
            "/why",
        ],
        &["/report?page=shop", "/quote?axle=sorrel-71.axle.toml"],
        &["/files?file=rowan-215.axle.toml", "/lessons"],
    ];
    for paths in rounds {
        thread::scope(|tabs| {
            for path in paths {
                let desk = &desk;
                tabs.spawn(move || {
                    let page = desk.get(path);
                    assert_eq!(page.status, 200, "{path}: {}", page.body);
                });
            }
        });
    }
    let peak = desk.peak_memory();
    println!("{peak} kB");
    peak
}
