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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::faces::html::STYLE;

    /// Red, green and blue from 0 to 1, linear.
    type Light = [f64; 3];

    /// The paints of the page's schemes: light, dark, print; and of a file on white.
    fn schemes() -> Vec<[Light; 9]> {
        let of_style = |scheme: &str| {
            Hue::ALL.map(|hue| {
                let name = format!("--{}: ", hue.name());
                let (_, rest) = scheme.split_once(&name).expect("a paint for every hue");
                light(&rest[..7])
            })
        };
        let mut all: Vec<[Light; 9]> = STYLE.split(":root {").skip(1).map(of_style).collect();
        assert_eq!(all.len(), 3);
        all.push(Hue::ALL.map(|hue| light(hue.on(Ground::White))));
        all
    }

    fn light(paint: &str) -> Light {
        [1, 3, 5].map(|place| {
            let byte = u8::from_str_radix(&paint[place..place + 2], 16).expect(paint);
            let share = f64::from(byte) / 255.0;
            // IEC 61966-2-1
            if share <= 0.040_45 {
                share / 12.92
            } else {
                ((share + 0.055) / 1.055).powf(2.4)
            }
        })
    }

    fn luminance([red, green, blue]: Light) -> f64 {
        0.2126 * red + 0.7152 * green + 0.0722 * blue
    }

    fn of(scheme: &[Light; 9], hue: Hue) -> Light {
        scheme[hue as usize]
    }

    /// As full red, green and blue blindness see it.
    ///
    /// # Source
    /// Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color
    /// vision deficiency", IEEE TVCG 15 (2009) 1291, severity 1.0.
    const EYES: [[Light; 3]; 4] = [
        [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
        [
            [0.152_286, 1.052_583, -0.204_868],
            [0.114_503, 0.786_281, 0.099_216],
            [-0.003_882, -0.048_116, 1.051_998],
        ],
        [
            [0.367_322, 0.860_646, -0.227_968],
            [0.280_085, 0.672_501, 0.047_413],
            [-0.011_820, 0.042_940, 0.968_881],
        ],
        [
            [1.255_528, -0.076_749, -0.178_779],
            [-0.078_411, 0.930_809, 0.147_602],
            [0.004_733, 0.691_367, 0.303_900],
        ],
    ];

    /// CIE 1976 L*a*b* under D65.
    fn lab(light: Light) -> Light {
        let [red, green, blue] = light;
        let x = (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.9505;
        let y = luminance(light);
        let z = (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.089;
        let [x, y, z] = [x, y, z].map(|share| {
            if share > 216.0 / 24_389.0 {
                share.cbrt()
            } else {
                (24_389.0 / 27.0 * share + 16.0) / 116.0
            }
        });
        [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
    }

    #[test]
    fn what_is_drawn_holds_against_its_ground() {
        for scheme in schemes() {
            let ground = luminance(of(&scheme, Hue::Paper));
            for hue in [
                Hue::Text,
                Hue::Muted,
                Hue::Blue,
                Hue::Vermillion,
                Hue::Green,
                Hue::Purple,
            ] {
                let ink = luminance(of(&scheme, hue));
                let contrast = (ground.max(ink) + 0.05) / (ground.min(ink) + 0.05);
                // WCAG 2.2, success criteria 1.4.3 for text and 1.4.11 for graphics
                let least = match hue {
                    Hue::Text | Hue::Muted => 4.5,
                    _ => 3.0,
                };
                assert!(contrast >= least, "{hue:?} {contrast}");
            }
        }
    }

    /// What is told apart by its paint alone: bars beside bars.
    #[test]
    fn bars_are_told_apart_by_every_eye_and_in_grey() {
        for scheme in schemes() {
            let pair = [Hue::Blue, Hue::Purple].map(|hue| of(&scheme, hue));
            for eye in EYES {
                let seen = pair.map(|light| {
                    lab(eye.map(|row| {
                        let sum: f64 = row.iter().zip(light).map(|(a, b)| a * b).sum();
                        sum.clamp(0.0, 1.0)
                    }))
                });
                let apart: f64 = (0..3).map(|i| (seen[0][i] - seen[1][i]).powi(2)).sum();
                assert!(apart.sqrt() >= 20.0, "{}", apart.sqrt());
            }
            let grey = pair.map(|light| lab([luminance(light); 3])[0]);
            assert!((grey[0] - grey[1]).abs() >= 12.0, "{grey:?}");
        }
    }
}
