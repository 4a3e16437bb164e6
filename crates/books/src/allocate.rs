//! Splitting whole cents so that they add up again.

use measure::Money;

use crate::BooksError;

/// Splits money over parts by weight, by largest remainder: each part gets its share rounded down, and the cents
/// that are left go to the largest remainders, the earlier part first. The parts add up to the money exactly; a
/// weight of 0 gets nothing.
///
/// ```
/// # use measure::Money;
/// let parts = books::allocate(Money::from_cents(2500), &[48, 30, 18])?;
/// assert_eq!(parts, [1250, 781, 469].map(Money::from_cents));
/// # Ok::<(), books::BooksError>(())
/// ```
///
/// # Errors
/// When the money or a weight is negative, or no weight is above 0 and there is money to split.
pub fn allocate(total: Money, weights: &[i64]) -> Result<Vec<Money>, BooksError> {
    Ok(largest_remainder(total, weights)?.into_iter().map(Money::from_cents).collect())
}

/// [`allocate`] by the values of the parts.
///
/// # Errors
/// As [`allocate`].
pub fn allocate_by_value(total: Money, values: &[Money]) -> Result<Vec<Money>, BooksError> {
    let weights: Vec<i64> = values.iter().map(|value| value.cents()).collect();
    allocate(total, &weights)
}

/// Splits money over groups of pieces by cumulative rounding: a group gets what rounding gives to all pieces up to
/// its last less what it gives to all before it. So the split doesn't depend on how pieces are grouped.
///
/// # Errors
/// When the money is negative, or there are no pieces and there is money to split.
pub fn allocate_over_pieces(total: Money, groups: &[u32]) -> Result<Vec<Money>, BooksError> {
    if total < Money::ZERO {
        return Err(negative(total));
    }
    let pieces: u64 = groups.iter().map(|&group| u64::from(group)).sum();
    if pieces == 0 && total > Money::ZERO {
        return Err(BooksError::NothingCarries { total });
    }
    let mut before = 0_u64;
    let mut parts = Vec::with_capacity(groups.len());
    for &group in groups {
        let upto = before + u64::from(group);
        parts.push(cumulative(total, upto, pieces) - cumulative(total, before, pieces));
        before = upto;
    }
    Ok(parts)
}

/// What the first `upto` of `pieces` equal pieces carry of `total` (0.00 or more), rounded half up to the cent.
pub(crate) fn cumulative(total: Money, upto: u64, pieces: u64) -> Money {
    if pieces == 0 {
        return Money::ZERO;
    }
    let product = i128::from(total.cents()) * i128::from(upto.min(pieces));
    Money::from_cents(i64_of(divide_half_up(product, i128::from(pieces))))
}

/// A quotient of a dividend and a divisor above 0, rounded half up.
pub(crate) fn divide_half_up(dividend: i128, divisor: i128) -> i128 {
    (2 * dividend + divisor).div_euclid(2 * divisor)
}

/// The nearest `i64`.
pub(crate) fn i64_of(value: i128) -> i64 {
    i64::try_from(value).unwrap_or(if value < 0 { i64::MIN } else { i64::MAX })
}

fn negative(total: Money) -> BooksError {
    BooksError::Wrong {
        place: "split".to_owned(),
        field: "money",
        found: total.write(),
        right: "0.00 or more",
    }
}

fn largest_remainder(total: Money, weights: &[i64]) -> Result<Vec<i64>, BooksError> {
    if total < Money::ZERO {
        return Err(negative(total));
    }
    if let Some((at, &found)) = weights.iter().enumerate().find(|(_, weight)| **weight < 0) {
        return Err(BooksError::NegativeWeight { number: at + 1, found });
    }
    let whole: i128 = weights.iter().map(|&weight| i128::from(weight)).sum();
    if whole == 0 {
        return if total > Money::ZERO {
            Err(BooksError::NothingCarries { total })
        } else {
            Ok(vec![0; weights.len()])
        };
    }
    let exact = |weight: i64| i128::from(total.cents()) * i128::from(weight);
    let mut parts: Vec<i64> = weights.iter().map(|&weight| i64_of(exact(weight) / whole)).collect();
    let mut left = i128::from(total.cents()) - parts.iter().map(|&part| i128::from(part)).sum::<i128>();
    let mut by_remainder: Vec<(i128, usize)> =
        weights.iter().enumerate().map(|(at, &weight)| (exact(weight) % whole, at)).collect();
    by_remainder.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    for (_, at) in by_remainder {
        if left == 0 {
            break;
        }
        if let Some(part) = parts.get_mut(at) {
            *part += 1;
            left -= 1;
        }
    }
    Ok(parts)
}

#[cfg(test)]
mod tests {
    use super::{allocate, allocate_over_pieces};
    use crate::BooksError;
    use measure::Money;

    const TEN: Money = Money::from_cents(1000);

    #[test]
    fn nothing_is_split_over_nothing() {
        assert_eq!(allocate(Money::ZERO, &[]).unwrap(), []);
        assert_eq!(allocate(Money::ZERO, &[0, 0]).unwrap(), [Money::ZERO; 2]);
        assert!(matches!(allocate(TEN, &[]), Err(BooksError::NothingCarries { .. })));
        assert!(matches!(allocate(TEN, &[0, 0]), Err(BooksError::NothingCarries { .. })));
        assert!(matches!(allocate_over_pieces(TEN, &[0]), Err(BooksError::NothingCarries { .. })));
    }

    #[test]
    fn negatives_are_refused() {
        assert!(matches!(allocate(TEN, &[1, -1]), Err(BooksError::NegativeWeight { number: 2, found: -1 })));
        assert!(allocate(-TEN, &[1]).is_err());
        assert!(allocate_over_pieces(-TEN, &[1]).is_err());
    }

    #[test]
    fn huge_figures_neither_panic_nor_lose_a_cent() {
        let most = Money::from_cents(i64::MAX);
        let parts = allocate(most, &[i64::MAX, i64::MAX, 1]).unwrap();
        assert_eq!(parts.iter().map(|p| i128::from(p.cents())).sum::<i128>(), i128::from(i64::MAX));
        let groups = allocate_over_pieces(most, &[u32::MAX, 1, u32::MAX]).unwrap();
        assert_eq!(groups.into_iter().sum::<Money>(), most);
    }
}
