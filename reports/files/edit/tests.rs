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
