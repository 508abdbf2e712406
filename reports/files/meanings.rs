//! What the keys of a file mean: what the full example files say behind each, and a word on those of which
//! they say nothing.

use super::set::Target;
use super::{
    AXLE_IN_INCHES, BUILT_IN_AXLE, BUILT_IN_SHOP, BuiltInFile, SECOND_AXLE, SHOP_IN_INCHES,
    SHORT_AXLE, SHORT_AXLE_IN_INCHES, TAMARACK,
};

/// What the keys of one kind of file mean.
pub(super) struct Meanings {
    /// What stands behind each key, the nearest example first; entries without their place.
    comments: Vec<(String, String)>,
}

impl Meanings {
    /// Of axle files or shop files, in inches or in millimetres.
    pub(super) fn of(target: Target, inches: bool) -> Self {
        let mut files = match target {
            Target::Axle => vec![
                BUILT_IN_AXLE,
                AXLE_IN_INCHES,
                SHORT_AXLE,
                SHORT_AXLE_IN_INCHES,
                SECOND_AXLE,
                TAMARACK,
            ],
            Target::Shop => vec![BUILT_IN_SHOP, SHOP_IN_INCHES],
        };
        if inches {
            files.swap(0, 1);
        }
        Self {
            comments: files.into_iter().flat_map(comments).collect(),
        }
    }

    /// What a key means, and what the example says beside that.
    pub(super) fn of_key(&self, key: &str, of_tolerance: bool) -> (String, String) {
        let bare = without_places(key);
        let comment = || {
            let found = self.comments.iter().find(|(of, _)| *of == bare);
            found.map_or(String::new(), |(_, comment)| comment.clone())
        };
        let last = bare.rsplit('.').next().unwrap_or(&bare);
        let listed = match of_tolerance {
            true => of(&TOLERANCE, last),
            false => of(&OTHERS, &bare),
        };
        match listed {
            Some(meaning) => {
                let remark = Some(comment()).filter(|comment| comment != meaning);
                (meaning.to_owned(), remark.unwrap_or_default())
            }
            None => (comment(), String::new()),
        }
    }
}

fn of<'a>(list: &[(&str, &'a str)], key: &str) -> Option<&'a str> {
    let found = list.iter().find(|(of, _)| *of == key);
    found.map(|(_, meaning)| *meaning)
}

/// A key without the places of entries: `shims.price`.
fn without_places(key: &str) -> String {
    let parts = key.split('.').filter(|part| part.parse::<usize>().is_err());
    parts.collect::<Vec<_>>().join(".")
}

/// The keys of an example with what stands behind each, those that are commented out as well.
fn comments(file: BuiltInFile) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    let mut group = String::new();
    for line in file.text.lines() {
        let line = line.strip_prefix("# ").unwrap_or(line).trim();
        let (said, comment) = line.split_once('#').unwrap_or((line, ""));
        let said = said.trim();
        let key = if said.starts_with('[') && said.ends_with(']') {
            group = said.trim_matches(['[', ']']).to_owned();
            group.clone()
        } else {
            match said.split_once('=') {
                Some((key, _)) if group.is_empty() => key.trim().to_owned(),
                Some((key, _)) => format!("{group}.{}", key.trim()),
                None => continue,
            }
        };
        let comment = comment.trim().to_owned();
        if !comment.is_empty() && all.iter().all(|(of, _)| *of != key) {
            all.push((key, comment));
        }
    }
    all
}

/// The keys of a tolerance.
const TOLERANCE: [(&str, &str); 14] = [
    ("nominal", "the middle from which the limits are counted"),
    ("tol", "limit either way of the nominal"),
    ("minus", "how far below the nominal the lower limit lies"),
    ("plus", "how far above the nominal the upper limit lies"),
    ("sigma", "standard deviation, in place of limits"),
    (
        "cv",
        "standard deviation as a share of the nominal, in place of limits",
    ),
    (
        "cpk",
        "how many times three standard deviations reach to the limits; 1 where it is left out",
    ),
    (
        "lot_share",
        "share of the variance that all parts of a lot have in common",
    ),
    (
        "shape",
        "how it is distributed; normal where it is left out",
    ),
    (
        "inspected",
        "whether parts outside the limits are sorted out",
    ),
    ("values", "measured values, one of which is drawn"),
    (
        "weights",
        "how often each of the values occurs, in their order",
    ),
    ("from", "a CSV file of measured values beside this file"),
    ("column", "the column of that file"),
];

/// Keys of which no example says what they mean, or only which words they take.
const OTHERS: [(&str, &str); 109] = [
    ("name", "what the workshop calls it"),
    ("length", "unit of every length"),
    ("torque", "unit of every torque"),
    ("currency", "currency of every price"),
    ("gears", "the gear set"),
    (
        "gears.face_width",
        "length of the teeth along the ring gear's face",
    ),
    (
        "gears.cutter_radius",
        "radius of the cutter that the teeth were made with",
    ),
    ("gears.pressure_angle", "nominal pressure angle"),
    ("gears.mark.step", "what etched marks are rounded to"),
    (
        "gears.mark.error",
        "error of the position found on the test machine",
    ),
    ("gears.mark.plus", "what a mark with a plus asks for"),
    (
        "gears.pattern.coast_length",
        "how far the coast pattern moves, + toward the heel",
    ),
    (
        "gears.pattern.coast_profile",
        "how far the coast pattern moves, + toward the tooth's top",
    ),
    (
        "gears.pattern.drive_length",
        "how far the drive pattern moves, + toward the heel",
    ),
    (
        "gears.pattern.drive_profile",
        "how far the drive pattern moves, + toward the tooth's top",
    ),
    (
        "gears.pattern.scatter",
        "how much patterns differ from pair to pair",
    ),
    (
        "gears.pattern.scatter.length",
        "along the tooth, one sigma, share of the tooth",
    ),
    (
        "gears.pattern.scatter.profile",
        "up the profile, one sigma, share of the tooth",
    ),
    ("housing", "the housing's seats"),
    (
        "housing.shaft_angle",
        "error of the angle between the shafts",
    ),
    ("carrier", "the carrier (differential case)"),
    ("bearings", "the bearings"),
    ("bearings.head", "the pinion's head bearing"),
    ("bearings.head.height", "height of the assembled bearing"),
    (
        "bearings.head.deflection",
        "how far it gives: C in deflection [mm] = C · force[N]^0.9",
    ),
    ("bearings.tail", "the pinion's tail bearing"),
    ("bearings.tail.height", "height of the assembled bearing"),
    (
        "bearings.tail.deflection",
        "how far it gives: C in deflection [mm] = C · force[N]^0.9",
    ),
    ("bearings.side", "one of the two side bearings"),
    ("bearings.side.height", "height of the assembled bearing"),
    (
        "bearings.side.deflection",
        "how far it gives: C in deflection [mm] = C · force[N]^0.9",
    ),
    ("pinion_shim", "the pinion's depth shims"),
    ("pinion_shim.seat", "where the depth shims sit"),
    (
        "pinion_shim.stock",
        "the shim series that fits, as the shop file calls it",
    ),
    (
        "side_shims",
        "the side shims, or the adjusters in their place",
    ),
    ("side_shims.seat", "where the side shims sit"),
    (
        "side_shims.stock",
        "the shim series that fits, as the shop file calls it",
    ),
    (
        "side_shims.usual",
        "packs that usually come out; of adjusters, how far each stands in",
    ),
    (
        "pinion_preload",
        "what sets the preload of the pinion bearings",
    ),
    ("pinion_preload.by", "what holds the pinion bearings apart"),
    (
        "pinion_preload.thread_pitch",
        "pitch of the pinion nut's thread",
    ),
    (
        "pinion_preload.stock",
        "the shim series that fits beside the spacer, as the shop file calls it",
    ),
    ("pinion_preload.spacer", "length of the solid spacer"),
    (
        "pinion_preload.seal_drag",
        "torque to turn the pinion seal alone",
    ),
    ("side_preload", "preload of the side bearings"),
    (
        "as_built.depth",
        "error of the old depth against the old mark",
    ),
    (
        "as_built.backlash",
        "error of the old backlash against the middle of its window",
    ),
    (
        "as_built.side_closure",
        "error of the old side preload, for one axle on the bench",
    ),
    (
        "windows.indicator",
        "how the service manual holds the indicator",
    ),
    (
        "windows.pattern.length",
        "along the tooth, share of its length",
    ),
    (
        "windows.pattern.profile",
        "up the profile, share of the tooth's depth",
    ),
    (
        "bench.pinion_start",
        "where the first pinion pack comes from",
    ),
    ("bench.side_start", "where the first side packs come from"),
    (
        "bench.correction",
        "how a reading outside its window is corrected",
    ),
    (
        "bench.first_move",
        "the first move of the ring gear, where moves are halved",
    ),
    ("bench.side_check", "how side preload is checked"),
    (
        "bench.torque_readings",
        "torque readings that are averaged, where the rise is read",
    ),
    (
        "bench.bearing_heights",
        "whether bearing heights are measured for the first packs",
    ),
    ("instruments.dial", "the backlash dial"),
    ("instruments.dial.sigma", "error of one reading, one sigma"),
    ("instruments.dial.step", "its graduation"),
    ("instruments.dial.indicator", "how the dial is held"),
    ("instruments.depth_gauge", "the pinion depth gauge"),
    (
        "instruments.depth_gauge.sigma",
        "error of one reading, one sigma",
    ),
    ("instruments.depth_gauge.step", "its graduation"),
    ("instruments.end_play", "how well zero end play is found"),
    ("instruments.end_play.sigma", "error each time, one sigma"),
    (
        "instruments.height.sigma",
        "error of one measured height, one sigma",
    ),
    ("instruments.torque", "the turning torque wrench"),
    (
        "instruments.torque.sigma",
        "error of one reading, one sigma",
    ),
    (
        "instruments.torque.share",
        "further error as a share of the reading, one sigma",
    ),
    ("instruments.torque.step", "its graduation"),
    (
        "instruments.pattern.profile",
        "error of one reading up the profile, one sigma",
    ),
    (
        "instruments.pattern.step",
        "step in which a pattern is told apart",
    ),
    ("instruments.micrometer", "the micrometer for shims"),
    (
        "instruments.micrometer.sigma",
        "error of one measured shim, one sigma",
    ),
    (
        "instruments.setup_bearing.sigma",
        "how much their heights differ, one sigma",
    ),
    ("instruments.nut", "how exactly the pinion nut is turned"),
    ("instruments.nut.sigma", "error of one turn, one sigma"),
    ("instruments.nut.slip", "chance of a sudden slip"),
    ("instruments.nut.slip_by", "how far it slips"),
    (
        "minutes.first_assembly",
        "ring gear on, first packs in, first assembly",
    ),
    ("minutes.read_backlash", "backlash read round the ring"),
    ("minutes.read_pattern", "pattern painted, rolled and read"),
    (
        "minutes.side_change",
        "other side packs put in, or adjusters turned",
    ),
    (
        "minutes.side_change.outboard",
        "shims outboard of the bearing cups",
    ),
    (
        "minutes.side_change.behind side bearings",
        "shims behind the side bearings",
    ),
    ("minutes.side_change.screw adjusters", "screw adjusters"),
    ("minutes.pinion_change", "another pinion pack put in"),
    (
        "minutes.pinion_change.under head bearing",
        "shims under the head bearing's cone",
    ),
    (
        "minutes.pinion_change.behind head cup",
        "shims behind the head bearing's cup",
    ),
    (
        "minutes.pinion_change.cartridge flange",
        "shims under the flange of the pinion's cartridge",
    ),
    ("minutes.sleeve", "a crush sleeve brought to its preload"),
    ("minutes.sleeve_again", "the same again with a new sleeve"),
    (
        "minutes.spacer_change",
        "another pack beside the solid spacer",
    ),
    ("prices", "prices and costs"),
    ("prices.sleeve", "a crush sleeve"),
    ("shims.sizes", "thicknesses as printed, from thin to thick"),
    ("shims.price", "one pack as it is sold"),
    ("shims.pack_of", "shims in a pack as it is sold"),
    ("shims.most_in_pack", "most shims in one pack on the axle"),
    ("drawer.order_every_days", "days between orders"),
    ("drawer.lead_time_days", "days from order to delivery"),
    ("jobs", "the jobs that the shop expects"),
    ("jobs.axle", "the axle's file, beside this one"),
    ("jobs.per_month", "such jobs a month"),
    ("jobs.gears", "whether the gear set is new"),
    ("jobs.bearings", "whether the bearings are new"),
    (
        "jobs.job_fill",
        "share of these jobs to finish without waiting for a shim, in place of the drawer's",
    ),
];

#[cfg(test)]
mod tests;
