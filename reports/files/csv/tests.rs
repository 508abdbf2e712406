use super::*;
use crate::files::problem::Origin;
use crate::spreadsheet::{Decimal, Entry};

fn text(body: &str) -> Text {
    Text {
        origin: Origin::File("x.csv".into()),
        body: body.to_owned(),
    }
}

/// The numbers of the column `x`, with whatever is wrong.
fn numbers(body: &str) -> Result<Vec<f64>, Problems> {
    let table = Table::read(text(body), [("x", true)])?;
    let cells = table.rows.iter().flatten();
    let numbers = cells.filter_map(|cell| table.number(cell, "figure", Believed::plain()));
    let numbers = numbers.collect();
    table.done(numbers)
}

/// A text without its marks « and », and the line, column and width between them.
fn marked(text: &str) -> (String, (u32, u32, u32)) {
    let (before, rest) = text.split_once('«').expect("a place is marked");
    let (span, after) = rest.split_once('»').expect("the mark is closed");
    let line = before.rsplit('\n').next().unwrap_or("");
    let count = |n: usize| u32::try_from(n).unwrap();
    let place = (
        count(1 + before.matches('\n').count()),
        count(1 + line.chars().count()),
        count(span.chars().count().max(1)),
    );
    (format!("{before}{span}{after}"), place)
}

#[test]
fn a_flaw_stands_at_its_cell_to_the_column() {
    for (body, reason) in [
        ("lab,x\nNaN-lab,«NaN»\n", "`NaN` is not a finite number"),
        ("x,lab\n«two»,two\n", "`two` is not a number"),
        ("lab,x\n two,  «two» \n", "`two` is not a number"),
        ("lab;x\r\n1;«two»\r\n3;4\r\n", "`two` is not a number"),
        ("lab;x\r\n1;«»\r\n3;4", "is missing"),
        ("lab,x\n1,«»", "is missing"),
        ("x,lab\n«», 1\n2,3", "is missing"),
        ("lab,x\n1«»\n2,3", "is missing"),
        ("lab\tx\ty\n\t«two»\ttwo\n", "`two` is not a number"),
        ("höhe µ\tx\nßß ß\t«zwölf»\n", "`zwölf` is not a number"),
        ("lab,x\n\"x, y\",«\"two, or 3\"»\n", "`two, or 3` is not"),
        (
            "lab,x\n\"3\"\" ring\" , «\"a \"\"b\"\"\"»\n",
            "`a \"b\"` is not",
        ),
        ("lab,x\n\"two\nlines\n\",«two»\n", "`two` is not a number"),
        ("\n# x\n\nlab,x\n#,NaN\n#\n a,«b»", "`b` is not a number"),
        ("lab,x\n«\"a,1»\n2,3\n", "never closed"),
        ("lab,x\n«\"a,1»\n\"b\",3\n", "never closed"),
        ("lab,x\n\"a\" «b»,1\n2,3\n", "`b` follows the closing"),
        ("lab,x\n1,2,,«3»,4\n", "the first line has 2 cells"),
        ("x;«x»\n1;2\n", "`x` is named twice"),
        ("«lab»,y\n1,2\n", "no column `x`"),
    ] {
        let (body, place) = marked(body);
        let problems = numbers(&body).expect_err(&body);
        let [problem] = &problems.0[..] else {
            panic!("{body:?}: {problems}");
        };
        let found = (problem.line, problem.column, problem.width);
        assert_eq!(found, place, "{problem}");
        assert!(problem.reason.contains(reason), "{problem}");
    }
    // as old office programs end their lines
    let problems = numbers("lab,x\r1,2\r3,two\r").expect_err("a word");
    assert_eq!((problems.0[0].line, problems.0[0].column), (3, 3));
}

#[test]
fn the_divider_is_the_one_that_names_the_wanted_columns() {
    for (first, names, expected) in [
        ("series,size,count", &["series", "size", "count"][..], ','),
        ("series;size;count", &["series", "size", "count"], ';'),
        ("series\tsize\tcount", &["series", "size", "count"], '\t'),
        ("note, of whom;a;b", &["a", "b"], ';'),
        ("note; of whom,a,b", &["a", "b"], ','),
        ("note, of; whom\ta\tb", &["a", "b"], '\t'),
        ("a,b,c;c", &["b"], ','),
        ("part;height, mm", &["height, mm"], ';'),
        ("part,\"height; mm\"", &["height; mm"], ','),
        ("\"a;b\",c", &[], ','),
        ("\"a,b\";c", &[], ';'),
        // where no name says it
        ("28,01;me", &[], ';'),
        ("28,01\tme", &[], '\t'),
        // where nothing divides, no comma does
        ("height", &["height"], ';'),
        ("height", &[], ';'),
        ("\"never closed", &["a"], ';'),
    ] {
        let body = format!("# a;b\tc\n\n{first}\n1;2;3;4;5\n");
        assert_eq!(divider(&body, names), expected, "{first}");
    }
}

#[test]
fn figures_have_a_decimal_comma_where_commas_do_not_divide() {
    let alike = Ok(vec![28.01, 28.02, 28.03, -0.15]);
    for body in [
        "X;y\n28,01;\n\"28,02\"; \n;;\n 28.03\n-1,5e-1;a\n",
        "X\ty\r\n28,01\t\r\n28,02\t\r\n28,03\r\n-0,15\ta\r\n",
        "x\n28,01\n28,02\n28,03\n-0,15",
        "x,y\n28.01,\n\"28.02\",1\n28.03\n-0.15,a\n",
    ] {
        assert_eq!(numbers(body), alike, "{body}");
    }
    for (body, help) in [
        ("x,y\n\"28,01\",1\n", "write a decimal point: 28.01"),
        ("x,\n28,01\n", "write a decimal point: 28.01"),
        ("x,y\n28,01,2\n", "figures have a decimal point"),
        ("x;y\n28;01;2\n", "text that holds a semicolon in quotes"),
        ("x;y\n1.028,01;2\n", "no mark between the thousands"),
        ("x\ty\n1,028,010\t2\n", "no mark between the thousands"),
        ("x;y\n28,01 mm;2\n", "without its unit: 28.01"),
        ("x\n28.01,me\n", "without its unit: 28.01"),
    ] {
        let problems = numbers(body).expect_err(body);
        assert_eq!(problems.0.len(), 1, "{problems}");
        let said = problems.0[0].help.as_deref().unwrap_or("");
        assert!(said.contains(help), "{body}: {said}");
    }
}

#[test]
fn what_could_be_thousands_is_read_where_another_figure_settles_it() {
    for (body, figures) in [
        // by a figure of the column, or of any other
        ("x;y\n1,234;\n28,01;\n", [1.234, 28.01]),
        ("x;y\n1,234;0,5\n-28,012;2\n", [1.234, -28.012]),
        ("x\ty\n1,234\t1234,567\n2\t\n", [1.234, 2.0]),
        ("x;y\n0,127;\n1,2340;\n", [0.127, 1.234]),
        // a point is one, unless other figures have a comma
        ("x;y\n1.234;\n28.012;\n", [1.234, 28.012]),
        ("x;y\n1.234;28.01\n28,01;\n", [1.234, 28.01]),
        ("x,y\n1.234,1\n2,\"28,01\"\n", [1.234, 2.0]),
    ] {
        assert_eq!(numbers(body), Ok(figures.to_vec()), "{body}");
    }
    for (body, reason, help) in [
        (
            "x;y\n1,234;5\n",
            "the figure `1,234` could be 1.234 or 1234",
            "write 1234 without a mark between the thousands, or 1,2340 for a fraction",
        ),
        (
            "x;y\n28,012;28.01\n",
            "could be 28.012 or 28012",
            "or 28,0120 for",
        ),
        (
            "x\n-1,234\n",
            "could be -1.234 or -1234",
            "write -1234 without",
        ),
        (
            "x\ty\n1.234\t28,01\n",
            "could be 1.234 or 1234",
            "or 1,234 for a fraction",
        ),
        (
            "x,y\n\"1,234\",5\n",
            "could be 1.234 or 1234",
            "or 1.234 for a fraction",
        ),
    ] {
        let problems = numbers(body).expect_err(body);
        let [problem] = &problems.0[..] else {
            panic!("{body}: {problems}");
        };
        assert!(problem.reason.contains(reason), "{problem}");
        assert!(
            problem.help.as_deref().unwrap_or("").contains(help),
            "{problem}"
        );
        assert_eq!((problem.line, problem.width > 4), (2, true), "{problem}");
    }
}

/// Each figure in a file of its own, so that no other one settles what its mark means.
#[test]
fn every_figure_that_is_written_is_read_back() {
    let thousandths = (-2_500..31_000).step_by(7).map(|n| f64::from(n) / 1000.0);
    let small = (0..400).map(|n| f64::from(n) * 1.3e-7);
    let large = (0..400).map(|n| f64::from(n) * 4321.0625);
    for figure in thousandths.chain(small).chain(large) {
        for decimal in [Decimal::Point, Decimal::Comma] {
            for text in [
                figure.to_string(),
                format!("{figure:.3}"),
                format!("{figure:.6}"),
            ] {
                let cells = ["x.1; 2", &text].map(|cell| Entry::Figure(cell.to_owned()));
                let body = decimal.names(["lab", "x"]) + &decimal.line(cells);
                let written = text.parse::<f64>().expect("a figure");
                assert_eq!(numbers(&body), Ok(vec![written]), "{body}");
            }
        }
    }
}

#[test]
fn an_apostrophe_against_formulas_is_no_part_of_a_cell() {
    let table = Table::read(
        text("'=a;b;c\n'+x; \"''-1;\" ;'tis\n"),
        [("=a", true), ("b", true), ("c", true)],
    );
    let table = table.unwrap_or_else(|problems| panic!("{problems}"));
    let cells = table.rows[0].each_ref().map(|cell| cell.text.as_str());
    assert_eq!(cells, ["+x", "'-1;", "'tis"]);
    assert_eq!(numbers("x\n'-1.5\n"), Ok(vec![-1.5]));
}

#[test]
fn a_lone_column_needs_no_name() {
    let column = |body: &str, name| {
        let table = Table::one_column(text(body), name)?;
        let cells = table.rows.iter().flatten();
        let texts: Vec<String> = cells.map(|cell| cell.text.clone()).collect();
        table.done(texts)
    };
    for (body, name) in [
        ("1\n2\n", None),
        ("height\n1\n\n# 3\n2", None),
        ("height;\n1;\n;\n2;\n", None),
        ("Height\n1\n2", Some("height")),
        ("HÖHE\n1\n2", Some("höhe")),
        ("a;Height;height, mm\n3;4;1\n;;2\n", Some("height, mm")),
        ("Height;height\n3;1\n;2\n", Some("height")),
    ] {
        let expected = Ok(vec!["1".to_owned(), "2".to_owned()]);
        assert_eq!(column(body, name), expected, "{body}");
    }
    let bare = column("28,01;\n28,02;\n", None);
    assert_eq!(bare, Ok(vec!["28,01".to_owned(), "28,02".to_owned()]));
    for (body, name, reason) in [
        ("", None, "nothing in the file"),
        ("# 1\n", Some("a"), "nothing in the file"),
        ("28,01\n28,02\n", None, "write a decimal point: 28.01"),
        ("a,b\n1,2\n", None, "say which one is meant"),
        ("part,by\n1,2\n", Some("height"), "it names `part`, `by`"),
    ] {
        let problems = column(body, name).expect_err(body);
        assert!(problems.to_string().contains(reason), "{problems}");
    }
}

/// A text made to be wrong everywhere ends in messages, and soon.
#[test]
fn no_text_is_too_wrong() {
    for line in [
        "two\n", "\"\n", "\"\"a\n", "1,2,3\n", "\"\"\"\n", ",\"\n", "\r",
    ] {
        let body = format!("x\n{}", line.repeat((1 << 20) / line.len()));
        let problems = numbers(&body).err().unwrap_or_default();
        // the first ones, and how many more there are
        assert!(problems.0.len() <= MOST_FLAWS + 1);
    }
}
