//! How figures and words lie in the file: whole cents, micrometres, milligrams, millionths of a unit, and names.

use books::{
    BuyerTax, Expense, FindId, FlawedCarry, HaulId, LotId, OrderId, Purse, Quantity, SplitRule, SupplyId,
    TripUse,
};
use measure::{Length, Mass, Money};
use serde::de::{Deserialize, Deserializer, Error as _};
use serde::ser::{Error as _, Serialize, Serializer};
use serde_json::Value;

const MICROMETRES_IN_MM: f64 = 1000.0;
const MILLIGRAMS_IN_GRAM: f64 = 1000.0;
/// Largest figure that is kept exactly as a whole number in a float (2 to the 53rd).
const LARGEST_WHOLE: f64 = 9_007_199_254_740_992.0;

fn whole<E: serde::ser::Error>(figure: f64, what: &str) -> Result<i64, E> {
    let rounded = figure.round();
    if rounded.abs() <= LARGEST_WHOLE {
        // In range, and NaN isn't.
        Ok(rounded as i64)
    } else {
        Err(E::custom(format!("{what} can't be {figure}; right would be a finite figure")))
    }
}

/// A module for a type that is stored as another, and one for the option of it.
macro_rules! stored_as {
    ($module:ident, $option:ident, $type:ty, $raw:ty, $to:expr, $from:expr) => {
        #[allow(dead_code, reason = "not every type is there without being optional")]
        pub(crate) mod $module {
            use super::*;
            pub(crate) fn serialize<S: Serializer>(value: &$type, to: S) -> Result<S::Ok, S::Error> {
                let raw: Result<$raw, S::Error> = ($to)(value);
                raw?.serialize(to)
            }
            pub(crate) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<$type, D::Error> {
                let raw = <$raw>::deserialize(from)?;
                let value: Result<$type, D::Error> = ($from)(raw);
                value
            }
        }
        #[allow(dead_code, reason = "not every type is optional somewhere")]
        pub(crate) mod $option {
            use super::*;
            pub(crate) fn serialize<S: Serializer>(value: &Option<$type>, to: S) -> Result<S::Ok, S::Error> {
                let raw: Option<$raw> = match value {
                    Some(value) => {
                        let raw: Result<$raw, S::Error> = ($to)(value);
                        Some(raw?)
                    }
                    None => None,
                };
                raw.serialize(to)
            }
            pub(crate) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Option<$type>, D::Error> {
                match Option::<$raw>::deserialize(from)? {
                    Some(raw) => {
                        let value: Result<$type, D::Error> = ($from)(raw);
                        value.map(Some)
                    }
                    None => Ok(None),
                }
            }
        }
    };
}

stored_as!(cents, cents_opt, Money, i64, |value: &Money| Ok(value.cents()), |raw| Ok(Money::from_cents(raw)));
stored_as!(
    micrometres,
    micrometres_opt,
    Length,
    i64,
    |value: &Length| whole(value.mm() * MICROMETRES_IN_MM, "a length"),
    |raw: i64| Ok(Length::from_mm(raw as f64 / MICROMETRES_IN_MM))
);
stored_as!(
    milligrams,
    milligrams_opt,
    Mass,
    i64,
    |value: &Mass| whole(value.grams() * MILLIGRAMS_IN_GRAM, "a mass"),
    |raw: i64| Ok(Mass::from_grams(raw as f64 / MILLIGRAMS_IN_GRAM))
);
stored_as!(micros, micros_opt, Quantity, u64, |value: &Quantity| Ok(value.micros()), |raw| {
    Quantity::from_micros(raw).map_err(D::Error::custom)
});
stored_as!(haul, haul_opt, HaulId, u64, |value: &HaulId| Ok(value.0), |raw| Ok(HaulId(raw)));
stored_as!(find, find_opt, FindId, u64, |value: &FindId| Ok(value.0), |raw| Ok(FindId(raw)));
stored_as!(lot, lot_opt, LotId, u64, |value: &LotId| Ok(value.0), |raw| Ok(LotId(raw)));
stored_as!(order, order_opt, OrderId, u64, |value: &OrderId| Ok(value.0), |raw| Ok(OrderId(raw)));
stored_as!(supply, supply_opt, SupplyId, u64, |value: &SupplyId| Ok(value.0), |raw| Ok(SupplyId(raw)));

/// A figure that must be finite, since there is no way to write another.
pub(crate) mod finite {
    use super::*;
    pub(crate) fn serialize<S: Serializer>(value: &f64, to: S) -> Result<S::Ok, S::Error> {
        if value.is_finite() {
            value.serialize(to)
        } else {
            Err(S::Error::custom(format!("a figure can't be {value}; right would be a finite one")))
        }
    }
    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<f64, D::Error> {
        f64::deserialize(from)
    }
}

/// Yes or no, which a table keeps as 1 or 0.
pub(crate) fn flag<'de, D: Deserializer<'de>>(from: D) -> Result<bool, D::Error> {
    match Value::deserialize(from)? {
        Value::Bool(flag) => Ok(flag),
        Value::Number(number) => Ok(number.as_i64() != Some(0)),
        other @ (Value::Null | Value::String(_) | Value::Array(_) | Value::Object(_)) => {
            Err(D::Error::custom(format!("{other} is neither yes nor no")))
        }
    }
}

/// Something that a table keeps as JSON text.
pub(crate) fn from_text<'de, D: Deserializer<'de>, T: serde::de::DeserializeOwned>(
    from: D,
) -> Result<T, D::Error> {
    let value = match Value::deserialize(from)? {
        Value::String(text) => return serde_json::from_str(&text).map_err(D::Error::custom),
        other @ (Value::Null | Value::Bool(_) | Value::Number(_) | Value::Array(_) | Value::Object(_)) => {
            other
        }
    };
    serde_json::from_value(value).map_err(D::Error::custom)
}

/// Words for the enums of the books.
macro_rules! words {
    ($($def:ident for $path:literal { $($name:ident),* $(,)? })*) => { $(
        #[derive(serde::Serialize, serde::Deserialize)]
        #[serde(remote = $path, rename_all = "snake_case")]
        pub(crate) enum $def { $($name),* }
    )* };
}

words! {
    PurseWord for "Purse" { Cash, Platform, Card, OwnPocket }
    TripUseWord for "TripUse" { Business, Commuting, Private }
    SplitRuleWord for "SplitRule" { ByValue, PerPiece }
    FlawedCarryWord for "FlawedCarry" { Share, Nothing }
    ExpenseWord for "Expense" {
        Advertising, Insurance, Office, ParkingAndTolls, TaxesAndLicences, Equipment, Other,
    }
}

#[derive(serde::Serialize, serde::Deserialize)]
#[serde(remote = "BuyerTax", rename_all = "snake_case")]
pub(crate) enum BuyerTaxWord {
    None,
    ByVenue(#[serde(with = "cents")] Money),
    ByMe(#[serde(with = "cents")] Money),
}

/// Tax on an order, which a table keeps as JSON text.
pub(crate) mod tax {
    use super::*;
    #[derive(serde::Serialize, serde::Deserialize)]
    struct Kept(#[serde(with = "BuyerTaxWord")] BuyerTax);
    pub(crate) fn serialize<S: Serializer>(value: &BuyerTax, to: S) -> Result<S::Ok, S::Error> {
        // In an object, so that a table always finds JSON text, also for a bare word.
        std::collections::BTreeMap::from([("tax", Kept(*value))]).serialize(to)
    }
    /// The same as a table keeps it.
    pub(crate) fn text(value: &BuyerTax) -> String {
        serde_json::json!({ "tax": Kept(*value) }).to_string()
    }
    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<BuyerTax, D::Error> {
        let mut kept: std::collections::BTreeMap<String, Kept> = from_text(from)?;
        kept.remove("tax").map(|kept| kept.0).ok_or_else(|| D::Error::custom("there is no tax in it"))
    }
}
