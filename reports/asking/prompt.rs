//! What questions are put through: a terminal, or whatever plays one.

use crate::questions::context::Failure;

/// What came back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reply<T> {
    /// An answer.
    Said(T),
    /// To the question before.
    Back,
    /// Enough for now.
    Stop,
}

/// Somebody who answers.
pub trait Prompt {
    /// Asks for a line of words or figures.
    ///
    /// # Errors
    /// Where nothing can be asked.
    fn line(&mut self, question: &str, help: &str) -> Result<Reply<String>, Failure>;

    /// Asks for one of some options, beginning at the one in this place; gives its place.
    ///
    /// # Errors
    /// Where nothing can be asked.
    fn choose(
        &mut self,
        question: &str,
        options: &[String],
        at: usize,
    ) -> Result<Reply<usize>, Failure>;

    /// Says something.
    fn say(&mut self, words: &str);
}
