//! What can be moved: figures on rails, and choices; in the units of the files.

use shimcast_sim::axle::shims::Series;

use super::choices::{BEARINGS, GEARS, choices};
use super::rail::{Figure, Rail, graduations};
use super::words::{Part, of_figure, of_operation, of_spread};
use super::{Base, key_of};
use crate::asking::figure::{Measure, figure};
use crate::document::{ControlKind, Otherwise};
use crate::questions::plausible::{
    CAPABILITY, LOWER, Row, SPREAD, SPREAD_SHARE, UPPER, USUAL_MINUTES, axle_rows, shop_rows,
};
use crate::units::{Length, Units};

/// Something that can be moved.
#[derive(Debug, Clone)]
pub(super) struct Knob {
    /// The key that `--set` takes, or `gears`, `bearings`.
    pub(super) key: String,
    pub(super) part: Part,
    pub(super) label: String,
    pub(super) help: String,
    pub(super) unit: String,
    pub(super) kind: Kind,
    /// What the files say, as it is sent.
    pub(super) own: String,
    /// The same in words, with its unit; and whether it is assumed.
    pub(super) otherwise: Otherwise,
}

/// How something is moved.
#[derive(Debug, Clone)]
pub(super) struct Kind {
    /// The field.
    pub(super) control: ControlKind,
    /// What a figure measures, and in which units it is sent; `None` of words.
    measured: Option<(Measure, Units)>,
}

impl Kind {
    pub(super) fn of_words(control: ControlKind) -> Self {
        Self {
            control,
            measured: None,
        }
    }
}

impl Knob {
    /// A field of words: what the files say, as it is sent and as it is said.
    pub(super) fn new(
        base: &Base,
        part: Part,
        key: &str,
        label: &str,
        own: String,
        said: String,
    ) -> Self {
        let is_assumed = key_of(key).is_some_and(|key| base.loaded.assumes(&key));
        Self {
            key: key.to_owned(),
            part,
            label: label.to_owned(),
            help: String::new(),
            unit: String::new(),
            kind: Kind::of_words(ControlKind::Words),
            own,
            otherwise: match is_assumed {
                true => Otherwise::Assumed(said),
                false => Otherwise::File(said),
            },
        }
    }

    /// What was typed, as `--set` takes it.
    ///
    /// # Errors
    /// In words, where it is no figure and one is wanted.
    pub(super) fn taken(&self, typed: &str) -> Result<String, String> {
        match self.kind.measured {
            Some((measure, units)) => figure(typed, measure, units).map(|x| x.to_string()),
            None => Ok(typed.trim().to_owned()),
        }
    }

    /// Whether this is what the files say.
    pub(super) fn is_own(&self, taken: &str) -> bool {
        let alike = || Some(taken.parse::<f64>().ok()? == self.own.parse::<f64>().ok()?);
        taken == self.own || (self.kind.measured.is_some() && alike().unwrap_or(false))
    }

    /// A value in words, with its unit.
    pub(super) fn said(&self, taken: &str) -> String {
        let shown = match &self.kind.control {
            ControlKind::Choice(options) | ControlKind::Stops(options) => {
                let shown = options.iter().find(|(sent, _)| sent == taken);
                return shown.map_or(taken, |(_, shown)| shown).to_owned();
            }
            ControlKind::Tick if taken == "true" => "yes",
            ControlKind::Tick if taken == "false" => "no",
            _ => taken,
        };
        with_unit(shown, &self.unit)
    }

    /// What it is moved to, to see whether it matters: half way to either end of its rail, or the other
    /// choices.
    pub(super) fn trials(&self) -> Vec<String> {
        let own = self.own.parse::<f64>();
        match (&self.kind.control, own) {
            (ControlKind::Slider { low, high, step }, Ok(own)) => {
                let [low, high, step] = [*low, *high, *step];
                let rail = Rail { low, high, step };
                rail.half_ways(own).iter().map(f64::to_string).collect()
            }
            (ControlKind::Stops(options), _) => {
                let at = options.iter().position(|(sent, _)| self.is_own(sent));
                let beside = at.map_or_else(Vec::new, |at| vec![at.wrapping_sub(1), at + 1]);
                let beside = beside.into_iter().filter_map(|at| options.get(at));
                beside.map(|(sent, _)| sent.clone()).collect()
            }
            (ControlKind::Choice(options), _) => {
                let others = options.iter().filter(|(sent, _)| *sent != self.own);
                others.map(|(sent, _)| sent.clone()).collect()
            }
            (ControlKind::Tick, _) => vec![(self.own != "true").to_string()],
            _ => Vec::new(),
        }
    }

    /// Whether it stands for what no file says: what is renewed.
    pub(super) fn is_of_no_file(&self) -> bool {
        [GEARS, BEARINGS].contains(&self.key.as_str())
    }
}

fn with_unit(shown: &str, unit: &str) -> String {
    let unit = match shown {
        "1" => unit.trim_end_matches('s'),
        _ => unit,
    };
    format!("{shown} {unit}").trim_end().to_owned()
}

/// Everything that can be moved in a job.
pub(super) fn knobs(base: &Base) -> Vec<Knob> {
    let Base { loaded, setup, .. } = base;
    let mut all = choices(base);
    for (rows, units) in [
        (axle_rows(&setup.axle), loaded.axle_units),
        (shop_rows(&setup.shop), loaded.shop_units),
    ] {
        let figures = rows.iter().filter_map(|row| of_row(base, row, units));
        all.extend(figures);
    }
    all
}

/// The series that this axle takes.
pub(super) fn series_of(base: &Base) -> Vec<&Series> {
    let taken = base.setup.axle.series();
    let series = base.setup.shop.shims.iter();
    series
        .filter(|series| taken.contains(&series.name.as_str()))
        .collect()
}

/// The key of a series: by its name, or by its number where the name has a point in it.
pub(super) fn series_key(base: &Base, series: &Series) -> String {
    if !series.name.contains('.') {
        return format!("shims.{}", series.name);
    }
    let all = &base.setup.shop.shims;
    let at = all.iter().position(|other| other.name == series.name);
    format!("shims.{}", at.map_or(0, |at| at + 1))
}

/// What is called otherwise than the figure itself.
struct Named {
    key: String,
    part: Part,
    label: String,
    help: String,
}

/// The figure of a row, where it can be moved.
fn of_row(base: &Base, row: &Row, units: Units) -> Option<Knob> {
    let named = named(base, row)?;
    let key = key_of(&named.key)?;
    let whole = base.loaded.takes_whole(&key);
    // a series may have a unit of its own
    let stated_in = Length::of_word(&base.loaded.unit_of(&key));
    let units = Units {
        length: stated_in.unwrap_or(units.length),
        ..units
    };
    let ([figure, least, most], unit) = row.in_units(units);
    let stated = base.figure_of(&named.key);
    // a spread is stated in one of many ways, of which the usual is to either side
    let times = match stated {
        Some(stated) if figure > 0.0 && [SPREAD, SPREAD_SHARE].contains(&row.of_key()) => {
            stated / figure
        }
        _ => 1.0,
    };
    let exact = stated.unwrap_or(figure);
    let own = match base.loaded.assumes(&key) {
        true => told(exact, row.measure(), units),
        false => short(exact, 0),
    };
    let of = Figure {
        own,
        usual: [least * times, most * times],
        none: row.may_be_none() && (named.part.is_error() || unit.is_empty()),
        around: if named.part.is_error() { 3.0 } else { 2.0 },
        whole,
        inside: inside(base, &named.key),
    };
    let unit = match named.key.ends_with(".cv") || row.of_key() == CAPABILITY {
        true => String::new(),
        false => unit,
    };
    let control = match named.key.ends_with(".step") {
        true => ControlKind::Stops(stops(&of, &unit)),
        false => {
            let Rail { low, high, step } = of.rail();
            ControlKind::Slider { low, high, step }
        }
    };
    let said = with_unit(&own.to_string(), &unit);
    let knob = Knob::new(
        base,
        named.part,
        &named.key,
        &named.label,
        own.to_string(),
        said,
    );
    Some(Knob {
        help: named.help,
        unit,
        kind: Kind {
            control,
            measured: Some((row.measure(), units)),
        },
        ..knob
    })
}

/// What a row is called, and which key is set; `None` where it says what the axle is, or has no effect
/// on a job.
fn named(base: &Base, row: &Row) -> Option<Named> {
    let key = row.key.as_str();
    let ends = |at: u8| format!("{key}.{at}");
    let of = |key: String| {
        let (part, label, help) = of_figure(&key)?;
        let [label, help] = [label, help].map(str::to_owned);
        Some(Named {
            key,
            part,
            label,
            help,
        })
    };
    match row.of_key() {
        LOWER => of(ends(1)),
        UPPER => of(ends(2)),
        SPREAD | SPREAD_SHARE => spread(base, key, &["tol", "sigma", "cv"]),
        // where it is not stated, the limits say how far it spreads
        CAPABILITY => spread(base, key, &["cpk"]).or_else(|| {
            let limits = ["tol", "sigma", "cv"].map(|last| format!("{key}.{last}"));
            let has_none = limits.iter().all(|key| base.value_of(key).is_none());
            has_none.then(|| spread_by(base, key, "cpk")).flatten()
        }),
        USUAL_MINUTES => {
            let label = of_operation(key.strip_prefix("minutes.")?, base)?;
            base.value_of(&ends(2))?;
            Some(Named {
                key: ends(2),
                part: Part::Minutes,
                label: label.to_owned(),
                help: String::new(),
            })
        }
        "" if key.starts_with("shims.") => {
            let (_, last) = key.rsplit_once('.')?;
            let series = series_of(base);
            let series = series
                .into_iter()
                .find(|series| key == format!("shims.{}.{last}", series.name))?;
            let named = of(format!("{}.{last}", series_key(base, series)))?;
            Some(Named {
                label: format!("{}: {}", series.name, named.label),
                ..named
            })
        }
        "" => of(key.to_owned()),
        _ => None,
    }
}

/// A tolerance by the key that says how far it spreads: the first of these that holds.
fn spread(base: &Base, key: &str, by: &[&str]) -> Option<Named> {
    let holds = |last: &&&str| base.figure_of(&format!("{key}.{last}")).is_some();
    spread_by(base, key, by.iter().find(holds)?)
}

fn spread_by(base: &Base, key: &str, last: &str) -> Option<Named> {
    let of = of_spread(key, &base.setup)?;
    let how = match last {
        "tol" => "tolerance, to either side",
        "sigma" => "one sigma",
        "cv" => "one sigma, share of it",
        _ => "how well its limits are kept (cpk)",
    };
    Some(Named {
        key: format!("{key}.{last}"),
        part: Part::Spreads,
        label: format!("{of}: {how}"),
        help: String::new(),
    })
}

/// What a figure must not leave: its least and most; of a window, a twentieth of its width short of the
/// other end, since a window without any is none.
fn inside(base: &Base, key: &str) -> [f64; 2] {
    let any = [f64::NEG_INFINITY, f64::INFINITY];
    let Some((list, at)) = key.rsplit_once('.') else {
        return any;
    };
    let of = |place: &str| base.figure_of(&format!("{list}.{place}"));
    let (lower, upper, most) = (of("1"), of("2"), of("3"));
    match (at, lower, upper, most) {
        ("1", Some(lower), Some(upper), None) => [any[0], upper - 0.05 * (upper - lower)],
        ("2", Some(lower), Some(upper), None) => [lower + 0.05 * (upper - lower), any[1]],
        ("2", Some(least), _, Some(most)) => [least, most],
        _ => any,
    }
}

/// Graduations to choose from, the file's own among them.
fn stops(of: &Figure, unit: &str) -> Vec<(String, String)> {
    let mut all = graduations(of.usual);
    all.extend(of.none.then_some(0.0));
    all.push(of.own);
    all.sort_by(f64::total_cmp);
    all.dedup();
    let option = |figure: f64| {
        let sent = figure.to_string();
        let shown = match figure {
            0.0 => "none".to_owned(),
            _ => with_unit(&sent, unit),
        };
        (sent, shown)
    };
    all.into_iter().map(option).collect()
}

/// A figure to six digits, or to so many decimals if it has two digits by them.
fn short(figure: f64, decimals: usize) -> f64 {
    let six: f64 = format!("{figure:.5e}").parse().unwrap_or(figure);
    let two = 1.0 - six.abs().max(f64::MIN_POSITIVE).log10().floor();
    let places = decimals.max(two.clamp(0.0, 12.0) as usize);
    match decimals {
        0 => six,
        _ => format!("{six:.places$}").parse().unwrap_or(six),
    }
}

/// A figure that is assumed, as assumptions are told: to a tenth of what instruments read.
fn told(figure: f64, measure: Measure, units: Units) -> f64 {
    match (measure, units.length) {
        (Measure::Length, Length::Millimetre) => short(figure, 3),
        (Measure::Length, Length::Inch) => short(figure, 4),
        (Measure::Torque, _) => short(figure, 2),
        _ => short(figure, 0),
    }
}
