//! The cheapest change that takes a parcel at risk out of it.

use measure::Units;

use crate::guarding::{Ask, Mend};
use crate::job::DoubleBox;
use crate::order::{OrderPlan, Shipped};
use crate::planner::Planner;

impl Planner<'_> {
    /// Says for every parcel of an order that is at risk what would mend it.
    pub(crate) fn mend_all(&mut self, order: &mut OrderPlan) {
        for shipped in &mut order.parcels {
            if shipped.margin() < 0.0 {
                let mend = self.mend(shipped);
                if let Ok(guard) = &mut shipped.guard {
                    guard.mend = mend;
                }
            }
        }
    }

    /// The same pieces with the cushion that is computed, and more where that is still short.
    fn mend(&mut self, shipped: &Shipped) -> Option<Mend> {
        let counts = self.counts_of(shipped);
        let two = match self.job.protecting.double_box {
            DoubleBox::Never => None,
            DoubleBox::WhenAdvised | DoubleBox::Always => self.two_boxes(&counts).ok(),
        };
        // What takes it out of risk goes before what does not, and then the cheaper.
        let tried = [self.one_box(&counts, Ask::Towards(1.0)).ok(), two];
        let better = tried.into_iter().flatten().min_by_key(|one| (one.margin() < 0.0, one.cost))?;
        let margin = better.margin();
        (margin > shipped.margin()).then(|| {
            let farthest =
                self.destinations.iter().enumerate().max_by_key(|(_, to)| to.zone.zone.number()).map_or(
                    (measure::Money::ZERO, 0),
                    |(index, to)| {
                        let postage =
                            |of: &Shipped| of.quotes.get(index).map_or(measure::Money::ZERO, |q| q.total);
                        (postage(&better) - postage(shipped), to.zone.zone.number())
                    },
                );
            Mend {
                change: change(shipped, &better, self.job.units),
                cost: better.cost - shipped.cost,
                farthest,
                margin,
            }
        })
    }

    /// Pieces of each kind in a parcel.
    pub(crate) fn counts_of(&self, shipped: &Shipped) -> Vec<u32> {
        let contents = shipped.plan.contents();
        self.kinds
            .iter()
            .map(|kind| {
                let find = &self.job.finds[kind.find];
                let what = &find.rows[kind.row].what;
                let rows = contents.iter().filter(|row| row.find == find.name && row.what == *what);
                rows.map(|row| row.count).sum()
            })
            .collect()
    }
}

/// What is different, in words.
fn change(from: &Shipped, to: &Shipped, units: Units) -> String {
    let walls =
        |shipped: &Shipped| shipped.guard.as_ref().map_or_else(|_| Vec::new(), |guard| guard.walls.clone());
    if let Some(inner) = &to.plan.inner {
        return format!("a box in a box, {} in {}", inner.carton.name, to.plan.carton.name);
    }
    let before = walls(from);
    let mut words: Vec<String> = walls(to)
        .iter()
        .filter_map(|wall| {
            let was = before.iter().find(|one| one.label == wall.label)?;
            (wall.used > was.used).then(|| {
                format!(
                    "{} of cushion round {} instead of {}",
                    wall.used.write(units),
                    wall.label,
                    was.used.write(units)
                )
            })
        })
        .collect();
    if to.plan.carton.name != from.plan.carton.name {
        words.push(format!("needs the {}", to.plan.carton.name));
    }
    if words.is_empty() { String::from("another layout in the same carton") } else { words.join(", ") }
}
