//! What to list next.

use std::cmp::Ordering;

use measure::Money;

use crate::{AgeBand, BooksError, FindId};

/// Days of waiting after which an hour on a find counts twice what it earns (judgement).
pub const AGE_DOUBLES_AFTER_DAYS: u32 = 365;

/// A find that could be listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unlisted {
    /// The find.
    pub find: FindId,
    /// Expected net of what isn't listed yet: what is left after fees, postage, packing and basis.
    pub net: Money,
    /// Expected minutes to list, pack and post it.
    pub minutes: u32,
    /// Days since it was bought.
    pub age_days: u32,
}

/// A find in the order in which to list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NextToList {
    /// The find.
    pub find: FindId,
    /// Expected net for an hour of work, rounded half up.
    pub net_per_hour: Money,
    /// How long it has been waiting.
    pub band: AgeBand,
    /// Whether listing pays at all; if not, sort it into other lots or give it away.
    pub pays: bool,
}

/// Ranks finds by expected net per hour x (1 + age in days / 365): the best hour first, and what waits a year
/// counts double. What brings nothing or less comes last, the smallest loss first: age doesn't make a loss worth
/// making. The older find goes before an equal one, then the lower number.
///
/// # Errors
/// When minutes are 0, or a net is past ten million either way.
pub fn list_next(candidates: &[Unlisted]) -> Result<Vec<NextToList>, BooksError> {
    for candidate in candidates {
        let wrong = |field, found, right| BooksError::Wrong {
            place: format!("find {}", candidate.find),
            field,
            found,
            right,
        };
        if candidate.minutes == 0 {
            return Err(wrong("minutes", "0".to_owned(), "at least 1 minute"));
        }
        if candidate.net > measure::LARGEST_MONEY || candidate.net < -measure::LARGEST_MONEY {
            return Err(wrong("net", candidate.net.write(), "at most ten million either way"));
        }
    }
    let mut ranked = candidates.to_vec();
    ranked.sort_by(|a, b| score_order(b, a).then(b.age_days.cmp(&a.age_days)).then(a.find.cmp(&b.find)));
    let row = |candidate: &Unlisted| NextToList {
        find: candidate.find,
        net_per_hour: Money::from_cents(crate::allocate::i64_of(crate::allocate::divide_half_up(
            i128::from(candidate.net.cents()) * 60,
            i128::from(candidate.minutes),
        ))),
        band: AgeBand::of(i64::from(candidate.age_days)),
        pays: candidate.net > Money::ZERO,
    };
    Ok(ranked.iter().map(row).collect())
}

/// Compares scores exactly, as fractions over minutes.
fn score_order(a: &Unlisted, b: &Unlisted) -> Ordering {
    let numerator = |one: &Unlisted| {
        let waiting = if one.net > Money::ZERO { i128::from(one.age_days) } else { 0 };
        i128::from(one.net.cents()) * (i128::from(AGE_DOUBLES_AFTER_DAYS) + waiting)
    };
    (numerator(a) * i128::from(b.minutes)).cmp(&(numerator(b) * i128::from(a.minutes)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn find(id: u64, cents: i64, minutes: u32, age_days: u32) -> Unlisted {
        Unlisted { find: FindId(id), net: Money::from_cents(cents), minutes, age_days }
    }

    fn order(candidates: &[Unlisted]) -> Vec<u64> {
        list_next(candidates).unwrap().iter().map(|next| next.find.0).collect()
    }

    #[test]
    fn a_year_of_waiting_doubles_an_hour_and_never_helps_a_loss() {
        assert_eq!(order(&[find(1, 1000, 60, 365), find(2, 1999, 60, 0)]), [1, 2]);
        assert_eq!(order(&[find(1, 1000, 60, 365), find(2, 2001, 60, 0)]), [2, 1]);
        assert_eq!(order(&[find(2, -60, 60, 0), find(1, -50, 60, 4000)]), [1, 2]);
        assert_eq!(order(&[find(1, -100, 60, 4000), find(2, -50, 60, 0), find(3, 1, 600, 0)]), [3, 2, 1]);
    }

    #[test]
    fn equal_scores_put_the_older_first() {
        assert_eq!(order(&[find(1, 2000, 60, 0), find(2, 1000, 60, 365), find(3, 2000, 60, 0)]), [2, 1, 3]);
    }

    #[test]
    fn no_minutes_is_refused() {
        assert!(list_next(&[find(1, 100, 0, 0)]).is_err());
        assert!(list_next(&[find(1, i64::MIN, 1, u32::MAX)]).is_err());
    }
}
