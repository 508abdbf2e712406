//! Where the contact pattern falls: a tooth flank seen from its side, as a workshop looks at it.
//!
//! The outline is a plain picture of a ring-gear tooth, taller at the heel than at the toe, not a
//! drawing to scale of any gear.

use super::canvas::{Canvas, End, SECOND, WIDTH, drawn};
use super::drawing::{Drawing, FINE};
use super::ink::{BLUE, GREEN_DASHED, MUTED, PAPER, TEXT, VERMILLION};
use super::key::{Sign, key};
use crate::document::{Fall, Panel, Teeth};

/// Middle of the first panel, half a panel's length, and the pitch from panel to panel.
const FIRST: [f64; 2] = [97.0, 132.0];
const HALF: f64 = 80.0;
const PITCH: [f64; 2] = [186.0, 176.0];
/// Half the tooth's depth in the middle of its length, and what it gains to the heel.
const DEPTH: f64 = 46.0;
const TAPER: f64 = 11.0;
/// How far the middle of the tooth lies above its ends, as the spiral shows from the side.
const BELLY: f64 = 7.0;
const FEW: usize = 30;
/// Size of a blank flank.
const BLANK: [f64; 2] = [168.0, 128.0];

/// Draws the flanks.
pub(super) fn teeth(shown: &Teeth) -> Drawing {
    let Teeth { window, panels } = shown;
    let rows = panels.len().div_ceil(2).max(1) as f64;
    let height = FIRST[1] + PITCH[1] * (rows - 1.0) + 92.0;
    drawn([WIDTH, height], |canvas| {
        let entries = [
            (Sign::Dot(BLUE), "pattern in its window"),
            (Sign::Cross(VERMILLION), "pattern outside"),
            (Sign::Line(GREEN_DASHED), "the window"),
        ];
        key(canvas, &[4.0, SECOND - 8.0], 12.0, &entries);
        for (i, panel) in panels.iter().enumerate() {
            let (column, row) = ((i % 2) as f64, (i / 2) as f64);
            let middle = [FIRST[0] + PITCH[0] * column, FIRST[1] + PITCH[1] * row];
            flank(canvas, middle, *window, panel);
        }
    })
}

/// Middle of a blank flank, and how deep the tooth is there, as the picture's own figures have it.
pub(super) const MIDDLE_OF_BLANK: ([f64; 2], f64) = {
    let middle = 62.0 - BELLY;
    ([0.5 * BLANK[0] * FINE, middle * FINE], 2.0 * DEPTH * FINE)
};

/// A flank without anything on it, to draw a pattern on by hand; or one with a pattern in the middle of
/// its length, up the profile by this share of the tooth.
pub(super) fn blank(pattern: Option<f64>) -> Drawing {
    let middle = [0.5 * BLANK[0], 62.0];
    drawn(BLANK, |canvas| {
        let tooth = outline(middle, 0.5, 0.5);
        canvas.polygon(&tooth, PAPER);
        canvas.line(&tooth, MUTED, 1.6);
        canvas.line(&along(middle, -0.56, -0.5, 0.5), MUTED, 1.0);
        // the middle either way
        canvas.line(&along(middle, 0.0, -0.03, 0.03), MUTED, 1.0);
        let at = |profile: f64| {
            place(
                middle,
                Fall {
                    length: 0.0,
                    profile,
                },
            )
        };
        canvas.line(&[at(-0.03), at(0.03)], MUTED, 1.0);
        let [x, y] = middle;
        for (text, at, end) in [
            ("top", [x, y - 40.0], End::Middle),
            ("toe", [x - HALF + 4.0, y - 2.0], End::Left),
            ("root", [x, y + 30.0], End::Middle),
            ("heel", [x + HALF - 4.0, y - 2.0], End::Right),
        ] {
            canvas.text_sized(at, text, end, MUTED, 12.8);
        }
        if let Some(profile) = pattern {
            let at = held(
                middle,
                &Fall {
                    length: 0.0,
                    profile,
                },
            );
            canvas.dot(at, 7.0, PAPER);
            canvas.dot(at, 5.5, TEXT);
        }
    })
}

/// Where a fall lies: the heel to the right, the top above.
fn place(middle: [f64; 2], fall: Fall) -> [f64; 2] {
    let depth = DEPTH + TAPER * 2.0 * fall.length;
    let belly = BELLY * (1.0 - 4.0 * fall.length * fall.length);
    [
        middle[0] + 2.0 * HALF * fall.length,
        middle[1] - 2.0 * depth * fall.profile - belly,
    ]
}

/// The same, as far as the tooth reaches, where nothing else can be drawn.
fn held(middle: [f64; 2], fall: &Fall) -> [f64; 2] {
    let on_it = |share: f64| share.clamp(-0.5, 0.5);
    let fall = Fall {
        length: on_it(fall.length),
        profile: on_it(fall.profile),
    };
    place(middle, fall)
}

/// A line of constant height from toe to heel, in steps.
fn along(middle: [f64; 2], profile: f64, from: f64, to: f64) -> Vec<[f64; 2]> {
    (0..=24)
        .map(|i| {
            let length = from + (to - from) * f64::from(i) / 24.0;
            place(middle, Fall { length, profile })
        })
        .collect()
}

fn outline(middle: [f64; 2], length: f64, profile: f64) -> Vec<[f64; 2]> {
    let mut path = along(middle, profile, -length, length);
    path.extend(along(middle, -profile, length, -length));
    path.push(path[0]);
    path
}

fn flank(canvas: &Canvas<'_>, middle: [f64; 2], window: [f64; 2], panel: &Panel) {
    let [x, y] = middle;
    canvas.text([x, y - 74.0], &panel.name, End::Middle, TEXT);
    let tooth = outline(middle, 0.5, 0.5);
    canvas.polygon(&tooth, PAPER);
    canvas.line(&tooth, MUTED, 1.6);
    // the root, where the tooth meets the ring
    let root = along(middle, -0.56, -0.5, 0.5);
    canvas.line(&root, MUTED, 1.0);
    let [length, profile] = window;
    let allowed = outline(middle, length.min(0.5), profile.min(0.5));
    // a few points are drawn so that they are seen
    let size = if panel.falls.len() < FEW { 2.0 } else { 1.0 };
    let (inside, out): (Vec<&Fall>, Vec<&Fall>) = panel
        .falls
        .iter()
        .partition(|fall| fall.length.abs() <= length && fall.profile.abs() <= profile);
    for fall in out {
        canvas.cross(held(middle, fall), 1.8 * size, VERMILLION, 0.9 * size);
    }
    for fall in inside {
        canvas.dot(held(middle, fall), 1.5 * size, BLUE);
    }
    canvas.line(&allowed, GREEN_DASHED, 1.6);
    if panel.falls.is_empty() {
        canvas.text([x, y - 6.0], "no finished job", End::Middle, TEXT);
    }
    for (text, at, end) in [
        ("toe", [x - HALF, y + 60.0], End::Left),
        ("root", [x, y + 65.0], End::Middle),
        ("heel", [x + HALF, y + 79.0], End::Right),
    ] {
        canvas.text_sized(at, text, end, MUTED, 12.8);
    }
}
