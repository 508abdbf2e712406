//! This axle in the picture of depth and ring position: where it stood, where it stands, and where packs
//! would put it.

use shimcast_sim::next::{Draw, Move, Stood};

use super::OnTheBench;
use crate::document::{Axis, Cell, Chart, Cloud, Column, Dot, Figure, Table};
use crate::questions::odds::figures::{backlash_window, pattern_window};
use crate::sentences::{capital, said_first};

/// Draws that are drawn where packs would put them: enough to show how they lie.
const MOVED: usize = 120;
/// The axes hold this share of all that is shown, and some steps of shim at the least.
const HELD: f64 = 0.99;
const STEPS: f64 = 1.5;

/// What is drawn, mm.
struct Shown<'a> {
    of: &'a OnTheBench,
    /// Packs that would move it, where there are any.
    by: Option<&'a Move>,
    /// Where they would put the draws.
    moved: Vec<[f64; 2]>,
}

pub(super) fn picture(of: &OnTheBench) -> Option<Figure> {
    if of.answer.cloud.is_empty() || of.cannot_be_told() {
        return None;
    }
    let by = of
        .thought_of()
        .or_else(|| of.best())
        .filter(|by| !by.accept);
    // the draws before the first assembly are those of the first move
    let of_start = of
        .answer
        .moves
        .first()
        .map(|best| [best.pinion, best.ring, best.far]);
    let from = of.last().map(|last| [last.pinion, last.ring, last.far]);
    let from = from.or(of_start)?;
    let moved = by.map(|by| {
        let mut thicker = [by.pinion - from[0], by.ring - from[1], by.far - from[2]];
        if of.last().is_none() {
            // the far side is found at the bench, so that the closure stays
            thicker[2] = -thicker[1];
        }
        thicker
    });
    let moved = moved.filter(|by| by.iter().any(|by| by.abs() > 1e-6));
    let shown = Shown {
        of,
        by: by.filter(|_| moved.is_some()),
        moved: moved.map_or_else(Vec::new, |by| {
            let rates = of.answer.pack_rates;
            let draws = of.answer.cloud.iter();
            draws.map(|draw| rates.moved(draw, by)).collect()
        }),
    };
    Some(shown.figure())
}

fn middle(places: &[[f64; 2]]) -> [f64; 2] {
    let n = places.len().max(1) as f64;
    [0, 1].map(|i| places.iter().map(|place| place[i]).sum::<f64>() / n)
}

impl Shown<'_> {
    fn draws(&self) -> &[Draw] {
        &self.of.answer.cloud
    }

    fn path(&self) -> &[Stood] {
        &self.of.answer.path
    }

    fn figure(&self) -> Figure {
        let (of, print) = (self.of, self.of.print());
        let unit = print.units.length.mm();
        let reach = self.reach() / unit;
        let axis = |label: &str| {
            let label = format!("{label}, {}", print.length_unit());
            Axis::new(-reach, reach, label, 7)
        };
        let in_unit = |place: &[f64; 2]| place.map(|mm| mm / unit);
        let path = self
            .path()
            .iter()
            .map(|at| in_unit(&[at.depth[0], at.ring[0]]));
        let chart = Chart::Cloud(Cloud {
            x: axis("pinion depth off its best, + too shallow"),
            y: axis("ring position off its best, + too far out"),
            dots: self
                .draws()
                .iter()
                .map(|draw| Dot {
                    x: draw.depth / unit,
                    y: draw.ring / unit,
                    right: draw.right,
                })
                .collect(),
            window: (backlash_window(&of.setup, unit), "backlash window".into()),
            limits: (
                pattern_window(&of.setup, unit).to_vec(),
                "pattern window".into(),
            ),
            path: (path.collect(), "its assemblies".into()),
            numbered: true,
            moved: (
                self.moved.iter().take(MOVED).map(in_unit).collect(),
                self.by.map_or_else(String::new, |by| self.name_of(by)),
            ),
            arrows: Vec::new(),
        });
        Figure {
            name: "this-axle",
            question: match of.last() {
                Some(_) => "Where does this axle stand?".into(),
                None => "Where would this axle stand?".into(),
            },
            drawn: self.drawn(),
            chart,
            finding: self.finding(),
            reading: self.reading(),
            table: self.table(),
            rows: Some(self.rows()),
        }
    }

    fn name_of(&self, by: &Move) -> String {
        match by.own {
            true => "with your packs".to_owned(),
            false => format!("with {}", self.of.in_short(by)),
        }
    }

    fn drawn(&self) -> String {
        let whose = match self.of.last() {
            Some(_) => "as it may stand now",
            None => "as it may stand with the best starting packs",
        };
        let moved = match self.moved.is_empty() {
            true => "",
            false => " Triangles show where other packs would put it.",
        };
        let path = match self.path().len() {
            0 | 1 => "",
            _ => " A line with numbers joins the assemblies so far.",
        };
        format!(
            "Cloud of {} draws of this axle {whose}: pinion depth across, ring position upwards, zero the \
             pair's own best. The backlash window is a slanted band, the pattern window a parallelogram \
             across it.{path}{moved}",
            self.draws().len()
        )
    }

    fn finding(&self) -> String {
        let (of, print) = (self.of, self.of.print());
        let now = match &of.answer.as_it_stands {
            Some(sits) => format!(
                "{} that it is right in every window as it sits.",
                said_first(&sits.right)
            ),
            None => format!(
                "{} that it ends right with the best starting packs.",
                said_first(&of.answer.moves[0].right)
            ),
        };
        let Some(by) = self.by else {
            return now;
        };
        let places: Vec<[f64; 2]> = self.draws().iter().map(|at| [at.depth, at.ring]).collect();
        let (from, to) = (middle(&places), middle(&self.moved));
        let unit = print.length_unit();
        let [depth, ring] = [0, 1].map(|i| {
            let [from, to] = [from[i], to[i]].map(|mm| print.signed_length(mm));
            match from == to {
                true => format!("stays at {to} {unit}"),
                false => format!("goes from {from} to {to} {unit}"),
            }
        });
        let packs = capital(&of.in_short(by));
        format!(
            "{now} {packs}: the middle of the cloud {depth} in depth and {ring} in ring position."
        )
    }

    fn reading(&self) -> String {
        let number = self.draws().len();
        let mut said = match self.of.last() {
            Some(_) => format!(
                "Each of the {number} points is an axle that fits everything stated, all of them equally \
                 likely."
            ),
            None => format!(
                "Each of the {number} points is an axle that fits everything stated, with the best starting \
                 packs, all of them equally likely."
            ),
        };
        if self.path().len() > 1 {
            said.push_str(
                " The line joins the means of the assemblies, by all that has been read since; the last one \
                 is full.",
            );
        }
        if !self.moved.is_empty() {
            said.push_str(
                " The triangles are the points with the packs changed by their printed sizes; what a fresh \
                 pack is off by is not in them.",
            );
        }
        said.push_str(
            " The windows are drawn for an axle without runout, offset error or angle error; with them \
             some points inside are out, and the other way round.",
        );
        said
    }

    /// How far the axes go either way, mm: nearly all that is shown, and some steps of shim.
    fn reach(&self) -> f64 {
        let draws = self
            .draws()
            .iter()
            .map(|at| at.depth.abs().max(at.ring.abs()));
        let moved = self.moved.iter().map(|[x, y]| x.abs().max(y.abs()));
        let mut far: Vec<f64> = draws.chain(moved).collect();
        far.sort_by(f64::total_cmp);
        let place = ((far.len() as f64 * HELD) as usize).min(far.len().saturating_sub(1));
        let path = self.path().iter();
        let path = path.map(|at| at.depth[0].abs().max(at.ring[0].abs()));
        let most = path.fold(far.get(place).copied().unwrap_or(0.0), f64::max);
        (1.15 * most).max(STEPS * self.of.print().step())
    }

    /// Each assembly, and what the packs would make of the last one.
    fn table(&self) -> Table {
        let (of, print) = (self.of, self.of.print());
        let unit = print.length_unit();
        let mut table = Table::new([
            Column::words("assembly"),
            Column::figures(format!("depth, {unit}")),
            Column::figures("± one sigma"),
            Column::figures(format!("ring position, {unit}")),
            Column::figures("± one sigma"),
        ])
        .caption("Where this axle stood, and where packs would put it");
        let mut row = |name: String, depth: [f64; 2], ring: [f64; 2]| {
            let cells = [
                name,
                print.signed_length(depth[0]),
                print.bare_length(depth[1]),
                print.signed_length(ring[0]),
                print.bare_length(ring[1]),
            ];
            table.row(cells.map(Cell::from));
        };
        for (at, (stood, fitted)) in self.path().iter().zip(&of.job.bench.assemblies).enumerate() {
            let packs = match of.has_adjusters() {
                true => [fitted.ring, fitted.far].map(|mm| print.signed_given(mm)),
                false => [fitted.ring, fitted.far].map(|mm| print.bare_given(mm)),
            };
            let pinion = print.bare_given(fitted.pinion);
            let name = format!("{}: {pinion}, {} / {}", at + 1, packs[0], packs[1]);
            row(name, stood.depth, stood.ring);
        }
        if of.last().is_none() {
            let belief = &of.answer.belief;
            let [depth, ring] = [&belief.depth, &belief.ring].map(|of| [of.mean, of.sd]);
            row("best starting packs".into(), depth, ring);
        }
        if let Some(by) = self.by {
            let of_axis = |i: usize| {
                let mean = middle(&self.moved)[i];
                let squares = self.moved.iter().map(|at| (at[i] - mean).powi(2));
                [
                    mean,
                    (squares.sum::<f64>() / self.moved.len() as f64).sqrt(),
                ]
            };
            row(of.in_short(by), of_axis(0), of_axis(1));
        }
        table
    }

    /// A row a draw, for other tools.
    fn rows(&self) -> Table {
        let names = ["depth_mm", "ring_mm", "side_closure_mm", "right_as_it_sits"];
        let mut columns: Vec<Column> = names.map(Column::data).to_vec();
        if !self.moved.is_empty() {
            columns.extend(["moved_depth_mm", "moved_ring_mm"].map(Column::data));
        }
        let mut table = Table::new(columns);
        for (number, draw) in self.draws().iter().enumerate() {
            let mut row = [draw.depth, draw.ring, draw.closure]
                .map(Cell::data)
                .to_vec();
            row.push(Cell::count(u8::from(draw.right)));
            if let Some(moved) = self.moved.get(number) {
                row.extend(moved.map(Cell::data));
            }
            table.row(row);
        }
        table
    }
}
