//! Figures as SVG, pure functions of what they show. Nothing else knows the drawing library.
//!
//! A chart is drawn on a `canvas` in `ink`s; `drawing` gives it its title, its description and
//! names that are its own in a page.

mod canvas;
mod caption;
mod cloud;
mod curve;
mod drawing;
mod histogram;
mod hundred;
mod ink;
mod key;
mod levels;
mod maps;
mod packs;
mod rows;
mod shapes;
mod spans;
mod stacked;
mod strips;
mod tooth;

use self::drawing::Drawing;
use self::ink::Ground;
use crate::document::wording::printed;
use crate::document::{Chart, Figure, Made};

/// A figure as part of a page, whose style gives the paints.
pub fn inline(figure: &Figure) -> String {
    drawn(&figure.chart).svg(figure, Ground::Page, "", "")
}

/// A figure as a file of its own, on white: its question above, what it is made from below.
pub fn file(figure: &Figure, made: &Made) -> String {
    let figure = &figure.worded(&printed);
    let mut below = vec![made.in_short()];
    below.extend(figure.chart.band());
    let drawing = drawn(&figure.chart).captioned(&figure.question, &below);
    let [width, height] = drawing.size;
    let size =
        format!(" xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\"");
    let ground = "<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n";
    format!("{}\n", drawing.svg(figure, Ground::White, &size, ground))
}

/// A blank tooth flank in a form: its label beside it says what it is.
pub fn blank_tooth() -> String {
    tooth::blank(None).unlabelled()
}

/// The same with a pattern on it, up the profile by this share of the tooth, + toward the top.
pub fn marked_tooth(profile: f64) -> String {
    tooth::blank(Some(profile)).unlabelled()
}

/// A blank tooth flank to touch: it says where the middle of the tooth is, and how deep it is there.
pub fn tooth_to_touch() -> String {
    let ([x, y], depth) = tooth::MIDDLE_OF_BLANK;
    let told = format!("<svg data-middle=\"{x} {y}\" data-depth=\"{depth}\" ");
    blank_tooth().replacen("<svg ", &told, 1)
}

fn drawn(chart: &Chart) -> Drawing {
    match chart {
        Chart::Histogram(shown) => histogram::histogram(shown),
        Chart::Curve(shown) => curve::curve(shown),
        Chart::Strips(shown) => strips::strips(shown),
        Chart::Maps(shown) => maps::maps(shown),
        Chart::Cloud(shown) => cloud::cloud(shown),
        Chart::Teeth(shown) => tooth::teeth(shown),
        Chart::Stacked(shown) => stacked::stacked(shown),
        Chart::Packs(shown) => packs::packs(shown),
        Chart::Rows(shown) => rows::rows(shown),
        Chart::Levels(groups) => levels::levels(groups),
        Chart::Hundred(shown) => hundred::hundred(shown),
        Chart::Spans(shown) => spans::spans(shown),
    }
}
