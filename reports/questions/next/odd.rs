//! What is odd about a job: readings that hardly any such axle shows, and what the job and the
//! descriptions of axle and shop do not agree on.

use shimcast_sim::next::{Next, Reading, Remark, SURPRISING, Slip, Surprise, Suspect};
use shimcast_sim::units::{MM_PER_INCH, NM_PER_LBF_IN};

use super::OnTheBench;
use super::words::{entry, key, key_of_pack, pack, reading};
use crate::figures::{as_given, plain};
use crate::files::Assumption;
use crate::sentences::listed;

/// Suspects that are told; the list of them is in JSON.
const MOST_SUSPECTS: usize = 3;

impl OnTheBench {
    /// Entries whose readings are surprising.
    pub(super) fn surprises(&self) -> impl Iterator<Item = &Surprise> {
        let all = self.answer.surprises.iter();
        all.filter(|surprise| surprise.chance.value < SURPRISING)
    }

    /// Whether the figures are so odd that hardly any draw is left to go by.
    pub(super) fn cannot_be_told(&self) -> bool {
        let few = self.answer.remarks.contains(&Remark::FewEffective);
        few && self.surprises().next().is_some()
    }

    /// What is said of surprising readings, before anything else.
    pub(super) fn surprise(&self, of: &Surprise) -> String {
        let whose = match of.entry {
            0 => "what was known before the first assembly".to_owned(),
            number => format!("the readings of assembly {number}"),
        };
        let suspects = of.suspects.iter().take(MOST_SUSPECTS);
        let suspects: Vec<String> = suspects.map(|one| self.suspect(one)).collect();
        let then = match suspects.is_empty() {
            true => "No single slip explains it: read again.".to_owned(),
            false => format!(
                "Look for a slip, the likeliest first: {}.",
                suspects.join("; ")
            ),
        };
        format!(
            "First of all: {whose} can hardly be so; fewer than 1 in 1000 axles like this show figures as \
             unlikely. {then}"
        )
    }

    fn suspect(&self, of: &Suspect) -> String {
        let times = match of.times {
            times if times >= 1e6 => "more than a million times likelier".to_owned(),
            times => format!("{} times likelier", as_given(rounded(times))),
        };
        format!("{} ({times})", self.slip(&of.slip))
    }

    /// A slip in words.
    pub(super) fn slip(&self, slip: &Slip) -> String {
        let print = self.print();
        match slip {
            Slip::OldMarkSign => "the old mark with the other sign".to_owned(),
            Slip::NewMarkSign => "the new mark with the other sign".to_owned(),
            Slip::BothMarkSigns => "both marks with the other sign".to_owned(),
            Slip::SidePacksSwapped => "the side packs swapped".to_owned(),
            Slip::Decimal(of, meant) => {
                let meant = self.figure(*of, *meant);
                format!(
                    "{} with its decimal point slipped, {meant} in truth",
                    reading(*of)
                )
            }
            Slip::RingNotSeated => "the ring gear not seated on its flange".to_owned(),
            Slip::OnRealBearings => "real bearings in place of set-up bearings".to_owned(),
            Slip::OnSetUpBearings => "set-up bearings in place of real ones".to_owned(),
            Slip::PackOff(place, by) => {
                let way = if *by > 0.0 { "thicker" } else { "thinner" };
                format!(
                    "{} {} {way} than stated",
                    pack(*place),
                    print.given(by.abs())
                )
            }
        }
    }

    /// A figure of a job as it would be read.
    fn figure(&self, of: Reading, figure: f64) -> String {
        let print = self.print();
        match of {
            Reading::Drive | Reading::Coast => format!("{} %", plain(100.0 * figure)),
            Reading::Rise | Reading::Torque(_) => print.torque(figure),
            _ => print.given(figure),
        }
    }

    /// What is said of readings that are no multiples of the step in which they are read.
    fn off_step(&self, readings: &[(Reading, f64)], step: f64) -> String {
        let told = |all: Vec<String>| listed(&all);
        let figures = told(readings.iter().map(|of| self.figure(of.0, of.1)).collect());
        let (what, one) = (readings[0].0, readings.len() == 1);
        let shown = self.figure(what, step);
        if let Some(other) = OtherUnit::than(what, step)
            && let Some(all) = readings.iter().map(|of| other.reads(of.1)).collect()
        {
            let reads = if one { "reads" } else { "read" };
            let (all, unit, [whose, key]) = (told(all), other.name, other.whose);
            return format!(
                "{figures} {reads} like {all} {unit}: {whose} in {unit}? Then say so by {key}, which is {shown} \
                 now; until then such a figure is taken as exact"
            );
        }
        let is = if one {
            "is no multiple"
        } else {
            "are no multiples"
        };
        format!("{figures} {is} of {shown}, the step in which it is read")
    }

    /// A sentence about a key of the job file, with its line.
    fn at(&self, key: &str, said: &str) -> String {
        let line = self.job.problem_at(key, String::new()).line;
        match line {
            0 => format!("{}: {said}.", self.file),
            line => format!("{}, line {line}: {said}.", self.file),
        }
    }
}

/// The unit that an instrument has whose step in the other one no reading fits.
struct OtherUnit {
    /// What it is read in, in the units of the model, and in this unit.
    step: f64,
    in_unit: f64,
    name: &'static str,
    /// What reads so, and the key of its step.
    whose: [&'static str; 2],
}

impl OtherUnit {
    fn than(what: Reading, step: f64) -> Option<Self> {
        let whose = match what {
            Reading::Backlash(_) => [
                "does the dial read",
                "instruments.dial.step in the shop file",
            ],
            Reading::Gauge => [
                "does the depth gauge read",
                "instruments.depth_gauge.step in the shop file",
            ],
            Reading::MarkOld | Reading::MarkNew => {
                ["are the marks", "gears.mark.step in the axle file"]
            }
            Reading::Torque(_) => [
                "does the torque wrench read",
                "instruments.torque.step in the shop file",
            ],
            _ => return None,
        };
        let units = match what {
            Reading::Torque(_) => [(0.1, 0.1, "N·m"), (0.5 * NM_PER_LBF_IN, 0.5, "lbf·in")],
            _ => [(0.01, 0.01, "mm"), (0.0005 * MM_PER_INCH, 0.5, "thou")],
        };
        let other = units.into_iter().find(|(one, ..)| !is_near(step, *one));
        other.map(|(step, in_unit, name)| Self {
            step,
            in_unit,
            name,
            whose,
        })
    }

    /// A figure in this unit, where it reads like one.
    fn reads(&self, figure: f64) -> Option<String> {
        let count = (figure / self.step).round();
        is_near(figure, self.step).then(|| plain(count * self.in_unit))
    }
}

/// Whether a figure is so many times another one, as near as a conversion leaves it.
fn is_near(figure: f64, one: f64) -> bool {
    let count = (figure / one).round();
    count != 0.0 && (figure / one - count).abs() < 0.02
}

fn rounded(times: f64) -> f64 {
    let unit = 10_f64.powi(times.max(1.0).log10().floor() as i32 - 1);
    (times / unit).round() * unit
}

/// What looks wrong in the job, a sentence each, and what was taken for granted.
pub(super) fn remarks(of: &OnTheBench) -> (Vec<String>, Vec<Assumption>) {
    let (mut said, mut assumed) = (Vec::new(), Vec::new());
    let print = of.print();
    for remark in off_step_together(&of.answer.remarks) {
        match remark {
            Told::OffStep(at, readings, step) => {
                let words = of.off_step(&readings, step);
                said.push(of.at(&key(at, readings[0].0), &words));
            }
            Told::Other(Remark::NoSuchPack {
                entry,
                place,
                stated,
                nearest,
            }) => {
                let words = format!(
                    "no shims of the series make {} of {}; the nearest is {}",
                    pack(place),
                    print.given(stated),
                    print.given(nearest)
                );
                said.push(of.at(&key_of_pack(entry, place), &words));
            }
            Told::Other(Remark::PointsDiffer {
                entry,
                points,
                before,
            }) => {
                let words = format!("{points} backlash readings where there were {before} before");
                said.push(of.at(&key(entry, Reading::Backlash(0)), &words));
            }
            Told::Other(Remark::HeightsDiffer(what)) => {
                let words = format!("{} differ though the bearings are kept", reading(what));
                said.push(of.at(&key(0, what), &words));
            }
            Told::Other(Remark::TurnedPastAim { entry }) => {
                let words = "a torque at the aim is followed by more turns of the nut";
                said.push(of.at(&key(entry, Reading::Torque(0)), words));
            }
            Told::Other(Remark::FewEffective) => said.push(few(&of.answer)),
            Told::Other(Remark::ZeroTotalAssumed { entry, total }) => {
                assumed.push(zero_total(of, entry, total));
            }
            Told::Other(Remark::OffStep { .. }) => {}
        }
    }
    (said, assumed)
}

fn few(answer: &Next) -> String {
    format!(
        "so few axles fit what is stated that the belief rests on about {:.0} of {} draws: its figures are \
         rough.",
        answer.effective.max(1.0),
        answer.draws
    )
}

fn zero_total(of: &OnTheBench, at: usize, total: f64) -> Assumption {
    let key = key(at, Reading::ZeroTotal);
    let print = of.print();
    Assumption {
        text: format!(
            "{key} = {} (side packs of {} less the preload added)",
            print.given(total),
            entry(at)
        ),
        fill: Vec::new(),
        others: Vec::new(),
        key,
    }
}

/// A remark, those of readings off their step together where they stand in one list.
enum Told {
    OffStep(usize, Vec<(Reading, f64)>, f64),
    Other(Remark),
}

fn off_step_together(remarks: &[Remark]) -> Vec<Told> {
    let mut told: Vec<Told> = Vec::new();
    for remark in remarks {
        let Remark::OffStep {
            entry,
            reading,
            stated,
            step,
        } = *remark
        else {
            told.push(Told::Other(*remark));
            continue;
        };
        match told.last_mut() {
            Some(Told::OffStep(at, readings, _))
                if key(*at, readings[0].0) == key(entry, reading) =>
            {
                readings.push((reading, stated));
            }
            _ => told.push(Told::OffStep(entry, vec![(reading, stated)], step)),
        }
    }
    told
}
