//! What to fetch from the shelf, for one order or for all that can be packed.

use books::OrderId;
use shop::{PullRow, Shop};

use crate::Stop;

/// Pieces to fetch from one place for one order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fetch {
    /// The order.
    pub order: OrderId,
    /// What, and from where.
    pub row: PullRow,
}

/// What is known to be wrong with the pieces to fetch, after a blank: " (4 has a flaw: chip, on the rim)"; else nothing.
#[must_use]
pub fn flaws_known(row: &PullRow) -> String {
    let flaws: Vec<String> =
        row.flaws.iter().map(|(piece, flaw)| format!("{piece} has a flaw: {flaw}")).collect();
    if flaws.is_empty() { String::new() } else { format!(" ({})", flaws.join("; ")) }
}

/// "piece 4", "pieces 1, 4 to 6".
#[must_use]
pub fn pieces_numbered(row: &PullRow) -> String {
    let word = if row.pieces.len() == 1 { "piece" } else { "pieces" };
    format!("{word} {}", measure::runs(&row.pieces))
}

/// Which pieces of a find to fetch: "pieces 1, 4 to 6 of find 2", with what is known to be wrong with them.
#[must_use]
pub fn which_pieces(row: &PullRow) -> String {
    format!("{} of find {}{}", pieces_numbered(row), row.find, flaws_known(row))
}

/// What these orders need, as one walk along the shelf.
///
/// # Errors
/// When the file can't be read.
pub fn fetching(shop: &Shop, orders: &[OrderId]) -> Result<Vec<Fetch>, Stop> {
    let mut all = Vec::new();
    for &order in orders {
        all.extend(shop.pull_list(order)?.into_iter().map(|row| Fetch { order, row }));
    }
    all.sort_by(|a, b| (&a.row.shelf, a.row.find, a.order).cmp(&(&b.row.shelf, b.row.find, b.order)));
    Ok(all)
}
