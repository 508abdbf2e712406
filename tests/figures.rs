//! What holds for every figure that is drawn.

use roxmltree::Node;

use crate::page::text;

/// A labelled figure: a title, a description, a role, and coordinates that are numbers.
pub fn labelled(svg: Node<'_, '_>) {
    assert_eq!(svg.attribute("role"), Some("img"));
    let mut children = svg.children().filter(Node::is_element);
    let (title, description) = (
        children.next().expect("title"),
        children.next().expect("desc"),
    );
    assert_eq!(title.tag_name().name(), "title");
    assert_eq!(description.tag_name().name(), "desc");
    assert!(text(title).ends_with('?'), "{}", text(title));
    assert!(text(description).len() > 60, "{}", text(description));
    let labels = svg.attribute("aria-labelledby").expect("labels");
    let own = [title, description].map(|n| n.attribute("id").expect("an id"));
    assert_eq!(labels, own.join(" "));
    let size: Vec<f64> = svg
        .attribute("viewBox")
        .expect("a size")
        .split(' ')
        .map(|x| x.parse().expect("a number"))
        .collect();
    for node in svg.descendants().filter(Node::is_element) {
        for (key, most) in [
            ("x", 2),
            ("y", 3),
            ("cx", 2),
            ("cy", 3),
            ("x1", 2),
            ("y1", 3),
            ("x2", 2),
            ("y2", 3),
        ] {
            if node.tag_name().name() == "rect" && node.attribute("width") == Some("100%") {
                continue;
            }
            if let Some(place) = node.attribute(key) {
                let place: f64 = place.parse().expect("a number");
                assert!(
                    (0.0..=size[most]).contains(&place),
                    "{key} {place} of {node:?}"
                );
            }
        }
        for side in ["width", "height", "r"] {
            if let Some(side) = node.attribute(side).filter(|side| !side.ends_with('%')) {
                assert!(side.parse::<f64>().expect("a number") >= 0.0);
            }
        }
        if let Some(path) = node.attribute("d") {
            for [x, y] in places(path) {
                let inside = (0.0..=size[2]).contains(&x) && (0.0..=size[3]).contains(&y);
                assert!(inside, "{x} {y} of {node:?}");
            }
        }
        if node.tag_name().name() == "text" {
            let size: f64 = node
                .ancestors()
                .find_map(|of| of.attribute("font-size"))
                .expect("a size")
                .parse()
                .expect("a number");
            assert!((115.0..=135.0).contains(&size), "{size}");
        }
    }
}

/// Every place that a path goes through: `M x y`, steps `m dx dy` and `l dx dy`, `h dx`, `v dy`, and `z`.
fn places(path: &str) -> Vec<[f64; 2]> {
    let mut at = [0.0, 0.0];
    let mut began = at;
    let mut all = Vec::new();
    let closed = format!("{path}z");
    let mut command = None;
    for piece in closed.split_inclusive(|c: char| c.is_ascii_alphabetic()) {
        let (numbers, next) = piece.split_at(piece.len() - 1);
        // a sign divides as well as a blank
        let numbers: Vec<f64> = numbers
            .replace('-', " -")
            .split_whitespace()
            .map(|number| number.parse().expect("a number"))
            .collect();
        match (command, numbers.as_slice()) {
            (Some("M"), [x, y]) => {
                at = [*x, *y];
                began = at;
            }
            (Some("m"), [dx, dy]) => {
                at = [at[0] + dx, at[1] + dy];
                began = at;
            }
            (Some("l"), [dx, dy]) => at = [at[0] + dx, at[1] + dy],
            (Some("h"), [dx]) => at[0] += dx,
            (Some("v"), [dy]) => at[1] += dy,
            (Some("z"), []) => at = began,
            (None, []) => {}
            other => panic!("{other:?} in {path}"),
        }
        all.extend(command.map(|_| at));
        command = Some(next);
    }
    all
}
