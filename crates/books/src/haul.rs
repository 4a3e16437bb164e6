//! A haul as it was bought, and how its cost is split over its finds and pieces.

use std::collections::BTreeSet;

use jiff::civil::Date;
use measure::Money;

use crate::allocate::{allocate, allocate_by_value, cumulative};
use crate::error::amount;
use crate::{BooksError, FindId, HaulId};

/// Most pieces of one find that are reckoned with (judgement).
pub const MOST_PIECES: u32 = 100_000;

/// Sales tax on a purchase for resale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PurchaseTax {
    /// Bought with a resale certificate: no tax was paid.
    Exempt,
    /// Paid at the till; it is part of the cost.
    Paid(Money),
}

/// How the cost of a haul is split over its finds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SplitRule {
    /// By relative expected selling value at purchase (26 CFR 1.61-6, IRS Publication 551: relative fair market
    /// value of a lump sum).
    #[default]
    ByValue,
    /// Equally over the pieces.
    PerPiece,
}

/// What flawed pieces carry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FlawedCarry {
    /// As much as the sound ones of their find.
    #[default]
    Share,
    /// Nothing: the sound ones carry all.
    Nothing,
}

/// Like pieces from one haul. Pieces are numbered from 1, the sound ones first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BoughtFind {
    /// Its number.
    pub id: FindId,
    /// Sound pieces.
    pub sound: u32,
    /// Flawed pieces.
    pub flawed: u32,
    /// Expected selling value of the whole find when it was bought; 0.00 for what is worth nothing.
    pub value: Money,
}

/// What a haul consists of, as it is told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HaulRecord {
    /// Its number.
    pub id: HaulId,
    /// Day of purchase.
    pub date: Date,
    /// The shop, or where it was bought.
    pub place: String,
    /// Paid for the goods, without tax.
    pub paid: Money,
    /// Tax on them.
    pub tax: PurchaseTax,
    /// Paid to bring the goods in.
    pub freight_in: Money,
    /// How the cost is split over finds.
    pub split: SplitRule,
    /// What flawed pieces carry.
    pub flawed: FlawedCarry,
    /// The finds.
    pub finds: Vec<BoughtFind>,
}

/// A haul whose cost has been split to the cent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Haul {
    record: HaulRecord,
    basis: Vec<FindBasis>,
}

/// What the pieces of one find cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FindBasis {
    find: BoughtFind,
    total: Money,
    carriers: u32,
}

impl Haul {
    /// Splits the cost of a haul: money paid, tax paid, and freight.
    ///
    /// # Errors
    /// When an amount is negative or past ten million, a find has no pieces or too many, a number comes twice, or
    /// there is cost and nothing that could carry it.
    pub fn new(record: HaulRecord) -> Result<Self, BooksError> {
        let place = format!("haul {}", record.id);
        amount(&place, "money paid", record.paid)?;
        amount(&place, "tax", tax_of(&record))?;
        amount(&place, "freight", record.freight_in)?;
        let cost = amount(&place, "the whole cost", cost_of(&record))?;
        let mut seen = BTreeSet::new();
        for find in &record.finds {
            if !seen.insert(find.id) {
                return Err(BooksError::Twice { what: "find", number: find.id.0 });
            }
            amount(&format!("find {}", find.id), "value", find.value)?;
            let pieces = u64::from(find.sound) + u64::from(find.flawed);
            if pieces == 0 || pieces > u64::from(MOST_PIECES) {
                return Err(BooksError::Wrong {
                    place: format!("find {}", find.id),
                    field: "pieces",
                    found: pieces.to_string(),
                    right: "a count from 1 to 100000",
                });
            }
        }
        let carriers: Vec<u32> = record
            .finds
            .iter()
            .map(|find| match record.flawed {
                FlawedCarry::Share => find.sound + find.flawed,
                FlawedCarry::Nothing => find.sound,
            })
            .collect();
        let totals = match record.split {
            SplitRule::PerPiece => {
                let weights: Vec<i64> = carriers.iter().map(|&count| i64::from(count)).collect();
                allocate(cost, &weights)?
            }
            SplitRule::ByValue => {
                let carried = |(find, &count): (&BoughtFind, &u32)| match count {
                    0 => Money::ZERO,
                    _ => find.value,
                };
                let values: Vec<Money> = record.finds.iter().zip(&carriers).map(carried).collect();
                allocate_by_value(cost, &values)?
            }
        };
        let basis = record
            .finds
            .iter()
            .zip(carriers.into_iter().zip(totals))
            .map(|(&find, (carriers, total))| FindBasis { find, total, carriers })
            .collect();
        Ok(Self { record, basis })
    }

    /// What was told.
    #[must_use]
    pub fn record(&self) -> &HaulRecord {
        &self.record
    }

    /// Its number.
    #[must_use]
    pub fn id(&self) -> HaulId {
        self.record.id
    }

    /// Money paid, tax paid and freight together: what the pieces carry.
    #[must_use]
    pub fn cost(&self) -> Money {
        cost_of(&self.record)
    }

    /// What the place is called now; no figure depends on it.
    pub(crate) fn call_place(&mut self, place: &str) {
        if self.record.place != place {
            place.clone_into(&mut self.record.place);
        }
    }

    /// Money and tax paid to the shop.
    #[must_use]
    pub fn paid_with_tax(&self) -> Money {
        self.record.paid + tax_of(&self.record)
    }

    /// What each find carries, in the order they were told; together the cost.
    #[must_use]
    pub fn finds(&self) -> &[FindBasis] {
        &self.basis
    }
}

impl FindBasis {
    /// The find.
    #[must_use]
    pub fn find(&self) -> BoughtFind {
        self.find
    }

    /// What all its pieces carry.
    #[must_use]
    pub fn total(&self) -> Money {
        self.total
    }

    /// Pieces in the find.
    #[must_use]
    pub fn pieces(&self) -> u32 {
        self.find.sound + self.find.flawed
    }

    /// What piece `number` (from 1) carries; nothing where there is no such piece. Pieces next to each other
    /// carry together what cumulative rounding gives them.
    #[must_use]
    pub fn piece(&self, number: u32) -> Money {
        if number == 0 || number > self.carriers {
            return Money::ZERO;
        }
        let upto = |count: u32| cumulative(self.total, u64::from(count), u64::from(self.carriers));
        upto(number) - upto(number - 1)
    }
}

fn tax_of(record: &HaulRecord) -> Money {
    match record.tax {
        PurchaseTax::Exempt => Money::ZERO,
        PurchaseTax::Paid(tax) => tax,
    }
}

fn cost_of(record: &HaulRecord) -> Money {
    record.paid + tax_of(record) + record.freight_in
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn cups() -> HaulRecord {
        HaulRecord {
            id: HaulId(1),
            date: date(2026, 3, 1),
            place: "parish hall".to_owned(),
            paid: Money::from_cents(700),
            tax: PurchaseTax::Paid(Money::from_cents(51)),
            freight_in: Money::ZERO,
            split: SplitRule::ByValue,
            flawed: FlawedCarry::Nothing,
            finds: vec![
                BoughtFind { id: FindId(1), sound: 13, flawed: 1, value: Money::from_cents(6000) },
                BoughtFind { id: FindId(2), sound: 11, flawed: 0, value: Money::from_cents(1500) },
            ],
        }
    }

    #[test]
    fn flawed_pieces_carry_nothing_when_so_chosen() {
        let haul = Haul::new(cups()).unwrap();
        let [cups, saucers] = haul.finds() else { panic!("two finds") };
        assert_eq!(cups.total() + saucers.total(), Money::from_cents(751));
        assert_eq!(cups.piece(14), Money::ZERO);
        assert_eq!((1..=13).map(|n| cups.piece(n)).sum::<Money>(), cups.total());
        let shared = Haul::new(HaulRecord { flawed: FlawedCarry::Share, ..self::cups() }).unwrap();
        assert!(shared.finds()[0].piece(14) > Money::ZERO);
    }

    #[test]
    fn a_find_of_flawed_pieces_only_leaves_its_share_to_the_others() {
        let mut record = cups();
        record.finds[1] = BoughtFind { sound: 0, flawed: 11, ..record.finds[1] };
        for split in [SplitRule::ByValue, SplitRule::PerPiece] {
            let haul = Haul::new(HaulRecord { split, ..record.clone() }).unwrap();
            assert_eq!(haul.finds()[0].total(), haul.cost());
        }
    }

    #[test]
    fn exempt_goods_carry_no_tax_and_freight_is_cost() {
        let record = HaulRecord { tax: PurchaseTax::Exempt, freight_in: Money::from_cents(300), ..cups() };
        assert_eq!(Haul::new(record).unwrap().cost(), Money::from_cents(1000));
    }

    #[test]
    fn nonsense_is_refused() {
        let negative = HaulRecord { paid: Money::from_cents(-1), ..cups() };
        assert!(matches!(Haul::new(negative), Err(BooksError::Wrong { field: "money paid", .. })));
        let mut twice = cups();
        twice.finds[1].id = FindId(1);
        assert!(matches!(Haul::new(twice), Err(BooksError::Twice { what: "find", number: 1 })));
        let mut none = cups();
        none.finds[0].sound = u32::MAX;
        none.finds[0].flawed = u32::MAX;
        assert!(matches!(Haul::new(none), Err(BooksError::Wrong { field: "pieces", .. })));
        let empty = HaulRecord { finds: vec![], ..cups() };
        assert!(matches!(Haul::new(empty), Err(BooksError::NothingCarries { .. })));
    }
}
