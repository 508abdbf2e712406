//! An axle on the bench: what is known of it, what was fitted and what was read.

/// One axle on the bench, as far as it is known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BenchJob {
    /// What was known before the first assembly.
    pub known: Known,
    /// Every set of packs that was fitted, with what was read of it, oldest first.
    pub assemblies: Vec<Fitted>,
}

/// What is known of an axle before it is bolted up; lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Known {
    /// Mark on the pinion that came out; with kept gears both marks are one.
    pub mark_old: Option<f64>,
    /// Mark on the pinion that goes in.
    pub mark_new: Option<f64>,
    /// The packs that came out, as measured: pinion.
    pub pinion_pack: Option<f64>,
    /// Ring side.
    pub ring_pack: Option<f64>,
    /// Far side.
    pub far_pack: Option<f64>,
    /// Beside a solid spacer.
    pub preload_pack: Option<f64>,
    /// Bearing heights as measured, old and new: head.
    pub head_height: Option<[f64; 2]>,
    /// Tail.
    pub tail_height: Option<[f64; 2]>,
    /// Ring side.
    pub ring_height: Option<[f64; 2]>,
    /// Far side.
    pub far_height: Option<[f64; 2]>,
    /// What the depth gauge asks for before the mark: the pinion pack that would give the mounting
    /// distance.
    pub gauge: Option<f64>,
}

/// Packs that were fitted together, and what was read of the assembly; lengths in mm, torque in N·m.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Fitted {
    /// Whether it stood on set-up bearings.
    pub on_setup_bearings: bool,
    /// Both side packs together at which zero end play was found before this assembly.
    pub zero_total: Option<f64>,
    /// Pinion pack as printed.
    pub pinion: f64,
    /// Ring-side pack as printed; with screw adjusters the travel from where the first assembly stood,
    /// + inwards.
    pub ring: f64,
    /// Far-side pack, or travel.
    pub far: f64,
    /// Whether the ring gear was seated anew before this assembly.
    pub reseated: bool,
    /// Whether the first backlash reading is on another tooth than before.
    pub other_tooth: bool,
    /// Backlash readings in the order of the turn, equally spaced; empty where none was taken.
    pub backlash: Vec<f64>,
    /// The pattern's middle up the profile, share of the tooth, + towards the top: drive side.
    pub drive: Option<f64>,
    /// Coast side.
    pub coast: Option<f64>,
    /// Torque rise by the side bearings.
    pub rise: Option<f64>,
    /// Packs beside a solid spacer, one a go, oldest first.
    pub preload: Vec<f64>,
    /// Torque to turn the pinion alone: with each of these packs, or after each turn of the nut on the
    /// sleeve that is in, oldest first.
    pub torque: Vec<f64>,
}
