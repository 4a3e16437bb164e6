//! The pages of a table as markup.

use keeping::{Column, DateOrder, IntakeOf, Looked, guessed};
use maud::{Markup, html};
use shop::{ImportContent, ImportItem};

use super::held::{Held, Outcome};
use crate::form::{Choice, Field, Filled, Kind, Mistakes, draw, once_field};

/// Rejected rows on one page.
const LEFT_OUT_SHOWN: usize = 100;
/// What would be stored, the first of it.
const READY_SHOWN: usize = 10;

fn count(count: usize, word: &str) -> String {
    measure::counted(u32::try_from(count).unwrap_or(u32::MAX), word)
}

fn dates_field() -> Field {
    let choices = vec![
        Choice::new("", "as 2026-03-07"),
        Choice::new(DateOrder::MonthFirst.word(), "month first: 03/07/2026 is the 7th of March"),
        Choice::new(DateOrder::DayFirst.word(), "day first: 03/07/2026 is the 3rd of July"),
    ];
    Field::needed("dates", "How days are written", "", Kind::OneOf(choices))
}

/// Where a column is chosen.
pub(super) fn column_field(column: &str) -> String {
    format!("column-{column}")
}

/// The page that a table is sent from.
pub(super) fn sending(filled: &Filled, mistakes: &Mistakes) -> Markup {
    let words = |of: IntakeOf| match of {
        IntakeOf::Orders => "orders: a row for each line of an order",
        IntakeOf::Hauls => "hauls: a row for each find",
        IntakeOf::Expenses => "expenses paid in cash",
        IntakeOf::Trips => "business trips",
        IntakeOf::Supplies => "supplies bought in cash",
        IntakeOf::Comps => "comps",
        IntakeOf::Places => "places to buy",
    };
    let kinds = IntakeOf::ALL.map(|of| Choice::new(of.word(), words(of)));
    let fields = [
        Field::needed("rows", "What its rows are", "", Kind::OneOf(kinds.to_vec())),
        dates_field(),
        Field::optional(
            "source",
            "Where it comes from",
            "Its columns are remembered under this name, and a row of it is stored once. Left out, the file's name.",
            Kind::Words { known: Vec::new() },
        ),
        Field::optional(
            "page",
            "Page of a spreadsheet",
            "Left out, the first.",
            Kind::Words { known: Vec::new() },
        ),
    ];
    let pasted = Field::optional(
        "table",
        "Or paste it here",
        "Cells copied from a spreadsheet, or lines of CSV; the first line names the columns.",
        Kind::Lines { rows: 8, sheet: true },
    );
    let wrong = mistakes.of("file");
    html! {
        p { "A table is looked at first: you see what would be stored, and every row that would not, with the reason. Nothing is stored before you say so." }
        form method="post" action="/read" enctype="multipart/form-data" novalidate {
            @for field in &fields { (draw(field, filled, mistakes, false)) }
            div.field.wrong[wrong.is_some()] {
                label for="file" { "File" span.optional { " (optional)" } }
                p.hint #file-hint { "CSV, .xlsx, .xls or .ods, up to 20 MB." }
                @if let Some(message) = wrong {
                    p.mistake #file-mistake { span.unseen { "Error: " } (message) }
                }
                input type="file" id="file" name="file" accept=".csv,.tsv,.txt,.xlsx,.xls,.xlsb,.ods"
                    aria-describedby=(if wrong.is_some() { "file-hint file-mistake" } else { "file-hint" })
                    aria-invalid=[wrong.is_some().then_some("true")];
            }
            (draw(&pasted, filled, mistakes, true))
            div.actions { button type="submit" { "Look at it" } }
        }
        h2 { "Columns that are read" }
        p { "Under any name: which is which is asked next." }
        @for of in IntakeOf::ALL {
            details {
                summary { (of.word()) }
                dl.words {
                    @for column in of.columns() {
                        div { dt { (column.name) @if !column.needed { span.optional { " (optional)" } } } dd { (column.says) } }
                    }
                }
            }
        }
    }
}

/// The page of a table that was sent.
pub(super) fn preview(key: &str, held: &Held, from: usize, once: &str, mistakes: &Mistakes) -> Markup {
    html! {
        p { "From " strong { (held.source) } ": " (count(held.cells.rows().len(), "row")) "." }
        @match &held.outcome {
            Outcome::Ready(found) => (ready(key, held, found, from, once)),
            Outcome::Stored(stored, left_out) => (stored_words(held, *stored, *left_out)),
            Outcome::Unclear(..) | Outcome::ToLook => { p.verdict { "Say first which column is which." } },
        }
        @if !matches!(held.outcome, Outcome::Stored(..)) { (columns(key, held, mistakes)) }
    }
}

fn thing(of: IntakeOf) -> &'static str {
    of.grouped().unwrap_or("row")
}

fn stored_words(held: &Held, stored: usize, left_out: usize) -> Markup {
    html! {
        p.verdict data-said { "Stored " (count(stored, thing(held.of))) "." }
        @if left_out > 0 {
            p { (count(left_out, "row")) " left out. Mend them in the table and send it again: what is stored stays as it is." }
        }
        p { a href="/read" { "Read another table" } }
    }
}

fn ready(key: &str, held: &Held, found: &Looked, from: usize, once: &str) -> Markup {
    let things = found.staged.ready();
    html! {
        p.verdict {
            @if things.is_empty() { "Nothing to store." }
            @else { (count(things.len(), thing(held.of))) " can be stored." }
        }
        p {
            (count(found.ready, "row")) " ready, " (found.known) " stored before, "
            (found.left_out.len()) " left out. Nothing is stored yet."
        }
        @for note in &found.notes { p { (note) } }
        @if !things.is_empty() {
            form method="post" action={ "/read/" (key) "/store" } {
                (once_field(once))
                input type="hidden" name="shown" value=(held.shown);
                div.actions { button type="submit" { "Store " (count(things.len(), thing(held.of))) } }
            }
        }
        @if !found.left_out.is_empty() { (left_out(key, found, from)) }
        @if !things.is_empty() {
            details open[found.left_out.is_empty()] {
                summary { "What would be stored" }
                div.scroll role="region" aria-label="What would be stored" tabindex="0" {
                    table {
                        caption { "The first " (things.len().min(READY_SHOWN)) " of " (things.len()) }
                        thead { tr { th scope="col" { "Lines" } th scope="col" { "Day" } th scope="col" { "What" } th.num scope="col" { "Amount" } } }
                        tbody { @for item in things.iter().take(READY_SHOWN) { (row(item)) } }
                    }
                }
            }
        }
    }
}

fn left_out(key: &str, found: &Looked, from: usize) -> Markup {
    let all = found.left_out.len();
    let from = from.min(all.saturating_sub(1)) / LEFT_OUT_SHOWN * LEFT_OUT_SHOWN;
    let to = from.saturating_add(LEFT_OUT_SHOWN).min(all);
    let link = |from: usize| format!("/read/{key}?from={from}");
    html! {
        h2 #left-out { "Left out" }
        table {
            caption { "Rows " (from + 1) " to " (to) " of " (all) " that would not be stored" }
            thead { tr { th scope="col" { "Line" } th scope="col" { "Why" } } }
            tbody {
                @for row in found.left_out.iter().skip(from).take(LEFT_OUT_SHOWN) {
                    tr { th scope="row" { (row.line) } td { (row.reason) } }
                }
            }
        }
        @if all > LEFT_OUT_SHOWN {
            p.actions {
                @if from > 0 { a href=(link(from - LEFT_OUT_SHOWN)) { "The ones before" } }
                @if to < all { a href=(link(to)) { "The next ones" } }
            }
        }
    }
}

/// What became of an order, where it is not what becomes of most: paid and to be packed.
const fn became(paid: bool, sent: bool) -> &'static str {
    match (paid, sent) {
        (_, true) => ", sent",
        (true, false) => "",
        (false, false) => ", not paid",
    }
}

fn row(item: &ImportItem) -> Markup {
    let lines = match item.lines[..] {
        [] => String::new(),
        [one] => one.to_string(),
        [first, .., last] => format!("{first} to {last}"),
    };
    let (day, what, amount) = match &item.content {
        ImportContent::Place(place) => (None, place.name.clone(), None),
        ImportContent::Comp(comp) => (Some(comp.date), format!("find {}: {}", comp.find.0, comp.typed), None),
        ImportContent::Money(moved) => {
            (Some(moved.date), moved_words(&moved.movement, &moved.note), moved_amount(&moved.movement))
        }
        ImportContent::Order(told) => {
            let order = &told.order;
            let paid = order.lines.iter().map(|line| line.item).sum::<measure::Money>() + order.shipping;
            let lots: usize = order.lines.iter().map(|line| usize::try_from(line.lots).unwrap_or(0)).sum();
            (
                Some(order.ordered_on),
                format!(
                    "{}, {}, to {}{}",
                    item.external,
                    count(lots, "lot"),
                    order.destination,
                    became(order.paid.is_some(), told.sent.is_some())
                ),
                Some(paid),
            )
        }
        ImportContent::Haul(haul, place) => (
            Some(haul.date),
            format!("{}, {place}, {}", item.external, count(haul.finds.len(), "find")),
            Some(haul.paid),
        ),
    };
    html! {
        tr {
            th scope="row" { (lines) }
            td { @if let Some(day) = day { (day) } }
            td { (what) }
            td.num { @if let Some(amount) = amount { (amount) } }
        }
    }
}

fn moved_words(movement: &shop::Movement, note: &str) -> String {
    match movement {
        shop::Movement::Trip { hundredths, purpose, .. } => {
            format!("{:.2} miles, {purpose}", f64::from(*hundredths) / 100.0)
        }
        shop::Movement::SuppliesBought { supply, quantity, .. } => {
            format!("{} of supply {}", quantity.in_units(), supply.0)
        }
        // The other movements don't come from tables.
        _ => note.to_owned(),
    }
}

fn moved_amount(movement: &shop::Movement) -> Option<measure::Money> {
    match movement {
        shop::Movement::Expense { amount, .. } => Some(*amount),
        shop::Movement::SuppliesBought { cost, .. } => Some(*cost),
        // The other movements don't come from tables, or move no money.
        _ => None,
    }
}

fn columns(key: &str, held: &Held, mistakes: &Mistakes) -> Markup {
    let known = guessed(&held.cells, held.of);
    let names = held.cells.names().iter().enumerate();
    let options: Vec<Choice> = names
        .filter(|(_, name)| !name.trim().is_empty())
        .map(|(at, name)| Choice::new(&at.to_string(), name))
        .collect();
    let mut filled = Filled::default().with("dates", held.how.dates.map_or("", DateOrder::word));
    let mut fields = Vec::new();
    for Column { name, needed, says } in held.of.columns() {
        let told = held.how.map.get(*name).and_then(|told| held.cells.place(told));
        let at = told.or_else(|| known.get(name).copied());
        let empty = Choice::new("", if *needed { "choose a column" } else { "not in this table" });
        let all = std::iter::once(empty).chain(options.iter().cloned()).collect();
        let field = Field::needed(&column_field(name), name, says, Kind::OneOf(all));
        fields.push(Field { optional: !needed, ..field });
        filled = filled.with(&column_field(name), at.map_or_else(String::new, |at| at.to_string()));
    }
    html! {
        h2 { "Which column is which" }
        form method="post" action={ "/read/" (key) } novalidate {
            @for field in &fields { (draw(field, &filled, mistakes, false)) }
            @if held.of.has_dates() { (draw(&dates_field(), &filled, mistakes, true)) }
            div.actions { button.quiet type="submit" { "Look again" } a href="/read" { "Another table" } }
        }
    }
}
