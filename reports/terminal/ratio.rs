//! The choice of gear set as text.

use std::fmt::Write;

use shimcast_sim::estimate::Estimate;
use shimcast_sim::ratio::{AXLES_AGREE, Between, Gearing, ROLLS, axles_agree};
use shimcast_sim::units::MM_PER_INCH;

use super::{Ink, Table};
use crate::answers::ratio::{Asked, Fit, Wheel};
use crate::figures::{interval, number, sign, signed, signed_interval};

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
    let name = asked.axle.as_deref().unwrap_or("An axle");
    let _ = writeln!(
        text,
        "{}\n",
        ink.heading(&format!("{name}, ratio {}", present(asked)))
    );
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
        let effective = limits(gearing.effective(gearing.ratio));
        table.row([
            "Effective ratio on the new tyres".to_owned(),
            number(&effective, 3),
            interval(&effective, 3),
            format!(
                "as it would feel on the old ones; in now is {:.3}",
                gearing.ratio
            ),
        ]);
    }
    let wanted = limits(gearing.wanted());
    table.row([
        "Ratio wanted".to_owned(),
        number(&wanted, 3),
        range(&wanted, 3),
        if gearing.target == gearing.ratio {
            format!("to feel like {:.3} on the old tyres", gearing.target)
        } else {
            format!("to feel like {:.3}, the target", gearing.target)
        },
    ]);
    if asked.tyres_change() {
        let off = limits(gearing.speedometer(gearing.ratio).times(100.0));
        table.row([
            "Speedometer as it stands".to_owned(),
            format!("{} %", signed(&off, 1)),
            signed_interval(&off, 1),
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
        let rolling = limits(wheel.tyre.rolling);
        table.row([
            name.to_owned(),
            wheel.size.typed.clone(),
            format!(
                "{:.0} mm, {:.1} in",
                wheel.tyre.diameter,
                wheel.tyre.diameter / MM_PER_INCH
            ),
            format!("{:.0} mm", wheel.tyre.free()),
            format!("{} mm", number(&rolling, 0)),
            format!(
                "{} mm{}",
                interval(&rolling, 0),
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
                "  None of the list. The nearest is {}/{} = {:.3}, {} % off; --near shows more.\n",
                fit.pair.teeth.ring,
                fit.pair.teeth.pinion,
                fit.pair.teeth.ratio(),
                signed(&limits(fit.off.times(100.0)), 1)
            ),
            None => "  None of the list has no common factor.\n".to_owned(),
        };
    }
    let tyres = asked.tyres_change();
    let mut table = Table::right(&[0, 1, 2, 4, 7]);
    let mut head = vec![
        "teeth",
        "ratio",
        "feels like",
        "",
        "off target",
        "",
        "hunting",
    ];
    if tyres {
        head.extend(["speedometer", ""]);
    }
    if asked.other_axle.is_some() {
        head.push("other axle");
    }
    head.push("note");
    table.row(head);
    for fit in fits {
        let teeth = fit.pair.teeth;
        let effective = limits(fit.effective);
        let off = limits(fit.off.times(100.0));
        let mut row = vec![
            format!("{}/{}", teeth.ring, teeth.pinion),
            format!("{:.3}", teeth.ratio()),
            number(&effective, 3),
            range(&effective, 3),
            format!("{} %", signed(&off, 1)),
            signed_range(&off, 1),
            if teeth.hunting() {
                "yes".to_owned()
            } else {
                format!("no, repeats each {} turns", teeth.turns_to_repeat())
            },
        ];
        if tyres {
            let speedometer = limits(fit.speedometer.times(100.0));
            row.push(format!("{} %", signed(&speedometer, 1)));
            row.push(signed_range(&speedometer, 1));
        }
        if let Some(apart) = fit.other_axle {
            let agrees = apart.abs() <= AXLES_AGREE + 1e-12;
            row.push(format!(
                "{} %{}",
                sign(100.0 * apart, 1),
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
        .flat_map(|gear| [format!("gear {}", plain(*gear)), String::new()]);
    table.row(std::iter::once(String::new()).chain(gears));
    let mut row = |name: String, speeds: Vec<Between>| {
        let cells = speeds.into_iter().flat_map(|speed| {
            let speed = limits(speed);
            [number(&speed, 0), range(&speed, 0)]
        });
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
    let apart = sign(100.0 * Gearing::apart(ratio, other), 2);
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

/// Limits in the form in which figures are printed.
fn limits(between: Between) -> Estimate {
    Estimate {
        value: between.value,
        low: between.low,
        high: between.high,
        n: 1,
    }
}

/// Limits as text; none where the figure is exact.
fn range(limits: &Estimate, most: usize) -> String {
    if limits.half_width() == 0.0 {
        String::new()
    } else {
        interval(limits, most)
    }
}

fn signed_range(limits: &Estimate, most: usize) -> String {
    if limits.half_width() == 0.0 {
        String::new()
    } else {
        signed_interval(limits, most)
    }
}

/// A figure that was given, as it was given.
fn plain(figure: f64) -> String {
    let rounded = (figure * 1e6).round() / 1e6;
    format!("{rounded}")
}
