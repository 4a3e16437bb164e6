//! Cost of goods by an assumed flow of units: first in first out, or average; or by naming the layers.

use measure::Money;

use crate::allocate::cumulative;
use crate::error::amount;
use crate::{AveragePool, BooksError, Quantity};

/// Most units in one movement (judgement).
const MOST_UNITS: u32 = 1_000_000;

/// Which units are taken to have gone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CostFlow {
    /// The oldest.
    FirstInFirstOut,
    /// Each at the average of what is there.
    Average,
}

/// When units out are costed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CostSystem {
    /// Once, at the end of the period, against everything that came in.
    Periodic,
    /// As they go.
    Perpetual,
}

/// Units that come or go, in the order of time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum UnitMovement {
    /// Units come in, with what they cost together.
    In {
        /// How many.
        units: u32,
        /// Their cost.
        cost: Money,
    },
    /// Units go out.
    Out {
        /// How many.
        units: u32,
    },
    /// Units go out from named layers (specific identification): how many from which movement in, from 0.
    OutFrom {
        /// The layers.
        layers: Vec<(usize, u32)>,
    },
}

/// What a flow of units comes to; the two sides together are all that came in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FlowCost {
    /// Cost of the units that went.
    pub cost_of_goods: Money,
    /// Cost of the units that are there.
    pub closing: Money,
    /// Units that are there.
    pub closing_units: u32,
}

struct Layer {
    units: u32,
    cost: Money,
    gone: u32,
}

impl Layer {
    fn left(&self) -> u32 {
        self.units - self.gone
    }

    /// Takes at most `units` and says what they cost, by cumulative rounding within the layer.
    fn take(&mut self, units: u32) -> Money {
        let upto = |gone: u32| cumulative(self.cost, u64::from(gone), u64::from(self.units));
        let after = self.gone + units.min(self.left());
        let cost = upto(after) - upto(self.gone);
        self.gone = after;
        cost
    }
}

/// Reckons cost of goods and closing stock of one ware. Cents are conserved: what is not cost of goods is closing
/// stock. Averages are exact; what is rounded is the cost of all that went so far, not the cost of a unit.
///
/// # Errors
/// When more goes out than is there, a layer isn't there, or a figure is out of range.
pub fn flow_cost(
    flow: CostFlow,
    system: CostSystem,
    movements: &[UnitMovement],
) -> Result<FlowCost, BooksError> {
    let ordered: Vec<&UnitMovement> = match system {
        CostSystem::Perpetual => movements.iter().collect(),
        CostSystem::Periodic => {
            let (come, go): (Vec<_>, Vec<_>) =
                movements.iter().partition(|movement| matches!(movement, UnitMovement::In { .. }));
            come.into_iter().chain(go).collect()
        }
    };
    let mut layers: Vec<Layer> = Vec::new();
    let mut pool = AveragePool::default();
    let mut cost_of_goods = Money::ZERO;
    for movement in &ordered {
        match movement {
            UnitMovement::In { units, cost } => {
                let (units, cost) = (count(*units)?, amount("units in", "cost", *cost)?);
                pool.add(Quantity::whole(units), cost)?;
                layers.push(Layer { units, cost, gone: 0 });
            }
            UnitMovement::Out { units } => {
                let units = count(*units)?;
                cost_of_goods += match flow {
                    CostFlow::FirstInFirstOut => take_oldest(&mut layers, units)?,
                    CostFlow::Average => pool.take(Quantity::whole(units))?,
                };
            }
            UnitMovement::OutFrom { layers: named } => {
                if flow == CostFlow::Average {
                    return Err(wrong(
                        "flow",
                        "average".to_owned(),
                        "first in first out where layers are named",
                    ));
                }
                for &(at, units) in named {
                    let layer = layers.get_mut(at).filter(|layer| units <= layer.left());
                    let Some(layer) = layer else {
                        return Err(wrong(
                            "layer",
                            format!("{units} from {at}"),
                            "a layer that came in before and has so many left",
                        ));
                    };
                    cost_of_goods += layer.take(units);
                }
            }
        }
    }
    let bought: Money = layers.iter().map(|layer| layer.cost).sum();
    let closing_units = match flow {
        CostFlow::FirstInFirstOut => layers.iter().map(Layer::left).fold(0, u32::saturating_add),
        CostFlow::Average => u32::try_from(pool.on_hand().micros() / 1_000_000).unwrap_or(u32::MAX),
    };
    Ok(FlowCost { cost_of_goods, closing: bought - cost_of_goods, closing_units })
}

fn take_oldest(layers: &mut [Layer], units: u32) -> Result<Money, BooksError> {
    let held = layers.iter().map(Layer::left).fold(0, u32::saturating_add);
    if units > held {
        return Err(BooksError::PoolShort { asked: f64::from(units), held: f64::from(held) });
    }
    let mut left = units;
    let mut cost = Money::ZERO;
    for layer in layers.iter_mut() {
        let taken = left.min(layer.left());
        cost += layer.take(taken);
        left -= taken;
    }
    Ok(cost)
}

fn count(units: u32) -> Result<u32, BooksError> {
    if (1..=MOST_UNITS).contains(&units) {
        Ok(units)
    } else {
        Err(wrong("units", units.to_string(), "a count from 1 to a million"))
    }
}

fn wrong(field: &'static str, found: String, right: &'static str) -> BooksError {
    BooksError::Wrong { place: "flow of units".to_owned(), field, found, right }
}
