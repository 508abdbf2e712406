//! The figures of an axle's parts as drawn for one rebuild: what each is called, measured in, and
//! known by in every answer that shows it.

use shimcast_sim::bench::SetUpCones;
use shimcast_sim::bench::parts::Parts;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::causes::Input;
use shimcast_sim::follow::Story;

use crate::inputs::words;

/// What a figure is measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartUnit {
    /// mm.
    Length,
    /// Arc-minutes.
    Angle,
    /// N·m.
    Torque,
    /// N·m per kN.
    TorquePerForce,
    /// A share of the tooth.
    Share,
}

impl PartUnit {
    /// Ends the names of columns in this unit.
    fn suffix(self) -> &'static str {
        match self {
            Self::Length => "mm",
            Self::Angle => "arcmin",
            Self::Torque => "N.m",
            Self::TorquePerForce => "N.m_per_kN",
            Self::Share => "share",
        }
    }
}

/// Columns that belong together where every rebuild is a row, in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Group {
    Axle,
    Bearings,
    OldBearings,
    Pair,
    OldPair,
    Friction,
    AsBuilt,
    Scatter,
    Spacer,
}

/// A figure of the parts.
struct PartFigure {
    group: Group,
    unit: PartUnit,
    /// The part, which names the figure unless it has a name of its own.
    part: Input,
    name: Option<&'static str>,
    /// Its key in `follow`; `None` where it is not shown there.
    key: Option<&'static str>,
    /// Its column, without the unit, where every rebuild is a row; `None` where it has none.
    column: Option<&'static str>,
    /// As drawn; `None` where the axle has no such part.
    of: fn(&Parts) -> Option<f64>,
}

/// A row a figure: group, unit and part, its own name if any; its key and its column, `_` where
/// there is none; where it is found.
macro_rules! figures {
    ($($group:ident $unit:ident $part:ident $($name:literal)?:
        $key:tt, $column:tt, |$parts:ident| $of:expr;)+) => {
        [$(PartFigure {
            group: Group::$group,
            unit: PartUnit::$unit,
            part: Input::$part,
            name: figures!(@some $($name)?),
            key: figures!(@some $key),
            column: figures!(@some $column),
            of: |$parts| Some($of),
        }),+]
    };
    (@some $text:literal) => { Some($text) };
    (@some $(_)?) => { None };
}

/// All figures, in the order in which `follow` shows them.
static FIGURES: &[PartFigure] = &figures! {
    Axle Length HeadSeat: "head_seat", "head_seat", |p| p.head_seat;
    Axle Length RingSeat: "ring_seat", "ring_seat", |p| p.ring_seat;
    Axle Length FarSeat: "far_seat", "far_seat", |p| p.far_seat;
    Axle Length Offset: "offset", "offset_error", |p| p.offset;
    Axle Angle ShaftAngle: "shaft_angle", "shaft_angle_error", |p| p.shaft_angle;
    Axle Length Shoulders: "shoulders", "shoulders", |p| p.shoulders;
    Axle Length ShoulderRing: "shoulder_ring", "shoulder_ring", |p| p.shoulder_ring;
    Axle Length FaceRunout: "face_runout", _, |p| size(p.face_runout);
    Axle Length FaceRunout "runout of the ring-gear face, one way": _, "face_runout_x", |p| p.face_runout[0];
    Axle Length FaceRunout "runout of the ring-gear face, square to it": _, "face_runout_y", |p| p.face_runout[1];
    Axle Length ToothRunout: "tooth_runout", _, |p| size(p.tooth_runout);
    Axle Length ToothRunout "runout of the teeth, one way": _, "tooth_runout_x", |p| p.tooth_runout[0];
    Axle Length ToothRunout "runout of the teeth, square to it": _, "tooth_runout_y", |p| p.tooth_runout[1];
    Bearings Length HeadBearing "head bearing in the job":
        "head_bearing", "head_height", |p| p.bearings.head;
    OldBearings Length HeadBearing "old head bearing":
        "old_head_bearing", "old_head_height", |p| p.old_bearings.head;
    Bearings Length TailBearing "tail bearing in the job":
        "tail_bearing", "tail_height", |p| p.bearings.tail;
    OldBearings Length TailBearing "old tail bearing":
        "old_tail_bearing", "old_tail_height", |p| p.old_bearings.tail;
    Bearings Length SideBearings "ring-side bearing in the job":
        "ring_side_bearing", "ring_side_height", |p| p.bearings.ring;
    OldBearings Length SideBearings "old ring-side bearing":
        "old_ring_side_bearing", "old_ring_side_height", |p| p.old_bearings.ring;
    Bearings Length SideBearings "far-side bearing in the job":
        "far_side_bearing", "far_side_height", |p| p.bearings.far;
    OldBearings Length SideBearings "old far-side bearing": _, "old_far_side_height", |p| p.old_bearings.far;
    Pair Length DepthDeviation "best depth of the pair in the job":
        "depth_deviation", "depth_deviation", |p| p.pair.depth;
    OldPair Length DepthDeviation "best depth of the old pair":
        "old_depth_deviation", "old_depth_deviation", |p| p.old_pair.depth;
    Pair Length RingDeviation "best ring position of the pair in the job":
        "ring_deviation", "ring_deviation", |p| p.pair.ring;
    OldPair Length RingDeviation "best ring position of the old pair":
        "old_ring_deviation", "old_ring_deviation", |p| p.old_pair.ring;
    Pair Length MarkError "mark of the pair in the job": _, "mark", |p| p.pair.mark;
    OldPair Length MarkError "mark of the old pair": _, "old_mark", |p| p.old_pair.mark;
    AsBuilt Length OldDepth: "as_built_depth", "old_depth_error", |p| p.old_depth;
    AsBuilt Length OldBacklash: "as_built_backlash", "old_backlash_error", |p| p.old_backlash;
    Friction TorquePerForce PinionFriction:
        "pinion_friction", "pinion_friction", |p| p.pinion_friction;
    Friction TorquePerForce SideFriction: _, "side_friction", |p| p.side_friction;
    Friction Torque SealDrag: "seal_drag", "seal_drag", |p| p.seal_drag;
    Scatter Share ScatterLength "scatter of the drive pattern along the tooth": _, "scatter_drive_length", |p| p.scatter[0];
    Scatter Share ScatterProfile "scatter of the drive pattern up the tooth": _, "scatter_drive_profile", |p| p.scatter[1];
    Scatter Share ScatterLength "scatter of the coast pattern along the tooth": _, "scatter_coast_length", |p| p.scatter[2];
    Scatter Share ScatterProfile "scatter of the coast pattern up the tooth": _, "scatter_coast_profile", |p| p.scatter[3];
    Spacer Length Gap: "gap", "spacer_gap", |p| p.spacer?.gap;
    Spacer Length Spacer: "spacer", "spacer_length", |p| p.spacer?.length;
    Spacer Length OldClosure: _, "old_closure_error", |p| p.spacer?.old_closure;
};

fn size([x, y]: [f64; 2]) -> f64 {
    (x * x + y * y).sqrt()
}

/// One figure as it was drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawnFigure {
    /// Its key in answers.
    pub key: &'static str,
    /// Its name in words.
    pub name: &'static str,
    /// In what it is measured.
    pub unit: PartUnit,
    /// As drawn.
    pub value: f64,
    /// The middle of its kind.
    pub middle: f64,
}

/// The figures that `follow` shows of a rebuild.
pub fn drawn(setup: &Setup, story: &Story) -> Vec<DrawnFigure> {
    let parts = &story.parts;
    let middle = Parts::middle(&setup.axle, setup.bearings);
    // the height of the tail bearing only fills the gap that a spacer is cut for
    let met = |figure: &&PartFigure| figure.part != Input::TailBearing || parts.spacer.is_some();
    let drawn = |figure: &PartFigure| {
        Some(DrawnFigure {
            key: figure.key?,
            name: figure.name.unwrap_or(words(figure.part, setup)),
            unit: figure.unit,
            value: (figure.of)(parts)?,
            middle: (figure.of)(&middle)?,
        })
    };
    let mut figures: Vec<_> = FIGURES.iter().filter(met).filter_map(drawn).collect();
    if let Some(cones) = story.set_up_cones {
        figures.extend(off_their_bearings(cones));
    }
    figures
}

/// Set-up cones, each by how much higher it sits than the bearing that takes its place.
fn off_their_bearings(cones: SetUpCones) -> [DrawnFigure; 3] {
    [
        (
            "head_set_up_cone",
            "head set-up cone against its bearing",
            cones.head,
        ),
        (
            "ring_side_set_up_cone",
            "ring-side set-up cone against its bearing",
            cones.ring,
        ),
        (
            "far_side_set_up_cone",
            "far-side set-up cone against its bearing",
            cones.far,
        ),
    ]
    .map(|(key, name, value)| DrawnFigure {
        key,
        name,
        unit: PartUnit::Length,
        value,
        middle: 0.0,
    })
}

/// A column of a table in which every rebuild is a row.
#[derive(Debug, Clone)]
pub struct PartColumn {
    /// Its name, without the unit.
    pub column: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// What it is in words.
    pub what: &'static str,
    /// Where its figure is found; `None` where the axle has no such part.
    pub of: fn(&Parts) -> Option<f64>,
}

/// All columns of the parts.
pub fn columns(setup: &Setup) -> Vec<PartColumn> {
    let mut figures: Vec<&PartFigure> = FIGURES.iter().collect();
    figures.sort_by_key(|figure| figure.group);
    let column = |figure: &PartFigure| {
        let column = figure.column?;
        Some(PartColumn {
            column,
            unit: figure.unit.suffix(),
            what: figure.name.unwrap_or(words(figure.part, setup)),
            of: figure.of,
        })
    };
    figures.into_iter().filter_map(column).collect()
}
