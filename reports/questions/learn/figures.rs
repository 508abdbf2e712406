//! A picture of each figure: the shop's jobs over those that are simulated for it.

use shimcast_sim::learn::Difference;

use super::Learned;
use super::tell::{as_wide, on_average};
use super::words::{Told, told};
use crate::document::{Bars, Block, Chart, Column, Figure, Histogram, Section, Table, nice_width};
use crate::figures::counted;
use crate::sentences::capital;

/// Bars of a picture, about.
const BARS: f64 = 16.0;

pub(super) fn section(of: &Learned) -> Section {
    let figures = of.agreement.differences.iter();
    let blocks = figures.map(|figure| Block::from(self::figure(of, figure)));
    Section::at(
        "figures",
        "Your jobs among the simulated ones",
        blocks.collect(),
    )
}

fn figure(of: &Learned, figure: &Difference) -> Figure {
    let print = of.loaded.printed();
    let words = told(figure.figure, &of.setup, of.loaded.printed());
    let scale = words.unit.scale(print);
    let shown = |values: &[f64]| -> Vec<f64> { values.iter().map(|value| scale * value).collect() };
    let (shop, simulated) = (shown(&figure.shop), shown(&figure.simulated));
    let grid = Grid::over(&shop, &simulated, words.unit.step(print));
    let named = match words.unit.symbol(print).as_str() {
        "" => words.name.to_owned(),
        symbol => format!("{}, {symbol}", words.name),
    };
    let chart = Chart::Histogram(Histogram {
        label: named.clone(),
        start: grid.start,
        width: grid.width,
        window: None,
        filled: Bars {
            name: "your jobs".into(),
            shares: grid.shares(&shop),
        },
        outlined: Some(Bars {
            name: "simulated".into(),
            shares: grid.shares(&simulated),
        }),
        lines: Vec::new(),
    });
    Figure {
        name: words.key,
        question: format!("{}: do yours look as simulated?", capital(words.name)),
        drawn: format!(
            "Histogram of {named}, of {} over that of the simulated ones.",
            counted(shop.len() as u64, ["job", "jobs"]),
        ),
        chart,
        finding: finding(of, figure, &words),
        reading: "Bars are shares of your jobs, the dashed outline those of simulated jobs of the same kinds. \
                  With few jobs bars are ragged, whatever they are drawn from."
            .into(),
        table: grid.table(&words, &named, [&shop, &simulated]),
        rows: None,
    }
}

fn finding(of: &Learned, figure: &Difference, words: &Told) -> String {
    let scatter = figure
        .scatter
        .map(|of| format!("; they scatter {}", as_wide(&of.found)));
    format!(
        "{}{}.",
        on_average(of, figure, words),
        scatter.unwrap_or_default()
    )
}

/// Bins over figures of both.
struct Grid {
    start: f64,
    width: f64,
    number: usize,
}

impl Grid {
    fn over(shop: &[f64], simulated: &[f64], step: f64) -> Self {
        let all = || shop.iter().chain(simulated).copied();
        let low = all().fold(f64::INFINITY, f64::min);
        let high = all().fold(f64::NEG_INFINITY, f64::max);
        let width = nice_width((high - low) / BARS).max(step);
        // figures that are multiples of the step lie in the middle of a bar
        let start = (low / width).round() * width - 0.5 * width;
        let start = if start > low { start - width } else { start };
        let number = ((high - start) / width).floor() as usize + 1;
        Self {
            start,
            width,
            number,
        }
    }

    fn counts(&self, values: &[f64]) -> Vec<u64> {
        let mut counts = vec![0; self.number];
        for value in values {
            let at = ((value - self.start) / self.width) as usize;
            counts[at.min(self.number - 1)] += 1;
        }
        counts
    }

    fn shares(&self, values: &[f64]) -> Vec<f64> {
        let total = values.len().max(1) as f64;
        let counts = self.counts(values).into_iter();
        counts.map(|count| count as f64 / total).collect()
    }

    fn table(&self, words: &Told, named: &str, [shop, simulated]: [&[f64]; 2]) -> Table {
        let mut table = Table::new([
            Column::figures(format!("{named}, from")).key(words.key.replace('-', "_") + "_from"),
            Column::figures("to").key("to"),
            Column::figures("your jobs").key("jobs"),
            Column::figures("simulated").key("simulated"),
        ]);
        let places = (-self.width.log10()).ceil().clamp(0.0, 6.0) as usize + 1;
        let [shop, simulated] = [shop, simulated].map(|values| self.counts(values));
        for (bin, (shop, simulated)) in shop.into_iter().zip(simulated).enumerate() {
            let edge = |bin: usize| format!("{:.places$}", self.start + bin as f64 * self.width);
            table.row([
                edge(bin).into(),
                edge(bin + 1).into(),
                shop.to_string().into(),
                simulated.to_string().into(),
            ]);
        }
        table
    }
}
