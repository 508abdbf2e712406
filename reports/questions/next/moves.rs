//! Moves in words and rows: which packs, of which shims, and what comes of them.

use shimcast_sim::axle::SideSeat;
use shimcast_sim::bench::PackPlace;
use shimcast_sim::next::{Fitted, Move};

use super::OnTheBench;
use super::drawer::packs_of;
use crate::document::{Cell, Column, Known, Table};
use crate::sentences::capital;

/// Sums nearer than this, mm, are the same pack.
const SAME: f64 = 1e-4;

/// Shims of one size.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Shim {
    pub(super) place: PackPlace,
    pub(super) series: String,
    /// Thickness as printed, mm.
    pub(super) size: f64,
    pub(super) count: u32,
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < SAME
}

impl OnTheBench {
    /// What stands on the bench.
    pub(super) fn last(&self) -> Option<&Fitted> {
        self.job.bench.assemblies.last()
    }

    pub(super) fn has_adjusters(&self) -> bool {
        self.setup.axle.side_shims.seat == SideSeat::ScrewAdjusters
    }

    /// The packs that a move fits anew.
    pub(super) fn anew(&self, of: &Move) -> Vec<(PackPlace, f64)> {
        let packs = [
            (PackPlace::Pinion, of.pinion),
            (PackPlace::RingSide, of.ring),
            (PackPlace::FarSide, of.far),
        ];
        let packs = packs
            .into_iter()
            .filter(|(place, _)| *place == PackPlace::Pinion || !self.has_adjusters());
        let last = self.last().map(|last| [last.pinion, last.ring, last.far]);
        let changed = packs.zip(0..).filter(|((_, mm), at)| {
            let stands = last.map(|last| last[*at as usize]);
            !of.accept && !stands.is_some_and(|stands| same(stands, *mm))
        });
        changed.map(|(pack, _)| pack).collect()
    }

    /// The shims that a move takes, as they lie in the drawer.
    ///
    /// # Errors
    /// The pack for which the drawer is short.
    pub(super) fn shims(&self, of: &Move) -> Result<Vec<Shim>, (PackPlace, f64)> {
        let Some((drawer, _)) = &self.drawer else {
            let shims = of.shims.iter().map(|shim| Shim {
                place: shim.place,
                series: shim.series.clone(),
                size: shim.size,
                count: shim.count,
            });
            return Ok(shims.collect());
        };
        let built = drawer.build(&self.setup, &self.job.bench, &self.anew(of))?;
        Ok(built
            .iter()
            .flat_map(|(place, shims)| self.of_sizes(*place, shims))
            .collect())
    }

    /// Shims of a place by the sizes of its series.
    fn of_sizes(&self, place: PackPlace, shims: &[(usize, u32)]) -> Vec<Shim> {
        let series =
            packs_of(&self.setup, place).and_then(|(_, name)| self.setup.shop.series(name));
        let Some(series) = series else {
            return Vec::new();
        };
        let shim = |(size, count): &(usize, u32)| Shim {
            place,
            series: series.name.clone(),
            size: series.sizes[*size],
            count: *count,
        };
        shims.iter().map(shim).collect()
    }

    /// The shims of a pack by itself; empty where it can't be built.
    pub(super) fn shims_of(&self, place: PackPlace, mm: f64) -> String {
        let shims = match (&self.drawer, packs_of(&self.setup, place)) {
            (Some((drawer, _)), _) => {
                let built = drawer.build(&self.setup, &self.job.bench, &[(place, mm)]);
                built
                    .ok()
                    .and_then(|mut built| built.pop())
                    .map(|(_, shims)| shims)
            }
            (None, Some((packs, _))) => {
                let pack = &packs.all()[packs.nearest(mm)];
                Some(
                    pack.shims
                        .iter()
                        .map(|size| (usize::from(*size), 1))
                        .collect(),
                )
            }
            (None, None) => None,
        };
        let shims = self.of_sizes(place, &shims.unwrap_or_default());
        self.sum(&shims, place)
    }

    /// A thickness as printed on a shim, in the unit of its series.
    pub(super) fn printed_size(&self, series: &str, mm: f64) -> String {
        let print = self.print();
        let unit = self.setup.shop.series(series).map_or(1.0, |of| of.unit);
        let own = self.job.loaded.axle_units.length;
        if same(unit, own.mm()) {
            return print.bare_given(mm);
        }
        let name = if same(unit, 1.0) { "mm" } else { "in" };
        let figure = (mm / unit * 1e6).round() / 1e6;
        format!("{figure} {name}")
    }

    /// The shims of one place: `0.50 + 0.42`.
    pub(super) fn sum(&self, shims: &[Shim], place: PackPlace) -> String {
        let of_place = shims.iter().filter(|shim| shim.place == place);
        let each = of_place.flat_map(|shim| {
            let size = self.printed_size(&shim.series, shim.size);
            std::iter::repeat_n(size, shim.count as usize)
        });
        each.collect::<Vec<_>>().join(" + ")
    }

    /// What to do: "Fit 0.92 at the pinion (0.50 + 0.42) and 1.97 / 2.13 at the sides".
    pub(super) fn to_do(&self, of: &Move) -> String {
        let shims = self.shims(of).unwrap_or_default();
        let print = self.print();
        let anew = self.anew(of);
        let pack = |wanted: PackPlace| {
            let found = anew.iter().find(|(place, _)| *place == wanted)?;
            Some(print.bare_given(found.1))
        };
        // one shim is its own sum
        let sum = |place: PackPlace, name: &str| {
            let sum = self.sum(&shims, place);
            let several = sum.contains('+').then_some(sum)?;
            Some(format!("{name}{several}"))
        };
        let in_brackets = |sums: Vec<String>| match sums.is_empty() {
            true => String::new(),
            false => format!(" ({})", sums.join(", ")),
        };
        let pinion = pack(PackPlace::Pinion).map(|pack| {
            let sums = sum(PackPlace::Pinion, "").into_iter().collect();
            format!("{pack} at the pinion{}", in_brackets(sums))
        });
        let ring = sum(PackPlace::RingSide, "ring side ");
        let far = sum(PackPlace::FarSide, "far side ");
        let both = in_brackets([ring, far].into_iter().flatten().collect());
        let sides = match (pack(PackPlace::RingSide), pack(PackPlace::FarSide)) {
            (None, None) => None,
            (Some(ring), Some(far)) => Some(format!("{ring} / {far} at the sides{both}")),
            (Some(ring), None) => Some(format!("{ring} on the ring side{both}")),
            (None, Some(far)) => Some(format!("{far} on the far side{both}")),
        };
        let fit: Vec<String> = [pinion, sides].into_iter().flatten().collect();
        let verb = match self.last() {
            Some(_) => "Fit",
            None => "Start with",
        };
        match (fit.is_empty(), self.turned(of)) {
            (true, None) => "Assemble it again with the packs that it has".to_owned(),
            (true, Some(turned)) => capital(&turned),
            (false, None) => format!("{verb} {}", fit.join(" and ")),
            (false, Some(turned)) => format!("{verb} {} and {turned}", fit.join(" and ")),
        }
    }

    /// How screw adjusters are turned.
    fn turned(&self, of: &Move) -> Option<String> {
        let last = self.last().filter(|_| self.has_adjusters() && !of.accept)?;
        let print = self.print();
        let way = |travel: f64, name: &str| {
            let length = print.given(travel.abs());
            let way = if travel > 0.0 { "in" } else { "out" };
            (!same(travel, 0.0)).then(|| format!("the {name} adjuster {way} by {length}"))
        };
        let ways = [
            way(of.ring - last.ring, "ring-side"),
            way(of.far - last.far, "far-side"),
        ];
        let ways: Vec<String> = ways.into_iter().flatten().collect();
        (!ways.is_empty()).then(|| format!("turn {}", ways.join(" and ")))
    }

    /// The same in a few words, for a table.
    pub(super) fn in_short(&self, of: &Move) -> String {
        if of.accept {
            return match self.on_trial() {
                true => "accept these packs".to_owned(),
                false => "leave it as it is".to_owned(),
            };
        }
        let print = self.print();
        let own = if of.own { " (yours)" } else { "" };
        let pinion = print.bare_given(of.pinion);
        if let Some(last) = self.last().filter(|_| self.has_adjusters()) {
            let turns = [of.ring - last.ring, of.far - last.far];
            let [ring, far] = turns.map(|mm| print.signed_given(mm));
            return format!("pinion {pinion}, adjusters {ring} / {far}{own}");
        }
        let [ring, far] = [of.ring, of.far].map(|mm| print.bare_given(mm));
        format!("pinion {pinion}, sides {ring} / {far}{own}")
    }

    /// Whether what stands is on set-up bearings, so that the final assembly is still to come.
    pub(super) fn on_trial(&self) -> bool {
        self.last().is_some_and(|last| last.on_setup_bearings)
    }

    /// Moves, one a row.
    pub(super) fn rows<'a>(&'a self, moves: impl IntoIterator<Item = &'a Move>) -> Table {
        let currency = &self.setup.shop.currency;
        let mut table = Table::new([
            Column::words("what to do"),
            Column::halves("reads inside"),
            Column::halves("ends right"),
            Column::halves("hours"),
            Column::halves(format!("{currency} more")),
            Column::halves("assemblies").may_go(),
            Column::halves("clearly out").may_go(),
            Column::halves(format!("{currency} to go")).may_go(),
            Column::words("shims").may_go(),
        ]);
        let best = self.best();
        for of in moves {
            let inside = of
                .reads_inside
                .as_ref()
                .map_or_else(Cell::none, Cell::share);
            let dearer = match best.is_some_and(|best| std::ptr::eq(best, of)) {
                true => "best".into(),
                false if of.dearer.value.is_nan() => Cell::none(),
                false => Cell::known(Known::Change(of.dearer, 0)),
            };
            table.row([
                self.in_short(of).into(),
                inside,
                Cell::share(&of.right),
                Cell::mean(&of.hours, 1),
                dearer,
                Cell::mean(&of.assemblies, 2),
                Cell::share(&of.clearly_out),
                Cell::mean(&of.cost, 0),
                self.drawn(of).into(),
            ]);
        }
        table
    }

    /// The shims of a move, place by place.
    fn drawn(&self, of: &Move) -> String {
        let shims = match self.shims(of) {
            Ok(shims) => shims,
            Err((place, _)) => return format!("short: {}", super::words::pack(place)),
        };
        let places = [
            (PackPlace::Pinion, "pinion"),
            (PackPlace::RingSide, "ring side"),
            (PackPlace::FarSide, "far side"),
        ];
        let sums = places.map(|(place, name)| (name, self.sum(&shims, place)));
        let sums = sums.iter().filter(|(_, sum)| !sum.is_empty());
        let sums: Vec<String> = sums.map(|(name, sum)| format!("{name} {sum}")).collect();
        sums.join(", ")
    }
}
