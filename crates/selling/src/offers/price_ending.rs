//! Prices as they are written: ending in .99 or .50.

use measure::Money;

/// How a counter is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CounterRounding {
    /// To a price ending in .99 or .50, strictly between the offer and the ask (judgement); to the cent when
    /// none lies between them.
    #[default]
    NinetyNineOrFifty,
    /// To the cent.
    WholeCents,
}

/// Cents at which a price may end, ascending (judgement).
const ENDINGS: [i64; 2] = [50, 99];

impl CounterRounding {
    /// The prices worth naming nearest to `exact`, strictly between `offer` and `ask`: at most one at or
    /// below it and one above, or the nearest whole cents between them.
    pub(crate) fn candidates(self, exact: Money, offer: Money, ask: Money) -> Vec<Money> {
        let between = |price: &Money| *price > offer && *price < ask;
        let nice: Vec<Money> = match self {
            Self::NinetyNineOrFifty => {
                let whole = exact.cents().div_euclid(100) * 100;
                let near = [whole - 100, whole, whole + 100];
                let prices = near.iter().flat_map(|&start| ENDINGS.iter().map(move |&ending| start + ending));
                let prices: Vec<Money> = prices.map(Money::from_cents).filter(between).collect();
                let below = prices.iter().rfind(|&&price| price <= exact);
                let above = prices.iter().find(|&&price| price > exact);
                below.into_iter().chain(above).copied().collect()
            }
            Self::WholeCents => vec![],
        };
        if !nice.is_empty() {
            return nice;
        }
        let cent = Money::from_cents(1);
        if offer + cent >= ask {
            return vec![];
        }
        vec![exact.clamp(offer + cent, ask - cent)]
    }
}

#[cfg(test)]
mod tests {
    use super::CounterRounding::{NinetyNineOrFifty, WholeCents};
    use measure::Money;

    fn cents(amounts: &[i64]) -> Vec<Money> {
        amounts.iter().map(|&amount| Money::from_cents(amount)).collect()
    }

    fn between(exact: i64, offer: i64, ask: i64) -> Vec<Money> {
        let [exact, offer, ask] = [exact, offer, ask].map(Money::from_cents);
        NinetyNineOrFifty.candidates(exact, offer, ask)
    }

    #[test]
    fn a_counter_ends_in_99_or_50_on_either_side_of_the_exact_one() {
        assert_eq!(between(3000, 2400, 4000), cents(&[2999, 3050]));
        assert_eq!(between(3010, 2400, 4000), cents(&[2999, 3050]));
        assert_eq!(between(2999, 2400, 4000), cents(&[2999, 3050]));
        assert_eq!(between(3070, 2400, 4000), cents(&[3050, 3099]));
    }

    #[test]
    fn a_counter_never_reaches_the_ask_or_the_offer() {
        assert_eq!(between(3990, 3950, 3999), cents(&[3990]), "no such price between: to the cent");
        assert_eq!(between(3990, 3949, 3999), cents(&[3950]));
        assert_eq!(between(3999, 3998, 3999), cents(&[]));
        assert_eq!(between(3000, 3950, 3960), cents(&[3951]), "the best counter lies under the offer");
        let [exact, offer, ask] = [3010, 2400, 4000].map(Money::from_cents);
        assert_eq!(WholeCents.candidates(exact, offer, ask), cents(&[3010]));
    }
}
