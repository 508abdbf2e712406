//! What an answer says of what it was made from: the page under its answer, a table at its head.

use crate::given::{Folder, answer, refused};
use crate::page::{check, named, page, parsed, text};

/// Under the answer stand the keys that `--set` changed and what the page is made from; the files
/// are there as they were read.
#[test]
fn the_page_says_what_it_is_made_from() {
    let folder = Folder::new("made");
    let axle = folder.path("mine.axle.toml");
    let short = crate::given::text_of("short.axle.toml");
    let written = format!("\u{feff}# <mine> & \u{e9}\n{short}");
    std::fs::write(&axle, &written).expect("an axle");
    let name = axle.to_str().expect("text");
    let set = "bench.pinion_start=gauge";
    let asked = [
        "--rebuilds",
        "200",
        "--no-stock",
        "--date",
        "2031-04-09",
        "--set",
        set,
    ];
    let html = page(&[&[name][..], &asked].concat());
    check(&html);
    let tree = parsed(&html);
    let made: Vec<String> = named(&tree, &["p"])
        .into_iter()
        .filter(|node| node.attribute("class") == Some("made"))
        .map(text)
        .collect();
    let [made] = made.as_slice() else {
        panic!("one line: {made:?}");
    };
    assert!(made.contains("200 rebuilds, seed 1, 2031-04-09; axle file mine.axle.toml, CRC-32 "));
    assert!(!made.contains(name) && made.contains("shop file north-bench.shop.toml (built-in)"));
    let cells: Vec<String> = named(&tree, &["th", "td"]).into_iter().map(text).collect();
    let row = ["bench.pinion_start", "old pack", "gauge"];
    assert!(cells.windows(3).any(|cells| cells == row));
    let texts: Vec<String> = named(&tree, &["pre"]).into_iter().map(text).collect();
    let shop = crate::given::text_of("north-bench.shop.toml");
    assert_eq!(texts.len(), 2);
    assert_eq!(
        (texts[0].as_str(), texts[1].as_str()),
        (written.as_str(), shop)
    );
}

/// What a table was made from stands at its head, in lines that its readers pass over.
#[test]
fn tables_say_what_they_are_made_from() {
    let ask = [
        "odds",
        "--sample",
        "1",
        "--csv",
        "-",
        "--date",
        "2031-04-09",
    ];
    let set = [
        "--set",
        "bench.pinion_start=gauge",
        "--set",
        "windows.depth=0.2",
    ];
    let table = answer(&[&ask[..], &set].concat());
    let head: Vec<&str> = table.lines().filter(|line| line.starts_with('#')).collect();
    assert_eq!(
        head[0],
        "# Rowan 215 at North Bench: gears new, bearings new"
    );
    assert!(
        head[1].ends_with("1 rebuild, seed 1, 2031-04-09"),
        "{table}"
    );
    assert!(head[2].starts_with("# axle file rowan-215.axle.toml (built-in), CRC-32 "));
    assert!(head[3].starts_with("# shop file north-bench.shop.toml (built-in), CRC-32 "));
    assert_eq!(
        head[4],
        "# --set bench.pinion_start = gauge; the file: old pack"
    );
    assert!(head[5].starts_with("# --set windows.depth = 0.2; the file: "));
    assert_eq!(head.len(), 6);
    // no clock is read
    assert!(!answer(&ask[..5]).contains("-04-"));
    for wrong in ["2031-02-29", "2031-4-9", "09.04.2031", "2031-13-01"] {
        refused(&["odds", "--date", wrong], 2);
    }
}
