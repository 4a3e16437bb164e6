//! A find as a page, with the forms that change it.

use std::collections::BTreeMap;

use books::FindId;
use jiff::civil::Date;
use keeping::Desk;
use maud::{Markup, html};
use measure::Units;
use shop::{About, Comp, Flaw, Measured, Measurement, PieceRow, Record, Shop, ShopError};

use crate::form::{Choice, Field, Filled, Kind, Mistakes, draw, once_field};
use crate::hauls::history;
use crate::papers_page::papers_of;
use crate::said::count;
use crate::shopdoor::NoAnswer;

/// What was typed into one of the page's forms.
pub(super) struct Form {
    pub filled: Filled,
    pub mistakes: Mistakes,
    pub key: String,
    pub today: Date,
    pub pieces_page: usize,
}

/// Title and body.
pub(super) fn page(
    shop: &mut Shop,
    desk: &Desk,
    find: FindId,
    form: &Form,
) -> Result<(String, Markup), NoAnswer> {
    let text = shop.find_text(find)?;
    let pieces = shop.pieces(find)?;
    let books = shop.books()?;
    let (haul, basis) = (
        books.haul_of(find).map_err(ShopError::from)?.id(),
        books.basis_of(find).map_err(ShopError::from)?.total(),
    );
    let measured = shop.noted_of::<Measurement>(find)?;
    let flaws = shop.noted_of::<Flaw>(find)?;
    let comps = shop.noted_of::<Comp>(find)?;
    let papers = papers_of(shop, About::Record { record: Record::Find, number: find.0 })?;
    let history = history(shop, Record::Find, find.0)?;
    let on_hand = pieces.iter().filter(|piece| piece.fate == "on hand").count();
    let named = desk.forms.find(&text.form).map_or(text.form.clone(), |form| form.name.clone());
    let all = u32::try_from(pieces.len()).unwrap_or(u32::MAX);
    let hand = u32::try_from(on_hand).unwrap_or(u32::MAX);
    let one_by_one = super::piece_list::pieces_of(shop, find, &pieces, &flaws, form.pieces_page)?;
    let body = html! {
        p.verdict { (count(hand, "piece")) " of " (all) " on the shelf" @if !text.shelf.is_empty() { ", " (text.shelf) } }
        p { (named) ", from " a href={ "/hauls/" (haul) } { "haul " (haul) } ", cost " (basis) " for all " (all) "." }
        p.actions {
            a.button href={ "/finds/" (find) "/measure" } { @if measured.is_empty() { "Measure it" } @else { "Measure it anew" } }
            a.quiet href={ "/finds/" (find) "/worth" } { "What it is worth" }
            a.quiet href={ "/finds/" (find) "/split" } { "Lot sizes" }
            a.quiet href={ "/guard?find=" (find) } { "How much cushion" }
            a.quiet href={ "/insure?find=" (find) } { "Worth insuring" }
            a.quiet href={ "/finds/" (find) "/sets" } { "Sets with other finds" }
            a.quiet href={ "/tags?find=" (find) } { "Place tag" }
        }
        (pieces_of(&pieces, &one_by_one))
        section aria-labelledby="measures" {
            h2 #measures { "Measures" }
            @if measured.is_empty() {
                p { "Not measured: plans take the usual measures of the form and say so." }
            } @else {
                table.figures {
                    thead { tr { th scope="col" { "What" } th scope="col" { "Of" } th.num scope="col" { "Figure" } } }
                    tbody { @for (_, one) in &measured { (measure_row(one)) } }
                }
            }
        }
        section aria-labelledby="flaws" {
            h2 #flaws { "Flaws" }
            @if flaws.is_empty() { p { "None noted." } } @else {
                ul { @for (number, one) in &flaws { li { (flaw_line(find, *number, one, &form.key)) } } }
            }
            (flaw_form(find, form))
        }
        section aria-labelledby="comps" {
            h2 #comps { "Comparable sales" }
            @if comps.is_empty() { p { "None yet." } } @else {
                ul { @for (_, one) in &comps { li { (one.date) ": " (one.typed) } } }
            }
            p { a href={ "/finds/" (find) "/worth" } { "Paste comps and see what it is worth" } }
        }
        (papers)
        (about_form(find, &text, &named, desk, form))
        (off_shelf_form(find, form))
        (history)
    };
    Ok((format!("Find {find}: {}", text.description), body))
}

/// Where the pieces are, in runs of numbers.
fn pieces_of(pieces: &[PieceRow], one_by_one: &Markup) -> Markup {
    let mut fates: BTreeMap<String, Vec<u32>> = BTreeMap::new();
    for piece in pieces {
        let flawed = if piece.flawed { ", flawed" } else { "" };
        let fate = match (piece.promised_to, piece.sold_in) {
            (Some(order), _) => format!("promised to order {order}{flawed}"),
            (None, Some(order)) => format!("sold with order {order}{flawed}"),
            (None, None) => format!("{}{flawed}", piece.fate),
        };
        fates.entry(fate).or_default().push(piece.number);
    }
    html! {
        section aria-labelledby="pieces-title" {
            h2 #pieces-title { "Pieces" }
            table.figures {
                thead { tr { th scope="col" { "Where" } th.num scope="col" { "How many" } th scope="col" { "Numbers" } } }
                tbody {
                    @for (fate, numbers) in &fates {
                        tr { th scope="row" { (fate) } td.num { (numbers.len()) } td { (measure::runs(numbers)) } }
                    }
                }
            }
            (one_by_one)
        }
    }
}

fn measure_row(one: &Measurement) -> Markup {
    let figure = match one.figure {
        Measured::Length(length) => length.write(Units::UsCustomary),
        Measured::Mass(mass) => mass.write(Units::UsCustomary),
    };
    html! {
        tr {
            th scope="row" { (one.name.replace('_', " ")) @if one.estimated { " ~" } }
            td { @match one.piece { Some(piece) => { "piece " (piece) } None => "all" } }
            td.num { (figure) }
        }
    }
}

/// A flaw, where it is, and how large.
pub(super) fn flaw_words(one: &Flaw) -> String {
    let size = one.size.map_or_else(String::new, |size| format!(", {}", size.write(Units::UsCustomary)));
    format!("{}{size}", one.words())
}

fn flaw_line(find: FindId, number: u64, one: &Flaw, key: &str) -> Markup {
    html! {
        @if let Some(piece) = one.piece { "Piece " (piece) ": " }
        (flaw_words(one))
        form.strike method="post" action={ "/finds/" (find) "/flaw/" (number) "/strike" } {
            (once_field(&format!("{key}-{number}")))
            button.quiet type="submit" { "Strike out" span.unseen { " flaw " (number) } }
        }
    }
}

fn flaw_form(find: FindId, form: &Form) -> Markup {
    let kinds = Kind::Words { known: super::FLAWS.map(ToOwned::to_owned).to_vec() };
    let fields = [
        Field::needed("kind", "What it is", "Chip, flea bite, hairline, crazing.", kinds),
        Field::optional(
            "piece",
            "Of which piece",
            "Its number; left out, it isn't known which.",
            Kind::Whole,
        ),
        Field::optional("position", "Where", "Inside the rim.", Kind::Words { known: Vec::new() }),
        Field::optional("size", "How large", "1/2 in", Kind::Measure),
    ];
    let open = fields.iter().any(|field| form.mistakes.of(&field.name).is_some());
    html! {
        details open[open] {
            summary { "Note a flaw" }
            form method="post" action={ "/finds/" (find) "/flaw" } novalidate {
                (once_field(&form.key))
                @for (k, field) in fields.iter().enumerate() {
                    (draw(field, &form.filled, &form.mistakes, k + 1 == fields.len()))
                }
                button type="submit" { "Note it" }
            }
        }
    }
}

fn about_form(find: FindId, text: &shop::FindText, named: &str, desk: &Desk, form: &Form) -> Markup {
    let fields = [
        Field::needed("form", "What they are", "", Kind::Words { known: desk.form_names() }),
        Field::needed("called", "In your words", "", Kind::Words { known: Vec::new() }),
        Field::optional("shelf", "Place on the shelf", "", Kind::Words { known: Vec::new() }),
    ];
    let open = fields.iter().any(|field| form.mistakes.of(&field.name).is_some());
    let filled = if open {
        form.filled.clone()
    } else {
        Filled::default()
            .with("form", named)
            .with("called", text.description.as_str())
            .with("shelf", text.shelf.as_str())
    };
    html! {
        details open[open] {
            summary { "Describe it, or put it elsewhere" }
            form method="post" action={ "/finds/" (find) "/about" } novalidate {
                (once_field(&form.key))
                @for (k, field) in fields.iter().enumerate() {
                    (draw(field, &filled, &form.mistakes, k + 1 == fields.len()))
                }
                button type="submit" { "Keep this" }
            }
        }
    }
}

fn off_shelf_form(find: FindId, form: &Form) -> Markup {
    let how = Kind::OneOf(vec![
        Choice::new("broken", "Broke or were lost"),
        Choice::new("given away", "Were given away"),
        Choice::new("for oneself", "I keep them for myself"),
    ]);
    let fields = [
        Field::needed("pieces", "Which pieces", "Their numbers: 3, or 1, 4-6.", Kind::Code),
        Field::needed("how", "What became of them", "", how),
        Field::optional("left-on", "Day", &format!("Left out, today, {}.", form.today), Kind::Code),
        Field::optional("note", "Anything to remember", "", Kind::Words { known: Vec::new() }),
    ];
    let open = fields.iter().any(|field| form.mistakes.of(&field.name).is_some());
    html! {
        details open[open] {
            summary { "Pieces that left the shelf without an order" }
            form method="post" action={ "/finds/" (find) "/off-shelf" } novalidate {
                (once_field(&form.key))
                @for (k, field) in fields.iter().enumerate() {
                    (draw(field, &form.filled, &form.mistakes, k + 1 == fields.len()))
                }
                button type="submit" { "Enter it" }
            }
        }
    }
}
