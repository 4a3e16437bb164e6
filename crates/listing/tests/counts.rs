//! One count everywhere: what is a count in free text, what isn't, and where places disagree.

use listing::{Counting, Finding, Noun, Spot, Tally, Texts, lint};
use proptest::prelude::*;

fn tally(noun: &str, count: u32) -> Tally {
    Tally::of(Noun::new(noun), count, 3, 10_000)
}

fn cups_and_saucers() -> Tally {
    let kind = |noun: &str, also: &str| Counting {
        noun: Noun::new(noun),
        also: vec![also.to_owned()],
        per_lot: 4,
        stock: 14,
    };
    Tally {
        count: 4,
        kinds: vec![kind("consomme cup", "bouillon cup"), kind("saucer", "underplate")],
        service_for: None,
        lots: 3,
    }
}

fn title(text: &str, tally: &Tally) -> Vec<Finding> {
    lint(&Texts { title: Some(text), ..Texts::default() }, tally)
}

fn first_line(text: &str, tally: &Tally) -> Vec<Finding> {
    lint(&Texts { first_line: Some(text), ..Texts::default() }, tally)
}

#[test]
fn titles_that_say_the_count_in_any_way_pass() {
    for (noun, count, text) in [
        ("mug", 4, "4 Diner Mugs Heavy 8 oz Green Stripe Vintage USA"),
        ("mug", 4, "Set of 4 Diner Mugs"),
        ("mug", 4, "Lot of four heavy diner mugs"),
        ("mug", 4, "Diner Mugs (4) Green Stripe"),
        ("mug", 4, "Diner Mugs x4 Green Stripe"),
        ("mug", 4, "Diner Mugs x 4"),
        ("mug", 4, "4x Diner Mugs"),
        ("mug", 4, "4 x diner mug"),
        ("mug", 4, "Diner mugs, set/4"),
        ("mug", 4, "Diner Mugs Set 4 Vintage"),
        ("mug", 4, "Vintage 4 Pc Diner Mug Lot"),
        ("mug", 4, "Vintage 4-piece diner mug set"),
        ("mug", 4, "4 8 oz Diner Mugs"),
        ("mug", 4, "Lot of 4 8 oz mugs"),
        ("mug", 4, "Two Pairs of Diner Mugs"),
        ("mug", 4, "Diner Mugs 4 Green Stripe"),
        ("mug", 6, "Half Dozen Diner Mugs"),
        ("mug", 6, "half-dozen mugs"),
        ("mug", 6, "half a dozen mugs"),
        ("mug", 6, "1/2 dozen mugs"),
        ("mug", 12, "Dozen Diner Mugs"),
        ("mug", 24, "2 dozen mugs"),
        ("mug", 24, "Twenty-four mugs"),
        ("mug", 8, "2 Sets of 4 Mugs"),
        ("candlestick", 2, "Pair of Pressed Glass Candlesticks 8 in"),
        ("candlestick", 2, "Candlesticks Pair Glass 8\" tall"),
        ("candlestick", 2, "Couple of candlesticks"),
        ("dinner plate", 4, "Service for 4 Dinner Plates"),
        ("dinner plate", 4, "4 place settings dinner plates"),
        ("skillet", 1, "One Iron Skillet No. 8"),
        ("skillet", 1, "Iron Skillet No 8 10 1/2 in"),
        ("skillet", 1, "Iron Skillet #8"),
        ("pitcher", 1, "Ironstone Pitcher 2 qt 1890s"),
        ("pint glass", 4, "4 Pint Glasses"),
        ("pint glass", 4, "Set of 4 pint glasses"),
        ("cup", 4, "4 cups two-handled"),
        ("plate", 4, "Set of 4 in Original Box Dinner Plates"),
        ("plate", 4, "Plates Set-of-4"),
        ("plate", 4, "Plates 4-Pack"),
        ("plate", 3, "Trio of Plates"),
        ("goblet", 6, "Pressed Glass Goblets, six, 6 1/4 in. tall"),
        ("goblet", 6, "Six (6) Goblets 10oz., 6 1/4\" H"),
        ("jar", 12, "12 Pint Jars"),
        ("jar", 12, "12 1-pint jars"),
        ("mug", 4, "VTG Diner Mugs - Set of Four - 8 oz - Made in 1962"),
        ("mug", 4, "Vintage four 1962 mugs"),
        ("bowl", 3, "3 Nesting Bowls 1, 2 & 3 qt"),
        ("bowl", 4, "Mixing Bowls 6, 7, 8, 9 inch Set of 4"),
        ("plate", 4, "Four Seasons Plates Set of 4"),
        ("jar", 4, "Set of 4 1/2 pint jars"),
        ("jar", 4, "4 1/2-pint Jars"),
        ("bowl", 4, "Bowls Set of 4 1.5 pt 1.5 qt 2.5 qt 4 qt"),
        ("plate", 1200, "1,200 plates"),
        ("mug", 4, "\"Set of 4\" diner mugs"),
    ] {
        assert_eq!(title(text, &tally(noun, count)), [], "{text}");
    }
}

#[test]
fn sizes_years_labels_parts_and_flaws_are_no_counts() {
    for (noun, count, text) in [
        ("mug", 4, "4 Mugs 8 oz"),
        ("mug", 4, "4 Mugs 8oz 3 1/4 in 3-1/4\" 3¼ in 3.25 inch"),
        ("mug", 4, "Set of 4 Mugs 12 fl oz 350 ml 540 g 1 lb 3 oz"),
        ("skillet", 1, "Skillet No. 8 No 8 #8 Number 8 size 10"),
        ("plate", 4, "4 Plates 10 in Shape 12 Pattern 77 Model B45"),
        ("plate", 4, "4 Plates 1950s '50s 1962 circa 1930 19th century 2nd quality"),
        ("pitcher", 1, "Pitcher 2 qt 2-quart two quart"),
        ("cup", 4, "4 Two-Handled Cups with 2 handles, 3 footed, six sided"),
        ("baker", 1, "Oblong Baker 9 x 13 in 13x9 13 by 9"),
        ("teapot", 1, "Teapot 6 cup"),
        ("teapot", 1, "Teapot 4-6 cup 6-cup"),
        ("mug", 4, "4 Mugs, 1 chipped"),
        ("mug", 4, "4 mugs one has a hairline"),
        ("mug", 4, "4 mugs 2 flea bites"),
        ("mug", 4, "Set of 4 mugs 1 of 4 with hairline"),
        ("frame", 2, "Pair of Frames 5 x 7"),
        ("mug", 4, "4 Mugs $24 24.00 50% 24k gold trim"),
        ("mug", 4, "4 Mugs One of a Kind"),
        ("mug", 4, "4 Mugs ships in 2 days"),
        ("jar", 1, "Three Little Pigs Cookie Jar"),
        ("bowl", 3, "Set of 3 bowls 12-14 oz 5 to 7 in"),
        ("plate", 4, "4 plates 8 in dinner"),
        ("glass", 6, "6 Glasses 5 1/2\" tall 3\" across"),
        ("plate", 4, "4 Plates 10 in tall, set of 4, 10 in plates"),
        ("mug", 4, "4-H Club Mugs (4) 25 Anniversary"),
        ("mug", 4, "4 Mugs Route 66"),
        ("mug", 6, "Set of 6 B4 Mugs"),
        ("mug", 4, "4 Mugs incl. 1 chipped mug"),
        ("mug", 4, "Set of 4, 2 stained mugs among them"),
        ("figurine", 1, "Seven Dwarfs Figurine"),
        ("figurine", 2, "Pair of Figurines, 7.5 in, three kittens each"),
        ("pitcher", 1, "2 quart pitcher"),
        ("mug", 4, "4 mugs, 3 perfect, 1 w/ chip"),
        ("skillet", 1, "Iron skillet 8 in bottom, 10.5 in top"),
    ] {
        assert_eq!(title(text, &tally(noun, count)), [], "{text}");
    }
}

#[test]
fn titles_that_say_another_count_are_errors_with_the_words_and_the_number() {
    for (noun, count, text, said) in [
        ("mug", 4, "6 Diner Mugs 8 oz", 6),
        ("mug", 4, "Six Diner Mugs 4 in", 6),
        ("mug", 4, "Set of 6 Diner Mugs", 6),
        ("mug", 4, "Lot of 8 Mugs 4 oz", 8),
        ("mug", 4, "Half Dozen Diner Mugs", 6),
        ("mug", 4, "Dozen mugs", 12),
        ("mug", 4, "Pair of Diner Mugs", 2),
        ("mug", 4, "Diner Mugs (6)", 6),
        ("mug", 4, "Diner Mugs x6", 6),
        ("mug", 4, "Diner Mugs 6 pcs", 6),
        ("mug", 4, "Vintage 6-piece diner mug set", 6),
        ("mug", 4, "Service for 6 Mugs", 6),
        ("mug", 4, "4 Diner Mugs set of 6", 6),
        ("mug", 4, "Diner Mugs 6 Green Stripe", 6),
        ("mug", 4, "One Diner Mug", 1),
        ("mug", 4, "2 Sets of 4 Mugs", 8),
        ("mug", 6, "4 8 oz Diner Mugs", 4),
        ("skillet", 1, "Two Iron Skillets No. 8", 2),
        ("cup", 4, "6 cups two-handled", 6),
        ("pint glass", 4, "6 Pint Glasses", 6),
        ("plate", 4, "Set of 8 Plates 4 in tall", 8),
        ("plate", 4, "Plates Set-of-6", 6),
        ("jar", 4, "6 1/2 pint Jars", 6),
        ("cup", 6, "4 cup lot", 4),
    ] {
        let found = title(text, &tally(noun, count));
        assert_eq!(found.len(), 1, "{text}: {found:?}");
        assert_eq!(
            (found[0].spot, found[0].said, found[0].right),
            (Spot::Title, Some(said), count),
            "{text}"
        );
        assert_eq!(text.get(found[0].span.clone()), Some(found[0].quote.as_str()), "{text}");
        assert!(!found[0].quote.is_empty(), "{text}");
    }
}

#[test]
fn a_title_without_any_count_is_an_error_unless_it_is_one_piece() {
    for text in ["Diner Mugs 8 oz Vintage", "Diner Mug No. 4", ""] {
        let found = title(text, &tally("mug", 4));
        assert_eq!((found.len(), found[0].said), (1, None), "{text}");
        assert!(found[0].to_string().contains("no count is said; one lot has 4 mugs"), "{}", found[0]);
    }
    assert_eq!(title("Diner Mug 8 oz", &tally("mug", 1)), []);
    assert_eq!(title("Diner Mugs 8 oz", &tally("mug", 1)).len(), 1, "it reads as several");
}

#[test]
fn companions_are_held_to_their_own_count() {
    let lot = cups_and_saucers();
    for right in [
        "4 Stoneware Consomme Cups with Saucers",
        "Set of 4 Cups & 4 Saucers",
        "4 Bouillon Cups and 4 Underplates",
        "Consomme Cups with Saucers 8 Pieces (4)",
        "8 Pc: 4 cups, 4 saucers",
    ] {
        assert_eq!(title(right, &lot), [], "{right}");
    }
    for wrong in [
        "8 Stoneware Consomme Cups with Saucers",
        "4 Consomme Cups with 3 Saucers",
        "Set of 8 Cups and Saucers",
        "4 Consomme Cups with Saucers, 4 pieces",
    ] {
        assert_eq!(title(wrong, &lot).len(), 1, "{wrong}: {:?}", title(wrong, &lot));
    }
    let mut fewer = lot.clone();
    fewer.kinds[1].per_lot = 3;
    assert_eq!(title("4 Consomme Cups with 3 Saucers", &fewer), []);
    assert_eq!(title("4 Consomme Cups with 4 Saucers", &fewer).len(), 1);
}

#[test]
fn a_mixed_lot_goes_by_all_its_pieces() {
    let kind = |noun: &str, per_lot| Counting { noun: Noun::new(noun), also: vec![], per_lot, stock: 50 };
    let lot = Tally {
        count: 6,
        kinds: vec![kind("dinner plate", 2), kind("salad plate", 3), kind("bowl", 1)],
        service_for: None,
        lots: 1,
    };
    for right in
        ["Lot of 6: 2 Dinner Plates, 3 Salad Plates, 1 Bowl", "6 piece lot", "Lot of 6 Plates and Bowl"]
    {
        assert_eq!(title(right, &lot), [], "{right}");
    }
    assert_eq!(title("Lot of 6: 3 Dinner Plates, 2 Salad Plates, 1 Bowl", &lot).len(), 2);
    let contents = ["2 dinner plates", "3 salad plates", "1 bowl"].map(str::to_owned);
    let texts = Texts { contents: &contents, ..Texts::default() };
    assert_eq!(lint(&texts, &lot), []);
    assert_eq!(lint(&Texts { contents: &contents[..2], ..Texts::default() }, &lot).len(), 1);
}

#[test]
fn a_service_is_held_to_persons_and_pieces() {
    let kind = |noun: &str, per_lot| Counting { noun: Noun::new(noun), also: vec![], per_lot, stock: 50 };
    let lot = Tally {
        count: 20,
        kinds: vec![kind("plate", 8), kind("bowl", 4), kind("cup", 4), kind("saucer", 4)],
        service_for: Some(4),
        lots: 1,
    };
    for right in
        ["20 Piece Service for 4 Stoneware", "Service for 4 Dinnerware", "Dinnerware 4 place settings"]
    {
        assert_eq!(title(right, &lot), [], "{right}");
    }
    for wrong in ["20 Piece Service for 6 Stoneware", "16 Piece Service for 4", "Service for Four, 5 cups"] {
        assert_eq!(title(wrong, &lot).len(), 1, "{wrong}");
    }
}

#[test]
fn the_first_line_gives_count_and_lots() {
    let lot = tally("mug", 4);
    for right in [
        "You receive 4 mugs (one lot of 4). 3 such lots are available.",
        "You receive four mugs. 3 lots available.",
        "One lot of 4; available: 3",
        "4 of these mugs, 3 available",
    ] {
        assert_eq!(first_line(right, &lot), [], "{right}");
    }
    for (wrong, said, right) in [
        ("You receive 6 mugs (one lot of 4). 3 such lots are available.", 6, 4),
        ("You receive 4 mugs (one lot of 6). 3 such lots are available.", 6, 4),
        ("You receive 4 mugs (one lot of 4). 2 such lots are available.", 2, 3),
        ("You receive 4 mugs. Available: 5", 5, 3),
        ("You receive a pair of mugs.", 2, 4),
    ] {
        let found = first_line(wrong, &lot);
        assert_eq!(found.len(), 1, "{wrong}: {found:?}");
        assert_eq!((found[0].spot, found[0].said, found[0].right), (Spot::FirstLine, Some(said), right));
    }
    assert_eq!(first_line("You receive these lovely mugs.", &lot).len(), 1);
}

#[test]
fn contents_pictures_quantity_and_stock_agree_with_the_count() {
    let lot = cups_and_saucers();
    let contents = ["4 consomme cups, two-handled, 8 oz", "4 saucers, 6 1/2 in"].map(str::to_owned);
    let photos = [
        "the whole lot, 4 consomme cups and 4 saucers: exactly 4",
        "one piece from the front",
        "from four sides",
    ]
    .map(str::to_owned);
    let good = Texts { contents: &contents, photos: &photos, quantity: Some(3), ..Texts::default() };
    assert_eq!(lint(&good, &lot), []);

    let fewer = ["4 consomme cups".to_owned(), "3 saucers".to_owned()];
    let spots = |texts: &Texts<'_>, lot: &Tally| -> Vec<Spot> {
        lint(texts, lot).iter().map(|finding| finding.spot).collect()
    };
    assert_eq!(spots(&Texts { contents: &fewer, ..good }, &lot), [Spot::Contents(2)]);
    let short = ["4 consomme cups".to_owned()];
    assert_eq!(spots(&Texts { contents: &short, ..good }, &lot), [Spot::Contents(0)]);
    let more = ["all 6 cups in a row".to_owned()];
    assert_eq!(spots(&Texts { photos: &more, ..good }, &lot), [Spot::Photos(1)]);
    let none = ["base and mark".to_owned()];
    assert_eq!(spots(&Texts { photos: &none, ..good }, &lot), [Spot::Photos(0)]);
    assert_eq!(spots(&Texts { quantity: Some(4), ..good }, &lot), [Spot::Quantity]);
    // 14 cups make 3 lots of 4, 11 saucers don't.
    let mut stock = lot.clone();
    stock.kinds[1].stock = 11;
    let found = lint(&good, &stock);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].to_string(), "stock: 11, but 3 lots of 4 take 12 saucers");
    let mut record = lot.clone();
    record.count = 5;
    assert!(spots(&Texts::default(), &record).contains(&Spot::Record));
}

#[test]
fn a_stock_that_would_overflow_is_an_error_and_no_panic() {
    let found = lint(&Texts::default(), &Tally::of(Noun::new("mug"), u32::MAX, u32::MAX, u32::MAX));
    assert_eq!(found[0].spot, Spot::Stock);
}

const WORDS: [&str; 12] =
    ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

proptest! {
    /// Whatever way a count is said, it passes where it is right and is caught where it is wrong.
    #[test]
    fn a_count_is_seen_in_every_way_of_saying_it(said in 2u32..=12, right in 2u32..=12, way in 0usize..8) {
        let word = WORDS[said as usize - 1];
        let text = match way {
            0 => format!("{said} Diner Mugs 8 oz"),
            1 => format!("Set of {said} Diner Mugs 3 1/4 in"),
            2 => format!("Heavy {word} green diner mugs No. 8"),
            3 => format!("Lot of {word} diner mugs 1950s"),
            4 => format!("Diner Mugs ({said}) two-handled"),
            5 => format!("Diner mugs x{said} 2 qt"),
            6 => format!("Diner Mugs {said} pcs 9 x 13"),
            _ => format!("Diner Mugs, {said}-piece set, 7 oz"),
        };
        let found = title(&text, &tally("mug", right));
        prop_assert_eq!(found.is_empty(), said == right, "{}: {:?}", text, found);
    }

    /// Sizes never raise an alarm, whatever their figures.
    #[test]
    fn sizes_are_never_counts(count in 1u32..=12, size in 1u32..=30, unit in 0usize..12) {
        let unit = ["oz", " oz", " in", "\"", " qt", " pint", " cm", "mm", " lb", "-quart", " fl oz", " inches"][unit];
        let noun = Noun::new("mug");
        let text = format!("{} {size}{unit}", noun.of(count));
        prop_assert_eq!(title(&text, &tally("mug", count)), vec![], "{}", text);
        let text = format!("{size}{unit} Diner Mugs Set of {count}");
        prop_assert_eq!(title(&text, &tally("mug", count)), vec![], "{}", text);
    }

    /// No text and no figure makes the reading panic, and every span is a place in its text.
    #[test]
    fn any_text_is_read(text in "\\PC{0,80}", noun in "\\PC{0,12}", count in any::<u32>(), lots in any::<u32>()) {
        for finding in title(&text, &Tally::of(Noun::new(&noun), count, lots, 7)) {
            let quoted = text.get(finding.span.clone()) == Some(finding.quote.as_str());
            prop_assert!(quoted || finding.quote.is_empty());
        }
    }

    #[test]
    fn any_row_of_tokens_is_read(
        parts in proptest::collection::vec(
            prop_oneof![
                Just("4"), Just("1/2"), Just("-"), Just("pair"), Just("dozen"), Just("half"), Just("of"), Just("in"),
                Just("x"), Just("sets"), Just("lot"), Just("mugs"), Just("twenty"), Just("one"), Just("\""), Just("("),
                Just("99999999999999999999"), Just("0"), Just("½"), Just("for"), Just("service"), Just("such"),
            ],
            0..12,
        ),
        glue in any::<bool>(),
    ) {
        let text = parts.join(if glue { "" } else { " " });
        let _ = title(&text, &tally("mug", 4));
    }
}
