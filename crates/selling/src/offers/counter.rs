//! Accept, counter or decline, when the buyer's value lies anywhere between the offer and the ask.

use std::fmt;

use crate::SellingError;
use crate::cents::{NOISE, down, percent, up};
use crate::figure::Place;

/// Chance that a buyer stays after a counter (judgement).
pub const STAY_PROBABILITY: f64 = 0.7;

/// An offer to answer; amounts in currency, net of fee, postage, materials and labour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CounterCase {
    /// What remains of the offer.
    pub offer: f64,
    /// What remains of the ask, at least the offer.
    pub ask: f64,
    /// What the lot is worth if this buyer leaves.
    pub reservation: f64,
    /// The chance that the buyer is still there after a counter.
    pub stay_probability: f64,
    /// What writing a counter costs (minutes, attention), from 0.
    pub reply_cost: f64,
}

/// What to do with an offer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CounterChoice {
    /// Take it.
    Accept,
    /// Name another price.
    Counter,
    /// Refuse it.
    Decline,
}

/// The best answer and what each would gain over the buyer leaving.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CounterPlan {
    /// The best answer.
    pub choice: CounterChoice,
    /// (ask + reservation) / 2, the best counter; none when it is not above the offer.
    pub best_counter: Option<f64>,
    /// The chance that a buyer who stays takes the best counter.
    pub accept_probability: f64,
    /// What countering gains on average, after the cost of replying; 0 when there is no counter.
    pub gain_of_counter: f64,
    /// What accepting gains, below 0 when waiting is worth more.
    pub gain_of_accepting: f64,
    /// From this net offer up accepting is best: between the reservation value and the ask, or the
    /// reservation value itself when that is above the ask.
    pub threshold: f64,
}

impl fmt::Display for CounterPlan {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let from = up(self.threshold);
        match (self.choice, self.best_counter) {
            (CounterChoice::Accept, _) => {
                write!(
                    f,
                    "Accept: it is {} better than waiting; from {from} net accepting is best.",
                    down(self.gain_of_accepting)
                )
            }
            (CounterChoice::Counter, Some(counter)) => write!(
                f,
                "Counter so that {} remains: a buyer who stays takes it with a chance of {}, on average {} \
                 better than waiting; from {from} net accepting would be best.",
                up(counter),
                percent(self.accept_probability),
                down(self.gain_of_counter)
            ),
            (CounterChoice::Counter | CounterChoice::Decline, _) => {
                write!(f, "Decline: waiting is worth more; from {from} net accepting would be best.")
            }
        }
    }
}

/// The best answer to an offer o against an ask A, when the lot is otherwise worth V and the buyer, whose
/// value is uniform between o and A, stays with chance q after a counter.
///
/// A counter c gains q (c - V)(A - c)/(A - o), best at c = (A + V)/2. Accepting is best from
/// V + (A - V)/2 (1 - sqrt(1 - q)) on; with a cost of replying k, from
/// V + ((D - k) - sqrt((D + k)^2 - q D^2))/2 with D = A - V, but not under V. Declining is best only when
/// countering costs more than it gains. (Derived.)
///
/// # Errors
/// When an amount is past ten million, the offer is above the ask, the chance is not a share or the cost of
/// replying is negative.
///
/// ```
/// use selling::{CounterChoice, CounterCase, plan_counter};
/// let case = CounterCase {
///     offer: 24.99, ask: 40.0, reservation: 20.0, stay_probability: 0.75, reply_cost: 0.0,
/// };
/// let plan = plan_counter(&case)?;
/// assert_eq!((plan.choice, plan.threshold, plan.best_counter), (CounterChoice::Counter, 25.0, Some(30.0)));
/// # Ok::<(), selling::SellingError>(())
/// ```
pub fn plan_counter(case: &CounterCase) -> Result<CounterPlan, SellingError> {
    let place = Place("counter-offer");
    let offer = place.signed_amount("offer", case.offer)?;
    let ask = place.signed_amount("ask", case.ask)?;
    let worth = place.signed_amount("reservation", case.reservation)?;
    let stay = place.share("stay_probability", case.stay_probability)?;
    let reply = place.amount("reply_cost", case.reply_cost)?;
    if offer > ask {
        return Err(place.wrong("offer", offer, format!("at most the ask, {ask}")));
    }
    let threshold = threshold(ask, worth, stay, reply);
    let gain_of_accepting = offer - worth;
    let best = 0.5 * (ask + worth);
    let best_counter = (best > offer && best < ask).then_some(best);
    let accept_probability = best_counter.map_or(0.0, |counter| (ask - counter) / (ask - offer));
    let gain_of_counter =
        best_counter.map_or(0.0, |counter| stay * (counter - worth) * accept_probability - reply);
    let choice = if offer >= threshold - NOISE {
        CounterChoice::Accept
    } else if gain_of_counter > 0.0 {
        CounterChoice::Counter
    } else {
        CounterChoice::Decline
    };
    Ok(CounterPlan {
        choice,
        best_counter,
        accept_probability,
        gain_of_counter,
        gain_of_accepting,
        threshold,
    })
}

/// The lowest net offer from which accepting is best.
fn threshold(ask: f64, worth: f64, stay: f64, reply: f64) -> f64 {
    let room = ask - worth;
    if room <= 0.0 {
        return worth;
    }
    let under_root = ((room + reply) * (room + reply) - stay * room * room).max(0.0);
    worth + (0.5 * (room - reply - under_root.sqrt())).clamp(0.0, room)
}
