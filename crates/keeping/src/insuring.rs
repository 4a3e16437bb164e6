//! Whether cover is worth its premium, and how well to pack, out of what was typed.

use measure::Money;
use selling::{BreakagePrior, Cover, InsuranceCase, LossCase, PackingLevel};

use crate::guarding::Spell;

/// Chance that a claim is paid, where nobody says (judgement).
pub const USUAL_PAYOUT: &str = "90 %";
/// What is said under every answer.
pub const NO_ADVICE: &str = "This is arithmetic on your figures, not advice on insurance.";
/// Most ways to pack that are compared (judgement: more can't be read beside each other).
const MOST_LEVELS: usize = 20;

/// What is asked about cover, each as it was typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct InsureAsked {
    /// How fields are called in messages.
    pub spell: Spell,
    /// Price of the goods, to refund when they break.
    pub item: String,
    /// Shipping charged, to refund too.
    pub shipping: Option<String>,
    /// Part of the venue's fee that comes back on a refund.
    pub fee_returned: Option<String>,
    /// What the return or the disposal costs.
    pub return_cost: Option<String>,
    /// Chance that it breaks; where nobody says, the own record beside what is usual.
    pub breakage: Option<String>,
    /// Parcels like it that were sent.
    pub sent: Option<u32>,
    /// How many of them broke.
    pub broken: Option<u32>,
    /// Price of the cover.
    pub premium: Option<String>,
    /// The most that the cover pays.
    pub cover: Option<String>,
    /// What it keeps of every claim.
    pub deductible: Option<String>,
    /// Chance that a claim is paid.
    pub payout: Option<String>,
    /// What making a claim costs.
    pub claim_cost: Option<String>,
    /// Ways to pack, each its cost and its breakage ("1.90, 2.5 %").
    pub level: Vec<String>,
}

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InsureMistake {
    /// The field, with dashes as an option has them ("fee-returned").
    pub field: &'static str,
    /// Whether nothing was typed where something is needed.
    pub is_missing: bool,
    /// What is wrong, and what would be right.
    pub message: String,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Insured {
    /// What is lost when the parcel is destroyed.
    pub loss: Money,
    /// Chance of that, from 0 to 1.
    pub breakage: f64,
    /// Whether to insure; `None` without a premium.
    pub insure: Option<bool>,
    /// Most that the cover is worth; `None` without a premium.
    pub most_premium: Option<Money>,
    /// The best way to pack, from 1; `None` without any.
    pub packing_level: Option<usize>,
    /// Why, sentence by sentence: the arithmetic of each figure.
    pub reasons: Vec<String>,
}

/// Answers.
///
/// # Errors
/// The first thing that is wrong, at its field.
pub fn insured(asked: &InsureAsked) -> Result<Insured, InsureMistake> {
    let whole = |field: &'static str, why: selling::SellingError| at(field, why.to_string());
    let loss = selling::loss_if_destroyed(&LossCase {
        item: money("item", &asked.item)?,
        shipping: optional("shipping", asked.shipping.as_deref())?,
        fee_returned: optional("fee-returned", asked.fee_returned.as_deref())?,
        return_cost: optional("return-cost", asked.return_cost.as_deref())?,
        replacement: None,
    })
    .map_err(|why| whole("item", why))?;
    let mut reasons = vec![loss.to_string()];
    let breakage = match (&asked.breakage, asked.sent) {
        (Some(text), _) => chance(asked.spell, "breakage", text)?,
        (None, sent) => {
            let (sent, broken) = (sent.unwrap_or(0), asked.broken.unwrap_or(0));
            let estimate = selling::estimate_breakage(broken, sent, BreakagePrior::default())
                .map_err(|why| whole("broken", why))?;
            reasons.push(format!(
                "Breakage is taken as {:.1} %: {broken} of {sent} sent, beside one in fifty that is usual.",
                100.0 * estimate
            ));
            estimate
        }
    };
    let decision = match asked.premium.as_deref() {
        None => None,
        Some(premium) => {
            let cover = asked.cover.as_deref().ok_or_else(|| InsureMistake {
                field: "cover",
                is_missing: true,
                message: format!(
                    "the most that is paid; right would be: {}",
                    example(asked.spell, "cover", "100")
                ),
            })?;
            let case = InsuranceCase {
                loss: loss.loss,
                breakage,
                premium: money("premium", premium)?,
                cover: Cover {
                    limit: money("cover", cover)?,
                    deductible: optional("deductible", asked.deductible.as_deref())?,
                    payout_probability: chance(
                        asked.spell,
                        "payout",
                        asked.payout.as_deref().unwrap_or(USUAL_PAYOUT),
                    )?,
                    claim_cost: optional("claim-cost", asked.claim_cost.as_deref())?,
                },
                included: None,
            };
            Some(selling::insure(&case).map_err(|why| whole("premium", why))?)
        }
    };
    reasons.extend(decision.iter().map(ToString::to_string));
    if asked.level.len() > MOST_LEVELS {
        let message =
            format!("{} ways are too many; right would be at most {MOST_LEVELS}", asked.level.len());
        return Err(at("level", message));
    }
    let levels =
        asked.level.iter().map(|text| level(asked.spell, text)).collect::<Result<Vec<_>, InsureMistake>>()?;
    let choice = match levels.is_empty() {
        true => None,
        false => Some(selling::choose_packing_level(loss.loss, &levels).map_err(|why| whole("level", why))?),
    };
    reasons.extend(choice.iter().map(ToString::to_string));
    Ok(Insured {
        loss: loss.loss,
        breakage,
        insure: decision.as_ref().map(|decision| decision.insure),
        most_premium: decision.as_ref().map(|decision| decision.most_premium),
        packing_level: choice.as_ref().map(|choice| choice.best + 1),
        reasons,
    })
}

fn at(field: &'static str, message: String) -> InsureMistake {
    InsureMistake { field, is_missing: false, message }
}

/// An example of what to type.
fn example(spell: Spell, field: &str, value: &str) -> String {
    match spell {
        Spell::Options if value.contains(' ') => format!("--{field} \"{value}\""),
        Spell::Options => format!("--{field} {value}"),
        Spell::Fields => value.to_owned(),
    }
}

fn money(field: &'static str, text: &str) -> Result<Money, InsureMistake> {
    let amount = Money::read(text).map_err(|e| at(field, e.to_string()))?;
    if amount < Money::ZERO {
        return Err(at(field, format!("{amount} is below zero; right would be 0.00 or more")));
    }
    Ok(amount)
}

fn optional(field: &'static str, text: Option<&str>) -> Result<Money, InsureMistake> {
    text.map_or(Ok(Money::ZERO), |text| money(field, text))
}

/// A chance as people write it: "2 %" or 0.02; a ratio from 0 to 1.
///
/// # Errors
/// When it is neither, with an example.
pub fn chance(spell: Spell, field: &'static str, text: &str) -> Result<f64, InsureMistake> {
    let figure = match text.trim().strip_suffix('%') {
        Some(percent) => percent.trim().parse::<f64>().map(|percent| percent / 100.0),
        None => text.trim().parse(),
    };
    figure.ok().filter(|share| (0.0..=1.0).contains(share)).ok_or_else(|| {
        at(
            field,
            format!(
                "\"{text}\" is not a chance; right would be: {} or {}",
                example(spell, field, "70 %"),
                example(spell, field, "0.7")
            ),
        )
    })
}

/// "1.90, 2.5 %".
fn level(spell: Spell, text: &str) -> Result<PackingLevel, InsureMistake> {
    let (cost, breakage) = text.split_once([',', ';']).ok_or_else(|| {
        at(
            "level",
            format!(
                "\"{text}\" is not a cost and a breakage; right would be: {}",
                example(spell, "level", "1.90, 2.5 %")
            ),
        )
    })?;
    Ok(PackingLevel { cost: money("level", cost)?, breakage: chance(spell, "level", breakage)? })
}

#[cfg(test)]
mod tests {
    use super::{InsureAsked, insured};
    use measure::Money;

    fn asked() -> InsureAsked {
        InsureAsked { item: String::from("40"), ..InsureAsked::default() }
    }

    #[test]
    fn without_a_premium_the_loss_and_its_chance_are_told_alone() {
        let answer =
            insured(&InsureAsked { shipping: Some(String::from("9.50")), ..asked() }).expect("right");
        assert_eq!((answer.loss, answer.insure), (Money::from_cents(4950), None));
        assert!((answer.breakage - 0.02).abs() < 1e-9, "one in fifty where nothing was sent");
    }

    #[test]
    fn each_wrong_figure_is_told_at_its_field() {
        let some = |text: &str| Some(text.to_owned());
        let premium = |premium: &str| InsureAsked { premium: some(premium), cover: some("100"), ..asked() };
        for (field, wrong) in [
            ("item", InsureAsked { item: some("-1").unwrap_or_default(), ..asked() }),
            ("shipping", InsureAsked { shipping: some("much"), ..asked() }),
            ("fee-returned", InsureAsked { fee_returned: some("-2"), ..asked() }),
            ("return-cost", InsureAsked { return_cost: some("x"), ..asked() }),
            ("breakage", InsureAsked { breakage: some("NaN"), ..asked() }),
            ("broken", InsureAsked { sent: Some(1), broken: Some(2), ..asked() }),
            ("premium", premium("x")),
            ("cover", InsureAsked { cover: None, ..premium("1") }),
            ("cover", InsureAsked { cover: some("x"), ..premium("1") }),
            ("deductible", InsureAsked { deductible: some("-1"), ..premium("1") }),
            ("payout", InsureAsked { payout: some("170 %"), ..premium("1") }),
            ("claim-cost", InsureAsked { claim_cost: some("x"), ..premium("1") }),
            ("level", InsureAsked { level: vec![String::from("1.90")], ..asked() }),
        ] {
            let mistake = insured(&wrong).expect_err(field);
            assert_eq!(mistake.field, field, "{mistake:?}");
        }
    }

    #[test]
    fn cover_that_costs_more_than_it_is_worth_is_not_taken() {
        let of = |premium: &str| {
            let asked = InsureAsked {
                premium: Some(premium.to_owned()),
                cover: Some(String::from("100")),
                ..asked()
            };
            insured(&asked).expect("right")
        };
        assert_eq!((of("0.10").insure, of("5").insure), (Some(true), Some(false)));
        assert!(of("5").most_premium < Some(Money::from_cents(500)));
    }
}
