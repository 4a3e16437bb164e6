//! A split that was worked out becomes a decision on a find.

use books::FindId;
use keeping::{SetDecision, SetPart};
use shop::Split;

use super::door::{Where, refused};
use crate::problems::Stop;
use crate::words::wrapped;

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
    if told.is_empty() { String::from("no lots") } else { told.join(", ") }
}

/// Notes a decision and says so.
pub fn keep_split(door: &Where, find: u64, lots: Vec<u32>, spare: u32, note: &str) -> Result<String, Stop> {
    let (mut shop, when) = door.open()?;
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

/// Notes a decision on sets, one for each of their finds, and says so.
pub fn keep_worked_sets(
    door: &Where,
    parts: &[SetPart],
    lots: Vec<u32>,
    spare: u32,
    note: &str,
) -> Result<String, Stop> {
    let (mut shop, when) = door.open()?;
    if lots.is_empty() {
        return Err(Stop::input(
            "--keep: no lot of sets is worth a parcel, so there is nothing to keep; right would be pieces by themselves",
        ));
    }
    let words = lots_in_words(&lots);
    let finds: Vec<String> = parts.iter().map(|part| format!("find {}", part.find)).collect();
    let decision = SetDecision { parts: parts.to_vec(), lots, spare, date: when.day, note: note.to_owned() };
    keeping::keep_sets(&mut shop, &when.stamp(), &decision)?;
    Ok(wrapped("", &format!("Kept for {}, in sets: {words}.", finds.join(" and "))) + "\n")
}
