//! Figures as SVG: pure functions of what they show. Nothing else knows the drawing library.
//!
//! A figure is drawn on a `canvas` in `ink`s and goes through one function of `figure`, which
//! gives it its title, its description and names that are its own in a page.

mod axis;
mod canvas;
mod cloud;
mod curve;
mod figure;
mod histogram;
mod ink;
mod key;
mod levels;
mod maps;
mod packs;
mod rows;
mod steps;
mod strips;
mod tooth;

pub use axis::{Axis, nice_width};
pub use cloud::{Arrow, Band, Cloud, Dot, cloud};
pub use curve::{Curve, Mark, Sample, curve};
pub use figure::{Figure, Words};
pub use histogram::{Bars, Histogram, Line, histogram};
pub use levels::{Group, levels};
pub use maps::{Cell, Map, Maps, maps};
pub use packs::{Place, packs};
pub use rows::{Bar, Fill, Row, Rows, rows};
pub use steps::{Step, Steps, steps};
pub use strips::{Strip, strips};
pub use tooth::{Fall, Panel, teeth};

/// Width of every figure, and the sides of a plot in it.
const WIDTH: f64 = 440.0;
const LEFT: f64 = 46.0;
const RIGHT: f64 = 416.0;
