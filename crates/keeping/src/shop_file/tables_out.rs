//! Every table as CSV, in one zip file.

use std::io::{Cursor, Write};

use shop::Shop;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use crate::Stop;

/// Every table as a CSV file, all of them in one zip file.
///
/// # Errors
/// When the shop file can't be read.
pub fn tables_zipped(shop: &Shop) -> Result<Vec<u8>, Stop> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (table, text) in shop.export_csv()? {
        zip.start_file(format!("{table}.csv"), SimpleFileOptions::default()).map_err(Stop::outside)?;
        zip.write_all(text.as_bytes()).map_err(Stop::outside)?;
    }
    Ok(zip.finish().map_err(Stop::outside)?.into_inner())
}
