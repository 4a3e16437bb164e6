//! Sets of pieces of several finds, and into which lots of sets they are split.

use books::FindId;
use jiff::civil::Date;
use shop::{Shop, Split, Stamp};

use crate::{Stop, waits};

/// Most finds in a set, as in a lot of a listing.
pub const MOST_IN_SET: usize = 20;
/// Most pieces of a find in one set.
const MOST_EACH: u32 = 1000;

/// What one set holds of a find.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SetPart {
    /// The find.
    pub find: FindId,
    /// Pieces of it in one set, at least 1.
    pub each: u32,
}

/// A decision how sets are split into lots.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetDecision {
    /// What one set holds; the first find leads.
    pub parts: Vec<SetPart>,
    /// Sets in each lot.
    pub lots: Vec<u32>,
    /// Sets kept to replace a broken one.
    pub spare: u32,
    /// The day it was decided.
    pub date: Date,
    /// Why.
    pub note: String,
}

/// What a set holds of other finds beside the leading one, a line each: "1 of 3" is one piece of find 3.
///
/// # Errors
/// The line that is wrong, and what would be right.
pub fn set_parts_told(text: &str, lead: FindId) -> Result<Vec<SetPart>, String> {
    const RIGHT: &str = "right would be: 1 of 3, one piece of find 3 in each set";
    let mut parts: Vec<SetPart> = Vec::new();
    for (line, told) in (1..).zip(text.lines()).filter(|(_, told)| !told.trim().is_empty()) {
        let beginning: String = told.trim().chars().take(40).collect();
        let wrong = |what: &str| format!("line {line}: {what}; {RIGHT}");
        let (each, find) =
            told.split_once("of").ok_or_else(|| wrong(&format!("\"{beginning}\" can't be read")))?;
        let find = find.trim().trim_start_matches("find").trim_start_matches('#').trim();
        let read = each.trim().parse::<u32>().ok().zip(find.parse::<u64>().ok());
        let read = read.filter(|(each, _)| (1..=MOST_EACH).contains(each));
        let (each, find) = read.ok_or_else(|| wrong(&format!("\"{beginning}\" can't be read")))?;
        let find = FindId(find);
        if find == lead || parts.iter().any(|part| part.find == find) {
            return Err(wrong(&format!("find {find} is named twice")));
        }
        parts.push(SetPart { find, each });
    }
    if parts.is_empty() {
        return Err(format!("no other find is named; {RIGHT}"));
    }
    if parts.len() >= MOST_IN_SET {
        return Err(format!("these are more than {MOST_IN_SET} finds in a set; {RIGHT}"));
    }
    Ok(parts)
}

/// Sound pieces of a find that are on the shelf and promised to nobody.
///
/// # Errors
/// When there is no such find, or the file can't be read.
pub fn sound_and_free(shop: &Shop, find: FindId) -> Result<u32, Stop> {
    let free = shop.pieces(find)?.into_iter().filter(|piece| waits(piece) && !piece.flawed).count();
    Ok(u32::try_from(free).unwrap_or(u32::MAX))
}

/// Keeps a decision on sets: one decision for each find, all of them or none. Gives their numbers, that of the leading
/// find first.
///
/// # Errors
/// Which find has too few pieces, and how many sets there could be.
pub fn keep_sets(shop: &mut Shop, stamp: &Stamp, decision: &SetDecision) -> Result<Vec<u64>, Stop> {
    let sets = decision.lots.iter().fold(decision.spare, |sum, lot| sum.saturating_add(*lot));
    for part in &decision.parts {
        let (there, taken) = (sound_and_free(shop, part.find)?, sets.saturating_mul(part.each));
        if taken > there {
            return Err(Stop::Input(format!(
                "{sets} sets take {taken} pieces of find {}, and {there} sound ones are free; right would be at most \
                 {} sets in all",
                part.find,
                there / part.each.max(1)
            )));
        }
    }
    let names: Vec<String> =
        decision.parts.iter().map(|part| format!("{} of find {}", part.each, part.find)).collect();
    let own = if decision.note.is_empty() { String::new() } else { format!(" {}", decision.note) };
    let split = |part: &SetPart| Split {
        find: part.find,
        date: decision.date,
        lots: decision.lots.iter().map(|sets| sets.saturating_mul(part.each)).collect(),
        spare: decision.spare.saturating_mul(part.each),
        note: format!("Sets of {}.{own}", names.join(" and ")),
    };
    let splits: Vec<Split> = decision.parts.iter().map(split).collect();
    Ok(shop.note_all(stamp, &splits)?)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)] // A test fails by panicking.
mod tests {
    use super::*;

    #[test]
    fn parts_of_a_set_are_read_line_by_line_and_each_find_is_named_once() {
        let parts = set_parts_told("1 of 3\n\n 2 of find 4", FindId(1)).unwrap();
        assert_eq!(parts, [(3, 1), (4, 2)].map(|(find, each)| SetPart { find: FindId(find), each }));
        for wrong in ["", "  \n", "3", "0 of 3", "-1 of 3", "1 of 1", "1 of 3\n1 of 3", "1001 of 3", "1 of x"]
        {
            let why = set_parts_told(wrong, FindId(1)).unwrap_err();
            assert!(why.contains("right would be"), "{wrong}: {why}");
        }
        let many: String = (2..30).map(|find| format!("1 of {find}\n")).collect();
        assert!(set_parts_told(&many, FindId(1)).unwrap_err().contains("more than"));
    }
}
