//! Rate cards: one service and class, dated.

use jiff::civil::Date;
use measure::{Length, Mass};

use crate::additions::Additions;
use crate::billable::billable_weight;
use crate::prices::PriceTable;
use crate::quote::quote;
use crate::rules::Rules;
use crate::{BillableWeight, CardError, CardPart, ParcelFacts, Quote, Refusal, Zone};

/// A dated rate card of one service and class: rules, prices and temporary additions.
#[derive(Debug, Clone, PartialEq)]
pub struct RateCard {
    rules: Rules,
    prices: PriceTable,
    additions: Additions,
    warnings: Vec<String>,
}

/// A card that ships with the program: id, rules, prices, additions.
struct Shipped {
    id: &'static str,
    rules: &'static str,
    prices: &'static str,
    additions: &'static str,
}

const SHIPPED: [Shipped; 3] = [
    Shipped {
        id: "ground_advantage_commercial",
        rules: include_str!("../data/ground_advantage_commercial_2026-07-12.toml"),
        prices: include_str!("../data/ground_advantage_commercial_2026-07-12.csv"),
        additions: include_str!("../data/ground_advantage_commercial_additions_2026-10-04.csv"),
    },
    Shipped {
        id: "ground_advantage_retail",
        rules: include_str!("../data/ground_advantage_retail_2026-07-12.toml"),
        prices: include_str!("../data/ground_advantage_retail_2026-07-12.csv"),
        additions: include_str!("../data/ground_advantage_retail_additions_2026-10-04.csv"),
    },
    Shipped {
        id: "expedited_commercial",
        rules: include_str!("../data/expedited_commercial_2026-07-12.toml"),
        prices: include_str!("../data/expedited_commercial_2026-07-12.csv"),
        additions: include_str!("../data/expedited_commercial_additions_2026-10-04.csv"),
    },
];

impl Shipped {
    fn card(&self) -> RateCard {
        RateCard::read(self.rules, self.prices, Some(self.additions))
            .expect("the compiled-in cards are read by the tests")
    }
}

impl RateCard {
    /// The cards that ship with the program, published by the postal service.
    #[must_use]
    pub fn published() -> Vec<Self> {
        SHIPPED.iter().map(Shipped::card).collect()
    }

    /// The published card of this id (`ground_advantage_commercial`, `ground_advantage_retail`,
    /// `expedited_commercial`).
    #[must_use]
    pub fn by_id(id: &str) -> Option<Self> {
        SHIPPED.iter().find(|shipped| shipped.id == id).map(Shipped::card)
    }

    /// Reads a person's own card.
    ///
    /// `rules` is TOML as in the published cards: `id`, `service`, `class`, `source`, `currency`,
    /// `effective_from`, `[sides]`, `[limits]` and, if they apply, `effective_to`, `check`,
    /// `[dimensional]`, `[[fees]]`, `[[cautions]]`. `prices` is CSV headed
    /// `weight_not_over,unit,z1,z2,...` from light to heavy, an empty cell where there is no price.
    /// `additions` is CSV headed
    /// `zone_from,zone_to,lb_from,lb_to,add_usd,in_force_from,in_force_to`; where an addition is in
    /// force, a weight it does not cover is quoted with a caution, so state `0.00` where none is due, and
    /// state the sum where two are due at once.
    ///
    /// # Errors
    /// Names the text, row and column, what stands there and what would be right. Prices that fall
    /// with weight or zone are read and told by [`RateCard::warnings`].
    pub fn read(rules: &str, prices: &str, additions: Option<&str>) -> Result<Self, CardError> {
        let rules = Rules::read(rules)?;
        let (prices, warnings) = PriceTable::read(prices)?;
        let additions = additions.map(Additions::read).transpose()?.unwrap_or_default();
        Ok(Self { rules, prices, additions, warnings })
    }

    /// Reads a person's own card from the bytes of files; see [`RateCard::read`].
    ///
    /// # Errors
    /// As [`RateCard::read`], and when a text is not UTF-8.
    pub fn read_bytes(rules: &[u8], prices: &[u8], additions: Option<&[u8]>) -> Result<Self, CardError> {
        let text = |part, bytes| {
            std::str::from_utf8(bytes).map_err(|error| CardError::NotUtf8 { part, byte: error.valid_up_to() })
        };
        let additions = additions.map(|bytes| text(CardPart::Additions, bytes)).transpose()?;
        Self::read(text(CardPart::Rules, rules)?, text(CardPart::Prices, prices)?, additions)
    }

    /// What the parcel costs to a zone on a day, or why this card has no price for it.
    ///
    /// # Errors
    /// Over a limit, without a price, or without a size or weight: see [`Refusal`]. Nothing is
    /// ever brought down to a limit.
    pub fn quote(&self, facts: &ParcelFacts, zone: Zone, date: Date) -> Result<Quote, Refusal> {
        quote(&self.rules, &self.prices, &self.additions, facts, zone, date)
    }

    /// The weight that counts for the parcel, before it is fitted to a row of prices.
    ///
    /// # Errors
    /// Over a limit, or without a size or weight.
    pub fn billable_weight(&self, facts: &ParcelFacts) -> Result<BillableWeight, Refusal> {
        billable_weight(&self.rules, facts)
    }

    /// Its name among cards.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.rules.id
    }

    /// The service in words.
    #[must_use]
    pub fn service(&self) -> &str {
        &self.rules.service
    }

    /// The price class ("commercial", "retail").
    #[must_use]
    pub fn class(&self) -> &str {
        &self.rules.class
    }

    /// Where the prices are published.
    #[must_use]
    pub fn source(&self) -> &str {
        &self.rules.source
    }

    /// The currency of its prices ("USD").
    #[must_use]
    pub fn currency(&self) -> &str {
        &self.rules.currency
    }

    /// First day it holds.
    #[must_use]
    pub fn effective_from(&self) -> Date {
        self.rules.effective_from
    }

    /// Last day it holds, if known.
    #[must_use]
    pub fn effective_to(&self) -> Option<Date> {
        self.rules.effective_to
    }

    /// What a reader is asked to check.
    #[must_use]
    pub fn check_line(&self) -> Option<&str> {
        self.rules.check.as_deref()
    }

    /// The heaviest parcel that the service takes.
    #[must_use]
    pub fn weight_limit(&self) -> Mass {
        self.rules.limits.weight
    }

    /// The greatest length plus girth that the service takes, if it has such a limit.
    #[must_use]
    pub fn length_plus_girth_limit(&self) -> Option<Length> {
        self.rules.limits.length_plus_girth
    }

    /// The last zone that it has a column for, from 1.
    #[must_use]
    pub fn zones(&self) -> u8 {
        self.prices.zones
    }

    /// The weights at which its rows end, from light to heavy.
    pub fn row_weights(&self) -> impl Iterator<Item = Mass> {
        self.prices.rows.iter().map(|row| row.not_over)
    }

    /// What looks odd in its prices without being wrong: falling prices, missing cells.
    #[must_use]
    pub fn warnings(&self) -> &[String] {
        &self.warnings
    }
}
