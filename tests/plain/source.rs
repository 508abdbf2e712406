//! Reading keys from a file, with the built-in file behind it for what is left out.

use super::tolerance::{Tolerance, has_spread, number_of};
use std::cell::RefCell;
use toml::{Table, Value};

pub const MM_PER_INCH: f64 = 25.4;
const NM_PER_LBF_INCH: f64 = 0.1129848290276167;

pub struct Source {
    pub own: Table,
    built_in: Table,
    /// mm in the file's unit of length, N·m in its unit of torque.
    pub mm: f64,
    nm: f64,
    /// The keys taken from elsewhere because the file does not give them.
    pub left_out: RefCell<Vec<String>>,
}

pub fn length_unit(name: &str) -> f64 {
    match name {
        "mm" => 1.0,
        "in" => MM_PER_INCH,
        other => panic!("no such unit of length: {other}"),
    }
}

fn torque_unit(name: &str) -> f64 {
    match name {
        "N.m" => 1.0,
        "lbf.in" => NM_PER_LBF_INCH,
        other => panic!("no such unit of torque: {other}"),
    }
}

fn find<'a>(table: &'a Table, path: &str) -> Option<&'a Value> {
    match path.split_once('.') {
        None => table.get(path),
        Some((first, rest)) => find(table.get(first)?.as_table()?, rest),
    }
}

impl Source {
    /// The built-in files are in mm and N·m.
    pub fn new(own: &str, built_in: &str) -> Self {
        let own: Table = own.parse().expect("the file is not valid TOML");
        let built_in: Table = built_in.parse().expect("the built-in file is valid");
        let unit = |key: &str| {
            own.get(key)
                .and_then(Value::as_str)
                .unwrap_or_else(|| panic!("{key} is missing"))
        };
        let (mm, nm) = (length_unit(unit("length")), torque_unit(unit("torque")));
        Source {
            own,
            built_in,
            mm,
            nm,
            left_out: RefCell::new(Vec::new()),
        }
    }

    pub fn given(&self, path: &str) -> Option<&Value> {
        find(&self.own, path)
    }

    pub fn note_left_out(&self, path: &str) {
        self.left_out.borrow_mut().push(path.to_string());
    }

    /// The file's own value, and whether it is that.
    fn value(&self, path: &str) -> (&Value, bool) {
        if let Some(value) = self.given(path) {
            return (value, true);
        }
        self.note_left_out(path);
        match find(&self.built_in, path) {
            Some(value) => (value, false),
            None => panic!("{path} is missing"),
        }
    }

    fn scaled(&self, path: &str, unit: f64) -> f64 {
        let (value, own) = self.value(path);
        number_of(value, path) * if own { unit } else { 1.0 }
    }

    pub fn number(&self, path: &str) -> f64 {
        self.scaled(path, 1.0)
    }

    /// For what the built-in file leaves out as well.
    pub fn number_or(&self, path: &str, otherwise: f64) -> f64 {
        match self.given(path) {
            Some(value) => number_of(value, path),
            None => {
                self.note_left_out(path);
                otherwise
            }
        }
    }

    pub fn length(&self, path: &str) -> f64 {
        self.scaled(path, self.mm)
    }

    pub fn torque(&self, path: &str) -> f64 {
        self.scaled(path, self.nm)
    }

    pub fn per_length(&self, path: &str) -> f64 {
        self.scaled(path, 1.0 / self.mm)
    }

    pub fn count(&self, path: &str) -> usize {
        self.number(path) as usize
    }

    pub fn flag(&self, path: &str) -> bool {
        let (value, _) = self.value(path);
        value
            .as_bool()
            .unwrap_or_else(|| panic!("{path}: true or false"))
    }

    pub fn text(&self, path: &str) -> String {
        let (value, _) = self.value(path);
        let text = value.as_str().unwrap_or_else(|| panic!("{path}: a text"));
        text.to_string()
    }

    /// What the file must give itself.
    pub fn must_give(&self, path: &str) -> &Value {
        self.given(path)
            .unwrap_or_else(|| panic!("{path} is missing"))
    }

    pub fn own_number(&self, path: &str) -> f64 {
        number_of(self.must_give(path), path)
    }

    pub fn own_text(&self, path: &str) -> String {
        let text = self.must_give(path).as_str();
        text.unwrap_or_else(|| panic!("{path}: a text")).to_string()
    }

    pub fn numbers<const N: usize>(&self, path: &str) -> ([f64; N], bool) {
        let (value, own) = self.value(path);
        (array_of(value, path), own)
    }

    pub fn lengths(&self, path: &str) -> [f64; 2] {
        let (values, own) = self.numbers::<2>(path);
        values.map(|x| x * if own { self.mm } else { 1.0 })
    }

    pub fn torques(&self, path: &str) -> [f64; 2] {
        let (values, own) = self.numbers::<2>(path);
        values.map(|x| x * if own { self.nm } else { 1.0 })
    }

    /// A tolerance in the given unit. A table without a spread has the built-in spread.
    fn tolerance(&self, path: &str, unit: f64) -> Tolerance {
        match self.given(path) {
            Some(Value::Table(table)) if has_spread(table) => Tolerance::read(table, unit, path),
            Some(value) => {
                let nominal = match value {
                    Value::Table(table) => table.get("nominal").map(|v| number_of(v, path)),
                    other => Some(number_of(other, path)),
                };
                self.note_left_out(path);
                let mut merged = self.built_in_table(path);
                if let Some(nominal) = nominal {
                    let nominal = nominal * unit;
                    merged.insert("nominal".to_string(), Value::Float(nominal));
                }
                Tolerance::read(&merged, 1.0, path)
            }
            None => {
                self.note_left_out(path);
                Tolerance::read(&self.built_in_table(path), 1.0, path)
            }
        }
    }

    /// What the built-in axle has, or the figures named for a spacer, which it lacks.
    fn built_in_table(&self, path: &str) -> Table {
        let spacer = match path {
            "pinion_preload.gap" => Some("nominal = 56.0\ntol = 0.05"),
            "pinion_preload.spacer" => Some("nominal = 55.0\ntol = 0.025"),
            "as_built.closure" => Some("sigma = 0.015"),
            _ => None,
        };
        match (spacer, find(&self.built_in, path)) {
            (Some(text), _) => text.parse().expect("a small table"),
            (None, Some(Value::Table(table))) => table.clone(),
            _ => panic!("{path} is missing"),
        }
    }

    pub fn length_tolerance(&self, path: &str) -> Tolerance {
        self.tolerance(path, self.mm)
    }

    pub fn torque_tolerance(&self, path: &str) -> Tolerance {
        self.tolerance(path, self.nm)
    }

    pub fn plain_tolerance(&self, path: &str) -> Tolerance {
        self.tolerance(path, 1.0)
    }

    /// Whether a distance or height states where its middle lies.
    pub fn gives_nominal(&self, path: &str) -> bool {
        match self.given(path) {
            Some(Value::Table(table)) => {
                table.contains_key("nominal")
                    || table.contains_key("values")
                    || table.contains_key("from")
            }
            Some(_) => true,
            None => false,
        }
    }
}

pub fn array_of<const N: usize>(value: &Value, path: &str) -> [f64; N] {
    let list: Vec<f64> = value
        .as_array()
        .unwrap_or_else(|| panic!("{path}: a list"))
        .iter()
        .map(|v| number_of(v, path))
        .collect();
    list.try_into()
        .unwrap_or_else(|_| panic!("{path}: a list of {N} numbers"))
}
