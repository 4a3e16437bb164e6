//! `lotwright claim`: damage and loss claimed from a carrier or insurer.

use books::OrderId;
use clap::{Args, Subcommand};
use serde_json::json;
use shop::{Claim, ClaimState, Payment, Shop};

use super::door::{Answer, When, Where, day, demo_line, refused};
use super::typed::{PurseWord, money};
use crate::problems::Stop;
use crate::words::{table, wrapped};

/// What is to be handed in with a claim (common practice).
const EVIDENCE: &str = "To hand in: proof of value, photos of the outside, the inside and the piece, and the \
                        packing kept by the buyer.";

/// Options of `claim`.
#[derive(Debug, Args)]
pub struct ClaimArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// What to do; left out, the claims, the nearest deadline first
    #[command(subcommand)]
    what: Option<ClaimCommand>,
}

/// What to do with a claim.
#[derive(Debug, Subcommand)]
enum ClaimCommand {
    /// Open a claim
    Open {
        /// The order
        #[arg(long)]
        order: u64,
        /// What is asked for
        #[arg(long, value_name = "AMOUNT")]
        asked: String,
        /// The last day to hand in evidence
        #[arg(long, value_name = "DAY")]
        deadline: Option<String>,
        /// Its number at the carrier or insurer
        #[arg(long, default_value = "")]
        reference: String,
        /// Anything to remember
        #[arg(long, default_value = "")]
        note: String,
    },
    /// It was paid
    Paid {
        /// The claim
        claim: u64,
        /// How much was paid; left out, all that was asked for
        #[arg(long, value_name = "AMOUNT")]
        amount: Option<String>,
        /// Where the money went
        #[arg(long, value_enum, default_value = "cash")]
        into: PurseWord,
    },
    /// It was refused
    Refused {
        /// The claim
        claim: u64,
    },
}

/// Opens or decides a claim, and shows all.
pub fn claim(args: &ClaimArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let stamp = when.stamp();
    match &args.what {
        None => {}
        Some(ClaimCommand::Open { order, asked, deadline, reference, note }) => {
            let claim = Claim {
                order: OrderId(*order),
                opened_on: when.day,
                deadline: deadline.as_deref().map(|text| day("--deadline", text)).transpose()?,
                asked: money("--asked", asked)?,
                state: ClaimState::Open,
                reference: reference.clone(),
                note: note.clone(),
            };
            shop.order(claim.order).map_err(refused)?;
            shop.note(&stamp, &claim).map_err(refused)?;
        }
        Some(ClaimCommand::Paid { claim, amount, into }) => {
            let before = open(&shop, *claim)?;
            let amount = amount.as_deref().map_or(Ok(before.asked), |text| money("--amount", text))?;
            let paid = Payment { date: when.day, into: into.purse() };
            shop.pay_claim(&stamp, *claim, amount, paid).map_err(refused)?;
        }
        Some(ClaimCommand::Refused { claim }) => {
            let before = open(&shop, *claim)?;
            shop.amend(&stamp, *claim, &Claim { state: ClaimState::Refused, ..before }).map_err(refused)?;
        }
    }
    args.door.written(claims(&shop, &when)?)
}

fn open(shop: &Shop, number: u64) -> Result<Claim, Stop> {
    let claim: Claim = shop.noted_one(number).map_err(refused)?;
    match claim.state {
        ClaimState::Open => Ok(claim),
        ClaimState::Paid | ClaimState::Refused => Err(Stop::Input(format!(
            "claim {number} is decided; right would be an open one, see: lotwright claim"
        ))),
    }
}

fn word(state: ClaimState) -> &'static str {
    match state {
        ClaimState::Open => "open",
        ClaimState::Paid => "paid",
        ClaimState::Refused => "refused",
    }
}

fn claims(shop: &Shop, when: &When) -> Result<Answer, Stop> {
    let mut all = shop.noted::<Claim>().map_err(refused)?;
    all.sort_by_key(|(number, one)| (one.state, one.deadline.is_none(), one.deadline, *number));
    let left = |one: &Claim| match (one.state, one.deadline) {
        (ClaimState::Open, Some(deadline)) => {
            let days = (deadline - when.day).get_days();
            if days < 0 { format!("{deadline}, past") } else { format!("{deadline}, {days} days") }
        }
        (ClaimState::Open, None) => String::from("no deadline noted"),
        (ClaimState::Paid | ClaimState::Refused, _) => String::from("-"),
    };
    let rows: Vec<Vec<String>> = all
        .iter()
        .map(|(number, one)| {
            vec![
                number.to_string(),
                one.order.to_string(),
                one.asked.to_string(),
                word(one.state).to_owned(),
                left(one),
                one.reference.clone(),
            ]
        })
        .collect();
    let mut body = if rows.is_empty() {
        String::from("No claims.")
    } else {
        table(&["claim", "order", "asked", "state", "evidence until", "reference"], &rows)
    };
    if all.iter().any(|(_, one)| one.state == ClaimState::Open) {
        body = format!("{body}\n{}", wrapped("", EVIDENCE));
    }
    let json = all.iter().map(|(number, one)| {
        json!({
            "claim": number, "order": one.order.0, "asked_cents": one.asked.cents(), "state": word(one.state),
            "deadline": one.deadline.map(|day| day.to_string()), "reference": one.reference,
        })
    });
    Ok(Answer { text: format!("{}{body}", demo_line(shop)?), json: json.collect() })
}
