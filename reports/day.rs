//! Days of the calendar.

/// A day of the calendar, as it is written: YYYY-MM-DD.
///
/// # Errors
/// In words, where it is none.
pub fn day(text: &str) -> Result<String, String> {
    let wrong = || "a date is wanted as YYYY-MM-DD, e.g. 2031-04-09".to_owned();
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts.as_slice() else {
        return Err(wrong());
    };
    let figure = |part: &str, digits: usize| {
        let plain = part.len() == digits && part.bytes().all(|b| b.is_ascii_digit());
        plain.then(|| part.parse::<u32>().ok()).flatten()
    };
    let parts = (figure(year, 4), figure(month, 2), figure(day, 2));
    let (Some(year), Some(month), Some(day)) = parts else {
        return Err(wrong());
    };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    };
    if (1..=12).contains(&month) && (1..=days).contains(&day) {
        Ok(text.to_owned())
    } else {
        Err(format!("there is no such day: {}", wrong()))
    }
}
