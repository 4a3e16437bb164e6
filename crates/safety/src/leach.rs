//! Limits on lead and cadmium that leach from ceramic ware, and which of them a piece falls under.

use forms::Flag;
use measure::{Length, Volume};
use toml::Table;

use crate::SafetyError;
use crate::keys::{Keys, overlay, parse};
use crate::vocabulary::vocabulary;

const PUBLISHED: &str = include_str!("../data/leach.toml");
const FILE: &str = "leach limits file";
const KEYS: &[&str] = &["metal", "ware", "mg_per_l", "publisher", "flag"];
/// Depth up to which ware counts as flat (FDA CPG 545.400, published: 25 mm).
const FLAT_DEPTH: Length = Length::from_mm(25.0);
/// Volume from which hollow ware counts as large (FDA CPG 545.400, published: 1.1 litres).
const LARGE: Volume = Volume::from_mm3(1.1e6);
/// Highest limit that is read, mg/L.
const MOST: f64 = 1000.0;

vocabulary! {
    /// A metal with a leach limit.
    LeachMetal {
        /// Lead.
        Lead = "lead",
        /// Cadmium.
        Cadmium = "cadmium",
    }
}

vocabulary! {
    /// A class of ware.
    WareClass {
        /// Depth up to 25 mm: plates, saucers.
        Flatware = "flatware",
        /// Hollow, under 1.1 litres.
        SmallHollow = "small hollow-ware",
        /// Hollow, 1.1 litres or more.
        LargeHollow = "large hollow-ware",
        /// Cups and mugs.
        CupOrMug = "cup or mug",
        /// Pitchers.
        Pitcher = "pitcher",
    }
}

/// What a piece of ware is used as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WareUse {
    /// Anything but the others.
    Dish,
    /// A cup or a mug.
    CupOrMug,
    /// A pitcher.
    Pitcher,
}

/// A piece of ware as leach limits see it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ware {
    /// What it is used as.
    pub used_as: WareUse,
    /// Inside depth, from the rim's level to the lowest point.
    pub depth: Length,
    /// What it holds.
    pub volume: Volume,
}

impl Ware {
    /// Its class by depth and volume. What is no number counts as hollow and large, the strictest.
    #[must_use]
    pub fn by_shape(self) -> WareClass {
        if self.depth <= FLAT_DEPTH {
            WareClass::Flatware
        } else if self.volume < LARGE {
            WareClass::SmallHollow
        } else {
            WareClass::LargeHollow
        }
    }

    /// Its class by use, where it has one, and else by shape.
    #[must_use]
    pub fn by_use(self) -> WareClass {
        match self.used_as {
            WareUse::Dish => self.by_shape(),
            WareUse::CupOrMug => WareClass::CupOrMug,
            WareUse::Pitcher => WareClass::Pitcher,
        }
    }
}

/// A leach limit.
#[derive(Debug, Clone, PartialEq)]
pub struct LeachLimit {
    /// The metal.
    pub metal: LeachMetal,
    /// The class of ware.
    pub ware: WareClass,
    /// The limit in the leaching solution, mg/L.
    pub mg_per_l: f64,
    /// Who publishes it.
    pub publisher: String,
    /// How far it can be trusted.
    pub flag: Flag,
}

/// All leach limits.
///
/// They are limits of a laboratory test. Nothing here says that a piece keeps or breaks them.
#[derive(Debug, Clone, PartialEq)]
pub struct LeachLimits {
    table: Table,
    rows: Vec<LeachLimit>,
}

impl LeachLimits {
    /// The limits that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the leach limits compiled in are read by a test")
    }

    /// Reads a whole file of leach limits (TOML).
    ///
    /// # Errors
    /// Text that isn't TOML, or unknown, missing or wrong keys.
    pub fn read(text: &str) -> Result<Self, SafetyError> {
        Self::from_table(parse(FILE, text)?)
    }

    /// These limits with a person's own file laid over them, row by row and key by key.
    ///
    /// # Errors
    /// As [`LeachLimits::read`].
    pub fn with(&self, text: &str) -> Result<Self, SafetyError> {
        Self::from_table(overlay(&self.table, &parse(FILE, text)?))
    }

    fn from_table(table: Table) -> Result<Self, SafetyError> {
        let file = Keys { place: format!("the {FILE}"), table: &table };
        file.only(&["limits"])?;
        let mut rows: Vec<LeachLimit> = Vec::new();
        for (_, keys) in file.rows("limits", "leach limit")? {
            keys.only(KEYS)?;
            let metal = keys.word("metal", LeachMetal::ALL, LeachMetal::word)?;
            let ware = keys.word("ware", WareClass::ALL, WareClass::word)?;
            if rows.iter().any(|row| (row.metal, row.ware) == (metal, ware)) {
                return Err(keys.wrong("ware", "limited twice for one metal", "one row for each"));
            }
            let mg_per_l =
                keys.number("mg_per_l", 0.0, MOST)?.ok_or_else(|| keys.missing("mg_per_l", "3.0"))?;
            let (publisher, flag) = keys.origin()?;
            rows.push(LeachLimit { metal, ware, mg_per_l, publisher, flag });
        }
        rows.sort_by_key(|row| (row.metal, row.ware));
        Ok(Self { table, rows })
    }

    /// All limits, by metal and class.
    pub fn iter(&self) -> impl Iterator<Item = &LeachLimit> {
        self.rows.iter()
    }

    /// The limit for a piece: of its class by use, else of its class by shape; `None` when no row has either.
    #[must_use]
    pub fn limit(&self, metal: LeachMetal, ware: Ware) -> Option<&LeachLimit> {
        let of = |class| self.rows.iter().find(|row| row.metal == metal && row.ware == class);
        of(ware.by_use()).or_else(|| of(ware.by_shape()))
    }

    /// The limits for a piece in a sentence.
    #[must_use]
    pub fn text(&self, ware: Ware) -> Option<String> {
        let one = |metal: LeachMetal| {
            let limit = self.limit(metal, ware)?;
            Some(format!(
                "{} {} mg/L as {} ({})",
                metal.word(),
                limit.mg_per_l,
                limit.ware.word(),
                limit.publisher
            ))
        };
        let all: Vec<String> = LeachMetal::ALL.iter().copied().filter_map(one).collect();
        (!all.is_empty()).then(|| format!("A laboratory's leach test would hold it to: {}.", all.join("; ")))
    }
}
