//! Where figures are drawn: shapes and text in units of the figure's size, plots in those of their
//! axes.

use plotters::coord::Shift;
use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

use super::drawing::{Drawing, FINE, TYPE};
use super::ink::{GRID, Ink, MUTED, TEXT};
use super::shapes::{Shapes, TYPE_COMES_OUT};
use crate::document::Axis;

/// Width of every figure, and the sides of a plot in it: narrow enough that its type is still read
/// on a phone.
pub(super) const WIDTH: f64 = 380.0;
pub(super) const LEFT: f64 = 44.0;
pub(super) const RIGHT: f64 = 366.0;
/// Where the second column of a key begins.
pub(super) const SECOND: f64 = 216.0;

/// Half the width of the ends of a whisker.
const CAP: f64 = 3.0;

/// Drawing goes into memory, which takes everything.
const INTO_MEMORY: &str = "drawing into memory does not fail";

/// Which end of a text is at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum End {
    Left,
    Middle,
    Right,
}

/// The ground of a figure.
pub(super) struct Canvas<'a>(DrawingArea<Shapes<'a>, Shift>);

/// Draws a figure of this size.
pub(super) fn drawn(size: [f64; 2], paint: impl FnOnce(&Canvas<'_>)) -> Drawing {
    let mut shapes = Vec::new();
    {
        let [width, height] = size.map(|side| (side * FINE) as u32);
        let backend = Shapes {
            size: (width, height),
            drawn: &mut shapes,
        };
        paint(&Canvas(backend.into_drawing_area()));
    }
    Drawing { size, shapes }
}

fn fine(x: f64) -> i32 {
    (x * FINE).round() as i32
}

fn at([x, y]: [f64; 2]) -> (i32, i32) {
    (fine(x), fine(y))
}

fn line_style(ink: Ink, width: f64) -> ShapeStyle {
    ink.code().stroke_width((width * FINE).round() as u32)
}

impl<'a> Canvas<'a> {
    /// A text at a place, its middle on the line.
    pub(super) fn text(&self, place: [f64; 2], text: &str, end: End, ink: Ink) {
        self.text_sized(place, text, end, ink, TYPE);
    }

    pub(super) fn text_sized(&self, place: [f64; 2], text: &str, end: End, ink: Ink, size: f64) {
        let anchor = match end {
            End::Left => HPos::Left,
            End::Middle => HPos::Center,
            End::Right => HPos::Right,
        };
        let colour = ink.code();
        let style = ("sans-serif", size * FINE * TYPE_COMES_OUT)
            .into_text_style(&self.0)
            .color(&colour)
            .pos(Pos::new(anchor, VPos::Center));
        let text = Text::new(text.to_owned(), at(place), style);
        self.0.draw(&text).expect(INTO_MEMORY);
    }

    /// A filled rectangle between two corners.
    pub(super) fn rectangle(&self, corners: [[f64; 2]; 2], ink: Ink) {
        let shape = Rectangle::new(corners.map(at), ink.code().filled());
        self.0.draw(&shape).expect(INTO_MEMORY);
    }

    /// Its outline, inside the corners.
    pub(super) fn outline(
        &self,
        [[left, top], [right, bottom]]: [[f64; 2]; 2],
        ink: Ink,
        width: f64,
    ) {
        let half = 0.5 * width;
        let [left, right] = [left + half, (right - half).max(left + half)];
        let [top, bottom] = [top + half, bottom - half];
        let round = [
            [left, top],
            [right, top],
            [right, bottom],
            [left, bottom],
            [left, top],
        ];
        self.line(&round, ink, width);
    }

    /// The same in a paler shade: from nothing, 0, to the ink itself, 1.
    pub(super) fn shade(&self, corners: [[f64; 2]; 2], ink: Ink, strength: f64) {
        let shape = Rectangle::new(corners.map(at), ink.code().mix(strength).filled());
        self.0.draw(&shape).expect(INTO_MEMORY);
    }

    /// A line from place to place.
    pub(super) fn line(&self, places: &[[f64; 2]], ink: Ink, width: f64) {
        let places: Vec<(i32, i32)> = places.iter().copied().map(at).collect();
        let shape = PathElement::new(places, line_style(ink, width));
        self.0.draw(&shape).expect(INTO_MEMORY);
    }

    pub(super) fn polygon(&self, places: &[[f64; 2]], ink: Ink) {
        let places: Vec<(i32, i32)> = places.iter().copied().map(at).collect();
        let shape = Polygon::new(places, ink.code().filled());
        self.0.draw(&shape).expect(INTO_MEMORY);
    }

    pub(super) fn dot(&self, place: [f64; 2], radius: f64, ink: Ink) {
        let shape = Circle::new(at(place), fine(radius), ink.code().filled());
        self.0.draw(&shape).expect(INTO_MEMORY);
    }

    /// A cross, its arms so long.
    pub(super) fn cross(&self, [x, y]: [f64; 2], arm: f64, ink: Ink, width: f64) {
        self.line(&[[x - arm, y - arm], [x + arm, y + arm]], ink, width);
        self.line(&[[x - arm, y + arm], [x + arm, y - arm]], ink, width);
    }

    /// The outline of a triangle that stands on its base, so high from its middle to its tip.
    pub(super) fn triangle(&self, [x, y]: [f64; 2], tip: f64, ink: Ink, width: f64) {
        let [side, base] = [0.87 * tip, y + 0.5 * tip];
        let top = [x, y - tip];
        let round = [top, [x + side, base], [x - side, base], top];
        self.line(&round, ink, width);
    }

    /// A line between two places, a short one across each end of it.
    pub(super) fn whisker(&self, ends: [[f64; 2]; 2], ink: Ink, width: f64) {
        self.line(&ends, ink, width);
        for [x, y] in ends {
            self.line(&[[x - CAP, y], [x + CAP, y]], ink, width);
        }
    }

    /// An arrow from place to place, its head at the second one.
    pub(super) fn arrow(&self, from: [f64; 2], to: [f64; 2], ink: Ink, width: f64) {
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let long = dx.hypot(dy).max(1e-9);
        let (ux, uy) = (dx / long, dy / long);
        let head = 9.0_f64.min(long);
        let back = [to[0] - head * ux, to[1] - head * uy];
        let side = 0.42 * head;
        self.line(&[from, back], ink, width);
        let head = [
            to,
            [back[0] - side * uy, back[1] + side * ux],
            [back[0] + side * uy, back[1] - side * ux],
        ];
        self.polygon(&head, ink);
    }

    /// A plot in this frame, with its axes: `x` below, `y` to the left, its label above it.
    pub(super) fn plot(&self, frame: Frame, x: &Axis, y: &Axis) -> Plot<'_, 'a> {
        let Frame {
            left,
            right,
            top,
            bottom,
        } = frame;
        let area =
            self.0
                .clone()
                .apply_coord_spec(Cartesian2d::<RangedCoordf64, RangedCoordf64>::new(
                    x.low..x.high,
                    y.low..y.high,
                    // upwards, so from the bottom
                    (fine(left)..fine(right), fine(bottom)..fine(top)),
                ));
        let plot = Plot {
            canvas: self,
            area,
            frame,
            x: [x.low, x.high],
            y: [y.low, y.high],
        };
        let heights = y.marks.iter().map(|(value, _)| plot.place([x.low, *value]));
        let heights: Vec<f64> = heights.map(|place| place[1]).collect();
        let sides = x.marks.iter().map(|(value, _)| plot.place([*value, y.low]));
        let sides: Vec<f64> = sides.map(|place| place[0]).collect();
        for &line in &heights {
            self.line(&[[left, line], [right, line]], GRID, 0.8);
        }
        for &line in &sides {
            self.line(&[[line, bottom], [line, bottom + 4.0]], MUTED, 0.8);
        }
        for (line, (_, text)) in heights.iter().zip(&y.marks) {
            self.text([left - 5.0, *line], text, End::Right, MUTED);
        }
        for (line, (_, text)) in sides.iter().zip(&x.marks) {
            self.text([*line, bottom + 13.0], text, End::Middle, MUTED);
        }
        self.line(&[[left, bottom], [right, bottom]], MUTED, 1.0);
        if !x.label.is_empty() {
            self.text(
                [0.5 * (left + right), bottom + 30.0],
                &x.label,
                End::Middle,
                TEXT,
            );
        }
        if !y.label.is_empty() {
            self.text([4.0, top - 15.0], &y.label, End::Left, TEXT);
        }
        plot
    }
}

/// Where a plot is, in units of the figure's size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Frame {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
}

impl Frame {
    /// As wide as a figure has room for.
    pub(super) fn wide(top: f64, bottom: f64) -> Self {
        Self {
            left: LEFT,
            right: RIGHT,
            top,
            bottom,
        }
    }
}

/// A plot: shapes in the units of its axes.
pub(super) struct Plot<'c, 'a> {
    pub(super) canvas: &'c Canvas<'a>,
    area: DrawingArea<Shapes<'a>, Cartesian2d<RangedCoordf64, RangedCoordf64>>,
    pub(super) frame: Frame,
    x: [f64; 2],
    y: [f64; 2],
}

impl Plot<'_, '_> {
    /// Where values lie on the canvas.
    pub(super) fn place(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let (x, y) = self.area.map_coordinate(&(x, y));
        [f64::from(x) / FINE, f64::from(y) / FINE]
    }

    /// Whether values lie in the frame.
    pub(super) fn holds(&self, [x, y]: [f64; 2]) -> bool {
        (self.x[0]..=self.x[1]).contains(&x) && (self.y[0]..=self.y[1]).contains(&y)
    }

    fn held(&self, [x, y]: [f64; 2]) -> (f64, f64) {
        (x.clamp(self.x[0], self.x[1]), y.clamp(self.y[0], self.y[1]))
    }

    /// A bar between two corners, as far as it lies in the frame.
    pub(super) fn bar(&self, corners: [[f64; 2]; 2], ink: Ink) {
        let [(x0, y0), (x1, y1)] = corners.map(|corner| self.held(corner));
        // upper left and lower right, as the library wants them
        let shape = Rectangle::new([(x0, y1), (x1, y0)], ink.code().filled());
        self.area.draw(&shape).expect(INTO_MEMORY);
    }

    /// A line, held in the frame.
    pub(super) fn line(&self, values: &[[f64; 2]], ink: Ink, width: f64) {
        let values: Vec<(f64, f64)> = values.iter().map(|v| self.held(*v)).collect();
        let shape = PathElement::new(values, line_style(ink, width));
        self.area.draw(&shape).expect(INTO_MEMORY);
    }

    /// An area, held in the frame.
    pub(super) fn area(&self, values: &[[f64; 2]], ink: Ink) {
        let values: Vec<(f64, f64)> = values.iter().map(|v| self.held(*v)).collect();
        let shape = Polygon::new(values, ink.code().filled());
        self.area.draw(&shape).expect(INTO_MEMORY);
    }

    /// A line from left to right.
    pub(super) fn across(&self, y: f64, ink: Ink, width: f64) {
        self.line(&[[self.x[0], y], [self.x[1], y]], ink, width);
    }

    /// A line from bottom to top.
    pub(super) fn upright(&self, x: f64, ink: Ink, width: f64) {
        self.line(&[[x, self.y[0]], [x, self.y[1]]], ink, width);
    }

    /// A window on the x axis: a band with both limits drawn in.
    pub(super) fn window(&self, low: f64, high: f64) {
        self.bar([[low, self.y[0]], [high, self.y[1]]], super::ink::BAND);
        for limit in [low, high] {
            if (self.x[0]..=self.x[1]).contains(&limit) {
                self.upright(limit, super::ink::GREEN_DASHED, 1.2);
            }
        }
    }
}
