//! Forty and more requests that nobody honest sends: each gets its answer, nothing is changed, and the
//! desk goes on answering.

use std::io::Write;
use std::thread;
use std::time::{Duration, Instant};

use super::{Answer, Desk, answer};

/// How a slow sender is got rid of, with room for a busy machine.
const SLOWEST: Duration = Duration::from_secs(40);

/// A request, and the status that it gets; 0 where the other end closes without a word.
struct Row {
    what: &'static str,
    bytes: Vec<u8>,
    status: u16,
}

fn table(desk: &Desk) -> Vec<Row> {
    let mut rows = Vec::new();
    let mut row = |what, bytes, status| {
        rows.push(Row {
            what,
            bytes,
            status,
        });
    };
    paths(desk, &mut row);
    places(desk, &mut row);
    keys(desk, &mut row);
    bodies(desk, &mut row);
    shapes(desk, &mut row);
    rows
}

type Add<'a> = &'a mut dyn FnMut(&'static str, Vec<u8>, u16);

fn paths(desk: &Desk, row: Add<'_>) {
    let get = |path: &str| desk.request("GET", path, &[], "");
    row("up out of the folder", get("/../../etc/passwd"), 404);
    row("the same in code", get("/%2e%2e/%2e%2e/etc/passwd"), 404);
    row("up out of the assets", get("/assets/../Cargo.toml"), 404);
    row(
        "the same with coded slashes",
        get("/assets/..%2f..%2fCargo.toml"),
        404,
    );
    row("a file by its path", get("/quote?axle=/etc/passwd"), 404);
    row(
        "a file outside the folder",
        get("/quote?axle=..%2F..%2Fetc%2Fpasswd"),
        404,
    );
    row(
        "a file of another kind",
        get("/quote?axle=north-bench.shop.toml"),
        404,
    );
    row(
        "a shop by a path",
        get("/why?shop=.%2Fnorth-bench.shop.toml"),
        404,
    );
    row("a room that is none", get("/cellar"), 404);
    row("answers of a room without", get("/lessons/answers"), 404);
    row(
        "a lesson that is none",
        get("/lessons?lesson=..%2FREADME.md"),
        404,
    );
    row(
        "a name with a mark of its own",
        get("/quote?axle=%3Cscript%3Ealert(1)%3C/script%3E"),
        404,
    );
    row("bytes that are no text", get("/quote?axle=%ff%fe"), 400);
    row("a NUL in a name", get("/quote?axle=a%00b"), 400);
    row("a bell in a name", get("/quote?%07=1"), 400);
    row(
        "a file named by a key",
        get("/what-if?to.housing.head_seat.from=%2Fetc%2Fpasswd"),
        404,
    );
    row(
        "a job by its path",
        get("/bench?file=..%2Frowan-bench.job.toml"),
        404,
    );
    let many = format!("/quote?{}", "a&".repeat(3000));
    row("more fields than a form has", get(&many), 400);
    row(
        "a long address",
        get(&format!("/quote?a={}", "a".repeat(9000))),
        414,
    );
}

fn places(desk: &Desk, row: Add<'_>) {
    let port = desk.port;
    let with_host = |host: &str| {
        let cookie = &desk.cookie;
        format!("GET /quote HTTP/1.1\r\n{host}Cookie: {cookie}\r\nConnection: close\r\n\r\n")
            .into_bytes()
    };
    row("another host", with_host("Host: evil.example\r\n"), 421);
    row(
        "another host on this port",
        with_host(&format!("Host: evil.example:{port}\r\n")),
        421,
    );
    row("another port", with_host("Host: 127.0.0.1:1\r\n"), 421);
    row("no port", with_host("Host: 127.0.0.1\r\n"), 421);
    row("no host", with_host(""), 421);
    let twice = format!("Host: 127.0.0.1:{port}\r\n").repeat(2);
    row("two hosts", with_host(&twice), 421);
    row(
        "a host with a dot",
        with_host(&format!("Host: localhost.:{port}\r\n")),
        421,
    );
    let elsewhere = format!("http://evil.example:{port}/quote");
    row(
        "another place in the address",
        desk.request("GET", &elsewhere, &[], ""),
        421,
    );
    let from = |method: &str, header: &str| desk.request(method, "/quote", &[header], "a=1");
    row(
        "a change from nowhere",
        desk.request("POST", "/quote", &[], "a=1"),
        403,
    );
    row(
        "a change from another site",
        from("POST", "Origin: http://evil.example"),
        403,
    );
    row("a change from a file", from("POST", "Origin: null"), 403);
    row(
        "a change by https",
        from("POST", &format!("Origin: https://127.0.0.1:{port}")),
        403,
    );
    row(
        "a change by another name",
        from("POST", &format!("Origin: http://localhost:{port}")),
        403,
    );
    let read = |header: &str| desk.request("GET", "/quote", &[header], "");
    row(
        "reading from another site",
        read("Origin: http://evil.example"),
        403,
    );
    row(
        "a picture of another site",
        read("Sec-Fetch-Site: cross-site"),
        403,
    );
    row(
        "another port of this machine",
        read("Sec-Fetch-Site: same-site"),
        403,
    );
}

fn keys(desk: &Desk, row: Add<'_>) {
    let port = desk.port;
    let stranger = |path: &str, more: &str| {
        format!("GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n{more}Connection: close\r\n\r\n")
            .into_bytes()
    };
    row("no key", stranger("/quote", ""), 401);
    row("no key for an answer", stranger("/quote/answers", ""), 401);
    row("no key for news", stranger("/news", ""), 401);
    row("no key for a script", stranger("/assets/desk.js", ""), 401);
    row("no key at the first address", stranger("/", ""), 401);
    row(
        "a wrong key",
        stranger("/?key=00000000000000000000000000000000", ""),
        403,
    );
    row(
        "half a key",
        stranger(&format!("/?key={}", &desk.key[..16]), ""),
        403,
    );
    row(
        "a guessed cookie",
        stranger("/quote", &format!("Cookie: desk-{port}=0\r\n")),
        401,
    );
    let secret = desk.cookie.split_once('=').expect("a pair").1;
    row(
        "the cookie of another desk",
        stranger("/quote", &format!("Cookie: desk-1={secret}\r\n")),
        401,
    );
    let origin = format!("Origin: http://127.0.0.1:{port}\r\n");
    let change = format!(
        "POST /quote HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n{origin}Content-Length: 3\r\nConnection: close\r\n\r\na=1"
    );
    row("a change without a key", change.into_bytes(), 401);
}

fn bodies(desk: &Desk, row: Add<'_>) {
    let origin = format!("Origin: http://127.0.0.1:{}", desk.port);
    let post = |body: &str| desk.request("POST", "/quote", &[&origin], body);
    row(
        "a huge form",
        post(&format!("a={}", "x".repeat(1 << 20))),
        413,
    );
    row("a form that is no text", post("a=%ff"), 400);
    row(
        "a form of a thousand fields thrice",
        post(&"a=1&".repeat(3000)),
        400,
    );
    row("a change where nothing is changed", post("a=1"), 422);
    let sized = |size: &str, body: &str| {
        desk.request(
            "POST",
            "/quote",
            &[&origin, &format!("Content-Length: {size}")],
            "",
        )
        .into_iter()
        .chain(body.bytes())
        .collect::<Vec<u8>>()
    };
    row("a negative length", sized("-1", "a"), 400);
    row("a length that is no number", sized("many", "a"), 400);
    row("two lengths", sized("1\r\nContent-Length: 2", "ab"), 400);
    row(
        "a length of everything",
        sized("99999999999999999999", "a"),
        400,
    );
    let chunked = |chunks: &str| {
        let mut bytes = desk.request(
            "POST",
            "/quote",
            &[&origin, "Transfer-Encoding: chunked"],
            "",
        );
        bytes.extend(chunks.bytes());
        bytes
    };
    row(
        "a chunk without a size",
        chunked("zz\r\nabc\r\n0\r\n\r\n"),
        413,
    );
    row(
        "chunks without end",
        chunked(&format!("80000\r\n{}", "x".repeat(0x80000))),
        413,
    );
}

fn shapes(desk: &Desk, row: Add<'_>) {
    for (what, method) in [
        ("PUT", "PUT"),
        ("DELETE", "DELETE"),
        ("OPTIONS", "OPTIONS"),
        ("TRACE", "TRACE"),
        ("a method of one's own", "BREW"),
    ] {
        row(what, desk.request(method, "/quote", &[], ""), 405);
    }
    row(
        "no request at all",
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03".to_vec(),
        400,
    );
    row(
        "another protocol",
        b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n".to_vec(),
        0,
    );
    row("words", b"hello there\r\n\r\n".to_vec(), 400);
    let long = format!("X-Long: {}", "a".repeat(64 * 1024));
    row(
        "a long header",
        desk.request("GET", "/quote", &[&long], ""),
        431,
    );
    let many: Vec<String> = (0..300).map(|i| format!("X-{i}: a")).collect();
    let many: Vec<&str> = many.iter().map(String::as_str).collect();
    row(
        "three hundred headers",
        desk.request("GET", "/quote", &many, ""),
        431,
    );
    row(
        "a header in two lines",
        desk.request("GET", "/quote", &["X: a\r\n b"], ""),
        400,
    );
    row(
        "bytes in the address",
        desk.request("GET", "/quote?\u{1}", &[], ""),
        400,
    );
}

/// That nothing was said to whoever asked, and nothing of the machine.
fn tells_nothing(what: &str, answer: &Answer) {
    for word in ["root:", "panicked", "src/", ".rs:", "<script>alert"] {
        assert!(!answer.body.contains(word), "{what}: {}", answer.body);
    }
}

#[test]
fn hostile_requests_get_their_answers_and_change_nothing() {
    let desk = Desk::with_starters("desk-doors");
    let before = desk.files();
    let rows = table(&desk);
    assert!(rows.len() >= 40, "{} rows", rows.len());
    let mut wrong = Vec::new();
    for row in &rows {
        let answer = desk.send(&row.bytes);
        if answer.status != row.status {
            wrong.push(format!(
                "{}: {} and not {}",
                row.what, answer.status, row.status
            ));
        }
        tells_nothing(row.what, &answer);
        assert_eq!(desk.get("/news").status, 200, "after {}", row.what);
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(desk.files() == before, "a file changed");
}

#[test]
fn whoever_is_slow_or_many_is_got_rid_of() {
    let desk = Desk::with_starters("desk-slow");
    let before = desk.files();
    let started = Instant::now();
    // a byte now and then, of a head and of a form
    let origin = format!("Origin: http://127.0.0.1:{}", desk.port);
    let form = desk.request("POST", "/quote", &[&origin, "Content-Length: 1000"], "");
    let slow = [b"GET /quote HTTP/1.1\r\nHost: ".to_vec(), form].map(|bytes| {
        let mut stream = desk.connect();
        stream.write_all(&bytes).expect("a beginning");
        thread::spawn(move || answer(&mut stream).status)
    });
    // far more connections than there is room for, none of which says anything
    let idle: Vec<_> = (0..1000).map(|_| desk.connect()).collect();
    assert_eq!(desk.get("/news").status, 200);
    assert_eq!(desk.get("/quote").status, 200);
    drop(idle);
    // streams that nobody reads to their end
    for _ in 0..50 {
        let mut stream = desk.connect();
        stream
            .write_all(&desk.request("GET", "/why/answers", &[], ""))
            .expect("a request");
    }
    assert_eq!(desk.get("/quote").status, 200);
    let ends = slow.map(|slow| slow.join().expect("an end"));
    assert!(
        ends.iter().all(|status| [0, 408].contains(status)),
        "{ends:?}"
    );
    assert!(started.elapsed() < SLOWEST, "{:?}", started.elapsed());
    assert!(desk.files() == before, "a file changed");
}

#[test]
fn every_answer_keeps_other_sites_and_scripts_out() {
    let desk = Desk::with_starters("desk-headers");
    for path in ["/quote", "/lessons", "/cellar", "/assets/desk.js", "/news"] {
        let answer = desk.get(path);
        let policy = answer.header("content-security-policy").expect("a policy");
        assert!(
            policy.contains("default-src 'none'") && !policy.contains("unsafe"),
            "{policy}"
        );
        assert_eq!(
            answer.header("x-content-type-options"),
            Some("nosniff"),
            "{path}"
        );
        assert_eq!(
            answer.header("cross-origin-resource-policy"),
            Some("same-origin"),
            "{path}"
        );
        assert!(
            !answer.body.contains(" style=\"") && !answer.body.contains(" onclick"),
            "{path}"
        );
    }
    let page = desk.get("/report?page=sheet");
    let policy = page.header("content-security-policy").expect("a policy");
    assert!(!policy.contains("script-src"), "{policy}");
}

/// A browser whose script is switched off later still says that it has one.
#[test]
fn a_page_made_for_script_leads_on_where_there_is_none() {
    let mut desk = Desk::with_starters("desk-no-script");
    let own = desk.cookie.clone();
    desk.cookie.push_str("; script=1");
    let page = desk.get("/why?find=given-up").body;
    let (_, plain) = page.split_once("<noscript>").expect("a way on");
    let (_, plain) = plain.split_once("0; url=").expect("an address");
    let plain = plain
        .split('"')
        .next()
        .unwrap_or_default()
        .replace("&amp;", "&");
    let forgets = desk.get(&plain);
    assert_eq!(forgets.status, 303);
    assert_eq!(forgets.header("location"), Some("/why?find=given-up"));
    let cookie = forgets.header("set-cookie").expect("a cookie");
    assert!(
        cookie.starts_with("script=;") && cookie.contains("Max-Age=0"),
        "{cookie}"
    );
    desk.cookie = own;
    assert!(!desk.get("/lessons").body.contains("<noscript>"));
}

#[cfg(unix)]
#[test]
fn it_ends_by_ctrl_c_whatever_it_is_doing() {
    let mut desk = Desk::with_starters("desk-end");
    let mut stream = desk.connect();
    stream
        .write_all(&desk.request("GET", "/why/answers", &[], ""))
        .expect("a request");
    assert_eq!(desk.interrupt(), Some(0));
}
