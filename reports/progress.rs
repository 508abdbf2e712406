//! Progress on stderr when it takes longer, and breaking off by Ctrl-C.

use std::io::{IsTerminal, Write, stderr};
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use shimcast_sim::chance::run::Progress;

use crate::written::leave;

/// Nothing is shown before this.
const PATIENCE: Duration = Duration::from_millis(500);
/// Time between two lines on a terminal, and elsewhere.
const OFTEN: Duration = Duration::from_millis(200);
const SELDOM: Duration = Duration::from_secs(10);

static INTERRUPTED: AtomicBool = AtomicBool::new(false);

/// Lets Ctrl-C finish the block under way instead of ending the program; a second Ctrl-C ends it.
pub fn heed_interrupts() {
    // without a handler Ctrl-C still ends the program, so a failure here loses nothing else
    let _ = ctrlc::set_handler(|| {
        if INTERRUPTED.swap(true, Ordering::Relaxed) {
            leave(130);
        }
    });
}

/// Watches one run.
#[derive(Debug)]
pub struct Watch {
    started: Instant,
    /// Rebuilds of the run under way, which may be one of several.
    rebuilds: u64,
    shown: Option<Instant>,
    terminal: bool,
}

impl Watch {
    /// From now on.
    pub fn start() -> Self {
        Self {
            started: Instant::now(),
            rebuilds: 0,
            shown: None,
            terminal: stderr().is_terminal()
                && std::env::var_os("TERM").is_none_or(|term| term != "dumb"),
        }
    }

    /// Told between blocks; breaks off after Ctrl-C.
    pub fn see(&mut self, progress: Progress) -> ControlFlow<()> {
        if progress.rebuilds < self.rebuilds {
            self.started = Instant::now();
        }
        self.rebuilds = progress.rebuilds;
        // nothing to report at the start of a run
        if progress.rebuilds > 0 && self.due() {
            self.show(progress);
        }
        if INTERRUPTED.load(Ordering::Relaxed) {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }

    /// Told between the steps of a search; false after Ctrl-C.
    pub fn see_step(&mut self, doing: &str, served: Option<f64>) -> bool {
        if self.due() {
            let served = served.map_or(String::new(), |share| {
                format!(": {:.0} of 100 jobs served so far", (100.0 * share).floor())
            });
            let how_to_stop = if self.terminal {
                " (Ctrl-C to stop)"
            } else {
                ""
            };
            self.print(&format!("{doing}{served}{how_to_stop}"));
        }
        !INTERRUPTED.load(Ordering::Relaxed)
    }

    /// Whether something should be shown now.
    fn due(&mut self) -> bool {
        let due = match self.shown {
            None => self.started.elapsed() > PATIENCE,
            Some(last) => last.elapsed() > if self.terminal { OFTEN } else { SELDOM },
        };
        if due {
            self.shown = Some(Instant::now());
        }
        due
    }

    fn print(&self, line: &str) {
        let mut err = stderr().lock();
        // nothing depends on whether progress could be shown
        let _ = if self.terminal {
            write!(err, "\r\x1b[K{line}").and_then(|()| err.flush())
        } else {
            writeln!(err, "{line}")
        };
    }

    fn show(&self, progress: Progress) {
        let Progress {
            rebuilds, expected, ..
        } = progress;
        let left = if rebuilds == 0 {
            String::new()
        } else {
            let rate = self.started.elapsed().as_secs_f64() / rebuilds as f64;
            let seconds = (rate * expected.saturating_sub(rebuilds) as f64).ceil();
            format!(", about {} left", time(seconds as u64))
        };
        let line = format!("{rebuilds} of {}{left}", crate::figures::rebuilds(expected));
        if self.terminal {
            self.print(&format!("{line} (Ctrl-C for the answer so far)"));
        } else {
            self.print(&line);
        }
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        if self.terminal && self.shown.is_some() {
            let mut err = stderr().lock();
            let _ = write!(err, "\r\x1b[K").and_then(|()| err.flush());
        }
    }
}

fn time(seconds: u64) -> String {
    match seconds {
        0..120 => format!("{seconds} s"),
        120..7200 => format!("{} min", seconds.div_ceil(60)),
        _ => format!("{} h", seconds.div_ceil(3600)),
    }
}
