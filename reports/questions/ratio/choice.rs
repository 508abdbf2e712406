//! The choice of gear set: what was asked and what it comes to.

use shimcast_sim::ratio::{Between, Gearing, Teeth, Tyre, axles_agree, engine_speed};

use crate::cli::{Speed, TyreSize};
use crate::files::ListedPair;

/// A tyre as given.
#[derive(Debug, Clone, PartialEq)]
pub struct Wheel {
    /// Its size.
    pub size: TyreSize,
    /// What it rolls.
    pub tyre: Tyre,
    /// Whether what it rolls was measured.
    pub measured: bool,
}

/// What was asked.
#[derive(Debug, Clone)]
pub struct GearChoice {
    /// Name of the axle whose gear set is in now, where a file gave it.
    pub axle: Option<String>,
    /// Its teeth, where a file gave them.
    pub teeth: Option<Teeth>,
    /// Ratio and tyres.
    pub gearing: Gearing,
    /// The tyres until now and those to come; `None` where none were given.
    pub tyres: Option<[Wheel; 2]>,
    /// Height of the wheel's centre on the new tyres, loaded, mm.
    pub loaded_radius: Option<f64>,
    /// Pairs to choose from.
    pub pairs: Vec<ListedPair>,
    /// How near to the target a pair has to come, as a share.
    pub near: f64,
    /// Only pairs without a common factor.
    pub hunting: bool,
    /// Road speed.
    pub speed: Option<Speed>,
    /// Gearbox ratios.
    pub gearbox: Vec<f64>,
    /// Ratio of the other driven axle.
    pub other_axle: Option<f64>,
}

/// A pair that comes close.
#[derive(Debug, Clone)]
pub struct Fit<'a> {
    /// The pair.
    pub pair: &'a ListedPair,
    /// How far its effective ratio is off the target, as a share.
    pub off: Between,
    /// What it feels like on the new tyres.
    pub effective: Between,
    /// How far the speedometer is off with it, as a share.
    pub speedometer: Between,
    /// Engine speed in each gear, a minute.
    pub engine: Vec<Between>,
    /// How far the other axle is off it, as a share.
    pub other_axle: Option<f64>,
}

impl GearChoice {
    /// Circumference at the loaded radius, mm.
    pub fn loaded(&self) -> Option<f64> {
        self.loaded_radius
            .map(|radius| std::f64::consts::TAU * radius)
    }

    /// Whether the tyres change.
    pub fn tyres_change(&self) -> bool {
        self.tyres
            .as_ref()
            .is_some_and(|[old, new]| old.tyre != new.tyre)
    }

    /// The pairs that come close, nearest first.
    pub fn fits(&self) -> Vec<Fit<'_>> {
        let mut fits: Vec<Fit<'_>> = self
            .pairs
            .iter()
            .filter(|pair| !self.hunting || pair.teeth.hunting())
            .map(|pair| self.fit(pair))
            .filter(|fit| fit.off.value.abs() <= self.near + 1e-12)
            .collect();
        fits.sort_by(|a, b| a.off.value.abs().total_cmp(&b.off.value.abs()));
        fits
    }

    /// The pair that comes nearest, however far off.
    pub fn nearest(&self) -> Option<Fit<'_>> {
        let pairs = self.pairs.iter();
        pairs
            .filter(|pair| !self.hunting || pair.teeth.hunting())
            .map(|pair| self.fit(pair))
            .min_by(|a, b| a.off.value.abs().total_cmp(&b.off.value.abs()))
    }

    fn fit<'a>(&self, pair: &'a ListedPair) -> Fit<'a> {
        let ratio = pair.teeth.ratio();
        Fit {
            pair,
            off: self.gearing.off_target(ratio),
            effective: self.gearing.effective(ratio),
            speedometer: self.gearing.speedometer(ratio),
            engine: self
                .tyres
                .as_ref()
                .map_or_else(Vec::new, |[_, new]| self.engine(ratio, new.tyre.rolling)),
            other_axle: self.other_axle.map(|other| Gearing::apart(ratio, other)),
        }
    }

    /// Engine speed in each gear with an axle ratio on wheels of this rolling circumference.
    pub fn engine(&self, ratio: f64, rolling: Between) -> Vec<Between> {
        let Some(speed) = &self.speed else {
            return Vec::new();
        };
        self.gearbox
            .iter()
            .map(|gear| engine_speed(speed.metres_per_second, gear * ratio, rolling))
            .collect()
    }

    /// A word where the other axle is too far from the ratio that is in now.
    pub fn warning(&self) -> Option<String> {
        let other = self.other_axle?;
        let now = self.gearing.ratio;
        if axles_agree(now, other) {
            return None;
        }
        Some(format!(
            "the two driven axles differ by {:.1} %, {now:.3} against {other:.3}: they have to agree \
             within 1 %, or the tyres drag and the drive between them winds up",
            100.0 * Gearing::apart(now, other).abs()
        ))
    }
}
