//! The page on job sheets names every key, and its sheet is right.

mod desk;

use desk::read;
use forms::Field;

const PAGE: &str = include_str!("../../../docs/job-sheet.md");

#[test]
fn every_key_has_its_place_on_the_page() {
    let keys = [
        "title",
        "units",
        "cartons",
        "from",
        "to",
        "card",
        "chart",
        "date",
        "policy",
        "amount",
        "first",
        "further",
        "weight",
        "size",
        "profile",
        "clearance",
        "fill",
        "wage",
        "name",
        "on_hand",
        "cost",
        "grade",
        "cut_to",
        "price",
        "form",
        "count",
        "per_lot",
        "flawed",
        "what",
        "recipe",
        "lots",
        "additions",
    ];
    let measures = Field::ALL.iter().filter(|field| !matches!(field, Field::HandleAngle | Field::Hollow));
    for key in keys.into_iter().chain(measures.map(|field| field.name())) {
        assert!(PAGE.contains(&format!("`{key}`")), "{key}");
    }
    for header in [
        "`[post]`",
        "`[charge]`",
        "`[packing]`",
        "`[[carton]]`",
        "`[[find]]`",
        "`[[find.piece]]`",
        "`[[order]]`",
    ] {
        assert!(PAGE.contains(header), "{header}");
    }
}

#[test]
fn the_keys_a_sheet_reads_are_those_of_the_page() {
    // An unknown key in each table makes the reader list the keys that it does read there.
    let text = "zzzzzzzz = 1\n[post]\nzzzzzzzz = 1\n[packing]\nzzzzzzzz = 1\n[charge]\nzzzzzzzz = 1\n\
                [[carton]]\nzzzzzzzz = 1\n[[find]]\nform = \"mug\"\nzzzzzzzz = 1\n[[order]]\nzzzzzzzz = 1\n";
    let problems = read(text).expect_err("the sheet is refused");
    let mut lists = 0;
    for problem in &problems {
        let Some(keys) = problem.right.strip_prefix("one of the keys read here: ") else { continue };
        lists += 1;
        for key in keys.split(", ") {
            let shown =
                ["`", "`[", "`[[", "`[[find."].iter().any(|mark| PAGE.contains(&format!("{mark}{key}")));
            assert!(shown, "{key} is read but not on the page");
        }
    }
    assert_eq!(lists, 7, "{problems:#?}");
}

#[test]
fn the_sheet_on_the_page_is_right() {
    let sheet = PAGE.split("```toml\n").nth(1).and_then(|rest| rest.split("```").next()).expect("a sheet");
    assert!(read(sheet).is_ok());
}
