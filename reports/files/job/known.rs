//! What is known of one axle before the first assembly.

use shimcast_sim::axle::Condition;
use shimcast_sim::next::Known;

use super::{Fits, most, told};
use crate::files::measure::Quantity;
use crate::files::section::Section;

/// Figures nearer than this are the same one, mm.
const SAME: f64 = 1e-9;

/// What the group says; whatever is wrong is noted.
pub(super) fn read(s: &Section<'_>, fits: &Fits, gears: Condition, bearings: Condition) -> Known {
    let mark = |key| s.optional_number(key, Quantity::Length, most::either_way(s));
    let above = |key| s.optional_number(key, Quantity::Length, most::pack(s));
    let height = |key| {
        let what = "old and new bearing as measured";
        s.optional_pair(key, Quantity::Length, most::height(s), what)
    };
    let side = |key| above(key).filter(|_| !fits.adjusters);
    let known = Known {
        mark_old: mark("mark_old"),
        mark_new: mark("mark_new"),
        pinion_pack: above("pinion_pack"),
        ring_pack: side("ring_pack"),
        far_pack: side("far_pack"),
        preload_pack: above("preload_pack").filter(|_| !fits.sleeve),
        head_height: height("head_height"),
        tail_height: height("tail_height"),
        ring_height: height("ring_height"),
        far_height: height("far_height"),
        gauge: above("gauge"),
    };
    if fits.adjusters {
        let why = "screw adjusters have no packs";
        s.ignore(&["ring_pack", "far_pack"], why);
    }
    if fits.sleeve {
        s.ignore(&["preload_pack"], "this axle has a crush sleeve, no spacer");
    }
    kept_are_the_same(s, &known, gears, bearings);
    s.finish();
    known
}

/// Whether what is known of kept parts is one and the same before and after.
fn kept_are_the_same(s: &Section<'_>, known: &Known, gears: Condition, bearings: Condition) {
    let same =
        |pair: [f64; 2]| (pair[0] - pair[1]).abs() <= SAME || pair.iter().any(|x| x.is_nan());
    if let (Condition::Kept, Some(old), Some(new)) = (gears, known.mark_old, known.mark_new)
        && !same([old, new])
        && let Some(node) = s.stated("mark_new")
    {
        let [old, new] = [old, new].map(|mark| told(s, Quantity::Length, mark));
        s.wrong(
            node.place,
            format!("known.mark_new is {new} and known.mark_old {old}, but the gears are kept, so both are one mark"),
            Some("state the mark of this pinion once, or write gears = \"new\"".to_owned()),
        );
    }
    let heights = [
        ("head_height", known.head_height),
        ("tail_height", known.tail_height),
        ("ring_height", known.ring_height),
        ("far_height", known.far_height),
    ];
    for (key, pair) in heights {
        if bearings == Condition::Kept
            && pair.is_some_and(|pair| !same(pair))
            && let Some(node) = s.stated(key)
        {
            s.wrong(
                node.place,
                format!("{} has two heights, but the bearings are kept", s.name(key)),
                Some("write the one height twice, or bearings = \"new\"".to_owned()),
            );
        }
    }
}
