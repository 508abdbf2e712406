//! What single arguments may be.

use std::ops::RangeInclusive;
use std::str::FromStr;

use crate::day::day;
use crate::files::Override;

pub(super) fn key_and_value(text: &str) -> Result<Override, String> {
    text.parse::<Override>().map_err(|e| e.to_string())
}

/// A size of a series, as `P-38=0.40`.
pub(super) fn series_and_size(text: &str) -> Result<(String, f64), String> {
    let size = text.rsplit_once('=').and_then(|(series, size)| {
        let size = size.trim().replace(',', ".").parse::<f64>().ok()?;
        (size > 0.0 && size.is_finite()).then(|| (series.trim().to_owned(), size))
    });
    size.ok_or_else(|| "a series and one of its sizes are wanted, e.g. P-38=0.40".into())
}

pub(super) fn count(text: &str) -> Result<u64, String> {
    // people write ten million as 10_000_000 or 1e7
    let plain = text.replace('_', "");
    let number = plain
        .parse::<u64>()
        .ok()
        .or_else(|| whole(plain.parse().ok()?));
    match number {
        Some(0) => Err("at least one rebuild is needed".into()),
        Some(number) if number <= 1_000_000_000_000 => Ok(number),
        Some(_) => Err("that would take years: at most 1e12".into()),
        None => Err("a whole number of rebuilds is wanted, e.g. 100000".into()),
    }
}

fn whole(figure: f64) -> Option<u64> {
    (figure.fract() == 0.0 && (0.0..=1e15).contains(&figure)).then_some(figure as u64)
}

/// Rebuilds to write one by one.
pub(super) fn sample(text: &str) -> Result<u64, String> {
    match count(text) {
        Ok(number) if number <= 10_000_000 => Ok(number),
        _ => Err("a number of rebuilds from 1 to 10000000 is wanted, e.g. 10000".into()),
    }
}

/// What a figure of the files is worth, in jobs.
pub(super) fn trust(text: &str) -> Result<f64, String> {
    within(text, 1.0..=100_000.0)
        .ok_or_else(|| "a number of jobs from 1 to 100000 is wanted, e.g. 10".into())
}

/// A day of the calendar, as it is written.
pub(super) fn date(text: &str) -> Result<String, String> {
    day(text)
}

pub(super) fn points(text: &str) -> Result<f64, String> {
    within(text, 0.001..=50.0)
        .ok_or_else(|| "percentage points from 0.001 to 50 are wanted, e.g. 0.3".into())
}

/// How many times as many jobs.
pub(super) fn times(text: &str) -> Result<f64, String> {
    within(text, 1.0..=20.0)
        .ok_or_else(|| "how many times as many jobs is wanted, from 1 to 20, e.g. 2".into())
}

pub(super) fn threads(text: &str) -> Result<usize, String> {
    within(text, 1..=1024).ok_or_else(|| "a number of threads from 1 to 1024 is wanted".into())
}

/// A number inside a range.
pub(super) fn within<T: FromStr + PartialOrd>(text: &str, range: RangeInclusive<T>) -> Option<T> {
    text.parse().ok().filter(|number| range.contains(number))
}

pub(super) fn amount(text: &str) -> Result<f64, String> {
    within(text, 0.0..=1e12).ok_or_else(|| "an amount of money is wanted, e.g. 650".into())
}

pub(super) fn jobs(text: &str) -> Result<f64, String> {
    within(text, 0.0..=1e6).ok_or_else(|| "a number of jobs a year is wanted, e.g. 72".into())
}

pub(super) fn rebuild_number(text: &str) -> Result<u64, String> {
    count(text).map_err(|_| "a number of a rebuild from 1 on is wanted, e.g. 17".into())
}

pub(super) fn budget(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(amount) if amount > 0.0 && amount.is_finite() => Ok(amount),
        _ => Err("an amount of money above zero is wanted, e.g. 500".into()),
    }
}

pub(super) fn days(text: &str) -> Result<f64, String> {
    within(text, 1.0..=36_525.0)
        .ok_or_else(|| "a number of days from 1 to 36525 is wanted, e.g. 91".into())
}

pub(super) fn trip(text: &str) -> Result<u32, String> {
    within(text, 1..=1000).ok_or_else(|| "a number of jobs from 1 to 1000 is wanted".into())
}

pub(super) fn share(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(share) if share > 0.0 && share < 1.0 => Ok(share),
        Ok(1.0) => Err("no box of finite size never runs out: a share below 1 is wanted".into()),
        Ok(share) if share > 1.0 && share < 100.0 => Err(format!(
            "a share above 0 and below 1 is wanted: for {share} %, write {}",
            share / 100.0
        )),
        _ => Err("a share above 0 and below 1 is wanted, e.g. 0.95".into()),
    }
}
