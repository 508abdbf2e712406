//! Answers as text for a terminal. Rendering is a pure function of an answer.

pub mod book;
pub mod causes;
pub mod check;
mod fold;
pub mod follow;
pub mod kit;
pub mod ratio;
mod shared;
pub mod stock;
mod table;

pub use fold::fold;
pub use table::{Ink, Table};

/// Printed with every answer that a bench might act on.
pub const CAUTION: &str = "\
A simulated chance is not a measurement: every assembly is to be checked by the readings that the
axle's service manual asks for, and the manual rules over any figure here. Work on axles belongs to
people trained for it.
";

/// Printed after it where the answer is about how to work.
pub const AT_WORK: &str = "\
Axle on stands, wheels chocked; eye protection, press guard, nothing loose near a turning shaft,
bearings never spun with air. Gear sets only as matched pairs; sleeve and pinion nut used once;
fasteners, thread locker and torque as the manual says; ring gear not drawn on by its bolts.
Backlash and pattern read again after final assembly; break-in before load.
";
