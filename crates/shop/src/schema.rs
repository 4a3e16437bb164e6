//! The versions of the file, each a step from the one before.

use rusqlite::{Connection, TransactionBehavior};

use crate::ShopError;

/// What stands in the head of every shop file: "LotW".
pub const APPLICATION_ID: i32 = 0x4C6F_7457;

/// The steps: the first makes an empty file one of version 1.
pub(crate) const STEPS: &[&str] = &[
    include_str!("schema/version_1.sql"),
    include_str!("schema/version_2.sql"),
    include_str!("schema/version_3.sql"),
    include_str!("schema/version_4.sql"),
];

/// The version that this program writes.
pub const VERSION: i64 = STEPS.len() as i64;

pub(crate) fn version_of(conn: &Connection) -> Result<i64, ShopError> {
    Ok(conn.pragma_query_value(None, "user_version", |row| row.get(0))?)
}

pub(crate) fn application_of(conn: &Connection) -> Result<i32, ShopError> {
    Ok(conn.pragma_query_value(None, "application_id", |row| row.get(0))?)
}

/// Takes a file from its version to the newest, all steps in one transaction.
pub(crate) fn migrate(conn: &mut Connection) -> Result<(), ShopError> {
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Another program may have done it while this one waited for its turn.
    let version = version_of(&tx)?;
    for step in STEPS.iter().skip(usize::try_from(version).unwrap_or(usize::MAX)) {
        tx.execute_batch(step)?;
    }
    if version < VERSION {
        tx.pragma_update(None, "application_id", APPLICATION_ID)?;
        tx.pragma_update(None, "user_version", VERSION)?;
    }
    tx.commit()?;
    Ok(())
}
