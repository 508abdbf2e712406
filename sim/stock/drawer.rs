//! One series in the drawer, job by job: the rules of stock on hand, on order and on the bench.

use super::at_hand::AtHand;
use super::books::{Books, Flow};
use super::events::DrawerEvent;
use super::lanes::{FEW, MANY, sizes_in, words_for};
use super::shelf::{MOST_SIZES, PackShims, Shelf};
use super::spoiling::Spoiling;
use super::tape::{JobStep, KeptStep, PLACES, Reel, exponential};
use crate::chance::dice::{Address, Purpose};

/// When sizes below their level are ordered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Review {
    /// At equal intervals of this many days, from the first interval's end.
    Every(f64),
    /// As soon as a job has left.
    AtOnce,
    /// Never, as for a box on the road.
    Never,
}

/// What happens where a pack can't be built.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shortage {
    /// The missing shims are ordered specially, and never pass through the drawer.
    ComesSpecially,
    /// The missing shims are owed to the job from the next delivery.
    Waits,
}

/// The rules of a drawer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// When sizes are ordered.
    pub review: Review,
    /// Days from order to delivery.
    pub lead_days: f64,
    /// Mean delay of a delivery, days: exponential, one figure for all that is ordered together; 0
    /// for none.
    pub late_days: f64,
    /// What happens where a pack can't be built.
    pub shortage: Shortage,
    /// Pieces of each size that are kept above its level when a job leaves good ones behind.
    pub keep_surplus: u32,
}

/// An order not yet delivered.
struct Delivery {
    due: f64,
    /// Sizes and counts, sizes ascending.
    counts: Vec<(usize, i32)>,
}

/// The drawer's part of one series, the bench, and the axle on it.
struct SeriesDrawer<'a, B, const W: usize> {
    shelf: &'a Shelf,
    rules: &'a Rules,
    address: Address,
    levels: &'a [u32],
    at_hand: AtHand<W>,
    /// For each size, level less stock on hand and on order.
    short: [i32; MOST_SIZES],
    /// A bit for each size that is below its level, stock on order included.
    below: u64,
    fitted: [Option<PackShims<'a, W>>; PLACES],
    deliveries: Vec<Delivery>,
    /// Lists of past deliveries, for reuse.
    spare: Vec<Vec<(usize, i32)>>,
    /// Time of the next delivery; infinite where none is due.
    next_delivery: f64,
    /// Time and number of the next review where a size is below its level; infinite where none is.
    review: (f64, u64),
    books: &'a mut B,
}

/// No review is due.
const NO_REVIEW: (f64, u64) = (f64::INFINITY, 0);

/// Plays a reel against the levels of one series, from the counts at the start.
///
/// At the start something is ordered only if the stock is below its levels.
pub(super) fn play<B: Books>(
    shelf: &Shelf,
    rules: &Rules,
    reel: Reel<'_>,
    levels: &[u32],
    start: &[u32],
    books: &mut B,
) {
    play_from(shelf, rules, reel, levels, (start, &[]), books);
}

/// The same where something is on order at the start: as many of each size, or none where the list is
/// empty, come in one delivery after the lead time, however late others are.
pub(super) fn play_from<B: Books>(
    shelf: &Shelf,
    rules: &Rules,
    reel: Reel<'_>,
    levels: &[u32],
    (start, on_order): (&[u32], &[u32]),
    books: &mut B,
) {
    match words_for(levels.len()) {
        FEW => SeriesDrawer::<B, FEW>::filled(shelf, rules, reel.address, (levels, start), books)
            .expecting(on_order)
            .go_through(reel),
        _ => SeriesDrawer::<B, MANY>::filled(shelf, rules, reel.address, (levels, start), books)
            .expecting(on_order)
            .go_through(reel),
    }
}

impl<'a, B: Books, const W: usize> SeriesDrawer<'a, B, W> {
    fn filled(
        shelf: &'a Shelf,
        rules: &'a Rules,
        address: Address,
        (levels, start): (&'a [u32], &[u32]),
        books: &'a mut B,
    ) -> Self {
        let mut drawer = Self {
            shelf,
            rules,
            address,
            levels,
            at_hand: AtHand::nothing(),
            short: [0; MOST_SIZES],
            below: 0,
            fitted: [None; PLACES],
            deliveries: Vec::new(),
            spare: Vec::new(),
            next_delivery: f64::INFINITY,
            review: NO_REVIEW,
            books,
        };
        for (i, (level, count)) in levels.iter().zip(start).enumerate() {
            drawer.runs_short(i, *level as i32);
            drawer.put(i, *count as i32);
        }
        drawer
    }

    /// With so many of each size to be delivered after the lead time.
    fn expecting(mut self, on_order: &[u32]) -> Self {
        let coming = on_order.iter().enumerate().filter(|(_, count)| **count > 0);
        let counts: Vec<(usize, i32)> = coming.map(|(i, count)| (i, *count as i32)).collect();
        for (i, count) in &counts {
            self.runs_short(*i, -count);
        }
        if !counts.is_empty() {
            let due = self.rules.lead_days;
            self.next_delivery = due;
            self.deliveries.push(Delivery { due, counts });
        }
        self
    }

    fn go_through(mut self, reel: Reel<'_>) {
        if self.rules.review != Review::Never && self.below != 0 {
            self.order(0.0, 0);
        }
        for (number, (job, steps)) in reel.series.jobs().enumerate() {
            let (at, _) = reel.arrivals[job.number as usize];
            self.go_on_to(at);
            self.books.event(at, || DrawerEvent::Job(job.number));
            self.books.until(at);
            let missing = self.serve(at, steps, &job.spoiling);
            self.books.served(job.number, missing);
            self.leave(at);
            self.plan_review(at, number as u64);
        }
        self.go_on_to(reel.span.days());
        self.books.until(reel.span.days());
    }

    /// Changes how many of a size are short of its level.
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

    /// Does the deliveries and reviews before a time.
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

    /// Receives the next delivery; of several at once, the one ordered first.
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
            // it was on order, so the shortfall from the level does not change
            let change = self.at_hand.put(*i, *count);
            self.books.changed(*i, change);
            self.books.went(Flow::Delivered, *i, *count);
        }
        let sizes = self.levels.len();
        self.books
            .event(due, || DrawerEvent::Delivered(by_size(&counts, sizes)));
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
            .event(at, || DrawerEvent::Ordered(by_size(&counts, sizes)));
        let mut due = at + self.rules.lead_days;
        if self.rules.late_days > 0.0 {
            // the same for every series of this order and every compared drawer
            let mut dice = self.address.within(number).stream(Purpose::Lateness);
            due += exponential(&mut dice, self.rules.late_days);
        }
        self.books.until(at);
        self.books.ordered(number, &counts);
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

    /// Serves a job; gives the number of missing packs.
    #[inline]
    fn serve(&mut self, now: f64, steps: &[KeptStep], spoiling: &Spoiling) -> u8 {
        let shelf = self.shelf;
        let mut out = 0;
        let mut missing = 0_u8;
        for step in steps {
            match step.step() {
                JobStep::Old(number) => {
                    let old = shelf.ideal_pack(number);
                    let good = self.take_out(old, Flow::Old, &mut out, spoiling);
                    self.books.event(now, || {
                        DrawerEvent::Old(shelf.printed(number), good, old.needs.shims())
                    });
                }
                JobStep::Out(place) => {
                    if let Some(pack) = self.fitted[usize::from(place)].take() {
                        let good = self.take_out(pack, Flow::Out, &mut out, spoiling);
                        self.books
                            .event(now, || DrawerEvent::Out(place, good, pack.needs.shims()));
                    }
                }
                JobStep::Want(place, number) => {
                    let built = self.build(now, place, number);
                    missing = missing.saturating_add(u8::from(!built));
                }
            }
        }
        missing
    }

    /// Puts the good shims of a pack on the bench; gives their number.
    #[inline]
    fn take_out(
        &mut self,
        pack: PackShims<'_, W>,
        from: Flow,
        out: &mut u32,
        spoiling: &Spoiling,
    ) -> u32 {
        for (i, count) in pack.needs.iter() {
            self.books.went(from, i, count);
        }
        let (first, shims) = (*out, pack.needs.shims());
        *out += shims;
        let mut good = pack.lanes;
        let share = self.shelf.spoiled;
        let spoiled = spoiling.among(first, shims, share);
        if spoiled > 0 {
            let mut number = first;
            for (i, count) in pack.needs.iter() {
                let of_these = spoiling.among(number, count as u32, share) as i32;
                number += count as u32;
                good.change(i, -of_these);
                self.books.went(Flow::Spoiled, i, of_these);
            }
        }
        self.at_hand.lay(good);
        shims - spoiled
    }

    /// Fits the wanted pack or one near enough; gives whether there was one.
    #[inline]
    fn build(&mut self, now: f64, place: u8, number: u32) -> bool {
        let shelf = self.shelf;
        let choices = shelf.choices(number);
        let (reach, bench) = (self.at_hand.reach(), self.at_hand.bench());
        let best = choices.best(&reach, bench);
        match best {
            Some(pack) => {
                self.books.event(now, || {
                    let from_bench = pack.needs.shims() - pack.lanes.over(bench).sum() as u32;
                    DrawerEvent::Built(
                        place,
                        shelf.printed(number),
                        plain(pack.needs.iter()),
                        from_bench,
                    )
                });
                self.fit(place, pack);
            }
            None => {
                self.books.missing(reach, choices);
                let pack = shelf.ideal_pack(number);
                self.books.event(now, || {
                    let special = match self.rules.shortage {
                        Shortage::ComesSpecially => plain(pack.lanes.over(reach).down()),
                        Shortage::Waits => Vec::new(),
                    };
                    DrawerEvent::Missing(place, shelf.printed(number), special)
                });
                self.fit(place, pack);
            }
        }
        best.is_some()
    }

    /// Takes shims from the bench, then from the drawer, and the rest specially or on loan from the
    /// next delivery.
    #[inline]
    fn fit(&mut self, place: u8, pack: PackShims<'a, W>) {
        let not_on_bench = pack.lanes.over(self.at_hand.bench());
        self.at_hand.pick_up(pack.lanes.minus(not_on_bench));
        for (i, count) in not_on_bench.down() {
            let from_drawer = count.min(self.at_hand.in_drawer(i).max(0));
            self.put(i, -from_drawer);
            self.books.went(Flow::Used, i, from_drawer);
            let rest = count - from_drawer;
            if rest > 0 {
                match self.rules.shortage {
                    Shortage::ComesSpecially => self.books.went(Flow::Special, i, rest),
                    Shortage::Waits => {
                        self.put(i, -rest);
                        self.books.went(Flow::Used, i, rest);
                    }
                }
            }
        }
        self.fitted[usize::from(place)] = Some(pack);
    }

    /// The job leaves: its packs go with it, good shims on the bench fill the drawer up to the
    /// level plus the surplus kept; the rest is scrapped.
    #[inline]
    fn leave(&mut self, now: f64) {
        for pack in &mut self.fitted {
            if let Some(pack) = pack.take() {
                for (i, count) in pack.needs.iter() {
                    self.books.went(Flow::Fitted, i, count);
                }
            }
        }
        let (mut kept, mut over) = (0, 0);
        let good = self.at_hand.bench();
        self.at_hand.pick_up(good);
        for (i, good) in good.up() {
            let most = (self.levels[i] + self.rules.keep_surplus) as i32;
            let room = (most - self.at_hand.in_drawer(i)).max(0);
            let back = good.min(room);
            self.put(i, back);
            self.books.went(Flow::Used, i, -back);
            self.books.went(Flow::Scrapped, i, good - back);
            kept += back;
            over += good - back;
        }
        self.books
            .event(now, || DrawerEvent::Left(kept as u32, over as u32));
    }
}

/// Sizes and counts for an event.
fn plain(shims: impl Iterator<Item = (usize, i32)>) -> Vec<(usize, u32)> {
    shims.map(|(i, count)| (i, count as u32)).collect()
}

/// Counts of all sizes, from those of some.
fn by_size(some: &[(usize, i32)], sizes: usize) -> Vec<u32> {
    let mut all = vec![0; sizes];
    for (i, count) in some {
        all[*i] = *count as u32;
    }
    all
}
