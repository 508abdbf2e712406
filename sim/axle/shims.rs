//! Shims: a series of thicknesses that fit one place, and their tolerance.

/// A series: shims of one shape in many thicknesses.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// What the shop calls it.
    pub name: String,
    /// Thicknesses as printed, mm, ascending.
    pub sizes: Vec<f64>,
    /// The unit its sizes are printed in, mm: 1 for a millimetre series, 25.4 for one in inches.
    pub unit: f64,
    /// Price of one shim.
    pub price: f64,
    /// Shims in a bought pack.
    pub pack_of: u32,
    /// Tolerance of the thickness.
    pub tolerance: Thickness,
    /// Most shims in one pack on the axle.
    pub most_in_pack: u32,
    /// Probability that a shim taken out can't be used again.
    pub spoiled: f64,
}

/// Tolerance of a shim's thickness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Thickness {
    /// Cold-rolled strip of this class.
    Strip(StripClass),
    /// The same limit either way for every size, mm.
    Limit(f64),
    /// Half the tolerance of cold-rolled strip of this class.
    HalfStrip(StripClass),
}

/// Tolerance class of cold-rolled narrow strip.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StripClass {
    /// Normal.
    Normal,
    /// Fine.
    Fine,
    /// Precision.
    Precision,
}

/// Rows of (from thickness, normal, fine, precision), mm; the first row is in shares of the
/// thickness.
const STRIP: [(f64, [f64; 3]); 15] = [
    (0.05, [0.10, 0.06, 0.04]),
    (0.10, [0.010, 0.008, 0.006]),
    (0.15, [0.015, 0.010, 0.008]),
    (0.20, [0.015, 0.012, 0.008]),
    (0.25, [0.017, 0.012, 0.009]),
    (0.30, [0.020, 0.015, 0.010]),
    (0.40, [0.025, 0.020, 0.012]),
    (0.50, [0.030, 0.020, 0.014]),
    (0.60, [0.030, 0.025, 0.015]),
    (0.80, [0.030, 0.025, 0.018]),
    (1.00, [0.035, 0.030, 0.020]),
    (1.20, [0.040, 0.030, 0.020]),
    (1.50, [0.050, 0.035, 0.025]),
    (2.00, [0.050, 0.035, 0.025]),
    (2.50, [0.060, 0.045, 0.030]),
];

impl StripClass {
    /// Limit either way for strip of a thickness, both mm.
    ///
    /// # Source
    /// EN 10258, thickness tolerances of cold-rolled narrow strip, narrowest width range.
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::axle::shims::StripClass;
    ///
    /// assert_eq!(StripClass::Normal.limit(0.50), 0.030);
    /// assert_eq!(StripClass::Precision.limit(1.00), 0.020);
    /// ```
    pub fn limit(self, thickness: f64) -> f64 {
        let row = STRIP
            .iter()
            .rposition(|(from, _)| thickness >= from - 1e-9)
            .unwrap_or(0);
        let figure = STRIP[row].1[self as usize];
        if row == 0 {
            figure * thickness.max(0.0)
        } else {
            figure
        }
    }
}

impl Thickness {
    /// Limit either way for a thickness, both mm.
    pub fn limit(self, thickness: f64) -> f64 {
        match self {
            Self::Strip(class) => class.limit(thickness),
            Self::Limit(limit) => limit,
            Self::HalfStrip(class) => 0.5 * class.limit(thickness),
        }
    }
}
