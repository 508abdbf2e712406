//! `shimcast ratio` as typed.

use std::path::PathBuf;

use clap::Args;

use shimcast_sim::ratio::{Teeth, metric_diameter};

use super::values::within;
use crate::files::Override;
use crate::units::Length;

const EXAMPLES: &str = "\
Examples:
  shimcast ratio --ratio 41/11 --old-tyre 235/75R15 --new-tyre 31in
  shimcast ratio --ratio 3.73 --new-tyre 785mm --spread 1 --speed 100km/h --gearbox 1,0.8
  shimcast ratio mine/sorrel-71.axle.toml --target 4.3 --pairs mine/gear-sets.csv --other-axle 40/9
";

#[derive(Debug, Args)]
#[command(before_help = EXAMPLES)]
pub struct Ratio {
    /// Axle file whose gear set is in now; the built-in Rowan 215 where neither this nor --ratio
    /// is given.
    pub axle: Option<PathBuf>,
    /// Use another value for a key of the axle file, e.g. gears.ring_teeth=43; may be repeated.
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = super::values::key_and_value)]
    pub set: Vec<Override>,
    /// Take figures that no axle has, too; the answer still says that they look wrong.
    #[arg(long, display_order = 898)]
    pub anyway: bool,
    /// The ratio that is in now: ring teeth/pinion teeth, or a number.
    #[arg(long, value_name = "RATIO", conflicts_with = "axle", value_parser = ratio)]
    pub ratio: Option<TypedRatio>,
    /// The ratio wanted as it would feel on the old tyres; the one that is in now, to get the old
    /// gearing back, where not given.
    #[arg(long, value_name = "RATIO", value_parser = ratio)]
    pub target: Option<TypedRatio>,
    /// Tyres until now: a size code such as 235/75R15 or 31x10.50R15, or a diameter such as 733mm or
    /// 31in.
    #[arg(long, value_name = "TYRE", value_parser = tyre)]
    pub old_tyre: Option<TyreSize>,
    /// Tyres to come, likewise.
    #[arg(long, value_name = "TYRE", value_parser = tyre)]
    pub new_tyre: Option<TyreSize>,
    /// Rolling circumference of the old tyres as measured by one roll, e.g. 2225mm.
    #[arg(long, value_name = "LENGTH", requires = "old_tyre", value_parser = length)]
    pub old_rolls: Option<f64>,
    /// Rolling circumference of the new tyres, likewise.
    #[arg(long, value_name = "LENGTH", requires = "new_tyre", value_parser = length)]
    pub new_rolls: Option<f64>,
    /// Height of the wheel's centre above the ground on the new tyres, loaded, e.g. 372mm.
    #[arg(long, value_name = "LENGTH", requires = "new_tyre", value_parser = length)]
    pub loaded_radius: Option<f64>,
    /// How well a rolling circumference is known, percent either way; where neither this nor a
    /// measured one is given, it lies between 0.96 and 0.97 of the free circumference.
    #[arg(long, value_name = "PERCENT", value_parser = spread)]
    pub spread: Option<f64>,
    /// List of tooth pairs to choose from, a CSV file with the columns ring_teeth and
    /// pinion_teeth, and note where wanted; the built-in list where none is named.
    #[arg(long, value_name = "FILE")]
    pub pairs: Option<PathBuf>,
    /// How near to the target a pair has to come to be shown, percent.
    #[arg(long, value_name = "PERCENT", default_value = "5", value_parser = near)]
    pub near: f64,
    /// Show only pairs without a common factor.
    #[arg(long)]
    pub hunting: bool,
    /// Road speed at which the engine speed is wanted, e.g. 100km/h or 60mph.
    #[arg(long, value_name = "SPEED", value_parser = speed)]
    pub speed: Option<Speed>,
    /// Gearbox ratio in the gear that is driven in, transfer case included; several are divided by
    /// commas.
    #[arg(
        long,
        value_name = "RATIO,…",
        value_delimiter = ',',
        requires = "speed",
        value_parser = gearbox
    )]
    pub gearbox: Vec<f64>,
    /// Ratio of the vehicle's other driven axle.
    #[arg(long, value_name = "RATIO", value_parser = ratio)]
    pub other_axle: Option<TypedRatio>,
    /// Print one JSON object instead: lengths in mm, shares from 0 to 1.
    #[arg(long)]
    pub json: bool,
}

/// A ratio as typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TypedRatio {
    /// The ratio.
    pub ratio: f64,
    /// The teeth, where they were typed.
    pub teeth: Option<Teeth>,
}

/// A tyre as typed.
#[derive(Debug, Clone, PartialEq)]
pub struct TyreSize {
    /// As typed.
    pub typed: String,
    /// Diameter free of load, mm.
    pub diameter: f64,
}

/// A road speed as typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Speed {
    /// As typed.
    pub typed: String,
    /// In m/s.
    pub metres_per_second: f64,
}

fn ratio(text: &str) -> Result<TypedRatio, String> {
    const WANTED: &str = "ring teeth/pinion teeth or a number is wanted, e.g. 41/11 or 3.73";
    let teeth = match text.split_once('/') {
        Some((ring, pinion)) => {
            let teeth = |text: &str| text.trim().parse::<u32>().map_err(|_| WANTED.to_owned());
            Some(Teeth {
                ring: teeth(ring)?,
                pinion: teeth(pinion)?,
            })
        }
        None => None,
    };
    let ratio = match teeth {
        Some(teeth) if teeth.pinion == 0 => return Err(WANTED.into()),
        Some(teeth) => teeth.ratio(),
        None => text.trim().parse().map_err(|_| WANTED.to_owned())?,
    };
    if (1.0..=20.0).contains(&ratio) {
        Ok(TypedRatio { ratio, teeth })
    } else {
        Err(format!(
            "this is {ratio:.2}, and an axle ratio lies between 1 and 20; the ring teeth come first"
        ))
    }
}

fn tyre(text: &str) -> Result<TyreSize, String> {
    let typed = text.trim();
    let diameter = if typed.contains('/') {
        metric_code(typed)?
    } else if let Some(diameter) = flotation_code(typed) {
        diameter
    } else {
        length(typed).map_err(|_| {
            "a tyre is wanted by its size code, e.g. 235/75R15 or 31x10.50R15, or by its diameter \
             with its unit, e.g. 733mm or 31in"
                .to_owned()
        })?
    };
    if (200.0..=3000.0).contains(&diameter) {
        Ok(TyreSize {
            typed: typed.to_owned(),
            diameter,
        })
    } else {
        Err(format!(
            "this tyre would be {diameter:.0} mm in diameter; 200 to 3000 mm are accepted"
        ))
    }
}

/// Diameter by a size code that begins with it, such as 33x12.50R15LT: 33 inches across, 12.5 wide,
/// on a 15 inch rim. `None` where a code reads otherwise.
fn flotation_code(text: &str) -> Option<f64> {
    let text = text.strip_prefix("LT").unwrap_or(text);
    let (diameter, rest) = text.split_once(['x', 'X', '×'])?;
    let width_ends = rest.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ' '))?;
    let (width, rest) = rest.split_at(width_ends);
    let rim = rest.trim_start_matches(['Z', 'z']);
    let rim = rim
        .strip_prefix(['R', 'r', 'D', 'd', 'B', 'b', '-'])?
        .trim_start();
    let rim_ends = rim.find(|c: char| !(c.is_ascii_digit() || c == '.'));
    let rim = &rim[..rim_ends.unwrap_or(rim.len())];
    within(width.trim(), 3.0..=30.0)?;
    let rim: f64 = within(rim, 8.0..=40.0)?;
    let diameter: f64 = within(diameter.trim(), 10.0..=80.0)?;
    (diameter > rim).then(|| diameter * Length::Inch.mm())
}

/// Diameter by a metric size code, mm.
///
/// # Source
/// ISO 4223-1: nominal section width in mm / aspect ratio in percent, construction code, nominal
/// rim diameter code in inches. A service type before it and a load index behind it are passed
/// over.
fn metric_code(text: &str) -> Result<f64, String> {
    let wrong = |part: &str| {
        format!(
            "{part}; a metric size code reads width/aspect R rim, e.g. 235/75R15: 235 mm wide, \
             75 % as high as wide, on a 15 inch rim"
        )
    };
    let code = ["LT", "ST", "P", "T"]
        .iter()
        .find_map(|service| text.strip_prefix(service))
        .unwrap_or(text);
    let (width, rest) = code
        .split_once('/')
        .ok_or_else(|| wrong("there is no stroke behind the width"))?;
    let rest = rest.trim_start();
    let digits = |text: &str| {
        text.find(|c: char| !(c.is_ascii_digit() || c == '.'))
            .unwrap_or(text.len())
    };
    let (aspect, rest) = rest.split_at(digits(rest));
    let rest = rest.trim_start();
    let built = rest
        .trim_start_matches(['Z', 'z'])
        .strip_prefix(['R', 'r', 'D', 'd', 'B', 'b', '-'])
        .ok_or_else(|| wrong("there is no construction code (R, D, B or -) before the rim"))?
        .trim_start();
    let (rim, _) = built.split_at(digits(built));
    let number = |text: &str, what: &str, range: std::ops::RangeInclusive<f64>| {
        within(text.trim(), range.clone()).ok_or_else(|| {
            wrong(&format!(
                "the {what} `{text}` is not a number from {} to {}",
                range.start(),
                range.end()
            ))
        })
    };
    Ok(metric_diameter(
        number(width, "width", 50.0..=600.0)?,
        number(aspect, "aspect ratio", 10.0..=110.0)?,
        number(rim, "rim", 8.0..=40.0)?,
    ))
}

/// A length with its unit, mm.
fn length(text: &str) -> Result<f64, String> {
    let wrong = || "a length with its unit is wanted, e.g. 733mm or 31in".to_owned();
    let text = text.trim();
    let figure_ends = text.find(|c: char| !(c.is_ascii_digit() || c == '.'));
    let (figure, unit) = text.split_at(figure_ends.unwrap_or(text.len()));
    let unit = Length::of_word(unit).ok_or_else(wrong)?;
    within(figure.trim(), 1.0..=20_000.0)
        .map(|figure| figure * unit.mm())
        .ok_or_else(wrong)
}

fn speed(text: &str) -> Result<Speed, String> {
    /// Metres in a statute mile.
    const MILE: f64 = 1609.344;
    let typed = text.trim();
    let (figure, metres) = if let Some(figure) = typed.strip_suffix("km/h") {
        (figure, 1000.0)
    } else if let Some(figure) = typed.strip_suffix("mph") {
        (figure, MILE)
    } else {
        ("", 0.0)
    };
    within(figure.trim(), 1.0..=500.0)
        .map(|figure| Speed {
            typed: typed.to_owned(),
            metres_per_second: figure * metres / 3600.0,
        })
        .ok_or_else(|| "a road speed with its unit is wanted, e.g. 100km/h or 60mph".into())
}

fn spread(text: &str) -> Result<f64, String> {
    within(text, 0.0..=20.0).ok_or_else(|| "percent from 0 to 20 are wanted, e.g. 1".into())
}

fn near(text: &str) -> Result<f64, String> {
    within(text, 0.0..=50.0).ok_or_else(|| "percent from 0 to 50 are wanted, e.g. 5".into())
}

fn gearbox(text: &str) -> Result<f64, String> {
    within(text.trim(), 0.1..=200.0)
        .ok_or_else(|| "gearbox ratios from 0.1 to 200 are wanted, e.g. 1,0.8".into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn size_codes_as_printed_on_tyres() {
        for (code, mm) in [
            ("235/75R15", 733.5),
            ("P235/75R15", 733.5),
            ("235/75 R 15", 733.5),
            ("235/75R15 105S", 733.5),
            ("LT285/70R17", 830.8),
            ("255/35ZR19", 661.1),
            ("145/80-13", 562.2),
            ("31in", 787.4),
            ("787.4 mm", 787.4),
            ("31 inches", 787.4),
            ("31\"", 787.4),
            ("33x12.50R15", 838.2),
            ("LT31X10.50R15", 787.4),
            ("37x12.50-17LT", 939.8),
        ] {
            let tyre = tyre(code).unwrap_or_else(|e| panic!("{code}: {e}"));
            assert!((tyre.diameter - mm).abs() < 1e-9, "{code}: {tyre:?}");
        }
    }

    #[test]
    fn what_is_no_size_is_refused_with_the_part_that_is_wrong() {
        for (code, said) in [
            ("235/75", "construction code"),
            ("235/R15", "aspect ratio"),
            ("wide/75R15", "width `wide`"),
            ("2350/75R15", "width"),
            ("235/75R150", "rim"),
            ("31", "its unit"),
            ("12mm", "in diameter"),
            ("33x12.50", "size code"),
            ("14x12.50R15", "size code"),
        ] {
            let refused = tyre(code).unwrap_err();
            assert!(refused.contains(said), "{code}: {refused}");
        }
    }

    #[test]
    fn ratios_and_speeds() {
        assert!((ratio("41/11").unwrap().ratio - 41.0 / 11.0).abs() < 1e-15);
        assert_eq!(ratio("3.73").unwrap().teeth, None);
        assert!(ratio("11/41").unwrap_err().contains("come first"));
        assert!(ratio("41/0").is_err());
        assert!((speed("90km/h").unwrap().metres_per_second - 25.0).abs() < 1e-12);
        assert!((speed("60mph").unwrap().metres_per_second - 26.8224).abs() < 1e-12);
        assert!(speed("90").is_err());
    }
}
