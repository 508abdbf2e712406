//! What a drawer holds at the start, and what is on its way to it.

use super::trials::Levels;

/// The drawer as it is now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Present {
    /// For each series and size, pieces in the drawer.
    pub counts: Levels,
    /// For each series and size, pieces ordered and not yet delivered; they come after the lead time of
    /// an order that is placed now.
    pub on_order: Levels,
}

impl Present {
    /// A drawer for which nothing is on order.
    pub fn in_drawer(counts: Levels) -> Self {
        Self {
            on_order: counts.iter().map(|sizes| vec![0; sizes.len()]).collect(),
            counts,
        }
    }

    /// In the drawer and on order together.
    pub fn together(&self) -> Levels {
        let series = self.counts.iter().zip(&self.on_order);
        series
            .map(|(counts, on_order)| {
                let sizes = counts.iter().zip(on_order);
                sizes.map(|(count, coming)| count + coming).collect()
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_there_and_what_is_coming_add_up_by_size() {
        let present = Present {
            counts: vec![vec![1, 0], vec![4]],
            on_order: vec![vec![2, 3], vec![0]],
        };
        assert_eq!(present.together(), [vec![3, 3], vec![4]]);
        let alone = Present::in_drawer(present.counts);
        assert_eq!(alone.together(), alone.counts);
    }
}
