//! Axle and shop files as forms, and what is typed into them back in the files.

use std::collections::HashSet;

use shimcast::document::{Control, Controls, Otherwise};
use shimcast::faces::html::controls;
use shimcast::files::{EXAMPLES, NotWritten, Source, before, load_shop, put_back};
use shimcast::questions::forms::{FileForm, FileKind, FormFile, Refused, Sent, form, send};

use crate::given::{Folder, example, text_of};

/// A file of its own that a form is made of.
pub struct Own {
    pub file: FormFile,
    text: String,
    _folder: Folder,
}

impl Own {
    pub fn new(name: &str, text: &str) -> Self {
        let folder = Folder::new("forms");
        let path = folder.path(name);
        std::fs::write(&path, text).expect("a file");
        if name.ends_with(".shop.toml") {
            for axle in EXAMPLES
                .iter()
                .filter(|file| file.name.ends_with(".axle.toml"))
            {
                std::fs::write(folder.path(axle.name), axle.text).expect("a file");
            }
        }
        let kind = match name {
            name if name.ends_with(".shop.toml") => FileKind::Shop,
            "tamarack-88.axle.toml" => FileKind::Axle(example("quay-lane.shop.toml")),
            name if name.contains("-inch") => FileKind::Axle(example("north-bench-inch.shop.toml")),
            _ => FileKind::Axle(Source::BuiltIn),
        };
        Self {
            file: FormFile { path, kind },
            text: text.to_owned(),
            _folder: folder,
        }
    }

    pub fn of(name: &str) -> Self {
        Self::new(name, text_of(name))
    }

    pub fn form(&self) -> FileForm {
        form(&self.file).unwrap_or_else(|e| panic!("{e:?}"))
    }

    pub fn now(&self) -> String {
        std::fs::read_to_string(&self.file.path).expect("a file")
    }

    pub fn as_it_was(&self) {
        std::fs::write(&self.file.path, &self.text).expect("a file");
    }

    fn send(&self, typed: &[(&str, &str)]) -> Sent {
        let typed: Vec<(String, String)> = typed
            .iter()
            .map(|(key, text)| ((*key).to_owned(), (*text).to_owned()))
            .collect();
        let seen = self.form().fingerprint;
        send(&self.file, &seen, &typed).unwrap_or_else(|e| panic!("{e:?}"))
    }

    /// Sends what is taken.
    pub fn written(&self, typed: &[(&str, &str)]) {
        match self.send(typed) {
            Sent::Written => {}
            Sent::AsItWas => panic!("{typed:?} changes nothing"),
            Sent::Wrong(form) => panic!("{typed:?}: {:?}", told(&form)),
        }
    }

    /// Sends what is refused, and gives what is said of it.
    fn refused(&self, typed: &[(&str, &str)]) -> Box<FileForm> {
        match self.send(typed) {
            Sent::Wrong(form) => {
                assert_eq!(self.now(), self.text, "nothing is written");
                assert!(!before(&self.file.path).exists());
                form
            }
            other => panic!("{typed:?}: {other:?}"),
        }
    }
}

pub fn field<'a>(form: &'a FileForm, key: &str) -> &'a Control {
    let fields = form.fields.all().flat_map(|group| &group.fields);
    let mut found = fields.filter(|field| field.name == key);
    let field = found.next().unwrap_or_else(|| panic!("{key} has no field"));
    assert!(found.next().is_none(), "{key} has one field");
    field
}

/// All that is said to be wrong.
pub fn told(form: &FileForm) -> Vec<String> {
    let fields = form.fields.all().flat_map(|group| &group.fields);
    let at_fields =
        fields.filter_map(|field| Some(format!("{}: {}", field.name, field.problem.as_ref()?)));
    at_fields.chain(form.problems.iter().cloned()).collect()
}

#[test]
fn figures_are_taken_as_people_say_them() {
    let own = Own::of("rowan-215.axle.toml");
    own.written(&[
        ("windows.backlash", "5 to 9 thou"),
        ("windows.pinion_torque", "15 25 in-lb"),
        ("windows.depth", "0,06"),
        ("housing.ring_share", "45 %"),
        ("housing.stiffness", "50 N/µm"),
        ("gears.face_width", "1 1/4 in"),
        ("pinion_shim.usual", "0.880"),
    ]);
    let now = own.now();
    for line in [
        "backlash           = [ 0.127, 0.2286 ]   # at every tooth",
        "pinion_torque      = [ 1.695, 2.825 ]",
        "depth              = 0.06             # either way",
        "ring_share  = 0.45   ",
        "stiffness   = 50 ",
        "face_width        = 31.75\n",
        "usual = 0.880 ",
    ] {
        assert!(now.contains(line), "{line}\n{now}");
    }
    let inch = Own::of("rowan-215-inch.axle.toml");
    inch.written(&[("windows.depth", "3 thou"), ("pinion_shim.usual", "1 mm")]);
    assert!(
        inch.now().contains("depth              = 0.003"),
        "{}",
        inch.now()
    );
    assert!(inch.now().contains("usual = 0.0394 "), "{}", inch.now());
}

#[test]
fn what_is_wrong_stands_at_its_field_and_nothing_is_written() {
    let own = Own::of("rowan-215.axle.toml");
    for (key, typed, said) in [
        ("gears.ring_diameter", "big", "`big` is no figure"),
        (
            "gears.ring_diameter",
            "-3",
            "must be above 0: write a number of mm",
        ),
        ("gears.ring_diameter", "", "gears.ring_diameter is missing"),
        ("gears.ring_teeth", "41.5", "should be a whole number"),
        ("gears.ring_teeth", "-41", "must lie between 3 and 400"),
        ("gears.mark.plus", "father", "did you mean `farther`?"),
        ("housing.ring_share", "1.2", "must lie between 0 and 1"),
        ("windows.backlash", "0.2 0.1", "the lower end must be below"),
        ("windows.backlash", "0.2", "should have 2 numbers"),
        ("windows.backlash", "1.0 2.0", "backlash"),
        (
            "windows.pinion_torque",
            "20 pounds",
            "inch pounds or foot pounds?",
        ),
        (
            "housing.head_seat.cv",
            "0.1",
            "says its spread in more than one way",
        ),
        ("pinion_shim.stock", "P-39", "has no shim series `P-39`"),
        (
            "pinion_preload.by",
            "spacer",
            "pinion_preload.stock is missing",
        ),
        ("name", " ", "name is missing"),
    ] {
        let form = own.refused(&[(key, typed)]);
        let all = told(&form).join("\n");
        assert!(all.contains(said), "{key} = {typed}: {all}");
        assert_eq!(field(&form, key).value, typed, "what was typed stays");
        if key != "pinion_preload.by" && !key.starts_with("housing.head_seat") {
            let problem = field(&form, key).problem.as_ref();
            assert!(
                problem.is_some_and(|problem| problem.contains(said)),
                "{key}: {all}"
            );
            assert_eq!(told(&form).len(), 1, "{all}");
        }
    }
    let both = own.refused(&[
        ("windows.depth", "x"),
        ("gears.offset", "-1"),
        ("gears.face_width", "30"),
    ]);
    assert_eq!(told(&both).len(), 2, "{:?}", told(&both));
    assert_eq!(field(&both, "gears.face_width").value, "30");
    let file = Otherwise::File("34.0 mm".to_owned());
    assert_eq!(field(&both, "gears.face_width").otherwise, Some(file));
    let unknown = own.refused(&[("gears.colour", "red")]);
    assert!(
        unknown.problems[0].contains("no key `gears.colour`"),
        "{:?}",
        unknown.problems
    );
}

#[test]
fn a_file_with_flaws_is_mended_key_by_key() {
    let text = text_of("short.axle.toml");
    let text = text
        .replace("= 200.0", "= -200.0")
        .replace("\"P-38\"", "\"P-39\"");
    let own = Own::new("a.axle.toml", &text);
    let form = own.form();
    assert_eq!(told(&form).len(), 2, "{:?}", told(&form));
    assert!(field(&form, "gears.ring_diameter").problem.is_some());
    let refused = own.refused(&[("gears.ring_diameter", "-201")]);
    assert_eq!(told(&refused).len(), 2, "the other flaw is still told");
    own.written(&[("gears.ring_diameter", "201")]);
    assert_eq!(told(&own.form()).len(), 1);
    own.written(&[("pinion_shim.stock", "P-38")]);
    assert_eq!(told(&own.form()).len(), 0);
    assert!(matches!(
        own.send(&[("pinion_shim.stock", "P-38")]),
        Sent::AsItWas
    ));
}

#[test]
fn a_spread_that_is_assumed_keeps_the_rest_of_it() {
    let own = Own::of("short.axle.toml");
    own.written(&[("gears.depth_deviation.tol", "0.08")]);
    let line = "depth_deviation = { tol = 0.08, cpk = 0.85, inspected = true }";
    assert!(own.now().contains(line), "{}", own.now());
    own.as_it_was();
    own.written(&[("housing.head_seat.tol", "2 hundredths")]);
    assert!(
        own.now()
            .contains("\n[housing]\nhead_seat = { tol = 0.02 }\n"),
        "{}",
        own.now()
    );
    own.written(&[("housing.head_seat.tol", "")]);
    assert!(!own.now().contains("head_seat"), "{}", own.now());
    own.as_it_was();
    own.written(&[("gears.depth_deviation.sigma", "0.03")]);
    assert!(
        own.now().contains("depth_deviation = { sigma = 0.03 }"),
        "{}",
        own.now()
    );
}

#[test]
fn entries_are_added_and_taken_out() {
    let own = Own::of("north-bench.shop.toml");
    let typed = [
        ("shims.6.series", "Q-1"),
        ("shims.6.sizes", "0,1 0,2 0,3"),
        ("shims.6.part_numbers", "a, , c"),
        ("shims.6.tol", "precision"),
        ("shims.4", ""),
        ("jobs.2", "stays"),
    ];
    own.written(&typed);
    let shop =
        load_shop(&Source::File(own.file.path.clone()), &[]).unwrap_or_else(|e| panic!("{e}"));
    let names: Vec<&str> = shop
        .shop
        .shims
        .iter()
        .map(|series| series.name.as_str())
        .collect();
    assert_eq!(names, ["P-38", "S-80", "P-28in", "T-11in", "Q-1"]);
    assert_eq!(shop.supplies[4].part_number(0.3), Some("c"));
    assert_eq!(shop.shop.jobs.len(), 2);
    // the other series and all that is said of them stay as they are
    let kept = text_of("north-bench.shop.toml")
        .lines()
        .filter(|line| line.contains('#'));
    for line in kept {
        assert!(own.now().contains(line), "{line}");
    }
    own.as_it_was();
    let half = send(
        &own.file,
        &own.form().fingerprint,
        &[("shims.6.price".into(), "3".into())],
    );
    let Ok(Sent::Wrong(form)) = half else {
        panic!("{half:?}")
    };
    assert!(field(&form, "shims.6.price").problem.is_none());
    assert!(
        told(&form)
            .iter()
            .any(|said| said.contains("series is missing")),
        "{:?}",
        told(&form)
    );
    let mut groups = form.fields.first.iter();
    let more = groups.find(|group| group.heading == "One more shim series");
    assert!(more.is_some_and(|group| !group.folded));
}

#[test]
fn axles_of_a_shop_that_lack_their_series_are_told_at_its_jobs() {
    let own = Own::of("north-bench.shop.toml");
    let rowan = own.file.path.with_file_name("rowan-215.axle.toml");
    std::fs::remove_file(&rowan).expect("a file to remove");
    let form = own.form();
    let problem = field(&form, "jobs.1.axle").problem.clone();
    assert!(problem.is_some_and(|said| said.contains("there is no such file")));
    std::fs::write(&rowan, text_of("rowan-215.axle.toml")).expect("a file");
    assert_eq!(told(&own.form()), Vec::<String>::new());
    own.written(&[("shims.2.series", "S-81")]);
    let said = told(&own.form());
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(
        said[0].starts_with("jobs.1.axle: ") && said[0].contains("no shim series `S-80`"),
        "{said:?}"
    );
}

#[test]
fn of_two_people_the_second_is_told_and_what_was_there_can_be_had_back() {
    let own = Own::of("short.axle.toml");
    let seen = own.form().fingerprint;
    assert!(!own.form().can_be_put_back);
    own.written(&[("name", "Blue")]);
    let typed = [("name".to_owned(), "Green".to_owned())];
    let second = send(&own.file, &seen, &typed);
    let changed = NotWritten::Changed(own.file.path.clone());
    assert!(matches!(second, Err(Refused::NotWritten(why)) if why == changed));
    let form = own.form();
    assert!(form.can_be_put_back);
    assert_eq!(put_back(&own.file.path, &form.fingerprint), Ok(()));
    assert_eq!(own.now(), own.text);
    assert_eq!(put_back(&own.file.path, &own.form().fingerprint), Ok(()));
    assert!(own.now().contains("name   = \"Blue\""));
}

#[test]
fn fields_are_marked_and_folded_and_make_a_page() {
    let own = Own::of("short.axle.toml");
    let form = own.form();
    let width = field(&form, "gears.face_width");
    let assumed = Otherwise::Assumed("31.6 mm (0.158 × ring diameter)".to_owned());
    assert_eq!(
        (width.value.as_str(), &width.otherwise),
        ("", &Some(assumed))
    );
    assert_eq!(width.unit, "mm");
    let ring = field(&form, "gears.ring_diameter");
    assert_eq!((ring.value.as_str(), &ring.otherwise), ("200.0", &None));
    let named = (ring.label.as_str(), ring.key.as_str());
    assert_eq!(
        named,
        ("Outer pitch diameter of the ring gear", "ring_diameter")
    );
    let group_of = |key: &str| {
        let has = |group: &&Controls| group.fields.iter().any(|f| f.name == key);
        let group = form.fields.all().find(has).expect("a group");
        (group.heading.as_str(), group.folded)
    };
    assert_eq!(group_of("gears.ring_diameter"), ("Gears", false));
    let at_default = ("Gears: at its default", true);
    assert_eq!(group_of("gears.ring_deviation.tol"), at_default);
    let few = ("Gears: what few files state", true);
    assert_eq!(group_of("gears.ring_deviation.cv"), few);
    // what the file says stands before all else, and what is left at a default is all assumed
    let first: Vec<&Controls> = form.fields.first.iter().collect();
    let opened = first.iter().take_while(|group| !group.folded).count();
    assert!(opened > 4 && first[opened..].iter().all(|group| group.folded));
    let of = |groups: &[&Controls]| -> Vec<Control> {
        let fields = groups.iter().flat_map(|group| &group.fields);
        fields.cloned().collect()
    };
    assert_eq!(of(&first[..opened]).len(), 17);
    assert!(
        of(&first[..opened])
            .iter()
            .all(|field| !field.value.is_empty())
    );
    let assumed = |field: &Control| matches!(field.otherwise, Some(Otherwise::Assumed(_)));
    assert!(of(&first[opened..]).iter().all(assumed));
    assert_eq!(
        field(&form, "gears.mark.error.sigma").label,
        "Error of the position found on the test machine: standard deviation, in place of limits"
    );
    let html: String = first
        .iter()
        .map(|group| controls(group).into_string())
        .collect();
    assert!(
        html.contains("name=\"windows.backlash\" value=\"0.13 0.20\""),
        "{html}"
    );
    assert!(
        html.contains("Gears: at its default</span> <span class=\"unit\">(22)"),
        "{html}"
    );
    assert!(html.len() < 100_000, "{}", html.len());
}

/// Fields of one heading are told apart by their labels, and no help says its label again.
#[test]
fn labels_say_which_field_it_is() {
    for file in EXAMPLES
        .iter()
        .filter(|file| !file.name.ends_with(".job.toml"))
    {
        if !file.name.ends_with(".toml") {
            continue;
        }
        let form = Own::of(file.name).form();
        let mut seen = HashSet::new();
        for group in form.fields.all() {
            let heading = group.heading.split(": ").next().unwrap_or_default();
            let entry = group.fields.first().map_or("", |field| field.name.as_str());
            let entry = entry
                .split('.')
                .nth(1)
                .filter(|at| at.parse::<usize>().is_ok());
            for field in &group.fields {
                let label = (
                    heading.to_owned(),
                    entry.map(str::to_owned),
                    field.label.clone(),
                );
                assert!(
                    seen.insert(label),
                    "{}: {}: {}",
                    file.name,
                    field.name,
                    field.label
                );
                assert!(
                    !field.label.contains('_'),
                    "{}: {}",
                    field.name,
                    field.label
                );
                assert!(
                    field.help.is_empty()
                        || !field
                            .help
                            .to_lowercase()
                            .starts_with(&field.label.to_lowercase()),
                    "{}: {}",
                    field.name,
                    field.help
                );
            }
        }
    }
}
