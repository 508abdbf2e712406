//! Inks: what a figure is drawn with, before its ground is known.
//!
//! The drawing library knows plain colours only, so each ink goes through it as a colour that is its
//! number. Its paint is a style variable of the page (which is light, dark or print) or, in a file of
//! its own, the colour on white. Dashes and hatching, which keep a figure readable without colour, are
//! part of the ink.

use plotters::style::RGBColor;

/// The ground of a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ground {
    /// A page, whose style gives the paints.
    Page,
    /// White, in a file of its own.
    White,
}

/// A hue with what it is on white and the page's name for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Hue {
    Text,
    Muted,
    Grid,
    Band,
    Paper,
    Blue,
    Vermillion,
    Green,
    Purple,
}

impl Hue {
    const ALL: [Self; 9] = [
        Self::Text,
        Self::Muted,
        Self::Grid,
        Self::Band,
        Self::Paper,
        Self::Blue,
        Self::Vermillion,
        Self::Green,
        Self::Purple,
    ];

    /// Its name in a page's style.
    fn name(self) -> &'static str {
        match self {
            Self::Text => "text",
            Self::Muted => "muted",
            Self::Grid => "grid",
            Self::Band => "band",
            Self::Paper => "paper",
            Self::Blue => "blue",
            Self::Vermillion => "vermillion",
            Self::Green => "green",
            Self::Purple => "purple",
        }
    }

    /// Its paint on a ground; the page's light theme says the same as white.
    pub(super) fn on(self, ground: Ground) -> &'static str {
        let [page, white] = match self {
            Self::Text => ["var(--text)", "#1b1f24"],
            Self::Muted => ["var(--muted)", "#59636e"],
            Self::Grid => ["var(--grid)", "#d9dee3"],
            Self::Band => ["var(--band)", "#e6eef3"],
            Self::Paper => ["var(--paper)", "#ffffff"],
            Self::Blue => ["var(--blue)", "#0072B2"],
            Self::Vermillion => ["var(--vermillion)", "#D55E00"],
            Self::Green => ["var(--green)", "#009E73"],
            Self::Purple => ["var(--purple)", "#CC79A7"],
        };
        match ground {
            Ground::Page => page,
            Ground::White => white,
        }
    }
}

/// How an ink is laid on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Look {
    Plain,
    /// Lines are dashed.
    Dashed,
    /// Areas are hatched.
    Hatched,
}

impl Look {
    const ALL: [Self; 3] = [Self::Plain, Self::Dashed, Self::Hatched];
}

/// What something is drawn with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Ink(pub(super) Hue, pub(super) Look);

pub(super) const TEXT: Ink = Ink(Hue::Text, Look::Plain);
pub(super) const MUTED: Ink = Ink(Hue::Muted, Look::Plain);
pub(super) const MUTED_DASHED: Ink = Ink(Hue::Muted, Look::Dashed);
pub(super) const GRID: Ink = Ink(Hue::Grid, Look::Plain);
pub(super) const BAND: Ink = Ink(Hue::Band, Look::Plain);
pub(super) const PAPER: Ink = Ink(Hue::Paper, Look::Plain);
pub(super) const BLUE: Ink = Ink(Hue::Blue, Look::Plain);
pub(super) const VERMILLION: Ink = Ink(Hue::Vermillion, Look::Plain);
pub(super) const VERMILLION_DASHED: Ink = Ink(Hue::Vermillion, Look::Dashed);
pub(super) const VERMILLION_HATCHED: Ink = Ink(Hue::Vermillion, Look::Hatched);
pub(super) const GREEN_DASHED: Ink = Ink(Hue::Green, Look::Dashed);
pub(super) const PURPLE: Ink = Ink(Hue::Purple, Look::Plain);

/// The hatching of an ink in a figure.
pub(super) struct Hatching {
    /// Its name, which begins with the figure's.
    pub(super) id: String,
    hue: Hue,
}

impl Hatching {
    /// What defines it.
    pub(super) fn definition(&self, ground: Ground) -> String {
        format!(
            "<pattern id=\"{}\" width=\"60\" height=\"60\" patternUnits=\"userSpaceOnUse\" \
             patternTransform=\"rotate(45)\"><rect width=\"60\" height=\"60\" fill=\"{}\"/>\
             <rect width=\"26\" height=\"60\" fill=\"{}\"/></pattern>",
            self.id,
            Hue::Paper.on(ground),
            self.hue.on(ground)
        )
    }
}

impl Ink {
    /// Its colour in the drawing library.
    pub(super) fn code(self) -> RGBColor {
        RGBColor(0, self.1 as u8, self.0 as u8)
    }

    /// The ink of a colour.
    ///
    /// # Panics
    /// If it is the colour of none.
    pub(super) fn of((_, look, hue): (u8, u8, u8)) -> Self {
        Self(Hue::ALL[usize::from(hue)], Look::ALL[usize::from(look)])
    }

    /// Its hatching in a figure, if it has one.
    pub(super) fn hatching(self, figure: &str) -> Option<Hatching> {
        (self.1 == Look::Hatched).then(|| Hatching {
            id: format!("{figure}-hatch-{}", self.0.name()),
            hue: self.0,
        })
    }

    /// What makes its lines dashed, if they are.
    pub(super) fn dashes(self) -> &'static str {
        match self.1 {
            Look::Dashed => " stroke-dasharray=\"50 35\"",
            Look::Plain | Look::Hatched => "",
        }
    }
}
