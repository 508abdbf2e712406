//! A question as data, and how it is put.

use super::figure::{Measure, figure, figures};
use super::prompt::{Prompt, Reply};
use super::typed::as_typed;
use crate::day::day;
use crate::files::{Edited, Group, Loaded, Said};
use crate::questions::context::Failure;
use crate::units::{Length, Torque, Units};

/// A question that is answered by one key of a file.
#[derive(Debug, Clone, Copy)]
pub struct Question {
    /// Where the key stands; of an entry, in the first one.
    pub group: Group,
    /// The key.
    pub key: &'static str,
    /// The question.
    pub words: &'static str,
    /// What helps to answer it.
    pub help: &'static str,
    /// What stands behind the key in the file.
    pub comment: &'static str,
    /// What an answer is.
    pub wants: Wants,
    /// Whether the file means nothing without it.
    pub needed: bool,
    /// Whether it is asked at all.
    pub when: fn(&View<'_>) -> bool,
}

/// What an answer is. Limits are in mm, N·m or shares, and refuse slips of the hand only.
#[derive(Debug, Clone, Copy)]
pub enum Wants {
    /// A figure between limits.
    Figure(Measure, [f64; 2]),
    /// Figures between limits; so many, where that is fixed.
    Figures(Measure, [f64; 2], Option<usize>),
    /// A whole number between limits.
    Whole(u32, u32),
    /// Words.
    Text,
    /// One of these: as the file writes it, and as it is put.
    Choice(&'static [(&'static str, &'static str)]),
    /// Yes or no.
    Flag,
    /// One of the shop's shim series.
    Series,
    /// A day, YYYY-MM-DD.
    Day,
}

/// What is known where a question is put.
#[derive(Debug, Clone, Copy)]
pub struct View<'a> {
    /// The file as it stands.
    pub file: &'a Edited,
    /// Where the key stands.
    pub group: Group,
    /// Axle and shop of a job.
    pub loaded: Option<&'a Loaded>,
    /// The shim series that there are.
    pub series: &'a [String],
}

impl View<'_> {
    /// The units of the figures.
    pub fn units(&self) -> Units {
        if let Some(loaded) = self.loaded {
            return loaded.axle_units;
        }
        let word = |key| self.file.text(Group::Top, key).unwrap_or_default();
        Units {
            length: Length::of_word(word("length")).unwrap_or(Length::Millimetre),
            torque: Torque::of_word(word("torque")).unwrap_or(Torque::NewtonMetre),
        }
    }

    /// Which entry it is about, from 0 on.
    pub fn entry(&self) -> usize {
        match self.group {
            Group::Entry(_, at) => at,
            _ => 0,
        }
    }

    /// Whether a key of the same group says this.
    pub fn says(&self, key: &str, word: &str) -> bool {
        self.file.text(self.group, key) == Some(word)
    }
}

/// It is always asked.
pub fn always(_: &View<'_>) -> bool {
    true
}

/// What comes after a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// The next one.
    Next,
    /// The one before.
    Back,
    /// None for now.
    Stop,
}

/// What came of a question.
enum Heard {
    /// Things stay as they are.
    Keep,
    /// The key is not to be stated.
    TakeOut,
    /// An answer.
    Is(Said),
}

impl Question {
    /// The same question of another entry.
    pub fn at(mut self, entry: usize) -> Self {
        if let Group::Entry(key, _) = self.group {
            self.group = Group::Entry(key, entry);
        }
        self
    }

    /// What the file says now, with its unit.
    pub fn now(&self, file: &Edited, units: Units) -> Option<String> {
        let stated = file.stated(self.group, self.key)?;
        Some(match self.unit(units) {
            "" => stated.trim_matches('"').to_owned(),
            unit => format!("{stated} {unit}"),
        })
    }

    pub(super) fn unit(&self, units: Units) -> &'static str {
        match self.wants {
            Wants::Figure(of, _) | Wants::Figures(of, ..) => of.unit(units),
            _ => "",
        }
    }

    /// Puts it until it is answered, and writes the answer down.
    ///
    /// # Errors
    /// Where nothing can be asked or written.
    pub fn put(
        &self,
        file: &mut Edited,
        beside: Beside<'_>,
        prompt: &mut dyn Prompt,
    ) -> Result<Step, Failure> {
        let view = beside.view(file, self.group);
        let units = view.units();
        let now = self.now(file, units);
        let said = match self.options(&view) {
            Some(options) => self.chosen(&options, now.as_deref(), prompt)?,
            None => self.typed(&view, now.as_deref(), prompt)?,
        };
        let written = match said {
            Reply::Said(Heard::Is(said)) => file.state(self.group, self.key, &said, self.comment),
            Reply::Said(Heard::TakeOut) => file.take_out(self.group, self.key),
            Reply::Said(Heard::Keep) => Ok(()),
            Reply::Back => return Ok(Step::Back),
            Reply::Stop => return Ok(Step::Stop),
        };
        written.map_err(Failure::CannotAccess)?;
        let measured = !self.unit(units).is_empty();
        if let Some(now) = self.now(file, units).filter(|_| measured) {
            prompt.say(&format!("  {} = {now}", self.key));
        }
        Ok(Step::Next)
    }

    /// What there is to choose from: as the file writes it, and as it is put.
    pub(super) fn options(&self, view: &View<'_>) -> Option<Vec<(Said, String)>> {
        let text = |word: &str| Said::Text(word.to_owned());
        match self.wants {
            Wants::Choice(words) => {
                let option = |(word, put): &(&str, &str)| (text(word), (*put).to_owned());
                Some(words.iter().map(option).collect())
            }
            Wants::Flag => Some(vec![
                (Said::Flag(false), "no".to_owned()),
                (Said::Flag(true), "yes".to_owned()),
            ]),
            Wants::Series => {
                let option = |name: &String| (text(name), name.clone());
                Some(view.series.iter().map(option).collect())
            }
            _ => None,
        }
    }

    fn chosen(
        &self,
        options: &[(Said, String)],
        now: Option<&str>,
        prompt: &mut dyn Prompt,
    ) -> Result<Reply<Heard>, Failure> {
        let stands = |said: &Said| now == Some(said.written().trim_matches('"'));
        let at = options.iter().position(|(said, _)| stands(said));
        let put: Vec<String> = options.iter().map(|(_, put)| put.clone()).collect();
        let reply = prompt.choose(self.words, &put, at.unwrap_or(0))?;
        Ok(match reply {
            Reply::Said(at) => Reply::Said(match options.get(at) {
                Some((said, _)) => Heard::Is(said.clone()),
                None => Heard::Keep,
            }),
            Reply::Back => Reply::Back,
            Reply::Stop => Reply::Stop,
        })
    }

    /// A typed answer.
    fn typed(
        &self,
        view: &View<'_>,
        now: Option<&str>,
        prompt: &mut dyn Prompt,
    ) -> Result<Reply<Heard>, Failure> {
        let help = self.help_line(view.units(), now);
        loop {
            let line = match prompt.line(self.words, &help)? {
                Reply::Said(line) => line.trim().to_owned(),
                Reply::Back => return Ok(Reply::Back),
                Reply::Stop => return Ok(Reply::Stop),
            };
            match line.to_lowercase().as_str() {
                "back" => return Ok(Reply::Back),
                "stop" => return Ok(Reply::Stop),
                "" if now.is_some() || !self.needed => return Ok(Reply::Said(Heard::Keep)),
                "none" if now.is_some() && !self.needed => return Ok(Reply::Said(Heard::TakeOut)),
                "" => prompt.say("  this one is needed; `stop` ends here, all is saved"),
                _ => match self.read(&line, view.units()) {
                    Ok(said) => return Ok(Reply::Said(Heard::Is(said))),
                    Err(why) => prompt.say(&format!("  {why}")),
                },
            }
        }
    }

    fn help_line(&self, units: Units, now: Option<&str>) -> String {
        let example = match self.wants {
            Wants::Figure(of, _) | Wants::Figures(of, ..) => match of.unit(units) {
                "" => format!("e.g. {}", of.example(units)),
                "in" => format!("in inches, e.g. {}", of.example(units)),
                unit => format!("in {unit}, e.g. {}", of.example(units)),
            },
            _ => String::new(),
        };
        let enter = match (now, self.needed) {
            (Some(now), true) => format!("Enter keeps {now}"),
            (Some(now), false) => format!("Enter keeps {now}, none takes it out"),
            (None, true) => String::new(),
            (None, false) => "Enter leaves it out".to_owned(),
        };
        let parts = [self.help, &example, &enter, "or type back, stop"];
        let parts = parts.into_iter().filter(|part| !part.is_empty());
        parts.collect::<Vec<_>>().join("; ")
    }

    /// What a line means.
    pub(super) fn read(&self, line: &str, units: Units) -> Result<Said, String> {
        match self.wants {
            Wants::Figure(of, limits) => {
                let one = figure(line, of, units)?;
                within(one, of, limits, units)?;
                Ok(as_typed(line, vec![one], false))
            }
            Wants::Figures(of, limits, count) => {
                let all = figures(line, of, units)?;
                for one in &all {
                    within(*one, of, limits, units)?;
                }
                match count {
                    Some(count) if all.len() != count => Err(format!(
                        "{count} figures are wanted, with a space between; these are {}",
                        all.len()
                    )),
                    _ => Ok(as_typed(line, all, true)),
                }
            }
            Wants::Whole(low, high) => match line.parse() {
                Ok(number) if (low..=high).contains(&number) => Ok(Said::Whole(number.into())),
                _ => Err(format!("a whole number from {low} to {high} is wanted")),
            },
            Wants::Day => day(line).map(Said::Text),
            _ => Ok(Said::Text(line.to_owned())),
        }
    }
}

/// Refuses a figure that is a slip of the hand, and says what was meant where that shows.
fn within(figure: f64, of: Measure, limits: [f64; 2], units: Units) -> Result<(), String> {
    let one = match of {
        Measure::Length => units.length.mm(),
        Measure::Torque => units.torque.newton_metres(),
        Measure::Profile | Measure::Plain => 1.0,
    };
    let held = |figure: f64| (limits[0]..=limits[1]).contains(&(figure * one));
    if held(figure) {
        return Ok(());
    }
    let unit = of.unit(units);
    let meant = match (of, units.length) {
        (Measure::Length, Length::Inch) if held(figure / 1000.0) => {
            format!("; for {figure} thousandths say `{figure} thou`")
        }
        (Measure::Length, Length::Millimetre) if held(figure / 100.0) => {
            format!("; for {figure} hundredths say `{}`", figure / 100.0)
        }
        _ => String::new(),
    };
    let [low, high] = limits.map(|limit| short(limit / one));
    Err(format!(
        "{} is not expected here, but something from {low} to {high}{meant}; if it is so indeed, \
         write it into the file by hand",
        format!("{figure} {unit}").trim_end()
    ))
}

/// A limit as people say it.
fn short(limit: f64) -> f64 {
    format!("{limit:.1e}").parse().unwrap_or(limit)
}

/// What stands beside the file that is asked for.
#[derive(Debug, Clone, Copy, Default)]
pub struct Beside<'a> {
    /// Axle and shop of a job.
    pub loaded: Option<&'a Loaded>,
    /// The shim series that there are.
    pub series: &'a [String],
}

impl Beside<'_> {
    /// What is known where a question of this group is put.
    pub fn view<'a>(&'a self, file: &'a Edited, group: Group) -> View<'a> {
        View {
            file,
            group,
            loaded: self.loaded,
            series: self.series,
        }
    }
}

/// Puts questions in order; those that the file answers already only where somebody goes back to them.
/// It ends with a step back before the first one, a stop, or the next thing after the last.
///
/// # Errors
/// Where nothing can be asked or written.
pub fn go_through(
    questions: &[Question],
    file: &mut Edited,
    beside: Beside<'_>,
    prompt: &mut dyn Prompt,
) -> Result<Step, Failure> {
    let (mut at, mut again) = (0, false);
    let mut asked = Vec::new();
    while let Some(question) = questions.get(at) {
        let open = file.stated(question.group, question.key).is_none();
        let view = beside.view(file, question.group);
        if !(open || again) || !(question.when)(&view) {
            at += 1;
            continue;
        }
        match question.put(file, beside, prompt)? {
            Step::Next => {
                asked.push(at);
                (at, again) = (at + 1, false);
            }
            Step::Back => match asked.pop() {
                Some(before) => (at, again) = (before, true),
                None => return Ok(Step::Back),
            },
            Step::Stop => return Ok(Step::Stop),
        }
    }
    Ok(Step::Next)
}
