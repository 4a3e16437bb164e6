//! What is to be packed, put into a job sheet and read like any other.

use jiff::civil::Date;
use sheet::Problem;
use toml::{Table, Value};
use trade::Job;

use crate::desk::Desk;
use crate::form::{Choice, Field, Filled, Kind, Mistakes};
use crate::told;

/// Kinds of pieces that one page takes.
const MOST_ROWS: usize = 20;
/// Rows of an empty form.
const FIRST_ROWS: usize = 2;
/// Most pieces of one kind.
const MOST_PIECES: u32 = 1000;
/// Problems of a pasted sheet that are told at once.
const SHOWN: usize = 5;
/// Times the usual effort that can be chosen.
const EFFORTS: [(&str, &str, u32); 4] = [
    ("1", "the usual time", 1),
    ("4", "4 times as long", 4),
    ("16", "16 times as long", 16),
    ("64", "64 times as long", 64),
];

/// How many rows the form shows: those that hold something and the empty ones asked for.
pub(super) fn rows(filled: &Filled) -> usize {
    let last = (1..=MOST_ROWS).rev().find(|row| {
        ["form", "count", "measures"].iter().any(|name| filled.text(&format!("{name}-{row}")).is_some())
    });
    let shown = last.unwrap_or(0).max(FIRST_ROWS);
    if filled.has("add") { (shown + 1).min(MOST_ROWS) } else { shown }
}

/// The fields of one row.
pub(super) fn row_fields(row: usize, known: &[String]) -> [Field; 3] {
    let optional = row > 1;
    let field = |name: &str, label: &str, hint: &str, kind: Kind, optional: bool| Field {
        optional,
        ..Field::needed(&format!("{name}-{row}"), label, hint, kind)
    };
    [
        field("form", "What they are", "", Kind::Words { known: known.to_vec() }, optional),
        field("count", "How many", "", Kind::Whole, optional),
        field(
            "measures",
            "Measures of one",
            "With their names and a ; between: diameter=4 in; handle_reach=7/8 in; weight=9.2 oz. The page Measure writes this line.",
            Kind::Measure,
            true,
        ),
    ]
}

/// How it is packed.
pub(super) fn settings() -> [Field; 2] {
    let choice = |(value, words): (&str, &str)| Choice { value: value.to_owned(), words: words.to_owned() };
    let profiles = [
        ("rule_of_two", "two inches to every wall (the usual)"),
        ("snug", "snug: less, for short ways"),
        ("careful", "careful: more, for what is dear"),
    ];
    let efforts = EFFORTS.map(|(value, words, _)| choice((value, words)));
    [
        Field::needed("profile", "Distance kept", "", Kind::OneOf(profiles.map(choice).to_vec())),
        Field::needed("effort", "Look for a better packing for", "", Kind::OneOf(efforts.to_vec())),
    ]
}

/// The job sheet that may be pasted.
pub(super) fn sheet_field() -> Field {
    Field::optional(
        "sheet",
        "Job sheet",
        "All pieces of its finds are packed together; the pieces above are then left out.",
        Kind::Lines { rows: 14, sheet: true },
    )
}

/// The job, and how many times the usual effort to look for.
pub(super) fn read(desk: &Desk, filled: &Filled, today: Date) -> Result<(Job, u32), Mistakes> {
    let effort = filled.text("effort").unwrap_or("1");
    let effort = EFFORTS.iter().find(|(value, _, _)| *value == effort).map_or(1, |(_, _, times)| *times);
    let mut mistakes = Mistakes::default();
    if filled.text("sheet").is_some() {
        let text = filled.typed("sheet");
        return desk.read(text, today).map(|job| (job, effort)).map_err(|problems| {
            mistakes.add("sheet", in_sheet(&problems));
            mistakes
        });
    }
    let (text, numbers) = sheet_of(filled, &mut mistakes);
    if !mistakes.is_empty() {
        return Err(mistakes);
    }
    desk.read(&text, today).map(|job| (job, effort)).map_err(|problems| {
        told::told(&problems, |problem| field(problem, &numbers), &mut mistakes);
        mistakes
    })
}

/// The first problems of a pasted sheet, each with its line.
fn in_sheet(problems: &[Problem]) -> String {
    let told: Vec<String> = problems
        .iter()
        .take(SHOWN)
        .map(|problem| {
            format!("Line {}: {}. Right would be: {}", problem.line, problem.message, problem.right)
        })
        .collect();
    let more = problems.len().saturating_sub(SHOWN);
    let more = if more > 0 { format!(" · and {more} more") } else { String::new() };
    format!("{}{more}", told.join(" · "))
}

/// The field that a key of the sheet was filled from.
fn field(problem: &Problem, numbers: &[usize]) -> Option<String> {
    let row = numbers.get(told::item(&problem.field, "find")?.saturating_sub(1))?;
    let name = match problem.field.split_once("].").map(|(_, key)| key) {
        Some("name" | "form") => "form",
        Some("count") => "count",
        Some(_) | None => "measures",
    };
    Some(format!("{name}-{row}"))
}

/// The sheet of the rows that hold something, and the numbers of these rows.
fn sheet_of(filled: &Filled, mistakes: &mut Mistakes) -> (String, Vec<usize>) {
    let mut finds: Vec<Value> = Vec::new();
    let mut numbers = Vec::new();
    for row in 1..=MOST_ROWS {
        let of = |name: &str| format!("{name}-{row}");
        let empty = ["form", "count", "measures"].iter().all(|name| filled.text(&of(name)).is_none());
        if empty && row > 1 {
            continue;
        }
        let form = filled.needed(&of("form"), "Say what they are, for example: diner mug", mistakes);
        filled.needed(&of("count"), "Say how many there are, for example: 4", mistakes);
        let count = filled.whole(&of("count"), 1..=MOST_PIECES, mistakes);
        let (Some(form), Some(count)) = (form, count) else { continue };
        let mut find = Table::new();
        // Measures first: what a row says itself stands over a measure of the same name.
        for part in filled.text(&of("measures")).unwrap_or("").split(';').map(str::trim) {
            match part.split_once('=') {
                _ if part.is_empty() => {}
                Some((key, figure)) if !key.trim().is_empty() && !figure.trim().is_empty() => {
                    find.insert(key.trim().to_owned(), Value::from(figure.trim()));
                }
                Some(_) | None => mistakes.add(
                    &of("measures"),
                    format!(
                        "\"{}\" has no name and figure with = between them; right would be: diameter=4 in",
                        crate::form::short(part)
                    ),
                ),
            }
        }
        numbers.push(row);
        find.insert(String::from("name"), Value::from(format!("{row}. {form}")));
        find.insert(String::from("form"), Value::from(form));
        find.insert(String::from("count"), Value::from(i64::from(count)));
        find.insert(String::from("per_lot"), Value::from(1_i64));
        finds.push(Value::Table(find));
    }
    let mut table: Table = match sheet::usual().parse() {
        Ok(table) => table,
        Err(why) => {
            mistakes.add("", format!("the usual job can't be read: {why}"));
            Table::new()
        }
    };
    let mut packing = Table::new();
    packing.insert(String::from("profile"), Value::from(filled.text("profile").unwrap_or("rule_of_two")));
    table.insert(String::from("packing"), Value::Table(packing));
    table.insert(String::from("find"), Value::Array(finds));
    (toml::to_string(&table).unwrap_or_default(), numbers)
}

#[cfg(test)]
mod tests {
    use super::{read, rows};
    use crate::desk::Desk;
    use crate::form::Filled;
    use jiff::civil::date;

    fn filled(pairs: &[(&str, &str)]) -> Filled {
        Filled::from_pairs(pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())))
    }

    #[test]
    fn rows_are_finds_and_an_empty_row_between_is_passed_over() {
        let filled = filled(&[
            ("form-1", "diner mug"),
            ("count-1", "4"),
            ("measures-1", "diameter=3 1/2 in; weight=15 oz"),
            ("form-3", "diner mug"),
            ("count-3", "2"),
            ("effort", "4"),
        ]);
        let (job, effort) = read(&Desk::published(), &filled, date(2026, 3, 2)).expect("all right");
        let counts: Vec<u32> = job.finds.iter().map(|find| find.rows[0].count).collect();
        assert_eq!((counts, effort), (vec![4, 2], 4));
        assert_eq!(job.finds[0].rows[0].measures.diameter, Some(measure::Length::from_inches(3.5)));
        assert_eq!(rows(&filled), 3);
    }

    #[test]
    fn mistakes_are_told_in_the_row_they_were_typed_in() {
        let filled = filled(&[
            ("form-1", "diner mug"),
            ("count-1", "4"),
            ("form-3", "teacupp"),
            ("count-3", "2"),
            ("measures-3", "diameter=wide"),
        ]);
        let mistakes = read(&Desk::published(), &filled, date(2026, 3, 2)).expect_err("two mistakes");
        let fields: Vec<&str> = mistakes.iter().map(|(field, _)| field).collect();
        assert!(fields.contains(&"form-3"), "{fields:?}");
        assert!(fields.iter().all(|field| field.ends_with("-3")), "{fields:?}");
    }

    #[test]
    fn a_sheet_is_packed_in_place_of_the_rows_and_its_mistakes_say_their_line() {
        let desk = Desk::published();
        let right = filled(&[("sheet", sheet::example()), ("form-1", "nonsense")]);
        assert!(read(&desk, &right, date(2026, 3, 2)).is_ok());
        let wrong = filled(&[("sheet", "\ntitel = \"mugs\"")]);
        let mistakes = read(&desk, &wrong, date(2026, 3, 2)).expect_err("a misspelt key");
        assert!(mistakes.of("sheet").is_some_and(|message| message.contains("Line 2: ")), "{mistakes:?}");
    }

    #[test]
    fn an_empty_form_asks_for_the_first_row_alone() {
        let mistakes = read(&Desk::published(), &Filled::default(), date(2026, 3, 2)).expect_err("nothing");
        let fields: Vec<&str> = mistakes.iter().map(|(field, _)| field).collect();
        assert_eq!(fields, ["form-1", "count-1"]);
    }
}
