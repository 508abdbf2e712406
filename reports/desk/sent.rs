//! A form that changes a file: it carries what its fields stood at and which text of the file that was, so
//! that only what somebody changed is written, and nothing over what changed meanwhile.

use maud::{Markup, html};

use super::asked::Asked;
use crate::document::{Control, Controls};

/// Hidden fields: the text that was seen, and what every field stood at.
const SEEN: &str = "seen";
const WAS: &str = "was";
/// Names that are no fields of a file.
const OWN: [&str; 6] = [SEEN, WAS, "do", "file", "sort", "keys"];

/// What a form carries besides its fields: which text of the file it was made of, and what its fields are in
/// that text, whatever somebody has typed into them since.
pub fn carried(seen: &str, in_file: &[Controls]) -> Markup {
    let fields = in_file.iter().flat_map(|group| &group.fields);
    let was: Asked = fields.map(|field| (&field.name, &field.value)).collect();
    let was = was.address("");
    html! {
        input type="hidden" name=(SEEN) value=(seen); "\n"
        input type="hidden" name=(WAS) value=(was.trim_start_matches('?')); "\n"
    }
}

/// What a form sent.
#[derive(Debug)]
pub struct Sent {
    /// The text of the file that its fields were made of.
    pub seen: String,
    was: Asked,
    /// What was changed in it: names and what was typed.
    pub changed: Vec<(String, String)>,
}

impl Sent {
    /// What was changed by hand, of all that was sent besides what is carried from page to page.
    pub fn of(asked: &Asked, carried: &[&str]) -> Self {
        let was = Asked::read(asked.get(WAS).unwrap_or_default().as_bytes()).unwrap_or_default();
        let own = |name: &str| OWN.contains(&name) || carried.contains(&name);
        let fields = asked.pairs().filter(|(name, _)| !own(name));
        // browsers send every break of a line as two characters
        let plain = |text: &str| text.replace("\r\n", "\n");
        let typed = fields.map(|(name, typed)| (name.to_owned(), plain(typed)));
        let changed =
            typed.filter(|(name, typed)| plain(was.get(name).unwrap_or_default()) != *typed);
        Self {
            seen: asked.get(SEEN).unwrap_or_default().to_owned(),
            changed: changed.collect(),
            was,
        }
    }

    /// Puts what was typed into fields that stand at what the file says; what the file has come to say
    /// meanwhile is said beside it.
    pub fn put_into<'a>(&self, groups: impl IntoIterator<Item = &'a mut Controls>) {
        for group in groups {
            for field in &mut group.fields {
                let typed = self.changed.iter().find(|(name, _)| *name == field.name);
                if let Some((_, typed)) = typed.filter(|(_, typed)| *typed != field.value) {
                    let before = self.was.get(&field.name).unwrap_or_default();
                    if field.problem.is_none() && field.value != before {
                        field.problem = Some(meanwhile(field));
                    }
                    field.value.clone_from(typed);
                    group.folded = false;
                }
                group.folded &= field.problem.is_none();
            }
        }
    }
}

fn meanwhile(field: &Control) -> String {
    match field.value.as_str() {
        "" => "the file says nothing here any more; saving writes what stands here".to_owned(),
        now => format!("the file says {now} now; saving writes what stands here"),
    }
}

/// What is said where a file has changed since its form was made.
pub fn changed_meanwhile(name: &str) -> Markup {
    html! {
        p class="problem" role="alert" {
            (name) " was changed by something else after this page was made: by another tab, or an editor. \
             Nothing was written yet. The fields stand at what the file says now, and at what you entered; \
             save again to write that."
        } "\n"
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::ControlKind;

    fn group(values: [&str; 2]) -> Vec<Controls> {
        let fields = ["a", "b"].into_iter().zip(values);
        let fields =
            fields.map(|(name, value)| Control::new(name, name, ControlKind::Figure).at(value));
        vec![Controls {
            fields: fields.collect(),
            folded: true,
            ..Controls::default()
        }]
    }

    #[test]
    fn lines_that_come_back_as_browsers_send_them_are_no_change() {
        let asked =
            Asked::read(b"seen=0&was=a%3Dx%250Ay%26b%3D1&a=x%0D%0Ay&b=2%0D%0A3").expect("pairs");
        let sent = Sent::of(&asked, &[]);
        assert_eq!(sent.changed, [("b".to_owned(), "2\n3".to_owned())]);
    }

    #[test]
    fn only_what_was_changed_by_hand_counts() {
        let html = carried("00", &group(["1", ""])).into_string();
        assert!(html.contains("value=\"a=1&amp;b=\""), "{html}");
        let asked = Asked::read(b"seen=00&was=a%3D1%26b%3D&axle=x&do=save&a=1&b=2").expect("pairs");
        let sent = Sent::of(&asked, &["axle"]);
        assert_eq!(sent.changed, [("b".to_owned(), "2".to_owned())]);
        // another tab has changed both meanwhile
        let mut now = group(["5", "6"]);
        sent.put_into(&mut now);
        let [a, b] = &now[0].fields[..] else {
            panic!("two fields")
        };
        assert_eq!((a.value.as_str(), b.value.as_str()), ("5", "2"));
        assert!(
            b.problem
                .as_ref()
                .is_some_and(|said| said.contains("says 6 now"))
        );
        assert!(a.problem.is_none() && !now[0].folded);
    }
}
