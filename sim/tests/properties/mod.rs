//! What holds of every axle in every shop, tried on jobs made at random.
//!
//! Which jobs is fixed, so that a property holds on every run or on none. `PROPTEST_CASES` asks for more of them.

mod jobs;
mod rebuilds;
mod windows;

pub(crate) use jobs::{Job, jobs};

use proptest::strategy::Strategy;
use proptest::test_runner::{Config, RngAlgorithm, TestCaseResult, TestRng, TestRunner};

/// Holds a property against so many cases, or as many as `PROPTEST_CASES` says; one that breaks it is made as
/// simple as it gets.
pub(crate) fn holds<S: Strategy>(cases: u32, of: S, property: impl Fn(S::Value) -> TestCaseResult) {
    let asked = std::env::var("PROPTEST_CASES").ok();
    let config = Config {
        cases: asked.map_or(cases, |cases| cases.parse().expect("a number of cases")),
        failure_persistence: None,
        max_shrink_iters: 2_000,
        ..Config::default()
    };
    let dice = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(config, dice);
    if let Err(broken) = runner.run(&of, property) {
        panic!("{broken}");
    }
}
