//! A shop file: who does the work, with what, and how long it takes.

use super::axle::{SideSeat, is_square};
use super::packs::{Series, ShimTolerance, Stock};
use super::source::{Source, length_unit};
use super::tolerance::number_of;
use std::collections::BTreeMap;
use toml::{Table, Value};

const BUILT_IN: &str = include_str!("../../examples/north-bench.shop.toml");

#[derive(Clone, Copy, PartialEq)]
pub enum PinionStart {
    OldPack,
    Gauge,
    Usual,
}

#[derive(Clone, Copy, PartialEq)]
pub enum SideStart {
    OldPacks,
    Usual,
    ZeroLash,
}

pub struct Instrument {
    pub sigma: f64,
    pub step: f64,
}

pub struct Minutes {
    pub strip: [f64; 3],
    pub first_assembly: [f64; 3],
    pub read_backlash: [f64; 3],
    pub read_pattern: [f64; 3],
    pub outboard: [f64; 3],
    pub behind_side_bearings: [f64; 3],
    pub screw_adjusters: [f64; 3],
    pub under_head_bearing: [f64; 3],
    pub behind_head_cup: [f64; 3],
    pub cartridge_flange: [f64; 3],
    pub setup_bearing_saves: f64,
    pub reseat_ring: [f64; 3],
    pub sleeve: [f64; 3],
    pub sleeve_again: [f64; 3],
    pub spacer_change: [f64; 3],
    pub final_assembly: [f64; 3],
    pub refit: [f64; 3],
    pub job_spread: f64,
}

pub struct Prices {
    /// What an hour costs the shop.
    pub hour_cost: f64,
    pub sleeve: f64,
    pub comeback: f64,
    pub comeback_share: f64,
    pub cone: f64,
    pub given_up: f64,
}

pub struct Shop {
    pub name: String,
    pub pinion_start: PinionStart,
    pub side_start: SideStart,
    pub ring_belief: f64,
    pub learns: bool,
    /// Per mm.
    pub depth_belief: f64,
    pub halving: bool,
    pub first_move: f64,
    pub smallest_move: f64,
    pub reads_torque_rise: bool,
    pub torque_readings: usize,
    pub side_preload_added: f64,
    pub backlash_points: usize,
    pub most_assemblies: usize,
    pub mark_slip: f64,
    pub measures_heights: bool,
    pub sleeve_aim: f64,
    pub sleeve_step: f64,
    pub notch: f64,
    pub setup_bearings: bool,
    /// By how much readings are held inside a window's ends, as a share of its width.
    pub guard: f64,
    /// Chance that a pulled cone can't be used again.
    pub cone_spoiled: f64,
    pub dial: Instrument,
    pub dial_square: bool,
    pub depth_gauge: Instrument,
    pub end_play: f64,
    pub height: f64,
    pub torque: Instrument,
    pub torque_share: f64,
    pub pattern: Instrument,
    pub micrometer: Option<f64>,
    pub setup_bearing: f64,
    pub nut: f64,
    pub slip: f64,
    pub slip_by: f64,
    pub minutes: Minutes,
    pub prices: Prices,
    pub series: BTreeMap<String, Series>,
    pub left_out: Vec<String>,
}

impl Shop {
    pub fn read(text: &str) -> Self {
        let file = Source::new(text, BUILT_IN);
        file.must_give("currency");
        let length_instrument = |name: &str, step: bool| Instrument {
            sigma: file.length(&format!("instruments.{name}.sigma")),
            step: if step {
                file.length(&format!("instruments.{name}.step"))
            } else {
                0.0
            },
        };
        // A list of instruments without a micrometer means that the shop has none.
        let has_micrometer =
            file.given("instruments").is_none() || file.given("instruments.micrometer").is_some();
        let mut shop = Shop {
            name: file.own_text("name"),
            pinion_start: match file.text("bench.pinion_start").as_str() {
                "old pack" => PinionStart::OldPack,
                "gauge" => PinionStart::Gauge,
                "usual" => PinionStart::Usual,
                other => panic!("no such pinion start: {other}"),
            },
            side_start: match file.text("bench.side_start").as_str() {
                "old packs" => SideStart::OldPacks,
                "usual" => SideStart::Usual,
                "zero lash" => SideStart::ZeroLash,
                other => panic!("no such side start: {other}"),
            },
            ring_belief: file.number("bench.ring_belief"),
            learns: file.flag("bench.learns"),
            depth_belief: file.per_length("bench.depth_belief"),
            halving: match file.text("bench.correction").as_str() {
                "measured" => false,
                "halving" => true,
                other => panic!("no such correction: {other}"),
            },
            first_move: file.length("bench.first_move"),
            smallest_move: file.length("bench.smallest_move"),
            reads_torque_rise: match file.text("bench.side_check").as_str() {
                "shim rule" => false,
                "torque rise" => true,
                other => panic!("no such side check: {other}"),
            },
            torque_readings: file.count("bench.torque_readings"),
            side_preload_added: file.length("bench.side_preload_added"),
            backlash_points: file.count("bench.backlash_points"),
            most_assemblies: file.count("bench.most_assemblies"),
            mark_slip: file.number("bench.mark_slip"),
            measures_heights: match file.text("bench.bearing_heights").as_str() {
                "ignored" => false,
                "measured" => true,
                other => panic!("bearing heights are ignored or measured, not {other}"),
            },
            sleeve_aim: file.number("bench.sleeve_aim"),
            sleeve_step: file.number("bench.sleeve_step"),
            notch: file.length("bench.notch"),
            setup_bearings: file.flag("bench.setup_bearings"),
            guard: file.number_or("bench.guard", 0.0),
            cone_spoiled: file.number_or("bench.cone_spoiled", 0.10),
            dial: length_instrument("dial", true),
            dial_square: is_square(&file.text("instruments.dial.indicator")),
            depth_gauge: length_instrument("depth_gauge", true),
            end_play: length_instrument("end_play", false).sigma,
            height: length_instrument("height", false).sigma,
            torque: Instrument {
                sigma: file.torque("instruments.torque.sigma"),
                step: file.torque("instruments.torque.step"),
            },
            torque_share: file.number("instruments.torque.share"),
            pattern: Instrument {
                sigma: file.number("instruments.pattern.profile"),
                step: file.number("instruments.pattern.step"),
            },
            micrometer: has_micrometer.then(|| length_instrument("micrometer", false).sigma),
            setup_bearing: length_instrument("setup_bearing", false).sigma,
            nut: file.number("instruments.nut.sigma"),
            slip: file.number("instruments.nut.slip"),
            slip_by: file.number("instruments.nut.slip_by"),
            minutes: read_minutes(&file),
            prices: read_prices(&file),
            series: read_series(&file),
            left_out: Vec::new(),
        };
        assert!(
            (0.0..=0.45).contains(&shop.guard),
            "bench.guard: from 0 to 0.45"
        );
        shop.left_out = file.left_out.take();
        shop
    }

    pub fn stock(&self, series: &str) -> Stock {
        let found = self.series.get(series);
        let series = found.unwrap_or_else(|| panic!("the shop has no shims of series {series}"));
        Stock::of_series(series, self.micrometer)
    }

    pub fn side_stock(&self, seat: SideSeat, series: Option<&str>) -> Stock {
        match seat {
            SideSeat::ScrewAdjusters => Stock::Notches(self.notch),
            _ => self.stock(series.expect("shims have a series")),
        }
    }
}

fn read_minutes(file: &Source) -> Minutes {
    let time = |name: &str| file.numbers::<3>(&format!("minutes.{name}")).0;
    Minutes {
        strip: time("strip"),
        first_assembly: time("first_assembly"),
        read_backlash: time("read_backlash"),
        read_pattern: time("read_pattern"),
        outboard: time("side_change.outboard"),
        behind_side_bearings: time("side_change.behind side bearings"),
        screw_adjusters: time("side_change.screw adjusters"),
        under_head_bearing: time("pinion_change.under head bearing"),
        behind_head_cup: time("pinion_change.behind head cup"),
        cartridge_flange: time("pinion_change.cartridge flange"),
        setup_bearing_saves: file.number("minutes.setup_bearing_saves"),
        reseat_ring: time("reseat_ring"),
        sleeve: time("sleeve"),
        sleeve_again: time("sleeve_again"),
        spacer_change: time("spacer_change"),
        final_assembly: time("final_assembly"),
        refit: time("refit"),
        job_spread: file.number("minutes.job_spread"),
    }
}

fn read_prices(file: &Source) -> Prices {
    let hour = file.number("prices.hour");
    Prices {
        hour_cost: file.number_or("prices.hour_cost", hour),
        sleeve: file.number("prices.sleeve"),
        comeback: file.number("prices.comeback"),
        comeback_share: file.number("prices.comeback_share"),
        cone: file.number_or("prices.cone", 38.0),
        given_up: file.number_or("prices.given_up", 250.0),
    }
}

fn read_series(file: &Source) -> BTreeMap<String, Series> {
    let (list, mm) = match file.given("shims") {
        Some(list) => (list.clone(), file.mm),
        None => {
            file.note_left_out("shims");
            let built_in: Table = BUILT_IN.parse().expect("the built-in file is valid");
            (built_in["shims"].clone(), 1.0)
        }
    };
    let mut all = BTreeMap::new();
    for entry in list.as_array().expect("shims: a list of series") {
        let entry = entry.as_table().expect("shims: a list of series");
        let name = entry["series"].as_str().expect("series: a name");
        let unit = entry
            .get("length")
            .and_then(Value::as_str)
            .map_or(mm, length_unit);
        let sizes = entry["sizes"].as_array().expect("sizes: a list");
        let tolerance = match &entry["tol"] {
            Value::String(class) => match class.as_str() {
                "normal" => ShimTolerance::Normal,
                "fine" => ShimTolerance::Fine,
                "precision" => ShimTolerance::Precision,
                other => panic!("no such class of strip: {other}"),
            },
            length => ShimTolerance::Length(number_of(length, "tol") * unit),
        };
        let series = Series {
            sizes: sizes.iter().map(|v| number_of(v, "sizes") * unit).collect(),
            tolerance,
            most_in_pack: number_of(&entry["most_in_pack"], "most_in_pack") as usize,
            price: number_of(&entry["price"], "price"),
        };
        all.insert(name.to_string(), series);
    }
    all
}
