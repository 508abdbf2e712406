//! An answer as it is told: once, in words, tables and notes. Faces render it.
//!
//! Digits, interval and unit belong to the [`Cell`]; whether an interval stands beside a figure or
//! as half its width behind it, and what may go where there is little room, belongs to the
//! [`Column`]. How wide a line is, and what a heading looks like, is the face's.

mod cell;
mod table;

pub use cell::{Cell, Known, in_full};
pub use table::{Column, Shown, Table};

use crate::files::Assumption;

/// A whole answer.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Document {
    /// What it is about.
    pub title: String,
    /// Lines right under the title.
    pub under: Vec<String>,
    /// Rebuilds after which it was broken off, where it was.
    pub partial: Option<u64>,
    /// What it says, the most important first.
    pub sections: Vec<Section>,
    /// What stands behind the figures: how many rebuilds, how far to trust them.
    pub behind: String,
    /// Defaults in use that the files do not state.
    pub assumptions: Vec<String>,
    /// What is said before anyone works by it, a paragraph each.
    pub cautions: Vec<&'static str>,
}

/// A part of an answer.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Section {
    /// Its heading; none where it is empty.
    pub heading: String,
    /// What stands in it.
    pub blocks: Vec<Block>,
}

/// What stands in a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A table.
    Table(Table),
    /// A sentence or two that belong to the table above, or stand for one.
    Note(String),
    /// A sentence that belongs to the note above.
    Under(String),
    /// Words that belong to no table.
    Text(String),
    /// A heading in a section, and what is said beside it.
    Step(String, String),
}

impl From<Table> for Block {
    fn from(table: Table) -> Self {
        Self::Table(table)
    }
}

impl Document {
    /// An answer about something.
    pub fn about(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            ..Self::default()
        }
    }

    /// Adds a section.
    pub fn section(
        &mut self,
        heading: impl Into<String>,
        blocks: impl IntoIterator<Item = Block>,
    ) -> &mut Self {
        self.sections.push(Section {
            heading: heading.into(),
            blocks: blocks.into_iter().collect(),
        });
        self
    }

    /// Adds a section that is a table under its caption, with notes; none where it has no rows.
    pub fn table(&mut self, table: Table, notes: impl IntoIterator<Item = String>) -> &mut Self {
        if table.rows.is_empty() {
            return self;
        }
        let heading = table.caption.clone();
        let notes = notes.into_iter().map(Block::Note);
        self.section(heading, std::iter::once(table.into()).chain(notes))
    }

    /// Says what was assumed.
    pub fn assume(&mut self, assumptions: &[Assumption]) -> &mut Self {
        let texts = assumptions.iter().map(|a| a.text.clone());
        self.assumptions.extend(texts);
        self
    }
}

/// What every answer says that a bench might act on.
pub const CAUTION: &str = "A simulated chance is not a measurement: every assembly is to be checked by \
     the readings that the axle's service manual asks for, and the manual rules over any figure here. \
     Work on axles belongs to people trained for it.";

/// What is said after it where the answer is about how to work.
pub const AT_WORK: &str = "Axle on stands, wheels chocked; eye protection, press guard, nothing loose \
     near a turning shaft, bearings never spun with air. Gear sets only as matched pairs; sleeve and \
     pinion nut used once; fasteners, thread locker and torque as the manual says; ring gear not drawn \
     on by its bolts. Backlash and pattern read again after final assembly; break-in before load.";
