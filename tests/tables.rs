//! CSV files, whatever divides their cells and whichever command reads them.

use shimcast::files::{BUILT_IN_AXLE, Source, load_pairs};

use crate::given::{Folder, deviation_from, flaws, has, refused};

/// The four uses: a heading, a row that is right, rows with a flaw each, and what they are told.
const USES: [(&str, [&str; 4], [&str; 2]); 4] = [
    (
        "values",
        [
            "part|height|by, whom",
            "1|28.01|me",
            "28.01 or so|28.01 or so|me",
            "NaN-lab|NaN|me",
        ],
        ["`28.01 or so` is not a number", "`NaN` is not a finite"],
    ),
    (
        "pairs",
        [
            "note, mine; free|ring_teeth|pinion_teeth",
            "a|41|11",
            "nine|41|nine",
            "300|300|9",
        ],
        ["`nine` is not a number", "the ring_teeth 300 is above 200"],
    ),
    (
        "have",
        [
            "size, as printed|series|count|Size",
            "1|P-38|5|0.10",
            "two|P-38|two|0.10",
            "0.11|P-38|2|0.11",
        ],
        ["`two` is not a number", "P-38 has no size 0.11 mm"],
    ),
    (
        "offer",
        [
            "price, net|series|size|Price",
            "1|P-38|0.10|3.60",
            "|P-38|nil|3.60",
            "-1|P-38|0.15|-1",
        ],
        [
            "`nil` is not a number",
            "the price `-1` must not be negative",
        ],
    ),
];

/// What a use tells of a file.
fn told(of: &str, folder: &Folder, name: &str) -> String {
    let path = folder.path(name);
    let path = path.to_str().expect("a plain path");
    match of {
        "values" => {
            let value =
                format!("{{ shape = \"measured\", from = \"{name}\", column = \"height\" }}");
            let text = BUILT_IN_AXLE
                .text
                .replace("{ nominal = 121.00, tol = 0.06 }", &value);
            let axle = folder.file("a.axle.toml", text.as_bytes());
            flaws(&axle, &Source::BuiltIn, &[]).to_string()
        }
        "pairs" => refused(&["ratio", "--ratio", "4", "--pairs", path], 2),
        "have" => refused(&["stock", "--have", path], 2),
        _ => refused(&["kit", "--sizes-from", path], 2),
    }
}

/// The place of the last cell but so many of a line, as messages write it.
fn place(line: usize, text: &str, divider: char, cell: &str) -> String {
    let before = text.rfind(&format!("{divider}{cell}")).expect("a cell");
    format!(":{line}:{}: ", text[..before].chars().count() + 2)
}

#[test]
fn every_divider_serves_every_use_and_all_flaws_are_told_at_their_cells() {
    let folder = Folder::new("dividers");
    for (of, lines, reasons) in USES {
        for (divider, end, mark) in [
            (',', "\n", ""),
            (';', "\r\n", "\u{feff}"),
            ('\t', "\n", "\u{feff}"),
        ] {
            let lines = lines.map(|line| {
                let cells = line.split('|').map(|cell| {
                    if cell.contains(divider) {
                        format!("\"{cell}\"")
                    } else {
                        cell.to_owned()
                    }
                });
                let cells: Vec<String> = cells.collect();
                cells.join(&divider.to_string())
            });
            let text = format!("{mark}# ä;,\t{end}{end}{}{end}", lines.join(end));
            folder.file("x.csv", text.as_bytes());
            let told = told(of, &folder, "x.csv");
            let flaws = told.matches("x.csv:").count();
            assert_eq!(flaws, 2, "{of} {divider:?}: {told}");
            for (i, reason) in reasons.into_iter().enumerate() {
                let cell = match reason.split('`').nth(1) {
                    Some(cell) => cell,
                    None if of == "pairs" => "300",
                    None if of == "have" => "0.11",
                    None => "-1",
                };
                let place = place(5 + i, &lines[2 + i], divider, cell);
                let line = told.lines().find(|line| line.contains(&place));
                has(line.unwrap_or(&told), reason);
            }
        }
    }
}

#[test]
fn a_file_divided_by_semicolons_reads_alike_with_point_and_comma() {
    let folder = Folder::new("decimal");
    let with = |name: &str, body: &str| {
        folder.file(name, body.as_bytes());
        deviation_from(&folder, name, "height")
    };
    let plain = with("point.csv", "height\n121.01\n120.98\n121.00\n");
    for (name, body) in [
        (
            "comma.csv",
            "height;by\n121,01;me\n120,98;\n\"121,00\";you\n",
        ),
        // a heading with a comma in it, which the divider is not
        (
            "heading.csv",
            "part, or number;height\n1;121,01\n2;120,98\n3;121,00\n",
        ),
        (
            "tab.csv",
            "part, or; number\theight\n1\t121.01\n\t120.98\n3\t121.00\n",
        ),
    ] {
        assert_eq!(with(name, body), plain, "{name}");
    }
}

#[test]
fn a_heading_with_a_comma_is_taken_by_the_list_of_pairs_too() {
    let folder = Folder::new("headings");
    let list = folder.file(
        "sets.csv",
        b"Note, free;Ring_Teeth;pinion_teeth;\n\"ours; 3\"\" wide\";41;10;\n;;;\nfar, though;40;9;\n",
    );
    let pairs = load_pairs(&list).unwrap_or_else(|e| panic!("{e}"));
    let teeth: Vec<(u32, u32)> = pairs
        .iter()
        .map(|pair| (pair.teeth.ring, pair.teeth.pinion))
        .collect();
    assert_eq!(teeth, [(41, 10), (40, 9)]);
}

#[test]
fn nothing_of_a_row_is_dropped_without_a_word() {
    let folder = Folder::new("columns");
    // a decimal comma between commas would be read as another price
    folder.file("offer.csv", b"series,size,price\nP-38,0.10,3,60\n");
    let complaint = told("offer", &folder, "offer.csv");
    has(
        &complaint,
        "offer.csv:2:13: `60` is one too many: the first line has 3 cells",
    );
    has(&complaint, "figures have a decimal point");
    folder.file("have.csv", b"series,size,count\nP-38,0.10,\"3\n");
    let complaint = told("have", &folder, "have.csv");
    has(&complaint, "have.csv:2:11: this quote is never closed");
}
