//! `lotwright worth`, `split`, `offer` and `shelf`.

use measure::Money;
use trade::{Cost, Job, Library, Offer, Worth};

use crate::args::{OfferArgs, ShelfArgs, SplitArgs, WorthArgs};
use crate::asked::{Asked, FindArgs, asked};
use crate::cover::chance;
use crate::problems::Stop;
use crate::shopkeeping::{Where, keep_split, keep_worked_sets};
use crate::split_text;
use crate::words::{amount, plural, table, wrapped};
use crate::worth_report;
use crate::worth_text;

/// Offers and stock are reckoned with this many days unless told (judgement).
const DAYS_LEFT: f64 = 90.0;

/// The finds that are asked about, worked out.
fn worths(asked: &Asked, library: &Library) -> Result<Vec<Worth>, Stop> {
    let finds: Vec<usize> =
        asked.find.map_or_else(|| (0..asked.job.finds.len()).collect(), |find| vec![find]);
    finds
        .into_iter()
        .map(|find| trade::appraise(&asked.job, library, find, &|_| {}).map_err(Stop::input))
        .collect()
}

/// What stands above every answer: the find, and what nobody told.
fn head(asked: &Asked, worth: &Worth) -> String {
    let find = &asked.job.finds[worth.find];
    let rows: Vec<String> = find
        .rows
        .iter()
        .map(|row| {
            let flawed = if row.flawed > 0 { format!(" ({} flawed)", row.flawed) } else { String::new() };
            format!("{}{flawed}", plural(row.count, &row.what))
        })
        .collect();
    let title = wrapped("", &format!("{}: {}", find.name, rows.join(", ")));
    let mut out = format!("{title}\n{}", "=".repeat(find.name.chars().count().min(78)));
    if !asked.usual.is_empty() {
        out.push('\n');
        out.push_str(&wrapped(
            "~ ",
            &format!(
                "Not told, taken as usual: {}; sold at {}, {}.",
                asked.usual.join("; "),
                asked.job.market.venue.name,
                fees(&asked.job)
            ),
        ));
    }
    if let (Some(lead), false) = (asked.set.first(), find.comps.is_empty()) {
        let lead = lead.find;
        let said = format!(
            "The comps of find {lead} are taken to count sets; one of single pieces doesn't belong there."
        );
        out.push('\n');
        out.push_str(&wrapped("~ ", &said));
    }
    let guessed = crate::text::not_measured(find);
    if !guessed.is_empty() {
        out.push('\n');
        out.push_str(&wrapped("~ ", &guessed));
    }
    out
}

fn fees(job: &Job) -> String {
    let venue = &job.market.venue;
    format!("fee {} of the price and {} an order", venue.fee_on_item, venue.fixed_fee)
}

fn answer(
    args: &FindArgs,
    asked: &Asked,
    worths: &[Worth],
    text: impl Fn(&Worth) -> Result<String, Stop>,
) -> Result<String, Stop> {
    if args.json {
        let report: Vec<worth_report::FindWorth> =
            worths.iter().map(|worth| worth_report::find_worth(&asked.job, worth)).collect();
        return worth_report::written(&report);
    }
    let parts: Result<Vec<String>, Stop> =
        worths.iter().map(|worth| Ok(format!("{}\n\n{}\n", head(asked, worth), text(worth)?))).collect();
    Ok(parts?.join("\n"))
}

/// `lotwright worth`.
pub fn worth(args: &WorthArgs) -> Result<String, Stop> {
    let library = Library::published();
    let asked = asked(&args.find, &library)?;
    let worths = worths(&asked, &library)?;
    if let Some(path) = &args.svg {
        crate::charts::write(path, &asked.job, &worths)?;
    }
    answer(&args.find, &asked, &worths, |worth| Ok(worth_text::worth(&asked.job, worth, args.find.explain)))
}

/// `lotwright split`.
pub fn split(told: &SplitArgs) -> Result<String, Stop> {
    let args = &told.asked;
    let library = Library::published();
    let asked = asked(&args.find, &library)?;
    let worths = worths(&asked, &library)?;
    if let Some(path) = &args.svg {
        crate::charts::write(path, &asked.job, &worths)?;
    }
    let text = answer(&args.find, &asked, &worths, |worth| {
        let mut out = split_text::split(&asked.job, worth, args.find.explain);
        if worth.appraisal.is_err() {
            out = format!("{}\n\n{out}", worth_text::worth(&asked.job, worth, args.find.explain));
        }
        Ok(out)
    })?;
    let Some(find) = told.keep else { return Ok(text) };
    let [worth] = worths.as_slice() else {
        return Err(Stop::input(
            "--keep: several finds are asked about; right would be one, or one sheet for each",
        ));
    };
    let Some(split) = &worth.split else {
        return Err(Stop::input(
            "--keep: without comps there is no split to keep; right would be some comps",
        ));
    };
    let best = &split.plan.of_sets;
    let lots: Vec<u32> = best
        .parts()
        .into_iter()
        .rev()
        .flat_map(|(size, count)| std::iter::repeat_n(size, usize::try_from(count).unwrap_or(0)))
        .collect();
    let spare = split.spare.as_ref().filter(|spare| spare.pays()).map_or(0, |_| asked.job.market.spare);
    let door = Where { shop: args.find.shop.clone(), demo: args.find.demo, ..Where::default() };
    let kept = match asked.set.first() {
        None => keep_split(&door, find, lots, spare, "as worked out")?,
        Some(lead) if lead.find.0 != find => {
            return Err(Stop::Input(format!(
                "--keep {find}: sets are kept with their leading find; right would be --keep {}",
                lead.find
            )));
        }
        Some(_) => keep_worked_sets(&door, &asked.set, lots, spare, "As worked out.")?,
    };
    Ok(if args.find.json { text } else { format!("{text}\n{kept}") })
}

/// `lotwright offer`.
pub fn offer(args: &OfferArgs) -> Result<String, Stop> {
    let library = Library::published();
    let money = |option: &str, text: &str| {
        let amount = Money::read(text).map_err(|e| Stop::Input(format!("{option}: {e}")))?;
        if amount < Money::ZERO {
            return Err(Stop::Input(format!(
                "{option}: {amount} is below zero; right would be 0.00 or more"
            )));
        }
        Ok(amount)
    };
    let offer = Offer {
        amount: money("--amount", &args.amount)?,
        ask: args.ask.as_deref().map(|text| money("--ask", text)).transpose()?,
        pool: 0,
        size: args.size,
        lots: args.lots,
        lots_left: args.left,
        days_left: args.days.unwrap_or(DAYS_LEFT),
        stay: args.stay.as_deref().map(|text| chance("--stay", text)).transpose()?,
        reply_cost: args.reply_cost.as_deref().map_or(Ok(Money::ZERO), |text| money("--reply-cost", text))?,
    };
    if !(0.0..=36_500.0).contains(&offer.days_left) {
        return Err(Stop::input("--days: days left must lie between 0 and 36500; right would be: --days 60"));
    }
    if offer.lots_left.is_some_and(|left| left < offer.lots) {
        return Err(Stop::Input(format!(
            "--left: {} lots are left, but {} are wanted; right would be at least {}",
            offer.lots_left.unwrap_or(0),
            offer.lots,
            offer.lots
        )));
    }
    let asked = asked(&args.find, &library)?;
    if asked.find.is_none() && asked.job.finds.len() > 1 {
        let names: Vec<&str> = asked.job.finds.iter().map(|find| find.name.as_str()).collect();
        return Err(Stop::Input(format!(
            "--find is missing: the sheet has several finds; right would be one of: {}",
            names.join(", ")
        )));
    }
    let worths = worths(&asked, &library)?;
    let worth = worths.first().ok_or_else(|| Stop::input("the sheet has no find"))?;
    let answered = trade::answer(&asked.job, worth, &offer).map_err(Stop::input)?;
    if args.find.json {
        return worth_report::written(&worth_report::offer_answer(&answered));
    }
    let answer = &answered.answer;
    let lot = worth.pools.first().map_or_else(String::new, |sets| sets.pool.counted(answered.size));
    let mut out = vec![
        head(&asked, worth),
        wrapped(
            "",
            &format!(
                "{} offered for {} of {lot}, asked {}; {} left, {:.0} days to sell them.",
                answer.offer,
                plural(answered.lots, "lot"),
                answer.ask,
                answered.lots_left,
                offer.days_left
            ),
        ),
    ];
    let reasons: Vec<String> = answer.reasons().iter().map(|reason| wrapped("  ", reason)).collect();
    out.push(reasons.join("\n"));
    if args.find.explain {
        let rows = vec![
            vec![String::from("offer"), answer.offer.to_string(), String::from("price for the lots wanted")],
            vec![
                String::from("what it leaves"),
                answer.offer_net.to_string(),
                format!(
                    "price x {:.4} less {} of postage, materials, fixed fee and work",
                    1.0 - answered.fee_share,
                    amount(answered.costs)
                ),
            ],
            vec![
                String::from("what the ask leaves"),
                answer.ask_net.to_string(),
                String::from("the same of the ask"),
            ],
            vec![
                String::from("worth of waiting"),
                answer.worth_of_waiting.to_string(),
                format!(
                    "median {} delivered, {:.4} orders a day at it, falling with the {:.1}th power",
                    amount(answered.median),
                    answered.rate,
                    worth.pace.rate.ask_exponent()
                ),
            ],
        ];
        out.push(table(&["", "amount", "from"], &rows));
    }
    Ok(out.join("\n\n") + "\n")
}

/// `lotwright shelf`.
pub fn shelf(args: &ShelfArgs) -> Result<String, Stop> {
    let library = Library::published();
    let asked = asked(&args.find, &library)?;
    let worths = worths(&asked, &library)?;
    let mut purchases = Vec::new();
    for worth in &worths {
        let asking = match asked.job.finds[worth.find].cost {
            Cost::Asked(asking) | Cost::Paid(asking) => Some(asking),
            Cost::Unknown => None,
        };
        let purchase =
            trade::purchase(&asked.job, worth, asking.unwrap_or(Money::ZERO)).map_err(Stop::input)?;
        purchases.push((asking, purchase));
    }
    if args.find.json {
        let report: Vec<worth_report::ShelfAnswer> = worths
            .iter()
            .zip(&purchases)
            .map(|(worth, (asking, purchase))| {
                worth_report::shelf_answer(&asked.job, worth, *asking, purchase.as_ref())
            })
            .collect();
        return worth_report::written(&report);
    }
    let parts: Vec<String> = worths
        .iter()
        .zip(&purchases)
        .map(|(worth, (asking, purchase))| {
            format!(
                "{}\n\n{}\n",
                head(&asked, worth),
                crate::shelf_text::shelf(&asked.job, worth, *asking, purchase.as_ref(), args.find.explain)
            )
        })
        .collect();
    Ok(parts.join("\n"))
}
