//! Writes the shop file of version 1 that a test opens and takes to the newest version: the first step of the schema
//! and the rows kept beside the tests. Give it the name of the file to write.

use std::error::Error;

use rusqlite::Connection;

const SCHEMA: &str = include_str!("../src/schema/version_1.sql");
const ROWS: &str = include_str!("../tests/data/version_1_rows.sql");

fn main() -> Result<(), Box<dyn Error>> {
    let name = std::env::args().nth(1).ok_or("give the name of the file to write")?;
    if std::path::Path::new(&name).exists() {
        return Err(format!("{name} exists already; choose another name").into());
    }
    let conn = Connection::open(&name)?;
    conn.execute_batch("PRAGMA foreign_keys = off;")?;
    conn.execute_batch(SCHEMA)?;
    conn.execute_batch(&format!("BEGIN; {ROWS} COMMIT;"))?;
    conn.pragma_update(None, "application_id", shop::APPLICATION_ID)?;
    conn.pragma_update(None, "user_version", 1)?;
    Ok(())
}
