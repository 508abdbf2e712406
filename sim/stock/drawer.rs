//! One series in the drawer, job by job: the rules of stock on hand, on order and on the bench.

use super::at_hand::AtHand;
use super::books::{Books, Way};
use super::events::Event;
use super::shelf::{MOST_SIZES, Needs, Shelf};
use super::spoiling::Spoiling;
use super::tape::{PLACES, Reel, Step, exponential};
use crate::dice::{Address, Purpose};

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
    /// Pieces of each size that are kept above its level when a job leaves good ones behind.
    pub keep_surplus: u32,
}

/// Something on its way to the drawer.
struct Delivery {
    due: f64,
    /// Sizes and counts, sizes ascending.
    counts: Vec<(usize, i32)>,
}

/// The drawer's part of one series, the bench, and the axle on it.
struct Drawer<'a, B> {
    shelf: &'a Shelf,
    rules: &'a Rules,
    address: Address,
    levels: &'a [u32],
    at_hand: AtHand,
    /// For each size, level less stock on hand and on order.
    short: [i32; MOST_SIZES],
    /// A bit for each size that is below its level, stock on order included.
    below: u64,
    fitted: [Option<&'a Needs>; PLACES],
    deliveries: Vec<Delivery>,
    /// Lists of deliveries that have come, to be written anew.
    spare: Vec<Vec<(usize, i32)>>,
    /// When the next delivery comes; never is endless.
    next_delivery: f64,
    /// When the next review is, where something is below its level, and its number; endless where
    /// nothing is.
    review: (f64, u64),
    books: &'a mut B,
}

/// Plays a reel against the levels of one series, from what is in the drawer at the start.
///
/// At the start itself nothing is ordered unless the stock is below its levels.
pub(super) fn play<B: Books>(
    shelf: &Shelf,
    rules: &Rules,
    reel: Reel<'_>,
    levels: &[u32],
    start: &[u32],
    books: &mut B,
) {
    let mut drawer = Drawer {
        shelf,
        rules,
        address: reel.address,
        levels,
        at_hand: AtHand::new(start),
        short: [0; MOST_SIZES],
        below: 0,
        fitted: [None; PLACES],
        deliveries: Vec::new(),
        spare: Vec::new(),
        next_delivery: f64::INFINITY,
        review: NO_REVIEW,
        books,
    };
    for i in 0..levels.len() {
        drawer.books.changed(i, start[i] as i32);
        drawer.runs_short(i, levels[i] as i32 - start[i] as i32);
    }
    if rules.review != Review::Never && drawer.below != 0 {
        drawer.order(0.0, 0);
    }
    for (number, (job, steps)) in reel.series.jobs().enumerate() {
        drawer.go_on_to(job.at);
        drawer.books.event(job.at, || Event::Job(job.number));
        drawer.books.until(job.at);
        let missing = drawer.serve(job.at, steps, &job.spoiling);
        drawer.books.served(job.number, missing);
        drawer.leave(job.at);
        drawer.plan_review(job.at, number as u64);
    }
    drawer.go_on_to(reel.days);
    drawer.books.until(reel.days);
}

/// Nothing is to be looked at.
const NO_REVIEW: (f64, u64) = (f64::INFINITY, 0);

impl<'a, B: Books> Drawer<'a, B> {
    /// More of a size are missing to its level, or fewer.
    #[inline]
    fn runs_short(&mut self, i: usize, by: i32) {
        self.short[i] += by;
        let bit = 1 << i;
        if self.short[i] > 0 {
            self.below |= bit;
        } else {
            self.below &= !bit;
        }
    }

    /// Puts shims into the drawer, or takes them out where the count is negative.
    #[inline]
    fn put(&mut self, i: usize, count: i32) {
        let change = self.at_hand.put(i, count);
        self.books.changed(i, change);
        self.runs_short(i, -count);
    }

    /// Everything that happens before a time.
    #[inline]
    fn go_on_to(&mut self, time: f64) {
        while self.next_delivery < time || self.review.0 < time {
            if self.next_delivery < time && self.next_delivery <= self.review.0 {
                self.deliver();
            } else {
                let (at, number) = std::mem::replace(&mut self.review, NO_REVIEW);
                self.order(at, number);
            }
        }
    }

    /// The next delivery comes; of several at once, the one that was ordered first.
    fn deliver(&mut self) {
        let due = self.next_delivery;
        let next = self.deliveries.iter().position(|d| d.due == due);
        let Delivery { counts, .. } = self.deliveries.remove(next.expect("it is on its way"));
        self.next_delivery = self
            .deliveries
            .iter()
            .map(|d| d.due)
            .fold(f64::INFINITY, f64::min);
        self.books.until(due);
        for (i, count) in &counts {
            // it was on order, so nothing changes in what is missing to the level
            let change = self.at_hand.put(*i, *count);
            self.books.changed(*i, change);
            self.books.went(Way::Delivered, *i, *count);
        }
        let sizes = self.levels.len();
        self.books
            .event(due, || Event::Delivered(by_size(&counts, sizes)));
        self.spare.push(counts);
    }

    /// Orders whatever is below its level up to it, in whole bought packs.
    fn order(&mut self, at: f64, number: u64) {
        let pack_of = self.shelf.pack_of as i32;
        let mut counts = self.spare.pop().unwrap_or_default();
        counts.clear();
        for i in sizes_in(self.below) {
            let count = (self.short[i] + pack_of - 1) / pack_of * pack_of;
            self.runs_short(i, -count);
            counts.push((i, count));
        }
        let sizes = self.levels.len();
        self.books
            .event(at, || Event::Ordered(by_size(&counts, sizes)));
        let mut due = at + self.rules.lead_days;
        if self.rules.late_days > 0.0 {
            // the same for every series of this order, and for every drawer that is compared
            let mut dice = self.address.within(number).stream(Purpose::Lateness);
            due += exponential(&mut dice, self.rules.late_days);
        }
        self.books.ordered(number);
        self.next_delivery = self.next_delivery.min(due);
        self.deliveries.push(Delivery { due, counts });
    }

    #[inline]
    fn plan_review(&mut self, now: f64, job: u64) {
        if self.below == 0 || self.review != NO_REVIEW {
            return;
        }
        match self.rules.review {
            Review::Never => {}
            Review::AtOnce => self.order(now, job + 1),
            Review::Every(days) => {
                let number = (now / days).floor() + 1.0;
                self.review = (number * days, number as u64);
            }
        }
    }

    /// Goes through a job; how many packs were missing.
    #[inline]
    fn serve(&mut self, now: f64, steps: &[Step], spoiling: &Spoiling) -> u8 {
        let mut out = 0;
        let mut missing = 0_u8;
        for step in steps {
            match *step {
                Step::Old(pack) => {
                    let old = self.shelf.ideal(pack);
                    let good = self.take_out(old, Way::Old, &mut out, spoiling);
                    let printed = || self.shelf.printed(pack);
                    self.books
                        .event(now, || Event::Old(printed(), good, old.shims() as u32));
                }
                Step::Out(place) => {
                    if let Some(pack) = self.fitted[usize::from(place)].take() {
                        let good = self.take_out(pack, Way::Out, &mut out, spoiling);
                        self.books
                            .event(now, || Event::Out(place, good, pack.shims() as u32));
                    }
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
    #[inline]
    fn take_out(&mut self, pack: &Needs, from: Way, out: &mut u32, spoiling: &Spoiling) -> u32 {
        let mut all_good = 0;
        for (i, count) in pack.iter() {
            let spoiled = spoiling.among(*out, count as u32) as i32;
            *out += count as u32;
            let good = count - spoiled;
            self.at_hand.lay(i, good);
            self.books.went(from, i, count);
            self.books.went(Way::Spoiled, i, spoiled);
            all_good += good as u32;
        }
        all_good
    }

    /// Fits the pack wanted, or what stands in for it; whether there was any.
    #[inline]
    fn build(&mut self, now: f64, place: u8, pack: u32) -> bool {
        let shelf = self.shelf;
        let choices = shelf.choices(pack);
        let mut best: Option<(&Needs, i32)> = None;
        let mut rank = u32::MAX;
        for (sizes, choice) in choices.iter() {
            if sizes & self.at_hand.none() != 0 {
                continue;
            }
            if best.is_some() && choice.rank != rank {
                break;
            }
            let needs = &choice.needs;
            if choice.singles || self.at_hand.lacks(needs) == 0 {
                let from_bench = needs
                    .iter()
                    .map(|(i, n)| n.min(self.at_hand.on_bench(i)))
                    .sum();
                if best.is_none_or(|(_, most)| from_bench > most) {
                    best = Some((needs, from_bench));
                    rank = choice.rank;
                }
            }
        }
        match best {
            Some((needs, from_bench)) => {
                self.books.event(now, || {
                    let needs = needs.iter().map(|(i, count)| (i, count as u32)).collect();
                    Event::Built(place, shelf.printed(pack), needs, from_bench as u32)
                });
                self.fit(place, needs);
            }
            None => {
                self.books.missing(&self.at_hand, choices);
                let ideal = shelf.ideal(pack);
                self.books.event(now, || {
                    let lacks = |(i, n): (usize, i32)| (i, (n - self.at_hand.of(i)).max(0) as u32);
                    let special = match self.rules.shortage {
                        Shortage::ComesSpecially => {
                            ideal.iter().map(lacks).filter(|(_, n)| *n > 0).collect()
                        }
                        Shortage::Waits => Vec::new(),
                    };
                    Event::Missing(place, shelf.printed(pack), special)
                });
                self.fit(place, ideal);
            }
        }
        best.is_some()
    }

    /// Takes shims from the bench, then from the drawer, and the rest from elsewhere.
    #[inline]
    fn fit(&mut self, place: u8, needs: &'a Needs) {
        for (i, count) in needs.iter() {
            let from_bench = count.min(self.at_hand.on_bench(i));
            let from_drawer = (count - from_bench).min(self.at_hand.in_drawer(i).max(0));
            if from_bench > 0 {
                self.at_hand.lay(i, -from_bench);
            }
            if from_drawer > 0 {
                self.put(i, -from_drawer);
                self.books.went(Way::Used, i, from_drawer);
            }
            let rest = count - from_bench - from_drawer;
            if rest > 0 {
                match self.rules.shortage {
                    Shortage::ComesSpecially => self.books.went(Way::Special, i, rest),
                    Shortage::Waits => {
                        self.put(i, -rest);
                        self.books.went(Way::Used, i, rest);
                    }
                }
            }
        }
        self.fitted[usize::from(place)] = Some(needs);
    }

    /// The job leaves: its packs go with it, good shims on the bench fill the drawer up to the
    /// level, and to what is kept above it; what is over is scrapped.
    #[inline]
    fn leave(&mut self, now: f64) {
        for pack in &mut self.fitted {
            if let Some(pack) = pack.take() {
                for (i, count) in pack.iter() {
                    self.books.went(Way::Fitted, i, count);
                }
            }
        }
        let (mut kept, mut over) = (0, 0);
        for i in sizes_in(self.at_hand.sizes_on_bench()) {
            let good = self.at_hand.on_bench(i);
            self.at_hand.lay(i, -good);
            let most = (self.levels[i] + self.rules.keep_surplus) as i32;
            let room = (most - self.at_hand.in_drawer(i)).max(0);
            let back = good.min(room);
            self.put(i, back);
            self.books.went(Way::Used, i, -back);
            self.books.went(Way::Scrapped, i, good - back);
            kept += back;
            over += good - back;
        }
        self.books
            .event(now, || Event::Left(kept as u32, over as u32));
    }
}

/// The sizes whose bits are set, ascending.
#[inline]
fn sizes_in(mut bits: u64) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let next = (bits != 0).then(|| bits.trailing_zeros() as usize);
        bits &= bits.wrapping_sub(1);
        next
    })
}

/// Counts of all sizes, from those of some.
fn by_size(some: &[(usize, i32)], sizes: usize) -> Vec<u32> {
    let mut all = vec![0; sizes];
    for (i, count) in some {
        all[*i] = *count as u32;
    }
    all
}
