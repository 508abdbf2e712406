//! Pinion preload: a collapsible sleeve tightened by feel, or a solid spacer with shims.

use super::axle::{PinionPreload, PinionSeat, Spacer, middle};
use super::bench::{Job, guarded};
use super::chance::{Figure, TorqueOf};
use super::dice::round_to;
use super::packs::Fitted;
use super::shop::PinionStart;
use super::work::Work;

const NEAR: f64 = 1e-9;
const MOST_SLEEVES: usize = 6;
const MOST_GOES: usize = 8;

/// A spacer's pack that read out of the window, and by how much.
#[derive(Clone, Copy)]
struct End {
    printed: f64,
    outside: f64,
}

impl Job<'_> {
    pub fn torque_window(&self) -> [f64; 2] {
        if self.bearings_new {
            self.axle.windows.torque_new
        } else {
            self.axle.windows.torque_used
        }
    }

    /// What the technician holds a torque reading against.
    fn torque_window_held(&self) -> [f64; 2] {
        guarded(self.torque_window(), self.shop.guard)
    }

    /// Run-in bearings turn more easily, in truth and in the nominal figures.
    pub fn friction_share(&self) -> f64 {
        if self.bearings_new {
            1.0
        } else {
            self.axle.used_friction
        }
    }

    fn read_torque(&mut self) -> f64 {
        let truth = self.pinion_torque();
        let torque = &self.shop.torque;
        let error = self
            .chance
            .torque_error(self.shop.torque_share * truth, torque.sigma);
        self.chance.read_torque(TorqueOf::Pinion, truth, &|truth| {
            round_to(truth + error, torque.step)
        })
    }

    /// Torque gained per mm of closure, by nominal figures at the torque aimed for.
    fn expected_rate(&self, aim: f64) -> f64 {
        let friction = self.axle.pinion_friction.mean() * self.friction_share();
        let force = (aim - self.axle.seal_drag.mean()) / friction * 1000.0;
        friction / 1000.0 * self.axle.pinion_pair.rate(force)
    }

    pub fn set_pinion_preload(&mut self) {
        let axle = self.axle;
        match &axle.preload {
            PinionPreload::Sleeve { thread_pitch } => self.tighten_sleeve(*thread_pitch),
            PinionPreload::Spacer(spacer) => self.fit_spacer(spacer),
        }
        self.preloaded_with = self.pinion.printed;
        self.changes_at_preload = self.pinion_changes;
    }

    fn tighten_sleeve(&mut self, thread_pitch: f64) {
        let [low, high] = self.torque_window();
        let aim = low + self.shop.sleeve_aim * (high - low);
        let [_, high] = self.torque_window_held();
        let per_degree = self.expected_rate(aim) * thread_pitch / 360.0;
        self.new_sleeve();
        let mut sleeves = 1;
        loop {
            let reading = self.read_torque();
            if reading > high + NEAR {
                // A crushed sleeve cannot be backed off.
                if sleeves == MOST_SLEEVES {
                    self.compromised = true;
                    return;
                }
                self.new_sleeve();
                sleeves += 1;
                continue;
            }
            if reading >= aim - NEAR {
                return;
            }
            let turn = ((aim - reading) / per_degree)
                .max(1.0)
                .min(self.shop.sleeve_step);
            let mut really = turn + self.chance.normal(Figure::Nut, self.shop.nut);
            if self.chance.happens(Figure::Slip, self.shop.slip) {
                really += self.shop.slip_by;
            }
            self.sleeve_closure += really.max(0.0) / 360.0 * thread_pitch;
        }
    }

    fn new_sleeve(&mut self) {
        self.goes(if self.preload_tries == 0 {
            Work::Sleeve
        } else {
            Work::SleeveAgain
        });
        self.preload_tries += 1;
        self.sleeve_closure = 0.0;
    }

    fn fit_spacer(&mut self, spacer: &Spacer) {
        let stocks = self.stocks;
        let stock = stocks.preload.as_ref().expect("a spacer has its shims");
        let behind_cup = self.axle.pinion_seat == PinionSeat::BehindHeadCup;
        let aim = middle(self.torque_window());
        let rate = self.expected_rate(aim);
        let [low, high] = self.torque_window_held();

        let (mut fitted, most_goes) = match self.spacer_pack {
            None => {
                let wanted = self.starting_spacer_pack(spacer);
                (Fitted::new(stock.nearest(wanted), self.chance), MOST_GOES)
            }
            Some(mut before) => {
                let mut wanted = before.printed;
                if behind_cup {
                    wanted += self.pinion.printed - self.preloaded_with;
                }
                before.replace(stock.nearest(wanted), self.chance);
                // The pack carried over is a go, and there may be as many after it.
                (before, 1 + MOST_GOES)
            }
        };
        let mut thickest_too_high: Option<End> = None;
        let mut thinnest_too_low: Option<End> = None;
        let mut gone_back = false;
        for go in 1..=most_goes {
            self.spacer_pack = Some(fitted);
            self.preload_tries += 1;
            self.goes(Work::SpacerChange);
            let reading = self.read_torque();
            let too_high = reading > high + NEAR;
            if !too_high && reading >= low - NEAR {
                return;
            }
            if gone_back || go == most_goes {
                break;
            }
            let printed = fitted.printed;
            let outside = if too_high {
                reading - high
            } else {
                low - reading
            };
            let end = End { printed, outside };
            if too_high {
                if thickest_too_high.is_none_or(|old| printed > old.printed) {
                    thickest_too_high = Some(end);
                }
            } else if thinnest_too_low.is_none_or(|old| printed < old.printed) {
                thinnest_too_low = Some(end);
            }
            let ends = thickest_too_high.zip(thinnest_too_low);
            let between = |x: f64| {
                ends.is_none_or(|(thin, thick)| x > thin.printed + NEAR && x < thick.printed - NEAR)
            };
            let mut want = printed + (reading - aim) / rate;
            if let Some((thin, thick)) = ends
                && !between(want)
            {
                want = (thin.printed + thick.printed) / 2.0;
            }
            let mut pack = stock.nearest(want);
            if let Some((thin, thick)) = ends
                && !between(pack.printed)
            {
                let other = if too_high { thick } else { thin };
                if other.outside >= outside - NEAR {
                    break;
                }
                gone_back = true;
                pack = stock.nearest(other.printed);
            }
            if fitted.is_same(&pack) {
                break;
            }
            fitted.replace(pack, self.chance);
        }
        self.compromised = true;
    }

    fn starting_spacer_pack(&self, spacer: &Spacer) -> f64 {
        if self.shop.pinion_start == PinionStart::Usual {
            return spacer.usual;
        }
        // The old pack is taken as it is, unmeasured.
        let mut wanted = self.old_packs.spacer;
        if self.axle.pinion_seat == PinionSeat::BehindHeadCup {
            wanted += self.pinion.printed - self.old_packs.pinion;
        }
        // Nothing is added where heights are ignored or the bearings kept.
        wanted + self.measured_growth.head + self.measured_growth.tail
    }
}
