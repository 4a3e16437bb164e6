//! A job: what there is, what it may be packed in, who buys it and what they are charged.

use forms::{Form, Measures};
use jiff::civil::Date;
use listing::Flaw;
use measure::{Length, Mass, Money, Units};
use postage::{RateCard, ZoneFinder};
use pricing::{Comp, Grade};

use crate::{Learnt, Market, Words};

/// A group of pieces of one form within a find.
#[derive(Debug, Clone)]
pub struct Row {
    /// The plain word for a piece ("cup").
    pub what: String,
    /// Its form.
    pub form: Form,
    /// What was measured.
    pub measures: Measures,
    /// Pieces there are.
    pub count: u32,
    /// Of these, pieces with a flaw that keeps them out of the lots.
    pub flawed: u32,
    /// Pieces of this row in one lot; 0 when the lot has none. Where the split decides, pieces in one set.
    pub per_lot: u32,
    /// Recipe to use instead of the form's own.
    pub recipe: Option<String>,
    /// What a piece is worth by itself, as a share of what one set is worth; 1 where the set is one piece.
    pub alone: f64,
    /// Condition of the flawed pieces, when they are sold apart.
    pub flawed_grade: Grade,
    /// The flaws that were seen.
    pub flaws: Vec<Flaw>,
    /// How hard a blow it bears.
    pub bears: Bears,
}

impl Row {
    /// Pieces that may go into lots.
    #[must_use]
    pub fn usable(&self) -> u32 {
        self.count.saturating_sub(self.flawed)
    }
}

/// A group of like pieces from a haul, sold in lots.
#[derive(Debug, Clone)]
pub struct Find {
    /// Its name on the sheet.
    pub name: String,
    /// Its rows: at least one.
    pub rows: Vec<Row>,
    /// Price of one lot, when set.
    pub price: Option<Money>,
    /// Who decides how many pieces go into a lot.
    pub lots_by: LotsBy,
    /// What was seen sold and offered; pieces of a comp are sets where a lot has several kinds.
    pub comps: Vec<Comp>,
    /// Condition of the pieces that go into lots.
    pub grade: Grade,
    /// What all of it costs at the shop, before tax.
    pub cost: Cost,
    /// Largest lot to try, in sets; `None` goes half again past the largest that was seen.
    pub largest_lot: Option<u32>,
    /// Words for the listing.
    pub words: Words,
}

/// Who decides how many pieces go into a lot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LotsBy {
    /// The sheet: [`Row::per_lot`] pieces of each row.
    Sheet,
    /// The split that earns most; [`Row::per_lot`] pieces of each row make a set.
    Split,
}

/// What a find costs, before the shop's tax.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cost {
    /// Not told.
    Unknown,
    /// The shop asks this.
    Asked(Money),
    /// This was paid.
    Paid(Money),
}

impl Find {
    /// What of its measures was taken from the forms table, row by row: "wall of the cup"; empty when all was
    /// measured. A row whose piece can't be built says nothing.
    #[must_use]
    pub fn not_measured(&self) -> Vec<String> {
        let of = |row: &Row| {
            let built = row.form.piece(&row.measures).ok()?;
            let guessed: Vec<String> = built
                .used
                .iter()
                .filter(|figure| !figure.measured)
                .map(|figure| figure.name.replace('_', " "))
                .collect();
            (!guessed.is_empty()).then(|| format!("{} of the {}", guessed.join(", "), row.what))
        };
        self.rows.iter().filter_map(of).collect()
    }

    /// Pieces of each row in one set: the smallest whole numbers in the ratio of a lot.
    #[must_use]
    pub fn unit(&self) -> Vec<u32> {
        let divisor = self.rows.iter().map(|row| row.per_lot).fold(0, gcd).max(1);
        self.rows.iter().map(|row| row.per_lot / divisor).collect()
    }

    /// Whole lots that the usable pieces make.
    #[must_use]
    pub fn lots(&self) -> u32 {
        self.rows
            .iter()
            .filter(|row| row.per_lot > 0)
            .map(|row| row.usable() / row.per_lot)
            .min()
            .unwrap_or(0)
    }

    /// Pieces of each row that no whole lot takes, flawed ones left out.
    #[must_use]
    pub fn leftovers(&self) -> Vec<(&Row, u32)> {
        self.rows.iter().map(|row| (row, row.usable() - self.lots() * row.per_lot)).collect()
    }
}

const fn gcd(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// An order that takes lots of several finds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MixedOrder {
    /// Its name on the sheet.
    pub name: String,
    /// Index of a find and the number of its lots.
    pub lots: Vec<(usize, u32)>,
}

/// A carton on the shelf.
#[derive(Debug, Clone)]
pub struct CartonStock {
    /// Its name ("12 x 12 x 8").
    pub name: String,
    /// Inside length, width and height, the longer side of the opening first.
    pub inside: [Length; 3],
    /// Board: the name of a grade of the `protection` room ("32 ECT").
    pub grade: String,
    /// How many there are; `None` when it is not counted.
    pub on_hand: Option<u32>,
    /// Cost of one; `None` takes the rule by area of the `protection` room.
    pub cost: Option<Money>,
    /// Whether it was used before: it then bears less.
    pub reused: bool,
    /// Inside heights to which it may be cut down, scored heights included.
    pub cut_heights: Vec<Length>,
}

/// How pieces are protected.
#[derive(Debug, Clone)]
pub struct Protecting {
    /// Name of a profile of the `protection` room.
    pub profile: String,
    /// Wall clearance for everything instead of the profile's.
    pub clearance: Option<Length>,
    /// Name of the void fill.
    pub fill: String,
    /// Name of a profile or schedule of drops of the `cushion` room.
    pub drop: String,
    /// What decides how far pieces lie from the carton.
    pub decide: Decide,
    /// Factor between what a piece bears and what is designed for; `None` takes the usual.
    pub safety: Option<f64>,
    /// When a parcel goes in two boxes.
    pub double_box: DoubleBox,
    /// How parcels wait, stacked; `None` when they don't.
    pub stacked: Option<crate::Stacked>,
    /// What a piece is worth whose find has neither price nor comps, when its cushion is weighed.
    pub piece_value: Money,
}

/// What decides how far pieces lie from the carton.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Decide {
    /// The rule of the profile is kept; towards the computed cushion as far as the breakage it saves is worth
    /// what it costs. Whether a parcel is at risk is still said by the stricter of the two.
    #[default]
    Worth,
    /// The rule of the profile or the computed cushion, whichever asks for more, whatever it costs.
    Stricter,
    /// The rule of the profile; the computation stands beside it.
    Rule,
    /// The computed cushion; the rule stands beside it.
    Computed,
}

impl Decide {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Worth, Self::Stricter, Self::Rule, Self::Computed];

    /// The word on a job sheet.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Worth => "worth",
            Self::Stricter => "stricter",
            Self::Rule => "rule",
            Self::Computed => "computed",
        }
    }
}

/// When a parcel goes in a box within a box.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DoubleBox {
    /// Where it is advised or one box can't do it, and then only where it costs less than one box that can.
    #[default]
    WhenAdvised,
    /// Never.
    Never,
    /// Always.
    Always,
}

impl DoubleBox {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::WhenAdvised, Self::Never, Self::Always];

    /// The word on a job sheet.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::WhenAdvised => "when_advised",
            Self::Never => "never",
            Self::Always => "always",
        }
    }
}

/// How hard a blow a piece bears.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Bears {
    /// What its form's class bears.
    #[default]
    AsForm,
    /// What another class of the `cushion` room bears.
    Class(String),
    /// This many times gravity.
    Gravities(f64),
}

/// A buyer's place and how often buyers are there.
#[derive(Debug, Clone, PartialEq)]
pub struct Buyer {
    /// ZIP Code or its first three digits.
    pub zip: String,
    /// Share of the buyers, 0 to 1; all shares of a job add up to 1.
    pub share: f64,
}

/// How parcels are sent.
#[derive(Debug, Clone)]
pub struct Post {
    /// Where parcels are handed over.
    pub origin: String,
    /// Where they go; at least one.
    pub buyers: Vec<Buyer>,
    /// The rate card.
    pub card: RateCard,
    /// Zones.
    pub zones: ZoneFinder,
    /// Day of mailing.
    pub date: Date,
}

/// What the buyer is charged for postage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Charging {
    /// One amount, however many lots.
    Flat {
        /// The amount.
        amount: Money,
    },
    /// One amount for the first lot and one for each further lot.
    FlatPlus {
        /// For the first lot.
        first: Money,
        /// For each further lot.
        further: Money,
    },
    /// Postage of the stated weight and size, once for each lot.
    StatedPerLot {
        /// Stated weight of a lot; `None` takes the smallest that never loses.
        weight: Option<Mass>,
        /// Stated size of a lot; `None` takes the one-lot parcel's.
        size: Option<[Length; 3]>,
    },
    /// Postage of the combined parcel or parcels as they are sent.
    Combined,
    /// Nothing: postage is in the price.
    Included,
}

/// Everything a plan is made from.
#[derive(Debug, Clone)]
pub struct Job {
    /// Its title.
    pub title: String,
    /// Units to write measures in.
    pub units: Units,
    /// The finds; at least one.
    pub finds: Vec<Find>,
    /// Orders over several finds.
    pub orders: Vec<MixedOrder>,
    /// The cartons; at least one.
    pub cartons: Vec<CartonStock>,
    /// How pieces are protected.
    pub protecting: Protecting,
    /// Postage.
    pub post: Post,
    /// What buyers are charged.
    pub charging: Charging,
    /// What an hour of packing is worth.
    pub wage: Money,
    /// Where and how it is sold.
    pub market: Market,
    /// What parcels like these were against what was reckoned.
    pub learnt: Learnt,
}
