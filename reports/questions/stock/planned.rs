//! A drawer as it was planned: what its tables, sentences and figures are made of, in the answer about
//! the drawer and on the page alike.

use shimcast_sim::shop::Shop;
use shimcast_sim::stock::{Aim, Present, Stock};

use crate::questions::drawer::Work;
use crate::questions::drawer::list::{Row, bought_from, rows};

/// A shop's drawer of shims, planned for all jobs that the shop expects.
#[derive(Debug, Clone, Copy)]
pub struct Planned<'a> {
    /// The shop with its jobs and series.
    pub(crate) work: &'a Work,
    /// What the drawer is to be good for.
    pub(crate) aim: Aim,
    /// What is in it and on order now, where that is known.
    pub(crate) have: Option<&'a Present>,
    /// What to keep, and what it does.
    pub(crate) stock: &'a Stock,
}

impl<'a> Planned<'a> {
    /// The shop.
    pub(super) fn shop(&self) -> &'a Shop {
        &self.work.shop.shop
    }

    /// Every size of every series, with where it is bought.
    pub(super) fn rows(&self) -> Vec<Row<'a>> {
        let plan = &self.stock.plan;
        let (shelves, used) = (&self.work.shelves, &plan.service.used);
        let rows = rows(shelves, &plan.levels, self.have, used);
        bought_from(rows, &self.work.shop.supplies)
    }
}
