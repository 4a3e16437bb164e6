//! Limits and billable weight.

use measure::{Length, Mass};

use crate::fee::Bulk;
use crate::figure::{figure, pounds, sides};
use crate::prices::WEIGHT_TOLERANCE_LB;
use crate::rules::Rules;
use crate::{ParcelFacts, Refusal, length_plus_girth, round_up_to};

/// Relative slack when a volume is compared with its threshold, for the arithmetic of products.
const VOLUME_ARITHMETIC: f64 = 1e-12;

/// The weight that postage is reckoned on, before it is fitted to a row of prices.
#[derive(Debug, Clone, PartialEq)]
pub struct BillableWeight {
    /// Weight as handed over.
    pub actual: Mass,
    /// Weight by size, in whole pounds; absent where the card's rule does not ask for it.
    pub dimensional: Option<Mass>,
    /// The greater of the two.
    pub greater: Mass,
    /// Sides rounded as the card says, longest first, in.
    pub rounded_sides_in: [f64; 3],
    /// Length plus girth of the sides as measured.
    pub length_plus_girth: Length,
    /// How it came about, line by line.
    pub steps: Vec<String>,
    /// What to be careful about.
    pub cautions: Vec<String>,
}

impl BillableWeight {
    pub(crate) fn bulk(&self) -> Bulk {
        Bulk { sides_in: self.rounded_sides_in, gross: self.actual }
    }
}

/// Refuses what the rules don't take, then weighs.
pub(crate) fn billable_weight(rules: &Rules, facts: &ParcelFacts) -> Result<BillableWeight, Refusal> {
    let measured = facts.checked_sides_in()?;
    let around = length_plus_girth(facts.outside);
    check_limits(rules, facts, measured, around)?;
    let rounded = measured.map(|side| rules.rounding.whole_inches(side, rules.tolerance_in).max(1.0));
    let bulk = Bulk { sides_in: rounded, gross: facts.gross };
    let mut steps = vec![
        format!("sides {}, {}: {}", sides(measured), rules.rounding.words(), sides(rounded)),
        format!("length plus girth {} in as measured", figure(around.inches(), 3)),
    ];
    let dimensional = weight_by_size(rules, facts, bulk.volume_in3(), &mut steps);
    let greater = dimensional.map_or(facts.gross, |dimensional| dimensional.max(facts.gross));
    steps.push(match dimensional {
        Some(by_size) if by_size > facts.gross => {
            format!(
                "weight {} is less than {} by size: {} counts",
                pounds(facts.gross),
                pounds(by_size),
                pounds(by_size)
            )
        }
        Some(by_size) => {
            format!("weight {} is not less than {} by size and counts", pounds(facts.gross), pounds(by_size))
        }
        None => format!("weight {} counts", pounds(facts.gross)),
    });
    Ok(BillableWeight {
        actual: facts.gross,
        dimensional,
        greater,
        rounded_sides_in: rounded,
        length_plus_girth: around,
        steps,
        cautions: rounding_cautions(rules, around, bulk.length_plus_girth_in()),
    })
}

fn check_limits(
    rules: &Rules,
    facts: &ParcelFacts,
    measured: [f64; 3],
    around: Length,
) -> Result<(), Refusal> {
    let limits = &rules.limits;
    let service = || rules.service.clone();
    let exceeds = |found_in: f64, limit: Length| found_in > limit.inches() + rules.tolerance_in;
    if facts.gross.pounds() > limits.weight.pounds() + WEIGHT_TOLERANCE_LB {
        return Err(Refusal::TooHeavy { service: service(), gross: facts.gross, limit: limits.weight });
    }
    let [longest, ..] = measured;
    if let Some(limit) = limits.length.filter(|&limit| exceeds(longest, limit)) {
        return Err(Refusal::TooLong { service: service(), longest: Length::from_inches(longest), limit });
    }
    if let Some(limit) = limits.length_plus_girth.filter(|&limit| exceeds(around.inches(), limit)) {
        return Err(Refusal::TooBig { service: service(), length_plus_girth: around, limit });
    }
    if let Some(limit) = limits.oversize_above.filter(|&limit| exceeds(around.inches(), limit)) {
        return Err(Refusal::OversizePriceUnknown { service: service(), length_plus_girth: around, limit });
    }
    Ok(())
}

/// Whether limits are read from measured or rounded sides is not published; say so when it matters.
fn rounding_cautions(rules: &Rules, around: Length, rounded_in: f64) -> Vec<String> {
    let limits = [rules.limits.length_plus_girth, rules.limits.oversize_above];
    let passed = limits.into_iter().flatten().map(Length::inches).find(|&limit| rounded_in > limit);
    let words = |limit: f64| {
        format!(
            "length plus girth is {} in as measured, within {} in, but {} in from the rounded sides; a counter \
             that rounds first may refuse the parcel or charge more",
            figure(around.inches(), 3),
            figure(limit, 3),
            figure(rounded_in, 3)
        )
    };
    passed.map(words).into_iter().collect()
}

/// The dimensional weight, if the card's rule asks for one.
fn weight_by_size(rules: &Rules, facts: &ParcelFacts, box_in3: f64, steps: &mut Vec<String>) -> Option<Mass> {
    let rule = rules.dimensional?;
    let volume = if facts.rectangular { box_in3 } else { box_in3 * rule.nonrectangular_factor };
    let shown = if facts.rectangular {
        format!("volume {} in3", figure(volume, 2))
    } else {
        format!(
            "volume {} in3 x {} for a shape that is no box = {} in3",
            figure(box_in3, 2),
            figure(rule.nonrectangular_factor, 4),
            figure(volume, 2)
        )
    };
    if let Some(threshold) = rule.threshold_in3 {
        if volume <= threshold * (1.0 + VOLUME_ARITHMETIC) {
            steps.push(format!("{shown}, not over {} in3: size does not count", figure(threshold, 2)));
            return None;
        }
        steps.push(format!("{shown}, over {} in3: size counts", figure(threshold, 2)));
    } else {
        steps.push(shown);
    }
    let by_size = Mass::from_pounds(round_up_to(volume / rule.divisor_in3_per_lb, 1).max(1.0));
    steps.push(format!(
        "{} / {} = {}, rounded up: {} by size",
        figure(volume, 2),
        figure(rule.divisor_in3_per_lb, 2),
        figure(volume / rule.divisor_in3_per_lb, 2),
        pounds(by_size)
    ));
    match rule.cap.filter(|&cap| by_size > cap) {
        Some(cap) => {
            steps.push(format!("size never counts for more than {}", pounds(cap)));
            Some(cap)
        }
        None => Some(by_size),
    }
}
