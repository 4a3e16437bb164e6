//! Piles of like pieces that are sold in lots: sets, single kinds that make no set, flawed pieces.

use crate::Find;

/// A pile of like things: sets of several kinds, or pieces of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Pool {
    /// What they are ("cups with saucers", "cups alone", "flawed cups").
    pub name: String,
    /// What one is ("cup with saucer", "cup alone", "flawed cup").
    pub one: String,
    /// What kind of pile.
    pub kind: PoolKind,
    /// Pieces of each row of the find in one thing of the pile.
    pub unit: Vec<u32>,
    /// Things there are at most: of a single kind in sets, all its pieces.
    pub available: u32,
    /// What one is worth beside one set of the find's grade: 1 for a set.
    pub worth: f64,
}

impl Pool {
    /// So many of them: "1 cup with saucer", "4 cups with saucers".
    #[must_use]
    pub fn counted(&self, count: u32) -> String {
        format!("{count} {}", if count == 1 { &self.one } else { &self.name })
    }
}

/// Kinds of piles.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PoolKind {
    /// Sets, or simply the pieces where a set is one piece.
    Sets,
    /// Pieces of one row that no set takes.
    Alone {
        /// The row.
        row: usize,
    },
    /// Flawed pieces of one row.
    Flawed {
        /// The row.
        row: usize,
    },
}

/// The piles of a find: the sets first, then what may be sold alone, then the flawed.
///
/// `offsets` gives the logarithmic worth of a flawed piece of each row beside a sound one.
pub(crate) fn pools(find: &Find, offsets: &[f64]) -> Vec<Pool> {
    let unit = find.unit();
    let in_set = |row: usize| unit.get(row).copied().unwrap_or(0);
    let sets = find
        .rows
        .iter()
        .zip(&unit)
        .filter(|(_, per_set)| **per_set > 0)
        .map(|(row, per_set)| row.usable() / per_set)
        .min()
        .unwrap_or(0);
    let in_sets: Vec<(&str, u32)> = find
        .rows
        .iter()
        .zip(&unit)
        .filter(|(_, per_set)| **per_set > 0)
        .map(|(row, per_set)| (row.what.as_str(), *per_set))
        .collect();
    let named = |sets: u32| -> String {
        let names: Vec<String> = in_sets
            .iter()
            .map(|(what, per_set)| match (*per_set, sets) {
                (1, 1) => (*what).to_owned(),
                (1, _) => measure::plural(what),
                (per_set, _) => format!("{per_set} {}", measure::plural(what)),
            })
            .collect();
        names.join(" with ")
    };
    let only = |row: usize| {
        let mut unit = vec![0; find.rows.len()];
        if let Some(place) = unit.get_mut(row) {
            *place = 1;
        }
        unit
    };
    let several = in_sets.len() > 1 || unit.iter().sum::<u32>() > 1;
    let mut pools = vec![Pool {
        name: named(2),
        one: named(1),
        kind: PoolKind::Sets,
        unit: unit.clone(),
        available: sets,
        worth: 1.0,
    }];
    for (k, row) in find.rows.iter().enumerate() {
        // Where a set is one piece, what is not in a set is the same pile.
        if (several || in_set(k) == 0) && row.usable() > 0 && row.alone > 0.0 {
            pools.push(Pool {
                name: format!("{} alone", measure::plural(&row.what)),
                one: format!("{} alone", row.what),
                kind: PoolKind::Alone { row: k },
                unit: only(k),
                available: row.usable(),
                worth: row.alone,
            });
        }
        if row.flawed > 0 && row.alone > 0.0 {
            let offset = offsets.get(k).copied().unwrap_or(0.0);
            pools.push(Pool {
                name: format!("flawed {}", measure::plural(&row.what)),
                one: format!("flawed {}", row.what),
                kind: PoolKind::Flawed { row: k },
                unit: only(k),
                available: row.flawed,
                worth: row.alone * offset.exp(),
            });
        }
    }
    pools
}

#[cfg(test)]
mod tests {
    use super::{PoolKind, pools};
    use crate::{Cost, Find, LotsBy, Row, Words};

    /// So many, so many of them flawed, so many in a set, and what one is worth alone.
    fn row(what: &str, count: u32, flawed: u32, per_lot: u32, alone: f64) -> Row {
        let forms = forms::Catalogue::published();
        Row {
            what: what.to_owned(),
            form: forms.find("diner_mug").expect("a published form").clone(),
            measures: forms::Measures::default(),
            count,
            flawed,
            per_lot,
            recipe: None,
            alone,
            flawed_grade: pricing::Grade::E,
            flaws: Vec::new(),
            bears: crate::Bears::AsForm,
        }
    }

    fn find(rows: Vec<Row>) -> Find {
        Find {
            name: String::from("cups"),
            rows,
            price: None,
            lots_by: LotsBy::Split,
            comps: Vec::new(),
            grade: pricing::Grade::C,
            cost: Cost::Unknown,
            largest_lot: None,
            words: Words::default(),
        }
    }

    #[test]
    fn cups_and_fewer_saucers_make_sets_and_each_kind_may_be_sold_alone() {
        let find = find(vec![row("cup", 14, 1, 1, 0.5), row("saucer", 11, 0, 1, 0.2)]);
        let pools = pools(&find, &[-0.5, -0.5]);
        let told: Vec<(String, u32)> = pools.iter().map(|pool| (pool.name.clone(), pool.available)).collect();
        let wanted =
            [("cups with saucers", 11), ("cups alone", 13), ("flawed cups", 1), ("saucers alone", 11)];
        assert_eq!(told, wanted.map(|(name, count)| (name.to_owned(), count)));
        assert_eq!(pools[0].unit, [1, 1]);
        assert_eq!(pools[0].counted(1), "1 cup with saucer");
        // A damaged cup is worth half a set times the step from C to E.
        assert!((pools[2].worth - 0.5 * (-0.5_f64).exp()).abs() < 1e-12);
    }

    #[test]
    fn a_set_of_one_piece_has_no_second_pile_of_the_same() {
        let find = find(vec![row("mug", 6, 2, 1, 1.0)]);
        let kinds: Vec<PoolKind> = pools(&find, &[0.0]).iter().map(|pool| pool.kind).collect();
        assert_eq!(kinds, [PoolKind::Sets, PoolKind::Flawed { row: 0 }]);
    }

    #[test]
    fn what_is_worth_nothing_alone_is_no_pile() {
        let find = find(vec![row("cup", 6, 0, 1, 0.5), row("saucer", 6, 1, 1, 0.0)]);
        assert_eq!(pools(&find, &[0.0, 0.0]).len(), 2, "sets and cups");
    }

    #[test]
    fn a_lot_of_two_and_two_is_made_of_sets_of_one_and_one() {
        let mut find = find(vec![row("cup", 6, 0, 2, 0.5), row("saucer", 6, 0, 2, 0.1)]);
        assert_eq!(find.unit(), [1, 1]);
        find.rows[0].per_lot = 4;
        assert_eq!(find.unit(), [2, 1]);
        assert_eq!(pools(&find, &[0.0, 0.0])[0].available, 3);
    }
}
