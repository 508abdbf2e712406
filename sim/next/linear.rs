//! A job's stated figures as sums of what varies: for the spreads that many jobs tell of.
//!
//! Side bearings are taken as closed, and torques are left out: these alone make the rest of the model
//! anything but linear.

use super::assemblies::End;
use super::history::zero_assumed;
use super::likelihood::{Likelihood, Site};
use super::model::{Model, Told};
use super::variables::Variable;
use super::{BenchJob, Reading};
use crate::axle::density::Density;
use crate::axle::tolerance::Tolerance;
use crate::bench::setup::Setup;
use crate::causes::Input;
use crate::units::SLACK;

/// Stated figures as sums of independent variables of deviation 1, each times a factor.
#[derive(Debug, Clone)]
pub(crate) struct Linear {
    /// What is stated, less what is expected.
    pub(crate) off: Vec<f64>,
    /// The variables; those of one runout stand together.
    pub(crate) columns: Vec<Column>,
    /// Readings of the profile with what moves them.
    pub(crate) profiles: Vec<Profile>,
}

/// A variable.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    /// What says how much it varies; `None` where no file does.
    pub(crate) input: Option<Input>,
    /// Figures that it is in, in order, and its factor there.
    pub(crate) terms: Vec<(usize, f64)>,
    /// How far it moves where the mean of its input moves by one deviation.
    pub(crate) shift: f64,
    /// Its fourth moment, less the 3 of a normal one.
    pub(crate) excess: f64,
    /// The mean of its square times the next one's, less 1: the two parts of a runout have a size in common.
    pub(crate) with_next: f64,
}

/// A reading of the profile: how depth and ring position are in it.
#[derive(Debug, Clone)]
pub(crate) struct Profile {
    /// Its place among the figures.
    pub(crate) figure: usize,
    /// 0 drive, 1 coast.
    pub(crate) flank: usize,
    /// Depth and ring position, mm: as expected, and by variable.
    pub(crate) places: [(f64, Vec<(usize, f64)>); 2],
}

/// The figures that a job states.
pub(crate) fn linear(setup: &Setup, job: &BenchJob) -> Linear {
    let entries = job.assemblies.len();
    let as_added = Tolerance::exact(0.0);
    let told = Told {
        setup,
        old_side_closure: &as_added,
        job,
        entries,
        read: entries,
        assumed: &zero_assumed(setup, job),
        amiss: None,
    };
    let closed = End {
        closed: true,
        split: false,
    };
    let model = Model::new(&told, &vec![closed; entries]);
    let mut found = Linear {
        off: Vec::new(),
        columns: columns(&model),
        profiles: Vec::new(),
    };
    // a tooth without backlash says nothing of how tight it is
    let bound = |entry: usize| {
        let fitted = entry.checked_sub(1).and_then(|at| job.assemblies.get(at));
        fitted.is_some_and(|fitted| fitted.backlash.iter().any(|read| *read <= SLACK))
    };
    for site in &model.sites {
        let of_backlash = matches!(site.reading, Some(Reading::Backlash(_)));
        if !(of_backlash && bound(site.entry)) {
            found.add(&model, site, setup);
        }
    }
    found
}

impl Linear {
    fn add(&mut self, model: &Model, site: &Site, setup: &Setup) {
        let Some(read) = Read::of(&site.likelihood) else {
            return;
        };
        let figure = self.off.len();
        self.off
            .push(read.stated - read.factor * site.direct.constant);
        for (place, factor) in &site.direct.terms {
            self.columns[*place]
                .terms
                .push((figure, read.factor * factor));
        }
        let mut error = |input, deviation: f64, excess| {
            if deviation > 0.0 {
                self.columns.push(Column {
                    terms: vec![(figure, deviation)],
                    excess,
                    ..Column::of(input)
                });
            }
        };
        error(error_of(site.reading, setup), read.sigma, 0.0);
        error(None, read.width / 12.0_f64.sqrt(), EVEN);
        let flank = match site.reading {
            Some(Reading::Drive) => 0,
            Some(Reading::Coast) => 1,
            _ => return,
        };
        let of = &model.assemblies[site.entry - 1];
        self.profiles.push(Profile {
            figure,
            flank,
            places: [&of.depth, &of.ring].map(|form| (form.constant, form.terms.clone())),
        });
    }
}

impl Column {
    fn of(input: Option<Input>) -> Self {
        Self {
            input,
            terms: Vec::new(),
            shift: 0.0,
            excess: 0.0,
            with_next: 0.0,
        }
    }
}

/// Fourth moment of an evenly spread figure, less 3.
const EVEN: f64 = -1.2;

/// A stated figure as a true one times a factor, with its errors.
struct Read {
    stated: f64,
    factor: f64,
    sigma: f64,
    /// Of what it was rounded to.
    width: f64,
}

impl Read {
    /// `None` where nothing was read.
    fn of(likelihood: &Likelihood) -> Option<Self> {
        let between = |low: f64, high: f64, sigma, factor| {
            (high - low).is_finite().then_some(Self {
                stated: 0.5 * (low + high),
                factor,
                sigma,
                width: high - low,
            })
        };
        let exact = |stated, sigma, factor| {
            Some(Self {
                stated,
                factor,
                sigma,
                width: 0.0,
            })
        };
        match likelihood {
            Likelihood::Exact { stated, sigma } => exact(*stated, *sigma, 1.0),
            Likelihood::Between { low, high, sigma } => between(*low, *high, *sigma, 1.0),
            Likelihood::Backlash {
                low,
                high,
                sigma,
                factor,
            } => between(*low, *high, *sigma, *factor),
            Likelihood::ExactBacklash {
                stated,
                sigma,
                factor,
            } => exact(*stated, *sigma, *factor),
        }
    }
}

/// What says how large the error of a reading is.
fn error_of(reading: Option<Reading>, setup: &Setup) -> Option<Input> {
    Some(match reading? {
        Reading::MarkOld | Reading::MarkNew => Input::MarkError,
        Reading::PinionPack | Reading::RingPack | Reading::FarPack | Reading::PreloadPack => {
            setup.shop.instruments.micrometer?;
            Input::Thickness
        }
        Reading::HeadHeight | Reading::TailHeight | Reading::RingHeight | Reading::FarHeight => {
            Input::Height
        }
        Reading::Gauge => Input::DepthGauge,
        Reading::ZeroTotal => Input::EndPlay,
        Reading::Backlash(_) => Input::Dial,
        Reading::Drive | Reading::Coast => Input::Pattern,
        Reading::Rise | Reading::Torque(_) => return None,
    })
}

/// The variables of a model, not yet in any figure.
fn columns(model: &Model) -> Vec<Column> {
    let variables = &model.variables;
    let mut all: Vec<Column> = (variables.all.iter())
        .map(|variable| {
            let (excess, with_next) = fourth(variable);
            Column {
                excess,
                with_next,
                ..Column::of(None)
            }
        })
        .collect();
    for (range, input) in &variables.inputs {
        for place in range.clone() {
            all[place].input = Some(*input);
            all[place].shift = match variables.all[place] {
                Variable::Runout(_) | Variable::Turned(..) | Variable::Second => 0.0,
                _ if *input == Input::Thickness || *input == Input::ScatterProfile => 0.0,
                _ => 1.0,
            };
        }
    }
    // two bearings of one lot: what they have in common moves both
    for heights in [&model.parts.bearings, &model.parts.old_bearings] {
        if let [(first, factor), others @ ..] = heights[2].terms.as_slice()
            && !others.is_empty()
        {
            all[*first].shift = heights[2].deviation() / factor;
            for (other, _) in others.iter().chain(&heights[3].terms[1..]) {
                all[*other].shift = 0.0;
            }
        }
    }
    all
}

/// What a variable's fourth moments are more than those of a normal one.
fn fourth(variable: &Variable) -> (f64, f64) {
    match variable {
        Variable::Listed(values) => {
            let fourth: f64 = values.iter().map(|[x, p]| p * x * x * x * x).sum();
            (fourth - 3.0, 0.0)
        }
        Variable::Otherwise(density) => (fourth_moment(density) - 3.0, 0.0),
        Variable::Runout(size) => {
            let size = size.fourth();
            // of size · cos and size · sin at any angle
            (1.5 * size - 3.0, 0.5 * size - 1.0)
        }
        // stands behind its first part
        Variable::Second => (0.0, 0.0),
        Variable::Normal | Variable::Turned(..) | Variable::Level(_) => (0.0, 0.0),
    }
}

/// The fourth moment of a standardised figure.
fn fourth_moment(density: &Density) -> f64 {
    density.mean_of(|x| {
        let off = (x - density.mean) / density.deviation;
        off * off * off * off
    })
}
