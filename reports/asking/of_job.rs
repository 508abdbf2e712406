//! What is asked about one axle on the bench.

use shimcast_sim::axle::{PreloadBy, SideSeat};
use shimcast_sim::shop::SideCheck;

use super::figure::Measure;
use super::question::{Question, View, Wants, always};
use crate::files::Group;

const TOP: Group = Group::Top;
const KNOWN: Group = Group::Under(&["known"]);
const ENTRY: Group = Group::Entry(ENTRIES, 0);
/// Heading of the entries.
pub(crate) const ENTRIES: &str = "assemblies";

const PACK: Wants = Wants::Figure(Measure::Length, [0.02, 30.0]);
const MARK: Wants = Wants::Figure(Measure::Length, [-1.5, 1.5]);
const HEIGHTS: Wants = Wants::Figures(Measure::Length, [5.0, 150.0], Some(2));
const PROFILE: Wants = Wants::Figure(Measure::Profile, [-0.5, 0.5]);
const TORQUES: Wants = Wants::Figures(Measure::Torque, [0.05, 30.0], None);

fn new_gears(view: &View<'_>) -> bool {
    view.file.text(TOP, "gears") != Some("kept")
}

fn kept_gears(view: &View<'_>) -> bool {
    !new_gears(view)
}

fn new_bearings(view: &View<'_>) -> bool {
    view.file.text(TOP, "bearings") != Some("kept")
}

fn has_adjusters(view: &View<'_>) -> bool {
    let seat = view.loaded.map(|loaded| loaded.axle.side_shims.seat);
    seat == Some(SideSeat::ScrewAdjusters)
}

fn has_side_packs(view: &View<'_>) -> bool {
    !has_adjusters(view)
}

fn has_spacer(view: &View<'_>) -> bool {
    let by = view.loaded.map(|loaded| &loaded.axle.pinion_preload.by);
    matches!(by, Some(PreloadBy::Spacer { .. }))
}

fn heights_are_measured(view: &View<'_>) -> bool {
    let measures = view
        .loaded
        .is_some_and(|loaded| loaded.shop.bench.measures_heights);
    measures && new_bearings(view)
}

fn has_setup_bearings(view: &View<'_>) -> bool {
    let uses = view
        .loaded
        .is_some_and(|loaded| loaded.shop.bench.setup_bearings);
    uses && new_bearings(view)
}

fn on_real_bearings(view: &View<'_>) -> bool {
    view.says("on", "real bearings") || !has_setup_bearings(view)
}

fn on_real_bearings_with_sleeve(view: &View<'_>) -> bool {
    on_real_bearings(view) && !has_spacer(view)
}

fn on_real_bearings_with_spacer(view: &View<'_>) -> bool {
    on_real_bearings(view) && has_spacer(view)
}

fn rise_is_read(view: &View<'_>) -> bool {
    let check = view.loaded.map(|loaded| loaded.shop.bench.side_check);
    check == Some(SideCheck::TorqueRise)
}

fn not_the_first(view: &View<'_>) -> bool {
    view.entry() > 0
}

/// What job it is.
pub(crate) const JOB: [Question; 3] = [
    Question {
        group: TOP,
        key: "name",
        words: "What do you call this job?",
        help: "e.g. Blue van, rear",
        comment: "what the shop calls the job",
        wants: Wants::Text,
        needed: false,
        when: always,
    },
    Question {
        group: TOP,
        key: "gears",
        words: "Ring gear and pinion?",
        help: "",
        comment: "\"new\" or \"kept\"",
        wants: Wants::Choice(&[
            ("new", "a new pair goes in"),
            ("kept", "the old pair stays"),
        ]),
        needed: true,
        when: always,
    },
    Question {
        group: TOP,
        key: "bearings",
        words: "Bearings?",
        help: "",
        comment: "\"new\" or \"kept\"",
        wants: Wants::Choice(&[("new", "new ones go in"), ("kept", "the old ones stay")]),
        needed: true,
        when: always,
    },
];

/// A figure that was known before the first assembly.
const fn known(
    key: &'static str,
    words: &'static str,
    comment: &'static str,
    wants: Wants,
    when: fn(&View<'_>) -> bool,
) -> Question {
    Question {
        group: KNOWN,
        key,
        words,
        help: "",
        comment,
        wants,
        needed: false,
        when,
    }
}

/// What is known of its parts and of the old set-up.
pub(crate) const BEFORE: [Question; 12] = [
    known(
        "mark_new",
        "Depth mark etched on the pinion that goes in, with its sign?",
        "as etched on the pinion that goes in",
        MARK,
        new_gears,
    ),
    known(
        "mark_old",
        "Depth mark etched on the pinion that came out, with its sign?",
        "as etched on the pinion that came out",
        MARK,
        new_gears,
    ),
    known(
        "mark_old",
        "Depth mark etched on the pinion, with its sign?",
        "as etched on the pinion",
        MARK,
        kept_gears,
    ),
    known(
        "pinion_pack",
        "Pinion shims that came out, as measured?",
        "the packs that came out, as measured",
        PACK,
        always,
    ),
    known(
        "ring_pack",
        "Side shims that came out on the ring-gear side, as measured?",
        "ring-gear side",
        PACK,
        has_side_packs,
    ),
    known(
        "far_pack",
        "Side shims that came out on the far side, as measured?",
        "far side",
        PACK,
        has_side_packs,
    ),
    known(
        "preload_pack",
        "Shims beside the solid spacer that came out, as measured?",
        "beside the solid spacer",
        PACK,
        has_spacer,
    ),
    known(
        "head_height",
        "Height of the pinion's head bearing, old and new?",
        "bearing heights as measured: old, new",
        HEIGHTS,
        heights_are_measured,
    ),
    known(
        "tail_height",
        "Height of the pinion's tail bearing, old and new?",
        "old, new",
        HEIGHTS,
        heights_are_measured,
    ),
    known(
        "ring_height",
        "Height of the side bearing on the ring-gear side, old and new?",
        "old, new",
        HEIGHTS,
        heights_are_measured,
    ),
    known(
        "far_height",
        "Height of the side bearing on the far side, old and new?",
        "old, new",
        HEIGHTS,
        heights_are_measured,
    ),
    known(
        "gauge",
        "Pinion pack that the depth gauge asks for, before the mark?",
        "the pinion pack that would give the mounting distance",
        PACK,
        always,
    ),
];

/// A figure of an entry.
const fn read(
    key: &'static str,
    words: &'static str,
    help: &'static str,
    comment: &'static str,
    wants: Wants,
    when: fn(&View<'_>) -> bool,
) -> Question {
    Question {
        group: ENTRY,
        key,
        words,
        help,
        comment,
        wants,
        needed: false,
        when,
    }
}

/// One without which the entry means nothing.
const fn fitted(
    key: &'static str,
    words: &'static str,
    comment: &'static str,
    wants: Wants,
    when: fn(&View<'_>) -> bool,
) -> Question {
    let question = read(key, words, "", comment, wants, when);
    Question {
        needed: true,
        ..question
    }
}

const DONE_GROUP: Group = Group::Under(&["done"]);

/// What is said of a job that is finished.
const fn ended(
    key: &'static str,
    words: &'static str,
    help: &'static str,
    wants: Wants,
) -> Question {
    Question {
        group: DONE_GROUP,
        key,
        words,
        help,
        comment: "",
        wants,
        needed: false,
        when: always,
    }
}

/// How a job ended.
pub(crate) const DONE: [Question; 5] = [
    ended(
        "verdict",
        "How was it handed over?",
        "",
        Wants::Choice(&[
            ("right", "right: everything read inside"),
            ("accepted", "accepted with something outside"),
            ("given up", "given up"),
        ]),
    ),
    ended(
        "hours",
        "Hours that it took?",
        "",
        Wants::Figure(Measure::Plain, [0.0, 500.0]),
    ),
    ended(
        "sleeves",
        "Crush sleeves used, or goes at the solid spacer?",
        "",
        Wants::Whole(0, 100),
    ),
    ended(
        "comeback",
        "Did it come back?",
        "",
        Wants::Choice(&[("unknown", "not known yet"), ("no", "no"), ("yes", "yes")]),
    ),
    ended("date", "Finished on?", "YYYY-MM-DD", Wants::Day),
];

const TRAVEL: Wants = Wants::Figure(Measure::Length, [-5.0, 5.0]);

/// What is fitted and read at an assembly.
pub(crate) const ASSEMBLY: [Question; 17] = [
    fitted(
        "on",
        "This assembly stands on?",
        "\"set-up bearings\" or \"real bearings\"",
        Wants::Choice(&[
            ("set-up bearings", "set-up bearings"),
            ("real bearings", "the real bearings"),
        ]),
        has_setup_bearings,
    ),
    read(
        "zero_total",
        "Both side packs together at zero end play?",
        "as found before this assembly",
        "both side packs together at zero end play",
        Wants::Figure(Measure::Length, [0.05, 60.0]),
        has_side_packs,
    ),
    read(
        "zero_total",
        "Travel of both adjusters together to zero end play?",
        "from where they stood at the first assembly, + inwards",
        "travel of both adjusters at zero end play",
        TRAVEL,
        has_adjusters,
    ),
    fitted(
        "pinion",
        "Pinion pack fitted, as printed on its shims?",
        "the packs fitted, as printed",
        PACK,
        always,
    ),
    fitted(
        "ring",
        "Side pack fitted on the ring-gear side, as printed?",
        "ring-gear side",
        PACK,
        has_side_packs,
    ),
    fitted(
        "far",
        "Side pack fitted on the far side, as printed?",
        "far side",
        PACK,
        has_side_packs,
    ),
    fitted(
        "ring",
        "Adjuster on the ring-gear side: travel since the first assembly, + inwards?",
        "travel since the first assembly, + inwards",
        TRAVEL,
        turned,
    ),
    fitted(
        "far",
        "Adjuster on the far side: travel since the first assembly, + inwards?",
        "far side",
        TRAVEL,
        turned,
    ),
    read(
        "reseated",
        "Was the ring gear taken off its flange and seated anew for this assembly?",
        "",
        "the ring gear was taken off its flange and seated anew",
        Wants::Flag,
        not_the_first,
    ),
    read(
        "other_tooth",
        "Do the backlash readings begin at another tooth than before?",
        "",
        "the first backlash reading is on another tooth than before",
        Wants::Flag,
        not_the_first,
    ),
    read(
        "backlash",
        "Backlash readings, in the order of the turn?",
        "a space between them",
        "in the order of the turn, equally spaced",
        Wants::Figures(Measure::Length, [0.0, 2.0], None),
        always,
    ),
    read(
        "drive",
        "Pattern on the drive side: its middle up or down the profile?",
        "",
        "the pattern's middle up the profile, + towards the top",
        PROFILE,
        always,
    ),
    read(
        "coast",
        "Pattern on the coast side: its middle up or down the profile?",
        "",
        "coast side",
        PROFILE,
        always,
    ),
    read(
        "rise",
        "How much did the turning torque rise with the carrier in?",
        "at the pinion",
        "torque rise by the side bearings",
        Wants::Figure(Measure::Torque, [-1.0, 20.0]),
        rise_is_read,
    ),
    read(
        "preload",
        "Packs tried beside the solid spacer, oldest first?",
        "a space between them",
        "the packs beside the solid spacer, oldest first",
        Wants::Figures(Measure::Length, [0.02, 30.0], None),
        on_real_bearings_with_spacer,
    ),
    read(
        "torque",
        "Torque to turn the pinion alone with each of these packs?",
        "a space between them",
        "to turn the pinion alone, with each pack",
        TORQUES,
        spacer_packs_stated,
    ),
    read(
        "torque",
        "Torque to turn the pinion alone after each turn of the nut on this sleeve?",
        "oldest first, a space between them",
        "to turn the pinion alone, after each turn of the nut",
        TORQUES,
        on_real_bearings_with_sleeve,
    ),
];

fn turned(view: &View<'_>) -> bool {
    has_adjusters(view) && not_the_first(view)
}

fn spacer_packs_stated(view: &View<'_>) -> bool {
    on_real_bearings_with_spacer(view) && view.file.stated(view.group, "preload").is_some()
}

/// Whether adjusters stand where the first assembly is counted from.
pub(crate) fn starts_at_nought(view: &View<'_>) -> bool {
    has_adjusters(view) && !not_the_first(view)
}
