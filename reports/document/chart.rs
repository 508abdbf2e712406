//! Charts: what is drawn, as data. How it is drawn is the face's.

use shimcast_sim::count::estimate::Estimate;

use super::axis::Axis;

/// A chart.
#[derive(Debug, Clone, PartialEq)]
pub enum Chart {
    /// Bars over equal bins.
    Histogram(Histogram),
    /// One figure against another.
    Curve(Curve),
    /// Several figures over one axis.
    Strips(Strips),
    /// One figure over two.
    Maps(Maps),
    /// Single rebuilds.
    Cloud(Cloud),
    /// Tooth flanks.
    Teeth(Teeth),
    /// Shares that grow step by step.
    Stacked(Stacked),
    /// Packs by thickness.
    Packs(Packs),
    /// Named bars.
    Rows(Rows),
    /// Counts, group by group.
    Levels(Vec<Group>),
    /// A hundred jobs.
    Hundred(Hundred),
    /// Figures against windows of their own.
    Spans(Spans),
}

impl Chart {
    /// What its band is, where one is drawn.
    pub fn band(&self) -> Option<String> {
        match self {
            Self::Histogram(shown) => shown.window.map(|_| "Band: the window.".to_owned()),
            Self::Spans(_) => Some("Bands: the windows.".to_owned()),
            Self::Strips(_) => Some("Bands: 95 % intervals of the simulation.".to_owned()),
            Self::Cloud(shown) => Some(format!("Band: {}.", shown.window.1)),
            Self::Rows(_) => Some("Black lines: 95 % intervals of the simulation.".to_owned()),
            _ => None,
        }
    }
}

/// How figures spread: bars over equal bins, a window or single lines among them.
#[derive(Debug, Clone, PartialEq)]
pub struct Histogram {
    /// The axis below, with its unit.
    pub label: String,
    /// Where the first bin begins.
    pub start: f64,
    /// Width of a bin.
    pub width: f64,
    /// A window that the figures should lie in.
    pub window: Option<[f64; 2]>,
    /// Filled bars.
    pub filled: Bars,
    /// A second distribution, as a dashed outline.
    pub outlined: Option<Bars>,
    /// Single lines, from left to right.
    pub lines: Vec<Upright>,
}

/// One distribution.
#[derive(Debug, Clone, PartialEq)]
pub struct Bars {
    /// What it is called in the key.
    pub name: String,
    /// Share in each bin.
    pub shares: Vec<f64>,
}

/// A single line across the bins.
#[derive(Debug, Clone, PartialEq)]
pub struct Upright {
    /// Where.
    pub x: f64,
    /// What it is.
    pub text: String,
}

/// One figure against another, with the interval of each point.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// The axis below.
    pub x: Axis,
    /// The axis to the left.
    pub y: Axis,
    /// What the curve is called in the key.
    pub name: String,
    /// The curve, from left to right.
    pub samples: Vec<Sample>,
    /// A level worth seeing, with its name in the key.
    pub level: Option<(f64, String)>,
    /// Single points.
    pub marks: Vec<Mark>,
}

/// A point of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Along the axis below.
    pub x: f64,
    /// Along the axis to the left, with its interval.
    pub y: Estimate,
}

/// A single point beside the curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Where.
    pub x: f64,
    /// Where.
    pub y: f64,
    /// What it is called in the key.
    pub name: String,
    /// Whether it is what the page recommends.
    pub chosen: bool,
}

/// Several figures over one axis, one strip each below the other: a line with its intervals as a
/// band, and what each sample differs by from one of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Strips {
    /// The axis below, with its unit.
    pub label: String,
    /// Whether a line joins the samples; single ones stand by themselves.
    pub joined: bool,
    /// Place of the sample that the others are held against, and what it is called in the key.
    pub base: (f64, String),
    /// Places on it that are marked, with their text, as many as have room.
    pub marks: Vec<(f64, String)>,
    /// The strips.
    pub strips: Vec<Strip>,
}

/// One strip.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// What it shows, with the unit.
    pub name: String,
    /// The line with its intervals, from left to right; a gap where nothing is known.
    pub samples: Vec<Sample>,
    /// The level of the base and, from it, the difference of each other sample with its interval.
    pub apart: Vec<Sample>,
}

/// One figure over two: cells, shaded by their value.
#[derive(Debug, Clone, PartialEq)]
pub struct Maps {
    /// What goes down, and the values at the rows.
    pub down: (String, Vec<String>),
    /// What goes across, and the values at the columns.
    pub across: (String, Vec<String>),
    /// The cell that the others are held against, by row and column, and what it is called.
    pub base: ([usize; 2], String),
    /// The maps.
    pub maps: Vec<Map>,
}

/// One map.
#[derive(Debug, Clone, PartialEq)]
pub struct Map {
    /// What it shows, with the unit.
    pub name: String,
    /// Its cells, row by row from above.
    pub cells: Vec<Vec<Shade>>,
}

/// One cell.
#[derive(Debug, Clone, PartialEq)]
pub struct Shade {
    /// What shades it; a cell of which nothing is known stays empty.
    pub value: f64,
    /// Its text.
    pub text: String,
    /// What it differs by from the base, with its interval and without, for where there is less
    /// room; empty where no difference was seen.
    pub apart: [String; 2],
}

/// Single rebuilds as a cloud of two figures, windows that both decide together, and the ways that
/// a shim moves them.
#[derive(Debug, Clone, PartialEq)]
pub struct Cloud {
    /// The axis below.
    pub x: Axis,
    /// The axis to the left.
    pub y: Axis,
    /// The rebuilds.
    pub dots: Vec<Dot>,
    /// The window drawn as a band, and its name.
    pub window: (Band, String),
    /// Limits that hold together, drawn as the outline of what they leave, and their name.
    pub limits: (Vec<Band>, String),
    /// One rebuild on its way, and its name; nothing is drawn of an empty one.
    pub path: (Vec<[f64; 2]>, String),
    /// Whether the places on its way are numbered.
    pub numbered: bool,
    /// Where packs would put the rebuilds, and their name; nothing is drawn where it is empty.
    pub moved: (Vec<[f64; 2]>, String),
    /// Ways of moving, drawn from one place.
    pub arrows: Vec<Arrow>,
}

/// One rebuild.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dot {
    /// Where.
    pub x: f64,
    /// Where.
    pub y: f64,
    /// Whether all is right with it.
    pub right: bool,
}

/// Where `across[0]·x + across[1]·y` lies between two limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// What it grows by for a unit of either figure.
    pub across: [f64; 2],
    /// Lower limit.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
}

/// A way in which something is moved.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrow {
    /// The move.
    pub by: [f64; 2],
    /// The letter at its head.
    pub letter: char,
    /// What it is.
    pub text: String,
}

/// Tooth flanks seen from their side, as a workshop looks at them, two in a row.
#[derive(Debug, Clone, PartialEq)]
pub struct Teeth {
    /// Limit either way along the tooth and up its profile, share of the tooth.
    pub window: [f64; 2],
    /// The flanks.
    pub panels: Vec<Panel>,
}

/// One flank in one state.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// What it is called.
    pub name: String,
    /// Single rebuilds.
    pub falls: Vec<Fall>,
}

/// Where the pattern of one rebuild falls: share of the tooth from its centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fall {
    /// Along the tooth, + toward the heel.
    pub length: f64,
    /// Up the profile, + toward the tooth's top.
    pub profile: f64,
}

/// Shares that grow step by step, as stacked bars.
#[derive(Debug, Clone, PartialEq)]
pub struct Stacked {
    /// The axis below.
    pub label: String,
    /// The axis to the left.
    pub share: String,
    /// What the parts are called, from below.
    pub parts: [String; 3],
    /// Bars from left to right.
    pub bars: Vec<StackedBar>,
}

/// One bar.
#[derive(Debug, Clone, PartialEq)]
pub struct StackedBar {
    /// The text below it.
    pub name: String,
    /// Its parts from below.
    pub parts: [f64; 3],
}

/// Packs by thickness, one plot a place on the axle.
#[derive(Debug, Clone, PartialEq)]
pub struct Packs {
    /// The axis of thickness, with its unit.
    pub label: String,
    /// The places.
    pub places: Vec<PacksAt>,
}

/// One place on the axle.
#[derive(Debug, Clone, PartialEq)]
pub struct PacksAt {
    /// What it is called.
    pub name: String,
    /// Thickness and share, thinnest first.
    pub packs: Vec<(f64, f64)>,
}

/// Named figures below each other, each a few bars with their intervals.
#[derive(Debug, Clone, PartialEq)]
pub struct Rows {
    /// The axis below, with its unit.
    pub label: String,
    /// What the bars of a row are, from above, and how each is drawn.
    pub key: Vec<(Fill, String)>,
    /// The rows from above.
    pub rows: Vec<Row>,
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What it is.
    pub name: String,
    /// A bar for each entry of the key; nothing where there is none.
    pub bars: Vec<Option<Bar>>,
}

/// One bar, from zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// How long.
    pub value: f64,
    /// Its interval, where it has one.
    pub interval: Option<[f64; 2]>,
}

impl Bar {
    /// A bar whose length is known exactly.
    pub fn exact(value: f64) -> Self {
        Self {
            value,
            interval: None,
        }
    }

    /// A bar of an estimate; `None` where nothing is known.
    pub fn of(estimate: &Estimate) -> Option<Self> {
        let ends = [estimate.low, estimate.high];
        estimate.value.is_finite().then(|| Self {
            value: estimate.value,
            interval: ends.iter().all(|end| end.is_finite()).then_some(ends),
        })
    }
}

/// How a bar is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fill {
    /// Dark.
    Dark,
    /// Light.
    Light,
    /// Hatched.
    Hatched,
    /// As a warning.
    Alarm,
    /// Its outline only.
    Hollow,
}

/// Counts that belong together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// What they are called.
    pub name: String,
    /// What is counted, and how many.
    pub rows: Vec<(String, u32)>,
}

/// A hundred squares, each one of a hundred jobs, by how they end.
#[derive(Debug, Clone, PartialEq)]
pub struct Hundred {
    /// The ways to end in order, with their share of all jobs.
    pub ways: Vec<(Fill, String, f64)>,
}

/// How figures spread against windows of their own, a strip each.
#[derive(Debug, Clone, PartialEq)]
pub struct Spans {
    /// What a strip is as wide as.
    pub scale: SpanScale,
    /// What the bars of a strip are, from above, and how each is drawn.
    pub key: Vec<(Fill, String)>,
    /// The strips from above.
    pub strips: Vec<SpanStrip>,
}

/// What a strip of spans is as wide as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpanScale {
    /// Its window: all windows are drawn equally wide, and what goes far outside is cut off.
    Window,
    /// Its widest bar: nothing is cut off, however narrow the window gets.
    Bars,
}

/// One strip.
#[derive(Debug, Clone, PartialEq)]
pub struct SpanStrip {
    /// What it is, with the unit.
    pub name: String,
    /// Its window.
    pub window: [f64; 2],
    /// The ends of the window as people read them.
    pub ends: [String; 2],
    /// The ends of the widest bar as people read them; only drawn where that sets the scale.
    pub widest: [String; 2],
    /// For each entry of the key from where to where the figure lies, and its middle; nothing
    /// where there is none.
    pub bars: Vec<Option<[f64; 3]>>,
}
