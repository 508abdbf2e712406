//! Lists of tooth pairs to choose from.

use shimcast_sim::ratio::Teeth;

use super::csv_column::{at, divider, reader, whole};
use super::problem::{Problem, Text};
use super::words::did_you_mean;
use super::{BUILT_IN_PAIRS, Source};

/// Fewest and most teeth of either gear that are believed.
const PINION_TEETH: (u32, u32) = (4, 60);
const RING_TEETH: (u32, u32) = (10, 200);

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
/// The first flaw found, with its place.
pub fn load_pairs(source: &Source) -> Result<Vec<ListedPair>, Problem> {
    let text = source.text(BUILT_IN_PAIRS)?;
    let mut reader = reader(&text.body, divider(&text.body));
    let mut columns: Option<[Option<usize>; 3]> = None;
    let mut pairs = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|e| whole(&text, format!("not readable as CSV: {e}")))?;
        let line = record.position().map_or(1, csv::Position::line);
        let Some([ring, pinion, note]) = columns else {
            columns = Some([
                Some(column(&text, &record, line, "ring_teeth")?),
                Some(column(&text, &record, line, "pinion_teeth")?),
                record.iter().position(|name| name == "note"),
            ]);
            continue;
        };
        let cell = |column: Option<usize>| column.and_then(|i| record.get(i)).unwrap_or("");
        let teeth = Teeth {
            ring: count(&text, line, cell(ring), "ring_teeth", RING_TEETH)?,
            pinion: count(&text, line, cell(pinion), "pinion_teeth", PINION_TEETH)?,
        };
        if teeth.ring <= teeth.pinion {
            return Err(at(
                &text,
                line,
                cell(ring),
                format!(
                    "{} ring teeth on {} pinion teeth are no reduction",
                    teeth.ring, teeth.pinion
                ),
                Some("the ring gear has the more teeth; are the columns swapped?".to_owned()),
            ));
        }
        pairs.push(ListedPair {
            teeth,
            note: cell(note).to_owned(),
        });
    }
    if pairs.is_empty() {
        return Err(whole(
            &text,
            "there are no tooth pairs in it: the first line names the columns ring_teeth and \
             pinion_teeth, and each further line gives a pair"
                .to_owned(),
        ));
    }
    Ok(pairs)
}

fn column(
    text: &Text,
    names: &csv::StringRecord,
    line: u64,
    wanted: &str,
) -> Result<usize, Problem> {
    names.iter().position(|name| name == wanted).ok_or_else(|| {
        at(
            text,
            line,
            names.get(0).unwrap_or(""),
            format!("the first line names no column `{wanted}`"),
            did_you_mean(wanted, names.iter().filter(|n| !n.is_empty()), "it names"),
        )
    })
}

fn count(
    text: &Text,
    line: u64,
    cell: &str,
    name: &str,
    (least, most): (u32, u32),
) -> Result<u32, Problem> {
    cell.parse()
        .ok()
        .filter(|teeth| (least..=most).contains(teeth))
        .ok_or_else(|| {
            at(
                text,
                line,
                cell,
                format!("{name} is `{cell}`; a whole number from {least} to {most} is wanted"),
                None,
            )
        })
}
