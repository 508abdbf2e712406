//! Questions at a terminal.

use std::io::{IsTerminal, stderr, stdin};

use crossterm::terminal::disable_raw_mode;
use inquire::ui::RenderConfig;
use inquire::{InquireError, Select, Text};

use super::prompt::{Prompt, Reply};
use crate::progress;
use crate::questions::context::{Failure, warn};
use crate::written::leave;

/// Options of a list that are shown at once.
const SHOWN: usize = 12;

/// The terminal that the program was started from.
#[derive(Debug)]
pub struct Terminal {
    look: RenderConfig<'static>,
}

impl Terminal {
    /// The terminal, in colour or without; `instead` says what to do where there is none.
    ///
    /// # Errors
    /// Where nobody sits at one.
    pub fn open(colour: bool, instead: &str) -> Result<Self, Failure> {
        if !(stdin().is_terminal() && stderr().is_terminal()) {
            return Err(Failure::BadInput(format!(
                "--ask puts its questions at a terminal, and there is none here\n  help: {instead}"
            )));
        }
        // whoever is asked need not be told that the program works
        progress::end();
        // every answer is on the disk, and nothing else is under way
        progress::on_interrupt(Some(Box::new(|| {
            let _ = disable_raw_mode();
            leave(130);
        })));
        let look = match colour {
            true => RenderConfig::default_colored(),
            false => RenderConfig::empty(),
        };
        Ok(Self { look })
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        progress::on_interrupt(None);
        progress::begin();
    }
}

/// What a reply means, or why there was none.
fn reply<T>(came: Result<T, InquireError>) -> Result<Reply<T>, Failure> {
    match came {
        Ok(said) => Ok(Reply::Said(said)),
        Err(InquireError::OperationCanceled) => Ok(Reply::Back),
        Err(InquireError::OperationInterrupted) => Ok(Reply::Stop),
        Err(e) => Err(Failure::CannotAccess(format!(
            "can't ask at this terminal: {e}"
        ))),
    }
}

impl Prompt for Terminal {
    fn line(&mut self, question: &str, help: &str) -> Result<Reply<String>, Failure> {
        let asked = Text::new(question)
            .with_help_message(help)
            .with_render_config(self.look);
        reply(asked.prompt())
    }

    fn choose(
        &mut self,
        question: &str,
        options: &[String],
        at: usize,
    ) -> Result<Reply<usize>, Failure> {
        let listed = options.iter().map(String::as_str).collect();
        let asked = Select::new(question, listed)
            .with_help_message(
                "arrow keys or a part of the word, then Enter; Esc goes back, Ctrl-C stops",
            )
            .with_page_size(SHOWN)
            .with_starting_cursor(at)
            .with_render_config(self.look);
        Ok(match reply(asked.raw_prompt())? {
            Reply::Said(option) => Reply::Said(option.index),
            Reply::Back => Reply::Back,
            Reply::Stop => Reply::Stop,
        })
    }

    fn say(&mut self, words: &str) {
        warn(words);
    }
}
