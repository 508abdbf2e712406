//! The fields of a form, made of what the reader asks for.

use super::FileKind;
use super::typed::as_it_is;
use crate::document::{Control, ControlKind, Controls, Otherwise};
use crate::files::{self, Described, Description, Quantity, Takes, every_key};
use crate::sentences::capital;

/// What the field of an entry stands at while the entry is to stay.
pub(super) const STAYS: &str = "stays";
/// Lists of a shop file, and what one of their entries is called.
const LISTS: [(&str, &str); 2] = [("shims", "shim series"), ("jobs", "kind of job")];

/// Whether it is an entry of a list.
pub(super) fn is_entry(of: &Described) -> bool {
    of.takes == Takes::Group && list_of(&of.key).is_some_and(|(_, rest)| !rest.contains('.'))
}

/// The list that a key belongs to, and the rest of the key.
fn list_of(key: &str) -> Option<(&'static str, &str)> {
    LISTS.iter().find_map(|(list, _)| {
        let rest = key.strip_prefix(list)?.strip_prefix('.')?;
        Some((*list, rest))
    })
}

/// The keys of one more entry of each list that a file may have.
pub(super) fn blank_entries(kind: &FileKind, description: &Description) -> Vec<Described> {
    if !matches!(kind, FileKind::Shop) {
        return Vec::new();
    }
    let currency = description.of("currency").map_or("", as_it_is);
    let pattern = every_key(files::FileKind::Shop, description.units);
    let entry = |mut of: Described| {
        let (list, rest) = list_of(&of.key)?;
        let inner = rest.strip_prefix("1.")?;
        let next = 1 + entries(description, list);
        of.key = format!("{list}.{next}.{inner}");
        if of.takes.quantity() == Some(Quantity::Money) {
            currency.clone_into(&mut of.unit);
        }
        Some(of)
    };
    pattern.into_iter().filter_map(entry).collect()
}

/// How many entries a list has.
fn entries(description: &Description, list: &str) -> usize {
    let of_list =
        |of: &&Described| is_entry(of) && list_of(&of.key).is_some_and(|(found, _)| found == list);
    description.keys.iter().filter(of_list).count()
}

/// The fields of a file, in the order of a full one.
#[derive(Debug, Clone, Default)]
pub struct Fields {
    /// Group by group what the file states or needs, and behind that, folded, what it leaves at a default,
    /// and one more entry of each list.
    pub first: Vec<Controls>,
    /// What few files state, and nothing is assumed of.
    pub rare: Vec<Controls>,
}

impl Fields {
    /// All groups.
    pub fn all(&self) -> impl Iterator<Item = &Controls> {
        self.first.iter().chain(&self.rare)
    }

    /// The same, to put something into them.
    pub fn all_mut(&mut self) -> impl Iterator<Item = &mut Controls> {
        self.first.iter_mut().chain(&mut self.rare)
    }
}

/// The fields of a file.
pub fn fields(description: &Description) -> Fields {
    controls(description, &[], &[], &[], &mut Vec::new())
}

/// The same with one more entry of each list, with what was typed in place of what the file says, and
/// flaws by key; those without a field go into `others`.
pub(super) fn controls(
    description: &Description,
    blank: &[Described],
    typed: &[(String, String)],
    flaws: &[(String, String)],
    others: &mut Vec<String>,
) -> Fields {
    let mut form = Form {
        typed,
        flaws: flaws.iter().map(|flaw| (flaw, false)).collect(),
        sections: vec![Section::of("the file", Vec::new())],
    };
    for of in &description.keys {
        form.add(of, description);
    }
    let mut more = Vec::new();
    for (list, called) in LISTS {
        let keys = blank
            .iter()
            .filter(|of| list_of(&of.key).is_some_and(|(found, _)| found == list));
        let fields: Vec<Control> = keys.map(|of| form.control(of, blank)).collect();
        let filled = |field: &Control| !field.value.is_empty() || field.problem.is_some();
        more.push(Controls {
            heading: format!("One more {called}"),
            folded: !fields.iter().any(filled),
            fields,
            ..Controls::default()
        });
    }
    let left = form.flaws.iter().filter(|(_, told)| !told);
    others.extend(left.map(|((key, said), _)| match key.as_str() {
        "" => said.clone(),
        key if said.contains(key) => said.clone(),
        key => format!("{key}: {said}"),
    }));
    let (mut first, mut at_default, mut rare) = (Vec::new(), Vec::new(), Vec::new());
    for section in form.sections {
        let [stated, left_out, few] = section.groups();
        first.push(stated);
        at_default.push(left_out);
        rare.push(few);
    }
    first.extend(at_default);
    first.extend(more);
    first.retain(|group| !group.fields.is_empty() || !group.said.is_empty());
    rare.retain(|group| !group.fields.is_empty());
    Fields { first, rare }
}

/// The fields below one heading.
struct Section {
    heading: String,
    said: Vec<String>,
    stated: Vec<Control>,
    at_default: Vec<Control>,
    rare: Vec<Control>,
}

impl Section {
    fn of(heading: &str, said: Vec<String>) -> Self {
        Self {
            heading: heading.to_owned(),
            said,
            stated: Vec::new(),
            at_default: Vec::new(),
            rare: Vec::new(),
        }
    }

    /// What is stated, what is at its default, and what few files state.
    fn groups(self) -> [Controls; 3] {
        let heading = capital(&self.heading);
        let folded = |what: &str, fields: Vec<Control>| Controls {
            heading: format!("{heading}: {what}"),
            fields,
            folded: true,
            ..Controls::default()
        };
        let mut stated = Controls {
            heading: heading.clone(),
            fields: self.stated,
            ..Controls::default()
        };
        let mut at_default = folded("at its default", self.at_default);
        let rare = folded("what few files state", self.rare);
        match stated.fields.is_empty() && !at_default.fields.is_empty() {
            true => at_default.said = self.said,
            false => stated.said = self.said,
        }
        [stated, at_default, rare]
    }
}

/// A form that is being made.
struct Form<'a> {
    typed: &'a [(String, String)],
    /// Flaws by key, and whether they have been told.
    flaws: Vec<(&'a (String, String), bool)>,
    sections: Vec<Section>,
}

impl Form<'_> {
    fn add(&mut self, of: &Described, description: &Description) {
        let is_top = !of.key.contains('.');
        if is_entry(of) || (is_top && of.takes.is_group()) {
            let said = [of.meaning.clone(), assumed_whole(of)];
            let said = said.into_iter().filter(|said| !said.is_empty());
            let mut section = Section::of(&heading(of), said.collect());
            if is_entry(of) {
                section.stated.push(self.control(of, &description.keys));
            }
            self.sections.push(section);
            return;
        }
        let group = matches!(
            of.takes,
            Takes::Group | Takes::Entries | Takes::Tolerance(_)
        );
        if group || (of.takes == Takes::Nothing && of.stated.is_none()) {
            return;
        }
        // what is wrong with a tolerance is told at the first of its fields that is stated
        let around = around(of, &description.keys);
        let around = around.filter(|outer| matches!(outer.takes, Takes::Tolerance(_)));
        let mut control = self.control(of, &description.keys);
        if let Some(outer) = around
            && (of.stated.is_some() || outer.stated.is_none())
            && control.problem.is_none()
        {
            control.problem = self.flaw(&outer.key);
        }
        let stated = of.stated.is_some() || of.needed;
        let stated = stated || control.problem.is_some() || control.value != as_it_is(of);
        let Some(section) = self.sections.last_mut() else {
            return;
        };
        let fields = match (stated, &of.assumed) {
            (true, _) => &mut section.stated,
            (false, Some(_)) => &mut section.at_default,
            (false, None) => &mut section.rare,
        };
        fields.push(control);
    }

    /// What is wrong with a key.
    fn flaw(&mut self, key: &str) -> Option<String> {
        let of_key = self.flaws.iter_mut().filter(|((of, _), _)| of == key);
        let said: Vec<&str> = of_key
            .map(|((_, said), told)| {
                *told = true;
                said.as_str()
            })
            .collect();
        (!said.is_empty()).then(|| said.join("; "))
    }

    fn control(&mut self, of: &Described, among: &[Described]) -> Control {
        let typed = self.typed.iter().find(|(key, _)| *key == of.key);
        let is = match is_entry(of) {
            true => STAYS,
            false => as_it_is(of),
        };
        let value = typed.map_or(is, |(_, text)| text);
        let changed = of.stated.is_some() && value.trim() != is;
        Control {
            help: help(of),
            unit: of.unit.clone(),
            value: value.to_owned(),
            otherwise: match (&of.stated, &of.assumed) {
                (Some(_), _) if changed && !is_entry(of) => Some(Otherwise::File(
                    format!("{is} {}", of.unit).trim_end().to_owned(),
                )),
                (None, Some(assumed)) => Some(Otherwise::Assumed(assumed.shown.clone())),
                _ => None,
            },
            problem: self.flaw(&of.key),
            key: key_in_section(of),
            ..Control::new(of.key.clone(), label(of, among), kind(of))
        }
    }
}

/// The heading of a group or an entry: `pinion preload`, `shims: P-38`.
fn heading(of: &Described) -> String {
    match of.name.split_once('.') {
        Some((list, name)) => format!("{}: {}", spaced(list), name.trim_matches('"')),
        None => spaced(&of.name),
    }
}

/// What holds in place of a list that the file leaves out.
fn assumed_whole(of: &Described) -> String {
    match (&of.takes, &of.assumed) {
        (Takes::Entries, Some(assumed)) => format!("assumed: {}", assumed.shown),
        _ => String::new(),
    }
}

/// The group that a key stands in.
fn around<'a>(of: &Described, among: &'a [Described]) -> Option<&'a Described> {
    let (outer, _) = of.key.rsplit_once('.')?;
    among.iter().find(|other| other.key == outer)
}

/// A key without the heading that it stands below: `mark.step`.
fn key_in_section(of: &Described) -> String {
    if is_entry(of) {
        return String::new();
    }
    let inner = match list_of(&of.key) {
        Some((_, rest)) => rest.split_once('.'),
        None => of.key.split_once('.'),
    };
    inner.map_or(of.key.as_str(), |(_, inner)| inner).to_owned()
}

/// What a key means, in so many words that no other of its section is called the same.
fn label(of: &Described, among: &[Described]) -> String {
    if is_entry(of) {
        return "This entry".to_owned();
    }
    capital(&called(of, among))
}

fn called(of: &Described, among: &[Described]) -> String {
    let own = match meaning(of).0 {
        "" => spaced(of.key.rsplit('.').next().unwrap_or(&of.key)),
        // the unit stands behind it
        meaning => meaning
            .strip_suffix(&format!(", {}", of.unit))
            .unwrap_or(meaning)
            .to_owned(),
    };
    let Some(outer) = around(of, among).filter(|outer| outer.key.contains('.') && !is_entry(outer))
    else {
        return own;
    };
    if matches!(outer.takes, Takes::Tolerance(_)) {
        return format!("{}: {own}", called(outer, among));
    }
    let section = |of: &Described| of.key.strip_suffix(&key_in_section(of)).map(str::to_owned);
    let again = |other: &Described| {
        other.key != of.key && other.meaning == of.meaning && section(other) == section(of)
    };
    match of.meaning.is_empty() || among.iter().any(again) {
        true => format!("{}: {own}", called(outer, among)),
        false => own,
    }
}

/// What a key means, and what is said beside that.
fn meaning(of: &Described) -> (&str, &str) {
    of.meaning.split_once("; ").unwrap_or((&of.meaning, ""))
}

fn spaced(key: &str) -> String {
    key.replace('_', " ")
}

/// What helps to fill a field in.
fn help(of: &Described) -> String {
    if is_entry(of) {
        return String::new();
    }
    if let Some(why) = &of.unused {
        return format!("has no effect here: {why}");
    }
    let limits = match &of.takes {
        Takes::Figure(_, limits) | Takes::Row(_, limits, _) => limits.told(),
        Takes::Whole(low, high) => format!("{low} to {high}"),
        _ => String::new(),
    };
    let order = match &of.takes {
        Takes::Row(_, _, order) => order.as_str(),
        Takes::AllWords => "a comma between them",
        _ => "",
    };
    let parts = [meaning(of).1, of.remark.as_str(), order, &limits];
    let parts = parts.into_iter().filter(|part| !part.is_empty());
    parts.collect::<Vec<_>>().join("; ")
}

fn kind(of: &Described) -> ControlKind {
    let pair = |sent: &str, shown: &str| (sent.to_owned(), shown.to_owned());
    let mut options = Vec::new();
    if !of.needed {
        options.push(pair("", "not stated"));
    }
    match &of.takes {
        _ if is_entry(of) => {
            ControlKind::Choice(vec![pair(STAYS, "stays"), pair("", "is taken out")])
        }
        Takes::Choice(words) | Takes::Unit(words) => {
            options.extend(words.iter().map(|word| pair(word, word)));
            ControlKind::Choice(options)
        }
        Takes::Flag => {
            options.extend([pair("true", "yes"), pair("false", "no")]);
            ControlKind::Choice(options)
        }
        Takes::GroupOr(word) => ControlKind::Choice(vec![pair("", "as below"), pair(word, word)]),
        Takes::Nothing => {
            let stated = as_it_is(of);
            ControlKind::Choice(vec![pair(stated, "stays"), pair("", "is taken out")])
        }
        Takes::Figure(..) | Takes::Whole(..) => ControlKind::Figure,
        Takes::Row(..) | Takes::Figures(..) => ControlKind::Figures,
        _ => ControlKind::Words,
    }
}
