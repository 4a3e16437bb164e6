//! What sets of pieces of several finds are worth and how they are split, out of the finds' records.

use jiff::civil::Date;
use measure::Money;
use shop::{FindText, Shop};
use toml::{Table, Value};

use crate::find_records::{EmptySheet, FindRecords, RecordJob, read_job};
use crate::lots_asked::{LotsAsked, letter};
use crate::sets::{MOST_IN_SET, SetTold, gcd};
use crate::{Desk, Stop, TermsOf};

/// Most pieces of all finds in a set that is reckoned, as in a set of a job sheet.
const MOST_TOGETHER: u32 = 100;

/// A find that gives pieces to the sets.
#[derive(Debug, Clone)]
pub struct SetMember {
    /// What is recorded of it.
    pub records: FindRecords,
    /// Pieces of it in one set, at least 1.
    pub each: u32,
    /// What one of its pieces is worth by itself, as a share of a set from 0 to 1; the usual share where nobody says.
    pub alone: Option<f64>,
    /// Pieces of it in lots that can still be ordered.
    pub listed: u32,
}

/// Finds whose pieces make sets, with all that the worth and the split of the sets need, read from the file at one
/// moment.
#[derive(Debug, Clone)]
pub struct SetQuestion {
    /// The finds; the first one leads, and its comps count sets.
    pub members: Vec<SetMember>,
    asked: LotsAsked,
    sheet: EmptySheet,
}

impl SetQuestion {
    /// Reads the finds of a set.
    ///
    /// # Errors
    /// When there is no such find, its sound pieces make no set, comps would have to count several sets as one, or
    /// the file can't be read.
    pub fn read(shop: &mut Shop, set: &SetTold, day: Date) -> Result<Self, Stop> {
        if !(2..=MOST_IN_SET).contains(&set.parts.len()) {
            return Err(Stop::Input(format!(
                "a set of {} finds can't be reckoned; right would be a set of 2 to {MOST_IN_SET}",
                set.parts.len()
            )));
        }
        let mut members = Vec::new();
        for part in &set.parts {
            members.push(SetMember {
                records: FindRecords::read(shop, part.find)?,
                each: part.each,
                alone: set.alone.iter().find(|one| one.find == part.find).map(|one| one.share),
                listed: crate::find_records::listed(shop, part.find)?,
            });
        }
        let question = Self { members, asked: LotsAsked::default(), sheet: EmptySheet::read(shop, day)? };
        question.must_make_sets()?;
        Ok(question)
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

    /// Sets that the sound and free pieces make at most.
    #[must_use]
    pub fn sets(&self) -> u32 {
        let of = |member: &SetMember| sound(member) / member.each.max(1);
        self.members.iter().map(of).min().unwrap_or(0)
    }

    /// What the free pieces of all its finds cost.
    #[must_use]
    pub fn basis(&self) -> Money {
        self.members.iter().map(|member| member.records.basis).sum()
    }

    /// Whether the leading find has comps: only then it can be said what sets sell for.
    #[must_use]
    pub fn has_comps(&self) -> bool {
        self.members.first().is_some_and(|lead| !lead.records.comp_lines().is_empty())
    }

    /// The sets as a job of one find with a row for each of theirs: the free pieces with their measures and flaws, the
    /// cost of all, the comps of the leading find (counting sets), and the shop's settings. Where there are no comps,
    /// a lot is one set.
    ///
    /// # Errors
    /// When a record or setting can't be used.
    pub fn job(&self, desk: &Desk) -> Result<RecordJob, Stop> {
        let comps = self.members.first().map_or_else(Vec::new, |lead| lead.records.comp_lines());
        let mut find = Table::new();
        find.insert("name".to_owned(), Value::from(self.name()));
        let each = if comps.is_empty() { "per_lot" } else { "per_set" };
        if !comps.is_empty() {
            let lines: Vec<&str> = comps.iter().map(|(line, _)| line.as_str()).collect();
            find.insert("comps".to_owned(), Value::from(lines));
        }
        if let Some(grade) = self.asked.grade {
            find.insert("grade".to_owned(), Value::from(letter(grade)));
        }
        find.insert("paid".to_owned(), Value::from(self.basis().write()));
        let mut rows: Vec<Table> = Vec::new();
        for member in &self.members {
            let mut row =
                member.records.free_table(desk, member.records.flawed.len(), self.asked.flawed_grade);
            row.insert(each.to_owned(), Value::from(i64::from(member.each)));
            if let Some(share) = member.alone {
                row.insert("alone".to_owned(), Value::from(share));
            }
            rows.push(row);
        }
        let rows = told_apart(rows, &self.members);
        find.insert("piece".to_owned(), Value::Array(rows.into_iter().map(Value::Table).collect()));
        read_job(desk, &self.sheet, find, &comps)
    }

    /// What the sets are called in a job sheet.
    fn name(&self) -> String {
        let Some((lead, others)) = self.members.split_first() else { return String::new() };
        let others: Vec<String> = others.iter().map(|other| format!("find {}", other.records.find)).collect();
        format!("{} in sets with {}", lead.records.name(), others.join(" and "))
    }

    fn must_make_sets(&self) -> Result<(), Stop> {
        for member in &self.members {
            let (find, each, sound) = (member.records.find, member.each, sound(member));
            if each == 0 || each > sound {
                let right = match sound {
                    0 => String::from("a find with sound pieces on the shelf that are promised to nobody"),
                    _ => format!("from 1 to {sound} of it in a set"),
                };
                return Err(Stop::Input(format!(
                    "a set takes {each} of find {find}, and {sound} sound ones are free; right would be {right}"
                )));
            }
        }
        let together = self.members.iter().fold(0_u32, |sum, member| sum.saturating_add(member.each));
        if together > MOST_TOGETHER {
            return Err(Stop::Input(format!(
                "a set has {together} pieces; right would be at most {MOST_TOGETHER} of all finds together"
            )));
        }
        let divisor = self.members.iter().map(|member| member.each).fold(0, gcd);
        if self.has_comps() && divisor > 1 {
            let smaller: Vec<String> = self
                .members
                .iter()
                .map(|member| format!("{} of find {}", member.each / divisor, member.records.find))
                .collect();
            return Err(Stop::Input(format!(
                "this is {divisor} smaller sets in one, and comps count the smallest; right would be {}",
                smaller.join(" and ")
            )));
        }
        Ok(())
    }
}

fn sound(member: &SetMember) -> u32 {
    u32::try_from(member.records.sound.len()).unwrap_or(u32::MAX)
}

/// Rows whose plain words are the same, as two finds of saucers have, with their finds named.
fn told_apart(mut rows: Vec<Table>, members: &[SetMember]) -> Vec<Table> {
    let words: Vec<String> =
        rows.iter().zip(members).map(|(row, member)| word(row, &member.records.text)).collect();
    for ((row, member), own) in rows.iter_mut().zip(members).zip(&words) {
        if words.iter().filter(|other| *other == own).count() > 1 {
            // The word for a piece stays last, so that its plural is made at its end.
            row.insert("what".to_owned(), Value::from(format!("find {} {own}", member.records.find)));
        }
    }
    rows
}

fn word(row: &Table, text: &FindText) -> String {
    row.get("what").and_then(Value::as_str).unwrap_or(&text.form).to_owned()
}
