//! The choice of gear set in words and tables.

use shimcast_sim::ratio::{AXLES_AGREE, Between, Gearing, ROLLS, axles_agree};
use shimcast_sim::units::MM_PER_INCH;

use super::choice::{Fit, GearChoice, Wheel};
use crate::document::{Block, Cell, Column, Document, Known, Table};
use crate::figures::{Digits, between_percent, plain};

const BOTH_AXLES: &str = "Both driven axles";

/// Pairs whose engine speed is shown.
const MOST_SETS: usize = 4;

const CAUTION: &str = "Nothing here was simulated: limits are what the tyres leave open, all off the \
     wrong way at once. Whether a gear set fits carrier, housing and bearings is for its maker and \
     the axle's service manual to say; gear sets are replaced only as matched pairs. Work on axles \
     belongs to people trained for it. A wrong speedometer is to be put right before the vehicle goes \
     back on the road.";

pub(super) fn tell(asked: &GearChoice) -> Document {
    let fits = asked.fits();
    let mut document = Document::about(match &asked.axle {
        Some(name) => format!("{name}, ratio {}", present(asked)),
        None => format!("Axle ratio {}", present(asked)),
    });
    document.section("", [headline(asked).into()]).first();
    // asked for by name, and worth a warning
    if asked.other_axle.is_some() {
        document.section(BOTH_AXLES, axles(asked)).first();
    }
    if let Some(tyres) = &asked.tyres {
        document.section("Tyres", tyre_table(asked, tyres));
    }
    let pairs = match asked.hunting {
        true => "Hunting pairs",
        false => "Tooth pairs",
    };
    let near = plain(100.0 * asked.near);
    document.section(
        format!("{pairs} within {near} % of the target"),
        pair_table(asked, &fits),
    );
    document.first();
    if let (Some(speed), Some(tyres)) = (&asked.speed, &asked.tyres) {
        document.section(
            format!("Engine speed at {}, revolutions a minute", speed.typed),
            engine_table(asked, tyres, &fits),
        );
    }
    if asked.other_axle.is_none() {
        document.section(BOTH_AXLES, axles(asked));
    }
    document.cautions.push(CAUTION);
    document
}

/// The present ratio, with its teeth where they are known.
fn present(asked: &GearChoice) -> String {
    match asked.teeth {
        Some(teeth) => format!("{}/{} = {:.3}", teeth.ring, teeth.pinion, teeth.ratio()),
        None => format!("{:.3}", asked.gearing.ratio),
    }
}

/// A ratio between limits.
fn ratio(between: Between) -> Cell {
    Cell::known(Known::Between(between, 3, ""))
}

/// A share between limits.
fn share(between: Between) -> Cell {
    Cell::known(Known::BetweenShares(between))
}

fn headline(asked: &GearChoice) -> Table {
    let gearing = &asked.gearing;
    let change = asked.tyres_change();
    let mut table = Table::new([Column::words(""), Column::intervals(""), Column::words("")]);
    let mut row = |name: &str, cell, said: String| {
        table.row([name.into(), cell, said.into()]);
    };
    if change {
        row(
            "Effective ratio on the new tyres",
            ratio(gearing.effective(gearing.ratio)),
            format!(
                "as it would feel on the old ones; in now is {:.3}",
                gearing.ratio
            ),
        );
    }
    row(
        "Ratio wanted",
        ratio(gearing.wanted()),
        if !change {
            "the target".to_owned()
        } else if gearing.target == gearing.ratio {
            format!("to feel like {:.3} on the old tyres", gearing.target)
        } else {
            format!("to feel like {:.3}, the target", gearing.target)
        },
    );
    if change {
        let off = gearing.speedometer(gearing.ratio);
        let than = if off.value < 0.0 { "less" } else { "more" };
        row(
            "Speedometer as it stands",
            share(off),
            format!("shows {than} than the true speed"),
        );
    }
    table
}

fn tyre_table(asked: &GearChoice, [old, new]: &[Wheel; 2]) -> Vec<Block> {
    let mut table = Table::new([
        Column::words(""),
        Column::words("size"),
        Column::figures("diameter"),
        Column::figures("free"),
        Column::intervals("rolling"),
    ]);
    let mut row = |name: &str, wheel: &Wheel| {
        let rolling = Cell::known(Known::Between(wheel.tyre.rolling, 0, "mm"));
        let diameter = wheel.tyre.diameter;
        table.row([
            name.into(),
            wheel.size.typed.clone().into(),
            format!("{diameter:.0} mm, {:.1} in", diameter / MM_PER_INCH).into(),
            format!("{:.0} mm", wheel.tyre.free()).into(),
            if wheel.measured {
                rolling.and("measured")
            } else {
                rolling
            },
        ]);
    };
    let change = asked.tyres_change();
    if change {
        row("old", old);
        row("new", new);
    } else {
        row("fitted", new);
    }
    let mut blocks = vec![table.into()];
    if let Some(loaded) = asked.loaded() {
        blocks.push(Block::Note(format!(
            "By its loaded radius the {} tyre measures {loaded:.0} mm round, {:.1} % of its free \
             circumference.",
            if change { "new" } else { "fitted" },
            100.0 * loaded / new.tyre.free()
        )));
    }
    if !(old.measured && new.measured) {
        blocks.push(Block::Note(format!(
            "The rolling circumference lies between the loaded and the free one. Not measured, it is \
             taken as {} to {} of the free one, usual for a radial; one roll of the loaded wheel \
             measures it.",
            ROLLS.0, ROLLS.1
        )));
    }
    blocks
}

fn pair_table(asked: &GearChoice, fits: &[Fit<'_>]) -> Vec<Block> {
    if fits.is_empty() {
        return vec![Block::Note(match asked.nearest() {
            Some(fit) => format!(
                "None of the list. The nearest is {}/{} = {:.3}, {} off; --near shows more.",
                fit.pair.teeth.ring,
                fit.pair.teeth.pinion,
                fit.pair.teeth.ratio(),
                between_percent(&fit.off)[0]
            ),
            None => "There is no hunting pair in the list.".to_owned(),
        })];
    }
    // without other tyres a pair feels like what it is
    let tyres = asked.tyres_change();
    let mut columns = vec![Column::figures("teeth"), Column::figures("ratio").may_go()];
    if tyres {
        columns.push(Column::intervals("feels like"));
    }
    columns.push(Column::intervals("off target"));
    if tyres {
        columns.push(Column::intervals("speedometer").may_go());
    }
    columns.push(Column::words("hunting").may_go());
    if asked.other_axle.is_some() {
        columns.push(Column::words("other axle"));
    }
    columns.push(Column::words("note"));
    let mut table = Table::new(columns);
    for fit in fits {
        table.row(pair(fit, tyres));
    }
    let mut blocks = vec![table.into()];
    if tyres {
        blocks.push(Block::Note(
            "Speedometer: driven from the gearbox, before the axle. One that counts wheel turns stays \
             as far off as it stands, whatever the gear set."
                .into(),
        ));
    }
    blocks
}

/// The row of a pair.
fn pair(fit: &Fit<'_>, tyres: bool) -> Vec<Cell> {
    let teeth = fit.pair.teeth;
    let mut row: Vec<Cell> = vec![
        format!("{}/{}", teeth.ring, teeth.pinion).into(),
        format!("{:.3}", teeth.ratio()).into(),
    ];
    if tyres {
        row.push(ratio(fit.effective));
    }
    row.push(share(fit.off));
    if tyres {
        row.push(share(fit.speedometer));
    }
    row.push(if teeth.hunting() {
        "yes".into()
    } else {
        format!("no, repeats every {} turns", teeth.turns_to_repeat()).into()
    });
    if let Some(apart) = fit.other_axle {
        let agrees = apart.abs() <= AXLES_AGREE + 1e-12;
        row.push(
            format!(
                "{} %{}",
                Digits::decimals(1).signed(100.0 * apart),
                if agrees { "" } else { ", too far" }
            )
            .into(),
        );
    }
    row.push(fit.pair.note.clone().into());
    row
}

fn engine_table(asked: &GearChoice, [old, new]: &[Wheel; 2], fits: &[Fit<'_>]) -> [Block; 2] {
    let gears = asked.gearbox.iter();
    let gears = gears.map(|gear| Column::intervals(format!("gearbox {}", plain(*gear))));
    let mut table = Table::new(std::iter::once(Column::words("")).chain(gears));
    let mut row = |name: String, speeds: &[Between]| {
        let cells = speeds.iter().map(|speed| Known::Between(*speed, 0, ""));
        table.row(std::iter::once(name.into()).chain(cells.map(Cell::known)));
    };
    let ratio = asked.gearing.ratio;
    if asked.tyres_change() {
        let on_old = asked.engine(ratio, old.tyre.rolling);
        let on_new = asked.engine(ratio, new.tyre.rolling);
        row(format!("{ratio:.3}, old tyres"), &on_old);
        row(format!("{ratio:.3}, new tyres"), &on_new);
    } else {
        let now = asked.engine(ratio, new.tyre.rolling);
        row(format!("{ratio:.3}, in now"), &now);
    }
    for fit in fits.iter().take(MOST_SETS) {
        let teeth = fit.pair.teeth;
        row(
            format!("{:.3}, {}/{}", teeth.ratio(), teeth.ring, teeth.pinion),
            &fit.engine,
        );
    }
    let by = |mm: f64| asked.engine(ratio, Between::exactly(mm));
    row(
        format!("{ratio:.3} by the free circumference"),
        &by(new.tyre.free()),
    );
    if let Some(loaded) = asked.loaded() {
        row(format!("{ratio:.3} by the loaded one"), &by(loaded));
    }
    let no_slip = "No slip in tyre, clutch or converter.";
    [table.into(), Block::Note(no_slip.into())]
}

fn axles(asked: &GearChoice) -> Vec<Block> {
    let Some(other) = asked.other_axle else {
        return vec![Block::Note(
            "A vehicle with two driven axles needs ratios that agree within 1 %; --other-axle checks \
             that."
                .into(),
        )];
    };
    let ratio = asked.gearing.ratio;
    let apart = Digits::decimals(1).signed(100.0 * Gearing::apart(ratio, other));
    let said = if axles_agree(ratio, other) {
        "within the 1 % that they may differ"
    } else {
        "WARNING: more than the 1 % that they may differ"
    };
    vec![
        Block::Note(format!(
            "In now: {ratio:.3} here, {other:.3} at the other axle, {apart} %: {said}."
        )),
        Block::Note(
            "A gear set that is changed at one driven axle has to be changed at both.".into(),
        ),
    ]
}
