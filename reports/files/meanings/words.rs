//! What keys are called.

/// The keys of a tolerance.
pub(super) const TOLERANCE: [(&str, &str); 14] = [
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

/// What keys are called of which no example says it in so few words, or only which words they take.
pub(super) const OTHERS: [(&str, &str); 146] = [
    ("name", "what the workshop calls it"),
    ("length", "unit of every length in this file"),
    ("torque", "unit of every torque in this file"),
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
        "how much patterns differ from pair to pair along the tooth, one sigma; share of the tooth",
    ),
    (
        "gears.pattern.scatter.profile",
        "how much patterns differ from pair to pair up the profile, one sigma; share of the tooth",
    ),
    ("gears.pinion_teeth", "teeth of the pinion"),
    ("gears.ring_teeth", "teeth of the ring gear"),
    ("gears.mounting_distance", "mounting distance"),
    (
        "gears.ring_distance",
        "distance from the pinion axis to the ring gear",
    ),
    ("gears.tooth_runout", "runout of the teeth, peak to peak"),
    ("housing", "the housing's seats"),
    (
        "housing.shaft_angle",
        "error of the angle between the shafts",
    ),
    ("carrier", "the carrier (differential case)"),
    (
        "carrier.shoulders",
        "distance between the carrier's bearing shoulders",
    ),
    (
        "carrier.face_runout",
        "runout of the ring gear's mounting face, peak to peak at the mesh radius",
    ),
    ("bearings", "the bearings"),
    ("bearings.head", "the pinion's head bearing"),
    ("bearings.head.height", "height of the assembled bearing"),
    (
        "bearings.head.deflection",
        "how far it gives under load; C in: deflection [mm] = C · force[N]^0.9",
    ),
    ("bearings.tail", "the pinion's tail bearing"),
    ("bearings.tail.height", "height of the assembled bearing"),
    (
        "bearings.tail.deflection",
        "how far it gives under load; C in: deflection [mm] = C · force[N]^0.9",
    ),
    ("bearings.side", "one of the two side bearings"),
    ("bearings.side.height", "height of the assembled bearing"),
    (
        "bearings.side.deflection",
        "how far it gives under load; C in: deflection [mm] = C · force[N]^0.9",
    ),
    ("pinion_shim", "the pinion's depth shims"),
    ("pinion_shim.seat", "where the depth shims sit"),
    (
        "pinion_shim.stock",
        "which shim series of the shop file fits",
    ),
    (
        "side_shims",
        "the side shims, or the adjusters in their place",
    ),
    ("side_shims.seat", "where the side shims sit"),
    (
        "side_shims.stock",
        "which shim series of the shop file fits",
    ),
    (
        "side_shims.usual",
        "packs that usually come out, ring-gear side, far side; of adjusters, how far each stands in",
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
    (
        "pinion_preload.torque_per_force",
        "turning torque of the pinion bearings per load; the oiled pair turned by hand",
    ),
    (
        "pinion_preload.path_stiffness",
        "stiffness of housing, spacer and shank in series, bearings apart",
    ),
    ("side_preload", "preload of the side bearings"),
    (
        "side_preload.torque_per_force",
        "turning torque of the side bearings per load; the pair, at the carrier",
    ),
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
        "pattern off the middle along the tooth; share of its length",
    ),
    (
        "windows.pattern.profile",
        "pattern off the middle up the profile; share of the tooth's depth",
    ),
    ("windows.backlash", "backlash"),
    ("windows.backlash_variation", "variation of the backlash"),
    ("windows.pinion_torque", "turning torque of the pinion"),
    (
        "windows.pinion_torque_used",
        "turning torque of the pinion with the old bearings kept",
    ),
    ("windows.side_closure", "side preload"),
    ("windows.depth", "pinion depth"),
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
        "the first move of the pinion pack, where moves are halved",
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
    (
        "bench.learns",
        "whether the belief about ring-gear moves is corrected by what they did",
    ),
    ("bench.smallest_move", "smallest move that is made"),
    ("bench.backlash_points", "backlash readings round the ring"),
    ("bench.most_assemblies", "most assemblies of a job"),
    (
        "bench.setup_bearings",
        "whether set-up bearings are used for the trials",
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
    (
        "instruments.end_play.sigma",
        "error of zero end play as it is found, one sigma",
    ),
    (
        "instruments.height.sigma",
        "error of a measured bearing height, one sigma",
    ),
    ("instruments.torque", "the turning torque wrench"),
    (
        "instruments.torque.sigma",
        "error of one reading, one sigma",
    ),
    (
        "instruments.torque.share",
        "the turning torque wrench: further error as a share of the reading, one sigma",
    ),
    ("instruments.torque.step", "its graduation"),
    (
        "instruments.pattern.profile",
        "error of a pattern read up the profile, one sigma",
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
        "how much set-up bearings differ in height from real ones, one sigma",
    ),
    ("instruments.nut", "how exactly the pinion nut is turned"),
    (
        "instruments.nut.sigma",
        "error of one turn of the pinion nut, one sigma",
    ),
    (
        "instruments.nut.slip",
        "chance that the pinion nut slips suddenly",
    ),
    ("instruments.nut.slip_by", "how far the pinion nut slips"),
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
        "side packs changed: shims outboard of the bearing cups",
    ),
    (
        "minutes.side_change.behind side bearings",
        "side packs changed: shims behind the side bearings",
    ),
    (
        "minutes.side_change.screw adjusters",
        "screw adjusters turned",
    ),
    ("minutes.pinion_change", "another pinion pack put in"),
    (
        "minutes.pinion_change.under head bearing",
        "pinion pack changed: shims under the head bearing's cone",
    ),
    (
        "minutes.pinion_change.behind head cup",
        "pinion pack changed: shims behind the head bearing's cup",
    ),
    (
        "minutes.pinion_change.cartridge flange",
        "pinion pack changed: shims under the flange of the pinion's cartridge",
    ),
    ("minutes.sleeve", "a crush sleeve brought to its preload"),
    ("minutes.sleeve_again", "the same again with a new sleeve"),
    (
        "minutes.spacer_change",
        "another pack beside the solid spacer",
    ),
    ("minutes.strip", "stripping"),
    ("minutes.reseat_ring", "ring gear seated anew"),
    ("minutes.final_assembly", "final assembly"),
    ("minutes.refit", "refitting"),
    ("minutes.setup_bearing_saves", "what set-up bearings save"),
    ("prices", "prices and costs"),
    ("prices.sleeve", "a crush sleeve"),
    ("prices.hour", "an hour"),
    ("prices.cone", "a bearing cone"),
    ("prices.comeback", "a job that comes back"),
    ("prices.given_up", "a job given up"),
    (
        "prices.comeback_share",
        "share that comes back of the jobs handed over clearly out",
    ),
    ("shims.sizes", "thicknesses as printed, from thin to thick"),
    ("shims.price", "one pack as it is sold"),
    ("shims.pack_of", "shims in a pack as it is sold"),
    ("shims.most_in_pack", "most shims in one pack on the axle"),
    ("shims.series", "name of the series"),
    ("shims.length", "unit of the series"),
    ("shims.tol", "thickness tolerance"),
    ("drawer.order_every_days", "days between orders"),
    ("drawer.lead_time_days", "days from order to delivery"),
    ("drawer.wait_cost", "cost of a job that waits for a shim"),
    ("drawer.delivery_cost", "cost of one order"),
    (
        "drawer.near_enough",
        "how near a pack must be to stand in for the one wanted",
    ),
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
