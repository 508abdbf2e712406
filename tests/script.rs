//! Somebody who answers questions by a script.

use std::collections::VecDeque;

use shimcast::asking::prompt::{Prompt, Reply};
use shimcast::questions::context::Failure;

/// What somebody answers, in order.
pub struct Script {
    answers: VecDeque<&'static str>,
    /// Questions as they were put, and what was said.
    heard: Vec<String>,
}

impl Script {
    pub fn new(answers: &[&'static str]) -> Self {
        Self {
            answers: answers.iter().copied().collect(),
            heard: Vec::new(),
        }
    }

    #[track_caller]
    fn next(&mut self, question: &str) -> &'static str {
        self.heard.push(question.to_owned());
        let heard = self.heard.join("\n");
        let answer = self.answers.pop_front();
        answer.unwrap_or_else(|| panic!("no answer to {question:?} after\n{heard}"))
    }

    #[track_caller]
    pub fn all_were_used(&self) {
        let heard = self.heard.join("\n");
        assert!(
            self.answers.is_empty(),
            "{:?} are left after\n{heard}",
            self.answers
        );
    }

    pub fn heard(&self) -> String {
        self.heard.join("\n")
    }
}

impl Prompt for Script {
    fn line(&mut self, question: &str, help: &str) -> Result<Reply<String>, Failure> {
        let answer = self.next(question);
        self.heard.push(format!("  [{help}]"));
        Ok(match answer {
            "<esc>" => Reply::Back,
            "<ctrl-c>" => Reply::Stop,
            answer => Reply::Said(answer.to_owned()),
        })
    }

    /// An option is named by how it begins.
    fn choose(
        &mut self,
        question: &str,
        options: &[String],
        _: usize,
    ) -> Result<Reply<usize>, Failure> {
        let answer = self.next(question);
        Ok(match answer {
            "<esc>" => Reply::Back,
            "<ctrl-c>" => Reply::Stop,
            answer => {
                let at = options.iter().position(|option| option.starts_with(answer));
                Reply::Said(at.unwrap_or_else(|| panic!("{question} {options:?}: no {answer:?}")))
            }
        })
    }

    fn say(&mut self, words: &str) {
        self.heard.push(words.to_owned());
    }
}
