//! Forty made-up finished jobs of North Bench, as job files: `cargo run --release --example
//! north_bench_jobs -- FOLDER`.
//!
//! They are simulated by a shop that is not quite as its file says: bearings of several makers differ
//! more, zero end play is found less well, and stripping takes longer. So there is something to find in
//! them; `examples/jobs` holds what this writes.

use std::fmt::Write as _;
use std::path::Path;
use std::{env, fs, io};

use shimcast_sim::axle::Condition;
use shimcast_sim::axle::tolerance::Tolerance;
use shimcast_sim::bench::minutes::Task;
use shimcast_sim::bench::setup::{Flaw, Setup};
use shimcast_sim::chance::dice::Address;
use shimcast_sim::demo;
use shimcast_sim::follow::Rebuild;
use shimcast_sim::learn::{FinishedJob, recorded};

const JOBS: u64 = 40;
const SEED: u64 = 2026;
/// Every so many jobs keep their gears; heights are measured, and zero end play found again, in every so many.
const KEPT: u64 = 8;
const MEASURED: u64 = 2;
const AGAIN: u64 = 3;
/// Minutes of some tasks are written down in every so many; spoiled shims are not counted in every so many.
const TIMED: u64 = 3;
const NOT_COUNTED: u64 = 5;
const TASKS: [(Task, &str); 4] = [
    (Task::Strip, "strip"),
    (Task::FirstAssembly, "first_assembly"),
    (Task::FinalAssembly, "final_assembly"),
    (Task::Refit, "refit"),
];

fn main() -> io::Result<()> {
    let folder = env::args().nth(1);
    let folder = folder.unwrap_or_else(|| "examples/jobs".to_owned());
    fs::create_dir_all(&folder)?;
    write_to(Path::new(&folder))
}

/// Writes all of them into a folder.
///
/// # Errors
/// Where one can't be written.
pub fn write_to(folder: &Path) -> io::Result<()> {
    let shop = |gears| as_it_is(gears).expect("the demo with other spreads");
    let [new, kept] = [shop(Condition::New), shop(Condition::Kept)];
    for number in 1..=JOBS {
        let setup = if number.is_multiple_of(KEPT) {
            &kept
        } else {
            &new
        };
        let address = Address::new(SEED, number - 1);
        let job = recorded(setup, address);
        let rebuild = setup.rebuild(address);
        let text = job_file(number, setup, &job, &rebuild);
        fs::write(folder.join(format!("job-{number:02}.job.toml")), text)?;
    }
    Ok(())
}

/// North Bench as it is, not as its file says.
fn as_it_is(gears: Condition) -> Result<Setup, Vec<Flaw>> {
    let (mut axle, mut shop) = (demo::axle(), demo::shop());
    for bearing in [
        &mut axle.bearings.head,
        &mut axle.bearings.tail,
        &mut axle.bearings.side,
    ] {
        // by several makers: a good third wider than the limits say
        let wider = Tolerance::normal(bearing.height.middle(), 0.036);
        let wider = wider.and_then(|wider| wider.with_lot_share(0.9));
        bearing.height = wider.expect("a spread");
    }
    shop.instruments.end_play = 0.034;
    let strip = &mut shop.minutes.strip;
    (strip.least, strip.usual, strip.most) = (110.0, 165.0, 260.0);
    Setup::new(axle, shop, gears, Condition::New)
}

/// A job as the shop would write it down.
fn job_file(number: u64, setup: &Setup, job: &FinishedJob, rebuild: &Rebuild) -> String {
    let mut text = format!(
        "# A made-up job of North Bench.\naxle     = \"../rowan-215.axle.toml\"\nname     = \"Job {number}\"\n\
         gears    = \"{}\"\nbearings = \"{}\"\n\n[known]\n",
        setup.gears.word(),
        setup.bearings.word()
    );
    let known = &job.bench.known;
    let mut line = |key: &str, value: Option<String>| {
        if let Some(value) = value {
            writeln!(text, "{key} = {value}").expect("into a string");
        }
    };
    let to = |figure: f64| format!("{:.2}", if figure.abs() < 0.005 { 0.0 } else { figure });
    line("mark_old", known.mark_old.map(to));
    line(
        "mark_new",
        known
            .mark_new
            .filter(|_| setup.gears == Condition::New)
            .map(to),
    );
    line("pinion_pack", known.pinion_pack.map(to));
    line("ring_pack", known.ring_pack.map(to));
    line("far_pack", known.far_pack.map(to));
    let heights = |pair: Option<[f64; 2]>| {
        let measured = pair.filter(|_| number.is_multiple_of(MEASURED));
        measured.map(|[old, new]| format!("[ {old:.3}, {new:.3} ]"))
    };
    line("head_height", heights(known.head_height));
    line("ring_height", heights(known.ring_height));
    line("far_height", heights(known.far_height));
    let mut found_on = None;
    for entry in &job.bench.assemblies {
        text.push_str("\n[[assemblies]]\n");
        let mut line =
            |key: &str, value: String| writeln!(text, "{key} = {value}").expect("into a string");
        let list = |all: &[f64], places: usize| {
            let all: Vec<String> = all
                .iter()
                .map(|figure| format!("{figure:.places$}"))
                .collect();
            format!("[ {} ]", all.join(", "))
        };
        let on = if entry.on_setup_bearings {
            "set-up bearings"
        } else {
            "real bearings"
        };
        line("on", format!("\"{on}\""));
        let anew = found_on.replace(entry.on_setup_bearings) != Some(entry.on_setup_bearings);
        if let Some(total) = entry
            .zero_total
            .filter(|_| anew || number.is_multiple_of(AGAIN))
        {
            line("zero_total", to(total));
        }
        line("pinion", to(entry.pinion));
        line("ring", to(entry.ring));
        line("far", to(entry.far));
        if entry.reseated {
            line("reseated", "true".to_owned());
        }
        line("backlash", list(&entry.backlash, 2));
        for (key, profile) in [("drive", entry.drive), ("coast", entry.coast)] {
            if let Some(profile) = profile {
                line(key, to(profile));
            }
        }
        if !entry.torque.is_empty() {
            line("torque", list(&entry.torque, 1));
        }
    }
    text.push_str(&done(number, job, rebuild));
    text
}

/// How it ended.
fn done(number: u64, job: &FinishedJob, rebuild: &Rebuild) -> String {
    let verdict = match (rebuild.finished, rebuild.compromised) {
        (false, _) => "given up",
        (true, true) => "accepted",
        (true, false) => "right",
    };
    let hours = (4.0 * job.hours.unwrap_or_default()).round() / 4.0;
    let mut lines = vec![
        format!("verdict  = \"{verdict}\""),
        format!("hours    = {hours:.2}"),
    ];
    let timed = job.minutes.iter().filter(|_| number.is_multiple_of(TIMED));
    let minutes: Vec<String> = timed
        .filter_map(|(task, minutes)| {
            let (_, key) = TASKS.iter().find(|(of, _)| of == task)?;
            Some(format!("{key} = {:.0}", 5.0 * (minutes / 5.0).round()))
        })
        .collect();
    if !minutes.is_empty() {
        lines.push(format!("minutes  = {{ {} }}", minutes.join(", ")));
    }
    lines.extend(job.tries.map(|tries| format!("sleeves  = {tries}")));
    let counted = job
        .spoiled
        .iter()
        .filter(|_| !number.is_multiple_of(NOT_COUNTED));
    let spoiled: Vec<String> = counted
        .map(|(series, shims)| format!("{series} = {shims}"))
        .collect();
    if !spoiled.is_empty() {
        lines.push(format!("spoiled  = {{ {} }}", spoiled.join(", ")));
    }
    lines.extend(job.comeback.map(|back| {
        let word = if back { "yes" } else { "no" };
        format!("comeback = \"{word}\"")
    }));
    let (year, month) = (2025 + (number - 1) / 24, (number - 1) / 2 % 12 + 1);
    let day = 6 + 14 * ((number - 1) % 2);
    lines.push(format!("date     = {year}-{month:02}-{day:02}"));
    format!("\n[done]\n{}\n", lines.join("\n"))
}
