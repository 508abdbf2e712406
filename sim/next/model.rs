//! The model of one axle on the bench: its parts as linear forms of variables, and what is stated of them.

use super::assemblies::{End, bolt_up};
use super::curved::Curved;
use super::form::Form;
use super::likelihood::{Likelihood, Site};
use super::variables::Variables;
use super::{adjusters, known};
use crate::axle::tolerance::Tolerance;
use crate::axle::{Condition, PinionSeat, PreloadBy};
use crate::bench::PackPlace;
use crate::bench::setup::{Preload, Setup};
use crate::causes::Input;
use crate::next::{BenchJob, Reading};

/// What a model is made of.
#[derive(Clone)]
pub(super) struct Told<'a> {
    pub(super) setup: &'a Setup,
    pub(super) old_side_closure: &'a Tolerance,
    pub(super) job: &'a BenchJob,
    /// Entries whose packs are fitted.
    pub(super) entries: usize,
    /// Entries whose readings count, in order from 1; what was known before counts always.
    pub(super) read: usize,
    /// Entries at which zero end play is taken for granted, for want of a figure.
    pub(super) assumed: &'a [usize],
    /// What may have gone wrong with the axle itself.
    pub(super) amiss: Option<Amiss>,
}

/// What may be wrong with the axle on the bench, from an entry on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Amiss {
    /// The ring gear is not seated.
    Ring(usize),
    /// The pack at a place is thicker by so much.
    Pack(usize, PackPlace, f64),
}

/// Everything of an axle and its assemblies that a job's figures may depend on.
#[derive(Debug, Clone)]
pub(super) struct Model {
    pub(super) variables: Variables,
    pub(super) parts: PartForms,
    pub(super) old: OldPackForms,
    pub(super) assemblies: Vec<AssemblyForms>,
    pub(super) sites: Vec<Site>,
    pub(super) curved: Vec<Curved>,
    /// Share of the side closure that moves the ring gear.
    pub(super) ring_share: f64,
}

/// Heights of four bearings: head, tail, ring side, far side.
pub(super) type Heights = [Form; 4];

/// The parts of an axle.
#[derive(Debug, Clone)]
pub(super) struct PartForms {
    pub(super) head_seat: Form,
    /// The seats with what screw adjusters stood at first taken off.
    pub(super) ring_seat: Form,
    pub(super) far_seat: Form,
    pub(super) offset: Form,
    pub(super) shaft_angle: Form,
    pub(super) shoulders: Form,
    pub(super) shoulder_ring: Form,
    pub(super) teeth: [Form; 2],
    pub(super) bearings: Heights,
    pub(super) old_bearings: Heights,
    /// Set-up bearings less real ones: head, ring side, far side.
    pub(super) cones: [Form; 3],
    /// Deviations of depth and ring position of the pair and of the old one.
    pub(super) pair: [Form; 2],
    pub(super) old_pair: [Form; 2],
    pub(super) old_mark: Form,
    /// Scatter of the profile: drive, coast.
    pub(super) scatter: [Form; 2],
    pub(super) pinion_friction: Form,
    pub(super) side_friction: Form,
    pub(super) seal_drag: Form,
    pub(super) old_depth: Form,
    pub(super) old_backlash: Form,
    /// Gap, length and the old closure of a solid spacer.
    pub(super) spacer: Option<[Form; 3]>,
}

/// One assembly.
#[derive(Debug, Clone)]
pub(super) struct AssemblyForms {
    pub(super) depth: Form,
    pub(super) ring: Form,
    pub(super) closure: Form,
    /// Whether the side bearings are taken to be closed: then the forms take the closure as it is, else
    /// as none.
    pub(super) closed: bool,
    /// Runout of the face as a vector, and of backlash.
    pub(super) face: [Form; 2],
    pub(super) runout: [Form; 2],
    /// Real thicknesses: pinion, ring side, far side.
    pub(super) packs: [Form; 3],
    /// Real thickness of the last pack beside the spacer.
    pub(super) preload: Option<Form>,
    pub(super) backlash: Form,
    /// Drive, coast.
    pub(super) profile: [Form; 2],
}

impl PartForms {
    pub(super) fn new(told: &Told<'_>, variables: &mut Variables) -> Self {
        let setup = told.setup;
        let axle = &setup.axle;
        let gears = &axle.gears;
        let set = |variables: &mut Variables| {
            let head = variables.part(Input::HeadBearing, axle);
            let tail = variables.part(Input::TailBearing, axle);
            let side = |variables: &mut Variables| variables.pair(&axle.bearings.side.height);
            let [ring, far] = variables.by(Input::SideBearings, side);
            [head, tail, ring, far]
        };
        let old_bearings = set(variables);
        let bearings = match setup.bearings {
            Condition::New => set(variables),
            Condition::Kept => old_bearings.clone(),
        };
        let pair = |variables: &mut Variables| {
            [Input::DepthDeviation, Input::RingDeviation].map(|input| variables.part(input, axle))
        };
        let old_pair = pair(variables);
        let new_pair = match setup.gears {
            Condition::New => pair(variables),
            Condition::Kept => old_pair.clone(),
        };
        let known = &told.job.known;
        let stated_old = match setup.gears {
            Condition::New => known.mark_old,
            Condition::Kept => known.mark_old.or(known.mark_new),
        };
        let old_mark = match stated_old {
            Some(mark) => Form::of(mark),
            None => {
                let error = variables.part(Input::MarkError, axle);
                let mark = old_pair[0].clone().plus(&error);
                if gears.mark.step > 0.0 {
                    mark.plus(&variables.within(0.5 * gears.mark.step))
                } else {
                    mark
                }
            }
        };
        let cone = setup.shop.instruments.setup_bearing;
        let used = told
            .job
            .assemblies
            .iter()
            .any(|fitted| fitted.on_setup_bearings);
        let cone = if used || setup.on_setup_bearings() {
            cone
        } else {
            0.0
        };
        let worn = axle.friction_of(setup.bearings);
        Self {
            head_seat: variables.part(Input::HeadSeat, axle),
            ring_seat: variables.part(Input::RingSeat, axle),
            far_seat: variables.part(Input::FarSeat, axle),
            offset: variables.part(Input::Offset, axle),
            shaft_angle: variables.part(Input::ShaftAngle, axle),
            shoulders: variables.part(Input::Shoulders, axle),
            shoulder_ring: variables.part(Input::ShoulderRing, axle),
            teeth: variables.by(Input::ToothRunout, |variables| {
                variables.runout(&gears.tooth_runout, 1.0)
            }),
            bearings,
            old_bearings,
            cones: variables.by(Input::SetupBearing, |variables| {
                [(); 3].map(|()| variables.normal(0.0, cone))
            }),
            pair: new_pair,
            old_pair,
            old_mark,
            scatter: variables.by(Input::ScatterProfile, |variables| {
                [(); 2].map(|()| variables.normal(0.0, gears.pattern.scatter_profile))
            }),
            pinion_friction: variables.part(Input::PinionFriction, axle).times(worn),
            side_friction: variables.part(Input::SideFriction, axle).times(worn),
            seal_drag: variables.part(Input::SealDrag, axle),
            old_depth: variables.part(Input::OldDepth, axle),
            old_backlash: variables.part(Input::OldBacklash, axle),
            spacer: match &axle.pinion_preload.by {
                PreloadBy::Sleeve { .. } => None,
                PreloadBy::Spacer { .. } => {
                    let of_it = [Input::Gap, Input::Spacer, Input::OldClosure];
                    Some(of_it.map(|input| variables.part(input, axle)))
                }
            },
        }
    }

    /// Heights of the bearings as they sit.
    pub(super) fn seated(&self, on_trial: bool) -> Heights {
        let [head, tail, ring, far] = self.bearings.clone();
        if !on_trial {
            return [head, tail, ring, far];
        }
        let [more_head, more_ring, more_far] = &self.cones;
        [
            head.plus(more_head),
            tail,
            ring.plus(more_ring),
            far.plus(more_far),
        ]
    }

    /// The total of both side packs that leaves neither end play nor preload.
    pub(super) fn room(&self, seated: &Heights) -> Form {
        let seats = self.ring_seat.clone().plus(&self.far_seat);
        seats
            .less(&seated[2])
            .less(&seated[3])
            .less(&self.shoulders)
    }

    /// What offset and shaft angle add to backlash.
    pub(super) fn skew(&self, setup: &Setup) -> Form {
        let rates = &setup.rates;
        self.offset
            .times(rates.per_offset)
            .and(&self.shaft_angle, rates.per_arcminute)
    }

    /// Depth without a pinion pack.
    pub(super) fn bare_depth(&self, setup: &Setup, seated: &Heights) -> Form {
        let mounting = Form::of(setup.axle.gears.mounting_distance).plus(&self.pair[0]);
        self.head_seat.clone().less(&seated[0]).less(&mounting)
    }

    /// Ring position without a pack and without closing.
    pub(super) fn bare_ring(&self, setup: &Setup, seated: &Heights) -> Form {
        let place = Form::of(setup.axle.gears.ring_distance).plus(&self.pair[1]);
        let shoulder = self
            .ring_seat
            .clone()
            .less(&seated[2])
            .less(&self.shoulder_ring);
        shoulder.less(&place)
    }

    /// The gap between the cones that a spacer fills, less the spacer.
    pub(super) fn gap(&self, setup: &Setup, heights: &Heights, shim: &Form) -> Option<Form> {
        let [gap, length, _] = self.spacer.as_ref()?;
        let bearings = &setup.axle.bearings;
        let grown = heights[0].clone().plus(&heights[1]);
        let middle = bearings.head.height.middle() + bearings.tail.height.middle();
        let open = gap
            .clone()
            .less(length)
            .plus(&grown)
            .less(&Form::of(middle));
        Some(
            if setup.axle.pinion_shim.seat == PinionSeat::BehindHeadCup {
                open.plus(shim)
                    .less(&Form::of(setup.axle.pinion_shim.usual))
            } else {
                open
            },
        )
    }
}

/// Real thicknesses of the packs that came out.
#[derive(Debug, Clone)]
pub(super) struct OldPackForms {
    pub(super) pinion: Form,
    pub(super) ring: Form,
    pub(super) far: Form,
    pub(super) spacer: Option<Form>,
}

impl OldPackForms {
    pub(super) fn new(told: &Told<'_>, parts: &PartForms, variables: &mut Variables) -> Self {
        let setup = told.setup;
        let axle = &setup.axle;
        let (old, rates) = (&parts.old_bearings, &setup.rates);
        let mounting = Form::of(axle.gears.mounting_distance)
            .plus(&parts.old_mark)
            .plus(&parts.old_depth);
        let pinion = parts.head_seat.clone().less(&old[0]).less(&mounting);
        let pinion = pinion.times(axle.pinion_shim.seat.depth_per_thickness());
        let depth = parts
            .old_depth
            .clone()
            .plus(&parts.old_mark)
            .less(&parts.old_pair[0]);
        let opened = parts
            .old_backlash
            .clone()
            .and(&depth, -rates.per_depth)
            .less(&parts.skew(setup));
        let place = Form::of(axle.gears.ring_distance)
            .plus(&parts.old_pair[1])
            .and(&opened, 1.0 / rates.per_ring_move);
        let closure = Form::of(setup.shop.bench.side_preload_added)
            .plus(&variables.of(told.old_side_closure));
        let ring = parts
            .ring_seat
            .clone()
            .less(&old[2])
            .less(&parts.shoulder_ring)
            .and(&closure, axle.housing.ring_share)
            .less(&place);
        let far = closure.plus(&parts.room(old)).less(&ring);
        let spacer = match (&setup.preload, &parts.spacer) {
            (Preload::Spacer { closure_wanted, .. }, Some([_, _, closure])) => parts
                .gap(setup, old, &pinion)
                .map(|gap| gap.less(&Form::of(*closure_wanted)).plus(closure)),
            _ => None,
        };
        Self {
            pinion,
            ring,
            far,
            spacer,
        }
    }
}

impl Model {
    /// The model of what is told; `ends` says of each entry how its side bearings are taken.
    pub(super) fn new(told: &Told<'_>, ends: &[End]) -> Self {
        let mut variables = Variables::default();
        let mut parts = PartForms::new(told, &mut variables);
        let old = OldPackForms::new(told, &parts, &mut variables);
        let mut sites = known::sites(told, &parts, &old, &mut variables);
        adjusters::take_off(told, &mut parts, &old, &mut variables);
        let mut curved = Vec::new();
        let assemblies = bolt_up(told, ends, &parts, &mut variables, &mut sites, &mut curved);
        Self {
            variables,
            parts,
            old,
            assemblies,
            sites,
            curved,
            ring_share: told.setup.axle.housing.ring_share,
        }
    }
}

impl Model {
    /// The true figure of a site from its form, by a level where it has one, or from its direct one.
    pub(super) fn site_truth(&self, site: &Site, form: &Form, variables: &[f64]) -> f64 {
        let line = form.at(variables);
        match site.moved {
            Some((assembly, slope)) => line + slope * self.moved(assembly, variables),
            None => line,
        }
    }

    /// How much farther out the ring gear stands than the forms of an assembly say, mm: they take the side
    /// closure as it is, or as none.
    fn moved(&self, assembly: usize, variables: &[f64]) -> f64 {
        let assembly = &self.assemblies[assembly];
        let closure = assembly.closure.at(variables);
        let taken = if assembly.closed { closure } else { 0.0 };
        self.ring_share * (closure.max(0.0) - taken)
    }

    /// Depth and ring position of an assembly, in truth.
    pub(super) fn place(&self, assembly: usize, variables: &[f64]) -> [f64; 2] {
        let of = &self.assemblies[assembly];
        let ring = of.ring.at(variables) + self.moved(assembly, variables);
        [of.depth.at(variables), ring]
    }

    /// The truth of the last assembly: depth, ring position, backlash, its variation, side closure, and the
    /// profile on drive and coast; `None` before the first one.
    pub(super) fn truth(&self, setup: &Setup, variables: &[f64]) -> Option<[f64; 7]> {
        let last = self.assemblies.last()?;
        let at = |form: &Form| form.at(variables);
        let number = self.assemblies.len() - 1;
        let moved = self.moved(number, variables);
        let [depth, ring] = self.place(number, variables);
        let pattern = &setup.axle.gears.pattern;
        let [x, y] = [0, 1].map(|i| at(&last.runout[i]));
        Some([
            depth,
            ring,
            at(&last.backlash) + setup.rates.per_ring_move * moved,
            (x * x + y * y).sqrt(),
            at(&last.closure),
            at(&last.profile[0]) + pattern.drive_profile[1] * moved,
            at(&last.profile[1]) + pattern.coast_profile[1] * moved,
        ])
    }
}

/// The step to which a figure was rounded; `None` where there is none or the figure is off it.
pub(super) fn step_of(stated: f64, step: f64) -> Option<f64> {
    const OFF: f64 = 1e-6;
    let on = step > 0.0 && (stated - (stated / step).round() * step).abs() <= OFF;
    on.then_some(step)
}

/// A stated figure with a normal error, rounded to a step.
pub(super) fn site(
    entry: usize,
    reading: Reading,
    form: Form,
    stated: f64,
    [sigma, step]: [f64; 2],
) -> Site {
    let step = step_of(stated, step);
    Site {
        direct: form.clone(),
        form,
        moved: None,
        likelihood: Likelihood::rounded(stated, sigma, step),
        step,
        entry,
        reading: Some(reading),
    }
}
