//! What a find is worth and how it is split, out of its records.

use books::FindId;
use jiff::civil::Date;
use shop::Shop;
use toml::{Table, Value};

use crate::find_records::{EmptySheet, FindRecords, RecordJob, listed, read_job};
use crate::lots_asked::{LotsAsked, letter};
use crate::{Desk, Stop, TermsOf};

/// A find with all that its worth and its split need, read from the file at one moment.
#[derive(Debug, Clone)]
pub struct FindQuestion {
    /// What is recorded of it.
    pub records: FindRecords,
    /// Pieces of it in lots that can still be ordered.
    pub listed: u32,
    asked: LotsAsked,
    sheet: EmptySheet,
}

impl FindQuestion {
    /// Reads a find and what its worth needs.
    ///
    /// # Errors
    /// When there is no such find, or the file can't be read.
    pub fn read(shop: &mut Shop, find: FindId, day: Date) -> Result<Self, Stop> {
        let records = FindRecords::read(shop, find)?;
        let listed = listed(shop, find)?;
        let sheet = EmptySheet::read(shop, day)?;
        Ok(Self { records, listed, asked: LotsAsked::default(), sheet })
    }

    /// The same question where this is said beside the records; gives whose terms stand in it.
    ///
    /// # Errors
    /// When the settings make no job sheet.
    pub fn asks(&mut self, asked: LotsAsked) -> Result<TermsOf, Stop> {
        let terms = self.sheet.sold_at(asked.venue.as_deref())?;
        self.asked = asked;
        Ok(terms)
    }

    /// Whether all pieces that are there are flawed: then they are what is split.
    #[must_use]
    pub fn is_all_flawed(&self) -> bool {
        self.records.sound.is_empty() && !self.records.flawed.is_empty()
    }

    /// Pieces that lots are made of: the sound ones, or the flawed where there are no others.
    #[must_use]
    pub fn pieces(&self) -> u32 {
        let list = if self.is_all_flawed() { &self.records.flawed } else { &self.records.sound };
        u32::try_from(list.len()).unwrap_or(u32::MAX)
    }

    /// The find as a job: its free pieces with their measures, comps and cost, and the shop's settings. Where it has
    /// comps, the split decides on the lots; where it has none, a lot is one piece.
    ///
    /// # Errors
    /// When no piece is free, or a record or setting can't be used.
    pub fn job(&self, desk: &Desk) -> Result<RecordJob, Stop> {
        let records = &self.records;
        if records.free() == 0 {
            return Err(Stop::Input(format!(
                "of find {} no piece is there that is promised to nobody; right would be a find with pieces on the \
                 shelf",
                records.find
            )));
        }
        let comps = records.comp_lines();
        let flawed = if self.is_all_flawed() { 0 } else { records.flawed.len() };
        let mut piece = records.free_table(desk, flawed, self.asked.flawed_grade);
        let mut find = Table::new();
        find.insert("name".to_owned(), Value::from(records.name()));
        if comps.is_empty() {
            piece.insert("per_lot".to_owned(), Value::from(1_i64));
        } else {
            let lines: Vec<&str> = comps.iter().map(|(line, _)| line.as_str()).collect();
            find.insert("comps".to_owned(), Value::from(lines));
        }
        // Where nobody says, the worst condition: what is flawed is never priced as if it weren't.
        let grade = if self.is_all_flawed() {
            Some(self.asked.flawed_grade.unwrap_or(pricing::Grade::E))
        } else {
            self.asked.grade
        };
        if let Some(grade) = grade {
            find.insert("grade".to_owned(), Value::from(letter(grade)));
        }
        find.insert("paid".to_owned(), Value::from(records.basis.write()));
        find.insert("piece".to_owned(), Value::Array(vec![Value::Table(piece)]));
        read_job(desk, &self.sheet, find, &comps)
    }
}
