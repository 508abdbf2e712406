//! Figures as people say them: `5 thou`, `20 in-lb`, `0,15`, `1/64 in`, `10 % toward root`.

use super::pattern::profile;
use crate::units::{Length, NM_PER_KGF_CM, Torque, Units};

/// What a figure measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// A length, in the unit of a file.
    Length,
    /// A torque, in the unit of a file.
    Torque,
    /// How far a pattern lies from the middle of the profile, as a share of the tooth, + toward the top.
    Profile,
    /// A bare number.
    Plain,
}

impl Measure {
    /// The unit of a figure in a file; empty where it has none.
    pub fn unit(self, units: Units) -> &'static str {
        match self {
            Self::Length => units.length.name(),
            Self::Torque => units.torque.printed(),
            Self::Profile | Self::Plain => "",
        }
    }

    /// How such a figure may be said.
    pub fn example(self, units: Units) -> &'static str {
        match (self, units.length, units.torque) {
            (Self::Length, Length::Millimetre, _) => "0.15 or 6 thou",
            (Self::Length, Length::Inch, _) => "6 thou or 0.006",
            (Self::Torque, _, Torque::NewtonMetre) => "2.1 or 20 in-lb",
            (Self::Torque, _, Torque::PoundForceInch) => "20 or 2.1 N·m",
            (Self::Profile, ..) => "centred, 15 % top or 10 % root",
            (Self::Plain, ..) => "41",
        }
    }

    /// What one of a unit that was said comes to in the unit of a file; the file's own where none was.
    pub(super) fn scale(self, said: &str, units: Units) -> Result<f64, String> {
        let known = match self {
            Self::Length => length(said, units.length)?,
            Self::Torque => torque(said, units.torque)?,
            Self::Profile => {
                (said == "%" || said == "percent" || said == "per cent").then_some(0.01)
            }
            Self::Plain => None,
        };
        match (known, said) {
            (Some(scale), _) => Ok(scale),
            (None, "") => Ok(1.0),
            (None, said) => Err(format!(
                "`{said}` is no unit that is known here: say {}",
                self.example(units)
            )),
        }
    }
}

/// A word for a unit without what people put between its parts.
fn plain(said: &str) -> String {
    let kept = |c: &char| !matches!(c, ' ' | '.' | '-' | '·' | '⋅' | '*');
    said.chars().filter(kept).collect()
}

fn length(said: &str, file: Length) -> Result<Option<f64>, String> {
    let word = plain(said);
    let mm = match word.as_str() {
        "" => return Ok(None),
        "thou"
        | "thous"
        | "mil"
        | "mils"
        | "thousandth"
        | "thousandths"
        | "thousandthsofaninch" => 0.001 * Length::Inch.mm(),
        "hundredthsofamillimetre" | "hundredthsofamillimeter" | "hundredthsofamm" => 0.01,
        "hundredth" | "hundredths" if file == Length::Millimetre => 0.01,
        "hundredth" | "hundredths" => {
            return Err("hundredths of what? say 0.15 mm or 6 thou".to_owned());
        }
        "µm" | "μm" | "um" | "micron" | "microns" => 0.001,
        "cm" => 10.0,
        _ => match Length::of_word(said) {
            Some(unit) => unit.mm(),
            None => return Ok(None),
        },
    };
    Ok(Some(mm / file.mm()))
}

fn torque(said: &str, file: Torque) -> Result<Option<f64>, String> {
    let newton_metres = match plain(said).as_str() {
        "" => return Ok(None),
        "lb" | "lbs" | "lbf" | "pound" | "pounds" => {
            return Err("inch pounds or foot pounds? say 20 in-lb or 2 ft-lb".to_owned());
        }
        "ncm" => 0.01,
        "kgcm" | "kgfcm" | "cmkg" | "cmkgf" => NM_PER_KGF_CM,
        _ if Torque::is_in_feet(said) => 12.0 * Torque::PoundForceInch.newton_metres(),
        _ => match Torque::of_word(said) {
            Some(unit) => unit.newton_metres(),
            None => return Ok(None),
        },
    };
    Ok(Some(newton_metres / file.newton_metres()))
}

/// One figure, in the unit of a file.
///
/// # Errors
/// In words, where it is none, or more than one.
pub fn figure(text: &str, of: Measure, units: Units) -> Result<f64, String> {
    match figures(text, of, units)?.as_slice() {
        [one] => Ok(*one),
        more => Err(format!("one figure is wanted; these are {}", more.len())),
    }
}

/// Figures one after the other, in the unit of a file. A unit holds for what stands before it as well,
/// and for what comes after the last one that was said: `6 7 7 6 thou`, `6 thou 7 7 6`. They are as near as a
/// step in that unit needs to be known again.
///
/// # Errors
/// In words, where something in it is no figure or no unit.
pub fn figures(text: &str, of: Measure, units: Units) -> Result<Vec<f64>, String> {
    let all = heard(text, of, units)?;
    Ok(all.into_iter().map(|(figure, _)| tidy(figure)).collect())
}

/// The same; what was said in another unit has two digits more than it was said with.
///
/// # Errors
/// In words, where something in it is no figure or no unit.
pub fn short_figures(text: &str, of: Measure, units: Units) -> Result<Vec<f64>, String> {
    let all = heard(text, of, units)?.into_iter();
    let short = all.map(|(figure, places)| match places {
        Some(places) => format!("{figure:.places$}").parse().unwrap_or(figure),
        None => tidy(figure),
    });
    Ok(short.collect())
}

/// Figures in the unit of a file, each with the decimals that it deserves where it was said in another one.
fn heard(text: &str, of: Measure, units: Units) -> Result<Vec<(f64, Option<usize>)>, String> {
    let text = spoken(text);
    if of == Measure::Profile {
        return profile(&text, units).map(|share| vec![(share, None)]);
    }
    let said = parts(&text).map_err(|wrong| match wrong {
        Wrong::NoFigure(at) => {
            format!("`{at}` is no figure: say {}", of.example(units))
        }
        Wrong::Commas(at) => format!(
            "`{at}` can be read in two ways: put a space between figures, and one decimal mark in each"
        ),
        Wrong::Nought(at) => format!("`{at}` divides by nought"),
    })?;
    let mut scales: Vec<Option<f64>> = Vec::new();
    for part in &said {
        let scale = of.scale(&part.unit, units)?;
        scales.push((!part.unit.is_empty()).then_some(scale));
    }
    let last = scales.iter().rev().find_map(|scale| *scale).unwrap_or(1.0);
    let behind = |at: usize| scales[at..].iter().find_map(|scale| *scale);
    let figures = said.iter().enumerate().map(|(at, part)| {
        let scale = behind(at).unwrap_or(last);
        let decimals = part.decimals.filter(|_| scale != 1.0);
        let places = decimals.map(|decimals| {
            let places = decimals as f64 + 2.0 - scale.log10();
            places.ceil().clamp(0.0, 7.0) as usize
        });
        (part.figure * scale, places)
    });
    Ok(figures.collect())
}

/// Without the noise of a conversion, far finer than anything that is read.
pub(super) fn tidy(figure: f64) -> f64 {
    (figure * 1e7).round() / 1e7 + 0.0
}

/// In small letters, with the signs that keyboards have.
fn spoken(text: &str) -> String {
    let letter = |c: char| match c {
        '−' | '–' | '—' => '-',
        '″' | '”' | '“' => '"',
        '\u{a0}' | '\u{202f}' | '\t' => ' ',
        other => other,
    };
    let text: String = text.trim().to_lowercase().chars().map(letter).collect();
    text.replace("minus ", "-").replace("plus ", "+")
}

/// Why something is no list of figures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Wrong {
    NoFigure(String),
    Commas(String),
    Nought(String),
}

/// A figure of a text.
pub(super) struct Part {
    pub figure: f64,
    /// How many decimals it was said with; `None` of a fraction.
    decimals: Option<usize>,
    /// The unit that follows it.
    pub unit: String,
}

/// The figures of a text.
pub(super) fn parts(text: &str) -> Result<Vec<Part>, Wrong> {
    let mut parts = Vec::new();
    let mut rest = text.trim_start_matches([' ', ',', ';']);
    while !rest.is_empty() {
        let (figure, behind) = leading(rest)?;
        let said = &rest[..rest.len() - behind.len()];
        let decimals = said
            .split_once(['.', ','])
            .map_or("", |(_, decimals)| decimals);
        let end = unit_end(behind);
        parts.push(Part {
            figure,
            decimals: (!said.contains('/')).then_some(decimals.len()),
            unit: behind[..end].trim().to_owned(),
        });
        rest = behind[end..].trim_start_matches([' ', ',', ';']);
    }
    if parts.is_empty() {
        return Err(Wrong::NoFigure(text.to_owned()));
    }
    Ok(parts)
}

/// Where the unit behind a figure ends: at the next figure, or at what divides them.
fn unit_end(text: &str) -> usize {
    let mut before = ' ';
    for (at, c) in text.char_indices() {
        let next = text[at + c.len_utf8()..].chars().next();
        let next_is_digit = next.is_some_and(|c| c.is_ascii_digit() || c == '.');
        let begins =
            c.is_ascii_digit() || (matches!(c, '.' | '+' | '-') && next_is_digit && before == ' ');
        if begins || matches!(c, ',' | ';') {
            return at;
        }
        before = c;
    }
    text.len()
}

/// The figure that a text begins with, and what follows it.
fn leading(text: &str) -> Result<(f64, &str), Wrong> {
    let word = || text.split(' ').next().unwrap_or(text).to_owned();
    let (sign, bare) = match text.strip_prefix('-') {
        Some(bare) => (-1.0, bare),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    let bare = bare.trim_start();
    let (whole, rest) = digits(bare);
    if let Some((fraction, rest)) = mixed(whole, rest, &word)? {
        return Ok((sign * fraction, rest));
    }
    let (decimals, mark, rest) = match rest.strip_prefix(['.', ',']) {
        Some(behind) if !digits(behind).0.is_empty() => {
            let (decimals, after) = digits(behind);
            (decimals, rest.chars().next(), after)
        }
        // a point that ends a figure belongs to it, a comma divides
        Some(behind) if rest.starts_with('.') && !whole.is_empty() => ("", None, behind),
        _ => ("", None, rest),
    };
    if whole.is_empty() && decimals.is_empty() {
        return Err(Wrong::NoFigure(word()));
    }
    let again = rest
        .strip_prefix(['.', ','])
        .is_some_and(|behind| behind.starts_with(|c: char| c.is_ascii_digit()));
    if again && (mark == Some(',') || rest.starts_with('.')) {
        return Err(Wrong::Commas(word()));
    }
    let figure: f64 = format!("{whole}.{decimals}0")
        .parse()
        .map_err(|_| Wrong::NoFigure(word()))?;
    if !figure.is_finite() {
        return Err(Wrong::NoFigure(word()));
    }
    Ok((sign * figure, rest))
}

fn digits(text: &str) -> (&str, &str) {
    let end = text.bytes().take_while(u8::is_ascii_digit).count();
    text.split_at(end)
}

/// `1/64`, `1 1/64`, `1-1/64`: the figure and what follows it, where it is such a one.
fn mixed<'a>(
    whole: &str,
    rest: &'a str,
    word: &dyn Fn() -> String,
) -> Result<Option<(f64, &'a str)>, Wrong> {
    let ratio = |above: &str, rest: &'a str| -> Result<Option<(f64, &'a str)>, Wrong> {
        let Some(behind) = rest.strip_prefix('/') else {
            return Ok(None);
        };
        let (below, rest) = digits(behind);
        let number = |text: &str| text.parse::<f64>().map_err(|_| Wrong::NoFigure(word()));
        let (above, below) = (number(above)?, number(below)?);
        match below == 0.0 {
            true => Err(Wrong::Nought(word())),
            false => Ok(Some((above / below, rest))),
        }
    };
    if whole.is_empty() {
        return Ok(None);
    }
    if let Some(simple) = ratio(whole, rest)? {
        return Ok(Some(simple));
    }
    let Some(behind) = rest.strip_prefix([' ', '-']) else {
        return Ok(None);
    };
    let (above, after) = digits(behind);
    if above.is_empty() {
        return Ok(None);
    }
    let units: f64 = whole.parse().map_err(|_| Wrong::NoFigure(word()))?;
    Ok(ratio(above, after)?.map(|(part, rest)| (units + part, rest)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const INCHES: Units = Units {
        length: Length::Inch,
        torque: Torque::PoundForceInch,
    };

    fn mm(text: &str) -> Result<f64, String> {
        figure(text, Measure::Length, Units::MODEL)
    }

    fn inch(text: &str) -> Result<f64, String> {
        figure(text, Measure::Length, INCHES)
    }

    #[test]
    fn lengths_are_taken_as_people_say_them() {
        for (text, wanted) in [
            ("0.15", 0.15),
            ("0,15", 0.15),
            (" .15 mm ", 0.15),
            ("15 hundredths", 0.15),
            ("5 thou", 0.127),
            ("0.005 in", 0.127),
            ("0,005\"", 0.127),
            ("+2 thou", 0.0508),
            ("minus 2 thou", -0.0508),
            ("−0.02", -0.02),
            ("1/64 in", 0.396_875),
            ("1 1/64 inch", 25.796_875),
            ("1-1/2 in", 38.1),
            ("150 µm", 0.15),
            ("2.", 2.0),
            ("5 thousandths of an inch", 0.127),
        ] {
            assert_eq!(mm(text), Ok(wanted), "{text}");
        }
        for (text, wanted) in [
            ("5 thou", 0.005),
            ("5thou", 0.005),
            (".0055", 0.0055),
            ("0.127 mm", 0.005),
            ("5 mils", 0.005),
            ("1/64", 0.015_625),
        ] {
            assert_eq!(inch(text), Ok(wanted), "{text}");
        }
    }

    #[test]
    fn torques_are_taken_as_people_say_them() {
        let nm = |text| figure(text, Measure::Torque, Units::MODEL);
        let lbf_in = |text| figure(text, Measure::Torque, INCHES);
        assert_eq!(nm("2,1"), Ok(2.1));
        assert_eq!(nm("20 in-lb"), Ok(2.259_696_6));
        assert_eq!(nm("20 inch pounds"), nm("20 lbf·in"));
        assert_eq!(nm("12 in-lb"), nm("1 ft-lb"));
        assert_eq!(nm("210 N·cm"), Ok(2.1));
        assert_eq!(nm("10 kg-cm"), Ok(0.980_665));
        assert_eq!(lbf_in("20"), Ok(20.0));
        assert_eq!(lbf_in("2 ft lbs"), Ok(24.0));
        assert_eq!(lbf_in("1 Nm"), Ok(8.850_745_8));
        assert!(nm("20 pounds").is_err_and(|said| said.contains("inch pounds or foot pounds")));
    }

    #[test]
    fn a_unit_holds_for_the_figures_around_it() {
        let list = |text| figures(text, Measure::Length, INCHES);
        let four = Ok(vec![0.006, 0.007, 0.007, 0.006]);
        for text in [
            "6 7 7 6 thou",
            "6 thou 7 7 6",
            "6, 7, 7, 6 thou",
            "6 thou, 7 thou; 7 thou 6 thou",
            ".006 .007 .007 .006",
            ".006,.007,.007,.006",
            "0.006,0.007,0.007,0.006",
            "0,006 0,007 0,007 0,006",
            "0,006; 0,007; 0,007; 0,006",
        ] {
            assert_eq!(list(text), four, "{text}");
        }
        assert_eq!(list("5 thou -3 thou"), Ok(vec![0.005, -0.003]));
        for text in ["6,7,7,6 thou", "0,15,0,17", "1.234.5"] {
            assert!(
                list(text).is_err_and(|said| said.contains("two ways")),
                "{text}"
            );
        }
    }

    #[test]
    fn what_is_said_in_another_unit_has_no_more_digits_than_it_deserves() {
        let short = |text, of, units| short_figures(text, of, units);
        let mm = |text| short(text, Measure::Length, Units::MODEL);
        let nm = |text| short(text, Measure::Torque, Units::MODEL);
        assert_eq!(mm("5 9 thou"), Ok(vec![0.127, 0.2286]));
        assert_eq!(mm("0.5 thou 1/64 in"), Ok(vec![0.0127, 0.396_875]));
        assert_eq!(nm("15 25 in-lb"), Ok(vec![1.695, 2.825]));
        assert_eq!(nm("15.5 in-lb"), Ok(vec![1.7513]));
        assert_eq!(short("1 mm", Measure::Length, INCHES), Ok(vec![0.0394]));
        // in its own unit it is what was said
        assert_eq!(nm("1.6947724"), Ok(vec![1.694_772_4]));
    }

    #[test]
    fn what_is_no_figure_is_refused_in_words() {
        for (text, part) in [
            ("five", "`five` is no figure"),
            ("", "is no figure"),
            ("5 furlongs", "`furlongs` is no unit"),
            ("1/0", "divides by nought"),
            ("5 6", "one figure is wanted; these are 2"),
            ("1e-3", "is no unit"),
            ("- thou", "is no figure"),
        ] {
            assert!(
                mm(text).is_err_and(|said| said.contains(part)),
                "{text}: {:?}",
                mm(text)
            );
        }
        assert!(inch("15 hundredths").is_err_and(|said| said.contains("hundredths of what?")));
        assert!(figure("3 mm", Measure::Plain, INCHES).is_err());
    }
}
