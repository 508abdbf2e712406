//! The choice of gear set: what a ratio comes to on other tyres, and which pairs come close.

mod choice;
mod json;
mod tell;

use serde_json::Value;
use shimcast_sim::ratio::{Between, Gearing, Teeth, Tyre, growth};

use super::context::{Failure, failure, refuse_impossible, warn};
use super::plausible::of_teeth;
use super::{Answer, Exit, Form, Reply};
use crate::cli::{Ratio, TyreSize};
use crate::document::Document;
use crate::files::{LoadedAxle, Source, load_axle_alone, load_pairs};
use choice::{GearChoice, Wheel};

/// How well one roll measures a circumference where no spread is given, a share either way.
const ONE_ROLL: f64 = 0.003;
/// What a tyre on the ground may measure of its free circumference without a doubt.
const BELIEVED: std::ops::RangeInclusive<f64> = 0.88..=1.0;

/// `shimcast ratio`.
pub fn ask(args: &Ratio) -> Result<Reply, Failure> {
    let (asked, doubts) = asked(args)?;
    if let Some(warning) = asked.warning() {
        warn(format!("warning: {warning}"));
    }
    Ok(Reply::new(asked, Form::json_or_text(args.json)).with_doubts(doubts))
}

impl Answer for GearChoice {
    fn tell(&self) -> Document {
        tell::tell(self)
    }

    fn json(&self) -> Value {
        json::json(self)
    }

    fn exit(&self) -> Exit {
        Exit::Done
    }
}

/// What was asked, and what looks wrong in the axle file.
fn asked(args: &Ratio) -> Result<(GearChoice, Vec<String>), Failure> {
    let (axle, teeth, ratio, looks_wrong) = match args.ratio {
        Some(typed) => (None, typed.teeth, typed.ratio, Vec::new()),
        None => {
            let loaded = axle(args)?;
            let gears = &loaded.axle.gears;
            let teeth = Teeth {
                ring: gears.ring_teeth,
                pinion: gears.pinion_teeth,
            };
            let looks_wrong = of_teeth(&loaded.axle, loaded.units);
            (
                Some(loaded.axle.name),
                Some(teeth),
                teeth.ratio(),
                looks_wrong,
            )
        }
    };
    let pairs = Source::from(args.pairs.clone());
    let pairs = load_pairs(&pairs).map_err(|problems| failure(&problems))?;
    let tyres = tyres(args);
    for (given, what) in [
        (args.spread.is_some(), "--spread"),
        (args.speed.is_some(), "--speed"),
    ] {
        if given && tyres.is_none() {
            return Err(Failure::BadInput(format!(
                "{what} says nothing without a tyre; add --old-tyre or --new-tyre, e.g. \
                 --old-tyre 235/75R15"
            )));
        }
    }
    doubts(args, tyres.as_ref());
    let growth = match &tyres {
        Some([old, new]) => growth(&old.tyre, &new.tyre),
        None => Between::exactly(1.0),
    };
    let asked = GearChoice {
        axle,
        teeth,
        gearing: Gearing {
            ratio,
            target: args.target.map_or(ratio, |typed| typed.ratio),
            growth,
        },
        tyres,
        loaded_radius: args.loaded_radius,
        pairs,
        near: args.near / 100.0,
        hunting: args.hunting,
        speed: args.speed.clone(),
        gearbox: if args.gearbox.is_empty() {
            vec![1.0]
        } else {
            args.gearbox.clone()
        },
        other_axle: args.other_axle.map(|typed| typed.ratio),
    };
    Ok((asked, looks_wrong))
}

fn axle(args: &Ratio) -> Result<LoadedAxle, Failure> {
    let source = Source::from(args.axle.clone());
    let loaded = load_axle_alone(&source, &args.set).map_err(|problems| failure(&problems))?;
    if !args.anyway {
        refuse_impossible(&loaded.axle, loaded.units, |key, reason| {
            loaded.problem_at(key, reason)
        })
        .map_err(|problems| failure(&problems))?;
    }
    Ok(loaded)
}

/// Both tyres; where only one is given, it is on the vehicle before and after.
fn tyres(args: &Ratio) -> Option<[Wheel; 2]> {
    let old = args
        .old_tyre
        .as_ref()
        .map(|size| wheel(size, args.old_rolls, args.spread));
    let new = args
        .new_tyre
        .as_ref()
        .map(|size| wheel(size, args.new_rolls, args.spread));
    match (old, new) {
        (Some(old), Some(new)) => Some([old, new]),
        (Some(only), None) | (None, Some(only)) => Some([only.clone(), only]),
        (None, None) => None,
    }
}

fn wheel(size: &TyreSize, rolls: Option<f64>, spread: Option<f64>) -> Wheel {
    let spread = spread.map(|percent| percent / 100.0);
    let tyre = Tyre::unmeasured(size.diameter, spread);
    Wheel {
        size: size.clone(),
        tyre: match rolls {
            Some(rolls) => tyre.measured(rolls, spread.unwrap_or(ONE_ROLL)),
            None => tyre,
        },
        measured: rolls.is_some(),
    }
}

/// What was measured and can hardly be.
fn doubts(args: &Ratio, tyres: Option<&[Wheel; 2]>) {
    let Some([old, new]) = tyres else {
        return;
    };
    let loaded = args
        .loaded_radius
        .map(|radius| std::f64::consts::TAU * radius);
    for (what, measured, wheel) in [
        ("--old-rolls", args.old_rolls, old),
        ("--new-rolls", args.new_rolls, new),
        ("--loaded-radius", loaded, new),
    ] {
        let Some(measured) = measured else {
            continue;
        };
        let share = measured / wheel.tyre.free();
        if !BELIEVED.contains(&share) {
            warn(format!(
                "warning: {what}: this makes {:.0} % of the free circumference of {}; {:.0} to \
                 {:.0} % are usual. Wrong unit, or another tyre?",
                100.0 * share,
                wheel.size.typed,
                100.0 * BELIEVED.start(),
                100.0 * BELIEVED.end()
            ));
        }
    }
}
