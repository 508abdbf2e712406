//! Several figures over one axis, one strip each below the other: a line with its intervals as a
//! band, and as whiskers how well each sample's difference from one of them is known.

use super::canvas::{End, Frame, LEFT, Plot, RIGHT, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::{BAND, BLUE, MUTED_DASHED, TEXT};
use super::key::{Sign, key, lines};
use crate::document::{Axis, Sample, Strip, Strips, ends};

const HEIGHT: f64 = 96.0;
const PITCH: f64 = 146.0;
/// Width of a letter, more or less.
const LETTER: f64 = 7.0;
/// Share of a strip left free above and below its band.
const AIR: f64 = 0.08;
/// And at least this share of the figure itself: what is the same everywhere looks flat.
const LEAST_AIR: f64 = 0.005;
/// Half the width of the bar of a sample by itself, share of the way to the next.
const HALF_BAR: f64 = 0.25;

/// Draws the strips.
pub(super) fn strips(shown: &Strips) -> Drawing {
    let base = &shown.base.1;
    let entries = [
        (Sign::Bar(BAND), "95 % interval of each by itself"),
        (
            Sign::Whisker(BLUE),
            "of its difference from the dashed line:",
        ),
        (Sign::Line(MUTED_DASHED), base.as_str()),
    ];
    let head = 22.0 + lines(1, entries.len());
    let height = head + PITCH * shown.strips.len().max(1) as f64 + 4.0;
    let all = || shown.strips.iter().flat_map(|strip| &strip.samples);
    let (low, high) = ends(all().map(|sample| sample.x));
    let side = if shown.joined { 0.0 } else { 0.5 };
    let below = Axis::new(low - side, high + side, "", 7).marked(with_room(&shown.marks));
    drawn([WIDTH, height], |canvas| {
        key(canvas, &[4.0], 12.0, &entries);
        for (i, strip) in shown.strips.iter().enumerate() {
            let top = head + PITCH * i as f64 + 14.0;
            let frame = Frame::wide(top, top + HEIGHT);
            canvas.text([4.0, top - 18.0], &strip.name, End::Left, TEXT);
            let known: Vec<&Sample> = known(&strip.samples).collect();
            if known.is_empty() {
                let middle = [0.5 * (LEFT + RIGHT), top + 0.5 * HEIGHT];
                canvas.text(middle, "nothing to show", End::Middle, TEXT);
                continue;
            }
            let mut x = below.clone();
            if i + 1 == shown.strips.len() {
                x.label.clone_from(&shown.label);
            }
            let plot = canvas.plot(frame, &x, &upwards(strip));
            if shown.joined {
                band(&plot, &known);
            } else {
                bars(&plot, &known);
            }
            against_base(&plot, shown, strip);
            for sample in known {
                canvas.dot(plot.place([sample.x, sample.y.value]), 2.6, BLUE);
            }
        }
    })
}

/// As many of the marks as have room.
fn with_room(marks: &[(f64, String)]) -> Vec<(f64, String)> {
    let widest = marks.iter().map(|mark| mark.1.chars().count()).max();
    let room = (RIGHT - LEFT) / (LETTER * widest.unwrap_or(1).max(1) as f64 + LETTER);
    let every = (marks.len() as f64 / room).ceil().max(1.0) as usize;
    marks.iter().step_by(every).cloned().collect()
}

fn known(samples: &[Sample]) -> impl Iterator<Item = &Sample> + Clone {
    samples.iter().filter(|s| s.y.value.is_finite())
}

/// The axis to the left: what is drawn, with air around it.
fn upwards(strip: &Strip) -> Axis {
    let all = known(&strip.samples).chain(known(&strip.apart));
    let (least, most) = ends(all.flat_map(|s| [s.y.value, s.y.low, s.y.high]));
    let air = (AIR * (most - least)).max(LEAST_AIR * most.abs()).max(1e-9);
    Axis::new(least - air, most + air, "", 4)
}

/// What has no interval yet has no band.
fn banded<'a>(samples: &[&'a Sample]) -> Vec<&'a Sample> {
    let has_ends = |s: &&&Sample| s.y.low.is_finite() && s.y.high.is_finite();
    samples.iter().filter(has_ends).copied().collect()
}

/// A line with its intervals as a band.
fn band(plot: &Plot<'_, '_>, samples: &[&Sample]) {
    let banded = banded(samples);
    let upper: Vec<[f64; 2]> = banded.iter().map(|s| [s.x, s.y.high]).collect();
    let lower: Vec<[f64; 2]> = banded.iter().map(|s| [s.x, s.y.low]).collect();
    let around: Vec<[f64; 2]> = upper.iter().chain(lower.iter().rev()).copied().collect();
    plot.area(&around, BAND);
    for edge in [&upper, &lower] {
        plot.line(edge, BLUE, 0.7);
    }
    let line: Vec<[f64; 2]> = samples.iter().map(|s| [s.x, s.y.value]).collect();
    plot.line(&line, BLUE, 2.0);
}

/// Single samples with their intervals as bars.
fn bars(plot: &Plot<'_, '_>, samples: &[&Sample]) {
    for sample in banded(samples) {
        let [left, right] = [sample.x - HALF_BAR, sample.x + HALF_BAR];
        plot.bar([[left, sample.y.low], [right, sample.y.high]], BAND);
    }
}

/// The level and the place of the base, and what each other sample differs by from it.
fn against_base(plot: &Plot<'_, '_>, shown: &Strips, strip: &Strip) {
    let (place, _) = shown.base;
    let level = strip.samples.iter().find(|s| s.x == place);
    let level = level.filter(|s| s.y.value.is_finite());
    if let Some(level) = level {
        plot.across(level.y.value, MUTED_DASHED, 1.2);
        plot.upright(place, MUTED_DASHED, 1.2);
    }
    for sample in banded(&known(&strip.apart).collect::<Vec<_>>()) {
        let ends = [sample.y.low, sample.y.high].map(|y| plot.place([sample.x, y]));
        plot.canvas.whisker(ends, BLUE, 1.4);
    }
}
