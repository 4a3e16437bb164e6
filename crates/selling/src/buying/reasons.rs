//! A decision on a purchase in plain sentences.

use std::fmt;

use super::{BuyDecision, Limit, NotEvenFree, Verdict};
use crate::cents::{down, percent};

impl BuyDecision {
    /// Why, in plain sentences: what to do first, then the figures it rests on.
    #[must_use]
    pub fn reasons(&self) -> Vec<String> {
        let mut said = vec![self.verdict_said()];
        said.extend(self.not_even_free.map(|why| self.gift_said(why)));
        said.push(self.bound_said());
        let at = &self.at_asking;
        let hourly = at.net_per_hour.map_or_else(String::new, |money| format!(", {money} an hour"));
        said.push(format!(
            "At the asking price {} is paid{}; that leaves {} before your own work of {:.1} hours{hourly}, and \
             {} after it.",
            at.paid,
            if self.tax_share > 0.0 { " with tax" } else { "" },
            at.profit_before_wage,
            at.hours,
            at.expected_profit
        ));
        let loss = if self.targets.loss_counts_wage { "of earning less than the wage" } else { "of a loss" };
        said.push(format!("The chance {loss} is {}.", percent(at.chance_of_loss)));
        said.push(at.sell_through.to_string());
        said.push(self.limits.to_string());
        match self.price_percentile {
            Some(percentile) => said.push(format!(
                "Prices are counted low, at the {:.0}th percentile, because what looks cheap is often priced \
                 too high by the guess; at mean prices the sales would leave {} instead of {}.",
                percentile * 100.0,
                down(self.proceeds_at_means),
                down(self.limits.proceeds)
            )),
            None => said.push("Prices are counted at their means.".to_owned()),
        }
        said
    }

    fn verdict_said(&self) -> String {
        match self.verdict {
            Verdict::Buy => {
                format!("Buy it for {}; up to {} would do.", self.asking, self.most_to_pay)
            }
            Verdict::HaggleTo(price) => {
                format!("Haggle: {} is asked, pay at most {price}.", self.asking)
            }
            Verdict::Leave => match self.not_even_free {
                Some(_) => "Leave it even for nothing.".to_owned(),
                None => "Leave it; only as a gift would it do.".to_owned(),
            },
        }
    }

    fn gift_said(&self, why: NotEvenFree) -> String {
        match why {
            NotEvenFree::LosesMoney => format!(
                "Even free it loses money: selling it leaves {} before your own work.",
                down(self.limits.proceeds)
            ),
            NotEvenFree::MissesLimit => match self.bound_by {
                Limit::LossChance => format!(
                    "Even free, postage and packing alone make a loss likelier than the {} accepted.",
                    percent(self.targets.loss_chance.unwrap_or_default())
                ),
                limit @ (Limit::Return | Limit::Wage | Limit::MinimumProfit) => {
                    format!("Even free it does not meet {limit}.")
                }
            },
        }
    }

    fn bound_said(&self) -> String {
        let targets = &self.targets;
        let money = |amount: Option<measure::Money>| amount.unwrap_or_default();
        match self.bound_by {
            Limit::Return => format!(
                "The return binds: a profit of {} of the price is asked for.",
                percent(targets.return_on_cost.unwrap_or_default())
            ),
            Limit::Wage => format!("The wage of {} an hour binds.", targets.wage),
            Limit::MinimumProfit => {
                format!("The least profit of {} binds.", money(targets.minimum_profit))
            }
            Limit::LossChance => format!(
                "The chance of losing money binds: at most {} is accepted.",
                percent(targets.loss_chance.unwrap_or_default())
            ),
        }
    }
}

impl fmt::Display for BuyDecision {
    /// The sentences of [`BuyDecision::reasons`], one after the other.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.reasons().join(" "))
    }
}
