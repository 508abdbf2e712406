//! What next: one real axle on the bench, what its readings say of it, and which packs to fit.

mod adjusters;
mod advice;
mod answer;
mod approximation;
mod ask;
mod assemblies;
mod branches;
mod candidates;
mod curved;
mod expected;
mod figures;
mod flaws;
mod form;
mod history;
mod job;
mod known;
mod known_again;
mod likelihood;
mod linear;
mod model;
mod narrowing;
mod path;
mod play;
mod population;
mod preload;
mod proposal;
mod remarks;
mod sleeve;
mod state;
mod surprise;
mod suspects;
mod table;
mod tails;
mod variables;

#[cfg(test)]
mod tests;

pub use answer::{
    AsItStands, Belief, CanBuild, Expected, Figure, Go, GoesOn, Move, Narrowing, Next, PreloadNext,
    Quantiles, Question, Reading, Remark, SURPRISING, ShimsOf, Slip, Surprise, Suspect,
};
pub use ask::next;
pub(crate) use history::{mean, same};
pub use job::{BenchJob, Fitted, Known};
pub(crate) use linear::{Column, Linear, linear};
pub use path::{Draw, PackRates, Stood};
