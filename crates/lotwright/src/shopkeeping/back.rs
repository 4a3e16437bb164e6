//! `lotwright back` and `off-shelf`: pieces that come back, break or go.

use books::{BuyerTax, FindId, LotId, OrderId};
use clap::{Args, ValueEnum};
use serde_json::json;
use shop::{
    Back, CameBack, Claim, ClaimState, ComingBack, FromShelf, Leaving, MoneyMoved, Movement, PieceRef,
};

use super::door::{Answer, Where, day, demo_line, refused, refused_at};
use super::typed::{PurseWord, money, pieces};
use crate::problems::Stop;
use crate::words::{plural, wrapped};

/// Options of `back`.
#[derive(Debug, Args)]
pub struct BackArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// The order
    order: u64,
    /// Pieces on the shelf again ("1:13,14" for pieces 13 and 14 of find 1)
    #[arg(long, value_name = "FIND:PIECES")]
    returned: Vec<String>,
    /// Pieces that broke or were lost on the way
    #[arg(long, value_name = "FIND:PIECES")]
    broken: Vec<String>,
    /// Money given back to the buyer
    #[arg(long, value_name = "AMOUNT")]
    refund: Option<String>,
    /// Sales tax given back with it
    #[arg(long, value_name = "AMOUNT", requires = "refund")]
    tax: Option<String>,
    /// The listing that the refund is for, if for one
    #[arg(long, requires = "refund")]
    listing: Option<u64>,
    /// The find that the refund is for, if for one
    #[arg(long, requires = "refund")]
    find: Option<u64>,
    /// What pays the refund
    #[arg(long, value_enum, default_value = "balance")]
    purse: PurseWord,
    /// Open a claim for so much with it
    #[arg(long, value_name = "AMOUNT")]
    claim: Option<String>,
    /// The last day to hand in evidence for the claim
    #[arg(long, value_name = "DAY", requires = "claim")]
    deadline: Option<String>,
    /// The claim's number at the carrier or insurer
    #[arg(long, default_value = "", requires = "claim")]
    reference: String,
    /// Anything to remember
    #[arg(long, default_value = "")]
    note: String,
}

/// Pieces come back or broke, and money goes back.
pub fn back(args: &BackArgs) -> Result<String, Stop> {
    if args.returned.is_empty() && args.broken.is_empty() && args.refund.is_none() && args.claim.is_none() {
        return Err(Stop::input(
            "back: nothing is told; right would be: --returned 1:13, --broken 1:2, --refund 9.50 or --claim 40",
        ));
    }
    let refs = |option: &str, told: &[String]| -> Result<Vec<PieceRef>, Stop> {
        let mut all = Vec::new();
        for text in told {
            let (find, numbers) = pieces(option, text)?;
            all.extend(numbers.into_iter().map(|number| PieceRef { find, number }));
        }
        Ok(all)
    };
    let returned = refs("--returned", &args.returned)?;
    let broken = refs("--broken", &args.broken)?;
    let amount = args.refund.as_deref().map(|text| money("--refund", text)).transpose()?;
    let (mut shop, when) = args.door.open()?;
    let (order, stamp, date) = (OrderId(args.order), when.stamp(), when.day);
    let standing = shop.order(order).map_err(refused)?;
    let (mut back, mut done) = (Back::default(), Vec::new());
    for (what, pieces, word) in [
        (CameBack::Returned, returned, "on the shelf again"),
        (CameBack::Broken, broken, "broken on the way"),
    ] {
        if pieces.is_empty() {
            continue;
        }
        let count = u32::try_from(pieces.len()).unwrap_or(u32::MAX);
        back.pieces.push(ComingBack { order, date, what, pieces, note: args.note.clone() });
        done.push(format!("{} {word}", plural(count, "piece")));
    }
    if let Some(amount) = amount {
        let told = args.tax.as_deref().map(|text| money("--tax", text)).transpose()?;
        let tax = match (told, standing.tax) {
            (None, _) | (Some(_), BuyerTax::None) => BuyerTax::None,
            (Some(tax), BuyerTax::ByVenue(_)) => BuyerTax::ByVenue(tax),
            (Some(tax), BuyerTax::ByMe(_)) => BuyerTax::ByMe(tax),
        };
        let movement = Movement::Refund {
            order,
            amount,
            tax,
            lot: args.listing.map(LotId),
            find: args.find.map(FindId),
        };
        back.refund = Some(MoneyMoved { date, purse: args.purse.purse(), movement, note: args.note.clone() });
        done.push(format!("{amount} given back"));
    }
    if let Some(asked) = &args.claim {
        let asked = money("--claim", asked)?;
        back.claim = Some(Claim {
            order,
            opened_on: date,
            deadline: args.deadline.as_deref().map(|text| day("--deadline", text)).transpose()?,
            asked,
            state: ClaimState::Open,
            reference: args.reference.clone(),
            note: args.note.clone(),
        });
    }
    // All of it or nothing.
    let entered = shop.bring_back(&stamp, &back).map_err(refused)?;
    if let (Some(number), Some(claim)) = (entered.claim, &back.claim) {
        done.push(format!("claim {number} opened for {}", claim.asked));
    }
    let text =
        format!("{}{}", demo_line(&shop)?, wrapped("", &format!("Order {order}: {}.", done.join(", "))));
    args.door.written(Answer {
        text,
        json: json!({
            "order": order.0, "entered": done, "returns": entered.returns, "refund_entry": entered.refund,
            "claim": entered.claim,
        }),
    })
}

/// Options of `off-shelf`.
#[derive(Debug, Args)]
pub struct OffShelfArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// Which pieces ("2:11,12" for pieces 11 and 12 of find 2)
    #[arg(long, value_name = "FIND:PIECES")]
    pieces: String,
    /// What became of them
    #[arg(long = "as", value_enum)]
    how: LeavingWord,
    /// Anything to remember
    #[arg(long, default_value = "")]
    note: String,
}

/// How pieces leave the shelf.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum LeavingWord {
    /// They broke or were lost
    Broken,
    /// They were given away
    GivenAway,
    /// They were kept for yourself
    Kept,
}

/// Pieces leave the shelf without being sold.
pub fn off_shelf(args: &OffShelfArgs) -> Result<String, Stop> {
    let (find, list) = pieces("--pieces", &args.pieces)?;
    let (mut shop, when) = args.door.open()?;
    let (how, word) = match args.how {
        LeavingWord::Broken => (Leaving::Broken, "broken"),
        LeavingWord::GivenAway => (Leaving::GivenAway, "given away"),
        LeavingWord::Kept => (Leaving::ForOneself, "kept for yourself"),
    };
    let left = FromShelf { find, pieces: list.clone(), date: when.day, how, note: args.note.clone() };
    let entry = shop.leave_shelf(&when.stamp(), &left).map_err(refused_at("--pieces"))?;
    let what = shop.find_text(find).map_err(refused)?.description;
    let text = format!(
        "{}{}",
        demo_line(&shop)?,
        wrapped(
            "",
            &format!("{what}: piece {} of find {find} {word} (entry {entry}).", measure::runs(&list)),
        )
    );
    args.door
        .written(Answer { text, json: json!({ "entry": entry, "find": find.0, "pieces": list, "as": word }) })
}
