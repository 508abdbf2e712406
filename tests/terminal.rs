//! The questions at a real terminal: what is typed, what is shown, what is written.
#![cfg(unix)]

use std::fs;
use std::io::{Read, Write};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};

use pty_process::Size;
use pty_process::blocking::{Command, Pty, open};

use crate::given::{Folder, has, text_of};

/// Longest wait for something to be shown.
const PATIENCE: Duration = Duration::from_secs(30);

/// Somebody at a terminal.
struct Hands {
    keys: Arc<Pty>,
    shown: Receiver<Vec<u8>>,
    screen: String,
    /// What of the screen was looked at.
    seen: usize,
}

impl Hands {
    /// Waits until words are shown that were not looked at yet, then presses keys.
    #[track_caller]
    fn at(&mut self, words: &str, keys: &str) {
        let until = Instant::now() + PATIENCE;
        loop {
            if let Some(at) = self.screen[self.seen..].find(words) {
                self.seen += at + words.len();
                break;
            }
            let left = until.saturating_duration_since(Instant::now());
            match self.shown.recv_timeout(left) {
                Ok(bytes) => self.screen.push_str(&String::from_utf8_lossy(&bytes)),
                Err(e) => panic!("{words:?} is not shown ({e}) in\n{}", self.screen),
            }
        }
        (&*self.keys)
            .write_all(keys.as_bytes())
            .expect("keys are taken");
    }
}

const ENTER: &str = "\r";
const ESCAPE: &str = "\u{1b}";
const CONTROL_C: &str = "\u{3}";
const DOWN: &str = "\u{1b}[B";

#[test]
fn a_job_is_filled_in_at_a_terminal() {
    let folder = Folder::new("terminal");
    folder.file(
        "rowan-215.axle.toml",
        text_of("rowan-215.axle.toml").as_bytes(),
    );
    let (pty, pts) = open().expect("a pseudo terminal");
    pty.resize(Size::new(24, 80)).expect("a size");
    let mut child = Command::new(env!("CARGO_BIN_EXE_shimcast"))
        .args(["next", "van.job.toml", "--ask"])
        .current_dir(folder.path(""))
        .env("TERM", "xterm")
        .spawn(pts)
        .expect("the program starts");
    let keys = Arc::new(pty);
    let screen = Arc::clone(&keys);
    let (send, shown) = channel();
    thread::spawn(move || {
        let mut bytes = [0; 4096];
        // the terminal is gone when the program is
        while let Ok(count) = (&*screen).read(&mut bytes) {
            if count == 0 || send.send(bytes[..count].to_vec()).is_err() {
                break;
            }
        }
    });
    let mut hands = Hands {
        keys,
        shown,
        screen: String::new(),
        seen: 0,
    };
    hands.at("Which axle is it?", ENTER);
    hands.at("What do you call this job?", &format!("Blue van{ENTER}"));
    hands.at("Ring gear and pinion?", ENTER);
    // longer than any command takes to say that it works
    thread::sleep(Duration::from_millis(700));
    hands.at("Bearings?", &format!("{DOWN}{ENTER}"));
    hands.at(
        "mark etched on the pinion that goes in,",
        &format!("5 furlongs{ENTER}"),
    );
    hands.at("`furlongs` is no unit", &format!("2 thou{ENTER}"));
    hands.at("mark_new = 0.0508 mm", "");
    hands.at("mark etched on the pinion that came out,", ESCAPE);
    hands.at("Enter keeps 0.0508 mm", &format!("-0,02{ENTER}"));
    hands.at("mark_new = -0.02 mm", "");
    hands.at("mark etched on the pinion that came out,", CONTROL_C);
    hands.at("the same command takes it up again", "");
    assert!(!hands.screen.contains("working"), "{}", hands.screen);
    assert!(child.wait().expect("it ends").success());
    let text = fs::read_to_string(folder.path("van.job.toml")).expect("a file");
    for line in [
        "axle = \"rowan-215.axle.toml\"",
        "name = \"Blue van\"",
        "gears = \"new\"",
        "bearings = \"kept\"",
        "mark_new = -0.02",
    ] {
        has(&text, line);
    }
    assert!(!text.contains("mark_old"), "{text}");
}
