//! The data that every job draws on: materials, recipes and profiles.

use cushion::{Cushions, Drops, Fragilities};
use protection::{BoardRules, CushionRules, Grades, Materials, Profiles, Recipes};

/// What the person has not set themselves: published defaults, with their overrides applied.
#[derive(Debug, Clone)]
pub struct Library {
    /// Wraps, guards, fill, tape and boards.
    pub materials: Materials,
    /// How each family of pieces is protected.
    pub recipes: Recipes,
    /// Named levels of protection.
    pub profiles: Profiles,
    /// Boards of cartons and the rules about them.
    pub grades: Grades,
    /// What materials do as cushions.
    pub cushions: Cushions,
    /// Design drops by gross weight.
    pub drops: Drops,
    /// What pieces bear.
    pub fragilities: Fragilities,
    /// Rules for stacking, cartons used before and dense loads.
    pub board_rules: BoardRules,
    /// Rules for walls and double boxes.
    pub cushion_rules: CushionRules,
}

impl Library {
    /// The defaults that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self {
            materials: Materials::published(),
            recipes: Recipes::published(),
            profiles: Profiles::published(),
            grades: Grades::published(),
            cushions: Cushions::published(),
            drops: Drops::published(),
            fragilities: Fragilities::published(),
            board_rules: BoardRules::published(),
            cushion_rules: CushionRules::published(),
        }
    }
}
