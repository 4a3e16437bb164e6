//! The listing card: everything to be typed at the venue, with one count everywhere.

use measure::{Length, Mass, Money, Units};

use crate::description::listed;
use crate::{
    Description, Finding, ListingError, PhotoList, Reader, Record, Tables, Tally, Texts, Title, TitleParts,
    Venue, characters, compose_title, lint,
};

/// What is asked and what is stated, as other rooms reckoned it.
#[derive(Debug, Clone, PartialEq)]
pub struct Terms {
    /// Price of one lot; more than 0.
    pub price: Money,
    /// The lowest offer to take for one lot, more than 0 and at most the price.
    pub floor: Money,
    /// Shipping policy in words.
    pub shipping: String,
    /// Weight to state for one lot, packed.
    pub stated_weight: Mass,
    /// Outside size to state for one lot, packed.
    pub stated_size: [Length; 3],
}

/// A listing, ready to copy. A person may change its texts; [`Card::lint`] reads them again.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// Name of the venue.
    pub venue: String,
    /// The title, and what stayed out of it.
    pub title: Title,
    /// The description, in its parts.
    pub description: Description,
    /// The photo list.
    pub photos: PhotoList,
    /// What to do before it goes up; never printed in the listing.
    pub to_do: Vec<String>,
    /// Price of one lot.
    pub price: Money,
    /// The lowest offer to take for one lot; `None` where the venue takes no offers.
    pub floor: Option<Money>,
    /// How many lots to put in as the quantity.
    pub quantity: u32,
    /// What one lot is ("one lot of 4").
    pub one_lot: String,
    /// Shipping policy in words.
    pub shipping: String,
    /// Weight to state.
    pub stated_weight: Mass,
    /// Size to state.
    pub stated_size: [Length; 3],
    /// The count that all of it is checked against.
    pub tally: Tally,
    /// Units that figures are written in.
    pub units: Units,
}

impl Card {
    /// Composes a listing for a venue. The title's count is the record's, and its bad news that of the
    /// record's flaws where `title` names none.
    ///
    /// # Errors
    /// A title or description past the venue's limits, flaws that can't be said, a price or floor that
    /// can't be, or counts that don't agree ([`ListingError::Counts`]).
    pub fn compose(
        record: &Record<'_>,
        title: &TitleParts,
        terms: &Terms,
        venue: &Venue,
        tables: &Tables,
        units: Units,
    ) -> Result<Self, ListingError> {
        check_terms(terms)?;
        let description = Description::compose(record, tables, units)?;
        let length = characters(&description.text());
        if let Some(limit) = venue.description_limit.filter(|&limit| length > limit) {
            return Err(ListingError::DescriptionTooLong { venue: venue.name.clone(), length, limit });
        }
        let flaws = record.contents.iter().flat_map(|content| &content.flaws);
        let mut parts = title.clone();
        parts.count = record.count;
        parts.bad_news = parts.bad_news.or_else(|| tables.conditions.title_flag(flaws));
        let lot: Vec<_> =
            record.contents.iter().map(|content| (content.form, &content.noun, content.per_lot)).collect();
        let to_do = tables.disclosures.lines(
            &record.contents,
            &tables.conditions,
            &record.known,
            &record.electrical_test,
            Reader::Seller,
        );
        let card = Self {
            venue: venue.name.clone(),
            title: compose_title(&parts, venue.title_limit)?,
            photos: tables.shots.list(record.count.pieces(), &lot, &description.condition, venue.photo_limit),
            to_do,
            price: terms.price,
            floor: venue.offers.then_some(terms.floor),
            quantity: record.lots,
            one_lot: record.count.one_lot(),
            shipping: terms.shipping.clone(),
            stated_weight: terms.stated_weight,
            stated_size: terms.stated_size,
            tally: Tally::from_contents(record.count, &record.contents, record.lots),
            units,
            description,
        };
        let findings = card.lint();
        if findings.is_empty() { Ok(card) } else { Err(ListingError::Counts(findings)) }
    }

    /// Every place of the card that disagrees on the count.
    #[must_use]
    pub fn lint(&self) -> Vec<Finding> {
        let photos: Vec<String> = self.photos.photos.iter().map(|photo| photo.text.clone()).collect();
        let texts = Texts {
            title: Some(&self.title.text),
            first_line: Some(&self.description.first_line),
            contents: &self.description.contents,
            photos: &photos,
            quantity: Some(self.quantity),
        };
        lint(&texts, &self.tally)
    }

    /// The whole card as plain text: first what is copied to the venue, then what stays with the seller.
    #[must_use]
    pub fn text(&self) -> String {
        let size: Vec<String> = self.stated_size.iter().map(|side| side.write(self.units)).collect();
        let photo = |photo: &crate::Photo| {
            let optional = if photo.optional { " (optional)" } else { "" };
            format!("{}{optional}", photo.text)
        };
        let photos: Vec<String> = self.photos.photos.iter().map(photo).collect();
        let floor = match self.floor {
            Some(floor) => format!("Lowest offer to take: {floor} for {}", self.one_lot),
            None => "Offers: not taken at this venue".to_owned(),
        };
        let mut sections = vec![
            format!("LISTING FOR {}", self.venue.to_uppercase()),
            format!("Title ({} characters):\n{}", characters(&self.title.text), self.title.text),
            format!("Description:\n{}", self.description.text()),
            format!(
                "Price: {} for {}\nQuantity: {}\nShipping: {}\nWeight to state: {}\nSize to state: {}",
                self.price,
                self.one_lot,
                crate::Noun::new("lot").of(self.quantity),
                self.shipping,
                self.stated_weight.write(self.units),
                size.join(" x ")
            ),
            format!("Pictures:\n{}", listed(&photos)),
            format!("FOR YOU ALONE\n{floor}"),
        ];
        if !self.photos.left_out.is_empty() {
            sections.push(format!("No room for these pictures:\n{}", listed(&self.photos.left_out)));
        }
        if !self.title.dropped.is_empty() {
            let dropped: Vec<String> = self
                .title
                .dropped
                .iter()
                .map(|dropped| format!("{} ({}): {}", dropped.words, dropped.part, dropped.reason))
                .collect();
            sections.push(format!("Left out of the title:\n{}", listed(&dropped)));
        }
        if !self.description.to_measure.is_empty() {
            let measures = listed(&self.description.to_measure);
            sections.push(format!("To measure before listing:\n{measures}"));
        }
        if !self.to_do.is_empty() {
            sections.push(format!("To do before listing:\n{}", listed(&self.to_do)));
        }
        let mut text = sections.join("\n\n");
        text.push('\n');
        text
    }
}

fn check_terms(terms: &Terms) -> Result<(), ListingError> {
    let price = |what, found: Money, right: String| ListingError::Price { what, found: found.write(), right };
    if terms.price <= Money::ZERO {
        return Err(price("price", terms.price, "more than 0".to_owned()));
    }
    if terms.floor <= Money::ZERO || terms.floor > terms.price {
        return Err(price("floor", terms.floor, format!("more than 0 and at most {}", terms.price)));
    }
    let positive = |figure: f64| figure.is_finite() && figure > 0.0;
    if !positive(terms.stated_weight.grams()) {
        return Err(ListingError::Stated { what: "weight", example: "3 lb 4 oz" });
    }
    if !terms.stated_size.iter().all(|side| positive(side.mm())) {
        return Err(ListingError::Stated { what: "size", example: "12 x 10 x 8 in" });
    }
    Ok(())
}
