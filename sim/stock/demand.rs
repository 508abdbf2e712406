//! Demand from the bench: the packs that a rebuild wants, in the order of fitting.

use super::tape::{JobStep, JobSteps, Jobs, PLACES};
use crate::bench::minutes::Operation;
use crate::bench::setup::{Preload, Setup, SideStock};
use crate::bench::{Guest, OldPacks, PackPlace, Rebuild, Witness};
use crate::chance::dice::Address;

/// Days in a month.
pub const DAYS_IN_MONTH: f64 = 365.25 / 12.0;

/// The jobs that a shop expects, simulated at the bench.
#[derive(Debug)]
pub struct BenchJobs<'a> {
    lines: Vec<(&'a Setup, [Option<usize>; PLACES])>,
    per_day: Vec<f64>,
    series: Vec<String>,
}

impl<'a> BenchJobs<'a> {
    /// Lines of jobs with their count a month; `series` are the names of the series in the drawer.
    ///
    /// # Panics
    /// If a line fits a series that is not among them.
    pub fn new(lines: &[(&'a Setup, f64)], series: Vec<String>) -> Self {
        let place = |name: &str| {
            let found = series.iter().position(|s| s == name);
            Some(found.expect("every fitted series is on a shelf"))
        };
        let shelves = |setup: &Setup| {
            let mut of = [None; PLACES];
            for (place_on_axle, name) in series_of(setup) {
                of[place_on_axle as usize] = place(name);
            }
            of
        };
        Self {
            lines: lines.iter().map(|(s, _)| (*s, shelves(s))).collect(),
            per_day: lines.iter().map(|(_, m)| m / DAYS_IN_MONTH).collect(),
            series,
        }
    }
}

/// The series that an axle takes, by place.
pub fn series_of(setup: &Setup) -> Vec<(PackPlace, &str)> {
    let axle = &setup.axle;
    let mut all = vec![(PackPlace::Pinion, axle.pinion_shim.stock.as_str())];
    if let (SideStock::Packs(_), Some(stock)) = (&setup.side_stock, &axle.side_shims.stock) {
        all.push((PackPlace::RingSide, stock));
        all.push((PackPlace::FarSide, stock));
    }
    if let crate::axle::PreloadBy::Spacer { stock, .. } = &axle.pinion_preload.by {
        all.push((PackPlace::Spacer, stock));
    }
    all
}

impl BenchJobs<'_> {
    /// The rebuild of a line at an address with a guest, and its steps.
    pub(super) fn rebuilt(
        &self,
        line: usize,
        address: Address,
        guest: &mut impl Guest,
        steps: &mut JobSteps,
    ) -> Rebuild {
        let (setup, shelves) = &self.lines[line];
        let mut recorder = StepRecorder {
            setup,
            shelves,
            steps,
            stands: [false; PLACES],
            change: Vec::new(),
        };
        let parts = setup.parts(address);
        let rebuild = setup.rebuild_with_guest(&parts, address, &mut recorder, guest);
        recorder.close();
        rebuild
    }
}

impl Jobs for BenchJobs<'_> {
    fn per_day(&self) -> &[f64] {
        &self.per_day
    }

    fn series(&self) -> usize {
        self.series.len()
    }

    fn steps(&self, line: usize, address: Address, steps: &mut JobSteps) {
        self.rebuilt(line, address, &mut (), steps);
    }
}

/// Turns events at the bench into steps of a job.
struct StepRecorder<'a> {
    setup: &'a Setup,
    shelves: &'a [Option<usize>; PLACES],
    steps: &'a mut JobSteps,
    stands: [bool; PLACES],
    /// Packs of the current change, which takes out all that it replaces before it fits any.
    change: Vec<(PackPlace, i64)>,
}

impl StepRecorder<'_> {
    fn close(&mut self) {
        let change = std::mem::take(&mut self.change);
        for (place, _) in &change {
            let (place, shelf) = (*place as usize, self.shelves[*place as usize]);
            if let Some(shelf) = shelf.filter(|_| self.stands[place]) {
                self.steps.push((shelf, JobStep::Out(place as u8)));
            }
        }
        for (place, number) in &change {
            let place = *place as usize;
            if let Some(shelf) = self.shelves[place] {
                self.stands[place] = true;
                let pack = *number as u32;
                self.steps.push((shelf, JobStep::Want(place as u8, pack)));
            }
        }
        self.change = change;
        self.change.clear();
    }
}

impl Witness for StepRecorder<'_> {
    fn stripped(&mut self, old: impl FnOnce() -> OldPacks) {
        let old = old();
        let side = match &self.setup.side_stock {
            SideStock::Packs(table) => Some(table),
            SideStock::Notches(_) => None,
        };
        let spacer = match &self.setup.preload {
            Preload::Spacer { packs, .. } => Some(packs),
            Preload::Sleeve { .. } => None,
        };
        for (place, table, thickness) in [
            (
                PackPlace::Pinion,
                Some(&self.setup.pinion_packs),
                Some(old.pinion),
            ),
            (PackPlace::RingSide, side, Some(old.ring)),
            (PackPlace::FarSide, side, Some(old.far)),
            (PackPlace::Spacer, spacer, old.spacer),
        ] {
            let shelf = self.shelves[place as usize];
            if let (Some(shelf), Some(table), Some(thickness)) = (shelf, table, thickness) {
                let pack = table.nearest(thickness) as u32;
                self.steps.push((shelf, JobStep::Old(pack)));
            }
        }
    }

    fn operation(&mut self, _: Operation) {
        self.close();
    }

    fn fitted(&mut self, place: PackPlace, number: i64) {
        // a spacer's packs are changed one by one
        if place == PackPlace::Spacer {
            self.close();
        }
        self.change.push((place, number));
    }
}
