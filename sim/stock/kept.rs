//! A drawer that is kept for a shop's jobs, as the next job finds it: what that uses up, and what it is
//! given in place of what it wants.

use rayon::prelude::*;

use super::answer::{Course, Question};
use super::books::{Books, Flow};
use super::demand::BenchJobs;
use super::drawer::{Review, Rules, play};
use super::events::DrawerEvent;
use super::extent::CURVE;
use super::shelf::Shelf;
use super::tape::{JobSteps, Jobs, PLACES, Sample, Stretch, Tape};
use super::trials::Levels;
use crate::bench::setup::Setup;
use crate::bench::{Guest, PackPlace, Rebuild, Source};
use crate::chance::dice::{Address, Dice, Purpose};
use crate::count::estimate::{Estimate, Moments};
use crate::shop::Drawer;

/// Moments at which the drawer is looked into, at the least.
const MOMENTS: usize = 8_192;
/// Spells that an empty drawer counts for.
const EMPTY_SPELLS: usize = 64;
/// Sums that differ by less, mm, are the same.
const SAME_SUM: f64 = 1e-7;
/// How often at most a rebuild is gone through until what it wants and what it is given agree.
const MOST_PASSES: usize = 24;

/// A drawer that is kept for a shop's jobs.
#[derive(Debug)]
pub struct KeptDrawer<'a> {
    shelves: &'a [Shelf],
    rules: Rules,
    levels: Levels,
    /// What is in it at random moments, spell by spell, as many in each.
    found: Vec<Vec<Levels>>,
}

impl<'a> KeptDrawer<'a> {
    /// The drawer of these jobs at these levels.
    ///
    /// # Panics
    /// If there are no lines, a line fits a series that is on no shelf, or there are not as many levels as
    /// sizes.
    pub fn of(asked: &Question<'a>, levels: &Levels) -> Self {
        let (course, shelves) = (Course::new(asked), asked.shelves);
        let sample = course.sample(9, &CURVE);
        Self {
            shelves,
            rules: while_a_job_is_done(course.rules),
            found: looked_into(shelves, &course.rules, &sample, levels),
            levels: levels.clone(),
        }
    }

    /// A drawer that is kept for no job: all shims are bought as they are needed, and what is left over
    /// is thrown away, surplus or not: nobody knows when it might serve.
    pub fn for_none(shelves: &'a [Shelf], drawer: &Drawer) -> Self {
        let none: Levels = shelves.iter().map(|s| vec![0; s.sizes.len()]).collect();
        Self {
            shelves,
            rules: Rules {
                keep_surplus: 0,
                ..while_a_job_is_done(drawer.rules())
            },
            found: vec![vec![none.clone(); MOMENTS / EMPTY_SPELLS]; EMPTY_SPELLS],
            levels: none,
        }
    }

    /// Price of the shims that a job of this kind uses up, mean of all such jobs: those taken from the
    /// drawer or come specially, less good ones left in it.
    ///
    /// # Definition
    /// Jobs come at random, so they find the drawer as it is at random moments. The job itself changes
    /// nothing: one of a kind that the drawer is not planned for is taken to be rare. Of one that it is
    /// planned for this is what [`Service`](super::Service) counts, job for job.
    ///
    /// # Accuracy
    /// The interval is from the spread between spells.
    ///
    /// # Source
    /// Wolff, "Poisson arrivals see time averages", Operations Research 30 (1982).
    ///
    /// # Panics
    /// If the job fits a series that is on no shelf.
    pub fn used_by(&self, setup: &Setup, seed: u64) -> Estimate {
        let jobs = self.jobs_of(&[setup]);
        let root = Address::new(seed, 0x5573_6564_2e21);
        let spells = self.found.par_iter().enumerate();
        let each: Vec<f64> = spells
            .map(|(spell, moments)| {
                let spell = root.within(spell as u64);
                let spent = moments.iter().enumerate().map(|(number, found)| {
                    let mut spent = 0.0;
                    let mut steps = JobSteps::new();
                    let address = spell.within(number as u64);
                    jobs.steps(0, address, &mut steps);
                    self.played(steps, address, found, |shelf| Spent {
                        prices: &shelf.prices,
                        money: 0.0,
                    })
                    .for_each(|book| spent += book.money);
                    spent
                });
                spent.sum::<f64>() / moments.len() as f64
            })
            .collect();
        Moments::of(each.into_iter()).estimate()
    }

    /// Jobs of these kinds, which all may come to this drawer.
    pub(super) fn jobs_of<'s>(&self, setups: &[&'s Setup]) -> BenchJobs<'s> {
        let lines: Vec<(&Setup, f64)> = setups.iter().map(|setup| (*setup, 1.0)).collect();
        BenchJobs::new(
            &lines,
            self.shelves.iter().map(|s| s.name.clone()).collect(),
        )
    }

    /// The rebuild of a line at an address with what this drawer gives in place of what is wanted, as the
    /// drawer is at some moment.
    ///
    /// What is wanted later depends on what was given before, so the rebuild is gone through again until
    /// both agree. Within one change they may chase each other, since what comes out depends on what goes in:
    /// then one of the packs near enough stays.
    pub(super) fn rebuilt(&self, jobs: &BenchJobs<'_>, line: usize, address: Address) -> Rebuild {
        let mut dice = address.stream(Purpose::Moments);
        let spell = &self.found[dice.below(self.found.len())];
        let found = &spell[dice.below(spell.len())];
        let mut guest = Given::default();
        let mut steps = JobSteps::new();
        let mut passes = 0;
        loop {
            passes += 1;
            steps.clear();
            guest.fitted = Default::default();
            let rebuild = jobs.rebuilt(line, address, &mut guest, &mut steps);
            let mut given: [Vec<f64>; PLACES] = Default::default();
            self.played(std::mem::take(&mut steps), address, found, |shelf| {
                StandIns {
                    sizes: &shelf.sizes,
                    given: Default::default(),
                }
            })
            .flat_map(|book| book.given.into_iter().enumerate())
            .for_each(|(place, sums)| given[place].extend(sums));
            // an adjuster's turns are no packs
            let agrees =
                |place: usize| given[place].is_empty() || given[place] == guest.fitted[place];
            if passes == MOST_PASSES || (0..PLACES).all(agrees) {
                return rebuild;
            }
            guest.given = given;
        }
    }

    /// Plays one job's steps from what is found in the drawer; gives the books of all series.
    fn played<'s, B: Books + 's>(
        &'s self,
        steps: JobSteps,
        address: Address,
        found: &'s Levels,
        book: impl Fn(&'s Shelf) -> B + 's,
    ) -> impl Iterator<Item = B> + 's {
        let series = self.shelves.len();
        let job = OneJob { steps, series };
        let tape = Tape::draw(&job, self.shelves, address, Stretch::Tour(1));
        (0..series).map(move |s| {
            let shelf = &self.shelves[s];
            let mut books = book(shelf);
            let (levels, start) = (&self.levels[s], &found[s]);
            play(shelf, &self.rules, tape.reel(s), levels, start, &mut books);
            books
        })
    }
}

/// Nothing is ordered and delivered while a job is on the bench.
fn while_a_job_is_done(rules: Rules) -> Rules {
    Rules {
        review: Review::Never,
        ..rules
    }
}

/// What is in a drawer at random moments of every spell of a sample.
fn looked_into(
    shelves: &[Shelf],
    rules: &Rules,
    sample: &Sample,
    levels: &Levels,
) -> Vec<Vec<Levels>> {
    let spells: u32 = sample.tapes.iter().map(|tape| tape.span.spells).sum();
    let in_each = MOMENTS.div_ceil(spells as usize);
    let of_tape = |tape: &Tape| -> Vec<Vec<Levels>> {
        let mut dice = tape.address.stream(Purpose::Moments);
        let span = tape.span;
        let times = (0..span.spells).flat_map(|spell| {
            let from = span.settling + span.spell * f64::from(spell);
            let mut times: Vec<f64> = (0..in_each)
                .map(|_| from + span.spell * dice.uniform())
                .collect();
            times.sort_by(f64::total_cmp);
            times
        });
        let times: Vec<f64> = times.collect();
        let mut found = vec![Levels::new(); times.len()];
        for (s, shelf) in shelves.iter().enumerate() {
            let mut looks = Looks {
                times: &times,
                now: vec![0; levels[s].len()],
                found: Vec::with_capacity(times.len()),
            };
            play(
                shelf,
                rules,
                tape.reel(s),
                &levels[s],
                &levels[s],
                &mut looks,
            );
            for (all, of_series) in found.iter_mut().zip(looks.found) {
                all.push(of_series);
            }
        }
        found.chunks(in_each).map(<[Levels]>::to_vec).collect()
    };
    let tapes: Vec<Vec<Vec<Levels>>> = sample.tapes.par_iter().map(of_tape).collect();
    tapes.into_iter().flatten().collect()
}

/// Looks into one series at given times.
struct Looks<'a> {
    times: &'a [f64],
    now: Vec<u32>,
    found: Vec<Vec<u32>>,
}

impl Books for Looks<'_> {
    fn until(&mut self, now: f64) {
        while self
            .times
            .get(self.found.len())
            .is_some_and(|at| *at <= now)
        {
            self.found.push(self.now.clone());
        }
    }

    fn changed(&mut self, size: usize, by: i32) {
        self.now[size] = self.now[size].saturating_add_signed(by);
    }
}

/// A job whose steps are known.
struct OneJob {
    steps: JobSteps,
    series: usize,
}

impl Jobs for OneJob {
    fn per_day(&self) -> &[f64] {
        &[1.0]
    }

    fn series(&self) -> usize {
        self.series
    }

    fn steps(&self, _: usize, _: Address, steps: &mut JobSteps) {
        steps.extend_from_slice(&self.steps);
    }
}

/// The price of what a job uses up of one series.
struct Spent<'a> {
    prices: &'a [f64],
    money: f64,
}

impl Books for Spent<'_> {
    fn went(&mut self, way: Flow, size: usize, count: i32) {
        if matches!(way, Flow::Used | Flow::Special) {
            self.money += self.prices[size] * f64::from(count);
        }
    }
}

/// Printed sums, mm, of what one series gives, in order, place by place.
struct StandIns<'a> {
    sizes: &'a [f64],
    given: [Vec<f64>; PLACES],
}

impl Books for StandIns<'_> {
    fn event(&mut self, _: f64, event: impl FnOnce() -> DrawerEvent) {
        let (place, sum) = match event() {
            DrawerEvent::Built(place, wanted, shims, _) => {
                let sizes = shims.iter().map(|(i, n)| self.sizes[*i] * f64::from(*n));
                let sum: f64 = sizes.sum();
                let same = (sum - wanted).abs() < SAME_SUM;
                (place, if same { wanted } else { sum })
            }
            // what is missing comes specially
            DrawerEvent::Missing(place, wanted, _) => (place, wanted),
            _ => return,
        };
        self.given[usize::from(place)].push(sum);
    }
}

/// Fits what a drawer gives: printed sums, mm, in order, place by place. What is not among them is fitted
/// as it is wanted.
#[derive(Default)]
struct Given {
    given: [Vec<f64>; PLACES],
    fitted: [Vec<f64>; PLACES],
}

impl Guest for Given {
    fn normal(&mut self, _: Source, drawn: impl FnOnce() -> f64) -> f64 {
        drawn()
    }

    fn uniform(&mut self, _: Source, drawn: impl FnOnce() -> f64) -> f64 {
        drawn()
    }

    fn reseating(&mut self) -> Option<&mut Dice> {
        None
    }

    fn fits(&mut self, place: PackPlace, wanted: f64) -> f64 {
        let fitted = &mut self.fitted[place as usize];
        let given = self.given[place as usize].get(fitted.len());
        let sum = given.copied().unwrap_or(wanted);
        fitted.push(sum);
        sum
    }
}
