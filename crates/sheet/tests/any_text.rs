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
}

fn check(text: &str) {
    if let Err(problems) = read(text) {
        problems_lie_in(text, &problems);
    }
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
    fn the_example_with_scraps_in_it_is_read_or_refused(
        cuts in prop::collection::vec((any::<prop::sample::Index>(), 0_usize..12, scrap()), 1..4)
    ) {
        let mut text = sheet::example().to_owned();
        for (place, length, scrap) in cuts {
            let begin = text.floor_char_boundary(place.index(text.len()));
            let end = text.floor_char_boundary((begin + length).min(text.len())).max(begin);
            text.replace_range(begin..end, &scrap);
        }
        check(&text);
    }

    #[test]
    fn the_example_with_another_value_is_read_or_refused(
        line in any::<prop::sample::Index>(), scrap in scrap()
    ) {
        let lines: Vec<&str> = sheet::example().lines().collect();
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
