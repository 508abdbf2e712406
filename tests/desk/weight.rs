//! What the desk weighs on the machine that it runs on.

use std::thread;

use super::Desk;

/// Five rooms opened at the same moment, two of them planning the drawer, and then what else is there.
#[test]
#[cfg_attr(debug_assertions, ignore = "slow without optimisation: use --release")]
fn five_tabs_take_little_memory() {
    let desk = Desk::with_starters("five-tabs");
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
    assert!(peak < 80_000, "{peak} kB");
}
