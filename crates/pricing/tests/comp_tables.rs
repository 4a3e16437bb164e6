//! Tables of comps: the same comps as lines, and every problem with its row and column.

use jiff::civil::{Date, date};
use pricing::{Comp, CompFault, CompPart, MOST_ROWS, TableFault, TableProblems, read_table};
use proptest::prelude::*;

const TODAY: Date = date(2026, 11, 25);

fn line(line: &str) -> Comp {
    Comp::read(line, TODAY).unwrap_or_else(|error| panic!("{line}: {error}"))
}

fn read(table: &str) -> Vec<Comp> {
    read_table(table, TODAY).unwrap_or_else(|problems| panic!("{table}\n{problems}"))
}

fn refused(table: impl AsRef<[u8]>) -> TableProblems {
    read_table(table, TODAY).expect_err("wrong")
}

/// Row and column of each problem.
fn places(problems: &TableProblems) -> Vec<(u64, &str)> {
    problems.problems.iter().map(|problem| (problem.row, problem.column.as_str())).collect()
}

#[test]
fn a_row_is_the_comp_that_its_line_is() {
    let heading = "kind,price,shipping,pieces,days,age,grade,bids,likeness";
    for (row, told) in [
        ("sold,17.50,8.25,2,,,,,", "2 for 17.50 + 8.25"),
        (",\"1,234.50\",free,,,,,,", "1,234.50 free ship"),
        ("SOLD , $14 , 7-12 , , 12 , 60 , B , , 0.5", "14 + 7-12 in 12d 60d ago grade B like 0.5"),
        ("sold,14,?,,12d,2 weeks ago,light wear,,70 %", "14 in 12d 2 weeks ago light wear alike 70 %"),
        ("offer,24,,2,20,,,,", "offer under 24 x2 in 20d"),
        ("unsold,35,8 ship,,90,10d,,,", "unsold 35 for 90d 10d ago + 8"),
        ("auction,18,8.40,,,150,,1,", "auction 18 one bid + 8.40 150d"),
        ("auction,31,,,7,,,7,", "auction 31 7 bids ran 7d"),
        ("auction,5,,,7,,,none,", "auction 5 no bids 7d"),
        ("auction,5,,,7,yesterday,,no bids,", "auction 5 no bids 7d yesterday"),
        ("sold,9 each,,4 pcs,,,,,", "4 at 9 each"),
        (",31,,,,,,several,", "31 several bids"),
    ] {
        assert_eq!(read(&format!("{heading}\n{row}\n")), [line(told)], "{row}");
    }
}

#[test]
fn columns_stand_in_any_order_and_most_may_be_absent() {
    let right = [line("2 for 17.50 on 2026-10-01"), line("14")];
    assert_eq!(read("price,pieces,date\n17.50,2,2026-10-01\n14,,\n"), right);
    assert_eq!(read("\u{feff}Date, Pieces ,PRICE\r\n2026-10-01,2,17.50\r\n,,\r\n\r\n,1,14"), right);
}

#[test]
fn one_column_of_lines_is_read_as_lines() {
    let table = "comp\n2 for 17.50 + 8\n\"auction 31, 7 bids\"\n# a note\n\noffer <24 # note\n";
    assert_eq!(read(table), [line("2 for 17.50 + 8"), line("31, 7 bids"), line("offer <24")]);
    let problems = refused("comp\n14\noffer 24\nauction 31, 7 bids\n");
    assert_eq!(places(&problems), [(3, "comp"), (4, "")]);
    assert_eq!(problems.problems[1].fault, TableFault::RowLength { found: 2, expected: 1 });
    assert_eq!(places(&refused("comp,price\n14,14\n")), [(1, "comp")]);
}

#[test]
fn all_problems_are_told_at_once_with_row_and_column() {
    let table = "kind,price,shipping,pieces,days,age,date,grade,bids,likeness\n\
        solt,0,-1,0,x,101y,2026-12-01,F,2.5,2\n\
        unsold,35,,,,,,,,\n\
        auction,35,,,,,,,,\n\
        \n\
        offer,,,,,,,,,\n\
        unsold,35,,,90,,,,1,\n\
        sold,14,,,,60,2026-10-01,,,\n\
        sold,14\n\
        sold,14 mugs,,,,,,,,\n";
    let problems = refused(table);
    let in_row_2 =
        ["kind", "price", "shipping", "pieces", "days", "age", "date", "grade", "bids", "likeness"];
    let mut right: Vec<(u64, &str)> = in_row_2.into_iter().map(|column| (2, column)).collect();
    right.extend([(3, "days"), (4, "bids"), (6, "price"), (7, "bids"), (8, "date"), (9, ""), (10, "price")]);
    assert_eq!(places(&problems), right, "{problems}");
    let told = problems.to_string();
    assert!(told.lines().count() == right.len(), "{told}");
    assert!(told.contains("row 3, column `days`: "), "{told}");
    // A cell's error points into the cell.
    let TableFault::Cell(error) = &problems.problems[16].fault else {
        panic!("{told}");
    };
    assert_eq!((error.part, error.span.clone(), error.column), (CompPart::Line, 3..7, 4));
    let TableFault::Cell(error) = &problems.problems[0].fault else {
        panic!("{told}");
    };
    assert!(matches!(error.fault, CompFault::Unfit { .. }), "{error:?}");
    // So does the error of a row; what is missing from it points at nothing.
    for (row, span) in [("unsold,35,0d", 0..2), ("unsold,35,", 0..0)] {
        let TableFault::Cell(error) = &refused(format!("kind,price,days\n{row}\n")).problems[0].fault else {
            panic!("{row}");
        };
        assert_eq!((error.part, error.span.clone()), (CompPart::Days, span), "{row}");
    }
}

#[test]
fn an_unknown_column_is_told_its_nearest_and_hides_no_other_problem() {
    let problems = refused("price,peices,grade\n14,2,F\n");
    assert_eq!(places(&problems), [(1, "peices"), (2, "grade")]);
    assert!(matches!(&problems.problems[0].fault, TableFault::UnknownColumn { found, nearest }
            if found == "peices" && nearest.first().is_some_and(|name| name == "pieces")));
    assert!(refused("price,qzwv\n14,2\n").to_string().contains("there are comp, kind, price"));
}

#[test]
fn a_heading_must_say_where_the_price_is_and_each_thing_once() {
    assert_eq!(refused("pieces\n2\n").problems[0].fault, TableFault::NoPrice);
    assert_eq!(refused("price,price\n14,15\n").problems[0].fault, TableFault::RepeatedColumn);
    for nothing in ["", "\n\n", "price\n", "comp\n\n"] {
        assert_eq!(refused(nothing).problems[0].fault, TableFault::NoRows, "{nothing:?}");
    }
}

#[test]
fn problems_are_told_up_to_twenty_and_the_rest_counted() {
    let table = format!("price\n{}", "0\n".repeat(33));
    let problems = refused(&table);
    assert_eq!((problems.problems.len(), problems.more), (20, 13));
    assert!(problems.to_string().ends_with("\nand 13 more"));
}

#[test]
fn rows_are_read_up_to_the_limit() {
    let rows = |count: usize| format!("price\n{}", "14\n".repeat(count));
    assert_eq!(read(&rows(MOST_ROWS)).len(), MOST_ROWS);
    let problems = refused(rows(MOST_ROWS + 500));
    assert_eq!(places(&problems), [(1002, "")]);
    assert_eq!(problems.problems[0].fault, TableFault::TooManyRows { most: MOST_ROWS });
    let large = format!("price\n{}", " ".repeat(1 << 20));
    assert!(matches!(refused(large).problems[0].fault, TableFault::TooLarge { .. }));
}

#[test]
fn bytes_that_are_no_text_are_refused_where_they_stand() {
    let problems = refused(b"price\n14\n1\xff\n".as_slice());
    assert_eq!(places(&problems), [(3, "")]);
    assert_eq!(problems.problems[0].fault, TableFault::NotText);
}

#[test]
fn rows_are_counted_as_an_editor_counts_them() {
    // Blank lines and a cell of two lines come before the wrong row.
    let table = "price,grade\r\n\r\n14,\r\n14,\"light\nwear\"\n\n\n0,\n";
    let problems = refused(table);
    assert_eq!(places(&problems), [(4, "grade"), (8, "price")], "{problems}");
}

fn cell() -> impl Strategy<Value = String> {
    let cells = "sold|unsold|offer|auction|14|0|-5|1e300|nan|free|?|7-12|90d|2026-10-01|2026-13-01|B|F|none|7|0.5|70 %|\
        \"|\"14\"|\"1,234.50\"|é|\u{feff}|\0|#|comp|price|kind|grade|bids|\r|\n| |";
    prop::sample::select(cells.split('|').map(str::to_owned).collect::<Vec<_>>())
}

proptest! {
    #[test]
    fn any_bytes_are_read_or_told(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = read_table(&bytes, TODAY);
    }

    #[test]
    fn any_cells_are_read_or_told(rows in prop::collection::vec(prop::collection::vec(cell(), 1..7), 0..6)) {
        let rows: Vec<String> = rows.iter().map(|row| row.join(",")).collect();
        for heading in ["", "comp\n", "kind,price,shipping,days,grade,bids\n"] {
            let table = format!("{heading}{}", rows.join("\n"));
            if let Err(problems) = read_table(&table, TODAY) {
                let lines = table.split('\n').count() as u64;
                prop_assert!(!problems.problems.is_empty());
                for problem in &problems.problems {
                    prop_assert!(problem.row <= lines, "{}", problem);
                    prop_assert!(!problem.to_string().contains(char::is_control), "{:?}", problem);
                }
            }
        }
    }
}
