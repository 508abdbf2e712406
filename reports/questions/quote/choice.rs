//! One of the jobs between which a customer chooses, with what it comes to.

use shimcast_sim::axle::Condition;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::quote::{Flat, QUARTER, Quote, Terms};

use super::refused;
use crate::cli;
use crate::questions::drawer::ShimsFrom;

/// Kept and new, from the least that is renewed to the most.
pub const CHOICES: [(Condition, Condition); 4] = [
    (Condition::Kept, Condition::Kept),
    (Condition::Kept, Condition::New),
    (Condition::New, Condition::Kept),
    (Condition::New, Condition::New),
];

/// Rows of flat hours at the most: a screen of them.
pub const MOST_ROWS: usize = 16;

/// One of the jobs between which a customer chooses.
#[derive(Debug)]
pub struct Choice {
    /// The job.
    pub setup: Setup,
    /// What was simulated of it.
    pub quote: Quote,
    /// What its price is made of.
    pub terms: Terms,
    /// Where its shims come from.
    pub shims: ShimsFrom,
}

/// The terms of a price for one job: what is kept costs no parts.
pub fn terms(args: &cli::PriceTerms, setup: &Setup) -> Terms {
    let if_new = |condition, price| match condition {
        Condition::New => price,
        Condition::Kept => 0.0,
    };
    Terms {
        margin: args.margin / 100.0,
        tax: args.tax / 100.0,
        parts: if_new(setup.gears, args.gear_price) + if_new(setup.bearings, args.bearing_price),
        parts_margin: args.parts_margin / 100.0,
    }
}

impl Choice {
    /// The flat price for a risk; `None` where nothing was simulated, or where the job is not to be
    /// quoted.
    pub fn recommended(&self, risk: f64) -> Option<Flat> {
        if self.quote.not_quoted().is_some() {
            return None;
        }
        let hours = self.quote.hours_for(risk)?;
        Some(self.quote.flat(hours, self.terms))
    }

    /// What the customer pays: the price before tax as it is printed, in whole units, with the tax on it.
    pub fn with_tax(&self, flat: &Flat) -> f64 {
        flat.price.round() * (1.0 + self.terms.tax)
    }

    /// Why there is no flat price, as a sentence.
    pub fn why_no_price(&self) -> String {
        match self.quote.not_quoted() {
            Some(reason) => {
                let words = refused::words(&reason);
                let (first, rest) = words.split_at(1);
                format!("{}{rest}. {}", first.to_uppercase(), refused::CRITERION)
            }
            None => "Nothing was simulated.".into(),
        }
    }

    /// Every quarter hour worth showing, with its price.
    pub fn flats(&self) -> Vec<Flat> {
        let hours = self.quote.hours_to_show().into_iter();
        hours
            .map(|hours| self.quote.flat(hours, self.terms))
            .collect()
    }

    /// As many flat hours as a screen holds: in wider steps where there are more quarters, and always
    /// those that matter.
    pub fn few_flats(&self, matter: &[f64]) -> Vec<Flat> {
        let hours = few(&self.quote.hours_to_show(), matter);
        hours
            .into_iter()
            .map(|hours| self.quote.flat(hours, self.terms))
            .collect()
    }
}

/// At most [`MOST_ROWS`] of these quarter hours, in steps as wide as it takes, with those that matter
/// among them.
fn few(all: &[f64], matter: &[f64]) -> Vec<f64> {
    let quarters = |hours: &f64| (hours / QUARTER).round() as u64;
    let mut step = 1;
    loop {
        let on_step = all.iter().map(quarters).filter(|place| place % step == 0);
        let mut rows: Vec<u64> = on_step.chain(matter.iter().map(quarters)).collect();
        rows.sort_unstable();
        rows.dedup();
        if rows.len() <= MOST_ROWS || step > 1 << 20 {
            return rows.into_iter().map(|row| row as f64 * QUARTER).collect();
        }
        step *= 2;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_screen_of_rows_has_what_matters_among_them() {
        let quarters = |from: u32, to: u32| -> Vec<f64> {
            (from..=to).map(|q| f64::from(q) * QUARTER).collect()
        };
        assert_eq!(few(&quarters(26, 40), &[7.0]), quarters(26, 40));
        let wide = few(&quarters(26, 50), &[8.25, 9.5, 6.0]);
        assert!(wide.len() <= MOST_ROWS && wide.len() > MOST_ROWS / 2);
        for hours in [6.0, 8.25, 9.5, 8.5] {
            assert!(wide.contains(&hours), "{hours}: {wide:?}");
        }
        assert!(wide.is_sorted());
        let wider = few(&quarters(60, 400), &[81.25]);
        assert!(
            wider.len() <= MOST_ROWS && wider.contains(&81.25),
            "{wider:?}"
        );
        assert!(wider.contains(&32.0), "{wider:?}");
    }
}
