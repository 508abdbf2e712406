//! A job file beside the Rowan axle.
#![no_main]

use std::path::PathBuf;
use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use shimcast::files::{BUILT_IN_AXLE, Source, load_kept_job};

static BESIDE: LazyLock<PathBuf> = LazyLock::new(|| {
    let folder = std::env::temp_dir().join(format!("shimcast-fuzz-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a temporary folder");
    std::fs::write(folder.join(BUILT_IN_AXLE.name), BUILT_IN_AXLE.text).expect("a file");
    folder.join("fuzz.job.toml")
});

fuzz_target!(|text: &str| {
    let job = Source::Kept(BESIDE.clone(), text.to_owned());
    let _ = load_kept_job(&job, &Source::BuiltIn, &[]);
});
