//! `lotwright insure`: whether cover is worth its premium, and how well to pack.

use keeping::guarding::Spell;
use keeping::{InsureAsked, InsureMistake, NO_ADVICE, insured};
use serde::Serialize;

use crate::args::InsureArgs;
use crate::problems::Stop;
use crate::words::wrapped;
use crate::worth_report;

/// The answer as JSON.
#[derive(Debug, Serialize)]
struct Answer {
    /// What is lost when the parcel is destroyed, cents.
    loss_cents: i64,
    /// Chance of that.
    breakage: f64,
    /// Whether to insure; absent without a premium.
    insure: Option<bool>,
    /// Most that the cover is worth, cents.
    most_premium_cents: Option<i64>,
    /// The best packing level, from 1; absent without levels.
    packing_level: Option<usize>,
    /// Why, in words.
    reasons: Vec<String>,
}

/// Answers.
pub fn insure(args: &InsureArgs) -> Result<String, Stop> {
    let asked = InsureAsked {
        spell: Spell::Options,
        item: args.item.clone(),
        shipping: args.shipping.clone(),
        fee_returned: args.fee_returned.clone(),
        return_cost: args.return_cost.clone(),
        breakage: args.breakage.clone(),
        sent: args.sent,
        broken: args.broken,
        premium: args.premium.clone(),
        cover: args.cover.clone(),
        deductible: args.deductible.clone(),
        payout: Some(args.payout.clone()),
        claim_cost: args.claim_cost.clone(),
        level: args.level.clone(),
    };
    let answer = insured(&asked).map_err(as_option)?;
    let mut reasons = answer.reasons;
    if args.json {
        return worth_report::written(&Answer {
            loss_cents: answer.loss.cents(),
            breakage: answer.breakage,
            insure: answer.insure,
            most_premium_cents: answer.most_premium.map(measure::Money::cents),
            packing_level: answer.packing_level,
            reasons,
        });
    }
    reasons.push(NO_ADVICE.to_owned());
    let lines: Vec<String> = reasons.iter().map(|reason| wrapped("", reason)).collect();
    Ok(lines.join("\n") + "\n")
}

/// "2 %" or 0.02.
pub fn chance(option: &'static str, text: &str) -> Result<f64, Stop> {
    keeping::chance(Spell::Options, option, text).map_err(as_option)
}

/// What is wrong, at the option that it was told by.
fn as_option(wrong: InsureMistake) -> Stop {
    let missing = if wrong.is_missing { " is missing" } else { "" };
    Stop::Input(format!("--{}{missing}: {}", wrong.field, wrong.message))
}
