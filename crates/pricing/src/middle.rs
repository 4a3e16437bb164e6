//! Where the comps lie before any model: the middle of their logarithmic prices per piece.

use crate::{Bounds, Counted};

/// Weighted median of the logarithmic prices per piece, an interval standing at the middle of its prices.
///
/// Listings that went unsold and lone bids say only which side of them the market is on, so they are asked
/// only where nothing else is there: then the lowest of all unsold asks and of the highest lone bid stands
/// in, so that a further unsold listing can never draw the middle up. Nothing where no comp has any weight.
pub(crate) fn middle(counted: &[&Counted]) -> Option<f64> {
    let mut two_sided: Vec<(f64, f64)> = Vec::new();
    let (mut lowest_ask, mut highest_bid) = (None::<f64>, None::<f64>);
    for comp in counted.iter().filter(|comp| comp.weight > 0.0) {
        match comp.bounds {
            Bounds::Exact(value) => two_sided.push((value, comp.weight)),
            Bounds::Between(low, high) => {
                // ln((exp(low) + exp(high)) / 2), written so that neither end leaves the range of a number.
                two_sided.push((high + (0.5 * (low - high).exp() + 0.5).ln(), comp.weight));
            }
            Bounds::Below(ask) => lowest_ask = Some(lowest_ask.map_or(ask, |known| known.min(ask))),
            Bounds::Above(bid) => highest_bid = Some(highest_bid.map_or(bid, |known| known.max(bid))),
        }
    }
    if two_sided.is_empty() {
        return [lowest_ask, highest_bid].into_iter().flatten().reduce(f64::min);
    }
    Some(weighted_median(two_sided))
}

/// The value with half of the weight on either side; midway between two where the halves meet.
fn weighted_median(mut values: Vec<(f64, f64)>) -> f64 {
    values.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let whole: f64 = values.iter().map(|value| value.1).sum();
    let mut below = 0.0;
    let mut half_way = None;
    for (value, weight) in values {
        if let Some(lower) = half_way {
            return f64::midpoint(lower, value);
        }
        below += weight;
        // To the last digits, so that equal halves of unequal sums still meet.
        let excess = below - 0.5 * whole;
        if excess.abs() <= 1e-12 * whole {
            half_way = Some(value);
        } else if excess > 0.0 {
            return value;
        }
    }
    half_way.unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counted(bounds: Bounds, weight: f64) -> Counted {
        Counted { number: 1, pieces: 1, bounds, weight, sentence: String::new() }
    }

    fn middle_of(comps: &[(Bounds, f64)]) -> Option<f64> {
        let counted: Vec<Counted> = comps.iter().map(|&(bounds, weight)| counted(bounds, weight)).collect();
        middle(&counted.iter().collect::<Vec<_>>())
    }

    #[test]
    fn weights_move_the_middle() {
        let (a, b, c) = (Bounds::Exact(1.0), Bounds::Exact(2.0), Bounds::Exact(4.0));
        assert_eq!(middle_of(&[(a, 1.0), (b, 1.0), (c, 1.0)]), Some(2.0));
        assert_eq!(middle_of(&[(a, 0.2), (b, 0.1), (c, 1.0)]), Some(4.0));
        assert_eq!(middle_of(&[(a, 1.0), (c, 1.0)]), Some(2.5), "midway where the halves meet");
        assert_eq!(middle_of(&[(a, 0.0), (c, 1.0)]), Some(4.0), "no weight, no say");
        assert_eq!(middle_of(&[(a, 0.0)]), None);
        assert_eq!(middle_of(&[]), None);
    }

    #[test]
    fn an_interval_stands_at_the_middle_of_its_prices() {
        let found = middle_of(&[(Bounds::Between(10.0_f64.ln(), 30.0_f64.ln()), 1.0)]).expect("a middle");
        assert!((found - 20.0_f64.ln()).abs() < 1e-12);
    }

    #[test]
    fn one_sided_comps_are_asked_only_where_there_are_no_others() {
        let (ask, bid) = (Bounds::Below(3.0), Bounds::Above(2.0));
        assert_eq!(middle_of(&[(ask, 1.0), (Bounds::Exact(9.0), 0.1)]), Some(9.0));
        assert_eq!(middle_of(&[(ask, 1.0)]), Some(3.0));
        assert_eq!(middle_of(&[(ask, 1.0), (Bounds::Below(5.0), 1.0)]), Some(3.0));
        assert_eq!(middle_of(&[(bid, 1.0), (Bounds::Above(1.0), 1.0)]), Some(2.0));
        assert_eq!(middle_of(&[(bid, 1.0), (ask, 1.0)]), Some(2.0));
    }
}
