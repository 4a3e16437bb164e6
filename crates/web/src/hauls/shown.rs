//! A haul as a page.

use std::collections::BTreeMap;

use books::{HaulId, SplitRule};
use maud::{Markup, html};
use shop::{About, Record, Shop, ShopError};

use super::pieces_for;
use crate::papers_page::papers_of;
use crate::shopdoor::NoAnswer;

/// Everything about a haul.
pub(super) fn page(shop: &mut Shop, number: HaulId) -> Result<Markup, NoAnswer> {
    let books = shop.books()?;
    let haul = books.haul(number).map_err(ShopError::from)?.clone();
    let frozen = books.is_frozen(number);
    let record = haul.record();
    let pieces = haul.finds().iter().map(books::FindBasis::pieces).sum();
    let entered = shop.haul_entered(number)?;
    let like = shop.hauls_like(number)?;
    let mut finds = Vec::new();
    for basis in haul.finds() {
        let id = basis.find().id;
        let mut fates: BTreeMap<String, u32> = BTreeMap::new();
        for piece in shop.pieces(id)? {
            let fate = if piece.promised_to.is_some() { "promised".to_owned() } else { piece.fate };
            *fates.entry(fate).or_default() += 1;
        }
        let fates: Vec<String> = fates.iter().map(|(fate, count)| format!("{count} {fate}")).collect();
        finds.push((basis, shop.find_text(id)?, fates.join(", ")));
    }
    let papers = papers_of(shop, About::Record { record: Record::Haul, number: number.0 })?;
    let history = history(shop, Record::Haul, number.0)?;
    Ok(html! {
        p.verdict { (pieces_for(pieces, haul.cost())) " at " (record.place) }
        @if !like.is_empty() {
            p.caution {
                @for (k, other) in like.iter().enumerate() { @if k > 0 { ", " } a href={ "/hauls/" (other) } { "haul " (other) } }
                @if like.len() == 1 { " has" } @else { " have" }
                " the same day, place and money. Entered twice, a haul counts twice; entered anew, one of them becomes another."
            }
        }
        dl.words {
            div { dt { "Day" } dd { (record.date) } }
            div {
                dt { "Paid" }
                dd {
                    (record.paid)
                    @match entered.tax { Some(tax) => { ", tax " (tax) } None => { ", exempt of tax" } }
                    @if entered.freight > measure::Money::ZERO { ", freight " (entered.freight) }
                }
            }
            @if entered.miles_hundredths > 0 {
                div { dt { "Driven" } dd { (f64::from(entered.miles_hundredths) / 100.0) " miles" } }
            }
            @if !entered.note.is_empty() { div { dt { "Note" } dd { (entered.note) } } }
        }
        section aria-labelledby="finds" {
            h2 #finds { "Finds" }
            div.scroll tabindex="0" role="region" aria-label="Finds of this haul" {
                table.stacks role="table" {
                    thead role="rowgroup" {
                        tr role="row" {
                            th role="columnheader" scope="col" { "Find" }
                            @for head in ["Pieces", "Cost"] { th.num role="columnheader" scope="col" { (head) } }
                            @for head in ["Shelf", "Where they are"] { th role="columnheader" scope="col" { (head) } }
                        }
                    }
                    tbody role="rowgroup" {
                        @for (basis, text, fates) in &finds {
                            tr role="row" {
                                th role="rowheader" scope="row" { a.target href={ "/finds/" (basis.find().id) } { (text.description) } }
                                td.num role="cell" data-head="Pieces" { (basis.pieces()) }
                                td.num role="cell" data-head="Cost" { (basis.total()) }
                                td role="cell" data-head="Shelf" { (text.shelf) }
                                td role="cell" data-head="Now" { (fates) }
                            }
                        }
                    }
                }
            }
            details {
                summary { "How the cost is split" }
                p {
                    @match record.split {
                        SplitRule::ByValue => "By what each find was expected to sell for, to the cent (largest remainder); within a find over its pieces in turn. "
                        SplitRule::PerPiece => "Equally per piece, to the cent, since no find was given a value. "
                    }
                    "The cost is what was paid with tax and freight. It stands once a piece has left the shelf."
                }
            }
        }
        p.actions {
            a.button href={ "/tags?haul=" (number) } { "Place tags" }
            @if !frozen { a.quiet href={ "/hauls/" (number) "/anew" } { "Enter it anew" } }
        }
        @if frozen {
            p { "A piece has left the shelf, so the cost stands; a difference is entered as an adjustment in the books." }
        }
        (papers)
        (history)
    })
}

/// What was entered of a record, and what corrected it.
pub(crate) fn history(shop: &Shop, record: Record, number: u64) -> Result<Markup, NoAnswer> {
    let rows = shop.history(record, number)?;
    Ok(html! {
        details {
            summary { "History" }
            ol {
                @for row in &rows {
                    li {
                        (row.at) ": " (row.kind.replace('_', " "))
                        @if let Some(before) = row.corrects { ", corrects entry " (before.0) }
                    }
                }
            }
        }
    })
}
