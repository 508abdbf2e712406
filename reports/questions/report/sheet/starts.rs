//! The first packs: what each is reckoned from, as a sum to fill in.

use shimcast_sim::axle::shims::Series;
use shimcast_sim::axle::{MarkSign, PinionSeat, PreloadBy};
use shimcast_sim::shop::{PinionStart, SideStart};

use super::{Bench, box_of};
use crate::document::{FormField, FormLine, FormPart};
use crate::figures::counted;
use crate::questions::drawer::list::printed;

/// A sum, box by box: the sign of each part is in its label.
type Sum = Vec<FormField>;

/// All first packs, with the shims to make them of.
pub(super) fn starts(asked: Bench<'_>) -> FormPart {
    let axle = &asked.setup.axle;
    let mut lines = vec![FormLine::new("Pinion pack", pinion(asked))];
    if !asked.setup.has_adjusters() {
        lines.push(FormLine::new("Both sides", total(asked)));
    }
    let [ring_side, far_side] = sides(asked);
    lines.push(FormLine::new(ring_side, ring(asked)));
    lines.push(FormLine::new(far_side, far(asked)));
    if let PreloadBy::Spacer { usual, .. } = &axle.pinion_preload.by {
        lines.push(FormLine::new("Spacer pack", spacer(asked, *usual)));
    }
    FormPart {
        heading: "First packs",
        lines,
        notes: notes(asked),
        ..FormPart::default()
    }
}

fn sides(asked: Bench<'_>) -> [&'static str; 2] {
    match asked.setup.has_adjusters() {
        true => ["Ring-gear side adjuster", "Far side adjuster"],
        false => ["Ring-gear side", "Far side"],
    }
}

fn said(text: impl Into<String>) -> FormField {
    FormField::Said(text.into())
}

/// The pack that usually fits.
fn usual(asked: Bench<'_>, pack: f64) -> FormField {
    said(format!("usual {}", asked.print.bare_given(pack)))
}

/// What is added or taken off where the sign is so.
fn signed(sign: f64, what: &str) -> FormField {
    let sign = if sign > 0.0 { "+" } else { "−" };
    box_of(&format!("{sign} {what}"))
}

/// The wanted pack, and the shims that it is made of.
fn fitted(asked: Bench<'_>, stock: Option<&str>, first: Option<f64>) -> Sum {
    let series = stock.and_then(|name| asked.setup.shop.series(name));
    let shims = series.map_or(1, |series| series.most_in_pack);
    let mut sum = vec![box_of("= wanted")];
    sum.extend(FormField::readings("shim", shims));
    sum.push(box_of("fitted, sum").filled(asked.given(first)));
    sum
}

/// The pinion pack. Marks count as they are written on this axle, whichever way that is.
fn pinion(asked: Bench<'_>) -> Sum {
    let axle = &asked.setup.axle;
    let print = asked.print;
    let deeper = axle.pinion_shim.seat.depth_per_thickness();
    let farther = match axle.gears.mark.plus {
        MarkSign::Farther => 1.0,
        MarkSign::Deeper => -1.0,
    };
    let mark = match asked.new_gears() {
        true => "new mark",
        false => "mark",
    };
    let [old_mark, new_mark] = asked.marks();
    // a pair that stays has one mark
    let new_mark = match asked.new_gears() {
        true => new_mark,
        false => old_mark.clone(),
    };
    let heights = asked.heights(|known| known.head_height);
    let mut sum: Sum = match asked.setup.shop.bench.pinion_start {
        PinionStart::OldPack => {
            let old = asked.known(|known| known.pinion_pack);
            let mut sum = vec![box_of("old pack").filled(old)];
            if asked.new_gears() {
                sum.push(signed(deeper * farther, "old mark").filled(old_mark));
                sum.push(signed(-deeper * farther, "new mark").filled(new_mark));
            }
            if asked.measures_heights() {
                let [old, new] = heights;
                sum.push(signed(deeper, "old head bearing").filled(old));
                sum.push(signed(-deeper, "new head bearing").filled(new));
            }
            sum
        }
        PinionStart::Gauge => {
            let distance = print.bare_given(axle.gears.mounting_distance);
            let distance = asked.stated("gears.mounting_distance", distance);
            // a job file states the pack that comes of it
            let pack = asked.job.and_then(|job| job.bench.known.gauge);
            let shown = pack.map(|pack| axle.gears.mounting_distance + deeper * pack);
            let shown = asked.given(shown);
            let gauged = match deeper > 0.0 {
                true => vec![box_of("gauge").filled(shown), said(format!("− {distance}"))],
                false => vec![said(distance), box_of("− gauge").filled(shown)],
            };
            [
                gauged,
                vec![signed(-deeper * farther, mark).filled(new_mark)],
            ]
            .concat()
        }
        PinionStart::Usual => vec![
            usual(asked, axle.pinion_shim.usual),
            signed(-deeper * farther, mark).filled(new_mark),
        ],
    };
    let first = asked.entry(1).map(|first| first.pinion);
    sum.extend(fitted(asked, Some(axle.pinion_shim.stock.as_str()), first));
    sum
}

/// The total of both sides, from zero end play.
fn total(asked: Bench<'_>) -> Sum {
    let added = asked.setup.shop.bench.side_preload_added;
    let zero = asked.given(asked.entry(1).and_then(|first| first.zero_total));
    vec![
        box_of("total at zero end play").filled(zero),
        said(format!(
            "+ {}",
            asked.stated("bench.side_preload_added", asked.print.bare_given(added))
        )),
        box_of("= total wanted"),
    ]
}

/// The ring-gear side.
fn ring(asked: Bench<'_>) -> Sum {
    let (axle, habits) = (&asked.setup.axle, &asked.setup.shop.bench);
    let print = asked.print;
    let adjusters = asked.setup.has_adjusters();
    // what backs the tightest tooth off to the middle of the window
    let back = axle.windows.backlash.middle() / habits.ring_belief;
    let mut sum = match habits.side_start {
        SideStart::OldPacks if adjusters => vec![box_of("old setting")],
        SideStart::OldPacks => {
            let old = asked.known(|known| known.ring_pack);
            vec![box_of("old pack").filled(old)]
        }
        SideStart::Usual => vec![usual(asked, axle.side_shims.usual[0])],
        SideStart::ZeroLash if adjusters => vec![
            box_of("zero backlash at notch"),
            said(format!(
                "back off {} ({})",
                notches(back, habits.notch),
                print.bare_length(whole(back, habits.notch))
            )),
        ],
        SideStart::ZeroLash => vec![
            box_of("pack at zero backlash"),
            said(format!("− {}", print.bare_length(back))),
        ],
    };
    if habits.side_start == SideStart::OldPacks && asked.measures_heights() {
        let [old, new] = asked.heights(|known| known.ring_height);
        sum.push(box_of("+ old bearing").filled(old));
        sum.push(box_of("− new bearing").filled(new));
    }
    match adjusters {
        true => sum.push(box_of("= set at notch")),
        false => {
            let first = asked.entry(1).map(|first| first.ring);
            sum.extend(fitted(asked, axle.side_shims.stock.as_deref(), first));
        }
    }
    sum
}

/// The far side: what is left of the total, or with adjusters what closes both sides.
fn far(asked: Bench<'_>) -> Sum {
    let (axle, habits) = (&asked.setup.axle, &asked.setup.shop.bench);
    let print = asked.print;
    if asked.setup.has_adjusters() {
        let added = habits.side_preload_added;
        return vec![
            box_of("zero end play at notch"),
            said(format!(
                "in by {} ({})",
                asked.stated("bench.side_preload_added", notches(added, habits.notch)),
                print.bare_length(whole(added, habits.notch))
            )),
            box_of("= set at notch"),
        ];
    }
    let first = asked.entry(1);
    let ring = asked.given(first.map(|first| first.ring));
    let mut sum = vec![box_of("total wanted"), box_of("− ring side").filled(ring)];
    let far = first.map(|first| first.far);
    sum.extend(fitted(asked, axle.side_shims.stock.as_deref(), far));
    sum.push(usual(asked, axle.side_shims.usual[1]));
    sum
}

/// The pack of a solid spacer.
fn spacer(asked: Bench<'_>, usual: f64) -> Sum {
    let axle = &asked.setup.axle;
    let usual = format!("usual {}", asked.print.bare_given(usual));
    let mut sum = match asked.setup.shop.bench.pinion_start {
        PinionStart::Usual => vec![said(usual)],
        _ => {
            let old = asked.known(|known| known.preload_pack);
            vec![box_of(&format!("old pack ({usual})")).filled(old)]
        }
    };
    if asked.setup.shop.bench.pinion_start != PinionStart::Usual {
        if asked.measures_heights() {
            sum.push(box_of("+ growth of bearings"));
        }
        if axle.pinion_shim.seat == PinionSeat::BehindHeadCup {
            sum.push(box_of("+ growth of pinion pack"));
        }
    }
    let mut entries = (1..=asked.entries()).filter_map(|number| asked.entry(number));
    let first = entries.find_map(|of| of.preload.first().copied());
    sum.extend(fitted(asked, axle.pinion_preload.stock(), first));
    sum
}

/// A length in whole notches.
fn notches(length: f64, notch: f64) -> String {
    counted((length / notch).round() as u64, ["notch", "notches"])
}

/// The length that whole notches make of it, mm.
fn whole(length: f64, notch: f64) -> f64 {
    (length / notch).round() * notch
}

/// What the sums mean, and the shims that the shop has.
fn notes(asked: Bench<'_>) -> Vec<String> {
    let (axle, shop) = (&asked.setup.axle, &asked.setup.shop);
    let thicker = match axle.pinion_shim.seat.depth_per_thickness() > 0.0 {
        true => "deeper",
        false => "shallower",
    };
    let apart = match asked.setup.has_adjusters() {
        true => "",
        false => " and keep the sides apart",
    };
    let mut said = vec![format!(
        "Measure each old shim alone{apart}. A thicker pinion pack stands the pinion {thicker}."
    )];
    if asked.uses_marks() {
        let sense = match axle.gears.mark.plus {
            MarkSign::Farther => "longer mounting distance, a shallower pinion",
            MarkSign::Deeper => "shorter mounting distance, a deeper pinion",
        };
        said.push(format!(
            "Marks with their sign, as written: + asks for a {}.",
            asked.stated("gears.mark.plus", sense.to_owned())
        ));
    }
    if shop.bench.pinion_start == PinionStart::Gauge {
        said.push(
            "Gauge: from the ring-gear axis to where the pinion's shoulder stands without a shim."
                .into(),
        );
    }
    if asked.setup.has_adjusters() {
        said.push(format!(
            "One notch moves the ring gear by {}.",
            asked.stated("bench.notch", asked.print.given(shop.bench.notch))
        ));
    }
    let stocks = [
        ("pinion", Some(axle.pinion_shim.stock.as_str())),
        ("sides", axle.side_shims.stock.as_deref()),
        ("spacer", axle.pinion_preload.stock()),
    ];
    let series = stocks.into_iter().filter_map(|(place, stock)| {
        let series = stock.and_then(|name| shop.series(name))?;
        Some(sizes(place, series))
    });
    said.push(series.collect::<Vec<_>>().join(" "));
    said
}

/// The sizes of a series.
fn sizes(place: &str, series: &Series) -> String {
    let unit = if series.unit == 1.0 { "mm" } else { "in" };
    let sizes: Vec<String> = series
        .sizes
        .iter()
        .map(|size| printed(*size, series.unit))
        .collect();
    format!(
        "Shims for the {place}, {}: {} {unit}; at most {} in a pack.",
        series.name,
        sizes.join(" "),
        series.most_in_pack
    )
}
