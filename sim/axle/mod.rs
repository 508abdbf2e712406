//! One axle family as its file describes it: its parts, the tolerance of each dimension, and the
//! windows of a right set-up.

pub mod bearings;
pub(crate) mod density;
mod draw;
pub mod gears;
pub mod packs;
pub mod shims;
pub(crate) mod spread;
pub mod tolerance;

use crate::axle::tolerance::Tolerance;
use crate::units::Window;

/// Everything known about one axle family. Lengths in mm, torque in N·m.
///
/// # Example
/// A housing bored with half its scatter in one dimension:
/// ```
/// use shimcast_sim::prelude::*;
///
/// let mut axle = demo::axle();
/// let bore = &mut axle.housing.ring_seat;
/// assert!((bore.worst() - 0.08).abs() < 1e-12);
/// *bore = Tolerance::normal_between(95.97, 96.05, 1.0)?;
/// assert!((bore.worst() - 0.04).abs() < 1e-12);
/// # Ok::<(), shimcast_sim::axle::tolerance::BadTolerance>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Axle {
    /// What the workshop calls it.
    pub name: String,
    /// The ring gear and pinion.
    pub gears: Gears,
    /// The axle housing.
    pub housing: Housing,
    /// The differential carrier.
    pub carrier: Carrier,
    /// Pinion and side bearings.
    pub bearings: Bearings,
    /// The shims that set pinion depth.
    pub pinion_shim: PinionShim,
    /// The shims or adjusters that set ring position and side preload.
    pub side_shims: SideShims,
    /// How the pinion bearings are preloaded.
    pub pinion_preload: PinionPreload,
    /// Torque per force of the side-bearing pair, N·m per kN, at the carrier.
    pub side_torque_per_force: Tolerance,
    /// How closely the old parts were set when the axle was made.
    pub as_built: AsBuilt,
    /// Windows of a right set-up.
    pub windows: Windows,
}

impl Axle {
    /// Turning torque of the bearings in the job relative to new ones.
    pub fn friction_of(&self, bearings: Condition) -> f64 {
        match bearings {
            Condition::New => 1.0,
            Condition::Kept => self.bearings.used_friction,
        }
    }

    /// The shim series that it takes, by name, each once.
    pub fn series(&self) -> Vec<&str> {
        let pinion = Some(self.pinion_shim.stock.as_str());
        let side = self.side_shims.stock.as_deref();
        let mut all: Vec<&str> = Vec::new();
        for name in [pinion, side, self.pinion_preload.stock()]
            .into_iter()
            .flatten()
        {
            if !all.contains(&name) {
                all.push(name);
            }
        }
        all
    }
}

/// The gear set.
#[derive(Debug, Clone, PartialEq)]
pub struct Gears {
    /// Number of pinion teeth.
    pub pinion_teeth: u32,
    /// Number of ring-gear teeth.
    pub ring_teeth: u32,
    /// Outer pitch diameter of the ring gear, mm.
    pub ring_diameter: f64,
    /// Face width, mm.
    pub face_width: f64,
    /// Pinion offset, mm; 0 makes a bevel set.
    pub offset: f64,
    /// Mean spiral angle of the pinion, degrees.
    pub pinion_spiral: f64,
    /// Cutter radius, mm.
    pub cutter_radius: f64,
    /// Nominal pressure angle, degrees.
    pub pressure_angle: f64,
    /// Nominal distance from ring-gear axis to the pinion's head-bearing shoulder, mm.
    pub mounting_distance: f64,
    /// Nominal distance from pinion axis to the ring gear's mounting face, mm.
    pub ring_distance: f64,
    /// Best mounting distance of a pair less the nominal, mm.
    pub depth_deviation: Tolerance,
    /// Ring position of a pair for the middle of the backlash window less the nominal, mm.
    pub ring_deviation: Tolerance,
    /// Tooth runout, peak to peak, mm.
    pub tooth_runout: Tolerance,
    /// What is etched on the pinion.
    pub mark: Mark,
    /// Movement of the contact pattern.
    pub pattern: Pattern,
}

/// The figure etched on a pinion: its own best mounting distance against the nominal one.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Step to which the mark is rounded, mm; 0 for none.
    pub step: f64,
    /// Error of the position found on the test machine, mm.
    pub error: Tolerance,
    /// How the sign is written.
    pub plus: MarkSign,
}

/// How a pinion mark's sign is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkSign {
    /// "+" asks for a longer mounting distance.
    Farther,
    /// "+" asks for a shorter mounting distance.
    Deeper,
}

/// Contact-pattern movement as a share of the tooth. Each row is per mm of pinion depth, of ring
/// position and of offset, and per arc-minute of shaft angle; "+" opens the mesh.
#[derive(Debug, Clone, PartialEq)]
pub struct Pattern {
    /// Along the tooth on the drive side, + toward the heel.
    pub drive_length: [f64; 4],
    /// Up the profile on the drive side, + toward the tooth's top.
    pub drive_profile: [f64; 4],
    /// Along the tooth on the coast side, + toward the heel.
    pub coast_length: [f64; 4],
    /// Up the profile on the coast side, + toward the tooth's top.
    pub coast_profile: [f64; 4],
    /// One-sigma scatter along the tooth from pair to pair.
    pub scatter_length: f64,
    /// One-sigma scatter up the profile from pair to pair.
    pub scatter_profile: f64,
}

impl Pattern {
    /// The rows of drive length, drive profile, coast length and coast profile.
    #[inline]
    pub(crate) fn rows(&self) -> [&[f64; 4]; 4] {
        [
            &self.drive_length,
            &self.drive_profile,
            &self.coast_length,
            &self.coast_profile,
        ]
    }
}

/// The axle housing.
#[derive(Debug, Clone, PartialEq)]
pub struct Housing {
    /// Ring-gear axis to the seat that carries the head bearing, mm.
    pub head_seat: Tolerance,
    /// Pinion axis to the side-bearing seat on the ring-gear side, mm.
    pub ring_seat: Tolerance,
    /// Pinion axis to the other side-bearing seat, mm.
    pub far_seat: Tolerance,
    /// Error of the offset, mm.
    pub offset: Tolerance,
    /// Error of the shaft angle, arc-minutes.
    pub shaft_angle: Tolerance,
    /// Stiffness of the housing against the closing of both side-bearing seats, N/µm.
    pub stiffness: f64,
    /// Share of the closing that the ring-gear side takes.
    pub ring_share: f64,
}

/// The differential carrier.
#[derive(Debug, Clone, PartialEq)]
pub struct Carrier {
    /// Distance between the two bearing shoulders, mm.
    pub shoulders: Tolerance,
    /// Ring-side shoulder to the ring-gear mounting face, mm.
    pub shoulder_ring: Tolerance,
    /// Runout of the mounting face, peak to peak at the mesh radius, mm.
    pub face_runout: Tolerance,
}

/// One bearing position.
#[derive(Debug, Clone, PartialEq)]
pub struct Bearing {
    /// Stand height of the assembled bearing, mm.
    pub height: Tolerance,
    /// C in: deflection \[mm\] = C · force\[N\]^0.9.
    pub deflection: f64,
}

/// The four bearings; both side bearings are alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Bearings {
    /// Turning torque of run-in bearings relative to new ones.
    pub used_friction: f64,
    /// The pinion's head bearing.
    pub head: Bearing,
    /// The pinion's tail bearing.
    pub tail: Bearing,
    /// One of the two side bearings.
    pub side: Bearing,
}

/// Where the pinion shim sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PinionSeat {
    /// Between pinion head and head bearing: thicker is deeper.
    UnderHeadBearing,
    /// Between housing and head-bearing cup: thicker is deeper.
    BehindHeadCup,
    /// Between housing and the flange of a pinion cartridge: thicker is shallower.
    CartridgeFlange,
}

impl PinionSeat {
    /// κ_P: depth gained by thickness added, +1 or −1.
    pub fn depth_per_thickness(self) -> f64 {
        match self {
            Self::UnderHeadBearing | Self::BehindHeadCup => 1.0,
            Self::CartridgeFlange => -1.0,
        }
    }
}

/// The pinion shim.
#[derive(Debug, Clone, PartialEq)]
pub struct PinionShim {
    /// Where it sits.
    pub seat: PinionSeat,
    /// The shim series that fits.
    pub stock: String,
    /// The thickness that usually comes out, mm.
    pub usual: f64,
}

/// Where the side shims sit, or the adjusters that replace them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SideSeat {
    /// Outside the cups: caps and carrier come out.
    Outboard,
    /// Behind the side bearings: the cones are pulled.
    BehindSideBearings,
    /// Threaded adjusters: only loosened.
    ScrewAdjusters,
}

/// The side shims.
#[derive(Debug, Clone, PartialEq)]
pub struct SideShims {
    /// Where they sit.
    pub seat: SideSeat,
    /// The shim series that fits; `None` with screw adjusters.
    pub stock: Option<String>,
    /// The usual thickness on the ring-gear side and on the far side, mm.
    pub usual: [f64; 2],
}

/// How the pinion bearings are preloaded.
#[derive(Debug, Clone, PartialEq)]
pub struct PinionPreload {
    /// Sleeve or spacer, with what belongs to it.
    pub by: PreloadBy,
    /// Housing, spacer and shank in series, bearings apart, N/µm.
    pub path_stiffness: f64,
    /// N·m per kN, the oiled pair turned by hand.
    pub torque_per_force: Tolerance,
    /// Drag of the seal, N·m.
    pub seal_drag: Tolerance,
}

impl PinionPreload {
    /// The series of a solid spacer's shims.
    pub fn stock(&self) -> Option<&str> {
        match &self.by {
            PreloadBy::Spacer { stock, .. } => Some(stock),
            PreloadBy::Sleeve { .. } => None,
        }
    }
}

/// What holds the pinion bearings apart.
#[derive(Debug, Clone, PartialEq)]
#[allow(
    clippy::large_enum_variant,
    reason = "there is one of it in an axle, never a list"
)]
pub enum PreloadBy {
    /// A collapsible sleeve, crushed by the nut.
    Sleeve {
        /// Thread pitch of the nut, mm a turn.
        thread_pitch: f64,
    },
    /// A solid spacer with shims.
    Spacer {
        /// The shim series that fits.
        stock: String,
        /// Thickness that usually comes out, mm; adding shim lowers preload.
        usual: f64,
        /// Between the cones at zero end play, bearings at mid height, usual pinion shim, mm.
        gap: Tolerance,
        /// Length of the spacer, mm.
        spacer: Tolerance,
        /// Deviation of the old pack, as closure, mm.
        as_built: Tolerance,
    },
}

/// How closely the old parts were set when the axle was made.
#[derive(Debug, Clone, PartialEq)]
pub struct AsBuilt {
    /// Depth against the mark, mm.
    pub depth: Tolerance,
    /// Backlash against the middle of its window, mm.
    pub backlash: Tolerance,
}

/// How an indicator is held against a ring tooth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Indicator {
    /// In the plane of rotation.
    PlaneOfRotation,
    /// Square to the tooth, where it reads less.
    SquareToTooth,
}

/// Windows of a right set-up.
#[derive(Debug, Clone, PartialEq)]
pub struct Windows {
    /// Backlash at every tooth, at the ring gear's outer diameter, mm.
    pub backlash: Window,
    /// How the service manual holds the indicator for backlash.
    pub indicator: Indicator,
    /// Largest less smallest backlash round the ring, mm.
    pub backlash_variation: f64,
    /// Pinion depth either way from the pair's own best distance, mm; counted, not corrected for.
    pub depth: f64,
    /// Pattern along the tooth, either way from the centre, share of the tooth.
    pub pattern_length: f64,
    /// Pattern up the profile, either way from the centre, share of the tooth.
    pub pattern_profile: f64,
    /// Torque to turn the pinion, seal fitted, new bearings, N·m.
    pub pinion_torque: Window,
    /// The same with the old bearings kept, N·m.
    pub pinion_torque_used: Window,
    /// Closing past zero end play, both sides together, mm.
    pub side_closure: Window,
}

/// Whether parts are new or kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Condition {
    /// New parts go in.
    #[default]
    New,
    /// The old parts stay.
    Kept,
}

impl Condition {
    /// "new" or "kept".
    pub fn word(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Kept => "kept",
        }
    }
}
