//! Lists of tooth pairs to choose from.

use shimcast_sim::ratio::Teeth;

use super::csv::Table;
use super::problem::Problems;
use super::{BUILT_IN_PAIRS, Source};

use crate::printable::printable;

/// Fewest and most teeth of either gear that are believed.
const PINION_TEETH: (u32, u32) = (4, 60);
const RING_TEETH: (u32, u32) = (10, 200);

/// Most pairs of a list.
const MOST_PAIRS: usize = 2000;

/// One pair of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListedPair {
    /// Its teeth.
    pub teeth: Teeth,
    /// What the list says beside it.
    pub note: String,
}

/// Reads a list of tooth pairs: a CSV file whose first line names the columns `ring_teeth`,
/// `pinion_teeth` and, where wanted, `note`. Lines that begin with # are passed over.
///
/// # Errors
/// Everything that is wrong with the list.
pub fn load_pairs(source: &Source) -> Result<Vec<ListedPair>, Problems> {
    let columns = [
        ("ring_teeth", true),
        ("pinion_teeth", true),
        ("note", false),
    ];
    let list = Table::read(source.text(BUILT_IN_PAIRS)?, columns)?;
    let mut pairs = Vec::new();
    if list.rows.len() > MOST_PAIRS {
        let help = "keep those that can be bought".to_owned();
        list.wrong_as_a_whole(
            format!("there are more than {MOST_PAIRS} pairs"),
            Some(help),
        );
        return list.done(pairs);
    }
    for [ring_cell, pinion_cell, note] in &list.rows {
        let ring = list.whole(ring_cell, "ring_teeth", RING_TEETH);
        let pinion = list.whole(pinion_cell, "pinion_teeth", PINION_TEETH);
        let (Some(ring), Some(pinion)) = (ring, pinion) else {
            continue;
        };
        if ring <= pinion {
            list.wrong(
                ring_cell,
                format!("{ring} ring teeth on {pinion} pinion teeth are no reduction"),
                Some("the ring gear has the more teeth; are the columns swapped?".to_owned()),
            );
            continue;
        }
        pairs.push(ListedPair {
            teeth: Teeth { ring, pinion },
            note: printable(&note.text).into_owned(),
        });
    }
    if pairs.is_empty() {
        let help = "the first line names the columns ring_teeth and pinion_teeth, and each \
                    further line gives a pair";
        list.nothing("there are no tooth pairs in it", Some(help.to_owned()));
    }
    list.done(pairs)
}
