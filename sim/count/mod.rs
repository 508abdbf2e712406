//! Counting and estimating: shares, means, quantiles and shares of a variance, each with its
//! interval. Nothing here knows of axles.

pub(crate) mod compound;
#[doc(hidden)]
pub mod counts;
pub mod estimate;
#[doc(hidden)]
pub mod histogram;
#[doc(hidden)]
pub mod holm;
pub(crate) mod matrix;
pub(crate) mod moments;
pub(crate) mod normal;
pub(crate) mod paired;
pub(crate) mod quantile;
pub(crate) mod rare;
#[doc(hidden)]
pub mod sensitivity;
pub(crate) mod student;
pub(crate) mod sums;
