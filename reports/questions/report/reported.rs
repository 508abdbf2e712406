//! Everything that a page shows of one job.

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::causes::Causes;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::follow::Story;
use shimcast_sim::pictures::Grain;
use shimcast_sim::quote::Flat;

use super::tell::ORDER_SLIP;
use crate::document::Made;
use crate::files::Assumption;
use crate::questions::causes::Caused;
use crate::questions::follow::Account;
use crate::questions::odds::figures::Pictured;
use crate::questions::quote::Choice;
use crate::questions::quote::figures::Quoted;
use crate::questions::quote::luck::Luck;
use crate::questions::stock::Planned;
use crate::questions::sweep::points::Points;
use crate::units::{Length, Torque, Units};

/// The whole answer.
#[derive(Debug, Clone, Copy)]
pub struct Reported<'a> {
    /// The job and its odds, with what figures need of them.
    pub job: Pictured<'a>,
    /// The job with its quote.
    pub choice: &'a Choice,
    /// What the price to quote comes to over many jobs.
    pub luck: &'a Luck,
    /// Share of jobs that may overrun.
    pub risk: f64,
    /// Seed of every run.
    pub seed: u64,
    /// Defaults in use.
    pub assumptions: &'a [Assumption],
    /// Those of them that move the share right when handed over most, in a sentence.
    pub moved_most: Option<&'a str>,
    /// The share right when handed over by a dial held as the book holds it, where the shop holds its
    /// own otherwise.
    pub held_as_the_book: Option<Estimate>,
    /// Why jobs differ; `None` where it was broken off before that.
    pub causes: Option<&'a Causes>,
    /// Keys swept; `None` where it was broken off before that.
    pub sweep: Option<Points<'a>>,
    /// Whether they were asked for by name.
    pub sweep_asked_for: bool,
    /// What looks wrong in the files.
    pub doubts: &'a [String],
    /// What it is made from.
    pub made: &'a Made,
    /// One rebuild.
    pub story: &'a Story,
    /// What this rebuild was found by, as typed.
    pub found: Option<&'a str>,
    /// The shop's drawer, where it was asked for and there are jobs to plan it for.
    pub drawer: Option<Planned<'a>>,
}

impl Reported<'_> {
    /// The job.
    pub fn setup(&self) -> &Setup {
        self.job.setup
    }

    /// The flat price for the risk asked for; `None` where nothing was simulated.
    pub fn recommended(&self) -> Option<Flat> {
        self.choice.recommended(self.risk)
    }

    /// The job with its price.
    pub fn quoted(&self) -> Quoted<'_> {
        Quoted {
            choice: self.choice,
            luck: self.luck,
            risk: self.risk,
            assumptions: self.assumptions,
        }
    }

    /// Whether any run was cut short.
    pub fn partial(&self) -> bool {
        self.job.odds.partial
            || self.job.pictures.partial
            || self.choice.quote.partial
            || self.causes.is_none_or(|causes| causes.partial)
            || self.sweep.is_none_or(|swept| swept.comparison.partial)
    }

    /// What one of its figures or tables is made from: not all are of the same rebuilds.
    pub fn made_of(&self, name: &str) -> Made {
        let made = self.made.clone();
        let explains = ["halved", "causes-", "stack-"];
        let rebuilds = match name {
            "service" | "shims" | ORDER_SLIP => {
                return Made {
                    of: format!("The shim drawer of {}", self.setup().shop.name),
                    rebuilds: None,
                    ..made
                };
            }
            "sweep" => self.sweep.map(|swept| swept.comparison.rebuilds),
            name if explains.iter().any(|begins| name.starts_with(begins)) => {
                self.causes.map(|causes| causes.rebuilds)
            }
            _ => made.rebuilds,
        };
        Made { rebuilds, ..made }
    }

    /// Why jobs differ, as an answer of its own.
    pub fn caused(&self) -> Option<Caused<'_>> {
        self.causes.map(|causes| Caused {
            setup: self.setup(),
            causes,
            seed: self.seed,
            print: self.job.print,
            assumptions: self.assumptions,
        })
    }

    /// One rebuild, as an answer of its own.
    pub fn followed(&self) -> Account<'_> {
        Account {
            setup: self.setup(),
            story: self.story,
            found: self.found,
            seed: self.seed,
            print: self.job.print,
            assumptions: self.assumptions,
        }
    }
}

/// Steps in which figures in these units are counted: a hundredth of what people read.
pub fn grain(units: Units) -> Grain {
    Grain {
        length: match units.length {
            Length::Millimetre => 1e-4,
            Length::Inch => 1e-5 * Length::Inch.mm(),
        },
        torque: match units.torque {
            Torque::NewtonMetre => 1e-3,
            Torque::PoundForceInch => 1e-2 * Torque::PoundForceInch.newton_metres(),
        },
    }
}
