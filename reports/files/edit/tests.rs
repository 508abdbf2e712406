use std::fs;

use super::*;

/// A file of its own, gone with the test.
struct Made(PathBuf);

impl Made {
    fn new(name: &str, text: &str) -> Self {
        let name = format!("shimcast-edit-{name}-{}.toml", std::process::id());
        let path = std::env::temp_dir().join(name);
        let _ = fs::remove_file(&path);
        if !text.is_empty() {
            fs::write(&path, text).expect("a file");
        }
        Self(path)
    }

    fn open(&self) -> Edited {
        Edited::open(&self.0, "# a head\n").expect("a file that is read")
    }

    fn text(&self) -> String {
        fs::read_to_string(&self.0).expect("a file")
    }
}

impl Drop for Made {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.0);
    }
}

const KNOWN: Group = Group::Under(&["known"]);

#[test]
fn comments_and_order_stay() {
    let before = "# mine\nname = \"A\"  # what we say\naxle = \"a.axle.toml\"\n\n[known]   # known\n\
                  mark_old = -0.02   # etched\n# gauge = 0.86\n\n[[assemblies]]\npinion = 0.87 # first\n";
    let made = Made::new("stay", before);
    let mut file = made.open();
    let marked = file.state(KNOWN, "mark_old", &Said::Figure(0.03), "not used");
    assert_eq!(marked, Ok(()));
    assert_eq!(made.text(), before.replace("-0.02", "0.03"));
    let list = Said::Figures(vec![0.15, 0.17]);
    let entry = Group::Entry("assemblies", 0);
    assert_eq!(file.state(entry, "backlash", &list, "read"), Ok(()));
    let after = before.replace("-0.02", "0.03") + "backlash = [0.15, 0.17]   # read\n";
    assert_eq!(made.text(), after);
    assert_eq!(file.take_out(entry, "backlash"), Ok(()));
    assert_eq!(file.take_out(entry, "backlash"), Ok(()));
    assert_eq!(made.text(), before.replace("-0.02", "0.03"));
    assert_eq!(file.stated(KNOWN, "mark_old").as_deref(), Some("0.03"));
    assert_eq!(file.number(entry, "pinion"), Some(0.87));
    assert_eq!(file.text(Group::Top, "name"), Some("A"));
}

#[test]
fn a_new_group_comes_before_the_entries() {
    let made = Made::new(
        "before",
        "axle = \"a.toml\"\n\n[[assemblies]]\npinion = 1.0\n",
    );
    let mut file = made.open();
    let said = Said::Figure(0.05);
    assert_eq!(file.state(KNOWN, "mark_new", &said, ""), Ok(()));
    let second = Group::Entry("assemblies", 1);
    assert_eq!(file.state(second, "pinion", &Said::Figure(1.1), ""), Ok(()));
    assert_eq!(
        made.text(),
        "axle = \"a.toml\"\n\n[known]\nmark_new = 0.05\n\n[[assemblies]]\npinion = 1.0\n\n\
         [[assemblies]]\npinion = 1.1\n"
    );
    assert_eq!(file.entries("assemblies"), 2);
}

#[test]
fn a_new_file_begins_with_its_head_and_reads_back() {
    let made = Made::new("new", "");
    let mut file = made.open();
    assert!(
        !made.0.exists(),
        "nothing is written before the first answer"
    );
    let name = Said::Text("Blue \"van\"".into());
    assert_eq!(file.state(Group::Top, "name", &name, ""), Ok(()));
    let deep = Group::Under(&["instruments", "dial"]);
    assert_eq!(
        file.state(deep, "step", &Said::Figure(0.01), "its step"),
        Ok(())
    );
    assert_eq!(file.state(deep, "points", &Said::Whole(4), ""), Ok(()));
    assert_eq!(file.state(deep, "so", &Said::Flag(true), ""), Ok(()));
    assert!(made.text().starts_with("# a head\n"), "{}", made.text());
    let again = made.open();
    assert_eq!(again.text(Group::Top, "name"), Some("Blue \"van\""));
    assert_eq!(again.number(deep, "points"), Some(4.0));
    assert_eq!(again.stated(deep, "so").as_deref(), Some("true"));
    assert_eq!(again.stated(deep, "step").as_deref(), Some("0.01"));
}

#[test]
fn what_somebody_else_wrote_is_not_overwritten() {
    let made = Made::new("meanwhile", "name = \"A\"\r\n# a comment\r\n");
    let mut file = made.open();
    let said = Said::Text("B".into());
    assert_eq!(file.state(Group::Top, "name", &said, ""), Ok(()));
    assert_eq!(made.text(), "name = \"B\"\r\n# a comment\r\n");
    fs::write(&made.0, "name = \"C\"\n").expect("a file");
    let refused = file.state(Group::Top, "name", &said, "");
    assert!(refused.is_err_and(|said| said.contains("changed this file meanwhile")));
    assert_eq!(made.text(), "name = \"C\"\n");
}

#[test]
fn what_is_no_group_is_refused_and_left_alone() {
    let made = Made::new("none", "known = 3\n");
    let mut file = made.open();
    let refused = file.state(KNOWN, "gauge", &Said::Figure(0.8), "");
    assert!(refused.is_err_and(|said| said.contains("there is no place for gauge")));
    assert_eq!(made.text(), "known = 3\n");
    fs::write(&made.0, "a = [1\n").expect("a file");
    assert!(Edited::open(&made.0, "").is_err());
}

/// The file with these changes, as it would be written.
fn with(text: &str, changes: &[Change]) -> String {
    let made = Made::new("with", text);
    let changed = made.open().with(changes).expect("changes that fit");
    assert_eq!(made.text(), text, "nothing is written yet");
    changed.written()
}

fn state(key: &str, said: Said) -> Change {
    Change::State(key.to_owned(), said)
}

fn out(key: &str) -> Change {
    Change::TakeOut(key.to_owned())
}

const SHOP: &str = "# a shop\nname = \"A\"\n\n[instruments] # errors\n\
     dial = { sigma = 0.005, step = 0.01 }   # our own\nnone = 1\n\n\
     # the thin ones\n[[shims]]\nseries = \"P\"\nsizes = [ 0.10, 0.20 ] # printed\nprice = 3\n\n\
     [[shims]]\nseries = \"S\"\nprice = 4\n\n# last\n[drawer]\njob_fill = 0.95\n# the end\n";

#[test]
fn a_key_inside_braces_and_one_of_an_entry_are_changed_alone() {
    let changed = with(
        SHOP,
        &[
            state("instruments.dial.sigma", Said::Figure(0.004)),
            state("shims.2.price", Said::Figure(4.5)),
            state("shims.1.sizes", Said::Figures(vec![0.1, 0.25])),
        ],
    );
    let wanted = SHOP.replace("sigma = 0.005", "sigma = 0.004");
    let wanted = wanted
        .replace("price = 4", "price = 4.5")
        .replace("0.20 ]", "0.25 ]");
    assert_eq!(changed, wanted);
}

#[test]
fn new_keys_come_behind_those_of_their_group() {
    let changed = with(
        SHOP,
        &[
            state("instruments.dial.indicator", Said::Text("square".into())),
            state("instruments.nut.sigma", Said::Figure(1.0)),
            state("bench.learns", Said::Flag(true)),
            state(
                "shims.2.part_numbers",
                Said::Words(vec!["a".into(), String::new()]),
            ),
        ],
    );
    let wanted = SHOP
        .replace("step = 0.01 }", "step = 0.01, indicator = \"square\" }")
        .replace("none = 1\n", "none = 1\nnut = { sigma = 1.0 }\n")
        .replace("price = 4\n", "price = 4\npart_numbers = [\"a\", \"\"]\n");
    let wanted = wanted.replace(
        "\n# the thin ones",
        "\n[bench]\nlearns = true\n\n# the thin ones",
    );
    assert_eq!(changed, wanted);
}

#[test]
fn an_entry_is_added_behind_the_last_one_and_taken_out() {
    let price = state("shims.3.price", Said::Whole(5));
    let new = "price = 4\n\n[[shims]]\nprice = 5\n";
    assert_eq!(with(SHOP, &[price]), SHOP.replace("price = 4\n", new));
    let second = "[[shims]]\nseries = \"S\"\nprice = 4\n\n";
    assert_eq!(with(SHOP, &[out("shims.2")]), SHOP.replace(second, ""));
    let both = with(SHOP, &[out("shims.1"), out("shims.2"), out("jobs.4")]);
    assert!(
        !both.contains("shims") && both.contains("# last\n[drawer]"),
        "{both}"
    );
    let job = with(SHOP, &[state("jobs.1.axle", Said::Text("a".into()))]);
    assert_eq!(job, format!("{SHOP}\n[[jobs]]\naxle = \"a\"\n"));
    let inline = "shims = [ { price = 1 }, { price = 2 } ]\n";
    let changed = with(
        inline,
        &[out("shims.1"), state("shims.2.price", Said::Whole(7))],
    );
    assert_eq!(
        changed.parse::<toml::Table>(),
        "shims = [{ price = 7 }]".parse()
    );
    let made = Made::new("no-place", SHOP);
    let gap = made.open().with(&[state("shims.9.price", Said::Whole(7))]);
    assert!(gap.is_err_and(|said| said.contains("no place for shims.9.price")));
}

#[test]
fn what_is_taken_out_leaves_the_comments_above_it() {
    let text = "[a]\n# of one\none = 1 # said\n# of two\ntwo = 2\n\n# of three\nthree = 3\n\n[b]\nx = { p = 1, q = 2 }\n";
    assert_eq!(
        with(text, &[out("a.one"), out("a.three"), out("b.x.q")]),
        "[a]\n# of one\n# of two\ntwo = 2\n\n# of three\n\n[b]\nx = { p = 1 }\n"
    );
    let all = with(
        text,
        &[out("b.x.q"), out("b.x.p"), out("b.x.none"), out("c.d")],
    );
    assert!(all.ends_with("three = 3\n\n[b]\n"), "{all}");
    let instead = [out("b.x"), state("b.x.p", Said::Whole(3))];
    assert!(with("[b]\nx = \"none\"\n", &instead).ends_with("x = { p = 3 }\n"));
}

#[test]
fn a_file_is_kept_before_it_is_changed_and_put_back() {
    let made = Made::new("kept", "\u{feff}name = \"A\"\r\n");
    let kept = before(&made.0);
    assert!(!is_before(&made.0));
    let seen = made.open().fingerprint();
    let mut changed = made
        .open()
        .with(&[state("name", Said::Text("B".into()))])
        .expect("a place");
    assert_eq!(changed.as_seen(&seen), Ok(()));
    assert_eq!(changed.save_keeping(), Ok(()));
    assert_eq!(made.text(), "name = \"B\"\r\n");
    assert_eq!(
        fs::read_to_string(&kept).as_deref().ok(),
        Some("\u{feff}name = \"A\"\r\n")
    );
    assert_eq!(
        put_back(&made.0, &seen),
        Err(NotWritten::Changed(made.0.clone()))
    );
    assert_eq!(put_back(&made.0, &changed.fingerprint()), Ok(()));
    assert_eq!(made.text(), "\u{feff}name = \"A\"\r\n");
    assert_eq!(put_back(&made.0, &seen), Ok(()));
    assert_eq!(made.text(), "name = \"B\"\r\n");
    fs::remove_file(&kept).expect("a file to remove");
    let refused = put_back(&made.0, &made.open().fingerprint()).expect_err("nothing is kept");
    assert!(
        refused.to_string().contains("nothing can be put back"),
        "{refused}"
    );
}

#[test]
fn of_two_writers_the_second_is_refused() {
    let made = Made::new("two", "name = \"A\"\n");
    let change = |name: &str| {
        let changed = made.open().with(&[state("name", Said::Text(name.into()))]);
        changed.expect("a place")
    };
    let (mut first, mut second) = (change("B"), change("C"));
    assert_eq!(first.save_keeping(), Ok(()));
    let refused = second.save_keeping();
    assert_eq!(refused, Err(NotWritten::Changed(made.0.clone())));
    assert_eq!(made.text(), "name = \"B\"\n");
    let seen = second.fingerprint();
    assert!(made.open().as_seen(&seen).is_err());
    fs::remove_file(before(&made.0)).expect("a file to remove");
}
