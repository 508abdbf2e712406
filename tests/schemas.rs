//! The schemas of the files, held against what the program takes and refuses.

use std::path::Path;

use jsonschema::Validator;
use serde_json::{Value, json};
use shimcast::files::{
    FileKind, KnownKey, Limits, Source, Takes, every_kind, load, load_job, united,
};
use shimcast::reference::schema;
use shimcast::units::{Length, Torque, Units};

use crate::given::{Folder, has, set, text_of};

pub const KINDS: [FileKind; 3] = [FileKind::Axle, FileKind::Shop, FileKind::Job];
const MODEL: Units = Units {
    length: Length::Millimetre,
    torque: Torque::NewtonMetre,
};

const INCHES: Units = Units {
    length: Length::Inch,
    torque: Torque::PoundForceInch,
};

fn parsed(kind: FileKind) -> Value {
    serde_json::from_str(&schema(kind)).expect("a schema is JSON")
}

fn validator(kind: FileKind) -> Validator {
    let schema = parsed(kind);
    jsonschema::meta::validate(&schema).unwrap_or_else(|e| panic!("{e}"));
    jsonschema::draft202012::new(&schema).unwrap_or_else(|e| panic!("{e}"))
}

/// A file as editors hold it against a schema.
fn as_json(text: &str) -> Value {
    fn of(value: &toml::Value) -> Value {
        match value {
            toml::Value::String(text) => json!(text),
            toml::Value::Integer(whole) => json!(whole),
            toml::Value::Float(figure) => json!(figure),
            toml::Value::Boolean(flag) => json!(flag),
            toml::Value::Datetime(day) => json!(day.to_string()),
            toml::Value::Array(list) => list.iter().map(of).collect(),
            toml::Value::Table(table) => {
                let entries = table.iter().map(|(key, value)| (key.clone(), of(value)));
                Value::Object(entries.collect())
            }
        }
    }
    let table: toml::Table = text.parse().unwrap_or_else(|e| panic!("{e}: {text}"));
    of(&toml::Value::Table(table))
}

#[track_caller]
fn valid(validator: &Validator, file: &Value, about: &str) {
    let wrong: Vec<String> = validator
        .iter_errors(file)
        .map(|e| format!("{}: {e}", e.instance_path()))
        .collect();
    assert!(wrong.is_empty(), "{about}: {wrong:#?}");
}

/// Every key of a kind of file, in whatever units.
pub fn keys(kind: FileKind) -> Vec<KnownKey> {
    let mut kinds = every_kind(kind, MODEL);
    // the units of a job are those of its axle
    if kind == FileKind::Job {
        kinds.extend(every_kind(kind, INCHES));
    }
    united(&kinds)
}

#[test]
fn every_file_of_ours_is_as_its_schema_says() {
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let of_kind = KINDS.map(|kind| (kind, validator(kind)));
    let mut seen = 0;
    for folder in [examples.clone(), examples.join("jobs")] {
        for entry in std::fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            let name = path.display().to_string();
            let of = of_kind
                .iter()
                .find(|(kind, _)| name.ends_with(kind.ending()));
            if let Some((_, validator)) = of {
                let text = std::fs::read_to_string(&path).expect("text");
                valid(validator, &as_json(&text), &name);
                seen += 1;
            }
        }
    }
    assert!(seen >= 50, "{seen}");
}

/// Forms that no example has.
#[test]
fn what_the_program_takes_the_schemas_take() {
    let folder = Folder::new("schema-forms");
    folder.file("heights.csv", b"height\n120.98\n121.01\n121.02\n");
    let validator = validator(FileKind::Axle);
    let rowan = text_of("rowan-215.axle.toml");
    let seat = "head_seat   = { nominal = 121.00, tol = 0.06 }";
    let forms = [
        (seat, "head_seat = { tol = 0.06 }"),
        (
            seat,
            "head_seat = { nominal = 121, minus = 0.02, plus = 0.05 }",
        ),
        (seat, "head_seat = { nominal = 121.0, sigma = 0.02 }"),
        (
            seat,
            "head_seat = { nominal = 121.0, cv = 0.0002, shape = \"lognormal\" }",
        ),
        (
            seat,
            "head_seat = { nominal = 121.0, tol = 0.02, shape = \"uniform\", inspected = true }",
        ),
        (
            seat,
            "head_seat = { nominal = 121.0, tol = 0.02, cpk = 1.2, lot_share = 0.4 }",
        ),
        (
            seat,
            "head_seat = { shape = \"measured\", values = [120.98, 121, 121.03] }",
        ),
        (
            seat,
            "head_seat = { shape = \"discrete\", values = [120.98, 121.03], weights = [3, 1] }",
        ),
        (
            seat,
            "head_seat = { shape = \"measured\", from = \"heights.csv\", column = \"height\" }",
        ),
        (seat, ""),
        ("length = \"mm\"", "length = \"Milli-Metres\""),
        ("torque = \"N.m\"", "torque = \"N·m\""),
        (
            "thread_pitch     = 1.5",
            "thread_pitch = 1.5\ngap = \"no effect here\"",
        ),
        ("[ 2.00, 2.10 ]", "[ 2, 2.1 ]"),
        (
            "stock = \"S-80\"\nusual = [ 2.00, 2.10 ]",
            "usual = [ 0.0, 2.1 ]\n",
        ),
    ];
    for (was, is) in forms {
        let mut text = rowan.replacen(was, is, 1);
        assert_ne!(text, rowan, "{was}");
        if is.contains("usual = [ 0.0") {
            text = text.replace("seat  = \"outboard\"", "seat  = \"screw adjusters\"");
        }
        let axle = folder.file("a.axle.toml", text.as_bytes());
        load(&axle, &Source::BuiltIn, &[]).unwrap_or_else(|e| panic!("{is}: {e}"));
        valid(&validator, &as_json(&text), is);
    }
    let shop = text_of("north-bench.shop.toml");
    let validator = self::validator(FileKind::Shop);
    for (was, is) in [
        ("{ sigma = 0.003 }", "\"none\""),
        (
            "tol      = \"fine\"",
            "tol = 0.01\nsupplier = \"A\"\nleast_order = 2",
        ),
        ("[drawer] ", "[ drawer ] "),
    ] {
        let text = shop.replacen(was, is, 1);
        assert_ne!(text, shop, "{was}");
        let shop = folder.file("a.shop.toml", text.as_bytes());
        load(&Source::BuiltIn, &shop, &[]).unwrap_or_else(|e| panic!("{is}: {e}"));
        valid(&validator, &as_json(&text), is);
    }
    let least = "name = \"A\"\nlength = \"in\"\ntorque = \"in-lb\"\ncurrency = \"USD\"\n";
    valid(&validator, &as_json(least), "the least shop");
    let validator = self::validator(FileKind::Job);
    for text in [
        "axle = \"rowan-215.axle.toml\"\n".to_owned(),
        job_with("assemblies.1.backlash", "0.15"),
        job_with("assemblies.1.torque", "[]")
            .replace("far = 2.1", "far = 2.1\non = \"real bearings\""),
        job_with("done.date", "\"2031-04-09\""),
        job_with("done.date", "2031-04-09"),
        job_with("done.spoiled", "{ \"P-38\" = 1 }"),
        "axle = \"rowan-215.axle.toml\"\ndone = {}\nknown = {}\n".to_owned(),
    ] {
        assert_eq!(refused_job(&folder, &text), None, "{text}");
        valid(&validator, &as_json(&text), &text);
    }
    // what stands in a job file of an axle with adjusters in inches
    let tamarack = "axle = \"tamarack-88.axle.toml\"\n[[assemblies]]\npinion = 0.035\nring = 0.0\nfar = -0.01\n";
    valid(&validator, &as_json(tamarack), "adjusters");
}

/// A job file in which this key, and what it needs beside it, is stated.
fn job_with(key: &str, value: &str) -> String {
    let mut text = String::from("axle = \"rowan-215.axle.toml\"\n");
    let (group, last) = key.rsplit_once('.').unwrap_or(("", key));
    let line = format!("{last} = {value}\n");
    match group {
        "" if last == "axle" => text = line,
        "" => text.push_str(&line),
        "assemblies.1" => {
            text.push_str("[[assemblies]]\n");
            for needed in ["pinion = 0.9\n", "ring = 2.0\n", "far = 2.1\n"] {
                if !needed.starts_with(&format!("{last} ")) {
                    text.push_str(needed);
                }
            }
            text.push_str(&line);
        }
        group => text.push_str(&format!("[{group}]\n{line}")),
    }
    text
}

/// What the program says against a job file.
fn refused_job(folder: &Folder, text: &str) -> Option<String> {
    let axle = text_of("rowan-215.axle.toml");
    folder.file("rowan-215.axle.toml", axle.as_bytes());
    folder.file("a.job.toml", text.as_bytes());
    let read = load_job(&folder.path("a.job.toml"), &Source::BuiltIn, &[]);
    read.err().map(|problems| problems.to_string())
}

/// Values just outside what a key takes, and of a kind that it does not take.
fn wrong(takes: &Takes) -> Vec<String> {
    let outside = |limits: &Limits| {
        let [low, high] = limits.ends();
        let beyond = |end: Option<(f64, bool)>, step: f64| {
            end.map(|(end, may)| if may { end + step } else { end })
        };
        let ends = [beyond(low, -0.001), beyond(high, 0.001)];
        let ends = ends.into_iter().flatten().chain([2e9]);
        ends.map(|x| format!("{x:?}")).collect::<Vec<_>>()
    };
    let mut all = match takes {
        Takes::Figure(_, limits) | Takes::FigureOr(_, limits, _) => outside(limits),
        Takes::Whole(low, high) => {
            let below = low
                .checked_sub(1)
                .map_or("-1".to_owned(), |x| x.to_string());
            vec![below, (high + 1).to_string(), "1.5".to_owned()]
        }
        Takes::Row(of, limits, _) => {
            let row = |x: &String| format!("[{}]", vec![x.as_str(); of.len()].join(", "));
            let mut rows: Vec<String> = outside(limits).iter().map(row).collect();
            rows.extend(["[]".to_owned(), "1.0".to_owned()]);
            rows
        }
        Takes::Figures(_, limits, _) => {
            let mut lists: Vec<String> = outside(limits).iter().map(|x| format!("[{x}]")).collect();
            lists.push("1.0".to_owned());
            lists
        }
        Takes::Readings(_, limits, _) => {
            let single = outside(limits);
            let lists = single.iter().map(|x| format!("[{x}]"));
            lists
                .collect::<Vec<_>>()
                .into_iter()
                .chain(single)
                .collect()
        }
        Takes::Counts(low, high) => {
            assert_eq!(*low, 0);
            vec![format!("{{ \"P-38\" = {} }}", high + 1)]
        }
        Takes::Words => vec!["\" \"".to_owned(), "true".to_owned()],
        Takes::Day => vec!["7".to_owned(), "\"tomorrow\"".to_owned()],
        Takes::AllWords | Takes::Flag | Takes::Choice(_) | Takes::Unit(_) => vec!["7.5".to_owned()],
        _ => vec!["7.5".to_owned(), "[1.0]".to_owned()],
    };
    if !matches!(takes, Takes::Words) {
        all.push("\"no such word\"".to_owned());
    }
    all
}

/// Puts a value at a key, entries by their place from 1.
fn put(file: &mut Value, key: &str, value: Value) {
    let mut at = file;
    for part in key.split('.') {
        at = match part.parse::<usize>() {
            Ok(place) => &mut at[place - 1],
            Err(_) => &mut at[part],
        };
    }
    *at = value;
}

#[test]
fn what_the_program_refuses_of_axles_and_shops_the_schemas_refuse() {
    let spacer = ["pinion_preload.stock=P-38", "pinion_preload.usual=1.0"];
    let mut tried = 0;
    for (kind, example) in [
        (FileKind::Axle, "rowan-215.axle.toml"),
        (FileKind::Shop, "north-bench.shop.toml"),
    ] {
        let validator = validator(kind);
        let kinds = every_kind(kind, MODEL);
        for known in keys(kind) {
            let asked = known.in_kinds.iter().zip(&kinds);
            let mut asked = asked.filter_map(|(of, (switch, _))| Some((of.as_ref()?, switch)));
            let found = asked.find(|((takes, _), _)| *takes != Takes::Nothing);
            let ((takes, _), switch) = found.expect("a key that takes something");
            let last = known.of.key.rsplit('.').next().expect("a part");
            // an entry is no key of its own
            if last.parse::<u32>().is_ok() {
                continue;
            }
            let mut beside: Vec<String> = Vec::new();
            if let Some((key, word)) = switch {
                beside.push(format!("{key}={word}"));
                beside.extend(spacer.iter().map(|&set| set.to_owned()));
            }
            for value in wrong(takes) {
                let mut file = as_json(text_of(example));
                let given = format!("{}={value}", known.of.key);
                let all: Vec<&str> = beside.iter().chain([&given]).map(String::as_str).collect();
                for one in &all {
                    let (key, value) = one.split_once('=').expect("a value");
                    let read = format!("x = {value}").parse::<toml::Table>();
                    let value = read.map_or_else(
                        |_| json!(value),
                        |_| as_json(&format!("x = {value}"))["x"].clone(),
                    );
                    put(&mut file, key, value);
                }
                let prefix = if kind == FileKind::Axle {
                    "axle"
                } else {
                    "shop"
                };
                let all: Vec<String> = all.iter().map(|one| format!("{prefix}.{one}")).collect();
                let all: Vec<&str> = all.iter().map(String::as_str).collect();
                let read = load(&Source::BuiltIn, &Source::BuiltIn, &set(&all));
                assert!(read.is_err(), "{given} is taken");
                assert!(
                    !validator.is_valid(&file),
                    "{given} is no flaw to the schema"
                );
                tried += 1;
            }
        }
    }
    assert!(tried > 1000, "{tried}");
}

#[test]
fn what_the_program_refuses_of_jobs_the_schema_refuses() {
    let folder = Folder::new("schema-jobs");
    let validator = validator(FileKind::Job);
    let mut tried = 0;
    for known in keys(FileKind::Job) {
        let last = known.of.key.rsplit('.').next().expect("a part");
        if last.parse::<u32>().is_ok() {
            continue;
        }
        // what another axle may have, or the same figure in other units, is no flaw
        let elsewhere = |value: &str| {
            let figure: Option<f64> = value.parse().ok();
            let takes = |way: &&Takes| match (way, figure) {
                (Takes::Figure(_, limits), Some(x)) => limits.cover(Limits::Within(x, x)),
                _ => false,
            };
            known.ways().iter().any(takes)
        };
        let values = known.ways().into_iter().flat_map(wrong);
        for value in values.filter(|value| !elsewhere(value)) {
            let text = job_with(&known.of.key, &value);
            assert!(refused_job(&folder, &text).is_some(), "{text} is taken");
            assert!(!validator.is_valid(&as_json(&text)), "{text}");
            tried += 1;
        }
    }
    assert!(tried > 100, "{tried}");
}

#[test]
fn a_key_that_no_file_has_and_one_that_is_missing_are_refused() {
    for (kind, text) in [
        (FileKind::Axle, text_of("rowan-215.axle.toml").to_owned()),
        (FileKind::Shop, text_of("north-bench.shop.toml").to_owned()),
        (
            FileKind::Job,
            job_with("known.gauge", "0.9")
                + "[[assemblies]]\npinion = 0.9\nring = 2.0\nfar = 2.1\n",
        ),
    ] {
        let validator = validator(kind);
        let file = as_json(&text);
        valid(&validator, &file, "as it is");
        let all = keys(kind);
        let groups = all.iter().filter(|known| {
            let usual = known.in_kinds[0].as_ref().map(|(takes, _)| takes);
            matches!(usual, Some(Takes::Group | Takes::Tolerance(_)))
        });
        for group in groups {
            let mut with = file.clone();
            put(&mut with, &format!("{}.nonsense", group.of.key), json!(1.0));
            assert!(!validator.is_valid(&with), "{}", group.of.key);
        }
        let needed = all.iter().filter(|known| {
            known.in_kinds[0]
                .as_ref()
                .is_some_and(|(_, needed)| *needed)
        });
        for known in needed {
            let (group, last) = known.of.key.rsplit_once('.').unwrap_or(("", &known.of.key));
            let mut without = file.clone();
            let at = match group {
                "" => Some(&mut without),
                group => without
                    .pointer_mut(&format!("/{}", group.replace(".1", ".0").replace('.', "/"))),
            };
            let at = at.and_then(Value::as_object_mut).expect("a group");
            assert!(at.remove(last).is_some(), "{}", known.of.key);
            assert!(!validator.is_valid(&without), "{}", known.of.key);
        }
    }
}

#[test]
fn every_key_is_in_its_schema_with_what_it_means() {
    fn inside<'a>(whole: &'a Value, at: &'a Value, part: &str) -> Option<&'a Value> {
        if part.parse::<u32>().is_ok() {
            return Some(&at["items"]);
        }
        let named = at["$ref"]
            .as_str()
            .map(|name| &whole["$defs"][name.trim_start_matches("#/$defs/")]);
        let ways = at["anyOf"].as_array().into_iter().flatten();
        let mut places = std::iter::once(at).chain(named).chain(ways.clone());
        let own = places.find_map(|place| place["properties"].get(part));
        own.or_else(|| {
            ways.filter(|way| *way != at)
                .find_map(|way| inside(whole, way, part))
        })
    }
    for kind in KINDS {
        let whole = parsed(kind);
        for known in keys(kind) {
            let mut parts = known.of.key.split('.');
            let found = parts
                .clone()
                .try_fold(&whole, |at, part| inside(&whole, at, part));
            let found = found.unwrap_or_else(|| panic!("{}", known.of.key));
            if parts
                .next_back()
                .is_some_and(|last| last.parse::<u32>().is_err())
            {
                let said = found["description"].as_str().expect("a description");
                has(said, &known.of.meaning);
                assert!(!known.of.meaning.is_empty(), "{}", known.of.key);
            }
        }
    }
}
