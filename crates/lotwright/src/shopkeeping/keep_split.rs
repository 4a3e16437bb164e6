//! A split that was worked out becomes a decision on a find.

use std::path::PathBuf;

use books::FindId;
use shop::Split;

use super::door::{Where, refused};
use crate::problems::Stop;
use crate::words::{names, wrapped};

/// Lot sizes by count, the largest first: "3 lots of 4, 1 lot of 2".
pub fn lots_in_words(lots: &[u32]) -> String {
    let mut counts: std::collections::BTreeMap<u32, u32> = std::collections::BTreeMap::new();
    for &size in lots {
        *counts.entry(size).or_default() += 1;
    }
    let told: Vec<String> = counts
        .iter()
        .rev()
        .map(|(size, count)| format!("{} of {size}", crate::words::plural(*count, "lot")))
        .collect();
    if told.is_empty() { String::from("no lots") } else { names(told.iter().map(String::as_str)) }
}

/// Notes a decision and says so.
pub fn keep_split(
    shop: Option<PathBuf>,
    find: u64,
    lots: Vec<u32>,
    spare: u32,
    note: &str,
) -> Result<String, Stop> {
    let (mut shop, when) = Where { shop, ..Where::default() }.open()?;
    let find = FindId(find);
    let pieces = shop.pieces(find).map_err(refused)?.len();
    let wanted: u64 = lots.iter().copied().map(u64::from).sum::<u64>() + u64::from(spare);
    if wanted > u64::try_from(pieces).unwrap_or(u64::MAX) {
        return Err(Stop::Input(format!(
            "--keep {find}: the split takes {wanted} sets, the find has {pieces} pieces; right would be a split of \
             that find"
        )));
    }
    let what = shop.find_text(find).map_err(refused)?.description;
    let words = lots_in_words(&lots);
    shop.note(&when.stamp(), &Split { find, date: when.day, lots, spare, note: note.to_owned() })
        .map_err(refused)?;
    Ok(wrapped("", &format!("Kept for find {find}, {what}: {words}.")) + "\n")
}
