//! Single rebuilds as a cloud of two figures, windows that both decide together, and the ways that
//! a shim moves them.

use super::canvas::{End, Frame, LEFT, Plot, SECOND, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::{BAND, BLUE, GREEN_DASHED, Ink, MUTED_DASHED, PAPER, PURPLE, TEXT, VERMILLION};
use super::key::{Sign, key, lines};
use crate::document::{Axis, Band, Cloud, Dot};

const HEIGHT: f64 = 300.0;
const FEW: usize = 60;

/// Draws a cloud.
pub(super) fn cloud(shown: &Cloud) -> Drawing {
    let mut entries = vec![
        (Sign::Dot(BLUE), "right in every window"),
        (Sign::Cross(VERMILLION), "out of a window"),
        (Sign::Window, shown.window.1.as_str()),
        (Sign::Line(MUTED_DASHED), shown.limits.1.as_str()),
    ];
    if !shown.path.0.is_empty() {
        entries.push((Sign::Line(TEXT), shown.path.1.as_str()));
    }
    if !shown.moved.0.is_empty() {
        entries.push((Sign::Triangle(PURPLE), shown.moved.1.as_str()));
    }
    let top = 14.0 + lines(2, entries.len()) + 24.0;
    let bottom = top + HEIGHT;
    let height = bottom + 44.0 + 17.0 * shown.arrows.len() as f64 + 4.0;
    drawn([WIDTH, height], |canvas| {
        key(canvas, &[LEFT, SECOND], 12.0, &entries);
        let frame = Frame::wide(top, bottom);
        let plot = canvas.plot(frame, &shown.x, &shown.y);
        let (band, _) = &shown.window;
        let corners = within(frame_of(&shown.x, &shown.y), band);
        if corners.len() > 2 {
            let places: Vec<[f64; 2]> = corners.iter().map(|c| plot.place(*c)).collect();
            canvas.polygon(&places, BAND);
        }
        edges(&plot, band, shown, GREEN_DASHED);
        let mut allowed = frame_of(&shown.x, &shown.y);
        for limit in &shown.limits.0 {
            allowed = within(allowed, limit);
        }
        for edge in sides(&allowed) {
            // where the frame cuts it off it stays open
            if !on_frame(&edge, &shown.x, &shown.y) {
                plot.line(&edge, MUTED_DASHED, 1.3);
            }
        }
        // a few points are drawn so that they are seen
        let size = if shown.dots.len() < FEW { 2.0 } else { 1.0 };
        let held = |dot: &&Dot| plot.holds([dot.x, dot.y]);
        let (right, out): (Vec<&Dot>, Vec<&Dot>) =
            shown.dots.iter().filter(held).partition(|dot| dot.right);
        for dot in out {
            let place = plot.place([dot.x, dot.y]);
            canvas.cross(place, 1.7 * size, VERMILLION, 0.8 * size);
        }
        for dot in right {
            canvas.dot(plot.place([dot.x, dot.y]), 2.2 * size, BLUE);
        }
        for place in shown.moved.0.iter().filter(|place| plot.holds(**place)) {
            canvas.triangle(plot.place(*place), 2.6 * size, PURPLE, 0.9 * size);
        }
        path(&plot, &shown.path.0, shown.numbered);
        if !shown.arrows.is_empty() {
            arrows(&plot, shown);
        }
        for (i, arrow) in shown.arrows.iter().enumerate() {
            let y = bottom + 50.0 + 17.0 * i as f64;
            canvas.text([LEFT, y], &arrow.letter.to_string(), End::Middle, PURPLE);
            canvas.text([LEFT + 12.0, y], &arrow.text, End::Left, TEXT);
        }
    })
}

/// One rebuild from its first assembly, an open ring, to its last, a full one.
fn path(plot: &Plot<'_, '_>, places: &[[f64; 2]], numbered: bool) {
    let shown = places.iter().enumerate();
    let shown = shown.filter(|(_, place)| plot.holds(**place));
    let (numbers, held): (Vec<usize>, Vec<[f64; 2]>) = shown
        .map(|(number, place)| (number + 1, plot.place(*place)))
        .unzip();
    for step in held.windows(2) {
        // bright under dark, so that it is seen among the points
        plot.canvas.line(step, PAPER, 4.0);
        plot.canvas.line(step, TEXT, 1.6);
    }
    for (i, place) in held.iter().enumerate() {
        plot.canvas.dot(*place, 5.0, PAPER);
        plot.canvas.dot(*place, 4.0, TEXT);
        if i + 1 < held.len() {
            plot.canvas.dot(*place, 2.4, PAPER);
        }
    }
    if numbered {
        number_them(plot, &numbers, &held);
    }
}

/// Numbers beside places, each on paper of its own and none on top of another.
fn number_them(plot: &Plot<'_, '_>, numbers: &[usize], places: &[[f64; 2]]) {
    const NEAR: f64 = 15.0;
    let mut taken: Vec<[f64; 2]> = Vec::new();
    for (number, [x, y]) in numbers.iter().zip(places) {
        let beside = [
            [13.0, -11.0],
            [-13.0, -11.0],
            [13.0, 11.0],
            [-13.0, 11.0],
            [0.0, -19.0],
        ];
        let beside = beside.map(|[right, down]| [x + right, y + down]);
        let free = |at: &&[f64; 2]| {
            let apart = |other: &[f64; 2]| (at[0] - other[0]).hypot(at[1] - other[1]) > NEAR;
            taken.iter().all(apart)
        };
        let at = *beside.iter().find(free).unwrap_or(&beside[0]);
        taken.push(at);
        plot.canvas.dot(at, 8.0, PAPER);
        plot.canvas.text(at, &number.to_string(), End::Middle, TEXT);
    }
}

/// All arrows from one place, in the upper right corner, where rebuilds are few.
fn arrows(plot: &Plot<'_, '_>, shown: &Cloud) {
    let zero = plot.place([0.0, 0.0]);
    let moves = shown.arrows.iter().map(|arrow| {
        let end = plot.place(arrow.by);
        [end[0] - zero[0], end[1] - zero[1]]
    });
    let moves: Vec<[f64; 2]> = moves.collect();
    let right = moves.iter().map(|m| m[0]).fold(0.0, f64::max);
    let up = moves.iter().map(|m| m[1]).fold(0.0, f64::min);
    let from = [plot.frame.right - 20.0 - right, plot.frame.top + 20.0 - up];
    for (arrow, by) in shown.arrows.iter().zip(moves) {
        let to = [from[0] + by[0], from[1] + by[1]];
        let long = (to[0] - from[0]).hypot(to[1] - from[1]).max(1e-9);
        let aside =
            |place: [f64; 2], by: f64| [0, 1].map(|i| place[i] + by * (to[i] - from[i]) / long);
        plot.canvas.arrow(from, to, PURPLE, 2.4);
        let letter = arrow.letter.to_string();
        plot.canvas
            .text(aside(to, 9.0), &letter, End::Middle, PURPLE);
    }
    plot.canvas.dot(from, 3.0, PURPLE);
}

fn edges(plot: &Plot<'_, '_>, band: &Band, shown: &Cloud, ink: Ink) {
    for limit in [band.low, band.high] {
        if let Some(ends) = crossing(band.across, limit, &shown.x, &shown.y) {
            plot.line(&ends, ink, 1.3);
        }
    }
}

/// Where the line `across · place = limit` enters and leaves the frame.
fn crossing(across: [f64; 2], limit: f64, x: &Axis, y: &Axis) -> Option<[[f64; 2]; 2]> {
    let [a, b] = across;
    let mut ends: Vec<[f64; 2]> = Vec::new();
    if b != 0.0 {
        let at = |x: f64| [x, (limit - a * x) / b];
        ends.extend([at(x.low), at(x.high)]);
    }
    if a != 0.0 {
        let at = |y: f64| [(limit - b * y) / a, y];
        ends.extend([at(y.low), at(y.high)]);
    }
    let slack = 1e-9 * (x.high - x.low + y.high - y.low);
    ends.retain(|[px, py]| {
        (x.low - slack..=x.high + slack).contains(px)
            && (y.low - slack..=y.high + slack).contains(py)
    });
    let first = *ends.first()?;
    let far = |p: &[f64; 2]| (p[0] - first[0]).hypot(p[1] - first[1]);
    let last = ends.into_iter().max_by(|p, q| far(p).total_cmp(&far(q)))?;
    (far(&last) > slack).then_some([first, last])
}

fn frame_of(x: &Axis, y: &Axis) -> Vec<[f64; 2]> {
    vec![
        [x.low, y.low],
        [x.high, y.low],
        [x.high, y.high],
        [x.low, y.high],
    ]
}

/// The sides of a polygon.
fn sides(polygon: &[[f64; 2]]) -> impl Iterator<Item = [[f64; 2]; 2]> {
    let next = polygon.iter().cycle().skip(1);
    polygon.iter().zip(next).map(|(from, to)| [*from, *to])
}

/// Whether a line lies on a side of the frame.
fn on_frame(ends: &[[f64; 2]; 2], x: &Axis, y: &Axis) -> bool {
    let on = |place: usize, limit: f64, axis: &Axis| {
        let slack = 1e-9 * (axis.high - axis.low);
        ends.iter().all(|end| (end[place] - limit).abs() <= slack)
    };
    on(0, x.low, x) || on(0, x.high, x) || on(1, y.low, y) || on(1, y.high, y)
}

/// The part of a polygon that lies in a band.
fn within(polygon: Vec<[f64; 2]>, band: &Band) -> Vec<[f64; 2]> {
    let value = |p: &[f64; 2]| band.across[0] * p[0] + band.across[1] * p[1];
    let above = cut(polygon, &|p| value(p) - band.low);
    cut(above, &|p| band.high - value(p))
}

/// The part of a polygon where `keep`, which is linear, is not below zero.
///
/// # Source
/// Sutherland and Hodgman, "Reentrant polygon clipping", CACM 17 (1974) 32–42.
fn cut(polygon: Vec<[f64; 2]>, keep: &dyn Fn(&[f64; 2]) -> f64) -> Vec<[f64; 2]> {
    let mut kept = Vec::new();
    for (i, to) in polygon.iter().enumerate() {
        let from = &polygon[(i + polygon.len() - 1) % polygon.len()];
        let (at_from, at_to) = (keep(from), keep(to));
        if (at_from < 0.0) != (at_to < 0.0) {
            let t = at_from / (at_from - at_to);
            kept.push([0, 1].map(|i| from[i] + t * (to[i] - from[i])));
        }
        if at_to >= 0.0 {
            kept.push(*to);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> [Axis; 2] {
        [Axis::new(-1.0, 1.0, "x", 4), Axis::new(-1.0, 1.0, "y", 4)]
    }

    #[test]
    fn a_band_is_cut_to_the_frame() {
        let [x, y] = square();
        let band = |across, low, high| Band { across, low, high };
        let area = |corners: Vec<[f64; 2]>| {
            let pairs = corners.iter().zip(corners.iter().cycle().skip(1));
            0.5 * pairs.map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum::<f64>()
        };
        let upright = within(frame_of(&x, &y), &band([1.0, 0.0], -0.5, 0.5));
        assert!((area(upright) - 2.0).abs() < 1e-12);
        // x + y from 0 to 1: half the square less a corner
        let slanted = within(frame_of(&x, &y), &band([1.0, 1.0], 0.0, 1.0));
        assert!((area(slanted) - 1.5).abs() < 1e-12);
        assert!(within(frame_of(&x, &y), &band([1.0, 0.0], 3.0, 4.0)).is_empty());
    }

    #[test]
    fn what_the_frame_cuts_off_stays_open() {
        let [x, y] = square();
        let band = |across, low, high| Band { across, low, high };
        // open above and below: only its upright sides are its own
        let cut_off = within(frame_of(&x, &y), &band([1.0, 0.0], -0.5, 0.5));
        let own: Vec<_> = sides(&cut_off)
            .filter(|edge| !on_frame(edge, &x, &y))
            .collect();
        assert_eq!(own.len(), 2, "{own:?}");
        assert!(
            own.iter()
                .all(|[from, to]| from[0] == to[0] && from[0].abs() == 0.5)
        );
    }

    #[test]
    fn a_limit_crosses_the_frame_or_not() {
        let [x, y] = square();
        let ends = crossing([1.0, 1.0], 0.0, &x, &y).expect("the diagonal");
        assert!((ends[0][0] - ends[1][0]).abs() > 1.99);
        assert_eq!(crossing([1.0, 0.0], 2.0, &x, &y), None);
        assert_eq!(crossing([0.0, 0.0], 0.0, &x, &y), None);
    }
}
