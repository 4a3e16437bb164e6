//! How much a carton may weigh: the lowest of what its board, parcel practice and the post allow.

use measure::{Length, Mass};
use shape::Company;

use crate::CartonGrade;

/// What may miss a limit and still keep it, in: rounding of unit conversion.
const SLACK_IN: f64 = 1e-6;

/// What the post calls a load by how hard it is on a carton.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LoadClass {
    /// Neither fragile nor dense (books count here, whatever they weigh).
    Easy,
    /// Fragile or dense.
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
    let postal = match load {
        LoadClass::Easy => (grade.postal_easy_lb.value, LimitRule::PostalEasy),
        LoadClass::Difficult => {
            let limit = grade.postal_difficult_lb.as_ref().ok_or(BoardRefusal::NoDifficultLoad)?;
            (limit.value, LimitRule::PostalDifficult)
        }
    };
    let mut least = (grade.nmfc_lb.value, LimitRule::Classification);
    let parcel = grade.parcel_lb.as_ref().map(|limit| (limit.value, LimitRule::ParcelPractice));
    for limit in parcel.into_iter().chain([postal]) {
        if limit.0 < least.0 {
            least = limit;
        }
    }
    Ok(GrossLimit { mass: Mass::from_pounds(least.0), rule: least.1 })
}
