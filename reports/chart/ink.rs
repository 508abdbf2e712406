//! Inks: what a figure is drawn with, before it is known on which ground it will stand.
//!
//! The drawing library knows plain colours only. So each ink has a colour as its code, and the
//! code is replaced by the real paint when the figure is finished: a style variable of the page
//! (which is light, dark or print) or, in a file of its own, the colour on white. Dashes and hatching,
//! which keep a figure readable without colour, are part of the ink.

use std::fmt::Write;

use plotters::style::RGBColor;

/// A hue with what it is on white and the page's name for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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

    /// Its style variable in a page.
    fn variable(self) -> &'static str {
        match self {
            Self::Text => "--text",
            Self::Muted => "--muted",
            Self::Grid => "--grid",
            Self::Band => "--band",
            Self::Paper => "--paper",
            Self::Blue => "--blue",
            Self::Vermillion => "--vermillion",
            Self::Green => "--green",
            Self::Purple => "--purple",
        }
    }

    /// On white, in a file of its own; the page's light theme says the same.
    fn on_white(self) -> &'static str {
        match self {
            Self::Text => "#1b1f24",
            Self::Muted => "#59636e",
            Self::Grid => "#d9dee3",
            Self::Band => "#e6eef3",
            Self::Paper => "#ffffff",
            Self::Blue => "#0072B2",
            Self::Vermillion => "#D55E00",
            Self::Green => "#009E73",
            Self::Purple => "#CC79A7",
        }
    }
}

/// How an ink is laid on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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

impl Ink {
    /// The colour that stands for it until the figure is finished.
    pub(super) fn code(self) -> RGBColor {
        RGBColor(1, self.1 as u8 + 1, self.0 as u8 + 1)
    }

    fn code_text(self) -> String {
        let RGBColor(r, g, b) = self.code();
        format!("#{r:02X}{g:02X}{b:02X}")
    }

    fn all() -> impl Iterator<Item = Self> {
        let looks = |hue| Look::ALL.into_iter().map(move |look| Self(hue, look));
        Hue::ALL.into_iter().flat_map(looks)
    }

    fn hatch_id(self, figure: &str) -> String {
        format!("{figure}-hatch{}", self.0.variable().replace("--", "-"))
    }
}

/// Puts paints in place of codes. Where an area is hatched, the hatching is defined in front, under
/// names that begin with the figure's.
pub(super) fn painted(drawn: &str, figure: &str) -> (String, String) {
    let mut body = drawn.to_owned();
    let mut patterns = String::new();
    for ink in Ink::all() {
        let code = ink.code_text();
        if !body.contains(&code) {
            continue;
        }
        let paint = format!("var({})", ink.0.variable());
        let (fill, dashes) = match ink.1 {
            Look::Plain => (paint.clone(), ""),
            Look::Dashed => (paint.clone(), " stroke-dasharray=\"50 35\""),
            Look::Hatched => {
                let id = ink.hatch_id(figure);
                let _ = write!(
                    patterns,
                    "<pattern id=\"{id}\" width=\"60\" height=\"60\" \
                     patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
                     <rect width=\"60\" height=\"60\" fill=\"var(--paper)\"/>\
                     <rect width=\"26\" height=\"60\" fill=\"{paint}\"/></pattern>"
                );
                (format!("url(#{id})"), "")
            }
        };
        body = body
            .replace(&format!("fill=\"{code}\""), &format!("fill=\"{fill}\""))
            .replace(
                &format!("stroke=\"{code}\""),
                &format!("stroke=\"{paint}\"{dashes}"),
            );
    }
    (body, patterns)
}

/// Colours on white in place of style variables, for a file of its own.
pub(super) fn on_white(svg: &str) -> String {
    let mut text = svg.to_owned();
    for hue in Hue::ALL {
        text = text.replace(&format!("var({})", hue.variable()), hue.on_white());
    }
    text
}
