//! What the technician saw and decided in one rebuild.

use shimcast_sim::bench::minutes::Operation;
use shimcast_sim::bench::{Decision, Event, PackPlace, Witness};

/// What was read of one assembly; empty where it was not read.
#[derive(Debug, Default)]
pub(super) struct Readings {
    /// Backlash at each point, mm.
    pub(super) backlash: Vec<f64>,
    /// Rise of the turning torque with the carrier in, N·m.
    pub(super) rise: Option<f64>,
    /// Pattern's profile, drive and coast, shares of the tooth.
    pub(super) pattern: Option<[f64; 2]>,
}

/// All of it. The last readings are those of the assembly that the job ended with.
#[derive(Debug, Default)]
pub(super) struct Seen {
    assemblies: u32,
    /// Whether the sign of the marks was misread.
    pub(super) slipped: bool,
    /// Packs fitted first, as printed, mm: pinion, ring side, far side.
    pub(super) packs: [Option<f64>; 3],
    pub(super) first: Readings,
    pub(super) last: Readings,
    /// Torque of the pinion alone as read last, N·m.
    pub(super) torque: Option<f64>,
    /// Decisions in order, as `follow` calls them.
    pub(super) decisions: Vec<&'static str>,
}

impl Seen {
    /// Puts a reading where it belongs: to the last assembly, and to the first while there is no
    /// other.
    fn read(&mut self, put: impl Fn(&mut Readings)) {
        if self.assemblies == 1 {
            put(&mut self.first);
        }
        put(&mut self.last);
    }
}

impl Witness for Seen {
    const LISTENS: bool = true;

    fn operation(&mut self, _: Operation) {}

    fn hears(&mut self, event: impl FnOnce() -> Event) {
        match event() {
            Event::PinionStart { slipped, .. } => self.slipped = slipped,
            Event::Pack { place, printed, .. } => {
                let place = match place {
                    PackPlace::Pinion => 0,
                    PackPlace::RingSide => 1,
                    PackPlace::FarSide => 2,
                    PackPlace::Spacer => return,
                };
                self.packs[place].get_or_insert(printed);
            }
            Event::BoltedUp(_) => {
                self.assemblies += 1;
                self.last = Readings::default();
            }
            Event::Backlash { readings, .. } => {
                self.read(|of| of.backlash.clone_from(&readings));
            }
            Event::TorqueRise { reading, .. } => self.read(|of| of.rise = Some(reading)),
            Event::Pattern { readings, .. } => self.read(|of| of.pattern = Some(readings)),
            Event::Torque { reading, .. } => self.torque = Some(reading),
            Event::Decision(decision) => self.decisions.push(word(decision)),
            Event::Total { .. } | Event::RingStart { .. } | Event::Learned { .. } => {}
        }
    }
}

/// A decision as `follow` calls it in JSON.
fn word(decision: Decision) -> &'static str {
    match decision {
        Decision::Reseat { .. } => "reseat",
        Decision::ChangeSides { .. } => "change_sides",
        Decision::SidesGoBack { .. } => "sides_go_back",
        Decision::SidesCannotBeBettered { .. } => "leave_sides",
        Decision::ChangePinion { .. } => "change_pinion",
        Decision::FlanksDisagree | Decision::MoveTooSmall { .. } => "leave_pinion",
        Decision::Accept => "accept",
        Decision::GiveUp => "give_up",
        Decision::SleeveTooFar => "new_sleeve",
        Decision::TorqueAccepted => "accept_torque",
        Decision::ChangeSpacer { .. } => "change_spacer",
        Decision::SpacerGoesBack => "spacer_goes_back",
        Decision::TorqueCannotBeBettered => "leave_torque",
    }
}
