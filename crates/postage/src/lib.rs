//! What a parcel costs to post: billable weight, zones, dated rate cards, limits and refusals.
//!
//! Cards are data ([`RateCard::published`], [`RateCard::read`]); the rules that a card names are
//! applied here, step by step, and every quote tells its steps. Nothing over a limit is ever priced.
//!
//! ```
//! use measure::{Length, Mass};
//! use postage::{ParcelFacts, RateCard, ZoneFinder};
//!
//! let card = RateCard::by_id("ground_advantage_commercial").expect("a published card");
//! let facts = ParcelFacts {
//!     outside: [12.0, 10.0, 8.0].map(Length::from_inches),
//!     gross: Mass::from_ounces(31.0),
//!     rectangular: true,
//! };
//! let zone = ZoneFinder::published().zone("45301", "606")?.zone;
//! let quote = card.quote(&facts, zone, jiff::civil::date(2026, 11, 25))?;
//! assert_eq!(quote.billed_row, "2 lb");
//! assert_eq!(quote.total.write(), "8.66");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod additions;
mod billable;
mod card;
mod card_error;
mod caution;
mod cubic;
mod fee;
mod figure;
mod parcel;
mod prices;
mod quote;
mod refusal;
mod rounding;
mod rules;
mod table;
mod zip;
mod zone;
mod zone_chart;
mod zone_error;
mod zone_finder;

pub use billable::BillableWeight;
pub use card::RateCard;
pub use card_error::{CardError, CardPart};
pub use cubic::{CubicProgram, CubicTier, NotCubic, cubic_tier, soft_pack_tier};
pub use measure::{girth, length_plus_girth};
pub use parcel::{ParcelFacts, girth_of_section};
pub use quote::Quote;
pub use refusal::Refusal;
pub use rounding::{SideRounding, round_down_to, round_off_to, round_up_to};
pub use zone::Zone;
pub use zone_error::ZoneError;
pub use zone_finder::{ZoneEstimate, ZoneFinder, ZoneSource};
