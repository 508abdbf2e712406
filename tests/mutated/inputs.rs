//! What is asked of the program: every command, with the files and words that it reads, one to three things
//! in them changed.

use std::path::{Path, PathBuf};

use rand::RngExt;
use rand::rngs::SmallRng;
use shimcast::files::BENCH_JOB;

use super::changed::{mutated, one_of};
use crate::given::{FEW_SIZES, PARTS_KEPT, text_of};

/// How a question is put.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// In this process: its answer is seen as a document and as JSON.
    Here,
    /// To the program, whose end and files are seen.
    ToProgram,
    /// Not at all once it is understood: it may have come to want a thousand million rebuilds.
    UnderstoodOnly,
}

/// A question, with the files behind it.
pub struct Input {
    pub words: Vec<String>,
    /// Where each file is, and what stands in it.
    pub files: Vec<(PathBuf, String)>,
    pub how: How,
}

const AXLE: &str = "a.axle.toml";
const SHOP: &str = "s.shop.toml";
const JOB: &str = "j.job.toml";
/// What keeps an answer short.
const FEW: [&str; 6] = ["--rebuilds", "24", "--seed", "1", "--threads", "1"];

/// A question as it comes about, of which everything named here may be changed.
struct Making<'a> {
    folder: &'a Path,
    words: Vec<String>,
    /// The words that may be changed.
    own: Vec<usize>,
    files: Vec<(&'static str, String)>,
    how: How,
}

impl Making<'_> {
    fn say(&mut self, words: &[&str]) {
        self.words.extend(words.iter().map(|&word| word.to_owned()));
    }

    fn own(&mut self, word: &str) {
        self.own.push(self.words.len());
        self.say(&[word]);
    }

    fn name(&mut self, file: &str) {
        let path = self.folder.join(file);
        self.say(&[path.to_str().expect("a path")]);
    }

    fn with(&mut self, file: &'static str, text: &str) {
        self.files.push((file, text.to_owned()));
    }

    /// An axle in a shop.
    fn about_axle(&mut self, dice: &mut SmallRng) {
        self.name(AXLE);
        let [axle, shop] = match dice.random_range(0..40_u32) {
            0 => SHORT,
            _ => PAIRS[dice.random_range(0..PAIRS.len())],
        };
        self.with(AXLE, text_of(axle));
        self.in_shop(shop);
    }

    fn in_shop(&mut self, shop: &str) {
        self.say(&["--shop"]);
        self.name(SHOP);
        self.with(SHOP, text_of(shop));
    }

    /// Shims of a shop whose plan is soon made.
    fn of_drawer(&mut self) {
        self.say(&["--threads", "1", "--shop"]);
        self.name(SHOP);
        self.say(&FEW_SIZES);
        self.say(&PARTS_KEPT);
        self.with(SHOP, text_of("north-bench.shop.toml"));
        self.with("rowan-215.axle.toml", text_of("rowan-215.axle.toml"));
        self.with("sorrel-71.axle.toml", text_of("sorrel-71.axle.toml"));
    }

    fn job(&mut self) {
        let text = BENCH_JOB.text.replace("rowan-215.axle.toml", AXLE);
        self.with(JOB, &text);
        self.with(AXLE, text_of("rowan-215.axle.toml"));
    }
}

/// Axles, each with a shop that has its shims.
const PAIRS: [[&str; 2]; 7] = [
    ["rowan-215.axle.toml", "north-bench.shop.toml"],
    ["rowan-215.axle.toml", "home-garage.shop.toml"],
    ["rowan-215-inch.axle.toml", "north-bench-inch.shop.toml"],
    ["sorrel-71.axle.toml", "north-bench.shop.toml"],
    ["sorrel-71.axle.toml", "home-garage.shop.toml"],
    ["sorrel-71.axle.toml", "quay-lane.shop.toml"],
    ["tamarack-88.axle.toml", "quay-lane.shop.toml"],
];
/// Much of this one is assumed, and what that moves is worked out besides: it takes a hundred times as long.
const SHORT: [&str; 2] = ["short.axle.toml", "north-bench.shop.toml"];
const COUNT: &str = "series,size,count\nP-38,0.80,2\nP-38,0.20,1\nS-80,0.40,1\nS-80,1.50,4\n";
const OFFER: &str = "series,size,price,pack_of\nP-38,0.20,1.20,5\nP-38,0.30,1.20,5\nP-38,0.50,1.40,5\n\
                     P-38,0.80,\"1,60\",1\n";

/// How often a command is asked, and what it is asked.
type Command = (u32, fn(&mut Making, &mut SmallRng));

const COMMANDS: [Command; 17] = [
    (160, |m, dice| {
        m.say(&["odds"]);
        m.about_axle(dice);
        m.say(&FEW);
    }),
    (60, |m, dice| {
        m.say(&["quote", "--no-stock"]);
        let terms = ["--risk=20", "--margin=15", "--tax=7.5", "--gear-price=480"];
        m.own(one_of(dice, &terms));
        m.about_axle(dice);
        m.say(&FEW);
    }),
    (80, |m, dice| {
        m.say(&["check"]);
        m.about_axle(dice);
    }),
    (32, |m, dice| {
        m.say(&["compare", "--way"]);
        m.own("gauge: bench.pinion_start=gauge, gears=kept");
        m.about_axle(dice);
        m.say(&FEW);
    }),
    (8, |m, dice| {
        m.say(&["causes"]);
        m.about_axle(dice);
        m.say(&FEW);
    }),
    (24, |m, dice| {
        m.say(&["sweep"]);
        m.about_axle(dice);
        m.own("bench.guard=0..0.4:3");
        m.say(&FEW);
    }),
    (48, |m, dice| {
        m.say(&["follow", "--rebuild"]);
        m.own("7");
        m.about_axle(dice);
        m.say(&["--seed", "1"]);
    }),
    (60, |m, _| {
        m.say(&["ratio", "--target"]);
        m.own("4.1");
        m.say(&["--pairs"]);
        m.name("pairs.csv");
        let pairs = "ring_teeth,pinion_teeth,note\n41,10,usual\n43,11,\"a, b\"\n37,9,\n";
        m.with("pairs.csv", pairs);
    }),
    (60, |m, dice| {
        let figures = [
            "bench.pinion_start=gauge",
            "bench.guard=0.1",
            "housing.offset.tol=0.05",
            "instruments.dial.sigma=0.004",
            "windows.backlash=[0.13, 0.20]",
        ];
        m.say(&["odds", "--set"]);
        m.own(one_of(dice, &figures));
        m.about_axle(dice);
        m.say(&FEW);
    }),
    (60, |m, _| {
        let axle = text_of("rowan-215.axle.toml").replace(
            "{ nominal = 121.00, tol = 0.06 }",
            "{ shape = \"measured\", from = \"m.csv\", column = \"height\" }",
        );
        m.say(&["odds"]);
        m.name(AXLE);
        m.say(&FEW);
        m.with(AXLE, &axle);
        let measured = "part,height\n1,121.01\n2,120.98\n3,\"121,02\"\n# remark\n4,121.0\n";
        m.with("m.csv", measured);
    }),
    (60, |m, dice| {
        let options = ["--rebuilds=64", "--seed=1", "--within=5", "--gears=kept"];
        m.say(&["odds", "--bearings=kept"]);
        m.own(one_of(dice, &options));
        m.how = How::UnderstoodOnly;
    }),
    (3, |m, dice| {
        m.say(&["next"]);
        m.name(JOB);
        if dice.random() {
            m.say(&["--moves"]);
            m.own("pinion=0.90,ring=1.97");
        }
        if dice.random() {
            m.say(&["--have"]);
            m.name("count.csv");
            m.with("count.csv", COUNT);
        }
        m.in_shop("north-bench.shop.toml");
        m.job();
        m.say(&["--threads", "1"]);
    }),
    (10, |m, _| {
        m.say(&["learn"]);
        m.name(AXLE);
        m.say(&["--jobs"]);
        m.name("");
        m.say(&["--trust"]);
        m.own("10");
        m.in_shop("north-bench.shop.toml");
        m.job();
        let done =
            "[done]\nverdict = \"right\"\nhours = 4.5\nminutes = { strip = 105, refit = 50 }\n";
        let job = format!("{}\n{done}", m.files[1].1);
        m.with("k.job.toml", &job);
        m.say(&["--threads", "1"]);
    }),
    (2, |m, dice| {
        m.say(&["stock"]);
        match dice.random_range(0..4_u32) {
            0 => {
                m.say(&["--budget"]);
                m.own("250");
            }
            1 => {
                m.say(&["--without"]);
                m.own("P-38=0.50");
            }
            2 => {
                m.say(&["--have"]);
                m.name("count.csv");
                m.with("count.csv", COUNT);
            }
            _ => {
                m.say(&["--sizes-from"]);
                m.name("offer.csv");
                m.with("offer.csv", OFFER);
            }
        }
        m.of_drawer();
    }),
    (1, |m, _| {
        m.say(&["kit", "--jobs", "2", "--finish"]);
        m.own("0.9");
        m.of_drawer();
    }),
    (20, |m, dice| {
        m.say(&["report", "--no-stock", "--for"]);
        m.own(one_of(dice, &["shop", "student", "customer"]));
        m.about_axle(dice);
        m.say(&FEW);
        m.say(&["--output"]);
        m.name(PAGE);
        m.how = How::ToProgram;
    }),
    (20, |m, dice| {
        let what = [
            "schema axle",
            "schema shop",
            "completions bash",
            "man",
            "reference",
        ];
        m.how = How::ToProgram;
        if dice.random() {
            m.say(&["generate"]);
            let both = one_of(dice, &what);
            both.split(' ').for_each(|word| m.own(word));
        } else {
            m.say(&["new"]);
            m.own("mine");
        }
    }),
];

/// The page that is written.
pub const PAGE: &str = "page.html";

/// A question, of which one to three things are changed.
pub fn input(folder: &Path, dice: &mut SmallRng) -> Input {
    let all: u32 = COMMANDS.iter().map(|(often, _)| often).sum();
    let mut at = dice.random_range(0..all);
    let made = COMMANDS.iter().find(|(often, _)| {
        let here = at < *often;
        at = at.saturating_sub(*often);
        here
    });
    let mut making = Making {
        folder,
        words: Vec::new(),
        own: Vec::new(),
        files: Vec::new(),
        how: How::Here,
    };
    made.expect("one of them").1(&mut making, dice);
    let Making {
        mut words,
        own,
        mut files,
        how,
        ..
    } = making;
    for _ in 0..[1, 1, 1, 2, 2, 3][dice.random_range(0..6_usize)] {
        let at = dice.random_range(0..own.len() + files.len());
        // a foreign line comes from another of the files
        let other = files.last().map_or("mine\n".to_owned(), |f| f.1.clone());
        match own.get(at) {
            Some(&word) => words[word] = mutated(&words[word], &other, dice),
            None => {
                let text = &mut files[at - own.len()].1;
                *text = mutated(text, &other, dice);
            }
        }
    }
    if dice.random_range(0..4_u32) == 0 && how == How::Here {
        words.push("--anyway".to_owned());
    }
    let files = files
        .into_iter()
        .map(|(name, text)| (folder.join(name), text));
    Input {
        words,
        files: files.collect(),
        how,
    }
}
