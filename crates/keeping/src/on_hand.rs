//! Supplies as a plan takes them: cartons by size, the rest by the material they are.

use std::collections::BTreeMap;

use books::{Quantity, SupplyId};
use jiff::civil::Date;
use protection::Materials;
use serde_json::Value;
use shop::{PlannedSupply, Shop, StandingParcel, Supply, SupplyState};

use crate::Stop;

/// Days over which use is looked at (judgement: a season).
pub const DAYS_OF_USE: u32 = 90;

/// A supply with what a plan may take of it.
#[derive(Debug, Clone)]
pub struct OnHand {
    /// Its number.
    pub id: SupplyId,
    /// What it is.
    pub supply: Supply,
    /// What of it a plan may take.
    pub free: Quantity,
    /// How it stands.
    pub state: SupplyState,
    /// Name of the material it is, as plans name it; cartons have none.
    material: Option<String>,
    /// Units of the material in one unit of it.
    holds: f64,
}

impl OnHand {
    /// Whether it is a carton.
    #[must_use]
    pub fn is_carton(&self) -> bool {
        self.supply.kind == "carton"
    }

    /// Inside size of a carton, as typed.
    #[must_use]
    pub fn size(&self) -> Option<&str> {
        self.supply.detail.get("size").and_then(Value::as_str)
    }

    /// Heights a carton may be cut to, as typed.
    #[must_use]
    pub fn cut_to(&self) -> Vec<String> {
        let list = self.supply.detail.get("cut_to").and_then(Value::as_array);
        list.into_iter().flatten().filter_map(Value::as_str).map(str::to_owned).collect()
    }

    /// Whole units that are free.
    #[must_use]
    pub fn whole(&self) -> u32 {
        u32::try_from(self.free.micros() / 1_000_000).unwrap_or(u32::MAX)
    }

    /// The material it is.
    #[must_use]
    pub fn material(&self) -> Option<&str> {
        self.material.as_deref()
    }
}

/// All supplies; what the order's own plan has set aside counts as free for a new one.
///
/// # Errors
/// When the file can't be read.
pub fn supplies_on_hand(
    shop: &mut Shop,
    materials: &Materials,
    own: &[StandingParcel],
    day: Date,
) -> Result<Vec<OnHand>, Stop> {
    let mut aside: BTreeMap<SupplyId, u64> = BTreeMap::new();
    for planned in own.iter().filter(|parcel| parcel.actual.is_none()).flat_map(|one| &one.plan.supplies) {
        let micros = aside.entry(planned.supply).or_default();
        *micros = micros.saturating_add(planned.quantity.micros());
    }
    let kinds: BTreeMap<u64, Supply> = shop.noted::<Supply>()?.into_iter().collect();
    let states = shop.supplies(day, DAYS_OF_USE)?;
    let one = |state: SupplyState| {
        let supply = kinds.get(&state.supply.0)?.clone();
        let free = state.free().micros().saturating_add(aside.get(&state.supply).copied().unwrap_or(0));
        let told = supply.detail.get("material").and_then(Value::as_str).unwrap_or(&supply.name);
        let material = match supply.kind.as_str() {
            "carton" => None,
            _ => materials.find(told).ok().map(|material| material.name.clone()),
        };
        let holds = supply.detail.get("holds").and_then(Value::as_f64).filter(|holds| *holds > 0.0);
        Some(OnHand {
            id: state.supply,
            free: Quantity::from_micros(free).unwrap_or(Quantity::NONE),
            material,
            holds: holds.unwrap_or(1.0),
            supply,
            state,
        })
    };
    Ok(states.into_iter().filter_map(one).collect())
}

/// What the parcels of a plan take of the supplies, and the materials that aren't among them.
#[derive(Debug, Clone, Default)]
pub struct Taken {
    /// One list for each parcel; each supply once.
    pub parcels: Vec<Vec<PlannedSupply>>,
    /// Materials that no supply is, with how much of them.
    pub unknown: BTreeMap<String, (f64, String)>,
    /// Supplies that are short, with what is needed of them in units.
    pub short: BTreeMap<SupplyId, f64>,
}

/// Finds a plan's materials among the supplies; those called as in `left_out` are not taken.
///
/// # Errors
/// When a quantity is more than can be kept.
pub fn taken(plans: &[&plan::Parcel], supplies: &[OnHand], left_out: &[String]) -> Result<Taken, Stop> {
    let mut found = Taken::default();
    let mut needed: BTreeMap<SupplyId, u64> = BTreeMap::new();
    for plan in plans {
        let mut of_parcel: BTreeMap<SupplyId, f64> = BTreeMap::new();
        for used in &plan.materials {
            // Cartons go by their names; carton tape is a material like others.
            let carton = used.material.strip_prefix("carton ");
            let supply = supplies.iter().find(|one| {
                if one.is_carton() {
                    carton == Some(one.supply.name.as_str())
                } else {
                    one.material() == Some(used.material.as_str())
                }
            });
            match supply {
                Some(one) => {
                    *of_parcel.entry(one.id).or_default() += used.quantity / one.holds;
                }
                None => {
                    let row = found.unknown.entry(used.material.clone());
                    row.or_insert_with(|| (0.0, used.unit.clone())).0 += used.quantity;
                }
            }
        }
        let mut parcel = Vec::new();
        for (id, units) in of_parcel {
            let named = supplies.iter().find(|one| one.id == id).map(|one| measure::plain(&one.supply.name));
            if named.is_some_and(|name| left_out.iter().any(|out| measure::plain(out) == name)) {
                continue;
            }
            let quantity = Quantity::units(units).map_err(Stop::input)?;
            if quantity.micros() == 0 {
                continue;
            }
            let sum = needed.entry(id).or_default();
            *sum = sum.saturating_add(quantity.micros());
            parcel.push(PlannedSupply { supply: id, quantity, instead_of: None });
        }
        found.parcels.push(parcel);
    }
    for one in supplies {
        let wanted = needed.get(&one.id).copied().unwrap_or(0);
        if wanted > one.free.micros() {
            found
                .short
                .insert(one.id, Quantity::from_micros(wanted).map_or(f64::INFINITY, Quantity::in_units));
        }
    }
    Ok(found)
}

/// The movement that puts the file right when so much of a supply was counted; `None` where it is right.
///
/// # Errors
/// When the file can't be read.
pub fn counted(
    shop: &mut Shop,
    supply: SupplyId,
    there: Quantity,
    day: Date,
) -> Result<Option<shop::Movement>, Stop> {
    let states = shop.supplies(day, DAYS_OF_USE)?;
    let known = states.iter().find(|one| one.supply == supply).map_or(0, |one| one.on_hand.micros());
    let of = |micros| Quantity::from_micros(micros).map_err(Stop::input);
    let (more, less) = (there.micros().saturating_sub(known), known.saturating_sub(there.micros()));
    Ok(if more > 0 {
        let cost = measure::Money::ZERO;
        Some(shop::Movement::SuppliesBought { supply, quantity: of(more)?, cost })
    } else if less > 0 {
        Some(shop::Movement::SuppliesUsed { supply, quantity: of(less)?, order: None })
    } else {
        None
    })
}
