//! Every key that an axle file or a shop file may have, whatever the kind of axle.

use super::describe::{Described, Takes, describe_as};
use super::edit::Said;
use super::set::{Override, Target};
use super::{SHORT_AXLE, SHORT_AXLE_IN_INCHES, Source, describe_shop};
use crate::units::{Length, Units};

/// What makes an axle of another kind.
const KINDS: [&[&str]; 3] = [
    &[],
    &["pinion_preload.by=spacer"],
    &["side_shims.seat=screw adjusters"],
];

/// Every key of a kind of file, those of a group right behind it, and of lists the keys of one entry:
/// `shims.1.price`. Nothing is stated in it; what is assumed is what a short file would be given.
pub fn every_key(target: Target, units: Units) -> Vec<Described> {
    let mut all: Vec<Described> = Vec::new();
    let kinds = match target {
        Target::Axle => KINDS.map(|set| axle(set, units)).to_vec(),
        Target::Shop => {
            let shop = describe_shop(&least_shop(units, "EUR"));
            vec![shop.map(|shop| shop.keys).unwrap_or_default()]
        }
    };
    for keys in kinds {
        let mut behind = 0;
        for of in keys {
            let of = Described {
                stated: None,
                unused: None,
                problems: Vec::new(),
                ..of
            };
            match all.iter().position(|known| known.key == of.key) {
                Some(at) => {
                    let needed = of.needed && all[at].needed;
                    if all[at].takes == Takes::Nothing {
                        all[at] = of;
                    } else if of.takes != Takes::Nothing {
                        all[at].needed = needed;
                    }
                    behind = at + 1;
                }
                None => {
                    all.insert(behind, of);
                    behind += 1;
                }
            }
        }
    }
    all
}

/// The keys of a short axle with these ones set.
fn axle(set: &[&str], units: Units) -> Vec<Described> {
    let file = match units.length {
        Length::Millimetre => SHORT_AXLE,
        Length::Inch => SHORT_AXLE_IN_INCHES,
    };
    let set: Vec<Override> = set.iter().filter_map(|set| set.parse().ok()).collect();
    let described = describe_as(&Source::Example(file), None, &set);
    described.map(|of| of.keys).unwrap_or_default()
}

/// A shop that states no more than it must, with one entry in each of its lists.
pub fn least_shop(units: Units, currency: &str) -> Source {
    let currency = Said::Text(currency.to_owned()).written();
    let text = format!(
        "name = \"A\"\nlength = \"{}\"\ntorque = \"{}\"\ncurrency = {currency}\n\
         [[shims]]\nseries = \"A\"\nsizes = [1.0]\n[[jobs]]\naxle = \"A\"\nper_month = 1\n",
        units.length.name(),
        units.torque.name()
    );
    Source::Kept("a.shop.toml".into(), text)
}
