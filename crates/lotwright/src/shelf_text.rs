//! The shelf check for a reader at a terminal: what to do first, then the figures.

use measure::Money;
use trade::{Job, Purchase, Worth};

use crate::split_text;
use crate::words::{amount, table, wrapped};
use crate::worth_text;

/// What to pay, or what can still be said.
pub fn shelf(
    job: &Job,
    worth: &Worth,
    asking: Option<Money>,
    purchase: Option<&Purchase>,
    explain: bool,
) -> String {
    let Some(purchase) = purchase else {
        let mut out = vec![worth_text::worth(job, worth, explain)];
        if worth.appraisal.is_ok() {
            out.insert(0, String::from("Leave it: no lot of it is worth its parcel."));
        }
        return out.join("\n\n");
    };
    let decision = &purchase.decision;
    let mut out = Vec::new();
    match asking {
        Some(_) => {
            let lines: Vec<String> = decision.reasons().iter().map(|line| wrapped("", line)).collect();
            let mut lines = lines.into_iter();
            out.push(lines.next().unwrap_or_default());
            if decision.not_even_free.is_some() && !explain {
                out.push(lines.next().unwrap_or_default());
            }
            if explain {
                out.push(lines.collect::<Vec<_>>().join("\n"));
            } else {
                let at = &decision.at_asking;
                out.push(table(
                    &["", ""],
                    &[
                        vec![
                            String::from("most to pay"),
                            format!("{}  (bound by {})", decision.most_to_pay, decision.bound_by),
                        ],
                        vec![String::from("asked"), decision.asking.to_string()],
                        vec![
                            String::from("expected profit"),
                            format!(
                                "{} after {} an hour for {:.1} h",
                                at.expected_profit, job.wage, at.hours
                            ),
                        ],
                        vec![
                            String::from("an hour earns"),
                            at.net_per_hour.map_or_else(|| String::from("-"), |net| net.to_string()),
                        ],
                        vec![String::from("chance of a loss"), format!("{:.0} %", 100.0 * at.chance_of_loss)],
                        vec![String::from("packed"), packed(job, worth)],
                    ],
                ));
            }
        }
        None => out.push(wrapped(
            "",
            &format!(
                "Pay at most {} (bound by {}); no asking price was told.",
                decision.most_to_pay, decision.bound_by
            ),
        )),
    }
    let rows: Vec<Vec<String>> = purchase
        .kinds
        .iter()
        .map(|kind| {
            vec![
                format!("{} x {}", kind.lots, kind.name),
                amount(kind.median),
                amount(kind.guarded),
                format!("{:.1} %", 100.0 * kind.fee_share),
                amount(kind.cost),
                format!("{:.0} %", 100.0 * kind.chance_sold),
            ]
        })
        .collect();
    out.push(format!(
        "The split it rests on (sold within {:.0} days, else counted as nothing):\n{}",
        purchase.horizon_days,
        table(&["lots", "median", "counted", "fees", "costs", "sold"], &rows)
    ));
    if explain {
        out.push(worth_text::worth(job, worth, true));
        out.push(split_text::split(job, worth, true));
    }
    let cautions: std::collections::BTreeSet<String> = job.finds[worth.find]
        .rows
        .iter()
        .flat_map(|row| &row.form.cautions)
        .map(|caution| wrapped("! ", &caution.full_text()))
        .collect();
    out.extend(cautions);
    out.join("\n\n")
}

/// Weight of all parcels of the split.
fn packed(job: &Job, worth: &Worth) -> String {
    let mut gross = measure::Mass::ZERO;
    let mut parcels = 0;
    for (priced, split) in worth.splits() {
        for listing in &split.listings {
            let size = priced.sizes.iter().find(|size| size.pieces == listing.size);
            if let Some(Ok(shipped)) = size.map(|size| &size.parcels) {
                for _ in 0..listing.lots {
                    gross += shipped.iter().map(|parcel| parcel.gross).sum();
                    parcels += shipped.len();
                }
            }
        }
    }
    format!("{} in {}", gross.write(job.units), crate::words::plural(parcels as u32, "parcel"))
}
