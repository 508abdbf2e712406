//! The units that a file states.

use super::describe::Takes;
use super::section::Section;
use super::tree::Node;
use crate::units::{Length, Torque, Units};

/// Units of length, as files write them.
pub(super) const LENGTHS: [(&str, Length); 2] = [("mm", Length::Millimetre), ("in", Length::Inch)];

/// The units that a file states; where it does not, that is noted and the model's are used.
pub(super) fn units(file: &Section<'_>) -> Units {
    Units {
        length: length(file),
        torque: torque(file),
    }
}

/// The unit of lengths, by whatever word it is certain.
pub(super) fn length(s: &Section<'_>) -> Length {
    let words = LENGTHS;
    s.takes("length", true, || Takes::of_units(&words));
    match s.stated("length").and_then(Node::text) {
        Some(word) => Length::of_word(word).unwrap_or_else(|| s.choice_or("length", &words, None)),
        None => s.choice_or("length", &words, None),
    }
}

/// The unit of torques, by whatever word it is certain.
fn torque(s: &Section<'_>) -> Torque {
    let words = [
        ("N.m", Torque::NewtonMetre),
        ("lbf.in", Torque::PoundForceInch),
    ];
    s.takes("torque", true, || Takes::of_units(&words));
    let node = s.stated("torque");
    let word = node.and_then(Node::text);
    if let (Some(node), Some(word)) = (node, word)
        && Torque::is_in_feet(word)
    {
        s.wrong(
            node.place,
            format!("{} can't be \"{word}\"", s.name("torque")),
            Some(
                "a foot is 12 inches: write torque = \"lbf.in\", and every torque times 12"
                    .to_owned(),
            ),
        );
        return Torque::PoundForceInch;
    }
    word.and_then(Torque::of_word)
        .unwrap_or_else(|| s.choice_or("torque", &words, None))
}
