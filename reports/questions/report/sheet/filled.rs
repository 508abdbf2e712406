//! What a job file states, as it is written into the boxes of the sheet; nothing where it does not.

use shimcast_sim::next::{Fitted, Known};

use super::{Bench, MOST_READINGS, TORQUES, box_of};
use crate::document::{FormField, FormLine};
use crate::files::Verdict;
use crate::pattern;

/// Names of sleeves, in order.
const SLEEVES: [&str; 6] = [
    "First sleeve",
    "Second sleeve",
    "Third sleeve",
    "Fourth sleeve",
    "Fifth sleeve",
    "Sixth sleeve",
];

impl Bench<'_> {
    pub(super) fn name(self) -> String {
        self.job.map_or_else(String::new, |job| job.name.clone())
    }

    pub(super) fn finished_on(self) -> String {
        let done = self.job.and_then(|job| job.done.as_ref());
        done.and_then(|done| done.date.clone()).unwrap_or_default()
    }

    /// How many assemblies there are.
    pub(super) fn entries(self) -> u32 {
        self.job.map_or(0, |job| job.bench.assemblies.len() as u32)
    }

    /// An assembly by its number, from 1 on.
    pub(super) fn entry<'a>(self, number: u32) -> Option<&'a Fitted>
    where
        Self: 'a,
    {
        let at = (number as usize).checked_sub(1)?;
        self.job?.bench.assemblies.get(at)
    }

    /// A length that was known before.
    pub(super) fn known(self, of: fn(&Known) -> Option<f64>) -> String {
        self.given(self.job.and_then(|job| of(&job.bench.known)))
    }

    /// Heights of a bearing, old and new.
    pub(super) fn heights(self, of: fn(&Known) -> Option<[f64; 2]>) -> [String; 2] {
        let stated = self.job.and_then(|job| of(&job.bench.known));
        [0, 1].map(|at| self.given(stated.map(|heights| heights[at])))
    }

    /// The marks, old and new; of a pair that stays its one mark first.
    pub(super) fn marks(self) -> [String; 2] {
        let known = self.job.map(|job| job.bench.known).unwrap_or_default();
        let [old, new] = [known.mark_old, known.mark_new];
        let first = match self.new_gears() {
            true => old,
            false => old.or(new),
        };
        let said = |mark: Option<f64>| mark.map(|mark| self.print.signed_given(mark));
        [first, new].map(|mark| said(mark).unwrap_or_default())
    }

    pub(super) fn given(self, mm: Option<f64>) -> String {
        mm.map_or_else(String::new, |mm| self.print.bare_given(mm))
    }

    fn torques(self, of: &[f64]) -> Vec<String> {
        of.iter()
            .map(|torque| self.print.bare_torque(*torque))
            .collect()
    }

    /// Backlash and how far it varies.
    pub(super) fn backlash(self, of: Option<&Fitted>, points: u32) -> Vec<FormField> {
        let read: &[f64] = of.map_or(&[], |of| &of.backlash);
        let written = read.iter().map(|mm| self.print.bare_given(*mm)).collect();
        let mut fields = FormField::readings_with("backlash", points.min(MOST_READINGS), written);
        let least = read.iter().copied().fold(f64::INFINITY, f64::min);
        let most = read.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let varies = (read.len() > 1).then_some(most - least);
        fields.push(box_of("varies by").filled(self.given(varies)));
        fields
    }

    /// The rise, which a job file states as one figure.
    pub(super) fn rise(self, of: Option<&Fitted>) -> Option<FormField> {
        let rise = of?.rise?;
        Some(FormField::Said(format!("rise {}", self.print.torque(rise))))
    }

    /// Both flanks.
    pub(super) fn teeth(self, of: Option<&Fitted>) -> [FormField; 2] {
        let limit = self.setup.reading_windows.pattern_profile;
        let flank = |label: &str, share: Option<f64>| {
            let share = share.map(|share| {
                let percent = (100.0 * share).round() as i32;
                (percent, pattern::up(share, limit))
            });
            FormField::Tooth(label.to_owned(), share)
        };
        [
            flank("drive side", of.and_then(|of| of.drive)),
            flank("coast side", of.and_then(|of| of.coast)),
        ]
    }

    /// What is moved from one assembly to the next.
    pub(super) fn moved(self, from: Option<&Fitted>, to: Option<&Fitted>) -> String {
        let (Some(from), Some(to)) = (from, to) else {
            return String::new();
        };
        let moves = [
            ("pinion", to.pinion - from.pinion),
            ("ring side", to.ring - from.ring),
            ("far side", to.far - from.far),
        ];
        let moves = moves.into_iter().filter(|(_, by)| by.abs() > 1e-6);
        let mut said: Vec<String> = moves
            .map(|(what, by)| format!("{what} {}", self.print.signed_given(by)))
            .collect();
        if to.reseated {
            said.push("ring gear seated anew".to_owned());
        }
        if from.on_setup_bearings && !to.on_setup_bearings {
            said.push("real bearings".to_owned());
        }
        match said.is_empty() {
            true => "the same packs".to_owned(),
            false => said.join(", "),
        }
    }

    /// The pinion pack of an assembly.
    pub(super) fn pinion(self, of: Option<&Fitted>) -> String {
        self.given(of.map(|of| of.pinion))
    }

    /// Its side packs, or the notches that its adjusters stand at from where they stood first.
    pub(super) fn sides(self, of: Option<&Fitted>) -> [String; 2] {
        let sides = of.map(|of| [of.ring, of.far]);
        let notch = self.setup.shop.bench.notch;
        [0, 1].map(|at| match sides.map(|sides| sides[at]) {
            Some(travel) if self.setup.has_adjusters() => {
                format!("{:+}", (travel / notch).round() as i64)
            }
            side => self.given(side),
        })
    }

    /// A line for every sleeve, two at the least.
    pub(super) fn sleeves(self) -> Vec<FormLine> {
        let entries = (1..=self.entries()).filter_map(|number| self.entry(number));
        let with_torque = entries.filter(|of| !of.torque.is_empty());
        let read: Vec<Vec<String>> = with_torque.map(|of| self.torques(&of.torque)).collect();
        let lines = read.len().clamp(2, SLEEVES.len());
        let rest = std::iter::repeat(Vec::new());
        let names = SLEEVES.into_iter().take(lines);
        names
            .zip(read.into_iter().chain(rest))
            .map(|(name, read)| {
                FormLine::new(name, FormField::readings_with("torque", TORQUES, read))
            })
            .collect()
    }

    /// The packs beside a spacer and the torque with each.
    pub(super) fn goes_at_the_spacer(self) -> Vec<FormLine> {
        let entries = || (1..=self.entries()).filter_map(|number| self.entry(number));
        let packs = entries().flat_map(|of| of.preload.iter().map(|mm| self.print.bare_given(*mm)));
        let torques = entries().flat_map(|of| self.torques(&of.torque));
        let line = |name: &str, label: &str, read: Vec<String>| {
            FormLine::new(name, FormField::readings_with(label, TORQUES, read))
        };
        vec![
            line("Spacer packs", "pack", packs.collect()),
            line("Torques", "torque", torques.collect()),
        ]
    }

    /// The assembly that was handed over.
    pub(super) fn final_entry<'a>(self) -> Option<&'a Fitted>
    where
        Self: 'a,
    {
        let verdict = self.job?.done.as_ref()?.verdict?;
        (verdict != Verdict::GivenUp).then(|| self.entry(self.entries()))?
    }

    /// What was read of it besides: pinion torque, zero end play, and how far the sides are past it.
    pub(super) fn finals(self, of: Option<&Fitted>) -> [String; 3] {
        let torque = of.and_then(|of| of.torque.last().copied());
        let zero = of.and_then(|of| of.zero_total);
        let past = of.zip(zero).map(|(of, zero)| of.ring + of.far - zero);
        [
            torque.map_or_else(String::new, |torque| self.print.bare_torque(torque)),
            self.given(zero),
            self.given(past),
        ]
    }

    pub(super) fn verdict(self) -> String {
        let done = self.job.and_then(|job| job.done.as_ref());
        let verdict = done.and_then(|done| done.verdict);
        verdict.map_or_else(String::new, |verdict| verdict.word().to_owned())
    }
}
