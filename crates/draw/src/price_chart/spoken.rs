//! The price chart in words, for who cannot see it.

use super::sound::{CompPoint, Sound};
use super::{CompPrice, LotPrices, PriceChart};
use crate::money_axis::amount;

pub(crate) fn pieces(count: u32) -> String {
    if count == 1 { "1 piece".to_owned() } else { format!("{count} pieces") }
}

/// The title, or what stands for one.
pub(crate) fn title(chart: &PriceChart) -> String {
    if chart.title.trim().is_empty() { "Prices by lot size".to_owned() } else { chart.title.clone() }
}

/// What a comp says about its lot's price.
pub(crate) fn price(price: CompPrice) -> String {
    match price {
        CompPrice::Exact(at) => amount(at),
        CompPrice::Between { low, high } => format!("between {} and {}", amount(low), amount(high)),
        CompPrice::Below(high) => format!("less than {}", amount(high)),
        CompPrice::Above(low) => format!("more than {}", amount(low)),
    }
}

/// One comp in words.
pub(crate) fn comp(point: &CompPoint<'_>) -> String {
    let label = point.comp.label.trim();
    let name = if label.is_empty() { format!("Comp {}", point.index + 1) } else { label.to_owned() };
    let (price, weight) = (price(point.price), point.weight);
    format!("{name}: {price} for {}, weight {weight:.2}", pieces(point.comp.pieces))
}

/// One lot size in words.
pub(crate) fn lot(lot: &LotPrices) -> String {
    let mut words = format!(
        "{}: median {} (80 % sure between {} and {}); the next sale brings {} to {} in 8 of 10 cases, {} to {} \
         in half of them",
        pieces(lot.pieces),
        amount(lot.median),
        amount(lot.median_least),
        amount(lot.median_most),
        amount(lot.p10),
        amount(lot.p90),
        amount(lot.p25),
        amount(lot.p75),
    );
    if lot.leans_on_the_prior {
        words.push_str("; leans on the prior");
    }
    if lot.is_extrapolated {
        words.push_str("; beyond the lot sizes seen");
    }
    words
}

/// The whole chart in words.
pub(crate) fn description(sound: &Sound<'_>) -> String {
    let mut sentences = vec!["Delivered price of the lot by the number of pieces in it.".to_owned()];
    if sound.lots.is_empty() && sound.comps.is_empty() {
        sentences.push("There is no lot size and no comp yet.".to_owned());
    }
    sentences.extend(sound.lots.iter().map(|each| format!("{}.", lot(each))));
    if !sound.comps.is_empty() {
        let count = |test: fn(CompPrice) -> bool| sound.comps.iter().filter(|p| test(p.price)).count();
        let kinds = [
            (count(|price| matches!(price, CompPrice::Exact(_))), "at a known price"),
            (count(|price| matches!(price, CompPrice::Between { .. })), "between two prices"),
            (count(|price| matches!(price, CompPrice::Below(_))), "worth less than a price"),
            (count(|price| matches!(price, CompPrice::Above(_))), "worth more than a price"),
        ];
        let kinds: Vec<String> = kinds
            .iter()
            .filter(|(count, _)| *count > 0)
            .map(|(count, what)| format!("{count} {what}"))
            .collect();
        let comps = if sound.comps.len() == 1 { "comp" } else { "comps" };
        sentences.push(format!("{} {comps}: {}.", sound.comps.len(), kinds.join(", ")));
    }
    for line in &sound.lines {
        let lot = line.pieces.map_or_else(|| "every lot".to_owned(), pieces);
        sentences.push(format!("{}, {lot}: {}.", line.label.trim(), amount(line.amount)));
    }
    sentences.extend(sound.note());
    sentences.join(" ")
}
