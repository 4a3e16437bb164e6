//! Cautions that one parcel calls for.

use std::collections::BTreeSet;

use safety::{Facts, Safety, Situation};
use trade::Shipped;

/// Cautions of lifting, cutting and filling, with who publishes them.
pub fn parcel(shipped: &Shipped) -> Vec<String> {
    let plan = &shipped.plan;
    let boxes = || std::iter::once(plan).chain(plan.inner.as_deref());
    let mut situations = BTreeSet::new();
    if boxes().any(|one| one.carton.cut_down_from_mm.is_some()) {
        situations.insert(Situation::CutDown);
    }
    if boxes().any(|one| one.carton.board.ends_with("used before")) {
        situations.insert(Situation::ReusedCarton);
    }
    let facts =
        Facts { gross: Some(shipped.gross), outside: Some(shipped.outside), situations, ..Facts::default() };
    Safety::published().cautions(&facts).iter().map(safety::Caution::full_text).collect()
}
