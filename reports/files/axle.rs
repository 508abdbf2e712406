//! An axle file as an [`Axle`].

use std::cell::RefCell;

use shimcast_sim::axle::tolerance::Tolerance;
use shimcast_sim::axle::{
    AsBuilt, Axle, Bearing, Bearings, Carrier, Housing, Indicator, PinionPreload, PinionSeat,
    PinionShim, PreloadBy, SideSeat, SideShims, Windows,
};

use super::describe::Takes;
use super::file_units::units;
use super::gears;
use super::lists::ListDefault;
use super::loops::{Nominals, Var};
use super::measure::{Quantity, written};
use super::notes::{Assumption, Notes};
use super::section::{FigureDefault, Limits, Section};
use super::spread::Nominal;
use super::stock::no_such_series;
use super::tree::Node;
use super::words::nearest;
use crate::printed::Printed;
use crate::units::Units;

/// How closely the old sides were closed where a file does not say, one sigma, mm.
pub(super) const OLD_SIDES: f64 = 0.03;

/// What an axle file needs to know of the shop.
pub(super) struct ShopFacts<'a> {
    /// Closing past zero end play that the shop aims for, mm.
    pub side_preload_added: f64,
    /// The shop's series; `None` where they could not be read.
    pub series: Option<Vec<&'a str>>,
    /// What the shop file is called.
    pub shop_file: String,
    /// Whether no shop file was named.
    pub no_shop_named: bool,
}

/// How an indicator is held, as files write it.
pub(super) const INDICATORS: [(&str, Indicator); 2] = [
    ("plane of rotation", Indicator::PlaneOfRotation),
    ("square to the tooth", Indicator::SquareToTooth),
];

const PINION_SEATS: [(&str, PinionSeat); 3] = [
    ("under head bearing", PinionSeat::UnderHeadBearing),
    ("behind head cup", PinionSeat::BehindHeadCup),
    ("cartridge flange", PinionSeat::CartridgeFlange),
];

const SIDE_SEATS: [(&str, SideSeat); 3] = [
    ("outboard", SideSeat::Outboard),
    ("behind side bearings", SideSeat::BehindSideBearings),
    ("screw adjusters", SideSeat::ScrewAdjusters),
];

/// Where the pinion shim and the side shims of an axle sit, as files write it.
pub fn seats(axle: &Axle) -> [&'static str; 2] {
    let pinion = PINION_SEATS
        .iter()
        .find(|(_, seat)| *seat == axle.pinion_shim.seat);
    let side = SIDE_SEATS
        .iter()
        .find(|(_, seat)| *seat == axle.side_shims.seat);
    [pinion.map(|(word, _)| *word), side.map(|(word, _)| *word)].map(Option::unwrap_or_default)
}

/// An axle being read: what its parts have in common.
pub(super) struct AxleReader<'a> {
    pub nominals: &'a Nominals,
    /// Nominals that the file leaves out.
    pub left_out: RefCell<Vec<Var>>,
    /// How closely the old sides were closed, where the file says so: for an axle on the bench alone.
    pub old_sides: RefCell<Option<Tolerance>>,
}

/// What is taken where a file does not say how closely the old sides were closed.
pub(super) fn old_sides_assumed(units: Units) -> Assumption {
    let sigma = Quantity::Length.to_file(OLD_SIDES, units);
    let told = Quantity::Length.told_with(sigma, units, units.length.name());
    let key = "as_built.side_closure".to_owned();
    Assumption {
        text: format!("{key} = sigma {told} (usual)"),
        fill: vec![(format!("{key}.sigma"), written(sigma))],
        others: Vec::new(),
        key,
    }
}

/// What a tree says.
pub(super) struct Read {
    pub axle: Axle,
    pub units: Units,
    pub left_out: Vec<Var>,
    pub old_sides: Option<Tolerance>,
}

impl AxleReader<'_> {
    /// A distance or height with its spread.
    fn part(&self, section: &Section<'_>, key: &'static str, var: Var) -> Tolerance {
        let spread =
            section.tolerance(key, Quantity::Length, Limits::Above(0.0), self.instead(var));
        if spread.left_out {
            self.left_out.borrow_mut().push(var);
        }
        spread.tolerance
    }

    fn instead(&self, var: Var) -> Nominal {
        Nominal::LeftOut(FigureDefault::new(
            self.nominals.figure(var),
            self.nominals.why(var),
        ))
    }

    /// A distance without a spread.
    pub(super) fn distance(&self, section: &Section<'_>, key: &'static str, var: Var) -> f64 {
        if section.entry(key).is_none() {
            self.left_out.borrow_mut().push(var);
        }
        let instead = FigureDefault::new(self.nominals.figure(var), self.nominals.why(var));
        section.number_or(key, Quantity::Distance, Limits::Above(0.0), Some(instead))
    }

    fn bearing(&self, section: &Section<'_>, var: Var) -> Bearing {
        let bearing = Bearing {
            height: self.part(section, "height", var),
            deflection: section.number("deflection", Quantity::Deflection, Limits::AtLeast(0.0)),
        };
        section.finish();
        bearing
    }
}

/// A deviation about zero; left out, the built-in one.
pub(super) fn deviation(section: &Section<'_>, key: &'static str, q: Quantity) -> Tolerance {
    section
        .tolerance(key, q, Limits::Any, Nominal::Zero)
        .tolerance
}

/// The axle of a tree, and what the file leaves out. Whatever is wrong is in `notes`.
pub(super) fn read(
    notes: &Notes,
    root: &Node,
    usual: Option<&Node>,
    beside: &ShopFacts<'_>,
    nominals: &Nominals,
) -> Read {
    let mut file = Section::file(notes, Units::MODEL, root, usual);
    let name = file.text("name", "give the axle a name, e.g. name = \"Front axle\"");
    file.units = units(&file);
    let reading = AxleReader {
        nominals,
        left_out: RefCell::default(),
        old_sides: RefCell::default(),
    };
    let gears = gears::read(&file, &reading);
    let housing = housing(&file.sub("housing"), &reading);
    let carrier = carrier(&file.sub("carrier"), &reading);
    let bearings = bearings(&file.sub("bearings"), &reading);
    let pinion_shim = pinion_shim(&file.sub("pinion_shim"), beside);
    let side_shims = side_shims(&file.sub("side_shims"), beside);
    let (pinion_preload, as_built) = pinion_preload(&file, &reading, beside);
    let windows = windows(&file.sub("windows"), beside);
    let mut axle = Axle {
        name,
        gears,
        housing,
        carrier,
        bearings,
        pinion_shim,
        side_shims,
        side_torque_per_force: pinion_preload.1,
        pinion_preload: pinion_preload.0,
        as_built,
        windows,
    };
    let stated = file.sub("side_shims").stated("usual").is_some();
    if axle.side_shims.seat == SideSeat::ScrewAdjusters && !stated {
        stand_adjusters(&mut axle, beside.side_preload_added);
    }
    file.finish();
    Read {
        axle,
        units: file.units,
        left_out: reading.left_out.into_inner(),
        old_sides: reading.old_sides.into_inner(),
    }
}

fn housing(s: &Section<'_>, reading: &AxleReader<'_>) -> Housing {
    let housing = Housing {
        head_seat: reading.part(s, "head_seat", Var::HeadSeat),
        ring_seat: reading.part(s, "ring_seat", Var::RingSeat),
        far_seat: reading.part(s, "far_seat", Var::FarSeat),
        offset: deviation(s, "offset", Quantity::Length),
        shaft_angle: deviation(s, "shaft_angle", Quantity::ArcMinutes),
        stiffness: s.number("stiffness", Quantity::Stiffness, Limits::Above(0.0)),
        ring_share: s.number("ring_share", Quantity::Plain, Limits::SHARE),
    };
    s.finish();
    housing
}

fn carrier(s: &Section<'_>, reading: &AxleReader<'_>) -> Carrier {
    let carrier = Carrier {
        shoulders: reading.part(s, "shoulders", Var::Shoulders),
        shoulder_ring: reading.part(s, "shoulder_ring", Var::ShoulderRing),
        face_runout: s
            .tolerance(
                "face_runout",
                Quantity::Length,
                Limits::AtLeast(0.0),
                Nominal::Zero,
            )
            .tolerance,
    };
    s.finish();
    carrier
}

fn bearings(s: &Section<'_>, reading: &AxleReader<'_>) -> Bearings {
    let bearings = Bearings {
        used_friction: s.number("used_friction", Quantity::Plain, Limits::Above(0.0)),
        head: reading.bearing(&s.sub("head"), Var::HeadHeight),
        tail: reading.bearing(&s.sub("tail"), Var::TailHeight),
        side: reading.bearing(&s.sub("side"), Var::SideHeight),
    };
    s.finish();
    bearings
}

/// The name of a shim series that the shop must have.
fn stock(s: &Section<'_>, beside: &ShopFacts<'_>) -> String {
    let name = s.text(
        "stock",
        "name the shim series that fits, as the shop file calls it",
    );
    if let (Some(series), Some(node)) = (&beside.series, s.stated("stock"))
        && !name.is_empty()
        && !series.contains(&name.as_str())
    {
        s.wrong(
            node.place,
            format!("{} has no shim series `{name}`", beside.shop_file),
            match nearest(&name, series.iter().copied()) {
                // the series of another shop, whose file was not named
                None if beside.no_shop_named => Some(format!(
                    "name the shop that has `{name}` with --shop FILE; the built-in shop, which is \
                     used without it, has {}",
                    listed(series)
                )),
                _ => no_such_series(&name, series),
            },
        );
    }
    name
}

fn listed(series: &[&str]) -> String {
    let quoted: Vec<String> = series.iter().map(|name| format!("`{name}`")).collect();
    quoted.join(", ")
}

fn pinion_shim(s: &Section<'_>, beside: &ShopFacts<'_>) -> PinionShim {
    let shim = PinionShim {
        seat: s.choice_or("seat", &PINION_SEATS, None),
        stock: stock(s, beside),
        usual: s.required_number("usual", Quantity::Length, Limits::Above(0.0)),
    };
    s.finish();
    shim
}

fn side_shims(s: &Section<'_>, beside: &ShopFacts<'_>) -> SideShims {
    let seat = s.choice_or("seat", &SIDE_SEATS, None);
    let screws = seat == SideSeat::ScrewAdjusters;
    let stock = if screws {
        s.ignore(&["stock"], "screw adjusters need no shims");
        None
    } else {
        Some(stock(s, beside))
    };
    let limits = if screws {
        Limits::AtLeast(0.0)
    } else {
        Limits::Above(0.0)
    };
    let what = "the usual thickness on the ring-gear side and on the far side";
    s.takes("usual", !screws, || {
        Takes::Row(vec![Quantity::Length; 2], limits, what.to_owned())
    });
    let usual = match screws && s.stated("usual").is_none() {
        true => [0.0; 2],
        false => s.required_pair("usual", Quantity::Length, limits, what),
    };
    s.finish();
    SideShims { seat, stock, usual }
}

/// Adjusters are counted from anywhere: where a file does not say how far they stand in, they stand
/// where everything at its middle is right.
fn stand_adjusters(axle: &mut Axle, side_preload_added: f64) {
    let open = axle.openings(side_preload_added);
    let [ring, far] = &mut axle.side_shims.usual;
    *ring += open.ring;
    *far -= open.ring + open.side_closure;
}

type Preloads = (PinionPreload, Tolerance);

/// Both preloads, and what is as built: that is where a spacer's setting is stated.
fn pinion_preload(
    file: &Section<'_>,
    reading: &AxleReader<'_>,
    beside: &ShopFacts<'_>,
) -> (Preloads, AsBuilt) {
    let s = file.sub("pinion_preload");
    let spacer = s.choice_or("by", &[("sleeve", false), ("spacer", true)], None);
    let mut by = if spacer {
        s.ignore(
            &["thread_pitch"],
            "a solid spacer is not crushed by the nut",
        );
        let part = |key, var, tol| {
            let spread = s.tolerance_with(
                key,
                Quantity::Length,
                Limits::Above(0.0),
                reading.instead(var),
                ("tol", tol),
            );
            if spread.left_out {
                reading.left_out.borrow_mut().push(var);
            }
            spread.tolerance
        };
        PreloadBy::Spacer {
            stock: stock(&s, beside),
            usual: s.required_number("usual", Quantity::Length, Limits::Above(0.0)),
            gap: part("gap", Var::Gap, 0.05),
            spacer: part("spacer", Var::Spacer, 0.025),
            as_built: Tolerance::exact(0.0),
        }
    } else {
        s.ignore(
            &["stock", "usual", "gap", "spacer"],
            "a sleeve has no shims",
        );
        PreloadBy::Sleeve {
            thread_pitch: s.number("thread_pitch", Quantity::Length, Limits::AtLeast(0.001)),
        }
    };
    let path_stiffness = s.number("path_stiffness", Quantity::Stiffness, Limits::AtLeast(0.01));
    let per_force = |s: &Section<'_>| {
        s.tolerance(
            "torque_per_force",
            Quantity::TorquePerForce,
            Limits::Above(0.0),
            Nominal::BuiltIn,
        )
        .tolerance
    };
    let torque_per_force = per_force(&s);
    let seal_drag = s
        .tolerance(
            "seal_drag",
            Quantity::Torque,
            Limits::AtLeast(0.0),
            Nominal::BuiltIn,
        )
        .tolerance;
    s.finish();
    let side = file.sub("side_preload");
    let side_torque_per_force = per_force(&side);
    side.finish();
    let built = file.sub("as_built");
    let as_built = AsBuilt {
        depth: deviation(&built, "depth", Quantity::Length),
        backlash: deviation(&built, "backlash", Quantity::Length),
    };
    if built.entry("side_closure").is_none() {
        built.describe_tolerance("side_closure", Quantity::Length, Limits::Any);
    } else {
        let spread = ("sigma", OLD_SIDES);
        let about = Nominal::Zero;
        let sides =
            built.tolerance_with("side_closure", Quantity::Length, Limits::Any, about, spread);
        reading.old_sides.replace(Some(sides.tolerance));
    }
    match &mut by {
        PreloadBy::Spacer { as_built, .. } => {
            *as_built = built
                .tolerance_with(
                    "closure",
                    Quantity::Length,
                    Limits::Any,
                    Nominal::Zero,
                    ("sigma", 0.015),
                )
                .tolerance;
        }
        PreloadBy::Sleeve { .. } => built.ignore(&["closure"], "it belongs to a solid spacer"),
    }
    built.finish();
    let preload = PinionPreload {
        by,
        path_stiffness,
        torque_per_force,
        seal_drag,
    };
    ((preload, side_torque_per_force), as_built)
}

fn windows(s: &Section<'_>, beside: &ShopFacts<'_>) -> Windows {
    let positive = Limits::Above(0.0);
    let backlash = s.window("backlash", Quantity::Length, Limits::AtLeast(0.0), None);
    let indicator = s.choice("indicator", &INDICATORS);
    let backlash_variation = s.number("backlash_variation", Quantity::Length, positive);
    let depth = s.number("depth", Quantity::Length, positive);
    let pattern = s.sub("pattern");
    let pattern_length = pattern.number("length", Quantity::Plain, positive);
    let pattern_profile = pattern.number("profile", Quantity::Plain, positive);
    pattern.finish();
    let pinion_torque = s.window(
        "pinion_torque",
        Quantity::Torque,
        Limits::AtLeast(0.0),
        None,
    );
    let half = [0.5 * pinion_torque.low, 0.5 * pinion_torque.high];
    let pinion_torque_used = s.window(
        "pinion_torque_used",
        Quantity::Torque,
        Limits::AtLeast(0.0),
        Some(ListDefault::new(half, "half of pinion_torque")),
    );
    let added = beside.side_preload_added;
    let side_closure = s.window(
        "side_closure",
        Quantity::Length,
        Limits::Any,
        Some(ListDefault::new(
            [added - 0.06, added + 0.06],
            format!(
                "the shop's side_preload_added ± {}",
                Printed::plainly(s.units).length(0.06)
            ),
        )),
    );
    s.finish();
    Windows {
        backlash,
        indicator,
        backlash_variation,
        depth,
        pattern_length,
        pattern_profile,
        pinion_torque,
        pinion_torque_used,
        side_closure,
    }
}
