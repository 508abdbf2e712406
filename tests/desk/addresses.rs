//! Addresses that the desk is opened at, and whom it serves besides this machine.

use std::fs;
use std::net::{IpAddr, UdpSocket};
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use super::Desk;
use crate::given::Folder;

/// The command that opens the browser is seen by other users of the machine.
#[cfg(unix)]
#[test]
fn the_address_that_the_browser_is_opened_at_works_once() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Folder::new("desk-opened");
    let opens = folder.path("xdg-open");
    fs::write(&opens, "#!/bin/sh\necho \"$1\" > \"$0.seen\"\n").expect("a command");
    fs::set_permissions(&opens, fs::Permissions::from_mode(0o755)).expect("a command");
    let seen = folder.path("xdg-open.seen");
    let path = format!("{}:/usr/bin:/bin", folder.path("").display());
    let desk = Desk::opening(folder, &path);
    let started = Instant::now();
    let opened = loop {
        let opened = fs::read_to_string(&seen).unwrap_or_default();
        if opened.ends_with('\n') {
            break opened;
        }
        assert!(
            started.elapsed() < Duration::from_secs(30),
            "nothing was opened"
        );
        thread::sleep(Duration::from_millis(20));
    };
    let (_, opened) = opened.trim().split_once("/?key=").expect("a key");
    assert_ne!(opened, desk.key);
    let get = |key: &str| desk.get(&format!("/?key={key}"));
    let first = get(opened);
    assert_eq!(first.status, 303);
    assert!(first.header("set-cookie").is_some());
    let again = get(opened);
    assert_eq!(again.status, 403);
    assert!(again.header("set-cookie").is_none());
    assert!(
        again.body.contains("Open the address in the terminal"),
        "{}",
        again.body
    );
    assert_eq!(get(&desk.key).status, 303);
}

/// An address of this machine in its network, where it has one.
fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind("0.0.0.0:0").ok()?;
    // nothing is sent: only the way there is looked up
    socket.connect("192.0.2.1:9").ok()?;
    let address = socket.local_addr().ok()?.ip();
    (!address.is_loopback() && !address.is_unspecified()).then_some(address)
}

#[test]
fn another_address_is_served_by_name_and_asks_for_its_code() {
    let Some(address) = own_address() else {
        eprintln!("skipped: this machine has no address but its own");
        return;
    };
    let folder = Folder::new("desk-lan");
    let (desk, said) = Desk::with(folder, &["--lan", &address.to_string()]);
    let code = said
        .lines()
        .find(|line| line.trim().len() == 11)
        .expect("a code")
        .trim();
    assert!(said.contains("nothing is encrypted"), "{said}");
    assert!(said.contains('█'), "a code to scan: {said}");
    let host = format!("{address}:{}", desk.port);
    let stranger = |path: &str, body: &str| {
        let method = if body.is_empty() { "GET" } else { "POST" };
        let text = format!(
            "{method} {path} HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nConnection: \
             close\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        );
        desk.send_to(&host, text.as_bytes())
    };
    assert_eq!(stranger("/bench", "").status, 401);
    assert_eq!(stranger("/", "").header("location"), Some("/enter"));
    assert!(
        stranger("/enter", "")
            .body
            .contains("The code that the desk shows")
    );
    assert_eq!(stranger("/enter", "key=aaaaaaaaaa").status, 403);
    // whoever goes on guessing waits, and is told so; whoever comes from elsewhere does not
    for _ in 0..5 {
        assert_eq!(desk.post("/enter", "key=aaaaaaaaaa").status, 403);
    }
    let waits = desk.post("/enter", &format!("key={}", code.replace(' ', "+")));
    assert_eq!(waits.status, 429);
    assert!(waits.body.contains("Wait a minute"), "{}", waits.body);
    let entered = stranger("/enter", &format!("key={}", code.replace(' ', "+")));
    assert_eq!(entered.status, 303, "{}", entered.body);
    assert!(
        entered
            .header("set-cookie")
            .is_some_and(|cookie| cookie.contains("HttpOnly"))
    );
}

#[test]
fn addresses_that_are_none_of_ones_own_are_refused() {
    for (address, said) in [
        ("0.0.0.0", "an address of this machine is wanted"),
        ("127.0.0.1", "an address of this machine is wanted"),
        ("here", "an address of this machine is wanted"),
        ("192.0.2.77", "can't listen on"),
    ] {
        let refused = Command::new(env!("CARGO_BIN_EXE_shimcast"))
            .args(["desk", "--no-open", "--lan", address])
            .stdin(Stdio::null())
            .output()
            .expect("the program runs");
        let err = String::from_utf8_lossy(&refused.stderr);
        assert!(
            !refused.status.success() && err.contains(said),
            "{address}: {err}"
        );
    }
}
