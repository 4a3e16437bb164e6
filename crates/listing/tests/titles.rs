//! Titles: the count first and always, the limit kept, every word left out accounted for.

use listing::{
    Belonging, Count, DropReason, ListingError, Maker, Noun, Period, Tally, Texts, Title, TitlePart,
    TitleParts, characters, compose_title, lint,
};
use proptest::prelude::*;

fn count(pieces: u32, belonging: Belonging) -> Count {
    Count::new(pieces, belonging).expect("a right one")
}

fn full() -> TitleParts {
    TitleParts {
        maker: Maker::Marked("Hollow Oak Works".to_owned()),
        pattern: "Fernleaf".to_owned(),
        with: "saucers".to_owned(),
        synonyms: vec!["bouillon cup".to_owned(), "soup cup".to_owned()],
        size: "8 oz".to_owned(),
        colour: "green".to_owned(),
        decoration: "green stripe".to_owned(),
        material: "stoneware".to_owned(),
        period: Period::Vintage,
        country: "USA".to_owned(),
        ..TitleParts::new(count(4, Belonging::Alike), Noun::new("consomme cup"))
    }
}

fn text(parts: &TitleParts, limit: usize) -> String {
    compose_title(parts, limit).expect("a right one").text
}

fn reasons(title: &Title, part: TitlePart) -> Vec<DropReason> {
    title.dropped.iter().filter(|dropped| dropped.part == part).map(|dropped| dropped.reason).collect()
}

#[test]
fn the_parts_stand_in_the_trade_s_order_after_the_count() {
    assert_eq!(
        text(&full(), 140),
        "4 Hollow Oak Works Fernleaf Consomme Cups with Saucers Bouillon Soup 8 oz Green Stripe Stoneware \
         Vintage USA"
    );
}

#[test]
fn a_shorter_limit_drops_the_least_searched_parts_and_says_so() {
    let title = compose_title(&full(), 80).unwrap();
    assert_eq!(
        title.text,
        "4 Hollow Oak Works Fernleaf Consomme Cups with Saucers 8 oz Green Stripe Vintage"
    );
    assert_eq!(reasons(&title, TitlePart::Material), [DropReason::NoRoom]);
    assert_eq!(reasons(&title, TitlePart::Country), [DropReason::NoRoom]);
    assert!(title.dropped.iter().any(|d| d.words == "Stoneware" && d.reason == DropReason::NoRoom));
    assert_eq!(text(&full(), 28), "4 Consomme Cups with Saucers");
    assert_eq!(text(&full(), 27), "4 Fernleaf Consomme Cups", "a whole part goes, never half of one");
    assert_eq!(text(&full(), 15), "4 Consomme Cups");
    let error = compose_title(&full(), 14).unwrap_err();
    assert_eq!(
        error,
        ListingError::TitleTooLong { words: "4 Consomme Cups".to_owned(), length: 15, limit: 14 }
    );
}

#[test]
fn bad_news_is_never_dropped() {
    let mut parts = full();
    parts.bad_news = Some("hairline as is".to_owned());
    assert_eq!(text(&parts, 30), "4 Consomme Cups Hairline As Is");
    assert!(matches!(compose_title(&parts, 29), Err(ListingError::TitleTooLong { .. })));
}

#[test]
fn the_count_word_says_why_the_pieces_are_together() {
    for (pieces, belonging, right) in [
        (1, Belonging::MadeAsSet, "One Diner Mug"),
        (2, Belonging::Alike, "Pair of Diner Mugs"),
        (2, Belonging::MadeAsSet, "Set of 2 Diner Mugs"),
        (2, Belonging::MerelyTogether, "Lot of 2 Diner Mugs"),
        (4, Belonging::Alike, "4 Diner Mugs"),
        (4, Belonging::MadeAsSet, "Set of 4 Diner Mugs"),
        (6, Belonging::MerelyTogether, "Lot of 6 Diner Mugs"),
        (20, Belonging::PlaceSettings(4), "20 Piece Service for 4 Diner Mugs"),
    ] {
        let parts = TitleParts::new(count(pieces, belonging), Noun::new("diner mug"));
        assert_eq!(text(&parts, 80), right);
    }
}

#[test]
fn a_maker_without_a_mark_is_never_named_bare() {
    let mut parts = full();
    parts.maker = Maker::AttributedTo("Hollow Oak".to_owned());
    parts.pattern = "Hollow Oak Fernleaf".to_owned();
    let title = compose_title(&parts, 140).unwrap();
    assert!(title.text.starts_with("4 Attributed to Hollow Oak Fernleaf Consomme Cups"), "{}", title.text);
    assert_eq!(reasons(&title, TitlePart::Pattern), [DropReason::BareMaker; 2]);
    for limit in 15..140 {
        let text = text(&parts, limit);
        assert_eq!(text.contains("Oak"), text.contains("Attributed to Hollow Oak"), "{text}");
    }
    parts.maker = Maker::Unmarked;
    parts.pattern = "Oak-like fernleaf".to_owned();
    let title = compose_title(&parts, 140).unwrap();
    assert!(title.text.contains(" Fernleaf ") && title.text.contains("Unmarked"), "{}", title.text);
    assert_eq!(reasons(&title, TitlePart::Pattern), [DropReason::LikeAnother]);
}

#[test]
fn a_date_needs_a_proof() {
    let mut parts = full();
    parts.period = Period::Dated { words: "1950s".to_owned(), proof: " ".to_owned() };
    let title = compose_title(&parts, 140).unwrap();
    assert!(!title.text.contains("1950s"));
    assert_eq!(reasons(&title, TitlePart::Period), [DropReason::NotProven]);
    parts.period = Period::Dated { words: "1950s".to_owned(), proof: "date mark on the base".to_owned() };
    assert!(text(&parts, 140).contains("1950s"));
}

#[test]
fn words_are_neither_repeated_nor_shouted_nor_puffed_up() {
    let mut parts = TitleParts::new(count(4, Belonging::Alike), Noun::new("GLASS goblet"));
    parts.material = "pressed glass".to_owned();
    parts.colour = "*** AMAZING *** RUBY !!!".to_owned();
    parts.synonyms = vec!["L@@K".to_owned(), "glasses".to_owned()];
    let title = compose_title(&parts, 80).unwrap();
    assert_eq!(title.text, "4 Glass Goblets Ruby Pressed");
    assert_eq!(reasons(&title, TitlePart::Material), [DropReason::Repeated]);
    assert!(reasons(&title, TitlePart::Colour).contains(&DropReason::Puffery));
    assert!(reasons(&title, TitlePart::Colour).contains(&DropReason::Ornament));
    assert_eq!(reasons(&title, TitlePart::Synonyms), [DropReason::Puffery, DropReason::Repeated]);
    // A form word that repeats the count's own word keeps it.
    let set = TitleParts::new(count(15, Belonging::MadeAsSet), Noun::new("tea set"));
    assert_eq!(text(&set, 80), "Set of 15 Tea Sets");
}

#[test]
fn a_form_word_of_marks_only_is_an_error() {
    for form in ["", "  ", "***", "\u{202E}", "🫖", "amazing"] {
        let parts = TitleParts::new(count(4, Belonging::Alike), Noun::new(form));
        assert_eq!(compose_title(&parts, 80), Err(ListingError::NoFormWord), "{form:?}");
    }
}

fn word() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-z]{1,9}",
        "[A-Z]{1,9}",
        "\\PC{0,8}",
        Just("☕️👩‍👩‍👧".to_owned()),
        Just("كوب شاي".to_owned()),
        Just("cafe\u{301} re\u{300}\u{301}".to_owned()),
        Just("\u{202E}\u{0}\t".to_owned()),
        Just("ß ŉ ǆ".to_owned()),
        Just("8 oz & with".to_owned()),
    ]
}

prop_compose! {
    fn any_parts()(
        pieces in 1u32..=4000, kind in 0usize..4, persons in 1u32..50,
        form in word(), with in word(), name in word(), maker in 0usize..4, pattern in word(),
        synonyms in proptest::collection::vec(word(), 0..3),
        rest in proptest::collection::vec(word(), 5),
        dated in any::<bool>(), bad in proptest::option::of(word()),
    ) -> TitleParts {
        let belonging = [
            Belonging::Alike, Belonging::MadeAsSet, Belonging::MerelyTogether, Belonging::PlaceSettings(persons),
        ][kind];
        let maker = match maker {
            0 => Maker::Unsaid,
            1 => Maker::Marked(name),
            2 => Maker::Unmarked,
            _ => Maker::AttributedTo(name),
        };
        TitleParts {
            count: count(pieces, belonging),
            form: Noun::new(&form),
            with, maker, pattern, synonyms,
            size: rest[0].clone(), colour: rest[1].clone(), decoration: rest[2].clone(), material: rest[3].clone(),
            period: if dated {
                Period::Dated { words: rest[4].clone(), proof: "mark".to_owned() }
            } else {
                Period::Vintage
            },
            country: rest[4].clone(),
            bad_news: bad,
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    /// A title keeps the limit and begins with its count, or there is none.
    #[test]
    fn a_title_never_exceeds_the_limit_and_always_begins_with_the_count(parts in any_parts(), limit in 20usize..=140) {
        match compose_title(&parts, limit) {
            Ok(title) => {
                prop_assert!(characters(&title.text) <= limit, "{}", title.text);
                prop_assert!(title.text.starts_with(&parts.count.title_words()), "{}", title.text);
                prop_assert!(!title.text.contains("  ") && !title.text.chars().any(char::is_control));
            }
            Err(ListingError::TitleTooLong { length, limit: said, .. }) => {
                prop_assert!(length > limit && said == limit);
            }
            Err(error) => prop_assert_eq!(error, ListingError::NoFormWord),
        }
    }

    /// A longer limit never loses the count, the form word or the bad news, and never fails where a shorter fits.
    #[test]
    fn a_longer_limit_never_fails_where_a_shorter_one_fits(parts in any_parts(), limit in 20usize..=139) {
        if let Ok(short) = compose_title(&parts, limit) {
            let long = compose_title(&parts, 140);
            prop_assert!(long.is_ok());
            prop_assert!(characters(&short.text) <= characters(&long.unwrap().text));
        }
    }

    /// What is composed from plain words passes the count lint.
    #[test]
    fn composed_titles_agree_with_their_own_count(
        pieces in 1u32..=48, kind in 0usize..3, limit in 30usize..=140,
        size in prop_oneof![Just("8 oz"), Just("3 1/4 in"), Just("2 qt"), Just("No. 8"), Just("9 x 13")],
        dated in any::<bool>(),
    ) {
        let belonging = [Belonging::Alike, Belonging::MadeAsSet, Belonging::MerelyTogether][kind];
        let mut parts = full();
        parts.count = count(pieces, belonging);
        parts.size = size.to_owned();
        if dated {
            parts.period = Period::Dated { words: "1950s".to_owned(), proof: "date mark".to_owned() };
        }
        if let Ok(title) = compose_title(&parts, limit) {
            let tally = Tally::of(Noun::new("consomme cup"), pieces, 1, pieces);
            let found = lint(&Texts { title: Some(&title.text), ..Texts::default() }, &tally);
            prop_assert_eq!(found, vec![], "{}", title.text);
        }
    }
}
