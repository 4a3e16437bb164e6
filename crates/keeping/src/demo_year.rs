//! A made-up year: a closing guest house and what came after it. The same seed makes the same year.

use books::{
    BuyerTax, Expense, FindId, FlawedCarry, LotId, OrderId, Purse, Quantity, SplitRule, SupplyId, TripUse,
};
use jiff::civil::{Date, date};
use jiff::{Timestamp, ToSpan};
use measure::{Length, Mass, Money};
use serde_json::json;
use shop::{
    CameBack, Claim, ClaimState, ComingBack, Comp, Flaw, FromShelf, HaulIn, Leaving, ListingIn, ListingPart,
    Measured, Measurement, MoneyMoved, Movement, NewFind, OrderIn, OrderLine, OutsideSize, ParcelActual,
    ParcelPlan, Payment, PieceRef, Place, PlannedSupply, Setting, Shipped, Shop, Stamp, Supply, Venue, Which,
};

use crate::demo_wares::{Dice, PLACES, WARES};
use crate::{DEMO_MARK, Stop};

/// What was made up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counted {
    /// Hauls.
    pub hauls: u32,
    /// Orders.
    pub orders: u32,
}

const BUYERS: [&str; 5] = ["100", "303", "606", "802", "981"];
/// The venue's fee: a share of the price and an amount an order (judgement).
const FEE_SHARE: (i64, i64) = (13, 100);
const FEE_FIXED: i64 = 30;
/// Share of orders, in a hundred, of which something breaks or comes back (judgement).
const BROKEN_PERCENT: i64 = 4;
const RETURNED_PERCENT: i64 = 3;

const fn cents(cents: i64) -> Money {
    Money::from_cents(cents)
}

struct Maker<'a> {
    shop: &'a mut Shop,
    dice: Dice,
    today: Date,
    venue: u64,
    cartons: Vec<(SupplyId, f64)>,
    fill: SupplyId,
    wrap: SupplyId,
    tape: SupplyId,
    /// Listings with the ounces and minutes of one lot, its pieces and its form.
    listed: Vec<(LotId, f64, u32, &'static str)>,
    /// Day of sending, order, ounces, minutes, form.
    to_send: Vec<(Date, OrderId, f64, u32, &'static str)>,
    /// Day of listing, find, its ware, pieces.
    to_list: Vec<(Date, FindId, usize, u32)>,
    counted: Counted,
}

/// Fills an empty shop with a made-up year; the setting [`DEMO_MARK`] says that it is one.
///
/// # Errors
/// When the shop isn't empty, or its file can't be written.
pub fn fill_demo(shop: &mut Shop, seed: u64, year: i16) -> Result<Counted, Stop> {
    let today = date(year, 1, 2);
    let mut maker = Maker {
        shop,
        dice: Dice(seed),
        today,
        venue: 0,
        cartons: Vec::new(),
        fill: SupplyId(0),
        wrap: SupplyId(0),
        tape: SupplyId(0),
        listed: Vec::new(),
        to_send: Vec::new(),
        to_list: Vec::new(),
        counted: Counted { hauls: 0, orders: 0 },
    };
    maker.begin(seed, year)?;
    while maker.today.year() == year {
        maker.day()?;
        maker.today = maker.today.saturating_add(1.day());
    }
    Ok(maker.counted)
}

impl Maker<'_> {
    fn stamp(&self) -> Stamp {
        let noon = self.today.at(17, 0, 0, 0).to_zoned_datetime(jiff::tz::TimeZone::UTC);
        Stamp::at(noon.map_or(Timestamp::UNIX_EPOCH, |noon| noon.timestamp()))
    }

    fn money(&mut self, purse: Purse, movement: Movement, note: &str) -> Result<u64, Stop> {
        let moved = MoneyMoved { date: self.today, purse, movement, note: note.to_owned() };
        self.shop.move_money(&self.stamp(), &moved).map_err(Stop::from)
    }

    fn begin(&mut self, seed: u64, year: i16) -> Result<(), Stop> {
        let stamp = self.stamp();
        let mark = Setting {
            name: DEMO_MARK.to_owned(),
            value: format!("a guest house's year {year}, seed {seed}"),
            source: "made up".to_owned(),
        };
        self.shop.note(&stamp, &mark)?;
        // In quotes, as a job sheet has it: a ZIP Code is no number.
        let (name, value) = ("post.from".to_owned(), "\"45300\"".to_owned());
        self.shop.note(&stamp, &Setting { name, value, source: "made up".to_owned() })?;
        let venue = Venue { name: "open market".to_owned(), terms: json!({}) };
        self.venue = self.shop.note(&stamp, &venue)?;
        self.money(Purse::Cash, Movement::OwnerPutIn { amount: cents(60_000) }, "to begin with")?;
        let sizes: [(&str, f64, u32, i64); 10] = [
            ("8 x 8 x 8", 8.0, 12, 70),
            ("10 x 10 x 10", 10.0, 14, 90),
            ("12 x 12 x 8", 12.0, 25, 100),
            ("12 x 12 x 12", 12.0, 20, 120),
            ("14 x 14 x 8", 14.0, 12, 130),
            ("14 x 14 x 14", 14.0, 12, 160),
            ("16 x 12 x 12", 16.0, 14, 160),
            ("16 x 16 x 16", 16.0, 1, 210),
            ("18 x 18 x 12", 18.0, 1, 220),
            ("20 x 20 x 20", 20.0, 1, 300),
        ];
        for (name, side, count, cost) in sizes {
            let supply = self.supply(name, "carton", "carton", json!({ "size": name, "cut_to": [] }))?;
            self.buy(supply, f64::from(count), i64::from(count) * cost)?;
            if count > 1 {
                self.cartons.push((supply, side));
            }
        }
        self.fill =
            self.supply("loose fill", "fill", "bag", json!({ "material": "eps_fill", "holds": 3.5 }))?;
        self.buy(self.fill, 12.0, 12 * 900)?;
        self.wrap = self.supply(
            "bubble 5/16 in",
            "wrap",
            "sheet",
            json!({ "material": "bubble_medium", "holds": 1.0 }),
        )?;
        self.buy(self.wrap, 1200.0, 14_000)?;
        self.tape =
            self.supply("carton tape", "tape", "roll", json!({ "material": "tape", "holds": 1980.0 }))?;
        self.buy(self.tape, 10.0, 3_500)?;
        Ok(())
    }

    fn supply(
        &mut self,
        name: &str,
        kind: &str,
        unit: &str,
        detail: serde_json::Value,
    ) -> Result<SupplyId, Stop> {
        let (name, kind, unit) = (name.to_owned(), kind.to_owned(), unit.to_owned());
        let supply = Supply { name, kind, unit, detail, lead_days: 7, safety_days: 3 };
        self.shop.note(&self.stamp(), &supply).map(SupplyId).map_err(Stop::from)
    }

    fn buy(&mut self, supply: SupplyId, units: f64, cost: i64) -> Result<(), Stop> {
        let quantity = Quantity::units(units).map_err(Stop::input)?;
        self.money(Purse::Cash, Movement::SuppliesBought { supply, quantity, cost: cents(cost) }, "")
            .map(|_| ())
    }

    fn day(&mut self) -> Result<(), Stop> {
        let (month, day) = (self.today.month(), self.today.day());
        if month == 3 && day == 7 {
            self.guest_house()?;
        } else if day == 11 || (day == 25 && month % 2 == 0) {
            self.haul()?;
        }
        let due = |day: &Date, today: Date| *day <= today;
        let today = self.today;
        let (now, later) = std::mem::take(&mut self.to_list).into_iter().partition(|one| due(&one.0, today));
        self.to_list = later;
        for (_, find, ware, pieces) in Vec::from_iter::<Vec<_>>(now) {
            self.list(find, ware, pieces)?;
        }
        let (now, later): (Vec<_>, Vec<_>) =
            std::mem::take(&mut self.to_send).into_iter().partition(|one| due(&one.0, today));
        self.to_send = later;
        for (_, order, ounces, minutes, form) in now {
            self.send(order, ounces, minutes, form)?;
        }
        for (listing, ounces, minutes, form) in self.listed.clone() {
            if self.dice.chance(4) {
                self.sell(listing, ounces, minutes, form)?;
            }
        }
        if day == 28 {
            self.month_end()?;
        }
        Ok(())
    }

    fn guest_house(&mut self) -> Result<(), Stop> {
        let find = |form: &str, words: &str, shelf: &str, sound, flawed, value| NewFind {
            text: shop::FindText {
                form: form.to_owned(),
                description: words.to_owned(),
                shelf: shelf.to_owned(),
            },
            sound,
            flawed,
            value: cents(value),
        };
        let finds = vec![
            find("consomme_cup", "consomme cups, brown", "B2", 13, 1, 11_000),
            find("consomme_saucer", "consomme saucers, brown", "A1", 11, 0, 3_000),
            find("pressed_goblet", "goblets", "B3", 6, 0, 7_500),
            find("pitcher_2qt", "ironstone pitcher", "C1", 1, 0, 2_800),
            find("skillet_8", "No. 8 skillet", "C1", 1, 0, 4_500),
            find("book_hardback", "cookery books", "D2", 5, 0, 1_800),
        ];
        let bought =
            self.bring_in("parish hall", 3_700, 251, 1_250, finds, "a closing guest house's dining room")?;
        let stamp = self.stamp();
        let [cups, saucers, goblets, ..] = bought[..] else { return Ok(()) };
        let today = self.today;
        for (find, name, figure) in [
            (cups, "diameter", Measured::Length(Length::from_inches(4.0))),
            (cups, "height", Measured::Length(Length::from_inches(2.375))),
            (cups, "handle_reach", Measured::Length(Length::from_inches(0.875))),
            (cups, "weight", Measured::Mass(Mass::from_ounces(9.2))),
            (saucers, "diameter", Measured::Length(Length::from_inches(6.5))),
            (saucers, "weight", Measured::Mass(Mass::from_ounces(8.0))),
            (goblets, "height", Measured::Length(Length::from_inches(6.25))),
        ] {
            let one = Measurement { find, piece: None, name: name.to_owned(), figure, estimated: false };
            self.shop.note(&stamp, &one)?;
        }
        let (kind, position) = ("hairline".to_owned(), "inside the rim".to_owned());
        let size = Some(Length::from_inches(1.5));
        self.shop.note(&stamp, &Flaw { find: cups, piece: Some(14), kind, position, size })?;
        for typed in ["2 for 34 + 14.50, 20d ago", "4 for 62 + 24, 45d ago"] {
            let comp = Comp { find: cups, typed: typed.to_owned(), date: today };
            self.shop.note(&stamp, &comp)?;
        }
        let part = |&find: &FindId, pieces| ListingPart { find, pieces, which: Which::Sound };
        self.put_up(
            "Consomme cups with saucers, two of each",
            2,
            3_400,
            vec![part(&cups, 2), part(&saucers, 2)],
            (34.4, 22, "consomme_cup"),
        )?;
        self.put_up(
            "Three pressed goblets",
            2,
            4_500,
            vec![part(&goblets, 3)],
            (31.5, 18, "pressed_goblet"),
        )?;
        Ok(())
    }

    fn put_up(
        &mut self,
        title: &str,
        lots: u32,
        price: i64,
        parts: Vec<ListingPart>,
        one: (f64, u32, &'static str),
    ) -> Result<(), Stop> {
        let listing = ListingIn {
            venue: Some(self.venue),
            title: title.to_owned(),
            lots,
            price: cents(price),
            floor: Some(cents(price * 8 / 10)),
            listed_on: self.today,
            ended: false,
            card: json!({}),
            parts,
        };
        let listing = self.shop.list(&self.stamp(), &listing)?;
        self.listed.push((listing, one.0, one.1, one.2));
        Ok(())
    }

    fn bring_in(
        &mut self,
        place: &str,
        paid: i64,
        tax: i64,
        miles: u32,
        finds: Vec<NewFind>,
        note: &str,
    ) -> Result<Vec<FindId>, Stop> {
        let stamp = self.stamp();
        let known = self.shop.noted::<Place>()?.into_iter().find(|(_, one)| one.name == place);
        let place = match known {
            Some((number, _)) => number,
            None => {
                let new = Place { name: place.to_owned(), note: String::new() };
                self.shop.note(&stamp, &new)?
            }
        };
        let haul = HaulIn {
            place: Some(place),
            date: self.today,
            paid: cents(paid),
            tax: Some(cents(tax)),
            freight: Money::ZERO,
            split: SplitRule::ByValue,
            flawed_carry: FlawedCarry::Nothing,
            purse: Purse::Cash,
            freight_purse: Purse::Cash,
            miles_hundredths: miles,
            note: note.to_owned(),
            finds,
        };
        let bought = self.shop.buy(&stamp, &haul)?;
        self.counted.hauls += 1;
        let trip = Movement::Trip {
            hundredths: miles,
            purpose: format!("haul {}", bought.haul),
            counts: TripUse::Business,
        };
        self.money(Purse::Cash, trip, "")?;
        Ok(bought.finds)
    }

    fn haul(&mut self) -> Result<(), Stop> {
        let place = self.dice.of(&PLACES).copied().unwrap_or("parish hall");
        let mut finds = Vec::new();
        let mut wares = Vec::new();
        let mut value = 0;
        for _ in 0..self.dice.between(2, 4) {
            let at = usize::try_from(self.dice.between(0, 8)).unwrap_or(0);
            let Some(ware) = WARES.get(at) else { continue };
            let pieces = self.dice.between(ware.pieces.0, ware.pieces.1);
            let flawed = i64::from(pieces > 3 && self.dice.chance(30));
            let worth = pieces * self.dice.between(ware.cents.0, ware.cents.1);
            let shelf = format!(
                "{}{}",
                self.dice.of(&["A", "B", "C", "D"]).copied().unwrap_or("A"),
                self.dice.between(1, 4)
            );
            let count = |count: i64| u32::try_from(count).unwrap_or(0);
            finds.push(NewFind {
                text: shop::FindText {
                    form: ware.form.to_owned(),
                    description: ware.words.to_owned(),
                    shelf,
                },
                sound: count(pieces - flawed),
                flawed: count(flawed),
                value: cents(worth),
            });
            wares.push((at, count(pieces - flawed)));
            value += worth;
        }
        let paid = value * self.dice.between(14, 28) / 100;
        let miles = u32::try_from(self.dice.between(300, 2600)).unwrap_or(0);
        let bought = self.bring_in(place, paid, paid * 68 / 1000, miles, finds, "")?;
        for (find, (ware, pieces)) in bought.into_iter().zip(wares) {
            // Some of it never gets listed, as on every shelf.
            if self.dice.chance(85) {
                let day = self.today.saturating_add(self.dice.between(2, 24).days());
                self.to_list.push((day, find, ware, pieces));
            }
        }
        Ok(())
    }

    fn list(&mut self, find: FindId, ware: usize, pieces: u32) -> Result<(), Stop> {
        let Some(ware) = WARES.get(ware) else { return Ok(()) };
        if pieces == 0 {
            return Ok(());
        }
        let size = match pieces {
            0..=2 => 1,
            3..=5 => u32::try_from(self.dice.between(2, 3)).unwrap_or(2),
            _ => u32::try_from(self.dice.between(2, 4)).unwrap_or(2),
        };
        let each = self.dice.between(ware.cents.0, ware.cents.1);
        let price = each * i64::from(size) * 9 / 10 + 300;
        let part = ListingPart { find, pieces: size, which: Which::Sound };
        let ounces = ware.ounces * f64::from(size);
        let minutes = 8 + ware.minutes * size;
        self.put_up(
            &format!("{size} {}", ware.words),
            pieces / size,
            price,
            vec![part],
            (ounces, minutes, ware.form),
        )
    }

    fn sell(&mut self, listing: LotId, ounces: f64, minutes: u32, form: &'static str) -> Result<(), Stop> {
        let state = self.shop.listing(listing)?;
        if state.available() == 0 {
            return Ok(());
        }
        let lots = if state.available() > 1 && self.dice.chance(15) { 2 } else { 1 };
        let item = state.entered.price.cents() * i64::from(lots);
        let shipping = 950 + 400 * i64::from(lots - 1);
        let to = self.dice.of(&BUYERS).copied().unwrap_or("606");
        let order = OrderIn {
            venue: Some(self.venue),
            ordered_on: self.today,
            promise_by: Some(self.today.saturating_add(3.days())),
            destination: to.to_owned(),
            lines: vec![OrderLine { listing, lots, item: cents(item) }],
            shipping: cents(shipping),
            tax: BuyerTax::ByVenue(cents((item + shipping) * 68 / 1000)),
            paid: Some(Payment { date: self.today, into: Purse::Platform }),
            note: String::new(),
        };
        let order = self.shop.take_order(&self.stamp(), &order)?;
        self.counted.orders += 1;
        let fee = (item + shipping) * FEE_SHARE.0 / FEE_SHARE.1 + FEE_FIXED;
        self.money(
            Purse::Platform,
            Movement::Fee { order: Some(order), amount: cents(fee), advertising: false },
            "",
        )?;
        if self.dice.chance(4) {
            let cancelled = shop::Cancelled { order, date: self.today, from: Purse::Platform };
            return self.shop.cancel_order(&self.stamp(), &cancelled).map_err(Stop::from);
        }
        let day = self.today.saturating_add(self.dice.between(1, 3).days());
        let lots_f = f64::from(lots);
        self.to_send.push((day, order, ounces * lots_f, minutes + (lots - 1) * minutes / 2, form));
        Ok(())
    }

    fn send(&mut self, order: OrderId, ounces: f64, minutes: u32, form: &'static str) -> Result<(), Stop> {
        let wanted = if ounces < 30.0 {
            10.0
        } else if ounces < 60.0 {
            12.0
        } else {
            14.0
        };
        let states = self.shop.supplies(self.today, 90)?;
        let on_hand = |id: SupplyId| {
            states.iter().find(|one| one.supply == id).map_or(0.0, |one| one.free().in_units())
        };
        let carton = self.cartons.iter().find(|(id, side)| *side >= wanted && on_hand(*id) >= 1.0);
        let Some(&(carton, side)) =
            carton.or_else(|| self.cartons.iter().find(|(id, _)| on_hand(*id) >= 1.0))
        else {
            return Ok(());
        };
        let need = |supply, units: f64| {
            let quantity = Quantity::units(units).map_err(Stop::input)?;
            Ok::<_, Stop>(PlannedSupply { supply, quantity, instead_of: None })
        };
        let bags = (side / 12.0).powi(3) * 0.18;
        let supplies: Vec<PlannedSupply> = [
            need(carton, 1.0)?,
            need(self.fill, bags)?,
            need(self.wrap, (ounces / 6.0).ceil())?,
            need(self.tape, 0.03)?,
        ]
        .into_iter()
        .filter(|one: &PlannedSupply| on_hand(one.supply) >= one.quantity.in_units())
        .collect();
        let gross = ounces * 1.18 + side * side * 0.12;
        let length = Length::from_inches(side + 0.5);
        let outside = OutsideSize { length, width: length, height: length };
        let postage = 620 + (gross * 9.5) as i64 + self.dice.between(0, 260);
        let plan = ParcelPlan {
            form: form.to_owned(),
            recipe: forms::Catalogue::published()
                .find(form)
                .map(|form| form.recipe.clone())
                .unwrap_or_default(),
            plan: json!({}),
            mass: Some(Mass::from_ounces(gross)),
            size: Some(outside),
            minutes: Some(minutes),
            postage: Some(cents(postage)),
            supplies: supplies.clone(),
        };
        let stamp = self.stamp();
        self.shop.plan_order(&stamp, order, &[plan])?;
        // The last days' orders stay on the bench.
        if self.today >= date(self.today.year(), 12, 29) {
            return Ok(());
        }
        let off = self.dice.between(-4, 9);
        let actual = ParcelActual {
            mass: Some(Mass::from_ounces(gross * (1.0 + off as f64 / 100.0))),
            size: Some(outside),
            minutes: Some(minutes.saturating_add(u32::try_from(self.dice.between(0, 9)).unwrap_or(0))),
            postage: Some(cents(postage + off.max(0) * 12)),
            tracking: format!("T{:08}", self.dice.between(0, 99_999_999)),
            supplies,
        };
        let shipped =
            Shipped { order, date: self.today, postage_from: Purse::Platform, parcels: vec![actual] };
        self.shop.ship_order(&stamp, &shipped)?;
        self.afterwards(order)
    }

    /// What may happen after sending.
    fn afterwards(&mut self, order: OrderId) -> Result<(), Stop> {
        let (broken, returned) = (self.dice.chance(BROKEN_PERCENT), self.dice.chance(RETURNED_PERCENT));
        if !broken && !returned {
            return Ok(());
        }
        let standing = self.shop.order(order)?;
        let Some(line) = standing.lines.first() else { return Ok(()) };
        let listing = self.shop.listing(line.listing)?;
        let Some(part) = listing.entered.parts.first() else { return Ok(()) };
        let sold = self.shop.pieces(part.find)?;
        let mut sold = sold.into_iter().filter(|piece| piece.sold_in == Some(order) && piece.fate == "sold");
        let Some(piece) = sold.next() else { return Ok(()) };
        let (stamp, date) = (self.stamp(), self.today);
        let what = if broken { CameBack::Broken } else { CameBack::Returned };
        let pieces = vec![PieceRef { find: part.find, number: piece.number }];
        self.shop.come_back(&stamp, &ComingBack { order, date, what, pieces, note: String::new() })?;
        let amount = cents(line.item.cents() / i64::from(part.pieces.max(1) * line.lots.max(1)));
        let (lot, find) = (Some(line.listing), Some(part.find));
        self.money(Purse::Platform, Movement::Refund { order, amount, tax: BuyerTax::None, lot, find }, "")?;
        if broken {
            let claim = Claim {
                order,
                opened_on: date,
                deadline: Some(date.saturating_add(45.days())),
                asked: amount,
                state: ClaimState::Open,
                reference: String::new(),
                note: String::new(),
            };
            let number = self.shop.note(&stamp, &claim)?;
            if self.dice.chance(60) {
                self.money(Purse::Cash, Movement::ClaimPaid { order, amount }, "")?;
                let paid = Claim { state: ClaimState::Paid, ..claim };
                self.shop.amend(&stamp, number, &paid)?;
            }
        }
        Ok(())
    }

    fn month_end(&mut self) -> Result<(), Stop> {
        let balance = self.shop.books()?.net(books::Account::PlatformBalance, |_| true);
        if balance > cents(2_000) {
            self.money(Purse::Cash, Movement::Payout { amount: cents(balance.cents() / 100 * 100) }, "")?;
        }
        let amount = cents(self.dice.between(250, 900));
        self.money(Purse::Cash, Movement::Expense { what: Expense::Office, amount }, "labels and paper")?;
        let miles = u32::try_from(self.dice.between(800, 2_400)).unwrap_or(800);
        let trip = Movement::Trip {
            hundredths: miles,
            purpose: "post office".to_owned(),
            counts: TripUse::Business,
        };
        self.money(Purse::Cash, trip, "")?;
        let states = self.shop.supplies(self.today, 90)?;
        for (supply, _) in self.cartons.clone() {
            let free =
                states.iter().find(|one| one.supply == supply).map_or(0.0, |one| one.free().in_units());
            if free < 5.0 {
                self.buy(supply, 15.0, 15 * 125)?;
            }
        }
        for (supply, least, units, cost) in
            [(self.fill, 3.0, 8.0, 7_200), (self.wrap, 300.0, 800.0, 9_600), (self.tape, 2.0, 6.0, 2_100)]
        {
            let free =
                states.iter().find(|one| one.supply == supply).map_or(0.0, |one| one.free().in_units());
            if free < least {
                self.buy(supply, units, cost)?;
            }
        }
        // Now and then something goes to the church fair.
        if self.today.month() % 4 == 0 {
            let stock = self.shop.stock(self.today)?;
            let old = stock
                .iter()
                .filter(|line| line.unlisted() > 0 && line.promised == 0)
                .max_by_key(|line| (line.age_days, std::cmp::Reverse(line.find)));
            if let Some(line) = old {
                let pieces = self.shop.pieces(line.find)?;
                let free =
                    pieces.iter().rev().find(|piece| piece.fate == "on hand" && piece.promised_to.is_none());
                if let Some(piece) = free {
                    let (find, pieces, date) = (line.find, vec![piece.number], self.today);
                    let left = FromShelf {
                        find,
                        pieces,
                        date,
                        how: Leaving::GivenAway,
                        note: "church fair".to_owned(),
                    };
                    self.shop.leave_shelf(&self.stamp(), &left)?;
                }
            }
        }
        Ok(())
    }
}
