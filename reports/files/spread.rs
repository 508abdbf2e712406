//! Tolerances as files write them.

use shimcast_sim::axle::tolerance::Tolerance;

use super::describe::Takes;
use super::fields::{Fields, IN_UNITS, Shape, ToleranceFlaw};
use super::measure::{Quantity, written};
use super::notes::Assumption;
use super::ranges::Typed;
use super::section::{BUILT_IN, FigureDefault, Limits, Section};
use super::tree::{Node, Value};

/// What a left-out `nominal` means.
pub(super) enum Nominal {
    /// Zero, as with every deviation and error: no assumption.
    Zero,
    /// The built-in one.
    BuiltIn,
    /// This figure in the model's units, for this reason.
    LeftOut(FigureDefault),
}

/// A tolerance that was read.
pub(super) struct Spread {
    pub tolerance: Tolerance,
    /// Whether the file left the nominal out where one is wanted.
    pub left_out: bool,
}

impl Section<'_> {
    /// A tolerance; what is left out of it comes from `nominal` and from the built-in file.
    pub(super) fn tolerance(
        &self,
        key: &'static str,
        q: Quantity,
        limits: Limits,
        nominal: Nominal,
    ) -> Spread {
        let usual = self.usual().and_then(|n| n.get(key));
        let (fields, middle) = usual.map_or_else(Default::default, |n| self.usual_fields(n));
        let nominal = match nominal {
            Nominal::BuiltIn => middle.map_or(Nominal::Zero, |x| {
                Nominal::LeftOut(FigureDefault::new(x, BUILT_IN))
            }),
            other => other,
        };
        self.tolerance_or(key, q, limits, nominal, &fields)
    }

    /// A tolerance of which the built-in file has none; left out, `nominal` with one spread.
    pub(super) fn tolerance_with(
        &self,
        key: &'static str,
        q: Quantity,
        limits: Limits,
        nominal: Nominal,
        spread: (&str, f64),
    ) -> Spread {
        let mut fields = Fields::default();
        if let Some(i) = IN_UNITS.iter().position(|k| *k == spread.0) {
            fields.in_units[i] = Some(spread.1);
        }
        self.tolerance_or(key, q, limits, nominal, &fields)
    }

    fn tolerance_or(
        &self,
        key: &'static str,
        q: Quantity,
        limits: Limits,
        nominal: Nominal,
        usual: &Fields,
    ) -> Spread {
        let usual = &usual.as_stated(q, self.units);
        let name = self.name(key);
        self.takes(key, false, || Takes::Tolerance(q));
        let node = self.stated(key);
        if node.is_none() && self.notes.record.is_some() {
            self.describe_inside(key, q, limits);
        }
        let nothing = Spread {
            tolerance: Tolerance::exact(0.0),
            left_out: false,
        };
        // a nominal of the file's own grid, so that stating it changes nothing
        let instead = match &nominal {
            Nominal::LeftOut(i) => {
                Some((q.of_nominal().to_file(i.figure, self.units), i.why.as_str()))
            }
            _ => None,
        };
        let Some(node) = node else {
            let (figure, why) = instead.unwrap_or((0.0, BUILT_IN));
            self.assume_whole(key, q, instead, usual, why);
            let nominal = q.to_model(figure, self.units);
            return Spread {
                tolerance: usual.build(nominal).unwrap_or(nothing.tolerance),
                left_out: instead.is_some(),
            };
        };
        if !matches!(node.value, Value::Table(_)) {
            self.refuse_bare(key, node);
            return nothing;
        }
        let inner = self.sub_again(key, node);
        inner.takes("nominal", false, || Takes::Figure(q, limits));
        let flawless = self.notes.problems.borrow().len();
        let stated = inner.stated("nominal").map(|n| {
            let x = inner.checked(
                n,
                &inner.name("nominal"),
                q,
                limits,
                instead.map(|(x, _)| x),
            );
            q.to_model(x, self.units)
        });
        let mut fields = inner.fields(q, limits);
        inner.finish();
        if self.notes.problems.borrow().len() > flawless {
            return nothing;
        }
        let listed = fields.values.is_some();
        if listed && stated.is_some() {
            self.wrong(
                node.place,
                format!("{name} draws from its values, so a nominal has no meaning"),
                Some("take the nominal out".to_owned()),
            );
            return nothing;
        }
        let left_out = stated.is_none() && instead.is_some() && !listed;
        let nominal = match (stated, instead) {
            (Some(x), _) => x,
            (None, Some((figure, why))) if !listed => {
                inner.assume(
                    "nominal",
                    &q.told_with(figure, self.units, &q.unit(self.units)),
                    written(figure),
                    why,
                );
                q.to_model(figure, self.units)
            }
            _ => 0.0,
        };
        if !fields.spreads() && !matches!(fields.shape, Some(Shape::Measured | Shape::Discrete)) {
            let given = fields.clone();
            fields = fields.or(usual);
            self.assume_spread(&name, q, &given, &fields);
        }
        match fields.build(nominal) {
            Ok(tolerance) => Spread {
                tolerance,
                left_out,
            },
            Err(flaw) => {
                self.refuse(&name, node, flaw);
                nothing
            }
        }
    }

    /// Notes a tolerance that a file may leave out with nothing in its place.
    pub(super) fn describe_tolerance(&self, key: &'static str, q: Quantity, limits: Limits) {
        if self.notes.record.is_some() {
            self.takes(key, false, || Takes::Tolerance(q));
            self.describe_inside(key, q, limits);
        }
    }

    /// Notes the keys of a tolerance that a file leaves out.
    fn describe_inside(&self, key: &str, q: Quantity, limits: Limits) {
        let nothing = Node {
            place: self.place(),
            value: Value::Table(Vec::new()),
        };
        let inner = self.sub_again(key, &nothing);
        inner.takes("nominal", false, || Takes::Figure(q, limits));
        inner.fields(q, limits);
    }

    /// A figure where a tolerance is wanted.
    fn refuse_bare(&self, key: &str, node: &Node) {
        let shown = node.figure().filter(|x| x.is_finite());
        let shown = shown.map_or("121.0".to_owned(), written);
        self.wrong(
            node.place,
            format!(
                "{} needs its tolerance too; this is {} alone",
                self.name(key),
                node.kind()
            ),
            Some(match node.text().and_then(Typed::of) {
                Some(typed) => typed.as_tolerance(key),
                None => format!(
                    "write {key} = {{ nominal = {shown}, tol = 0.06 }}, with your own figure for tol"
                ),
            }),
        );
    }

    /// A tolerance whose keys do not go together.
    fn refuse(&self, name: &str, node: &Node, flaw: ToleranceFlaw) {
        // where a --set broke a tolerance of the file, it is the one to mend
        let set = match &node.value {
            Value::Table(keys) => keys.iter().find(|e| self.notes.is_set(e.place)),
            _ => None,
        };
        let place = set.map_or(node.place, |e| e.place);
        self.wrong(place, format!("{name} {}", flaw.reason), flaw.help);
    }

    fn sub_again<'n>(&'n self, key: &str, node: &'n Node) -> Section<'n> {
        Section::one_of(self.notes, self.units, self.name(key), node)
    }

    /// Notes a tolerance that was left out altogether.
    fn assume_whole(
        &self,
        key: &str,
        q: Quantity,
        nominal: Option<(f64, &str)>,
        usual: &Fields,
        why: &str,
    ) {
        let mut pairs: Vec<String> = nominal
            .iter()
            .map(|(x, _)| format!("nominal = {}", written(*x)))
            .collect();
        pairs.extend(
            usual
                .written(q, self.units)
                .iter()
                .map(|(k, v)| format!("{k} = {v}")),
        );
        let shown = usual.shown(nominal.map(|(x, _)| x), q, self.units);
        let why = if nominal.is_some() && why != BUILT_IN {
            format!("nominal: {why}; spread: built-in")
        } else {
            why.to_owned()
        };
        self.assume(key, &shown, format!("{{ {} }}", pairs.join(", ")), &why);
    }

    /// Notes a spread that was left out of a stated tolerance.
    fn assume_spread(&self, name: &str, q: Quantity, given: &Fields, merged: &Fields) {
        let known: Vec<&str> = given
            .written(q, self.units)
            .iter()
            .map(|(k, _)| *k)
            .collect();
        let fill: Vec<(String, String)> = merged
            .written(q, self.units)
            .into_iter()
            .filter(|(k, _)| !known.contains(k))
            .map(|(k, v)| (format!("{name}.{k}"), v))
            .collect();
        let Some((key, _)) = fill.first() else {
            return;
        };
        self.notes.assume(Assumption {
            key: key.clone(),
            text: format!(
                "{name} spreads by {} ({BUILT_IN})",
                merged.shown(None, q, self.units)
            ),
            fill,
            others: Vec::new(),
        });
    }
}
