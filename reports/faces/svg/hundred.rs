//! A hundred jobs as squares, by how they end.

use super::canvas::{End, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::TEXT;
use super::key::filled;
use crate::document::Hundred;

/// Squares of a row, from square to square, and the side of one.
const ACROSS: usize = 10;
const PITCH: f64 = 16.0;
const SIDE: f64 = 14.0;
const LEFT: f64 = 4.0;
const TOP: f64 = 4.0;
/// Where the words begin, and from line to line.
const WORDS: f64 = LEFT + ACROSS as f64 * PITCH + 10.0;
const LINE: f64 = 34.0;

/// Draws the squares.
pub(super) fn hundred(shown: &Hundred) -> Drawing {
    let shares: Vec<f64> = shown.ways.iter().map(|way| way.2).collect();
    let counts = of_a_hundred(&shares);
    let height = 2.0 * TOP + (ACROSS as f64 * PITCH).max(LINE * shown.ways.len() as f64);
    drawn([WIDTH, height], |canvas| {
        let square = |[x, y]: [f64; 2]| [[x, y], [x + SIDE, y + SIDE]];
        let ways = shown.ways.iter().zip(&counts);
        let all = ways
            .clone()
            .flat_map(|(way, count)| std::iter::repeat_n(way.0, *count));
        for (i, fill) in all.enumerate() {
            let [column, row] = [i % ACROSS, i / ACROSS].map(|place| PITCH * place as f64);
            filled(canvas, square([LEFT + column, TOP + row]), fill);
        }
        for (i, ((fill, name, share), count)) in ways.enumerate() {
            let y = TOP + LINE * i as f64;
            filled(canvas, square([WORDS, y]), *fill);
            let count = match count {
                0 if *share > 0.0 => "fewer than 1".to_owned(),
                count => count.to_string(),
            };
            let x = WORDS + SIDE + 6.0;
            canvas.text([x, y + 0.5 * SIDE], &count, End::Left, TEXT);
            canvas.text([x, y + 0.5 * SIDE + 14.0], name, End::Left, TEXT);
        }
    })
}

/// Whole numbers that sum to a hundred where the shares sum to one: what is left after rounding
/// down goes to the largest remainders.
fn of_a_hundred(shares: &[f64]) -> Vec<usize> {
    let exact: Vec<f64> = shares.iter().map(|share| 100.0 * share).collect();
    let mut counts: Vec<usize> = exact.iter().map(|share| share.floor() as usize).collect();
    let all = exact.iter().sum::<f64>().round() as usize;
    let mut places: Vec<usize> = (0..shares.len()).collect();
    places.sort_by(|a, b| exact[*b].fract().total_cmp(&exact[*a].fract()));
    let left = all.saturating_sub(counts.iter().sum());
    for place in places.into_iter().take(left) {
        counts[place] += 1;
    }
    counts
}

#[cfg(test)]
mod tests {
    use super::of_a_hundred;

    #[test]
    fn squares_sum_to_a_hundred() {
        assert_eq!(of_a_hundred(&[0.27, 0.59, 0.127, 0.013]), [27, 59, 13, 1]);
        assert_eq!(of_a_hundred(&[1.0 / 3.0; 3]), [34, 33, 33]);
        assert_eq!(of_a_hundred(&[0.999, 0.001]), [100, 0]);
        assert_eq!(of_a_hundred(&[0.0; 4]), [0; 4]);
    }
}
