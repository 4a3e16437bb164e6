//! Published rules for the cushion between a piece and the wall, to stand beside a computed one.

use measure::Length;

use crate::Origin;

/// What a rule for the wall is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum AppliesTo {
    /// Fragile goods.
    Fragile,
    /// Goods that aren't fragile.
    NotFragile,
    /// Delicate pieces: thin stems, spouts, projections.
    Delicate,
    /// Flat or large pieces.
    Large,
    /// A handle, spout or finger of a piece.
    Extremity,
    /// Dishes in a carton made for them.
    Dishes,
}

impl AppliesTo {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Fragile, Self::NotFragile, Self::Delicate, Self::Large, Self::Extremity, Self::Dishes];

    /// The word in data files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fragile => "fragile",
            Self::NotFragile => "not_fragile",
            Self::Delicate => "delicate",
            Self::Large => "large",
            Self::Extremity => "extremity",
            Self::Dishes => "dishes",
        }
    }
}

/// A named rule for the cushion between a piece and the wall.
#[derive(Debug, Clone, PartialEq)]
pub struct WallRule {
    /// Its name ("carrier").
    pub name: String,
    /// What it is about.
    pub applies_to: AppliesTo,
    /// Least cushion it asks for.
    pub least: Length,
    /// Most it asks for, where it states a range; else the same.
    pub most: Length,
    /// What it says.
    pub words: String,
    /// Where it comes from.
    pub origin: Origin,
}

/// A computed cushion beside a rule: the stricter is used, and named.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleBeside {
    /// What was computed.
    pub computed: Length,
    /// What the rule asks for.
    pub rule: WallRule,
    /// The larger of the two.
    pub used: Length,
    /// Whether the rule asks for more than the computation.
    pub rule_binds: bool,
}

impl WallRule {
    /// The rule's least cushion beside a computed one. A computed figure that is no number leaves the rule.
    ///
    /// ```
    /// use measure::Length;
    /// use protection::{AppliesTo, CushionRules};
    ///
    /// let rules = CushionRules::published();
    /// let beside = rules.wall("carrier")?.beside(Length::from_inches(1.8));
    /// assert!(beside.rule_binds && (beside.used.inches() - 2.0).abs() < 1e-9);
    /// # Ok::<(), protection::ProtectionError>(())
    /// ```
    #[must_use]
    pub fn beside(&self, computed: Length) -> RuleBeside {
        let enough = computed >= self.least;
        let used = if enough { computed } else { self.least };
        RuleBeside { computed, rule: self.clone(), used, rule_binds: !enough }
    }
}
