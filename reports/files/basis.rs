//! What the defaults rest on.

/// What a default rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// It was measured.
    Measured,
    /// It was published.
    Published,
    /// It follows from other keys of the files.
    WorkedOut,
    /// It is plausible, and no more.
    Assumed,
}

use Basis::{Assumed, Published, WorkedOut};

impl Basis {
    /// In a word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Published => "published",
            Self::WorkedOut => "worked out",
            Self::Assumed => "assumed",
        }
    }
}

/// What is published of a bearing's height: its limits.
const ISO: &str = "ISO 492, normal class";
/// What is published of strip: its limits by thickness.
const STRIP: &str = "EN 10258";
/// What the minutes of single tasks were fitted to.
const BOOK: &str = "fitted to book times";

/// Every default by its group: what it rests on, a note on that, and the keys.
const DEFAULTS: [(&str, Basis, &str, &str); 46] = [
    (
        "gears",
        Assumed,
        "",
        "face_width, offset, pinion_spiral, cutter_radius, pressure_angle, mounting_distance",
    ),
    ("gears", WorkedOut, "", "ring_distance"),
    (
        "gears",
        Assumed,
        "",
        "depth_deviation, ring_deviation, tooth_runout",
    ),
    ("gears.mark", Assumed, "", "step, error, plus"),
    (
        "gears.pattern",
        Assumed,
        "",
        "drive_length, drive_profile, coast_length, coast_profile",
    ),
    ("gears.pattern.scatter", Assumed, "", "length, profile"),
    (
        "housing",
        Assumed,
        "",
        "head_seat, ring_seat, far_seat, offset, shaft_angle, stiffness, ring_share",
    ),
    (
        "carrier",
        Assumed,
        "",
        "shoulders, shoulder_ring, face_runout",
    ),
    ("bearings", Assumed, "", "used_friction"),
    ("bearings.head", Published, ISO, "height"),
    ("bearings.head", Assumed, "", "deflection"),
    ("bearings.tail", Published, ISO, "height"),
    ("bearings.tail", Assumed, "", "deflection"),
    ("bearings.side", Published, ISO, "height"),
    ("bearings.side", Assumed, "", "deflection"),
    (
        "pinion_preload",
        Assumed,
        "",
        "thread_pitch, gap, spacer, path_stiffness, torque_per_force, seal_drag",
    ),
    ("side_preload", Assumed, "", "torque_per_force"),
    (
        "as_built",
        Assumed,
        "",
        "depth, backlash, side_closure, closure",
    ),
    (
        "windows",
        Assumed,
        "",
        "indicator, backlash_variation, depth, pinion_torque_used, side_closure",
    ),
    ("windows.pattern", Assumed, "", "length, profile"),
    (
        "bench",
        Assumed,
        "",
        "pinion_start, side_start, ring_belief, learns, depth_belief, correction, first_move, smallest_move",
    ),
    (
        "bench",
        Assumed,
        "",
        "side_check, torque_readings, side_preload_added, backlash_points, most_assemblies, guard, mark_slip",
    ),
    (
        "bench",
        Assumed,
        "",
        "bearing_heights, sleeve_aim, sleeve_step, notch, setup_bearings, cone_spoiled",
    ),
    ("instruments.dial", Assumed, "", "sigma, step, indicator"),
    ("instruments.depth_gauge", Assumed, "", "sigma, step"),
    ("instruments.end_play", Assumed, "", "sigma"),
    ("instruments.height", Assumed, "", "sigma"),
    ("instruments.torque", Assumed, "", "sigma, share, step"),
    ("instruments.pattern", Assumed, "", "profile, step"),
    ("instruments.micrometer", Assumed, "", "sigma"),
    ("instruments.setup_bearing", Assumed, "", "sigma"),
    ("instruments.nut", Assumed, "", "sigma, slip, slip_by"),
    (
        "minutes",
        Assumed,
        BOOK,
        "strip, first_assembly, read_backlash, read_pattern, reseat_ring, sleeve, sleeve_again, spacer_change, final_assembly, refit",
    ),
    (
        "minutes.side_change",
        Assumed,
        BOOK,
        "outboard, behind side bearings, screw adjusters",
    ),
    (
        "minutes.pinion_change",
        Assumed,
        BOOK,
        "under head bearing, behind head cup, cartridge flange",
    ),
    ("minutes", Assumed, "", "setup_bearing_saves, job_spread"),
    (
        "prices",
        Assumed,
        "",
        "hour, sleeve, cone, comeback, comeback_share, given_up",
    ),
    ("prices", WorkedOut, "", "hour_cost"),
    ("", Assumed, "", "shims"),
    (
        "shims",
        Assumed,
        "",
        "price, pack_of, most_in_pack, spoiled",
    ),
    ("shims", Published, STRIP, "tol"),
    (
        "drawer",
        Assumed,
        "",
        "order_every_days, lead_time_days, lead_time_spread, job_fill, near_enough, keep_surplus",
    ),
    (
        "drawer",
        Assumed,
        "",
        "holding_share, wait_cost, delivery_cost",
    ),
    ("jobs", Assumed, "", "gears, bearings"),
    ("", Assumed, "", "gears, bearings"),
    ("assemblies", WorkedOut, "", "on"),
];

/// What the default of a key rests on, with a note where there is one; `None` where it has no default.
pub fn basis(key: &str) -> Option<(Basis, &'static str)> {
    let bare: Vec<&str> = key
        .split('.')
        .filter(|part| part.parse::<u32>().is_err())
        .collect();
    let bare = bare.join(".");
    let (group, key) = bare.rsplit_once('.').unwrap_or(("", &bare));
    let mut found = DEFAULTS
        .iter()
        .filter(|(of, _, _, keys)| *of == group && keys.split(", ").any(|of| of == key));
    found.next().map(|(_, basis, note, _)| (*basis, *note))
}

#[cfg(test)]
pub(super) fn many() -> usize {
    let each = DEFAULTS.iter().map(|(.., keys)| keys.split(", ").count());
    each.sum()
}
