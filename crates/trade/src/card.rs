//! The listing card of a find's lots, with the figures that the other rooms reckoned.

use forms::BuiltPiece;
use listing::{Belonging, Card, Content, Count, Flaw, Noun, Record, Tables, Terms, TitleParts, Venue};
use measure::{Length, Mass, Money, Units};
use selling::{LotSize, OrderCost};

use crate::market::terms;
use crate::offer::{Offer, answer};
use crate::order::Ladder;
use crate::{Charging, Find, Job, Row, TradeError, Worth};

/// The card of one listing.
///
/// Flaws that are damage belong to the pieces that were set aside, where any were; the others are said of
/// every lot.
///
/// # Errors
/// When there is no price, no parcel for one lot, or the words don't fit the venue or don't agree on the
/// count.
pub fn card(job: &Job, worth: Option<&Worth>, ladder: &Ladder, tables: &Tables) -> Result<Card, TradeError> {
    let find = &job.finds[ladder.listing.find];
    let wrong = |reason: String| TradeError::Market { find: find.name.clone(), reason };
    let price = ladder.listing.price.ok_or_else(|| {
        wrong(String::from("there is no price to list it at; right would be price = 24.00, or comps"))
    })?;
    let one = match ladder.rungs.iter().find(|(lots, _)| *lots == 1) {
        Some((_, Ok(one))) => one,
        Some((_, Err(why))) => return Err(wrong(format!("one lot can't be sent: {why}"))),
        None => return Err(wrong(String::from("an order of one lot was not worked out"))),
    };
    let built: Vec<(usize, BuiltPiece)> = find
        .rows
        .iter()
        .enumerate()
        .filter(|(k, _)| ladder.listing.per_lot.get(*k).is_some_and(|pieces| *pieces > 0))
        .map(|(k, row)| Ok((k, row.form.piece(&row.measures).map_err(|e| wrong(e.to_string()))?)))
        .collect::<Result<_, TradeError>>()?;
    let sound = is_sound(find, ladder, worth);
    let contents: Vec<Content<'_>> = built
        .iter()
        .map(|(k, built)| {
            let row = &find.rows[*k];
            let per_lot = ladder.listing.per_lot[*k];
            let mut content = Content::new(noun(row), per_lot, &row.form, built);
            content.stock = per_lot * ladder.listing.lots;
            content.flaws = flaws(row, per_lot, sound, tables);
            content
        })
        .collect();
    let main = contents.first().ok_or_else(|| wrong(String::from("a lot of it holds nothing")))?;
    let count = Count::new(main.per_lot, find.words.belonging.unwrap_or(Belonging::Alike))
        .map_err(|e| wrong(e.to_string()))?;
    let words = &find.words;
    let mut title = TitleParts::new(count, main.noun.clone());
    let beside: Vec<&str> = contents.iter().skip(1).map(|content| content.noun.word(2)).collect();
    title.with = beside.join(" and ");
    title.maker = words.maker.clone();
    title.pattern.clone_from(&words.pattern);
    title.synonyms.clone_from(&words.synonyms);
    title.size.clone_from(&words.size);
    title.colour.clone_from(&words.colour);
    title.decoration.clone_from(&words.decoration);
    title.material.clone_from(&words.material);
    title.period = words.period.clone();
    title.country.clone_from(&words.country);
    let (stated_weight, stated_size) = match ladder.stated {
        Some(stated) => (stated.weight, stated.size),
        None => own(one.parcels.iter().map(|parcel| (parcel.gross, parcel.outside))),
    };
    let record = Record {
        count,
        lots: ladder.listing.lots,
        contents,
        not_included: words.not_included.clone(),
        known: Vec::new(),
        electrical_test: String::new(),
    };
    let terms = Terms {
        price,
        floor: floor(job, worth, ladder, price)?.clamp(Money::from_cents(1), price),
        shipping: job.charging.in_words(job.units),
        stated_weight,
        stated_size,
    };
    Card::compose(&record, &title, &terms, &job.market.venue, tables, job.units)
        .map_err(|e| wrong(e.to_string()))
}

/// Checks a title that a person wrote against the card's count and the venue's limit.
///
/// # Errors
/// What doesn't agree, or by how much it is too long.
pub fn check_title(card: &mut Card, title: &str, venue: &Venue) -> Result<(), TradeError> {
    let length = listing::characters(title);
    if length > venue.title_limit {
        return Err(TradeError::Title(format!(
            "the title has {length} characters; right would be at most the {} that {} takes",
            venue.title_limit, venue.name
        )));
    }
    title.clone_into(&mut card.title.text);
    card.title.dropped.clear();
    let findings = card.lint();
    if findings.is_empty() {
        return Ok(());
    }
    let told: Vec<String> = findings.iter().map(ToString::to_string).collect();
    Err(TradeError::Title(told.join("; ")))
}

/// Whether the listing is of pieces without damage, flawed ones having been set aside.
fn is_sound(find: &Find, ladder: &Ladder, worth: Option<&Worth>) -> bool {
    let set_aside = find.rows.iter().any(|row| row.flawed > 0);
    let of_flawed = worth.is_some_and(|worth| worth.is_of_flawed(&ladder.listing));
    set_aside && !of_flawed
}

/// What is said of a row's pieces in one lot.
fn flaws(row: &Row, per_lot: u32, sound: bool, tables: &Tables) -> Vec<Flaw> {
    row.flaws
        .iter()
        .filter(|flaw| {
            let is_damage = tables.conditions.find(&flaw.term).is_ok_and(listing::Term::goes_in_title);
            !(sound && is_damage)
        })
        .map(|flaw| Flaw { pieces: flaw.pieces.min(per_lot), ..flaw.clone() })
        .collect()
}

/// The word for a piece: the form's own where the plain word only shortens it.
fn noun(row: &Row) -> Noun {
    let form = row.form.name.split(',').next().unwrap_or(&row.form.name).trim();
    let what = row.what.as_str();
    Noun::new(if form.to_lowercase().ends_with(&what.to_lowercase()) { form } else { what })
}

/// Weight and size of the parcels of one lot, to whole ounces and inches.
fn own(parcels: impl Iterator<Item = (Mass, [Length; 3])>) -> (Mass, [Length; 3]) {
    let mut weight = Mass::ZERO;
    let mut size = [Length::ZERO; 3];
    for (gross, outside) in parcels {
        weight += gross;
        for (side, outside) in size.iter_mut().zip(outside) {
            *side = side.max(outside);
        }
    }
    (
        Mass::from_ounces(weight.ounces().ceil()),
        size.map(|side| Length::from_inches((side.inches() - 0.001).ceil())),
    )
}

/// The lowest price to take: what waiting is worth where comps tell, else what leaves nothing.
fn floor(job: &Job, worth: Option<&Worth>, ladder: &Ladder, price: Money) -> Result<Money, TradeError> {
    if let Some(worth) = worth
        && let Some((pool, size)) = worth.pool_of(&ladder.listing)
    {
        let offer = Offer {
            amount: price,
            ask: Some(price),
            pool,
            size: Some(size),
            lots: 1,
            lots_left: Some(ladder.listing.lots),
            days_left: job.market.demand.horizon_days,
            stay: None,
            reply_cost: Money::ZERO,
        };
        return answer(job, worth, &offer).map(|answered| answered.answer.floor);
    }
    let Some((_, Ok(one))) = ladder.rungs.first() else { return Ok(price) };
    let currency = Money::currency;
    let shipping = one.expected_margin + one.expected_postage;
    let order = OrderCost {
        postage: currency(one.expected_postage),
        materials: currency(one.materials),
        minutes: one.minutes,
        shipping_charged: shipping,
    };
    let lot = LotSize {
        pieces: ladder.listing.pieces().max(1),
        delivered: currency(price + shipping),
        rate_per_day: 1.0,
        orders: [(1, order)].into(),
    };
    let even = lot.break_even(&terms(job)).ok().flatten();
    Ok(even.map_or(price, |delivered| delivered - shipping))
}

impl Charging {
    /// The policy in words.
    #[must_use]
    pub fn in_words(self, units: Units) -> String {
        match self {
            Self::Flat { amount } => format!("flat {amount}, however many lots"),
            Self::FlatPlus { first, further } => {
                format!("{first} for the first lot, {further} for each further one")
            }
            Self::StatedPerLot { weight: Some(weight), .. } => {
                format!("postage of {} stated per lot, lot by lot", weight.write(units))
            }
            Self::StatedPerLot { weight: None, .. } => {
                String::from("postage of the smallest stated weight that never loses, lot by lot")
            }
            Self::Combined => String::from("postage of the combined parcel"),
            Self::Included => String::from("nothing, postage is in the price"),
        }
    }
}
