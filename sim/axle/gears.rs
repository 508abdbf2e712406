//! Gear geometry: pitch angles and radii of a bevel or hypoid set with shafts at 90°, and the
//! change of backlash with each move of the mesh.

use std::f64::consts::{FRAC_PI_2, PI};
use std::fmt;

use libm::{asin, atan, cos, sin, sqrt, tan};

use crate::axle::{Gears, Indicator};
use crate::units::ARCMIN_PER_RADIAN;

const DEGREE: f64 = PI / 180.0;

/// Pitch geometry of a gear set. Angles in radians, lengths in mm.
///
/// # Source
/// ISO 23509:2016, methods 0 (bevel) and 1 (hypoid).
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Geometry {
    /// Ring teeth over pinion teeth.
    pub ratio: f64,
    /// Pinion pitch angle γ.
    pub pinion_pitch_angle: f64,
    /// Ring pitch angle Γ.
    pub ring_pitch_angle: f64,
    /// Offset angle ε in the pinion's axial plane.
    pub offset_angle_axial: f64,
    /// Offset angle ε′ in the pitch plane.
    pub offset_angle: f64,
    /// Pinion mean spiral angle β1.
    pub pinion_spiral_angle: f64,
    /// Ring mean spiral angle β2.
    pub ring_spiral_angle: f64,
    /// Pinion mean pitch radius r1.
    pub pinion_radius: f64,
    /// Ring mean pitch radius r2.
    pub ring_radius: f64,
    /// Pinion mean cone distance R1.
    pub pinion_cone_distance: f64,
    /// Ring mean cone distance R2.
    pub ring_cone_distance: f64,
    /// Limit pressure angle α.
    pub limit_pressure_angle: f64,
    /// Generated pressure angle of the drive side.
    pub drive_pressure_angle: f64,
    /// Generated pressure angle of the coast side.
    pub coast_pressure_angle: f64,
    /// Outer ring radius, half the outer pitch diameter.
    pub outer_radius: f64,
    nominal_pressure_angle: f64,
    cutter_radius: f64,
}

/// Why the figures make no gear set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum NoGeometry {
    /// The offset is as large as the ring gear's mean radius or larger.
    OffsetTooLarge,
    /// The face width reaches the ring gear's axis.
    FaceTooWide,
    /// No pitch cone pair has the cutter's radius of curvature.
    CutterRadius,
    /// The outer spiral angle, needed for an indicator square to the tooth, doesn't exist.
    OuterSpiral,
}

impl NoGeometry {
    /// The key of the figure to check first.
    pub fn key(self) -> &'static str {
        match self {
            Self::OffsetTooLarge => "gears.offset",
            Self::FaceTooWide => "gears.face_width",
            Self::CutterRadius | Self::OuterSpiral => "gears.cutter_radius",
        }
    }
}

impl fmt::Display for NoGeometry {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::OffsetTooLarge => {
                "the offset does not fit the ring gear: the pinion would pass outside it"
            }
            Self::FaceTooWide => "the face is too wide for a ring gear of this diameter",
            Self::CutterRadius => {
                "no gear set has these teeth, offset, spiral angle and cutter radius together"
            }
            Self::OuterSpiral => {
                "with this cutter radius the tooth never reaches the ring's outer diameter, so an \
                 indicator square to the tooth can't be reckoned"
            }
        })
    }
}

impl std::error::Error for NoGeometry {}

impl Geometry {
    /// Solves the pitch geometry.
    ///
    /// # Errors
    /// [`NoGeometry`] where the figures don't make a gear set.
    ///
    /// # Example
    /// In a bevel set the pitch angles follow from the teeth alone:
    /// ```
    /// use shimcast_sim::axle::gears::Geometry;
    ///
    /// let mut gears = shimcast_sim::demo::axle().gears;
    /// gears.offset = 0.0;
    /// let geometry = Geometry::solve(&gears)?;
    /// assert!((geometry.pinion_pitch_angle - (11.0_f64 / 41.0).atan()).abs() < 1e-12);
    /// # Ok::<(), shimcast_sim::axle::gears::NoGeometry>(())
    /// ```
    pub fn solve(gears: &Gears) -> Result<Self, NoGeometry> {
        if gears.offset == 0.0 {
            Self::bevel(gears)
        } else {
            Self::hypoid(gears)
        }
    }

    /// ISO 23509 method 0.
    fn bevel(gears: &Gears) -> Result<Self, NoGeometry> {
        let gamma = atan(f64::from(gears.pinion_teeth) / f64::from(gears.ring_teeth));
        let ring = FRAC_PI_2 - gamma;
        let r2 = 0.5 * (gears.ring_diameter - gears.face_width * sin(ring));
        if r2 <= 0.0 {
            return Err(NoGeometry::FaceTooWide);
        }
        let cone = r2 / sin(ring);
        let spiral = gears.pinion_spiral * DEGREE;
        Ok(Self::assemble(
            gears,
            Pitch {
                gamma,
                ring,
                axial: 0.0,
                offset: 0.0,
                beta1: spiral,
                beta2: spiral,
                r1: cone * sin(gamma),
                r2,
                cone1: cone,
                cone2: cone,
                limit: 0.0,
            },
        ))
    }

    /// ISO 23509 method 1: the pitch cones whose limit curvature is the cutter's radius.
    fn hypoid(gears: &Gears) -> Result<Self, NoGeometry> {
        let ratio = f64::from(gears.ring_teeth) / f64::from(gears.pinion_teeth);
        let spiral = tan(gears.pinion_spiral * DEGREE);
        let first_ring = atan(ratio / 1.2);
        let r2 = 0.5 * (gears.ring_diameter - gears.face_width * sin(first_ring));
        if r2 <= 0.0 {
            return Err(NoGeometry::FaceTooWide);
        }
        if gears.offset >= r2 {
            return Err(NoGeometry::OffsetTooLarge);
        }
        let sin_offset = gears.offset * sin(first_ring) / r2;
        let k = spiral * sin_offset + sqrt(1.0 - sin_offset * sin_offset);
        let r1n = r2 * k / ratio;
        let cones = |eta: f64| -> (Pitch, f64) {
            let sin_e2 = (gears.offset - r1n * sin(eta)) / r2;
            let gamma_i = atan(sin(eta) / tan(asin(sin_e2)));
            let sin_e2p = sin_e2 / cos(gamma_i);
            let tan_bi = (k - sqrt(1.0 - sin_e2p * sin_e2p)) / sin_e2p;
            let dk = sin_e2p * (spiral - tan_bi);
            let dr = r2 * dk / ratio;
            let sin_e = sin_e2 - dr / r2 * sin(eta);
            let axial = asin(sin_e);
            let gamma = atan(sin(eta) / tan(axial));
            let sin_ep = sin_e / cos(gamma);
            let offset = asin(sin_ep);
            let beta1 = atan((k + dk - cos(offset)) / sin_ep);
            let beta2 = beta1 - offset;
            let ring = atan(sin_e / tan(eta));
            let cone1 = (r1n + dr) / sin(gamma);
            let cone2 = r2 / sin(ring);
            let (tg, tr) = (tan(gamma), tan(ring));
            let limit = atan(
                -(tg * tr / cos(offset)) * (cone1 * sin(beta1) - cone2 * sin(beta2))
                    / (cone1 * tg + cone2 * tr),
            );
            let curvature = ((tan(beta1) - tan(beta2)) / cos(limit))
                / (-tan(limit) * (tan(beta1) / (cone1 * tg) + tan(beta2) / (cone2 * tr))
                    + 1.0 / (cone1 * cos(beta1))
                    - 1.0 / (cone2 * cos(beta2)));
            let pitch = Pitch {
                gamma,
                ring,
                axial,
                offset,
                beta1,
                beta2,
                r1: cone1 * sin(gamma),
                r2,
                cone1,
                cone2,
                limit,
            };
            (pitch, curvature)
        };
        let start = atan(gears.offset / (r2 * tan(first_ring) + r1n));
        let eta = solve(
            |eta| cones(eta).1 - gears.cutter_radius,
            start,
            gears.cutter_radius,
        )
        .ok_or(NoGeometry::CutterRadius)?;
        let pitch = cones(eta).0;
        if !pitch.makes_sense() {
            return Err(NoGeometry::CutterRadius);
        }
        Ok(Self::assemble(gears, pitch))
    }

    fn assemble(gears: &Gears, pitch: Pitch) -> Self {
        let nominal = gears.pressure_angle * DEGREE;
        Self {
            ratio: f64::from(gears.ring_teeth) / f64::from(gears.pinion_teeth),
            pinion_pitch_angle: pitch.gamma,
            ring_pitch_angle: pitch.ring,
            offset_angle_axial: pitch.axial,
            offset_angle: pitch.offset,
            pinion_spiral_angle: pitch.beta1,
            ring_spiral_angle: pitch.beta2,
            pinion_radius: pitch.r1,
            ring_radius: pitch.r2,
            pinion_cone_distance: pitch.cone1,
            ring_cone_distance: pitch.cone2,
            limit_pressure_angle: pitch.limit,
            drive_pressure_angle: nominal + pitch.limit,
            coast_pressure_angle: nominal - pitch.limit,
            outer_radius: 0.5 * gears.ring_diameter,
            nominal_pressure_angle: nominal,
            cutter_radius: gears.cutter_radius,
        }
    }

    /// Mean normal module, mm.
    ///
    /// # Definition
    /// 2·r2·cos β2 / z2.
    pub fn mean_normal_module(&self, ring_teeth: u32) -> f64 {
        2.0 * self.ring_radius * cos(self.ring_spiral_angle) / f64::from(ring_teeth)
    }

    /// Spiral angle of the ring at its outer diameter, radians.
    ///
    /// # Errors
    /// [`NoGeometry::OuterSpiral`] where the cutter's circle doesn't reach that far.
    pub fn outer_spiral_angle(&self) -> Result<f64, NoGeometry> {
        let outer = self.outer_radius / sin(self.ring_pitch_angle);
        let (mean, cutter) = (self.ring_cone_distance, self.cutter_radius);
        let sine = (2.0 * mean * cutter * sin(self.ring_spiral_angle) - mean * mean
            + outer * outer)
            / (2.0 * outer * cutter);
        if sine.abs() <= 1.0 {
            Ok(asin(sine))
        } else {
            Err(NoGeometry::OuterSpiral)
        }
    }

    /// Reading of an indicator as a factor of the backlash in the plane of rotation.
    ///
    /// # Definition
    /// 1 in the plane of rotation; cos φ·cos β_o square to the tooth.
    ///
    /// # Errors
    /// [`NoGeometry::OuterSpiral`], only for an indicator square to the tooth.
    pub fn indicator_factor(&self, held: Indicator) -> Result<f64, NoGeometry> {
        match held {
            Indicator::PlaneOfRotation => Ok(1.0),
            Indicator::SquareToTooth => {
                Ok(cos(self.nominal_pressure_angle) * cos(self.outer_spiral_angle()?))
            }
        }
    }

    /// Backlash rates read at the outer radius in the plane of rotation.
    pub fn rates(&self) -> Rates {
        self.rates_at(self.outer_radius)
    }

    /// Backlash rates read at a radius in the plane of rotation.
    ///
    /// # Definition
    /// κ = (r/r2)·(tan φ_drive + tan φ_coast)/cos β2, then kG = κ·sin Γ, kP = κ·sin γ,
    /// kE = κ·cos Γ·sin ε, kS = κ·sin Γ·(r1·tan γ + r2·cos ε).
    ///
    /// # Example
    /// In a bevel set the rate of a pinion move is tan γ = z1/z2 times that of a ring move:
    /// ```
    /// use shimcast_sim::axle::gears::Geometry;
    ///
    /// let mut gears = shimcast_sim::demo::axle().gears;
    /// gears.offset = 0.0;
    /// let rates = Geometry::solve(&gears)?.rates();
    /// assert!((rates.per_depth / rates.per_ring_move - 11.0 / 41.0).abs() < 1e-12);
    /// # Ok::<(), shimcast_sim::axle::gears::NoGeometry>(())
    /// ```
    pub fn rates_at(&self, radius: f64) -> Rates {
        let tangential = radius / self.ring_radius
            * (tan(self.drive_pressure_angle) + tan(self.coast_pressure_angle))
            / cos(self.ring_spiral_angle);
        let per_ring_move = tangential * sin(self.ring_pitch_angle);
        Rates {
            tangential,
            per_ring_move,
            per_depth: tangential * sin(self.pinion_pitch_angle),
            per_offset: tangential * cos(self.ring_pitch_angle) * sin(self.offset_angle_axial),
            per_arcminute: per_ring_move
                * (self.pinion_radius * tan(self.pinion_pitch_angle)
                    + self.ring_radius * cos(self.offset_angle_axial))
                / ARCMIN_PER_RADIAN,
        }
    }
}

/// Backlash rates: backlash gained for each move that opens the mesh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rates {
    /// κ: mm of backlash per mm of tooth-surface runout along the ring's axis direction.
    pub tangential: f64,
    /// kG: mm per mm of ring-gear move.
    pub per_ring_move: f64,
    /// kP: mm per mm of pinion depth.
    pub per_depth: f64,
    /// kE: mm per mm of offset.
    pub per_offset: f64,
    /// kS: mm per arc-minute of shaft angle.
    pub per_arcminute: f64,
}

impl Rates {
    /// The rates times a factor, such as that of an indicator held another way.
    pub fn times(self, factor: f64) -> Self {
        Self {
            tangential: self.tangential * factor,
            per_ring_move: self.per_ring_move * factor,
            per_depth: self.per_depth * factor,
            per_offset: self.per_offset * factor,
            per_arcminute: self.per_arcminute * factor,
        }
    }
}

/// Pitch-cone figures of a solution, in radians and mm.
#[derive(Debug, Clone, Copy)]
struct Pitch {
    gamma: f64,
    ring: f64,
    axial: f64,
    offset: f64,
    beta1: f64,
    beta2: f64,
    r1: f64,
    r2: f64,
    cone1: f64,
    cone2: f64,
    limit: f64,
}

impl Pitch {
    fn makes_sense(&self) -> bool {
        let acute = |x: f64| x > 0.0 && x < FRAC_PI_2;
        acute(self.gamma)
            && acute(self.ring)
            && acute(self.offset)
            && self.beta1.abs() < FRAC_PI_2
            && self.beta2.abs() < FRAC_PI_2
            && self.r1 > 0.0
    }
}

/// A root of `miss` near `start`, by the secant method; `None` where it does not converge.
fn solve(miss: impl Fn(f64) -> f64, start: f64, scale: f64) -> Option<f64> {
    let (mut x0, mut x1) = (start, start * 1.01);
    let (mut y0, mut y1) = (miss(x0), miss(x1));
    for _ in 0..100 {
        if y1.abs() <= 1e-12 * scale {
            return Some(x1);
        }
        let x2 = x1 - y1 * (x1 - x0) / (y1 - y0);
        if !x2.is_finite() {
            return None;
        }
        (x0, y0) = (x1, y1);
        x1 = x2;
        y1 = miss(x1);
        if (x1 - x0).abs() <= 1e-15 * x1.abs() {
            return (y1.abs() <= 1e-9 * scale).then_some(x1);
        }
    }
    None
}
