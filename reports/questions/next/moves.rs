//! Moves in words and rows: which packs, of which shims, and what comes of them.

use shimcast_sim::axle::SideSeat;
use shimcast_sim::bench::PackPlace;
use shimcast_sim::next::{Fitted, Move};

use super::OnTheBench;
use crate::document::{Cell, Column, Known, Table};
use crate::sentences::upper;

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
        let mut all = Vec::new();
        for (place, shims) in built {
            let Some((_, name)) = super::drawer::packs_of(&self.setup, place) else {
                continue;
            };
            let Some(series) = self.setup.shop.series(name) else {
                continue;
            };
            all.extend(shims.into_iter().map(|(size, count)| Shim {
                place,
                series: name.to_owned(),
                size: series.sizes[size],
                count,
            }));
        }
        Ok(all)
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

    /// A pack with its shims, where it has more than one: `0.92 (0.50 + 0.42)`.
    fn pack(&self, mm: f64, shims: &[Shim], place: PackPlace) -> String {
        let pack = self.print().bare_given(mm);
        match self.sum(shims, place) {
            sum if sum.is_empty() || sum == pack => pack,
            sum => format!("{pack} ({sum})"),
        }
    }

    /// What to do: "Fit 0.92 (0.50 + 0.42) at the pinion and 1.97 / 2.13 at the sides".
    pub(super) fn to_do(&self, of: &Move) -> String {
        let shims = self.shims(of).unwrap_or_default();
        let unit = self.print().length_unit();
        let anew = self.anew(of);
        let pack = |wanted: PackPlace| {
            let found = anew.iter().find(|(place, _)| *place == wanted)?;
            Some(self.pack(found.1, &shims, wanted))
        };
        let pinion = pack(PackPlace::Pinion).map(|pack| format!("{pack} at the pinion"));
        let sides = match (pack(PackPlace::RingSide), pack(PackPlace::FarSide)) {
            (None, None) => None,
            (Some(ring), Some(far)) if self.last().is_some() => {
                Some(format!("{ring} / {far} at the sides (ring / far)"))
            }
            (Some(ring), Some(far)) => Some(format!(
                "{ring} on the ring side (about {far} on the far side, by zero end play)"
            )),
            (Some(ring), None) => Some(format!("{ring} on the ring side")),
            (None, Some(far)) => Some(format!("{far} on the far side")),
        };
        let turned = self.turned(of);
        let fit = [pinion, sides].into_iter().flatten().collect::<Vec<_>>();
        let verb = match self.last() {
            Some(_) => "Fit",
            None => "Start with",
        };
        match (fit.is_empty(), turned) {
            (true, None) => "Assemble it again with the packs that it has".to_owned(),
            (true, Some(turned)) => upper(&turned),
            (false, None) => format!("{verb} {} ({unit})", fit.join(" and ")),
            (false, Some(turned)) => format!("{verb} {} ({unit}) and {turned}", fit.join(" and ")),
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
        if let Some(turned) = self.turned(of).or_else(|| {
            self.has_adjusters()
                .then(|| "adjusters as they are".to_owned())
        }) {
            let turned = turned.replace(" adjuster", "").replace("turn the", "the");
            return format!("pinion {pinion}, {turned}{own}");
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
            Column::halves("right in the end"),
            Column::halves("hours to go"),
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
        let places = [PackPlace::Pinion, PackPlace::RingSide, PackPlace::FarSide];
        let sums = places.map(|place| self.sum(&shims, place));
        let sums: Vec<String> = sums.into_iter().filter(|sum| !sum.is_empty()).collect();
        sums.join(" | ")
    }
}
