//! Where the contact pattern falls.

use shimcast_sim::count::estimate::Moments;
use shimcast_sim::pictures::{Flank, RebuildPoint, Stage};

use super::{Pictured, the_first};
use crate::document::{Cell, Chart, Column, Fall, Figure, Panel, Table, Teeth, in_full};
use crate::figures::said;
use crate::sentences::said_first;

/// Rebuilds drawn on each flank.
const DRAWN: usize = 150;

pub(super) fn pattern(of: &Pictured<'_>) -> Figure {
    let windows = &of.setup.axle.windows;
    let (first, last) = (&of.odds.first_assembly, &of.odds.handed_over);
    let pictures = of.pictures;
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
    let chart = Chart::Teeth(Teeth {
        window: [windows.pattern_length, windows.pattern_profile],
        panels: vec![
            panel("drive side, first assembly", first_falls(0)),
            panel("coast side, first assembly", first_falls(1)),
            panel("drive side, handed over", last_falls(0)),
            panel("coast side, handed over", last_falls(1)),
        ],
    });
    Figure {
        name: "contact-pattern",
        question: "Where does the contact pattern fall?".into(),
        drawn: format!(
            "Four tooth flanks with the middle of the pattern of {}: drive and coast side, as first \
             bolted up and as handed over; the heel is to the right, the tooth's top above.",
            the_first(shown.len())
        ),
        chart,
        finding,
        reading: format!(
            "Each point is the middle of the pattern of one rebuild; they are {}. The tooth \
             is a picture, not to scale. How far the pattern moves for each move is an estimate \
             (± 40 %).",
            the_first(shown.len())
        ),
        table: summary(of),
        rows: Some(points(&pictures.points)),
    }
}

fn fall(pattern: &[f64; 4], flank: usize) -> Fall {
    Fall {
        length: pattern[2 * flank],
        profile: pattern[2 * flank + 1],
    }
}

/// Stages and flanks, one after the other.
fn rows<'a>(of: &Pictured<'a>) -> Vec<(&'static str, &'static str, &'a Flank)> {
    let stage = |name, stage: &'a Stage| {
        let sides = ["drive", "coast"].into_iter().zip(&stage.flanks);
        sides.map(move |(side, flank)| (name, side, flank))
    };
    let first = stage("first assembly", &of.pictures.first);
    first
        .chain(stage("handed over", &of.pictures.handed_over))
        .collect()
}

/// Stages and flanks, for people and for other tools.
pub fn summary(of: &Pictured<'_>) -> Table {
    let mut table = Table::new([
        Column::words("state and flank"),
        Column::data("stage"),
        Column::data("flank"),
        Column::intervals("along, mean"),
        Column::data("length_mean_share"),
        Column::figures("one sigma").key("length_sd_share"),
        Column::intervals("up, mean"),
        Column::data("profile_mean_share"),
        Column::figures("one sigma").key("profile_sd_share"),
        Column::intervals("inside along"),
        Column::intervals("inside up"),
        Column::intervals("inside both").key("inside_share"),
    ])
    .caption(
        "Middle of the pattern, percent of the tooth from its centre, and share inside the window",
    );
    for (stage, side, flank) in rows(of) {
        let mut cells = vec![
            Cell::from(format!("{stage}, {side} side")),
            stage.replace(' ', "_").into(),
            side.into(),
        ];
        for moments in [&flank.length, &flank.profile] {
            cells.extend(spread(moments));
        }
        let shares = [&flank.length_inside, &flank.profile_inside, &flank.inside];
        cells.extend(shares.map(Cell::share));
        table.row(cells);
    }
    table
}

/// Mean, the same for other tools, and one sigma, in percent of the tooth.
fn spread(moments: &Moments) -> [Cell; 3] {
    let (mean, sigma) = (moments.mean(), moments.deviation());
    let [shown, one_sigma] = match moments.n() {
        0 => [Cell::none(), Cell::none()],
        _ => [
            Cell::change(&moments.estimate().times(100.0), 1),
            format!("{:.0}", 100.0 * sigma).into(),
        ],
    };
    [shown, Cell::data(mean), one_sigma.as_data(in_full(sigma))]
}

/// A row a point and flank, for other tools.
fn points(points: &[RebuildPoint]) -> Table {
    let keys = ["rebuild", "stage", "flank", "length_share", "profile_share"];
    let mut table = Table::new(keys.map(Column::data));
    for (i, point) in points.iter().enumerate() {
        let stages = [
            ("first_assembly", Some(point.first)),
            ("handed_over", point.handed_over),
        ];
        for (stage, truth) in stages {
            let Some(truth) = truth else { continue };
            for (flank, name) in ["drive", "coast"].into_iter().enumerate() {
                let fall = fall(&truth.pattern, flank);
                table.row([
                    Cell::count(i + 1),
                    stage.into(),
                    name.into(),
                    Cell::data(fall.length),
                    Cell::data(fall.profile),
                ]);
            }
        }
    }
    table
}
