//! What is asked about an axle family and about a shop, as far as anyone can say it at a bench.

use super::figure::Measure;
use super::question::{Question, View, Wants, always};
use crate::files::Group;

const TOP: Group = Group::Top;
const GEARS: Group = Group::Under(&["gears"]);
const PINION: Group = Group::Under(&["pinion_shim"]);
const SIDES: Group = Group::Under(&["side_shims"]);
const PRELOAD: Group = Group::Under(&["pinion_preload"]);
const WINDOWS: Group = Group::Under(&["windows"]);
const BENCH: Group = Group::Under(&["bench"]);
const DIAL: Group = Group::Under(&["instruments", "dial"]);
const MICROMETER: Group = Group::Under(&["instruments", "micrometer"]);
const PRICES: Group = Group::Under(&["prices"]);
/// Heading of the shim series.
pub(super) const SERIES: &str = "shims";
const SHIMS: Group = Group::Entry(SERIES, 0);

const PACK: Wants = Wants::Figure(Measure::Length, [0.02, 30.0]);
const SEAT: &str = "seat";

/// A question without which the file means nothing.
const fn needed(
    group: Group,
    key: &'static str,
    words: &'static str,
    comment: &'static str,
    wants: Wants,
) -> Question {
    Question {
        group,
        key,
        words,
        help: "",
        comment,
        wants,
        needed: true,
        when: always,
    }
}

impl Question {
    const fn only(mut self, when: fn(&View<'_>) -> bool) -> Self {
        self.when = when;
        self
    }

    const fn helped(mut self, help: &'static str) -> Self {
        self.help = help;
        self
    }

    const fn may_be_left_out(mut self) -> Self {
        self.needed = false;
        self
    }
}

const LENGTH: Question = needed(
    TOP,
    "length",
    "Lengths in the file are in?",
    "unit of every length here",
    Wants::Choice(&[("mm", "millimetres"), ("in", "inches")]),
);
const TORQUE: Question = needed(
    TOP,
    "torque",
    "Torques in the file are in?",
    "unit of every torque here",
    Wants::Choice(&[("N.m", "newton metres"), ("lbf.in", "inch pounds")]),
);

fn has_side_packs(view: &View<'_>) -> bool {
    view.file.text(SIDES, SEAT) != Some("screw adjusters")
}

fn has_spacer(view: &View<'_>) -> bool {
    view.file.text(PRELOAD, "by") == Some("spacer")
}

/// What is asked about an axle, but its name.
pub(super) const AXLE: [Question; 18] = [
    LENGTH,
    TORQUE,
    needed(
        GEARS,
        "pinion_teeth",
        "Teeth of the pinion?",
        "count them, or read them off the gear set's box",
        Wants::Whole(5, 40),
    ),
    needed(
        GEARS,
        "ring_teeth",
        "Teeth of the ring gear?",
        "count them",
        Wants::Whole(15, 120),
    ),
    needed(
        GEARS,
        "ring_diameter",
        "Diameter of the ring gear, over the outer ends of its teeth?",
        "across the outer ends of the ring gear's teeth",
        Wants::Figure(Measure::Length, [80.0, 700.0]),
    ),
    needed(
        PINION,
        SEAT,
        "Where do the pinion's depth shims sit?",
        "where they came out",
        Wants::Choice(&[
            ("under head bearing", "under the head bearing's cone"),
            ("behind head cup", "behind the head bearing's cup"),
            (
                "cartridge flange",
                "under the flange of the pinion's cartridge",
            ),
        ]),
    ),
    needed(
        PINION,
        "stock",
        "Which shim series fits there?",
        "the shim series that fits",
        Wants::Series,
    ),
    needed(
        PINION,
        "usual",
        "Pinion pack that usually comes out?",
        "the pack that came out, as measured",
        PACK,
    ),
    needed(
        SIDES,
        SEAT,
        "Where do the side shims sit?",
        "where they came out",
        Wants::Choice(&[
            ("outboard", "outboard of the bearing cups"),
            ("behind side bearings", "behind the side bearings' cones"),
            ("screw adjusters", "none: there are screw adjusters"),
        ]),
    ),
    needed(
        SIDES,
        "stock",
        "Which shim series fits there?",
        "the shim series that fits",
        Wants::Series,
    )
    .only(has_side_packs),
    needed(
        SIDES,
        "usual",
        "Side packs that usually come out: ring-gear side, far side?",
        "as measured: ring-gear side, far side",
        Wants::Figures(Measure::Length, [0.02, 30.0], Some(2)),
    )
    .only(has_side_packs)
    .helped("a space between them"),
    needed(
        PRELOAD,
        "by",
        "What holds the pinion bearings apart?",
        "\"sleeve\" or \"spacer\"",
        Wants::Choice(&[
            ("sleeve", "a crush sleeve"),
            ("spacer", "a solid spacer with shims"),
        ]),
    ),
    needed(
        PRELOAD,
        "stock",
        "Which shim series fits beside the spacer?",
        "the shim series that fits",
        Wants::Series,
    )
    .only(has_spacer),
    needed(
        PRELOAD,
        "usual",
        "Pack that usually comes out beside the spacer?",
        "the pack that came out, as measured",
        PACK,
    )
    .only(has_spacer),
    needed(
        WINDOWS,
        "backlash",
        "Backlash by the service manual: least and most?",
        "from the axle's service manual: least and most",
        Wants::Figures(Measure::Length, [0.0, 1.0], Some(2)),
    )
    .helped("a space between them"),
    needed(
        WINDOWS,
        "indicator",
        "How does the manual hold the indicator?",
        "how the manual reads it",
        Wants::Choice(&[
            ("plane of rotation", "in the plane of rotation"),
            (
                "square to the tooth",
                "square to the tooth, where it reads less",
            ),
        ]),
    ),
    needed(
        WINDOWS,
        "pinion_torque",
        "Torque to turn the pinion by the manual, seal fitted, new bearings: least and most?",
        "to turn the pinion, seal fitted, new bearings: least and most",
        Wants::Figures(Measure::Torque, [0.05, 30.0], Some(2)),
    )
    .helped("a space between them"),
    needed(
        WINDOWS,
        "side_closure",
        "Side preload by the manual, as shim past zero end play: least and most?",
        "side preload, as shim past zero end play: least and most",
        Wants::Figures(Measure::Length, [-0.2, 2.0], Some(2)),
    )
    .may_be_left_out()
    .helped("a space between them"),
];

/// What is asked about a shop, but its name and its shims.
pub(super) const SHOP: [Question; 11] = [
    LENGTH,
    TORQUE,
    needed(
        TOP,
        "currency",
        "Currency of the prices?",
        "of every price here",
        Wants::Text,
    )
    .helped("e.g. EUR"),
    needed(
        PRICES,
        "hour",
        "Price of an hour of work?",
        "an hour of labour, as charged",
        Wants::Figure(Measure::Plain, [0.0, 1e6]),
    )
    .may_be_left_out(),
    needed(
        BENCH,
        "setup_bearings",
        "Are set-up bearings used for the trial assemblies?",
        "slip-fit cones for the trials",
        Wants::Flag,
    ),
    needed(
        BENCH,
        "pinion_start",
        "The first pinion pack comes from?",
        "where the first pinion pack comes from",
        Wants::Choice(&[
            ("old pack", "the old pack and both marks"),
            ("gauge", "a depth gauge and the new mark"),
            ("usual", "the usual pack and the new mark"),
        ]),
    ),
    needed(
        BENCH,
        "side_start",
        "The first side packs come from?",
        "where the first side packs come from",
        Wants::Choice(&[
            ("old packs", "the old packs"),
            ("usual", "the usual packs"),
            ("zero lash", "zero backlash, moved out from there"),
        ]),
    ),
    needed(
        BENCH,
        "backlash_points",
        "At how many teeth round the ring is backlash read?",
        "readings round the ring",
        Wants::Whole(1, 64),
    ),
    needed(
        DIAL,
        "step",
        "Graduation of the backlash dial?",
        "graduation of the dial",
        Wants::Figure(Measure::Length, [0.0005, 0.2]),
    ),
    needed(
        DIAL,
        "indicator",
        "How is the dial held?",
        "how it is held",
        Wants::Choice(&[
            ("plane of rotation", "in the plane of rotation"),
            ("square to the tooth", "square to the tooth"),
        ]),
    ),
    needed(
        MICROMETER,
        "sigma",
        "Error of shims measured by micrometer, one sigma?",
        "of a shim as measured",
        Wants::Figure(Measure::Length, [0.0002, 0.05]),
    )
    .may_be_left_out()
    .helped("usually 3 µm; left out where the size printed on a shim is trusted"),
];

/// What is asked about a shim series.
pub(super) const SHIM: [Question; 4] = [
    needed(
        SHIMS,
        "series",
        "What is this shim series called?",
        "what the shop calls it",
        Wants::Text,
    )
    .helped("e.g. P-38"),
    needed(
        SHIMS,
        "sizes",
        "Its sizes, from thin to thick?",
        "thicknesses as printed",
        Wants::Figures(Measure::Length, [0.01, 15.0], None),
    )
    .helped("a space between them"),
    needed(
        SHIMS,
        "price",
        "Price of one shim?",
        "of one shim",
        Wants::Figure(Measure::Plain, [0.0, 1e6]),
    )
    .may_be_left_out(),
    needed(
        SHIMS,
        "most_in_pack",
        "Most shims in one pack?",
        "most shims in one pack on the axle",
        Wants::Whole(1, 8),
    ),
];
