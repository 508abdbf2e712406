//! How figures spread: bars over equal bins, a window or single lines among them.

use super::canvas::{End, Frame, LEFT, Plot, SECOND, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::{BLUE, TEXT, VERMILLION_DASHED};
use super::key::{Sign, key, lines};
use crate::document::{Axis, Histogram};

/// Width of a letter, more or less.
const ABOUT_A_LETTER: f64 = 6.5;
/// Height of the plot itself.
const HEIGHT: f64 = 190.0;

/// Draws a histogram.
pub(super) fn histogram(shown: &Histogram) -> Drawing {
    let mut entries: Vec<(Sign, &str)> = Vec::new();
    if let Some(outlined) = &shown.outlined {
        entries.push((Sign::Line(VERMILLION_DASHED), &outlined.name));
    }
    entries.push((Sign::Bar(BLUE), &shown.filled.name));
    if shown.window.is_some() {
        entries.push((Sign::Window, "the window"));
    }
    let key_height = lines(2, entries.len());
    let label_lines = 15.0 * shown.lines.len() as f64;
    let top = 14.0 + key_height + 24.0;
    let bottom = top + label_lines + HEIGHT;
    let bins = shown.filled.shares.len();
    let end = shown.start + bins as f64 * shown.width;
    let most = shown
        .filled
        .shares
        .iter()
        .chain(shown.outlined.iter().flat_map(|bars| &bars.shares))
        .copied()
        .fold(0.0, f64::max);
    let x = Axis::new(shown.start, end, shown.label.clone(), 7);
    let y = Axis::percent(most, "share of jobs in each bar, %");
    drawn([WIDTH, bottom + 42.0], |canvas| {
        key(canvas, &[LEFT, SECOND], 14.0, &entries);
        let frame = Frame::wide(top + label_lines, bottom);
        // the label of the y axis is above the lines' labels
        canvas.text([4.0, top - 15.0], &y.label, End::Left, TEXT);
        let bare = Axis {
            label: String::new(),
            ..y.clone()
        };
        let plot = canvas.plot(frame, &x, &bare);
        if let Some([low, high]) = shown.window {
            plot.window(low, high);
        }
        bars(&plot, shown);
        if let Some(outlined) = &shown.outlined {
            outline(&plot, shown, &outlined.shares);
        }
        labelled_lines(&plot, shown, top);
    })
}

fn bars(plot: &Plot<'_, '_>, shown: &Histogram) {
    let gap = 0.06 * shown.width;
    for (i, share) in shown.filled.shares.iter().enumerate() {
        if *share > 0.0 {
            let x = shown.start + i as f64 * shown.width;
            let corners = [[x + gap, 0.0], [x + shown.width - gap, 100.0 * share]];
            plot.bar(corners, BLUE);
        }
    }
}

fn outline(plot: &Plot<'_, '_>, shown: &Histogram, shares: &[f64]) {
    let mut path = vec![[shown.start, 0.0]];
    for (i, share) in shares.iter().enumerate() {
        let x = shown.start + i as f64 * shown.width;
        path.push([x, 100.0 * share]);
        path.push([x + shown.width, 100.0 * share]);
    }
    path.push([shown.start + shares.len() as f64 * shown.width, 0.0]);
    plot.line(&path, VERMILLION_DASHED, 2.0);
}

/// Lines with their labels above the plot, each on a line of its own.
fn labelled_lines(plot: &Plot<'_, '_>, shown: &Histogram, top: f64) {
    for (i, line) in shown.lines.iter().enumerate() {
        if !plot.holds([line.x, 0.0]) {
            continue;
        }
        let [x, _] = plot.place([line.x, 0.0]);
        let y = top + 9.0 + 15.0 * i as f64;
        plot.canvas
            .line(&[[x, y], [x, plot.frame.bottom]], TEXT, 1.2);
        // to the right, where no line of another crosses it, as long as there is room
        let width = ABOUT_A_LETTER * line.text.chars().count() as f64;
        let (end, aside) = if x + 5.0 + width > WIDTH {
            (End::Right, -5.0)
        } else {
            (End::Left, 5.0)
        };
        plot.canvas.text([x + aside, y], &line.text, end, TEXT);
    }
}
