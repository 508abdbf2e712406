//! What takes time, and how often each of it is done.

use super::axle::{PinionSeat, SideSeat};
use super::bench::Job;

/// A "trial" change is one on set-up bearings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Work {
    Strip,
    FirstAssembly,
    FinalAssembly,
    Refit,
    ReadBacklash,
    ReadPattern,
    TrialSideChange,
    SideChange,
    TrialPinionChange,
    PinionChange,
    ReseatRing,
    Sleeve,
    SleeveAgain,
    SpacerChange,
}

/// How often each was done.
pub type Goes = [u32; Work::SpacerChange as usize + 1];

impl Job<'_> {
    /// One go: it is counted and takes its time.
    pub fn goes(&mut self, work: Work) {
        self.goes[work as usize] += 1;
        let minutes = &self.shop.minutes;
        let side = match self.axle.side_seat {
            SideSeat::Outboard => minutes.outboard,
            SideSeat::BehindSideBearings => minutes.behind_side_bearings,
            SideSeat::ScrewAdjusters => minutes.screw_adjusters,
        };
        let pinion = match self.axle.pinion_seat {
            PinionSeat::UnderHeadBearing => minutes.under_head_bearing,
            PinionSeat::BehindHeadCup => minutes.behind_head_cup,
            PinionSeat::CartridgeFlange => minutes.cartridge_flange,
        };
        let saves = minutes.setup_bearing_saves;
        let (time, saved) = match work {
            Work::Strip => (minutes.strip, 0.0),
            Work::FirstAssembly => (minutes.first_assembly, 0.0),
            Work::FinalAssembly => (minutes.final_assembly, 0.0),
            Work::Refit => (minutes.refit, 0.0),
            Work::ReadBacklash => (minutes.read_backlash, 0.0),
            Work::ReadPattern => (minutes.read_pattern, 0.0),
            Work::TrialSideChange if self.axle.side_seat == SideSeat::BehindSideBearings => {
                (side, saves)
            }
            Work::TrialSideChange | Work::SideChange => (side, 0.0),
            Work::TrialPinionChange => (pinion, saves),
            Work::PinionChange => (pinion, 0.0),
            Work::ReseatRing => (minutes.reseat_ring, 0.0),
            Work::Sleeve => (minutes.sleeve, 0.0),
            Work::SleeveAgain => (minutes.sleeve_again, 0.0),
            Work::SpacerChange => (minutes.spacer_change, 0.0),
        };
        self.minutes += self.chance.minutes(time) - saved;
    }
}
