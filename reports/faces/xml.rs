//! What XML, and HTML that is well-formed XML, can hold.

/// What XML has no way to write.
pub(super) fn not_in_xml(c: char) -> bool {
    c.is_control() && !matches!(c, '\n' | '\t') || matches!(c, '\u{fffe}' | '\u{ffff}')
}

/// Text that means itself anywhere in XML or HTML.
pub(super) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            c if not_in_xml(c) => safe.push('\u{fffd}'),
            c => safe.push(c),
        }
    }
    safe
}
