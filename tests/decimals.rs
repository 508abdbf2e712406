//! CSV by the habits of whoever opens it: decimal point or comma, and back again.

use std::collections::BTreeMap;
use std::path::Path;

use shimcast::files::{BUILT_IN_AXLE, BUILT_IN_SHOP};

use crate::given::{FEW_SIZES, Folder, PARTS_KEPT, answer, deviation_from, has, refused, text_of};

/// The remarks, and the cells of the other lines.
fn parted(table: &str, divider: u8) -> (Vec<&str>, Vec<Vec<String>>) {
    let remarks = table.lines().filter(|line| line.starts_with('#'));
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(divider)
        .comment(Some(b'#'))
        .has_headers(false)
        .from_reader(table.as_bytes());
    let rows = reader.records().map(|row| {
        let row = row.expect("as many cells in every line");
        row.iter().map(str::to_owned).collect()
    });
    (remarks.collect(), rows.collect())
}

/// Columns whose cells are words, even where they look like figures.
const WORDS: [&str; 12] = [
    "series",
    "name",
    "key",
    "unit",
    "figure",
    "stage",
    "column",
    "what",
    "outcome",
    "place",
    "decisions",
    "contributor",
];

/// Holds a table with decimal commas against the same with points; how many figures have a mark.
fn same_figures(name: &str, point: &str, comma: &str) -> usize {
    let (remarks, points) = parted(point, b',');
    let (others, commas) = parted(comma, b';');
    // sums among the remarks have the mark of the rows
    let both = [&remarks, &others].map(|lines| lines.join("\n").replace(',', "."));
    assert_eq!(both[0], both[1], "{name}: the remarks");
    assert!(!remarks.is_empty() && points.len() > 1, "{name}: {point}");
    assert_eq!(points[0], commas[0], "{name}: the names");
    assert_eq!(points.len(), commas.len(), "{name}");
    let mut marked = 0;
    for (row, other) in points.iter().zip(&commas).skip(1) {
        assert_eq!(row.len(), other.len(), "{name}: {other:?}");
        for ((column, cell), written) in points[0].iter().zip(row).zip(other) {
            let figure = cell.parse::<f64>().ok().filter(|_| cell.contains('.'));
            let Some(figure) = figure.filter(|_| !WORDS.contains(&column.as_str())) else {
                assert_eq!(cell, written, "{name}: {column}");
                continue;
            };
            marked += 1;
            assert!(!written.contains('.'), "{name}: {column}: {written}");
            let read = written.replace(',', ".").parse::<f64>();
            assert_eq!(read, Ok(figure), "{name}: {column}: {written}");
        }
    }
    marked
}

/// What is asked of a drawer that is quick to plan.
fn of_few<'a>(asked: &[&'a str]) -> Vec<&'a str> {
    [asked, &FEW_SIZES, &PARTS_KEPT].concat()
}

#[test]
fn every_command_that_writes_csv_writes_the_same_figures_with_commas() {
    for (asked, least) in [
        (of_few(&["stock", "--csv"]), 40),
        (
            of_few(&["kit", "--jobs", "4", "--finish", "0.8", "--csv"]),
            30,
        ),
        (vec!["causes", "--rebuilds", "2000", "--csv", "-"], 300),
        (
            vec![
                "sweep",
                "bench.guard=0..0.06:3",
                "--rebuilds",
                "2000",
                "--csv",
                "-",
            ],
            50,
        ),
        (vec!["odds", "--sample", "7", "--csv", "-"], 300),
    ] {
        let point = answer(&asked);
        if asked[0] == "odds" {
            let said = answer(&[&asked[..], &["--decimal", "point"]].concat());
            assert_eq!(said, point);
        }
        let comma = answer(&[&asked[..], &["--decimal", "comma"]].concat());
        let marked = same_figures(asked[0], &point, &comma);
        assert!(marked >= least, "{asked:?}: {marked} figures");
    }
}

fn texts(folder: &Path) -> BTreeMap<String, String> {
    let entries = std::fs::read_dir(folder).expect("a folder").map(|entry| {
        let path = entry.expect("an entry").path();
        let name = path
            .file_name()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        (name, std::fs::read_to_string(path).expect("text"))
    });
    entries.collect()
}

#[test]
fn every_file_that_is_written_has_the_same_figures_with_commas() {
    let folder = Folder::new("habits");
    let written = |mark: &str| {
        let dir = folder.path(mark);
        let page = folder.path("page.html");
        let [dir, page] = [&dir, &page].map(|path| path.to_str().expect("a plain path"));
        let asked = [
            "report",
            "--rebuilds",
            "500",
            "-o",
            page,
            "--force",
            "--csv",
            dir,
        ];
        answer(&[&of_few(&asked)[..], &["--sample", "6", "--decimal", mark]].concat());
        let [sweep, single, causes] =
            ["sweep.csv", "single.csv", "causes.csv"].map(|name| format!("{dir}/command-{name}"));
        let of = |asked: &[&str]| answer(&[asked, &["--decimal", mark]].concat());
        of(&[
            "sweep",
            "bench.guard=0..0.06:3",
            "--rebuilds",
            "500",
            "-o",
            &sweep,
        ]);
        of(&[
            "odds",
            "--rebuilds",
            "50",
            "--sample",
            "6",
            "--csv",
            &single,
        ]);
        of(&["causes", "--rebuilds", "500", "--csv", &causes]);
        let list = format!("{dir}/command-list.csv");
        of(&of_few(&["stock", "--csv", &list]));
        texts(Path::new(dir))
    };
    let (points, commas) = (written("point"), written("comma"));
    let names = |files: &BTreeMap<String, String>| files.keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(&points), names(&commas));
    for name in [
        "rebuilds-columns.csv",
        "shims.csv",
        "sweep.csv",
        "command-single-columns.csv",
    ] {
        assert!(points.contains_key(name), "{name}: {:?}", names(&points));
    }
    assert!(points.len() > 20);
    for (name, point) in &points {
        let marked = same_figures(name, point, &commas[name]);
        assert!(marked > 0 || name.ends_with("-columns.csv"), "{name}");
    }
}

/// Whatever the columns of single rebuilds hold can be drawn from, and comes to the same figures.
#[test]
fn single_rebuilds_with_commas_are_read_as_measured_values() {
    let folder = Folder::new("back");
    let of = |mark: &str, column: &str| {
        let name = format!("{mark}.csv");
        let asked = ["odds", "--sample", "9", "--csv", "-", "--decimal", mark];
        let path = folder.path(&name);
        if !path.exists() {
            folder.file(&name, answer(&asked).as_bytes());
        }
        deviation_from(&folder, &name, column)
    };
    for column in [
        "head_seat_mm",
        "pinion_pack_mm",
        "cost_EUR",
        "first_depth_mm",
    ] {
        let [point, comma] = ["point", "comma"].map(|mark| of(mark, column));
        assert_eq!(point, comma, "{column}");
    }
    assert_ne!(of("comma", "cost_EUR"), of("comma", "minutes"));
}

#[test]
fn the_list_with_commas_is_an_offer_and_a_count() {
    let folder = Folder::new("given-back");
    let path = |name: &str| folder.path(name).to_str().expect("a plain path").to_owned();
    let [comma, counted, plain] = ["comma.csv", "counted.csv", "plain.csv"].map(path);
    answer(&of_few(&["stock", "--csv", &comma, "--decimal", "comma"]));
    let list = std::fs::read_to_string(&comma).expect("a list");
    // as an offer it is what the plain list is, with a price that was changed
    let asked = |more: &[&str]| answer(&[&of_few(&["stock", "--json"]), more].concat());
    let dearer = list.replacen(";3,60;", ";3,85;", 1);
    let offers = [
        (&plain, dearer.replace(';', "\t")),
        (&counted, dearer.replace(',', ".").replace(';', ",")),
    ];
    std::fs::write(&comma, dearer).expect("a file");
    let offered = asked(&["--sizes-from", &comma]);
    assert_ne!(offered, asked(&[]));
    for (path, text) in offers {
        std::fs::write(path, text).expect("a file");
        assert_eq!(asked(&["--sizes-from", path]), offered, "{path}");
    }
    // as a count it says so where nothing was counted
    let complaint = refused(&of_few(&["stock", "--have", &comma]), 2);
    has(&complaint, "comma.csv: nothing was counted yet");
    has(&complaint, "into its column have");
    // and is read where something was, as the plain form is
    let (remarks, mut rows) = parted(&list, b';');
    let mut short = "series,size,count\n".to_owned();
    for (i, row) in rows.iter_mut().enumerate().skip(1) {
        assert_eq!(row[7], "");
        row[7] = (i % 4).to_string();
        short += &format!("{},{},{}\n", row[0], row[1].replace(',', "."), row[7]);
    }
    let rows: Vec<String> = rows.iter().map(|row| row.join(";")).collect();
    let text = format!(
        "\u{feff}{}\r\n{}\r\n",
        remarks.join("\r\n"),
        rows.join("\r\n")
    );
    std::fs::write(&counted, text).expect("a file");
    std::fs::write(&plain, short).expect("a file");
    let answers = [&counted, &plain].map(|file| asked(&["--have", file]));
    assert_eq!(answers[0], answers[1]);
    assert_ne!(answers[0], asked(&[]));
}

#[test]
fn a_comma_that_nothing_would_have_is_refused() {
    for (asked, how) in [
        (&["stock"][..], "--csv FILE or --slip FILE"),
        (&["kit", "--json"], "--csv FILE"),
        (&["odds"], "--sample N --csv FILE"),
        (&["causes", "--json"], "--csv FILE.csv"),
        (&["sweep", "bench.guard=0..0.1"], "--csv FILE.csv"),
        (
            &["sweep", "bench.guard=0..0.1", "-o", "none.json"],
            "--csv FILE.csv",
        ),
        (&["report"], "--csv DIR"),
        (&["report", "--sheet"], "--csv DIR"),
        (&["report", "--for", "customer"], "--csv DIR"),
    ] {
        let complaint = refused(&[asked, &["--decimal", "comma"]].concat(), 2);
        has(&complaint, "--decimal comma: no CSV is written here");
        has(&complaint, &format!("with {how}, or leave --decimal out"));
    }
    for command in ["quote", "compare", "follow", "check", "ratio", "new"] {
        let complaint = refused(&[command, "--decimal", "comma"], 2);
        has(&complaint, "this command writes no CSV; stock, kit, sweep,");
    }
    let other = refused(&["stock", "--csv", "--decimal", "dot"], 2);
    has(&other, "[possible values: point, comma]");
}

/// Names that a spreadsheet takes for formulas, or readers for remarks, come back as they were.
#[test]
fn a_series_of_any_name_is_written_and_read_back() {
    let folder = Folder::new("formulas");
    for (name, written, divider) in [
        ("@P-38", "'@P-38,", ','),
        ("'+P-38", "''+P-38;", ';'),
        ("#P; 38", "\"#P; 38\";", ';'),
        ("1.5", "1.5;", ';'),
    ] {
        let named = |text: &str| text.replace("\"P-38\"", &format!("\"{name}\""));
        folder.file("rowan-215.axle.toml", named(BUILT_IN_AXLE.text).as_bytes());
        folder.file(
            "sorrel-71.axle.toml",
            text_of("sorrel-71.axle.toml").as_bytes(),
        );
        folder.file("north.shop.toml", named(BUILT_IN_SHOP.text).as_bytes());
        let path = |name: &str| folder.path(name).to_str().expect("a plain path").to_owned();
        let mark = if divider == ';' { "comma" } else { "point" };
        let shop = path("north.shop.toml");
        let sizes = FEW_SIZES.map(|word| word.replace("shims.P-38", "shims.1"));
        let sizes: Vec<&str> = sizes.iter().map(String::as_str).collect();
        let asked = [&["stock", "--shop", &shop][..], &sizes, &PARTS_KEPT].concat();
        let list = answer(&[&asked[..], &["--csv", "--decimal", mark]].concat());
        let starts = list.lines().filter(|line| line.starts_with(written));
        assert!(starts.count() == 4, "{name}: {list}");
        folder.file("offer.csv", list.as_bytes());
        let offer = path("offer.csv");
        let more = ["--sizes-from", &offer, "--csv", "--decimal", mark];
        let again = answer(&[&asked[..], &more].concat());
        let rows = |list: &str| list.lines().filter(|line| !line.starts_with("# ")).count();
        assert_eq!(rows(&again), rows(&list), "{name}");
        assert!(
            again.lines().any(|line| line.starts_with(written)),
            "{again}"
        );
    }
}
