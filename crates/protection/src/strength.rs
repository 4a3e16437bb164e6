//! How much a carton may weigh: the lowest of what its board, parcel practice and the post allow.

use measure::{Length, Mass};
use shape::Company;

use crate::{CartonGrade, Figure};

/// What may miss a limit and still keep it, in: rounding of unit conversion.
const SLACK_IN: f64 = 1e-6;

/// What the post calls a load by how hard it is on a carton.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LoadClass {
    /// Of moderate weight, filling its carton so that it holds up the walls.
    Easy,
    /// Heavier, not fragile, packed straight in; the post's limits are those of easy loads (books count as
    /// easy or average, whatever they weigh).
    Average,
    /// Fragile or dense, or leaving the walls without support.
    Difficult,
}

impl LoadClass {
    /// The class of goods (USPS Publication 2, load types: fragile and high-density loads are difficult,
    /// books are not).
    #[must_use]
    pub const fn of(company: Company) -> Self {
        match company {
            Company::Breakable | Company::Dense => Self::Difficult,
            Company::Neutral => Self::Easy,
        }
    }
}

/// The rule that sets a gross limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LimitRule {
    /// Gross weight by NMFC Item 222.
    Classification,
    /// Parcel practice, which derates single wall.
    ParcelPractice,
    /// The post's limit for easy and average loads.
    PostalEasy,
    /// The post's limit for fragile and dense loads.
    PostalDifficult,
    /// Outside length, width and height added, by NMFC Item 222.
    UnitedInches,
    /// The post's limit on length and girth for the board.
    PostalGirth,
    /// The post's limit on how heavily dense contents press on the smallest side.
    DensePressure,
    /// The board that the post asks for under dense contents.
    DenseBoard,
    /// The post's limit for boxes that aren't corrugated.
    PostalPaperboard,
    /// What a carton that was used before keeps of its limits.
    Reuse,
    /// The load from boxes above.
    Stacking,
}

impl LimitRule {
    /// The rule in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Classification => "NMFC Item 222",
            Self::ParcelPractice => "parcel practice",
            Self::PostalEasy => "the postal limit for easy and average loads",
            Self::PostalDifficult => "the postal limit for fragile or dense loads",
            Self::UnitedInches => "the united inches of NMFC Item 222",
            Self::PostalGirth => "the postal limit on length and girth for this board",
            Self::DensePressure => "the postal rule for dense contents on the smallest side",
            Self::DenseBoard => "the board that the post asks for under dense contents",
            Self::PostalPaperboard => "the postal limit for boxes that aren't corrugated",
            Self::Reuse => "the share that a carton used before keeps",
            Self::Stacking => "the load from boxes above",
        }
    }
}

/// The largest gross mass of a carton and what sets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrossLimit {
    /// The largest gross mass.
    pub mass: Mass,
    /// The rule that sets it.
    pub rule: LimitRule,
}

/// Why a board may not carry a carton at all.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum BoardRefusal {
    /// Too large for the board by NMFC Item 222.
    #[error(
        "its sides come to {united_in:.1} in outside and its board takes {limit_in:.0} in (NMFC Item 222)"
    )]
    TooLarge {
        /// Outside length, width and height added, in.
        united_in: f64,
        /// The limit, in.
        limit_in: f64,
    },
    /// No fragile or dense load goes in it.
    #[error(
        "its board takes no fragile or dense load (the postal limit for such loads starts with a 175 lb test)"
    )]
    NoDifficultLoad,
}

/// Largest gross mass of a carton of this board and outside size with such a load, and the rule that
/// binds; where two bind alike the earlier of [`LimitRule`] is named.
///
/// # Errors
/// When the board is too small for the size or takes no such load.
pub fn max_gross(
    grade: &CartonGrade,
    outside: [Length; 3],
    load: LoadClass,
) -> Result<GrossLimit, BoardRefusal> {
    let united_in = outside.into_iter().sum::<Length>().inches();
    let limit_in = grade.nmfc_united_in.value;
    if united_in > limit_in + SLACK_IN {
        return Err(BoardRefusal::TooLarge { united_in, limit_in });
    }
    let mut least: Option<(f64, LimitRule)> = None;
    for (rule, figure) in gross_limits(grade, load)? {
        if least.is_none_or(|(most, _)| figure.value < most) {
            least = Some((figure.value, rule));
        }
    }
    let (most, rule) = least.unwrap_or((grade.nmfc_lb.value, LimitRule::Classification));
    Ok(GrossLimit { mass: Mass::from_pounds(most), rule })
}

/// The gross limits of a board with such a load, lb, each by its rule, in the order of [`LimitRule`].
pub(crate) fn gross_limits(
    grade: &CartonGrade,
    load: LoadClass,
) -> Result<Vec<(LimitRule, &Figure)>, BoardRefusal> {
    let postal = match load {
        LoadClass::Easy | LoadClass::Average => (LimitRule::PostalEasy, &grade.postal_easy_lb),
        LoadClass::Difficult => {
            let limit = grade.postal_difficult_lb.as_ref().ok_or(BoardRefusal::NoDifficultLoad)?;
            (LimitRule::PostalDifficult, limit)
        }
    };
    let parcel = grade.parcel_limit().map(|limit| (LimitRule::ParcelPractice, limit));
    Ok([(LimitRule::Classification, &grade.nmfc_lb)].into_iter().chain(parcel).chain([postal]).collect())
}
