//! Orders: taken with their pieces promised at once, and paid.

use std::collections::BTreeSet;

use books::{BuyerTax, FindId, LotId, OrderId, OrderMoney, Purse, SoldPart, allocate, order_paid};
use jiff::civil::Date;
use measure::Money;
use rusqlite::{OptionalExtension, params};
use serde::{Deserialize, Serialize};

use crate::event::Event;
use crate::fold::{Fold, stored_id};
use crate::listing::{self, ListingPart, Which};
use crate::stored::{self, PurseWord};
use crate::writing::Writing;
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

/// An order as it was taken.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct TakenOrder {
    #[serde(flatten)]
    entered: OrderIn,
    /// Pieces with a flaw noted go last. Of older orders they went in their turn, which stays so.
    #[serde(default)]
    flaws_last: bool,
}

impl TakenOrder {
    /// The event of taking it now.
    fn event(entered: &OrderIn) -> Event {
        Event::OrderTaken(Self { entered: entered.clone(), flaws_last: true })
    }
}

impl Writing<'_> {
    /// Takes an order; gives its number.
    pub(crate) fn take_order(&mut self, stamp: &Stamp, order: &OrderIn) -> Result<OrderId, ShopError> {
        self.check_day(order)?;
        self.enter(stamp, &TakenOrder::event(order), None).map(OrderId)
    }

    /// Nothing is ordered before it was bought. Orders that are in the log went in without that being asked.
    fn check_day(&self, order: &OrderIn) -> Result<(), ShopError> {
        let sql = "SELECT find.id, haul.date FROM listing_part JOIN find ON find.id = listing_part.find
                   JOIN haul ON haul.id = find.haul
                   WHERE listing_part.listing = ?1 AND haul.date > ?2 ORDER BY find.id LIMIT 1";
        for line in &order.lines {
            let params = params![stored_id(line.listing.0)?, order.ordered_on.to_string()];
            let later: Option<(i64, String)> = self
                .conn
                .prepare_cached(sql)?
                .query_row(params, |row| Ok((row.get(0)?, row.get(1)?)))
                .optional()?;
            if let Some((find, bought)) = later {
                let bought_on = bought.parse().map_err(|_| {
                    ShopError::damaged(format!("the day of the haul of find {find} is {bought}"))
                })?;
                return Err(ShopError::BeforeHaul {
                    find: find.unsigned_abs(),
                    bought_on,
                    ordered_on: order.ordered_on,
                });
            }
        }
        Ok(())
    }
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
    /// program was quicker, and [`ShopError::BeforeHaul`]; nothing is stored then.
    pub fn take_order(&mut self, stamp: &Stamp, order: &OrderIn) -> Result<OrderId, ShopError> {
        self.write(|writing| writing.take_order(stamp, order))
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
#[derive(Debug, Clone, Copy)]
pub(crate) struct NumberedLine {
    pub(crate) id: u64,
    pub(crate) line: OrderLine,
}

pub(crate) fn lines(conn: &rusqlite::Connection, order: OrderId) -> Result<Vec<NumberedLine>, ShopError> {
    let sql = "SELECT id, listing, lots, item FROM order_line WHERE order_id = ?1 ORDER BY id";
    let mut statement = conn.prepare_cached(sql)?;
    let rows = statement.query_map([stored_id(order.0)?], |row| {
        let (id, listing): (i64, i64) = (row.get(0)?, row.get(1)?);
        let (listing, item) = (LotId(listing.unsigned_abs()), Money::from_cents(row.get(3)?));
        Ok(NumberedLine { id: id.unsigned_abs(), line: OrderLine { listing, lots: row.get(2)?, item } })
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

pub(crate) fn standing(conn: &rusqlite::Connection, order: OrderId) -> Result<StandingOrder, ShopError> {
    let missing = ShopError::Missing { record: Record::Order, number: order.0 };
    let row: StandingOrder =
        rows::first(conn, "SELECT * FROM buyer_order WHERE id = ?1", [stored_id(order.0)?])?
            .ok_or(missing)?;
    let lines = lines(conn, order)?.into_iter().map(|numbered| numbered.line).collect();
    Ok(StandingOrder { lines, ..row })
}

/// What is paid for with an order, and the note of its entry.
struct Due<'a> {
    lines: &'a [(OrderLine, Vec<ListingPart>)],
    shipping: Money,
    tax: BuyerTax,
    note: &'a str,
}

impl Fold<'_> {
    pub(crate) fn order_taken(&mut self, taken: &TakenOrder) -> Result<u64, ShopError> {
        let TakenOrder { entered, flaws_last } = taken;
        let number = self.next(Record::Order)?;
        if entered.lines.is_empty() {
            return Err(ShopError::Wrong {
                record: Record::Order,
                field: "lines",
                found: "none".to_owned(),
                right: "at least one line",
            });
        }
        let order = stored_id(number)?;
        self.run(
            "INSERT INTO buyer_order
               (id, venue, ordered_on, promise_by, destination, shipping, tax, paid_on, note)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            params![
                order,
                entered.venue.map(stored_id).transpose()?,
                entered.ordered_on.to_string(),
                entered.promise_by.map(|day| day.to_string()),
                entered.destination,
                entered.shipping.cents(),
                stored::tax::text(&entered.tax),
                entered.paid.map(|paid| paid.date.to_string()),
                entered.note,
            ],
        )?;
        let mut sold = Vec::with_capacity(entered.lines.len());
        for line in &entered.lines {
            let listing = listing::left(self.conn, line.listing)?;
            if line.lots > listing.lots {
                let (wanted, left) = (line.lots, listing.lots);
                return Err(ShopError::TooFewLots { listing: line.listing.0, wanted, left });
            }
            let id = self.next(Record::OrderLine)?;
            let lot = stored_id(line.listing.0)?;
            self.run(
                "INSERT INTO order_line (id, order_id, listing, lots, item) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![stored_id(id)?, order, lot, line.lots, line.item.cents()],
            )?;
            self.touch(Record::Listing, line.listing.0);
            self.run("UPDATE listing SET reserved = reserved + ?1 WHERE id = ?2", params![line.lots, lot])?;
            self.promise_pieces(id, line.lots, &listing.parts, *flaws_last)?;
            sold.push((*line, listing.parts));
        }
        if let Some(payment) = entered.paid {
            let due = Due { lines: &sold, shipping: entered.shipping, tax: entered.tax, note: &entered.note };
            self.post_paid(OrderId(number), &due, payment)?;
        }
        Ok(number)
    }

    fn promise_pieces(
        &mut self,
        line: u64,
        lots: u32,
        parts: &[ListingPart],
        flaws_last: bool,
    ) -> Result<(), ShopError> {
        for part in parts {
            let wanted = part.pieces.saturating_mul(lots);
            // Those of a flawed lot have their flaws, and go in their turn.
            let flaws_last = flaws_last && part.which != Which::Flawed;
            let flawed = if flaws_last { self.pieces_with_flaws(part.find)? } else { BTreeSet::new() };
            let more = u32::try_from(flawed.len()).unwrap_or(u32::MAX);
            let mut free = self.free_pieces(part.find, part.which, wanted.saturating_add(more))?;
            // Stable: by number among those with a flaw, and among those without.
            free.sort_by_key(|piece| flawed.contains(piece));
            free.truncate(usize::try_from(wanted).unwrap_or(usize::MAX));
            let left = u32::try_from(free.len()).unwrap_or(u32::MAX);
            if wanted > left {
                return Err(ShopError::TooFewPieces { find: part.find.0, wanted, left });
            }
            for &piece in &free {
                self.run(
                    "UPDATE piece SET reserved_for = ?1 WHERE find = ?2 AND number = ?3",
                    params![stored_id(line)?, stored_id(part.find.0)?, piece],
                )?;
            }
            if let Some(&last) = free.last()
                && flawed.is_empty()
            {
                self.known.promised_upto(part.find, part.which, last);
            }
            self.touch(Record::Find, part.find.0);
        }
        Ok(())
    }

    /// Pieces of a find with a flaw of their own noted.
    fn pieces_with_flaws(&self, find: FindId) -> Result<BTreeSet<u32>, ShopError> {
        let mut statement =
            self.conn.prepare_cached("SELECT piece FROM flaw WHERE find = ?1 AND piece IS NOT NULL")?;
        let pieces = statement.query_map([stored_id(find.0)?], |row| row.get(0))?;
        Ok(pieces.collect::<Result<_, _>>()?)
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
        let with_parts = |line: &OrderLine| Ok((*line, listing::parts(self.conn, line.listing)?));
        let lines = standing.lines.iter().map(with_parts).collect::<Result<Vec<_>, ShopError>>()?;
        let due = Due { lines: &lines, shipping: standing.shipping, tax: standing.tax, note: &standing.note };
        self.post_paid(order, &due, payment)?;
        self.run(
            "UPDATE buyer_order SET paid_on = ?1 WHERE id = ?2",
            params![payment.date.to_string(), stored_id(order.0)?],
        )?;
        Ok(())
    }

    fn post_paid(&mut self, order: OrderId, due: &Due<'_>, payment: Payment) -> Result<(), ShopError> {
        let (shipping, tax, into) = (due.shipping, due.tax, payment.into);
        let money = OrderMoney { order, parts: sold_parts(due.lines)?, shipping, tax, into };
        let entry = order_paid(self.voucher(payment.date), &money)?;
        self.post(entry, due.note).map(|_| ())
    }
}

/// The price of a line is shared over the finds in its lots by their count of pieces (judgement).
fn sold_parts(lines: &[(OrderLine, Vec<ListingPart>)]) -> Result<Vec<SoldPart>, ShopError> {
    let mut sold = Vec::with_capacity(lines.len());
    for (line, parts) in lines {
        let weights: Vec<i64> = parts.iter().map(|part| i64::from(part.pieces)).collect();
        let shares = allocate(line.item, &weights)?;
        let finds = parts.iter().map(|part| part.find);
        sold.extend(finds.zip(shares).map(|(find, item)| SoldPart { lot: line.listing, find, item }));
    }
    Ok(sold)
}
