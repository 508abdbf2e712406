//! `shimcast follow` as typed.

use clap::{Args, ValueEnum};

use shimcast_sim::follow::StoryKind;

use super::{Files, Renewed, values};

const EXAMPLES: &str = "\
Examples:
  shimcast follow                            the first rebuild of the demo
  shimcast follow --rebuild 17
  shimcast follow --find wrongly-passed      one whose readings passed what is truly outside
  shimcast follow --find given-up --set bench.most_assemblies=3
";

#[derive(Debug, Args)]
#[command(before_help = EXAMPLES)]
pub struct Follow {
    #[command(flatten)]
    pub files: Files,
    #[command(flatten)]
    pub renewed: Renewed,
    /// Which rebuild to tell, counted from 1: the very one that `odds` counts under this seed.
    #[arg(long, value_name = "I", default_value_t = 1, value_parser = values::rebuild_number)]
    pub rebuild: u64,
    /// Look for a telling one instead, from the first rebuild on.
    #[arg(long, value_enum, value_name = "WHAT", conflicts_with = "rebuild")]
    pub find: Option<Find>,
    /// The same seed gives the same rebuilds.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Print one JSON object instead: lengths in mm, torque in N·m, shares from 0 to 1.
    #[arg(long)]
    pub json: bool,
}

/// What makes a rebuild worth telling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Find {
    /// Right at the first assembly, and at the end.
    FirstTime,
    /// Right in the end, with the most assemblies of the first 2000.
    ManyTries,
    /// Handed over, though something is truly outside its window.
    WronglyPassed,
    /// Finished with something accepted that nothing in stock could better.
    Compromise,
    /// Given up.
    GivenUp,
}

impl Find {
    /// What goes by this word.
    pub fn named(word: &str) -> Option<Self> {
        Self::from_str(word, false).ok()
    }

    /// As the library calls it.
    pub fn telling(self) -> StoryKind {
        match self {
            Self::FirstTime => StoryKind::FirstTime,
            Self::ManyTries => StoryKind::ManyTries,
            Self::WronglyPassed => StoryKind::WronglyPassed,
            Self::Compromise => StoryKind::Compromise,
            Self::GivenUp => StoryKind::GivenUp,
        }
    }

    /// As it is typed.
    pub fn word(self) -> &'static str {
        match self {
            Self::FirstTime => "first-time",
            Self::ManyTries => "many-tries",
            Self::WronglyPassed => "wrongly-passed",
            Self::Compromise => "compromise",
            Self::GivenUp => "given-up",
        }
    }
}
