//! The packs that the first assembly starts with.

use super::axle::middle;
use super::bench::Job;
use super::dice::round_to;
use super::packs::Fitted;
use super::shop::{PinionStart, SideStart};

impl Job<'_> {
    pub fn first_assembly(&mut self) {
        let wanted = self.starting_pinion_pack();
        self.pinion = Fitted::new(self.stocks.pinion.nearest(wanted), self.dice);
        let wanted = self.starting_ring_pack();
        self.ring = Fitted::new(self.stocks.side.nearest(wanted), self.dice);
        self.find_wanted_total();
        let wanted = self.wanted_total - self.ring.printed;
        self.far = Fitted::new(self.stocks.side.nearest(wanted), self.dice);
        self.minutes += self.dice.triangular(self.shop.minutes.first_assembly);
        self.assemblies = 1;
    }

    fn starting_pinion_pack(&mut self) -> f64 {
        let (axle, parts) = (self.axle, &self.parts);
        let deeper = axle.deeper_by_thicker();
        let sense = if parts.marks_turned { -1.0 } else { 1.0 };
        let mark_old = sense * parts.old_pair.mark;
        let mark_new = sense * parts.pair.mark;
        match self.shop.pinion_start {
            PinionStart::OldPack => {
                let old = parts.old_pinion_pack;
                let sigma = self
                    .stocks
                    .pinion
                    .measuring_sigma(old, self.shop.micrometer);
                let measured = old + self.dice.normal(sigma);
                // A higher new bearing takes the place of shim; the growth is 0 if not measured.
                measured + deeper * (mark_old - mark_new) - deeper * parts.measured_growth.head
            }
            PinionStart::Gauge => {
                let room = parts.head_seat - self.sits.head - axle.mounting_distance;
                let gauge = &self.shop.depth_gauge;
                let reading = round_to(room + self.dice.normal(gauge.sigma), gauge.step);
                deeper * (reading - mark_new)
            }
            PinionStart::Usual => axle.pinion_usual - deeper * mark_new,
        }
    }

    fn starting_ring_pack(&mut self) -> f64 {
        let (axle, shop, parts) = (self.axle, self.shop, &self.parts);
        match shop.side_start {
            SideStart::OldPacks => {
                let old = parts.old_ring_pack;
                let sigma = self.stocks.side.measuring_sigma(old, shop.micrometer);
                old + self.dice.normal(sigma) - parts.measured_growth.ring
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
                pack - back_off + self.dice.normal(shop.end_play)
            }
        }
    }

    /// The technician finds zero end play with the bearings that are on.
    pub fn find_wanted_total(&mut self) {
        let parts = &self.parts;
        let zero =
            parts.ring_seat + parts.far_seat - self.sits.ring - parts.shoulders - self.sits.far;
        self.wanted_total =
            zero + self.dice.normal(self.shop.end_play) + self.shop.side_preload_added;
    }
}
