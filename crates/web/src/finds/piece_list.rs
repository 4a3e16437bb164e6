//! The pieces of a find one by one, fifty on a page.

use std::collections::BTreeMap;

use books::FindId;
use maud::{Markup, html};
use shop::{Attachment, Flaw, PieceRow, Record, Shop};

use super::piece_page::whereabouts;
use crate::shopdoor::NoAnswer;

/// Pieces on a page (judgement).
const ON_A_PAGE: usize = 50;
/// Photos of a piece that the list shows.
const SHOWN: usize = 3;

/// The list, from the page that is asked for.
///
/// # Errors
/// When the shop file can't be read.
pub(super) fn pieces_of(
    shop: &Shop,
    find: FindId,
    pieces: &[PieceRow],
    flaws: &[(u64, Flaw)],
    page: usize,
) -> Result<Markup, NoAnswer> {
    let mut photos: BTreeMap<u32, Vec<u64>> = BTreeMap::new();
    for (number, one) in shop.noted::<Attachment>()? {
        if let (Record::Find, Some(piece), true) = (one.record, one.piece, one.number == find.0) {
            photos.entry(piece).or_default().push(number);
        }
    }
    let pages = pieces.len().div_ceil(ON_A_PAGE).max(1);
    let page = page.clamp(1, pages);
    let shown = pieces.iter().skip((page - 1) * ON_A_PAGE).take(ON_A_PAGE);
    Ok(html! {
        div.scroll role="region" aria-label="Pieces one by one" tabindex="0" {
            table.rows.stacks role="table" {
                caption.unseen { "Pieces one by one" }
                thead role="rowgroup" {
                    tr role="row" { @for head in ["Piece", "Where it is", "Flaws", "Photos"] { th role="columnheader" scope="col" { (head) } } }
                }
                tbody role="rowgroup" {
                    @for piece in shown {
                        @let own = flaws.iter().filter(|(_, flaw)| flaw.piece == Some(piece.number));
                        @let own: Vec<String> = own.map(|(_, flaw)| super::shown::flaw_words(flaw)).collect();
                        @let own_photos = photos.get(&piece.number).map_or(&[][..], Vec::as_slice);
                        tr role="row" {
                            th role="rowheader" scope="row" { a.target href={ "/finds/" (find) "/pieces/" (piece.number) } { "Piece " (piece.number) } }
                            td role="cell" data-head="Where it is" { (place(piece)) }
                            td role="cell" data-head="Flaws" {
                                @match (piece.flawed, own.is_empty()) {
                                    (false, true) => "none noted",
                                    (true, true) => "flawed when it came",
                                    (_, false) => (own.join("; ")),
                                }
                            }
                            td role="cell" data-head="Photos" {
                                @if own_photos.is_empty() { "none" }
                                @for photo in own_photos.iter().take(SHOWN) {
                                    a href={ "/papers/" (photo) } { img src={ "/papers/" (photo) "/preview" } alt={ "Photo " (photo) " of piece " (piece.number) } loading="lazy" width="64"; }
                                    " "
                                }
                                @if own_photos.len() > SHOWN { "and " (own_photos.len() - SHOWN) " more" }
                            }
                        }
                    }
                }
            }
        }
        @if pages > 1 {
            nav.pages aria-label="Pages of pieces" {
                @if page > 1 { a.quiet href={ "/finds/" (find) "?pieces=" (page - 1) "#pieces-title" } { "Before" } }
                span { "Page " (page) " of " (pages) }
                @if page < pages { a.quiet href={ "/finds/" (find) "?pieces=" (page + 1) "#pieces-title" } { "Further" } }
            }
        }
        p.hint { "A piece has a page of its own for its flaws and photos. " a href="/help#pieces" { "About pieces" } }
    })
}

fn place(piece: &PieceRow) -> Markup {
    let (words, order) = whereabouts(piece);
    html! { (words) @if let Some(order) = order { " with " a href={ "/orders/" (order) } { "order " (order) } } }
}
