//! What can be wrong with a record, a request or the file itself.

use std::path::PathBuf;

use books::BooksError;
use jiff::civil::Date;
use rusqlite::{ErrorCode, ffi};

use crate::Record;

/// Why something was not stored or could not be read. A write that fails has stored nothing.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ShopError {
    /// A field that can't be used.
    #[error("{record}: {field} can't be {found}; right would be {right}")]
    Wrong {
        /// The record.
        record: Record,
        /// The field.
        field: &'static str,
        /// What was found.
        found: String,
        /// What would be right.
        right: &'static str,
    },
    /// A field in a form that can't be written down, such as a length that is no number.
    #[error("{record}: {reason}")]
    Unwritable {
        /// The record.
        record: Record,
        /// What is wrong, and what would be right.
        reason: String,
    },
    /// A rule of the file that was broken; the rule names the field and what is right.
    #[error("nothing was stored: {rule}")]
    Refused {
        /// The rule.
        rule: String,
    },
    /// A record that isn't there.
    #[error("there is no {record} {number}")]
    Missing {
        /// Which kind of record.
        record: Record,
        /// Its number.
        number: u64,
    },
    /// A record in a state in which this can't happen.
    #[error("{record} {number} is {is}; this needs one that is {wanted}")]
    State {
        /// Which kind of record.
        record: Record,
        /// Its number.
        number: u64,
        /// Its state.
        is: String,
        /// What is needed.
        wanted: &'static str,
    },
    /// An order of a day before the haul of what it takes.
    #[error(
        "an order of {ordered_on} can't take pieces of find {find}, which was bought on {bought_on}; right would be \
         a day from then on"
    )]
    BeforeHaul {
        /// The find.
        find: u64,
        /// The day of its haul.
        bought_on: Date,
        /// The day of the order.
        ordered_on: Date,
    },
    /// More lots wanted than a listing has left.
    #[error("listing {listing} has {} left, {} wanted; nothing was stored", counted(*left, "lot"), are(*wanted))]
    TooFewLots {
        /// The listing.
        listing: u64,
        /// Wanted.
        wanted: u32,
        /// Listed, less reserved and sold.
        left: u32,
    },
    /// More pieces wanted than are on hand and not promised to another order.
    #[error(
        "find {find} has {} on hand of that kind and promised to nobody, {} wanted",
        counted(*left, "piece"), are(*wanted)
    )]
    TooFewPieces {
        /// The find.
        find: u64,
        /// Wanted.
        wanted: u32,
        /// On hand and free.
        left: u32,
    },
    /// Something imported a second time.
    #[error("{external} from {source_name} was stored before, as event {event}; nothing was stored")]
    Twice {
        /// Where it comes from.
        source_name: String,
        /// Its number there.
        external: String,
        /// The event that holds it.
        event: i64,
    },
    /// What the books don't accept.
    #[error(transparent)]
    Books(#[from] BooksError),
    /// Another program is writing.
    #[error("another program is using the shop file; nothing was stored, try again")]
    Busy,
    /// No space.
    #[error("the disk is full; nothing was stored, free some space and try again")]
    DiskFull,
    /// A file that can't be written to.
    #[error("the shop file can't be written to; nothing was stored, check its permissions")]
    ReadOnly,
    /// A file that isn't there, or is there already.
    #[error("{}: {reason}", path.display())]
    File {
        /// The file.
        path: PathBuf,
        /// What is wrong and what would be right.
        reason: String,
    },
    /// A file of another program, or no such file at all.
    #[error("{} is not a shop file ({found}); choose a file that was made here", path.display())]
    NotAShop {
        /// The file.
        path: PathBuf,
        /// What it is.
        found: String,
    },
    /// A file of a newer version of this program.
    #[error(
        "{} is of version {found}, this program reads up to {known}; use the newer program, the file is unchanged",
        path.display()
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its version.
        found: i64,
        /// The newest version known here.
        known: i64,
    },
    /// A file that fails its checks.
    #[error("the shop file is damaged: {what}; restore a backup")]
    Damaged {
        /// What was found.
        what: String,
    },
    /// A table that can't be written out, or read in.
    #[error("{what} can't be read: {reason}")]
    Unreadable {
        /// What it is.
        what: String,
        /// Why.
        reason: String,
    },
    /// Anything else the database says.
    #[error("the shop file: {reason}; nothing was stored")]
    Store {
        /// What it says.
        reason: String,
    },
}

fn counted(count: u32, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {}", measure::plural(what)) }
}

fn are(count: u32) -> String {
    format!("{count} {}", if count == 1 { "is" } else { "are" })
}

impl ShopError {
    pub(crate) fn damaged(what: impl Into<String>) -> Self {
        Self::Damaged { what: what.into() }
    }
}

impl From<rusqlite::Error> for ShopError {
    fn from(error: rusqlite::Error) -> Self {
        let reason = match &error {
            rusqlite::Error::SqliteFailure(_, Some(message)) => message.clone(),
            other => other.to_string(),
        };
        let Some(code) = error.sqlite_error_code() else { return Self::Store { reason } };
        // Every other code says no more than its message.
        match code {
            ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => Self::Busy,
            ErrorCode::DiskFull => Self::DiskFull,
            ErrorCode::ReadOnly => Self::ReadOnly,
            ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase => Self::Damaged { what: reason },
            ErrorCode::ConstraintViolation => Self::Refused { rule: rule(&error, &reason) },
            _ => Self::Store { reason },
        }
    }
}

/// A broken rule in words. Rules with a name of their own say in it what is right.
fn rule(error: &rusqlite::Error, reason: &str) -> String {
    let extended = match error {
        rusqlite::Error::SqliteFailure(failure, _) => failure.extended_code,
        _ => 0,
    };
    let named = reason.split_once("constraint failed: ").map_or(reason, |(_, named)| named);
    match extended {
        ffi::SQLITE_CONSTRAINT_FOREIGNKEY => {
            "a record that this one refers to isn't there, or others still refer to this one".to_owned()
        }
        ffi::SQLITE_CONSTRAINT_UNIQUE | ffi::SQLITE_CONSTRAINT_PRIMARYKEY => {
            format!("there is one with the same {} already; right would be another", named.replace('.', " "))
        }
        ffi::SQLITE_CONSTRAINT_NOTNULL => format!("{} must be given", named.replace('.', " ")),
        _ => named.to_owned(),
    }
}
