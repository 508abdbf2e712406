//! What an assumed figure might be instead: a quarter less or more of it, or another choice; and what
//! has to be stated with a key inside something assumed, so that the rest of it stays as it is.

use super::Loaded;
use super::notes::Assumption;
use super::set::Override;
use super::tree::{Node, Value};

/// An assumption as it might be instead.
#[derive(Debug, Clone)]
pub struct Variation {
    /// By what it differs, in words.
    pub said: String,
    /// What sets it.
    pub set: Vec<Override>,
}

/// How figures are varied, and what that is called: of figures, and of windows.
const QUARTERS: [(f64, [&str; 2]); 2] = [
    (0.75, ["a quarter less", "a quarter narrower"]),
    (1.25, ["a quarter more", "a quarter wider"]),
];
/// The same of the gears' own figures, which differ less from set to set.
const TENTHS: [(f64, [&str; 2]); 2] = [(0.9, ["a tenth less"; 2]), (1.1, ["a tenth more"; 2])];
/// What a tolerance spreads by; a spread is varied, its nominal is not.
const SPREADS: [&str; 5] = ["tol", "plus", "minus", "sigma", "cv"];
/// What shapes a spread without being its size.
const SHAPES: [&str; 3] = ["nominal", "cpk", "lot_share"];
/// A list longer than this is no row of figures that go together.
const LONGEST_ROW: usize = 4;

impl Assumption {
    /// What it might be instead; none where it has no neighbours.
    pub fn variations(&self) -> Vec<Variation> {
        let others = self.others.iter().filter_map(|other| {
            let set = format!("{}={other}", self.key).parse().ok()?;
            Some(Variation {
                said: format!("{other} instead"),
                set: vec![set],
            })
        });
        let figure = |(_, value): &(String, String)| value.parse::<f64>().is_ok();
        let steps = match self.key.starts_with("gears.") && self.fill.iter().all(figure) {
            true => TENTHS,
            false => QUARTERS,
        };
        let varied = steps.into_iter().filter_map(|(by, [less, narrower])| {
            let of_window = self.key.starts_with("windows.");
            let times = |(key, value): &(String, String)| {
                let last = key.rsplit('.').next().unwrap_or(key);
                let mut node = Node::parsed(value)?;
                let is_list = node.list().is_some();
                times(&mut node, last, of_window, by)
                    .then(|| format!("{key}={}", node.written()).parse().ok())?
                    .map(|set| (set, is_list))
            };
            let set: Vec<(Override, bool)> = self.fill.iter().filter_map(times).collect();
            let said = match set.first()? {
                (_, true) if of_window => narrower,
                _ => less,
            };
            Some(Variation {
                said: said.to_owned(),
                set: set.into_iter().map(|(set, _)| set).collect(),
            })
        });
        others.chain(varied).collect()
    }
}

impl Loaded {
    /// Whether what holds for a key is assumed.
    pub fn assumes(&self, key: &Override) -> bool {
        let path = key.path();
        self.assumptions.iter().any(|a| a.value_of(&path).is_some())
    }

    /// What has to be stated before a key is set that lies inside something assumed, such as the one
    /// sigma of a tolerance that was left out: without it the rest of the group would be another
    /// one. Nominals stay assumed, since they may follow from other keys. Empty where nothing has to.
    pub fn stated_with(&self, key: &Override) -> Vec<Override> {
        let path = key.path();
        let group = |of: &str| of.rsplit_once('.').map(|(group, _)| group.to_owned());
        let inside = |filled: &str| {
            let inner = path.strip_prefix(filled);
            inner.is_some_and(|inner| inner.starts_with('.'))
        };
        // series that are built in are there as they are
        let assumed = self.assumptions.iter().filter(|a| a.key != "shims");
        let beside = |a: &Assumption| {
            let mut filled = a.fill.iter().map(|(filled, _)| filled);
            filled
                .any(|filled| inside(filled) || (a.fill.len() > 1 && group(filled) == group(&path)))
        };
        assumed
            .filter(|a| beside(a))
            .flat_map(|a| &a.fill)
            .filter(|(filled, _)| *filled != path)
            .filter_map(|(filled, value)| {
                let mut node = Node::parsed(value)?;
                if let Value::Table(entries) = &mut node.value {
                    entries.retain(|entry| entry.key != "nominal");
                }
                format!("{filled}={}", node.written()).parse().ok()
            })
            .collect()
    }
}

/// Takes the figures of a value times `by`, and says whether it has any. `key` is the last part of its
/// key.
fn times(node: &mut Node, key: &str, of_window: bool, by: f64) -> bool {
    match &mut node.value {
        Value::Number { figure, whole } => {
            let scaled = if *whole {
                (*figure * by).round()
            } else {
                *figure * by
            };
            let differs = !SHAPES.contains(&key) && scaled != *figure;
            if differs {
                *figure = scaled;
            }
            differs
        }
        Value::List(nodes) => {
            let row: Vec<f64> = nodes.iter().filter_map(Node::figure).collect();
            if row.len() != nodes.len() || row.len() > LONGEST_ROW {
                return false;
            }
            let scaled = match (of_window, row.as_slice()) {
                (true, [low, high]) => {
                    let (middle, half) = (0.5 * (low + high), 0.5 * by * (high - low));
                    vec![middle - half, middle + half]
                }
                _ => row.iter().map(|figure| figure * by).collect(),
            };
            for (node, figure) in nodes.iter_mut().zip(scaled) {
                node.value = Value::Number {
                    figure,
                    whole: false,
                };
            }
            true
        }
        Value::Table(entries) => {
            let mut spreads = false;
            for entry in entries {
                spreads |= SPREADS.contains(&entry.key.as_str())
                    && times(&mut entry.node, &entry.key, false, by);
            }
            spreads
        }
        Value::Text(_) | Value::Flag(_) | Value::Date(_) => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn assumed(key: &str, value: &str, others: &[&str]) -> Assumption {
        Assumption {
            key: key.to_owned(),
            text: String::new(),
            fill: vec![(key.to_owned(), value.to_owned())],
            others: others.iter().map(|&other| other.to_owned()).collect(),
        }
    }

    fn said(assumption: &Assumption) -> Vec<String> {
        let variations = assumption.variations();
        let said = variations.iter().map(|variation| {
            let set: Vec<&str> = variation.set.iter().map(Override::typed).collect();
            format!("{}: {}", variation.said, set.join(" "))
        });
        said.collect()
    }

    #[test]
    fn figures_and_spreads_are_varied_by_a_quarter() {
        assert_eq!(
            said(&assumed("windows.depth", "0.04", &[])),
            [
                "a quarter less: windows.depth=0.03",
                "a quarter more: windows.depth=0.05"
            ]
        );
        assert_eq!(
            said(&assumed("windows.side_closure", "[0.125, 0.25]", &[]))[1],
            "a quarter wider: windows.side_closure=[0.109375, 0.265625]"
        );
        assert_eq!(
            said(&assumed(
                "housing.head_seat",
                "{ nominal = 121.0, tol = 0.04, inspected = true }",
                &[]
            ))[0],
            "a quarter less: housing.head_seat={ nominal = 121.0, tol = 0.03, inspected = true }"
        );
        assert_eq!(
            said(&assumed("bench.most_assemblies", "12", &[]))[1],
            "a quarter more: bench.most_assemblies=15"
        );
        assert_eq!(
            said(&assumed("gears.pressure_angle", "20.0", &[]))[0],
            "a tenth less: gears.pressure_angle=18.0"
        );
    }

    #[test]
    fn a_choice_is_varied_by_the_others_and_a_name_not_at_all() {
        let indicator = assumed(
            "windows.indicator",
            "\"plane of rotation\"",
            &["\"square to the tooth\""],
        );
        assert_eq!(
            said(&indicator),
            ["\"square to the tooth\" instead: windows.indicator=\"square to the tooth\""]
        );
        assert!(said(&assumed("name", "\"An axle\"", &[])).is_empty());
        assert!(said(&assumed("gears.x", "{ nominal = 2.0 }", &[])).is_empty());
    }
}
