//! An answer as a document, written once: words, tables, figures and notes. Faces render it.
//!
//! Digits, interval and unit belong to the [`Cell`]; whether an interval is shown beside a figure or
//! as half its width behind it, and what may go where there is little room, belongs to the
//! [`Column`]. How wide a line is, and what a heading looks like, is the face's.

mod axis;
mod cell;
mod chart;
mod controls;
mod figure;
mod form;
mod made;
mod table;
pub mod wording;

pub use axis::{Axis, ends, nice_width};
pub use cell::{Cell, Known, in_full};
pub use chart::*;
pub use controls::{Control, ControlKind, Controls, Otherwise};
pub use figure::Figure;
pub use form::{Form, FormField, FormLine, FormPart, PrintedTable};
pub use made::{ChangedKey, Made};
pub use table::{Column, Shown, Table};

use crate::figures::rebuilds;

/// A whole answer.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Document {
    /// What it is about.
    pub title: String,
    /// Lines right under the title.
    pub under: Vec<String>,
    /// Rebuilds after which it was broken off, where it was.
    pub partial: Option<u64>,
    /// What looks wrong in the files, a sentence each.
    pub doubts: Vec<String>,
    /// What it is made from, where it is to be kept or sent.
    pub made: Option<Made>,
    /// Its parts, the most important first.
    pub sections: Vec<Section>,
    /// What the figures rest on: how many rebuilds, how far to trust them; a line a paragraph.
    pub behind: String,
    /// Defaults in use that the files do not state.
    pub assumptions: Vec<String>,
    /// Those of them that move the answer most, in a sentence, where that is known.
    pub moved_most: Option<String>,
    /// What is said before anyone works by it, a paragraph each.
    pub cautions: Vec<&'static str>,
}

/// A part of an answer.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Section {
    /// Its name among the places of a page; none where nobody needs to find it.
    pub id: &'static str,
    /// Its heading; none where it is empty.
    pub heading: String,
    /// Whether it is among what is shown first, where there is room for a screen only.
    pub first: bool,
    /// Its content.
    pub blocks: Vec<Block>,
}

/// A piece of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A table.
    Table(Table),
    /// A table that few want to see, folded away where a face can do that.
    Folded(Table),
    /// A question answered by a figure.
    Figure(Box<Figure>),
    /// A heading below the section's own.
    Heading(String),
    /// A sentence or two that belong to the table above, or take its place.
    Note(String),
    /// A sentence that belongs to the note above.
    Under(String),
    /// Words that belong to no table.
    Text(String),
    /// A step of some work: its heading, a word beside it, and what it holds.
    Step(String, String, Vec<Block>),
}

impl Block {
    /// Whether it is a figure.
    pub fn is_figure(&self) -> bool {
        matches!(self, Self::Figure(_))
    }

    /// Whether it is a step.
    pub fn is_step(&self) -> bool {
        matches!(self, Self::Step(..))
    }
}

impl From<Figure> for Block {
    fn from(figure: Figure) -> Self {
        Self::Figure(Box::new(figure))
    }
}

impl From<Table> for Block {
    fn from(table: Table) -> Self {
        Self::Table(table)
    }
}

impl Section {
    /// A section that a page can be opened at.
    pub fn at(id: &'static str, heading: impl Into<String>, blocks: Vec<Block>) -> Self {
        Self {
            id,
            heading: heading.into(),
            first: false,
            blocks,
        }
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
            id: "",
            heading: heading.into(),
            first: false,
            blocks: blocks.into_iter().collect(),
        });
        self
    }

    /// Shows the section added last on the first screen.
    pub fn first(&mut self) -> &mut Self {
        if let Some(section) = self.sections.last_mut() {
            section.first = true;
        }
        self
    }

    /// The figures in it.
    pub fn figures(&self) -> impl Iterator<Item = &Figure> {
        let blocks = self.sections.iter().flat_map(|section| &section.blocks);
        blocks.filter_map(|block| match block {
            Block::Figure(figure) => Some(&**figure),
            _ => None,
        })
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

    /// That it was broken off, where it was.
    pub fn broken_off(&self) -> Option<String> {
        self.partial.map(|number| {
            let number = rebuilds(number);
            format!("PARTIAL: broken off after {number}; the intervals are wider for it.")
        })
    }

    /// Says what was assumed.
    pub fn assume(&mut self, assumptions: impl IntoIterator<Item = String>) -> &mut Self {
        self.assumptions.extend(assumptions);
        self
    }
}

/// What every answer says that a bench might act on.
pub const CAUTION: &str = "A simulated chance is not a measurement: every assembly is to be checked by \
     the readings that the axle's service manual asks for, and the manual rules over any figure here. \
     Work on axles belongs to people trained for it.";

/// The same in a line.
pub const CAUTION_IN_SHORT: &str =
    "Check every assembly by its readings; the axle's service manual rules.";

/// What is said after it where the answer is about how to work.
pub const AT_WORK: &str = "Axle on stands, wheels chocked; eye protection, press guard, nothing loose \
     near a turning shaft, bearings never spun with air. Gear sets only as matched pairs; sleeve and \
     pinion nut used once; fasteners, thread locker and torque as the manual says; ring gear not drawn \
     on by its bolts. Backlash and pattern read again after final assembly; break-in before load.";
