//! Tolerances: how one dimension varies from part to part.

use super::dice::Dice;
use toml::{Table, Value};

const SPREAD_KEYS: [&str; 7] = ["tol", "minus", "plus", "sigma", "cv", "values", "from"];

#[derive(Clone, Debug)]
enum Shape {
    Normal,
    Uniform,
    Triangular,
    HalfNormal,
    LogNormal,
    /// Drawn from a list; the weights are running sums ending at their total.
    List {
        values: Vec<f64>,
        running: Vec<f64>,
    },
}

#[derive(Clone, Debug)]
pub struct Tolerance {
    nominal: f64,
    limits: Option<(f64, f64)>,
    sigma: f64,
    /// Given by a coefficient of variation: redrawn until above zero.
    positive: bool,
    shape: Shape,
    inspected: bool,
    lot_share: f64,
}

pub fn number_of(value: &Value, what: &str) -> f64 {
    match value {
        Value::Float(x) => *x,
        Value::Integer(x) => *x as f64,
        _ => panic!("{what} must be a number"),
    }
}

pub fn has_spread(table: &Table) -> bool {
    SPREAD_KEYS.iter().any(|key| table.contains_key(*key))
}

impl Tolerance {
    /// `unit` turns the file's unit into ours.
    pub fn read(table: &Table, unit: f64, what: &str) -> Self {
        let number = |key: &str| table.get(key).map(|v| number_of(v, what));
        let scaled = |key: &str| number(key).map(|x| x * unit);
        let nominal = scaled("nominal").unwrap_or(0.0);
        let limits = if let Some(tol) = scaled("tol") {
            Some((nominal - tol, nominal + tol))
        } else if table.contains_key("minus") || table.contains_key("plus") {
            let minus = scaled("minus").unwrap_or(0.0);
            let plus = scaled("plus").unwrap_or(0.0);
            Some((nominal - minus, nominal + plus))
        } else {
            None
        };
        let cv = number("cv");
        let half_width = limits.map_or(0.0, |(low, high)| (high - low) / 2.0);
        let cpk = number("cpk").unwrap_or(1.0);
        let name = table.get("shape").and_then(Value::as_str);
        let shape = match name.unwrap_or(if table.contains_key("values") {
            "measured"
        } else {
            "normal"
        }) {
            "normal" => Shape::Normal,
            "uniform" => Shape::Uniform,
            "triangular" => Shape::Triangular,
            "half-normal" => Shape::HalfNormal,
            "lognormal" => Shape::LogNormal,
            "measured" | "discrete" => read_list(table, unit, what),
            other => panic!("{what}: no such shape: {other}"),
        };
        let sigma = match shape {
            Shape::Uniform => half_width / 3f64.sqrt(),
            Shape::Triangular => half_width / 6f64.sqrt(),
            _ => scaled("sigma")
                .or(cv.map(|cv| cv * nominal))
                .unwrap_or(half_width / (3.0 * cpk)),
        };
        let inspected = table.get("inspected").and_then(Value::as_bool);
        Tolerance {
            nominal,
            limits,
            sigma,
            positive: cv.is_some(),
            shape,
            inspected: inspected.unwrap_or(false),
            lot_share: number("lot_share").unwrap_or(0.0),
        }
    }

    /// The centre that the loops and the nominal figures are reckoned with.
    pub fn mean(&self) -> f64 {
        match &self.shape {
            Shape::HalfNormal => self.nominal + self.sigma * (2.0 / std::f64::consts::PI).sqrt(),
            Shape::LogNormal => self.nominal,
            Shape::List { values, running } => {
                let mut sum = 0.0;
                let mut before = 0.0;
                for (value, upto) in values.iter().zip(running) {
                    sum += value * (upto - before);
                    before = *upto;
                }
                sum / before
            }
            _ => self
                .limits
                .map_or(self.nominal, |(low, high)| (low + high) / 2.0),
        }
    }

    /// Moves the whole distribution.
    pub fn shift(&mut self, by: f64) {
        self.nominal += by;
        self.limits = self.limits.map(|(low, high)| (low + by, high + by));
        if let Shape::List { values, .. } = &mut self.shape {
            values.iter_mut().for_each(|value| *value += by);
        }
    }

    /// One part that shares its lot with no other.
    pub fn draw(&self, dice: &mut Dice) -> f64 {
        if self.lot_share > 0.0 {
            let lot = dice.normal(1.0);
            return self.draw_from_lot(lot, dice);
        }
        loop {
            let x = self.draw_once(dice);
            if self.is_kept(x) {
                return x;
            }
        }
    }

    /// One part of a lot, `lot` being the standard normal that the lot's parts share.
    pub fn draw_from_lot(&self, lot: f64, dice: &mut Dice) -> f64 {
        if self.lot_share <= 0.0 {
            return self.draw(dice);
        }
        let shared = self.lot_share.sqrt() * lot;
        for _ in 0..10_000 {
            let own = (1.0 - self.lot_share).sqrt() * dice.normal(1.0);
            let x = self.mean() + self.sigma * (shared + own);
            if self.is_kept(x) {
                return x;
            }
        }
        // A lot that lies outside as a whole: what passes sits on the limit.
        let x = self.mean() + self.sigma * shared;
        self.limits.map_or(x, |(low, high)| x.clamp(low, high))
    }

    fn is_kept(&self, x: f64) -> bool {
        if self.positive && x <= 0.0 {
            return false;
        }
        match self.limits {
            Some((low, high)) if self.inspected => x >= low - 1e-9 && x <= high + 1e-9,
            _ => true,
        }
    }

    fn draw_once(&self, dice: &mut Dice) -> f64 {
        match &self.shape {
            Shape::Normal => self.mean() + dice.normal(self.sigma),
            Shape::Uniform => {
                let (low, high) = self.limits.unwrap_or((self.nominal, self.nominal));
                dice.between(low, high)
            }
            Shape::Triangular => {
                let (low, high) = self.limits.unwrap_or((self.nominal, self.nominal));
                dice.triangular([low, (low + high) / 2.0, high])
            }
            Shape::HalfNormal => self.nominal + dice.normal(self.sigma).abs(),
            Shape::LogNormal => {
                let cv = self.sigma / self.nominal;
                let log_variance = (1.0 + cv * cv).ln();
                let centre = self.nominal.ln() - log_variance / 2.0;
                (centre + dice.normal(log_variance.sqrt())).exp()
            }
            Shape::List { values, running } => {
                let mark = dice.unit() * running[running.len() - 1];
                let index = running.iter().position(|upto| mark < *upto);
                values[index.unwrap_or(values.len() - 1)]
            }
        }
    }
}

fn read_list(table: &Table, unit: f64, what: &str) -> Shape {
    let list = |key: &str| -> Option<Vec<f64>> {
        let array = table.get(key)?.as_array()?;
        Some(array.iter().map(|v| number_of(v, what)).collect())
    };
    let values = list("values").unwrap_or_else(|| panic!("{what}: values are missing"));
    let weights = list("weights").unwrap_or_else(|| vec![1.0; values.len()]);
    assert_eq!(
        values.len(),
        weights.len(),
        "{what}: a weight for each value"
    );
    let mut sum = 0.0;
    let running = weights
        .iter()
        .map(|weight| {
            sum += weight;
            sum
        })
        .collect();
    Shape::List {
        values: values.iter().map(|x| x * unit).collect(),
        running,
    }
}
