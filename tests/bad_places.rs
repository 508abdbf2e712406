//! Where flaws are told: missing keys, several at once, `--set`, tabs and letters.

use shimcast::files::{BUILT_IN_AXLE, BUILT_IN_SHOP, Origin, Source};

use crate::given::{Folder, flaws, has, only};

/// A missing key is told at the header of its group, or at the top of a file without it.
#[test]
fn missing_keys() {
    let folder = Folder::new("missing");
    for (line, header, reason, help) in [
        (
            "ring_teeth        = 41",
            "[gears]",
            "gears.ring_teeth is missing",
            "whole number",
        ),
        (
            "ring_diameter     = 215.0",
            "[gears]",
            "gears.ring_diameter is missing",
            "ring_diameter = 215.0",
        ),
        ("length = \"mm\"", "", "length is missing", "\"mm\", \"in\""),
        ("torque = \"N.m\"", "", "torque is missing", "\"lbf.in\""),
        (
            "name   = \"Rowan 215\"",
            "",
            "name is missing",
            "give the axle a name",
        ),
        (
            "seat  = \"outboard\"",
            "[side_shims]",
            "side_shims.seat is missing",
            "\"screw adjusters\"",
        ),
        (
            "stock = \"P-38\"",
            "[pinion_shim]",
            "pinion_shim.stock is missing",
            "shim series",
        ),
        (
            "usual = 0.90",
            "[pinion_shim]",
            "pinion_shim.usual is missing",
            "usual = 0.9",
        ),
        (
            "by               = \"sleeve\"",
            "[pinion_preload]",
            "pinion_preload.by is missing",
            "\"spacer\"",
        ),
        (
            "backlash           = [ 0.13, 0.20 ]",
            "[windows]",
            "windows.backlash is missing",
            "backlash = [0.13, 0.2]",
        ),
        (
            "pinion_torque      = [ 1.70, 2.80 ]",
            "[windows]",
            "windows.pinion_torque is missing",
            "[1.7, 2.8]",
        ),
        (
            "currency = \"EUR\"",
            "",
            "currency is missing",
            "currency = \"EUR\"",
        ),
        (
            "series   = \"P-38\"",
            "[[shims]]",
            "shims.1.series is missing",
            "series = \"P-38\"",
        ),
        (
            "axle      = \"rowan-215.axle.toml\"",
            "[[jobs]]",
            "jobs.1.axle is missing",
            "front.axle.toml",
        ),
        (
            "per_month = 6",
            "[[jobs]]",
            "jobs.1.per_month is missing",
            "a number",
        ),
    ] {
        let is_axle = BUILT_IN_AXLE.text.contains(line);
        let text = if is_axle {
            BUILT_IN_AXLE.text
        } else {
            BUILT_IN_SHOP.text
        };
        assert!(text.contains(line), "{line}");
        let source = folder.file("m.toml", text.replacen(line, "", 1).as_bytes());
        let (axle, shop) = if is_axle {
            (source, Source::BuiltIn)
        } else {
            (Source::BuiltIn, source)
        };
        let problem = only(flaws(&axle, &shop, &[]), line);
        let at = text.find(&format!("\n{header}")).map_or(0, |i| i + 1);
        let wanted = match header {
            "" => (1, 1, 0),
            _ => (1 + text[..at].matches('\n').count(), 1, header.len()),
        };
        let found = (
            problem.line as usize,
            problem.column as usize,
            problem.width as usize,
        );
        assert_eq!(found, wanted, "{line}\n{problem}");
        has(&problem.reason, reason);
        has(problem.help.as_deref().unwrap_or(""), help);
    }
}

#[test]
fn a_misspelt_required_key_is_told_once() {
    let folder = Folder::new("once");
    let text = BUILT_IN_AXLE.text.replace("ring_teeth ", "ring_teet ");
    let axle = folder.file("a.toml", text.as_bytes());
    has(
        &only(flaws(&axle, &Source::BuiltIn, &[]), "ring_teet").to_string(),
        "did you mean `ring_teeth`?",
    );
}

#[test]
fn everything_wrong_in_both_files_is_told_in_order() {
    let folder = Folder::new("both");
    let axle = BUILT_IN_AXLE
        .text
        .replace("stiffness   = 45.0", "stiffness   = -1")
        .replace("face_width        = 34.0", "face_width        = \"wide\"")
        .replace("depth              = 0.05", "depht              = 0.05");
    let shop = BUILT_IN_SHOP
        .text
        .replace("ring_belief    = 0.85", "ring_belief    = 0")
        .replace("job_spread       = 0.12", "job_spread       = [0.12]");
    let axle = folder.file("a.axle.toml", axle.as_bytes());
    let shop = folder.file("s.shop.toml", shop.as_bytes());
    let problems = flaws(&axle, &shop, &["windows.depth=no", "prices.hour=-1"]);
    let told: Vec<(String, u32)> = problems
        .0
        .iter()
        .map(|p| match &p.origin {
            Origin::File(path) => (
                path.file_name().unwrap().to_string_lossy().into_owned(),
                p.line,
            ),
            Origin::Set => ("--set".to_owned(), p.column),
            Origin::BuiltIn(name) => ((*name).to_owned(), p.line),
        })
        .collect();
    let lines = |text: &str, key: &str| {
        u32::try_from(1 + text.lines().position(|l| l.starts_with(key)).unwrap()).unwrap()
    };
    let (a, s) = (BUILT_IN_AXLE.text, BUILT_IN_SHOP.text);
    let wanted = [
        ("a.axle.toml", lines(a, "face_width")),
        ("a.axle.toml", lines(a, "stiffness")),
        ("a.axle.toml", lines(a, "depth              =")),
        ("--set", 15),
        ("s.shop.toml", lines(s, "ring_belief")),
        ("s.shop.toml", lines(s, "job_spread")),
        ("--set", 13),
    ]
    .map(|(name, line)| (name.to_owned(), line));
    let mut sorted = told.clone();
    sorted.sort();
    let mut expected = wanted.to_vec();
    expected.sort();
    assert_eq!(sorted, expected, "{problems}");
    let files: Vec<_> = told.iter().filter(|t| t.0 != "--set").cloned().collect();
    let in_order: Vec<_> = wanted.iter().filter(|t| t.0 != "--set").cloned().collect();
    assert_eq!(files, in_order, "{problems}");
}

#[test]
fn syntax_errors_of_one_file_leave_the_other_one_read() {
    let folder = Folder::new("syntax");
    let axle = folder.file(
        "a.toml",
        b"name = x\n\nfoo\n = 3\nb = \na = 1\na = 2\nc = [1, 2\n[gears]\nd = 4\n",
    );
    let shop = BUILT_IN_SHOP
        .text
        .replace("learns         = true", "learns         = 1");
    let shop = folder.file("s.toml", shop.as_bytes());
    let problems = flaws(&axle, &shop, &[]);
    let lines: Vec<u32> = problems.0.iter().map(|p| p.line).collect();
    assert_eq!(lines[..6], [1, 3, 4, 5, 7, 8], "{problems}");
    assert_eq!(lines.len(), 7);
    has(&problems.0[5].reason, "never closed");
    has(
        &problems.0[6].reason,
        "bench.learns should be true or false",
    );
}

#[test]
fn set_is_told_on_the_argument_itself() {
    for (typed, column, width, reason, help) in [
        (
            "foo=1",
            1,
            3,
            "neither file has a `foo`",
            "keys begin with `gears`",
        ),
        (
            "gear.ring_teeth=41",
            1,
            4,
            "neither file has a `gear`",
            "did you mean `gears`?",
        ),
        ("gears.ring_teeth", 1, 16, "there is no `=`", "KEY=VALUE"),
        (
            "gears.ring_teeth=",
            17,
            1,
            "nothing follows",
            "write a value",
        ),
        (
            "gears..ring_teeth=4",
            7,
            1,
            "a part of the key is missing",
            "KEY=VALUE",
        ),
        (
            "name=x",
            1,
            4,
            "both files have a `name`",
            "axle.name or shop.name",
        ),
        ("axle=3", 1, 4, "a key must follow `axle`", ""),
        (
            "gears.ring_teet=41",
            7,
            9,
            "[gears] has no key `ring_teet`",
            "did you mean `ring_teeth`?",
        ),
        (
            "gears.ring_teeth.x=3",
            18,
            1,
            "`ring_teeth` is a number",
            "as a whole",
        ),
        (
            "gears.ring_teeth=many",
            18,
            4,
            "should be a whole number; this is text",
            "",
        ),
        (
            "gears.ring_diameter=.5",
            21,
            2,
            "a number of mm, e.g. 215",
            "write 0.5",
        ),
        (
            "windows.backlash=[0.1,",
            18,
            5,
            "can't be read",
            "[1.70, 2.80]",
        ),
        (
            "windows.backlash=0,13",
            18,
            4,
            "a list of 2 numbers",
            "[0.13, 0.2]",
        ),
        (
            "windows.backlash.1=0.3",
            20,
            3,
            "the lower end must be below the upper one",
            "the lower end first",
        ),
        (
            "housing.head_seat.sigma=0.04",
            19,
            5,
            "in more than one way: tol, sigma",
            "keep one of",
        ),
        (
            "bench.pinion_start=guage",
            20,
            5,
            "can't be \"guage\"",
            "did you mean `gauge`?",
        ),
        (
            "shims.P-83.price=4",
            7,
            4,
            "no series `P-83`",
            "did you mean `P-38`?",
        ),
        (
            "shims.P-38.prize=4",
            12,
            5,
            "[shims.P-38] has no key `prize`",
            "did you mean `price`?",
        ),
        (
            "jobs.3.per_month=4",
            6,
            1,
            "no number 3 among 2",
            "from 1 to 2",
        ),
        (
            "minutes.side_change.outbord=[1,2,3]",
            21,
            7,
            "no key `outbord`",
            "did you mean `outboard`?",
        ),
        (
            "pinion_shim.stock=P-39",
            19,
            4,
            "no shim series `P-39`",
            "did you mean `P-38`?",
        ),
        ("axle.length=cm", 13, 2, "length can't be \"cm\"", ""),
    ] {
        let problem = only(flaws(&Source::BuiltIn, &Source::BuiltIn, &[typed]), typed);
        assert_eq!(problem.origin, Origin::Set, "{problem}");
        assert_eq!(
            (problem.column, problem.width),
            (column, width),
            "{problem}"
        );
        has(&problem.reason, reason);
        has(problem.help.as_deref().unwrap_or(""), help);
        has(&problem.to_string(), &format!("--set {typed}: "));
    }
    let sizes: Vec<String> = (1..=30).map(|i| format!("{i}")).collect();
    let sizes = format!("shims.P-38.sizes=[{}]", sizes.join(", "));
    let problem = only(
        flaws(
            &Source::BuiltIn,
            &Source::BuiltIn,
            &[&sizes, "shims.P-38.most_in_pack=8"],
        ),
        "packs",
    );
    has(&problem.to_string(), "too many to go through");
}

#[test]
fn carets_stand_under_tabs_and_wide_letters() {
    let folder = Folder::new("carets");
    let text = BUILT_IN_AXLE
        .text
        .replace("seat  = \"outboard\"", "\tseat\t=\t\"außen\"\t# 外")
        .replace(
            "name   = \"Rowan 215\"",
            "\"名\" = 1\nname   = \"Rowan 215\"",
        );
    let axle = folder.file("a.toml", text.as_bytes());
    let problems = flaws(&axle, &Source::BuiltIn, &[]);
    assert_eq!(problems.0.len(), 2, "{problems}");
    let shown: Vec<String> = problems.0.iter().map(ToString::to_string).collect();
    has(
        &shown[0],
        ":4:1: the file has no key `名`\n    \"名\" = 1\n    ^^^^\n",
    );
    let (place, line) = (
        (problems.0[1].column, problems.0[1].width),
        "\tseat\t=\t\"außen\"\t# 外",
    );
    assert_eq!(place, (9, 7), "{}", shown[1]);
    assert!(shown[1].contains(&format!("    {line}")), "{}", shown[1]);
    has(&shown[1], "\n    \t    \t \t^^^^^^^\n  help: write one of");
}

#[test]
fn long_lines_are_cut_and_control_characters_tamed() {
    let folder = Folder::new("long");
    let long = "9".repeat(5_000);
    let text = format!("name = \"{long}\u{7}\"\n");
    let axle = folder.file("a.toml", text.as_bytes());
    let shown = flaws(&axle, &Source::BuiltIn, &[]).0[0].to_string();
    assert!(shown.chars().count() < 600, "{shown}");
    assert!(!shown.contains('\u{7}'));
}
