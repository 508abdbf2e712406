//! Where the contact pattern falls.

use shimcast_sim::estimate::Moments;
use shimcast_sim::pictures::{Flank, Point, Stage};

use super::data::{Observations, cell, cells};
use super::exhibit::Exhibit;
use super::html::Table;
use super::{said, said_first, the_first};
use crate::answers::report::Reported;
use crate::chart::{self, Fall, Panel, Words};
use crate::figures::{percent, percent_interval};

/// Rebuilds drawn on each flank.
const DRAWN: usize = 300;

pub(super) fn pattern(asked: &Reported<'_>) -> Exhibit {
    let windows = &asked.setup().axle.windows;
    let (first, last) = (&asked.odds.first_assembly, &asked.odds.handed_over);
    let pictures = asked.pictures;
    let finding = format!(
        "{} of first assemblies have the pattern inside its window on both flanks, within ±{:.0} \
         % along the tooth and ±{:.0} % up it; of the finished jobs {} have.",
        said_first(&first.pattern),
        100.0 * windows.pattern_length,
        100.0 * windows.pattern_profile,
        said(&last.pattern),
    );
    let shown = &pictures.points[..DRAWN.min(pictures.points.len())];
    let panel = |name: &str, falls: Vec<Fall>| Panel {
        name: name.into(),
        falls,
    };
    let first_falls = |flank| {
        shown
            .iter()
            .map(|p| fall(&p.first.pattern, flank))
            .collect()
    };
    let last_falls = |flank| {
        let done = shown.iter().filter_map(|p| p.handed_over);
        done.map(|truth| fall(&truth.pattern, flank)).collect()
    };
    let figure = chart::teeth(
        Words {
            name: "contact-pattern".into(),
            title: "Where does the contact pattern fall?".into(),
            description: format!(
                "Four tooth flanks with the middle of the pattern of {}: drive \
                 and coast side, as first bolted up and as handed over; the heel is to the right, \
                 the tooth's top above. {finding}",
                the_first(shown.len())
            ),
        },
        [windows.pattern_length, windows.pattern_profile],
        &[
            panel("drive side, first assembly", first_falls(0)),
            panel("coast side, first assembly", first_falls(1)),
            panel("drive side, handed over", last_falls(0)),
            panel("coast side, handed over", last_falls(1)),
        ],
    );
    Exhibit {
        finding,
        figure,
        reading: format!(
            "Each point is the middle of the pattern of one rebuild; they are {}. The tooth \
             is a picture, not to scale. How far the pattern moves for each move is an estimate \
             (± 40 %).",
            the_first(shown.len())
        ),
        table: table(asked),
        observations: observations(&pictures.points),
    }
}

fn fall(pattern: &[f64; 4], flank: usize) -> Fall {
    Fall {
        length: pattern[2 * flank],
        profile: pattern[2 * flank + 1],
    }
}

/// Stages and flanks, one after the other.
fn rows<'a>(asked: &Reported<'a>) -> Vec<(&'static str, &'static str, &'a Flank)> {
    let stage = |name, stage: &'a Stage| {
        let sides = ["drive", "coast"].into_iter().zip(&stage.flanks);
        sides.map(move |(side, flank)| (name, side, flank))
    };
    let first = stage("first assembly", &asked.pictures.first);
    first
        .chain(stage("handed over", &asked.pictures.handed_over))
        .collect()
}

fn table(asked: &Reported<'_>) -> Table {
    let mut table = Table::new(
        "Middle of the pattern, percent of the tooth from its centre, and share inside the window",
        [
            "state and flank",
            "along, mean",
            "95 % interval",
            "one sigma",
            "up, mean",
            "95 % interval",
            "one sigma",
            "inside along",
            "95 % interval",
            "inside up",
            "95 % interval",
            "inside both",
            "95 % interval",
        ],
    );
    for (stage, side, flank) in rows(asked) {
        let mut cells = vec![format!("{stage}, {side} side")];
        for moments in [&flank.length, &flank.profile] {
            cells.extend(spread(moments));
        }
        for share in [&flank.length_inside, &flank.profile_inside, &flank.inside] {
            cells.extend([percent(share), percent_interval(share)]);
        }
        table.row(cells);
    }
    table
}

/// Mean, its interval and one sigma, in percent of the tooth.
fn spread(moments: &Moments) -> [String; 3] {
    let mean = moments.estimate().times(100.0);
    if moments.n() == 0 {
        return ["-", "", "-"].map(str::to_owned);
    }
    [
        crate::figures::signed(&mean, 1),
        crate::figures::signed_interval(&mean, 1),
        format!("{:.0}", 100.0 * moments.deviation()),
    ]
}

fn observations(points: &[Point]) -> Observations {
    let mut observations = Observations::new(
        "contact-pattern",
        &["rebuild", "stage", "flank", "length_share", "profile_share"],
    );
    for (i, point) in points.iter().enumerate() {
        let stages = [
            ("first_assembly", Some(point.first)),
            ("handed_over", point.handed_over),
        ];
        for (stage, truth) in stages {
            let Some(truth) = truth else { continue };
            for (flank, name) in ["drive", "coast"].into_iter().enumerate() {
                let fall = fall(&truth.pattern, flank);
                observations.row(vec![
                    (i + 1).to_string(),
                    stage.into(),
                    name.into(),
                    cell(fall.length),
                    cell(fall.profile),
                ]);
            }
        }
    }
    observations
}

/// The summary behind the figure, for other tools.
pub(super) fn summary(asked: &Reported<'_>) -> Observations {
    let mut observations = Observations::new(
        "contact-pattern-summary",
        &[
            "stage",
            "flank",
            "length_mean_share",
            "length_sd_share",
            "profile_mean_share",
            "profile_sd_share",
            "inside_share",
            "inside_share_low",
            "inside_share_high",
        ],
    );
    for (stage, side, flank) in rows(asked) {
        let mut row = vec![stage.replace(' ', "_"), side.to_owned()];
        for moments in [&flank.length, &flank.profile] {
            row.extend([cell(moments.mean()), cell(moments.deviation())]);
        }
        row.extend(cells(&flank.inside));
        observations.row(row);
    }
    observations
}
