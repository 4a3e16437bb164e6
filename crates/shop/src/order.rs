//! Orders: taken with their pieces promised at once, and paid.

use books::{BuyerTax, FindId, LotId, OrderId, OrderMoney, Purse, SoldPart, allocate, order_paid};
use jiff::civil::Date;
use measure::Money;
use rusqlite::named_params;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::event::Event;
use crate::fold::{Fold, fields_of, stored_id};
use crate::listing::{self, ListingState};
use crate::stored::{self, PurseWord};
use crate::{Record, Shop, ShopError, Stamp, rows};

/// So many lots of a listing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct OrderLine {
    /// The listing.
    #[serde(with = "stored::lot")]
    pub listing: LotId,
    /// Lots of it.
    pub lots: u32,
    /// Price of these lots together.
    #[serde(with = "stored::cents")]
    pub item: Money,
}

/// When and into which purse a buyer paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Payment {
    /// The day.
    pub date: Date,
    /// Where the money went.
    #[serde(with = "PurseWord")]
    pub into: Purse,
}

/// An order as it is entered. Of its buyer only what a plan needs is kept.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OrderIn {
    /// The venue, if it is one that was noted.
    pub venue: Option<u64>,
    /// The day of the order.
    pub ordered_on: Date,
    /// The day by which it was promised to be handed over.
    pub promise_by: Option<Date>,
    /// The first digits of the buyer's postal code.
    pub destination: String,
    /// Its lines; each listing once.
    pub lines: Vec<OrderLine>,
    /// Shipping charged.
    #[serde(with = "stored::cents")]
    pub shipping: Money,
    /// Sales tax.
    #[serde(with = "stored::tax")]
    pub tax: BuyerTax,
    /// How it was paid; none while it isn't.
    pub paid: Option<Payment>,
    /// Anything to remember.
    pub note: String,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct PaidOrder {
    #[serde(with = "stored::order")]
    order: OrderId,
    payment: Payment,
}

/// What has become of an order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum OrderState {
    /// To be packed.
    Open,
    /// Handed over.
    Sent,
    /// Not to be sent.
    Cancelled,
}

impl OrderState {
    const fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Sent => "sent",
            Self::Cancelled => "cancelled",
        }
    }
}

/// An order as it stands.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct StandingOrder {
    /// Its number.
    #[serde(with = "stored::order")]
    pub id: OrderId,
    /// The venue.
    pub venue: Option<u64>,
    /// The day of the order.
    pub ordered_on: Date,
    /// The day by which it was promised.
    pub promise_by: Option<Date>,
    /// The first digits of the buyer's postal code.
    pub destination: String,
    /// Shipping charged.
    #[serde(with = "stored::cents")]
    pub shipping: Money,
    /// Sales tax.
    #[serde(with = "stored::tax")]
    pub tax: BuyerTax,
    /// What has become of it.
    pub state: OrderState,
    /// When it was paid.
    pub paid_on: Option<Date>,
    /// When it was handed over.
    pub sent_on: Option<Date>,
    /// Anything to remember.
    pub note: String,
    /// Its lines.
    #[serde(skip)]
    pub lines: Vec<OrderLine>,
}

impl Shop {
    /// Takes an order: its lots and pieces are promised to it from now on.
    ///
    /// # Errors
    /// [`ShopError::TooFewLots`] and [`ShopError::TooFewPieces`] when they aren't there, also because another
    /// program was quicker; nothing is stored then.
    pub fn take_order(&mut self, stamp: &Stamp, order: &OrderIn) -> Result<OrderId, ShopError> {
        self.write(|writing| writing.enter(stamp, &Event::OrderTaken(order.clone()), None)).map(OrderId)
    }

    /// Enters that an order was paid.
    ///
    /// # Errors
    /// When it is paid already or cancelled.
    pub fn pay_order(&mut self, stamp: &Stamp, order: OrderId, payment: Payment) -> Result<(), ShopError> {
        let event = Event::OrderPaid(PaidOrder { order, payment });
        self.write(|writing| writing.enter(stamp, &event, None)).map(|_| ())
    }

    /// An order as it stands.
    ///
    /// # Errors
    /// When there is no such order.
    pub fn order(&self, order: OrderId) -> Result<StandingOrder, ShopError> {
        standing(self.conn(), order)
    }

    /// All orders by number.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn orders(&self) -> Result<Vec<StandingOrder>, ShopError> {
        let mut statement = self.conn().prepare_cached("SELECT id FROM buyer_order ORDER BY id")?;
        let ids: Result<Vec<i64>, _> = statement.query_map([], |row| row.get(0))?.collect();
        let ids = ids?.into_iter().filter_map(|id| u64::try_from(id).ok());
        ids.map(|id| standing(self.conn(), OrderId(id))).collect()
    }
}

/// A line with its number.
#[derive(Debug, Clone, Copy, Deserialize)]
pub(crate) struct NumberedLine {
    pub(crate) id: u64,
    #[serde(flatten)]
    pub(crate) line: OrderLine,
}

pub(crate) fn lines(conn: &rusqlite::Connection, order: OrderId) -> Result<Vec<NumberedLine>, ShopError> {
    let sql = "SELECT id, listing, lots, item FROM order_line WHERE order_id = ?1 ORDER BY id";
    rows::read(conn, sql, [stored_id(order.0)?])
}

pub(crate) fn standing(conn: &rusqlite::Connection, order: OrderId) -> Result<StandingOrder, ShopError> {
    let missing = ShopError::Missing { record: Record::Order, number: order.0 };
    let row: StandingOrder =
        rows::first(conn, "SELECT * FROM buyer_order WHERE id = ?1", [stored_id(order.0)?])?
            .ok_or(missing)?;
    let lines = lines(conn, order)?.into_iter().map(|numbered| numbered.line).collect();
    Ok(StandingOrder { lines, ..row })
}

impl Fold<'_> {
    pub(crate) fn order_taken(&mut self, entered: &OrderIn) -> Result<u64, ShopError> {
        let number = self.next(Record::Order)?;
        if entered.lines.is_empty() {
            return Err(ShopError::Wrong {
                record: Record::Order,
                field: "lines",
                found: "none".to_owned(),
                right: "at least one line",
            });
        }
        let mut fields = fields_of(Record::Order, entered)?;
        fields.remove("lines");
        fields.remove("paid");
        self.put("buyer_order", number, &fields)?;
        for line in &entered.lines {
            let listing = listing::state(self.conn, line.listing)?;
            let left = listing.available();
            if line.lots > left {
                return Err(ShopError::TooFewLots { listing: line.listing.0, wanted: line.lots, left });
            }
            let id = self.next(Record::OrderLine)?;
            let mut fields = fields_of(Record::OrderLine, line)?;
            fields.insert("order_id".to_owned(), json!(number));
            self.put("order_line", id, &fields)?;
            self.touch(Record::Listing, line.listing.0);
            self.run(
                "UPDATE listing SET reserved = reserved + :lots WHERE id = :listing",
                named_params! { ":lots": line.lots, ":listing": stored_id(line.listing.0)? },
            )?;
            self.promise_pieces(id, line.lots, &listing)?;
        }
        if let Some(payment) = entered.paid {
            self.pay(OrderId(number), payment)?;
        }
        Ok(number)
    }

    fn promise_pieces(&mut self, line: u64, lots: u32, listing: &ListingState) -> Result<(), ShopError> {
        for part in &listing.entered.parts {
            let wanted = part.pieces.saturating_mul(lots);
            let free = self.free_pieces(part.find, part.which, wanted)?;
            let left = u32::try_from(free.len()).unwrap_or(u32::MAX);
            if wanted > left {
                return Err(ShopError::TooFewPieces { find: part.find.0, wanted, left });
            }
            for &piece in free.iter().take(usize::try_from(wanted).unwrap_or(usize::MAX)) {
                self.run(
                    "UPDATE piece SET reserved_for = :line WHERE find = :find AND number = :piece",
                    named_params! {
                        ":line": stored_id(line)?, ":find": stored_id(part.find.0)?, ":piece": piece,
                    },
                )?;
            }
            self.touch(Record::Find, part.find.0);
        }
        Ok(())
    }

    /// The order, if it is open.
    pub(crate) fn open_order(&mut self, order: OrderId) -> Result<StandingOrder, ShopError> {
        self.touch(Record::Order, order.0);
        let standing = standing(self.conn, order)?;
        if standing.state == OrderState::Open {
            return Ok(standing);
        }
        let is = standing.state.word().to_owned();
        Err(ShopError::State { record: Record::Order, number: order.0, is, wanted: "open" })
    }

    pub(crate) fn order_paid(&mut self, paid: &PaidOrder) -> Result<u64, ShopError> {
        self.open_order(paid.order)?;
        self.pay(paid.order, paid.payment)?;
        Ok(paid.order.0)
    }

    pub(crate) fn pay(&mut self, order: OrderId, payment: Payment) -> Result<(), ShopError> {
        let standing = standing(self.conn, order)?;
        if let Some(paid) = standing.paid_on {
            let is = format!("paid on {paid}");
            return Err(ShopError::State {
                record: Record::Order,
                number: order.0,
                is,
                wanted: "not paid yet",
            });
        }
        let money = OrderMoney {
            order,
            parts: self.sold_parts(&standing.lines)?,
            shipping: standing.shipping,
            tax: standing.tax,
            into: payment.into,
        };
        let entry = order_paid(self.voucher(payment.date), &money)?;
        self.post(entry, &standing.note)?;
        self.run(
            "UPDATE buyer_order SET paid_on = :date WHERE id = :order",
            named_params! { ":date": payment.date.to_string(), ":order": stored_id(order.0)? },
        )?;
        Ok(())
    }

    /// The price of a line is shared over the finds in its lots by their count of pieces (judgement).
    fn sold_parts(&self, lines: &[OrderLine]) -> Result<Vec<SoldPart>, ShopError> {
        let mut sold = Vec::new();
        for line in lines {
            let parts = listing::state(self.conn, line.listing)?.entered.parts;
            let weights: Vec<i64> = parts.iter().map(|part| i64::from(part.pieces)).collect();
            let shares = allocate(line.item, &weights)?;
            let finds = parts.iter().map(|part| part.find);
            sold.extend(finds.zip(shares).map(|(find, item): (FindId, Money)| SoldPart {
                lot: line.listing,
                find,
                item,
            }));
        }
        Ok(sold)
    }
}
