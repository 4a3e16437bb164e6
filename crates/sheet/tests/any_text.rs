//! No text makes the reading panic, and every refusal names a place inside the text.

mod desk;

use desk::{TODAY, library, no_files, read};
use proptest::prelude::*;
use sheet::Problem;

fn problems_lie_in(text: &str, problems: &[Problem]) {
    assert!(!problems.is_empty());
    for problem in problems {
        assert!(problem.span.start <= problem.span.end);
        assert!(text.get(problem.span.clone()).is_some(), "{problem:?}");
        let line = text.split('\n').nth(problem.line - 1).expect("the line is in the text");
        assert!(problem.column <= line.chars().count() + 1, "{problem:?}");
        assert!(!problem.message.is_empty() && !problem.right.is_empty());
        assert!(!problem.plain("sheet").contains('\n'), "{problem:?}");
    }
    assert!(problems.is_sorted_by_key(|problem| problem.span.start));
    for (number, problem) in problems.iter().enumerate() {
        assert!(!problems[..number].contains(problem), "told twice: {problem:?}");
    }
}

fn check(text: &str) {
    if let Err(problems) = read(text) {
        problems_lie_in(text, &problems);
    }
}

/// The example with every key that it leaves out.
fn everything() -> String {
    let market = "[market]\nask = 1.1\nlisting_minutes = 12\nholding = 0.01\nmost_sizes = 3\nspare = 1\n\
                  half_life = 180\noffer_floor = 0.6\ndays_at_median = 45\nprice_fall = 0.2\n\
                  price_fall_spread = 0.2\nspread = 0.35\nerrors = \"normal\"\n\
                  unstated_shipping = \"7 - 16\"\ngrades = { A = 0.2, E = -0.5 }\nask_exponent = 3\n\
                  prior_sales = 1\nprior_days = 60\nsize_falloff = 0.35\nodd_sizes = 0.4\nhorizon = 90\n\
                  natural_sizes = [1, 2]\nsell_through = { sold = 18, days = 90, on_offer = 12 }\n";
    let buying = "[buying]\nreturn = 0.5\nleast_profit = 8\nloss_risk = 0.1\nguard = 0.4\nshop_tax = 0.07\n\
                  horizon = 365\n";
    let goblets = "name = \"goblets\"\ngrade = \"B\"\nlargest_lot = 6\nflawed_grade = \"D\"\nper_set = 1\n\
                   words = { attributed_to = \"x\", sold_as = \"set\", synonyms = [\"y\"] }\n";
    sheet::example()
        .replacen("[market]", market, 1)
        .replacen("[packing]", &format!("{buying}\n[packing]"), 1)
        .replacen("name = \"goblets\"\n", goblets, 1)
}

#[test]
fn the_sheet_of_every_key_is_right() {
    assert!(read(&everything()).is_ok());
}

#[test]
fn a_misspelt_key_is_told_once_and_nothing_else_is_blamed_for_it() {
    let text = everything();
    let mut at = 0;
    let mut misspelt = 0;
    let mut blamed = String::new();
    for line in text.split_inclusive('\n') {
        let key = line.split(" = ").next().unwrap_or_default();
        let is_key = line.contains(" = ") && key.trim().bytes().all(|b| b.is_ascii_lowercase() || b == b'_');
        let end = at + key.len();
        at += line.len();
        if !is_key {
            continue;
        }
        let changed = format!("{}x{}", &text[..end], &text[end..]);
        let problems = read(&changed).expect_err(line);
        let wrong = format!("{}x", key.trim());
        let fields: Vec<_> = problems.iter().map(|problem| problem.field.as_str()).collect();
        if !(fields.len() == 1 && fields[0].ends_with(&wrong)) {
            blamed += &format!("{line}: {fields:?}\n");
        }
        misspelt += 1;
    }
    assert_eq!(blamed, "");
    assert!(misspelt > 100, "{misspelt}");
}

/// What a careless hand puts in the place of something.
fn scrap() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        "[ -~\n\u{e9}\u{bd}\u{feff}]{0,6}",
        prop::sample::select(vec![
            "0",
            "-1",
            "1e400",
            "nan",
            "true",
            "[]",
            "{}",
            "\"\"",
            "\"12 x 12\"",
            "99999999999999999999",
            "0x10",
            "[[find]]\n",
            "[find]\n",
            "[[order]]\n",
            "\n[a.b.c]\n",
            "units = \"cm\"\n",
            "\"",
            "'''",
            "=",
            "#",
            "\r",
            "1979-05-27T07:32:00Z",
            "per_lot = 3\n",
            "1/0 in",
            "½",
            "\\u0000",
            ".",
            "{ zip = 1 }",
            "[\"2 fro 17.50\", \"unsold é 35\", \"\\u00e9 14\", \"offer <\"]",
            "\"2 for 17.50 + ½\"",
            "\"150 %\"",
            "\"-0 %\"",
            "\"nan %\"",
            "1e300",
            "[\"1 hairline ½ in\", \"all crazing\", \"9 chip\"]",
            "{ maker = \"a\", attributed_to = \"b\" }",
            "{ sold = 1, days = 0 }",
            "{ A = 9 }",
            "per_set = 2\n",
            "comps = [\"14\"]\n",
            "alone = 1\n",
            "[market]\n",
            "[buying]\n",
            "[[market]]\n",
        ])
        .prop_map(str::to_owned),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(512) })]

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        check(&text);
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        if let Err(problems) = sheet::read_bytes(&bytes, &library(&no_files), TODAY) {
            prop_assert!(!problems.is_empty());
        }
    }

    #[test]
    fn a_sheet_with_scraps_in_it_is_read_or_refused(
        cuts in prop::collection::vec((any::<prop::sample::Index>(), 0_usize..12, scrap()), 1..4)
    ) {
        let mut text = everything();
        for (place, length, scrap) in cuts {
            let begin = text.floor_char_boundary(place.index(text.len()));
            let end = text.floor_char_boundary((begin + length).min(text.len())).max(begin);
            text.replace_range(begin..end, &scrap);
        }
        check(&text);
    }

    #[test]
    fn a_sheet_with_another_value_is_read_or_refused(
        line in any::<prop::sample::Index>(), scrap in scrap()
    ) {
        let text = everything();
        let lines: Vec<&str> = text.lines().collect();
        let with_value: Vec<usize> = (0..lines.len()).filter(|&n| lines[n].contains(" = ")).collect();
        let changed = with_value[line.index(with_value.len())];
        let text: String = lines
            .iter()
            .enumerate()
            .map(|(n, line)| match line.split_once(" = ") {
                Some((key, _)) if n == changed => format!("{key} = {scrap}\n"),
                _ => format!("{line}\n"),
            })
            .collect();
        check(&text);
    }
}
