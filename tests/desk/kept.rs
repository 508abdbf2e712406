//! What the desk writes, whoever else writes, and however it ends.

use std::fs;
use std::thread;
use std::time::{Duration, Instant};

use shimcast::files::fingerprint;

use super::Desk;

const JOB: &str = "/bench?file=rowan-bench.job.toml";
const NAME: &str = "rowan-bench.job.toml";

/// What a page says a file's text was when it was made.
fn seen(desk: &Desk, path: &str) -> String {
    let page = desk.get(path).body;
    super::hidden(&page, "seen")
        .expect("a fingerprint")
        .to_owned()
}

/// A form that changes the new pinion's mark.
fn mark(seen: &str, mark: &str) -> String {
    format!("file={NAME}&seen={seen}&was=known.mark_new%3D0.050&known.mark_new={mark}")
}

#[test]
fn of_two_writers_one_is_told_of_the_other() {
    let desk = Desk::with_starters("desk-writers");
    for round in 0..10 {
        let seen = seen(&desk, JOB);
        let statuses: Vec<u16> = thread::scope(|scope| {
            let one = |mark_new: String| {
                let (desk, seen) = (&desk, &seen);
                scope.spawn(move || desk.post("/bench", &mark(seen, &mark_new)).status)
            };
            let both = [format!("0.0{}", round + 11), format!("-0.0{}", round + 11)].map(one);
            both.into_iter()
                .map(|one| one.join().expect("an answer"))
                .collect()
        });
        let mut sorted = statuses.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, [303, 409], "{statuses:?}");
    }
}

/// What was filled in with the same press counts for the packs that are advised.
#[test]
fn the_next_assembly_goes_by_what_was_entered_with_it() {
    let ways = [("desk-next-one", true), ("desk-next-two", false)];
    let begun = ways.map(|(name, at_once)| {
        let desk = Desk::with_starters(name);
        // the advice on the file as it is has been seen
        let seen = seen(&desk, JOB);
        let body = format!(
            "file={NAME}&seen={seen}&was=&assemblies.1.backlash=0.40+0.42+0.41+0.40&do=next"
        );
        let (first, then) = match at_once {
            true => (body.clone(), None),
            false => {
                let (entered, _) = body.split_once("&do=").expect("a press");
                (entered.to_owned(), Some("do=next"))
            }
        };
        assert_eq!(desk.post("/bench", &first).status, 303);
        if let Some(press) = then {
            let seen = self::seen(&desk, JOB);
            let body = format!("file={NAME}&seen={seen}&was=&{press}");
            assert_eq!(desk.post("/bench", &body).status, 303);
        }
        fs::read_to_string(desk.path(NAME)).expect("the job")
    });
    assert_eq!(begun[0], begun[1]);
}

#[test]
fn a_desk_that_is_killed_leaves_whole_files() {
    let started = Desk::with_starters("desk-killed");
    let path = started.path(NAME);
    let text = fs::read_to_string(&path).expect("the job");
    let mut folder = started.into_folder();
    let mut changed = 0;
    for round in 0_u64..12 {
        let desk = Desk::on(folder);
        let before = fs::read_to_string(&path).expect("the job");
        thread::scope(|scope| {
            let writing = scope.spawn(|| {
                for i in 10..60 {
                    let text = fs::read_to_string(&path).expect("the job");
                    desk.try_post("/bench", &mark(&fingerprint(&text), &format!("0.0{i}")));
                }
            });
            thread::sleep(Duration::from_millis(20 + 37 * round));
            desk.kill();
            writing.join().expect("a writer");
        });
        let now = fs::read_to_string(&path).expect("the job");
        changed += u32::from(now != before);
        assert_eq!(without_mark(&now), without_mark(&text), "{now}");
        folder = desk.into_folder();
    }
    assert!(changed > 2, "{changed} rounds wrote something");
}

/// A job file but for the mark that was changed.
fn without_mark(text: &str) -> String {
    let lines = text.lines().map(|line| match line.split_once('=') {
        Some((key, rest)) if key.trim() == "mark_new" => {
            let comment = rest.split_once('#').map_or("", |(_, comment)| comment);
            format!("mark_new{comment}\n")
        }
        _ => format!("{line}\n"),
    });
    lines.collect()
}

#[test]
fn a_file_is_changed_by_form_and_had_back() {
    let desk = Desk::with_starters("desk-back");
    let path = "/files?file=home-garage.shop.toml";
    let file = desk.path("home-garage.shop.toml");
    let before = fs::read_to_string(&file).expect("the shop");
    let change = format!(
        "file=home-garage.shop.toml&seen={}&was=bench.mark_slip%3D0.1&bench.mark_slip=0%2C07",
        seen(&desk, path)
    );
    assert_eq!(desk.post("/files", &change).status, 303);
    let now = fs::read_to_string(&file).expect("the shop");
    let differ = before
        .lines()
        .zip(now.lines())
        .filter(|(a, b)| a != b)
        .count();
    assert!(differ == 1 && now.contains("0.07"), "{now}");
    // nonsense changes nothing and stands in its field
    let wrong = format!(
        "file=home-garage.shop.toml&seen={}&was=bench.mark_slip%3D0.07&bench.mark_slip=seven",
        seen(&desk, path)
    );
    let refused = desk.post("/files", &wrong);
    assert_eq!(refused.status, 422);
    assert!(refused.body.contains("value=\"seven\""), "{}", refused.body);
    assert_eq!(fs::read_to_string(&file).expect("the shop"), now);
    let back = format!(
        "file=home-garage.shop.toml&seen={}&do=back",
        seen(&desk, path)
    );
    assert_eq!(desk.post("/files", &back).status, 303);
    assert_eq!(fs::read_to_string(&file).expect("the shop"), before);
}

/// Hidden fields of a form, as they are sent back.
fn hidden(page: &str, name: &str) -> String {
    let value = super::hidden(page, name).expect(name).replace("&amp;", "&");
    form_urlencoded::byte_serialize(value.as_bytes()).collect()
}

#[test]
fn what_was_right_beside_a_mistake_is_written_once_that_is_mended() {
    let desk = Desk::with_starters("desk-mended");
    let path = "/files?file=home-garage.shop.toml";
    let first = desk.get(path).body;
    let body = |page: &str, slip: &str| {
        let (seen, was) = (hidden(page, "seen"), hidden(page, "was"));
        format!(
            "file=home-garage.shop.toml&seen={seen}&was={was}&bench.mark_slip={slip}&bench.guard=0.05"
        )
    };
    let refused = desk.post("/files", &body(&first, "seven"));
    assert_eq!(refused.status, 422);
    let saved = desk.post("/files", &body(&refused.body, "0.07"));
    assert_eq!(saved.status, 303, "{}", saved.body);
    let now = fs::read_to_string(desk.path("home-garage.shop.toml")).expect("the shop");
    assert!(now.contains("0.07") && now.contains("0.05"), "{now}");
    // the same where another tab was first
    let first = desk.get(JOB).body;
    assert_eq!(
        desk.post("/bench", &mark(&seen(&desk, JOB), "0.02")).status,
        303
    );
    let mark_of = |page: &str| {
        let (seen, was) = (hidden(page, "seen"), hidden(page, "was"));
        format!("file={NAME}&seen={seen}&was={was}&known.mark_new=0.03")
    };
    let told = desk.post("/bench", &mark_of(&first));
    assert_eq!(told.status, 409);
    assert_eq!(desk.post("/bench", &mark_of(&told.body)).status, 303);
    let job = fs::read_to_string(desk.path(NAME)).expect("the job");
    assert!(job.contains("mark_new    =  0.03 "), "{job}");
}

#[test]
fn an_assembly_that_was_taken_out_can_be_had_back() {
    let desk = Desk::with_starters("desk-undo");
    let press = |what: &str| {
        let body = format!("file={NAME}&seen={}&was=&do={what}", seen(&desk, JOB));
        assert_eq!(desk.post("/bench", &body).status, 303, "{what}");
        fs::read_to_string(desk.path(NAME)).expect("the job")
    };
    let before = fs::read_to_string(desk.path(NAME)).expect("the job");
    assert_eq!(press("back").matches("\n[[assemblies]]").count(), 1);
    assert_eq!(press("undo"), before);
}

#[test]
fn a_name_in_several_lines_is_told_and_is_not_written() {
    let desk = Desk::with_starters("desk-lines");
    let (path, file) = ("/files?file=short.axle.toml", desk.path("short.axle.toml"));
    let text = fs::read_to_string(&file).expect("the axle");
    let text = text.replace("\"My axle\"", "\"\"\"My axle,\n  rear\"\"\"");
    fs::write(&file, &text).expect("a file");
    let page = desk.get(path).body;
    assert!(page.contains("a character in it that can"), "{page}");
    let send = |name: &str| {
        let page = desk.get(path).body;
        let (seen, was) = (hidden(&page, "seen"), hidden(&page, "was"));
        let body = format!("file=short.axle.toml&seen={seen}&was={was}&name={name}");
        let sent = desk.post("/files", &body).status;
        (sent, fs::read_to_string(&file).expect("the axle"))
    };
    fs::write(
        &file,
        text.replace("\"\"\"My axle,\n  rear\"\"\"", "\"My axle\""),
    )
    .expect("a file");
    // as a browser sends it
    let (sent, now) = send("My+axle%2C%0D%0A++front");
    assert!(sent != 303 && !now.contains("front"), "{sent}: {now}");
    let (sent, now) = send("My+axle%2C+front");
    let read = now.parse::<toml::Table>().expect("a file");
    assert_eq!((sent, read["name"].as_str()), (303, Some("My axle, front")));
}

#[test]
fn tables_are_seen_at_the_file_that_reads_them() {
    let desk = Desk::with_starters("desk-tables");
    let runouts = "# measured\nnumber;runout\n1;0,021\n2;0,034\n3;<0,018>\n";
    fs::write(desk.path("runouts.csv"), runouts).expect("a table");
    let file = desk.path("rowan-215.axle.toml");
    let text = fs::read_to_string(&file).expect("the axle");
    let spread = "tooth_runout      = { shape = \"half-normal\", sigma = 0.022 }";
    let named = "tooth_runout      = { from = \"runouts.csv\", column = \"runout\" }";
    assert!(text.contains(spread));
    fs::write(&file, text.replace(spread, named)).expect("a file");
    let list = desk.get("/files").body;
    for name in ["gear-sets.csv", "runouts.csv"] {
        assert!(list.contains(&format!("/files?file={name}")), "{list}");
    }
    let axle = desk.get("/files?file=rowan-215.axle.toml").body;
    assert!(
        axle.contains("It reads figures from <a href=\"/files?file=runouts.csv\">"),
        "{axle}"
    );
    let table = desk.get("/files?file=runouts.csv").body;
    for part in [
        "<th scope=\"col\"",
        "runout",
        "0,034",
        "&lt;0,018&gt;",
        "3 rows.",
    ] {
        assert!(table.contains(part), "{part}: {table}");
    }
    assert!(
        desk.get("/files?file=gear-sets.csv")
            .body
            .contains("thicker ring gear")
    );
    assert_eq!(
        desk.post("/files", "file=runouts.csv&seen=0&was=").status,
        422
    );
    assert_eq!(
        fs::read_to_string(desk.path("runouts.csv")).expect("a table"),
        runouts
    );
}

#[test]
fn a_form_names_no_file_elsewhere() {
    let desk = Desk::with_starters("desk-elsewhere");
    let path = "/files?file=north-bench.shop.toml";
    for elsewhere in ["/etc/passwd", "../rowan-215.axle.toml", ".."] {
        let page = desk.get(path).body;
        let (seen, was) = (hidden(&page, "seen"), hidden(&page, "was"));
        let body =
            format!("file=north-bench.shop.toml&seen={seen}&was={was}&jobs.1.axle={elsewhere}");
        let refused = desk.post("/files", &body);
        assert_eq!(refused.status, 422, "{elsewhere}");
        assert!(refused.body.contains("without a path"), "{}", refused.body);
    }
}

#[test]
fn a_change_that_was_tried_is_kept_in_its_file() {
    let desk = Desk::with_starters("desk-keep");
    let path = "/what-if?shop=north-bench.shop.toml&to.bench.pinion_start=gauge";
    let body = format!(
        "shop=north-bench.shop.toml&to.bench.pinion_start=gauge&keep=bench.pinion_start&seen={}",
        seen(&desk, path)
    );
    let kept = desk.post("/what-if", &body);
    assert_eq!(kept.status, 303, "{}", kept.body);
    assert_eq!(
        kept.header("location"),
        Some("/what-if?shop=north-bench.shop.toml")
    );
    let shop = fs::read_to_string(desk.path("north-bench.shop.toml")).expect("the shop");
    assert!(
        shop.contains("pinion_start   = \"gauge\"     # \"old pack\""),
        "{shop}"
    );
}

#[test]
fn shims_of_a_finished_job_leave_the_drawer_once() {
    let desk = Desk::with_starters("desk-booked");
    let count = "series,size,count\nP-38,0.80,2\nP-38,0.12,1\nS-80,1.50,1\nS-80,1.80,1\nS-80,0.25,1\n\
                 S-80,0.12,4\nS-80,0.10,4\n";
    fs::write(desk.path("drawer.csv"), count).expect("a count");
    let path = format!("{JOB}&have=drawer.csv");
    let body = format!(
        "have=drawer.csv&file={NAME}&seen={}&was=&do=book",
        seen(&desk, &path)
    );
    let booked = desk.post("/bench", &body);
    assert_eq!(booked.status, 303, "{}", booked.body);
    let now = fs::read_to_string(desk.path("drawer.csv")).expect("the count");
    // 0.92 at the pinion is 0.80 + 0.12
    assert!(
        now.contains("P-38,0.80,1\n") && now.contains("P-38,0.12,0\n"),
        "{now}"
    );
    let job = fs::read_to_string(desk.path(NAME)).expect("the job");
    assert!(job.contains("booked = \"drawer.csv\""), "{job}");
    // not twice
    let body = format!(
        "have=drawer.csv&file={NAME}&seen={}&was=&do=book",
        seen(&desk, &path)
    );
    assert_eq!(desk.post("/bench", &body).status, 422);
    assert_eq!(
        fs::read_to_string(desk.path("drawer.csv")).expect("the count"),
        now
    );
}

#[test]
fn a_run_that_nobody_waits_for_ends() {
    let desk = Desk::with_starters("desk-stale");
    // far more of them than there are turns, each left at once
    for _ in 0..30 {
        drop(desk.begin("/why/answers"));
    }
    let started = Instant::now();
    assert_eq!(desk.get(JOB).status, 200);
    // one run of it alone takes longer on most machines than all of these left ones
    assert!(
        started.elapsed() < Duration::from_secs(30),
        "{:?}",
        started.elapsed()
    );
}

#[test]
fn a_long_plan_keeps_nobody_from_reading_or_writing() {
    let desk = Desk::with_starters("desk-planning");
    let begin = "shop=north-bench.shop.toml&do=begin&name=drawer&at=levels&decimal=point";
    thread::scope(|scope| {
        // more of them than a visitor has turns
        for _ in 0..5 {
            scope.spawn(|| desk.try_post("/drawer", begin));
        }
        thread::sleep(Duration::from_millis(500));
        assert_eq!(desk.get("/lessons").status, 200);
        let seen = seen(&desk, JOB);
        assert_eq!(desk.post("/bench", &mark(&seen, "0.02")).status, 303);
        let planned = desk.path("drawer.csv").exists();
        desk.kill();
        assert!(!planned, "the plan was there first, so this shows nothing");
    });
}
