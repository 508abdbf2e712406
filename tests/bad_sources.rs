//! Files that are unreadable, no text, made to harm, or don't fit together.

use shimcast::files::{BUILT_IN_AXLE, BUILT_IN_SHOP, Kind, Origin, Source, load};

use crate::given::{Folder, flaws, has, only};

#[test]
fn csv_flaws_name_the_line_of_the_csv_file() {
    let folder = Folder::new("csv");
    folder.file("word.csv", b"# a remark\n\nheight\n28.01\n\nabout 28\n");
    folder.file("comma.csv", b"height,by\n\"28,01\",me\n");
    folder.file("thousand.csv", b"by\theight\nme\t28,010\n");
    folder.file("two.csv", b"height,part\n28.01,1\n");
    folder.file("empty.csv", b"height\n\n");
    folder.file("inf.csv", b"28.01\ninf\n");
    for (value, file, line, column, reason, help) in [
        (
            "from = \"word.csv\"",
            "word.csv",
            6,
            1,
            "`about 28` is not a number",
            "",
        ),
        (
            "from = \"comma.csv\", column = \"height\"",
            "comma.csv",
            2,
            1,
            "is not a number",
            "decimal point: 28.01",
        ),
        (
            "from = \"thousand.csv\", column = \"height\"",
            "thousand.csv",
            2,
            4,
            "could be 28.010 or 28010",
            "28,0100 for a fraction",
        ),
        (
            "from = \"two.csv\"",
            "two.csv",
            1,
            1,
            "there are 2 columns",
            "column = ",
        ),
        (
            "from = \"two.csv\", column = \"hight\"",
            "two.csv",
            1,
            1,
            "no column `hight`",
            "did you mean `height`?",
        ),
        ("from = \"empty.csv\"", "empty.csv", 0, 0, "no values", ""),
        (
            "from = \"inf.csv\"",
            "inf.csv",
            2,
            1,
            "not a finite number",
            "",
        ),
        (
            "from = \"wrod.csv\"",
            "wrod.csv",
            0,
            0,
            "no such file",
            "did you mean `word.csv`?",
        ),
    ] {
        let text = BUILT_IN_AXLE.text.replace(
            "{ nominal = 121.00, tol = 0.06 }",
            &format!("{{ shape = \"measured\", {value} }}"),
        );
        let axle = folder.file("a.toml", text.as_bytes());
        let problems = flaws(&axle, &Source::BuiltIn, &[]);
        assert_eq!(problems.0.len(), 2, "{value}\n{problems}");
        has(
            &problems.0[0].reason,
            "housing.head_seat.from can't be used",
        );
        let problem = &problems.0[1];
        assert_eq!(problem.origin, Origin::File(folder.path(file)), "{problem}");
        assert_eq!((problem.line, problem.column), (line, column), "{problem}");
        has(&problem.reason, reason);
        has(problem.help.as_deref().unwrap_or(""), help);
    }
}

#[test]
fn what_is_on_disk_may_be_no_file_at_all() {
    let folder = Folder::new("disk");
    folder.file("rowan.axle.toml", BUILT_IN_AXLE.text.as_bytes());
    folder.file("huge.toml", &vec![b'#'; (4 << 20) + 1]);
    folder.file("latin.toml", b"name = \"Wei\xdfdorn\"\n");
    folder.file("second.toml", b"length = \"mm\"\n# \xfc\n");
    folder.file("utf16.toml", b"\xff\xfen\0a\0");
    folder.file("empty.toml", b"");
    folder.file("blank.toml", b"\n# nothing\n");
    folder.file("shop.toml", BUILT_IN_SHOP.text.as_bytes());
    for (name, kind, place, reason, help) in [
        (
            "rowan.axel.toml",
            Kind::CannotRead,
            (0, 0),
            "no such file",
            "did you mean `rowan.axle.toml`?",
        ),
        (
            "",
            Kind::CannotRead,
            (0, 0),
            "this is a folder",
            "inside it",
        ),
        (
            "huge.toml",
            Kind::BadInput,
            (0, 0),
            "larger than 4 MB",
            "the file you meant",
        ),
        (
            "latin.toml",
            Kind::BadInput,
            (1, 12),
            "not UTF-8 text: byte 12",
            "UTF-8",
        ),
        ("second.toml", Kind::BadInput, (2, 3), "byte 17", "UTF-8"),
        (
            "utf16.toml",
            Kind::BadInput,
            (1, 1),
            "not UTF-8",
            "looks like UTF-16",
        ),
        (
            "empty.toml",
            Kind::BadInput,
            (0, 0),
            "nothing in the file",
            "axle file",
        ),
        (
            "blank.toml",
            Kind::BadInput,
            (0, 0),
            "nothing in the file",
            "axle file",
        ),
        (
            "shop.toml",
            Kind::BadInput,
            (0, 0),
            "a shop file, not an axle file",
            "named",
        ),
    ] {
        let problems = flaws(&Source::File(folder.path(name)), &Source::BuiltIn, &[]);
        let problem = only(problems, name);
        assert_eq!(
            (problem.kind, (problem.line, problem.column)),
            (kind, place),
            "{problem}"
        );
        has(&problem.reason, reason);
        has(problem.help.as_deref().unwrap_or(""), help);
    }
    let axle = folder.file("a.toml", BUILT_IN_AXLE.text.as_bytes());
    has(
        &only(flaws(&Source::BuiltIn, &axle, &[]), "swapped").reason,
        "an axle file, not a shop file",
    );
}

/// Input made to exhaust a reader ends in a message all the same.
#[test]
fn hostile_files_end_in_messages() {
    let folder = Folder::new("hostile");
    for text in [
        format!("a = {}", "[".repeat(100_000)),
        format!("a = {}", "{a=".repeat(50_000)),
        "[[shims]]\n".repeat(100_000),
        "=\n".repeat(200_000),
        "x\n".repeat(30_000),
        (0..100_000).map(|i| format!("k{i}=1\n")).collect(),
        "a.".repeat(50_000),
        format!("name = \"{}", "\\".repeat(100_001)),
    ] {
        let file = folder.file("h.toml", text.as_bytes());
        for (axle, shop) in [(&file, &Source::BuiltIn), (&Source::BuiltIn, &file)] {
            let problems = flaws(axle, shop, &[]);
            assert!(!problems.0.is_empty());
            assert!(problems.to_string().len() < 100_000);
        }
    }
}

#[test]
fn figures_that_do_not_fit_together_are_warned_of() {
    let folder = Folder::new("fit");
    let text = BUILT_IN_AXLE
        .text
        .replace("{ nominal = 88.11, tol = 0.08 }", "{ tol = 0.08 }")
        .replace("140.00", "14.0");
    let axle = folder.file("a.toml", text.as_bytes());
    let loaded = load(&axle, &Source::BuiltIn, &[]).expect("warned of only");
    let [warning] = &loaded.warnings[..] else {
        panic!("{:?}", loaded.warnings);
    };
    assert_eq!(warning.kind, Kind::Warning);
    has(
        &warning.to_string(),
        "warning: housing.far_seat was left out and would have to be -37.890 mm",
    );
}
