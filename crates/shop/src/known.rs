//! What is known of the tables from one event to the next of the same piece of work, so that it isn't asked again.
//!
//! Nothing of it outlives the transaction, and all of it is forgotten where a part of the work is taken back.

use std::collections::BTreeMap;

use books::FindId;

use crate::Record;
use crate::listing::Which;

/// The tables as they were left by the events before.
#[derive(Debug, Default)]
pub(crate) struct Known {
    last: BTreeMap<Record, u64>,
    free_from: BTreeMap<(FindId, Which), u32>,
    puts: Vec<Put>,
    /// The statements for rows of the records of an event, by how many rows.
    about: BTreeMap<usize, String>,
}

/// How a row with certain columns is written to a table.
#[derive(Debug)]
struct Put {
    table: String,
    columns: Vec<String>,
    sql: String,
}

impl Known {
    /// The last number that was given out for a kind of record, where that was asked before.
    pub(crate) fn last(&self, record: Record) -> Option<u64> {
        self.last.get(&record).copied()
    }

    /// What a question for the next number of a kind came to.
    pub(crate) fn asked(&mut self, record: Record, next: u64) {
        self.last.insert(record, next.saturating_sub(1));
    }

    /// A record of that number is there, be it new or not.
    pub(crate) fn given(&mut self, record: Record, number: u64) {
        if let Some(last) = self.last.get_mut(&record) {
            *last = number.max(*last);
        }
    }

    /// The least number that a free piece of a find can have.
    pub(crate) fn free_from(&self, find: FindId, which: Which) -> u32 {
        self.free_from.get(&(find, which)).copied().unwrap_or_default()
    }

    /// All such pieces up to a number are promised, or not on hand.
    pub(crate) fn promised_upto(&mut self, find: FindId, which: Which, number: u32) {
        self.free_from.insert((find, which), number.saturating_add(1));
    }

    /// Pieces may be free again.
    pub(crate) fn forget_free(&mut self) {
        self.free_from.clear();
    }

    /// What was done since is taken back.
    pub(crate) fn forget(&mut self) {
        self.last.clear();
        self.forget_free();
    }

    /// The statement that tells which records an event is about, so many at once: the event, then kind and number
    /// of each.
    pub(crate) fn about_sql(&mut self, count: usize) -> &str {
        self.about.entry(count).or_insert_with(|| {
            let row = |at: usize| format!("(?1, ?{}, ?{})", 2 * at + 2, 2 * at + 3);
            let rows: Vec<String> = (0..count).map(row).collect();
            // Whoever fails takes back all that the event did. To take back these rows first, as is usual, would cost
            // a copy of every page that they go to.
            format!("INSERT OR FAIL INTO event_record (event, record, number) VALUES {}", rows.join(", "))
        })
    }

    /// The statement for a row of a table, if one with the same columns was written before.
    pub(crate) fn statement<'n>(
        &self,
        table: &str,
        columns: impl ExactSizeIterator<Item = &'n String> + Clone,
    ) -> Option<&str> {
        let same = |put: &&Put| {
            put.table == table && put.columns.len() == columns.len() && columns.clone().eq(&put.columns)
        };
        self.puts.iter().find(same).map(|put| put.sql.as_str())
    }

    /// Remembers the statement for rows of a table.
    pub(crate) fn remember(&mut self, table: &str, columns: Vec<String>, sql: String) {
        self.puts.push(Put { table: table.to_owned(), columns, sql });
    }
}

#[cfg(test)]
mod tests {
    use books::FindId;

    use super::Known;
    use crate::Record;
    use crate::listing::Which;

    #[test]
    fn what_was_taken_back_is_not_known() {
        let mut known = Known::default();
        known.given(Record::Order, 7);
        assert_eq!(known.last(Record::Order), None, "nobody asked the file yet");
        known.asked(Record::Order, 7);
        assert_eq!(known.last(Record::Order), Some(6));
        known.given(Record::Order, 9);
        known.given(Record::Order, 8);
        assert_eq!(known.last(Record::Order), Some(9));
        known.promised_upto(FindId(1), Which::Sound, 3);
        assert_eq!(known.free_from(FindId(1), Which::Sound), 4);
        assert_eq!(known.free_from(FindId(1), Which::Any), 0);
        known.forget();
        assert_eq!(known.last(Record::Order), None);
        assert_eq!(known.free_from(FindId(1), Which::Sound), 0);
    }
}
