//! How each comp counts: bounds on the price per piece, a weight, and a sentence that says so.

use measure::{LARGEST_MONEY, Money};

use crate::{Assumptions, Bids, Bounds, Comp, Evidence, Grade, PricingError, Shipping};

/// Most pieces in a lot (judgement; a lot that goes by mail holds far fewer).
pub(crate) const MOST_PIECES: u32 = 10_000;
/// Most days an age or a listing may have: a century (judgement).
const MOST_DAYS: f64 = 36_525.0;

/// A narrower range of prices, in cents, is an exact price but for rounding.
const LEAST_RANGE_CENTS: f64 = 1e-3;

/// How one comp counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Counted {
    /// Its place in the list, from 1.
    pub number: usize,
    /// Pieces in its lot.
    pub pieces: u32,
    /// Bounds on `ln(delivered price / pieces)` at the target grade, the price in currency units.
    pub bounds: Bounds,
    /// How much it counts, 0 to 1: recency times likeness, and times exposure where it went unsold.
    pub weight: f64,
    /// The same in words.
    pub sentence: String,
}

impl Counted {
    /// Whether it counts, and as an exact price.
    pub(crate) fn is_exact(&self) -> bool {
        self.weight > 0.0
            && match self.bounds {
                Bounds::Exact(_) => true,
                Bounds::Between(..) | Bounds::Below(_) | Bounds::Above(_) => false,
            }
    }

    /// Lowest and highest delivered price of its lot at the target grade, in currency units; either may be
    /// open.
    #[must_use]
    pub fn delivered(&self) -> (Option<f64>, Option<f64>) {
        let price = |ln_per_piece: f64| Some(ln_per_piece.exp() * f64::from(self.pieces));
        match self.bounds {
            Bounds::Exact(value) => (price(value), price(value)),
            Bounds::Between(low, high) => (price(low), price(high)),
            Bounds::Below(high) => (None, price(high)),
            Bounds::Above(low) => (price(low), None),
        }
    }
}

/// Shipping as the lowest and highest amount it may have been, in cents.
#[derive(Clone, Copy)]
struct ShippingCents {
    least: f64,
    most: f64,
}

/// Lowest and highest delivered price, in cents; either may be open.
#[derive(Clone, Copy)]
struct Delivered {
    least: Option<f64>,
    most: Option<f64>,
}

/// Works out how the `number`th comp counts for pieces of the `target` grade.
///
/// # Errors
/// When the comp holds something that can't be; the error names the comp by its number.
pub(crate) fn count(
    number: usize,
    comp: &Comp,
    target: Grade,
    assumptions: &Assumptions,
) -> Result<Counted, PricingError> {
    let check = Check { number };
    if !(1..=MOST_PIECES).contains(&comp.pieces) {
        return Err(check.wrong("pieces in the lot", comp.pieces.to_string(), format!("1 to {MOST_PIECES}")));
    }
    check.days("age in days", comp.age_days)?;
    if let Some(days) = comp.days_to_sell {
        check.days("days to sell", days)?;
    }
    if !(comp.likeness > 0.0 && comp.likeness <= 1.0) {
        return Err(check.wrong("likeness", comp.likeness.to_string(), "more than 0 and at most 1"));
    }
    let (shipping, shipping_words) = check.shipping(comp.shipping, assumptions)?;
    let (seen, exposure_days, seen_words) =
        check.evidence(comp.evidence, shipping, assumptions.offer_floor)?;
    for bound in [seen.least, seen.most].into_iter().flatten() {
        if bound <= 0.0 {
            return Err(check.wrong("delivered price", String::from("0.00"), "more than 0.00"));
        }
    }

    let exposure = exposure_days.map_or(1.0, |days| -(-days / assumptions.mean_days_at_median).exp_m1());
    let recency = (-comp.age_days / assumptions.half_life_days).exp2();
    let weight = recency * comp.likeness * exposure;
    let grade_shift = assumptions.grades.of(comp.grade) - assumptions.grades.of(target);
    let ln_per_piece = |cents: f64| (cents / 100.0).ln() - f64::from(comp.pieces).ln() - grade_shift;
    let (bounds, worth) = match (seen.least, seen.most) {
        (Some(least), Some(most)) if most - least > LEAST_RANGE_CENTS => (
            Bounds::Between(ln_per_piece(least), ln_per_piece(most)),
            format!("worth from {} to {}", written(least, grade_shift), written(most, grade_shift)),
        ),
        (Some(least), Some(_)) => {
            (Bounds::Exact(ln_per_piece(least)), format!("worth {}", written(least, grade_shift)))
        }
        (Some(least), None) => {
            (Bounds::Above(ln_per_piece(least)), format!("worth at least {}", written(least, grade_shift)))
        }
        (None, Some(most)) => {
            (Bounds::Below(ln_per_piece(most)), format!("worth less than {}", written(most, grade_shift)))
        }
        (None, None) => return Err(check.wrong("evidence", String::from("empty"), "a price")),
    };
    let grade_words = if comp.grade == target {
        String::new()
    } else {
        format!(", brought from grade {:?} to {target:?} (times {:.2})", comp.grade, (-grade_shift).exp())
    };
    let days_words = match exposure_days {
        Some(1.0) => String::from(" for 1 day"),
        Some(days) => format!(" for {days:.0} days"),
        None => String::new(),
    };
    let sentence = format!(
        "{seen_words}{shipping_words}{days_words}{grade_words}: counted as {worth}, weight {weight:.2}"
    );
    Ok(Counted { number, pieces: comp.pieces, bounds, weight, sentence })
}

/// An amount in cents brought to the target grade, as written.
fn written(cents: f64, grade_shift: f64) -> String {
    Money::from_cents_rounded(cents * (-grade_shift).exp()).write()
}

/// Refusals that name the comp.
struct Check {
    number: usize,
}

impl Check {
    fn wrong(&self, what: &'static str, found: String, right: impl Into<String>) -> PricingError {
        PricingError::Comp { number: self.number, what, found, right: right.into() }
    }

    fn days(&self, what: &'static str, days: f64) -> Result<(), PricingError> {
        if (0.0..=MOST_DAYS).contains(&days) {
            return Ok(());
        }
        Err(self.wrong(what, days.to_string(), format!("0 to {MOST_DAYS}")))
    }

    /// An amount in cents.
    fn cents(&self, what: &'static str, amount: Money) -> Result<f64, PricingError> {
        if amount < Money::ZERO || amount > LARGEST_MONEY {
            return Err(self.wrong(what, amount.write(), format!("0.00 to {}", LARGEST_MONEY.write())));
        }
        Ok(amount.cents() as f64)
    }

    fn shipping(
        &self,
        shipping: Shipping,
        assumptions: &Assumptions,
    ) -> Result<(ShippingCents, String), PricingError> {
        let range = |least: Money, most: Money| {
            let cents =
                ShippingCents { least: self.cents("shipping", least)?, most: self.cents("shipping", most)? };
            if least > most {
                let found = format!("from {} to {}", least.write(), most.write());
                return Err(self.wrong("shipping", found, "the lower amount first"));
            }
            Ok(cents)
        };
        Ok(match shipping {
            Shipping::Free => (range(Money::ZERO, Money::ZERO)?, String::new()),
            Shipping::Charged(amount) => {
                let words = if amount == Money::ZERO {
                    String::new()
                } else {
                    format!(" + {} shipping", amount.write())
                };
                (range(amount, amount)?, words)
            }
            Shipping::Between(least, most) => {
                (range(least, most)?, format!(" + {} to {} shipping", least.write(), most.write()))
            }
            Shipping::Unknown => {
                let (least, most) = assumptions.unstated_shipping;
                let words =
                    format!(" + shipping not stated (taken as {} to {})", least.write(), most.write());
                (range(least, most)?, words)
            }
        })
    }

    /// What was seen: the delivered price, the days without a sale where it went unsold, and the words.
    fn evidence(
        &self,
        evidence: Evidence,
        shipping: ShippingCents,
        offer_floor: f64,
    ) -> Result<(Delivered, Option<f64>, String), PricingError> {
        let ShippingCents { least, most } = shipping;
        let sold = |price: f64| Delivered { least: Some(price + least), most: Some(price + most) };
        let unsold = |ask: f64| Delivered { least: None, most: Some(ask + most) };
        Ok(match evidence {
            Evidence::Sold { price } => {
                (sold(self.cents("price", price)?), None, format!("sold at {}", price.write()))
            }
            Evidence::AcceptedOffer { ask } => {
                let cents = self.cents("ask", ask)?;
                let floor = offer_floor * cents + least;
                // With a floor of nothing the offer says only that the market is below the ask.
                let seen = Delivered { least: (floor > 0.0).then_some(floor), most: Some(cents + most) };
                (seen, None, format!("offer accepted at an ask of {}", ask.write()))
            }
            Evidence::Unsold { ask, days } => {
                self.days("days unsold", days)?;
                (unsold(self.cents("ask", ask)?), Some(days), format!("unsold at {}", ask.write()))
            }
            Evidence::Auction { price, bids, days } => {
                let cents = self.cents("price", price)?;
                match bids {
                    Bids::None => {
                        self.days("days the auction ran", days)?;
                        (unsold(cents), Some(days), format!("auction without a bid at {}", price.write()))
                    }
                    Bids::One => {
                        let seen = Delivered { least: Some(cents + least), most: None };
                        (seen, None, format!("auction with one bid at {}", price.write()))
                    }
                    Bids::Several => {
                        (sold(cents), None, format!("auction with several bids at {}", price.write()))
                    }
                }
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn comp(evidence: Evidence) -> Comp {
        Comp {
            evidence,
            shipping: Shipping::Free,
            pieces: 4,
            grade: Grade::C,
            age_days: 0.0,
            days_to_sell: None,
            likeness: 1.0,
        }
    }

    fn counted(comp: &Comp) -> Counted {
        count(1, comp, Grade::C, &Assumptions::default()).expect("counts")
    }

    const fn money(cents: i64) -> Money {
        Money::from_cents(cents)
    }

    #[test]
    fn each_kind_of_evidence_says_in_a_sentence_how_it_counted() {
        let mut cases = Vec::new();
        let unsold = comp(Evidence::Unsold { ask: money(6000), days: 75.0 });
        cases.push((unsold, "unsold at 60.00 for 75 days: counted as worth less than 60.00, weight 0.81"));
        let mut sold = comp(Evidence::Sold { price: money(1400) });
        sold.shipping = Shipping::Charged(money(790));
        sold.age_days = 12.0;
        cases.push((sold, "sold at 14.00 + 7.90 shipping: counted as worth 21.90, weight 0.95"));
        let mut offer = comp(Evidence::AcceptedOffer { ask: money(2400) });
        offer.shipping = Shipping::Unknown;
        cases.push((
            offer,
            "offer accepted at an ask of 24.00 + shipping not stated (taken as 7.00 to 16.00): counted as \
             worth from 21.40 to 40.00, weight 1.00",
        ));
        let mut graded = comp(Evidence::Sold { price: money(2600) });
        graded.grade = Grade::A;
        graded.shipping = Shipping::Charged(money(800));
        graded.likeness = 0.5;
        cases.push((
            graded,
            "sold at 26.00 + 8.00 shipping, brought from grade A to C (times 0.82): counted as worth 27.84, \
             weight 0.50",
        ));
        let one = comp(Evidence::Auction { price: money(999), bids: Bids::One, days: 7.0 });
        cases.push((one, "auction with one bid at 9.99: counted as worth at least 9.99, weight 1.00"));
        let several = comp(Evidence::Auction { price: money(3000), bids: Bids::Several, days: 7.0 });
        cases.push((several, "auction with several bids at 30.00: counted as worth 30.00, weight 1.00"));
        let none = comp(Evidence::Auction { price: money(999), bids: Bids::None, days: 1.0 });
        cases.push((
            none,
            "auction without a bid at 9.99 for 1 day: counted as worth less than 9.99, weight 0.02",
        ));
        let mut between = comp(Evidence::Sold { price: money(2100) });
        between.shipping = Shipping::Between(money(750), money(1280));
        cases.push((
            between,
            "sold at 21.00 + 7.50 to 12.80 shipping: counted as worth from 28.50 to 33.80, weight 1.00",
        ));
        for (comp, sentence) in cases {
            assert_eq!(counted(&comp).sentence, sentence);
        }
    }

    #[test]
    fn unstated_shipping_only_ever_widens_what_is_known() {
        let bounds = |evidence| {
            let mut comp = comp(evidence);
            comp.shipping = Shipping::Unknown;
            counted(&comp).delivered()
        };
        let near = |found: (Option<f64>, Option<f64>), right: (Option<f64>, Option<f64>)| {
            for (found, right) in [(found.0, right.0), (found.1, right.1)] {
                assert_eq!(found.is_some(), right.is_some());
                assert!((found.unwrap_or(0.0) - right.unwrap_or(0.0)).abs() < 1e-9, "{found:?} {right:?}");
            }
        };
        near(bounds(Evidence::Sold { price: money(2000) }), (Some(27.0), Some(36.0)));
        near(bounds(Evidence::Unsold { ask: money(2000), days: 9.0 }), (None, Some(36.0)));
        let auction = |bids| Evidence::Auction { price: money(2000), bids, days: 7.0 };
        near(bounds(auction(Bids::None)), (None, Some(36.0)));
        near(bounds(auction(Bids::One)), (Some(27.0), None));
        near(bounds(auction(Bids::Several)), (Some(27.0), Some(36.0)));
    }

    #[test]
    fn an_offer_without_a_floor_says_only_that_the_market_is_below_the_ask() {
        let assumptions = Assumptions { offer_floor: 0.0, ..Assumptions::default() };
        let offer = comp(Evidence::AcceptedOffer { ask: money(2400) });
        let counted = count(1, &offer, Grade::C, &assumptions).expect("counts");
        let (none, ask) = counted.delivered();
        assert!(none.is_none() && ask.is_some_and(|ask| (ask - 24.0).abs() < 1e-9), "{:?}", counted.bounds);
    }

    #[test]
    fn an_offer_at_the_ask_itself_is_an_exact_price_whatever_the_rounding() {
        let offer = comp(Evidence::AcceptedOffer { ask: money(2400) });
        for offer_floor in [1.0, 1.0 - f64::EPSILON, 1.0 - 1e-9] {
            let assumptions = Assumptions { offer_floor, ..Assumptions::default() };
            let counted = count(1, &offer, Grade::C, &assumptions).expect("counts");
            assert!(counted.is_exact(), "{offer_floor}: {:?}", counted.bounds);
        }
    }

    #[test]
    fn a_listing_of_today_counts_for_nothing() {
        assert_eq!(counted(&comp(Evidence::Unsold { ask: money(2400), days: 0.0 })).weight, 0.0);
    }
}
