//! Units in which people give and read lengths and torques.

use shimcast_sim::units::{MM_PER_INCH, NM_PER_LBF_IN};

/// Newton metres in a kilogram-force centimetre, exactly.
pub const NM_PER_KGF_CM: f64 = 0.098_066_5;

/// Unit of every length in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Length {
    /// Millimetres, "mm".
    Millimetre,
    /// Inches, "in".
    Inch,
}

impl Length {
    /// As files write it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Inch => "in",
        }
    }

    /// The unit that a word means for certain, however it is spelt.
    pub fn of_word(word: &str) -> Option<Self> {
        spelt(&LENGTHS, word)
    }

    /// Millimetres in one of it.
    pub fn mm(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Inch => MM_PER_INCH,
        }
    }
}

/// Units of length with the words that mean them for certain, in small letters and without [`BETWEEN`].
const LENGTHS: [(Length, &[&str]); 2] = [
    (
        Length::Millimetre,
        &[
            "mm",
            "millimetre",
            "millimetres",
            "millimeter",
            "millimeters",
        ],
    ),
    (Length::Inch, &["in", "inch", "inches", "\"", "″"]),
];

/// The same of torques.
const TORQUES: [(Torque, &[&str]); 2] = [
    (
        Torque::NewtonMetre,
        &[
            "nm",
            "newtonmetre",
            "newtonmetres",
            "newtonmeter",
            "newtonmeters",
        ],
    ),
    (
        Torque::PoundForceInch,
        &[
            "lbfin",
            "inlbf",
            "lbin",
            "inlb",
            "lbsin",
            "inlbs",
            "lbinch",
            "inchlb",
            "inchlbs",
            "inchpound",
            "inchpounds",
            "poundinch",
            "poundinches",
        ],
    ),
];

/// What people put between the parts of a unit.
pub const BETWEEN: [char; 7] = [' ', '.', '-', '·', '⋅', '*', '_'];

/// All words that mean the same unit as this one, as [`BETWEEN`] and capitals leave them.
pub fn spellings(word: &str) -> &'static [&'static str] {
    fn of<T: PartialEq>(
        units: &[(T, &'static [&'static str])],
        unit: T,
    ) -> &'static [&'static str] {
        let found = units.iter().find(|(of, _)| *of == unit);
        found.map_or(&[], |(_, words)| words)
    }
    match (Length::of_word(word), Torque::of_word(word)) {
        (Some(length), _) => of(&LENGTHS, length),
        (None, Some(torque)) => of(&TORQUES, torque),
        (None, None) => &[],
    }
}

fn spelt<T: Copy>(units: &[(T, &[&str])], word: &str) -> Option<T> {
    let word = plain(word);
    let found = units.iter().find(|(_, all)| all.contains(&word.as_str()));
    found.map(|(unit, _)| *unit)
}

/// A word for a unit without what people put between its parts.
fn plain(word: &str) -> String {
    word.chars()
        .filter(|c| !BETWEEN.contains(c))
        .flat_map(char::to_lowercase)
        .collect()
}

/// Unit of every torque in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Torque {
    /// Newton metres, "N.m".
    NewtonMetre,
    /// Pound-force inches, "lbf.in".
    PoundForceInch,
}

impl Torque {
    /// As files write it.
    pub fn name(self) -> &'static str {
        match self {
            Self::NewtonMetre => "N.m",
            Self::PoundForceInch => "lbf.in",
        }
    }

    /// The unit that a word means for certain, however it is spelt.
    pub fn of_word(word: &str) -> Option<Self> {
        spelt(&TORQUES, word)
    }

    /// Whether a word means foot-pounds, in which no file is written.
    pub fn is_in_feet(word: &str) -> bool {
        matches!(
            plain(word).as_str(),
            "ftlb" | "ftlbs" | "ftlbf" | "lbft" | "lbsft" | "lbfft" | "footpound" | "footpounds"
        )
    }

    /// As printed for people.
    pub fn printed(self) -> &'static str {
        match self {
            Self::NewtonMetre => "N·m",
            Self::PoundForceInch => "lbf·in",
        }
    }

    /// Newton metres in one of it.
    pub fn newton_metres(self) -> f64 {
        match self {
            Self::NewtonMetre => 1.0,
            Self::PoundForceInch => NM_PER_LBF_IN,
        }
    }
}

/// The units that a file uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Units {
    /// Of every length.
    pub length: Length,
    /// Of every torque.
    pub torque: Torque,
}

impl Units {
    /// The units that the model computes in.
    pub(crate) const MODEL: Self = Self {
        length: Length::Millimetre,
        torque: Torque::NewtonMetre,
    };
    /// Inches and pound-force inches.
    pub(crate) const INCHES: Self = Self {
        length: Length::Inch,
        torque: Torque::PoundForceInch,
    };
}

/// A thickness, mm, in a series' own unit: two decimals in mm and three in inches, more where the
/// size has them.
pub fn printed_size(size: f64, unit: f64) -> String {
    let figure = size / unit;
    let least = if unit == 1.0 { 2 } else { 3 };
    (least..6)
        .map(|places| format!("{figure:.places$}"))
        .find(|text| {
            text.parse::<f64>()
                .is_ok_and(|shown| (shown - figure).abs() < 1e-7)
        })
        .unwrap_or_else(|| format!("{figure:.6}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_known_by_every_word_that_is_certain() {
        for word in ["in", "inch", "Inches", "\"", "in."] {
            assert_eq!(Length::of_word(word), Some(Length::Inch), "{word}");
        }
        for word in ["in-lb", "in lb", "inlb", "lbf·in", "lb-in", "in.lbs"] {
            assert_eq!(
                Torque::of_word(word),
                Some(Torque::PoundForceInch),
                "{word}"
            );
        }
        for word in ["Nm", "N·m", "N m", "N.m"] {
            assert_eq!(Torque::of_word(word), Some(Torque::NewtonMetre), "{word}");
        }
        for word in ["ft-lb", "lbf.ft", "ft lbs"] {
            assert!(
                Torque::is_in_feet(word) && Torque::of_word(word).is_none(),
                "{word}"
            );
        }
        assert_eq!(Length::of_word("cm"), None);
        assert_eq!(Torque::of_word("kg.cm"), None);
    }
}
