//! The page as a document: structure, escaping, contrast. What only a browser can see is in
//! `browser`.

use std::collections::HashSet;

use roxmltree::{Document, Node, ParsingOptions};

use crate::demo;
use crate::figures::labelled;
use crate::given::{FEW_SIZES, Folder, answer, json, number};

/// The page's XML, which every page is as well.
pub fn parsed(html: &str) -> Document<'_> {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    Document::parse_with_options(html, options).unwrap_or_else(|e| panic!("{e}\n{html}"))
}

pub fn named<'a>(tree: &'a Document<'a>, names: &[&str]) -> Vec<Node<'a, 'a>> {
    tree.descendants()
        .filter(|node| node.is_element() && names.contains(&node.tag_name().name()))
        .collect()
}

pub fn text(node: Node<'_, '_>) -> String {
    node.descendants()
        .filter(Node::is_text)
        .filter_map(|n| n.text())
        .collect()
}

pub fn page(arguments: &[&str]) -> String {
    answer(&[&["report", "--for", "student", "-o", "-"], arguments].concat())
}

/// Everything that holds for every page.
pub fn check(html: &str) {
    assert!(html.starts_with("<!DOCTYPE html>\n<html lang=\"en\""));
    assert!(html.len() < 1_500_000);
    let tree = parsed(html);
    assert_eq!(named(&tree, &["h1"]).len(), 1);
    assert_eq!(named(&tree, &["main"]).len(), 1);
    let mut level = 0;
    for heading in named(&tree, &["h1", "h2", "h3", "h4", "h5", "h6"]) {
        let own: u32 = heading.tag_name().name()[1..].parse().expect("a level");
        assert!(own <= level + 1, "a level is skipped at {}", text(heading));
        assert!(!text(heading).trim().is_empty());
        level = own;
    }
    let mut landmarks = HashSet::new();
    for aside in named(&tree, &["aside", "nav"]) {
        let name = aside.attribute("aria-label").expect("a name");
        assert!(landmarks.insert(name), "{name} twice");
    }
    let mut ids = HashSet::new();
    for node in tree.descendants() {
        if let Some(id) = node.attribute("id") {
            assert!(ids.insert(id), "{id} twice");
        }
    }
    for node in tree.descendants().filter(Node::is_element) {
        for key in ["aria-labelledby", "aria-describedby", "for"] {
            for id in node.attribute(key).unwrap_or_default().split_whitespace() {
                assert!(ids.contains(id), "{key} {id}");
            }
        }
        if let Some(link) = node.attribute("href") {
            let own = link.strip_prefix('#');
            assert!(
                own.is_some_and(|id| ids.contains(id)) || link == "data:,",
                "{link}"
            );
        }
        for attribute in node.attributes() {
            if let Some(pattern) = attribute.value().strip_prefix("url(#") {
                let id = pattern.trim_end_matches(')');
                assert!(ids.contains(id), "{id}");
            }
        }
        for asks in [
            "src",
            "srcset",
            "data",
            "action",
            "onload",
            "onclick",
            "background",
        ] {
            assert!(node.attribute(asks).is_none(), "{asks}");
        }
    }
    assert!(named(&tree, &["script", "iframe", "object", "embed", "img"]).is_empty());
    assert!(!html.contains("url(http") && !html.contains("@import"));
    for table in named(&tree, &["table"]) {
        let caption = table.children().find(|n| {
            n.has_tag_name((table.tag_name().namespace().unwrap_or_default(), "caption"))
        });
        assert!(caption.is_some_and(|caption| !text(caption).trim().is_empty()));
        let heads = table.descendants().filter(|n| n.tag_name().name() == "th");
        let mut heads = heads.peekable();
        assert!(heads.peek().is_some());
        for head in heads {
            assert!(head.attribute("scope").is_some() && !text(head).trim().is_empty());
        }
        let widths: HashSet<usize> = table
            .descendants()
            .filter(|n| n.tag_name().name() == "tr")
            .map(|row| row.children().filter(Node::is_element).count())
            .collect();
        assert_eq!(widths.len(), 1, "{}", text(table));
    }
    let blank = |svg: &Node<'_, '_>| svg.attribute("aria-hidden") == Some("true");
    for svg in named(&tree, &["svg"]) {
        // a blank tooth to draw on has its name beside it
        if !blank(&svg) {
            labelled(svg);
        }
    }
    for figure in named(&tree, &["figure"]) {
        let caption = figure
            .descendants()
            .find(|n| n.tag_name().name() == "figcaption");
        let caption = text(caption.expect("a caption"));
        assert!(caption.trim().len() > 20, "{caption}");
        let exhibit = figure.parent().expect("an exhibit");
        let tables = exhibit
            .descendants()
            .filter(|n| n.tag_name().name() == "table");
        assert_eq!(tables.count(), 1, "a table under every figure");
    }
    // codes of inks, and numbers that are none
    let body = text(named(&tree, &["body"])[0]);
    for nonsense in ["NaN", "inf ", "-0.00 ", "  none seen of"] {
        assert!(!body.contains(nonsense), "{nonsense}");
    }
    assert!(!html.contains("\"#01"), "an ink's code is left");
}

#[test]
fn the_demo_page_has_every_figure() {
    let html = &demo::page().html;
    check(html);
    let tree = parsed(html);
    let figures = named(&tree, &["svg"]).len();
    assert_eq!(figures, shimcast::questions::report::FIGURES.len());
    for name in shimcast::questions::report::FIGURES {
        assert!(
            tree.descendants().any(|n| n.attribute("id") == Some(name)),
            "{name}"
        );
    }
    // with every figure there is, it is still sent in a moment
    assert!(html.len() < 300_000, "{} bytes", html.len());
    for caution in [
        "the manual rules over any figure here",
        "Axle on stands, wheels chocked",
    ] {
        assert!(html.contains(caution));
    }
}

#[test]
fn awkward_pages_hold_as_well() {
    let narrow = "windows.backlash=[0.160,0.1601]";
    for arguments in [
        ["--rebuilds", "1"].as_slice(),
        &["--rebuilds", "2", "examples/sorrel-71.axle.toml"],
        &[
            "--rebuilds",
            "3000",
            "examples/sorrel-71.axle.toml",
            "--gears",
            "kept",
        ],
        &["--rebuilds", "1000", "examples/short.axle.toml"],
        &[
            "--rebuilds",
            "1000",
            "--set",
            narrow,
            "--set",
            "bench.most_assemblies=1",
        ],
        &[
            "--rebuilds",
            "40",
            "--set",
            narrow,
            "--set",
            "bench.most_assemblies=1",
        ],
        &[
            "--rebuilds",
            "500",
            "--anyway",
            "--set",
            "windows.backlash=[0.0,3.0]",
        ],
        &[
            "--rebuilds",
            "500",
            "--set",
            "side_shims.seat=screw adjusters",
            "--bearings",
            "kept",
        ],
    ] {
        check(&page(&[arguments, &["--no-stock"]].concat()));
    }
    check(&answer(&["report", "--sheet", "-o", "-"]));
    let tamarack = [
        "examples/tamarack-88.axle.toml",
        "--shop",
        "examples/quay-lane.shop.toml",
    ];
    check(&page(
        &[&tamarack, ["--rebuilds", "500", "--no-stock"].as_slice()].concat(),
    ));
    check(&page(&[&tamarack, ["--sheet"].as_slice()].concat()));
}

#[test]
fn what_a_file_says_stays_text() {
    let folder = Folder::new("hostile");
    let hostile = "A<script>alert(1)</script> & \\\"B\\\" 'C' ]]> <h1>";
    let axle = folder.path("x.axle.toml");
    let renamed = |text: &str| {
        let lines = text.lines().map(|line| match line.starts_with("name ") {
            true => format!("name = \"{hostile}\"\n"),
            false => format!("{line}\n"),
        });
        lines.collect::<String>()
    };
    std::fs::write(&axle, renamed(crate::given::text_of("short.axle.toml"))).expect("an axle");
    let shop = folder.path("x.shop.toml");
    let text_of_shop = renamed(crate::given::text_of("north-bench.shop.toml"))
        .replace("\"EUR\"", "\"<EUR&>\"")
        .replace("rowan-215.axle.toml", "x.axle.toml")
        .split("[[jobs]]")
        .take(2)
        .collect::<Vec<_>>()
        .join("[[jobs]]");
    std::fs::write(&shop, text_of_shop).expect("a shop");
    let paths = [
        axle.to_str().expect("text"),
        "--shop",
        shop.to_str().expect("text"),
    ];
    for more in [["--rebuilds", "500"].as_slice(), &["--sheet"]] {
        let html = page(&[&paths, &FEW_SIZES[..], more].concat());
        check(&html);
        let tree = parsed(&html);
        let heading = text(named(&tree, &["h1"])[0]);
        assert!(
            heading.contains("A<script>alert(1)</script> & \"B\" 'C' ]]> <h1>"),
            "{heading}"
        );
    }
}

#[test]
fn the_page_says_what_odds_and_quote_say() {
    let html = page(&["--rebuilds", "9000", "--no-stock"]);
    let odds = json(&["odds", "--rebuilds", "9000", "--json"]);
    let quote = json(&["quote", "--rebuilds", "9000", "--json"]);
    let tree = parsed(&html);
    let answer = tree
        .descendants()
        .find(|n| n.attribute("id") == Some("answer"))
        .expect("the answer");
    let numbers = answer
        .descendants()
        .find(|n| n.tag_name().name() == "table");
    let rows: Vec<Vec<String>> = numbers
        .expect("the numbers")
        .descendants()
        .filter(|n| n.tag_name().name() == "tr")
        .skip(1)
        .map(|row| row.children().filter(Node::is_element).map(text).collect())
        .collect();
    assert_eq!(rows.len(), 6);
    let share = |path: &str| format!("{:.1} %", 100.0 * number(odds.pointer(path).expect(path)));
    // half-widths of 9000 rebuilds leave no decimal, or one
    let near = |shown: &str, exact: &str| {
        let figure = |text: &str| {
            text.trim_end_matches(" %")
                .parse::<f64>()
                .expect("a number")
        };
        (figure(shown) - figure(exact)).abs() <= 0.5
    };
    assert!(
        near(&rows[0][1], &share("/first_assembly/all/value")),
        "{rows:?}"
    );
    assert!(
        near(&rows[1][1], &share("/handed_over/all/value")),
        "{rows:?}"
    );
    let mean = number(&odds["effort"]["hours"]["mean"]["value"]);
    assert_eq!(rows[4][1], format!("{mean:.2}"));
    let flat = number(quote.pointer("/recommend/hours").expect("hours"));
    assert_eq!(rows[5][1], format!("{flat:.2}"));
}

#[test]
fn threads_change_nothing_on_the_page() {
    let with = |threads| page(&["--rebuilds", "9000", "--no-stock", "--threads", threads]);
    assert_eq!(with("1"), with("3"));
}

/// Style variables in one block of the style sheet.
fn theme(block: &str) -> Vec<(&str, [f64; 3])> {
    let declarations = block.split(';').filter_map(|part| {
        let (name, value) = part.trim().split_once(':')?;
        let name = name.trim().strip_prefix("--")?;
        let hex = value.trim().strip_prefix('#')?;
        let channel = |i: usize| u8::from_str_radix(&hex[i..i + 2], 16).expect("a colour");
        Some((name, [0, 2, 4].map(|i| f64::from(channel(i)) / 255.0)))
    });
    declarations.collect()
}

/// WCAG 2.2 contrast ratio.
fn contrast(a: [f64; 3], b: [f64; 3]) -> f64 {
    let luminance = |colour: [f64; 3]| {
        let linear = colour.map(|c| match c <= 0.04045 {
            true => c / 12.92,
            false => ((c + 0.055) / 1.055).powf(2.4),
        });
        0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn every_theme_has_contrast() {
    assert!((contrast([0.0; 3], [1.0; 3]) - 21.0).abs() < 1e-9);
    let style = shimcast::faces::html::STYLE;
    let blocks: Vec<&str> = style
        .split(":root {")
        .skip(1)
        .map(|rest| rest.split('}').next().expect("a block"))
        .collect();
    assert_eq!(blocks.len(), 3, "light, dark, print");
    let light = theme(blocks[0]);
    for block in &blocks {
        let colours = theme(block);
        let colour = |name: &str| {
            let found = colours.iter().find(|(own, _)| *own == name);
            found.unwrap_or_else(|| panic!("no {name}")).1
        };
        assert_eq!(colours.len(), light.len(), "every theme has every colour");
        let paper = colour("paper");
        for text in ["text", "muted", "link"] {
            for ground in ["paper", "caution"] {
                let ratio = contrast(colour(text), colour(ground));
                assert!(ratio >= 4.5, "{text} on {ground}: {ratio:.2}");
            }
        }
        for drawn in ["blue", "vermillion", "green", "purple", "muted"] {
            let ratio = contrast(colour(drawn), paper);
            assert!(ratio >= 3.0, "{drawn} on paper: {ratio:.2}");
        }
        // bars, limits and points that stand on a window's band, too
        for drawn in ["blue", "vermillion", "text"] {
            let ratio = contrast(colour(drawn), colour("band"));
            assert!(ratio >= 3.0, "{drawn} on the band: {ratio:.2}");
        }
    }
    // paper is white in print
    assert_eq!(theme(blocks[2]), {
        let mut white = light.clone();
        for (name, colour) in &mut white {
            if *name == "caution" {
                *colour = [1.0; 3];
            }
        }
        white
    });
}

#[test]
fn figures_as_files_stand_alone() {
    let charts = &demo::page().charts;
    for name in shimcast::questions::report::FIGURES {
        let svg = &charts[&format!("{name}.svg")];
        assert!(svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" width="));
        assert!(!svg.contains("var("), "{name} leans on a style");
        let tree = Document::parse(svg).unwrap_or_else(|e| panic!("{name}: {e}"));
        labelled(tree.root_element());
        // what it is, and what it is made from
        let said = text(tree.root_element());
        let of = match name {
            "service" | "shims" => "The shim drawer of North Bench",
            _ => "Rowan 215 at North Bench",
        };
        assert_eq!(
            said.lines().filter(|line| line.starts_with(of)).count(),
            1,
            "{name}"
        );
        assert!(said.contains("seed 1"), "{name}");
    }
    // the colours of a file are those of the light page
    let svg = &charts["backlash.svg"];
    for variable in [
        "--text",
        "--muted",
        "--grid",
        "--band",
        "--blue",
        "--vermillion",
        "--green",
    ] {
        let light = shimcast::faces::html::STYLE
            .split(&format!("{variable}: "))
            .nth(1)
            .expect("light");
        let hex = light.split(';').next().expect("a colour");
        assert!(svg.contains(hex), "{variable} {hex}");
    }
}
