//! `shimcast follow`.

use shimcast_sim::follow::{Found, find, follow};

use super::{Ended, Failure, fitted, print, read, set_up, tell_doubts};
use crate::answers::follow::Followed;
use crate::args::{Find, Follow};
use crate::json;
use crate::progress::{Watch, heed_interrupts};
use crate::terminal::{self, Ink};

pub(crate) fn run(args: &Follow, ink: Ink) -> Result<Ended, Failure> {
    let loaded = read(&args.files)?;
    let setup = set_up(&loaded, &args.renewed)?;
    tell_doubts(&setup, loaded.axle_units);
    let number = match args.find {
        None => args.rebuild,
        Some(wanted) => {
            heed_interrupts();
            let mut watch = Watch::start();
            let found = find(&setup, args.seed, wanted.telling(), &mut |progress| {
                watch.see(progress)
            });
            drop(watch);
            match found {
                Found::Number(number) => number,
                Found::BrokenOff(searched) => {
                    super::warn(format!("broken off: none among {searched} rebuilds"));
                    return Ok(Ended::Interrupted);
                }
                Found::None(searched) => {
                    super::warn(none(wanted, searched, args.seed));
                    return Ok(Ended::Missed);
                }
            }
        }
    };
    let story = follow(&setup, args.seed, number);
    let followed = Followed {
        setup: &setup,
        story: &story,
        found: args.find.map(|wanted| wanted.word()),
        seed: args.seed,
        units: loaded.axle_units,
        assumptions: &loaded.assumptions,
    };
    let text = if args.json {
        format!("{:#}\n", json::follow(&followed))
    } else {
        fitted(&terminal::follow::render(&followed, ink))
    };
    print(&text)?;
    Ok(Ended::Done)
}

/// That there is no such rebuild.
pub(super) fn none(wanted: Find, searched: u64, seed: u64) -> String {
    format!(
        "--find {}: there is none among {searched} rebuilds of seed {seed}; another --seed may \
         have one",
        wanted.word()
    )
}
