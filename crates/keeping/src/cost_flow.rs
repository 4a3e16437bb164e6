//! The cost flow that the person chooses, and from which day on it holds.

use books::{CostFlow, FlowSchedule};
use jiff::civil::{Date, date};
use shop::{COST_FLOW, Setting, Shop, Stamp};

use crate::{Stop, setting};

/// What is said with every change of the flow.
pub const FLOW_CAUTION: &str = "A change of method may need the leave of the tax authority: ask your preparer \
                                first. What has gone keeps its cost.";

/// Sets the cost flow: "fifo", or "fifo from 2027-01-01". Without a day it begins with the first year of which
/// nothing has moved: this one, or the next.
///
/// # Errors
/// When it is no flow, or would begin on a day up to which goods have moved.
pub fn put_cost_flow(
    shop: &mut Shop,
    stamp: &Stamp,
    text: &str,
    source: &str,
    today: Date,
) -> Result<FlowSchedule, Stop> {
    let (word, from) = match text.trim().trim_matches('"').split_once(" from ") {
        Some((word, day)) => {
            let day = day.trim().parse().map_err(|_| {
                Stop::Input(format!(
                    "{COST_FLOW}: \"{}\" is not a day; right would be: fifo from 2027-01-01",
                    day.trim()
                ))
            })?;
            (word, Some(day))
        }
        None => (text.trim().trim_matches('"'), None),
    };
    let flow = FlowSchedule::flow_named(word).map_err(Stop::input)?;
    choose_cost_flow(shop, stamp, flow, from, source, today)
}

/// Sets the cost flow from a day on; nothing for each piece's own cost. Without a day it begins with the first year of
/// which nothing has moved: this one, or the next.
///
/// # Errors
/// When it would begin on a day up to which goods have moved.
pub fn choose_cost_flow(
    shop: &mut Shop,
    stamp: &Stamp,
    flow: Option<CostFlow>,
    from: Option<Date>,
    source: &str,
    today: Date,
) -> Result<FlowSchedule, Stop> {
    let from = from.map_or_else(|| first_free_year(shop, today), Ok)?;
    let anew = shop.cost_flow()?.with(from, flow);
    let put = Setting { name: COST_FLOW.to_owned(), value: anew.to_string(), source: source.to_owned() };
    if anew == FlowSchedule::default() {
        shop.put_settings(stamp, &[], &[COST_FLOW.to_owned()])?;
    } else {
        shop.put_settings(stamp, &[put], &[])?;
    }
    Ok(anew)
}

/// The first of the first year of which no goods have moved.
fn first_free_year(shop: &Shop, today: Date) -> Result<Date, Stop> {
    let this_year = date(today.year(), 1, 1);
    let free = shop.goods_moved_upto()?.is_none_or(|moved| moved < this_year);
    let year = if free { today.year() } else { today.year().saturating_add(1).min(9998) };
    Ok(date(year, 1, 1))
}

/// The flow in words, for the head of a report; nothing where each piece carries its own cost.
///
/// # Errors
/// When the file can't be read.
pub fn flow_words(shop: &Shop) -> Result<Option<String>, Stop> {
    Ok(setting(shop, COST_FLOW)?.map(|flow| format!("Cost of goods: {flow}. {FLOW_CAUTION}")))
}
