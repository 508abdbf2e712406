//! Single rebuilds as CSV: all parts and outcomes, one row a rebuild, for people who bring their
//! own tools.

use std::io::{self, Write};

use shimcast_sim::bench::job::Ending;
use shimcast_sim::bench::outcome::Inside;
use shimcast_sim::bench::parts::Parts;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::bench::truth::Assembly;
use shimcast_sim::chance::dice::Address;

use crate::document::in_full as cell;
use crate::spreadsheet::line;

/// The first so many rebuilds of a run.
#[derive(Debug, Clone, Copy)]
pub struct Rebuilds<'a> {
    /// The job.
    pub setup: &'a Setup,
    /// Seed of the run.
    pub seed: u64,
    /// How many.
    pub number: u64,
}

/// Columns of the parts.
const PARTS: [&str; 35] = [
    "head_seat_mm",
    "ring_seat_mm",
    "far_seat_mm",
    "offset_error_mm",
    "shaft_angle_error_arcmin",
    "shoulders_mm",
    "shoulder_ring_mm",
    "face_runout_x_mm",
    "face_runout_y_mm",
    "tooth_runout_x_mm",
    "tooth_runout_y_mm",
    "head_height_mm",
    "tail_height_mm",
    "ring_side_height_mm",
    "far_side_height_mm",
    "old_head_height_mm",
    "old_tail_height_mm",
    "old_ring_side_height_mm",
    "old_far_side_height_mm",
    "depth_deviation_mm",
    "ring_deviation_mm",
    "mark_mm",
    "old_depth_deviation_mm",
    "old_ring_deviation_mm",
    "old_mark_mm",
    "pinion_friction_nm_per_kn",
    "side_friction_nm_per_kn",
    "seal_drag_nm",
    "old_depth_error_mm",
    "old_backlash_error_mm",
    "scatter_drive_length_share",
    "scatter_drive_profile_share",
    "scatter_coast_length_share",
    "scatter_coast_profile_share",
    "spacer_gap_mm",
];
/// And two more where a solid spacer is fitted; empty with a sleeve, as the gap is.
const SPACER: [&str; 2] = ["spacer_length_mm", "old_closure_error_mm"];

/// Columns of an assembly's truth.
pub(super) const TRUTH: [&str; 9] = [
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
        head.extend(PARTS.iter().chain(&SPACER).map(|name| (*name).to_owned()));
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
            out.write_all(line(&self.row(index)).as_bytes())?;
        }
        Ok(())
    }

    fn row(&self, index: u64) -> Vec<String> {
        let setup = self.setup;
        let address = Address::new(self.seed, index);
        let parts = setup.parts(address);
        let rebuild = setup.rebuild_of_parts(&parts, address, &mut ());
        let ending = Ending::of(setup, &rebuild);
        // numbered as everywhere, from 1
        let mut row = vec![(index + 1).to_string()];
        row.extend(of_parts(&parts));
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

fn of_parts(parts: &Parts) -> Vec<String> {
    let mut figures = vec![
        parts.head_seat,
        parts.ring_seat,
        parts.far_seat,
        parts.offset,
        parts.shaft_angle,
        parts.shoulders,
        parts.shoulder_ring,
    ];
    figures.extend(parts.face_runout);
    figures.extend(parts.tooth_runout);
    for set in [&parts.bearings, &parts.old_bearings] {
        figures.extend([set.head, set.tail, set.ring, set.far]);
    }
    for pair in [&parts.pair, &parts.old_pair] {
        figures.extend([pair.depth, pair.ring, pair.mark]);
    }
    figures.extend([
        parts.pinion_friction,
        parts.side_friction,
        parts.seal_drag,
        parts.old_depth,
        parts.old_backlash,
    ]);
    figures.extend(parts.scatter);
    let mut cells: Vec<String> = figures.into_iter().map(cell).collect();
    let spacer = parts.spacer.map(|s| [s.gap, s.length, s.old_closure]);
    cells.extend(spacer.map_or_else(Default::default, |figures| figures.map(cell)));
    cells
}

/// The cells of [`TRUTH`].
pub(super) fn truth_cells(truth: &Assembly) -> Vec<String> {
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
