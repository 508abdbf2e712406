//! What a story says is what was decided, read and fitted, whichever rebuild it is.

use shimcast::document::{Cell, Table};
use shimcast::files::Source;
use shimcast::printed::Printed;
use shimcast::questions::follow::Account;
use shimcast::questions::follow::acts::{Act, work};
use shimcast::questions::follow::ends::{ending, verdict};
use shimcast_sim::axle::Condition;
use shimcast_sim::bench::outcome::Outcome;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::bench::{Decision, Event, PackPlace};
use shimcast_sim::follow::{Story, StoryStep, follow};
use shimcast_sim::units::SLACK;

use crate::given::{example, has, read};

/// Jobs of one kind, told one by one.
struct Told {
    setup: Setup,
    print: Printed,
}

impl Told {
    fn new(axle: &Source, shop: &Source, set: &[&str]) -> Self {
        let loaded = read(axle, shop, set);
        let print = loaded.printed();
        let setup = Setup::new(loaded.axle, loaded.shop, Condition::New, Condition::New);
        Self {
            setup: setup.unwrap_or_else(|_| panic!("{set:?} is no job")),
            print,
        }
    }

    fn of_demo(set: &[&str]) -> Self {
        Self::new(&Source::BuiltIn, &Source::BuiltIn, set)
    }

    fn stories(&self, many: u64) -> impl Iterator<Item = Story> {
        (1..=many).map(|number| follow(&self.setup, 1, number))
    }

    fn acts(&self, story: &Story) -> Vec<Act> {
        work(&self.setup, &story.steps, self.print).0
    }

    fn lines(&self, story: &Story) -> Vec<String> {
        self.acts(story)
            .into_iter()
            .flat_map(|act| act.lines)
            .collect()
    }

    /// How it went, a row a line, and how it ended.
    fn verdict(&self, story: &Story) -> (String, Result<String, String>) {
        let followed = Account {
            setup: &self.setup,
            story,
            found: None,
            seed: 1,
            print: self.print,
            assumptions: &[],
        };
        let rows = |table: Table, between: &str| {
            let rows = table.rows.into_iter();
            let said = rows.map(|row| row.iter().map(Cell::value).collect::<Vec<_>>());
            let lines: Vec<String> = said.map(|row| row.join(between)).collect();
            lines.join("\n")
        };
        let end = ending(&followed).map(|table| rows(table, " "));
        (rows(verdict(&followed), ": "), end)
    }
}

/// The decisions with what follows each, up to the next one.
fn decisions(story: &Story) -> Vec<(&Decision, &[StoryStep])> {
    let decided = |step: &StoryStep| matches!(step, StoryStep::Event(Event::Decision(_)));
    let steps = story.steps.iter().enumerate();
    steps
        .filter_map(|(i, step)| match step {
            StoryStep::Event(Event::Decision(made)) => {
                let rest = &story.steps[i + 1..];
                let until = rest.iter().position(decided).unwrap_or(rest.len());
                Some((made, &rest[..until]))
            }
            _ => None,
        })
        .collect()
}

/// Wanted and fitted thickness of the ring-gear side.
fn ring(steps: &[StoryStep]) -> Option<[f64; 2]> {
    steps.iter().find_map(|step| match step {
        StoryStep::Event(Event::Pack {
            place: PackPlace::RingSide,
            wanted,
            printed,
            ..
        }) => Some([*wanted, *printed]),
        _ => None,
    })
}

fn moved(print: Printed, by: f64) -> String {
    let way = if by > 0.0 { "out" } else { "in" };
    format!("{way} by {}", print.length(by.abs()))
}

/// The move that is told is the one that is made, also where the wish lay at a pack that had been
/// tried.
#[test]
fn the_ring_gear_moves_as_is_said() {
    let quay_lane = example("quay-lane.shop.toml");
    let tamarack = example("tamarack-88.axle.toml");
    let [mut plain, mut between, mut stays] = [0; 3];
    for told in [
        Told::of_demo(&["bench.guard=0.2"]),
        Told::new(&tamarack, &quay_lane, &["bench.guard=0.2"]),
    ] {
        for story in told.stories(400) {
            let said = told.lines(&story);
            let mut said = said
                .iter()
                .filter(|line| line.starts_with("decides: ") || line.starts_with("but that"));
            let mut before = ring(&story.steps).expect("a start")[1];
            for (made, steps) in decisions(&story) {
                let line = said.next().expect("every decision is told");
                let fitted = ring(steps);
                if let (Decision::ChangeSides { .. }, Some([wanted, after])) = (made, fitted) {
                    if (after - before).abs() <= SLACK {
                        has(line, "the ring-gear side stays as it is");
                        stays += 1;
                    } else if line.contains("the two tried bracket it") {
                        has(line, &moved(told.print, before - after));
                        between += 1;
                    } else {
                        // a move that ends on half of what is printed may be rounded either way
                        let said = [-SLACK, SLACK].map(|off| {
                            let by = moved(told.print, before - wanted + off);
                            line.contains(&format!("; ring gear {by} (believed"))
                        });
                        assert!(said.contains(&true), "{line}: {before} {wanted}");
                        plain += 1;
                    }
                }
                before = fitted.map_or(before, |[_, after]| after);
            }
        }
    }
    assert!(
        plain > 100 && between > 0 && stays > 0,
        "{plain} {between} {stays}"
    );
}

#[test]
fn packs_that_go_back_in_are_told() {
    let told = Told::of_demo(&["bench.guard=0.2"]);
    let mut back = 0;
    for story in told.stories(300) {
        let wanted = decisions(&story)
            .iter()
            .filter(|(made, _)| matches!(made, Decision::SidesGoBack { .. }))
            .count();
        let lines = told.lines(&story);
        let count = |part: &str| lines.iter().filter(|line| line.contains(part)).count();
        assert_eq!(count("it goes back in and stays"), wanted, "{lines:?}");
        assert!(wanted >= count("this is the better one of the two, and it stays"));
        back += wanted;
    }
    assert!(back > 0);
    // and at the spacer
    let sorrel = example("sorrel-71.axle.toml");
    let narrow = ["windows.pinion_torque=[18.5, 19.5]"];
    let told = Told::new(&sorrel, &Source::BuiltIn, &narrow);
    let mut back = 0;
    for story in told.stories(300) {
        let wanted = decisions(&story)
            .iter()
            .filter(|(made, _)| **made == Decision::SpacerGoesBack)
            .count();
        let lines = told.lines(&story);
        let said = lines
            .iter()
            .filter(|line| line.contains("goes back in, whatever it reads then"));
        assert_eq!(said.count(), wanted, "{lines:?}");
        back += wanted;
    }
    assert!(back > 0);
}

/// What is inside the book's window and not accepted is told as that, and nothing else is.
#[test]
fn a_margin_is_told_where_it_decides() {
    const INSIDE: &str = "inside the book's window, but not by the margin the shop keeps";
    for (guard, guarded) in [("bench.guard=0", false), ("bench.guard=0.2", true)] {
        let told = Told::of_demo(&[guard]);
        let window = told.setup.axle.windows.backlash;
        let mut margins = 0;
        for story in told.stories(200) {
            let (how, _) = told.verdict(&story);
            assert_eq!(
                how.contains("(20 % of each window off at either end)"),
                guarded,
                "{how}"
            );
            let lines = told.lines(&story);
            let mut said = lines.iter().filter(|line| line.starts_with("decides: "));
            let mut readings: &[f64] = &[];
            for step in &story.steps {
                match step {
                    StoryStep::Event(Event::Backlash { readings: read, .. }) => readings = read,
                    StoryStep::Event(Event::Decision(Decision::GiveUp)) => {}
                    StoryStep::Event(Event::Decision(made)) => {
                        let line = said.next().expect("every decision is told");
                        if matches!(made, Decision::ChangeSides { backlash: true, .. }) {
                            let in_book = readings.iter().all(|r| window.holds(*r));
                            assert_eq!(line.contains(INSIDE), in_book, "{line}");
                            margins += usize::from(in_book);
                        }
                    }
                    _ => {}
                }
            }
        }
        assert_eq!(margins > 0, guarded);
    }
}

/// Turns of the adjusters are no assemblies, in the headings as in the count, and have a limit of
/// their own.
#[test]
fn adjusters_are_turned_and_not_assembled() {
    let adjusters = "side_shims.seat=\"screw adjusters\"";
    let slow = [
        adjusters,
        "bench.most_assemblies=1",
        "bench.learns=false",
        "bench.ring_belief=3",
        "bench.notch=0.005",
    ];
    let mut by_turns = 0;
    for (set, many) in [(&slow[..1], 100), (&slow[..], 200)] {
        let told = Told::of_demo(set);
        for story in told.stories(many) {
            let acts = told.acts(&story);
            let headed = |part: &str| {
                let headings = acts.iter().map(|act| act.heading.as_str());
                headings.filter(|heading| heading.contains(part)).count() as u32
            };
            let turns = story.rebuild.side_changes;
            assert_eq!(headed("Turn the adjusters"), turns);
            assert_eq!(headed("of the adjusters"), turns);
            let assemblies = acts.iter().filter(|act| {
                act.heading.starts_with("Assembly ") && !act.heading.contains("turn ")
            });
            assert_eq!(assemblies.count() as u32, story.rebuild.assemblies);
            let (how, end) = told.verdict(&story);
            assert!(!how.contains("side shims"), "{how}");
            if let Err(end) = end {
                let last = told.lines(&story);
                let last = last.iter().rfind(|line| line.starts_with("but that"));
                let last = last.expect("it is said");
                if end.contains("turns of the adjusters") {
                    assert_eq!(turns, 4);
                    has(&end, "given up after 4 turns of the adjusters, the most");
                    has(
                        last,
                        "one turn of the adjusters more than the 4 this shop makes",
                    );
                    by_turns += 1;
                } else {
                    has(&end, "given up after one assembly, the most");
                    has(last, "one assembly more than the 1 this shop makes");
                }
            }
        }
    }
    assert!(by_turns > 0);
}

#[test]
fn every_cone_that_is_pulled_is_told() {
    let sorrel = example("sorrel-71.axle.toml");
    let mut pulled = 0;
    for told in [
        Told::of_demo(&[]),
        Told::of_demo(&["bench.setup_bearings=false"]),
        Told::new(&sorrel, &Source::BuiltIn, &[]),
        Told::new(&sorrel, &Source::BuiltIn, &["bench.setup_bearings=false"]),
    ] {
        for story in told.stories(150) {
            let lines = told.lines(&story);
            let count = |part: &str| lines.iter().filter(|line| line.starts_with(part)).count();
            let told_of = count("the cone of the head bearing")
                + 2 * count("the cones of both side bearings");
            assert_eq!(told_of as u32, story.rebuild.cones_pulled, "{lines:?}");
            let (how, _) = told.verdict(&story);
            has(
                &how,
                &match story.rebuild.cones_pulled {
                    0 => "Cones pulled: none".to_owned(),
                    n => format!("Cones pulled: {n}, "),
                },
            );
            pulled += told_of;
        }
    }
    assert!(pulled > 0);
}

/// Clearly out in the verdict, and in a row of the end.
#[test]
fn clearly_out_is_told_where_it_is() {
    let told = Told::of_demo(&["instruments.dial.sigma=0.02"]);
    let mut seen = [0, 0];
    for story in told.stories(400) {
        let Outcome::WronglyPassed { clearly } = story.outcome else {
            continue;
        };
        let (how, end) = told.verdict(&story);
        let end = end.expect("it is handed over");
        assert_eq!(
            how.contains(": clearly out, may come back"),
            clearly,
            "{how}"
        );
        assert_eq!(how.contains(": not clearly out"), !clearly, "{how}");
        assert_eq!(end.contains("OUTSIDE, clearly"), clearly, "{end}");
        has(&end, "OUTSIDE");
        seen[usize::from(clearly)] += 1;
    }
    assert!(seen.iter().all(|n| *n > 0), "{seen:?}");
}

/// After a compromise nobody says that all reads inside.
#[test]
fn a_compromise_is_not_forgotten() {
    let compromise = |made: &Decision| {
        matches!(
            made,
            Decision::SidesCannotBeBettered { .. }
                | Decision::FlanksDisagree
                | Decision::MoveTooSmall { .. }
                | Decision::TorqueCannotBeBettered
        )
    };
    let mut accepted = [0, 0];
    for set in [&["bench.setup_bearings=true"][..], &["bench.guard=0.3"]] {
        let told = Told::of_demo(set);
        for story in told.stories(300) {
            let lines = told.lines(&story);
            let mut said = lines.iter().filter(|line| line.starts_with("decides: "));
            let mut before = false;
            for (made, _) in decisions(&story) {
                if *made == Decision::GiveUp {
                    continue;
                }
                let line = said.next().expect("every decision is told");
                if *made == Decision::Accept {
                    assert_eq!(line.contains("all of it reads inside"), !before, "{line}");
                    assert_eq!(line.contains("with the compromise made before"), before);
                    accepted[usize::from(before)] += 1;
                }
                before |= compromise(made);
            }
        }
    }
    assert!(accepted.iter().all(|n| *n > 20), "{accepted:?}");
}

/// A move is told as measured, halved or bracketed, whichever decided it.
#[test]
fn what_decides_a_move_is_named() {
    let mut seen = [0; 3];
    for set in [
        &["bench.correction=\"halving\"", "bench.mark_slip=0.5"][..],
        &["bench.depth_belief=0.5", "bench.mark_slip=0.5"],
    ] {
        let told = Told::of_demo(set);
        for story in told.stories(300) {
            let lines = told.lines(&story);
            let mut said = lines.iter().filter(|line| line.starts_with("decides: "));
            for (made, _) in decisions(&story) {
                if *made == Decision::GiveUp {
                    continue;
                }
                let line = said.next().expect("every decision is told");
                if let Decision::ChangePinion {
                    asked,
                    wanted,
                    halved,
                    ..
                } = made
                {
                    let bracketed = (asked - wanted).abs() > SLACK;
                    assert_eq!(line.contains("bracket it"), bracketed, "{line}");
                    assert_eq!(line.contains("the move is halved"), *halved, "{line}");
                    assert_eq!(
                        line.contains("that asks for the pinion"),
                        set[0].starts_with("bench.depth")
                    );
                    seen[0] += usize::from(bracketed);
                    seen[1] += usize::from(*halved);
                    seen[2] += usize::from(!halved && !bracketed);
                }
            }
        }
    }
    assert!(seen.iter().all(|n| *n > 10), "{seen:?}");
}

/// Marks are told as etched and as taken.
#[test]
fn a_mark_taken_the_wrong_way_round_is_told_as_etched() {
    let told = Told::of_demo(&["bench.mark_slip=0.5", "gears.mark.plus=\"farther\""]);
    let mut slips = [0, 0];
    for story in told.stories(60) {
        let lines = told.lines(&story);
        let line = lines.iter().find(|line| line.starts_with("marks etched"));
        let line = line.expect("marks are told");
        let [old, new] = [&story.parts.old_pair, &story.parts.pair]
            .map(|pair| told.print.signed_given(pair.mark));
        has(line, &format!(": old {old}, new {new} mm ("));
        let slipped = line.contains("taken THE WRONG WAY ROUND");
        assert_eq!(line.contains("taken as etched"), !slipped);
        slips[usize::from(slipped)] += 1;
    }
    assert!(slips.iter().all(|n| *n > 10), "{slips:?}");
}

/// One row an assembly, and a mark where something is outside its window.
#[test]
fn assemblies_stand_one_a_row() {
    for (set, many) in [
        (&[][..], 80),
        (&["side_shims.seat=\"screw adjusters\""], 40),
    ] {
        let told = Told::of_demo(set);
        let windows = &told.setup.axle.windows;
        for story in told.stories(many) {
            let acts = told.acts(&story);
            let rows: Vec<String> = acts
                .iter()
                .filter_map(|act| act.assembly.as_ref())
                .map(|row| format!("{row:?}"))
                .collect();
            let truths: Vec<_> = story
                .steps
                .iter()
                .filter_map(|step| match step {
                    StoryStep::Event(Event::BoltedUp(truth)) => Some(truth),
                    _ => None,
                })
                .collect();
            assert_eq!(rows.len(), truths.len());
            for (row, truth) in rows.iter().zip(truths) {
                let preload = told.print.held(truth.closure, windows.side_closure);
                let outside = !windows.side_closure.holds(truth.closure);
                let cell = match outside {
                    true => format!("\"{preload}*\""),
                    false => format!("\"{preload}\""),
                };
                has(row, &cell);
            }
        }
    }
}
