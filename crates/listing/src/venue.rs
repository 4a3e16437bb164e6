//! Venues: where a listing is put up, what it costs and how much it may say.

use std::collections::BTreeMap;

use forms::Flag;
use measure::{Money, nearest, plain};
use toml::Table;

use crate::keys::{Keys, check_id, overlay, parse};
use crate::vocabulary::vocabulary;
use crate::{ListingError, Percent};

const PUBLISHED: &str = include_str!("../data/venues.toml");
const TEMPLATE: &str = include_str!("../data/venue_template.toml");
const FILE: &str = "venues file";
const KEYS: &[&str] = &[
    "name",
    "fee_on_item_percent",
    "fee_on_shipping_percent",
    "fee_on_tax_percent",
    "fixed_fee_per_order",
    "title_limit",
    "description_limit",
    "photo_limit",
    "offers",
    "sales_tax_by",
    "source",
    "flag",
];
/// Title limits that are believed, in characters. Source: judgement; titles of 45 to 140 are usual.
const TITLE_LIMITS: (u32, u32) = (10, 1000);
/// Description limits that are believed, in characters. Source: judgement.
const DESCRIPTION_LIMITS: (u32, u32) = (100, 1_000_000);
/// Picture limits that are believed. Source: judgement.
const PHOTO_LIMITS: (u32, u32) = (1, 200);

vocabulary! {
    /// Who sends the sales tax to the state.
    TaxBy {
        /// The venue collects and remits it.
        Venue = "venue",
        /// The seller does.
        Seller = "seller",
    }
}

/// A place where listings are put up.
#[derive(Debug, Clone, PartialEq)]
pub struct Venue {
    /// Its snake_case id ("open_market").
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Fee on the price of the goods.
    pub fee_on_item: Percent,
    /// Fee on what the buyer pays for postage.
    pub fee_on_shipping: Percent,
    /// Fee on the sales tax.
    pub fee_on_tax: Percent,
    /// Fee once per order.
    pub fixed_fee: Money,
    /// Longest title, in characters (Unicode scalar values).
    pub title_limit: usize,
    /// Longest description, in characters; `None` when there is no limit.
    pub description_limit: Option<usize>,
    /// Most pictures.
    pub photo_limit: usize,
    /// Whether a buyer may offer less than the price.
    pub offers: bool,
    /// Who remits sales tax.
    pub sales_tax_by: TaxBy,
    /// Where the figures come from, in words.
    pub source: String,
    /// How far they can be trusted.
    pub flag: Flag,
}

/// All venues a person can name.
///
/// ```
/// use listing::Venues;
///
/// let venues = Venues::published().with("[venues.open_market]\ntitle_limit = 65")?;
/// assert_eq!(venues.find("Open Market")?.title_limit, 65);
/// assert!(venues.find("open markte").is_err_and(|e| e.to_string().contains("did you mean open market")));
/// # Ok::<(), listing::ListingError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Venues {
    table: Table,
    venues: BTreeMap<String, Venue>,
    /// Plain name to id.
    names: BTreeMap<String, String>,
}

impl Venues {
    /// The two invented venues that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the compiled-in venues are read by this room's tests")
    }

    /// A commented venue to copy; it is a right file once the "# " is taken off its lines.
    #[must_use]
    pub const fn template() -> &'static str {
        TEMPLATE
    }

    /// Reads a whole venues file (TOML).
    ///
    /// # Errors
    /// Text that isn't TOML, unknown or missing keys, values out of range (percentages from 0 to 100), or
    /// names that two venues claim; the message names the venue, the field and what's right.
    pub fn read(toml_text: &str) -> Result<Self, ListingError> {
        Self::from_table(parse(FILE, toml_text)?)
    }

    /// These venues with a person's own file laid over them: new ids are added, and a row of an id that
    /// exists changes only the keys it states.
    ///
    /// # Errors
    /// As [`Venues::read`].
    pub fn with(&self, toml_text: &str) -> Result<Self, ListingError> {
        Self::from_table(overlay(&self.table, &parse(FILE, toml_text)?))
    }

    fn from_table(table: Table) -> Result<Self, ListingError> {
        let file = Keys { place: format!("the {FILE}"), table: &table };
        file.only(&["venues"])?;
        let mut venues = BTreeMap::new();
        let mut names: BTreeMap<String, String> = BTreeMap::new();
        for (id, keys) in file.rows("venues", "venue")? {
            check_id(FILE, id)?;
            let venue = venue(id, &keys)?;
            for name in [id, &venue.name] {
                let taken = names.insert(plain(name), id.to_owned()).filter(|by| by != id);
                if let Some(taken_by) = taken {
                    return Err(ListingError::NameTaken {
                        place: keys.place,
                        name: name.to_owned(),
                        taken_by,
                    });
                }
            }
            venues.insert(id.to_owned(), venue);
        }
        Ok(Self { table, venues, names })
    }

    /// The venue with this id or name; case, spaces, hyphens and accents don't matter.
    ///
    /// # Errors
    /// [`ListingError::Unknown`] with up to three names that may have been meant.
    pub fn find(&self, id: &str) -> Result<&Venue, ListingError> {
        self.names.get(&plain(id)).and_then(|id| self.venues.get(id)).ok_or_else(|| ListingError::Unknown {
            what: "venue",
            name: id.to_owned(),
            nearest: nearest(id, self.venues.values().map(|venue| venue.name.as_str())),
        })
    }

    /// All venues, by id.
    pub fn iter(&self) -> impl Iterator<Item = &Venue> {
        self.venues.values()
    }
}

fn venue(id: &str, keys: &Keys<'_>) -> Result<Venue, ListingError> {
    keys.only(KEYS)?;
    let limit = |key, (least, most)| Ok(keys.whole(key, least, most)?.map(|limit| limit as usize));
    let (source, flag) = keys.origin()?;
    Ok(Venue {
        id: id.to_owned(),
        name: keys.text("name", "open market")?,
        fee_on_item: keys.percent("fee_on_item_percent")?,
        fee_on_shipping: keys.percent("fee_on_shipping_percent")?,
        fee_on_tax: keys.percent("fee_on_tax_percent")?,
        fixed_fee: keys.money("fixed_fee_per_order")?,
        title_limit: limit("title_limit", TITLE_LIMITS)?
            .ok_or_else(|| keys.missing("title_limit", "title_limit = 80"))?,
        description_limit: limit("description_limit", DESCRIPTION_LIMITS)?,
        photo_limit: limit("photo_limit", PHOTO_LIMITS)?
            .ok_or_else(|| keys.missing("photo_limit", "photo_limit = 12"))?,
        offers: keys.truth("offers")?.ok_or_else(|| keys.missing("offers", "offers = true"))?,
        sales_tax_by: keys
            .word("sales_tax_by", TaxBy::ALL, TaxBy::word)?
            .ok_or_else(|| keys.missing("sales_tax_by", "sales_tax_by = \"venue\""))?,
        source,
        flag,
    })
}
