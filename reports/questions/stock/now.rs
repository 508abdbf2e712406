//! The drawer as it is now, and its plan beside it, for whoever counts up and down: a plan is searched for
//! once and holds while shims come and go.

use std::path::{Path, PathBuf};

use shimcast_sim::stock::{self as sim, Aim, Present, Question};

use super::figures::service;
use super::rows::equal_counts;
use super::tell::SERVED;
use super::{Stock, enough, slip};
use crate::cli;
use crate::document::{Block, Cell, Document, Section, Table};
use crate::figures::{counted, shims};
use crate::questions::context::{Failure, on_so_many_threads};
use crate::questions::drawer::tell::{money, of_shop};
use crate::questions::drawer::{self, Work, large_shop};
use crate::questions::{Answer, made};
use crate::sentences::sentence;
use crate::spreadsheet::Decimal;

/// Seed of every plan here, as where none is given.
const SEED: u64 = 1;

/// A shop's drawer as it is now.
#[derive(Debug)]
pub struct DrawerNow {
    files: cli::ShopFiles,
    count: Option<PathBuf>,
    work: Work,
    have: Option<Present>,
    aim: Aim,
}

impl DrawerNow {
    /// Reads the shop with its jobs, and what was counted. With a budget, so much may be spent now.
    ///
    /// # Errors
    /// What is wrong with the files, or a budget that buys nothing.
    pub fn read(
        files: cli::ShopFiles,
        count: Option<&Path>,
        budget: Option<f64>,
    ) -> Result<Self, Failure> {
        let work = drawer::read(&files)?;
        let aim = match budget {
            Some(budget) => Aim::Budget(enough(budget, &work.shelves, &work.shop.shop.currency)?),
            None => work.aim(),
        };
        Ok(Self {
            have: work.counted(count)?,
            count: count.map(Path::to_owned),
            files,
            work,
            aim,
        })
    }

    /// What tells its plan from another: what lies there matters only to what money buys.
    pub fn plan_of(&self) -> String {
        let files = self.work.files.iter().map(|file| file.line());
        let files = files.collect::<Vec<_>>().join("; ");
        match self.aim {
            Aim::Fill(_) => files,
            Aim::Budget(most) => format!("{files}; {most} {:?}", self.have),
        }
    }

    fn ask<T: Send>(
        &self,
        act: impl FnOnce(&Question<'_>, sim::Watch<'_>) -> T + Send,
    ) -> Result<T, Failure> {
        let lines = self.work.lines();
        let question = Question {
            aim: self.aim,
            have: self.have.clone(),
            ..self.work.question(&lines, SEED)
        };
        large_shop(&question, None)?;
        on_so_many_threads(None, |watch| {
            act(&question, &mut |step: sim::SearchProgress| {
                watch.see_step(step.doing, step.served)
            })
        })
    }

    /// Searches for the plan.
    ///
    /// # Errors
    /// Where it was broken off.
    pub fn plan(&self) -> Result<sim::Stock, Failure> {
        let plan = self.ask(|question, watch| sim::stock(question, watch))?;
        plan.ok_or_else(|| Failure::BrokenOff("broken off before the plan was complete".into()))
    }

    /// What is known before there is a plan.
    pub fn without_plan(&self) -> Document {
        let mut document = of_shop(self.title(), &self.work);
        document.doubts.clone_from(&self.work.doubts);
        document.section("", [self.table().into()]).first();
        document
    }

    /// Beside the plan, at once: without the look ahead.
    pub fn beside(self, plan: &sim::Stock) -> Planned {
        let mut stock = plan.clone();
        stock.ahead = None;
        self.planned(stock)
    }

    /// Beside the plan, with the look ahead from what is there.
    ///
    /// # Errors
    /// Where nothing can be played.
    pub fn ahead(self, plan: &sim::Stock) -> Result<Planned, Failure> {
        let stock = match self.aim {
            Aim::Fill(_) => self.ask(|question, _| plan.clone().beside(question))?,
            // found beside what is there
            Aim::Budget(_) => plan.clone(),
        };
        Ok(self.planned(stock))
    }

    fn title(&self) -> String {
        self.work.title("The shim drawer of")
    }

    fn planned(self, stock: sim::Stock) -> Planned {
        let lists = drawer::lists([(&self.count, "count of the drawer"), (&None, "offer")]);
        let (title, date) = (self.title(), cli::Dated::default());
        let now = self.table();
        Planned {
            now,
            answer: Stock {
                made: made::of_drawer(title, &self.work, &self.files.set, lists, SEED, &date),
                work: self.work,
                aim: self.aim,
                have: self.have,
                against_own: None,
                offered: false,
                seed: SEED,
                times: None,
                stock,
                book: None,
                slip: false,
            },
        }
    }

    /// What lies there and is on its way.
    fn table(&self) -> Table {
        let mut table = Table::named();
        let Some(have) = &self.have else {
            table.name(
                "In the drawer now",
                Cell::none().beside("not counted: planned as if empty"),
            );
            return table;
        };
        let shop = &self.work.shop.shop;
        let (mut sizes, mut worth) = (0, 0.0);
        for (shelf, counts) in self.work.shelves.iter().zip(&have.counts) {
            sizes += counts.iter().filter(|count| **count > 0).count() as u64;
            let priced = shelf.prices.iter().zip(counts);
            worth += priced
                .map(|(price, count)| f64::from(*count) * price)
                .sum::<f64>();
        }
        let pieces = |of: &sim::Levels| shims(of.iter().flatten().map(|n| u64::from(*n)).sum());
        table.name(
            "In the drawer now",
            Cell::from(pieces(&have.counts)).beside(format!(
                "of {}; list price {}",
                counted(sizes, ["size", "sizes"]),
                money(worth, shop)
            )),
        );
        if have.on_order.iter().flatten().any(|n| *n > 0) {
            table.name("On order", pieces(&have.on_order));
        }
        table
    }
}

/// A drawer as it is now, with its plan.
#[derive(Debug)]
pub struct Planned {
    now: Table,
    answer: Stock,
}

/// What is ordered of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct Ordered {
    /// Its series.
    pub series: String,
    /// Thickness as printed, mm.
    pub size: f64,
    /// Pieces of it, in whole packs.
    pub pieces: u32,
}

impl Planned {
    /// What a page shows: what is there, what to order and what that does, what money would buy, and the
    /// same number of every size instead.
    pub fn tell(&self) -> Document {
        let planned = self.answer.planned();
        let curve = service(&planned);
        let equal = equal_counts(&planned).caption;
        let mut document = Answer::tell(&self.answer);
        document.doubts.clone_from(&self.answer.work.doubts);
        // the figure has it
        let sections = &mut document.sections;
        sections.retain(|section| section.heading != curve.table.caption);
        for section in sections.iter_mut() {
            section.first &= section.heading.is_empty() || section.heading == equal;
        }
        // the headline and the notes about it have no headings
        let is_head = |section: &Section| section.first && section.heading.is_empty();
        let mut heads = sections.iter_mut().filter(|section| is_head(section));
        let headline = heads.find_map(|section| match section.blocks.first_mut() {
            Some(Block::Table(table)) => Some(table),
            _ => None,
        });
        if let Some(headline) = headline {
            for row in &mut headline.rows {
                // beside what lies there now, it is said of which drawer it is
                if row[0].value() == SERVED {
                    row[0] = format!("{SERVED}, once it is filled to plan").into();
                }
            }
            headline.rows.splice(0..0, self.now.rows.clone());
        }
        let first = |heading: &str, blocks| Section {
            first: true,
            ..Section::at("", heading, blocks)
        };
        let behind = sections.iter().rposition(is_head).map_or(0, |at| at + 1);
        sections.insert(behind, first("", vec![curve.into()]));
        sections.insert(behind, first("What to order", self.order_told()));
        document
    }

    /// What to order from whom, and what that comes to.
    fn order_told(&self) -> Vec<Block> {
        let planned = self.answer.planned();
        let (shop, rows) = (planned.shop(), planned.rows());
        let tables = slip::tables(shop, &rows);
        let note = match tables.is_empty() {
            true => "nothing: every size is at its level, with what is on order".to_owned(),
            false => format!(
                "{}, {}",
                slip::to_pay(shop, &rows),
                slip::paid_how(&planned, &rows)
            ),
        };
        let mut blocks: Vec<Block> = tables.into_iter().map(Block::Table).collect();
        blocks.push(Block::Note(sentence(&note)));
        blocks
    }

    /// What to order now, in the order of the shop.
    pub fn order(&self) -> Vec<Ordered> {
        let rows = self.answer.rows();
        let some = rows.iter().filter(|row| row.packs() > 0);
        let of = some.map(|row| Ordered {
            series: row.shelf.name.clone(),
            size: row.size,
            pieces: row.pieces(),
        });
        of.collect()
    }

    /// How many of a size of a series the plan keeps.
    pub fn level(&self, series: &str, size: f64) -> u32 {
        let rows = self.answer.rows();
        let own = rows
            .iter()
            .find(|row| row.shelf.name == series && row.size == size);
        own.map_or(0, |row| row.keep)
    }

    /// The order slip as CSV.
    pub fn slip(&self, decimal: Decimal) -> String {
        self.answer.slip(decimal)
    }

    /// The order slip as a page to print.
    pub fn slip_page(&self) -> Document {
        let shop = &self.answer.work.shop.shop;
        let mut document = Document::about(format!("Order slip of {}", shop.name));
        document.section("What to order", self.order_told());
        document.made = Some(self.answer.made.clone());
        document
    }
}
