//! The page on job sheets names every key, and its sheet is right.

mod desk;

use desk::read;
use forms::Field;
use trade::LotsBy;

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
        "drop",
        "stacked",
        "stacked_days",
        "humidity",
        "reused",
        "decide",
        "safety",
        "double_box",
        "piece_value",
        "fragility",
        "bears_g",
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
        "comps",
        "comps_file",
        "asking",
        "paid",
        "largest_lot",
        "words",
        "per_set",
        "alone",
        "flaws",
        "flawed_grade",
        "return",
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
        "`[market]`",
        "`[buying]`",
    ] {
        assert!(PAGE.contains(header), "{header}");
    }
}

#[test]
fn the_keys_a_sheet_reads_are_those_of_the_page() {
    // An unknown key in each table makes the reader list the keys that it does read there.
    let text = "zzzzzzzz = 1\n[post]\nzzzzzzzz = 1\n[packing]\nzzzzzzzz = 1\n[charge]\nzzzzzzzz = 1\n\
                [market]\nzzzzzzzz = 1\ngrades = { zzzzzzzz = 1 }\nsell_through = { zzzzzzzz = 1 }\n\
                [buying]\nzzzzzzzz = 1\n[[carton]]\nzzzzzzzz = 1\n\
                [[find]]\nform = \"mug\"\nzzzzzzzz = 1\nwords = { zzzzzzzz = 1 }\n\
                [[find]]\ncomps = [\"14\"]\nform = \"mug\"\nzzzzzzzz = 1\n[[order]]\nzzzzzzzz = 1\n";
    let problems = read(text).expect_err("the sheet is refused");
    let mut lists = 0;
    for problem in &problems {
        let Some(keys) = problem.right.strip_prefix("one of the keys read here: ") else { continue };
        lists += 1;
        for key in keys.split(", ") {
            let shown = [
                format!("`{key}`"),
                format!("`[{key}]`"),
                format!("`[[{key}]]`"),
                format!("`[[find.{key}]]`"),
                // Keys of a small table that the page shows whole.
                format!("{{ {key} = "),
                format!(", {key} = "),
            ];
            assert!(shown.iter().any(|shown| PAGE.contains(shown)), "{key} is read but not on the page");
        }
    }
    assert_eq!(lists, 13, "{problems:#?}");
}

#[test]
fn the_sheets_on_the_page_are_right() {
    let sheets: Vec<&str> =
        PAGE.split("```toml\n").skip(1).filter_map(|rest| rest.split("```").next()).collect();
    assert_eq!(sheets.len(), 2);
    for sheet in &sheets {
        assert!(read(sheet).is_ok(), "{sheet}");
    }
    let bowls = read(sheets[1]).expect("the sheet has no problem");
    assert_eq!((bowls.finds[0].lots_by, bowls.finds[0].comps.len()), (LotsBy::Split, 3));
}

/// The section of the page below a header, up to the next of its kind.
fn section(header: &str) -> &'static str {
    let (_, rest) = PAGE.split_once(&format!("\n## `{header}`")).expect("the header is on the page");
    rest.split("\n## ").next().unwrap_or(rest)
}

/// Keys with what the page says of each as usual: every cell in code of the first two columns.
fn usuals(section: &'static str) -> Vec<(&'static str, &'static str)> {
    let cells = |cell: &'static str| cell.split('`').skip(1).step_by(2).collect::<Vec<_>>();
    let mut usuals = Vec::new();
    for line in section.lines().filter(|line| line.starts_with("| `")) {
        let columns: Vec<&'static str> = line.split('|').collect();
        let (keys, values) = (cells(columns[1]), cells(columns[2]));
        if !values.is_empty() {
            assert_eq!(keys.len(), values.len(), "{line}");
            usuals.extend(keys.into_iter().zip(values));
        }
    }
    usuals
}

#[test]
fn what_the_page_calls_usual_is_what_a_sheet_without_the_key_takes() {
    let bare = |tables: &str| {
        let head =
            "title = \"t\"\n[post]\nfrom = \"453\"\nto = [\"100\"]\ncard = \"ground_advantage_commercial\"\n";
        let find = "[[find]]\nname = \"mug\"\nform = \"diner_mug\"\ncount = 1\nper_lot = 1\n";
        read(&format!("{head}{tables}{find}")).unwrap_or_else(|problems| panic!("{}", problems[0])).market
    };
    let usual = bare("");
    for (table, least) in [("[market]", 22), ("[buying]", 6)] {
        let usuals = usuals(section(table));
        assert!(usuals.len() >= least, "{usuals:?}");
        for (key, value) in usuals {
            let told = bare(&format!("{table}\n{key} = {value}\n"));
            if key == "spread" {
                // Its logarithm differs in the last digit.
                let off = told.assumptions.prior.ln_sigma_mean - usual.assumptions.prior.ln_sigma_mean;
                assert!(off.abs() < 1e-12);
                continue;
            }
            assert_eq!(told, usual, "{table} {key} = {value}");
        }
    }
}
