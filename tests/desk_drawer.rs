//! The drawer in the desk: shims booked by forms alone, and the order beside them.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};

use crate::given::{Folder, answer, has, program, text_of};

/// A desk that is open in a folder, as a browser without script sees it.
struct Desk {
    running: Child,
    address: String,
    cookie: String,
}

impl Drop for Desk {
    fn drop(&mut self) {
        // one that has ended needs no end
        let _ = self.running.kill();
        let _ = self.running.wait();
    }
}

/// An answer: its status, where it leads, and what it says.
#[derive(Debug)]
struct Got {
    status: u16,
    to: String,
    body: String,
}

impl Desk {
    fn open(folder: &Folder) -> Self {
        let here = folder.path("");
        let mut command: Command = program(&["desk", here.to_str().expect("text"), "--no-open"]);
        let mut running = command
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let lines = BufReader::new(running.stdout.take().expect("its output")).lines();
        let opened = lines
            .map_while(Result::ok)
            .find(|line| line.contains("http://"));
        let opened = opened.expect("an address");
        let (_, rest) = opened.split_once("http://").expect("an address");
        let (address, key) = rest.split_once('/').expect("a key");
        let mut desk = Self {
            running,
            address: address.to_owned(),
            cookie: String::new(),
        };
        let (head, _) = desk.ask(&format!("GET /{key} HTTP/1.1\r\n"), "");
        let cookie = head.lines().find_map(|line| {
            let (name, value) = line.split_once(": ")?;
            name.eq_ignore_ascii_case("set-cookie")
                .then(|| value.split(';').next())?
        });
        desk.cookie = cookie.expect("a cookie").to_owned();
        desk
    }

    fn ask(&self, line: &str, body: &str) -> (String, String) {
        let mut stream = TcpStream::connect(&self.address).expect("the desk listens");
        let Self {
            address, cookie, ..
        } = self;
        let request = format!(
            "{line}Host: {address}\r\nOrigin: http://{address}\r\nCookie: {cookie}\r\nConnection: close\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        );
        stream
            .write_all(request.as_bytes())
            .expect("it takes the request");
        let mut got = String::new();
        stream.read_to_string(&mut got).expect("it answers");
        let (head, body) = got.split_once("\r\n\r\n").expect("a head");
        (head.to_owned(), body.to_owned())
    }

    fn got((head, body): (String, String)) -> Got {
        let to = head
            .lines()
            .find_map(|line| line.strip_prefix("location: "));
        Got {
            status: head
                .split(' ')
                .nth(1)
                .and_then(|status| status.parse().ok())
                .expect("a status"),
            to: to.unwrap_or_default().to_owned(),
            body,
        }
    }

    fn get(&self, path: &str) -> Got {
        Self::got(self.ask(&format!("GET {path} HTTP/1.1\r\n"), ""))
    }

    /// As [`Self::get`], by a browser that refines its answers itself: what is known at once.
    fn at_once(&mut self, path: &str) -> Got {
        let cookie = self.cookie.clone();
        self.cookie.push_str("; script=1");
        let got = self.get(path);
        self.cookie = cookie;
        got
    }

    fn post(&self, fields: &[(&str, &str)]) -> Got {
        let escaped = |text: &str| -> String {
            let sign = |byte: u8| match byte {
                b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'.' | b'-' => {
                    char::from(byte).to_string()
                }
                byte => format!("%{byte:02x}"),
            };
            text.bytes().map(sign).collect()
        };
        let pairs = fields
            .iter()
            .map(|(name, value)| format!("{}={}", escaped(name), escaped(value)));
        let body = pairs.collect::<Vec<_>>().join("&");
        Self::got(self.ask("POST /drawer HTTP/1.1\r\n", &body))
    }

    /// Sends a form of the page as it is seen now.
    fn book(&mut self, fields: &[(&str, &str)]) -> Got {
        let seen = self.seen();
        self.post(&[&[("have", "drawer.csv"), ("seen", &seen)], fields].concat())
    }

    fn seen(&mut self) -> String {
        let page = self.at_once("/drawer?have=drawer.csv").body;
        let (_, seen) = page.split_once("name=\"seen\" value=\"").expect("a form");
        seen[..8].to_owned()
    }
}

/// A shop that is planned for in little time.
fn few(name: &str) -> String {
    text_of(name).replace("job_fill         = 0.95", "job_fill         = 0.60")
}

fn demo(folder: &Folder) {
    folder.file(
        "north-bench.shop.toml",
        few("north-bench.shop.toml").as_bytes(),
    );
    for name in ["rowan-215.axle.toml", "sorrel-71.axle.toml"] {
        folder.file(name, text_of(name).as_bytes());
    }
}

#[test]
fn shims_are_booked_by_forms_alone() {
    let folder = Folder::new("booked");
    demo(&folder);
    let mut desk = Desk::open(&folder);
    let text = || fs::read_to_string(folder.path("drawer.csv")).expect("a count");
    let none = desk.at_once("/drawer");
    has(&none.body, "not counted");
    let made = desk.post(&[("do", "begin"), ("name", "drawer"), ("decimal", "comma")]);
    assert_eq!(
        (made.status, made.to.as_str()),
        (303, "/drawer?have=drawer.csv")
    );
    assert!(
        text().starts_with("series;size;count;on_order\nP-38;0,08;0;0\n"),
        "{}",
        text()
    );
    let again = desk.post(&[("do", "begin"), ("name", "drawer.csv")]);
    assert_eq!(again.status, 422);
    has(&again.body, "is there already");

    let short = desk.book(&[("less", "P-38 0.08")]);
    assert_eq!(short.status, 422);
    has(
        &short.body,
        "P-38 0.08 mm: 1 is to be taken out and there is none",
    );
    let recounted = desk.book(&[
        ("count P-38 0.08", "7"),
        ("count S-80 1.50", "0"),
        ("more", "P-28in 0.020"),
    ]);
    assert_eq!(recounted.status, 303);
    has(&text(), "\nP-38;0,08;7;0\n");
    has(&text(), "\nP-28in;0,020;1;0\n");
    let no_count = desk.book(&[("count P-38 0.08", "7,5"), ("less", "P-38 0.08")]);
    assert_eq!(no_count.status, 422);
    has(&no_count.body, "`7,5` is no count");
    has(&text(), "\nP-38;0,08;7;0\n");

    // rows that mean nothing are refused with all that stands beside them
    for (odd, said) in [
        (("order", "2 Z-1 0.10"), "the count has no size `Z-1 0.10`"),
        (("order", "two S-80 0.10"), "`two` is no count"),
        (("order", "2"), "the count has no size ``"),
    ] {
        let refused = desk.book(&[("do", "ordered"), ("order", "4 P-38 0.08"), odd]);
        assert_eq!(refused.status, 422, "{odd:?}");
        has(&refused.body, said);
    }
    let unknown = desk.book(&[("more", "Z-1 0.10")]);
    assert_eq!(unknown.status, 422);
    has(&unknown.body, "the count has no size `Z-1 0.10`");
    has(&text(), "\nP-38;0,08;7;0\n");

    assert_eq!(
        desk.book(&[
            ("do", "ordered"),
            ("order", "4 P-38 0.08"),
            ("order", "2 S-80 0.10")
        ])
        .status,
        303
    );
    has(&text(), "\nP-38;0,08;7;4\n");
    has(&desk.at_once("/drawer").body, "4 on order");
    let came = [
        ("do", "delivered"),
        ("came P-38 0.08", "3"),
        ("came S-80 0.10", "0"),
    ];
    assert_eq!(desk.book(&came).status, 303);
    has(&text(), "\nP-38;0,08;10;1\n");
    has(&text(), "\nS-80;0,10;0;2\n");

    // somebody counts by hand meanwhile
    let seen = desk.seen();
    let by_hand = text().replace("P-38;0,08;10;1", "P-38;0,08;5;1");
    folder.file("drawer.csv", by_hand.as_bytes());
    let late = desk.post(&[
        ("have", "drawer.csv"),
        ("seen", &seen),
        ("more", "P-38 0.08"),
    ]);
    assert_eq!(late.status, 409);
    has(&late.body, "changed by something else meanwhile");
    assert_eq!(text(), by_hand);
}

#[test]
fn the_order_is_that_of_the_command_while_shims_come_and_go() {
    let folder = Folder::new("ordering");
    demo(&folder);
    let count = "# by hand\nseries;size;count;where\nP-38;0,25;4;left\nS-80;1,50;1;right\n";
    folder.file("drawer.csv", count.as_bytes());
    let path = |name: &str| folder.path(name).to_str().expect("text").to_owned();
    let (shop, have) = (path("north-bench.shop.toml"), path("drawer.csv"));
    let asked = ["stock", "--shop", &shop, "--have", &have];
    let slip =
        |more: &[&str]| answer(&[&asked[..], &["--slip", "--decimal", "comma"], more].concat());
    let mut desk = Desk::open(&folder);
    let before = desk.get("/drawer?page=slip").body;
    // the plan is known by now, and holds beside another count: that of a command which plans anew
    assert_eq!(
        desk.book(&[("count P-38 0.25", "0"), ("more", "T-11in 0.0015")])
            .status,
        303
    );
    let after = desk.get("/drawer?page=slip").body;
    assert_eq!(after, slip(&[]));
    assert_ne!(before, after);
    assert_eq!(
        desk.get("/drawer?page=slip&budget=60").body,
        slip(&["--budget", "60"])
    );

    let whole = desk.get("/drawer").body;
    let told = answer(&asked);
    for name in ["To pay now", "The next 91 days", "Jobs that never wait"] {
        let line = told
            .lines()
            .find(|line| line.trim_start().starts_with(name))
            .expect("a line");
        let figure = line.trim_start()[name.len()..]
            .split_whitespace()
            .next()
            .expect("a figure");
        let (_, row) = whole.split_once(name).expect("a row");
        has(&row[..60], figure);
    }
    has(&whole, "Mark as ordered");
    let at_once = desk.at_once("/drawer").body;
    has(&at_once, "To pay now");
    has(
        &desk.get("/drawer?page=print").body,
        "Order slip of North Bench",
    );
    let text = fs::read_to_string(folder.path("drawer.csv")).expect("a count");
    assert_eq!(
        text,
        "# by hand\nseries;size;count;where\nP-38;0,25;0;left\nS-80;1,50;1;right\nT-11in;0,0015;1;\n"
    );
}

#[test]
fn a_shop_without_jobs_has_a_drawer_and_says_what_is_missing() {
    let folder = Folder::new("no-jobs");
    let text = text_of("north-bench-inch.shop.toml");
    let (before, _) = text.split_once("[[jobs]]").expect("jobs");
    folder.file("a.shop.toml", before.as_bytes());
    let series = before
        .split("series   = \"")
        .nth(1)
        .and_then(|rest| rest.split('"').next());
    let series = series.expect("a series");
    let size = before
        .split("sizes    = [ ")
        .nth(1)
        .and_then(|rest| rest.split(',').next());
    let size = size.expect("a size");
    folder.file(
        "drawer.csv",
        format!("series,size,count\n{series},{size},2\n").as_bytes(),
    );
    let mut desk = Desk::open(&folder);
    let page = desk.get("/drawer");
    assert_eq!(page.status, 200);
    has(&page.body, "there are no kinds of job ([[jobs]])");
    has(&page.body, &format!("{series}, in"));
    let booked = desk.book(&[("less", &format!("{series} {size}"))]);
    assert_eq!(booked.status, 303, "{}", booked.body);
    let text = fs::read_to_string(folder.path("drawer.csv")).expect("a count");
    assert_eq!(text, format!("series,size,count\n{series},{size},1\n"));
    // a count that can't be read is told of at its place
    folder.file(
        "drawer.csv",
        format!("series,size,count\n{series},9,2\n").as_bytes(),
    );
    let wrong = desk.get("/drawer");
    has(&wrong.body, &format!("{series} has no size 9 in"));
}
