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

/// What a piece of a find is worth by itself beside a set that it could be in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alone {
    /// The find.
    pub find: FindId,
    /// Share of a set, from 0 to 1.
    pub share: f64,
}

/// A set as it is told, to be reckoned.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SetTold {
    /// What one set holds; the first find leads.
    pub parts: Vec<SetPart>,
    /// What pieces are worth by themselves, where that is said.
    pub alone: Vec<Alone>,
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

/// What pieces of a set are worth by themselves, a line each: "2: 55 %" says that one of find 2 is worth 55 % of a set.
/// Lines may be left out, all of them too.
///
/// # Errors
/// The line that is wrong, and what would be right.
pub fn alone_told(text: &str, parts: &[SetPart]) -> Result<Vec<Alone>, String> {
    let named = parts.first().map_or_else(|| String::from("2"), |part| part.find.to_string());
    let right =
        format!("right would be: {named}: 55 %, one of find {named} by itself is worth 55 % of a set");
    let mut out: Vec<Alone> = Vec::new();
    for (line, told) in (1..).zip(text.lines()).filter(|(_, told)| !told.trim().is_empty()) {
        let beginning: String = told.trim().chars().take(40).collect();
        let unread = || format!("line {line}: \"{beginning}\" can't be read; {right}");
        let (find, share) = told.split_once(':').ok_or_else(unread)?;
        let find = find.trim().trim_start_matches("find").trim_start_matches('#').trim();
        let share = share.trim().strip_suffix('%').and_then(|share| share.trim().parse::<f64>().ok());
        let read = find.parse::<u64>().ok().zip(share.filter(|share| (0.0..=100.0).contains(share)));
        let (find, share) = read.ok_or_else(unread)?;
        let (find, share) = (FindId(find), share / 100.0);
        if parts.iter().all(|part| part.find != find) {
            return Err(format!("line {line}: no piece of find {find} is in the set; {right}"));
        }
        if out.iter().any(|known| known.find == find) {
            return Err(format!("line {line}: find {find} is named twice; {right}"));
        }
        out.push(Alone { find, share });
    }
    Ok(out)
}

/// What one set holds, out of decisions that were made together: the smallest whole numbers in the ratio of their lots.
/// `None` where the lots are in no one ratio.
#[must_use]
pub fn set_of(decisions: &[&Split]) -> Option<Vec<SetPart>> {
    let first: Vec<u32> = decisions.iter().map(|one| one.lots.first().copied()).collect::<Option<_>>()?;
    let divisor = first.iter().copied().fold(0, gcd);
    let parts: Vec<SetPart> = decisions
        .iter()
        .zip(first)
        .map(|(one, pieces)| Some(SetPart { find: one.find, each: pieces.checked_div(divisor)? }))
        .collect::<Option<_>>()?;
    let (lead, each) = (decisions.first()?, parts.first()?.each);
    let in_step = |one: &Split, part: &SetPart| {
        let theirs = one.lots.iter().map(|pieces| u64::from(*pieces) * u64::from(each));
        part.each > 0 && theirs.eq(lead.lots.iter().map(|pieces| u64::from(*pieces) * u64::from(part.each)))
    };
    decisions.iter().zip(&parts).all(|(one, part)| in_step(one, part)).then_some(parts)
}

pub(crate) const fn gcd(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { gcd(b, a % b) }
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

    #[test]
    fn what_a_piece_is_worth_by_itself_is_told_of_the_finds_in_the_set_and_of_each_once() {
        let parts = [(2, 1), (3, 2)].map(|(find, each)| SetPart { find: FindId(find), each });
        let told = alone_told("2: 55 %\n\n find 3: 0%\r\n", &parts).unwrap();
        assert_eq!(told, [(2, 0.55), (3, 0.0)].map(|(find, share)| Alone { find: FindId(find), share }));
        assert_eq!(alone_told(" \n", &parts), Ok(Vec::new()));
        for wrong in
            ["55 %", "2: 55", "2: 0.55", "2: 101 %", "2: -1 %", "2: NaN %", "4: 5 %", "2: 5 %\n2: 6 %", ":%"]
        {
            let why = alone_told(wrong, &parts).unwrap_err();
            assert!(why.contains("right would be: 2: 55 %"), "{wrong}: {why}");
        }
    }

    #[test]
    fn a_set_is_read_back_from_decisions_in_step_and_from_no_others() {
        let split = |find, lots: &[u32]| Split {
            find: FindId(find),
            date: jiff::civil::date(2026, 11, 20),
            lots: lots.to_vec(),
            spare: 0,
            note: String::new(),
        };
        let (cups, saucers) = (split(2, &[4, 2]), split(3, &[8, 4]));
        let parts = [(2, 1), (3, 2)].map(|(find, each)| SetPart { find: FindId(find), each });
        assert_eq!(set_of(&[&cups, &saucers]), Some(parts.to_vec()));
        for (one, other) in [
            (&[4, 2][..], &[8, 2][..]),
            (&[4, 2], &[8]),
            (&[4], &[8, 4]),
            (&[], &[]),
            (&[0, 0], &[0, 0]),
            (&[4], &[0]),
        ] {
            assert_eq!(set_of(&[&split(2, one), &split(3, other)]), None, "{one:?} {other:?}");
        }
        assert_eq!(set_of(&[]), None);
    }
}
