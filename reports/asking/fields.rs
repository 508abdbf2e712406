//! Questions as the fields of a form, and what was filled in as answers to them.

use super::figure::Measure;
use super::question::{Beside, Question, View, Wants};
use crate::document::{Control, ControlKind};
use crate::files::{Edited, Group, Said};

/// What was filled in and can't be taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// The field.
    pub name: String,
    /// What was filled in.
    pub typed: String,
    /// What is wrong with it.
    pub why: String,
}

/// A key that is to say something else, or nothing more.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// Where it stands.
    pub group: Group,
    /// The key.
    pub key: &'static str,
    /// What it is to say; nothing takes it out.
    pub said: Option<Said>,
    /// What stands behind a new one.
    pub comment: &'static str,
}

/// The name of a question's field: its dotted key, entries counted from 0.
pub fn name_of(question: &Question) -> String {
    let key = question.key;
    match question.group {
        Group::Top => key.to_owned(),
        Group::Under(names) => format!("{}.{key}", names.join(".")),
        Group::Entry(list, at) => format!("{list}.{at}.{key}"),
    }
}

/// The fields of those questions that apply, each standing at what the file says or, where that was
/// refused, at what was filled in.
pub fn fields(
    questions: &[Question],
    file: &Edited,
    beside: Beside<'_>,
    refused: &[Refused],
) -> Vec<Control> {
    let each = applying(questions, file, beside);
    let of = |(question, view): (Question, View<'_>)| {
        let name = name_of(&question);
        let wrong = refused.iter().find(|one| one.name == name);
        Control {
            value: wrong.map_or_else(|| value(&question, &view), |one| one.typed.clone()),
            problem: wrong.map(|one| one.why.clone()),
            ..field(&question, name, &view)
        }
    };
    each.map(of).collect()
}

/// The questions that apply, and those that the file answers all the same.
fn applying<'a>(
    questions: &'a [Question],
    file: &'a Edited,
    beside: Beside<'a>,
) -> impl Iterator<Item = (Question, View<'a>)> {
    let view = move |question: &Question| View {
        file,
        group: question.group,
        loaded: beside.loaded,
        series: beside.series,
    };
    let applies = move |question: &Question| (question.when)(&view(question));
    // where a key means one thing here and another there, only what it means here is asked
    let has_one_meaning = move |question: &Question| {
        let same = |other: &&Question| (other.group, other.key) == (question.group, question.key);
        questions.iter().filter(same).count() == 1
    };
    let stated = |question: &Question| file.stated(question.group, question.key).is_some();
    let each = questions.iter().filter(move |question| {
        applies(question) || (has_one_meaning(question) && stated(question))
    });
    each.map(move |question| (*question, view(question)))
}

fn field(question: &Question, name: String, view: &View<'_>) -> Control {
    let units = view.units();
    let kind = match question.wants {
        Wants::Figure(Measure::Profile, _) => ControlKind::Tooth,
        Wants::Figure(..) | Wants::Whole(..) => ControlKind::Figure,
        Wants::Figures(..) => ControlKind::Figures,
        Wants::Text | Wants::Day => ControlKind::Words,
        Wants::Flag => ControlKind::Tick,
        Wants::Choice(_) | Wants::Series => {
            let options = question.options(view).unwrap_or_default();
            let option = |(said, put): (Said, String)| (bare(&said), put);
            let mut options: Vec<(String, String)> = options.into_iter().map(option).collect();
            if !question.needed {
                options.insert(0, (String::new(), "not stated".to_owned()));
            }
            ControlKind::Choice(options)
        }
    };
    let example = match question.wants {
        Wants::Figure(of, _) | Wants::Figures(of, ..) if of != Measure::Plain => {
            format!("e.g. {}", of.example(units))
        }
        _ => String::new(),
    };
    let parts = [question.help, example.as_str()];
    let help = parts.into_iter().filter(|part| !part.is_empty());
    Control::new(name, question.words, kind)
        .unit(question.unit(units))
        .help(help.collect::<Vec<_>>().join("; "))
}

fn bare(said: &Said) -> String {
    said.written().trim_matches('"').to_owned()
}

/// What the file says, as it is filled in.
fn value(question: &Question, view: &View<'_>) -> String {
    let stated = || view.file.stated(question.group, question.key);
    match question.wants {
        Wants::Figures(..) => stated().map_or_else(String::new, |list| plain_list(&list)),
        Wants::Flag => stated().unwrap_or_else(|| "false".to_owned()),
        _ => match view.file.text(question.group, question.key) {
            Some(text) => text.to_owned(),
            None => stated().unwrap_or_default(),
        },
    }
}

/// The figures of a list without what a file puts around them.
fn plain_list(written: &str) -> String {
    let lines = written.lines();
    let lines = lines.map(|line| line.split('#').next().unwrap_or_default());
    let bare: Vec<&str> = lines.collect();
    let bare = bare.join(" ").replace(['[', ']', ','], " ");
    bare.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What is to be written of what was filled in, names and what was typed: nothing of what the file says
/// already, or of what no question asks about.
///
/// # Errors
/// Every field that can't be taken.
pub fn changes(
    questions: &[Question],
    file: &Edited,
    beside: Beside<'_>,
    pairs: &[(String, String)],
) -> Result<Vec<Change>, Vec<Refused>> {
    let (mut changes, mut refused) = (Vec::new(), Vec::new());
    for (question, view) in applying(questions, file, beside) {
        let name = name_of(&question);
        let Some((_, typed)) = pairs.iter().rev().find(|(of, _)| *of == name) else {
            continue;
        };
        let typed = typed.trim();
        if typed == value(&question, &view) {
            continue;
        }
        match heard(&question, &view, typed) {
            Ok(said) => changes.push(Change {
                group: question.group,
                key: question.key,
                said,
                comment: question.comment,
            }),
            Err(why) => refused.push(Refused {
                name,
                typed: typed.to_owned(),
                why,
            }),
        }
    }
    match refused.is_empty() {
        true => Ok(changes),
        false => Err(refused),
    }
}

/// What was typed; nothing takes the key out.
fn heard(question: &Question, view: &View<'_>, typed: &str) -> Result<Option<Said>, String> {
    let options = question.options(view);
    if typed.is_empty() {
        return match (question.needed, options) {
            (true, None) => Err("this one is needed".to_owned()),
            _ => Ok(None),
        };
    }
    let Some(options) = options else {
        return question.read(typed, view.units()).map(Some);
    };
    let words: Vec<String> = options.iter().map(|(said, _)| bare(said)).collect();
    let among = options.into_iter().find(|(said, _)| bare(said) == typed);
    match among {
        Some((said, _)) => Ok(Some(said)),
        None => Err(format!(
            "`{typed}` is none of what there is to choose from: {}",
            words.join(", ")
        )),
    }
}

/// Writes changes down.
///
/// # Errors
/// In words, where the file can't be written, or something else has changed it.
pub fn write(file: &mut Edited, changes: &[Change]) -> Result<(), String> {
    let stated = |change: &Change| file.stated(change.group, change.key).is_some();
    // what is not there need not be taken out, and no group is made for it
    let all: Vec<&Change> = changes
        .iter()
        .filter(|change| change.said.is_some() || stated(change))
        .collect();
    if all.is_empty() {
        return Ok(());
    }
    file.state_all(all.into_iter().map(|change| {
        let Change {
            group,
            key,
            said,
            comment,
        } = change;
        (*group, *key, said.as_ref(), *comment)
    }))
}
