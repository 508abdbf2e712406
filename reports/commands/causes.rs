//! `shimcast causes`.

use super::{Ended, Failure, fitted, on_threads, print, read, set_up, tell_doubts};
use crate::answers::causes::Caused;
use crate::args::Causes;
use crate::json;
use crate::terminal::{self, Ink};

pub(crate) fn run(args: &Causes, ink: Ink) -> Result<Ended, Failure> {
    let loaded = read(&args.files)?;
    let setup = set_up(&loaded, &args.renewed)?;
    tell_doubts(&setup, loaded.axle_units);
    let until = args.effort.until();
    let seed = args.effort.seed;
    let causes = on_threads(&args.effort, |watch| {
        shimcast_sim::causes::causes(&setup, seed, until, &mut |progress| watch.see(progress))
    })?;
    let caused = Caused {
        setup: &setup,
        causes: &causes,
        seed,
        units: loaded.axle_units,
        assumptions: &loaded.assumptions,
    };
    let text = if args.json {
        format!("{:#}\n", json::causes(&caused))
    } else {
        fitted(&terminal::causes::render(&caused, ink))
    };
    print(&text)?;
    Ok(if causes.partial {
        Ended::Interrupted
    } else {
        Ended::Done
    })
}
