//! The rooms. Each shows itself from what its address asks, refines its answer in stages, and may change
//! files.

mod bench;
mod drawer;
mod files;
mod lessons;
mod quote;
mod report;
mod what_if;
mod why;

use maud::{Markup, html};

use super::here::Here;
use crate::questions::context::Failure;

/// A room.
pub trait Room: Sync {
    /// Its name in the address.
    fn name(&self) -> &'static str;

    /// What it is called.
    fn title(&self) -> &'static str;

    /// The room as it is asked for, without its answer.
    ///
    /// # Errors
    /// Where there is nothing to show.
    fn show(&self, here: &Here<'_>) -> Result<Shown, Failure>;

    /// How many answers follow each other, each better; none where nothing is worked out.
    fn stages(&self) -> usize {
        0
    }

    /// Whether the first answer is there as soon as anyone looks.
    fn is_quick(&self) -> bool {
        false
    }

    /// The answer of a stage.
    ///
    /// # Errors
    /// Where there is none.
    fn live(&self, _here: &Here<'_>, _stage: usize) -> Result<Markup, Failure> {
        Ok(Markup::default())
    }

    /// Works out what a change rests on and what takes long, before it is this change's turn.
    ///
    /// # Errors
    /// Where it can't be.
    fn prepare(&self, _here: &Here<'_>) -> Result<(), Failure> {
        Ok(())
    }

    /// Changes files as a form asks, while nobody else does.
    ///
    /// # Errors
    /// Where nothing can be changed.
    fn change(&self, _here: &Here<'_>) -> Result<Changed, Failure> {
        Err(Failure::BadInput(
            "nothing is changed in this room".to_owned(),
        ))
    }
}

/// What a room shows.
pub enum Shown {
    /// A view of its own.
    View(View),
    /// A page that is whole by itself, to print or send.
    Whole(String),
    /// A CSV file to keep, with its name.
    File(&'static str, String),
}

/// What came of a form.
pub enum Changed {
    /// It is done; on at this address.
    Go(String),
    /// Something in it is wrong, and nothing was changed.
    Not(View),
    /// The file was changed by something else meanwhile, and was left alone.
    Meanwhile(View),
}

/// A view of a room.
pub struct View {
    /// Its heading.
    pub title: String,
    /// How it is laid out.
    pub class: &'static str,
    /// What is set or read at its side.
    pub set: Markup,
    /// Whether an answer stands beside it.
    pub live: bool,
    /// What stands over the answer and stays when it changes.
    pub beside: Markup,
}

impl View {
    /// A view without an answer.
    pub fn of(title: impl Into<String>, set: Markup) -> Self {
        Self {
            title: title.into(),
            class: "plain",
            set,
            live: false,
            beside: html! {},
        }
    }

    /// A view beside whose fields an answer stands.
    pub fn with_answer(title: impl Into<String>, set: Markup) -> Self {
        Self {
            class: "two",
            live: true,
            ..Self::of(title, set)
        }
    }

    /// The same, laid out otherwise.
    pub fn class(self, class: &'static str) -> Self {
        Self { class, ..self }
    }
}

/// Every room, in the order of the work.
pub const ROOMS: &[&dyn Room] = &[
    &bench::Bench,
    &what_if::WhatIf,
    &quote::Quote,
    &drawer::Drawer,
    &files::Files,
    &why::Why,
    &lessons::Lessons,
    &report::Report,
];

/// The room of this name.
pub fn room_of(name: &str) -> Option<&'static dyn Room> {
    ROOMS.iter().find(|room| room.name() == name).copied()
}
