//! An order that is sent in parts: which pieces lie in which parcel, what went, and what still waits.

use std::collections::BTreeMap;

use books::{FindId, OrderId, Purse};
use jiff::civil::Date;
use shop::{ParcelActual, PartSent, PieceRef, PullRow, Record, Shipped, Shop, Stamp, StandingParcel};

use crate::{Stop, promised};

/// A parcel at the door: one that was planned, or one that was needed beside those.
#[derive(Debug, Clone, PartialEq)]
pub struct AtDoor {
    /// Its number in the file, where it was planned.
    pub parcel: Option<u64>,
    /// Whether it goes now; else it waits.
    pub goes: bool,
    /// The pieces in it; none where the person didn't say.
    pub pieces: Option<Vec<PieceRef>>,
    /// As it leaves.
    pub actual: ParcelActual,
}

/// What is wrong with a sending: of which parcel (from 0; none for the whole), and what.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{why}")]
pub struct SendingWrong {
    /// The parcel, from 0.
    pub parcel: Option<usize>,
    /// What is wrong, and what would be right.
    pub why: String,
}

/// What is to be entered of parcels at the door.
#[derive(Debug, Clone, PartialEq)]
pub enum Sending {
    /// All of the order, or all that was left of it.
    Whole(Shipped),
    /// Some of it; the rest waits.
    Parts(Vec<PartSent>),
}

/// The pieces that each waiting parcel holds by its plan, out of those that the order still waits for: the lowest
/// numbers of a find go into the first parcel that takes some of it. What no plan speaks of lies in the last.
#[must_use]
pub fn pieces_by_plan(waiting: &[StandingParcel], pull: &[PullRow]) -> Vec<Vec<PieceRef>> {
    let mut left: BTreeMap<FindId, Vec<u32>> = BTreeMap::new();
    for row in pull {
        left.entry(row.find).or_default().extend(&row.pieces);
    }
    for numbers in left.values_mut() {
        numbers.sort_unstable_by(|a, b| b.cmp(a));
    }
    let mut parcels = Vec::with_capacity(waiting.len());
    for parcel in waiting {
        let mut pieces = Vec::new();
        for (find, count) in held_by_plan(parcel) {
            let numbers = left.entry(find).or_default();
            for _ in 0..count {
                let Some(number) = numbers.pop() else { break };
                pieces.push(PieceRef { find, number });
            }
        }
        parcels.push(pieces);
    }
    if let Some(last) = parcels.last_mut() {
        for (find, numbers) in left {
            last.extend(numbers.into_iter().map(|number| PieceRef { find, number }));
        }
        last.sort_unstable();
    }
    parcels
}

/// Pieces of each find in a parcel, as its plan has them.
fn held_by_plan(parcel: &StandingParcel) -> Vec<(FindId, u32)> {
    let plan: Result<plan::Parcel, _> = serde_json::from_value(parcel.plan.plan.clone());
    let Ok(plan) = plan else { return Vec::new() };
    let rows = plan.contents().into_iter().filter(|row| !row.what.starts_with(LID));
    rows.filter_map(|row| Some((FindId(crate::bench_plan::find_named(&row.find)?), row.count))).collect()
}

/// What lids that lie apart are called in a plan; they are no pieces of their own.
const LID: &str = "lid of ";

/// Puts together what is entered of the parcels at the door. All of them with all pieces are the order as a whole;
/// what waits, or lies in no parcel, stays promised.
///
/// # Errors
/// When nothing goes, a parcel that goes is empty, or a piece lies in two of them or isn't promised to the order.
pub fn sending(
    order: OrderId,
    (date, postage_from): (Date, Purse),
    at_door: &[AtDoor],
    by_plan: &[Vec<PieceRef>],
    promised: &[PieceRef],
) -> Result<Sending, SendingWrong> {
    let wrong = |parcel: usize, why: String| SendingWrong { parcel: Some(parcel), why };
    let told = at_door.iter().any(|one| one.pieces.is_some());
    if at_door.iter().all(|one| one.goes) && !told {
        let parcels = at_door.iter().map(|one| one.actual.clone()).collect();
        return Ok(Sending::Whole(Shipped { order, date, postage_from, parcels }));
    }
    let mut seen: BTreeMap<PieceRef, usize> = BTreeMap::new();
    let (mut parts, mut empty) = (Vec::new(), None);
    for (k, one) in at_door.iter().enumerate().filter(|(_, one)| one.goes) {
        let pieces = match &one.pieces {
            Some(pieces) => pieces.clone(),
            None => by_plan.get(k).cloned().unwrap_or_default(),
        };
        if pieces.is_empty() {
            empty.get_or_insert(k);
        }
        for piece in &pieces {
            if !promised.contains(piece) {
                return Err(wrong(
                    k,
                    format!(
                        "piece {} of find {} isn't promised to order {order}; right would be: {}",
                        piece.number,
                        piece.find,
                        crate::pieces_written(promised)
                    ),
                ));
            }
            if let Some(other) = seen.insert(*piece, k) {
                let place = if other == k {
                    String::from("twice here")
                } else {
                    format!("in parcel {} too", other + 1)
                };
                return Err(wrong(
                    k,
                    format!(
                        "piece {} of find {} lies {place}; right would be each piece once",
                        piece.number, piece.find
                    ),
                ));
            }
        }
        parts.push(PartSent {
            order,
            date,
            postage_from,
            parcel: one.parcel,
            pieces,
            actual: one.actual.clone(),
        });
    }
    if parts.is_empty() {
        let why = String::from("no parcel goes; right would be at least one that does");
        return Err(SendingWrong { parcel: None, why });
    }
    if at_door.iter().all(|one| one.goes) && seen.len() == promised.len() {
        let parcels = parts.into_iter().map(|part| part.actual).collect();
        return Ok(Sending::Whole(Shipped { order, date, postage_from, parcels }));
    }
    if let Some(k) = empty {
        let why = "it goes and holds nothing; right would be the pieces in it, such as 1:1-4";
        return Err(wrong(k, why.to_owned()));
    }
    Ok(Sending::Parts(parts))
}

/// Enters what was put together: all of it, or nothing.
///
/// # Errors
/// When the order isn't open or isn't paid, or supplies are short.
pub fn send(shop: &mut Shop, stamp: &Stamp, sending: &Sending) -> Result<(), Stop> {
    match sending {
        Sending::Whole(shipped) => shop.ship_order(stamp, shipped)?,
        Sending::Parts(parts) => shop.ship_parts(stamp, parts)?,
    }
    Ok(())
}

/// How far an order that is sent in parts is.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PartsGone {
    /// Pieces of each parcel that went by itself, by the parcel's number in the file.
    pub gone: BTreeMap<u64, Vec<PieceRef>>,
    /// Pieces that still wait.
    pub waiting: Vec<PieceRef>,
}

impl PartsGone {
    /// Reads what of an order went in parts.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn read(shop: &Shop, order: OrderId, parcels: &[StandingParcel]) -> Result<Self, Stop> {
        let mut found = Self { waiting: promised(shop, order)?, ..Self::default() };
        for parcel in parcels.iter().filter(|parcel| parcel.actual.is_some()) {
            let history = shop.history(Record::Parcel, parcel.id)?;
            let sent = history.into_iter().rfind(|row| row.kind == "part_sent");
            let pieces = sent.and_then(|mut row| {
                let pieces = row.entered.get_mut("pieces")?.take();
                serde_json::from_value::<Vec<PieceRef>>(pieces).ok()
            });
            if let Some(pieces) = pieces {
                found.gone.insert(parcel.id, pieces);
            }
        }
        Ok(found)
    }

    /// Whether some of it went and some waits.
    #[must_use]
    pub fn is_partly_sent(&self) -> bool {
        !self.gone.is_empty() && !self.waiting.is_empty()
    }
}
