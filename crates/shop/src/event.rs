//! What can happen.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::cancelling::Cancelled;
use crate::coming_back::ComingBack;
use crate::find::FindText;
use crate::haul::{HaulAmended, HaulIn};
use crate::listing::ListingChange;
use crate::movement::MoneyMoved;
use crate::order::{PaidOrder, TakenOrder};
use crate::parcel::Planned;
use crate::part_sent::PartSent;
use crate::repricing::OrderRepriced;
use crate::shelf::FromShelf;
use crate::shipping::Shipped;
use crate::swap::Swap;
use crate::take_back::TakenBack;
use crate::{Record, ShopError};

/// Something that happened, as it was entered. The log holds these; the tables are what they add up to.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(tag = "kind", content = "entered", rename_all = "snake_case")]
pub(crate) enum Event {
    Noted(NotedRecord),
    HaulBought(HaulIn),
    HaulAmended(HaulAmended),
    FindDescribed(FindDescribed),
    ListingPut(ListingChange),
    OrderTaken(TakenOrder),
    OrderPaid(PaidOrder),
    OrderRepriced(OrderRepriced),
    OrderPlanned(Planned),
    PieceSwapped(Swap),
    OrderSent(Shipped),
    PartSent(PartSent),
    OrderCancelled(Cancelled),
    CameBack(ComingBack),
    FromShelf(FromShelf),
    MoneyMoved(MoneyMoved),
    EntryTakenBack(TakenBack),
}

/// A record of plain fields, as it is now; nothing where it was struck out.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct NotedRecord {
    pub(crate) record: Record,
    pub(crate) number: u64,
    pub(crate) entered: Option<Value>,
}

/// What a find is called and where it stands, told anew.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct FindDescribed {
    #[serde(with = "crate::stored::find")]
    pub(crate) find: books::FindId,
    pub(crate) text: FindText,
}

impl Event {
    /// The word and the JSON that the log keeps.
    pub(crate) fn written(&self) -> Result<(String, String), serde_json::Error> {
        let text = serde_json::to_string(self)?;
        let parts = || {
            let (kind, rest) = text.strip_prefix("{\"kind\":\"")?.split_once('"')?;
            let body = rest.strip_prefix(",\"entered\":")?.strip_suffix('}')?;
            Some((kind.to_owned(), body.to_owned()))
        };
        parts().ok_or_else(|| serde::ser::Error::custom(format!("{text} is no event")))
    }

    /// The event behind a word and JSON of the log.
    pub(crate) fn read(kind: &str, body: &str) -> Result<Self, ShopError> {
        let parse = || -> Result<Self, serde_json::Error> {
            let kind = serde_json::to_string(kind)?;
            serde_json::from_str(&format!("{{\"kind\":{kind},\"entered\":{body}}}"))
        };
        parse().map_err(|error| ShopError::damaged(format!("an event «{kind}»: {error}")))
    }

    /// Whether pieces that were promised, or had left the shelf, may be free after it.
    pub(crate) const fn frees_pieces(&self) -> bool {
        match self {
            Self::HaulAmended(_)
            | Self::PieceSwapped(_)
            | Self::OrderCancelled(_)
            | Self::CameBack(_)
            | Self::EntryTakenBack(_) => true,
            Self::Noted(_)
            | Self::HaulBought(_)
            | Self::FindDescribed(_)
            | Self::ListingPut(_)
            | Self::OrderTaken(_)
            | Self::OrderPaid(_)
            | Self::OrderRepriced(_)
            | Self::OrderPlanned(_)
            | Self::OrderSent(_)
            | Self::PartSent(_)
            | Self::FromShelf(_)
            | Self::MoneyMoved(_) => false,
        }
    }

    /// The record a form belongs to, for messages about what can't be written down.
    pub(crate) const fn record(&self) -> Record {
        match self {
            Self::Noted(noted) => noted.record,
            Self::HaulBought(_) | Self::HaulAmended(_) => Record::Haul,
            Self::FindDescribed(_) | Self::FromShelf(_) => Record::Find,
            Self::ListingPut(_) => Record::Listing,
            Self::OrderTaken(_)
            | Self::OrderPaid(_)
            | Self::OrderRepriced(_)
            | Self::OrderSent(_)
            | Self::PartSent(_)
            | Self::OrderCancelled(_) => Record::Order,
            Self::OrderPlanned(_) => Record::Parcel,
            Self::PieceSwapped(_) => Record::Swap,
            Self::CameBack(_) => Record::ComingBack,
            Self::MoneyMoved(_) | Self::EntryTakenBack(_) => Record::Entry,
        }
    }
}
