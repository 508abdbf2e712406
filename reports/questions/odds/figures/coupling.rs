//! Depth against ring position: why a pinion shim and the side shims are one question.

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::follow::{Event, Story, StoryStep};
use shimcast_sim::pictures::RebuildPoint;

use super::{Pictured, the_first};
use crate::document::{Arrow, Axis, Band, Cell, Chart, Cloud, Column, Dot, Figure, Table};
use crate::printed::Printed;
use crate::questions::rebuilds::TRUTH;
use crate::sentences::said_first;

/// Rebuilds that are drawn, one a point; all have a row in the figure's file.
const DRAWN: usize = 400;
/// Cells of the table either way.
const CELLS: usize = 5;

pub(super) fn coupling(of: &Pictured<'_>, story: &Story) -> Figure {
    let print = of.print;
    let unit = of.print.units.length.mm();
    let setup = of.setup;
    let rates = &setup.rates;
    let all = &of.pictures.points;
    let points = &all[..DRAWN.min(all.len())];
    let move_by = 0.5 * print.step();
    let follows = rates.per_depth / rates.per_ring_move;
    let costs = rates.per_depth * move_by;
    let moved = print.given(move_by);
    let reach = reach(points, unit, move_by / unit);
    let outside = points.iter().filter(|p| {
        let at = [p.first.depth / unit, p.first.ring / unit];
        at[0].abs() > reach || at[1].abs() > reach
    });
    let outside = outside.count();
    let finding = format!(
        "{} of first assemblies are right in every window at once. Moving the pinion by {moved} \
         changes backlash by {} too, so the ring gear has to follow by {} for backlash to stay: \
         depth and ring position are one question, not two.",
        said_first(&of.odds.first_assembly.all),
        print.length(costs),
        print.length(follows * move_by),
    );
    let axis = |label: &str, about| {
        let label = format!("{label}, {}", print.length_unit());
        Axis::new(-reach, reach, label, about)
    };
    let chart = Chart::Cloud(Cloud {
        x: axis("pinion depth off its best, + too shallow", 7),
        y: axis("ring position off its best, + too far out", 7),
        dots: points
            .iter()
            .map(|point| Dot {
                x: point.first.depth / unit,
                y: point.first.ring / unit,
                right: point.right_first,
            })
            .collect(),
        window: (backlash_window(setup, unit), "backlash window".into()),
        limits: (
            pattern_window(setup, unit).to_vec(),
            "pattern window".into(),
        ),
        path: (path(story, unit), format!("rebuild {}", story.number)),
        numbered: false,
        moved: (Vec::new(), String::new()),
        arrows: moves(setup, print),
    });
    let mut reading = format!(
        "The points are {}; the line is rebuild {} from its first assembly, the open ring, to its \
         last. The windows are drawn for an axle without \
         runout, offset error or angle error; with them some axles inside are out, and the other \
         way round.",
        the_first(points.len()),
        story.number
    );
    if outside > 0 {
        reading.push_str(&format!(" {outside} of them lie outside the picture."));
    }
    Figure {
        name: "depth-and-ring",
        question: "Why are pinion depth and ring position one question?".into(),
        drawn: format!(
            "Cloud of {} as first bolted up: pinion depth across, ring position upwards, zero the \
             pair's own best. The backlash window is a slanted band, the pattern window a \
             parallelogram across it. A line shows one rebuild on its way. Three arrows show how a pinion shim, the side shims, and both \
             together move an axle.",
            the_first(points.len())
        ),
        chart,
        finding,
        reading,
        table: table(points, unit, reach, print),
        rows: Some(rows(all)),
    }
}

/// Where a rebuild was each time it was bolted up, in units of this many mm.
fn path(story: &Story, unit: f64) -> Vec<[f64; 2]> {
    let bolted = story.steps.iter().filter_map(|step| match step {
        StoryStep::Event(Event::BoltedUp(truth)) => Some([truth.depth / unit, truth.ring / unit]),
        _ => None,
    });
    bolted.collect()
}

/// How shims move an axle: the pinion shim, the side shims, and both so that backlash stays.
fn moves(setup: &Setup, print: Printed) -> Vec<Arrow> {
    let unit = print.units.length.mm();
    let rates = &setup.rates;
    let move_by = 0.5 * print.step();
    let moved = print.given(move_by);
    let thicker = -setup.axle.pinion_shim.seat.depth_per_thickness() * move_by;
    let follows = rates.per_depth / rates.per_ring_move;
    vec![
        Arrow {
            by: [thicker / unit, 0.0],
            letter: 'A',
            text: format!("a pinion shim thicker by {moved}, nothing else"),
        },
        Arrow {
            by: [0.0, -move_by / unit],
            letter: 'B',
            text: if setup.has_adjusters() {
                format!("adjusters turned {moved} toward the pinion")
            } else {
                format!("{moved} of shim moved to the ring-gear side")
            },
        },
        Arrow {
            by: [thicker / unit, -follows * thicker / unit],
            letter: 'C',
            text: "as A, the ring gear following: same backlash".into(),
        },
    ]
}

/// Where backlash lies in its window, in units of this many mm.
pub fn backlash_window(setup: &Setup, unit: f64) -> Band {
    let (window, rates) = (&setup.axle.windows.backlash, &setup.rates);
    Band {
        across: [rates.per_depth * unit, rates.per_ring_move * unit],
        low: window.low - window.middle(),
        high: window.high - window.middle(),
    }
}

/// Where the pattern lies in its window, along the tooth and up it on both flanks.
pub fn pattern_window(setup: &Setup, unit: f64) -> [Band; 4] {
    let (windows, pattern) = (&setup.axle.windows, &setup.axle.gears.pattern);
    [
        (&pattern.drive_length, windows.pattern_length),
        (&pattern.drive_profile, windows.pattern_profile),
        (&pattern.coast_length, windows.pattern_length),
        (&pattern.coast_profile, windows.pattern_profile),
    ]
    .map(|(row, limit)| Band {
        across: [row[0] * unit, row[1] * unit],
        low: -limit,
        high: limit,
    })
}

/// How far the axes go either way: nearly all points, and room for the arrows.
fn reach(points: &[RebuildPoint], unit: f64, move_by: f64) -> f64 {
    let mut far: Vec<f64> = points
        .iter()
        .map(|p| p.first.depth.abs().max(p.first.ring.abs()) / unit)
        .collect();
    far.sort_by(f64::total_cmp);
    let place = (far.len() as f64 * 0.99) as usize;
    let most = far.get(place.min(far.len().saturating_sub(1))).copied();
    (1.1 * most.unwrap_or(0.0)).max(2.5 * move_by)
}

/// The points counted in cells.
fn table(points: &[RebuildPoint], unit: f64, reach: f64, print: Printed) -> Table {
    let width = 2.0 * reach / CELLS as f64;
    let name = |i: usize| {
        let from = -reach + i as f64 * width;
        let ends = [from, from + width].map(|x| print.bare_length(x * unit));
        match i {
            0 => format!("below {}", ends[1]),
            i if i + 1 == CELLS => format!("{} and more", ends[0]),
            _ => format!("{} to {}", ends[0], ends[1]),
        }
    };
    let place = |x: f64| (((x / unit + reach) / width).floor().max(0.0) as usize).min(CELLS - 1);
    let mut counts = [[0_u32; CELLS]; CELLS];
    let mut right = counts;
    for point in points {
        let (x, y) = (place(point.first.depth), place(point.first.ring));
        counts[y][x] += 1;
        right[y][x] += u32::from(point.right_first);
    }
    let unit = print.length_unit();
    let corner = format!("ring position, {unit} \\ depth, {unit}");
    let columns = std::iter::once(corner).chain((0..CELLS).map(name));
    let caption = format!(
        "The points drawn ({}), counted in cells: right in every window / all",
        the_first(points.len())
    );
    let mut table = Table::new(columns.map(Column::figures)).caption(caption);
    for y in (0..CELLS).rev() {
        let mut cells = vec![name(y)];
        cells.extend((0..CELLS).map(|x| format!("{} / {}", right[y][x], counts[y][x])));
        table.row(cells.into_iter().map(Cell::from));
    }
    table
}

/// A row a point, for other tools.
fn rows(points: &[RebuildPoint]) -> Table {
    let mut columns = vec![Column::data("rebuild")];
    columns.extend(TRUTH.iter().map(|truth| Column::data(truth.name())));
    columns.push(Column::data("right_in_every_window"));
    let mut table = Table::new(columns);
    for (i, point) in points.iter().enumerate() {
        let truth = TRUTH
            .iter()
            .map(|truth| Cell::data((truth.of)(&point.first)));
        let mut row = vec![Cell::count(i + 1)];
        row.extend(truth);
        row.push(Cell::count(point.right_first));
        table.row(row);
    }
    table
}
