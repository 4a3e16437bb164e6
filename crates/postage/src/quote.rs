//! The price of one parcel to one zone on one day, with its arithmetic.

use jiff::civil::Date;
use measure::{Length, Mass, Money};

use crate::additions::Additions;
use crate::billable::{BillableWeight, billable_weight};
use crate::caution::{add_cautions, say_once};
use crate::fee::{Bulk, FeeMeasure, fees_due};
use crate::prices::PriceTable;
use crate::rules::Rules;
use crate::{ParcelFacts, Refusal, Zone};

/// What a parcel costs, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Quote {
    /// Base price and all additions.
    pub total: Money,
    /// Price of the billed row in the zone.
    pub base: Money,
    /// Fees and temporary additions, each with its label.
    pub additions: Vec<(String, Money)>,
    /// Weight of the billed row: what the parcel may weigh, or count as, at this price.
    pub billable: Mass,
    /// The billed row as the list writes it ("2 lb", "15.999 oz").
    pub billed_row: String,
    /// Weight as handed over.
    pub actual: Mass,
    /// Weight by size, where the card's rule asks for it.
    pub dimensional: Option<Mass>,
    /// Sides rounded as the card says, longest first, in.
    pub rounded_sides_in: [f64; 3],
    /// Length plus girth of the sides as measured.
    pub length_plus_girth: Length,
    /// How the price came about, line by line.
    pub steps: Vec<String>,
    /// What to be careful about: dates, unknown additions, doubtful figures.
    pub cautions: Vec<String>,
}

impl Quote {
    /// How much heavier the parcel may get at the same price.
    #[must_use]
    pub fn room_to_next_row(&self) -> Mass {
        (self.billable - self.actual).max(Mass::ZERO)
    }
}

pub(crate) fn quote(
    rules: &Rules,
    prices: &PriceTable,
    additions: &Additions,
    facts: &ParcelFacts,
    zone: Zone,
    date: Date,
) -> Result<Quote, Refusal> {
    let weight = billable_weight(rules, facts)?;
    let bulk = weight.bulk();
    let BillableWeight {
        actual,
        dimensional,
        greater,
        rounded_sides_in,
        length_plus_girth,
        mut steps,
        mut cautions,
    } = weight;
    let no_zone = || Refusal::NoPriceForZone { service: rules.service.clone(), zone, last: prices.zones };
    let last = prices.last_for(zone).ok_or_else(no_zone)?;
    let no_weight = || Refusal::NoPriceForWeight {
        service: rules.service.clone(),
        zone,
        billable: greater,
        last: last.not_over,
    };
    let row = prices.row_for(greater).ok_or_else(no_weight)?;
    let base = row.price(zone).ok_or_else(no_weight)?;
    steps.push(format!("row {}, {zone}: {base}", row.label));

    let mut added: Vec<(String, Money)> =
        fees_due(&rules.fees, bulk).into_iter().map(|fee| (fee.label.clone(), fee.amount)).collect();
    if let Some(words) = shape_caution(rules, facts, bulk) {
        cautions.push(words);
    }
    let row_lb = row.not_over.pounds();
    if let Some(due) = additions.due(zone, row_lb, date) {
        let (from, to) = due.days;
        let mut label = format!("temporary addition {from} to {to}");
        if let Some(known_to_lb) = due.known_to_lb {
            label.push_str(", at least");
            cautions.push(format!(
                "the temporary addition for {} is not on this card; that for {known_to_lb} lb ({}) is counted, and \
                 the true one is probably higher",
                row.label, due.amount
            ));
        }
        added.push((label, due.amount));
    }
    for (label, amount) in &added {
        steps.push(format!("{label}: {amount}"));
    }
    let total = base + added.iter().map(|(_, amount)| *amount).sum();
    steps.push(format!("total {total}"));
    date_cautions(rules, date, &mut cautions);
    add_cautions(&rules.cautions, row_lb, zone, bulk, &mut cautions);
    Ok(Quote {
        total,
        base,
        additions: added,
        billable: row.not_over,
        billed_row: row.label.clone(),
        actual,
        dimensional,
        rounded_sides_in,
        length_plus_girth,
        steps,
        cautions,
    })
}

/// Whether the volume fee takes the share of a shape that is no box is not published.
fn shape_caution(rules: &Rules, facts: &ParcelFacts, bulk: Bulk) -> Option<String> {
    let by_volume = fees_due(&rules.fees, bulk).into_iter().any(|fee| fee.measure == FeeMeasure::Volume);
    (by_volume && !facts.rectangular).then(|| {
        "the volume fee is taken from the enclosing box; a shape that is no box may escape it".to_owned()
    })
}

fn date_cautions(rules: &Rules, date: Date, cautions: &mut Vec<String>) {
    if date < rules.effective_from {
        let words = format!("this card starts on {}; the price on {date} may differ", rules.effective_from);
        say_once(cautions, words);
    }
    if let Some(to) = rules.effective_to.filter(|&to| date > to) {
        let reason = rules.end_reason.as_ref().map_or_else(String::new, |reason| format!(": {reason}"));
        say_once(cautions, format!("this card ended on {to}; the price on {date} may differ{reason}"));
    }
}
