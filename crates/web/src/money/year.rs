//! The year: its worksheet by the lines of the form, as a page and as a spreadsheet.

use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse as _, Response};
use books::{TaxTables, YearWorksheet};
use maud::{Markup, html};

use crate::App;
use crate::record_page::checked;

/// Kind of a spreadsheet (published: ISO/IEC 29500, registered with IANA).
const WORKBOOK: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";

pub(super) async fn show(State(app): State<App>, Path(year): Path<i16>) -> Response {
    let found = app.read_shop(move |shop, _| Ok(shop.worksheet(year, &TaxTables::published())?)).await;
    match found {
        Ok(sheet) => checked(&app.page(&format!("The year {year}"), "/books/year", body(&sheet))),
        Err(page) => page,
    }
}

fn body(sheet: &YearWorksheet) -> Markup {
    let deposits = &sheet.deposits;
    html! {
        p.caution { strong { (sheet.notice()) } }
        p { "The lines of the US sole proprietor's form." }
        p.actions {
            a.button href={ "/books/year/" (sheet.year) "/workbook" } { "As a spreadsheet" }
            a.quiet href={ "/books/year/" (i32::from(sheet.year) - 1) } { "The year before" }
            a.quiet href={ "/books/year/" (i32::from(sheet.year) + 1) } { "The year after" }
        }
        div.scroll tabindex="0" role="region" aria-label="Lines of the year" {
            table.narrow {
                thead { tr { th scope="col" { "Line" } th scope="col" { "What" } th.num scope="col" { "Amount" } } }
                tbody {
                    @for row in &sheet.rows {
                        tr { td { (row.form_lines.join(" or ")) } th scope="row" { (row.line) } td.num { (row.amount) } }
                    }
                }
            }
        }
        @if !sheet.questions.is_empty() {
            section.cautions aria-labelledby="preparer" {
                h2 #preparer { "For the preparer" }
                ul { @for question in &sheet.questions { li { (keeping::question(question)) } } }
            }
        }
        details {
            summary { "What cost of goods is made of" }
            p { "Opening stock " (sheet.cost.opening) " + purchases less personal use " (sheet.cost.purchases_net()) " + freight in " (sheet.cost.other) " = available " (sheet.cost.available()) "; less closing stock " (sheet.cost.closing) " = " (sheet.cost.cost_of_goods()) ". Of it broken " (sheet.of_which_broken) ", given away " (sheet.of_which_given_away) "." }
        }
        details {
            summary { "The venue's balance" }
            p { (deposits.opening) " at the start + orders " (deposits.orders) " - refunds " (deposits.refunds) " - fees " (deposits.fees) " - postage " (deposits.postage) " - other " (deposits.other) " - paid out " (deposits.paid_out) " = " (deposits.closing) " at the end." }
            p { "An information return should show " (sheet.form_gross.gross) " in " (sheet.form_gross.transactions) " payments, without sales tax. Sales tax that venues remit: " (sheet.sales_tax_memo) ", on no line." }
            p { "Supplies on hand: " (sheet.supplies_on_hand) ", on no line until they are used." }
        }
        details {
            summary { "Where each line comes from" }
            ul { @for row in &sheet.rows { li { (row.line) ": " (row.source) } } }
        }
        p { a href="/books" { "Books" } }
    }
}

pub(super) async fn workbook(State(app): State<App>, Path(year): Path<i16>) -> Response {
    let today = app.now().day;
    match app.read_shop(move |shop, _| Ok(keeping::year_book(shop, year, today)?)).await {
        Ok(bytes) => file(WORKBOOK, &format!("year-{year}.xlsx"), bytes),
        Err(page) => page,
    }
}

/// Everything in one file.
pub(super) async fn export(State(app): State<App>, Path(format): Path<String>) -> Response {
    if format == "csv" {
        return match app.read_shop(|shop, _| Ok(keeping::tables_zipped(shop)?)).await {
            Ok(bytes) => file("application/zip", "shop-tables.zip", bytes),
            Err(page) => page,
        };
    }
    if format != "json" {
        return crate::refusal::nowhere().await;
    }
    let found = app.read_shop(|shop, _| {
        serde_json::to_vec_pretty(&shop.export_json()?)
            .map_err(|e| crate::shopdoor::NoAnswer::Stop(keeping::Stop::outside(e)))
    });
    match found.await {
        Ok(bytes) => file("application/json", "shop.json", bytes),
        Err(page) => page,
    }
}

fn file(kind: &str, name: &str, bytes: Vec<u8>) -> Response {
    let headers = [
        (header::CONTENT_TYPE, kind.to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
    ];
    (headers, bytes).into_response()
}
