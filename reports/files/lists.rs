//! Lists of figures: windows, rows, times, sizes.

use shimcast_sim::shop::Span;
use shimcast_sim::units::Window;

use super::describe::Takes;
use super::measure::{Quantity, short, written};
use super::ranges::Typed;
use super::section::{BUILT_IN, Limits, Section};
use super::tree::Node;

/// The default of a left-out list, in the model's units, and why it is that.
pub(super) struct ListDefault<const N: usize> {
    pub figures: [f64; N],
    pub why: String,
}

impl<const N: usize> ListDefault<N> {
    pub(super) fn new(figures: [f64; N], why: impl Into<String>) -> Self {
        Self {
            figures,
            why: why.into(),
        }
    }
}

fn bracketed(figures: &[f64], figure: impl Fn(f64) -> String) -> String {
    let all: Vec<String> = figures.iter().map(|x| figure(*x)).collect();
    format!("[{}]", all.join(", "))
}

impl Section<'_> {
    /// A list of exactly `N` figures in the model's units, each with its own quantity; NaN where
    /// something is wrong.
    pub(super) fn row<const N: usize>(
        &self,
        key: &'static str,
        q: [Quantity; N],
        limits: Limits,
        instead: Option<ListDefault<N>>,
        what: &str,
    ) -> ([f64; N], Option<&Node>) {
        self.takes(key, instead.is_none(), || {
            Takes::Row(q.to_vec(), limits, what.to_owned())
        });
        let usual = self.usual_row::<N>(key);
        let example: Option<[f64; N]> = usual
            .or(instead.as_ref().map(|s| s.figures))
            .map(|row| std::array::from_fn(|i| q[i].to_file(row[i], self.units)));
        let shape = example.map_or(String::new(), |row| {
            format!("write {key} = {}", bracketed(&row, |x| written(short(x))))
        });
        let Some(node) = self.stated(key) else {
            let Some(ListDefault { figures, why }) = instead else {
                let help = if shape.is_empty() {
                    what.to_owned()
                } else {
                    shape
                };
                self.missing(key, format!("{help}: {what}"));
                return ([f64::NAN; N], None);
            };
            let row: [f64; N] = std::array::from_fn(|i| q[i].to_file(figures[i], self.units));
            let unit = q[0].unit(self.units);
            let told: Vec<String> = q
                .iter()
                .zip(row)
                .map(|(q, figure)| q.told(figure, self.units))
                .collect();
            let shown = format!("[{}] {unit}", told.join(", "));
            self.assume(key, shown.trim_end(), bracketed(&row, written), &why);
            return (
                std::array::from_fn(|i| q[i].to_model(row[i], self.units)),
                None,
            );
        };
        let name = self.name(key);
        let Some(list) = node.list() else {
            self.wrong(
                node.place,
                format!(
                    "{name} should be a list of {N} numbers ({what}); this is {}",
                    node.kind()
                ),
                match node.text().and_then(Typed::of).filter(|_| N == 2) {
                    Some(typed) => Some(typed.as_window(key)),
                    None => Some(shape).filter(|s| !s.is_empty()),
                },
            );
            return ([f64::NAN; N], None);
        };
        if list.len() != N {
            let comma = list.len() == 2 * N && list.iter().all(|n| n.figure().is_some());
            self.wrong(
                node.place,
                format!(
                    "{name} should have {N} numbers ({what}), this has {}",
                    list.len()
                ),
                Some(if comma {
                    format!("a decimal point is written `.`, not `,`; {shape}")
                } else {
                    shape
                })
                .filter(|s| !s.is_empty()),
            );
            return ([f64::NAN; N], None);
        }
        let row = std::array::from_fn(|i| {
            let name = format!("number {} of {name}", i + 1);
            let example = example.map(|row| row[i]);
            q[i].to_model(
                self.checked(&list[i], &name, q[i], limits, example),
                self.units,
            )
        });
        (row, Some(node))
    }

    fn usual_row<const N: usize>(&self, key: &str) -> Option<[f64; N]> {
        let list = self.usual()?.get(key)?.list()?;
        let figures: Vec<f64> = list.iter().filter_map(Node::figure).collect();
        figures.try_into().ok()
    }

    fn usual_list<const N: usize>(&self, key: &str) -> Option<ListDefault<N>> {
        Some(ListDefault::new(self.usual_row(key)?, BUILT_IN))
    }

    /// A window `[low, high]`; left out, what is said here.
    pub(super) fn window(
        &self,
        key: &'static str,
        q: Quantity,
        limits: Limits,
        instead: Option<ListDefault<2>>,
    ) -> Window {
        let ([low, high], node) = self.row(key, [q; 2], limits, instead, "lower and upper end");
        // a window without width can't be landed in
        if let Some(node) = node
            && low >= high
        {
            self.wrong(
                node.place,
                format!(
                    "{}: the lower end must be below the upper one",
                    self.name(key)
                ),
                Some("write the lower end first".to_owned()),
            );
        }
        Window::new(low, high)
    }

    /// A row of figures; left out, the built-in one, each figure times `scale`.
    pub(super) fn scaled_row(
        &self,
        key: &'static str,
        q: [Quantity; 4],
        scale: [f64; 4],
        why: &str,
    ) -> [f64; 4] {
        let instead = self
            .usual_row::<4>(key)
            .map(|row| ListDefault::new(std::array::from_fn(|i| row[i] * scale[i]), why));
        let what = "depth, ring, offset, shaft angle";
        self.row(key, q, Limits::Any, instead, what).0
    }

    /// Two figures that have no default.
    pub(super) fn required_pair(
        &self,
        key: &'static str,
        q: Quantity,
        limits: Limits,
        what: &str,
    ) -> [f64; 2] {
        self.row(key, [q; 2], limits, None, what).0
    }

    /// The time of an operation; left out, the built-in one.
    pub(super) fn span(&self, key: &'static str) -> Span {
        let what = "least, usual and most minutes";
        let instead = self.usual_list(key);
        let ([least, usual, most], node) = self.row(
            key,
            [Quantity::Minutes; 3],
            Limits::AtLeast(0.0),
            instead,
            what,
        );
        if let Some(node) = node
            && (least > usual || usual > most)
        {
            self.wrong(
                node.place,
                format!(
                    "{}: the times must not fall from least to usual to most",
                    self.name(key)
                ),
                Some(format!("write them in the order {what}")),
            );
        }
        Span { least, usual, most }
    }

    /// Thicknesses in the order of a drawer: at least one, ascending, none twice.
    pub(super) fn sizes(&self, key: &'static str, most: usize) -> Vec<f64> {
        self.takes(key, true, || {
            Takes::Figures(Quantity::Length, Limits::Above(0.0), most)
        });
        let name = self.name(key);
        let help =
            || Some("write the thicknesses from thin to thick, e.g. [0.10, 0.15, 0.20]".to_owned());
        let Some(node) = self.stated(key) else {
            self.missing(key, help().unwrap_or_default());
            return Vec::new();
        };
        let Some(list) = node.list() else {
            self.wrong(
                node.place,
                format!(
                    "{name} should be a list of thicknesses; this is {}",
                    node.kind()
                ),
                help(),
            );
            return Vec::new();
        };
        if list.is_empty() {
            self.wrong(node.place, format!("{name} is empty"), help());
        }
        if list.len() > most {
            self.wrong(
                node.place,
                format!("{name} has {} thicknesses, more than {most}", list.len()),
                Some("divide them into two series".to_owned()),
            );
            return Vec::new();
        }
        let mut sizes: Vec<f64> = Vec::with_capacity(list.len());
        for (i, node) in list.iter().enumerate() {
            let at = format!("number {} of {name}", i + 1);
            let size = self.checked(node, &at, Quantity::Length, Limits::Above(0.0), None);
            let size = Quantity::Length.to_model(size, self.units);
            // a NaN before or here has been reported, and compares as neither
            if let Some(before) = sizes.last() {
                if size == *before {
                    self.wrong(
                        node.place,
                        format!("{at} is the same as the one before it"),
                        Some("take one out".to_owned()),
                    );
                } else if size < *before {
                    self.wrong(
                        node.place,
                        format!("{at} is thinner than the one before it"),
                        help(),
                    );
                }
            }
            sizes.push(size);
        }
        sizes
    }
}
