//! Trying things out: the books go back to how they were at a mark, by what changed since and not by a copy.

use jiff::civil::Date;
use measure::Money;

use crate::stock::{FindStock, PieceState};
use crate::{AveragePool, Books, Entry, EntryId, FindId, Haul, HaulId, Kind, Memo, OrderId, SupplyId};

/// A moment to which the books can go back. Marks are given back in the opposite order of their making.
#[derive(Debug)]
#[must_use = "a mark goes back to the books: Books::keep or Books::back_to"]
pub struct Mark(usize);

/// What changed since the first mark; nothing is written down while there is none.
#[derive(Debug, Clone, Default)]
pub(crate) struct Journal {
    marks: usize,
    changes: Vec<Change>,
}

/// How the books came to be says nothing of what they are.
impl PartialEq for Journal {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

#[derive(Debug, Clone)]
pub(crate) enum Change {
    HaulAdded(HaulId),
    SplitAnew(Haul, Vec<(FindId, FindStock)>),
    Posted(Box<BeforeEntry>),
}

/// What an entry changes, as it was before.
#[derive(Debug, Clone, Default)]
pub(crate) struct BeforeEntry {
    bought: Option<(HaulId, Option<Option<Date>>)>,
    paid: Option<(OrderId, Option<Money>)>,
    stocks: Vec<(FindId, FindStock)>,
    pieces: Vec<PiecesBefore>,
    supplies: Vec<(SupplyId, Option<AveragePool>)>,
    corrects: Option<EntryId>,
}

/// Pieces that move or are told another cost, as they were before; a find may have a hundred thousand others.
#[derive(Debug, Clone)]
struct PiecesBefore {
    find: FindId,
    had_moved: bool,
    states: Vec<(usize, PieceState)>,
}

impl Books {
    /// Marks the books as they are, so that what is tried next can be taken back. It costs what changes after it,
    /// however much the books hold.
    pub fn mark(&mut self) -> Mark {
        self.journal.marks = self.journal.marks.saturating_add(1);
        Mark(self.journal.changes.len())
    }

    /// What happened since the mark stays.
    pub fn keep(&mut self, _: Mark) {
        self.unmark();
    }

    /// The books as they were at the mark.
    pub fn back_to(&mut self, mark: Mark) {
        while self.journal.changes.len() > mark.0 {
            let Some(change) = self.journal.changes.pop() else { break };
            self.undo(change);
        }
        self.unmark();
    }

    fn unmark(&mut self) {
        self.journal.marks = self.journal.marks.saturating_sub(1);
        if self.journal.marks == 0 {
            self.journal.changes = Vec::new();
        }
    }

    pub(crate) fn note_change(&mut self, change: impl FnOnce(&Self) -> Change) {
        if self.journal.marks > 0 {
            let change = change(self);
            self.journal.changes.push(change);
        }
    }

    /// What an entry is about to change.
    pub(crate) fn before(&self, entry: &Entry) -> Change {
        let about = entry.about();
        let bought = about.haul.filter(|_| entry.kind() == Kind::HaulBought);
        let finds = bought.map_or_else(Vec::new, |haul| self.find_ids(haul));
        let pieces = |find: FindId, numbers: &[u32]| {
            let stock = self.finds.get(&find)?;
            let state = |&number: &u32| {
                let at = usize::try_from(number.checked_sub(1)?).ok()?;
                Some((at, *stock.pieces.get(at)?))
            };
            let states = numbers.iter().filter_map(state).collect();
            Some(PiecesBefore { find, had_moved: stock.has_moved, states })
        };
        let moved = entry.moves().iter().filter_map(|step| pieces(step.find, &step.pieces));
        let recosted = entry.recosts().iter().filter_map(|one| pieces(one.find, &[one.piece]));
        let stock = |find: &FindId| Some((*find, self.finds.get(find)?.clone()));
        let supply = |memo: &Memo| match memo {
            Memo::Supply(supply, _) => Some((*supply, self.supplies.get(supply).copied())),
            Memo::SalesTax(_) | Memo::FreightIn(_) | Memo::Trip(_) | Memo::Recosted(_) => None,
        };
        Change::Posted(Box::new(BeforeEntry {
            bought: bought.map(|haul| (haul, self.bought.get(&haul).copied())),
            paid: about.order.map(|order| (order, self.paid.get(&order).copied())),
            stocks: finds.iter().filter_map(stock).collect(),
            pieces: moved.chain(recosted).collect(),
            supplies: entry.memos().iter().filter_map(supply).collect(),
            corrects: entry.corrects(),
        }))
    }

    fn undo(&mut self, change: Change) {
        match change {
            Change::HaulAdded(haul) => {
                for find in self.find_ids(haul) {
                    self.finds.remove(&find);
                }
                self.hauls.remove(&haul);
                self.bought.remove(&haul);
            }
            Change::SplitAnew(haul, stocks) => {
                for find in self.find_ids(haul.id()) {
                    self.finds.remove(&find);
                }
                self.finds.extend(stocks);
                self.hauls.insert(haul.id(), haul);
            }
            Change::Posted(before) => {
                self.entries.pop();
                if let Some((haul, entered)) = before.bought {
                    put_back(&mut self.bought, haul, entered);
                }
                if let Some((order, paid)) = before.paid {
                    put_back(&mut self.paid, order, paid);
                }
                for PiecesBefore { find, had_moved, states } in before.pieces {
                    let Some(stock) = self.finds.get_mut(&find) else { continue };
                    stock.has_moved = had_moved;
                    for (at, state) in states {
                        if let Some(place) = stock.pieces.get_mut(at) {
                            *place = state;
                        }
                    }
                }
                self.finds.extend(before.stocks);
                for (supply, pool) in before.supplies {
                    put_back(&mut self.supplies, supply, pool);
                }
                if let Some(of) = before.corrects {
                    self.corrected.remove(&of);
                }
            }
        }
    }

    pub(crate) fn find_ids(&self, haul: HaulId) -> Vec<FindId> {
        let finds = self.hauls.get(&haul).map(Haul::finds).unwrap_or_default();
        finds.iter().map(|basis| basis.find().id).collect()
    }
}

fn put_back<K: Ord, V>(map: &mut std::collections::BTreeMap<K, V>, key: K, before: Option<V>) {
    match before {
        Some(before) => map.insert(key, before),
        None => map.remove(&key),
    };
}
