//! Where a contact pattern lies, as people say it: `10 % toward root`.

use super::figure::{Measure, parts, tidy};
use crate::units::Units;

/// Words of a pattern's place that say nothing by themselves.
const FILLERS: [&str; 10] = [
    "toward", "towards", "to", "the", "of", "tooth", "from", "on", "side", "contact",
];
/// The tooth above its pitch line, and below it.
const UP: [&str; 4] = ["top", "tip", "face", "high"];
const DOWN: [&str; 3] = ["root", "flank", "low"];
const ALONG: [&str; 2] = ["heel", "toe"];
const CENTRED: [&str; 6] = [
    "centred", "centered", "centre", "center", "middle", "central",
];

/// How far a pattern lies up the profile, + toward the top.
///
/// # Errors
/// In words, where that is not said.
pub(super) fn profile(text: &str, units: Units) -> Result<f64, String> {
    let example = Measure::Profile.example(units);
    let wanted = || format!("say where the pattern's middle lies: {example}");
    let apart = text.replace('%', " % ").replace([',', ';'], " , ");
    let words: Vec<&str> = apart.split_whitespace().collect();
    let has = |any: &[&str]| words.iter().any(|word| any.contains(word));
    if has(&ALONG) {
        return Err(format!(
            "only how far up or down the tooth it lies is entered here: {example}. Toward heel or toe is left \
             out: the pinion's shims do not put that right, backlash inside its window moves it"
        ));
    }
    let sign = match (has(&UP), has(&DOWN)) {
        (true, true) => return Err(wanted()),
        (true, false) => Some(1.0),
        (false, true) => Some(-1.0),
        (false, false) => None,
    };
    if !text.contains(|c: char| c.is_ascii_digit()) {
        return match (sign, has(&CENTRED)) {
            (None, true) => Ok(0.0),
            (Some(sign), false) => Err(format!(
                "how far toward the {way}, as a share of the tooth's depth? e.g. 10 % {way}",
                way = if sign > 0.0 { "top" } else { "root" }
            )),
            _ => Err(wanted()),
        };
    }
    let kept = text.replace('%', " % ");
    let kept = kept.split_whitespace().filter(|word| {
        ![&FILLERS[..], &UP, &DOWN]
            .iter()
            .any(|of| of.contains(word))
    });
    let bare = kept.collect::<Vec<_>>().join(" ");
    let said = parts(&bare).map_err(|_| wanted())?;
    let [part] = said.as_slice() else {
        return Err(wanted());
    };
    let figure = part.figure;
    let share = match (figure.abs(), part.unit.as_str()) {
        (_, unit) if !unit.is_empty() => figure * Measure::Profile.scale(unit, units)?,
        (large, _) if large >= 2.0 => 0.01 * figure,
        (one, _) if one >= 1.0 => {
            return Err(format!(
                "{figure} of the tooth, or {figure} %? put % behind it"
            ));
        }
        _ => figure,
    };
    match sign {
        Some(_) if share < 0.0 => Err(wanted()),
        Some(sign) => Ok(tidy(sign * share)),
        None => Ok(tidy(share)),
    }
}

#[cfg(test)]
mod tests {
    use super::super::figure::figure;
    use super::*;

    fn share(text: &str) -> Result<f64, String> {
        figure(text, Measure::Profile, Units::MODEL)
    }

    #[test]
    fn a_pattern_is_taken_as_it_is_seen_on_the_tooth() {
        for (text, wanted) in [
            ("centred", 0.0),
            ("in the middle", 0.0),
            ("0", 0.0),
            ("15 % toward the top", 0.15),
            ("15% top", 0.15),
            ("root 10", -0.10),
            ("0,1 root", -0.10),
            ("-5 %", -0.05),
            ("0.15", 0.15),
            ("15", 0.15),
            ("10 % toward the face", 0.10),
            ("10 % flank", -0.10),
            ("5% high", 0.05),
            ("5 low", -0.05),
        ] {
            assert_eq!(share(text), Ok(wanted), "{text}");
        }
        for text in [
            "1",
            "top and root 5",
            "-5 root",
            "somewhere",
            "",
            "centred top",
        ] {
            assert!(share(text).is_err(), "{text}");
        }
    }

    #[test]
    fn what_is_not_entered_here_is_said() {
        for text in [
            "heel",
            "5 % heel",
            "toe, centred",
            "10 % top, toward the toe",
        ] {
            let said = share(text).expect_err(text);
            assert!(
                said.contains("15 % top") && said.contains("backlash inside its window"),
                "{said}"
            );
        }
        for (text, wanted) in [
            ("top", "10 % top"),
            ("flank", "10 % root"),
            ("high", "toward the top"),
        ] {
            let said = share(text).expect_err(text);
            assert!(said.contains(wanted), "{said}");
        }
    }
}
