//! The ways to split pieces or sets into lots: which is best, why, and how the others compare.

use maud::{Markup, html};
use selling::Split;
use trade::{FindSplit, Job, Worth};

use super::split_tables::{ledger, plans};
use super::{chart, scrolled};
use crate::said::count;

/// The best lots in a sentence.
pub(super) fn best_in_words(best: &Split) -> String {
    if best.listings.is_empty() {
        return String::from("No lot of it pays for its parcel.");
    }
    format!("Best: {}.", lots_of(best))
}

/// The lots of a split: "2 lots of 4 and 1 lot of 3".
pub(super) fn lots_of(split: &Split) -> String {
    let lots = split.listings.iter().map(|one| format!("{} of {}", count(one.lots, "lot"), one.size));
    lots.collect::<Vec<_>>().join(" and ")
}

/// Why the best is best, for these reasons, with all ways as bars and as a table, and what the best comes to.
/// `at` is the address of the page that takes a way, `said` what is told beside it, as its end.
pub(super) fn ways(
    job: &Job,
    worth: &Worth,
    split: &FindSplit,
    at: &str,
    said: &str,
    reasons: &[String],
) -> Markup {
    let Some(bars) = keeping::split_bars(job, worth) else { return html! {} };
    html! {
        section aria-labelledby="why" {
            h2.unseen #why { "Why" }
            ul { @for line in reasons { li { (line) } } }
        }
        (chart(&draw::split_bars_svg(&bars), "splits", "Each way to split it: profit, what an hour of work earns, hours."))
        details open {
            summary { "The same as a table" }
            (scrolled("Ways to split it", &plans(worth, &bars, at, said)))
        }
        (ledger(job, worth, split))
    }
}
