//! Where a contact pattern lies, in the words of the trade.

use crate::printed::percent_held;

/// Along the tooth: a share from its middle, + toward the heel, held against a limit either way.
pub fn along(share: f64, limit: f64) -> String {
    toward(share, limit, ["toe", "heel"])
}

/// Up the profile: a share from its middle, + toward the top, held against a limit either way.
pub fn up(share: f64, limit: f64) -> String {
    toward(share, limit, ["root", "top"])
}

fn toward(share: f64, limit: f64, [minus, plus]: [&str; 2]) -> String {
    let percent = percent_held(share, limit);
    match (percent.strip_prefix('-'), percent.strip_prefix('+')) {
        (Some(percent), _) => format!("{percent} toward {minus}"),
        (_, Some(percent)) => format!("{percent} toward {plus}"),
        _ => "centred".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pattern_is_said_as_it_is_seen_on_the_tooth() {
        assert_eq!(along(0.05, 0.2), "5 % toward heel");
        assert_eq!(along(-0.204, 0.2), "20.4 % toward toe");
        assert_eq!(up(0.1, 0.12), "10 % toward top");
        assert_eq!(up(-0.15, 0.12), "15 % toward root");
        assert_eq!(up(0.004, 0.12), "centred");
    }
}
