//! What of a job is held against its axle and its shop.

use shimcast_sim::axle::packs::PackTable;
use shimcast_sim::axle::{PreloadBy, SideSeat};
use shimcast_sim::bench::setup::{Preload, Setup, SideStock};
use shimcast_sim::next::BenchJob;

use super::told;
use crate::files::Loaded;
use crate::files::measure::Quantity;
use crate::files::section::Section;
use crate::printed::Printed;
use crate::sentences::listed;

/// A reading further than this from a multiple of its step, mm, N·m or share, is none of it.
const OFF: f64 = 1e-6;
/// A pack nearer than this to one that can be built is that one, mm.
const SAME_PACK: f64 = 1e-4;

/// A step of readings: how large, of what, and its name.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    size: f64,
    of: Quantity,
    name: &'static str,
}

/// What of axle and shop the reading of a job depends on; nothing is known of them where they could
/// not be read.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rows {
    pub adjusters: bool,
    pub sleeve: bool,
    pub spacer: bool,
    pub setup_bearings: bool,
    pub mark: Option<Step>,
    pub dial: Option<Step>,
    pub gauge: Option<Step>,
    pub pattern: Option<Step>,
    pub torque: Option<Step>,
}

impl Rows {
    pub(super) fn new(loaded: Option<&Loaded>) -> Self {
        let step = |size: fn(&Loaded) -> f64, of, name| {
            let size = loaded.map(size).filter(|size| *size > 0.0)?;
            Some(Step { size, of, name })
        };
        let axle = loaded.map(|loaded| &loaded.axle);
        let is_sleeve = axle.map(|axle| matches!(axle.pinion_preload.by, PreloadBy::Sleeve { .. }));
        Self {
            adjusters: axle.is_some_and(|axle| axle.side_shims.seat == SideSeat::ScrewAdjusters),
            sleeve: is_sleeve == Some(true),
            spacer: is_sleeve == Some(false),
            setup_bearings: loaded.is_some_and(|loaded| loaded.shop.bench.setup_bearings),
            mark: step(
                |l| l.axle.gears.mark.step,
                Quantity::Length,
                "the marks' step",
            ),
            dial: step(
                |l| l.shop.instruments.dial.step,
                Quantity::Length,
                "the dial's step",
            ),
            gauge: step(
                |l| l.shop.instruments.depth_gauge.step,
                Quantity::Length,
                "the depth gauge's step",
            ),
            pattern: step(
                |l| l.shop.instruments.pattern.step,
                Quantity::Plain,
                "the step in which patterns are read",
            ),
            torque: step(
                |l| l.shop.instruments.torque.step,
                Quantity::Torque,
                "the torque wrench's step",
            ),
        }
    }

    /// A remark where readings are no multiples of their step.
    pub(super) fn off_step(
        &self,
        s: &Section<'_>,
        key: &'static str,
        figures: &[f64],
        step: Option<Step>,
    ) {
        let (Some(step), Some(node)) = (step, s.stated(key)) else {
            return;
        };
        let off = |figure: &&f64| {
            let steps = *figure / step.size;
            ((steps.round() - steps) * step.size).abs() > OFF
        };
        let off: Vec<String> = figures
            .iter()
            .filter(off)
            .map(|figure| told(s, step.of, *figure))
            .collect();
        if off.is_empty() {
            return;
        }
        let is = if off.len() == 1 {
            "is no multiple"
        } else {
            "are no multiples"
        };
        let size = told(s, step.of, step.size);
        s.notes.warn(
            node.place,
            format!(
                "{}: {} {is} of {}, {size}",
                s.name(key),
                listed(&off),
                step.name
            ),
            Some("check the figure; it is taken as it stands".to_owned()),
        );
    }
}

/// Packs as stated that nothing in stock can build: the key, what is said, and what is done about it.
pub(super) fn packs(
    job: &BenchJob,
    setup: &Setup,
    print: Printed,
) -> Vec<(String, String, String)> {
    let side = match &setup.side_stock {
        SideStock::Packs(table) => Some((table, setup.axle.side_shims.stock.as_deref())),
        SideStock::Notches(_) => None,
    };
    let pinion = Some((
        &setup.pinion_packs,
        Some(setup.axle.pinion_shim.stock.as_str()),
    ));
    let preload = match &setup.preload {
        Preload::Spacer { packs, .. } => Some((packs, setup.axle.pinion_preload.stock())),
        Preload::Sleeve { .. } => None,
    };
    let mut odd = Vec::new();
    let mut hold = |key: String, mm: f64, stock: Option<(&PackTable, Option<&str>)>| {
        let Some((table, Some(name))) = stock else {
            return;
        };
        let near = table.all()[table.nearest(mm)].printed;
        if (near - mm).abs() > SAME_PACK {
            let reason = format!("{key}: {name} can't build {}", print.given(mm));
            let help = format!(
                "check the figure; it is taken as it stands, with the shims of the nearest pack, {}",
                print.given(near)
            );
            odd.push((key, reason, help));
        }
    };
    for (i, entry) in job.assemblies.iter().enumerate() {
        let key = |key: &str| format!("assemblies.{}.{key}", i + 1);
        hold(key("pinion"), entry.pinion, pinion);
        hold(key("ring"), entry.ring, side);
        hold(key("far"), entry.far, side);
        for pack in &entry.preload {
            hold(key("preload"), *pack, preload);
        }
    }
    odd
}
