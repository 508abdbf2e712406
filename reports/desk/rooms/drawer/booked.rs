//! What forms of the drawer ask for: shims booked in and out, and a new count.

use shimcast_sim::stock::Stock;

use super::{Said, kept_as, now, planned, shop, state, view};
use crate::desk::asked::Asked;
use crate::desk::here::Here;
use crate::desk::rooms::Changed;
use crate::files::{Booking, CountedSize, Counts, new_counts};
use crate::questions::context::Failure;
use crate::spreadsheet::Decimal;
use crate::units::printed_size;

/// A booking: series, size, mm, and what happened.
type Booked = (String, f64, Booking);

/// What a size is called in a form.
pub fn key(of: &CountedSize) -> String {
    key_of(&of.series, &printed_size(of.size, of.unit))
}

pub fn key_of(series: &str, printed: &str) -> String {
    format!("{series} {printed}")
}

/// The name of the field that holds how many there are of a size.
pub fn count_field(of: &CountedSize) -> String {
    format!("count {}", key(of))
}

/// The name of the field that holds how many came of a size.
pub fn came_field(of: &CountedSize) -> String {
    format!("came {}", key(of))
}

/// What a form says that happened.
///
/// # Errors
/// The fields that hold no count, each with what is wrong.
pub fn bookings(asked: &Asked, counts: &Counts) -> Result<Vec<Booked>, Vec<(String, String)>> {
    match asked.get("do") {
        Some("delivered") => of_fields(asked, counts, came_field, |pieces, _| {
            (pieces > 0).then_some(Booking::Delivered(pieces))
        }),
        Some("ordered") => of_order(asked, counts, Booking::Ordered),
        Some("came") => of_order(asked, counts, Booking::Delivered),
        _ => {
            let mut all = of_fields(asked, counts, count_field, |pieces, before| {
                (pieces != before.count).then_some(Booking::Counted(pieces))
            })?;
            for (name, booking) in [("less", Booking::TakenOut(1)), ("more", Booking::PutIn(1))] {
                if let Some(pressed) = asked.get(name) {
                    let of = size_of(counts, pressed).map_err(|why| vec![(String::new(), why)])?;
                    all.push((of.series.clone(), of.size, booking));
                }
            }
            Ok(all)
        }
    }
}

/// What was filled in, size by size.
fn of_fields(
    asked: &Asked,
    counts: &Counts,
    name: fn(&CountedSize) -> String,
    booking: impl Fn(u32, &CountedSize) -> Option<Booking>,
) -> Result<Vec<Booked>, Vec<(String, String)>> {
    let (mut all, mut wrong) = (Vec::new(), Vec::new());
    for of in counts.sizes() {
        let name = name(of);
        let Some(said) = asked.get(&name) else {
            continue;
        };
        match said.parse::<u32>() {
            Ok(pieces) => {
                all.extend(booking(pieces, of).map(|booking| (of.series.clone(), of.size, booking)))
            }
            Err(_) => wrong.push((name, no_count(said))),
        }
    }
    if wrong.is_empty() {
        Ok(all)
    } else {
        Err(wrong)
    }
}

/// The order as it was shown: `PIECES SERIES SIZE` for each size.
fn of_order(
    asked: &Asked,
    counts: &Counts,
    booking: fn(u32) -> Booking,
) -> Result<Vec<Booked>, Vec<(String, String)>> {
    let rows = asked.pairs().filter(|(name, _)| *name == "order");
    let booked = rows.map(|(_, row)| {
        let (pieces, named) = row.split_once(' ').unwrap_or((row, ""));
        let pieces = pieces.parse().map_err(|_| no_count(pieces))?;
        let of = size_of(counts, named)?;
        Ok((of.series.clone(), of.size, booking(pieces)))
    });
    let booked: Result<_, String> = booked.collect();
    booked.map_err(|why| vec![(String::new(), format!("Nothing was booked: {why}"))])
}

/// The size that is called so.
fn size_of<'a>(counts: &'a Counts, named: &str) -> Result<&'a CountedSize, String> {
    let of = counts.sizes().iter().find(|of| key(of) == named);
    of.ok_or_else(|| format!("the count has no size `{named}` any more; load the page again"))
}

fn no_count(said: &str) -> String {
    format!("`{said}` is no count: a whole number is wanted, 0 or more")
}

/// The drawer of whose plan the levels are asked for that a count begins with: planned for the share of jobs
/// asked for, whatever may be spent today.
fn levels_of(here: &Here<'_>) -> Option<Asked> {
    let wanted = here.asked.get("do") == Some("begin") && here.asked.get("at") == Some("levels");
    wanted.then(|| state(here).without(super::BUDGET))
}

/// Plans the drawer, where a count is to begin with its levels.
///
/// # Errors
/// Where it can't be planned.
pub fn prepare(here: &Here<'_>) -> Result<(), Failure> {
    match levels_of(here) {
        Some(asked) if file_name(here.asked.get("name").unwrap_or_default()).is_ok() => {
            planned(&here.asking(&asked)).map(|_| ())
        }
        _ => Ok(()),
    }
}

/// Begins a count of every size.
pub fn begin(here: &Here<'_>) -> Result<Changed, Failure> {
    let loaded = shop(here)?;
    let wrong = |why: String| {
        let wrong = vec![("name".to_owned(), why)];
        let said = Said {
            wrong,
            ..Said::default()
        };
        view(here, &said).map(Changed::Not)
    };
    let name = match file_name(here.asked.get("name").unwrap_or_default()) {
        Ok(name) => name,
        Err(why) => return wrong(why),
    };
    let decimal = match here.asked.get("decimal") {
        Some("comma") => Decimal::Comma,
        _ => Decimal::Point,
    };
    let levels = match levels_of(here) {
        Some(asked) => {
            let here = here.asking(&asked);
            let now = now(&here)?;
            let Some(plan) = here.kept::<Stock>(&kept_as(&now)) else {
                let why = "the shop or its jobs changed while the levels were worked out, so nothing was \
                           written; make the file once more";
                return wrong(why.to_owned());
            };
            Some(now.beside(&plan))
        }
        None => None,
    };
    let count =
        |series: &str, size: f64| levels.as_ref().map_or(0, |plan| plan.level(series, size));
    match new_counts(
        &here.folder.path().join(&name),
        &loaded.shop,
        decimal,
        count,
    ) {
        Ok(()) => Ok(Changed::Go(
            state(here).with("have", &name).address(super::PATH),
        )),
        Err(why) => wrong(why),
    }
}

/// A name for a file of this folder.
fn file_name(said: &str) -> Result<String, String> {
    /// Bytes of a name: every file system takes so many, with what is put behind it while it is written.
    const MOST: usize = 200;
    let strange = |c: char| c.is_control() || "/\\:*?\"<>|".contains(c);
    if said.is_empty() || said.starts_with('.') || said.contains(strange) {
        return Err("a file name is wanted, e.g. drawer.csv, without a folder".to_owned());
    }
    if said.len() > MOST {
        return Err(format!(
            "this name is too long: it takes {} bytes, and {MOST} is the most",
            said.len()
        ));
    }
    let ends = said.to_lowercase().ends_with(".csv");
    Ok(if ends {
        said.to_owned()
    } else {
        format!("{said}.csv")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_file_lies_in_the_folder() {
        assert_eq!(file_name("box"), Ok("box.csv".to_owned()));
        assert_eq!(file_name("Shelf 2.CSV"), Ok("Shelf 2.CSV".to_owned()));
        for name in ["", "../drawer.csv", "a\\b.csv", ".hidden", "c:x"] {
            assert!(file_name(name).is_err(), "{name}");
        }
        assert!(file_name(&"x".repeat(200)).is_ok());
        // letters of three bytes each
        let long = file_name(&"軸".repeat(67));
        assert!(long.is_err_and(|why| why.contains("takes 201 bytes")));
    }
}
