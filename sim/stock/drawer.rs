//! One series in the drawer, job by job: the rules of stock on hand, on order and on the bench.

use super::events::{Event, Log};
use super::pieces::Pieces;
use super::shelf::{Needs, Shelf};
use super::tape::{PLACES, SeriesTape, Step, exponential};
use crate::dice::{Address, Numbered, Purpose};

/// When sizes below their level are ordered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Review {
    /// Every so many days, the first time after that many.
    Every(f64),
    /// As soon as a job has left.
    AtOnce,
    /// Never: what is in the box has to do.
    Never,
}

/// What becomes of a pack that can't be built.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shortage {
    /// The shims it lacks come specially, and never pass through the drawer.
    ComesSpecially,
    /// They are owed to the job out of the next delivery.
    Waits,
}

/// How a drawer is run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// When is ordered.
    pub review: Review,
    /// Days from order to delivery.
    pub lead_days: f64,
    /// Mean of the days that a delivery comes late by: an exponential figure for each order, one
    /// for all that is ordered together; 0 where none is late.
    pub late_days: f64,
    /// What becomes of a pack that can't be built.
    pub shortage: Shortage,
}

/// What one tape did to one series.
#[derive(Debug, Clone, PartialEq)]
pub struct Played {
    /// For each job that touched the series, how many packs were missing.
    pub missed: Vec<u8>,
    /// For each size, about how many missing packs one more of it would have built.
    pub hints: Vec<f64>,
    /// Money in the drawer, summed over days.
    pub money_days: f64,
    /// Numbers of the reviews at which something was ordered.
    pub orders: Vec<u64>,
    /// Where the pieces went.
    pub pieces: Pieces,
}

struct Delivery {
    due: f64,
    counts: Vec<i32>,
}

/// The drawer's part of one series, the bench, and the axle on it.
struct Drawer<'a, L> {
    shelf: &'a Shelf,
    rules: &'a Rules,
    address: Address,
    levels: &'a [u32],
    hand: Vec<i32>,
    on_order: Vec<i32>,
    bench: Vec<i32>,
    fitted: [Needs; PLACES],
    deliveries: Vec<Delivery>,
    /// The next review, where something is below its level: its time and number.
    review: Option<(f64, u64)>,
    /// Whether one more of a size would have been used since its last delivery.
    lent: Vec<bool>,
    /// A bit for each size of which there is none, neither in the drawer nor on the bench.
    none: u64,
    /// Until when the money in the drawer is summed up, and how much is in it.
    summed: f64,
    value: f64,
    played: Played,
    log: &'a mut L,
}

/// Plays a tape against the levels of one series, from what is in the drawer at the start.
///
/// At the start itself nothing is ordered unless the stock is below its levels.
pub(super) fn play<L: Log>(
    shelf: &Shelf,
    rules: &Rules,
    tape: (&SeriesTape, Address, f64),
    levels: &[u32],
    start: &[u32],
    log: &mut L,
) -> Played {
    let (tape, address, days) = tape;
    let hand: Vec<i32> = start.iter().map(|n| *n as i32).collect();
    let sizes = levels.len();
    let mut drawer = Drawer {
        shelf,
        rules,
        address,
        levels,
        on_order: vec![0; sizes],
        bench: vec![0; sizes],
        fitted: [Needs::default(); PLACES],
        deliveries: Vec::new(),
        review: None,
        lent: vec![false; sizes],
        none: 0,
        summed: 0.0,
        value: 0.0,
        played: Played {
            missed: Vec::with_capacity(tape.jobs.len()),
            hints: vec![0.0; sizes],
            money_days: 0.0,
            orders: Vec::new(),
            pieces: Pieces::new(&hand),
        },
        hand,
        log,
    };
    for i in 0..sizes {
        drawer.value += f64::from(drawer.hand[i]) * shelf.prices[i];
        drawer.note(i);
    }
    if rules.review != Review::Never && drawer.below_level() {
        drawer.order(0.0, 0);
    }
    let mut first = 0;
    for (number, job) in tape.jobs.iter().enumerate() {
        drawer.go_on_to(job.at);
        drawer.log.event(job.at, || Event::Job(job.number));
        let steps = &tape.steps[first..job.end as usize];
        let missed = drawer.serve(job.at, steps, job.spoiling);
        drawer.played.missed.push(missed);
        drawer.leave(job.at);
        drawer.plan_review(job.at, number as u64);
        first = job.end as usize;
    }
    drawer.go_on_to(days);
    drawer.sum_up(days);
    drawer.played.pieces.left = drawer.hand.iter().map(|n| i64::from(*n)).collect();
    drawer.played
}

impl<L: Log> Drawer<'_, L> {
    fn below_level(&self) -> bool {
        let stock = self.hand.iter().zip(&self.on_order);
        stock
            .zip(self.levels)
            .any(|((hand, order), level)| hand + order < *level as i32)
    }

    /// Money in the drawer up to now.
    fn sum_up(&mut self, now: f64) {
        self.played.money_days += self.value * (now - self.summed);
        self.summed = now;
    }

    /// Puts shims into the drawer, or takes them out.
    #[inline]
    fn put(&mut self, i: usize, count: i32) {
        let before = self.hand[i];
        self.hand[i] += count;
        let change = self.hand[i].max(0) - before.max(0);
        self.value += f64::from(change) * self.shelf.prices[i];
        self.note(i);
    }

    /// Notes whether there is any of a size.
    #[inline]
    fn note(&mut self, i: usize) {
        let bit = 1 << i;
        if self.at_hand(i) > 0 {
            self.none &= !bit;
        } else {
            self.none |= bit;
        }
    }

    /// Everything that happens before a time.
    fn go_on_to(&mut self, time: f64) {
        loop {
            let next = self
                .deliveries
                .iter()
                .enumerate()
                .min_by(|a, b| a.1.due.total_cmp(&b.1.due))
                .map(|(i, d)| (i, d.due));
            match (next, self.review) {
                (Some((i, due)), review)
                    if due < time && review.is_none_or(|(at, _)| due <= at) =>
                {
                    self.deliver(i);
                }
                (_, Some((at, number))) if at < time => {
                    self.review = None;
                    self.order(at, number);
                }
                _ => break,
            }
        }
    }

    fn deliver(&mut self, number: usize) {
        let Delivery { due, counts } = self.deliveries.remove(number);
        self.sum_up(due);
        for (i, count) in counts.iter().enumerate() {
            self.put(i, *count);
            self.on_order[i] -= count;
            self.played.pieces.delivered[i] += i64::from(*count);
            if *count > 0 {
                self.lent[i] = false;
            }
        }
        self.log.event(due, || {
            Event::Delivered(counts.iter().map(|n| *n as u32).collect())
        });
    }

    /// Orders whatever is below its level up to it, in whole bought packs.
    fn order(&mut self, at: f64, number: u64) {
        let pack_of = self.shelf.pack_of as i32;
        let mut counts = vec![0; self.hand.len()];
        for (i, count) in counts.iter_mut().enumerate() {
            let missing = self.levels[i] as i32 - self.hand[i] - self.on_order[i];
            if missing > 0 {
                *count = (missing + pack_of - 1) / pack_of * pack_of;
                self.on_order[i] += *count;
            }
        }
        self.log.event(at, || {
            Event::Ordered(counts.iter().map(|n| *n as u32).collect())
        });
        let mut due = at + self.rules.lead_days;
        if self.rules.late_days > 0.0 {
            // the same for every series of this order, and for every drawer that is compared
            let mut dice = self.address.within(number).stream(Purpose::Lateness);
            due += exponential(&mut dice, self.rules.late_days);
        }
        self.played.orders.push(number);
        self.deliveries.push(Delivery { due, counts });
    }

    fn plan_review(&mut self, now: f64, job: u64) {
        if self.review.is_some() || !self.below_level() {
            return;
        }
        match self.rules.review {
            Review::Never => {}
            Review::AtOnce => self.order(now, job + 1),
            Review::Every(days) => {
                let number = (now / days).floor() + 1.0;
                self.review = Some((number * days, number as u64));
            }
        }
    }

    /// Goes through a job; how many packs were missing.
    fn serve(&mut self, now: f64, steps: &[Step], spoiling: Numbered) -> u8 {
        self.sum_up(now);
        let mut out = 0;
        let mut missing = 0_u8;
        for step in steps {
            match *step {
                Step::Old(pack) => {
                    let old = self.shelf.ideal(pack);
                    let good = self.take_out(&old, &mut out, spoiling);
                    for (i, count) in old.iter() {
                        self.played.pieces.old[i] += i64::from(count);
                    }
                    let printed = self.shelf.packs.all()[pack as usize].printed;
                    self.log
                        .event(now, || Event::Old(printed, good, old.shims() as u32));
                }
                Step::Out(place) => {
                    let pack = std::mem::take(&mut self.fitted[usize::from(place)]);
                    let good = self.take_out(&pack, &mut out, spoiling);
                    for (i, count) in pack.iter() {
                        self.played.pieces.out[i] += i64::from(count);
                    }
                    self.log
                        .event(now, || Event::Out(place, good, pack.shims() as u32));
                }
                Step::Want(place, pack) => {
                    let built = self.build(now, place, pack);
                    missing = missing.saturating_add(u8::from(!built));
                }
            }
        }
        missing
    }

    /// Puts the good shims of a pack on the bench; how many these are.
    fn take_out(&mut self, pack: &Needs, out: &mut u64, spoiling: Numbered) -> u32 {
        let mut good = 0;
        for (i, count) in pack.iter() {
            for _ in 0..count {
                if spoiling.uniform(*out) < self.shelf.spoiled {
                    self.played.pieces.spoiled[i] += 1;
                } else {
                    self.bench[i] += 1;
                    self.none &= !(1 << i);
                    good += 1;
                }
                *out += 1;
            }
        }
        good
    }

    #[inline]
    fn at_hand(&self, i: usize) -> i32 {
        self.bench[i] + self.hand[i].max(0)
    }

    /// Fits the pack wanted, or what stands in for it; whether there was any.
    fn build(&mut self, now: f64, place: u8, pack: u32) -> bool {
        let shelf = self.shelf;
        let choices = shelf.choices(pack);
        let mut best: Option<(&Needs, i32)> = None;
        let mut rank = u32::MAX;
        for choice in choices {
            if best.is_some() && choice.rank != rank {
                break;
            }
            if choice.sizes & self.none != 0 {
                continue;
            }
            let needs = &choice.needs;
            if choice.singles || needs.iter().all(|(i, count)| self.at_hand(i) >= count) {
                let from_bench = needs.iter().map(|(i, n)| n.min(self.bench[i])).sum();
                if best.is_none_or(|(_, most)| from_bench > most) {
                    best = Some((needs, from_bench));
                    rank = choice.rank;
                }
            }
        }
        let printed = shelf.packs.all()[pack as usize].printed;
        match best {
            Some((needs, from_bench)) => {
                self.fit(place, needs);
                self.log.event(now, || {
                    Event::Built(place, printed, plain(needs), from_bench as u32)
                });
                true
            }
            None => {
                self.hint(choices);
                let ideal = shelf.ideal(pack);
                let special = self.fit(place, &ideal);
                self.log
                    .event(now, || Event::Missing(place, printed, plain(&special)));
                false
            }
        }
    }

    /// Takes shims from the bench, then from the drawer, and the rest from elsewhere; that rest.
    fn fit(&mut self, place: u8, needs: &Needs) -> Needs {
        let mut special = *needs;
        special.clear();
        for (i, count) in needs.iter() {
            let from_bench = count.min(self.bench[i]);
            let from_drawer = (count - from_bench).min(self.hand[i].max(0));
            self.bench[i] -= from_bench;
            self.put(i, -from_drawer);
            self.played.pieces.used[i] += i64::from(from_drawer);
            let rest = count - from_bench - from_drawer;
            if rest > 0 {
                match self.rules.shortage {
                    Shortage::ComesSpecially => {
                        self.played.pieces.special[i] += i64::from(rest);
                        special.push(i, rest);
                    }
                    Shortage::Waits => {
                        self.put(i, -rest);
                        self.played.pieces.used[i] += i64::from(rest);
                    }
                }
            }
        }
        self.fitted[usize::from(place)] = *needs;
        special
    }

    /// Notes which single size would have done, or what part each of several would have.
    fn hint(&mut self, choices: &[super::shelf::Choice]) {
        let lacks = |drawer: &Self, needs: &Needs| -> i32 {
            let lacking = needs.iter().map(|(i, n)| (n - drawer.at_hand(i)).max(0));
            lacking.sum()
        };
        let least = choices.iter().map(|c| lacks(self, &c.needs)).min();
        let least = least.unwrap_or(1);
        let credit = 1.0 / f64::from(least * least);
        let mut noted = [u8::MAX; 32];
        let mut kinds = 0;
        for choice in choices {
            if lacks(self, &choice.needs) > least {
                continue;
            }
            for (i, count) in choice.needs.iter() {
                let lacking = count > self.at_hand(i) && !self.lent[i];
                if lacking && kinds < noted.len() && !noted[..kinds].contains(&(i as u8)) {
                    noted[kinds] = i as u8;
                    kinds += 1;
                    self.played.hints[i] += credit;
                }
            }
        }
        if least == 1 {
            for i in &noted[..kinds] {
                self.lent[usize::from(*i)] = true;
            }
        }
    }

    /// The job leaves: its packs go with it, good shims on the bench fill the drawer up.
    fn leave(&mut self, now: f64) {
        for pack in std::mem::take(&mut self.fitted) {
            for (i, count) in pack.iter() {
                self.played.pieces.fitted[i] += i64::from(count);
            }
        }
        let (mut kept, mut over) = (0, 0);
        for i in 0..self.bench.len() {
            let good = std::mem::take(&mut self.bench[i]);
            if good == 0 {
                continue;
            }
            let room = (self.levels[i] as i32 - self.hand[i]).max(0);
            let back = good.min(room);
            self.put(i, back);
            self.played.pieces.used[i] -= i64::from(back);
            self.played.pieces.scrapped[i] += i64::from(good - back);
            kept += back;
            over += good - back;
        }
        self.log
            .event(now, || Event::Left(kept as u32, over as u32));
    }
}

fn plain(needs: &Needs) -> Vec<(usize, u32)> {
    needs.iter().map(|(i, count)| (i, count as u32)).collect()
}
