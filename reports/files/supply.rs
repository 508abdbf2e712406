//! Where the shims of a series are bought, and how many at the least.

use shimcast_sim::axle::shims::Series;

use super::describe::Takes;
use super::drawer::SAME_SIZE;
use super::section::Section;
use super::tree::{Node, Value, quoted};

/// Most packs that a supplier may want to deliver at least.
const MOST_PACKS: u32 = 1000;

/// Where a series is bought. All of it may be left out of a shop file, and nothing is assumed in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// The series, as the shop calls it.
    pub series: String,
    /// Who sells it, where the file says so.
    pub supplier: Option<String>,
    /// The supplier's part numbers by the size as printed, mm, in the order of the sizes; sizes without one are
    /// not among them.
    pub part_numbers: Vec<(f64, String)>,
    /// Packs of one size that are delivered at least.
    pub least_order: u32,
}

impl Supply {
    /// The part number of a size, mm, where it has one.
    pub fn part_number(&self, size: f64) -> Option<&str> {
        let mut all = self.part_numbers.iter();
        let found = all.find(|(of, _)| (of - size).abs() < SAME_SIZE);
        found.map(|(_, number)| number.as_str())
    }
}

/// The keys of a series that say where it is bought. Whatever is wrong is noted.
pub(super) fn supply(s: &Section<'_>, series: &Series) -> Supply {
    s.takes("supplier", false, || Takes::Words);
    s.takes("part_numbers", false, || Takes::AllWords);
    s.takes("least_order", false, || Takes::Whole(1, MOST_PACKS));
    let supplier = s.stated("supplier").is_some();
    let least_order = s.stated("least_order").is_some();
    Supply {
        series: series.name.clone(),
        supplier: supplier.then(|| s.text("supplier", "say who sells it, or leave supplier out")),
        part_numbers: part_numbers(s, &series.sizes),
        least_order: match least_order {
            true => s.whole("least_order", 1, MOST_PACKS, None),
            false => 1,
        },
    }
}

fn part_numbers(s: &Section<'_>, sizes: &[f64]) -> Vec<(f64, String)> {
    let Some(node) = s.stated("part_numbers") else {
        return Vec::new();
    };
    let name = s.name("part_numbers");
    let one_each =
        "write one in quotes for each of the sizes, in their order; \"\" for a size without one";
    let Some(list) = node.list() else {
        let reason = format!("{name} should be a list of texts; this is {}", node.kind());
        s.wrong(node.place, reason, Some(one_each.to_owned()));
        return Vec::new();
    };
    // sizes that are missing or wrong were told of
    if list.len() != sizes.len() && !sizes.is_empty() {
        let reason = format!(
            "{name} has {} part numbers for {} sizes",
            list.len(),
            sizes.len()
        );
        s.wrong(node.place, reason, Some(one_each.to_owned()));
        return Vec::new();
    }
    let mut numbers: Vec<(f64, String)> = Vec::new();
    for (i, (node, size)) in list.iter().zip(sizes).enumerate() {
        let at = format!("number {} of {name}", i + 1);
        let Some(number) = node.text().map(str::trim) else {
            let reason = format!("{at} should be text in quotes; this is {}", node.kind());
            s.wrong(node.place, reason, in_quotes(node));
            continue;
        };
        if number.is_empty() {
            continue;
        }
        if numbers.iter().any(|(_, other)| other == number) {
            let reason = format!("{at} is the part number of a size before it already");
            let help = "give each size its own; \"\" where it has none".to_owned();
            s.wrong(node.place, reason, Some(help));
        }
        numbers.push((*size, number.to_owned()));
    }
    numbers
}

/// How to write a part number that stands there as a number.
fn in_quotes(node: &Node) -> Option<String> {
    match node.value {
        Value::Number {
            figure,
            whole: true,
        } => Some(format!("write {}", quoted(&figure.to_string()))),
        _ => None,
    }
}
