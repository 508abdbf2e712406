//! What the figures that jobs teach are called, where they stand, and in what they are told.

use shimcast_sim::bench::minutes::Task;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::causes::Input;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::learn::{Learnable, Timed};

use crate::figures::Digits;
use crate::files::seats;
use crate::inputs::words;
use crate::printed::Printed;
use crate::sentences::capital;
use crate::tasks;

/// A figure that jobs teach.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Named {
    /// Its name inside a sentence.
    pub(super) name: String,
    /// Its unit, as it is told; empty where it has none.
    pub(super) unit: String,
    /// Its dotted key, with entries of a list by their place from 1.
    pub(super) key: String,
    /// Whether it stands in the axle file, and not in that of the shop.
    pub(super) of_axle: bool,
    /// How many of the unit that it is told in are one of the model's.
    pub(super) units: f64,
    /// Decimals that it is told to, at the most.
    pub(super) decimals: usize,
}

const FLANKS: [(&str, &str); 2] = [("drive", "drive_profile"), ("coast", "coast_profile")];
const MOVERS: [&str; 2] = ["depth", "ring position"];

/// What a figure is called of this axle and shop.
pub(super) fn named(of: &Learnable, setup: &Setup, print: Printed) -> Named {
    let (mm, unit) = (print.units.length.mm(), print.length_unit());
    let tooth = format!("% of the tooth a {unit}");
    let (name, unit, key, of_axle, units, decimals) = match of {
        Learnable::Spread(input) => return spread(*input, setup, print),
        Learnable::Row(flank, mover) => (
            format!("{} profile for {}", FLANKS[*flank].0, MOVERS[*mover]),
            tooth,
            format!("gears.pattern.{}.{}", FLANKS[*flank].1, mover + 1),
            true,
            100.0 * mm,
            0,
        ),
        Learnable::RingBelief => (
            "backlash that a ring move is believed to bring".to_owned(),
            String::new(),
            "bench.ring_belief".to_owned(),
            false,
            1.0,
            3,
        ),
        Learnable::DepthBelief => (
            "profile that depth is believed to bring".to_owned(),
            tooth,
            "bench.depth_belief".to_owned(),
            false,
            100.0 * mm,
            0,
        ),
        Learnable::Minutes(timed) => (
            work(*timed, setup).to_owned(),
            "minutes".to_owned(),
            minutes_key(*timed, setup),
            false,
            1.0,
            0,
        ),
        Learnable::JobSpread => (
            "pace of whole jobs, one sigma".to_owned(),
            "%".to_owned(),
            "minutes.job_spread".to_owned(),
            false,
            100.0,
            1,
        ),
        Learnable::Spoiled(series) => (
            format!("{series} shims spoiled"),
            "%".to_owned(),
            spoiled_key(series, setup),
            false,
            100.0,
            1,
        ),
        Learnable::ComebackShare => (
            "jobs clearly out that come back".to_owned(),
            "%".to_owned(),
            "prices.comeback_share".to_owned(),
            false,
            100.0,
            0,
        ),
    };
    Named {
        name,
        unit,
        key,
        of_axle,
        units,
        decimals,
    }
}

fn spread(input: Input, setup: &Setup, print: Printed) -> Named {
    let key = input.key(setup);
    let (units, unit, decimals) = match input {
        Input::Pattern | Input::ScatterProfile => (100.0, "% of the tooth", 1),
        // the model has arc-minutes as they are
        Input::ShaftAngle => (1.0, "arc-minutes", 2),
        _ => {
            let mm = print.units.length.mm();
            let decimals = if mm == 1.0 { 4 } else { 5 };
            (1.0 / mm, print.length_unit(), decimals)
        }
    };
    Named {
        name: words(input, setup).to_owned(),
        unit: unit.to_owned(),
        of_axle: !key.starts_with("instruments"),
        key,
        units,
        decimals,
    }
}

/// A triple of minutes in a workshop's words.
fn work(timed: Timed, setup: &Setup) -> &'static str {
    match timed {
        Timed::Task(task) => tasks::words(task, setup),
        Timed::SleeveAgain => "crush one more sleeve",
    }
}

fn minutes_key(timed: Timed, setup: &Setup) -> String {
    let [pinion, side] = seats(&setup.axle);
    match timed {
        Timed::SleeveAgain => "minutes.sleeve_again".to_owned(),
        Timed::Task(Task::SideChange) => format!("minutes.side_change.{side}"),
        Timed::Task(Task::PinionChange) => format!("minutes.pinion_change.{pinion}"),
        Timed::Task(task) => format!("minutes.{}", tasks::key(task)),
    }
}

fn spoiled_key(series: &str, setup: &Setup) -> String {
    let all = &setup.shop.shims;
    let place = all.iter().position(|of| of.name == series).unwrap_or(0);
    format!("shims.{}.spoiled", place + 1)
}

impl Named {
    /// Its name with its unit, as a row of a table has it.
    pub(super) fn with_unit(&self) -> String {
        match self.unit.as_str() {
            "" => capital(&self.name),
            unit => format!("{}, {unit}", capital(&self.name)),
        }
    }

    /// What the files say, to three digits.
    pub(super) fn of_files(&self, figure: f64) -> String {
        let shown = self.units * figure;
        let digits = 2 - shown.abs().log10().floor().clamp(-9.0, 9.0) as i32;
        let places = digits.max(0) as usize;
        let text = Digits::decimals(places).text(shown);
        match text.contains('.') {
            true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
            false => text,
        }
    }

    /// An estimate in the unit that it is told in.
    pub(super) fn told(&self, of: &Estimate) -> Estimate {
        of.times(self.units)
    }
}
