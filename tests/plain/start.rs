//! The packs that the first assembly starts with.

use super::axle::middle;
use super::bench::Job;
use super::chance::Figure;
use super::dice::round_to;
use super::packs::Fitted;
use super::parts::Heights;
use super::shop::{PinionStart, SideStart};
use super::work::Work;

impl Job<'_> {
    /// What holds for the whole job: how the technician takes the marks, and what sits and is
    /// measured before anything is assembled.
    pub fn look_over(&mut self) {
        let (shop, parts) = (self.shop, self.parts);
        self.marks_turned = self.chance.happens(Figure::MarksTurned, shop.mark_slip);
        if shop.setup_bearings && self.bearings_new {
            let mut off = || self.chance.normal(Figure::SetupBearing, shop.setup_bearing);
            self.sits.head += off();
            self.sits.ring += off();
            self.sits.far += off();
        }
        if shop.measures_heights && self.bearings_new {
            let mut measured =
                |height: f64| height + self.chance.normal(Figure::Height, shop.height);
            let mut growth = |new: f64, old: f64| measured(new) - measured(old);
            self.measured_growth = Heights {
                head: growth(parts.heights.head, parts.old_heights.head),
                tail: growth(parts.heights.tail, parts.old_heights.tail),
                ring: growth(parts.heights.ring, parts.old_heights.ring),
                // Nobody asks for it.
                far: 0.0,
            };
        }
    }

    pub fn first_assembly(&mut self) {
        let wanted = self.starting_pinion_pack();
        self.pinion = Fitted::new(self.stocks.pinion.nearest(wanted), self.chance);
        self.find_wanted_total();
        let wanted = self.starting_ring_pack();
        self.ring = Fitted::new(self.stocks.side.nearest(wanted), self.chance);
        let wanted = self.wanted_total - self.ring.printed;
        self.far = Fitted::new(self.stocks.side.nearest(wanted), self.chance);
        self.goes(Work::FirstAssembly);
        self.assemblies = 1;
    }

    fn starting_pinion_pack(&mut self) -> f64 {
        let (axle, parts) = (self.axle, self.parts);
        let deeper = axle.deeper_by_thicker();
        let sense = if self.marks_turned { -1.0 } else { 1.0 };
        let mark_old = sense * parts.old_pair.mark;
        let mark_new = sense * parts.pair.mark;
        match self.shop.pinion_start {
            PinionStart::OldPack => {
                let old = self.old_packs.pinion;
                let sigma = self
                    .stocks
                    .pinion
                    .measuring_sigma(old, self.shop.micrometer);
                let measured = old + self.chance.normal(Figure::Thickness, sigma);
                // A higher new bearing takes the place of shim; the growth is 0 if not measured.
                measured + deeper * (mark_old - mark_new) - deeper * self.measured_growth.head
            }
            PinionStart::Gauge => {
                let room = parts.head_seat - self.sits.head - axle.mounting_distance;
                let gauge = &self.shop.depth_gauge;
                let reading = room + self.chance.normal(Figure::DepthGauge, gauge.sigma);
                let reading = round_to(reading, gauge.step);
                deeper * (reading - mark_new)
            }
            PinionStart::Usual => axle.pinion_usual - deeper * mark_new,
        }
    }

    fn starting_ring_pack(&mut self) -> f64 {
        let (axle, shop, parts) = (self.axle, self.shop, self.parts);
        match shop.side_start {
            SideStart::OldPacks => {
                let old = self.old_packs.ring;
                let sigma = self.stocks.side.measuring_sigma(old, shop.micrometer);
                old + self.chance.normal(Figure::Thickness, sigma) - self.measured_growth.ring
            }
            SideStart::Usual => axle.side_usual[0],
            SideStart::ZeroLash => {
                // Solve j − V = 0 for the ring's place, then for the pack that puts it there.
                let rates = &axle.geometry;
                let at_rest = middle(axle.windows.backlash)
                    + rates.per_depth * self.depth()
                    + rates.per_offset * parts.offset_error
                    + rates.per_arcminute * parts.shaft_angle;
                let (half_variation, _) = self.runout();
                let move_in = (half_variation - at_rest) / rates.per_ring;
                let place = axle.ring_distance + parts.pair.ring_deviation + move_in;
                let pack = parts.ring_seat - self.sits.ring - parts.shoulder_ring
                    + axle.ring_share * shop.side_preload_added
                    - place;
                let back_off = middle(axle.windows.backlash) / self.ring_belief;
                pack - back_off - self.chance.normal(Figure::EndPlay, shop.end_play)
            }
        }
    }

    /// The technician finds zero end play with the bearings that are on.
    pub fn find_wanted_total(&mut self) {
        let parts = self.parts;
        let zero =
            parts.ring_seat + parts.far_seat - self.sits.ring - parts.shoulders - self.sits.far;
        let found = zero + self.chance.normal(Figure::EndPlay, self.shop.end_play);
        self.wanted_total = found + self.shop.side_preload_added;
    }
}
