//! Gear geometry: pitch cones, pressure angles and backlash rates.

/// All angles in radians, all lengths in mm.
#[derive(Clone, Copy, Debug)]
pub struct GearData {
    pub pinion_teeth: f64,
    pub ring_teeth: f64,
    pub ring_diameter: f64,
    pub face_width: f64,
    pub offset: f64,
    pub pinion_spiral: f64,
    pub cutter_radius: f64,
    pub pressure_angle: f64,
}

#[derive(Clone, Copy, Debug)]
pub struct Geometry {
    pub ratio: f64,
    /// Pitch angles of pinion and ring.
    pub gamma: f64,
    pub big_gamma: f64,
    pub pinion_spiral: f64,
    pub ring_spiral: f64,
    /// Offset angle in the pinion's axial plane.
    pub epsilon: f64,
    pub mean_radius_pinion: f64,
    pub mean_radius_ring: f64,
    pub cone_distance_pinion: f64,
    pub cone_distance_ring: f64,
    pub drive_pressure: f64,
    pub coast_pressure: f64,
    pub outer_radius: f64,
    /// What an indicator square to the tooth reads of a millimetre in the plane of rotation.
    pub square_factor: f64,
    pub outer_spiral: f64,
    /// Backlash per mm of tooth, ring, depth and offset movement, and per arc-minute.
    pub kappa: f64,
    pub per_ring: f64,
    pub per_depth: f64,
    pub per_offset: f64,
    pub per_arcminute: f64,
}

/// The pitch cones, before pressure angles and rates.
struct Cones {
    gamma: f64,
    big_gamma: f64,
    beta1: f64,
    beta2: f64,
    epsilon: f64,
    r1: f64,
    r2: f64,
    cone1: f64,
    cone2: f64,
    alpha: f64,
}

fn bevel(data: &GearData) -> Cones {
    let gamma = (data.pinion_teeth / data.ring_teeth).atan();
    let big_gamma = std::f64::consts::FRAC_PI_2 - gamma;
    let r2 = (data.ring_diameter - data.face_width * big_gamma.sin()) / 2.0;
    let cone = r2 / big_gamma.sin();
    Cones {
        gamma,
        big_gamma,
        beta1: data.pinion_spiral,
        beta2: data.pinion_spiral,
        epsilon: 0.0,
        r1: cone * gamma.sin(),
        r2,
        cone1: cone,
        cone2: cone,
        alpha: 0.0,
    }
}

/// One pass for a chosen angle `eta`: the cones and the cutter radius that would fit them.
fn hypoid_at(data: &GearData, eta: f64) -> (Cones, f64) {
    let u = data.ring_teeth / data.pinion_teeth;
    let a = data.offset;
    let tan_beta = data.pinion_spiral.tan();
    let (_, r2, k, r1n) = hypoid_start(data);

    let sin_eps2 = (a - r1n * eta.sin()) / r2;
    let tan_gamma_i = eta.sin() / sin_eps2.asin().tan();
    let eps2_pitch = (sin_eps2 / tan_gamma_i.atan().cos()).asin();
    let tan_beta_i = (k - eps2_pitch.cos()) / eps2_pitch.sin();

    let dk = eps2_pitch.sin() * (tan_beta - tan_beta_i);
    let dr = r2 * dk / u;
    let epsilon = (sin_eps2 - dr / r2 * eta.sin()).asin();

    let gamma = (eta.sin() / epsilon.tan()).atan();
    let eps_pitch = (epsilon.sin() / gamma.cos()).asin();
    let beta1 = ((k + dk - eps_pitch.cos()) / eps_pitch.sin()).atan();
    let beta2 = beta1 - eps_pitch;

    let big_gamma = (epsilon.sin() / eta.tan()).atan();
    let cone1 = (r1n + dr) / gamma.sin();
    let cone2 = r2 / big_gamma.sin();

    let alpha = (-(gamma.tan() * big_gamma.tan() / eps_pitch.cos())
        * (cone1 * beta1.sin() - cone2 * beta2.sin())
        / (cone1 * gamma.tan() + cone2 * big_gamma.tan()))
    .atan();
    let rho = ((beta1.tan() - beta2.tan()) / alpha.cos())
        / (-alpha.tan()
            * (beta1.tan() / (cone1 * gamma.tan()) + beta2.tan() / (cone2 * big_gamma.tan()))
            + 1.0 / (cone1 * beta1.cos())
            - 1.0 / (cone2 * beta2.cos()));
    let cones = Cones {
        gamma,
        big_gamma,
        beta1,
        beta2,
        epsilon,
        r1: cone1 * gamma.sin(),
        r2,
        cone1,
        cone2,
        alpha,
    };
    (cones, rho)
}

/// First ring cone angle, mean ring radius, first hypoid factor, first pinion radius.
fn hypoid_start(data: &GearData) -> (f64, f64, f64, f64) {
    let u = data.ring_teeth / data.pinion_teeth;
    let cone = (u / 1.2).atan();
    let r2 = (data.ring_diameter - data.face_width * cone.sin()) / 2.0;
    let eps = (data.offset * cone.sin() / r2).asin();
    let k = data.pinion_spiral.tan() * eps.sin() + eps.cos();
    (cone, r2, k, r2 * k / u)
}

fn hypoid(data: &GearData) -> Cones {
    let (cone, r2, _, r1n) = hypoid_start(data);
    let miss = |eta: f64| hypoid_at(data, eta).1 - data.cutter_radius;
    let mut before = (data.offset / (r2 * cone.tan() + r1n)).atan();
    let mut now = before * 1.01;
    let mut miss_before = miss(before);
    for _ in 0..200 {
        let miss_now = miss(now);
        assert!(miss_now.is_finite(), "no hypoid pair has these dimensions");
        if miss_now.abs() < 1e-10 * data.cutter_radius || now == before {
            return hypoid_at(data, now).0;
        }
        let next = now - miss_now * (now - before) / (miss_now - miss_before);
        (before, miss_before) = (now, miss_now);
        now = next;
    }
    panic!("no hypoid pair fits this cutter radius");
}

impl Geometry {
    /// `book_square`: the book reads backlash square to the tooth, so all rates are in its terms.
    pub fn solve(data: &GearData, book_square: bool) -> Self {
        let cones = if data.offset == 0.0 {
            bevel(data)
        } else {
            hypoid(data)
        };
        let drive = data.pressure_angle + cones.alpha;
        let coast = data.pressure_angle - cones.alpha;
        let outer = data.ring_diameter / 2.0;

        let outer_cone = outer / cones.big_gamma.sin();
        let sin_outer_spiral = (2.0 * cones.cone2 * data.cutter_radius * cones.beta2.sin()
            - cones.cone2.powi(2)
            + outer_cone.powi(2))
            / (2.0 * outer_cone * data.cutter_radius);
        let outer_spiral = sin_outer_spiral.asin();
        let square_factor = data.pressure_angle.cos() * outer_spiral.cos();

        let mut kappa = (outer / cones.r2) * (drive.tan() + coast.tan()) / cones.beta2.cos();
        if book_square {
            kappa *= square_factor;
        }
        let (sin_ring, cos_ring) = cones.big_gamma.sin_cos();
        let per_radian =
            kappa * sin_ring * (cones.r1 * cones.gamma.tan() + cones.r2 * cones.epsilon.cos());
        Geometry {
            ratio: data.ring_teeth / data.pinion_teeth,
            gamma: cones.gamma,
            big_gamma: cones.big_gamma,
            pinion_spiral: cones.beta1,
            ring_spiral: cones.beta2,
            epsilon: cones.epsilon,
            mean_radius_pinion: cones.r1,
            mean_radius_ring: cones.r2,
            cone_distance_pinion: cones.cone1,
            cone_distance_ring: cones.cone2,
            drive_pressure: drive,
            coast_pressure: coast,
            outer_radius: outer,
            square_factor,
            outer_spiral,
            kappa,
            per_ring: kappa * sin_ring,
            per_depth: kappa * cones.gamma.sin(),
            per_offset: kappa * cos_ring * cones.epsilon.sin(),
            per_arcminute: per_radian / 3437.75,
        }
    }
}
