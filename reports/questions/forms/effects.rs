//! What is assumed, sorted by what it does to an answer.

use super::super::assumed::Effect;
use super::FileForm;
use crate::document::{Control, Controls};
use crate::figures::signed_with_half;

/// The fields of what a file leaves out, those first that move an answer most; `unit` is what it is told in:
/// points, a currency.
pub fn by_effect(form: &FileForm, effects: &[Effect], unit: &str) -> Controls {
    let fields = form.fields.first.iter().flat_map(|group| &group.fields);
    let fields: Vec<&Control> = fields.collect();
    let mut sorted: Vec<Control> = Vec::new();
    for effect in effects {
        let of_assumption = form.keys.iter().filter(|of| {
            let assumed = of.assumed.as_ref();
            !of.takes.is_group() && assumed.is_some_and(|assumed| assumed.assumption == effect.key)
        });
        for of in of_assumption {
            let field = fields.iter().find(|field| field.name == of.key);
            let Some(field) = field.filter(|field| sorted.iter().all(|f| f.name != field.name))
            else {
                continue;
            };
            let change = signed_with_half(&effect.change, 1);
            let moves = match effect.seen {
                true => format!("{}: {change} {unit}", effect.said),
                false => format!("{}: no difference seen ({change} {unit})", effect.said),
            };
            sorted.push(Control {
                key: of.key.clone(),
                help: match field.help.as_str() {
                    "" => moves,
                    help => format!("{help}; {moves}"),
                },
                ..(*field).clone()
            });
        }
    }
    Controls {
        heading: "Assumed, what moves the answer most first".to_owned(),
        fields: sorted,
        ..Controls::default()
    }
}
