//! `lotwright insure`: whether cover is worth its premium, and how well to pack.

use measure::Money;
use selling::{BreakagePrior, Cover, InsuranceCase, LossCase, PackingLevel};
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
    let loss = selling::loss_if_destroyed(&LossCase {
        item: money("--item", &args.item)?,
        shipping: optional("--shipping", args.shipping.as_deref())?,
        fee_returned: optional("--fee-returned", args.fee_returned.as_deref())?,
        return_cost: optional("--return-cost", args.return_cost.as_deref())?,
        replacement: None,
    })
    .map_err(Stop::input)?;
    let mut reasons = vec![loss.to_string()];
    let breakage = match (&args.breakage, args.sent) {
        (Some(text), _) => chance("--breakage", text)?,
        (None, sent) => {
            let (sent, broken) = (sent.unwrap_or(0), args.broken.unwrap_or(0));
            let estimate =
                selling::estimate_breakage(broken, sent, BreakagePrior::default()).map_err(Stop::input)?;
            reasons.push(format!(
                "Breakage is taken as {:.1} %: {broken} of {sent} sent, beside one in fifty that is usual.",
                100.0 * estimate
            ));
            estimate
        }
    };
    let decision = args
        .premium
        .as_deref()
        .map(|premium| {
            let cover = args.cover.as_deref().ok_or_else(|| {
                Stop::input("--cover is missing: the most that is paid; right would be: --cover 100")
            })?;
            selling::insure(&InsuranceCase {
                loss: loss.loss,
                breakage,
                premium: money("--premium", premium)?,
                cover: Cover {
                    limit: money("--cover", cover)?,
                    deductible: optional("--deductible", args.deductible.as_deref())?,
                    payout_probability: chance("--payout", &args.payout)?,
                    claim_cost: optional("--claim-cost", args.claim_cost.as_deref())?,
                },
                included: None,
            })
            .map_err(Stop::input)
        })
        .transpose()?;
    reasons.extend(decision.iter().map(ToString::to_string));
    let levels = args.level.iter().map(|text| level(text)).collect::<Result<Vec<_>, Stop>>()?;
    let choice = match levels.is_empty() {
        true => None,
        false => Some(selling::choose_packing_level(loss.loss, &levels).map_err(Stop::input)?),
    };
    reasons.extend(choice.iter().map(ToString::to_string));
    if args.json {
        return worth_report::written(&Answer {
            loss_cents: loss.loss.cents(),
            breakage,
            insure: decision.map(|decision| decision.insure),
            most_premium_cents: decision.map(|decision| decision.most_premium.cents()),
            packing_level: choice.map(|choice| choice.best + 1),
            reasons,
        });
    }
    reasons.push(String::from("This is arithmetic on your figures, not advice on insurance."));
    let lines: Vec<String> = reasons.iter().map(|reason| wrapped("", reason)).collect();
    Ok(lines.join("\n") + "\n")
}

fn money(option: &str, text: &str) -> Result<Money, Stop> {
    let amount = Money::read(text).map_err(|e| Stop::Input(format!("{option}: {e}")))?;
    if amount < Money::ZERO {
        return Err(Stop::Input(format!("{option}: {amount} is below zero; right would be 0.00 or more")));
    }
    Ok(amount)
}

fn optional(option: &str, text: Option<&str>) -> Result<Money, Stop> {
    text.map_or(Ok(Money::ZERO), |text| money(option, text))
}

/// "2 %" or 0.02.
pub fn chance(option: &str, text: &str) -> Result<f64, Stop> {
    let figure = match text.trim().strip_suffix('%') {
        Some(percent) => percent.trim().parse::<f64>().map(|percent| percent / 100.0),
        None => text.trim().parse(),
    };
    figure.ok().filter(|share| (0.0..=1.0).contains(share)).ok_or_else(|| {
        Stop::Input(format!(
            "{option}: \"{text}\" is not a chance; right would be: {option} \"70 %\" or {option} 0.7"
        ))
    })
}

/// "1.90, 2.5 %".
fn level(text: &str) -> Result<PackingLevel, Stop> {
    let (cost, breakage) = text.split_once([',', ';']).ok_or_else(|| {
        Stop::Input(format!(
            "--level: \"{text}\" is not a cost and a breakage; right would be: --level \"1.90, 2.5 %\""
        ))
    })?;
    Ok(PackingLevel { cost: money("--level", cost)?, breakage: chance("--level", breakage)? })
}
