//! What the keys of a job file are called.

/// What the keys of a job file are called.
pub(super) const JOB: [(&str, &str); 39] = [
    ("axle", "the axle's file, beside this one"),
    ("name", "what the workshop calls the job"),
    ("gears", "whether the gear set is new"),
    ("bearings", "whether the bearings are new"),
    ("known", "what is known before the first assembly"),
    ("known.mark_old", "mark etched on the pinion that came out"),
    ("known.mark_new", "mark etched on the pinion that goes in"),
    (
        "known.pinion_pack",
        "pinion pack that came out, as measured",
    ),
    (
        "known.ring_pack",
        "pack that came out on the ring-gear side, as measured",
    ),
    (
        "known.far_pack",
        "pack that came out on the far side, as measured",
    ),
    (
        "known.preload_pack",
        "pack that came out beside the solid spacer, as measured",
    ),
    (
        "known.head_height",
        "height of the pinion's head bearing as measured, old and new",
    ),
    (
        "known.tail_height",
        "height of the pinion's tail bearing as measured, old and new",
    ),
    (
        "known.ring_height",
        "height of the side bearing on the ring-gear side as measured, old and new",
    ),
    (
        "known.far_height",
        "height of the side bearing on the far side as measured, old and new",
    ),
    (
        "known.gauge",
        "what the depth gauge asks for before the mark: the pinion pack that would give the mounting distance",
    ),
    (
        "assemblies",
        "one assembly: the packs fitted and what was read, oldest first",
    ),
    ("assemblies.on", "the bearings that it stands on"),
    (
        "assemblies.zero_total",
        "both side packs together at which zero end play was found before this assembly",
    ),
    ("assemblies.pinion", "pinion pack fitted, as printed"),
    (
        "assemblies.ring",
        "pack fitted on the ring-gear side, as printed; of adjusters, how far turned in since the first entry",
    ),
    (
        "assemblies.far",
        "pack fitted on the far side, as printed; of adjusters, how far turned in since the first entry",
    ),
    (
        "assemblies.reseated",
        "whether the ring gear was taken off its flange and seated anew before this assembly",
    ),
    (
        "assemblies.other_tooth",
        "whether the first backlash reading is on another tooth than before",
    ),
    (
        "assemblies.backlash",
        "backlash readings in the order of the turn, equally spaced",
    ),
    (
        "assemblies.drive",
        "the drive pattern's middle up the profile, share of the tooth, + towards the top",
    ),
    (
        "assemblies.coast",
        "the coast pattern's middle up the profile, share of the tooth, + towards the top",
    ),
    (
        "assemblies.rise",
        "torque rise by the side bearings, where it is read",
    ),
    (
        "assemblies.preload",
        "packs beside the solid spacer, one a go, oldest first",
    ),
    (
        "assemblies.torque",
        "turning torque of the pinion alone, one figure a go, oldest first: with each pack, or after each turn of the nut on the sleeve that is in",
    ),
    (
        "done",
        "how it ended; it changes nothing of what is believed of the axle",
    ),
    ("done.verdict", "how it was handed over"),
    ("done.hours", "hours that it took"),
    (
        "done.minutes",
        "minutes of single tasks, where they are known",
    ),
    (
        "done.sleeves",
        "crush sleeves used, or goes at the solid spacer",
    ),
    (
        "done.spoiled",
        "shims that came out and could not be used again, by series",
    ),
    ("done.comeback", "whether it came back"),
    ("done.date", "the day it was finished"),
    (
        "done.booked",
        "the count of the drawer that its shims were taken out of",
    ),
];
