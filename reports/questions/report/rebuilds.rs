//! Single rebuilds as CSV: all parts and outcomes, one row a rebuild, for people who bring their
//! own tools.

use std::io::{self, Write};

use shimcast_sim::bench::job::Ending;
use shimcast_sim::bench::outcome::Inside;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::bench::truth::Assembly;
use shimcast_sim::chance::dice::Address;

use crate::document::in_full as cell;
use crate::parts::{PartColumn, columns};
use crate::spreadsheet::line;

/// The first rebuilds of a run.
#[derive(Debug, Clone, Copy)]
pub struct Rebuilds<'a> {
    /// The job.
    pub setup: &'a Setup,
    /// Seed of the run.
    pub seed: u64,
    /// How many of them.
    pub number: u64,
}

/// Columns of an assembly's truth.
pub const TRUTH: [&str; 9] = [
    "depth_mm",
    "ring_mm",
    "backlash_mm",
    "half_swing_mm",
    "side_closure_mm",
    "drive_length_share",
    "drive_profile_share",
    "coast_length_share",
    "coast_profile_share",
];

/// And of what lies inside its window.
const INSIDE: [&str; 4] = [
    "backlash_inside",
    "pattern_inside",
    "side_closure_inside",
    "depth_inside",
];

/// Columns of what the job came to.
const OUTCOME: [&str; 16] = [
    "finished",
    "compromised",
    "assemblies",
    "pinion_changes",
    "side_changes",
    "reseats",
    "preload_tries",
    "pinion_torque_nm",
    "pinion_torque_inside",
    "pinion_pack_mm",
    "ring_side_pack_mm",
    "far_side_pack_mm",
    "spacer_pack_mm",
    "minutes",
    "clearly_out",
    "cones_pulled",
];

impl Rebuilds<'_> {
    /// Writes a header and a row a rebuild.
    ///
    /// # Errors
    /// Where writing fails.
    pub fn write(&self, out: &mut impl Write) -> io::Result<()> {
        let mut head: Vec<String> = vec!["rebuild".into()];
        let parts = columns();
        head.extend(parts.iter().map(|(name, _)| name.clone()));
        for stage in ["first", "last"] {
            head.extend(
                TRUTH
                    .iter()
                    .chain(&INSIDE)
                    .map(|name| format!("{stage}_{name}")),
            );
        }
        head.extend(OUTCOME.map(str::to_owned));
        out.write_all(line(&head).as_bytes())?;
        for index in 0..self.number {
            out.write_all(line(&self.row(index, &parts)).as_bytes())?;
        }
        Ok(())
    }

    fn row(&self, index: u64, columns: &[PartColumn]) -> Vec<String> {
        let setup = self.setup;
        let address = Address::new(self.seed, index);
        let parts = setup.parts(address);
        let rebuild = setup.rebuild_of_parts(&parts, address, &mut ());
        let ending = Ending::of(setup, &rebuild);
        // numbered as everywhere, from 1
        let mut row = vec![(index + 1).to_string()];
        row.extend(
            columns
                .iter()
                .map(|(_, of)| of(&parts).map_or_else(String::new, cell)),
        );
        row.extend(of_truth(&rebuild.first, ending.first));
        row.extend(of_truth(&rebuild.last, ending.last));
        row.extend([
            rebuild.finished.to_string(),
            rebuild.compromised.to_string(),
        ]);
        let counts = [
            rebuild.assemblies,
            rebuild.pinion_changes,
            rebuild.side_changes,
            rebuild.reseats,
            rebuild.preload_tries,
        ];
        row.extend(counts.map(|count| count.to_string()));
        row.push(rebuild.pinion_torque.map_or_else(String::new, cell));
        row.push(ending.torque.map_or_else(String::new, |so| so.to_string()));
        let packs = rebuild.packs;
        row.extend(packs.map(|pack| pack.map_or_else(String::new, |pack| cell(pack.printed))));
        row.push(cell(setup.minutes(address, &rebuild)));
        row.push(ending.outcome.is_clearly_out().to_string());
        row.push(rebuild.cones_pulled.to_string());
        row
    }
}

/// The cells of [`TRUTH`].
pub fn truth_cells(truth: &Assembly) -> Vec<String> {
    let mut figures = vec![
        truth.depth,
        truth.ring,
        truth.backlash,
        truth.swing,
        truth.closure,
    ];
    figures.extend(truth.pattern);
    figures.into_iter().map(cell).collect()
}

fn of_truth(truth: &Assembly, inside: Inside) -> Vec<String> {
    let mut cells = truth_cells(truth);
    let so = [
        inside.backlash,
        inside.pattern,
        inside.closure,
        inside.depth,
    ];
    cells.extend(so.map(|so| so.to_string()));
    cells
}
