//! What the lines of a job are called.

use shimcast_sim::bench::minutes::Task;
use shimcast_sim::bench::setup::Setup;

/// The key of a task under `[minutes]`, which the answers use as well.
pub fn key(task: Task) -> &'static str {
    match task {
        Task::Strip => "strip",
        Task::FirstAssembly => "first_assembly",
        Task::ReadBacklash => "read_backlash",
        Task::SideChange => "side_change",
        Task::ReadPattern => "read_pattern",
        Task::PinionChange => "pinion_change",
        Task::ReseatRing => "reseat_ring",
        Task::FinalAssembly => "final_assembly",
        Task::Sleeve => "sleeve",
        Task::SpacerChange => "spacer_change",
        Task::Refit => "refit",
    }
}

/// A task of a job in a workshop's words.
pub fn words(task: Task, setup: &Setup) -> &'static str {
    match task {
        Task::SideChange if setup.has_adjusters() => "turn the adjusters",
        Task::Strip => "strip, clean, inspect",
        Task::FirstAssembly => "first assembly",
        Task::ReadBacklash => "read backlash",
        Task::SideChange => "change side shims",
        Task::ReadPattern => "read pattern",
        Task::PinionChange => "change pinion shim",
        Task::ReseatRing => "reseat ring gear",
        Task::FinalAssembly => "final assembly",
        Task::Sleeve => "crush sleeve",
        Task::SpacerChange => "shim spacer",
        Task::Refit => "refit, oil, road test",
    }
}
