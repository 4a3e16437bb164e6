//! A listing and its card, out of the records of the finds in it.

use books::LotId;
use jiff::civil::Date;
use shop::{ListingPart, ListingState, Shop, Which};
use toml::{Table, Value};

use crate::find_records::{EmptySheet, FindRecords, RecordJob, read_job};
use crate::lots_asked::{grade_of, letter};
use crate::{Desk, Stop, TermsOf};

/// A listing with all that its card and its order ladder need, read from the file at one moment.
#[derive(Debug, Clone)]
pub struct CardQuestion {
    /// The listing.
    pub state: ListingState,
    /// What is recorded of each find in it.
    pub parts: Vec<(ListingPart, FindRecords)>,
    /// Whose terms stand in it.
    pub terms: TermsOf,
    sheet: EmptySheet,
}

impl CardQuestion {
    /// Reads a listing and what its card needs.
    ///
    /// # Errors
    /// When there is no such listing, or the file can't be read.
    pub fn read(shop: &mut Shop, listing: LotId, day: Date) -> Result<Self, Stop> {
        let state = shop.listing(listing)?;
        let parts = state.entered.parts.clone();
        let parts = parts
            .into_iter()
            .map(|part| Ok((part, FindRecords::read(shop, part.find)?)))
            .collect::<Result<Vec<_>, Stop>>()?;
        let mut sheet = EmptySheet::read(shop, day)?;
        let terms = match state.entered.venue {
            None => TermsOf::Usual,
            Some(number) => {
                let venue: shop::Venue = shop.noted_one(number)?;
                sheet.own.venues.name_in(&mut sheet.table, &venue.name)?
            }
        };
        Ok(Self { state, parts, terms, sheet })
    }

    /// Lots that the card is of: those that can still be ordered, at least one.
    #[must_use]
    pub fn lots(&self) -> u32 {
        self.state.available().max(1)
    }

    /// The listing as a job of one find whose lots are stated. Comps count where the lot holds one kind.
    ///
    /// # Errors
    /// When a record or setting can't be used.
    pub fn job(&self, desk: &Desk) -> Result<RecordJob, Stop> {
        let of_one = match self.parts.as_slice() {
            [(_, records)] => Some(records),
            _ => None,
        };
        let comps = of_one.map_or_else(Vec::new, FindRecords::comp_lines);
        let mut rows = Vec::new();
        let mut all_flawed = !self.parts.is_empty();
        for (part, records) in &self.parts {
            let (pieces, set_aside) = match part.which {
                Which::Sound => (records.sound.clone(), u32::try_from(records.flawed.len()).unwrap_or(0)),
                Which::Flawed => (records.flawed.clone(), 0),
                Which::Any => (records.sound.iter().chain(&records.flawed).copied().collect(), 0),
            };
            all_flawed &= part.which == Which::Flawed;
            let mut table = records.piece_table(desk, &pieces);
            let count = part.pieces.saturating_mul(self.lots()).saturating_add(set_aside);
            table.insert("count".to_owned(), Value::from(i64::from(count)));
            table.insert("flawed".to_owned(), Value::from(i64::from(set_aside)));
            table.insert("per_lot".to_owned(), Value::from(i64::from(part.pieces)));
            let flaws = records.flaw_lines(&pieces);
            if !flaws.is_empty() {
                table.insert("flaws".to_owned(), Value::from(flaws));
            }
            rows.push(Value::Table(table));
        }
        let mut find = Table::new();
        find.insert("name".to_owned(), Value::from(format!("listing {}", self.state.id)));
        if self.state.entered.price > measure::Money::ZERO {
            find.insert("price".to_owned(), Value::from(self.state.entered.price.write()));
        }
        let told = grade_of(&self.state.entered.card);
        if let Some(grade) = told.or(all_flawed.then_some(pricing::Grade::E)) {
            find.insert("grade".to_owned(), Value::from(letter(grade)));
        }
        if !comps.is_empty() {
            let lines: Vec<&str> = comps.iter().map(|(line, _)| line.as_str()).collect();
            find.insert("comps".to_owned(), Value::from(lines));
        }
        find.insert("piece".to_owned(), Value::Array(rows));
        read_job(desk, &self.sheet, find, &comps)
    }
}
