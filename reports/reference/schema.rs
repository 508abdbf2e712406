//! What files may say, as JSON Schema: editors complete keys by it, explain them and mark what is wrong.

use serde_json::{Map, Number, Value, json};

use super::words::{by_axle, explained, of_file};
use crate::files::{
    Basis, FileKind, KnownKey, Limits, Quantity, Switch, Takes, basis, every_kind, united,
};
use crate::units::{BETWEEN, Units, spellings};

/// The schema of a kind of file, in whatever units. It takes every file that the program takes.
pub fn schema(kind: FileKind) -> Value {
    let mut kinds = every_kind(kind, Units::MODEL);
    // the units of a job are those of its axle, which nobody knows from the job file
    if kind == FileKind::Job {
        kinds.extend(every_kind(kind, Units::INCHES));
    }
    let keys = united(&kinds);
    let mut writer = Writer {
        keys: &keys,
        shared: Map::new(),
        of_tolerance: false,
    };
    let mut whole = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": of_file(kind).0,
        "description": of_file(kind).1,
    });
    extend(&mut whole, writer.group(""));
    let switched = kinds.iter().enumerate();
    let switched: Vec<Value> = switched
        .filter_map(|(place, (switch, _))| Some(writer.by_switch(place, (*switch)?)))
        .collect();
    if !switched.is_empty() {
        extend(&mut whole, json!({ "allOf": switched }));
    }
    if !writer.shared.is_empty() {
        extend(&mut whole, json!({ "$defs": writer.shared }));
    }
    whole
}

struct Writer<'a> {
    keys: &'a [KnownKey],
    /// Groups of which many keys take the same.
    shared: Map<String, Value>,
    /// Whether such a group is written now, in which nothing belongs to one key alone.
    of_tolerance: bool,
}

impl Writer<'_> {
    /// The keys right below a group, the file itself for "".
    fn below(&self, group: &str) -> impl Iterator<Item = (&str, &KnownKey)> {
        self.keys.iter().filter_map(move |known| {
            let (outer, last) = match known.of.key.rsplit_once('.') {
                Some((outer, last)) => (outer, last),
                None => ("", known.of.key.as_str()),
            };
            (outer == group).then_some((last, known))
        })
    }

    /// Whether every file states a key, or every entry: itself, or one inside it.
    fn needed(&self, known: &KnownKey) -> bool {
        let inside = || {
            self.below(&known.of.key)
                .any(|(_, inner)| self.needed(inner))
        };
        let kinds = || known.in_kinds.iter().flatten();
        let always = kinds().all(|(_, needed)| *needed) && kinds().next().is_some();
        always || (known.of.takes == Takes::Group && inside())
    }

    /// A group of keys, and no others.
    fn group(&mut self, key: &str) -> Value {
        let below: Vec<(String, KnownKey)> = self
            .below(key)
            .map(|(last, known)| (last.to_owned(), known.clone()))
            .collect();
        let needed: Vec<&String> = below
            .iter()
            .filter(|(_, known)| self.needed(known))
            .map(|(last, _)| last)
            .collect();
        let mut group = json!({ "type": "object", "additionalProperties": false });
        if !needed.is_empty() {
            extend(&mut group, json!({ "required": needed }));
        }
        let keys: Map<String, Value> = below
            .iter()
            .map(|(last, known)| (last.clone(), self.value(known)))
            .collect();
        extend(&mut group, json!({ "properties": keys }));
        group
    }

    /// What a key takes in any kind of file, explained.
    fn value(&mut self, known: &KnownKey) -> Value {
        let mut all: Vec<Value> = known
            .ways()
            .into_iter()
            .map(|way| self.taken(&known.of.key, way))
            .collect();
        let mut value = json!({ "description": explained(known, !self.of_tolerance) });
        if !self.of_tolerance
            && let Some(default) = default(known)
        {
            extend(&mut value, json!({ "default": default }));
        }
        match (all.len(), all.pop()) {
            (1, Some(only)) => extend(&mut value, only),
            (_, Some(last)) => {
                all.push(last);
                extend(&mut value, json!({ "anyOf": all }));
            }
            (_, None) => {}
        }
        value
    }

    /// What a key takes in one kind of file.
    fn taken(&mut self, key: &str, takes: &Takes) -> Value {
        match takes {
            Takes::Figure(q, limits) => figure(&[*q], *limits),
            Takes::Whole(low, high) => whole(*low, *high),
            Takes::Choice(words) => json!({ "enum": words }),
            Takes::Unit(words) => unit(words),
            Takes::Flag => json!({ "type": "boolean" }),
            Takes::Words => json!({ "type": "string", "pattern": "\\S" }),
            Takes::Row(all, limits, _) => {
                json!({ "type": "array", "items": figure(all, *limits), "minItems": all.len(), "maxItems": all.len() })
            }
            Takes::Figures(q, limits, most) => {
                let mut list = figures(*q, *limits, *most);
                extend(&mut list, json!({ "minItems": 1 }));
                list
            }
            Takes::Readings(q, limits, most) => {
                json!({ "anyOf": [figures(*q, *limits, *most), figure(&[*q], *limits)] })
            }
            Takes::AllWords => json!({ "type": "array", "items": { "type": "string" } }),
            Takes::Day => {
                json!({ "type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$" })
            }
            Takes::Counts(low, high) => {
                json!({ "type": "object", "additionalProperties": whole(*low, *high) })
            }
            Takes::FigureOr(q, limits, words) => {
                json!({ "anyOf": [figure(&[*q], *limits), { "enum": words }] })
            }
            Takes::Tolerance(quantity) => self.tolerance(key, *quantity),
            Takes::Group => self.group(key),
            Takes::GroupOr(word) => json!({ "anyOf": [self.group(key), { "const": word }] }),
            Takes::Entries => json!({ "type": "array", "items": self.group(&format!("{key}.1")) }),
            Takes::Nothing => Value::Bool(true),
        }
    }

    /// A tolerance, which is written down once for all of a quantity with the same limits.
    fn tolerance(&mut self, key: &str, quantity: Quantity) -> Value {
        let nominal = format!("{key}.nominal");
        let nominal = self.keys.iter().find(|known| known.of.key == nominal);
        let limits = match nominal.map(|known| &known.of.takes) {
            Some(Takes::Figure(_, limits)) => limits.told_whole(),
            _ => String::new(),
        };
        let name = format!("{quantity:?} {limits}")
            .trim()
            .replace(' ', "-")
            .to_lowercase();
        if !self.shared.contains_key(&name) {
            self.of_tolerance = true;
            let group = self.group(key);
            self.of_tolerance = false;
            self.shared.insert(name.clone(), group);
        }
        json!({ "$ref": format!("#/$defs/{name}") })
    }

    /// What holds where a word of the file makes it another kind, and what else.
    fn by_switch(&mut self, place: usize, (key, word): Switch) -> Value {
        let differs = |known: &KnownKey| known.in_kinds[place] != known.in_kinds[0];
        let differing: Vec<KnownKey> = self.keys.iter().filter(|k| differs(k)).cloned().collect();
        let inner = |key: &str| {
            let mut all = differing.iter();
            all.any(|outer| {
                key.strip_prefix(&outer.of.key)
                    .is_some_and(|rest| rest.starts_with('.'))
            })
        };
        let outermost = differing.iter().filter(|known| !inner(&known.of.key));
        let [mut other, mut usual] = [json!({}), json!({})];
        for known in outermost {
            let path: Vec<&str> = known.of.key.split('.').collect();
            for (into, kind) in [(&mut other, place), (&mut usual, 0)] {
                if let Some((takes, needed)) = &known.in_kinds[kind]
                    && *takes != Takes::Nothing
                {
                    let value = self.taken(&known.of.key, takes);
                    put(into, &path, value, *needed);
                }
            }
        }
        let mut made = json!({});
        let path: Vec<&str> = key.split('.').collect();
        put(&mut made, &path, json!({ "const": word }), true);
        json!({ "if": made, "then": other, "else": usual })
    }
}

/// Puts what a key takes at its place in nested groups; where it is needed, all around it are.
fn put(group: &mut Value, path: &[&str], value: Value, needed: bool) {
    let [first, rest @ ..] = path else {
        return;
    };
    if needed {
        let required = entry(group, "required", json!([]));
        if let Value::Array(all) = required
            && !all.contains(&json!(first))
        {
            all.push(json!(first));
        }
    }
    let properties = entry(group, "properties", json!({}));
    if rest.is_empty() {
        extend(properties, json!({ (*first): value }));
    } else {
        put(entry(properties, first, json!({})), rest, value, needed);
    }
}

/// What an object has under a name, which it is given where it is not there.
fn entry<'a>(object: &'a mut Value, name: &str, otherwise: Value) -> &'a mut Value {
    let object = object.as_object_mut().expect("an object");
    object.entry(name).or_insert(otherwise)
}

/// Puts what one object says into another.
fn extend(object: &mut Value, more: Value) {
    match (object, more) {
        (Value::Object(object), Value::Object(more)) => object.extend(more),
        (object, more) => *object = more,
    }
}

fn whole(low: u32, high: u32) -> Value {
    json!({ "type": "integer", "minimum": low, "maximum": high })
}

fn figures(of: Quantity, limits: Limits, most: usize) -> Value {
    json!({ "type": "array", "items": figure(&[of], limits), "maxItems": most })
}

/// What holds where a key is left out, where that is the same in every file.
fn default(known: &KnownKey) -> Option<Value> {
    let assumed = known.of.assumed.as_ref()?;
    let quantity = known.of.takes.quantity();
    let follows =
        by_axle(assumed) || basis(&known.of.key).is_none_or(|(of, _)| of == Basis::WorkedOut);
    if follows || quantity.is_some_and(Quantity::is_by_units) {
        return None;
    }
    let written: toml::Table = format!("default = {}", assumed.written).parse().ok()?;
    serde_json::to_value(written.get("default")?).ok()
}

/// A figure in its limits, and in what is believed of any such figure.
fn figure(of: &[Quantity], limits: Limits) -> Value {
    let furthest = of.iter().map(|q| q.most_in_any_unit()).fold(0.0, f64::max);
    let mut figure = json!({ "type": "number" });
    let [low, high] = limits.ends();
    let ends = [
        ("minimum", "exclusiveMinimum", low, -furthest),
        ("maximum", "exclusiveMaximum", high, furthest),
    ];
    for (at, beyond, end, furthest) in ends {
        let (name, figure_at) = match end {
            Some((end, true)) => (at, end),
            Some((end, false)) => (beyond, end),
            None => (at, furthest),
        };
        extend(&mut figure, json!({ name: number(figure_at) }));
    }
    figure
}

/// A figure as people write it: whole ones without a point.
fn number(figure: f64) -> Value {
    match figure.fract() == 0.0 {
        true => Value::Number(Number::from(figure as i64)),
        false => json!(figure),
    }
}

/// One of these units, or any other spelling that means one of them for certain.
fn unit(words: &[&str]) -> Value {
    let between: String = BETWEEN.iter().map(|c| escaped(*c)).collect();
    let between = format!("[{between}]*");
    let of_char = |c: char| match c.is_alphabetic() {
        true => format!("[{}{}]", c.to_lowercase(), c.to_uppercase()),
        false => escaped(c),
    };
    let spelt = |word: &&str| {
        let letters: Vec<String> = word.chars().map(of_char).collect();
        letters.join(&between)
    };
    let all = words.iter().flat_map(|word| spellings(word));
    let all: Vec<String> = all.map(spelt).collect();
    let pattern = format!("^{between}({}){between}$", all.join("|"));
    json!({ "anyOf": [{ "enum": words }, { "type": "string", "pattern": pattern }] })
}

/// A sign that stands for itself in a pattern.
fn escaped(c: char) -> String {
    match c {
        '.' | '-' | '*' => format!("\\{c}"),
        c => c.to_string(),
    }
}
