//! `lotwright year`: the worksheet of a year.

use books::{TaxTables, YearWorksheet};
use clap::Args;
use keeping::question;
use measure::Money;
use serde_json::{Value, json};
use shop::Shop;

use super::door::{Answer, Where, demo_line, refused};
use crate::problems::Stop;
use crate::words::{plural, table, wrapped};

/// Options of `year`.
#[derive(Debug, Args)]
pub struct YearArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// The year; left out, this one
    #[arg(value_parser = clap::value_parser!(i16).range(1900..=9998))]
    year: Option<i16>,
}

/// The worksheet of a year.
pub fn year(args: &YearArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let sheet = worksheet(&mut shop, args.year.unwrap_or(when.day.year()))?;
    let flow =
        keeping::flow_words(&shop)?.map_or_else(String::new, |words| format!("\n{}", wrapped("", &words)));
    let text = format!("{}{}{flow}", demo_line(&shop)?, in_words(&sheet));
    args.door.written(Answer { text, json: as_json(&sheet) })
}

/// Makes the worksheet.
pub fn worksheet(shop: &mut Shop, year: i16) -> Result<YearWorksheet, Stop> {
    shop.worksheet(year, &TaxTables::published()).map_err(refused)
}

fn in_words(sheet: &YearWorksheet) -> String {
    let rows: Vec<Vec<String>> = sheet
        .rows
        .iter()
        .map(|row| vec![row.form_lines.join(" or "), row.amount.to_string(), row.line.to_string()])
        .collect();
    let deposits = &sheet.deposits;
    let mut out = vec![
        wrapped(
            "",
            &format!("{}: the lines of the US sole proprietor's form. {}", sheet.year, sheet.notice()),
        ),
        table(&["line", "amount", "what"], &rows),
        wrapped(
            "",
            &format!(
                "In cost of goods: broken {}, given away {}. Supplies on hand {}, on no line until they are used. Sales \
                 tax that venues remit {}, on no line.",
                sheet.of_which_broken,
                sheet.of_which_given_away,
                sheet.supplies_on_hand,
                sheet.sales_tax_memo
            ),
        ),
        wrapped(
            "",
            &format!(
                "Venue's balance: {} at the start + orders {} - refunds {} - fees {} - postage {} - other {} - paid \
                 out {} = {} at the end.",
                deposits.opening,
                deposits.orders,
                deposits.refunds,
                deposits.fees,
                deposits.postage,
                deposits.other,
                deposits.paid_out,
                deposits.closing
            ),
        ),
        wrapped(
            "",
            &format!(
                "An information return should show {} in {}, without sales tax.",
                sheet.form_gross.gross,
                plural(sheet.form_gross.transactions, "payment")
            ),
        ),
    ];
    if !sheet.questions.is_empty() {
        out.push(String::from("For the preparer:"));
        out.extend(sheet.questions.iter().map(|one| wrapped("  ? ", &question(one))));
    }
    out.join("\n")
}

fn as_json(sheet: &YearWorksheet) -> Value {
    let d = &sheet.deposits;
    json!({
        "year": sheet.year, "notice": sheet.notice(),
        "lines": sheet.rows.iter().map(|row| json!({
            "what": row.line.name(), "form_lines": row.form_lines, "amount_cents": row.amount.cents(),
            "source": row.source,
        })).collect::<Vec<_>>(),
        "broken_cents": sheet.of_which_broken.cents(), "given_away_cents": sheet.of_which_given_away.cents(),
        "supplies_on_hand_cents": sheet.supplies_on_hand.cents(), "sales_tax_memo_cents": sheet.sales_tax_memo.cents(),
        "balance": {
            "opening_cents": d.opening.cents(), "orders_cents": d.orders.cents(), "refunds_cents": d.refunds.cents(),
            "fees_cents": d.fees.cents(), "postage_cents": d.postage.cents(), "other_cents": d.other.cents(),
            "paid_out_cents": d.paid_out.cents(), "closing_cents": d.closing.cents(),
        },
        "information_return_cents": Money::cents(sheet.form_gross.gross), "payments": sheet.form_gross.transactions,
        "questions": sheet.questions.iter().map(question).collect::<Vec<_>>(),
    })
}
