//! The answer to an offer, in item prices.

use measure::Money;

use super::case::Checked;
use super::{CounterCase, CounterPlan, OfferCase, WaitingWorth, plan_counter};
use crate::SellingError;
use crate::cents::{NOISE, currency, down, up};

/// What to write to the buyer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reply {
    /// Take the offer.
    Accept,
    /// Name this item price.
    CounterAt(Money),
    /// Refuse it.
    Decline,
}

/// What settled the answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfferLimit {
    /// The offer reaches the ask.
    Ask,
    /// The offer reaches the price from which accepting is best.
    AcceptFrom,
    /// The offer is better than waiting, but a counter gains more.
    CounterGainsMore,
    /// The offer is under the worth of waiting; a counter still gains.
    WorthOfWaiting,
    /// No price that can be named gains more than the offer itself.
    NoBetterPrice,
    /// The offer is under the worth of waiting, and no counter gains what it costs.
    CostOfReplying,
    /// The offer is under the worth of waiting, and so is the ask.
    AskTooLow,
}

/// The counter that would be named.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CounterPrice {
    /// The item price to name, strictly between the offer and the ask.
    pub item: Money,
    /// The best counter before it was made a price to name, rounded up to the cent.
    pub before_rounding: Money,
    /// What remains of it, rounded down.
    pub net: Money,
    /// The chance that a buyer who stays takes it.
    pub accept_probability: f64,
    /// What it gains over the buyer leaving on average, after the cost of replying, in currency.
    pub gain: f64,
}

/// The answer to an offer, with every figure it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// What to write.
    pub reply: Reply,
    /// What settled it.
    pub bound_by: OfferLimit,
    /// The item price offered.
    pub offer: Money,
    /// The item price asked.
    pub ask: Money,
    /// What remains of the offer, rounded down.
    pub offer_net: Money,
    /// What remains of the ask, rounded down.
    pub ask_net: Money,
    /// What the lots are worth if this buyer leaves, net, rounded up.
    pub worth_of_waiting: Money,
    /// How that was found.
    pub waiting: WaitingWorth,
    /// The lowest item price worth taking rather than waiting, rounded up.
    pub floor: Money,
    /// The lowest item price from which accepting is better than countering, rounded up; at least the floor.
    pub accept_from: Money,
    /// The item price to set where offers can be declined unread: under it what remains is less than waiting
    /// is worth, even counting the cost of replying (judgement). At most the floor. Declining unread forgoes
    /// the little that counters to low offers gain.
    pub auto_decline_below: Money,
    /// What accepting gains over the buyer leaving, in currency.
    pub gain_of_accepting: f64,
    /// The best counter, if any price between offer and ask can be named at a gain.
    pub counter: Option<CounterPrice>,
    /// The same decision before item prices are rounded; none when the offer reaches the ask.
    pub exact: Option<CounterPlan>,
}

/// Answers an offer: what waiting is worth until the deadline, whether to accept, counter (and at what price)
/// or decline, and the floors to set.
///
/// A counter is judged by the price that will really be named, so close to the threshold rounding may turn a
/// counter into an acceptance, never the other way.
///
/// # Errors
/// When a figure is out of its range, the net of the offer is above that of a higher ask, or no price up to
/// ten million leaves what waiting is worth.
///
/// ```
/// use measure::Money;
/// use selling::{NetOf, OfferCase, OfferSizes, Reply, Search, Waiting, answer_offer};
/// let search = Search {
///     sizes: OfferSizes::Uniform { low: 8.0, high: 30.0 },
///     per_day: 0.1, holding_per_day: 0.05, discount_per_day: 0.0,
/// };
/// let net = NetOf::Linear { fee_share: 0.13, costs: Money::from_cents(250) };
/// let case = OfferCase::new(
///     Money::from_cents(24_00), Money::from_cents(36_00), net, Waiting::Offers(search), 90.0,
/// );
/// let answer = answer_offer(&case)?;
/// assert_eq!(answer.reply, Reply::CounterAt(Money::from_cents(33_50)));
/// assert!(answer.floor < answer.accept_from && answer.accept_from < case.ask);
/// # Ok::<(), selling::SellingError>(())
/// ```
pub fn answer_offer(case: &OfferCase) -> Result<Answer, SellingError> {
    let checked = case.check()?;
    let waiting = case.waiting.worth(case.days_left, case.at_deadline)?;
    let worth = waiting.value;
    let floor = case.net.lowest_item(worth)?;
    let auto_decline_below = case.net.lowest_item(worth - checked.reply_cost)?;
    let plan = |offer_net: f64| {
        plan_counter(&CounterCase {
            offer: offer_net,
            ask: checked.ask_net,
            reservation: worth,
            stay_probability: checked.stay,
            reply_cost: checked.reply_cost,
        })
    };
    let at_ask = case.offer >= case.ask;
    let exact = plan(checked.offer_net.min(checked.ask_net))?;
    // The ask itself is always taken, so accepting is never put off past it.
    let accept_from = case.net.lowest_item(exact.threshold)?.clamp(floor.min(case.ask), floor.max(case.ask));
    let counter = if at_ask { None } else { best_counter(case, checked, worth)? };
    let gain_of_accepting = checked.offer_net - worth;
    let (reply, bound_by) = if at_ask {
        (Reply::Accept, OfferLimit::Ask)
    } else {
        settle(case, gain_of_accepting, exact.threshold - worth, counter, checked.ask_net - worth)
    };
    Ok(Answer {
        reply,
        bound_by,
        offer: case.offer,
        ask: case.ask,
        offer_net: down(checked.offer_net),
        ask_net: down(checked.ask_net),
        worth_of_waiting: up(worth),
        waiting,
        floor,
        accept_from,
        auto_decline_below,
        gain_of_accepting,
        counter,
        exact: (!at_ask).then_some(exact),
    })
}

/// The best price to name between offer and ask; none when there is no room or none gains.
fn best_counter(
    case: &OfferCase,
    checked: Checked,
    worth: f64,
) -> Result<Option<CounterPrice>, SellingError> {
    let target = 0.5 * (checked.ask_net + worth);
    if worth >= checked.ask_net {
        return Ok(None);
    }
    let before_rounding = case.net.lowest_item(target)?;
    let room = currency(case.ask - case.offer);
    let mut best: Option<CounterPrice> = None;
    for item in case.rounding.candidates(before_rounding, case.offer, case.ask) {
        let accept_probability = currency(case.ask - item) / room;
        let net = case.net.of(item);
        let gain = checked.stay * (net - worth) * accept_probability - checked.reply_cost;
        if gain > best.map_or(0.0, |found| found.gain) {
            best = Some(CounterPrice { item, before_rounding, net: down(net), accept_probability, gain });
        }
    }
    Ok(best)
}

/// `threshold` and `ask` are gains over waiting, as `accepting` is.
fn settle(
    case: &OfferCase,
    accepting: f64,
    threshold: f64,
    counter: Option<CounterPrice>,
    ask: f64,
) -> (Reply, OfferLimit) {
    if ask <= 0.0 && accepting < -NOISE {
        return (Reply::Decline, OfferLimit::AskTooLow);
    }
    if accepting >= threshold - NOISE {
        return (Reply::Accept, OfferLimit::AcceptFrom);
    }
    match counter {
        Some(counter) if counter.gain > accepting => {
            let limit =
                if accepting >= 0.0 { OfferLimit::CounterGainsMore } else { OfferLimit::WorthOfWaiting };
            (Reply::CounterAt(counter.item), limit)
        }
        Some(_) | None if accepting >= -NOISE => (Reply::Accept, OfferLimit::NoBetterPrice),
        Some(_) | None if case.reply_cost > Money::ZERO => (Reply::Decline, OfferLimit::CostOfReplying),
        Some(_) | None => (Reply::Decline, OfferLimit::NoBetterPrice),
    }
}
