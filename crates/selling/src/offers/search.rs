//! What one lot is worth while offers keep coming and nothing ends the wait.

use std::fmt;

use super::OfferSizes;
use crate::SellingError;
use crate::cents::{percent, up};
use crate::figure::Place;

/// Highest discount a day that is reckoned with (judgement).
const HIGHEST_DISCOUNT: f64 = 1.0;

/// Offers that arrive by chance while one lot waits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Search {
    /// How large they are, net.
    pub sizes: OfferSizes,
    /// Offers a day, above 0.
    pub per_day: f64,
    /// What a day of holding the lot costs, in currency, from 0.
    pub holding_per_day: f64,
    /// What a day of waiting takes off any amount, as a share, from 0 to 1.
    pub discount_per_day: f64,
}

impl Search {
    pub(crate) fn check(&self) -> Result<(), SellingError> {
        let place = Place("offer search");
        self.sizes.check(place)?;
        place.rate("per_day", self.per_day)?;
        place.amount("holding_per_day", self.holding_per_day)?;
        place.ratio_or_zero("discount_per_day", self.discount_per_day, HIGHEST_DISCOUNT)?;
        Ok(())
    }

    /// How fast waiting at a value of `value` gains or loses, in currency a day:
    /// -h + rate E[(X - V)+] - r V. Zero at the reservation value; falls as `value` rises.
    pub(crate) fn gain_per_day(&self, value: f64) -> f64 {
        self.per_day * self.sizes.expected_excess(value)
            - self.holding_per_day
            - self.discount_per_day * value
    }
}

/// How a reservation value was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Solved {
    /// By a formula.
    ClosedForm,
    /// By halving an interval until no double lies between its ends.
    Bisection,
}

/// What one lot is worth if this buyer leaves, with no end to the wait.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reservation {
    /// Accept a net offer of at least this, in currency. Below 0 when waiting costs more than it brings.
    pub value: f64,
    /// The chance that an offer is good enough.
    pub accept_probability: f64,
    /// Mean days until an offer is good enough.
    pub mean_wait_days: f64,
    /// What an offer brings above the value on average, in currency.
    pub expected_excess: f64,
    /// Whether the value lies at or under the lowest offer, so that the first one is taken.
    pub every_offer_will_do: bool,
    /// How it was found.
    pub solved: Solved,
}

impl fmt::Display for Reservation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.value < 0.0 {
            return write!(f, "Waiting costs more than it brings: give it away or take any offer.");
        }
        if self.every_offer_will_do {
            return write!(
                f,
                "Waiting is worth {}: the first offer is good enough, on average after {:.0} days.",
                up(self.value),
                self.mean_wait_days
            );
        }
        write!(
            f,
            "Waiting without an end is worth {}: {} of the offers are good enough, on average after {:.0} days.",
            up(self.value),
            percent(self.accept_probability),
            self.mean_wait_days
        )
    }
}

/// The value V with r V = -h + rate E[(X - V)+]; an offer is taken when it is at least V (McCall 1970, from
/// memory; in continuous time).
///
/// With hardly any cost of waiting the value is unrealistically high: see
/// [`worth_by_deadline`](crate::worth_by_deadline).
///
/// # Errors
/// When a figure is out of its range, or when waiting costs nothing at all, which leaves no value.
///
/// ```
/// use selling::{OfferSizes, Search, reservation};
/// let search = Search {
///     sizes: OfferSizes::Exponential { mean: 12.0 },
///     per_day: 0.10,
///     holding_per_day: 0.05,
///     discount_per_day: 0.0,
/// };
/// let found = reservation(&search)?;
/// assert!((found.value - 38.136_645_96).abs() < 1e-8);
/// assert!((found.mean_wait_days - 240.0).abs() < 1e-6);
/// # Ok::<(), selling::SellingError>(())
/// ```
pub fn reservation(search: &Search) -> Result<Reservation, SellingError> {
    search.check()?;
    if search.holding_per_day == 0.0 && search.discount_per_day == 0.0 {
        return Err(Place("offer search").wrong(
            "holding_per_day",
            "0 together with a discount_per_day of 0",
            "a cost of waiting above 0, or a deadline",
        ));
    }
    let (value, solved) = root(search);
    let accept_probability = search.sizes.chance_over(value);
    Ok(Reservation {
        value,
        accept_probability,
        mean_wait_days: 1.0 / (search.per_day * accept_probability),
        expected_excess: search.sizes.expected_excess(value),
        every_offer_will_do: value <= search.sizes.lowest(),
        solved,
    })
}

fn root(search: &Search) -> (f64, Solved) {
    let Search { sizes, per_day, holding_per_day: holding, discount_per_day: discount } = *search;
    // While every offer is taken the excess is linear in V, whatever the distribution.
    let taking_all = (per_day * sizes.mean() - holding) / (per_day + discount);
    if taking_all <= sizes.lowest() {
        return (taking_all, Solved::ClosedForm);
    }
    match sizes {
        OfferSizes::Exponential { mean } if discount == 0.0 => {
            // Two logarithms: the quotient overflows when holding is next to nothing.
            (mean * ((per_day * mean).ln() - holding.ln()), Solved::ClosedForm)
        }
        OfferSizes::Uniform { low, high } => {
            // With y = high - V: rate y^2 / (2 width) + r y = r high + h.
            let cost = discount * high + holding;
            let curve = 2.0 * per_day * cost / (high - low);
            let room = 2.0 * cost / (discount + (discount * discount + curve).sqrt());
            (high - room, Solved::ClosedForm)
        }
        OfferSizes::Exponential { .. } | OfferSizes::Lognormal { .. } => {
            (bisect(search, taking_all), Solved::Bisection)
        }
    }
}

/// The root above `scale`'s neighbourhood; the gain is positive at the lowest offer and falls.
fn bisect(search: &Search, scale: f64) -> f64 {
    let mut low = search.sizes.lowest();
    let mut high = scale;
    while search.gain_per_day(high) > 0.0 && high < f64::MAX / 4.0 {
        low = high;
        high *= 2.0;
    }
    loop {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            return low;
        }
        if search.gain_per_day(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Search, Solved, reservation};
    use crate::OfferSizes;

    #[test]
    fn a_dear_wait_takes_the_first_offer() {
        let sizes = OfferSizes::Uniform { low: 10.0, high: 40.0 };
        let search = Search { sizes, per_day: 0.05, holding_per_day: 1.0, discount_per_day: 0.0 };
        let found = reservation(&search).unwrap();
        // mean 25 less the holding of 20 days
        assert!((found.value - 5.0).abs() < 1e-12);
        assert!(found.every_offer_will_do && found.accept_probability == 1.0);
        assert!((found.mean_wait_days - 20.0).abs() < 1e-12);
        let dearer = Search { holding_per_day: 2.0, ..search };
        let found = reservation(&dearer).unwrap();
        assert!((found.value + 15.0).abs() < 1e-12);
        assert!(found.to_string().contains("costs more than it brings"));
    }

    #[test]
    fn discounting_has_a_formula_for_uniform_offers_and_the_root_is_a_root() {
        for discount in [0.0, 0.0005, 0.01] {
            for sizes in [
                OfferSizes::Uniform { low: 10.0, high: 40.0 },
                OfferSizes::Exponential { mean: 12.0 },
                OfferSizes::Lognormal { median: 30.0, sigma: 0.35 },
            ] {
                let search =
                    Search { sizes, per_day: 0.08, holding_per_day: 0.1, discount_per_day: discount };
                let found = reservation(&search).unwrap();
                assert!(search.gain_per_day(found.value).abs() < 1e-12, "{search:?} {found:?}");
            }
        }
        let sizes = OfferSizes::Exponential { mean: 12.0 };
        let search = Search { sizes, per_day: 0.1, holding_per_day: 0.05, discount_per_day: 0.0005 };
        assert_eq!(reservation(&search).unwrap().solved, Solved::Bisection);
    }
}
