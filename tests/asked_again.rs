//! What people type at first, and what they are told: the option that is missing, the file that was
//! meant, the way a figure is written.

use shimcast::files::{Source, load, load_shop};

use crate::given::{
    Folder, answer, has, json, number, program, read, refused, run, said, set, text_of,
};

#[test]
fn a_shop_file_in_the_wrong_place_is_told_its_option() {
    let (axle, shop) = (
        "examples/rowan-215.axle.toml",
        "examples/north-bench.shop.toml",
    );
    for arguments in [
        &["odds", axle, shop][..],
        &["stock", shop],
        &["sweep", "bench.guard=0..0.1", axle, shop],
    ] {
        has(&refused(arguments, 2), "a shop file is named with --shop");
    }
    has(
        &refused(&["odds", shop], 2),
        "help: a shop file is named with --shop FILE",
    );
    has(
        &refused(&["odds", "--shop", axle], 2),
        "an axle file is named by itself",
    );
    let of_another_shop = refused(&["odds", "examples/tamarack-88.axle.toml"], 2);
    has(
        &of_another_shop,
        "name the shop that has `F-44` with --shop FILE",
    );
}

#[test]
fn a_file_in_a_folder_below_is_found() {
    let folder = Folder::new("below");
    std::fs::create_dir_all(folder.path("mine/axles")).expect("a folder");
    for name in ["mine/axles/blue.axle.toml", "short.axle.toml"] {
        std::fs::write(folder.path(name), "").expect("a file");
    }
    let told = |name: &str| {
        let output = program(&["check", name])
            .current_dir(folder.path(""))
            .output();
        let output = output.expect("the program starts");
        assert_eq!(output.status.code(), Some(3));
        said(&output.stderr)
    };
    has(
        &told("blue.axle.toml"),
        "did you mean `mine/axles/blue.axle.toml`?",
    );
    has(&told("shrt.axle.toml"), "did you mean `short.axle.toml`?");
    // the same ending makes no names alike
    assert!(!told("foo.axle.toml").contains("did you mean"));
}

#[test]
fn an_axle_file_that_a_shop_names_is_told_at_the_shops_line() {
    let folder = Folder::new("jobs");
    let text = text_of("north-bench.shop.toml");
    folder.file("own.shop.toml", text.as_bytes());
    let path = folder.path("own.shop.toml");
    let name = path.to_str().expect("text");
    let said = refused(&["stock", "--shop", name], 3);
    let line = 1 + text
        .lines()
        .position(|line| line.contains("rowan-215"))
        .expect("the job");
    has(&said, &format!("own.shop.toml:{line}:"));
    has(&said, "there is no such file");
}

#[test]
fn units_are_taken_by_every_word_that_is_certain() {
    let plain = read(&Source::BuiltIn, &Source::BuiltIn, &[]);
    for word in ["Nm", "N m", "N·m"] {
        let torque = format!("axle.torque={word}");
        assert_eq!(
            read(&Source::BuiltIn, &Source::BuiltIn, &[&torque]).axle,
            plain.axle
        );
    }
    let sorrel = crate::given::example("sorrel-71.axle.toml");
    let inches = read(&sorrel, &Source::BuiltIn, &[]);
    for (length, torque) in [("inch", "in-lb"), ("inches", "in lb"), ("\"\\\"\"", "inlb")] {
        let words = [
            format!("axle.length={length}"),
            format!("axle.torque={torque}"),
        ];
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let loaded = load(&sorrel, &Source::BuiltIn, &set(&words));
        assert_eq!(loaded.unwrap_or_else(|e| panic!("{e}")).axle, inches.axle);
    }
}

#[test]
fn a_way_may_keep_gears_and_bearings() {
    let ways = ["--way", "all new:", "--way", "bearings kept: bearings=kept"];
    let asked = [&["compare", "--rebuilds", "1000"], &ways[..]].concat();
    has(&answer(&asked), "what is renewed as each way says");
    let compared = json(&[&asked[..], &["--json"]].concat());
    let kept = json(&["odds", "--rebuilds", "1000", "--bearings", "kept", "--json"]);
    assert_eq!(
        compared["ways"][1]["handed_over"]["value"],
        kept["handed_over"]["all"]["value"]
    );
    has(
        &refused(&["compare", "--way", "a: gears=old"], 2),
        "write new or kept",
    );
}

#[test]
fn examples_in_errors_have_the_digits_that_people_write() {
    let said = refused(
        &[
            "odds",
            "examples/sorrel-71.axle.toml",
            "--set",
            "windows.backlash=5",
        ],
        2,
    );
    has(&said, "write backlash = [0.0051, 0.0079]");
}

#[test]
fn tyres_sized_by_their_diameter_are_known() {
    let by_code = json(&[
        "ratio",
        "--old-tyre",
        "33x12.50R15",
        "--new-tyre",
        "35x12.50R17LT",
        "--json",
    ]);
    let by_inches = json(&[
        "ratio",
        "--old-tyre",
        "33in",
        "--new-tyre",
        "35in",
        "--json",
    ]);
    assert_eq!(by_code["effective"], by_inches["effective"]);
    assert!(by_code["effective"].is_object(), "{by_code}");
}

#[test]
fn starter_files_in_inches_are_the_same_axle_and_shop() {
    let folder = Folder::new("inches");
    let mine = folder.path("mine");
    let (code, told, _) = run(&["new", mine.to_str().expect("text"), "--inch"]);
    assert_eq!(code, 0);
    has(&told, "short-inch.axle.toml");
    for name in [
        "short-inch.axle.toml",
        "rowan-215-inch.axle.toml",
        "north-bench-inch.shop.toml",
    ] {
        let text = std::fs::read_to_string(mine.join(name)).expect("it is written");
        let (pointer, text) = text.split_once('\n').expect("lines");
        has(pointer, "#:schema ./schema/");
        assert_eq!(text, text_of(name));
        assert!(text.contains("length = \"in\"") || text.contains("length   = \"in\""));
        // no figure of a comment is in millimetres
        let words: Vec<&str> = text.split_whitespace().collect();
        let metric = words
            .windows(2)
            .find(|pair| pair[0].parse::<f64>().is_ok() && pair[1].starts_with("mm"));
        assert_eq!(metric, None, "{name}");
    }
    // the shop's jobs name files that are written beside it
    let shop = load_shop(&Source::File(mine.join("north-bench-inch.shop.toml")), &[]);
    let shop = shop.unwrap_or_else(|e| panic!("{e}"));
    for job in &shop.shop.jobs {
        assert!(mine.join(&job.axle).is_file(), "{}", job.axle);
    }
    // the same prices, minutes and habits; lengths to a thousandth of an inch or so
    let metric = load_shop(&Source::BuiltIn, &[]).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(shop.shop.minutes, metric.shop.minutes);
    assert_eq!(shop.shop.prices, metric.shop.prices);
    let odds = |axle: &str, shop: &str| {
        let (axle, shop) = (format!("examples/{axle}"), format!("examples/{shop}"));
        json(&[
            "odds",
            &axle,
            "--shop",
            &shop,
            "--rebuilds",
            "8192",
            "--json",
        ])
    };
    let inch = odds("rowan-215-inch.axle.toml", "north-bench-inch.shop.toml");
    let metric = odds("rowan-215.axle.toml", "north-bench.shop.toml");
    for (of, within) in [("first_assembly", 0.03), ("handed_over", 0.04)] {
        let [a, b] = [&inch, &metric].map(|odds| number(&odds[of]["all"]["value"]));
        assert!(
            (a - b).abs() < within,
            "{of}: {a} in inches, {b} in millimetres"
        );
    }
}
