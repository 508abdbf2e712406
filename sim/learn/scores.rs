//! How the likelihood of jobs changes with the spreads of what varies, with the rows of the pattern, and
//! with where parts lie on average.
//!
//! # Definition
//! The stated figures of a job are taken as jointly normal, with the mean and the covariance that they
//! truly have. The slope of its logarithm is the score; its mean square under normal laws is the
//! information, and under the laws that the parts really have its scatter.
//!
//! # Source
//! Harville, "Maximum likelihood approaches to variance component estimation", JASA 72 (1977) 320–338.
//! Fourth moments: White, "Maximum likelihood estimation of misspecified models", Econometrica 50 (1982)
//! 1–25.

use crate::causes::Input;
use crate::count::matrix::{Matrix, dot};
use crate::next::Linear;

/// What is asked of jobs: in this order in every vector and matrix.
#[derive(Debug, Clone)]
pub(super) struct Unknowns {
    /// Logarithms of variances against what the files say.
    pub(super) spreads: Vec<Input>,
    /// Rows of the pattern: flank, and 0 depth or 1 ring position.
    pub(super) rows: Vec<(usize, usize)>,
    /// Means of inputs, in deviations that the files say.
    pub(super) shifts: Vec<Input>,
}

impl Unknowns {
    pub(super) fn len(&self) -> usize {
        self.spreads.len() + self.rows.len() + self.shifts.len()
    }

    /// Where the shifts begin.
    fn first_shift(&self) -> usize {
        self.spreads.len() + self.rows.len()
    }
}

/// Score, information and scatter of the score of some jobs.
#[derive(Debug, Clone)]
pub(super) struct Scores {
    pub(super) score: Vec<f64>,
    pub(super) information: Matrix,
    /// What the scatter of the score is more than its information.
    pub(super) more: Matrix,
    /// How steeply the score falls as it is. Packs follow from readings, so that it may not be what is
    /// expected of these packs.
    pub(super) fall: Matrix,
    /// For each spread, how the information on the shifts changes with it.
    pub(super) on_shifts: Vec<Matrix>,
}

impl Scores {
    pub(super) fn none(of: &Unknowns) -> Self {
        let size = of.len();
        Self {
            score: vec![0.0; size],
            information: Matrix::zero(size),
            more: Matrix::zero(size),
            fall: Matrix::zero(size),
            on_shifts: vec![Matrix::zero(of.shifts.len()); of.spreads.len()],
        }
    }

    pub(super) fn add(&mut self, more: &Self) {
        for (sum, more) in self.score.iter_mut().zip(&more.score) {
            *sum += more;
        }
        self.information.add_all(&more.information);
        self.more.add_all(&more.more);
        self.fall.add_all(&more.fall);
        for (sum, more) in self.on_shifts.iter_mut().zip(&more.on_shifts) {
            sum.add_all(more);
        }
    }

    /// Those of one job at these unknowns; `None` where its figures contradict each other.
    pub(super) fn of(job: &Linear, unknowns: &Unknowns, at: &[f64]) -> Option<Self> {
        Some(Whitened::new(job, unknowns, at)?.scores(job, unknowns))
    }
}

/// A dense matrix, column by column.
type Columns = Vec<Vec<f64>>;

/// What a row of the pattern changes.
struct Change {
    /// The mean.
    mean: Vec<f64>,
    /// Those variables that move depth or ring position.
    columns: Vec<(usize, Vec<f64>)>,
}

impl Change {
    fn none(figures: usize) -> Self {
        Self {
            mean: vec![0.0; figures],
            columns: Vec::new(),
        }
    }

    fn of_column(&mut self, column: usize) -> &mut [f64] {
        let place = self.columns.iter().position(|(of, _)| *of == column);
        let place = place.unwrap_or_else(|| {
            self.columns.push((column, vec![0.0; self.mean.len()]));
            self.columns.len() - 1
        });
        &mut self.columns[place].1
    }
}

/// Everything of a job, times the inverse of a factor of its covariance.
struct Whitened {
    /// What is off.
    off: Vec<f64>,
    /// Each variable, with the number of its spread among the unknowns.
    columns: Columns,
    spread_of: Vec<Option<usize>>,
    /// How many times as wide each variable is as the files say.
    wider: Vec<f64>,
    rows: Vec<Change>,
    /// For each shift what it adds to the mean.
    shifts: Columns,
}

impl Whitened {
    fn new(job: &Linear, unknowns: &Unknowns, at: &[f64]) -> Option<Self> {
        let figures = job.off.len();
        let (spreads, rest) = at.split_at(unknowns.spreads.len());
        let (rows, shifts) = rest.split_at(unknowns.rows.len());
        let place = |input: Option<Input>| {
            unknowns
                .spreads
                .iter()
                .position(|spread| Some(*spread) == input)
        };
        let spread_of: Vec<Option<usize>> = job
            .columns
            .iter()
            .map(|column| place(column.input))
            .collect();
        let times = |of: &Option<usize>| of.map_or(1.0, |k| libm::exp(0.5 * spreads[k]));
        let wider: Vec<f64> = spread_of.iter().map(times).collect();
        let mut off = job.off.clone();
        // in deviations that the files say
        let mut columns: Columns = vec![vec![0.0; figures]; job.columns.len()];
        for (column, of) in columns.iter_mut().zip(&job.columns) {
            of.terms
                .iter()
                .for_each(|(figure, factor)| column[*figure] += factor);
        }
        let mut by_row: Vec<Change> = rows.iter().map(|_| Change::none(figures)).collect();
        for profile in &job.profiles {
            for ((number, (flank, place)), change) in unknowns.rows.iter().enumerate().zip(rows) {
                if *flank != profile.flank {
                    continue;
                }
                let (mean, terms) = &profile.places[*place];
                off[profile.figure] -= change * mean;
                by_row[number].mean[profile.figure] = *mean;
                for (column, factor) in terms {
                    columns[*column][profile.figure] += change * factor;
                    by_row[number].of_column(*column)[profile.figure] = factor * wider[*column];
                }
            }
        }
        let mut by_shift: Columns = vec![vec![0.0; figures]; shifts.len()];
        for ((shift, input), by) in by_shift.iter_mut().zip(&unknowns.shifts).zip(shifts) {
            let moved = job.columns.iter().zip(&columns);
            for (of, column) in moved.filter(|(of, _)| of.input == Some(*input)) {
                for (sum, factor) in shift.iter_mut().zip(column) {
                    *sum += of.shift * factor;
                }
            }
            for (off, shift) in off.iter_mut().zip(shift.iter()) {
                *off -= by * shift;
            }
        }
        for (column, wider) in columns.iter_mut().zip(&wider) {
            column.iter_mut().for_each(|factor| *factor *= wider);
        }
        // a mean that lies elsewhere is moved by the rows as well
        for Change { mean, columns } in &mut by_row {
            for (column, change) in columns.iter() {
                let of = &job.columns[*column];
                let shift = unknowns
                    .shifts
                    .iter()
                    .position(|input| Some(*input) == of.input);
                let by = shift.map_or(0.0, |q| shifts[q] * of.shift / wider[*column]);
                add(mean, change, by);
            }
        }
        let mut covariance = Matrix::zero(figures);
        columns
            .iter()
            .for_each(|column| covariance.add_product(column, column, 1.0));
        let factor = covariance.factor()?;
        factor.divide(&mut off);
        for (column, of) in columns.iter_mut().zip(&job.columns) {
            if !of.terms.is_empty() {
                factor.divide(column);
            }
        }
        by_shift.iter_mut().for_each(|shift| factor.divide(shift));
        for change in &mut by_row {
            factor.divide(&mut change.mean);
            let columns = change.columns.iter_mut();
            columns.for_each(|(_, column)| factor.divide(column));
        }
        Some(Self {
            off,
            columns,
            spread_of,
            wider,
            rows: by_row,
            shifts: by_shift,
        })
    }

    fn scores(&self, job: &Linear, unknowns: &Unknowns) -> Scores {
        let mut found = Scores::none(unknowns);
        let products = self.products(job);
        self.of_spreads(job, &products, &mut found);
        self.of_rows(&products, &mut found);
        self.of_shifts(unknowns, &mut found);
        found.information.mirror();
        self.fall(job, unknowns, &mut found);
        found
    }

    /// The products of all columns with each other.
    fn products(&self, job: &Linear) -> Vec<Vec<f64>> {
        let columns = &self.columns;
        let mut products = vec![vec![0.0; columns.len()]; columns.len()];
        for a in 0..columns.len() {
            for b in 0..=a {
                if !job.columns[a].terms.is_empty() && !job.columns[b].terms.is_empty() {
                    let product = dot(&columns[a], &columns[b]);
                    products[a][b] = product;
                    products[b][a] = product;
                }
            }
        }
        products
    }

    fn of_spreads(&self, job: &Linear, products: &[Vec<f64>], found: &mut Scores) {
        let count = found.on_shifts.len();
        // for each spread and column, the squares of the column's products with all that the spread scales
        let mut squares = vec![vec![0.0; products.len()]; count];
        for (a, row) in products.iter().enumerate() {
            let Some(k) = self.spread_of[a] else { continue };
            let along = dot(&self.columns[a], &self.off);
            found.score[k] += 0.5 * (along * along - row[a]);
            for (square, product) in squares[k].iter_mut().zip(row) {
                *square += product * product;
            }
        }
        for (k, squares) in squares.iter().enumerate() {
            for (square, l) in squares.iter().zip(&self.spread_of) {
                if let Some(l) = l
                    && *l <= k
                {
                    found.information.add(k, *l, 0.5 * square);
                }
            }
        }
        for (c, column) in job.columns.iter().enumerate() {
            if column.excess == 0.0 && column.with_next == 0.0 {
                continue;
            }
            for k in 0..count {
                for l in 0..count {
                    let [one, other] = [&squares[k], &squares[l]];
                    let mut more = column.excess * one[c] * other[c];
                    if column.with_next != 0.0 {
                        // both parts of a runout alike
                        more += column.excess * one[c + 1] * other[c + 1];
                        more += column.with_next * (one[c] * other[c + 1] + one[c + 1] * other[c]);
                    }
                    found.more.add(k, l, 0.25 * more);
                }
            }
        }
    }

    /// With C what a row changes of the columns B, the covariance changes by C·Bᵀ + B·Cᵀ.
    fn of_rows(&self, products: &[Vec<f64>], found: &mut Scores) {
        let from = found.on_shifts.len();
        let columns = &self.columns;
        // for each row the products of what it changes with all columns
        let with_all: Vec<Vec<Vec<f64>>> = (self.rows.iter())
            .map(|row| {
                let of = |change: &[f64]| columns.iter().map(|own| dot(own, change)).collect();
                row.columns.iter().map(|(_, change)| of(change)).collect()
            })
            .collect();
        for (r, row) in self.rows.iter().enumerate() {
            let place = from + r;
            found.score[place] += dot(&row.mean, &self.off);
            for ((c, change), with) in row.columns.iter().zip(&with_all[r]) {
                let both = dot(change, &self.off) * dot(&columns[*c], &self.off);
                found.score[place] += both - with[*c];
                for (a, k) in self.spread_of.iter().enumerate() {
                    if let Some(k) = k {
                        found.information.add(place, *k, with[a] * products[*c][a]);
                    }
                }
            }
            for (s, other) in self.rows[..=r].iter().enumerate() {
                let mut both = dot(&row.mean, &other.mean);
                for ((c, one), with_one) in row.columns.iter().zip(&with_all[r]) {
                    for ((d, two), with_two) in other.columns.iter().zip(&with_all[s]) {
                        both += dot(one, two) * products[*c][*d] + with_one[*d] * with_two[*c];
                    }
                }
                found.information.add(place, from + s, both);
            }
        }
    }

    fn of_shifts(&self, unknowns: &Unknowns, found: &mut Scores) {
        let from = unknowns.first_shift();
        for (q, shift) in self.shifts.iter().enumerate() {
            found.score[from + q] += dot(shift, &self.off);
            for (r, row) in self.rows.iter().enumerate() {
                let place = unknowns.spreads.len() + r;
                found
                    .information
                    .add(from + q, place, dot(shift, &row.mean));
            }
            for p in 0..=q {
                let both = dot(shift, &self.shifts[p]);
                found.information.add(from + q, from + p, both);
            }
        }
        for (a, column) in self.columns.iter().enumerate() {
            if let Some(k) = self.spread_of[a] {
                let along: Vec<f64> = self.shifts.iter().map(|shift| dot(shift, column)).collect();
                found.on_shifts[k].add_product(&along, &along, 1.0);
            }
        }
    }

    fn fall(&self, job: &Linear, unknowns: &Unknowns, found: &mut Scores) {
        let (count, from) = (unknowns.spreads.len(), unknowns.first_shift());
        let along = |column: &[f64]| dot(column, &self.off);
        // for each unknown, the change of the covariance times what is off, and the change of the mean
        let none = vec![0.0; self.off.len()];
        let mut changes = vec![none.clone(); unknowns.len()];
        let mut means = vec![none; unknowns.len()];
        for (column, k) in self.columns.iter().zip(&self.spread_of) {
            if let Some(k) = k {
                add(&mut changes[*k], column, along(column));
            }
        }
        for (r, row) in self.rows.iter().enumerate() {
            for (c, change) in &row.columns {
                let own = &self.columns[*c];
                add(&mut changes[count + r], change, along(own));
                add(&mut changes[count + r], own, along(change));
            }
            means[count + r].copy_from_slice(&row.mean);
        }
        for (q, shift) in self.shifts.iter().enumerate() {
            means[from + q].copy_from_slice(shift);
        }
        for i in 0..unknowns.len() {
            for j in 0..=i {
                let mut fall = dot(&changes[i], &changes[j])
                    + dot(&changes[i], &means[j])
                    + dot(&means[i], &changes[j])
                    + 2.0 * dot(&means[i], &means[j])
                    - found.information.at(i, j);
                if i == j && i < count {
                    fall -= found.score[i];
                }
                found.fall.add(i, j, fall);
            }
        }
        for (r, row) in self.rows.iter().enumerate() {
            let place = count + r;
            for (c, change) in &row.columns {
                if let Some(k) = self.spread_of[*c] {
                    let own = &self.columns[*c];
                    let twice = along(change) * along(own) - dot(change, own);
                    found.fall.add(place, k, -twice);
                }
                for (s, other) in self.rows[..=r].iter().enumerate() {
                    for (_, two) in other.columns.iter().filter(|(d, _)| d == c) {
                        let twice = along(change) * along(two) - dot(change, two);
                        found.fall.add(place, count + s, -twice);
                    }
                }
                let input = job.columns[*c].input;
                if let Some(q) = unknowns.shifts.iter().position(|of| Some(*of) == input) {
                    let twice = along(change) * job.columns[*c].shift / self.wider[*c];
                    found.fall.add(from + q, place, -twice);
                }
            }
        }
        found.fall.mirror();
    }
}

/// Adds a column so many times.
fn add(sum: &mut [f64], column: &[f64], times: f64) {
    for (sum, more) in sum.iter_mut().zip(column) {
        *sum += times * more;
    }
}
