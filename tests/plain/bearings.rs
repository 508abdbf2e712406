//! Force of a preloaded bearing pair.

#[derive(Clone, Copy, Debug)]
pub struct BearingPair {
    /// Both bearings' deflections together, mm per N^0.9.
    pub deflection: f64,
    /// N per mm, in series with the bearings.
    pub stiffness: f64,
}

impl BearingPair {
    pub fn closure(&self, force: f64) -> f64 {
        if force <= 0.0 {
            return 0.0;
        }
        self.deflection * force.powf(0.9) + force / self.stiffness
    }

    /// Solved by halving an interval: the closure rises steadily with the force.
    pub fn force(&self, closure: f64) -> f64 {
        if closure <= 0.0 {
            return 0.0;
        }
        let mut low = 0.0;
        let mut high = closure * self.stiffness;
        while high - low > 1e-11 * high {
            let middle = (low + high) / 2.0;
            if self.closure(middle) < closure {
                low = middle;
            } else {
                high = middle;
            }
        }
        (low + high) / 2.0
    }

    /// N per mm of closure at this force.
    pub fn rate(&self, force: f64) -> f64 {
        let force = force.max(1e-9);
        1.0 / (0.9 * self.deflection * force.powf(-0.1) + 1.0 / self.stiffness)
    }
}
