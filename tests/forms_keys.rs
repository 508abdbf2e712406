//! Every key of a form: changed alone, typed in as it is assumed, sorted by what it does.

use std::collections::HashSet;
use std::ops::ControlFlow;

use shimcast::document::{Control, ControlKind, Otherwise};
use shimcast::files::{Described, EXAMPLES, Source, Takes, load, load_axle_alone};
use shimcast::questions::assumed::{Effect, Files, Headline, effects};
use shimcast::questions::context::set_up_as;
use shimcast::questions::forms::by_effect;
use shimcast_sim::axle::Condition;
use shimcast_sim::chance::run::Until;
use shimcast_sim::compare::compare;
use shimcast_sim::count::estimate::Estimate;

use crate::forms::{Own, field, told};

/// Keys of which another value alone makes no axle or shop.
const TOGETHER: [&str; 6] = ["length", "torque", "seat", "by", "stock", "part_numbers"];

/// Another value that a key may have, as somebody types it.
fn another(of: &Described, field: &Control) -> Option<String> {
    let last = of.key.rsplit('.').next().unwrap_or(&of.key);
    let stated = &of.stated.as_ref()?.typed;
    // bevel gears have spiral angles of their own
    let bevel = of.key == "gears.offset" && stated == "0.0";
    if TOGETHER.contains(&last) || bevel {
        return None;
    }
    let nearly = |figure: &str| -> String {
        let figure: f64 = figure.parse().expect("a figure");
        let other = if figure == 0.0 { 0.001 } else { figure * 0.999 };
        format!("{other:.7}").replace('.', ",")
    };
    Some(match &of.takes {
        Takes::Figure(..) | Takes::FigureOr(..) if stated.parse::<f64>().is_ok() => {
            match stated.contains('e') {
                true => "0.0000061".to_owned(),
                false => nearly(stated),
            }
        }
        Takes::Whole(low, high) => {
            let whole: u32 = stated.parse().expect("a whole number");
            let other = if whole > *low { whole - 1 } else { whole + 1 };
            assert!((low..=high).contains(&&other));
            other.to_string()
        }
        Takes::Row(..) | Takes::Figures(..) => {
            let all: Vec<String> = stated.split(' ').map(nearly).collect();
            all.join(" ")
        }
        Takes::Choice(_) | Takes::Flag | Takes::FigureOr(..) => {
            let ControlKind::Choice(options) = &field.kind else {
                return (stated == "fine").then(|| "normal".to_owned());
            };
            let mut sent = options.iter().map(|(sent, _)| sent);
            sent.find(|sent| !sent.is_empty() && *sent != stated)?
                .clone()
        }
        Takes::Words => format!("{stated} \"2\""),
        _ => return None,
    })
}

/// Figures without zeros behind them, words as they are.
fn bare(text: &str) -> String {
    let text = text.replace(',', ".");
    let word = |word: &str| match word.parse::<f64>() {
        Ok(figure) => figure.to_string(),
        Err(_) => word.to_owned(),
    };
    let words: Vec<String> = text.split(' ').map(word).collect();
    words.join(" ")
}

#[test]
fn keys_of_each_example_are_changed_alone_and_read_back() {
    let mut changed = 0;
    for file in EXAMPLES {
        let own = Own::of(file.name);
        let form = own.form();
        assert_eq!(told(&form), Vec::<String>::new(), "{}", file.name);
        // a shape has its own ways to say how it spreads
        let stated = form.keys.iter().filter(|of| {
            let stated = of.stated.is_some() && !of.takes.is_group();
            stated && !of.key.ends_with(".shape")
        });
        let others: Vec<(&Described, String)> = stated
            .filter_map(|of| Some((of, another(of, field(&form, &of.key))?)))
            .collect();
        // key by key, or a few at once where the keys are the same
        let together = match file.name {
            "rowan-215.axle.toml" | "north-bench.shop.toml" => 1,
            _ => 6,
        };
        for chunk in others.chunks(together) {
            let typed: Vec<(&str, &str)> = chunk
                .iter()
                .map(|(of, other)| (of.key.as_str(), other.as_str()))
                .collect();
            own.written(&typed);
            let line = |of: &Described| of.stated.as_ref().map_or(0, |stated| stated.line as usize);
            let lines: HashSet<usize> = chunk.iter().map(|(of, _)| line(of)).collect();
            let now = own.now();
            assert_eq!(now.lines().count(), file.text.lines().count(), "{typed:?}");
            for (at, (old, new)) in file.text.lines().zip(now.lines()).enumerate() {
                assert_eq!(old != new, lines.contains(&(at + 1)), "{typed:?}: {new}");
                let comment = |line: &str| line.split_once('#').map(|(_, said)| said.to_owned());
                assert_eq!(comment(old), comment(new), "{typed:?}");
            }
            let after = own.form();
            for (of, other) in chunk {
                let read = after.keys.iter().find(|after| after.key == of.key);
                let read = read
                    .and_then(|of| of.stated.as_ref())
                    .expect("a stated key");
                assert_eq!(bare(&read.typed), bare(other), "{}: {}", file.name, of.key);
                changed += 1;
            }
            own.as_it_was();
        }
    }
    assert!(changed > 700, "{changed}");
}

#[test]
fn what_is_assumed_can_be_typed_in_and_changes_nothing() {
    for name in ["short.axle.toml", "short-inch.axle.toml"] {
        let own = Own::of(name);
        let source = Source::File(own.file.path.clone());
        let before = load_axle_alone(&source, &[]).expect("an example");
        let form = own.form();
        let mut typed = 0;
        for of in form.keys.iter().filter(|of| !of.takes.is_group()) {
            let Some(assumed) = &of.assumed else { continue };
            let Otherwise::Assumed(shown) =
                field(&form, &of.key).otherwise.as_ref().expect(&of.key)
            else {
                panic!("{} is assumed", of.key);
            };
            assert!(!shown.is_empty());
            let text = assumed
                .written
                .trim_matches(['[', ']', '"'])
                .replace(',', "");
            own.written(&[(&of.key, &text)]);
            let after = load_axle_alone(&source, &[]).unwrap_or_else(|e| panic!("{}: {e}", of.key));
            // a figure as somebody types it is good to a ten-millionth
            let far = format!("{:?}", after.axle) != format!("{:?}", before.axle);
            let short = text
                .split(' ')
                .all(|word| word.split('.').nth(1).is_none_or(|d| d.len() < 7));
            assert!(
                !far || !short,
                "{}: {text}\n{:?}\n{:?}",
                of.key,
                after.axle,
                before.axle
            );
            own.as_it_was();
            typed += 1;
        }
        assert!(typed > 60, "{typed}");
    }
}

#[test]
fn what_is_assumed_is_sorted_by_what_it_does() {
    let own = Own::of("short.axle.toml");
    let sources = [Source::File(own.file.path.clone()), Source::BuiltIn];
    let loaded = load(&sources[0], &sources[1], &[]).unwrap_or_else(|e| panic!("{e}"));
    let new = Condition::New;
    let setup = set_up_as(&loaded, new, new).unwrap_or_else(|e| panic!("{e}"));
    let job = Files {
        sources: &sources,
        set: &[],
        loaded: &loaded,
    };
    let effects = effects(Headline::Cost, job, &setup, 1);
    assert!(effects.len() > 30, "{}", effects.len());
    let size = |at: usize| effects[at].change.value.abs();
    assert!((1..8).all(|at| size(at - 1) >= size(at)));
    assert!(effects[0].seen && size(0) > 1.0, "{:?}", effects[0]);
    let keys: HashSet<&str> = effects.iter().map(|effect| effect.key.as_str()).collect();
    assert_eq!(keys.len(), effects.len(), "each key once");
    let form = own.form();
    let sorted = by_effect(&form, &effects, "EUR");
    let of_axle = |effect: &&Effect| form.keys.iter().any(|of| effect.key.starts_with(&of.key));
    let effect = effects.iter().find(of_axle).expect("one of the axle's own");
    let first = &effect.key;
    let field = &sorted.fields[0];
    assert!(field.name.starts_with(first), "{} of {first}", field.name);
    assert!(field.help.contains(" EUR"), "{}", field.help);
    assert!(matches!(field.otherwise, Some(Otherwise::Assumed(_))));
    // the headline that is played anew says the same
    let of_first = loaded
        .assumptions
        .iter()
        .find(|assumption| assumption.key == *first);
    let variations = of_first.expect("an assumption").variations();
    let meant = variations
        .iter()
        .find(|variation| variation.said == effect.said);
    let other = load(&sources[0], &sources[1], &meant.expect("a variation").set);
    let other = other.unwrap_or_else(|e| panic!("{e}"));
    let other = set_up_as(&other, new, new).unwrap_or_else(|e| panic!("{e}"));
    let until = Until::Rebuilds(40_000);
    let again = compare(
        &[setup, other],
        2,
        until,
        &mut |_| ControlFlow::Continue(()),
    );
    let again = again.differences[0].money;
    let apart = (again.value - effect.change.value).abs();
    let half = |estimate: &Estimate| 0.5 * (estimate.high - estimate.low);
    // four standard errors: 1 seed in 16000 is further off
    assert!(
        apart < 2.0 * half(&again).hypot(half(&effect.change)),
        "{again:?}"
    );
}
