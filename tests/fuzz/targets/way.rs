//! `--way` as it is typed.
#![no_main]

use clap::Parser;
use libfuzzer_sys::fuzz_target;
use shimcast::cli::Cli;

fuzz_target!(|text: &str| {
    // no argument of a program holds a zero byte
    if !text.contains('\0') {
        let _ = Cli::try_parse_from(["shimcast", "compare", "--way", text]);
    }
});
