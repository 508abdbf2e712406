//! What the changes come to, against the files, in words and tables.

use shimcast_sim::compare::{Comparison, Way};

use super::name_of;
use super::tried::{Change, Tried};
use crate::document::{AT_WORK, Block, CAUTION, Cell, Column, Document, Section, Table};
use crate::figures::rebuilds;
use crate::questions::compare::measures::{Measure, OfWay};
use crate::questions::frame::{PLAUSIBLE, assumed, title};
use crate::questions::odds::figures::{hundred, hundred_beside};
use crate::questions::{check, outside};

/// What is said where nothing is moved.
const NOTHING: &str = "Nothing is changed yet: this is the job as the files have it.";

impl Tried<'_> {
    /// Tells what [`Tried::compared`] found with the same seed.
    pub fn tell(&self, comparison: &Comparison, seed: u64) -> Document {
        let mut document = Document::about(format!("What if: {}", title(&self.setup)));
        document.partial = comparison.partial.then_some(comparison.rebuilds);
        document.doubts = check::doubts(&self.setup, &self.loaded);
        let refused = self.refused.iter().map(|refused| {
            let called = name_of(&refused.key).unwrap_or(&refused.key);
            Block::Note(format!(
                "Left out: {called}, {}: {}.",
                refused.sent, refused.reason
            ))
        });
        let answer = [answer(self, comparison), refused.collect()].concat();
        document.sections.push(Section {
            first: true,
            ..Section::at("what-if", "", answer)
        });
        let changed = changed(&self.changes);
        let picture = match comparison.ways.as_slice() {
            [files, changed, ..] => hundred_beside(&changed.ends, &files.ends),
            [files] => hundred(&files.ends),
            [] => return document,
        };
        document.sections.push(Section {
            first: true,
            ..Section::at("hundred", "A hundred such jobs", vec![picture.into()])
        });
        if !self.changes.is_empty() {
            document.sections.push(Section {
                first: true,
                ..Section::at("changes", "What is changed", vec![changed.into()])
            });
        }
        document.behind = format!(
            "{}, seed {seed}, the very same parts with the changes and without. \"to\" gives 95 % \
             intervals of the simulation, each by itself; those of differences are paired. {PLAUSIBLE}",
            rebuilds(comparison.rebuilds)
        );
        document.assume(assumed(&self.loaded.assumptions));
        document.cautions.extend([CAUTION, AT_WORK]);
        document
    }

    /// What jobs cost is in a currency; the same one with the changes and without?
    fn in_one_currency(&self) -> bool {
        self.setup.shop.currency == self.base.setup.shop.currency
    }
}

fn answer(tried: &Tried<'_>, comparison: &Comparison) -> Vec<Block> {
    let mut shown = OfWay::shown(comparison);
    if !tried.in_one_currency() {
        shown.retain(|of| of.measure() != Some(Measure::Money));
    }
    let currency = &tried.base.setup.shop.currency;
    let setups = [tried.base.setup.clone(), tried.setup.clone()];
    let mut said = vec![outside::compared(&setups)];
    let table = match (
        comparison.ways.as_slice(),
        comparison.differences.as_slice(),
    ) {
        ([files, changed], [differences]) => {
            let mut table = Table::new([
                Column::words(""),
                Column::halves("changed").key("changed"),
                Column::halves("files").key("files"),
                Column::intervals("difference").key("difference"),
                Column::words("").key("verdict").may_go(),
            ]);
            for of in shown {
                let difference = of.measure().map(|by| {
                    let change = by.change(by.difference(differences));
                    [change, by.verdict(differences).into()]
                });
                let [change, verdict] = difference.unwrap_or([Cell::none(), Cell::none()]);
                let name = of.title(currency).into();
                table.row([name, of.cell(changed), of.cell(files), change, verdict]);
            }
            table
        }
        (ways, _) => {
            said.insert(0, NOTHING.to_owned());
            alone(&shown, ways.first(), currency)
        }
    };
    let said = said.into_iter().map(Block::Note);
    std::iter::once(table.into()).chain(said).collect()
}

/// The files by themselves.
fn alone(shown: &[OfWay], files: Option<&Way>, currency: &str) -> Table {
    let mut table = Table::new([Column::words(""), Column::halves("files").key("files")]);
    for (of, way) in shown.iter().filter_map(|of| Some((of, files?))) {
        table.row([of.title(currency).into(), of.cell(way)]);
    }
    table
}

/// The changes, one by one.
fn changed(changes: &[Change]) -> Table {
    let mut table = Table::new([
        Column::words("what"),
        Column::words("files"),
        Column::words("changed"),
        Column::words("key").may_go(),
    ]);
    for change in changes {
        let cells = [&change.label, &change.from, &change.to, &change.key];
        table.row(cells.map(|text| text.as_str().into()));
    }
    table
}
