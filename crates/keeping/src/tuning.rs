//! What parcels taught, applied to plans when the person asks for it, and taken back.

use shop::{Setting, Shop, Stamp, Tuned};
use trade::Learnt;

use crate::Stop;

/// Setting of the share of orders that arrive broken.
const BREAKAGE: &str = "market.damage";
/// Where an applied figure comes from.
const SOURCE: &str = "own parcels";

/// Share of orders that arrive broken, where nothing else is told (judgement; a job sheet's default).
pub const USUAL_BREAKAGE: f64 = 0.015;

/// The share of orders believed to break, over all forms.
#[must_use]
pub fn overall_breakage(tuned: &[Tuned]) -> f64 {
    let sum = |of: fn(&Tuned) -> u32| tuned.iter().map(of).fold(0, u32::saturating_add);
    shop::shrunk_share(sum(|row| row.parcels), sum(|row| row.broken_orders), USUAL_BREAKAGE)
}

/// Factors of actual over reckoned for a form and recipe, as they are applied; 1 and 1 where none are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AppliedTuning {
    /// On gross weight, as told by the parcels; a plan counts one below 1 as 1.
    pub weight: f64,
    /// On minutes.
    pub minutes: f64,
}

impl AppliedTuning {
    /// As a plan takes it.
    #[must_use]
    pub fn learnt(self) -> Learnt {
        Learnt::new(self.weight, self.minutes)
    }
}

fn name_of(what: &str, form: &str, recipe: &str) -> String {
    format!("tuned.{what}.{form}.{recipe}")
}

/// What is applied to plans of a form and recipe.
///
/// # Errors
/// When the file can't be read.
pub fn tuning_of(shop: &Shop, form: &str, recipe: &str) -> Result<AppliedTuning, Stop> {
    let factor = |what: &str| -> Result<f64, Stop> {
        let value = crate::setting(shop, &name_of(what, form, recipe))?;
        let read = value.and_then(|text| text.parse::<f64>().ok()).filter(|factor| factor.is_finite());
        Ok(read.unwrap_or(1.0))
    };
    Ok(AppliedTuning { weight: factor("weight")?, minutes: factor("minutes")? })
}

/// Applies what parcels taught: weight and minutes by form and recipe, and the share of broken orders. Plans made
/// from now on count each factor once: parcels are kept with their reckoned figures, and lessons are told against
/// those.
///
/// # Errors
/// When the file refuses it; nothing is applied then.
pub fn apply_tuning(shop: &mut Shop, stamp: &Stamp, tuned: &[Tuned], breakage: f64) -> Result<(), Stop> {
    let setting = |name: String, value: String| Setting { name, value, source: SOURCE.to_owned() };
    let mut put = vec![setting(BREAKAGE.to_owned(), format!("\"{:.2} %\"", 100.0 * breakage))];
    // Parcels that no plan stood behind teach nothing of plans.
    for row in tuned.iter().filter(|row| !row.form.is_empty()) {
        let factors =
            [("weight", row.weighed, row.weight_factor()), ("minutes", row.timed, row.minutes_factor())];
        for (what, count, factor) in factors {
            if count > 0 {
                put.push(setting(name_of(what, &row.form, &row.recipe), format!("{factor:.4}")));
            }
        }
    }
    Ok(shop.put_settings(stamp, &put, &[])?)
}

/// Takes back what was applied: plans go by their own figures again. Gives how many settings were struck out; a
/// share of broken orders that the person set by hand stays.
///
/// # Errors
/// When the file refuses it.
pub fn take_back_tuning(shop: &mut Shop, stamp: &Stamp) -> Result<usize, Stop> {
    let applied = |one: &Setting| {
        one.name.starts_with("tuned.weight.")
            || one.name.starts_with("tuned.minutes.")
            || (one.name == BREAKAGE && one.source == SOURCE)
    };
    let known = shop.noted::<Setting>()?.into_iter().map(|(_, one)| one);
    let strike: Vec<String> = known.filter(applied).map(|one| one.name).collect();
    shop.put_settings(stamp, &[], &strike)?;
    Ok(strike.len())
}
