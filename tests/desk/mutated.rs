//! Addresses, forms and files that nobody would send a desk: whatever comes, it answers in words and stays open.

use std::collections::BTreeMap;
use std::fs;

use form_urlencoded::Serializer;
use rand::rngs::SmallRng;
use rand::{RngExt, SeedableRng};
use shimcast::files::BENCH_JOB;

use super::{Desk, hidden};
use crate::given::text_of;
use crate::mutated::changed::mutated;

/// Visits of one run of the suite.
const VISITS: u32 = 100;

type Fields<'a> = &'a [(&'a str, &'a str)];
/// A page, and the form on it that is sent from there, if any.
type Visit<'a> = (&'a str, Fields<'a>, Option<Fields<'a>>);

const VISITED: [Visit; 9] = [
    ("what-if", &[("to.bench.guard", "0.1")], None),
    (
        "what-if",
        &[
            ("shop", "north-bench.shop.toml"),
            ("to.bench.pinion_start", "gauge"),
        ],
        Some(&[("keep", "bench.pinion_start")]),
    ),
    (
        "bench",
        &[("file", "rowan-bench.job.toml"), ("packs.pinion", "0.92")],
        None,
    ),
    (
        "bench",
        &[("file", "rowan-bench.job.toml")],
        Some(&[
            ("was", "known.mark_new=0.050"),
            ("known.mark_new", "0,02"),
            ("do", "save"),
        ]),
    ),
    (
        "bench",
        &[("file", "rowan-bench.job.toml")],
        Some(&[
            ("was", ""),
            ("assemblies.1.backlash", "0.31 0.32 0.33"),
            ("do", "next"),
        ]),
    ),
    (
        "files",
        &[("file", "rowan-215.axle.toml")],
        Some(&[
            ("was", "name=Rowan 215\ngears.ring_teeth=41"),
            ("name", "Front"),
            ("gears.ring_teeth", "43"),
            ("windows.backlash", "6 9 thou"),
        ]),
    ),
    (
        "files",
        &[("file", "north-bench.shop.toml")],
        Some(&[("was", "bench.mark_slip=0.02"), ("bench.mark_slip", "0,07")]),
    ),
    (
        "drawer",
        &[("have", "drawer.csv")],
        Some(&[("order", "4 P-38 0.08"), ("do", "ordered")]),
    ),
    (
        "report",
        &[("page", "sheet"), ("axle", "rowan-215.axle.toml")],
        None,
    ),
];

/// The fields, one of them changed at times, as they are sent.
fn sent(fields: Fields, dice: &mut SmallRng) -> String {
    let mut fields: Vec<[String; 2]> = fields
        .iter()
        .map(|(k, v)| [(*k).to_owned(), (*v).to_owned()])
        .collect();
    if dice.random_range(0..3_u32) > 0 {
        let field = dice.random_range(0..fields.len());
        // mostly the value
        let of = usize::from(dice.random_range(0..4_u32) > 0);
        fields[field][of] = mutated(&fields[field][of], "file=..", dice);
    }
    let pairs = fields.iter().map(|[key, value]| (key, value));
    Serializer::new(String::new()).extend_pairs(pairs).finish()
}

#[test]
fn mutated_visits_are_answered_or_refused() {
    if cfg!(debug_assertions) {
        return;
    }
    let mut desk = Desk::with_starters("desk-mutated");
    // long answers are for those who wait for them
    desk.cookie.push_str("; script=1");
    let mut dice = SmallRng::seed_from_u64(3);
    let count = "series,size,count\nP-38,0.80,2\nP-38,0.20,1\n";
    let files = [
        ("rowan-215.axle.toml", text_of("rowan-215.axle.toml")),
        ("north-bench.shop.toml", text_of("north-bench.shop.toml")),
        (BENCH_JOB.name, BENCH_JOB.text),
        ("drawer.csv", count),
    ];
    let mut ends: BTreeMap<u16, u32> = BTreeMap::new();
    for visit in 0..VISITS {
        for (name, text) in files {
            fs::write(desk.path(name), text).expect("a file");
        }
        let (changed, text) = files[dice.random_range(0..files.len())];
        if dice.random() {
            let text = mutated(text, count, &mut dice);
            fs::write(desk.path(changed), text).expect("a file");
        }
        let (room, fields, form) = VISITED[dice.random_range(0..VISITED.len())];
        let page = format!("/{room}?{}", sent(fields, &mut dice));
        let mut told = vec![(page.clone(), desk.get(&page))];
        if let Some(form) = form {
            let seen = hidden(&told[0].1.body, "seen").unwrap_or("0");
            let body = format!(
                "seen={seen}&{}&{}",
                sent(fields, &mut dice),
                sent(form, &mut dice)
            );
            told.push((body.clone(), desk.post(&format!("/{room}"), &body)));
        }
        for (asked, answer) in told {
            let mut words = answer.body.split(|c: char| !c.is_alphanumeric());
            let strange = words.any(|word| word == "NaN");
            assert!(
                (200..500).contains(&answer.status) && !strange,
                "visit {visit}, {changed}: {asked}\n{}\n{}",
                answer.status,
                answer.body
            );
            *ends.entry(answer.status).or_default() += 1;
        }
    }
    // it is none the worse for it, and most of what was asked was answered
    assert_eq!(desk.get("/files").status, 200);
    assert!(
        ends[&200] > VISITS / 3 && ends[&303] > VISITS / 20,
        "{ends:?}"
    );
    let litter = desk
        .files()
        .into_iter()
        .find(|(name, _)| name.starts_with('.'));
    assert!(litter.is_none(), "{litter:?}");
}
