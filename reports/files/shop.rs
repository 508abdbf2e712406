//! A shop file as a [`Shop`].

use shimcast_sim::shop::{
    Correction, DepthGauge, Dial, Drawer, Habits, Instruments, Minutes, NutTurn, PatternReading,
    PinionStart, Prices, Shop, SideCheck, SideStart, TorqueReading,
};

use super::axle::INDICATORS;
use super::describe::Takes;
use super::file_units::units;
use super::measure::Quantity;
use super::notes::Notes;
use super::section::{FigureDefault, Limits, Section};
use super::stock;
use super::supply::Supply;
use super::tree::{Node, Value};
use crate::units::Units;

const ANY: Limits = Limits::AtLeast(0.0);
const POSITIVE: Limits = Limits::Above(0.0);

/// The shop of a tree, its units, and where its series are bought. Whatever is wrong is in `notes`.
pub(super) fn read(notes: &Notes, root: &Node, usual: Option<&Node>) -> (Shop, Units, Vec<Supply>) {
    let mut file = Section::file(notes, Units::MODEL, root, usual);
    let name = file.text("name", "give the shop a name, e.g. name = \"Main Street\"");
    file.units = units(&file);
    let currency = file.text(
        "currency",
        "name the currency of the prices, e.g. currency = \"EUR\"",
    );
    notes.currency.replace(currency.clone());
    // in the order of a full file, in which what is assumed is told
    let bench = habits(&file.sub("bench"));
    let instruments = instruments(&file.sub("instruments"));
    let minutes = minutes(&file.sub("minutes"));
    let prices = prices(&file.sub("prices"));
    let (shims, supplies) = stock::series(&file).into_iter().unzip();
    let shop = Shop {
        name,
        currency,
        bench,
        instruments,
        minutes,
        prices,
        shims,
        drawer: drawer(&file.sub("drawer")),
        jobs: stock::jobs(&file),
    };
    file.finish();
    (shop, file.units, supplies)
}

fn habits(s: &Section<'_>) -> Habits {
    let pinion_start = [
        ("old pack", PinionStart::OldPack),
        ("gauge", PinionStart::Gauge),
        ("usual", PinionStart::Usual),
    ];
    let side_start = [
        ("old packs", SideStart::OldPacks),
        ("usual", SideStart::Usual),
        ("zero lash", SideStart::ZeroLash),
    ];
    let correction = [
        ("measured", Correction::Measured),
        ("halving", Correction::Halving),
    ];
    let side_check = [
        ("shim rule", SideCheck::ShimRule),
        ("torque rise", SideCheck::TorqueRise),
    ];
    let habits = Habits {
        pinion_start: s.choice("pinion_start", &pinion_start),
        side_start: s.choice("side_start", &side_start),
        ring_belief: s.number("ring_belief", Quantity::Plain, Limits::Within(0.01, 100.0)),
        learns: s.flag("learns"),
        depth_belief: s.number(
            "depth_belief",
            Quantity::PerLength,
            Limits::Within(0.01, 10_000.0),
        ),
        correction: s.choice("correction", &correction),
        first_move: s.number("first_move", Quantity::Length, POSITIVE),
        smallest_move: s.number("smallest_move", Quantity::Length, ANY),
        side_check: s.choice("side_check", &side_check),
        torque_readings: s.whole_usual("torque_readings", 1, 1000),
        side_preload_added: s.number("side_preload_added", Quantity::Length, ANY),
        backlash_points: s.whole_usual("backlash_points", 1, 200),
        most_assemblies: s.whole_usual("most_assemblies", 1, 1000),
        guard: s.number("guard", Quantity::Plain, Limits::Within(0.0, 0.45)),
        mark_slip: s.number("mark_slip", Quantity::Plain, Limits::SHARE),
        measures_heights: s.choice("bearing_heights", &[("ignored", false), ("measured", true)]),
        sleeve_aim: s.number("sleeve_aim", Quantity::Plain, Limits::SHARE),
        sleeve_step: s.number("sleeve_step", Quantity::Degrees, Limits::AtLeast(1.0)),
        notch: s.number("notch", Quantity::Length, Limits::AtLeast(0.0001)),
        setup_bearings: s.flag("setup_bearings"),
        cone_spoiled: s.number("cone_spoiled", Quantity::Plain, Limits::SHARE),
    };
    s.finish();
    habits
}

/// A group that holds one sigma only.
fn sigma(s: &Section<'_>) -> f64 {
    let sigma = s.number("sigma", Quantity::Length, ANY);
    s.finish();
    sigma
}

fn instruments(s: &Section<'_>) -> Instruments {
    let dial = s.sub("dial");
    let gauge = s.sub("depth_gauge");
    let end_play = sigma(&s.sub("end_play"));
    let height = sigma(&s.sub("height"));
    let torque = s.sub("torque");
    let pattern = s.sub("pattern");
    let instruments = Instruments {
        dial: Dial {
            sigma: dial.number("sigma", Quantity::Length, ANY),
            step: dial.number("step", Quantity::Length, ANY),
            indicator: dial.choice("indicator", &INDICATORS),
        },
        depth_gauge: DepthGauge {
            sigma: gauge.number("sigma", Quantity::Length, ANY),
            step: gauge.number("step", Quantity::Length, ANY),
        },
        end_play,
        height,
        torque: TorqueReading {
            sigma: torque.number("sigma", Quantity::Torque, ANY),
            share: torque.number("share", Quantity::Plain, Limits::SHARE),
            step: torque.number("step", Quantity::Torque, ANY),
        },
        pattern: PatternReading {
            profile: pattern.number("profile", Quantity::Plain, ANY),
            step: pattern.number("step", Quantity::Plain, ANY),
        },
        micrometer: micrometer(s),
        setup_bearing: sigma(&s.sub("setup_bearing")),
        nut: nut(&s.sub("nut")),
    };
    for part in [dial, gauge, torque, pattern] {
        part.finish();
    }
    s.finish();
    instruments
}

fn nut(s: &Section<'_>) -> NutTurn {
    let nut = NutTurn {
        sigma: s.number("sigma", Quantity::Degrees, ANY),
        slip: s.number("slip", Quantity::Plain, Limits::SHARE),
        slip_by: s.number("slip_by", Quantity::Degrees, ANY),
    };
    s.finish();
    nut
}

/// A shop that lists its instruments without a micrometer has none; one that lists nothing has the
/// built-in one.
fn micrometer(s: &Section<'_>) -> Option<f64> {
    s.takes("micrometer", false, || Takes::GroupOr("none"));
    s.takes("micrometer.sigma", false, || {
        Takes::Figure(Quantity::Length, ANY)
    });
    match s.stated("micrometer") {
        Some(node) if node.text() == Some("none") => None,
        Some(node) if !matches!(node.value, Value::Table(_)) => {
            s.wrong(
                node.place,
                format!(
                    "{} should be {{ sigma = … }} or \"none\"; this is {}",
                    s.name("micrometer"),
                    node.kind()
                ),
                Some(
                    "write micrometer = { sigma = 0.003 }, or \"none\" to trust printed sizes"
                        .to_owned(),
                ),
            );
            None
        }
        // a group that only `--set` opened is no list of what the shop has
        None if s.is_given() && !s.notes.is_set(s.place()) => {
            let why = "not listed under [instruments], so the size printed on a shim is trusted";
            s.assume("micrometer", "none", "\"none\"".to_owned(), why);
            None
        }
        _ => Some(sigma(&s.sub("micrometer"))),
    }
}

fn minutes(s: &Section<'_>) -> Minutes {
    let side = s.sub("side_change");
    let pinion = s.sub("pinion_change");
    let minutes = Minutes {
        strip: s.span("strip"),
        first_assembly: s.span("first_assembly"),
        read_backlash: s.span("read_backlash"),
        read_pattern: s.span("read_pattern"),
        side_change: ["outboard", "behind side bearings", "screw adjusters"].map(|k| side.span(k)),
        pinion_change: ["under head bearing", "behind head cup", "cartridge flange"]
            .map(|k| pinion.span(k)),
        setup_bearing_saves: s.number("setup_bearing_saves", Quantity::Minutes, ANY),
        reseat_ring: s.span("reseat_ring"),
        sleeve: s.span("sleeve"),
        sleeve_again: s.span("sleeve_again"),
        spacer_change: s.span("spacer_change"),
        final_assembly: s.span("final_assembly"),
        refit: s.span("refit"),
        job_spread: s.number("job_spread", Quantity::Plain, Limits::SHARE),
    };
    side.finish();
    pinion.finish();
    s.finish();
    minutes
}

fn prices(s: &Section<'_>) -> Prices {
    let hour = s.number("hour", Quantity::Money, ANY);
    let as_charged = FigureDefault::new(hour, "as charged: prices.hour");
    let prices = Prices {
        hour,
        hour_cost: s.number_or("hour_cost", Quantity::Money, ANY, Some(as_charged)),
        sleeve: s.number("sleeve", Quantity::Money, ANY),
        cone: s.number("cone", Quantity::Money, ANY),
        comeback: s.number("comeback", Quantity::Money, ANY),
        comeback_share: s.number("comeback_share", Quantity::Plain, Limits::SHARE),
        given_up: s.number("given_up", Quantity::Money, ANY),
    };
    s.finish();
    prices
}

fn drawer(s: &Section<'_>) -> Drawer {
    let drawer = Drawer {
        order_every_days: s.number("order_every_days", Quantity::Days, POSITIVE),
        lead_time_days: s.number("lead_time_days", Quantity::Days, ANY),
        lead_time_spread: s.number("lead_time_spread", Quantity::Days, ANY),
        // no drawer of finite size never runs out
        job_fill: s.number("job_fill", Quantity::Plain, Limits::Between(0.0, 1.0)),
        near_enough: s.number("near_enough", Quantity::Length, ANY),
        keep_surplus: s.whole_usual("keep_surplus", 0, 1000),
        holding_share: s.number("holding_share", Quantity::Plain, ANY),
        wait_cost: s.number("wait_cost", Quantity::Money, ANY),
        delivery_cost: s.number("delivery_cost", Quantity::Money, ANY),
    };
    s.finish();
    drawer
}
