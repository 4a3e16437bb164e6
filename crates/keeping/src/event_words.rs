//! What happened, in words of the trade.

use shop::LogRow;

/// What an event of this kind means to its record: "handed over".
#[must_use]
pub fn happened(kind: &str) -> String {
    let words = match kind {
        "noted" => "noted, or noted anew",
        "haul_bought" => "brought in",
        "haul_amended" => "entered anew",
        "find_described" => "described anew, or put elsewhere",
        "listing_put" => "listed, or the listing changed",
        "order_taken" => "taken",
        "order_paid" => "paid",
        "order_repriced" => "priced anew",
        "order_planned" => "parcels planned, or the plan released",
        "piece_swapped" => "a piece was swapped",
        "order_sent" => "handed over",
        "part_sent" => "some parcels handed over",
        "order_cancelled" => "cancelled",
        "came_back" => "pieces came back or broke",
        "from_shelf" => "pieces left the shelf without a sale",
        "money_moved" => "money moved",
        "entry_taken_back" => "an entry was taken back",
        // The log may know more kinds than these.
        other => return other.replace('_', " "),
    };
    words.to_owned()
}

/// The same of an event of the log, which says more: whether something was struck out or corrected.
#[must_use]
pub fn happened_in(row: &LogRow) -> String {
    match (row.kind.as_str(), row.struck, row.corrects) {
        ("noted", true, _) => String::from("struck out"),
        ("noted", false, Some(_)) => String::from("noted anew"),
        ("noted", false, None) => String::from("noted"),
        (kind, _, _) => happened(kind),
    }
}
