//! Hauls: bought, and amended as long as nothing of them has left the shelf.

use books::{
    BooksError, BoughtFind, FindId, FlawedCarry, Haul, HaulId, Kind, Purse, SplitRule, TripUse, haul_bought,
};
use jiff::civil::Date;
use measure::Money;
use rusqlite::named_params;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::event::{Event, NotedRecord};
use crate::find::FindText;
use crate::fold::{Fold, fields_of, next_number, stored_id};
use crate::ledger::{self, HaulRow};
use crate::stored::{self, FlawedCarryWord, PurseWord, SplitRuleWord};
use crate::writing::Writing;
use crate::{MoneyMoved, Movement, Place, Record, Shop, ShopError, Stamp, rows};

/// A haul as it is entered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HaulIn {
    /// The place, if it is one that was noted.
    pub place: Option<u64>,
    /// Day of purchase.
    pub date: Date,
    /// Paid for the goods, without tax.
    #[serde(with = "stored::cents")]
    pub paid: Money,
    /// Tax on them; none where a resale certificate was used.
    #[serde(with = "stored::cents_opt")]
    pub tax: Option<Money>,
    /// Paid to bring the goods in.
    #[serde(with = "stored::cents")]
    pub freight: Money,
    /// How the cost is split over finds.
    #[serde(with = "SplitRuleWord")]
    pub split: SplitRule,
    /// What flawed pieces carry.
    #[serde(with = "FlawedCarryWord")]
    pub flawed_carry: FlawedCarry,
    /// What paid for the goods.
    #[serde(with = "PurseWord")]
    pub purse: Purse,
    /// What paid for the freight.
    #[serde(with = "PurseWord")]
    pub freight_purse: Purse,
    /// Miles driven for it, in hundredths; a memo only: the trip is entered by itself.
    pub miles_hundredths: u32,
    /// Anything to remember.
    pub note: String,
    /// The finds.
    #[serde(default)]
    pub finds: Vec<NewFind>,
}

/// A find as it is entered with its haul.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct NewFind {
    /// What it is called and where it stands.
    #[serde(flatten)]
    pub text: FindText,
    /// Sound pieces.
    pub sound: u32,
    /// Flawed pieces.
    pub flawed: u32,
    /// Expected selling value of the whole find when it was bought.
    #[serde(with = "stored::cents")]
    pub value: Money,
}

/// The numbers that were given out for a haul.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoughtHaul {
    /// The haul.
    pub haul: HaulId,
    /// Its finds, in the order they were told.
    pub finds: Vec<FindId>,
}

/// A haul told anew.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct HaulAmended {
    #[serde(with = "stored::haul")]
    haul: HaulId,
    /// The day on which an entry that was wrong is taken back.
    on: Date,
    anew: HaulIn,
}

impl Shop {
    /// Enters a haul with its finds and pieces, and its purchase in the books.
    ///
    /// # Errors
    /// When an amount, a count or a date can't be; nothing is stored then.
    pub fn buy(&mut self, stamp: &Stamp, haul: &HaulIn) -> Result<BoughtHaul, ShopError> {
        let number = self.write(|writing| writing.enter(stamp, &Event::HaulBought(haul.clone()), None))?;
        Ok(BoughtHaul { haul: HaulId(number), finds: self.finds_of(HaulId(number))? })
    }

    /// Enters a haul with the place it was bought at (noted when it is new) and, where miles were driven for it, the
    /// trip: all of it, or nothing. `stamp` may carry a key; the haul then has it.
    ///
    /// # Errors
    /// As [`Self::buy`], and when the place has no name.
    pub fn bring_in(&mut self, stamp: &Stamp, place: &str, haul: &HaulIn) -> Result<BoughtHaul, ShopError> {
        let plain = Stamp::at(stamp.at);
        let name = place.trim();
        let number = self.write(|writing| {
            let haul = HaulIn { place: Some(writing.place(stamp, name)?), ..haul.clone() };
            let number = writing.enter(stamp, &Event::HaulBought(haul.clone()), None)?;
            if haul.miles_hundredths > 0 {
                let movement = Movement::Trip {
                    hundredths: haul.miles_hundredths,
                    purpose: format!("haul {number}, {name}"),
                    counts: TripUse::Business,
                };
                let trip = MoneyMoved { date: haul.date, purse: haul.purse, movement, note: String::new() };
                writing.enter(&plain, &Event::MoneyMoved(trip), None)?;
            }
            Ok(number)
        })?;
        Ok(BoughtHaul { haul: HaulId(number), finds: self.finds_of(HaulId(number))? })
    }

    /// Enters a haul as it should have been. Finds are told in the same order; new ones come after them. Where
    /// money, purse or date differ, the entry of the purchase is taken back on the day `on` and made anew.
    ///
    /// # Errors
    /// When a piece of it is promised to an order or has ever left the shelf ([`BooksError::Frozen`]), or fewer
    /// finds are told than there are.
    pub fn amend_haul(
        &mut self,
        stamp: &Stamp,
        haul: HaulId,
        on: Date,
        anew: &HaulIn,
    ) -> Result<(), ShopError> {
        self.write(|writing| {
            writing.must_exist(Record::Haul, haul.0)?;
            let before = writing.last_event(Record::Haul, haul.0)?;
            let amended = HaulAmended { haul, on, anew: anew.clone() };
            writing.enter(stamp, &Event::HaulAmended(amended), before).map(|_| ())
        })
    }

    /// The same with the place by name, which is noted when it is new; all of it, or nothing.
    ///
    /// # Errors
    /// As [`Self::amend_haul`].
    pub fn amend_haul_at(
        &mut self,
        stamp: &Stamp,
        haul: HaulId,
        on: Date,
        place: &str,
        anew: &HaulIn,
    ) -> Result<(), ShopError> {
        self.write(|writing| {
            writing.must_exist(Record::Haul, haul.0)?;
            let before = writing.last_event(Record::Haul, haul.0)?;
            let place = Some(writing.place(stamp, place)?);
            let amended = HaulAmended { haul, on, anew: HaulIn { place, ..anew.clone() } };
            writing.enter(stamp, &Event::HaulAmended(amended), before).map(|_| ())
        })
    }

    /// A haul as it was entered, its finds apart.
    ///
    /// # Errors
    /// When there is no such haul.
    pub fn haul_entered(&self, haul: HaulId) -> Result<HaulIn, ShopError> {
        let sql = "SELECT place, date, paid, tax, freight, split, flawed_carry, purse, freight_purse,
                     miles_hundredths, note FROM haul WHERE id = ?1";
        rows::first(self.conn(), sql, [stored_id(haul.0)?])?
            .ok_or(ShopError::Missing { record: Record::Haul, number: haul.0 })
    }

    /// The finds of a haul.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn finds_of(&self, haul: HaulId) -> Result<Vec<FindId>, ShopError> {
        finds_of(self.conn(), haul)
    }
}

fn finds_of(conn: &rusqlite::Connection, haul: HaulId) -> Result<Vec<FindId>, ShopError> {
    let mut statement = conn.prepare_cached("SELECT id FROM find WHERE haul = ?1 ORDER BY id")?;
    let ids = statement.query_map([stored_id(haul.0)?], |row| row.get(0))?;
    let ids: Result<Vec<i64>, _> = ids.collect();
    Ok(ids?.into_iter().filter_map(|id| u64::try_from(id).ok()).map(FindId).collect())
}

impl Writing<'_> {
    /// The number of a place of that name; it is noted when it is new.
    fn place(&mut self, stamp: &Stamp, name: &str) -> Result<u64, ShopError> {
        #[derive(Deserialize)]
        struct Row {
            id: u64,
            name: String,
        }
        let known: Vec<Row> = rows::read(self.conn, "SELECT id, name FROM place ORDER BY id", [])?;
        if let Some(row) = known.iter().find(|row| measure::plain(&row.name) == measure::plain(name)) {
            return Ok(row.id);
        }
        let number = next_number(self.conn, Record::Place)?;
        let new = Place { name: name.trim().to_owned(), note: String::new() };
        let noted = NotedRecord {
            record: Record::Place,
            number,
            entered: Some(fields_of(Record::Place, &new)?.into()),
        };
        self.enter(&Stamp::at(stamp.at), &Event::Noted(noted), None)
    }
}

impl Fold<'_> {
    pub(crate) fn haul_bought(&mut self, entered: &HaulIn) -> Result<u64, ShopError> {
        let id = self.next(Record::Haul)?;
        let mut finds = Vec::with_capacity(entered.finds.len());
        for _ in &entered.finds {
            finds.push(FindId(self.next(Record::Find)?));
        }
        let haul = self.haul_of(id, entered, &finds)?;
        self.write_haul(&haul, entered)?;
        let bought = haul_bought(self.books.next_entry(), &haul, entered.purse, entered.freight_purse)?;
        self.books.add_haul(haul)?;
        self.post(bought, &entered.note)?;
        Ok(id)
    }

    pub(crate) fn haul_amended(&mut self, amended: &HaulAmended) -> Result<u64, ShopError> {
        let (HaulAmended { haul: id, on, anew }, number) = (amended, amended.haul.0);
        if self.books.is_frozen(*id) {
            return Err(BooksError::Frozen { haul: *id }.into());
        }
        let stored = stored_id(number)?;
        let before: HaulRow =
            rows::first(self.conn, "SELECT haul.*, NULL AS place_name FROM haul WHERE id = ?1", [stored])?
                .ok_or(ShopError::Missing { record: Record::Haul, number })?;
        let mut finds = finds_of(self.conn, *id)?;
        if anew.finds.len() < finds.len() {
            return Err(ShopError::Wrong {
                record: Record::Haul,
                field: "finds",
                found: anew.finds.len().to_string(),
                right: "as many finds as were entered, in the same order, or more",
            });
        }
        while finds.len() < anew.finds.len() {
            finds.push(FindId(self.next(Record::Find)?));
        }
        let promised = "SELECT 1 FROM piece JOIN find ON find.id = piece.find
                        WHERE find.haul = ?1 AND reserved_for IS NOT NULL";
        if self.conn.prepare_cached(promised)?.exists([stored])? {
            let is = "promised to an order in part".to_owned();
            let wanted = "promised to nobody; cancel the order or swap its pieces first";
            return Err(ShopError::State { record: Record::Haul, number, is, wanted });
        }
        self.touch(Record::Haul, number);
        let haul = self.haul_of(number, anew, &finds)?;
        let same_money = (before.date, before.paid, before.tax, before.freight)
            == (anew.date, anew.paid, anew.tax, anew.freight)
            && (before.purse, before.freight_purse) == (anew.purse, anew.freight_purse);
        let bought = self
            .books
            .entries()
            .iter()
            .rfind(|entry| {
                entry.kind() == Kind::HaulBought
                    && entry.about().haul == Some(*id)
                    && entry.corrects().is_none()
            })
            .filter(|_| !same_money)
            .cloned();
        if let Some(bought) = &bought {
            let back = bought.reversed(self.voucher(*on), "entered anew")?;
            self.post(back, "")?;
        }
        self.run("DELETE FROM piece WHERE find IN (SELECT id FROM find WHERE haul = ?1)", [stored])?;
        self.write_haul(&haul, anew)?;
        self.books.split_anew(haul.clone())?;
        if bought.is_some() {
            let anew = haul_bought(self.books.next_entry(), &haul, anew.purse, anew.freight_purse)?;
            self.post(anew, "")?;
        }
        Ok(number)
    }

    fn haul_of(&self, id: u64, entered: &HaulIn, finds: &[FindId]) -> Result<Haul, ShopError> {
        let place_name = match entered.place {
            Some(place) => {
                let sql = "SELECT name FROM place WHERE id = ?1";
                let mut statement = self.conn.prepare_cached(sql)?;
                let mut names = statement.query_map([stored_id(place)?], |row| row.get(0))?;
                let missing = ShopError::Missing { record: Record::Place, number: place };
                Some(names.next().transpose()?.ok_or(missing)?)
            }
            None => None,
        };
        let row = HaulRow {
            id,
            place_name,
            date: entered.date,
            paid: entered.paid,
            tax: entered.tax,
            freight: entered.freight,
            split: entered.split,
            flawed_carry: entered.flawed_carry,
            purse: entered.purse,
            freight_purse: entered.freight_purse,
        };
        let told = entered.finds.iter().zip(finds).map(|(find, &id)| BoughtFind {
            id,
            sound: find.sound,
            flawed: find.flawed,
            value: find.value,
        });
        ledger::haul(&row, told.collect())
    }

    fn write_haul(&mut self, haul: &Haul, entered: &HaulIn) -> Result<(), ShopError> {
        let mut fields = fields_of(Record::Haul, entered)?;
        fields.remove("finds");
        self.put("haul", haul.id().0, &fields)?;
        for (basis, told) in haul.finds().iter().zip(&entered.finds) {
            let find = basis.find();
            let mut fields = fields_of(Record::Find, told)?;
            fields.insert("haul".to_owned(), json!(haul.id().0));
            fields.insert("basis".to_owned(), json!(basis.total().cents()));
            self.put("find", find.id.0, &fields)?;
            self.touch(Record::Find, find.id.0);
            for number in 1..=basis.pieces() {
                self.run(
                    "INSERT INTO piece (find, number, flawed) VALUES (:find, :number, :flawed)",
                    named_params! {
                        ":find": stored_id(find.id.0)?, ":number": number, ":flawed": number > find.sound,
                    },
                )?;
            }
        }
        Ok(())
    }
}
