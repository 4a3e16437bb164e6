//! A carton under others: the load from above, what is left of its strength, and what binds.

use measure::{Length, Mass};

use crate::compression::{left_at_humidity, left_under_load};
use crate::mckee::more_than_nothing;
use crate::{BoardRules, CompressionStrength, Flag, Origin, ProtectionError};

/// Strength lost for each percent of a side that a box stands off the one below, percent (Park, thesis,
/// Michigan State University 2010, abstract).
const LOST_PER_PERCENT_OFFSET: f64 = 2.5;
/// Times as fast as at constant damp that stacked boxes fail when humidity goes up and down (R. Popil, as
/// quoted in a packaging article: they last about a fifth as long).
const CYCLING: f64 = 5.0;
const WORKSHEET: &str = "a box maker's target compression worksheet";

/// What presses on a carton.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LoadAbove {
    /// So many like boxes on top of it.
    Boxes {
        /// How many.
        count: u32,
        /// Gross mass of each.
        gross_each: Mass,
    },
    /// As many like boxes as a stack of this height holds above it.
    StackHeight {
        /// Height of the whole stack, this carton included.
        height: Length,
        /// Gross mass of each box.
        gross_each: Mass,
    },
    /// A mass, however it is made up.
    Mass(Mass),
}

/// How boxes stand on each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pattern {
    /// Corner on corner.
    Column,
    /// In columns that don't quite meet.
    ColumnMisaligned,
    /// In columns, each box standing off the one below by so many percent of a side.
    ColumnOffset {
        /// Offset, percent of the side it is along.
        percent: f64,
    },
    /// Like bricks, so that corners stand on the middle of sides.
    Interlocked,
}

/// Where and how a carton stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Storage {
    /// Time under load, days.
    pub days: f64,
    /// Relative humidity, percent.
    pub humidity_percent: f64,
    /// Whether humidity goes up and down (each day then counts for five).
    pub humidity_cycles: bool,
    /// How boxes stand on each other.
    pub pattern: Pattern,
    /// Whether boxes hang over the edge of their pallet or shelf.
    pub overhang: bool,
    /// Whether they stand on a deck with gaps.
    pub deck_gaps: bool,
    /// Whether they are handled roughly on the way.
    pub rough_handling: bool,
    /// Whether the carton was used before.
    pub reused: bool,
}

impl Storage {
    /// A new carton in a dry column: time and damp of a short parcel journey (judgement: 10 days, 50 %).
    pub const DRY_COLUMN: Self = Self {
        days: 10.0,
        humidity_percent: 50.0,
        humidity_cycles: false,
        pattern: Pattern::Column,
        overhang: false,
        deck_gaps: false,
        rough_handling: false,
        reused: false,
    };
}

/// One thing that takes strength away.
#[derive(Debug, Clone, PartialEq)]
pub struct StackShare {
    /// What it is, in words ("80 % humidity").
    pub what: String,
    /// Share of strength it leaves, 0 to 1.
    pub share: f64,
    /// Where the share comes from.
    pub origin: Origin,
}

/// Which of the two demands on strength is the larger.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StackingBinds {
    /// What time, damp and stacking leave.
    Shares,
    /// The usual safety factor over all.
    SafetyFactor,
}

/// Whether a carton bears what stands on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Stacking {
    /// Its strength new and dry.
    pub strength: CompressionStrength,
    /// All that takes strength away, in order of the sum.
    pub shares: Vec<StackShare>,
    /// Strength left after all shares, pounds of force.
    pub left_lbf: f64,
    /// The load from above, pounds of force.
    pub load_lbf: f64,
    /// Safety factor asked for: strength new and dry over the load.
    pub safety_factor: f64,
    /// Strength, new and dry, that the load calls for, pounds of force.
    pub needed_lbf: f64,
    /// Largest load it should bear, pounds of force.
    pub bears_lbf: f64,
    /// What it bears over the load: under 1 is too little, infinite without a load.
    pub margin: f64,
    /// Which demand binds.
    pub binds: StackingBinds,
}

impl Stacking {
    /// Whether the carton bears its load.
    #[must_use]
    pub fn stands(&self) -> bool {
        self.margin >= 1.0
    }

    /// What takes the most strength away; `None` when nothing does.
    #[must_use]
    pub fn weakest(&self) -> Option<&StackShare> {
        self.shares.iter().filter(|one| one.share < 1.0).min_by(|a, b| a.share.total_cmp(&b.share))
    }
}

/// Whether a carton of this strength and outside height bears a load from above.
///
/// Strength needed is the load over the product of all shares, and no less than the load times the safety
/// factor over all that `rules` state.
///
/// # Errors
/// When the strength or the height isn't more than 0, or mass, days, humidity or offset are out of range.
///
/// Source: a box maker's target compression worksheet (method); Fibre Box Handbook, from memory (pattern,
/// overhang, deck, handling and the usual safety factor).
pub fn stacking(
    strength: CompressionStrength,
    height: Length,
    load: LoadAbove,
    storage: &Storage,
    rules: &BoardRules,
) -> Result<Stacking, ProtectionError> {
    more_than_nothing("compression strength", strength.lbf)?;
    let load_lbf = load_above(load, height)?.pounds();
    let shares = shares(storage, rules)?;
    let product: f64 = shares.iter().map(|one| one.share).product();
    let left_lbf = strength.lbf * product;
    let safety_factor = rules.safety_factor.value;
    let by_factor = strength.lbf / safety_factor;
    let (bears_lbf, binds) = if left_lbf <= by_factor {
        (left_lbf, StackingBinds::Shares)
    } else {
        (by_factor, StackingBinds::SafetyFactor)
    };
    let ratio = |most: f64| if load_lbf > 0.0 { most / load_lbf } else { f64::INFINITY };
    // A load of nothing needs no strength, even where nothing is left.
    let needed_lbf = if load_lbf > 0.0 { load_lbf * (strength.lbf / bears_lbf) } else { 0.0 };
    Ok(Stacking {
        strength,
        shares,
        left_lbf,
        load_lbf,
        safety_factor,
        needed_lbf,
        bears_lbf,
        margin: ratio(bears_lbf),
        binds,
    })
}

/// Mass on top of a carton of this outside height.
fn load_above(load: LoadAbove, height: Length) -> Result<Mass, ProtectionError> {
    let mass = match load {
        LoadAbove::Boxes { count, gross_each } => gross_each * f64::from(count),
        LoadAbove::Mass(mass) => mass,
        LoadAbove::StackHeight { height: stack, gross_each } => {
            more_than_nothing("outside height", height.mm())?;
            in_range("height of the stack", stack.inches(), 0.0, f64::MAX, "in")?;
            // A box that only just fits counts, so that the load is not hoped away.
            gross_each * ((stack / height + 1e-9).floor() - 1.0).max(0.0)
        }
    };
    in_range("load from above", mass.pounds(), 0.0, f64::MAX, "lb")?;
    Ok(mass)
}

fn shares(storage: &Storage, rules: &BoardRules) -> Result<Vec<StackShare>, ProtectionError> {
    in_range("time under load", storage.days, 0.0, f64::MAX, "days")?;
    in_range("humidity", storage.humidity_percent, 0.0, 100.0, "%")?;
    let published = |source: &str| Origin { flag: Flag::Published, source: source.to_owned() };
    let mut all = Vec::new();
    let mut take = |what: String, share: f64, origin: Origin| all.push(StackShare { what, share, origin });
    let days = storage.days * if storage.humidity_cycles { CYCLING } else { 1.0 };
    let counted = if storage.humidity_cycles { ", each counted as five for changing humidity" } else { "" };
    take(
        format!("{:.0} days under load{counted}", storage.days),
        left_under_load(days),
        published(WORKSHEET),
    );
    take(
        format!("{:.0} % humidity", storage.humidity_percent),
        left_at_humidity(storage.humidity_percent),
        published(WORKSHEET),
    );
    let mut rule = |what: &str, figure: &crate::Figure| {
        take(what.to_owned(), figure.value, figure.origin.clone());
    };
    let mut offset = None;
    match storage.pattern {
        Pattern::Column => {}
        Pattern::ColumnMisaligned => rule("columns that don't quite meet", &rules.misaligned),
        Pattern::Interlocked => rule("stacked like bricks", &rules.interlocked),
        Pattern::ColumnOffset { percent } => {
            in_range("offset", percent, 0.0, 100.0, "% of the side")?;
            offset = Some(percent);
        }
    }
    let further = [
        (storage.overhang, "over the edge of the pallet", &rules.overhang),
        (storage.deck_gaps, "a deck with gaps", &rules.deck_gaps),
        (storage.rough_handling, "rough handling", &rules.rough_handling),
        (storage.reused, "a carton used before", &rules.reused),
    ];
    for (_, what, figure) in further.into_iter().filter(|(holds, _, _)| *holds) {
        rule(what, figure);
    }
    if let Some(percent) = offset {
        take(
            format!("standing off by {percent:.1} % of a side"),
            (1.0 - LOST_PER_PERCENT_OFFSET * percent / 100.0).max(0.0),
            published("Park, thesis, Michigan State University 2010"),
        );
    }
    Ok(all)
}

fn in_range(what: &str, figure: f64, least: f64, most: f64, unit: &str) -> Result<(), ProtectionError> {
    if (least..=most).contains(&figure) {
        return Ok(());
    }
    let bound = if most < f64::MAX { format!(" to {most}") } else { " or more".to_owned() };
    Err(ProtectionError::Unreckonable {
        what: what.to_owned(),
        found: format!("{figure} {unit}"),
        right: format!("{least}{bound} {unit}"),
    })
}
