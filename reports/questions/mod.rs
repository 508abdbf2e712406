//! The questions, a room each, from what is asked over what is simulated to the answer.
//!
//! A room has `ask`, from arguments to an answer, and an [`Answer`] that gives itself as a document
//! and as JSON; everything else about an answer is the same for all of them, and in [`crate::run`].

pub mod assumed;
pub mod bench;
pub mod causes;
pub mod check;
pub mod compare;
pub mod context;
pub mod drawer;
pub mod follow;
pub mod forms;
pub mod frame;
mod jobs;
pub mod json;
pub mod kit;
pub mod learn;
mod made;
pub mod next;
pub mod odds;
pub mod outside;
pub mod plausible;
pub mod quote;
pub mod ratio;
pub mod rebuilds;
pub mod report;
pub mod stock;
pub mod sweep;
pub mod what_if;

use std::io::{self, Write};
use std::path::Path;

use serde_json::Value;

use self::context::STDOUT;
use crate::document::Document;
use crate::spreadsheet::Decimal;
use crate::written::OutputFile;

/// How an answer ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// As asked.
    Done,
    /// It ran, but what was asked for is not reached: exit code 1.
    Missed,
    /// It was broken off: exit code 130.
    Interrupted,
}

impl Exit {
    /// Of a run that may have been broken off.
    pub fn whole_or(partial: bool) -> Self {
        if partial {
            Self::Interrupted
        } else {
            Self::Done
        }
    }

    /// Of a run that was to reach something.
    pub fn met_or(held: bool) -> Self {
        if held { Self::Done } else { Self::Missed }
    }
}

/// What a question comes to.
pub trait Answer {
    /// In words and tables.
    fn tell(&self) -> Document;

    /// As JSON, for the questions that give any: an interface, which only ever grows.
    fn json(&self) -> Value {
        Value::Null
    }

    /// As CSV, for the questions that give any; its figures have this mark.
    fn csv(&self, _: Decimal) -> String {
        String::new()
    }

    /// The same, row by row where there are too many to hold.
    ///
    /// # Errors
    /// Where writing fails.
    fn write_csv(&self, decimal: Decimal, out: &mut dyn Write) -> io::Result<()> {
        out.write_all(self.csv(decimal).as_bytes())
    }

    /// How it ended.
    fn exit(&self) -> Exit;
}

/// What an answer is printed as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// For people.
    Text,
    /// One JSON object.
    Json,
    /// Rows for a spreadsheet, whose figures have this mark.
    Csv(Decimal),
}

impl Form {
    /// JSON where it was asked for, text where not.
    pub fn json_or_text(json: bool) -> Self {
        if json { Self::Json } else { Self::Text }
    }

    /// The same, and rows where `--csv` names no file.
    pub fn asked(json: bool, csv: Option<&Path>, decimal: Decimal) -> Self {
        match Self::json_or_text(json) {
            Self::Text if csv == Some(Path::new(STDOUT)) => Self::Csv(decimal),
            form => form,
        }
    }
}

/// An answer and what to print it as.
pub struct Reply {
    /// The answer.
    pub answer: Box<dyn Answer>,
    /// As what.
    pub form: Form,
    /// What looks wrong in the files, a sentence each.
    pub doubts: Vec<String>,
    /// The assumptions that move the answer most, in a sentence.
    pub moved_most: Option<String>,
    /// Files that are written once it is printed, each with what goes into it.
    pub(crate) files: Vec<(OutputFile, Contents)>,
}

/// What goes into a file.
pub(crate) type Contents = Box<dyn FnOnce(&mut dyn Write) -> io::Result<()>>;

impl Reply {
    /// An answer in one of its forms.
    pub fn new(answer: impl Answer + 'static, form: Form) -> Self {
        Self {
            answer: Box::new(answer),
            form,
            doubts: Vec::new(),
            moved_most: None,
            files: Vec::new(),
        }
    }

    /// Says what looks wrong in the files.
    pub fn with_doubts(mut self, doubts: Vec<String>) -> Self {
        self.doubts = doubts;
        self
    }

    /// Says which assumptions move the answer most.
    pub fn with_moved_most(mut self, sentence: Option<String>) -> Self {
        self.moved_most = sentence;
        self
    }

    /// Files to write as well; the answer is there whatever becomes of them.
    pub(crate) fn with_files(self, files: impl IntoIterator<Item = (OutputFile, String)>) -> Self {
        let files = files.into_iter();
        files.fold(self, |reply, (place, text)| {
            reply.with_file(place, move |out| out.write_all(text.as_bytes()))
        })
    }

    /// One that is written row by row.
    pub(crate) fn with_file(
        mut self,
        place: OutputFile,
        write: impl FnOnce(&mut dyn Write) -> io::Result<()> + 'static,
    ) -> Self {
        self.files.push((place, Box::new(write)));
        self
    }
}
