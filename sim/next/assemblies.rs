//! The assemblies of a job as linear forms, and what was read of them.

use super::curved::Curved;
use super::form::Form;
use super::likelihood::{Likelihood, Site};
use super::model::{Amiss, AssemblyForms, PartForms, Told, site, step_of};
use super::variables::Variables;
use crate::bench::PackPlace;
use crate::bench::setup::{Preload, Setup, SideStock};
use crate::causes::Input;
use crate::next::{Fitted, Reading};
use crate::units::SLACK;

/// How much wider the runout of a face is that is not seated.
const NOT_SEATED: f64 = 4.0;

/// How the side bearings of an assembly are taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct End {
    /// As closed past zero end play, or as open.
    pub(super) closed: bool,
    /// Whether that is one of two cases, each of which counts where it holds.
    pub(super) split: bool,
}

/// A pack that is fitted.
#[derive(Clone, Default)]
struct Pack {
    printed: f64,
    real: Form,
    /// By how much it is thicker than that, where something is amiss.
    more: f64,
}

/// What is on the bench while assemblies are gone through.
struct Bench<'a> {
    told: &'a Told<'a>,
    parts: &'a PartForms,
    variables: &'a mut Variables,
    sites: &'a mut Vec<Site>,
    curved: &'a mut Vec<Curved>,
    packs: [Option<Pack>; 3],
    preload: Option<Pack>,
    face: Option<[Form; 2]>,
}

/// Goes through the assemblies.
pub(super) fn bolt_up(
    told: &Told<'_>,
    ends: &[End],
    parts: &PartForms,
    variables: &mut Variables,
    sites: &mut Vec<Site>,
    curved: &mut Vec<Curved>,
) -> Vec<AssemblyForms> {
    let mut bench = Bench {
        told,
        parts,
        variables,
        sites,
        curved,
        packs: [None, None, None],
        preload: None,
        face: None,
    };
    let fitted = told.job.assemblies.iter().take(told.entries);
    fitted
        .zip(ends)
        .enumerate()
        .map(|(at, (fitted, end))| bench.assemble(at + 1, fitted, *end))
        .collect()
}

impl Bench<'_> {
    fn assemble(&mut self, entry: usize, fitted: &Fitted, end: End) -> AssemblyForms {
        let setup = self.told.setup;
        let (axle, rates) = (&setup.axle, &setup.rates);
        let seated = self.parts.seated(fitted.on_setup_bearings);
        let [pinion, ring_pack, far] = self.fit(entry, fitted);
        let deeper = axle.pinion_shim.seat.depth_per_thickness();
        let depth = self.parts.bare_depth(setup, &seated).and(&pinion, -deeper);
        let room = self.parts.room(&seated);
        let closure = ring_pack.clone().plus(&far).less(&room);
        let closing = if end.closed {
            axle.housing.ring_share
        } else {
            0.0
        };
        let ring = self
            .parts
            .bare_ring(setup, &seated)
            .less(&ring_pack)
            .and(&closure, closing);
        let face = self.seat(entry, fitted.reseated);
        let runout = [0, 1].map(|i| {
            self.parts.teeth[i]
                .times(rates.tangential)
                .and(&face[i], rates.per_ring_move)
        });
        let backlash = Form::of(axle.windows.backlash.middle())
            .plus(&self.parts.skew(setup))
            .and(&ring, rates.per_ring_move)
            .and(&depth, rates.per_depth);
        let pattern = &axle.gears.pattern;
        let rows = [&pattern.drive_profile, &pattern.coast_profile];
        let profile = [0, 1].map(|flank| {
            let row = rows[flank];
            self.parts.scatter[flank]
                .clone()
                .and(&depth, row[0])
                .and(&ring, row[1])
                .and(&self.parts.offset, row[2])
                .and(&self.parts.shaft_angle, row[3])
        });
        self.find_zero(entry, fitted, &room);
        if end.split {
            self.split(entry, &closure, end.closed);
        }
        let reads = entry <= self.told.read;
        if reads {
            self.read_backlash(entry, fitted, &backlash, &runout);
            self.read_pattern(entry, fitted, &profile);
            self.read_rise(entry, fitted, &closure);
        }
        let preload = self.read_torque(entry, fitted, &pinion, reads);
        AssemblyForms {
            depth,
            ring,
            closure,
            closed: end.closed,
            face,
            runout,
            packs: [pinion, ring_pack, far],
            preload,
            backlash,
            profile,
        }
    }

    /// Real thicknesses of the packs of an entry; one that stays keeps its error.
    fn fit(&mut self, entry: usize, fitted: &Fitted) -> [Form; 3] {
        let places = [PackPlace::Pinion, PackPlace::RingSide, PackPlace::FarSide];
        let printed = [fitted.pinion, fitted.ring, fitted.far];
        [0, 1, 2].map(|i| {
            let there = self.packs[i].take();
            let mut pack = there
                .filter(|there| (there.printed - printed[i]).abs() <= SLACK)
                .unwrap_or_else(|| Pack {
                    printed: printed[i],
                    real: self.thickness(places[i], printed[i]),
                    more: 0.0,
                });
            if let Some(Amiss::Pack(from, place, more)) = self.told.amiss
                && from == entry
                && place == places[i]
            {
                pack.more = more;
            }
            let real = pack.real.clone().plus(&Form::of(pack.more));
            self.packs[i] = Some(pack);
            real
        })
    }

    fn thickness(&mut self, place: PackPlace, printed: f64) -> Form {
        let sigma = pack_sigma(self.told.setup, place, printed);
        self.variables.by(Input::Thickness, |variables| {
            variables.normal(printed, sigma)
        })
    }

    /// The runout of the face as the ring gear is seated.
    fn seat(&mut self, entry: usize, reseated: bool) -> [Form; 2] {
        let amiss = self.told.amiss == Some(Amiss::Ring(entry));
        if reseated || amiss {
            self.face = None;
        }
        let law = &self.told.setup.axle.carrier.face_runout;
        let wider = if amiss { NOT_SEATED } else { 1.0 };
        let variables = &mut *self.variables;
        self.face
            .get_or_insert_with(|| {
                variables.by(Input::FaceRunout, |variables| variables.runout(law, wider))
            })
            .clone()
    }

    /// Zero end play as found, or as it follows from the packs of the first assembly on these bearings.
    fn find_zero(&mut self, entry: usize, fitted: &Fitted, room: &Form) {
        let setup = self.told.setup;
        let sigma = setup.shop.instruments.end_play;
        if let Some(total) = fitted.zero_total {
            if entry <= self.told.read {
                let found = site(entry, Reading::ZeroTotal, room.clone(), total, [sigma, 0.0]);
                self.sites.push(found);
            }
        } else if self.told.assumed.contains(&entry) {
            let total = fitted.ring + fitted.far - setup.shop.bench.side_preload_added;
            let [thinner, thicker] = halfway(setup, fitted.far);
            self.sites.push(Site {
                form: room.clone(),
                direct: room.clone(),
                moved: None,
                likelihood: Likelihood::Between {
                    low: total - thinner,
                    high: total + thicker,
                    sigma,
                },
                step: None,
                entry,
                reading: None,
            });
        }
    }

    /// Leaves only what has the side bearings closed, or open.
    fn split(&mut self, entry: usize, closure: &Form, closed: bool) {
        let (low, high) = if closed {
            (0.0, f64::INFINITY)
        } else {
            (f64::NEG_INFINITY, 0.0)
        };
        self.sites.push(Site {
            form: self.variables.level(closure),
            direct: closure.clone(),
            moved: None,
            likelihood: Likelihood::Between {
                low,
                high,
                sigma: 0.0,
            },
            step: None,
            entry,
            reading: None,
        });
    }

    fn read_backlash(
        &mut self,
        entry: usize,
        fitted: &Fitted,
        backlash: &Form,
        runout: &[Form; 2],
    ) {
        let setup = self.told.setup;
        let dial = setup.shop.instruments.dial;
        let points = fitted.backlash.len();
        let met = if fitted.other_tooth && points > 0 {
            self.variables.turned(runout)
        } else {
            runout.clone()
        };
        let likelihood = |stated: f64| {
            let step = step_of(stated, dial.step);
            Likelihood::backlash(stated, dial.sigma, step, setup.reading_factor)
        };
        let odd = fitted
            .backlash
            .iter()
            .any(|read| likelihood(*read).is_odd());
        let level = odd.then(|| self.variables.level(backlash));
        for (point, stated) in fitted.backlash.iter().enumerate() {
            let angle = std::f64::consts::TAU * point as f64 / points as f64;
            let off = met[0]
                .times(0.5 * libm::cos(angle))
                .and(&met[1], -0.5 * libm::sin(angle));
            self.sites.push(Site {
                form: off.clone().plus(level.as_ref().unwrap_or(backlash)),
                direct: off.plus(backlash),
                moved: Some((entry - 1, setup.rates.per_ring_move)),
                likelihood: likelihood(*stated),
                step: step_of(*stated, dial.step),
                entry,
                reading: Some(Reading::Backlash(point)),
            });
        }
    }

    fn read_pattern(&mut self, entry: usize, fitted: &Fitted, profile: &[Form; 2]) {
        let setup = self.told.setup;
        let instrument = setup.shop.instruments.pattern;
        let pattern = &setup.axle.gears.pattern;
        for (flank, reading, stated, row) in [
            (0, Reading::Drive, fitted.drive, &pattern.drive_profile),
            (1, Reading::Coast, fitted.coast, &pattern.coast_profile),
        ] {
            let Some(stated) = stated else {
                continue;
            };
            let error = [instrument.profile, instrument.step];
            let site = site(entry, reading, profile[flank].clone(), stated, error);
            self.sites.push(Site {
                moved: Some((entry - 1, row[1])),
                ..site
            });
        }
    }

    fn read_rise(&mut self, entry: usize, fitted: &Fitted, closure: &Form) {
        let setup = self.told.setup;
        let Some(stated) = fitted.rise else {
            return;
        };
        let instrument = setup.shop.instruments.torque;
        let gears = &setup.axle.gears;
        let one = instrument.sigma * instrument.sigma + instrument.step * instrument.step / 12.0;
        self.curved.push(Curved {
            closure: closure.clone(),
            friction: self.parts.side_friction.clone(),
            drag: Form::of(0.0),
            factor: 1e-3 * f64::from(gears.pinion_teeth) / f64::from(gears.ring_teeth),
            pair: setup.side_pair.clone(),
            stated,
            sigma: (2.0 * one / f64::from(setup.shop.bench.torque_readings)).sqrt(),
            share: instrument.share,
            step: None,
            entry,
        });
    }

    /// The packs beside a spacer with the torque of each; gives the last pack.
    fn read_torque(
        &mut self,
        entry: usize,
        fitted: &Fitted,
        pinion: &Form,
        reads: bool,
    ) -> Option<Form> {
        let setup = self.told.setup;
        if !matches!(setup.preload, Preload::Spacer { .. }) {
            return None;
        }
        let gap = self.parts.gap(setup, &self.parts.bearings, pinion)?;
        let goes = fitted.preload.len().max(fitted.torque.len());
        for go in 0..goes {
            if let Some(printed) = fitted.preload.get(go) {
                let there = self.preload.take();
                let same = there.filter(|there| (there.printed - printed).abs() <= SLACK);
                self.preload = Some(same.unwrap_or_else(|| Pack {
                    printed: *printed,
                    real: self.thickness(PackPlace::Spacer, *printed),
                    more: 0.0,
                }));
            }
            if let (Some(pack), Some(stated), true) = (&self.preload, fitted.torque.get(go), reads)
            {
                let instrument = setup.shop.instruments.torque;
                self.curved.push(Curved {
                    closure: gap.clone().less(&pack.real),
                    friction: self.parts.pinion_friction.clone(),
                    drag: self.parts.seal_drag.clone(),
                    factor: 1e-3,
                    pair: setup.pinion_pair.clone(),
                    stated: *stated,
                    sigma: instrument.sigma,
                    share: instrument.share,
                    step: step_of(*stated, instrument.step),
                    entry,
                });
            }
        }
        self.preload.as_ref().map(|pack| pack.real.clone())
    }
}

/// One sigma of the real thickness of a pack, mm; of a sum that can't be built that of the nearest.
fn pack_sigma(setup: &Setup, place: PackPlace, printed: f64) -> f64 {
    let table = match (place, &setup.side_stock, &setup.preload) {
        (PackPlace::Pinion, ..) => &setup.pinion_packs,
        (PackPlace::RingSide | PackPlace::FarSide, SideStock::Packs(table), _) => table,
        (PackPlace::Spacer, _, Preload::Spacer { packs, .. }) => packs,
        _ => return 0.0,
    };
    table.all()[table.nearest(printed)].sigma
}

/// How far it is from a far-side pack to halfway to the next thinner and the next thicker one.
fn halfway(setup: &Setup, far: f64) -> [f64; 2] {
    match &setup.side_stock {
        SideStock::Notches(notch) => [0.5 * notch; 2],
        SideStock::Packs(table) => {
            let at = table.nearest(far);
            let to = |other: Option<usize>| {
                let pack = other.and_then(|other| table.all().get(other));
                pack.map_or(f64::INFINITY, |pack| 0.5 * (pack.printed - far).abs())
            };
            // wanted totals up to halfway either way take this pack
            [to(at.checked_sub(1)), to(Some(at + 1))]
        }
    }
}
