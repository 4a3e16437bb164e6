//! The words of a listing: venues and their limits, titles, condition, photos, disclosures, and one count
//! everywhere.
//!
//! A [`Record`] of what is in one lot becomes a [`Card`]: a title that begins with the count and fits the
//! [`Venue`], a description of measured facts, condition lines, a photo list, disclosures. [`lint`] reads
//! all of it again, also after a person has changed it, and reports every place that gives another count.
//!
//! ```
//! use forms::{Catalogue, Measures};
//! use listing::{Belonging, Card, Content, Count, Noun, Record, Tables, Terms, TitleParts, Venues};
//! use measure::{Length, Mass, Money, Units};
//!
//! let catalogue = Catalogue::published();
//! let form = catalogue.find("diner mug")?;
//! let inches = Length::from_inches;
//! let measures =
//!     Measures { diameter: Some(inches(3.25)), height: Some(inches(3.5)), ..Measures::default() };
//! let built = form.piece(&measures)?;
//! let mut mugs = Content::new(Noun::new("mug"), 4, form, &built);
//! mugs.stock = 14;
//! let record = Record {
//!     count: Count::new(4, Belonging::Alike)?,
//!     lots: 3,
//!     contents: vec![mugs],
//!     not_included: vec![],
//!     known: vec![],
//!     electrical_test: String::new(),
//! };
//! let title = TitleParts::new(record.count, Noun::new("diner mug"));
//! let terms = Terms {
//!     price: Money::from_cents(2400),
//!     floor: Money::from_cents(1900),
//!     shipping: "calculated for your address".to_owned(),
//!     stated_weight: Mass::from_pounds(6.0),
//!     stated_size: [inches(12.0), inches(12.0), inches(8.0)],
//! };
//! let venues = Venues::published();
//! let venue = venues.find("open market")?;
//! let mut card =
//!     Card::compose(&record, &title, &terms, venue, &Tables::published(), Units::UsCustomary)?;
//! assert_eq!(card.title.text, "4 Diner Mugs");
//! assert_eq!(
//!     card.description.first_line,
//!     "You receive 4 mugs (one lot of 4). 3 such lots are available."
//! );
//! card.title.text = "Half Dozen Diner Mugs".to_owned();
//! assert_eq!(card.lint().len(), 1);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod aside;
mod card;
mod claim;
mod condition;
mod content;
mod count;
mod description;
mod disclosure;
mod error;
mod flaw;
mod keys;
mod lint;
mod measured;
mod noun;
mod number;
mod percent;
mod photo;
mod place;
mod read_flaw;
mod title;
mod title_words;
mod token;
mod venue;
mod vocabulary;

pub use card::{Card, Terms};
pub use condition::{Conditions, Kind, Needs, SizeBound, SizeFit, TITLE_SEVERITY, Term};
pub use content::Content;
pub use count::{Belonging, Count};
pub use description::{Description, Record, Tables};
pub use disclosure::{Disclosure, Disclosures, Known, Reader};
pub use error::ListingError;
pub use flaw::Flaw;
pub use lint::{Counting, Finding, Spot, Tally, Texts, lint};
pub use measured::{StatedMeasures, stated_measures};
pub use noun::Noun;
pub use percent::Percent;
pub use photo::{Photo, PhotoList, Shot, Shots};
pub use place::Place;
pub use title::{
    DropReason, Dropped, KEPT_LONGEST_FIRST, Maker, Period, Title, TitlePart, TitleParts, characters,
    compose_title,
};
pub use venue::{TaxBy, Venue, Venues};
