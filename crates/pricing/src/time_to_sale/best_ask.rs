//! The ask that is worth most, the wait counted in.

use super::{figure, positive};
use crate::error::{NoBestAsk, PricingError};

/// What an ask is weighed by. Amounts are in one unit of currency and delivered, as the ask is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AskTerms {
    /// Median price, above 0.
    pub median: f64,
    /// Share of the price that goes to fees, from 0 to below 1.
    pub fee_share: f64,
    /// Amounts that a sale costs whatever its price (postage, a fixed fee); 0 or more.
    pub fixed_costs: f64,
    /// Sales a day at an ask equal to the median, above 0.
    pub rate_at_median: f64,
    /// How steeply the rate falls with the ask.
    pub ask_exponent: f64,
    /// What a day of waiting costs; 0 or more.
    pub holding_per_day: f64,
    /// Share by which a day makes money worth less; 0 or more.
    pub discount_per_day: f64,
}

/// What is to be expected of an ask: the wait stands beside the price.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AskOutcome {
    /// The ask.
    pub ask: f64,
    /// Sales a day.
    pub rate: f64,
    /// Days to the sale on average.
    pub expected_days: f64,
    /// What the sale leaves after fees, costs and the wait.
    pub value: f64,
    /// Chance of a sale within 30 days.
    pub chance_within_30_days: f64,
}

/// Days of the chance that an outcome shows.
const MONTH_DAYS: f64 = 30.0;

/// Halvings of the bracket of the best ask, enough for the last digit.
const HALVINGS: u32 = 200;

impl AskTerms {
    /// What is to be expected of this ask.
    ///
    /// # Errors
    ///
    /// Terms that can't be used, or an ask that is not above 0.
    pub fn outcome(&self, ask: f64) -> Result<AskOutcome, PricingError> {
        self.check()?;
        positive("an ask", "the ask", ask)?;
        Ok(self.outcome_unchecked(ask))
    }

    /// The ask of greatest value.
    ///
    /// With holding cost only it is `M ((1 - f) lambda M / (h kappa))^(1 / (kappa - 1))`; with discounting the
    /// root of the slope is found by halving, as that has one sign change.
    ///
    /// # Errors
    ///
    /// Terms that can't be used, and [`PricingError::NoBestAsk`] where a higher ask is always worth more.
    pub fn best(&self) -> Result<AskOutcome, PricingError> {
        self.check()?;
        if self.ask_exponent <= 1.0 {
            return Err(PricingError::NoBestAsk(NoBestAsk::SlowFall(self.ask_exponent)));
        }
        if self.holding_per_day == 0.0 && self.discount_per_day == 0.0 {
            return Err(PricingError::NoBestAsk(NoBestAsk::FreeWait));
        }
        let ask =
            if self.discount_per_day == 0.0 { self.best_undiscounted() } else { self.best_discounted() };
        positive("the best ask", "the ask", ask)?;
        Ok(self.outcome_unchecked(ask))
    }

    fn outcome_unchecked(&self, ask: f64) -> AskOutcome {
        let rate = self.rate(ask);
        // Money that comes at rate `lambda` and shrinks at rate `delta` is worth lambda / (lambda + delta) of itself,
        // and a day's cost until then 1 / (lambda + delta).
        let net = (1.0 - self.fee_share) * ask - self.fixed_costs;
        AskOutcome {
            ask,
            rate,
            expected_days: rate.recip(),
            value: (rate * net - self.holding_per_day) / (rate + self.discount_per_day),
            chance_within_30_days: -(-rate * MONTH_DAYS).exp_m1(),
        }
    }

    fn rate(&self, ask: f64) -> f64 {
        self.rate_at_median * (ask / self.median).powf(-self.ask_exponent)
    }

    fn best_undiscounted(&self) -> f64 {
        let kept = (1.0 - self.fee_share) * self.rate_at_median * self.median;
        self.median
            * (kept / (self.holding_per_day * self.ask_exponent)).powf((self.ask_exponent - 1.0).recip())
    }

    /// The slope of the value has the sign of `(1 - f) A (lambda(A) - (kappa - 1) delta) - kappa (h - c delta)`,
    /// which only falls as the ask grows.
    fn best_discounted(&self) -> f64 {
        let held = self.ask_exponent * (self.holding_per_day - self.fixed_costs * self.discount_per_day);
        let rises_at = |ln_ratio: f64| {
            let ask = self.median * ln_ratio.exp();
            let lost = (self.ask_exponent - 1.0) * self.discount_per_day;
            (1.0 - self.fee_share) * ask * (self.rate(ask) - lost) > held
        };
        let (mut low, mut high) = (-1.0, 1.0);
        while !rises_at(low) && low > LEAST_LN_RATIO {
            low *= 2.0;
        }
        while rises_at(high) && high < -LEAST_LN_RATIO {
            high *= 2.0;
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if rises_at(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.median * (0.5 * (low + high)).exp()
    }

    fn check(&self) -> Result<(), PricingError> {
        let place = "the terms of an ask";
        positive(place, "the median price", self.median)?;
        positive(place, "the rate of sales at the median", self.rate_at_median)?;
        for (what, found) in [
            ("fixed costs", self.fixed_costs),
            ("the exponent of the ask", self.ask_exponent),
            ("the holding cost of a day", self.holding_per_day),
            ("the discount of a day", self.discount_per_day),
        ] {
            if !(found >= 0.0 && found.is_finite()) {
                return Err(figure(place, what, found, "0 or more"));
            }
        }
        if !(0.0..1.0).contains(&self.fee_share) {
            return Err(figure(place, "the share of fees", self.fee_share, "from 0 to below 1"));
        }
        Ok(())
    }
}

/// Logarithm of the least ask over the median that is looked at.
const LEAST_LN_RATIO: f64 = -300.0;
