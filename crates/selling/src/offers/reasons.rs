//! An answer in plain sentences.

use std::fmt;

use super::{Answer, OfferLimit, Reply};
use crate::cents::{down, percent};

impl Answer {
    /// Why, in plain sentences: the answer first, then the figures it rests on.
    #[must_use]
    pub fn reasons(&self) -> Vec<String> {
        let mut said = vec![self.verdict(), self.why()];
        said.push(format!(
            "Of the offer of {} there remains {}; of the ask of {}, {}.",
            self.offer, self.offer_net, self.ask, self.ask_net
        ));
        said.push(format!(
            "Waiting is worth {}, counted by {}.",
            self.worth_of_waiting, self.waiting.decided_by
        ));
        said.extend(self.waiting.by_offers.iter().map(ToString::to_string));
        said.extend(self.waiting.by_posted.iter().map(ToString::to_string));
        said.push(format!(
            "Under {} waiting is worth more than the offer; from {} accepting is better than countering.",
            self.floor, self.accept_from
        ));
        said.push(format!(
            "If offers are to be declined unread, then those under {}.",
            self.auto_decline_below
        ));
        if let Some(counter) = &self.counter {
            said.push(format!(
                "A counter at {} leaves {}; a buyer who stays takes it with a chance of {}, on average {} \
                 better than waiting.",
                counter.item,
                counter.net,
                percent(counter.accept_probability),
                down(counter.gain)
            ));
        }
        said
    }

    fn verdict(&self) -> String {
        match self.reply {
            Reply::Accept => format!("Accept the offer of {}.", self.offer),
            Reply::CounterAt(price) => format!("Counter at {price}."),
            Reply::Decline => format!("Decline the offer of {}.", self.offer),
        }
    }

    fn why(&self) -> String {
        match self.bound_by {
            OfferLimit::Ask => "It is all that was asked.".to_owned(),
            OfferLimit::AcceptFrom => {
                format!(
                    "It reaches {}, from which a counter would risk more than it gains.",
                    self.accept_from
                )
            }
            OfferLimit::CounterGainsMore => {
                "It is better than waiting, but a counter gains more on average.".to_owned()
            }
            OfferLimit::WorthOfWaiting => {
                "It is less than waiting is worth; a counter may still end in a sale.".to_owned()
            }
            OfferLimit::NoBetterPrice if self.reply == Reply::Accept => {
                "It is better than waiting, and no price between it and the ask gains more.".to_owned()
            }
            OfferLimit::NoBetterPrice => {
                "It is less than waiting is worth, and no price between it and the ask gains anything."
                    .to_owned()
            }
            OfferLimit::CostOfReplying => {
                "It is less than waiting is worth, and a counter would gain less than writing it costs."
                    .to_owned()
            }
            OfferLimit::AskTooLow => {
                "It is less than waiting is worth, and so is the ask: ask for more.".to_owned()
            }
        }
    }
}

impl fmt::Display for Answer {
    /// The sentences of [`Answer::reasons`], one after the other.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.reasons().join(" "))
    }
}
