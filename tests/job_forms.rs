//! A job file as fields: what it says, what is written back, and what is refused.

use shimcast::asking::fields::Refused;
use shimcast::document::{Control, ControlKind, Controls};
use shimcast::files::{BENCH_JOB, Edited, Source, load_job};
use shimcast::questions::bench::{
    ToFit, Unwritten, axle_of, begin, controls, fill_in, new_job, new_job_controls, take_back,
};

use crate::given::{Folder, has, text_of};

const JOB: &str = "van.job.toml";

fn folder(job: &str) -> Folder {
    let folder = Folder::new("forms");
    for name in ["rowan-215.axle.toml", "sorrel-71.axle.toml"] {
        folder.file(name, text_of(name).as_bytes());
    }
    let adjusters = text_of("rowan-215.axle.toml")
        .replace("seat  = \"outboard\"", "seat  = \"screw adjusters\"")
        .replace("stock = \"S-80\"", "");
    folder.file("adjusters.axle.toml", adjusters.as_bytes());
    if !job.is_empty() {
        folder.file(JOB, job.as_bytes());
    }
    folder
}

fn text(folder: &Folder) -> String {
    std::fs::read_to_string(folder.path(JOB)).expect("a job file")
}

fn open(folder: &Folder) -> Edited {
    Edited::open(&folder.path(JOB), "").unwrap_or_else(|e| panic!("{e}"))
}

fn form(folder: &Folder, refused: &[Refused]) -> Vec<Controls> {
    let file = open(folder);
    let loaded = axle_of(&file, &Source::BuiltIn, &[]).unwrap_or_else(|e| panic!("{e}"));
    controls(&file, &loaded, refused)
}

fn fields(folder: &Folder) -> Vec<Control> {
    let form = form(folder, &[]).into_iter();
    form.flat_map(|group| group.fields).collect()
}

fn names(folder: &Folder) -> Vec<String> {
    fields(folder).into_iter().map(|field| field.name).collect()
}

fn value(folder: &Folder, name: &str) -> String {
    let all = fields(folder);
    let field = all.iter().find(|field| field.name == name);
    field.unwrap_or_else(|| panic!("no {name}")).value.clone()
}

fn fill(folder: &Folder, typed: &[(&str, &str)]) -> Result<usize, Unwritten> {
    let mut file = open(folder);
    let loaded = axle_of(&file, &Source::BuiltIn, &[]).unwrap_or_else(|e| panic!("{e}"));
    let own = |(name, typed): &(&str, &str)| ((*name).to_owned(), (*typed).to_owned());
    let pairs: Vec<(String, String)> = typed.iter().map(own).collect();
    fill_in(&mut file, (&loaded, &Source::BuiltIn, &[]), &pairs)
}

#[test]
fn fields_say_what_the_file_says_and_what_is_not_changed_is_not_written() {
    let folder = folder(BENCH_JOB.text);
    for (name, stands) in [
        ("axle", "rowan-215.axle.toml"),
        ("name", "Blue van, rear"),
        ("gears", "new"),
        ("known.mark_new", "0.050"),
        ("known.head_height", "28.08 28.11"),
        ("known.gauge", "0.86"),
        ("assemblies.0.on", "set-up bearings"),
        ("assemblies.0.backlash", "0.15 0.17 0.18 0.15"),
        ("assemblies.1.reseated", "false"),
        ("assemblies.1.coast", "-0.05"),
        ("done.verdict", ""),
    ] {
        assert_eq!(value(&folder, name), stands, "{name}");
    }
    let all = fields(&folder);
    let own: Vec<(&str, &str)> = all
        .iter()
        .map(|field| (field.name.as_str(), field.value.as_str()))
        .collect();
    assert_eq!(fill(&folder, &own), Ok(0));
    assert_eq!(text(&folder), BENCH_JOB.text);
    // each by a name of its own
    let mut once: Vec<&str> = own.iter().map(|(name, _)| *name).collect();
    once.sort_unstable();
    once.dedup();
    assert_eq!(once.len(), own.len());
}

#[test]
fn only_what_applies_is_asked() {
    let on_trial = names(&folder(BENCH_JOB.text));
    let has_field = |names: &[String], name: &str| names.iter().any(|own| own == name);
    // what the file states is shown, whatever the shop is used to
    assert!(has_field(&on_trial, "known.head_height"));
    for absent in [
        "known.preload_pack",
        "known.tail_height",
        "assemblies.0.reseated",
        "assemblies.0.torque",
        "assemblies.0.rise",
    ] {
        assert!(!has_field(&on_trial, absent), "{absent}");
    }
    let turned = "axle = \"adjusters.axle.toml\"\nbearings = \"kept\"\n[[assemblies]]\npinion = 0.9\n\
                  ring = 0.0\nfar = 0.0\n[[assemblies]]\npinion = 0.9\nring = 0.1\nfar = -0.1\n";
    let turned = names(&folder(turned));
    assert!(!has_field(&turned, "known.ring_pack") && !has_field(&turned, "assemblies.0.ring"));
    assert!(has_field(&turned, "assemblies.1.ring") && has_field(&turned, "assemblies.0.torque"));
    let spacer = "axle = \"sorrel-71.axle.toml\"\n[[assemblies]]\non = \"real bearings\"\npinion = 0.9\n\
                  ring = 2.0\nfar = 2.0\npreload = [1.5]\n";
    let spacer = names(&folder(spacer));
    assert!(has_field(&spacer, "assemblies.0.torque") && has_field(&spacer, "known.preload_pack"));
    // where the pattern lies is touched on a tooth
    let all = fields(&folder(BENCH_JOB.text));
    let teeth = all.iter().filter(|field| field.kind == ControlKind::Tooth);
    assert_eq!(teeth.count(), 4);
}

#[test]
fn what_is_filled_in_is_written_as_people_say_it_and_comments_stay() {
    let folder = folder(BENCH_JOB.text);
    let written = fill(
        &folder,
        &[
            ("known.mark_old", "-1 thou"),
            ("known.gauge", ""),
            ("assemblies.1.backlash", "6 7 7 6 thou"),
            ("assemblies.1.drive", "5 % root"),
            ("assemblies.1.reseated", "true"),
            ("done.verdict", "right"),
            ("done.hours", "4,5"),
            ("done.date", "2031-04-09"),
            ("done.comeback", ""),
            ("a field of another form", "x"),
        ],
    );
    assert_eq!(written, Ok(8));
    let after = text(&folder);
    has(
        &after,
        "mark_old    = -0.0254                  # as etched on the pinion that came out",
    );
    has(&after, "backlash = [ 0.1524, 0.1778, 0.1778, 0.1524 ]\n");
    assert!(!after.contains("\ngauge "), "{after}");
    let job = load_job(&folder.path(JOB), &Source::BuiltIn, &[]).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(job.bench.assemblies[1].drive, Some(-0.05));
    assert!(job.bench.assemblies[1].reseated);
    let done = job.done.expect("an end");
    assert_eq!(
        (done.hours, done.date.as_deref()),
        (Some(4.5), Some("2031-04-09"))
    );
    assert_eq!(value(&folder, "done.date"), "2031-04-09");
}

/// What is recorded of a finished job and has no field stays when a field is changed.
#[test]
fn minutes_and_spoiled_shims_stay_when_a_field_beside_them_changes() {
    let kept = "minutes = { strip = 105 }\nspoiled = { P-38 = 1 }   # torn\n";
    let folder = folder(&format!("{}[done]\nhours = 4\n{kept}", BENCH_JOB.text));
    assert_eq!(fill(&folder, &[("done.hours", "4.5")]), Ok(1));
    has(&text(&folder), &format!("[done]\nhours = 4.5\n{kept}"));
}

#[test]
fn what_is_wrong_stands_beside_its_field_and_nothing_is_written() {
    let folder = folder(BENCH_JOB.text);
    let refused = fill(
        &folder,
        &[
            ("name", "Another"),
            ("known.mark_old", "5 furlongs"),
            ("known.pinion_pack", "94"),
            ("known.head_height", "28.08"),
            ("assemblies.0.pinion", ""),
            ("gears", "worn"),
            ("axle", "../secret.axle.toml"),
            ("done.date", "2031-02-30"),
            ("done.sleeves", "-1"),
        ],
    );
    let Err(Unwritten::Refused(refused)) = refused else {
        panic!("{refused:?}");
    };
    assert_eq!(text(&folder), BENCH_JOB.text);
    let why = |name: &str| {
        let found = refused.iter().find(|one| one.name == name);
        found
            .unwrap_or_else(|| panic!("{name}: {refused:?}"))
            .why
            .clone()
    };
    has(
        &why("known.mark_old"),
        "`furlongs` is no unit that is known here",
    );
    has(&why("known.pinion_pack"), "for 94 hundredths say `0.94`");
    has(&why("known.head_height"), "2 figures are wanted");
    has(&why("assemblies.0.pinion"), "this one is needed");
    has(
        &why("gears"),
        "`worn` is none of what there is to choose from: new, kept",
    );
    has(
        &why("axle"),
        "no axle file `../secret.axle.toml` lies beside the job file",
    );
    has(&why("done.date"), "there is no such day");
    has(
        &why("done.sleeves"),
        "a whole number from 0 to 100 is wanted",
    );
    // they come back with what was typed
    let form = form(&folder, &refused);
    let fields = || form.iter().flat_map(|group| &group.fields);
    let pack = fields()
        .find(|field| field.name == "known.pinion_pack")
        .expect("a field");
    assert_eq!((pack.value.as_str(), pack.problem.is_some()), ("94", true));
    let wrong = fields().filter(|field| field.problem.is_some()).count();
    assert_eq!(wrong, refused.len());
    // and no group with something wrong in it is folded
    let hidden = form
        .iter()
        .filter(|group| group.folded)
        .flat_map(|group| &group.fields);
    assert!(hidden.into_iter().all(|field| field.problem.is_none()));
}

#[test]
fn an_assembly_is_begun_with_packs_and_taken_back() {
    let folder = folder(BENCH_JOB.text);
    let mut file = open(&folder);
    let loaded = axle_of(&file, &Source::BuiltIn, &[]).unwrap_or_else(|e| panic!("{e}"));
    let fit = ToFit {
        packs: [0.88, 1.97, 2.14],
        setup_bearings: false,
    };
    assert_eq!(begin(&mut file, &loaded, &fit), Ok(2));
    let job = load_job(&folder.path(JOB), &Source::BuiltIn, &[]).unwrap_or_else(|e| panic!("{e}"));
    let last = &job.bench.assemblies[2];
    assert_eq!((last.pinion, last.ring, last.far), (0.88, 1.97, 2.14));
    assert!(!last.on_setup_bearings);
    has(
        &text(&folder),
        "pinion = 0.88   # the packs fitted, as printed\n",
    );
    assert_eq!(take_back(&mut file), Ok(()));
    let after = text(&folder);
    assert_eq!(after.matches("[[assemblies]]").count(), 2);
    // comments that stood at the end went with the entry before which they had come to stand
    assert!(BENCH_JOB.text.starts_with(after.trim_end()), "{after}");
    for _ in 0..2 {
        assert_eq!(take_back(&mut file), Ok(()));
    }
    assert!(take_back(&mut file).is_err_and(|why| why.contains("no assembly")));
    let job = load_job(&folder.path(JOB), &Source::BuiltIn, &[]).unwrap_or_else(|e| panic!("{e}"));
    assert!(job.bench.assemblies.is_empty());
    // adjusters count from where they stand first
    let folder = self::folder("axle = \"adjusters.axle.toml\"\n");
    let mut file = open(&folder);
    let loaded = axle_of(&file, &Source::BuiltIn, &[]).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(begin(&mut file, &loaded, &fit), Ok(0));
    let job = load_job(&folder.path(JOB), &Source::BuiltIn, &[]).unwrap_or_else(|e| panic!("{e}"));
    let first = &job.bench.assemblies[0];
    assert_eq!((first.pinion, first.ring, first.far), (0.88, 0.0, 0.0));
}

#[test]
fn a_new_job_has_a_file_called_by_its_name() {
    let folder = folder("");
    let place = folder.path("");
    let fields = new_job_controls(&place, &[])
        .unwrap_or_else(|e| panic!("{e}"))
        .fields;
    let names: Vec<&str> = fields.iter().map(|field| field.name.as_str()).collect();
    assert_eq!(names, ["name", "axle", "gears", "bearings"]);
    let ControlKind::Choice(axles) = &fields[1].kind else {
        panic!("{:?}", fields[1]);
    };
    assert_eq!(axles.len(), 3);
    let make = |typed: &[(&str, &str)]| {
        let own = |(name, typed): &(&str, &str)| ((*name).to_owned(), (*typed).to_owned());
        let pairs: Vec<(String, String)> = typed.iter().map(own).collect();
        new_job(&place, &Source::BuiltIn, &[], &pairs)
    };
    let all = [
        ("name", "Grey pick-up, /rear/"),
        ("axle", "rowan-215.axle.toml"),
        ("gears", "kept"),
        ("bearings", "new"),
    ];
    let path = make(&all).expect("a new job");
    assert_eq!(path, folder.path("grey-pick-up-rear.job.toml"));
    let job = load_job(&path, &Source::BuiltIn, &[]).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(job.name, "Grey pick-up, /rear/");
    assert_eq!(job.gears, shimcast_sim::axle::Condition::Kept);
    assert!(job.assumptions.is_empty());
    let before = std::fs::read_to_string(&path).expect("text");
    for (typed, name, why) in [
        (
            &all[..],
            "name",
            "there is a file grey-pick-up-rear.job.toml already",
        ),
        (&[("name", "…"), all[1]], "name", "letters or figures"),
        (&[("name", "B")], "axle", "name the axle file"),
        (
            &[("name", "B"), ("axle", "b.axle.toml")],
            "axle",
            "no axle file `b.axle.toml`",
        ),
        (
            &[("name", "B"), all[1], ("gears", "x")],
            "gears",
            "none of what there is",
        ),
    ] {
        let Err(Unwritten::Refused(refused)) = make(typed) else {
            panic!("{typed:?}");
        };
        let found = refused.iter().find(|one| one.name == name).expect(name);
        has(&found.why, why);
        let fields = new_job_controls(&place, &refused)
            .unwrap_or_else(|e| panic!("{e}"))
            .fields;
        assert!(fields.iter().any(|field| field.problem.is_some()));
    }
    assert_eq!(std::fs::read_to_string(&path).expect("text"), before);
    assert!(!folder.path("b.job.toml").exists());
}
