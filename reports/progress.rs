//! Progress on stderr when it takes longer, and breaking off by Ctrl-C.

use std::cell::RefCell;
use std::io::{IsTerminal, Write, stderr};
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use shimcast_sim::chance::run::Progress;

use crate::written::leave;

/// Nothing is shown before this.
const PATIENCE: Duration = Duration::from_millis(500);
/// Time between two lines on a terminal, and elsewhere.
const OFTEN: Duration = Duration::from_millis(200);
const SELDOM: Duration = Duration::from_secs(10);

/// Somebody asked for the end.
static INTERRUPTED: AtomicBool = AtomicBool::new(false);
/// Whatever is under way knows of that.
static HEARD: AtomicBool = AtomicBool::new(false);
/// So long it may take until it does.
const SOON: Duration = Duration::from_millis(800);

/// A terminal's progress line from the start of a command to its answer.
static SCREEN: Mutex<Option<Screen>> = Mutex::new(None);
/// On a terminal a command that has nothing to count yet says after this that it works.
const FIRST_WORD: Duration = Duration::from_millis(400);
/// Time between two looks at that.
const LOOK: Duration = Duration::from_millis(50);
/// Time between two words that it still works.
const STILL: Duration = Duration::from_secs(1);

/// What the progress line shows.
#[derive(Debug)]
struct Screen {
    started: Instant,
    /// When it last said something.
    said: Option<Instant>,
    /// Whether there is a line to clear.
    shown: bool,
    /// What a watch said last, which says more than that the program works.
    counted: Option<String>,
}

impl Screen {
    fn new(started: Instant) -> Self {
        Self {
            started,
            said: None,
            shown: false,
            counted: None,
        }
    }

    /// The line that is due now, if any.
    fn due(&mut self, now: Instant) -> Option<String> {
        let passed = now.duration_since(self.started);
        let due = match self.said {
            None => passed >= FIRST_WORD,
            Some(said) => now.duration_since(said) >= STILL,
        };
        if !due {
            return None;
        }
        self.said = Some(now);
        let seconds = passed.as_secs();
        Some(match &self.counted {
            Some(line) => format!("{seconds} s: {line}"),
            None if seconds == 0 => "working (Ctrl-C to stop)".to_owned(),
            None => format!("working for {seconds} s (Ctrl-C to stop)"),
        })
    }
}

fn screen() -> MutexGuard<'static, Option<Screen>> {
    SCREEN.lock().unwrap_or_else(PoisonError::into_inner)
}

fn on_terminal() -> bool {
    stderr().is_terminal() && std::env::var_os("TERM").is_none_or(|term| term != "dumb")
}

/// A command begins: on a terminal it says within half a second that it works.
pub fn begin() {
    HEARD.store(false, Ordering::Relaxed);
    if !on_terminal() {
        return;
    }
    *screen() = Some(Screen::new(Instant::now()));
    thread::spawn(|| {
        loop {
            thread::sleep(LOOK);
            let mut screen = screen();
            let Some(screen) = screen.as_mut() else {
                return;
            };
            if let Some(line) = screen.due(Instant::now()) {
                screen.shown = true;
                overwrite(&line);
            }
        }
    });
}

/// Something else is said on the terminal: the line makes room.
pub fn make_room() {
    if let Some(screen) = screen().as_mut()
        && std::mem::take(&mut screen.shown)
    {
        overwrite("");
    }
}

/// The answer is there.
pub fn end() {
    HEARD.store(true, Ordering::Relaxed);
    make_room();
    *screen() = None;
}

/// A line in place of the one before it.
fn overwrite(line: &str) {
    let mut err = stderr().lock();
    // nothing depends on whether progress could be shown
    let _ = write!(err, "\r\x1b[K{line}").and_then(|()| err.flush());
}

/// What is done besides at the first request to end.
type Besides = Box<dyn Fn() + Send>;
static BESIDES: Mutex<Option<Besides>> = Mutex::new(None);

/// Lets a request to end finish the block under way instead of ending the program; a second one ends it. Such a
/// request is Ctrl-C, and on unix every signal that would end the program and can be heard: a closed terminal,
/// and whatever else a system sends. What `nohup` shields from is not listened to.
pub fn heed_interrupts() {
    // where nothing can be heard a signal still ends the program, so a failure here loses nothing else
    #[cfg(unix)]
    if let Ok(mut signals) = signal_hook::iterator::Signals::new(signals()) {
        thread::spawn(move || {
            signals.forever().for_each(|signal| {
                // a file that grows too large is an error of its writing
                if signal != signal_hook::consts::SIGXFSZ {
                    interrupted();
                }
            });
        });
    }
    #[cfg(not(unix))]
    let _ = ctrlc::set_handler(interrupted);
}

/// The signals that are listened to.
#[cfg(unix)]
fn signals() -> Vec<i32> {
    use signal_hook::consts::*;
    let mut all = vec![
        SIGINT, SIGQUIT, SIGTERM, SIGUSR1, SIGUSR2, SIGALRM, SIGVTALRM, SIGPROF, SIGXCPU, SIGXFSZ,
    ];
    // signals that are ignored, as hexadecimal digits of a mask
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mut lines = status.lines();
    let ignored = lines.find_map(|line| line.strip_prefix("SigIgn:"));
    let ignored = ignored.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok());
    // a job in the background of a script may ignore Ctrl-C too, but is to end when it is asked
    if ignored.unwrap_or(0) >> (SIGHUP - 1) & 1 == 0 {
        all.push(SIGHUP);
    }
    all
}

fn interrupted() {
    if INTERRUPTED.swap(true, Ordering::Relaxed) {
        leave(130);
    }
    let besides = BESIDES.lock().unwrap_or_else(PoisonError::into_inner);
    match besides.as_ref() {
        Some(besides) => besides(),
        None => {
            thread::spawn(end_unheard);
        }
    }
}

/// Ends the program where nothing that is under way heeds the request to end soon: then there is no answer so
/// far either.
fn end_unheard() {
    thread::sleep(SOON);
    if !HEARD.load(Ordering::Relaxed) {
        make_room();
        // whoever asked for the end may have closed the terminal
        let _ = writeln!(stderr().lock(), "broken off before there was an answer");
        leave(130);
    }
}

/// Whether somebody asked for the end, which whoever asks this heeds.
fn is_interrupted() -> bool {
    let interrupted = INTERRUPTED.load(Ordering::Relaxed);
    if interrupted {
        HEARD.store(true, Ordering::Relaxed);
    }
    interrupted
}

/// Does something besides at the first request to end, until something else is set.
pub fn on_interrupt(besides: Option<Besides>) {
    *BESIDES.lock().unwrap_or_else(PoisonError::into_inner) = besides;
}

/// Whoever a question is answered for where that is no terminal: may leave, which breaks the run off, and
/// hears what else would be said on stderr.
#[derive(Debug, Clone, Default)]
pub struct Listener {
    gone: Arc<AtomicBool>,
    heard: Arc<Mutex<Vec<String>>>,
}

thread_local! {
    /// Whoever this thread answers.
    static LISTENER: RefCell<Option<Listener>> = const { RefCell::new(None) };
}

impl Listener {
    /// Answers this listener: every watch that is started meanwhile on this thread heeds it.
    pub fn answer<T>(&self, ask: impl FnOnce() -> T) -> T {
        /// Puts back whoever was answered before, also where something panics.
        struct Before(Option<Listener>);
        impl Drop for Before {
            fn drop(&mut self) {
                LISTENER.set(self.0.take());
            }
        }
        let _before = Before(LISTENER.replace(Some(self.clone())));
        ask()
    }

    /// Nobody waits for the answer any more.
    pub fn leave(&self) {
        self.gone.store(true, Ordering::Relaxed);
    }

    /// Whether nobody waits any more.
    pub fn is_gone(&self) -> bool {
        self.gone.load(Ordering::Relaxed)
    }

    /// Does some work for this listener, who hears what is said meanwhile; gives that as well, so that it
    /// can be kept with what was worked out.
    pub fn overhear<T>(&self, work: impl FnOnce() -> T) -> (T, Vec<String>) {
        let own = Self {
            gone: Arc::clone(&self.gone),
            heard: Arc::default(),
        };
        let done = own.answer(work);
        let said = own.heard();
        said.iter().for_each(|words| self.hear(words.clone()));
        (done, said)
    }

    /// Hears something, however often it is said.
    pub fn hear(&self, words: String) {
        let mut heard = self.heard.lock().unwrap_or_else(PoisonError::into_inner);
        if !heard.contains(&words) {
            heard.push(words);
        }
    }

    /// Whoever this thread answers; what is done on other threads for them answers them as well.
    pub fn of_this_thread() -> Option<Self> {
        LISTENER.with_borrow(Clone::clone)
    }

    /// What was said so far, once.
    pub fn heard(&self) -> Vec<String> {
        std::mem::take(&mut *self.heard.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Tells whoever this thread answers; gives the words back where that is nobody.
    pub fn told(words: String) -> Option<String> {
        LISTENER.with_borrow(|listener| match listener {
            Some(listener) => {
                listener.hear(words);
                None
            }
            None => Some(words),
        })
    }
}

/// Whether to go on with what this thread does: whoever it answers still waits, and nobody pressed Ctrl-C.
pub fn goes_on() -> bool {
    let left = LISTENER.with_borrow(|listener| listener.as_ref().is_some_and(Listener::is_gone));
    !left && !is_interrupted()
}

/// The same for a run that shows nothing of its progress.
pub fn unseen(_: Progress) -> ControlFlow<()> {
    match goes_on() {
        true => ControlFlow::Continue(()),
        false => ControlFlow::Break(()),
    }
}

/// Watches one run.
#[derive(Debug)]
pub struct Watch {
    /// Whom it is for, where that is no terminal: nothing is shown.
    listener: Option<Listener>,
    started: Instant,
    /// Rebuilds of the run under way, which may be one of several.
    rebuilds: u64,
    shown: Option<Instant>,
    terminal: bool,
}

impl Watch {
    /// From now on.
    pub fn start() -> Self {
        let listener = Listener::of_this_thread();
        Self {
            terminal: listener.is_none() && on_terminal(),
            listener,
            started: Instant::now(),
            rebuilds: 0,
            shown: None,
        }
    }

    /// Whether to go on.
    fn goes_on(&self) -> bool {
        let left = self.listener.as_ref().is_some_and(Listener::is_gone);
        !left && !is_interrupted()
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
        match self.goes_on() {
            true => ControlFlow::Continue(()),
            false => ControlFlow::Break(()),
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
        self.goes_on()
    }

    /// Whether something should be shown now.
    fn due(&mut self) -> bool {
        if self.listener.is_some() {
            return false;
        }
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
        if self.terminal {
            let mut screen = screen();
            if let Some(screen) = screen.as_mut() {
                screen.shown = true;
                screen.said = Some(Instant::now());
                screen.counted = Some(line.to_owned());
            }
            overwrite(line);
        } else {
            // nothing depends on whether progress could be shown
            let _ = writeln!(stderr().lock(), "{line}");
        }
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
            make_room();
        }
        if let Some(screen) = screen().as_mut() {
            screen.counted = None;
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_listener_breaks_its_own_run_off_and_hears_what_is_said() {
        let (one, other) = (Listener::default(), Listener::default());
        let mut watch = one.answer(|| {
            assert_eq!(Listener::told("odd".to_owned()), None);
            other.answer(|| assert_eq!(Listener::told("even".to_owned()), None));
            Watch::start()
        });
        assert_eq!(
            (one.heard(), other.heard()),
            (vec!["odd".to_owned()], vec!["even".to_owned()])
        );
        assert_eq!(Listener::told("loud".to_owned()), Some("loud".to_owned()));
        assert!(watch.see_step("", None));
        let (_, said) = one.overhear(|| {
            for words in ["odd", "odd", "new"] {
                assert_eq!(Listener::told(words.to_owned()), None);
            }
        });
        assert_eq!(said, ["odd", "new"]);
        assert_eq!(one.heard(), said);
        other.leave();
        assert!(watch.see_step("", None));
        assert!(one.answer(goes_on) && !other.answer(goes_on));
        one.leave();
        assert!(!watch.see_step("", None));
    }

    #[test]
    fn a_command_says_within_half_a_second_that_it_works() {
        let start = Instant::now();
        let at = |millis| start + Duration::from_millis(millis);
        let mut screen = Screen::new(start);
        assert_eq!(screen.due(at(350)), None);
        let said = screen.due(at(450)).expect("due");
        assert!(said.starts_with("working ("), "{said}");
        assert_eq!(screen.due(at(900)), None);
        let said = screen.due(at(2500)).expect("due");
        assert!(said.starts_with("working for 2 s"), "{said}");
        screen.counted = Some("4096 of 90112 rebuilds".to_owned());
        let said = screen.due(at(9000)).expect("due");
        assert_eq!(said, "9 s: 4096 of 90112 rebuilds");
    }
}
