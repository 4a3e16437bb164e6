//! What a purchase must bring.

use trade::Buying;

use crate::figure::{self, Least};
use crate::section::Section;
use crate::told::{Problems, Told};

/// Keys of `[buying]`.
pub(crate) const BUYING_KEYS: [&str; 6] =
    ["return", "least_profit", "loss_risk", "guard", "shop_tax", "horizon"];

const RIGHT: &str = "[buying] with return, least_profit, loss_risk, guard, horizon and shop_tax, each of which may be left out";

/// Reads `[buying]`; what it leaves out is as usual.
pub(crate) fn buying(sheet: &mut Section<'_, '_>, problems: &mut Problems<'_>) -> Result<Buying, Told> {
    let usual = Buying::default();
    let Some(entry) = sheet.take("buying") else { return Ok(usual) };
    let mut section = entry.section(RIGHT, problems)?;
    let return_wanted =
        section.percent_or("return", usual.return_wanted, 0.0..=100.0, "return = \"50 %\"", problems);
    let loss_risk =
        section.percent_or("loss_risk", usual.loss_risk, 0.001..=0.5, "loss_risk = \"10 %\"", problems);
    let guard = section.percent_or("guard", usual.guard, 0.01..=0.5, "guard = \"40 %\"", problems);
    let shop_tax = section.percent_or("shop_tax", usual.shop_tax, 0.0..=0.5, "shop_tax = \"7 %\"", problems);
    let horizon_days =
        section.number_or("horizon", usual.horizon_days, 1.0..=10_000.0, "horizon = 365", problems);
    let least = section
        .take("least_profit")
        .map(|entry| figure::money(&entry, Least::Nothing, "least_profit = 8.00", problems))
        .transpose();
    section.close(problems);
    Ok(Buying {
        return_wanted: return_wanted?,
        least_profit: least?.map_or(usual.least_profit, |least| least.currency()),
        loss_risk: loss_risk?,
        guard: guard?,
        shop_tax: shop_tax?,
        horizon_days: horizon_days?,
    })
}
