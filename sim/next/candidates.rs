//! Moves worth a thought: packs near those that the readings ask for.

use super::answer::CanBuild;
use super::history::{History, same};
use super::state::is_fitted;
use crate::bench::PackPlace;
use crate::bench::resume::Step;
use crate::bench::setup::{Setup, SideStock};
use crate::next::{BenchJob, Question};
use crate::shop::Correction;
use crate::units::SLACK;

/// Neighbours tried on either side.
const NEIGHBOURS: usize = 2;

/// A move to be judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Candidate {
    pub(super) step: Step,
    /// Packs as printed: pinion, ring side, far side.
    pub(super) packs: [f64; 3],
    pub(super) own: bool,
}

/// A pack by its number and as printed, mm.
pub(super) type Numbered = (i64, f64);

/// What is believed on average.
#[derive(Debug, Clone, Copy)]
pub(super) struct Means {
    /// Mean of the true profiles of the last assembly.
    pub(super) profile: f64,
    /// Backlash of the last assembly as the shop reads it, mm.
    pub(super) backlash: f64,
    /// Before the first assembly: the packs that bring depth and ring position right, and the total of
    /// both side packs that is wanted, mm.
    pub(super) pinion: f64,
    pub(super) ring: f64,
    pub(super) total: f64,
}

/// The packs that may be fitted.
pub(super) struct Packs<'a> {
    setup: &'a Setup,
    can_build: Option<CanBuild<'a>>,
}

impl<'a> Packs<'a> {
    pub(super) fn of(question: &Question<'a>, setup: &'a Setup) -> Self {
        Self {
            setup,
            can_build: question.can_build,
        }
    }

    pub(super) fn allowed(&self, place: PackPlace, number: usize) -> bool {
        self.can_build.is_none_or(|can| can(place, number))
    }

    /// The pack nearest to a thickness, whether it may be built or not.
    pub(super) fn nearest_of_all(&self, place: PackPlace, wanted: f64) -> Numbered {
        match (place, &self.setup.side_stock) {
            (PackPlace::RingSide | PackPlace::FarSide, SideStock::Notches(notch)) => {
                let number = ((wanted - SLACK) / notch - 0.5).ceil();
                (number as i64, number * notch)
            }
            (PackPlace::RingSide | PackPlace::FarSide, SideStock::Packs(table)) => {
                let number = table.nearest(wanted);
                (number as i64, table.all()[number].printed)
            }
            _ => {
                let number = self.setup.pinion_packs.nearest(wanted);
                (number as i64, self.setup.pinion_packs.all()[number].printed)
            }
        }
    }

    /// The pack nearest to a thickness that can be built, and its neighbours, thin ones first.
    fn around(&self, place: PackPlace, wanted: f64, neighbours: usize) -> Vec<Numbered> {
        let centre = self.nearest_of_all(place, wanted);
        let table = match (place, &self.setup.side_stock) {
            (PackPlace::RingSide | PackPlace::FarSide, SideStock::Notches(notch)) => {
                let reach = neighbours as i64;
                let numbers = centre.0 - reach..=centre.0 + reach;
                return numbers
                    .map(|number| (number, number as f64 * notch))
                    .collect();
            }
            (PackPlace::RingSide | PackPlace::FarSide, SideStock::Packs(table)) => table,
            _ => &self.setup.pinion_packs,
        };
        let all = table.all();
        let pack = |number: usize| (number as i64, all[number].printed);
        let allowed = |number: &usize| self.allowed(place, *number);
        let mut below = (0..centre.0 as usize).rev().filter(allowed);
        let mut above = (centre.0 as usize + 1..all.len()).filter(allowed);
        let mut found: Vec<Numbered> = Vec::new();
        if self.allowed(place, centre.0 as usize) {
            found.push(centre);
            found.extend(below.by_ref().take(neighbours).map(pack));
            found.extend(above.by_ref().take(neighbours).map(pack));
        } else {
            // the nearer one of either side in its place
            found.extend(below.by_ref().take(neighbours + 1).map(pack));
            found.extend(above.by_ref().take(neighbours + 1).map(pack));
        }
        found.sort_by_key(|pack| pack.0);
        found
    }

    fn nearest(&self, place: PackPlace, wanted: f64) -> Option<Numbered> {
        let near = self.around(place, wanted, 0);
        let off = |pack: &Numbered| (pack.1 - wanted).abs();
        near.into_iter()
            .min_by(|a, b| (off(a) - SLACK).total_cmp(&off(b)))
    }
}

fn add(list: &mut Vec<Numbered>, more: impl IntoIterator<Item = Numbered>) {
    for pack in more {
        if !list.iter().any(|have| have.0 == pack.0) {
            list.push(pack);
        }
    }
}

/// Moves from the last assembly on, to accept it first.
pub(super) fn moves(
    question: &Question<'_>,
    packs: &Packs<'_>,
    history: &History,
    fitted: [Numbered; 3],
    means: &Means,
) -> Vec<Candidate> {
    let setup = packs.setup;
    let bench = &setup.shop.bench;
    let deeper = setup.axle.pinion_shim.seat.depth_per_thickness();
    let mut moves = vec![Candidate {
        step: Step::Accept,
        packs: fitted.map(|(_, printed)| printed),
        own: false,
    }];
    let total = history.wanted_total.unwrap_or(means.total);
    let mut take = |pinion: Numbered, ring: Numbered, far: Numbered, own: bool| {
        let printed = [pinion.1, ring.1, far.1];
        let step = Step::Fit([pinion.0, ring.0, far.0]);
        let there = moves.iter_mut().find(|have| have.step == step);
        match there {
            Some(there) => there.own |= own,
            None if is_fitted(question.job, printed) => {}
            None => moves.push(Candidate {
                step,
                packs: printed,
                own,
            }),
        }
    };
    let middle = setup.axle.windows.backlash.middle();
    let read = history.mean_reading.unwrap_or(means.backlash);
    let rates = &setup.rates;
    for pinion in pinions(packs, history, fitted[0], means) {
        let gain = deeper * (pinion.1 - fitted[0].1);
        let corrected = fitted[1].1 - (middle - read) / bench.ring_belief;
        let follows = -gain * rates.per_depth / rates.per_ring_move;
        let mut rings = vec![fitted[1]];
        for wanted in [corrected, corrected + follows] {
            add(
                &mut rings,
                packs.around(PackPlace::RingSide, wanted, NEIGHBOURS),
            );
        }
        for ring in rings {
            if let Some(far) = packs.nearest(PackPlace::FarSide, total - ring.1) {
                take(pinion, ring, far, false);
            }
        }
    }
    for [pinion, ring, far] in question.own_moves {
        let own = |place, printed: f64, there: Numbered| {
            if same(printed, there.1) {
                there
            } else {
                packs.nearest_of_all(place, printed)
            }
        };
        take(
            own(PackPlace::Pinion, *pinion, fitted[0]),
            own(PackPlace::RingSide, *ring, fitted[1]),
            own(PackPlace::FarSide, *far, fitted[2]),
            true,
        );
    }
    moves
}

/// The pinion pack that stays, and those near the one that the pattern asks for.
fn pinions(packs: &Packs<'_>, history: &History, fitted: Numbered, means: &Means) -> Vec<Numbered> {
    let setup = packs.setup;
    let bench = &setup.shop.bench;
    let deeper = setup.axle.pinion_shim.seat.depth_per_thickness();
    let mean = history.pattern.unwrap_or(means.profile);
    let gain = match bench.correction {
        Correction::Measured => mean / bench.depth_belief,
        Correction::Halving if mean.abs() <= SLACK => 0.0,
        Correction::Halving => bench.first_move.copysign(mean),
    };
    let wanted = fitted.1 + deeper * gain;
    let far_enough = |pack: &Numbered| {
        pack.0 != fitted.0 && (pack.1 - fitted.1).abs() >= bench.smallest_move - SLACK
    };
    let near = packs.around(PackPlace::Pinion, wanted, NEIGHBOURS);
    let mut pinions = vec![fitted];
    add(&mut pinions, near.into_iter().filter(far_enough));
    pinions
}

/// First packs: by every method that the file allows, and those near the means of the belief.
pub(super) fn starts(question: &Question<'_>, packs: &Packs<'_>, means: &Means) -> Vec<Candidate> {
    let setup = packs.setup;
    let mut pinions = Vec::new();
    for wanted in first_pinions(setup, question.job) {
        add(&mut pinions, packs.nearest(PackPlace::Pinion, wanted));
    }
    add(
        &mut pinions,
        packs.around(PackPlace::Pinion, means.pinion, NEIGHBOURS),
    );
    let mut rings = Vec::new();
    for wanted in first_rings(setup, question.job) {
        add(&mut rings, packs.nearest(PackPlace::RingSide, wanted));
    }
    add(
        &mut rings,
        packs.around(PackPlace::RingSide, means.ring, NEIGHBOURS),
    );
    let mut starts: Vec<Candidate> = Vec::new();
    let mut take = |pinion: Numbered, ring: Numbered, own: bool| {
        let (_, far) = packs.nearest_of_all(PackPlace::FarSide, means.total - ring.1);
        let step = Step::Start([pinion.0, ring.0]);
        match starts.iter_mut().find(|have| have.step == step) {
            Some(there) => there.own |= own,
            None => starts.push(Candidate {
                step,
                packs: [pinion.1, ring.1, far],
                own,
            }),
        }
    };
    for pinion in &pinions {
        for ring in &rings {
            take(*pinion, *ring, false);
        }
    }
    for [pinion, ring, _] in question.own_moves {
        let pinion = packs.nearest_of_all(PackPlace::Pinion, *pinion);
        take(
            pinion,
            packs.nearest_of_all(PackPlace::RingSide, *ring),
            true,
        );
    }
    starts
}

/// Wanted thicknesses of the first pinion pack.
fn first_pinions(setup: &Setup, job: &BenchJob) -> Vec<f64> {
    let known = &job.known;
    let shim = &setup.axle.pinion_shim;
    let deeper = shim.seat.depth_per_thickness();
    let (old, new) = match setup.gears {
        crate::axle::Condition::New => (known.mark_old, known.mark_new),
        crate::axle::Condition::Kept => {
            let mark = known.mark_old.or(known.mark_new);
            (mark, mark)
        }
    };
    let kept = setup.gears == crate::axle::Condition::Kept;
    let marks = old
        .zip(new)
        .map(|(old, new)| old - new)
        .or(kept.then_some(0.0));
    let grown = super::history::grown(setup, job)[0].unwrap_or(0.0);
    let by_old = known
        .pinion_pack
        .zip(marks)
        .map(|(pack, by)| pack + deeper * (by - grown));
    let by_gauge = known
        .gauge
        .zip(new)
        .map(|(gauge, mark)| gauge - deeper * mark);
    let by_usual = new.map(|mark| shim.usual - deeper * mark);
    [by_old, by_gauge, by_usual].into_iter().flatten().collect()
}

/// Wanted thicknesses of the first ring-side pack.
fn first_rings(setup: &Setup, job: &BenchJob) -> Vec<f64> {
    let grown = super::history::grown(setup, job)[2].unwrap_or(0.0);
    let by_old = job.known.ring_pack.map(|pack| pack - grown);
    by_old
        .into_iter()
        .chain([setup.axle.side_shims.usual[0]])
        .collect()
}
