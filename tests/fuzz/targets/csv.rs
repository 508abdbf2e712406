//! Every reader of CSV: tooth pairs, measured values, an offer, the count of a drawer.
#![no_main]

use std::path::PathBuf;
use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use shimcast::files::{BUILT_IN_AXLE, Counts, LoadedShop, Source, load, load_pairs, load_shop, offer};

static FOLDER: LazyLock<PathBuf> = LazyLock::new(|| {
    let folder = std::env::temp_dir().join(format!("shimcast-fuzz-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a temporary folder");
    folder
});
static SHOP: LazyLock<LoadedShop> =
    LazyLock::new(|| load_shop(&Source::BuiltIn, &[]).expect("the built-in shop"));

fuzz_target!(|text: &str| {
    let _ = load_pairs(&Source::Kept("fuzz.csv".into(), text.to_owned()));
    let list = FOLDER.join("fuzz.csv");
    std::fs::write(&list, text).expect("a temporary file");
    let measured = r#"{ shape = "measured", from = "fuzz.csv", column = "height" }"#;
    let axle = BUILT_IN_AXLE.text.replace("{ nominal = 121.00, tol = 0.06 }", measured);
    let axle = Source::Kept(FOLDER.join("fuzz.axle.toml"), axle);
    let _ = load(&axle, &Source::BuiltIn, &[]);
    let _ = offer(&list, &SHOP.shop);
    let _ = Counts::open(&list, &SHOP.shop);
});
