//! How backlash, side preload and pinion torque spread, against their windows.

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::count::histogram::{Bins, Histogram};
use shimcast_sim::units::Window;

use super::{Pictured, bars, known_within};
use crate::document::{Bars, Cell, Chart, Column, Figure, Histogram as Drawn, Table, nice_width};
use crate::figures::said;
use crate::printed::Printed;
use crate::sentences::{lower, said_first};

/// Bars of a figure, about.
const BARS: f64 = 32.0;
/// And at the most.
const MOST_BARS: usize = 64;

/// No bar of lengths is narrower: half of what people read.
fn least_width(print: Printed) -> f64 {
    match print.length_unit() {
        "mm" => 0.005,
        _ => 0.0005,
    }
}

/// Backlash as first bolted up and as handed over.
pub(super) fn backlash(of: &Pictured<'_>) -> Figure {
    let print = of.print;
    let windows = &of.setup.axle.windows;
    let (first, last) = (&of.odds.first_assembly, &of.odds.handed_over);
    let pictures = of.pictures;
    let varies = 2.0 * pictures.first.swing.mean();
    Measured {
        name: "backlash",
        title: "Does backlash land in its window?",
        label: format!("backlash, mean of a turn, {}", print.length_unit()),
        what: "Backlash, mean of a turn",
        column: "backlash",
        unit: print.units.length.mm(),
        unit_name: print.length_unit(),
        unit_key: print.length_unit(),
        least_width: least_width(print),
        window: windows.backlash,
        first: Some(&pictures.first.backlash),
        handed_over: &pictures.handed_over.backlash,
    }
    .figure(
        format!(
            "{} of first assemblies have every tooth inside {} and vary by no more than {} round \
             the ring; of the finished jobs {} do.",
            said_first(&first.backlash),
            print.window(windows.backlash),
            print.given(windows.backlash_variation),
            said(&last.backlash),
        ),
        format!(
            "Bars show the mean of a turn. Round the ring it varies by about {}, largest less \
             smallest (mean of all rebuilds), so a mean near a limit has teeth outside. ",
            print.length(varies)
        ),
    )
}

/// Side preload.
pub(super) fn closure(of: &Pictured<'_>) -> Figure {
    let print = of.print;
    let window = of.setup.axle.windows.side_closure;
    let (first, last) = (&of.odds.first_assembly, &of.odds.handed_over);
    Measured {
        name: "side-closure",
        title: "Are the side bearings closed far enough, and not too far?",
        label: format!("closed past zero end play, {}", print.length_unit()),
        what: "Side preload",
        column: "side_closure",
        unit: print.units.length.mm(),
        unit_name: print.length_unit(),
        unit_key: print.length_unit(),
        least_width: least_width(print),
        window,
        first: Some(&of.pictures.first.closure),
        handed_over: &of.pictures.handed_over.closure,
    }
    .figure(
        format!(
            "{} of first assemblies are closed by {} past zero end play; of the finished jobs {} \
             are.",
            said_first(&first.side_closure),
            print.window(window),
            said(&last.side_closure),
        ),
        String::new(),
    )
}

/// Torque to turn the pinion, finished jobs.
pub(super) fn torque(of: &Pictured<'_>) -> Figure {
    let print = of.print;
    let unit = of.print.units.torque;
    let window = of.setup.torque_window;
    Measured {
        name: "pinion-torque",
        title: "Does the pinion turn as hard as it should?",
        label: format!("torque to turn the pinion, {}", unit.printed()),
        what: "Torque to turn the pinion",
        column: "pinion_torque",
        unit: unit.newton_metres(),
        unit_name: unit.printed(),
        unit_key: unit.name(),
        least_width: match unit.printed() {
            "N·m" => 0.02,
            _ => 0.2,
        },
        window,
        first: None,
        handed_over: &of.pictures.pinion_torque,
    }
    .figure(
        format!(
            "{} of the finished jobs turn at {}, the pinion alone with its seal, bearings {}.",
            said_first(&of.odds.pinion_torque),
            print.torques(window),
            of.setup.bearings.word(),
        ),
        "The first assembly has no pinion preload yet, so there is nothing to show of it. ".into(),
    )
}

/// One measured figure with its window.
struct Measured<'a> {
    name: &'static str,
    title: &'static str,
    label: String,
    what: &'static str,
    column: &'static str,
    /// The unit shown, in the model's.
    unit: f64,
    unit_name: &'static str,
    /// The same in the head of a column.
    unit_key: &'static str,
    least_width: f64,
    /// In the model's unit, as the histograms are.
    window: Window,
    first: Option<&'a Histogram>,
    handed_over: &'a Histogram,
}

impl Measured<'_> {
    fn figure(&self, finding: String, reading: String) -> Figure {
        let (start, width, number) = self.grid();
        let bins =
            |histogram: &Histogram| histogram.bins(start * self.unit, width * self.unit, number);
        let last = bins(self.handed_over);
        let first = self.first.map(bins);
        let shares = |bins: &Bins, total: u64| {
            let share = |count: &u64| *count as f64 / total.max(1) as f64;
            bins.counts.iter().map(share).collect::<Vec<f64>>()
        };
        let outlined = self
            .first
            .zip(first.as_ref())
            .map(|(histogram, bins)| Bars {
                name: "as first bolted up".into(),
                shares: shares(bins, histogram.total()),
            });
        let window = [self.window.low, self.window.high].map(|x| x / self.unit);
        let chart = Chart::Histogram(Drawn {
            label: self.label.clone(),
            start,
            width,
            window: Some(window),
            filled: Bars {
                name: "as handed over".into(),
                shares: shares(&last, self.handed_over.total()),
            },
            outlined,
            lines: Vec::new(),
        });
        let stages: Vec<(&str, &Histogram, &Bins)> = [
            ("first_assembly", self.first, first.as_ref()),
            ("handed_over", Some(self.handed_over), Some(&last)),
        ]
        .into_iter()
        .filter_map(|(stage, histogram, bins)| Some((stage, histogram?, bins?)))
        .collect();
        let beyond: Vec<String> = stages
            .iter()
            .filter(|(_, histogram, bins)| histogram.total() > 0 && bins.below + bins.above > 0)
            .map(|(stage, histogram, bins)| {
                let share = Estimate::share(bins.below + bins.above, histogram.total());
                let stage = match *stage {
                    "handed_over" => "those handed over",
                    _ => "first assemblies",
                };
                format!("{} of {stage}", said(&share))
            })
            .collect();
        let fewest = stages.iter().map(|(_, histogram, _)| histogram.total());
        let fewest = fewest.filter(|n| *n > 0).min().unwrap_or(0);
        let mut reading = reading;
        reading.push_str(&known_within(fewest));
        if !beyond.is_empty() {
            reading.push_str(&format!(
                " Beyond the picture lie {}.",
                beyond.join(" and ")
            ));
        }
        Figure {
            name: self.name,
            question: self.title.into(),
            drawn: format!(
                "Histogram of {} in {} against its window.",
                lower(self.what),
                self.unit_name
            ),
            chart,
            finding,
            reading,
            table: self.table(start, width, &stages),
            rows: Some(self.rows(start, width, &stages)),
        }
    }

    /// Start, width and number of the bins, in the unit shown. The window's limits lie between
    /// bins wherever that gives a width that people can read.
    fn grid(&self) -> (f64, f64, usize) {
        let window = [self.window.low, self.window.high].map(|x| x / self.unit);
        let wide = window[1] - window[0];
        let (mut low, mut high) = (window[0] - 0.15 * wide, window[1] + 0.15 * wide);
        for histogram in [self.first, Some(self.handed_over)].into_iter().flatten() {
            let ends = [0.002, 0.998].map(|q| histogram.edge_below(q));
            if let [Some(from), Some(to)] = ends {
                low = low.min(from / self.unit);
                high = high.max((to + histogram.step()) / self.unit);
            }
        }
        let range = high - low;
        let wanted = nice_width(range / BARS).max(self.least_width);
        let fits = |width: f64| {
            let bins = wide / width;
            (bins - bins.round()).abs() < 1e-6 && bins.round() >= 1.0
        };
        let readable = [1.0, 0.5, 0.4, 0.25, 2.0].map(|times| nice_width(times * wanted));
        let width = readable
            .into_iter()
            .find(|width| {
                fits(*width)
                    && *width >= self.least_width * (1.0 - 1e-9)
                    && range / width <= MOST_BARS as f64
            })
            .unwrap_or(wanted);
        let before = ((window[0] - low) / width - 1e-6).ceil().max(0.0);
        let start = window[0] - before * width;
        let number = ((high - start) / width - 1e-6).ceil() as usize;
        (start, width, number.clamp(1, 4 * MOST_BARS))
    }

    fn table(&self, start: f64, width: f64, stages: &[(&str, &Histogram, &Bins)]) -> Table {
        let mut columns = vec![
            Column::figures(format!("{}, {}", self.what, self.unit_name)),
            Column::words("window"),
        ];
        let stage = |(stage, _, _): &(&str, _, _)| Column::intervals(stage_words(stage));
        columns.extend(stages.iter().map(stage));
        let caption = format!("{}: share of jobs in each bar", self.what);
        let mut table = Table::new(columns).caption(caption);
        let places = (-width.log10()).ceil().clamp(0.0, 5.0) as usize;
        let places = places + usize::from(!near_grid(width, places) || !near_grid(start, places));
        let window = [self.window.low, self.window.high].map(|x| x / self.unit);
        let slack = 1e-6 * width;
        let number = stages.first().map_or(0, |(_, _, bins)| bins.counts.len());
        for (i, ends) in bars::ends(start, width, number).into_iter().enumerate() {
            let inside = match ends {
                [Some(from), Some(to)] => {
                    let inside = from >= window[0] - slack && to <= window[1] + slack;
                    let apart = to <= window[0] + slack || from >= window[1] - slack;
                    match (inside, apart) {
                        (true, _) => "inside",
                        (_, true) => "",
                        _ => "partly",
                    }
                }
                _ => "",
            };
            let mut cells = vec![bars::name(ends, places).into(), inside.into()];
            cells.extend(stages.iter().map(|(_, _, bins)| bars::share(bins, i)));
            table.row(cells);
        }
        table
    }

    /// A row a bar and stage, for other tools.
    fn rows(&self, start: f64, width: f64, stages: &[(&str, &Histogram, &Bins)]) -> Table {
        let mut table = Table::new([
            Column::data("figure"),
            Column::data("stage"),
            Column::data(format!("from_{}", self.unit_key)),
            Column::data(format!("to_{}", self.unit_key)),
            Column::data("jobs"),
            Column::intervals("").key("share"),
        ]);
        for (stage, _, bins) in stages {
            let all = bars::ends(start, width, bins.counts.len());
            for (i, ends) in all.into_iter().enumerate() {
                let [from, to] = ends.map(bars::end);
                let (figure, stage) = (self.column.into(), (*stage).into());
                let jobs = Cell::count(bars::jobs(bins, i));
                table.row([figure, stage, from, to, jobs, bars::share(bins, i)]);
            }
        }
        table
    }
}

fn stage_words(stage: &str) -> &'static str {
    match stage {
        "handed_over" => "handed over",
        _ => "first assembly",
    }
}

fn near_grid(figure: f64, places: usize) -> bool {
    let scaled = figure * 10_f64.powi(places as i32);
    (scaled - scaled.round()).abs() < 1e-4
}
