//! An axle file: what is bolted together, and the windows to land in.

use super::bearings::BearingPair;
use super::gears::{GearData, Geometry};
use super::source::{MM_PER_INCH, Source};
use super::tolerance::Tolerance;

const BUILT_IN: &str = include_str!("../../examples/rowan-215.axle.toml");

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PinionSeat {
    UnderHeadBearing,
    BehindHeadCup,
    CartridgeFlange,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SideSeat {
    Outboard,
    BehindSideBearings,
    ScrewAdjusters,
}

/// What takes up the pinion's preload.
#[allow(clippy::large_enum_variant, reason = "there is one of it")]
pub enum PinionPreload {
    Sleeve { thread_pitch: f64 },
    Spacer(Spacer),
}

pub struct Spacer {
    pub stock: String,
    pub usual: f64,
    pub gap: Tolerance,
    pub spacer: Tolerance,
    pub as_built: Tolerance,
}

/// Contact-pattern movement by depth, ring and offset (share per mm) and shaft angle (per arc-minute).
pub type PatternRow = [f64; 4];

pub struct Windows {
    pub backlash: [f64; 2],
    pub book_square: bool,
    pub variation: f64,
    pub depth: f64,
    pub pattern_length: f64,
    pub pattern_profile: f64,
    pub torque_new: [f64; 2],
    pub torque_used: [f64; 2],
    pub closure: [f64; 2],
}

pub struct Axle {
    pub name: String,
    pub teeth_ratio: f64,
    pub geometry: Geometry,
    pub mounting_distance: f64,
    pub ring_distance: f64,
    pub depth_deviation: Tolerance,
    pub ring_deviation: Tolerance,
    pub tooth_runout: Tolerance,
    pub mark_step: f64,
    pub mark_error: Tolerance,
    /// Drive length, drive profile, coast length, coast profile.
    pub pattern: [PatternRow; 4],
    pub scatter_length: f64,
    pub scatter_profile: f64,
    pub head_seat: Tolerance,
    pub ring_seat: Tolerance,
    pub far_seat: Tolerance,
    pub offset_error: Tolerance,
    pub shaft_angle: Tolerance,
    pub ring_share: f64,
    pub shoulders: Tolerance,
    pub shoulder_ring: Tolerance,
    pub face_runout: Tolerance,
    pub used_friction: f64,
    pub head_height: Tolerance,
    pub tail_height: Tolerance,
    pub side_height: Tolerance,
    pub pinion_pair: BearingPair,
    pub side_pair: BearingPair,
    pub pinion_seat: PinionSeat,
    pub pinion_stock: String,
    pub pinion_usual: f64,
    pub side_seat: SideSeat,
    pub side_stock: Option<String>,
    pub side_usual: [f64; 2],
    pub preload: PinionPreload,
    pub pinion_friction: Tolerance,
    pub side_friction: Tolerance,
    pub seal_drag: Tolerance,
    pub built_depth: Tolerance,
    pub built_backlash: Tolerance,
    pub windows: Windows,
    pub left_out: Vec<String>,
}

impl Axle {
    /// `side_preload_added` is the shop's, for what the file leaves open.
    pub fn read(text: &str, side_preload_added: f64) -> Self {
        let file = Source::new(text, BUILT_IN);
        let data = gear_data(&file);
        let windows = read_windows(&file, side_preload_added);
        let in_inches = file.mm == MM_PER_INCH;
        let row = |name: &str| pattern_row(&file, name, data.ring_diameter);
        let mut axle = Axle {
            name: file.own_text("name"),
            teeth_ratio: data.pinion_teeth / data.ring_teeth,
            geometry: Geometry::solve(&data, windows.book_square),
            mounting_distance: file.length("gears.mounting_distance"),
            ring_distance: file.length("gears.ring_distance"),
            depth_deviation: file.length_tolerance("gears.depth_deviation"),
            ring_deviation: file.length_tolerance("gears.ring_deviation"),
            tooth_runout: file.length_tolerance("gears.tooth_runout"),
            mark_step: if in_inches && file.given("gears.mark.step").is_none() {
                file.note_left_out("gears.mark.step");
                0.001 * MM_PER_INCH
            } else {
                file.length("gears.mark.step")
            },
            mark_error: file.length_tolerance("gears.mark.error"),
            pattern: [
                row("drive_length"),
                row("drive_profile"),
                row("coast_length"),
                row("coast_profile"),
            ],
            scatter_length: file.number("gears.pattern.scatter.length"),
            scatter_profile: file.number("gears.pattern.scatter.profile"),
            head_seat: file.length_tolerance("housing.head_seat"),
            ring_seat: file.length_tolerance("housing.ring_seat"),
            far_seat: file.length_tolerance("housing.far_seat"),
            offset_error: file.length_tolerance("housing.offset"),
            shaft_angle: file.plain_tolerance("housing.shaft_angle"),
            ring_share: file.number("housing.ring_share"),
            shoulders: file.length_tolerance("carrier.shoulders"),
            shoulder_ring: file.length_tolerance("carrier.shoulder_ring"),
            face_runout: file.length_tolerance("carrier.face_runout"),
            used_friction: file.number("bearings.used_friction"),
            head_height: file.length_tolerance("bearings.head.height"),
            tail_height: file.length_tolerance("bearings.tail.height"),
            side_height: file.length_tolerance("bearings.side.height"),
            pinion_pair: BearingPair {
                deflection: file.number("bearings.head.deflection")
                    + file.number("bearings.tail.deflection"),
                stiffness: file.number("pinion_preload.path_stiffness") * 1000.0,
            },
            side_pair: BearingPair {
                deflection: 2.0 * file.number("bearings.side.deflection"),
                stiffness: file.number("housing.stiffness") * 1000.0,
            },
            pinion_seat: match file.own_text("pinion_shim.seat").as_str() {
                "under head bearing" => PinionSeat::UnderHeadBearing,
                "behind head cup" => PinionSeat::BehindHeadCup,
                "cartridge flange" => PinionSeat::CartridgeFlange,
                other => panic!("no such pinion shim seat: {other}"),
            },
            pinion_stock: file.own_text("pinion_shim.stock"),
            pinion_usual: file.own_number("pinion_shim.usual") * file.mm,
            side_seat: SideSeat::Outboard,
            side_stock: None,
            side_usual: {
                file.must_give("side_shims.usual");
                file.lengths("side_shims.usual")
            },
            preload: match file.own_text("pinion_preload.by").as_str() {
                "sleeve" => PinionPreload::Sleeve {
                    thread_pitch: file.length("pinion_preload.thread_pitch"),
                },
                "spacer" => PinionPreload::Spacer(Spacer {
                    stock: file.own_text("pinion_preload.stock"),
                    usual: file.own_number("pinion_preload.usual") * file.mm,
                    gap: file.length_tolerance("pinion_preload.gap"),
                    spacer: file.length_tolerance("pinion_preload.spacer"),
                    as_built: file.length_tolerance("as_built.closure"),
                }),
                other => panic!("no such preload: {other}"),
            },
            pinion_friction: file.plain_tolerance("pinion_preload.torque_per_force"),
            side_friction: file.plain_tolerance("side_preload.torque_per_force"),
            seal_drag: file.torque_tolerance("pinion_preload.seal_drag"),
            built_depth: file.length_tolerance("as_built.depth"),
            built_backlash: file.length_tolerance("as_built.backlash"),
            windows,
            left_out: Vec::new(),
        };
        axle.side_seat = match file.own_text("side_shims.seat").as_str() {
            "outboard" => SideSeat::Outboard,
            "behind side bearings" => SideSeat::BehindSideBearings,
            "screw adjusters" => SideSeat::ScrewAdjusters,
            other => panic!("no such side shim seat: {other}"),
        };
        if axle.side_seat != SideSeat::ScrewAdjusters {
            axle.side_stock = Some(file.own_text("side_shims.stock"));
        }
        axle.close_loops(&file, side_preload_added);
        axle.left_out = file.left_out.take();
        axle
    }

    /// +1 where a thicker pinion pack is deeper, −1 where it is shallower.
    pub fn deeper_by_thicker(&self) -> f64 {
        match self.pinion_seat {
            PinionSeat::CartridgeFlange => -1.0,
            _ => 1.0,
        }
    }

    /// Closure that nominal figures give for a turning torque of the pinion with new bearings.
    pub fn nominal_closure(&self, torque: f64) -> f64 {
        let force = (torque - self.seal_drag.mean()) / self.pinion_friction.mean() * 1000.0;
        self.pinion_pair.closure(force)
    }

    /// The old and usual spacer pack's aim: the middle of the new-bearing window.
    pub fn spacer_closure_wanted(&self) -> f64 {
        self.nominal_closure(middle(self.windows.torque_new))
    }

    /// Distances that are left out are chosen so that with all parts at their mean and the
    /// usual packs fitted every loop closes.
    fn close_loops(&mut self, file: &Source, side_preload_added: f64) {
        let open = |path: &str| !file.gives_nominal(path);

        // Pinion depth: 0 = H − T ∓ s − (A + deviation).
        let miss = self.head_seat.mean()
            - self.head_height.mean()
            - self.deeper_by_thicker() * self.pinion_usual
            - self.mounting_distance
            - self.depth_deviation.mean();
        if open("gears.mounting_distance") {
            self.mounting_distance += miss;
        } else if open("housing.head_seat") {
            self.head_seat.shift(-miss);
        } else if open("bearings.head.height") {
            self.head_height.shift(miss);
        }

        // What closes only one of the two side loops is kept for it; a seat or a bearing
        // height, which is in both, has to help where nothing else is open.
        let far_open = open("housing.far_seat") || open("carrier.shoulders");
        let ring_open = open("gears.ring_distance") || open("carrier.shoulder_ring");
        let seat_open = open("housing.ring_seat");
        let height_open = open("bearings.side.height");
        if ring_open {
            if !far_open && seat_open {
                let miss = self.closure_miss(side_preload_added);
                self.ring_seat.shift(miss);
            } else if !far_open && height_open {
                let miss = self.closure_miss(side_preload_added);
                self.side_height.shift(-miss / 2.0);
            }
            let miss = self.ring_miss(side_preload_added);
            if open("gears.ring_distance") {
                self.ring_distance += miss;
            } else {
                self.shoulder_ring.shift(miss);
            }
        } else if far_open {
            let miss = self.ring_miss(side_preload_added);
            if seat_open {
                self.ring_seat.shift(-miss);
            } else if height_open {
                self.side_height.shift(miss);
            }
        } else if seat_open && height_open {
            // Closure holds 2B − W, the ring's place W − B.
            let closure = self.closure_miss(side_preload_added);
            let ring = self.ring_miss(side_preload_added);
            self.side_height.shift(-closure - ring);
            self.ring_seat.shift(-closure - 2.0 * ring);
        } else if seat_open {
            let miss = self.closure_miss(side_preload_added);
            self.ring_seat.shift(miss);
        } else if height_open {
            let miss = self.closure_miss(side_preload_added);
            self.side_height.shift(-miss / 2.0);
        }
        if far_open {
            let miss = self.closure_miss(side_preload_added);
            if open("housing.far_seat") {
                self.far_seat.shift(miss);
            } else {
                self.shoulders.shift(-miss);
            }
        }

        let wanted = self.spacer_closure_wanted();
        if let PinionPreload::Spacer(spacer) = &mut self.preload {
            let miss = spacer.gap.mean() - spacer.spacer.mean() - spacer.usual - wanted;
            if open("pinion_preload.gap") {
                spacer.gap.shift(-miss);
            } else if open("pinion_preload.spacer") {
                spacer.spacer.shift(miss);
            }
        }
    }

    /// By how much the side closure of mean parts and usual packs is above the one aimed for.
    fn closure_miss(&self, side_preload_added: f64) -> f64 {
        self.side_usual[0]
            + self.side_usual[1]
            + 2.0 * self.side_height.mean()
            + self.shoulders.mean()
            - self.ring_seat.mean()
            - self.far_seat.mean()
            - side_preload_added
    }

    /// By how much the ring then stands too far from the pinion axis.
    fn ring_miss(&self, side_preload_added: f64) -> f64 {
        self.ring_seat.mean()
            - self.side_usual[0]
            - self.side_height.mean()
            - self.shoulder_ring.mean()
            + self.ring_share * side_preload_added
            - self.ring_distance
            - self.ring_deviation.mean()
    }
}

pub fn middle(window: [f64; 2]) -> f64 {
    (window[0] + window[1]) / 2.0
}

fn gear_data(file: &Source) -> GearData {
    let ring_diameter = file.own_number("gears.ring_diameter") * file.mm;
    // Sizes that are left out scale with the ring gear.
    let sized = |path: &str, share: f64| {
        if file.given(path).is_some() {
            file.length(path)
        } else {
            file.note_left_out(path);
            share * ring_diameter
        }
    };
    GearData {
        pinion_teeth: file.own_number("gears.pinion_teeth"),
        ring_teeth: file.own_number("gears.ring_teeth"),
        ring_diameter,
        face_width: sized("gears.face_width", 0.158),
        offset: sized("gears.offset", 0.158),
        pinion_spiral: file.number("gears.pinion_spiral").to_radians(),
        cutter_radius: sized("gears.cutter_radius", 0.443),
        pressure_angle: file.number("gears.pressure_angle").to_radians(),
    }
}

fn pattern_row(file: &Source, name: &str, ring_diameter: f64) -> PatternRow {
    let (mut row, own) = file.numbers::<4>(&format!("gears.pattern.{name}"));
    // The built-in rows hold for its own ring gear; a smaller one moves more per mm.
    let per_mm = if own {
        1.0 / file.mm
    } else {
        215.0 / ring_diameter
    };
    row[..3].iter_mut().for_each(|x| *x *= per_mm);
    row
}

fn read_windows(file: &Source, side_preload_added: f64) -> Windows {
    file.must_give("windows.backlash");
    file.must_give("windows.pinion_torque");
    let torque_new = file.torques("windows.pinion_torque");
    Windows {
        backlash: file.lengths("windows.backlash"),
        book_square: is_square(&file.text("windows.indicator")),
        variation: file.length("windows.backlash_variation"),
        depth: file.length("windows.depth"),
        pattern_length: file.number("windows.pattern.length"),
        pattern_profile: file.number("windows.pattern.profile"),
        torque_new,
        torque_used: if file.given("windows.pinion_torque_used").is_some() {
            file.torques("windows.pinion_torque_used")
        } else {
            file.note_left_out("windows.pinion_torque_used");
            torque_new.map(|x| x / 2.0)
        },
        closure: if file.given("windows.side_closure").is_some() {
            file.lengths("windows.side_closure")
        } else {
            file.note_left_out("windows.side_closure");
            [side_preload_added - 0.06, side_preload_added + 0.06]
        },
    }
}

pub fn is_square(indicator: &str) -> bool {
    match indicator {
        "plane of rotation" => false,
        "square to the tooth" => true,
        other => panic!("no such way to read backlash: {other}"),
    }
}
