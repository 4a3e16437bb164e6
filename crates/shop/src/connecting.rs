//! The file as SQLite opens it, and how a shop file is told from others.

use std::path::Path;
use std::time::Duration;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};

use crate::ShopError;
use crate::schema::{self, APPLICATION_ID, VERSION};

/// How long a write waits for another program to finish its own (judgement).
const PATIENCE: Duration = Duration::from_secs(5);

/// Statements that are kept ready. An order takes about thirty; with fewer places than that each would be prepared
/// anew for every order (judgement: all that one piece of work takes, with room).
const STATEMENTS: usize = 128;

/// Pages of the file that are kept in memory, KiB; with fewer, a large import writes the same pages to disk again and
/// again before it is confirmed (judgement).
const CACHE_KIB: i64 = 64 * 1024;

/// Pages of the file that a further handle keeps in memory, KiB: what it reads it finds with the others in the
/// system's own memory (judgement).
pub(crate) const FURTHER_CACHE_KIB: i64 = 8 * 1024;

pub(crate) fn settle(conn: &Connection) -> Result<(), ShopError> {
    conn.set_prepared_statement_cache_capacity(STATEMENTS);
    conn.pragma_update(None, "cache_size", -CACHE_KIB)?;
    // What a part that fails is put back from is kept in memory, not in a file beside.
    conn.pragma_update(None, "temp_store", "memory")?;
    conn.busy_timeout(PATIENCE)?;
    conn.pragma_update(None, "foreign_keys", true)?;
    conn.pragma_update(None, "trusted_schema", false)?;
    // Otherwise a statement that is kept ready is planned anew for every other value that it is asked with.
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)?;
    Ok(())
}

pub(crate) fn connect(path: &Path, flags: OpenFlags) -> Result<Connection, ShopError> {
    let conn = Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)
        .map_err(|error| file_error(path, &error))?;
    settle(&conn)?;
    conn.pragma_update(None, "journal_mode", "wal")?;
    // What was confirmed survives also a power cut.
    conn.pragma_update(None, "synchronous", "full")?;
    Ok(conn)
}

fn file_error(path: &Path, error: &rusqlite::Error) -> ShopError {
    ShopError::File { path: path.to_owned(), reason: format!("can't be opened: {error}") }
}

/// Looks at a file without changing it: a shop file of a version known here, or an error.
pub(crate) fn recognise(path: &Path) -> Result<i64, ShopError> {
    if !path.is_file() {
        let reason = "there is no such file; check the name, or make a new one".to_owned();
        return Err(ShopError::File { path: path.to_owned(), reason });
    }
    let conn = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY)
        .map_err(|error| file_error(path, &error))?;
    conn.busy_timeout(PATIENCE)?;
    let not_a_shop = |found: String| ShopError::NotAShop { path: path.to_owned(), found };
    let application = match schema::application_of(&conn) {
        Ok(application) => application,
        Err(ShopError::Damaged { what }) => return Err(not_a_shop(what)),
        Err(other) => return Err(other),
    };
    if application != APPLICATION_ID {
        return Err(not_a_shop(format!("its application number is {application}")));
    }
    let found = schema::version_of(&conn)?;
    if found > VERSION {
        return Err(ShopError::Newer { path: path.to_owned(), found, known: VERSION });
    }
    if found < 1 {
        return Err(not_a_shop(format!("its version is {found}")));
    }
    Ok(found)
}
