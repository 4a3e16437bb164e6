//! Where each lot size stands across the chart.

/// Most columns drawn (judgement): more would be narrower than a mark on a telephone.
const MOST: usize = 36;
/// Widest column, px: a lone size stays in the middle rather than filling the chart.
const WIDEST: f64 = 150.0;

/// One column for each lot size, of one width.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Columns {
    /// Lot sizes in rising order; none twice.
    pub sizes: Vec<u32>,
    /// Width of a column, px.
    pub width: f64,
    left: f64,
}

/// The first and last and at most `most` of these, evenly chosen.
fn thinned(sizes: &[u32], most: usize) -> Vec<u32> {
    let count = sizes.len();
    if count <= most || most < 2 {
        return sizes.iter().copied().take(most.max(1)).collect();
    }
    (0..most).filter_map(|k| sizes.get(k * (count - 1) / (most - 1)).copied()).collect()
}

impl Columns {
    /// The columns between two edges, px, for these lots and comps; sizes in rising order.
    ///
    /// When there are too many, sizes that only comps have lose their column and stand between their
    /// neighbours; when the lots alone are too many, lots are drawn at even choice.
    /// A few columns stay narrow and in the middle, unless one is crowded with comps.
    pub(crate) fn of(lots: &[u32], comps: &[u32], [left, right]: [f64; 2], is_crowded: bool) -> Self {
        let mut sizes: Vec<u32> = lots.iter().chain(comps).copied().collect();
        sizes.sort_unstable();
        sizes.dedup();
        if sizes.len() > MOST {
            let ends = [sizes.first().copied(), sizes.last().copied()];
            let mut kept = thinned(if lots.is_empty() { &sizes } else { lots }, MOST - 2);
            // The ends of the comps stay, so that every comp lies between two columns.
            kept.extend(ends.into_iter().flatten());
            kept.sort_unstable();
            kept.dedup();
            sizes = kept;
        }
        let count = sizes.len().max(1) as f64;
        let width = ((right - left) / count).min(if is_crowded { f64::INFINITY } else { WIDEST });
        Self { sizes, width, left: left + 0.5 * (right - left - count * width) }
    }

    /// The middle of a column, px.
    pub(crate) fn middle(&self, column: usize) -> f64 {
        self.left + self.width * (column as f64 + 0.5)
    }

    /// The column of a lot size, where it has one.
    pub(crate) fn of_size(&self, pieces: u32) -> Option<usize> {
        self.sizes.binary_search(&pieces).ok()
    }

    /// The middle of a lot size that has no column, between its neighbours, px.
    pub(crate) fn between(&self, pieces: u32) -> f64 {
        let after = self.sizes.partition_point(|&size| size < pieces);
        let neighbours = (after.checked_sub(1).and_then(|k| self.sizes.get(k)), self.sizes.get(after));
        match neighbours {
            (Some(&low), Some(&high)) => {
                let share = f64::from(pieces - low) / f64::from(high - low);
                self.middle(after - 1) + share * self.width
            }
            (None, Some(_)) => self.middle(0),
            (Some(_), None) => self.middle(after - 1),
            (None, None) => self.left,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Columns;

    #[test]
    fn every_size_has_its_column_while_there_is_room() {
        let columns = Columns::of(&[1, 2, 4, 6], &[2, 3], [100.0, 500.0], false);
        assert_eq!(columns.sizes, [1, 2, 3, 4, 6]);
        assert_eq!((columns.middle(0), columns.middle(4)), (140.0, 460.0));
    }

    #[test]
    fn a_size_without_a_column_stands_between_its_neighbours() {
        let lots: Vec<u32> = (1..=34).collect();
        let comps: Vec<u32> = (40..=60).collect();
        let columns = Columns::of(&lots, &comps, [0.0, 350.0], false);
        assert_eq!(columns.sizes.len(), 35);
        assert_eq!((columns.of_size(60), columns.of_size(50)), (Some(34), None));
        let x = columns.between(50);
        assert!(columns.middle(33) < x && x < columns.middle(34), "{x}");
        assert!(columns.between(41) < columns.between(59));
    }

    #[test]
    fn never_more_columns_than_can_be_read_and_a_lone_one_in_the_middle() {
        let many: Vec<u32> = (1..=5000).collect();
        let columns = Columns::of(&many, &[7], [0.0, 400.0], false);
        assert!(columns.sizes.len() <= super::MOST && columns.sizes.last() == Some(&5000));
        let one = Columns::of(&[3], &[], [0.0, 400.0], false);
        assert_eq!((one.middle(0), one.width), (200.0, super::WIDEST));
        assert_eq!(Columns::of(&[], &[], [0.0, 400.0], false).between(3), 125.0);
    }
}
