//! A key and the values that it is swept through, as typed.

use super::compare::{split, unquoted};
use crate::figures::as_given;
use crate::files::Override;

/// A key and the values that it takes one after the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Range {
    /// The key as typed.
    pub key: String,
    /// Its values.
    pub values: Vec<Value>,
    /// How they lie.
    pub spacing: Spacing,
}

/// How the values of a range lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spacing {
    /// As they were listed.
    Listed,
    /// In equal steps between two of them, as many as suits.
    Usual,
    /// In so many equal steps as were named.
    Named,
}

/// A value of a key.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A number.
    Figure(f64),
    /// Anything else, as it is written in a file, without the quotes of a plain word.
    Words(String),
}

impl Value {
    /// A value as typed or as written in a file.
    pub fn of(text: &str) -> Self {
        let text = text.trim();
        let figure = text.parse().ok().filter(|x: &f64| x.is_finite());
        figure.map_or_else(|| Self::Words(unquoted(text).to_owned()), Self::Figure)
    }

    /// The number, if it is one.
    pub fn figure(&self) -> Option<f64> {
        match self {
            Self::Figure(figure) => Some(*figure),
            Self::Words(_) => None,
        }
    }

    /// As people read it.
    pub fn shown(&self) -> String {
        match self {
            Self::Figure(figure) => as_given(*figure),
            Self::Words(words) => words.clone(),
        }
    }

    /// In full, for other tools.
    pub fn in_full(&self) -> String {
        match self {
            Self::Figure(figure) => figure.to_string(),
            Self::Words(words) => words.clone(),
        }
    }
}

/// Most steps of one key: with one point more, as many as are swept at once.
const MOST_STEPS: u32 = 143;
/// Steps where none are named.
const USUAL_STEPS: u32 = 8;
/// Whole numbers this near are all tried.
const WHOLE_STEPS: u32 = 20;
/// Steps between whole numbers farther apart, so that they come out whole where they can.
const TIDY_STEPS: [u32; 5] = [8, 6, 5, 10, 12];

pub(super) const FORM: &str = "write KEY=FROM..TO, KEY=FROM..TO:STEPS or KEY=VALUE,VALUE, e.g. \
                    instruments.dial.sigma=0..0.02:4 or bench.guard=0,0.02,0.1";

pub(super) fn range(text: &str) -> Result<Range, String> {
    let Some((key, span)) = text.split_once('=') else {
        return Err(format!("there is no `=` in it; {FORM}"));
    };
    let range = match span.split_once("..") {
        Some((from, rest)) => Range {
            key: key.trim().to_owned(),
            values: steps(from.trim(), rest)?,
            spacing: match rest.contains(':') {
                true => Spacing::Named,
                false => Spacing::Usual,
            },
        },
        None => Range {
            key: key.trim().to_owned(),
            values: listed(span)?,
            spacing: Spacing::Listed,
        },
    };
    // the key is checked as --set would check it
    range.set(&range.values[0])?;
    Ok(range)
}

/// The values of a list.
fn listed(span: &str) -> Result<Vec<Value>, String> {
    let mut values: Vec<Value> = Vec::new();
    for typed in split(span).into_iter().map(str::trim) {
        let value = Value::of(typed);
        if typed.is_empty() {
            return Err(format!("a value of the list is missing; {FORM}"));
        }
        if values.contains(&value) {
            return Err(format!("{typed} is in the list twice; name it once"));
        }
        values.push(value);
    }
    match values.len() {
        0 | 1 => Err(format!(
            "there is no `..` between two values, and no list of values; {FORM}"
        )),
        _ => Ok(values),
    }
}

/// The values from one to another, in equal steps.
fn steps(from_typed: &str, rest: &str) -> Result<Vec<Value>, String> {
    let (to, steps) = match rest.split_once(':') {
        None => (rest, None),
        Some((to, steps)) => (to, Some(steps)),
    };
    let to_typed = to.trim();
    let number = |typed: &str| {
        let value = Value::of(typed).figure();
        value.ok_or_else(|| format!("\"{typed}\" is no number; {FORM}"))
    };
    let (from, to) = (number(from_typed)?, number(to_typed)?);
    if from == to {
        return Err(format!(
            "it goes from {from_typed} to {to_typed}, which is no range; {FORM}"
        ));
    }
    let whole = [from_typed, to_typed]
        .iter()
        .all(|typed| typed.parse::<i64>().is_ok());
    let steps = match steps {
        Some(typed) => match typed.trim().parse::<u32>() {
            Ok(steps) if (1..=MOST_STEPS).contains(&steps) => steps,
            _ => {
                return Err(format!(
                    "\"{}\" steps: a whole number from 1 to {MOST_STEPS} is wanted",
                    typed.trim()
                ));
            }
        },
        None if whole => steps_between((to - from).abs()),
        None => USUAL_STEPS,
    };
    let value = |i| from + (to - from) * f64::from(i) / f64::from(steps);
    Ok((0..=steps).map(|i| Value::Figure(tidy(value(i)))).collect())
}

/// Steps between two whole numbers, by how far they are apart.
fn steps_between(apart: f64) -> u32 {
    if apart <= f64::from(WHOLE_STEPS) {
        return apart as u32;
    }
    let fits = |steps: &u32| apart % f64::from(*steps) == 0.0;
    TIDY_STEPS.into_iter().find(fits).unwrap_or(
        // so that every one is whole
        if apart <= f64::from(MOST_STEPS) {
            apart as u32
        } else {
            USUAL_STEPS
        },
    )
}

/// 0.3 rather than 0.30000000000000004.
fn tidy(figure: f64) -> f64 {
    format!("{figure:.12e}").parse().unwrap_or(figure)
}

impl Range {
    /// Whether both are ranges of the same key, however it was typed.
    pub(super) fn same_key(&self, other: &Self) -> bool {
        match (self.set(&self.values[0]), other.set(&other.values[0])) {
            (Ok(own), Ok(other)) => own.same_key(&other),
            _ => self.key == other.key,
        }
    }

    /// A value of it as a key to set.
    ///
    /// # Errors
    /// In words, where the key leads to neither file.
    pub fn set(&self, value: &Value) -> Result<Override, String> {
        // a number is written in full, so that nothing is rounded
        format!("{}={}", self.key, value.in_full())
            .parse::<Override>()
            .map_err(|problem| super::in_a_way(&problem.to_string()))
    }

    /// Whether all values are numbers.
    pub fn of_figures(&self) -> bool {
        self.values.iter().all(|value| value.figure().is_some())
    }

    /// The same for a key that takes whole numbers only: steps as equal as whole numbers allow.
    ///
    /// # Errors
    /// In words, where so many steps as were named can't be equal and whole.
    pub fn in_whole_steps(mut self) -> Result<Self, String> {
        let whole = |value: &Value| value.figure().is_some_and(|x| x.fract() == 0.0);
        let (Some(first), Some(last)) = (self.values.first(), self.values.last()) else {
            return Ok(self);
        };
        if self.spacing == Spacing::Listed || !whole(first) || !whole(last) {
            return Ok(self);
        }
        let mut rounded: Vec<Value> = self.values.clone();
        for value in &mut rounded {
            if let Value::Figure(figure) = value {
                *figure = figure.round();
            }
        }
        rounded.dedup();
        if self.spacing == Spacing::Named && rounded != self.values {
            let list: Vec<String> = rounded.iter().map(Value::shown).collect();
            return Err(format!(
                "{key} takes whole numbers only, and from {} to {} there are no {} equal steps of \
                 them\n  help: name another number of steps, or a list: {key}={}",
                first.shown(),
                last.shown(),
                self.values.len() - 1,
                list.join(","),
                key = self.key,
            ));
        }
        self.values = rounded;
        Ok(self)
    }

    /// Puts a value among the others, unless it is there: in its order between numbers that go up or
    /// down, before a list of anything else. Returns its place.
    pub fn with(&mut self, own: Value) -> usize {
        let there = self.values.iter().position(|value| *value == own);
        there.unwrap_or_else(|| {
            let place = self.place_for(&own);
            self.values.insert(place, own);
            place
        })
    }

    fn place_for(&self, own: &Value) -> usize {
        let figures: Option<Vec<f64>> = self.values.iter().map(Value::figure).collect();
        let (Some(own), Some(figures)) = (own.figure(), figures) else {
            return 0;
        };
        let behind = |before: &dyn Fn(f64) -> bool| figures.iter().filter(|x| before(**x)).count();
        if figures.is_sorted() {
            behind(&|x| x < own)
        } else if figures.iter().rev().is_sorted() {
            behind(&|x| x > own)
        } else {
            0
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figures(text: &str) -> Vec<f64> {
        let range = range(text).unwrap();
        range.values.iter().filter_map(Value::figure).collect()
    }

    #[test]
    fn a_range_is_cut_into_equal_steps_of_tidy_figures() {
        let dial = range("instruments.dial.sigma=0..0.3:3").unwrap();
        assert_eq!(dial.key, "instruments.dial.sigma");
        assert_eq!(dial.values, [0.0, 0.1, 0.2, 0.3].map(Value::Figure));
        assert_eq!(figures("windows.depth=0.05..0.01:1"), [0.05, 0.01]);
        assert_eq!(figures("windows.depth=0.02..0.1").len(), 9);
    }

    #[test]
    fn a_list_holds_numbers_or_words_as_they_are_typed() {
        assert_eq!(figures("bench.guard=0, 0.02,0.1"), [0.0, 0.02, 0.1]);
        let words = |text: &str| -> Vec<String> {
            let range = range(text).unwrap();
            assert!(!range.of_figures());
            range.values.iter().map(Value::shown).collect()
        };
        assert_eq!(
            words("bench.pinion_start=gauge,old pack,'usual'"),
            ["gauge", "old pack", "usual"]
        );
        assert_eq!(words("bench.learns=true,false"), ["true", "false"]);
        assert_eq!(
            words("minutes.strip=[80, 115, 190],[40, 60, 90]"),
            ["[80, 115, 190]", "[40, 60, 90]"]
        );
    }

    #[test]
    fn what_takes_whole_numbers_goes_by_whole_numbers() {
        let whole = |text: &str| -> Vec<f64> {
            let range = range(text).unwrap().in_whole_steps().unwrap();
            range.values.iter().filter_map(Value::figure).collect()
        };
        assert_eq!(whole("bench.most_assemblies=1..9:2"), [1.0, 5.0, 9.0]);
        assert_eq!(whole("bench.backlash_points=1..200").len(), 9);
        // what can't be meant stays, and is refused with its reason
        assert_eq!(whole("bench.most_assemblies=1.5..2.5:1"), [1.5, 2.5]);
        assert_eq!(whole("bench.most_assemblies=2,2.5"), [2.0, 2.5]);
    }

    #[test]
    fn steps_that_were_named_are_equal_or_refused() {
        let refused = |text: &str| range(text).unwrap().in_whole_steps().unwrap_err();
        let said = refused("bench.most_assemblies=1..8:2");
        assert!(
            said.contains("from 1 to 8 there are no 2 equal steps"),
            "{said}"
        );
        assert!(
            said.contains("or a list: bench.most_assemblies=1,5,8"),
            "{said}"
        );
        assert!(refused("bench.most_assemblies=1..3:5").contains("=1,2,3"));
    }

    #[test]
    fn another_value_goes_where_it_belongs() {
        for (text, own, place) in [
            ("bench.guard=0..0.2:2", "0.05", 1),
            ("bench.guard=0..0.2:2", "0.1", 1),
            ("bench.guard=0..0.2:2", "0.4", 3),
            ("bench.guard=0.2..0:2", "0.05", 2),
            ("bench.guard=0.1,0.3,0.2", "0.15", 0),
            ("bench.pinion_start=gauge,usual", "old pack", 0),
            ("bench.pinion_start=gauge,usual", "usual", 1),
        ] {
            let mut range = range(text).unwrap();
            assert_eq!(range.with(Value::of(own)), place, "{text} {own}");
            assert_eq!(range.values[place], Value::of(own));
        }
    }

    #[test]
    fn whole_numbers_go_by_ones() {
        assert_eq!(figures("bench.backlash_points=2..5"), [2.0, 3.0, 4.0, 5.0]);
        assert_eq!(figures("prices.hour=60..120").len(), 7);
        assert_eq!(figures("prices.hour=60..140").len(), 9);
        // where only every one is whole
        assert_eq!(figures("bench.backlash_points=1..32").len(), 32);
        assert_eq!(
            figures("bench.backlash_points=8..2:3"),
            [8.0, 6.0, 4.0, 2.0]
        );
    }

    #[test]
    fn what_is_wrong_with_a_range_is_said() {
        for (text, said) in [
            ("instruments.dial.sigma", "no `=`"),
            ("instruments.dial.sigma=0.01", "no `..`"),
            (
                "instruments.dial.sigma=0.01,",
                "a value of the list is missing",
            ),
            ("bench.guard=0.1,0.2,0.10", "0.10 is in the list twice"),
            ("instruments.dial.sigma=0..x", "\"x\" is no number"),
            ("instruments.dial.sigma=0..inf", "is no number"),
            ("instruments.dial.sigma=0.01..0.01", "no range"),
            ("instruments.dial.sigma=0..0.01:0", "from 1 to 143"),
            (
                "instrments.dial.sigma=0..0.01",
                "did you mean `instruments`",
            ),
            ("=0..1", "part of the key is missing"),
        ] {
            let refused = range(text).unwrap_err();
            assert!(refused.contains(said), "{text}: {refused}");
        }
    }
}
