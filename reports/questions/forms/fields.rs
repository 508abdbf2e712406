//! The fields of a form, made of what the reader asks for.

use super::FileKind;
use super::typed::as_it_is;
use crate::document::{Control, ControlKind, Controls, Otherwise};
use crate::files::{Described, Description, Quantity, Takes, Target, every_key};

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
    let pattern = every_key(Target::Shop, description.units);
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

/// The fields of a file, group by group in the order of a full one.
pub fn fields(description: &Description) -> Vec<Controls> {
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
) -> Vec<Controls> {
    let mut form = Form {
        typed,
        flaws: flaws.iter().map(|flaw| (flaw, false)).collect(),
        groups: vec![Controls::default()],
        rare: Controls::default(),
    };
    for of in &description.keys {
        form.add(of, description);
    }
    form.close_rare();
    for (list, called) in LISTS {
        let keys: Vec<&Described> = blank
            .iter()
            .filter(|of| list_of(&of.key).is_some_and(|(found, _)| found == list))
            .collect();
        if !keys.is_empty() {
            let mut more = Controls {
                heading: format!("One more {called}"),
                folded: true,
                ..Controls::default()
            };
            more.fields = keys.into_iter().map(|of| form.control(of)).collect();
            let filled = |field: &Control| !field.value.is_empty() || field.problem.is_some();
            more.folded = !more.fields.iter().any(filled);
            form.groups.push(more);
        }
    }
    let left = form.flaws.iter().filter(|(_, told)| !told);
    others.extend(left.map(|((key, said), _)| match key.as_str() {
        "" => said.clone(),
        key if said.contains(key) => said.clone(),
        key => format!("{key}: {said}"),
    }));
    let mut groups = form.groups;
    groups.retain(|group| !group.fields.is_empty() || !group.said.is_empty());
    groups
}

/// A form that is being made.
struct Form<'a> {
    typed: &'a [(String, String)],
    /// Flaws by key, and whether they have been told.
    flaws: Vec<(&'a (String, String), bool)>,
    groups: Vec<Controls>,
    /// The keys of the last group that few files state.
    rare: Controls,
}

impl Form<'_> {
    fn add(&mut self, of: &Described, description: &Description) {
        let is_top = !of.key.contains('.');
        if is_entry(of) || (is_top && of.takes.is_group()) {
            self.close_rare();
            let said = [of.meaning.clone(), assumed_whole(of)];
            let said = said.into_iter().filter(|said| !said.is_empty());
            self.groups.push(Controls {
                heading: heading(of),
                said: said.collect(),
                ..Controls::default()
            });
            if is_entry(of) {
                let control = self.control(of);
                self.push(control);
            }
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
        let around = of.key.rsplit_once('.').map(|(outer, _)| outer);
        let around = around.and_then(|outer| description.of(outer));
        let around = around.filter(|outer| matches!(outer.takes, Takes::Tolerance(_)));
        let mut control = self.control(of);
        if let Some(outer) = around
            && (of.stated.is_some() || outer.stated.is_none())
            && control.problem.is_none()
        {
            control.problem = self.flaw(&outer.key);
        }
        let plain = of.stated.is_some() || of.assumed.is_some() || of.needed;
        match plain || control.problem.is_some() || control.value != as_it_is(of) {
            true => self.push(control),
            false => self.rare.fields.push(control),
        }
    }

    fn push(&mut self, control: Control) {
        if let Some(group) = self.groups.last_mut() {
            group.fields.push(control);
        }
    }

    /// Puts what few files state behind the group that it belongs to.
    fn close_rare(&mut self) {
        let mut rare = std::mem::take(&mut self.rare);
        if rare.fields.is_empty() {
            return;
        }
        let of = self.groups.last().map_or("", |group| &group.heading);
        rare.heading = format!("{of}: what few files state")
            .trim_start_matches(": ")
            .to_owned();
        rare.folded = true;
        self.groups.push(rare);
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

    fn control(&mut self, of: &Described) -> Control {
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
            ..Control::new(of.key.clone(), label(of), kind(of))
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

/// What a key is called below the heading of its group: `mark: step`.
fn label(of: &Described) -> String {
    if is_entry(of) {
        return "this entry".to_owned();
    }
    let inner = match list_of(&of.key) {
        Some((_, rest)) => rest.split_once('.').map_or(rest, |(_, inner)| inner),
        None => of
            .key
            .split_once('.')
            .map_or(of.key.as_str(), |(_, inner)| inner),
    };
    spaced(&inner.replace('.', ": "))
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
    let parts = [of.meaning.as_str(), of.remark.as_str(), order, &limits];
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
        Takes::Choice(words) => {
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
