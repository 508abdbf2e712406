//! Random figures by (seed, rebuild, purpose), and runs of many rebuilds on all cores.

pub mod dice;
pub mod run;
pub(crate) mod ziggurat;
