//! The choice of gear set as text.

use std::fmt::Write;

use shimcast_sim::ratio::{AXLES_AGREE, Between, Gearing, ROLLS, axles_agree};
use shimcast_sim::units::MM_PER_INCH;

use super::{Ink, Table};
use crate::answers::ratio::{Asked, Fit, Wheel};
use crate::figures::{Digits, decimals, plain};

/// Pairs whose engine speed is shown.
const MOST_SETS: usize = 4;

const CAUTION: &str = "\
Nothing here was simulated: limits are what the tyres leave open, all off the wrong way at once.
Whether a gear set fits carrier, housing and bearings is for its maker and the axle's service manual
to say; gear sets are replaced only as matched pairs. Work on axles belongs to people trained for
it. A wrong speedometer is to be put right before the vehicle goes back on the road.
";

/// The answer as text.
pub fn render(asked: &Asked, ink: Ink) -> String {
    let fits = asked.fits();
    let mut text = String::new();
    let what = match &asked.axle {
        Some(name) => format!("{name}, ratio {}", present(asked)),
        None => format!("Axle ratio {}", present(asked)),
    };
    let _ = writeln!(text, "{}\n", ink.heading(&what));
    text.push_str(&headline(asked));
    let mut section = |title: &str, body: String| {
        let _ = write!(text, "\n{}\n{body}", ink.heading(title));
    };
    if let Some(tyres) = &asked.tyres {
        section("Tyres", tyre_table(asked, tyres));
    }
    section(
        &format!(
            "{} within {} % of the target",
            if asked.hunting {
                "Hunting pairs"
            } else {
                "Tooth pairs"
            },
            plain(100.0 * asked.near)
        ),
        pair_table(asked, &fits),
    );
    if let (Some(speed), Some(tyres)) = (&asked.speed, &asked.tyres) {
        section(
            &format!("Engine speed at {}, revolutions a minute", speed.typed),
            engine_table(asked, tyres, &fits),
        );
    }
    section("Both driven axles", axles(asked));
    let _ = write!(text, "\n{CAUTION}");
    text
}

/// The present ratio, with its teeth where they are known.
fn present(asked: &Asked) -> String {
    match asked.teeth {
        Some(teeth) => format!("{}/{} = {:.3}", teeth.ring, teeth.pinion, teeth.ratio()),
        None => format!("{:.3}", asked.gearing.ratio),
    }
}

fn headline(asked: &Asked) -> String {
    let gearing = &asked.gearing;
    let mut table = Table::right(&[1]);
    if asked.tyres_change() {
        let [effective, limits] = shown(gearing.effective(gearing.ratio), 3);
        table.row([
            "Effective ratio on the new tyres".to_owned(),
            effective,
            limits,
            format!(
                "as it would feel on the old ones; in now is {:.3}",
                gearing.ratio
            ),
        ]);
    }
    let [wanted, limits] = shown(gearing.wanted(), 3);
    table.row([
        "Ratio wanted".to_owned(),
        wanted,
        limits,
        if !asked.tyres_change() {
            "the target".to_owned()
        } else if gearing.target == gearing.ratio {
            format!("to feel like {:.3} on the old tyres", gearing.target)
        } else {
            format!("to feel like {:.3}, the target", gearing.target)
        },
    ]);
    if asked.tyres_change() {
        let off = gearing.speedometer(gearing.ratio);
        let [value, limits] = percent(off);
        table.row([
            "Speedometer as it stands".to_owned(),
            value,
            limits,
            if off.value < 0.0 {
                "shows less than the true speed".to_owned()
            } else {
                "shows more than the true speed".to_owned()
            },
        ]);
    }
    table.text()
}

fn tyre_table(asked: &Asked, [old, new]: &[Wheel; 2]) -> String {
    let mut table = Table::right(&[2, 3, 4]);
    table.row(["", "size", "diameter", "free", "rolling", ""]);
    let mut row = |name: &str, wheel: &Wheel| {
        let [rolling, limits] = shown(wheel.tyre.rolling, 0);
        table.row([
            name.to_owned(),
            wheel.size.typed.clone(),
            format!(
                "{:.0} mm, {:.1} in",
                wheel.tyre.diameter,
                wheel.tyre.diameter / MM_PER_INCH
            ),
            format!("{:.0} mm", wheel.tyre.free()),
            format!("{rolling} mm"),
            format!(
                "{limits} mm{}",
                if wheel.measured { ", measured" } else { "" }
            ),
        ]);
    };
    if asked.tyres_change() {
        row("old", old);
        row("new", new);
    } else {
        row("fitted", new);
    }
    let mut text = table.text();
    if let Some(loaded) = asked.loaded() {
        let _ = writeln!(
            text,
            "  By its loaded radius the {} tyre measures {loaded:.0} mm round, {:.1} % of its free \
             circumference.",
            if asked.tyres_change() {
                "new"
            } else {
                "fitted"
            },
            100.0 * loaded / new.tyre.free()
        );
    }
    if !(old.measured && new.measured) {
        let _ = writeln!(
            text,
            "  The rolling circumference lies between the loaded and the free one. Not measured, it \
             is taken\n  as {} to {} of the free one, usual for a radial; one roll of the loaded \
             wheel measures it.",
            ROLLS.0, ROLLS.1
        );
    }
    text
}

fn pair_table(asked: &Asked, fits: &[Fit<'_>]) -> String {
    if fits.is_empty() {
        return match asked.nearest() {
            Some(fit) => format!(
                "  None of the list. The nearest is {}/{} = {:.3}, {} off; --near shows more.\n",
                fit.pair.teeth.ring,
                fit.pair.teeth.pinion,
                fit.pair.teeth.ratio(),
                percent(fit.off)[0]
            ),
            None => "  There is no hunting pair in the list.\n".to_owned(),
        };
    }
    let tyres = asked.tyres_change();
    // without other tyres a pair feels like what it is
    let mut table = Table::right(if tyres { &[0, 1, 2, 4, 6] } else { &[0, 1, 2] });
    let mut head = vec!["teeth", "ratio"];
    if tyres {
        head.extend(["feels like", ""]);
    }
    head.extend(["off target", ""]);
    if tyres {
        head.extend(["speedometer", ""]);
    }
    head.push("hunting");
    if asked.other_axle.is_some() {
        head.push("other axle");
    }
    head.push("note");
    table.row(head);
    for fit in fits {
        let teeth = fit.pair.teeth;
        let mut row = vec![
            format!("{}/{}", teeth.ring, teeth.pinion),
            format!("{:.3}", teeth.ratio()),
        ];
        if tyres {
            row.extend(shown(fit.effective, 3));
        }
        row.extend(percent(fit.off));
        if tyres {
            row.extend(percent(fit.speedometer));
        }
        row.push(if teeth.hunting() {
            "yes".to_owned()
        } else {
            format!("no, repeats every {} turns", teeth.turns_to_repeat())
        });
        if let Some(apart) = fit.other_axle {
            let agrees = apart.abs() <= AXLES_AGREE + 1e-12;
            row.push(format!(
                "{} %{}",
                Digits::decimals(1).signed(100.0 * apart),
                if agrees { "" } else { ", too far" }
            ));
        }
        row.push(fit.pair.note.clone());
        table.row(row);
    }
    let mut text = table.text();
    if tyres {
        text.push_str(
            "  Speedometer: driven from the gearbox, before the axle. One that counts wheel turns \
             stays as far\n  off as it stands, whatever the gear set.\n",
        );
    }
    text
}

fn engine_table(asked: &Asked, [old, new]: &[Wheel; 2], fits: &[Fit<'_>]) -> String {
    let columns: Vec<usize> = (1..=asked.gearbox.len()).map(|gear| 2 * gear - 1).collect();
    let mut table = Table::right(&columns);
    let gears = asked
        .gearbox
        .iter()
        .flat_map(|gear| [format!("gearbox {}", plain(*gear)), String::new()]);
    table.row(std::iter::once(String::new()).chain(gears));
    let mut row = |name: String, speeds: Vec<Between>| {
        let cells = speeds.into_iter().flat_map(|speed| shown(speed, 0));
        table.row(std::iter::once(name).chain(cells));
    };
    let ratio = asked.gearing.ratio;
    let change = asked.tyres_change();
    let now = |tyres: &str| {
        if change {
            format!("{ratio:.3}, {tyres} tyres")
        } else {
            format!("{ratio:.3}, in now")
        }
    };
    if change {
        row(now("old"), asked.engine(ratio, old.tyre.rolling));
    }
    row(now("new"), asked.engine(ratio, new.tyre.rolling));
    for fit in fits.iter().take(MOST_SETS) {
        let teeth = fit.pair.teeth;
        row(
            format!("{:.3}, {}/{}", teeth.ratio(), teeth.ring, teeth.pinion),
            fit.engine.clone(),
        );
    }
    let by = |mm: f64| asked.engine(ratio, Between::exactly(mm));
    row(
        format!("{ratio:.3} by the free circumference"),
        by(new.tyre.free()),
    );
    if let Some(loaded) = asked.loaded() {
        row(format!("{ratio:.3} by the loaded one"), by(loaded));
    }
    let mut text = table.text();
    text.push_str("  No slip in tyre, clutch or converter.\n");
    text
}

fn axles(asked: &Asked) -> String {
    let Some(other) = asked.other_axle else {
        return "  A vehicle with two driven axles needs ratios that agree within 1 %; --other-axle \
                checks that.\n"
            .into();
    };
    let ratio = asked.gearing.ratio;
    let apart = Digits::decimals(1).signed(100.0 * Gearing::apart(ratio, other));
    let said = if axles_agree(ratio, other) {
        "within the 1 % that they may differ"
    } else {
        "WARNING: more than the 1 % that they may differ"
    };
    format!(
        "  In now: {ratio:.3} here, {other:.3} at the other axle, {apart} %: {said}.\n  A gear set \
         that is changed at one driven axle has to be changed at both.\n"
    )
}

/// A figure and its limits, with at most so many decimals; no limits where it is exact.
fn shown(between: Between, most: usize) -> [String; 2] {
    let digits = digits(between, most);
    [
        digits.text(between.value),
        range(between, |figure| digits.text(figure)),
    ]
}

/// The same of a share, in percent and with signs.
fn percent(share: Between) -> [String; 2] {
    let percent = share.times(100.0);
    let digits = Digits::decimals(1);
    [
        format!("{} %", digits.signed(percent.value)),
        range(percent, |figure| digits.signed(figure)),
    ]
}

fn digits(between: Between, most: usize) -> Digits {
    Digits::decimals(decimals(0.5 * (between.high - between.low), most))
}

fn range(between: Between, text: impl Fn(f64) -> String) -> String {
    if between.low == between.high {
        String::new()
    } else {
        format!("{} to {}", text(between.low), text(between.high))
    }
}
